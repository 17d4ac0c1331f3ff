//! Charts drawn with characters: a line for each point, its mark at its height from the left, its ± as a bar.

use super::data::{ChartPoint, ReportChart};

/// How many characters the drawing is wide.
const WIDE: usize = 40;

/// The lines of a chart: its title, a head for each thing drawn, and a line for each point.
pub fn lines(chart: &ReportChart) -> Vec<String> {
    let mut lines = vec![chart.title.clone()];
    let scale = Scale::of(chart);
    for series in &chart.series {
        lines.push(format!(
            "  {} [{}] by {} [{}], {}",
            series.name,
            plain(&chart.y_unit),
            chart.x_name,
            plain(&chart.x_unit),
            scale.words()
        ));
        let along = |point: &ChartPoint| point.x.map_or_else(|| "____".to_owned(), short);
        let places = series.points.iter().map(|point| along(point).chars().count()).max().unwrap_or_default();
        let figures = series.points.iter().map(|point| point.y_shown.chars().count()).max().unwrap_or_default();
        for point in &series.points {
            let drawn = scale.drawn(point);
            lines.push(
                format!("  {:>places$}  {:>figures$}  |{drawn}", along(point), point.y_shown).trim_end().to_owned(),
            );
        }
    }
    lines
}

fn plain(unit: &str) -> &str {
    if unit.is_empty() { "a number" } else { unit }
}

/// From where to where the drawing reaches: from 0, unless something is below it.
struct Scale {
    low: f64,
    high: f64,
}

impl Scale {
    fn of(chart: &ReportChart) -> Self {
        let ends = chart.series.iter().flat_map(|series| &series.points).filter_map(|point| {
            let (y, half) = (point.y?, point.half_width.unwrap_or_default());
            Some([y - half, y + half])
        });
        let (low, high) = ends.flatten().fold((0.0f64, 0.0f64), |(low, high), end| (low.min(end), high.max(end)));
        Self { low, high: if high > low { high } else { low + 1.0 } }
    }

    fn words(&self) -> String {
        format!("from {} to {}", short(self.low), short(self.high))
    }

    /// The column of a height.
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "kept between 0 and the width"
    )]
    fn column(&self, height: f64) -> usize {
        let share = (height - self.low) / (self.high - self.low);
        (share.clamp(0.0, 1.0) * (WIDE - 1) as f64).round() as usize
    }

    fn drawn(&self, point: &ChartPoint) -> String {
        let Some(y) = point.y else { return "  waiting".to_owned() };
        let half = point.half_width.unwrap_or_default();
        let (from, at, until) = (self.column(y - half), self.column(y), self.column(y + half));
        let mark = |column: usize| match column {
            column if column == at => 'o',
            column if half > 0.0 && (from..=until).contains(&column) => '-',
            _ => ' ',
        };
        (0..WIDE).map(mark).collect::<String>().trim_end().to_owned()
    }
}

/// A number in four digits, for the ends of a scale.
fn short(number: f64) -> String {
    let text = format!("{number:.3e}");
    text.parse::<f64>().map_or(text, |number| number.to_string())
}

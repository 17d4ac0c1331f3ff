//! Charts drawn by a plotting library as SVG, for pages. Black on white; what is drawn is told apart by its marks, not
//! by colour. The chart's title stands beside the drawing, on the page.

use super::data::{ChartPoint, ChartSeries, ReportChart};
use super::letters::clean;
use plotters::element::DynElement;
use plotters::prelude::*;
use plotters::style::text_anchor::{HPos, Pos, VPos};

/// Width and height, in the units of the drawing; a page scales it.
const SIZE: (u32, u32) = (640, 320);

/// The height of letters, so that they can be read on a telephone.
const LETTERS: u32 = 19;

/// How far a mark reaches from its point.
const MARK: i32 = 5;

/// Half the width of the strokes that end a `±`.
const BAR: u32 = 8;

type Failed = DrawingAreaErrorKind<std::io::Error>;
type Canvas<'a> = DrawingArea<SVGBackend<'a>, plotters::coord::Shift>;

/// The drawing of a chart; empty where none of its points is known yet.
pub fn svg(chart: &ReportChart) -> String {
    let mut drawing = String::new();
    let Some(frame) = Frame::of(chart) else { return drawing };
    // A drawing in memory fails only where the frame has no extent, which is seen to above.
    let drawn = draw(&SVGBackend::with_string(&mut drawing, SIZE).into_drawing_area(), chart, &frame);
    if drawn.is_err() {
        drawing.clear();
    }
    drawing
}

/// From where to where a drawing reaches, along and upwards.
struct Frame {
    x: (f64, f64),
    y: (f64, f64),
}

impl Frame {
    /// What holds all points with their `±`, and the height 0.
    fn of(chart: &ReportChart) -> Option<Self> {
        let points = || chart.series.iter().flat_map(|series| &series.points).filter_map(Known::of);
        let xs = points().map(|point| point.x);
        let ys = points().flat_map(|point| [point.y - point.half, point.y + point.half]);
        let x = extent(xs)?;
        let y = extent(ys.chain([0.0]))?;
        Some(Self { x: widened(x, 0.04), y: (if y.0 < 0.0 { widened(y, 0.06).0 } else { 0.0 }, widened(y, 0.06).1) })
    }
}

fn extent(numbers: impl Iterator<Item = f64>) -> Option<(f64, f64)> {
    let ends = numbers.filter(|number| number.is_finite()).map(|number| (number, number));
    ends.reduce(|(low, high), (other, _)| (low.min(other), high.max(other)))
}

/// With so much room at either end, so that no mark is cut; what has no extent gets one.
fn widened((low, high): (f64, f64), share: f64) -> (f64, f64) {
    let room = if high > low { (high - low) * share } else { high.abs().max(1.0) };
    (low - room, high + room)
}

/// A point that can be drawn.
struct Known {
    x: f64,
    y: f64,
    half: f64,
}

impl Known {
    fn of(point: &ChartPoint) -> Option<Self> {
        Some(Self { x: point.x?, y: point.y?, half: point.half_width.unwrap_or_default() })
    }
}

fn draw(canvas: &Canvas<'_>, chart: &ReportChart, frame: &Frame) -> Result<(), Failed> {
    canvas.fill(&WHITE)?;
    let letters = ("sans-serif", LETTERS).into_font().color(&BLACK);
    let mut drawn = ChartBuilder::on(canvas)
        .margin(8)
        .x_label_area_size(48)
        .y_label_area_size(72)
        .build_cartesian_2d(frame.x.0..frame.x.1, frame.y.0..frame.y.1)?;
    let upwards = match chart.series.as_slice() {
        [only] => with_unit(&only.name, &chart.y_unit),
        _ => chart.y_unit.clone(),
    };
    drawn
        .configure_mesh()
        .disable_x_mesh()
        .bold_line_style(BLACK.mix(0.25))
        .light_line_style(TRANSPARENT)
        .axis_style(BLACK)
        .x_desc(clean(&with_unit(&chart.x_name, &chart.x_unit)))
        .y_desc(clean(&upwards))
        .label_style(letters.clone())
        .axis_desc_style(letters.clone().pos(Pos::new(HPos::Center, VPos::Top)))
        .draw()?;
    for (place, series) in chart.series.iter().enumerate() {
        let known: Vec<Known> = series.points.iter().filter_map(Known::of).collect();
        let bars = known.iter().filter(|point| point.half > 0.0);
        let bar = |point: &Known| {
            let (low, high) = (point.y - point.half, point.y + point.half);
            ErrorBar::new_vertical(point.x, low, point.y, high, BLACK.filled(), BAR)
        };
        drawn.draw_series(bars.map(bar))?;
        drawn.draw_series(LineSeries::new(known.iter().map(|point| (point.x, point.y)), BLACK.stroke_width(2)))?;
        let marks = known.iter().map(|point| mark(place, (point.x, point.y)));
        let marks = drawn.draw_series(marks)?;
        if chart.series.len() > 1 {
            marks.label(clean(&series.name)).legend(move |at| mark(place, at));
        }
    }
    if chart.series.len() > 1 {
        drawn
            .configure_series_labels()
            .position(SeriesLabelPosition::UpperRight)
            .background_style(WHITE)
            .border_style(BLACK)
            .label_font(letters)
            .draw()?;
    }
    canvas.present()
}

/// What marks the points of one thing drawn: another for each of the first three.
fn mark<'a, C: Copy + 'static>(place: usize, at: C) -> DynElement<'static, SVGBackend<'a>, C> {
    match place % 3 {
        0 => Circle::new(at, MARK, BLACK.filled()).into_dyn(),
        1 => Cross::new(at, MARK, BLACK.stroke_width(2)).into_dyn(),
        _ => TriangleMarker::new(at, MARK + 1, BLACK.filled()).into_dyn(),
    }
}

fn with_unit(name: &str, unit: &str) -> String {
    if unit.is_empty() { name.to_owned() } else { format!("{name}, {unit}") }
}

/// What a chart shows, in words, for who cannot see it.
pub fn in_words(chart: &ReportChart) -> String {
    let point = |point: &ChartPoint| {
        let x = point.x.map_or_else(|| "____".to_owned(), |x| super::figures::fifteen(x).to_string());
        let y = if point.y.is_some() { point.y_shown.as_str() } else { "waiting" };
        format!("at {x}: {y}")
    };
    let series = |series: &ChartSeries| {
        let points: Vec<String> = series.points.iter().map(point).collect();
        format!(
            "{} by {}: {}",
            with_unit(&series.name, &chart.y_unit),
            with_unit(&chart.x_name, &chart.x_unit),
            points.join("; ")
        )
    };
    chart.series.iter().map(series).collect::<Vec<_>>().join(". ")
}

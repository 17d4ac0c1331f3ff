//! Shown figures read back as a person reads them: decimals, fractions, measures, what was rounded away. It shares
//! nothing with the program, which writes them.

/// One shown part taken apart.
#[derive(Debug, Clone, PartialEq)]
pub struct Shown {
    /// Amounts with the measures they are in; one without a measure where there is no compound.
    pub amounts: Vec<(f64, String)>,
    /// Decimals of the last amount.
    pub decimals: i32,
    /// Whether the whole is below 0.
    pub is_negative: bool,
    /// By how many percent it is over or under.
    pub off: Option<f64>,
    /// The half-width.
    pub give_or_take: Option<f64>,
}

/// Reads `2 tbsp 1 1/2 tsp (7 % over) ± 0.11 tsp`; nothing where it is `less than …`.
pub fn read(shown: &str) -> Option<Shown> {
    let shown = shown.split("; ").next()?;
    if shown.starts_with("less than ") {
        return None;
    }
    let (figures, give_or_take) = match shown.split_once(" ± ") {
        Some((figures, give)) => (figures, Some(give.split(' ').next()?.parse().ok()?)),
        None => (shown, None),
    };
    let (figures, off) = match figures.split_once(" (") {
        Some((figures, off)) => (figures, Some(signed_percent(off)?)),
        None => (figures, None),
    };
    let is_negative = figures.starts_with('-');
    let figures = figures.trim_start_matches('-');
    let amounts = amounts(figures)?;
    let decimals = figures.rsplit(' ').find(|word| word.starts_with(|first: char| first.is_ascii_digit()));
    Some(Shown { decimals: decimals_of(decimals.unwrap_or(figures)), amounts, is_negative, off, give_or_take })
}

/// `7 % over)`, `2 % under)`
fn signed_percent(off: &str) -> Option<f64> {
    let (percent, way) = off.trim_end_matches(')').split_once(" % ")?;
    let percent: f64 = percent.parse().ok()?;
    match way {
        "over" => Some(percent),
        "under" => Some(-percent),
        _ => None,
    }
}

fn decimals_of(word: &str) -> i32 {
    let (digits, power) = word.split_once('e').unwrap_or((word, "0"));
    let after = digits.split_once('.').map_or(0, |(_, after)| after.len());
    after as i32 - power.parse::<i32>().unwrap_or_default()
}

/// `5 ft 6 1/2 in`, `12.5`
fn amounts(figures: &str) -> Option<Vec<(f64, String)>> {
    let mut amounts: Vec<(f64, String)> = Vec::new();
    for word in figures.split(' ') {
        match (number(word), amounts.last_mut()) {
            (Some(part), Some((amount, unit))) if unit.is_empty() => *amount += part,
            (Some(part), _) => amounts.push((part, String::new())),
            (None, Some((_, unit))) if unit.is_empty() => unit.push_str(word),
            (None, Some((_, unit))) => *unit = format!("{unit} {word}"),
            (None, None) => return None,
        }
    }
    Some(amounts)
}

/// `12`, `12.5`, `3/4`, `1.2e-7`
pub fn number(word: &str) -> Option<f64> {
    match word.split_once('/') {
        Some((top, bottom)) => Some(top.parse::<f64>().ok()? / bottom.parse::<f64>().ok()?),
        None if word.starts_with(|first: char| first.is_ascii_digit() || first == '-') => word.parse().ok(),
        None => None,
    }
}

impl Shown {
    /// The whole, in a unit in which the measures are so large.
    pub fn whole(&self, size: impl Fn(&str) -> f64) -> f64 {
        let whole: f64 = self.amounts.iter().map(|(amount, unit)| amount * size(unit)).sum();
        if self.is_negative { -whole } else { whole }
    }
}

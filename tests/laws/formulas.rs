//! Formulas of generated sheets, each of a wanted dimension, over what the sheet has so far; and how results are shown.

use crate::measures::Dimension;
use crate::sheets::Form;
use crate::tape::Tape;
use Dimension::{Area, Dose, Flow, Length, Mass, Plain, Point, Time, Volume};

/// The names that a formula may use.
#[derive(Debug, Default)]
pub struct Known {
    singles: Vec<(Dimension, String)>,
    several: Vec<(Dimension, String)>,
    ranges: Vec<(Dimension, String)>,
    halves: Vec<(Dimension, String)>,
    results: Vec<(Dimension, String)>,
    labelled: Vec<(Dimension, String)>,
}

impl Known {
    pub fn add_entry(&mut self, name: &str, dimension: Dimension, form: Form, is_labelled: bool) {
        let kept = match form {
            Form::Range => &mut self.ranges,
            Form::UpTo => &mut self.halves,
            Form::Single | Form::Readings | Form::Blank if is_labelled => &mut self.labelled,
            Form::Single | Form::Blank | Form::Scoops => &mut self.singles,
            Form::Readings => &mut self.several,
        };
        // Readings with a label are used as a whole.
        let name = if is_labelled && form == Form::Readings { format!("mean({name})") } else { name.to_owned() };
        kept.push((dimension, name));
    }

    pub fn add_result(&mut self, name: &str, dimension: Dimension) {
        self.singles.push((dimension, name.to_owned()));
        self.results.push((dimension, name.to_owned()));
    }
}

/// Makes formulas from a tape.
pub struct Maker<'a> {
    pub tape: &'a mut Tape,
    pub known: &'a Known,
}

const RESULTS: [Dimension; 7] = [Length, Area, Volume, Mass, Time, Flow, Dose];
/// What multiplied makes what, and what divided.
const PRODUCTS: [(Dimension, Dimension, Dimension); 4] =
    [(Area, Length, Length), (Volume, Area, Length), (Volume, Flow, Time), (Mass, Dose, Area)];
const QUOTIENTS: [(Dimension, Dimension, Dimension); 6] = [
    (Flow, Volume, Time),
    (Dose, Mass, Area),
    (Length, Area, Length),
    (Length, Volume, Area),
    (Time, Volume, Flow),
    (Area, Mass, Dose),
];

impl Maker<'_> {
    /// A result: its dimension, its formula, and in what it is shown. Of ranges and labelled values a plain one.
    pub fn result(&mut self) -> Option<(Dimension, String, String)> {
        if let Some((dimension, formula, of)) = self.special() {
            let shown = self.shown(dimension, of);
            return Some((dimension, formula, shown));
        }
        let dimension = *self.tape.pick(&RESULTS);
        let formula = self.formula(dimension, 3);
        let shown = self.shown(dimension, "");
        self.tape.is_left().then_some((dimension, formula, shown))
    }

    /// A formula of a kind of its own: points, ratios, labelled values.
    fn special(&mut self) -> Option<(Dimension, String, &'static str)> {
        if !self.tape.chance(35) {
            return None;
        }
        let labelled = self.known.labelled.clone();
        match self.tape.below(4) {
            0 => Some((Point, self.atom(Point)?, "")),
            1 => {
                let of = *self.tape.pick(&RESULTS);
                Some((Plain, format!("{} / {}", self.formula(of, 1), self.formula(of, 1)), ""))
            }
            2 if !labelled.is_empty() => {
                let (dimension, name) = self.tape.pick(&labelled).clone();
                let factor = self.tape.between(1, 9);
                Some((dimension, format!("{name} * {factor}"), " of concentrate"))
            }
            _ => None,
        }
    }

    /// A result that is a range: its formula, which a range enters once, and the unit and step it is shown in.
    pub fn range(&mut self) -> Option<(String, String)> {
        let halves = self.known.halves.clone();
        if !halves.is_empty() && halves.iter().all(|(dimension, _)| *dimension != Point) && self.tape.chance(20) {
            let (dimension, name) = self.tape.pick(&halves).clone();
            let unit = self.tape.pick(dimension.measures()).symbol;
            let shown = if dimension == Plain { String::new() } else { format!(" [{unit}]") };
            return Some((format!("{name} * {}", self.tape.between(1, 9)), shown));
        }
        let ranges: Vec<_> = self.known.ranges.iter().filter(|(dimension, _)| *dimension != Point).cloned().collect();
        if ranges.is_empty() {
            return None;
        }
        let (dimension, name) = self.tape.pick(&ranges).clone();
        let formula = match self.tape.below(5) {
            0 => format!("{name} + {}", self.formula(dimension, 1)),
            1 => format!("{} - {name}", self.formula(dimension, 1)),
            2 => format!("{name} * {}", self.formula(Plain, 1)),
            3 => format!("{name} / {}", self.literal(Plain)),
            _ => name,
        };
        let unit = self.tape.pick(dimension.measures()).symbol;
        let step = *self.tape.pick(&["", "0.1 ", "1/4 ", "5 "]);
        Some((formula, if dimension == Plain { String::new() } else { format!(" [{step}{unit}]") }))
    }

    /// A formula of that dimension, bracketed as a whole where it is more than a name.
    fn formula(&mut self, dimension: Dimension, depth: usize) -> String {
        if depth == 0 || self.tape.chance(20) || dimension == Plain && self.tape.chance(40) {
            return self.atom(dimension).unwrap_or_else(|| self.literal(dimension));
        }
        let depth = depth - 1;
        let text = match self.tape.below(8) {
            0 => self.atom(dimension).unwrap_or_else(|| self.literal(dimension)),
            1 => format!("{} + {}", self.formula(dimension, depth), self.formula(dimension, depth)),
            2 => format!("{} - {}", self.formula(dimension, depth), self.formula(dimension, depth)),
            3 => format!("{} * {}", self.formula(dimension, depth), self.formula(Plain, depth)),
            4 => self.call(dimension, depth),
            5 => self.choice(dimension, depth),
            6 => self.made_of(&PRODUCTS, "*", dimension, depth),
            _ => self.made_of(&QUOTIENTS, "/", dimension, depth),
        };
        format!("({text})")
    }

    fn made_of(
        &mut self,
        ways: &[(Dimension, Dimension, Dimension)],
        operator: &str,
        dimension: Dimension,
        depth: usize,
    ) -> String {
        let ways: Vec<_> = ways.iter().filter(|(made, ..)| *made == dimension).collect();
        if ways.is_empty() {
            return self.atom(dimension).unwrap_or_else(|| self.literal(dimension));
        }
        let (_, left, right) = **self.tape.pick(&ways);
        format!("{} {operator} {}", self.formula(left, depth), self.formula(right, depth))
    }

    fn call(&mut self, dimension: Dimension, depth: usize) -> String {
        let (one, other) = (self.formula(dimension, depth), self.formula(dimension, depth));
        let step = self.literal(dimension);
        let results: Vec<_> = self.known.results.iter().filter(|(own, _)| *own == dimension).cloned().collect();
        match self.tape.below(11) {
            6 => format!("round up({one}, {step})"),
            7 => format!("{} % of {one}", self.tape.between(1, 150)),
            8 if dimension == Area => format!("{} ^ 2", self.formula(Length, depth)),
            9 if !results.is_empty() => format!("shown({})", self.tape.pick(&results).1),
            10 if dimension == Plain => self.plain_of_several().unwrap_or(one),
            0 => format!("max({one}, {other})"),
            1 => format!("min({one}, {other})"),
            2 => format!("average({one}, {other})"),
            3 => format!("abs({one})"),
            4 => format!("round({one}, {step})"),
            5 if dimension == Length => format!("sqrt({})", self.formula(Area, depth)),
            _ => format!("sum({one}, {other})"),
        }
    }

    /// `cv(passes.catch)`
    fn plain_of_several(&mut self) -> Option<String> {
        let several = &self.known.several;
        let several: Vec<_> = several.iter().filter(|(dimension, _)| *dimension != Point).cloned().collect();
        if several.is_empty() {
            return None;
        }
        let of = self.tape.pick(&several).1.clone();
        Some(format!("{}({of})", self.tape.pick(&["cv", "spread", "count"])))
    }

    fn choice(&mut self, dimension: Dimension, depth: usize) -> String {
        let compared = *self.tape.pick(&RESULTS);
        let (left, right) = (self.formula(compared, 0), self.formula(compared, 0));
        let relation = *self.tape.pick(&["at most", "more than"]);
        let (one, other) = (self.formula(dimension, depth), self.formula(dimension, depth));
        format!("if {left} {relation} {right} then {one} else {other}")
    }

    /// A value of the sheet of that dimension.
    fn atom(&mut self, dimension: Dimension) -> Option<String> {
        let of = |known: &[(Dimension, String)]| {
            known.iter().filter(|(own, _)| *own == dimension).map(|(_, name)| name.clone()).collect::<Vec<_>>()
        };
        let (singles, several) = (of(&self.known.singles), of(&self.known.several));
        match self.tape.below(singles.len() + several.len()) {
            _ if singles.is_empty() && several.is_empty() => None,
            place if place < singles.len() => Some(singles[place].clone()),
            place => {
                let functions: &[&str] = match dimension {
                    Point => &["mean", "min", "max", "median"],
                    _ => &["mean", "mean", "median", "average", "sum", "min", "max", "sd"],
                };
                Some(format!("{}({})", self.tape.pick(functions), several[place - singles.len()]))
            }
        }
    }

    fn literal(&mut self, dimension: Dimension) -> String {
        let figure = crate::quantity::Figure::near(self.tape, dimension);
        format!("({})", figure.to_string().trim_end())
    }

    /// `[gal]`, `[0.1 gal, up]`, `[gal + fl oz]`, `[gal; L]`
    fn shown(&mut self, dimension: Dimension, of: &str) -> String {
        if dimension == Plain {
            return " [%]".to_owned();
        }
        let unit = self.tape.pick(dimension.measures()).symbol;
        let step = *self.tape.pick(&["0.1 ", "1/4 ", "0.05 ", "5 "]);
        let way = *self.tape.pick(&["", ", up", ", down"]);
        let other = self.tape.pick(dimension.measures()).symbol;
        match self.tape.below(6) {
            0 | 1 => format!(" [{unit}{of}]"),
            2 | 3 => format!(" [{step}{unit}{of}{way}]"),
            4 => format!(" [{unit}{of}; {other}{of}]"),
            _ => match dimension {
                Volume => format!(" [gal + fl oz{of}]"),
                Length => " [ft + 1/8 in]".to_owned(),
                Mass => format!(" [lb + 0.5 oz{of}]"),
                Time => " [min + s]".to_owned(),
                _ => format!(" [{unit}{of}]"),
            },
        }
    }
}

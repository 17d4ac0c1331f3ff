//! What a dimension is called in the trade: `a flow (volume per time)`, `a weight per area`. Knows the dimension and the
//! unit alone, neither the value nor what it is of.

use super::dimension::{Base, Dimension, WHOLE};
use super::unit::{CrewWord, Unit, superscript};
use super::vocabulary;

const SQUARE: i16 = 2 * WHOLE;
const CUBE: i16 = 3 * WHOLE;

/// A dimension in words, with its article: `a length`, `a volume per plant`; where there is no word for it, in units:
/// `a quantity in lb·s`. A temperature is called so whether it is a point or a difference.
pub fn describe(dimension: &Dimension, crew: &[CrewWord]) -> String {
    match known(dimension.powers()) {
        Some("flow") => "a flow (volume per time)".into(),
        Some("money") => "an amount of money".into(),
        Some(name) => with_article(name),
        None => {
            let (above, below) = split(dimension);
            quotient(&above, &below, crew)
                .unwrap_or_else(|| format!("a quantity in {}", product(dimension, crew, FIELD)))
        }
    }
}

/// What a unit measures, as it is written: `gal/1000 ft²` is a volume per area, although by its dimension alone it is
/// as much a length as `ft`.
pub fn describe_unit(unit: &Unit, crew: &[CrewWord]) -> String {
    let part = |above: bool| {
        let factors = unit.factors.iter().filter(move |factor| (factor.twelfths > 0) == above);
        factors.filter_map(|factor| factor.dimension(crew)).fold(Dimension::plain(), |whole, part| whole.times(&part))
    };
    let (above, below) = (part(true), Dimension::plain().over(&part(false)));
    let cancels = below.powers().iter().any(|(base, _)| above.power_of(*base) != 0);
    let written = if cancels { quotient(&above, &below, crew) } else { None };
    written.unwrap_or_else(|| describe(&unit.dimension(crew), crew))
}

/// A dimension in SI units: `m³/s`, `kg`, `K`, `1` for a plain number; counters and money stand for themselves.
pub fn in_si(dimension: &Dimension, crew: &[CrewWord]) -> String {
    if dimension.is_plain() { "1".into() } else { product(dimension, crew, SI) }
}

/// The units of length, weight, time, temperature and angle that a dimension without a name is told in.
const FIELD: [&str; 5] = ["ft", "lb", "s", "Δ°F", "deg"];
const SI: [&str; 5] = ["m", "kg", "s", "K", "rad"];

/// `a weight per area`, if the part above and each base below have a word of their own.
fn quotient(above: &Dimension, below: &Dimension, crew: &[CrewWord]) -> Option<String> {
    let above = match above.powers() {
        [] => "a number".into(),
        [(base @ Base::Counter(_), WHOLE)] => format!("a count of {}", plural(*base, crew)),
        [(Base::Money, WHOLE)] => "money".into(),
        powers => with_article(known(powers)?),
    };
    let below = match known(below.powers()) {
        Some("plain number") => return Some(above),
        Some(name) => name.to_string(),
        None => {
            let parts = below.powers().iter().map(|part| noun(part, crew));
            parts.collect::<Option<Vec<_>>>()?.join(" and ")
        }
    };
    Some(format!("{above} per {below}"))
}

fn noun(part: &(Base, i16), crew: &[CrewWord]) -> Option<String> {
    match part {
        (base @ Base::Counter(_), WHOLE) => Some(symbol(*base, crew, FIELD)),
        part => known(std::slice::from_ref(part)).map(str::to_string),
    }
}

/// The dimensions that have a name, without the article.
fn known(powers: &[(Base, i16)]) -> Option<&'static str> {
    use Base::{Angle, Length, Mass, Money, Temperature, Time};
    const PER: i16 = -WHOLE;
    const PER_SQUARE: i16 = -SQUARE;
    Some(match powers {
        [] => "plain number",
        [(Length, WHOLE)] => "length",
        [(Length, SQUARE)] => "area",
        [(Length, CUBE)] => "volume",
        [(Mass, WHOLE)] => "weight",
        [(Time, WHOLE)] => "time",
        [(Temperature, WHOLE)] => "temperature",
        [(Angle, WHOLE)] => "angle",
        [(Money, WHOLE)] => "money",
        [(Length, WHOLE), (Time, PER)] => "speed",
        [(Length, WHOLE), (Time, PER_SQUARE)] => "acceleration",
        [(Length, CUBE), (Time, PER)] => "flow",
        [(Length, PER), (Mass, WHOLE), (Time, PER_SQUARE)] => "pressure",
        [(Length, WHOLE), (Mass, WHOLE), (Time, PER_SQUARE)] => "force",
        _ => return None,
    })
}

/// What stands above the line and what below it, both to positive powers.
fn split(dimension: &Dimension) -> (Dimension, Dimension) {
    dimension.powers().iter().fold((Dimension::plain(), Dimension::plain()), |(above, below), (base, power)| {
        let part = Dimension::of(*base, power.saturating_abs());
        if *power > 0 { (above.times(&part), below) } else { (above, below.times(&part)) }
    })
}

fn product(dimension: &Dimension, crew: &[CrewWord], units: [&str; 5]) -> String {
    let (above, below) = split(dimension);
    let shown = |(base, power): &(Base, i16)| symbol(*base, crew, units) + &superscript(*power);
    let above: Vec<String> = above.powers().iter().map(shown).collect();
    let above = if above.is_empty() { "1".into() } else { above.join("·") };
    below.powers().iter().map(shown).fold(above, |whole, part| whole + "/" + &part)
}

fn symbol(base: Base, crew: &[CrewWord], [length, mass, time, temperature, angle]: [&str; 5]) -> String {
    match base {
        Base::Length => length.into(),
        Base::Mass => mass.into(),
        Base::Time => time.into(),
        Base::Temperature => temperature.into(),
        Base::Angle => angle.into(),
        Base::Money => "money".into(),
        Base::Counter(index) => match index.checked_sub(vocabulary::COUNTERS) {
            None => vocabulary::counter(index).map_or("", |entry| entry.symbol).into(),
            // Counters come first among the crew's measures.
            Some(own) => crew.get(usize::from(own)).map_or("", |word| word.word.as_str()).into(),
        },
    }
}

fn plural(base: Base, crew: &[CrewWord]) -> String {
    match base {
        Base::Counter(index) if index < vocabulary::COUNTERS => {
            vocabulary::counter(index).and_then(|entry| entry.synonyms.first()).map_or("", |word| word).into()
        }
        base => symbol(base, crew, FIELD) + "s",
    }
}

fn with_article(name: &str) -> String {
    let article = if name.starts_with(['a', 'e', 'i', 'o', 'u']) { "an" } else { "a" };
    format!("{article} {name}")
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::unit::{Factor, Word, crew_counter};
    use crate::units::vocabulary::{Lookup, lookup};

    fn crew() -> Vec<CrewWord> {
        vec![
            CrewWord { word: "scoop".into(), dimension: Dimension::of(Base::Mass, WHOLE) },
            CrewWord { word: "basket".into(), dimension: Dimension::of(crew_counter(1), WHOLE) },
        ]
    }

    /// Reads `gal/1000 ft²` as far as these tests need it: words, `/`, a lead, and the crew's own.
    fn unit(written: &str) -> Unit {
        let mut unit = Unit::plain();
        for (place, part) in written.split('/').enumerate().filter(|(_, part)| *part != "1") {
            let (lead, words) =
                part.split_once(' ').and_then(|(lead, words)| Some((lead.parse().ok()?, words))).unwrap_or((1.0, part));
            let factors = match (crew().iter().position(|own| own.word == words), lookup(words)) {
                (Some(own), _) => vec![(Word::Crew(own as u16), WHOLE)],
                (None, Lookup::Unit(parts)) => {
                    parts.iter().map(|(index, power)| (Word::Known(*index), *power)).collect()
                }
                (None, _) => vec![(Word::Known(u16::MAX), WHOLE)],
            };
            let sign = if place == 0 { 1 } else { -1 };
            unit.factors.extend(factors.into_iter().map(|(word, power)| Factor { word, twelfths: sign * power, lead }));
        }
        unit
    }

    fn dimension(written: &str) -> String {
        describe(&unit(written).dimension(&crew()), &crew())
    }

    #[test]
    fn dimensions_have_the_words_of_the_trade() {
        for (written, words) in [
            ("1", "a plain number"),
            ("%", "a plain number"),
            ("ft", "a length"),
            ("acre", "an area"),
            ("sq m", "an area"),
            ("tbsp", "a volume"),
            ("oz", "a weight"),
            ("scoop", "a weight"),
            ("week", "a time"),
            ("°F", "a temperature"),
            ("deg", "an angle"),
            ("$", "an amount of money"),
            ("mph", "a speed"),
            ("gpm", "a flow (volume per time)"),
            ("psi", "a pressure"),
            ("lbf", "a force"),
            ("lb/1000 sq ft", "a weight per area"),
            ("lb/gal", "a weight per volume"),
            ("g/s", "a weight per time"),
            ("$/gal", "money per volume"),
            ("$/h", "money per time"),
            ("min/1000 sq ft", "a time per area"),
            ("1/min", "a number per time"),
            ("1/sq ft", "a number per area"),
            ("plant", "a count of plants"),
            ("pass", "a count of passes"),
            ("person", "a count of people"),
            ("basket", "a count of baskets"),
            ("stroke/min", "a count of strokes per time"),
            ("fl oz/plant", "a volume per plant"),
            ("fl oz/basket", "a volume per basket"),
            ("plant/basket", "a count of plants per basket"),
            ("lb/acre/day", "a weight per area and time"),
            ("lbf/s", "a quantity in ft·lb/s³"),
        ] {
            assert_eq!(dimension(written), words, "{written}");
        }
    }

    #[test]
    fn what_has_no_word_is_told_in_units() {
        let odd = |powers: &[(Base, i16)]| {
            let whole = powers
                .iter()
                .fold(Dimension::plain(), |whole, (base, power)| whole.times(&Dimension::of(*base, *power)));
            describe(&whole, &crew())
        };
        assert_eq!(odd(&[(Base::Length, SQUARE), (Base::Time, WHOLE)]), "a quantity in ft²·s");
        assert_eq!(odd(&[(Base::Time, -SQUARE)]), "a quantity in 1/s²");
        assert_eq!(odd(&[(Base::Mass, 6)]), "a quantity in lb^(1/2)");
        assert_eq!(odd(&[(Base::Money, WHOLE), (crew_counter(1), SQUARE)]), "a quantity in money·basket²");
    }

    #[test]
    fn a_unit_is_called_as_it_is_written() {
        let words = |written: &str| describe_unit(&unit(written), &crew());
        assert_eq!(dimension("gal/1000 sq ft"), "a length", "by its dimension a volume per area is one");
        assert_eq!(words("gal/1000 sq ft"), "a volume per area");
        assert_eq!(words("gpa"), "a volume per area");
        assert_eq!(words("fl oz/gal"), "a volume per volume");
        assert_eq!(words("mg/kg"), "a weight per weight");
        assert_eq!(words("scoop/1000 sq ft"), "a weight per area");
        assert_eq!(words("fl oz/acre/day"), "a volume per area and time");
        assert_eq!(words("gal/min"), "a flow (volume per time)");
        assert_eq!(words("mph"), "a speed");
        assert_eq!(words("ft"), "a length");
        assert_eq!(words("1"), "a plain number");
        assert_eq!(words("%"), "a plain number");
    }

    #[test]
    fn si_units_are_shown_for_the_vocabulary() {
        let si = |written: &str| in_si(&unit(written).dimension(&crew()), &crew());
        assert_eq!(si("gpm"), "m³/s");
        assert_eq!(si("psi"), "kg/m/s²");
        assert_eq!(si("%"), "1");
        assert_eq!(si("plant"), "plant");
        assert_eq!(si("°F"), "K");
    }
}

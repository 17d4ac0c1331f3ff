//! Units that a quantity can be written in, with their sizes, exact by definition (NIST SP 811, appendix B). It shares
//! nothing with the vocabulary of the program.

/// A dimension that generated sheets use.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Dimension {
    Length,
    Area,
    Volume,
    Mass,
    Time,
    Point,
    Plain,
    Flow,
    Dose,
}

/// Those that entries have, some more often.
pub const ENTERED: [Dimension; 11] = [
    Dimension::Length,
    Dimension::Length,
    Dimension::Area,
    Dimension::Volume,
    Dimension::Volume,
    Dimension::Mass,
    Dimension::Time,
    Dimension::Flow,
    Dimension::Dose,
    Dimension::Point,
    Dimension::Plain,
];

/// A unit: its symbol, its size, and where its scale begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Measure {
    pub symbol: &'static str,
    pub size: f64,
    pub zero: f64,
}

const fn measure(symbol: &'static str, size: f64) -> Measure {
    Measure { symbol, size, zero: 0.0 }
}

const FOOT: f64 = 0.3048;
const GALLON: f64 = 3.785_411_784e-3;
const POUND: f64 = 0.453_592_37;

const LENGTHS: [Measure; 5] =
    [measure("ft", FOOT), measure("in", 0.0254), measure("yd", 0.9144), measure("m", 1.0), measure("cm", 0.01)];
const AREAS: [Measure; 4] = [
    measure("ft²", FOOT * FOOT),
    measure("sq yd", 0.9144 * 0.9144),
    measure("m²", 1.0),
    measure("acre", 43_560.0 * FOOT * FOOT),
];
const VOLUMES: [Measure; 6] = [
    measure("fl oz", GALLON / 128.0),
    measure("gal", GALLON),
    measure("pt", GALLON / 8.0),
    measure("L", 1e-3),
    measure("mL", 1e-6),
    measure("tbsp", GALLON / 256.0),
];
const MASSES: [Measure; 4] =
    [measure("lb", POUND), measure("oz", POUND / 16.0), measure("kg", 1.0), measure("g", 1e-3)];
const TIMES: [Measure; 3] = [measure("s", 1.0), measure("min", 60.0), measure("h", 3600.0)];
const POINTS: [Measure; 2] = [
    Measure { symbol: "°F", size: 5.0 / 9.0, zero: 459.67 * 5.0 / 9.0 },
    Measure { symbol: "°C", size: 1.0, zero: 273.15 },
];
const PLAIN: [Measure; 1] = [measure("", 1.0)];
const FLOWS: [Measure; 3] =
    [measure("gal/min", GALLON / 60.0), measure("mL/s", 1e-6), measure("fl oz/min", GALLON / 128.0 / 60.0)];
const DOSES: [Measure; 3] = [
    measure("lb/1000 ft²", POUND / (1000.0 * FOOT * FOOT)),
    measure("g/m²", 1e-3),
    measure("oz/yd²", POUND / 16.0 / (0.9144 * 0.9144)),
];

/// All of them.
const ALL: [Dimension; 9] = [
    Dimension::Length,
    Dimension::Area,
    Dimension::Volume,
    Dimension::Mass,
    Dimension::Time,
    Dimension::Point,
    Dimension::Plain,
    Dimension::Flow,
    Dimension::Dose,
];

impl Dimension {
    /// The dimension of a unit.
    pub fn of(unit: Measure) -> Self {
        ALL.into_iter().find(|dimension| dimension.measures().contains(&unit)).unwrap_or(Self::Plain)
    }

    /// The units it can be written in.
    pub fn measures(self) -> &'static [Measure] {
        match self {
            Self::Length => &LENGTHS,
            Self::Area => &AREAS,
            Self::Volume => &VOLUMES,
            Self::Mass => &MASSES,
            Self::Time => &TIMES,
            Self::Point => &POINTS,
            Self::Plain => &PLAIN,
            Self::Flow => &FLOWS,
            Self::Dose => &DOSES,
        }
    }

    /// A middling size in SI units, so that sums are of like things.
    pub fn middling(self) -> f64 {
        match self {
            Self::Length => 6.0,
            Self::Area => 40.0,
            Self::Volume => 4e-3,
            Self::Mass => 2.0,
            Self::Time => 90.0,
            Self::Point => 15.0,
            Self::Plain => 2.0,
            Self::Flow => 4e-5,
            Self::Dose => 0.05,
        }
    }
}

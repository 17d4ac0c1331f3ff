//! How a number is shown: to the digits it deserves, to a step, or in measures a person has in hand. Showing never
//! changes a value. Numbers come in and go out in the unit they are shown in.

/// The step a result is shown to: `1/4` or `0.01`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The step in the unit shown.
    pub size: f64,
    /// The denominator where the step was written as a fraction (`1/4`), so that figures are shown as fractions;
    /// 1 for a whole step (`5`), `None` for a decimal one (`0.25`).
    pub denominator: Option<u32>,
    /// Decimals of a decimal step as written: 2 for `0.25`.
    pub decimals: u8,
}

/// Which way a step rounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rounding {
    /// To the nearest step, ties away from zero.
    #[default]
    Nearest,
    /// `, up`
    Up,
    /// `, down`
    Down,
    /// Towards the inside of a range, for its lower end: up. (The upper end takes `Down`.)
    InwardLow,
    /// Towards the inside of a range, for its upper end: down.
    InwardHigh,
}

/// The form in which a number is shown in one unit, or in several that belong together.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// With a ±, two significant digits of it; else four significant digits, whole-number digits never cut.
    Digits,
    /// To a step of one unit.
    Step(Step, Rounding),
    /// In measures, largest first (`[tbsp + 1/2 tsp]`), with carry. The number is in the first of them.
    Measures {
        /// How many of the next measure make one of this; one fewer than there are measures.
        ratios: Vec<f64>,
        /// The step of the last measure; `None` where it is written without one and shows digits.
        step: Option<Step>,
        /// Which way the last measure is rounded.
        rounding: Rounding,
    },
    /// Money alone: to the cent.
    Cents,
}

//! The functions of the notation: their names and a line of help each, from which messages and offers take them.

/// Every function of the notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "named as in the notation")]
pub enum Function {
    Mean,
    Median,
    Average,
    Sum,
    Count,
    Min,
    Max,
    Sd,
    Cv,
    Spread,
    Sqrt,
    Abs,
    Round,
    RoundUp,
    RoundDown,
    Sin,
    Cos,
    Tan,
    Atan,
    Exp,
    Ln,
    Low,
    High,
    Middle,
    Amount,
    Shown,
    Circle,
    CircleAround,
    Ellipse,
    Triangle,
    Trapezoid,
    Quadrilateral,
    Offsets,
    Polygon,
    Interpolate,
    Pick,
    SwathCv,
    WidestSwath,
    GiveOrTake,
    StandardUncertainty,
    DegreesOfFreedom,
}

/// Every function with its name and one line of help.
pub const FUNCTIONS: &[(Function, &str, &str)] = &[
    (Function::Mean, "mean", "mean(passes.flow): the mean of repeats of one thing, with the doubt of their scatter"),
    (Function::Median, "median", "median(catch): the middle of repeats of one thing"),
    (Function::Average, "average", "average(tips.flow): the average of different things"),
    (Function::Sum, "sum", "sum(beds.area): all of them together; also with a choice of rows, where bed is \"…\""),
    (Function::Count, "count", "count(passes.catch): how many there are"),
    (Function::Min, "min", "min(passes.catch): the smallest; also of several values, min(a, b)"),
    (Function::Max, "max", "max(passes.catch): the largest; also of several values, max(a, b)"),
    (Function::Sd, "sd", "sd(catch): the standard deviation of readings, divided by n − 1"),
    (Function::Cv, "cv", "cv(catch): the standard deviation as a share of the mean"),
    (Function::Spread, "spread", "spread(catch): largest less smallest, as a share of the mean"),
    (Function::Sqrt, "sqrt", "sqrt(x): the square root"),
    (Function::Abs, "abs", "abs(x): without its sign"),
    (Function::Round, "round", "round(x, 0.5 gal): to the nearest step; the value itself changes"),
    (Function::RoundUp, "round up", "round up(x, 1): to the next step up"),
    (Function::RoundDown, "round down", "round down(x, 1): to the next step down"),
    (Function::Sin, "sin", "sin(30 deg)"),
    (Function::Cos, "cos", "cos(30 deg)"),
    (Function::Tan, "tan", "tan(30 deg)"),
    (Function::Atan, "atan", "atan(x): the angle whose tangent is x"),
    (Function::Exp, "exp", "exp(x): e to the x"),
    (Function::Ln, "ln", "ln(x): the natural logarithm"),
    (Function::Low, "low", "low(label rate): the lower end of a range"),
    (Function::High, "high", "high(label rate): the upper end of a range"),
    (Function::Middle, "middle", "middle(label rate): halfway between the ends of a range"),
    (Function::Amount, "amount", "amount(x): x without what it is of, said openly"),
    (Function::Shown, "shown", "shown(x): the value as it is shown, for checks"),
    (Function::Circle, "circle", "circle(diameter): the area of a round bed"),
    (Function::CircleAround, "circle around", "circle around(circumference): the area of a round bed from its girth"),
    (Function::Ellipse, "ellipse", "ellipse(length, width): the area of an oval bed"),
    (Function::Triangle, "triangle", "triangle(a, b, c): the area from three sides"),
    (Function::Trapezoid, "trapezoid", "trapezoid(a, b, height): the area between two parallel sides"),
    (
        Function::Quadrilateral,
        "quadrilateral",
        "quadrilateral(a, b, c, d, diagonal): the area from four sides in order and the diagonal that closes a, b and c, d",
    ),
    (
        Function::Offsets,
        "offsets",
        "offsets(widths, spacing): the area of an odd shape from widths at even steps, end to end",
    ),
    (Function::Polygon, "polygon", "polygon(xs, ys): the area within corners in order"),
    (Function::Interpolate, "interpolate", "interpolate(x, xs, ys): straight between rows, never beyond them"),
    (Function::Pick, "pick", "pick(tips.flow, \"green\"): the cell of the row with that label"),
    (
        Function::SwathCv,
        "swath cv",
        "swath cv(catches, spacing, swath, \"back and forth\"): how uneven the ground is covered",
    ),
    (
        Function::WidestSwath,
        "widest swath",
        "widest swath(catches, spacing, limit, \"back and forth\"): the widest that meets the limit",
    ),
    (Function::GiveOrTake, "give or take", "give or take(x): the half-width that is shown after ±"),
    (Function::StandardUncertainty, "standard uncertainty", "standard uncertainty(x)"),
    (Function::DegreesOfFreedom, "degrees of freedom", "degrees of freedom(x)"),
];

impl Function {
    /// The function of that name, in lower case with single spaces.
    pub fn named(key: &str) -> Option<Self> {
        FUNCTIONS.iter().find(|(_, name, _)| *name == key).map(|(function, _, _)| *function)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        FUNCTIONS.iter().find(|(function, _, _)| *function == self).map_or("", |(_, name, _)| name)
    }
}

//! Calls of functions settled: how many values each takes, of what dimension, and what it comes to.

use super::algebra;
use super::formulas::{Typing, unknown};
use super::literals::described;
use super::model::{Argument, Does, Expression, FUNCTIONS, Function, Remark, Repeats};
use super::scope;
use super::types::{NumberType, Type};
use crate::syntax::tree::{self, Name};
use crate::text::Place;
use crate::trouble::Kind;
use crate::units::dimension::WHOLE;
use crate::units::{Base, Dimension, Labels};

/// Settles a call.
pub fn call(typing: &mut Typing<'_>, place: Place, name: &Name, arguments: &[tree::Argument]) -> Expression {
    let Some(function) = Function::named(&name.key) else {
        let near =
            scope::nearest(&name.key, FUNCTIONS.iter().map(|(_, name, _)| *name)).map(|near| format!("{near}(…)"));
        let near = match near {
            None if typing.scope.is_name(&name.key) => format!("{} * (…)", name.written),
            near => near.unwrap_or_default(),
        };
        return typing.refuse(name.place, Kind::MissingFunction { name: name.written.clone(), near });
    };
    let mut settled = Vec::with_capacity(arguments.len());
    for (index, argument) in arguments.iter().enumerate() {
        settled.push(self::argument(typing, function, index, argument));
    }
    if settled.iter().any(|argument| argument.value.kind.is_unknown()) {
        return unknown(place);
    }
    let kind = match result(typing, place, function, &settled) {
        Ok(kind) => kind,
        Err((spot, kind)) => return typing.refuse(spot, kind),
    };
    Expression { place, kind, does: Does::Call(function, settled) }
}

fn argument(typing: &mut Typing<'_>, function: Function, index: usize, argument: &tree::Argument) -> Argument {
    let is_step = index == 1 && matches!(function, Function::Round | Function::RoundUp | Function::RoundDown);
    // A step of a temperature is a difference, as the amount of `within … of` is.
    let value = match is_step.then(|| typing.distance(&argument.value)).flatten() {
        Some((step, _)) => step,
        None if is_step => unknown(argument.value.place),
        None => typing.formula(&argument.value),
    };
    let is_mean = matches!(function, Function::Mean | Function::Median);
    let repeats = is_mean.then(|| Repeats::of(&typing.scope.text(value.place)));
    let Some(choice) = &argument.choice else { return Argument { value, choice: None, repeats } };
    let Does::Column(table, _) = value.does else {
        let value = if value.kind.is_unknown() { value } else { typing.refuse(choice.place, Kind::ChoiceOfNoColumn) };
        return Argument { value, choice: None, repeats };
    };
    if !takes_choice(function) {
        let function = function.name().to_owned();
        let value = typing.refuse(choice.place, Kind::ChoiceNotTaken { function });
        return Argument { value, choice: None, repeats };
    }
    let condition = super::choices::condition(typing, table, choice);
    let value = if condition.kind.is_unknown() { unknown(value.place) } else { value };
    Argument { value, choice: Some(Box::new(condition)), repeats }
}

fn takes_choice(function: Function) -> bool {
    use Function::{Average, Count, Cv, Max, Mean, Median, Min, Sd, Spread, Sum};
    matches!(function, Average | Count | Cv | Max | Mean | Median | Min | Sd | Spread | Sum)
}

type Refused = (Place, Kind);

/// The type of a call, its arguments settled.
fn result(typing: &mut Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    use Function as F;
    match function {
        F::Mean | F::Median | F::Average | F::Sum | F::Min | F::Max | F::Sd | F::Cv | F::Spread => {
            statistics(typing, place, function, arguments)
        }
        F::Count => count(typing, arguments, place),
        F::Sqrt | F::Abs | F::Sin | F::Cos | F::Tan | F::Atan | F::Exp | F::Ln => {
            of_number(typing, place, function, arguments)
        }
        F::Round | F::RoundUp | F::RoundDown => round(typing, place, function, arguments),
        F::Low | F::High | F::Middle => of_range(typing, place, function, arguments),
        F::Amount | F::Shown | F::GiveOrTake | F::StandardUncertainty | F::DegreesOfFreedom => {
            of_value(typing, place, function, arguments)
        }
        F::Circle | F::CircleAround | F::Ellipse | F::Triangle | F::Trapezoid | F::Quadrilateral => {
            shape(typing, place, function, arguments)
        }
        F::Offsets => offsets(typing, place, arguments),
        F::Polygon => polygon(typing, place, arguments),
        F::Interpolate => interpolate(typing, place, arguments),
        F::Pick => pick(typing, place, arguments),
        F::SwathCv | F::WidestSwath => swath(typing, place, function, arguments),
    }
}

fn exactly<const N: usize>(
    function: Function,
    place: Place,
    arguments: &[Argument],
) -> Result<[&Expression; N], Refused> {
    let values: Vec<&Expression> = arguments.iter().map(|argument| &argument.value).collect();
    let found = values.len();
    values.try_into().map_err(|_| {
        let help = FUNCTIONS.iter().find(|(own, _, _)| *own == function).map_or("", |(_, _, help)| help);
        let form = help.split(": ").next().unwrap_or(help).to_owned();
        let wanted = if N == 1 { "one value".to_owned() } else { format!("{N} values") };
        (place, Kind::WrongCount { function: function.name().to_owned(), wanted, found, form })
    })
}

/// One number or range.
fn number<'a>(typing: &Typing<'_>, expression: &'a Expression) -> Result<&'a NumberType, Refused> {
    match &expression.kind {
        Type::Number(number) => Ok(number),
        Type::Several(_) => {
            let name = typing.scope.text(expression.place);
            let count = typing.scope.count_of(expression);
            Err((expression.place, Kind::ReadingsAsOne { mean: format!("mean({name})"), name, count }))
        }
        other => Err((expression.place, Kind::NoNumber { found: typing.describe(other) })),
    }
}

/// One number that is no range.
fn single<'a>(typing: &Typing<'_>, expression: &'a Expression) -> Result<&'a NumberType, Refused> {
    let number = number(typing, expression)?;
    match number.is_range() {
        true => Err((expression.place, Kind::RangeNotTaken { name: typing.scope.text(expression.place) })),
        false => Ok(number),
    }
}

/// Several numbers: a list of readings or a column.
fn several<'a>(typing: &Typing<'_>, expression: &'a Expression) -> Result<&'a NumberType, Refused> {
    match &expression.kind {
        Type::Several(each) => match each.as_ref() {
            Type::Number(number) if number.is_range() => {
                Err((expression.place, Kind::ColumnOfRanges { name: typing.scope.text(expression.place) }))
            }
            Type::Number(number) => Ok(number),
            other => Err((expression.place, Kind::NoNumber { found: typing.describe(other) })),
        },
        other => Err((expression.place, Kind::SeveralWanted { found: typing.describe(other) })),
    }
}

fn of_length(
    typing: &Typing<'_>,
    expression: &Expression,
    number: &NumberType,
    length: &Dimension,
    wanted: &str,
) -> Result<(), Refused> {
    match number.dimension == *length && !number.is_point {
        true => Ok(()),
        false => Err((
            expression.place,
            Kind::WrongDimension {
                wanted: wanted.to_owned(),
                name: typing.scope.text(expression.place),
                found: described(number, typing.scope.measures),
            },
        )),
    }
}

fn length() -> Dimension {
    Dimension::of(Base::Length, WHOLE)
}

/// Values of one type: all by commas, or one list or column.
fn statistics(
    typing: &mut Typing<'_>,
    place: Place,
    function: Function,
    arguments: &[Argument],
) -> Result<Type, Refused> {
    use Function::{Cv, Max, Median, Min, Sd, Spread, Sum};
    if arguments.is_empty() {
        return Err((place, Kind::NothingGiven { function: function.name().to_owned() }));
    }
    let takes_commas = !matches!(function, Sd | Cv | Spread | Median);
    if arguments.len() > 1 && !takes_commas {
        return Err((place, Kind::ListOnly { function: function.name().to_owned() }));
    }
    let is_list = arguments.len() == 1
        && matches!(arguments.first().map(|argument| &argument.value.kind), Some(Type::Several(_)));
    if is_list && let Some(kind) = dates(function, arguments) {
        return Ok(kind);
    }
    if !is_list
        && matches!(function, Min | Max)
        && arguments.iter().all(|argument| matches!(argument.value.kind, Type::Date { .. }))
    {
        let kind = arguments.first().map_or(Type::Unknown, |argument| argument.value.kind.clone());
        let is_mixed = arguments.iter().any(|argument| argument.value.kind != kind);
        return if is_mixed { Err((place, Kind::MixedDates)) } else { Ok(kind) };
    }
    let mut kinds = Vec::new();
    for argument in arguments {
        let kind = match is_list {
            true => several(typing, &argument.value)?,
            false if takes_commas => single(typing, &argument.value)?,
            false => several(typing, &argument.value)?,
        };
        kinds.push((&argument.value, kind.clone()));
    }
    let kind = same_all(typing, &kinds)?;
    if kind.is_point && matches!(function, Cv | Spread) {
        return Err((place, Kind::ShareOfPoint { instead: "sd(…)".to_owned() }));
    }
    if kind.is_point && function == Sum {
        return Err((place, Kind::PointsAdded));
    }
    if function == Function::Mean {
        note_unpaired(typing, arguments);
    }
    Ok(Type::Number(match function {
        // Of temperatures it is a difference; other units are as they were.
        Sd => NumberType { unit: algebra::difference_unit(&kind.unit), is_point: false, ..kind },
        Cv | Spread => NumberType { is_named: true, ..NumberType::plain() },
        _ => kind,
    }))
}

fn dates(function: Function, arguments: &[Argument]) -> Option<Type> {
    match (&arguments.first()?.value.kind, function) {
        (Type::Several(each), Function::Min | Function::Max) => match each.as_ref() {
            Type::Date { hour } => Some(Type::Date { hour: *hour }),
            _ => None,
        },
        _ => None,
    }
}

/// All values of one dimension, with the same labels.
fn same_all(typing: &Typing<'_>, kinds: &[(&Expression, NumberType)]) -> Result<NumberType, Refused> {
    let Some(((first, kind), others)) = kinds.split_first() else { return Ok(NumberType::plain()) };
    for (other, own) in others {
        let clash = match algebra::comparable(kind, own) {
            Ok(()) if kind.labels == own.labels => continue,
            Ok(()) => algebra::Clash::Labels,
            Err(clash) => clash,
        };
        return Err((other.place, typing.clash(clash, first, kind, other, own)));
    }
    let named = kinds.iter().find(|(_, kind)| kind.is_named);
    Ok(named.map_or_else(|| kind.clone(), |(_, kind)| kind.clone()))
}

/// Remembers bare means of lists: two of equal count in one formula draw a remark.
fn note_unpaired(typing: &mut Typing<'_>, arguments: &[Argument]) {
    let [argument] = arguments else { return };
    if let Does::Slot(_) = argument.value.does {
        let name = typing.scope.text(argument.value.place);
        let count = typing.scope.count_of(&argument.value);
        typing.remarks.push(Remark::UnpairedMeans(name, count));
    }
}

fn count(typing: &Typing<'_>, arguments: &[Argument], place: Place) -> Result<Type, Refused> {
    let list = arguments.iter().find(|argument| matches!(argument.value.kind, Type::Several(_)));
    match (arguments, list) {
        ([], _) => Err((place, Kind::NothingGiven { function: "count".to_owned() })),
        ([_, _, ..], Some(list)) => number(typing, &list.value).map(|_| Type::plain()),
        _ => Ok(Type::plain()),
    }
}

fn of_number(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    use Function::{Abs, Atan, Cos, Sin, Sqrt, Tan};
    let [value] = exactly::<1>(function, place, arguments)?;
    let takes_range = matches!(function, Sqrt | Function::Exp | Function::Ln | Atan);
    let kind = if takes_range { number(typing, value)? } else { single(typing, value)? };
    if kind.is_open() {
        return Err((value.place, Kind::OpenRange));
    }
    if kind.is_point {
        return Err((value.place, Kind::PointMultiplied));
    }
    match function {
        Sqrt => typing.raised(kind, 0.5, value.place).map(Type::Number).map_err(|kind| (place, kind)),
        Abs => Ok(value.kind.clone()),
        Sin | Cos | Tan => {
            if kind.dimension != Dimension::of(Base::Angle, WHOLE) {
                let name = typing.scope.text(value.place);
                return Err((
                    value.place,
                    Kind::AngleWanted {
                        function: function.name().to_owned(),
                        instead: match kind.dimension.is_plain() {
                            true => format!("{}({name} deg), or rad", function.name()),
                            false => String::new(),
                        },
                        name,
                        found: described(kind, typing.scope.measures),
                    },
                ));
            }
            Ok(Type::plain())
        }
        _ => {
            plain(typing, value, kind)?;
            let range = kind.range.clone();
            let base = if function == Atan { typing.scope.time_in("deg") } else { NumberType::plain() };
            Ok(Type::Number(NumberType { range, is_named: true, ..base }))
        }
    }
}

fn plain(typing: &Typing<'_>, value: &Expression, kind: &NumberType) -> Result<(), Refused> {
    match kind.dimension.is_plain() {
        true => Ok(()),
        false => {
            let name = typing.scope.text(value.place);
            Err((
                value.place,
                Kind::WrongDimension {
                    wanted: "a plain number".to_owned(),
                    name,
                    found: described(kind, typing.scope.measures),
                },
            ))
        }
    }
}

fn round(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    let [value, step] = exactly::<2>(function, place, arguments)?;
    let (kind, step_kind) = (number(typing, value)?, single(typing, step)?);
    if kind.is_open() {
        return Err((value.place, Kind::OpenRange));
    }
    if kind.dimension != step_kind.dimension {
        let name = typing.scope.text(step.place);
        return Err((
            step.place,
            Kind::WrongDimension {
                wanted: format!("a step of {}", described(kind, typing.scope.measures)),
                name,
                found: described(step_kind, typing.scope.measures),
            },
        ));
    }
    Ok(value.kind.clone())
}

fn of_range(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    let [value] = exactly::<1>(function, place, arguments)?;
    let kind = number(typing, value)?;
    let Some(range) = &kind.range else {
        return Err((
            value.place,
            Kind::NoRange { name: typing.scope.text(value.place), found: described(kind, typing.scope.measures) },
        ));
    };
    let (has_low, has_high) = (range.has_low, range.has_high);
    let has_end = match function {
        Function::Low => has_low,
        Function::High => has_high,
        _ => has_low && has_high,
    };
    match has_end {
        true => Ok(Type::Number(kind.single())),
        false => Err((
            value.place,
            Kind::EndMissing {
                name: typing.scope.text(value.place),
                end: if has_low { "upper" } else { "lower" }.to_owned(),
            },
        )),
    }
}

fn of_value(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    use Function::{Amount, GiveOrTake, Shown, StandardUncertainty};
    let [value] = exactly::<1>(function, place, arguments)?;
    if function == Shown && !matches!(value.does, Does::Slot(_) | Does::Cell(_)) {
        return Err((value.place, Kind::ShownOfFormula));
    }
    let kind = if matches!(function, Amount | Shown) { number(typing, value)? } else { single(typing, value)? };
    Ok(match function {
        Amount => Type::Number(NumberType { labels: Labels::none(), share: None, ..kind.clone() }),
        Shown => value.kind.clone(),
        // Of a temperature it is a difference; other units are as they were.
        GiveOrTake | StandardUncertainty => {
            Type::Number(NumberType { unit: algebra::difference_unit(&kind.unit), is_point: false, ..kind.clone() })
        }
        _ => Type::plain(),
    })
}

/// Areas of beds from lengths.
fn shape(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    use Function::{Circle, CircleAround, Ellipse, Quadrilateral};
    let values: Vec<&Expression> = match function {
        Circle | CircleAround => exactly::<1>(function, place, arguments)?.to_vec(),
        Ellipse => exactly::<2>(function, place, arguments)?.to_vec(),
        Quadrilateral => exactly::<5>(function, place, arguments)?.to_vec(),
        _ => exactly::<3>(function, place, arguments)?.to_vec(),
    };
    let mut kinds = Vec::new();
    for value in values {
        let kind = single(typing, value)?;
        of_length(typing, value, kind, &length(), "a length")?;
        kinds.push(kind);
    }
    Ok(kinds.first().map_or(Type::Unknown, |first| area_of(first)))
}

/// The type of an area of lengths, in the square of the first one's unit.
fn area_of(first: &NumberType) -> Type {
    let plain = NumberType { labels: Labels::none(), ..first.clone() };
    algebra::power(&plain, 2 * WHOLE).map_or(Type::Unknown, Type::Number)
}

fn offsets(typing: &Typing<'_>, place: Place, arguments: &[Argument]) -> Result<Type, Refused> {
    let [widths, spacing] = exactly::<2>(Function::Offsets, place, arguments)?;
    let kind = several(typing, widths)?;
    of_length(typing, widths, kind, &length(), "lengths")?;
    of_length(typing, spacing, single(typing, spacing)?, &length(), "a length")?;
    Ok(area_of(kind))
}

fn polygon(typing: &Typing<'_>, place: Place, arguments: &[Argument]) -> Result<Type, Refused> {
    let [xs, ys] = exactly::<2>(Function::Polygon, place, arguments)?;
    let kind = several(typing, xs)?;
    of_length(typing, xs, kind, &length(), "lengths")?;
    of_length(typing, ys, several(typing, ys)?, &length(), "lengths")?;
    Ok(area_of(kind))
}

fn interpolate(typing: &Typing<'_>, place: Place, arguments: &[Argument]) -> Result<Type, Refused> {
    let [x, xs, ys] = exactly::<3>(Function::Interpolate, place, arguments)?;
    let (kind, along, up) = (single(typing, x)?, several(typing, xs)?, several(typing, ys)?);
    match algebra::comparable(kind, along) {
        Ok(()) => Ok(Type::Number(up.clone())),
        Err(clash) => Err((x.place, typing.clash(clash, x, kind, xs, along))),
    }
}

fn pick(typing: &Typing<'_>, place: Place, arguments: &[Argument]) -> Result<Type, Refused> {
    let [column, label] = exactly::<2>(Function::Pick, place, arguments)?;
    if !matches!(label.kind, Type::Text) {
        return Err((label.place, Kind::LabelWanted { found: typing.describe(&label.kind) }));
    }
    match (&column.does, &column.kind) {
        (Does::Column(..), Type::Several(each)) => Ok(each.as_ref().clone()),
        (_, other) => Err((column.place, Kind::ColumnWanted { found: typing.describe(other) })),
    }
}

fn swath(typing: &Typing<'_>, place: Place, function: Function, arguments: &[Argument]) -> Result<Type, Refused> {
    let [catches, spacing, third, style] = exactly::<4>(function, place, arguments)?;
    several(typing, catches)?;
    let kind = single(typing, spacing)?;
    of_length(typing, spacing, kind, &length(), "a length")?;
    if !matches!(style.kind, Type::Text) {
        return Err((style.place, Kind::StyleWanted { found: typing.scope.text(style.place) }));
    }
    let third_kind = single(typing, third)?;
    if function == Function::SwathCv {
        of_length(typing, third, third_kind, &length(), "a length")?;
        return Ok(Type::Number(NumberType { is_named: true, ..NumberType::plain() }));
    }
    plain(typing, third, third_kind)?;
    Ok(Type::Number(NumberType { labels: Labels::none(), ..kind.clone() }))
}

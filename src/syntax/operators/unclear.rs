//! Rows of operands and operators that have two readings, by their spacing or by what stands beside each other. It
//! builds no tree.

use super::{Infix, Token, token_place};
use crate::syntax::parse::{Read, Reader};
use crate::syntax::tree::{Formula, FormulaKind, Operator, Relation};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};

/// `w between 2 ft and 4 ft`, `w is between 2 and 4 ft`: `within … to …` says it.
pub(super) fn check_between(reader: &Reader<'_>, row: &[Token]) -> Read<()> {
    for (index, pair) in row.windows(3).enumerate() {
        let [Token::Operand(Formula { place, kind: FormulaKind::Name(name) }), Token::Infix(Infix::And, _), upper] =
            pair
        else {
            continue;
        };
        let (start, value, lower) = match name.written.split_once("between ") {
            Some(("", lower)) => match index.checked_sub(2).and_then(|before| row.get(before..index)) {
                Some([value, Token::Infix(Infix::Relation(Relation::Is), _)]) => {
                    (token_place(value), reader.text(token_place(value)), lower)
                }
                _ => continue,
            },
            Some((value, lower)) if value.ends_with(' ') => (*place, value.trim_end(), lower),
            _ => continue,
        };
        let upper = token_place(upper);
        let instead = format!("`{value} within {lower} to {}`", reader.text(upper));
        let kind = Kind::ComparisonWord { found: "between … and …".to_owned(), instead };
        return Err(Trouble::new(start.to(upper), kind));
    }
    Ok(())
}

/// Refuses rows whose spacing or neighbours leave two readings.
pub(super) fn check_spacing(reader: &Reader<'_>, row: &[Token]) -> Read<()> {
    for (index, token) in row.iter().enumerate() {
        let Token::Infix(Infix::Arithmetic(operator), place) = token else { continue };
        let left = index.checked_sub(1).and_then(|before| row.get(before));
        let (Some(Token::Operand(left)), Some(right)) = (left, row.get(index + 1)) else { continue };
        let right_place = token_place(right);
        let whole = left.place.to(right_place);
        let sides = Sides { text: reader.text(whole), left: reader.text(left.place), right: reader.text(right_place) };
        let spaced = (left.place.end < place.start, place.end < right_place.start);
        let refused = match operator {
            Operator::Minus => unspaced_minus(&sides, spaced).map(|kind| (whole, kind)),
            Operator::Over => unclear_division(&sides, spaced, left, right).map(|kind| (whole, kind)),
            Operator::Power => unclear_power(&sides, left, right)
                .map(|kind| (whole, kind))
                .or_else(|| unclear_before(reader, row.get(..index.saturating_sub(1)).unwrap_or(&[]), whole)),
            _ => None,
        };
        if let Some((place, kind)) = refused {
            return Err(Trouble::new(place, kind));
        }
    }
    Ok(())
}

struct Sides<'a> {
    text: &'a str,
    left: &'a str,
    right: &'a str,
}

/// `a-1`, `3 -x`: an unspaced minus beside a digit.
fn unspaced_minus(sides: &Sides<'_>, (before, after): (bool, bool)) -> Option<Kind> {
    let digit_left = !before && sides.left.ends_with(|character: char| character.is_ascii_digit());
    let digit_right = !after && sides.right.starts_with(|character: char| character.is_ascii_digit());
    (digit_left || digit_right).then(|| Kind::UnspacedMinus {
        text: sides.text.to_owned(),
        spaced: format!("{} - {}", sides.left, sides.right),
    })
}

fn unclear_division(sides: &Sides<'_>, (before, after): (bool, bool), left: &Formula, right: &Token) -> Option<Kind> {
    let Token::Operand(Formula { kind: FormulaKind::Amount(_), .. }) = right else { return None };
    if sides.right.starts_with('(') {
        return None;
    }
    if sides.right.split_whitespace().next().is_some_and(is_fraction) {
        return Some(Kind::DivisionByFraction {
            text: sides.text.to_owned(),
            bracketed: format!("{} / ({})", sides.left, sides.right),
            chained: format!("{} / {}", sides.left, sides.right.replacen(['/', '⁄'], " / ", 1)),
        });
    }
    let unspaced = !before && !after;
    let name_with_number = matches!(left.kind, FormulaKind::Name(_) | FormulaKind::Member(..))
        && sides.left.ends_with(|character: char| character.is_ascii_digit());
    if unspaced && name_with_number {
        let (name, digits) = sides.left.rsplit_once(' ').unwrap_or((sides.left, ""));
        return Some(Kind::NameBesideFraction {
            text: sides.text.to_owned(),
            times: format!("{name} * {digits}/{}", sides.right),
            divided: format!("{} / {}", sides.left, sides.right),
        });
    }
    let amount_with_unit = !sides.left.starts_with('(')
        && matches!(&left.kind, FormulaKind::Amount(amount) if amount.parts.iter().any(|part| part.unit.is_some()));
    (unspaced && amount_with_unit).then(|| Kind::UnspacedDivision {
        text: sides.text.to_owned(),
        spaced: format!("{} / {}", sides.left, sides.right),
    })
}

fn is_fraction(numeral: &str) -> bool {
    numeral.split_once(['/', '⁄']).is_some_and(|(above, below)| {
        above.ends_with(|character: char| character.is_ascii_digit())
            && below.starts_with(|character: char| character.is_ascii_digit())
    })
}

/// `2 ft ^ 2`, `1/2^2`, `2^1/2`
fn unclear_power(sides: &Sides<'_>, left: &Formula, right: &Token) -> Option<Kind> {
    let unclear =
        |first: String, second: String| Some(Kind::UnclearPower { text: sides.text.to_owned(), first, second });
    if let Some((above, below)) = sides.right.split_once('/').filter(|_| is_fraction(sides.right))
        && !sides.right.starts_with('(')
        && matches!(right, Token::Operand(Formula { kind: FormulaKind::Amount(_), .. }))
    {
        return unclear(format!("{}^({})", sides.left, sides.right), format!("({}^{above}) / {below}", sides.left));
    }
    let FormulaKind::Amount(amount) = &left.kind else { return None };
    let part = amount.parts.first().filter(|_| !sides.left.starts_with('('))?;
    let power = format!("({})^{}", sides.left, sides.right);
    if part.unit.is_some() || amount.parts.len() > 1 {
        return unclear(power, format!("{}^{}", sides.left, sides.right));
    }
    part.number.and_then(|number| number.denominator)?;
    match sides.left.split_once('/') {
        Some((above, below)) => unclear(power, format!("{above} / ({below}^{})", sides.right)),
        None => None,
    }
}

/// `-2^2`, `2^3^2`: what stands before a power.
fn unclear_before(reader: &Reader<'_>, before: &[Token], power: Place) -> Option<(Place, Kind)> {
    let own = reader.text(power);
    let (base, exponent) = own.split_once('^')?;
    let (base, exponent) = (base.trim(), exponent.trim());
    let (place, first, second) = match before {
        [.., Token::Minus(place)] => (*place, format!("-({base}^{exponent})"), format!("(-{base})^{exponent}")),
        [.., Token::Operand(root), Token::Infix(Infix::Arithmetic(Operator::Power), _)] => {
            let root_text = reader.text(root.place);
            (root.place, format!("({root_text}^{base})^{exponent}"), format!("{root_text}^({base}^{exponent})"))
        }
        _ => return None,
    };
    let whole = place.to(power);
    Some((whole, Kind::UnclearPower { text: reader.text(whole).to_owned(), first, second }))
}

//! Numbers as other programs read them: with fifteen significant digits at the most, which is what a number has for
//! sure, so that 60.00000000000001 is 60. It knows no report.

use super::figures::fifteen;

/// Powers of ten, all of them exact.
const TENS: [f64; 23] = [
    1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15, 1e16, 1e17, 1e18, 1e19, 1e20,
    1e21, 1e22,
];

/// Whole numbers of fifteen digits are from the one to below the other.
const LEAST: u64 = 100_000_000_000_000;
const BEYOND: u64 = 1_000_000_000_000_000;

/// Puts a number behind what is written: `60.0`, `0.25`, `1.5e-7`.
pub fn push(out: &mut Vec<u8>, number: f64) {
    if number == 0.0 {
        return out.extend_from_slice(b"0.0");
    }
    match rounded(number.abs()) {
        Some((digits, point)) => {
            if number < 0.0 {
                out.push(b'-');
            }
            Figures::of(digits).push(out, point);
        }
        None => out.extend_from_slice(format!("{:?}", fifteen(number)).as_bytes()),
    }
}

/// The fifteen digits of a number as a whole number, and how many of them stand before the point. `None` for a tie, and
/// for what is so large or small that this would take longer arithmetic.
fn rounded(number: f64) -> Option<(u64, i32)> {
    if !(1e-7..1e15).contains(&number) {
        return None;
    }
    // How many digits stand before the point follows from the power of two but for one, which the number decides.
    let power = usize::try_from(number.to_bits() >> 52).ok()?.checked_sub(LEAST_POWER)?;
    let (least, next, scales) = SCALES.get(power)?;
    let is_next = number >= *next;
    let point = least + i32::from(is_next);
    let scale = if is_next { scales.1 } else { scales.0 };
    // The product and what its rounding left out are together exact.
    let product = number * scale;
    #[allow(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "it has sixteen digits at the most"
    )]
    let (whole, part) = (product as u64, product - (product as u64) as f64 + left_out(number, scale, product));
    let digits = whole + u64::from(part > 0.5);
    match digits {
        _ if part == 0.5 => None,
        LEAST..BEYOND => Some((digits, point)),
        BEYOND => Some((LEAST, point + 1)),
        _ => None,
    }
}

/// The power of two, as the number itself has it, from which on numbers are rounded here.
const LEAST_POWER: usize = 1023 - 24;

/// By power of two: how many digits stand before the point at least, the number from which on there is one more, and
/// what to multiply with either way to have fifteen.
const SCALES: [(i32, f64, (f64, f64)); 74] = {
    let mut scales = [(0, 0.0, (0.0, 0.0)); 74];
    let mut power = 0;
    while power < 74 {
        let least = (((power as i32 - 24) * 1233) >> 12) + 1;
        let ten = TENS[least.unsigned_abs() as usize];
        // No number that is rounded here has sixteen digits before the point.
        let (this, next) = ((15 - least) as usize, if least < 15 { (14 - least) as usize } else { 0 });
        scales[power] = (least, if least < 0 { 1.0 / ten } else { ten }, (TENS[this], TENS[next]));
        power += 1;
    }
    scales
};

/// What is missing from a rounded product, exactly (Dekker's product, by halves of 26 bits).
fn left_out(one: f64, other: f64, product: f64) -> f64 {
    let halves = |number: f64| {
        let high = number * 134_217_729.0;
        let high = high - (high - number);
        (high, number - high)
    };
    let ((high, low), (other_high, other_low)) = (halves(one), halves(other));
    ((high * other_high - product) + high * other_low + low * other_high) + low * other_low
}

/// Fifteen digits as they are written.
struct Figures {
    /// In ASCII, the first in the lowest byte; the highest is empty.
    ascii: u128,
    /// How many of them are more than zeros at the end.
    length: usize,
}

impl Figures {
    fn of(digits: u64) -> Self {
        const EIGHT: u64 = 100_000_000;
        let (high, low) = (eight(digits / EIGHT), eight(digits % EIGHT));
        // The first of the sixteen is 0.
        let figures = (u128::from(high) | u128::from(low) << 64) >> 8;
        let length = 16 - figures.leading_zeros() / 8;
        Self { ascii: figures | ZEROS, length: usize::try_from(length).unwrap_or_default() }
    }

    /// Puts them behind what is written, with their point, as the standard library does.
    fn push(&self, out: &mut Vec<u8>, point: i32) {
        match usize::try_from(point) {
            // One digit is left for behind the point.
            Ok(before @ 1..15) => self.push_with_point(out, before, (before + 1).max(self.length) + 1),
            Ok(0) | Err(_) if point >= -3 => {
                let zeros = usize::try_from(-point).unwrap_or_default();
                out.extend_from_slice(b"0.000".get(..2 + zeros).unwrap_or_default());
                let end = out.len() + self.length;
                out.extend_from_slice(&self.ascii.to_le_bytes());
                out.truncate(end);
            }
            Err(_) => {
                self.push_with_point(out, 1, if self.length == 1 { 1 } else { self.length + 1 });
                // What has a power of two digits is not rounded here.
                out.extend_from_slice(&[b'e', b'-', b'0' + u8::try_from(1 - point).unwrap_or_default()]);
            }
            Ok(_) => {
                out.extend_from_slice(self.ascii.to_le_bytes().get(..15).unwrap_or_default());
                out.extend_from_slice(if point == 15 { b".0" } else { b"0.0" });
            }
        }
    }

    /// So many of the digits, the point, and those after it, in so many bytes.
    fn push_with_point(&self, out: &mut Vec<u8>, before: usize, bytes: usize) {
        let (below, point) = POINTS.get(before).copied().unwrap_or_default();
        let (whole, part) = (self.ascii & below, self.ascii & !below);
        let end = out.len() + bytes;
        out.extend_from_slice(&(whole | point | part << 8).to_le_bytes());
        out.truncate(end);
    }
}

/// By the number of digits before the point: all bits of their bytes, and the point behind them.
const POINTS: [(u128, u128); 15] = {
    let mut points = [(0, 0); 15];
    let mut before = 0;
    while before < 15 {
        points[before] = ((1 << (8 * before)) - 1, (b'.' as u128) << (8 * before));
        before += 1;
    }
    points
};

/// `0` in each of fifteen bytes.
const ZEROS: u128 = 0x30_3030_3030_3030_3030_3030_3030_3030;

/// The eight digits of a number, one in each byte, the first in the lowest: halves, quarters and digits are taken apart
/// side by side in one word.
fn eight(number: u64) -> u64 {
    let halves = (number / 10_000) | (number % 10_000) << 32;
    let hundreds = ((halves * 10_486) >> 20) & 0x0000_007f_0000_007f;
    let quarters = hundreds | (halves - 100 * hundreds) << 16;
    let tens = ((quarters * 103) >> 10) & 0x000f_000f_000f_000f;
    tens | (quarters - 10 * tens) << 8
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn is_as_the_library_writes_it(number: f64) -> Result<(), TestCaseError> {
        let mut out = b"7,".to_vec();
        push(&mut out, number);
        let own = String::from_utf8_lossy(&out).into_owned();
        prop_assert_eq!(own, format!("7,{:?}", fifteen(number)));
        Ok(())
    }

    #[test]
    fn edges() -> Result<(), TestCaseError> {
        let edges = [
            0.0,
            -0.0,
            1.0,
            0.1,
            60.0,
            0.3,
            1e-4,
            9.99999999999999e-5,
            1e-7,
            1e15,
            999999999999999.5,
            1e16,
            1e22,
            1e23,
            0.1 + 0.2,
            123456789012345.5,
            123456789012344.5,
            0.5,
            2.5,
            99999999999999.95,
            1e-300,
            5e-324,
            f64::MAX,
            0.09999999999999999,
            0.010000000000000002,
            0.000999999999999999,
            1e14,
            99999999999999.99,
            f64::INFINITY,
        ];
        edges
            .into_iter()
            .flat_map(|edge| [edge, -edge, edge.next_up(), edge.next_down()])
            .try_for_each(is_as_the_library_writes_it)
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 4000, ..ProptestConfig::default() })]

        #[test]
        fn any_number(bits in any::<u64>()) {
            is_as_the_library_writes_it(f64::from_bits(bits))?;
        }

        #[test]
        fn numbers_of_a_worksheet(share in -1.0..1.0f64, power in -9..17i32, digits in 1..17usize) {
            let number = share * libm::pow(10.0, f64::from(power));
            is_as_the_library_writes_it(number)?;
            is_as_the_library_writes_it(format!("{number:.digits$e}").parse().unwrap_or(number))?;
        }

        #[test]
        fn ties_and_what_lies_beside_them(whole in LEAST / 10..BEYOND / 10, power in -20..6i32) {
            let tie = format!("{whole}.5e{power}").parse().unwrap_or(0.5);
            let numbers = [tie, f64::next_up(tie), f64::next_down(tie)];
            numbers.into_iter().try_for_each(is_as_the_library_writes_it)?;
        }
    }
}

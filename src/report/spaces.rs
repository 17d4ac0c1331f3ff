//! The spaces in figures: those at which no line may end, and those that put decimal marks in one line. It knows no
//! layout.

use compact_str::CompactString;
use unicode_width::{UnicodeWidthChar, UnicodeWidthStr};

/// The space at which no line ends.
pub const HELD: char = '\u{a0}';

/// Figures held together, so that a line may end between two readings and nowhere else.
pub fn held_together(figures: &str) -> CompactString {
    let mut parts = figures.split(' ');
    let mut held = CompactString::default();
    held.push_str(parts.next().unwrap_or_default());
    for part in parts {
        held.push(if held.ends_with(',') { ' ' } else { HELD });
        held.push_str(part);
    }
    held
}

/// Words with the numbers among them held together: `1 1/2`, `28 ± 1`, `10 %`.
pub fn with_whole_numbers(text: CompactString) -> CompactString {
    let mut whole = CompactString::default();
    let mut start = 0;
    for space in memchr::memchr_iter(b' ', text.as_bytes()).filter(|space| is_in_number(text.split_at(*space))) {
        whole.push_str(text.get(start..space).unwrap_or_default());
        whole.push(HELD);
        start = space + 1;
    }
    if start == 0 { text } else { whole + text.get(start..).unwrap_or_default() }
}

/// Whether the space between words, with which the second part begins, stands in a number.
fn is_in_number((before, after): (&str, &str)) -> bool {
    let after = after.strip_prefix(' ').unwrap_or(after);
    let number = before.ends_with(|last: char| last.is_ascii_digit());
    let goes_on = after.starts_with(|next: char| next.is_ascii_digit() || matches!(next, '±' | '%'));
    let is_sign = before.ends_with('±') || before.ends_with("+/-");
    is_sign || (number && (goes_on || after.starts_with("+/-")))
}

/// Words with a space in those that are wider than the room: after the last sign in them that ends a part, such as the
/// `/` of a path or the `.` of `calibration.walk`, or else where the room ends.
pub fn broken(words: &str, room: usize) -> String {
    // No letter is wider than its bytes are many, and hardly a word is so long.
    if words.split(' ').all(|word| word.len() <= room) {
        return words.to_owned();
    }
    let mut broken = String::with_capacity(words.len());
    for word in words.split(' ') {
        let (mut part, mut width) = (String::new(), 0);
        for letter in word.chars() {
            let own = letter.width().unwrap_or(0);
            if width + own > room && !part.is_empty() {
                let cut = part.rfind(['/', '.', '-', '_']).map_or(part.len(), |sign| sign + 1);
                let rest = part.split_off(cut);
                broken.push_str(&part);
                broken.push(' ');
                (width, part) = (rest.width(), rest);
            }
            part.push(letter);
            width += own;
        }
        broken.push_str(&part);
        broken.push(' ');
    }
    broken.pop();
    broken
}

/// Figures with spaces before them, so that their decimal marks stand in one line; fractions stand where decimals do,
/// lists and words at the left.
pub fn aligned(figures: &[impl AsRef<str>]) -> Vec<CompactString> {
    let wholes: Vec<Option<&str>> = figures.iter().map(|figure| whole(figure.as_ref())).collect();
    let widest = wholes.iter().flatten().map(|whole| whole.len()).max().unwrap_or(0);
    let spaces = |figure: &str, whole: Option<&str>| match whole {
        None => 0,
        // A bare fraction stands behind the place of the whole number and the space after it, or the minus there.
        Some("") if widest > 0 && !figure.starts_with(['-', '.']) => widest + 1,
        Some(whole) => widest - whole.len(),
    };
    let align = |(figure, whole): (&str, Option<&str>)| {
        let mut aligned = CompactString::default();
        aligned.extend(std::iter::repeat_n(' ', spaces(figure, whole)));
        aligned + figure
    };
    figures.iter().map(AsRef::as_ref).zip(wholes).map(align).collect()
}

/// The whole number that a figure begins with, sign and all; of a bare fraction nothing; of words none.
fn whole(figure: &str) -> Option<&str> {
    if figure.contains(", ") {
        return None;
    }
    let is_digit = |letter: char| letter.is_ascii_digit();
    let unsigned = figure.strip_prefix('-').unwrap_or(figure);
    let rest = unsigned.trim_start_matches(is_digit);
    match figure.strip_suffix(rest)? {
        "" | "-" if rest.starts_with('.') => Some(""),
        "" | "-" => None,
        _ if rest.starts_with('/') => Some(""),
        whole => Some(whole),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use insta::assert_snapshot;

    #[test]
    fn decimal_marks_stand_in_one_line() {
        let figures = [
            "12.5",
            "9 1/4",
            "3/4",
            "-3/4",
            "100",
            "0.530",
            ".5",
            "-2 1/2",
            "1 to 1 1/2",
            "waiting",
            "1.5e-7",
            "9.5, 12",
        ];
        assert_snapshot!(aligned(&figures).join("|\n"), @r"
         12.5|
          9 1/4|
            3/4|
           -3/4|
        100|
          0.530|
           .5|
         -2 1/2|
          1 to 1 1/2|
        waiting|
          1.5e-7|
        9.5, 12
        ");
        assert_snapshot!(aligned(&["3/4", "1/2"]).join("|\n"), @r"
        3/4|
        1/2
        ");
    }

    #[test]
    fn numbers_stay_whole() {
        let shown = |words: &str| with_whole_numbers(words.into()).replace(HELD, "_");
        assert_snapshot!(shown("28 ± 1 1/2 in within 10 % of 30 in"), @"28_±_1_1/2 in within 10_% of 30 in");
        assert_snapshot!(held_together("9 1/2, 9 1/4").replace(HELD, "_"), @"9_1/2, 9_1/4");
    }

    #[test]
    fn a_word_wider_than_the_room_is_broken_where_a_part_of_it_ends() {
        assert_snapshot!(broken("calibration.spray volume", 14), @"calibration. spray volume");
        assert_snapshot!(broken("../calibration/green-1-wren-strip.worksheet", 16), @"../calibration/ green-1-wren- strip.worksheet");
        assert_snapshot!(broken("ééééééé a 日本語 b-c", 3), @"ééé ééé é a 日 本 語 b-c");
        assert_eq!(broken("fits  as it is", 4), "fits  as it is");
        assert_eq!(broken("", 4), "");
    }
}

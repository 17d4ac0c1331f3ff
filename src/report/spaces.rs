//! The spaces in figures: those at which no line may end, and those that put decimal marks in one line. It knows no
//! layout.

/// The space at which no line ends.
pub const HELD: char = '\u{a0}';

/// The longest run of letters that is given to a table in one piece; wrapping takes much too long over longer ones.
const LONGEST_RUN: usize = 1000;

/// Figures held together, so that a line may end between two readings and nowhere else.
pub fn held_together(figures: &str) -> String {
    figures.replace(' ', "\u{a0}").replace(",\u{a0}", ", ")
}

/// Words with the numbers among them held together: `1 1/2`, `28 ± 1`, `10 %`.
pub fn with_whole_numbers(text: &str) -> String {
    let mut held = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(' ') {
        held.push_str(before);
        let number = before.ends_with(|last: char| last.is_ascii_digit());
        let goes_on = after.starts_with(|next: char| next.is_ascii_digit() || matches!(next, '±' | '%'));
        let is_sign = before.ends_with('±') || before.ends_with("+/-");
        held.push(if is_sign || (number && (goes_on || after.starts_with("+/-"))) { HELD } else { ' ' });
        rest = after;
    }
    held + rest
}

/// Words with a space in runs so long that no terminal has room for them.
pub fn with_short_runs(words: String) -> String {
    if words.split(' ').all(|run| run.len() <= LONGEST_RUN) {
        return words;
    }
    let mut length = 0;
    let broken = words.chars().flat_map(|letter| {
        length = if letter == ' ' { 0 } else { length + 1 };
        std::iter::repeat_n(' ', usize::from(length > 0 && length % LONGEST_RUN == 0)).chain([letter])
    });
    broken.collect()
}

/// Figures with spaces before them, so that their decimal marks stand in one line; fractions stand where decimals do,
/// lists and words at the left.
pub fn aligned(figures: &[String]) -> Vec<String> {
    let widest = figures.iter().map(|figure| whole(figure).map_or(0, str::len)).max().unwrap_or(0);
    let align = |figure: &String| match whole(figure) {
        None => figure.clone(),
        // A bare fraction stands behind the place of the whole number and the space after it, or the minus there.
        Some("") if widest > 0 && !figure.starts_with(['-', '.']) => format!("{:1$}{figure}", "", widest + 1),
        Some(whole) => format!("{:1$}{figure}", "", widest - whole.len()),
    };
    figures.iter().map(align).collect()
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

    fn owned(words: &[&str]) -> Vec<String> {
        words.iter().map(|word| (*word).to_owned()).collect()
    }

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
        assert_snapshot!(aligned(&owned(&figures)).join("|\n"), @r"
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
        assert_snapshot!(aligned(&owned(&["3/4", "1/2"])).join("|\n"), @r"
        3/4|
        1/2
        ");
    }

    #[test]
    fn numbers_stay_whole() {
        let shown = |words: &str| with_whole_numbers(words).replace(HELD, "_");
        assert_snapshot!(shown("28 ± 1 1/2 in within 10 % of 30 in"), @"28_±_1_1/2 in within 10_% of 30 in");
        assert_snapshot!(held_together("9 1/2, 9 1/4").replace(HELD, "_"), @"9_1/2, 9_1/4");
    }

    #[test]
    fn a_run_without_end_is_broken() {
        let broken = with_short_runs("é".repeat(2500) + " short");
        assert_eq!(broken.split(' ').map(|run| run.chars().count()).collect::<Vec<_>>(), [999, 1000, 501, 5]);
    }
}

//! Words with one space between them.

/// The words of a text with one space between them and none around, whatever white space parted them.
pub fn single_spaced(text: &str) -> String {
    // Most texts are so already.
    if is_single_spaced(text) {
        return text.to_owned();
    }
    let mut spaced = String::with_capacity(text.len());
    for word in text.split_whitespace() {
        if !spaced.is_empty() {
            spaced.push(' ');
        }
        spaced.push_str(word);
    }
    spaced
}

fn is_single_spaced(text: &str) -> bool {
    let mut before = ' ';
    let fits = |letter: char| {
        let before = std::mem::replace(&mut before, letter);
        !letter.is_whitespace() || letter == ' ' && before != ' '
    };
    text.chars().all(fits) && before != ' '
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, ..ProptestConfig::default() })]

        #[test]
        fn each_word_once_with_one_space_before_the_next(text in "[ab é\t\n\u{a0}\u{2003}]{0,9}") {
            prop_assert_eq!(single_spaced(&text), text.split_whitespace().collect::<Vec<_>>().join(" "));
        }
    }
}

//! A worksheet written otherwise comes to the same: in other units, in another order, under another label, twice.

use crate::compare::{What, differences};
use crate::sheets::Draft;
use crate::tape::tapes;
use crate::{config, shipped, worked};
use catchwork::report::Report;
use proptest::prelude::*;

proptest! {
    #![proptest_config(config(400))]

    #[test]
    fn the_unit_an_entry_is_written_in_changes_no_value(mut tape in tapes(400)) {
        let draft = Draft::made(&mut tape);
        let other = draft.in_other_units(&mut tape);
        let (one, two) = (draft.text(), other.text());
        let differences = differences(&worked(&one), &worked(&two), What::Worked);
        prop_assert!(differences.is_empty(), "{one}\n--- became ---\n{two}\n{differences:#?}");
    }

    #[test]
    fn a_made_sheet_worked_twice_gives_the_same_bytes(mut tape in tapes(400)) {
        let text = Draft::made(&mut tape).text();
        prop_assert_eq!(printed(&text), printed(&text), "{}", text);
    }

    #[test]
    fn the_order_of_lines_changes_nothing(mut tape in tapes(400)) {
        let draft = Draft::made(&mut tape);
        let other = draft.shuffled(&mut tape);
        let (one, two) = (draft.text(), other.text());
        let differences = differences(&worked(&one), &worked(&two), What::Everything);
        prop_assert!(differences.is_empty(), "{one}\n--- became ---\n{two}\n{differences:#?}");
    }
}

/// Laws about sheets that are all refused would say nothing.
#[test]
fn most_generated_sheets_are_sound() {
    use proptest::strategy::ValueTree;
    use proptest::test_runner::TestRunner;
    let mut runner = TestRunner::new(config(1));
    let mut sound = 0;
    let mut kinds = std::collections::BTreeMap::new();
    for _ in 0..300 {
        let mut tape = tapes(400).new_tree(&mut runner).unwrap_or_else(|error| panic!("{error}")).current();
        let text = Draft::made(&mut tape).text();
        let report = worked(&text);
        sound += usize::from(report.troubles.is_empty());
        for trouble in &report.troubles {
            *kinds.entry(trouble.kind.clone()).or_insert(0) += 1;
            eprintln!("{}", trouble.display);
        }
    }
    eprintln!("{kinds:?}");
    assert!(sound >= 200, "{sound} of 300");
}

/// Another word for a substance, which stands nowhere else: no name is spelled with it, and no unit.
const LABELS: [(&str, &str); 4] =
    [("concentrate", "zyxite"), ("product", "zyxite"), ("mix", "zyxite"), ("fertilizer", "zyxite")];

#[test]
fn relabelling_a_substance_everywhere_changes_nothing_but_the_label() {
    let mut relabelled = 0;
    for (path, text) in shipped::sheets() {
        let plain = printed(&text);
        for (word, other) in LABELS.iter().filter(|(word, _)| text.contains(&format!(" of {word}"))) {
            let changed = printed(&text.replace(word, other));
            assert_eq!(without_fingerprint(&plain.replace(word, other)), without_fingerprint(&changed), "{path}");
            relabelled += 1;
        }
    }
    assert!(relabelled > 40, "only {relabelled} substances");
}

#[test]
fn working_twice_gives_the_same_bytes() {
    for (path, text) in shipped::sheets() {
        assert_eq!(printed(&text), printed(&text), "{path}");
    }
}

/// The report, the line aside that every report has.
fn printed(text: &str) -> String {
    let report = Report { notice: String::new(), ..worked(text) };
    catchwork::report::json::line(&report).unwrap_or_else(|error| panic!("{error}"))
}

fn without_fingerprint(printed: &str) -> String {
    let (before, after) = printed.split_once("\"fingerprint\":\"").unwrap_or_default();
    format!("{before}{}", after.get(8..).unwrap_or_default())
}

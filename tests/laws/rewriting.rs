//! A worksheet written otherwise comes to the same: in other units, in another order, under another label, twice.

use crate::compare::{What, differences};
use crate::sheets::Draft;
use crate::tape::tapes;
use crate::{config, worked};
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
#[test]
fn dump() {
    use proptest::strategy::ValueTree;
    let mut runner = proptest::test_runner::TestRunner::new(config(1));
    for _ in 0..6 {
        let mut tape = tapes(400).new_tree(&mut runner).unwrap_or_else(|error| panic!("{error}")).current();
        eprintln!("=====\n{}", Draft::made(&mut tape).text());
    }
}

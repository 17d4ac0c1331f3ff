//! A worksheet written otherwise comes to the same: in other units, in another order, under another label, twice.

use crate::compare::{What, differences};
use crate::sheets::Draft;
use crate::tape::tapes;
use crate::{config, request, shipped, worked};
use catchwork::report::Report;
use catchwork::{Request, work};
use proptest::prelude::*;
use std::process::Command;

proptest! {
    #![proptest_config(config(250))]

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
    fn a_name_in_a_formula_is_what_it_stands_for(mut tape in tapes(400)) {
        let draft = Draft::made(&mut tape);
        let (one, two) = (draft.text(), draft.spelled_out().text());
        let report = worked(&one);
        // What a name shows is not what it stands for.
        prop_assume!(!one.contains("shown("));
        // A result in trouble is told once; what names it waits, and spelled out has the same trouble.
        prop_assume!(report.troubles.is_empty());
        let differences = differences(&report, &worked(&two), What::Numbers);
        prop_assert!(differences.is_empty(), "{one}\n--- became ---\n{two}\n{differences:#?}");
    }

    #[test]
    fn what_is_set_for_a_run_is_as_if_written(mut tape in tapes(400)) {
        let draft = Draft::made(&mut tape);
        let Some((other, setting)) = draft.measured_again(&mut tape) else { return Ok(()) };
        let (one, two) = (draft.text(), other.text());
        let set = work("law.worksheet", one.as_bytes().to_vec(), &Request { set: vec![setting.clone()], ..request() });
        let differences = differences(&worked(&two), &set, What::Worked);
        prop_assert!(differences.is_empty(), "{one}\n--- set {setting} ---\n{two}\n{differences:#?}");
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
    let mut made = || tapes(400).new_tree(&mut runner).unwrap_or_else(|error| panic!("{error}")).current();
    let reports = (0..200).map(|_| worked(&Draft::made(&mut made()).text()));
    let sound = reports.filter(|report| report.troubles.is_empty()).count();
    assert!(sound >= 180, "{sound} of 200");
}

/// Another word for a substance, which stands nowhere else: no name is spelled with it, and no unit.
const LABELS: [(&str, &str); 4] =
    [("concentrate", "zyxite"), ("product", "zyxite"), ("mix", "zyxite"), ("fertilizer", "zyxite")];

#[test]
fn relabelling_a_substance_everywhere_changes_nothing_but_the_label() {
    let mut relabelled = 0;
    // The substances of a sheet that fills a template stand in the template too.
    for (path, text) in shipped::sheets().into_iter().filter(|(_, text)| !text.starts_with("from ")) {
        let plain = printed(&text);
        for (word, other) in LABELS.iter().filter(|(word, _)| text.contains(&format!(" of {word}"))) {
            let changed = printed(&text.replace(word, other));
            assert_eq!(without_fingerprint(&plain.replace(word, other)), without_fingerprint(&changed), "{path}");
            relabelled += 1;
        }
    }
    assert!(relabelled > 40, "only {relabelled} substances");
}

/// `\r\n` ends a line as `\n` does, and a byte order mark is no text: not even the fingerprint changes.
#[test]
fn line_ends_and_a_byte_order_mark_change_nothing() {
    for (path, text) in shipped::sheets() {
        let plain = printed(&text);
        assert_eq!(plain, printed(&text.replace('\n', "\r\n")), "{path}");
        assert_eq!(plain, printed(&format!("\u{feff}{text}")), "{path}");
    }
}

/// Two runs of the program share no memory, and so no order that memory might lend them.
#[test]
fn working_everything_that_ships_twice_gives_the_same_bytes() {
    let run = || {
        let mut command = Command::new(env!("CARGO_BIN_EXE_catchwork"));
        let command =
            command.current_dir(env!("CARGO_MANIFEST_DIR")).args(["results", "worksheets", "tests/published"]);
        let output = command.args(["--as", "json", "--today", "2026-04-12"]).output();
        output.unwrap_or_else(|error| panic!("{error}"))
    };
    let (one, other) = (run(), run());
    assert!(one.stdout.len() > 100_000, "{}", String::from_utf8_lossy(&one.stderr));
    assert!(one.stdout == other.stdout && one.stderr == other.stderr && one.status == other.status);
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

//! Sheets kept before and after, for people to read: `kept/NAME.before.worksheet`, `kept/NAME.after.worksheet`.

use crate::laid_out;
use std::path::Path;

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/format/kept");

fn holds(name: &str) {
    let path = |when: &str| Path::new(FOLDER).join(format!("{name}.{when}.worksheet"));
    let before = std::fs::read_to_string(path("before")).unwrap();
    let found = laid_out(&before).unwrap_or_else(|| panic!("{name} cannot be laid out"));
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(path("after"), &found).unwrap();
    }
    let after = std::fs::read_to_string(path("after")).unwrap();
    assert_eq!(found, after, "{name} came out as\n{found}");
}

#[test]
fn signs_stand_under_each_other() {
    holds("signs");
}

#[test]
fn brackets_and_remarks_stand_under_each_other() {
    holds("brackets");
}

#[test]
fn tables_have_their_bars_under_each_other() {
    holds("tables");
}

#[test]
fn spaces_inside_a_line() {
    holds("spaces");
}

#[test]
fn words_stay_as_they_are_written() {
    holds("words");
}

#[test]
fn continued_lines_stay_broken() {
    holds("continued");
}

#[test]
fn empty_lines() {
    holds("empty-lines");
}

#[test]
fn line_ends_are_of_one_kind() {
    assert_eq!(laid_out("a:1\r\nb :  2\r\n").as_deref(), Some("a : 1\r\nb : 2\r\n"));
    assert_eq!(laid_out("a:1\r\nb :  2\n").as_deref(), Some("a : 1\nb : 2\n"));
    assert_eq!(laid_out("a:1\r\n\tft").as_deref(), Some("a : 1\r\n    ft\r\n"));
    assert_eq!(laid_out("\u{feff}a:1").as_deref(), Some("a : 1\n"));
    assert_eq!(laid_out(" \n\n").as_deref(), Some(""));
    assert_eq!(laid_out("").as_deref(), Some(""));
}

#[test]
fn what_cannot_be_read_is_not_laid_out() {
    for text in ["a:", "a : 1\n? b", "| a | b\n", "| a | b : |\n", "  a : 1", "a : 1\n\n  ft", "# a\n# b"] {
        assert_eq!(laid_out(text), None, "{text}");
    }
}

/// Padding could make a small file a huge one: what is wider than most stands out instead.
#[test]
fn a_long_cell_does_not_widen_its_column() {
    let long = "word ".repeat(50_000);
    let mut text = format!("| beds | what : text |\n| one | {long} |\n");
    (0..20_000).for_each(|row| text += &format!("| row {row} | a |\n"));
    let laid = laid_out(&text).unwrap();
    assert!(laid.len() < 2 * text.len(), "{} bytes became {}", text.len(), laid.len());
}

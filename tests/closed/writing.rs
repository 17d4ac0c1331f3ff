//! Attempts to have a file written that nobody asked for: through links, over what is read, by way of other programs.

use crate::desk::{Desk, said};
use std::fs;
use std::os::unix::fs::symlink;

pub const TESTS: [(&str, fn()); 10] = [
    ("a card does not take the place of what a link leads to", a_card_over_a_link),
    ("a card does not take the place of what it is made from, however that is spelt", a_card_over_its_worksheet),
    ("a card through a link that leads nowhere makes nothing there", a_card_through_a_dangling_link),
    ("rows do not take the place of what a link leads to", rows_over_a_link),
    ("templates do not take the place of what links lead to", templates_over_links),
    ("templates are not written through links that lead nowhere", templates_through_dangling_links),
    ("a new worksheet is not written through a link", a_new_worksheet_through_a_link),
    ("a folder's layout stays inside the folder", a_layout_through_a_link),
    ("a revision is no option of another program", a_revision_that_is_an_option),
    ("data without an end is cut off", data_without_an_end),
];

const SHEET: &str = "! Wear gloves.\ntank:3 gal\n";

/// Calls what must be refused without anything inside being written either.
fn refused(desk: &Desk, call: &[&str], says: &str) {
    let before: Vec<_> = fs::read_dir(desk.path("crew")).unwrap().map(|entry| entry.unwrap().path()).collect();
    let output = desk.call(call, false);
    assert_eq!(output.status.code(), Some(2), "{}", said(&output));
    assert!(String::from_utf8_lossy(&output.stderr).contains(says), "{}", said(&output));
    let after: Vec<_> = fs::read_dir(desk.path("crew")).unwrap().map(|entry| entry.unwrap().path()).collect();
    assert_eq!(before.len(), after.len(), "{after:?}");
}

fn a_card_over_a_link() {
    let desk = Desk::new(SHEET, &["link crew/card.html to ../secret.csv"]);
    refused(&desk, &["card", "crew/sheet.worksheet", "--out", "crew/card.html"], "is there already");
    // With `--replace` the person says so herself: the link is followed and stays one.
    let desk = Desk::new(SHEET, &["write crew/old.html: old", "link crew/card.html to old.html"]);
    desk.call(&["card", "crew/sheet.worksheet", "--out", "crew/card.html", "--replace"], false);
    assert!(fs::symlink_metadata(desk.path("crew/card.html")).unwrap().is_symlink());
    assert!(desk.read("crew/old.html").contains("Wear gloves."));
}

fn a_card_over_its_worksheet() {
    let desk =
        Desk::new(SHEET, &["folder crew/deep", "link crew/same.html to sheet.worksheet", "link crew/whole to ."]);
    fs::hard_link(desk.path("crew/sheet.worksheet"), desk.path("crew/hard.html")).unwrap();
    for out in
        ["crew/sheet.worksheet", "crew/./deep/../sheet.worksheet", "crew/same.html", "crew/whole/sheet.worksheet"]
    {
        let call = ["card", "crew/sheet.worksheet", "--out", out, "--replace"];
        refused(&desk, &call, "take the place of what it is made from");
    }
    // A second name of the same file is a name of its own: the worksheet stays under the first.
    desk.call(&["card", "crew/sheet.worksheet", "--out", "crew/hard.html", "--replace"], false);
    assert_eq!(desk.read("crew/sheet.worksheet"), SHEET);
}

fn a_card_through_a_dangling_link() {
    let desk = Desk::new(SHEET, &["link crew/card.html to ../new.html"]);
    refused(&desk, &["card", "crew/sheet.worksheet", "--out", "crew/card.html"], "is there already");
    refused(&desk, &["card", "crew/sheet.worksheet", "--out", "crew/card.html", "--replace"], "is not written");
}

fn rows_over_a_link() {
    let put =
        ["link crew/out.csv to ../secret.csv", "write crew/data.csv: tank (gal)", "link crew/same.csv to data.csv"];
    let desk = Desk::new("tank : ____ gal\n", &put);
    let each = |out| ["each", "crew/sheet.worksheet", "crew/data.csv", "--out", out];
    refused(&desk, &each("crew/out.csv"), "is there already");
    for out in ["crew/data.csv", "crew/same.csv", "crew/sheet.worksheet"] {
        let call = [&each(out)[..], &["--replace"]].concat();
        refused(&desk, &call, "is not written over");
    }
}

fn templates_over_links() {
    let desk = Desk::new(SHEET, &[]);
    for name in templates(&desk) {
        symlink("../secret.worksheet", desk.path(&format!("crew/{name}.worksheet"))).unwrap();
    }
    refused(&desk, &["templates", "--into", "crew"], "is there already");
}

fn templates_through_dangling_links() {
    let desk = Desk::new(SHEET, &[]);
    for name in templates(&desk) {
        symlink("../new.worksheet", desk.path(&format!("crew/{name}.worksheet"))).unwrap();
    }
    refused(&desk, &["templates", "--into", "crew"], "is there already");
    refused(&desk, &["templates", "--into", "crew", "--replace"], "is not written");
}

/// The names of the templates inside the program, as it lists them.
fn templates(desk: &Desk) -> Vec<String> {
    let listed = desk.call(&["templates"], false);
    let listed = String::from_utf8(listed.stdout).unwrap();
    let names: Vec<String> = listed.lines().map_while(|line| Some(line.split_once("  ")?.0.to_owned())).collect();
    assert!(names.len() > 5, "{listed}");
    names
}

fn a_new_worksheet_through_a_link() {
    let put = ["link crew/new.worksheet to ../secret.worksheet", "link crew/none.worksheet to ../new.worksheet"];
    let desk = Desk::new("tank : ____ gal\n", &put);
    for new in ["crew/new.worksheet", "crew/none.worksheet"] {
        refused(&desk, &["fill", "crew/sheet.worksheet", new, "tank : 3 gal"], "is there already");
    }
    let onto_itself = ["fill", "crew/sheet.worksheet", "crew/../crew/sheet.worksheet", "tank : 3 gal", "--replace"];
    refused(&desk, &onto_itself, "is not written over");
}

/// A link in a folder that leads out of the crew folder is none of the folder's worksheets: who asks for a folder does not
/// ask for what lies elsewhere.
fn a_layout_through_a_link() {
    let put = ["write messy.worksheet: tank:3 gal", "link crew/away.worksheet to ../messy.worksheet"];
    let desk = Desk::new("tank : 3 gal\n", &put);
    refused(&desk, &["format", "crew"], "crew/away.worksheet leads out of the crew folder");
    refused(&desk, &["results", "crew"], "crew/away.worksheet leads out of the crew folder");
}

fn a_revision_that_is_an_option() {
    for revision in
        ["--output=../new", "-", "--git-dir=..", "HEAD:../secret.worksheet", "@{u}", "HEAD^{/x}", "\u{1b}[2J"]
    {
        let desk = Desk::new(SHEET, &[]);
        let old = format!("crew/sheet.worksheet@{revision}");
        refused(&desk, &["compare", &old, "crew/sheet.worksheet"], "");
    }
}

fn data_without_an_end() {
    let desk = Desk::new("tank : ____ gal\n", &[]);
    refused(&desk, &["each", "crew/sheet.worksheet", "/dev/zero"], "");
    refused(&desk, &["each", "crew/sheet.worksheet", "/dev/zero", "--out", "crew/rows.csv"], "");
    refused(&desk, &["results", "/dev/zero"], "");
    refused(&desk, &["fill", "/dev/zero", "crew/new.worksheet", "tank : 3 gal"], "");
    refused(&desk, &["card", "/dev/zero", "--out", "crew/card.html"], "");
    refused(&desk, &["compare", "/dev/zero", "crew/sheet.worksheet"], "");
}

//! `catchwork card` as a process: what the page says, when there is none, and what it may write over. How it looks in a
//! browser is told by `tests/browser.rs`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

use std::fs;
use std::process::Output;
use tempfile::TempDir;

const MIX: &str = "\
# North walk: mix for Green 1
! Wear what the label names.
person : \"Wren\"
sprayer : \"Green 1\"
calibration date : 2026-03-16
emergency : \"on the card inside the truck door\"
area : 500 ft2
rate used : 1 1/4 fl oz of concentrate per 1000 ft2
spray volume : 0.53 gal/1000 ft2
gusts : ____ mph
concentrate = rate used * area [tbsp + 1/2 tsp of concentrate]
water = spray volume * area [gal]
? wind : gusts at most 10 mph else Wait for calmer air.
? same person : person is \"Wren\"
? little water : water at most 0.1 gal else Go twice.
";

/// A crew folder with a worksheet `mix.worksheet`.
fn folder(sheet: &str) -> TempDir {
    let folder = TempDir::new().unwrap();
    fs::write(folder.path().join("crew-folder.txt"), "").unwrap();
    fs::write(folder.path().join("mix.worksheet"), sheet).unwrap();
    folder
}

fn call(folder: &TempDir, more: &[&str]) -> Output {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    command
        .current_dir(folder.path())
        .args(["card", "mix.worksheet", "--today", "2026-04-12"])
        .args(more)
        .output()
        .unwrap()
}

fn ends(output: &Output, status: i32, says: &str) {
    let (stdout, stderr) = (String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr));
    assert_eq!((output.status.code(), stdout.as_ref(), stderr.as_ref()), (Some(status), "", says));
}

/// The words of the page, a line for each piece of it.
fn words(folder: &TempDir) -> String {
    let page = fs::read_to_string(folder.path().join("card.html")).unwrap();
    let (_, body) = page.split_once("<body>").unwrap();
    let mut words = String::new();
    for piece in body.split('<').filter_map(|piece| piece.split_once('>')).map(|(_, words)| words.trim()) {
        if !piece.is_empty() {
            words.push_str(&piece.replace("&nbsp;", " ").replace("&#39;", "'"));
            words.push('\n');
        }
    }
    words
}

#[test]
fn it_says_what_a_crew_needs_in_the_order_it_needs_it() {
    let folder = folder(MIX);
    ends(&call(&folder, &["--out", "card.html"]), 1, "");
    let expected = "\
North walk: mix for Green 1
mix.worksheet FINGERPRINT
! Wear what the label names.
The product label and local rules decide; this program does not replace a licensed applicator's judgement.
emergency: on the card inside the truck door
Stop and look
no
little water: 0.2650 gal at most 0.1 gal
Go twice.
Who, where and when
person:
Wren
sprayer:
Green 1
calibration date:
2026-03-16
To measure out
concentrate
1 tbsp 1 tsp (7 % over) of concentrate
To measure and write down
gusts
mph
To look at on site
wind
waits on gusts
same person
Worked out
water:
0.2650 gal
";
    let words = words(&folder);
    let fingerprint = words.lines().nth(1).unwrap().rsplit(' ').next().unwrap();
    assert_eq!(words, expected.replace("FINGERPRINT", fingerprint));
}

#[test]
fn remarks_stand_beneath_what_they_are_about() {
    let sheet = "\
! Wear what the label names.
person : \"Wren\" -- new this season
emergency : \"on the card\" -- in the truck door
caught : 9, 9 fl oz
gusts : ____ mph -- at head height
dose = mean(caught) [tbsp + 1/2 tsp] -- pour it slowly
half = dose / 2 [fl oz] -- for the small tank
? full : dose at most 2 tbsp else Take less.
? little : dose at least 5 tbsp -- of the clean cup

| beds | area : ft2 | share = dose * area / 100 ft2 [tbsp + 1/2 tsp] | shown apart = dose [fl oz] |
| north | 30 | -- shade till noon
";
    let folder = folder(sheet);
    ends(&call(&folder, &["--out", "card.html"]), 1, "");
    let words = words(&folder);
    let (_, body) = words.split_once("judgement.\n").unwrap();
    let expected = "\
emergency: on the card
in the truck door
Stop and look
no
full: 18 tbsp at most 2 tbsp
Take less.
judged by the value: the doubt of dose is not known
Who, where and when
person:
Wren
new this season
To measure out
dose
18 tbsp
its doubt is not known: caught shows no scatter and has no ±
pour it slowly
beds
share
tbsp + tsp
north
5 tbsp 1 tsp (1 % under)
its doubt is not known: caught shows no scatter and has no ±
shade till noon
To measure and write down
gusts
mph
at head height
To look at on site
little
judged by the value: the doubt of dose is not known
of the clean cup
Worked out
half:
4.500 fl oz
its doubt is not known: caught shows no scatter and has no ±
for the small tank
";
    assert_eq!(body, expected);
}

#[test]
fn it_needs_no_network_and_no_script() {
    let folder = folder(MIX);
    call(&folder, &["--out", "card.html"]);
    let page = fs::read_to_string(folder.path().join("card.html")).unwrap();
    assert!(page.contains("default-src 'none'"));
    for other in ["<script", "<link", "<img", "src=", "href=", "url(", "@import"] {
        assert!(!page.contains(other), "{other}");
    }
}

#[test]
fn there_is_none_of_a_worksheet_in_trouble() {
    let folder = folder("! Wear gloves.\nwidth : 2 ft\nodd = width + 1 gal [ft]\n");
    let output = call(&folder, &["--out", "card.html"]);
    let stderr = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr.contains("mix.worksheet:3:"), "{stderr}");
    let last =
        "error: there is no card of mix.worksheet: it is in trouble, and so may be every figure on it; mend it first\n";
    assert!(stderr.ends_with(last), "{stderr}");
    assert!(!folder.path().join("card.html").exists());
}

#[test]
fn a_range_is_not_measured_out() {
    let folder = folder("! Wear gloves.\nrate : 1 to 2 fl oz per 1000 ft2\ndose = rate * 500 ft2 [tbsp + 1/2 tsp]\n");
    let says = "error: there is no card of mix.worksheet: `dose` is a range in what is measured out, and how much to take \
                is not for the one who measures to decide; choose one rate inside the range and work with that\n";
    ends(&call(&folder, &["--out", "card.html"]), 2, says);
    assert!(!folder.path().join("card.html").exists());
}

#[test]
fn nor_in_a_table() {
    let sheet = "! Wear gloves.\nrate : 1 to 2 fl oz per 1000 ft2\n\n\
                 | beds | area : ft2 | dose = rate * area [tbsp + 1/2 tsp] |\n| north | 500 |\n";
    let output = call(&folder(sheet), &["--out", "card.html"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().contains("`beds.dose` is a range in what is measured out"));
}

#[test]
fn one_page_holds_so_much_and_no_more() {
    let long: String = (0..400).map(|number| format!("dose {number} = 1 fl oz * 2 [1/2 fl oz]\n")).collect();
    let says = "error: there is no card of mix.worksheet: it would take 7 pages in letters that can be read outdoors; a \
                card is one page of one job\n";
    ends(&call(&folder(&long), &["--out", "card.html"]), 2, says);
}

#[test]
fn a_page_is_written_over_only_where_that_is_said_and_what_was_read_never() {
    let folder = folder(MIX);
    fs::write(folder.path().join("card.html"), "old").unwrap();
    let says = "error: card.html is not written: a file of that name is there already; --replace writes over it\n";
    ends(&call(&folder, &["--out", "card.html"]), 2, says);
    assert_eq!(fs::read_to_string(folder.path().join("card.html")).unwrap(), "old");
    ends(&call(&folder, &["--out", "card.html", "--replace"]), 1, "");
    let own =
        "error: the card would take the place of what it is made from: give it a name of its own, such as card.html\n";
    ends(&call(&folder, &["--out", "mix.worksheet", "--replace"]), 2, own);
    assert_eq!(fs::read_to_string(folder.path().join("mix.worksheet")).unwrap(), MIX);
}

#[test]
fn it_takes_nothing_set_for_one_run() {
    let output = call(&folder(MIX), &["--out", "card.html", "--set", "area : 600 ft2"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(String::from_utf8(output.stderr).unwrap().starts_with("error: unexpected argument '--set' found"));
}

#[test]
fn what_has_cups_spoons_and_scales_is_to_be_measured_out() {
    let sheet = "\
! Wear what the label names.
1 dip = 4 fl oz
a : 5.3 oz
b : 7.6 fl oz
c : 9.4 ft
d : 2.2 dip
powder = a [1/2 oz]
liquid = b [1/4 fl oz]
dips = d [1/4 dip]
walked = c [1/2 ft]
as it comes = b [fl oz]
";
    let folder = folder(sheet);
    ends(&call(&folder, &["--out", "card.html"]), 0, "");
    let words = words(&folder);
    let (_, amounts) = words.split_once("To measure out\n").unwrap();
    let (amounts, others) = amounts.split_once("Worked out\n").unwrap();
    assert!(["powder", "liquid", "dips"].into_iter().all(|name| amounts.contains(name)), "{amounts}");
    assert!(["walked", "as it comes"].into_iter().all(|name| others.contains(name)), "{others}");
}

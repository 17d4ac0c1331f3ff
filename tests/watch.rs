//! `catchwork watch` as a process, with real saves in each manner that editors have. What is on the screen is waited
//! for; how fast it comes is measured by `cargo bench --bench floors -- watch`.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[path = "watch/watched.rs"]
mod watched;

use std::fs;
use std::io::{Read, Write};
use std::process::{Command, Stdio};
use std::thread::sleep;
use std::time::{Duration, Instant};
use tempfile::TempDir;
use watched::{PATIENCE, Watched, strip};

/// What stands on the line of a value after a save: the value, its unit, where it comes from, what it was before.
const AREA_WAS: &str = "area    100    ft²   worked   120\n";

#[test]
fn a_save_shows_what_each_changed_value_was_before() {
    let watched = Watched::strip(&[]);
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(SINCE);
}

const SINCE: &str = "\
Strip
crew/strip.worksheet  266c2625

!  Water only.
The product label and local rules decide; this program does not replace a
licensed applicator's judgement.

          value  unit  from     before
  length   50    ft    entered  60
  area    100    ft²   worked   120

1 entered, 1 worked
";

#[test]
fn cells_and_checks_say_what_they_were() {
    let sheet = |width: &str| {
        format!(
            "| beds | width : ft | area = width * 10 ft [1 ft²] |\n| north | {width} |\n| south | 3 |\n\n\
             ? small : sum(beds.area) at most 100 ft² else Mix in two goes.\n"
        )
    };
    let watched = Watched::new(&[("beds.worksheet", &sheet("6"))], &["crew/beds.worksheet"]);
    watched.write("beds.worksheet", &sheet("8"));
    watched.shows(CELLS_SINCE);
}

const CELLS_SINCE: &str = "\
  beds   width  area
         ft     ft²
                worked
  north  8      80
         width was 6
         area was 60
  south  3      30

Checks  ────────────────────────────────────────────────────────────────────────
  NO  small  110.0 ft² at most 100 ft²
      → Mix in two goes.
      was ok: 90.00 ft² at most 100 ft²

checks: 1 no
";

#[test]
fn written_in_place_bit_by_bit() {
    let watched = Watched::strip(&[]);
    let text = strip("50");
    let mut file = fs::File::create(watched.path("strip.worksheet")).unwrap();
    for part in text.as_bytes().chunks(text.len() / 3) {
        file.write_all(part).unwrap();
        file.flush().unwrap();
        sleep(Duration::from_millis(20));
    }
    drop(file);
    watched.shows(AREA_WAS);
    assert!(!watched.screen().contains("cannot be worked"), "{}", watched.screen());
}

#[test]
fn replaced_by_another_file() {
    let watched = Watched::strip(&[]);
    watched.write("strip.worksheet.new", &strip("50"));
    fs::rename(watched.path("strip.worksheet.new"), watched.path("strip.worksheet")).unwrap();
    watched.shows(AREA_WAS);
    // And once more, since a watch on the file alone would have gone with the old one.
    watched.write("strip.worksheet.new", &strip("40"));
    fs::rename(watched.path("strip.worksheet.new"), watched.path("strip.worksheet")).unwrap();
    watched.shows("worked   100\n");
}

#[test]
fn deleted_and_made_again() {
    let watched = Watched::strip(&[]);
    fs::remove_file(watched.path("strip.worksheet")).unwrap();
    sleep(Duration::from_millis(100));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
    assert!(!watched.screen().contains("cannot be worked"), "{}", watched.screen());
}

#[test]
fn deleted_for_good() {
    let watched = Watched::strip(&[]);
    fs::remove_file(watched.path("strip.worksheet")).unwrap();
    watched.shows("It cannot be worked as it is now. The results above are of the last save that could.");
    watched.told("crew/strip.worksheet cannot be read");
}

#[test]
fn saved_twice_in_fifty_milliseconds() {
    let watched = Watched::strip(&[]);
    watched.write("strip.worksheet", &strip("55"));
    sleep(Duration::from_millis(30));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows("area    100");
}

#[test]
fn the_folder_gets_another_name_and_its_own_again() {
    let watched = Watched::strip(&[]);
    let (crew, other) = (watched.folder.path().join("crew"), watched.folder.path().join("other"));
    fs::rename(&crew, &other).unwrap();
    watched.shows("It cannot be worked as it is now.");
    fs::rename(&other, &crew).unwrap();
    sleep(Duration::from_millis(100));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
}

#[test]
fn what_stays_half_written_is_told_and_the_last_whole_one_stands() {
    let watched = Watched::strip(&[]);
    watched.write("strip.worksheet", "# Strip\n! Water only.\nlength : 60 ft\nar");
    watched.shows("It cannot be worked as it is now. The results above are of the last save that could.");
    watched.told("`ar` says nothing yet");
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
}

#[test]
fn what_has_not_changed_is_not_printed_again() {
    let watched = Watched::strip(&[]);
    watched.write("strip.worksheet", &strip("60"));
    watched.write("other.txt", "no worksheet");
    sleep(Duration::from_millis(300));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
    assert_eq!(watched.screen().matches("── ").count(), 1, "{}", watched.screen());
}

#[test]
fn templates_tables_of_a_file_and_records_of_a_pattern_count_too() {
    let log = "| jobs from \"jobs/*.worksheet\" | amount : lb |\n\ntotal = sum(jobs.amount) [0.1 lb]\n";
    let beds =
        "from \"template.worksheet\"\n\n| beds from \"beds.csv\" | area : ft2 |\n\nall beds = sum(beds.area) [1 ft²]\n";
    let files = [
        ("log.worksheet", log),
        ("jobs/one.worksheet", "amount : 2 lb\n"),
        ("beds.worksheet", beds),
        ("template.worksheet", "! Water only.\nwidth : 3 ft\ntwice = 2 * width [0.1 ft]\n"),
        ("beds.csv", "bed,area (ft2)\nnorth,100\n"),
    ];
    let watched = Watched::new(&files, &["crew/log.worksheet", "crew/beds.worksheet"]);
    watched.shows("total  2.0");
    watched.write("jobs/two.worksheet", "amount : 3 lb\n");
    watched.shows("total  5.0    lb    worked  2.0\n");
    watched.write("beds.csv", "bed,area (ft2)\nnorth,100\nsouth,50\n");
    watched.shows("worked    100\n");
    watched.write("template.worksheet", "! Water only.\nwidth : 4 ft\ntwice = 2 * width [0.1 ft]\n");
    watched.shows("worked    6.0\n");
}

#[test]
fn a_new_worksheet_in_a_folder_is_watched_too() {
    let watched = Watched::new(&[("jobs/one.worksheet", "amount : 2 lb\n")], &["crew"]);
    watched.write("jobs/two.worksheet", "amount : 3 lb\n");
    watched.shows("crew/jobs/two.worksheet");
    fs::create_dir(watched.path("later")).unwrap();
    sleep(Duration::from_millis(100));
    watched.write("later/three.worksheet", "amount : 4 lb\n");
    watched.shows("crew/later/three.worksheet");
    watched.write("later/three.worksheet", "amount : 5 lb\n");
    watched.shows("entered  4\n");
}

#[test]
fn where_nobody_tells_it_looks() {
    let watched = Watched::strip(&["--look", "1"]);
    sleep(Duration::from_millis(1500));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
}

#[test]
fn a_card_is_kept_fresh() {
    let sheet = |area: &str| {
        format!("! Wear gloves.\narea : {area} ft2\ndose = area * 1 fl oz per 1000 ft2 [1/2 fl oz, down]\n")
    };
    let watched =
        Watched::new(&[("mix.worksheet", &sheet("500"))], &["crew/mix.worksheet", "--card", "crew/card.html"]);
    let has = |words: &str| {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            let page = fs::read_to_string(watched.path("card.html")).unwrap_or_default();
            if page.contains(words) && page.trim_end().ends_with("</html>") {
                return;
            }
            sleep(Duration::from_millis(5));
        }
        panic!("no {words:?} on the card");
    };
    has("<dd>1/2 fl");
    watched.write("mix.worksheet", &sheet("2000"));
    has("<dd>2 fl");
    watched.write("mix.worksheet", &sheet("2000 gal"));
    watched.told(
        "there is no card of crew/mix.worksheet: it is in trouble, and so may be every figure on it; mend it first. \
                  crew/card.html is as it was before",
    );
    has("<dd>2 fl");
}

#[test]
fn standard_input_cannot_be_watched() {
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    let output = command.args(["watch", "-"]).output().unwrap();
    assert_eq!(output.status.code(), Some(2));
    assert_eq!(
        String::from_utf8(output.stderr).unwrap(),
        "error: standard input is read once, and cannot be watched: name a worksheet or a folder\n"
    );
}

#[test]
#[cfg(target_os = "linux")]
fn idle_it_takes_no_time() {
    let watched = Watched::strip(&[]);
    let ticks = || {
        let stat = fs::read_to_string(format!("/proc/{}/stat", watched.child.id())).unwrap();
        let fields: Vec<&str> = stat.rsplit(") ").next().unwrap().split(' ').collect();
        (fields[11].to_owned(), fields[12].to_owned())
    };
    sleep(Duration::from_millis(300));
    let before = ticks();
    sleep(Duration::from_secs(2));
    assert_eq!(before, ticks());
}

mod at_a_terminal {
    use super::*;

    #[test]
    fn it_ends_at_control_c_and_leaves_the_terminal_as_it_was() {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("strip.worksheet"), strip("60")).unwrap();
        let (mut terminal, pts) = pty_process::blocking::open().unwrap();
        terminal.resize(pty_process::Size::new(24, 80)).unwrap();
        let command = pty_process::blocking::Command::new(assert_cmd::cargo::cargo_bin!("catchwork"))
            .args(["watch", "strip.worksheet"])
            .current_dir(folder.path());
        let mut child = command.spawn(pts).unwrap();
        let mut seen = Vec::new();
        let mut bytes = [0; 4096];
        while !String::from_utf8_lossy(&seen).contains("Ctrl-C ends it.") {
            let count = terminal.read(&mut bytes).unwrap();
            seen.extend_from_slice(&bytes[..count]);
        }
        // What the key sends; the terminal makes a signal of it as long as nobody has changed it.
        terminal.write_all(b"\x03").unwrap();
        let status = child.wait().unwrap();
        assert_eq!(std::os::unix::process::ExitStatusExt::signal(&status), Some(2));
        // Colour and weight, each ended again: nothing that moves, clears or hides.
        let seen = String::from_utf8_lossy(&seen).into_owned();
        let mut left = seen.as_str();
        while let Some((_, rest)) = left.split_once('\u{1b}') {
            let end = rest.find('m').expect("a colour");
            assert!(rest[1..end].chars().all(|letter| letter.is_ascii_digit() || letter == ';'), "{seen}");
            left = &rest[end..];
        }
    }

    /// Vim writes a new file and gives it the old one's name, by default.
    #[test]
    fn a_real_editor_saves() {
        if Command::new("vim").arg("--version").stdout(Stdio::null()).status().is_err() {
            // The tests do not bring an editor with them; `.ci/run` installs this one.
            return;
        }
        for copy in ["no", "yes"] {
            let watched = Watched::strip(&[]);
            let (mut terminal, pts) = pty_process::blocking::open().unwrap();
            terminal.resize(pty_process::Size::new(24, 80)).unwrap();
            let command = pty_process::blocking::Command::new("vim")
                .args(["-u", "NONE", "--cmd", &format!("set backup backupcopy={copy}"), "strip.worksheet"])
                .current_dir(watched.folder.path().join("crew"))
                .env("TERM", "vt100");
            let mut child = command.spawn(pts).unwrap();
            let typed = b":3\r:s/60/50/\r:w\r";
            terminal.write_all(typed).unwrap();
            watched.shows(AREA_WAS);
            terminal.write_all(b":s/50/45/\r:w\r").unwrap();
            watched.shows("worked   100\n");
            terminal.write_all(b":q\r").unwrap();
            let mut all = Vec::new();
            let _ = terminal.read_to_end(&mut all);
            child.wait().unwrap();
        }
    }
}

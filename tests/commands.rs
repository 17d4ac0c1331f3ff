//! The built program as a process: what it prints where, and the status it ends with.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;
use serde_json::Value;
use std::fs;
use std::process::{Output, Stdio};
use tempfile::TempDir;

/// Worked, with nothing to object to.
const GOOD: &str = "\
# Strip
! Water only.
strip length : 60 ft
spray width : 28 in
strip area = strip length * spray width [ft²]
? wide enough : spray width more than 20 in
";

/// A check that says `no`, with advice.
const NO: &str = "\
# Tip
flow : 0.25 gal/min
? worn : flow at most 0.22 gal/min else Replace the tip.
";

/// A check that holds by the value, though its doubt reaches past the limit.
const CLOSE: &str = "\
# Width
spray width : 28 in ± 2 in
? wide enough : spray width more than 27 in else Measure again.
";

/// A blank that a result waits on.
const BLANK: &str = "\
# Bed
bed length : ____ ft
bed area = bed length * 4 ft [ft²]
";

/// A length added to a volume.
const TROUBLE: &str = "\
# Odd
! Keep children away.
strip length : 60 ft
tank : 3 gal
odd = strip length + tank [gal]
";

const NOTICE: &str = "The product label and local rules decide";

/// A folder with worksheets in it, in which the program is called.
struct Folder(TempDir);

impl Folder {
    fn with(files: &[(&str, &str)]) -> Self {
        let folder = Self(TempDir::new().unwrap());
        files.iter().for_each(|(name, text)| folder.write(name, text.as_bytes()));
        folder
    }

    fn write(&self, name: &str, bytes: &[u8]) {
        let path = self.0.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, bytes).unwrap();
    }

    fn catchwork(&self) -> Command {
        let mut command = cargo_bin_cmd!("catchwork");
        command.current_dir(self.0.path()).env_remove("NO_COLOR");
        command
    }

    /// A run without a terminal, told apart by what it prints and how it ends.
    fn run(&self, call: &[&str]) -> Run {
        Run::of(self.catchwork().args(call).output().unwrap())
    }
}

#[derive(Debug)]
struct Run {
    status: i32,
    stdout: String,
    stderr: String,
}

impl Run {
    fn of(output: Output) -> Self {
        Self {
            status: output.status.code().expect("ended by itself"),
            stdout: String::from_utf8(output.stdout).unwrap(),
            stderr: String::from_utf8(output.stderr).unwrap(),
        }
    }

    /// Ended with a status, and something or nothing on standard error.
    #[track_caller]
    fn ended(self, status: i32, stderr: &str) -> Self {
        assert_eq!(self.status, status, "{self:#?}");
        assert!(self.stderr.contains(stderr) && (self.stderr.is_empty() == stderr.is_empty()), "{self:#?}");
        self
    }

    #[track_caller]
    fn says(self, words: &str) -> Self {
        assert!(self.stdout.contains(words), "{words}\n{self:#?}");
        self
    }

    /// Refused as a call: nothing on standard output.
    #[track_caller]
    fn refused(self, stderr: &str) {
        assert_eq!(self.ended(2, stderr).stdout, "");
    }

    /// The places of some words, in order.
    #[track_caller]
    fn in_order(&self, words: &[&str]) {
        let places: Vec<usize> =
            words.iter().map(|word| self.stdout.find(word).unwrap_or_else(|| panic!("{word}\n{self:#?}"))).collect();
        assert!(places.is_sorted(), "{words:?} at {places:?}\n{self:#?}");
    }

    fn json(&self) -> Value {
        serde_json::from_str(&self.stdout).unwrap()
    }
}

/// A run that is given a worksheet on standard input.
fn run_with_input(call: &[&str], text: &str) -> Run {
    let folder = Folder::with(&[("good.worksheet", GOOD)]);
    Run::of(folder.catchwork().args(call).write_stdin(text).output().unwrap())
}

fn run_on(text: &str, options: &[&str]) -> Run {
    let call: Vec<&str> = ["results", "in.worksheet"].iter().chain(options).copied().collect();
    Folder::with(&[("in.worksheet", text)]).run(&call)
}

const FORMS: [&str; 6] = ["text", "markdown", "csv", "json", "jsonl", "html"];

// Exit status.

#[test]
fn worked_is_0() {
    run_on(GOOD, &[]).ended(0, "").says("140.0").says("ok  wide enough");
}

#[test]
fn a_check_that_says_no_is_1_and_no_trouble() {
    run_on(NO, &[]).ended(1, "").says("NO  worn").says("→ Replace the tip.");
}

#[test]
fn close_is_1_only_when_one_wants_to_be_sure() {
    run_on(CLOSE, &[]).ended(0, "").says("close  wide enough").says("→ Measure again.");
    run_on(CLOSE, &["--sure"]).ended(1, "").says("close  wide enough");
    run_on(GOOD, &["--sure"]).ended(0, "");
}

#[test]
fn a_blank_is_1_only_when_all_has_to_be_filled() {
    run_on(BLANK, &[]).ended(0, "").says("waits on bed length");
    run_on(BLANK, &["--complete"]).ended(1, "").says("waits on bed length");
    run_on(BLANK, &["--complete", "--set", "bed length : 12 ft"]).ended(0, "").says("48.00");
    run_on(GOOD, &["--complete"]).ended(0, "");
}

#[test]
fn a_trouble_is_2_shown_on_standard_error_and_counted_on_the_other() {
    let run = run_on(TROUBLE, &[]).ended(2, "strip length + tank");
    run.in_order(&["Odd", "Keep children away.", NOTICE, "60", "1 trouble"]);
    assert!(run.stderr.contains("in.worksheet:5:"), "{run:#?}");
    assert!(!run.stdout.contains("trouble:"), "{run:#?}");
}

#[test]
fn the_worst_of_several_worksheets_counts_and_the_others_are_worked() {
    let folder = Folder::with(&[("a.worksheet", GOOD), ("b.worksheet", TROUBLE), ("c.worksheet", NO)]);
    let run = folder.run(&["results", "a.worksheet", "missing.worksheet", "b.worksheet", "c.worksheet"]);
    let run = run.ended(2, "missing.worksheet cannot be read");
    run.in_order(&["a.worksheet", "140.0", "missing.worksheet", "b.worksheet", "c.worksheet", "NO"]);
    folder.run(&["results", "a.worksheet", "c.worksheet"]).ended(1, "");
}

// What is refused before anything is worked.

#[test]
fn a_bad_call_is_2_with_a_message() {
    let folder = Folder::with(&[("in.worksheet", GOOD)]);
    folder.run(&[]).refused("Usage: catchwork <COMMAND>");
    folder.run(&["result"]).refused("a similar subcommand exists: 'results'");
    folder.run(&["results"]).refused("<PATH>...");
    folder.run(&["results", "in.worksheet", "--colour"]).refused("unexpected argument '--colour'");
    folder.run(&["results", "in.worksheet", "--as", "pdf"]).refused("[possible values: text, markdown,");
    folder.run(&["results", "-", "in.worksheet", "-"]).refused("`-` is given twice");
}

#[test]
fn today_is_a_day_and_nothing_else() {
    let today = |day: &str| run_on(GOOD, &["--today", day]);
    today("2026-04-12").ended(0, "");
    today("2026-13-01").refused("there is no month 13");
    today("4/12/2026").refused("more than one reading");
    today("2026-04-12 14:30").refused("no hour");
    today("soon").refused("no date");
}

// Which worksheets.

#[test]
fn a_folder_stands_for_its_worksheets_in_name_order() {
    let sheet = |title: &str| format!("# {title}\n");
    let folder = Folder::with(&[
        ("jobs/b/z.worksheet", &sheet("third")),
        ("jobs/b/10.worksheet", &sheet("second")),
        ("jobs/c.worksheet", &sheet("fourth")),
        ("jobs/a.worksheet", &sheet("first")),
        ("jobs/.hidden/h.worksheet", &sheet("hidden")),
        ("jobs/.h.worksheet", &sheet("hidden")),
        ("jobs/notes.txt", &sheet("other")),
    ]);
    let run = folder.run(&["results", "jobs"]).ended(0, "");
    run.in_order(&["first", "second", "third", "fourth"]);
    assert!(!run.stdout.contains("hidden") && !run.stdout.contains("other"), "{run:#?}");
    folder.run(&["results", "jobs/.hidden"]).ended(0, "").says("hidden");
}

#[test]
fn a_worksheet_that_is_named_twice_is_worked_once() {
    let folder = Folder::with(&[("jobs/in.worksheet", GOOD), ("jobs/other.worksheet", NO)]);
    let run = folder.run(&["results", "jobs/in.worksheet", "./jobs/in.worksheet", "jobs", "--as", "json"]);
    assert_eq!(run.ended(1, "").json().as_array().unwrap().len(), 2);
}

#[test]
fn a_folder_without_worksheets_is_no_success() {
    let folder = Folder::with(&[("empty/notes.txt", ""), ("jobs/in.worksheet", GOOD)]);
    folder.run(&["results", "empty"]).refused("empty holds no worksheet");
    folder.run(&["results", "empty", "jobs"]).ended(2, "empty holds no worksheet").says("140.0");
}

#[test]
fn standard_input_is_a_worksheet_too() {
    let folder = Folder::with(&[]);
    let run = Run::of(folder.catchwork().args(["results", "-"]).write_stdin(GOOD).output().unwrap());
    run.ended(0, "").says("standard input").says("140.0");
    let run = Run::of(folder.catchwork().args(["results", "-"]).write_stdin(TROUBLE).output().unwrap());
    run.ended(2, "standard input:5:");
}

#[test]
fn what_cannot_be_read_is_a_trouble_of_its_own() {
    let folder = Folder::with(&[("in.worksheet", GOOD), ("empty.worksheet", "")]);
    folder.write("latin.worksheet", b"# Caf\xe9\nwidth : 3 ft\n");
    folder.run(&["results", "missing.worksheet"]).ended(2, "cannot be read").says(NOTICE).says("1 trouble");
    folder.run(&["results", "in.worksheet/deeper"]).ended(2, "cannot be read");
    folder.run(&["results", "latin.worksheet"]).ended(2, "no UTF-8 text").says(NOTICE);
    folder.run(&["results", "empty.worksheet"]).ended(0, "").says("nothing to work out");
    let report = folder.run(&["results", "missing.worksheet", "--as", "json"]).ended(2, "cannot be read").json();
    assert_eq!(report[0]["troubles"][0]["kind"], "cannot-read");
    assert_eq!(report[0]["worksheet"], "missing.worksheet");
}

// The forms.

#[test]
fn every_form_is_what_it_is_called() {
    let form = |form: &str| run_on(GOOD, &["--as", form]).ended(0, "").stdout;
    assert!(form("text").starts_with("Strip\n"));
    assert!(form("markdown").starts_with("# Strip\n"));
    assert!(form("csv").starts_with("kind,worksheet,"));
    assert!(form("html").starts_with("<!DOCTYPE html>"));
    let array: Value = serde_json::from_str(&form("json")).unwrap();
    let line: Value = serde_json::from_str(&form("jsonl")).unwrap();
    assert_eq!(array[0], line);
    assert_eq!(form("text"), run_on(GOOD, &[]).stdout, "text is the form without being asked for");
}

#[test]
fn several_worksheets_are_one_document_or_one_line_each() {
    let folder = Folder::with(&[("jobs/a.worksheet", GOOD), ("jobs/b.worksheet", BLANK)]);
    let form = |form: &str| folder.run(&["results", "jobs", "--as", form]).ended(0, "").stdout;
    assert_eq!(form("jsonl").lines().filter(|line| serde_json::from_str::<Value>(line).is_ok()).count(), 2);
    assert_eq!(serde_json::from_str::<Value>(&form("json")).unwrap().as_array().unwrap().len(), 2);
    assert_eq!(form("html").matches("<!DOCTYPE").count(), 1);
    assert_eq!(form("html").matches("<article>").count(), 2);
    assert_eq!(form("csv").matches("kind,worksheet").count(), 1);
    assert_eq!(form("markdown").lines().filter(|line| line.starts_with("# ")).count(), 2);
    assert_eq!(form("text").matches(NOTICE).count(), 2);
}

#[test]
fn cautions_and_the_notice_stand_before_any_figure_in_every_form() {
    for form in FORMS {
        let run = run_on(GOOD, &["--as", form]);
        if form.starts_with("json") {
            run.in_order(&["Water only.", NOTICE, "\"strip length\""]);
        } else {
            run.in_order(&["Water only.", NOTICE, "strip length"]);
        }
    }
}

// What is set for a run.

#[test]
fn what_is_set_is_worked_with_and_listed_before_the_results_in_every_form() {
    for form in FORMS {
        let run = run_on(GOOD, &["--as", form, "--set", "strip length : 30 ft"]).ended(0, "");
        run.in_order(&["strip length : 30 ft", "strip area"]);
        assert!(run.stdout.contains("70.0"), "{run:#?}");
    }
}

#[test]
fn what_cannot_be_set_is_a_trouble() {
    let set = |setting: &str| run_on(GOOD, &["--set", setting]);
    set("strip lenght : 30 ft").ended(2, "strip lenght").says("strip lenght : 30 ft");
    set("strip length : 30 gal").ended(2, "a length (ft) belongs here");
    set("strip length : 30").ended(2, "plain number");
    set("strip area : 30 ft²").ended(2, "strip area");
    set("strip length").ended(2, "--set:1:");
    set("").ended(2, "--set");
    // Nothing is worked that is not what was asked for.
    let run = set("strip lenght : 30 ft");
    assert!(!run.stdout.contains("140") && run.stdout.contains("Water only."), "{run:#?}");
}

#[test]
fn an_entry_is_set_once_for_a_run() {
    let twice = ["--set", "strip length : 30 ft", "--set", "Strip length : 40 ft"];
    let run = run_on(GOOD, &twice).says("strip length : 30 ft").says("Strip length : 40 ft");
    assert_eq!(run.status, 2, "{run:#?}");
    let told = "trouble: `Strip length` is given twice\n --> --set:1:1\n  |\n1 | Strip length : 40 ft\n  \
                | ^^^^^^^^^^^^\n  |\n  = instead: one of them\n\n";
    assert_eq!(run.stderr, told);
    assert!(!run.stdout.contains("strip area"), "{run:#?}");
}

#[test]
fn today_is_said_where_it_is_asked_for() {
    let asks = "# Age\nlast time : 2026-04-01\nage = today - last time [day]\n";
    run_on(asks, &["--today", "2026-04-12"]).in_order(&["today taken to be  2026-04-12", "11.00"]);
    assert!(!run_on(GOOD, &["--today", "2026-04-12"]).stdout.contains("2026-04-12"));
}

// A terminal and none.

#[test]
fn nothing_but_words_without_a_terminal() {
    for form in FORMS {
        for text in [GOOD, NO, CLOSE, BLANK, TROUBLE] {
            let run = run_on(text, &["--as", form]);
            assert!(!run.stdout.contains('\u{1b}') && !run.stderr.contains('\u{1b}'), "{run:#?}");
        }
    }
}

#[test]
fn plain_text_is_ascii() {
    let sheet = "# Größe – “north”\n! Café ½\nwidth : 28 in ± ½ in -- Δ\nside = width * 1 ft [ft²]\n? b : side at least 1 ft²\n";
    let run = run_on(sheet, &["--plain"]).ended(0, "").says("+/-   1/2").says("ft^2");
    assert!(run.stdout.is_ascii(), "{run:#?}");
    assert!(!run_on(sheet, &[]).stdout.is_ascii());
}

#[test]
fn control_characters_in_a_files_name_reach_nobody() {
    let folder = Folder::with(&[("odd\u{1b}[31m\u{7}.worksheet", TROUBLE)]);
    for form in FORMS {
        let run = folder.run(&["results", ".", "--as", form]).ended(2, "odd");
        let obeyed = |text: &str| text.chars().any(|letter| letter.is_control() && letter != '\n');
        assert!(!obeyed(&run.stdout) && !obeyed(&run.stderr), "{run:#?}");
    }
    folder.run(&["results", "none\u{1b}[31m"]).ended(2, "none\u{fffd}[31m");
}

#[cfg(unix)]
mod at_a_terminal {
    use super::*;
    use std::io::Read;

    /// What a terminal of 60 columns gets to see, and how the run ends.
    fn seen(folder: &Folder, call: &[&str], no_colour: Option<&str>) -> (String, i32) {
        let (mut terminal, pts) = pty_process::blocking::open().unwrap();
        terminal.resize(pty_process::Size::new(24, 60)).unwrap();
        let program = assert_cmd::cargo::cargo_bin!("catchwork");
        let mut command =
            pty_process::blocking::Command::new(program).args(call).current_dir(folder.0.path()).env_remove("NO_COLOR");
        if let Some(value) = no_colour {
            command = command.env("NO_COLOR", value);
        }
        let mut child = command.spawn(pts).unwrap();
        let mut bytes = Vec::new();
        // The other end is gone when the program has ended, which a terminal calls an error.
        let _ = terminal.read_to_end(&mut bytes);
        (String::from_utf8(bytes).unwrap(), child.wait().unwrap().code().unwrap())
    }

    #[test]
    fn no_stands_out_and_lines_keep_to_the_width() {
        let folder = Folder::with(&[("in.worksheet", NO)]);
        let (seen, status) = seen(&folder, &["results", "in.worksheet"], None);
        assert!(seen.contains("\u{1b}[38;5;9m\u{1b}[1mNO\u{1b}[0m"), "{seen}");
        assert_eq!(status, 1);
        let heading = seen.lines().find(|line| line.contains("Checks")).unwrap();
        assert_eq!(heading.matches('─').count() + "Checks  ".len(), 60);
    }

    #[test]
    fn what_is_kept_in_a_file_does_not_depend_on_the_terminal() {
        let folder = Folder::with(&[("in.worksheet", GOOD)]);
        let (terminal, pts) = pty_process::blocking::open().unwrap();
        terminal.resize(pty_process::Size::new(24, 50)).unwrap();
        let command = pty_process::blocking::Command::new(assert_cmd::cargo::cargo_bin!("catchwork"))
            .args(["results", "in.worksheet"])
            .current_dir(folder.0.path())
            .stdout(Stdio::piped());
        let output = { command }.spawn(pts).unwrap().wait_with_output().unwrap();
        assert_eq!(Run::of(output).stdout, folder.run(&["results", "in.worksheet"]).stdout);
    }

    #[test]
    fn no_color_is_obeyed_unless_it_is_empty() {
        let folder = Folder::with(&[("in.worksheet", TROUBLE)]);
        let call = ["results", "in.worksheet"];
        assert!(!seen(&folder, &call, Some("1")).0.contains('\u{1b}'));
        assert!(seen(&folder, &call, Some("")).0.contains("\u{1b}[1m"));
        assert!(!seen(&folder, &["results", "in.worksheet", "--as", "csv"], None).0.contains("\u{1b}[1mstrip"));
    }

    #[test]
    fn long_work_tells_how_far_it_is_and_takes_the_line_away() {
        let folder = Folder::with(&[]);
        (0..40).for_each(|number| folder.write(&format!("jobs/{number:02}.worksheet"), GOOD.as_bytes()));
        let (seen, status) = seen(&folder, &["results", "jobs", "--as", "csv"], None);
        assert!(seen.contains("of 40"), "{seen}");
        assert_eq!(status, 0);
        let run = folder.run(&["results", "jobs", "--as", "csv"]).ended(0, "");
        assert!(!run.stdout.contains("of 40"));
    }

    #[test]
    fn many_rows_tell_how_fast_they_go() {
        let rows: String = (0..20_000).map(|row| format!("{row}\n")).collect();
        let data = format!("bed length (ft)\n{rows}");
        let folder = Folder::with(&[("in.worksheet", BLANK), ("rows.csv", &data)]);
        let (seen, status) = seen(&folder, &["each", "in.worksheet", "rows.csv", "--out", "out.csv"], None);
        assert!(seen.contains(" rows/s") && seen.contains(" left"), "{seen}");
        assert_eq!(status, 0);
    }
}

// Streams that end early.

#[cfg(unix)]
#[test]
fn a_reader_that_has_seen_enough_is_no_trouble() {
    let folder = Folder::with(&[]);
    // More than a pipe holds, so that the program is still writing when its reader is gone.
    (0..200).for_each(|number| folder.write(&format!("jobs/{number:03}.worksheet"), NO.as_bytes()));
    for form in FORMS {
        let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.args(["results", "jobs", "--as", form]).current_dir(folder.0.path());
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        drop(child.stdout.take());
        Run::of(child.wait_with_output().unwrap()).ended(0, "");
    }
}

#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_is_told() {
    let folder = Folder::with(&[("in.worksheet", GOOD)]);
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let mut command = std::process::Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
    command.args(["results", "in.worksheet"]).current_dir(folder.0.path()).stdout(full).stderr(Stdio::piped());
    Run::of(command.spawn().unwrap().wait_with_output().unwrap()).ended(2, "No space left");
}

// Help, and what is made from the same definitions.

/// The commands that the help lists.
fn commands() -> Vec<String> {
    let help = Folder::with(&[]).run(&["--help"]).ended(0, "").stdout;
    let listed = help.lines().skip_while(|line| *line != "Commands:").skip(1).take_while(|line| !line.is_empty());
    let named = listed.filter_map(|line| line.strip_prefix("  ")?.split(' ').next()).map(str::to_owned);
    named.filter(|name| !name.is_empty() && name != "help").collect()
}

#[test]
fn help_and_version_go_to_standard_output() {
    let folder = Folder::with(&[]);
    folder.run(&["--version"]).ended(0, "").says(concat!("catchwork ", env!("CARGO_PKG_VERSION"), "\n"));
    folder.run(&["--help"]).ended(0, "").says("Exit status: 0").says(NOTICE);
    for command in ["results", "units", "completions", "manual"] {
        assert!(commands().iter().any(|listed| listed == command), "{command} of {:?}", commands());
    }
}

#[test]
fn every_commands_help_has_an_example() {
    let folder = Folder::with(&[]);
    for command in commands() {
        for help in ["-h", "--help"] {
            folder.run(&[&command, help]).ended(0, "").says("Example").says(&format!("\n  catchwork {command}"));
        }
    }
}

#[test]
fn every_shell_gets_its_completions() {
    let folder = Folder::with(&[]);
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        folder.run(&["completions", shell]).ended(0, "").says("catchwork").says("results").says("sure");
    }
    folder.run(&["completions", "cmd"]).refused("[possible values: bash,");
}

#[test]
fn the_manual_is_one_page_with_every_command() {
    let manual = Folder::with(&[]).run(&["manual"]).ended(0, "");
    assert_eq!(manual.stdout.matches("\n.TH ").count() + usize::from(manual.stdout.starts_with(".TH ")), 1);
    for command in commands() {
        manual.in_order(&[&format!(".SH CATCHWORK {}\n", command.to_uppercase()), "product label"]);
    }
    for words in [".SH SYNOPSIS", "\\-\\-sure", "fl oz", "Exit status: 0", ".nf\n  catchwork results jobs"] {
        assert!(manual.stdout.contains(words), "{words}\n{manual:#?}");
    }
}

// Units.

#[test]
fn units_print_their_exact_size_and_its_source() {
    let folder = Folder::with(&[]);
    let gallon = folder.run(&["units", "gal"]).ended(0, "").says("gal = 231 * 0.0254^3 m³").says("NIST Handbook 44");
    assert!(!gallon.stdout.contains("acre"), "{gallon:#?}");
    let one = |call: &[&str]| folder.run(call).ended(0, "").stdout;
    assert_eq!(one(&["units", "gallons"]), gallon.stdout, "by any of its names");
    assert_eq!(one(&["units", "fl oz"]), one(&["units", "fl", "oz"]));
    folder.run(&["units", "florb"]).refused("`florb` is no unit");
    folder.run(&["units", "galon"]).refused("gal");
}

#[test]
fn units_without_a_word_are_all_of_them() {
    let all = Folder::with(&[]).run(&["units"]).ended(0, "");
    for unit in ["in", "acre", "imp gal", "tonne", "psi", "°F", "% w/v", "stroke"] {
        assert!(all.stdout.lines().any(|line| line.starts_with(&format!("{unit} = "))), "{unit}\n{all:#?}");
    }
    let units = all.stdout.lines().filter(|line| !line.starts_with(' ')).count();
    assert_eq!(all.stdout.matches("\n  source: ").count(), units, "each has a source");
}

// How a result comes about, and two worksheets held against each other; more in tests/why.rs and tests/compare.rs.

#[test]
fn standard_input_is_explained_and_compared() {
    let run = run_with_input(&["why", "-", "strip", "area"], GOOD).ended(0, "");
    run.in_order(&["Strip", "standard input", "! ", "Water only.", NOTICE, "140.0 ft²", "60 ft * 28 in", "line 3"]);
    let wider = GOOD.replace("28 in", "30 in");
    run_with_input(&["compare", "good.worksheet", "-"], &wider).ended(0, "").says("+7.14 %").says("by spray width");
    run_with_input(&["compare", "-", "good.worksheet"], &wider).ended(0, "").says("-6.67 %");
}

#[test]
fn why_is_1_for_a_check_that_says_no_alone() {
    let folder = Folder::with(&[("no.worksheet", NO)]);
    folder.run(&["why", "no.worksheet", "worn"]).ended(1, "").says("NO  worn").says("past it");
    folder.run(&["why", "no.worksheet", "flow"]).ended(0, "");
}

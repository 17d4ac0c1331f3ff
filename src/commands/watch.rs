//! `catchwork watch`: prints the results of worksheets, and again at every save of one of them or of what it draws on.

use super::args::Watch;
use super::paths::{is_standard_input, is_worksheet_name, named};
use super::reading::Reading;
use super::results::{look, request, show_troubles};
use super::{Status, card, complain};
use anyhow::{Context, Result, bail};
use catchwork::report::letters::clean;
use catchwork::report::{Report, text};
use catchwork::watching::{Interests, Watching};
use std::collections::BTreeSet;
use std::io::Write;
use std::path::{Path, PathBuf};
use std::time::Duration;

/// So long a worksheet that can no longer be worked is taken for one half written.
const PATIENCE: Duration = Duration::from_millis(400);

/// Runs the command, without end.
pub fn run(call: &Watch) -> Result<Status> {
    if call.paths.iter().any(|path| is_standard_input(path)) {
        bail!("standard input is read once, and cannot be watched: name a worksheet or a folder");
    }
    let mut desk = Desk { call, sheets: Vec::new() };
    let mut watching = Watching::new(call.look.map(Duration::from_secs));
    desk.find()?;
    if call.card.is_some() && (desk.sheets.len() != 1 || call.paths.iter().any(|path| path.is_dir())) {
        bail!("a card is of one worksheet: name that one, or leave out --card");
    }
    if call.card.is_some() && !call.run.set.is_empty() {
        bail!("a card takes nothing set for one run: write it in the worksheet, or leave out --card");
    }
    // Only what lies in a folder that is watched cannot be missed: so everything is worked once more from then on.
    desk.work_all(|_| true, false)?;
    while watching.turn_to(desk.interests()) {
        desk.take_up(named(&call.paths)?.worksheets);
        desk.work_all(|_| true, false)?;
    }
    tell_manner(&watching);
    loop {
        let patience = desk.sheets.iter().any(|sheet| sheet.is_held).then_some(PATIENCE);
        let saved = watching.next(patience).context("files can no longer be watched")?;
        if saved.is_empty() {
            desk.work_all(|sheet| sheet.is_held, true)?;
        } else if desk.has_others(&saved) {
            desk.find()?;
            desk.work_all(|_| true, false)?;
        } else {
            desk.work_all(|sheet| sheet.interests.concern(&saved), false)?;
        }
        while watching.turn_to(desk.interests()) {
            // What came into a folder since it was last gone through is watched from now on, so no later change tells of it.
            desk.take_up(named(&call.paths)?.worksheets);
            desk.work_all(|_| true, false)?;
        }
    }
}

fn tell_manner(watching: &Watching) {
    if let Some(why) = watching.looks_because() {
        complain(&format!("saves are not told here ({why}), so that the files are looked at every second"));
    }
    // Where nobody listens there is nothing left to say.
    let _ = writeln!(std::io::stderr().lock(), "Waiting for saves; Ctrl-C ends it.");
}

/// The worksheets watched.
struct Desk<'a> {
    call: &'a Watch,
    sheets: Vec<Sheet>,
}

/// A worksheet that is watched.
struct Sheet {
    path: PathBuf,
    /// What came of it last.
    report: Option<Report>,
    /// What was printed of it last without troubles.
    whole: Option<Report>,
    /// Whether what was saved last is taken for half written.
    is_held: bool,
    interests: Interests,
}

impl Desk<'_> {
    /// Looks for the worksheets named: those that are there no longer are kept, since a save may be under way.
    fn find(&mut self) -> Result<()> {
        let named = named(&self.call.paths)?;
        named.refused.iter().for_each(|refused| complain(refused));
        self.take_up(named.worksheets);
        Ok(())
    }

    /// Takes up those of the worksheets that were not there before.
    fn take_up(&mut self, worksheets: Vec<PathBuf>) {
        let known: BTreeSet<PathBuf> = self.sheets.iter().map(|sheet| sheet.path.clone()).collect();
        let new = worksheets.into_iter().filter(|path| !known.contains(path));
        self.sheets.extend(new.map(|path| Sheet {
            path,
            report: None,
            whole: None,
            is_held: false,
            interests: Interests::default(),
        }));
    }

    /// Whether there may be other worksheets than before in the folders named.
    fn has_others(&self, saved: &BTreeSet<PathBuf>) -> bool {
        let folders = self.folders();
        let is_known = |path: &Path| self.sheets.iter().any(|sheet| same(&sheet.path, path));
        saved
            .iter()
            .any(|path| folders.is_in_folder(path) && (path.is_dir() || is_worksheet_name(path) && !is_known(path)))
    }

    fn folders(&self) -> Interests {
        let mut folders = Interests::default();
        let all = self.call.paths.iter().filter(|path| path.is_dir());
        all.filter_map(|path| path.canonicalize().ok()).for_each(|folder| folders.add_folder(folder));
        folders
    }

    fn interests(&self) -> Interests {
        let mut interests = self.folders();
        self.sheets.iter().for_each(|sheet| interests.add(&sheet.interests));
        interests
    }

    /// Works some of the worksheets again and prints those that come out otherwise.
    fn work_all(&mut self, is_due: impl Fn(&Sheet) -> bool, is_patience_over: bool) -> Result<()> {
        for sheet in self.sheets.iter_mut().filter(|sheet| is_due(sheet)) {
            sheet.work(self.call, is_patience_over)?;
        }
        Ok(())
    }
}

impl Sheet {
    fn work(&mut self, call: &Watch, is_patience_over: bool) -> Result<()> {
        let reading = Reading::new(request(&call.run.set, call.run.today));
        let report = reading.report(&self.path);
        let mut interests = reading.interests();
        interests.add_worksheet(&self.path);
        // Of one that cannot be read one cannot tell what it will draw on: what it drew on last will do.
        if is_whole(&report) {
            self.interests = interests
        } else {
            self.interests.add(&interests)
        }
        if self.report.as_ref() == Some(&report) && !(self.is_held && is_patience_over) {
            self.is_held &= !is_whole(&report);
            return Ok(());
        }
        self.is_held = !is_whole(&report) && self.whole.is_some() && !is_patience_over;
        if !self.is_held {
            self.print(call, &report)?;
        }
        if is_whole(&report) {
            self.whole = Some(report.clone());
        }
        self.report = Some(report);
        Ok(())
    }

    /// Prints what came of it. Of one that no longer can be worked, the results above still stand.
    fn print(&self, call: &Watch, report: &Report) -> Result<()> {
        let look = look(call.plain);
        let mut stdout = std::io::stdout().lock();
        if self.report.is_some() {
            writeln!(stdout, "\n\n{}", saved_line(report, call.plain))?;
        }
        match &self.whole {
            Some(whole) if is_whole(report) => {
                writeln!(stdout, "{}", text::text_since(report, whole, &look).trim_end())?
            }
            Some(_) => writeln!(
                stdout,
                "It cannot be worked as it is now. The results above are of the last save that could."
            )?,
            None => writeln!(stdout, "{}", text::text(report, &look).trim_end())?,
        }
        stdout.flush()?;
        show_troubles(report)?;
        match &call.card {
            // From the second time on the page that is there is this one's own.
            Some(out) => keep_card(out, report, &self.interests, call.replace || self.report.is_some()),
            None => Ok(()),
        }
    }
}

/// Writes the card anew. Where none can be made, the one that is there stays, and that is said.
fn keep_card(out: &Path, report: &Report, read: &Interests, replace: bool) -> Result<()> {
    if let Err(no_card) = card::write(out, report, read, replace)? {
        let (sheet, out) = (&report.worksheet, out.display());
        complain(&format!("there is no card of {sheet}: {}. {out} is as it was before", card::says(&no_card)));
    }
    Ok(())
}

/// Whether a report is of a whole worksheet: an editor that writes in place leaves it empty for a moment.
fn is_whole(report: &Report) -> bool {
    let is_empty = report.values.is_empty() && report.tables.is_empty() && report.checks.is_empty();
    report.troubles.is_empty() && !is_empty
}

fn saved_line(report: &Report, plain: bool) -> String {
    let time = jiff::ZonedDateTime::now().strftime("%H:%M:%S").to_string();
    let stroke = if plain { "--" } else { "──" };
    format!("{stroke} {time}  {} {stroke}", clean(&report.worksheet))
}

fn same(one: &Path, other: &Path) -> bool {
    one.canonicalize().is_ok_and(|one| one == other)
}

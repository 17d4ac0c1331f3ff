//! The dialogue of `catchwork fill`: one question after the other at a terminal, and what each answer comes to. All of
//! it goes to the terminal, nothing to standard output.

use super::args::Fill;
use super::results::{WIDTH, WIDTHS};
use super::{Status, colour};
use anyhow::Result;
use catchwork::filled::{Filling, News, Prose, Question};
use catchwork::report::Report;
use catchwork::report::data::{Outcome, ReportCheck, ReportTrouble};
use catchwork::report::figures::{Figures, needs_advice, of_cell, of_value, outcome_word};
use catchwork::report::layout::{Columns, Piece, Row, Tone, paragraph};
use catchwork::report::letters::clean;
use catchwork::report::shown::part_words;
use rustyline::error::ReadlineError;
use rustyline::history::MemHistory;
use rustyline::{Behavior, Config, Editor};
use std::io::Write;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// What one can do besides answering.
const KEYS: &str = "Enter leaves a line as it stands; ____ makes it blank again; < goes back one; Ctrl-D leaves all the \
                    rest as it stands; Ctrl-C stops and writes nothing.";

/// How the asking ended.
pub enum End {
    /// All is asked, or the rest is to stay as it stands.
    Done(GoOn),
    /// It was stopped; how to go on has been said.
    Stopped,
}

/// The call that goes on with what has been answered so far.
#[derive(Clone, Default)]
pub struct GoOn(Arc<Mutex<String>>);

impl GoOn {
    fn held(&self) -> MutexGuard<'_, String> {
        self.0.lock().unwrap_or_else(PoisonError::into_inner)
    }

    /// Writes, and says how to go on where that fails. Ctrl-C waits meanwhile, so that what is written is whole.
    ///
    /// # Errors
    /// Those of writing.
    pub fn or_writes(&self, write: impl FnOnce() -> Result<Status>) -> Result<Status> {
        let mut call = self.held();
        let status = write();
        match status {
            Ok(Status::Worked) => call.clear(),
            _ => tell(&format!("To go on from here:\n\n{call}")),
        }
        status
    }

    /// Has Ctrl-C say how to go on and end the program, also while it works and where the terminal edits its lines
    /// itself.
    #[cfg(unix)]
    fn at_interrupt(&self) -> Result<()> {
        let mut signals = signal_hook::iterator::Signals::new([signal_hook::consts::SIGINT])?;
        let go_on = self.clone();
        std::thread::spawn(move || {
            if signals.forever().next().is_some() {
                go_on.stop();
                std::process::exit(i32::from(super::STOPPED));
            }
        });
        Ok(())
    }

    #[cfg(not(unix))]
    fn at_interrupt(&self) -> Result<()> {
        Ok(())
    }

    /// Says that it is stopped; where all is written already there is nothing to say.
    fn stop(&self) {
        let call = self.held();
        if !call.is_empty() {
            tell(&format!("\nStopped; nothing is written. To go on from here:\n\n{call}"));
        }
    }
}

/// Says something; where nobody listens any more there is nothing left to do about it.
fn tell(words: &str) {
    let _ = writeln!(std::io::stderr().lock(), "{words}");
}

/// One dialogue.
pub struct Asking<'a> {
    call: &'a Fill,
    editor: Editor<(), MemHistory>,
    page: Page,
    go_on: GoOn,
}

impl<'a> Asking<'a> {
    /// Begins with what stands above everything: the title, the cautions, the notice, and what the call has brought
    /// about already.
    ///
    /// # Errors
    /// Where the terminal cannot be had.
    pub fn begin(call: &'a Fill, filling: &Filling, news: &News) -> Result<Self> {
        // The terminal itself, so that standard output stays free for what is written.
        let config = Config::builder().behavior(Behavior::PreferTerm).build();
        let editor = Editor::with_history(config, MemHistory::new())?;
        let asking = Self { call, editor, page: Page::of_terminal(), go_on: GoOn::default() };
        asking.note_down(filling);
        asking.go_on.at_interrupt()?;
        asking.page.head(filling.report())?;
        asking.page.news(news)?;
        Ok(asking)
    }

    /// Asks for everything that the call does not give.
    ///
    /// # Errors
    /// Where the terminal is gone.
    pub fn ask(mut self, filling: &mut Filling) -> Result<End> {
        let all: Vec<Question> = filling.questions().to_vec();
        let is_open =
            |(number, question): &(usize, &Question)| question.is_asked && filling.answer_of(*number).is_none();
        let open: Vec<usize> = all.iter().enumerate().filter(is_open).map(|(number, _)| number).collect();
        let (mut at, mut told) = (0, 0);
        while let Some(number) = open.get(at).copied() {
            // What stands above a question is told once, however often one goes back.
            let above = all.iter().enumerate().take(number + 1).skip(told);
            above.clone().try_for_each(|(above, question)| self.above(filling, above, question, above == number))?;
            told = told.max(number + 1);
            self.page.line(filling, number)?;
            let typed = self.editor.readline(&format!("{} of {}> ", at + 1, open.len()));
            match typed.as_deref().map(str::trim) {
                Ok("") => at += 1,
                Ok("<") => at = at.saturating_sub(1),
                Ok(typed) => at += usize::from(self.is_taken(filling, number, typed)?),
                Err(ReadlineError::Eof) => break,
                Err(_) => {
                    self.go_on.stop();
                    return Ok(End::Stopped);
                }
            }
        }
        self.page.say("", Tone::Plain)?;
        Ok(End::Done(self.go_on))
    }

    /// What stands above a question, and its line where the call has answered it.
    fn above(&self, filling: &Filling, number: usize, question: &Question, is_next: bool) -> Result<()> {
        self.page.prose(&question.prose)?;
        let is_given = !is_next && question.is_asked && filling.answer_of(number).is_some();
        if is_given { self.page.line(filling, number) } else { Ok(()) }
    }

    /// Whether an answer is taken; what it comes to is told, or what is wrong with it.
    fn is_taken(&mut self, filling: &mut Filling, number: usize, typed: &str) -> Result<bool> {
        self.editor.add_history_entry(typed)?;
        match filling.answer(number, typed) {
            Ok(news) => {
                self.note_down(filling);
                self.page.news(&news)?;
                Ok(true)
            }
            Err(troubles) => {
                self.page.troubles(&troubles)?;
                Ok(false)
            }
        }
    }

    /// Keeps the call that goes on from here.
    fn note_down(&self, filling: &Filling) {
        let (template, new) = (self.call.template.to_string_lossy(), self.call.new.to_string_lossy());
        let options = [(self.call.linked, "--linked"), (self.call.replace, "--replace")];
        let options = options.iter().filter(|(is_said, _)| *is_said).map(|(_, option)| (*option).to_owned());
        let words = ["catchwork", "fill", &*template, &*new].map(str::to_owned);
        let words = words.into_iter().chain(options).chain(filling.answers());
        let quoted =
            words.map(|word| shlex::try_quote(&clean(&word)).map(|word| word.into_owned()).unwrap_or_default());
        *self.go_on.held() = quoted.collect::<Vec<_>>().join(" ");
    }
}

/// What goes to the terminal, within its width.
struct Page {
    width: usize,
    colour: bool,
}

impl Page {
    fn of_terminal() -> Self {
        let own = terminal_size::terminal_size_of(std::io::stderr());
        let width = own.map_or(WIDTH, |(width, _)| usize::from(width.0).clamp(WIDTHS.0, WIDTHS.1));
        Self { width, colour: colour(&std::io::stderr()) }
    }

    fn lines(&self, lines: &[String]) -> Result<()> {
        let mut stream = std::io::stderr().lock();
        for line in lines {
            writeln!(stream, "{line}")?;
        }
        Ok(())
    }

    fn say(&self, words: &str, tone: Tone) -> Result<()> {
        self.lines(&paragraph(&Piece::new(clean(words), tone), 0, self.width, self.colour))
    }

    /// Rows with a mark before them, the words in a column of their own.
    fn rows(&self, rows: &[Row], indent: usize) -> Result<()> {
        let columns = Columns::of(&rows.iter().collect::<Vec<_>>(), self.width.saturating_sub(indent));
        self.lines(&columns.lines(rows, indent, self.colour))
    }

    /// Words behind a mark, all of their lines beside it.
    fn marked(&self, mark: &str, words: &str, tone: Tone) -> Result<()> {
        self.rows(&[Row::new([mark, words].map(|words| Piece::new(clean(words), tone)))], 0)
    }

    fn head(&self, report: &Report) -> Result<()> {
        if let Some(title) = &report.title {
            self.say(title, Tone::Strong)?;
        }
        self.say("", Tone::Plain)?;
        report.cautions.iter().try_for_each(|caution| self.marked("!", caution, Tone::Warning))?;
        self.say(&report.notice, Tone::Plain)?;
        self.say("", Tone::Plain)?;
        if let Some(today) = &report.today {
            self.say(&format!("today taken to be {today}"), Tone::Quiet)?;
        }
        self.say(KEYS, Tone::Quiet)
    }

    /// A section and the notes that belong together stand apart from what is above them.
    fn prose(&self, prose: &[Prose]) -> Result<()> {
        for (number, part) in prose.iter().enumerate() {
            if number == 0 || matches!(part, Prose::Section(_)) {
                self.say("", Tone::Plain)?;
            }
            match part {
                Prose::Section(heading) => self.say(&format!("## {heading}"), Tone::Strong)?,
                Prose::Note(note) => self.marked("--", note, Tone::Quiet)?,
            }
        }
        Ok(())
    }

    /// A line as it stands, with its remark.
    fn line(&self, filling: &Filling, number: usize) -> Result<()> {
        let line = filling.line(number).unwrap_or_default();
        let remark = filling.questions().get(number).and_then(|question| question.remark.as_ref());
        let remark = remark.map(|remark| format!("  -- {remark}")).unwrap_or_default();
        self.say(&format!("{line}{remark}"), Tone::Strong)
    }

    fn troubles(&self, troubles: &[ReportTrouble]) -> Result<()> {
        troubles.iter().try_for_each(|trouble| self.lines(std::slice::from_ref(&trouble.display)))
    }

    fn news(&self, news: &News) -> Result<()> {
        for (name, cell) in &news.cells {
            self.value(name, &of_cell(cell, "", name))?;
        }
        for value in &news.values {
            self.value(&value.name, &of_value(value))?;
        }
        news.checks.iter().try_for_each(|check| self.check(check))
    }

    fn value(&self, name: &str, figures: &Figures) -> Result<()> {
        let parts: Vec<String> = figures.parts.iter().map(part_words).collect();
        let row = Row::new([
            Piece::new("=", Tone::Quiet),
            Piece::new(clean(&format!("{name} = {}", parts.join("; "))), Tone::Plain),
        ]);
        let remarks = figures.remarks.iter().map(|remark| Row::below(Piece::new(clean(remark), Tone::Quiet), 2));
        self.rows(&std::iter::once(row).chain(remarks).collect::<Vec<_>>(), 2)
    }

    /// A check that has come out, and what to do about it.
    fn check(&self, check: &ReportCheck) -> Result<()> {
        let (word, tone) = match check.outcome {
            Outcome::No => (outcome_word(check.outcome).to_uppercase(), Tone::Bad),
            Outcome::Close => (outcome_word(check.outcome).to_owned(), Tone::Warning),
            _ => (outcome_word(check.outcome).to_owned(), Tone::Good),
        };
        let said = clean(&format!("{}: {}", check.label, check.compared));
        let row = Row::new([Piece::new(word, tone), Piece::new(said, Tone::Plain)]);
        let advice = check.advice.iter().filter(|_| needs_advice(check.outcome)).map(|advice| format!("→ {advice}"));
        let below = advice.chain(check.remarks.iter().cloned());
        let below = below.map(|said| Row::below(Piece::new(clean(&said), Tone::Strong), 2));
        self.rows(&std::iter::once(row).chain(below).collect::<Vec<_>>(), 2)
    }
}

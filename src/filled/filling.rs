//! Filling: a worksheet while it is filled in. An answer is kept only if it belongs in its place and the whole sheet
//! works with it.

use super::lines;
use super::news::News;
use super::questions::{self, Part, Question};
use crate::book::{Book, Settled};
use crate::checked::answers::{self, Wanted};
use crate::checked::scope;
use crate::report::Report;
use crate::report::build::trouble_of;
use crate::report::data::ReportTrouble;
use crate::syntax::layout::layout;
use crate::syntax::tree;
use crate::text::{Place, Source};
use crate::trouble::{self, Kind, Trouble};
use crate::unread;

/// A worksheet while it is filled in.
pub struct Filling {
    book: Book,
    path: String,
    /// The worksheet with nothing filled in.
    blank: Settled,
    questions: Vec<Question>,
    /// What each question has been answered with, as it stands in the text; none where nothing is changed.
    answers: Vec<Option<String>>,
    /// What it all comes to so far.
    report: Report,
}

impl Filling {
    /// Begins with a text that is called `name` and is to stand at `path` in the book's crew folder.
    ///
    /// # Errors
    /// The report of the text, where it is in trouble before anything is filled in.
    pub fn begin(book: Book, name: &str, path: &str, text: String) -> Result<Self, Box<Report>> {
        let source = match Source::new(name, text.into_bytes()) {
            Ok(source) => source,
            Err(error) => return Err(Box::new(unread(name, trouble::unreadable(error), book.request()))),
        };
        let blank = book.settle(source, path);
        let report = book.report_of(&blank);
        if !report.troubles.is_empty() {
            return Err(Box::new(report));
        }
        let questions = questions::questions(&blank);
        let answers = vec![None; questions.len()];
        Ok(Self { book, path: path.to_owned(), blank, questions, answers, report })
    }

    /// All that can be filled in, in the order of the sheet.
    pub fn questions(&self) -> &[Question] {
        &self.questions
    }

    /// What it all comes to so far.
    pub fn report(&self) -> &Report {
        &self.report
    }

    /// A question's line as it stands now.
    pub fn line(&self, number: usize) -> Option<String> {
        let question = self.questions.get(number)?;
        Some(question.line(self.answer_of(number).unwrap_or(&question.standing)))
    }

    /// What a question has been answered with.
    pub fn answer_of(&self, number: usize) -> Option<&str> {
        self.answers.get(number)?.as_deref()
    }

    /// Every answer as a call gives it: `passes.walk, first : 21.4 s`.
    pub fn answers(&self) -> impl Iterator<Item = String> {
        let answered = self.questions.iter().zip(&self.answers);
        answered.filter_map(|(question, answer)| Some(format!("{} : {}", question.name, answer.as_ref()?)))
    }

    /// Blank measures of the crew's own that only the template itself can give a size.
    pub fn out_of_reach(&self) -> impl Iterator<Item = &str> {
        let is_asked = |name: &str| self.questions.iter().any(|question| question.name == name);
        let blanks = self.report.waiting.iter().map(|blank| blank.name.as_str());
        blanks.filter(move |name| self.is_measure(name) && !is_asked(name))
    }

    /// Answers a question whose blank the writer sees; a line of underscores takes an answer back.
    ///
    /// # Errors
    /// What is wrong with the answer; the sheet then is as it was before.
    pub fn answer(&mut self, number: usize, given: &str) -> Result<News, Vec<ReportTrouble>> {
        let name = self.questions.get(number).map_or("", |question| question.name.as_str());
        let source = Source::of_text(name, given.trim().to_owned());
        let place = Place::new(0, 0, source.text.len());
        let answer =
            self.in_words(number, &source, place, true).map_err(|trouble| vec![self.shown(&trouble, source)])?;
        let Some(own) = self.answers.get_mut(number) else { return Ok(News::default()) };
        let before = std::mem::replace(own, answer);
        let worked = self.work();
        if let (Err(_), Some(own)) = (&worked, self.answers.get_mut(number)) {
            *own = before;
        }
        worked
    }

    /// Answers questions by name, each given as `name : value`.
    ///
    /// # Errors
    /// All that is wrong with them; the filling is then of no more use.
    pub fn answer_all(&mut self, given: &[String]) -> Result<News, Vec<ReportTrouble>> {
        let mut troubles = Vec::new();
        for text in given {
            let source = Source::of_text("in the call", text.clone());
            match self.named(&source) {
                Ok((number, answer)) => {
                    self.answers.iter_mut().skip(number).take(1).for_each(|own| *own = answer.clone())
                }
                Err(trouble) => troubles.push(self.shown(&trouble, source)),
            }
        }
        if troubles.is_empty() { self.work() } else { Err(troubles) }
    }

    /// The whole text as `format` lays it out.
    ///
    /// # Errors
    /// Its report, where the whole does not work after all.
    pub fn text(&self) -> Result<String, Box<Report>> {
        let text = self.filled();
        let source = Source::of_text(self.name(), text.clone());
        let text = layout(&source).unwrap_or(text);
        let settled = self.book.settle(Source::of_text(self.name(), text.clone()), &self.path);
        let report = self.book.report_of(&settled);
        if report.troubles.is_empty() { Ok(text) } else { Err(Box::new(report)) }
    }

    fn name(&self) -> &str {
        self.blank.sources.first().map_or("", |source| source.name.as_str())
    }

    fn filled(&self) -> String {
        lines::filled(&self.blank, &self.questions, &self.answers)
    }

    /// Works the whole with all answers in it.
    fn work(&mut self) -> Result<News, Vec<ReportTrouble>> {
        let name = self.name().to_owned();
        let report = match Source::new(&name, self.filled().into_bytes()) {
            Ok(source) => {
                let settled = self.book.settle(source, &self.path);
                self.book.report_of(&settled)
            }
            Err(error) => unread(&name, trouble::unreadable(error), self.book.request()),
        };
        if !report.troubles.is_empty() {
            return Err(report.troubles);
        }
        let news = News::between(&self.report, &report);
        self.report = report;
        Ok(news)
    }

    /// An answer as it stands in the text; none where the blank stays as it is.
    fn in_words(&self, number: usize, given: &Source, place: Place, is_seen: bool) -> Result<Option<String>, Trouble> {
        let Some(question) = self.questions.get(number) else { return Ok(None) };
        if !question.has_value && answers::is_blank(given.slice(place)) {
            return Ok(None);
        }
        let wanted = Wanted { kind: &question.kind, standing: &question.standing, asked: question.asked(is_seen) };
        answers::in_words(&self.blank.checked, wanted, given, place).map(Some)
    }

    /// Which question `name : value` answers, and with what.
    fn named(&self, given: &Source) -> Result<(usize, Option<String>), Trouble> {
        let text = &*given.text;
        let is_sign = |question: &Question, sign: &str| sign == ":" || question.part == Part::Measure;
        let found = text.match_indices([':', '=']).find_map(|(at, sign)| {
            let (name, _) = text.split_at_checked(at)?;
            let name = questions::key(name);
            let number = self.questions.iter().position(|question| questions::key(&question.name) == name)?;
            self.questions.get(number).filter(|question| is_sign(question, sign))?;
            Some((number, at))
        });
        let Some((number, at)) = found else { return Err(self.unnamed(text)) };
        let named = Place::new(0, 0, text.split_at_checked(at).map_or(0, |(name, _)| name.trim_end().len()));
        if self.answer_of(number).is_some() {
            let name = self.questions.get(number).map_or_else(String::new, |question| question.name.clone());
            return Err(Trouble::new(named, Kind::FilledTwice { name }));
        }
        let value = text.get(at + 1..).unwrap_or("");
        let start = text.len() - value.trim_start().len();
        let place = Place::new(0, start, text.trim_end().len().max(start));
        if place.range().is_empty() {
            return Err(Trouble::new(named, Kind::MissingValue));
        }
        Ok((number, self.in_words(number, given, place, false)?))
    }

    /// Why a text answers no question.
    fn unnamed(&self, text: &str) -> Trouble {
        let Some((name, value)) = text.split_once([':', '=']) else {
            return Trouble::new(Place::new(0, 0, text.len()), Kind::ValueWithoutName { text: text.to_owned() });
        };
        let place = Place::new(0, 0, name.trim_end().len());
        let key = questions::key(name);
        let name = name.trim().to_owned();
        if self.questions.iter().any(|question| questions::key(&question.name) == key) {
            let instead = format!("{name} : {}", value.trim());
            return Trouble::new(Place::new(0, 0, text.len()), Kind::ValueAfterEquals { instead });
        }
        if self.is_measure(&name) {
            return Trouble::new(place, Kind::MeasureOfTemplate { name });
        }
        if self.is_worked(&key) {
            return Trouble::new(place, Kind::WorkedNotFilled { name });
        }
        let names = self.questions.iter().map(|question| question.name.as_str());
        let near = scope::nearest(&key, names).unwrap_or_default().to_owned();
        Trouble::new(place, Kind::NoSuchBlank { name, near })
    }

    /// Whether a result is called so, or a cell that is worked out.
    fn is_worked(&self, key: &str) -> bool {
        let checked = &self.blank.checked;
        let cells = checked.tables.iter().flat_map(|table| {
            let columns = table.columns.iter().filter(|column| column.formula.is_some());
            columns.flat_map(move |column| {
                table.rows.iter().map(move |row| format!("{}.{}, {}", table.name, column.name, row.label))
            })
        });
        checked.slots.iter().any(|slot| tree::has_key(&slot.name, key))
            || cells.into_iter().any(|cell| questions::key(&cell) == key)
    }

    fn is_measure(&self, name: &str) -> bool {
        let slots = &self.blank.checked.slots;
        slots.iter().any(|slot| slot.is_crew_measure && tree::key(&slot.name) == questions::key(name))
    }

    fn shown(&self, trouble: &Trouble, source: Source) -> ReportTrouble {
        trouble_of(trouble, &[source], self.book.request().colour)
    }
}

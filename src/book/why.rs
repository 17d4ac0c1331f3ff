//! How a value comes about over all worksheets that it is drawn through: each is worked once, and what one of them
//! draws on is gone into in the other.

use super::{Book, Settled};
use crate::report::Report;
use crate::report::why::explain::{Drawn, Explainer};
use crate::report::why::places::{Give, Others, Places};
use crate::report::why::targets::targets;
use crate::report::why::{SheetWhy, Why};
use crate::text::Source;
use crate::text::crew_folder::Kept;
use crate::text::source::MOST_BYTES;
use crate::trouble::Kind;
use std::collections::{BTreeSet, HashMap};
use std::rc::Rc;
use std::sync::Arc;

/// The report of a worksheet, and how what was asked about comes about in it; more than one thing may go by one name.
pub struct Explained {
    /// The report.
    pub report: Report,
    /// How it comes about, or why that cannot be told.
    pub whys: Result<Vec<Why>, Kind>,
}

/// A worksheet with its report.
struct Known {
    settled: Settled,
    report: Report,
}

/// Other worksheets, worked as they are asked for.
struct Elsewhere<'b> {
    book: &'b Book,
    known: HashMap<String, Option<Rc<Known>>>,
}

impl Book {
    /// How what is called `asked` comes about in a worksheet that is called `name` and stands at `path` in the folder.
    ///
    /// # Errors
    /// The report of a worksheet that cannot be read.
    pub fn why(&self, name: &str, path: &str, bytes: Vec<u8>, asked: &str) -> Result<Explained, Box<Report>> {
        // What is drawn on is worked for the values drawn, and again where it is gone into; it is read once.
        let book = Self::new(Arc::new(Kept::over(self.folder.clone())), self.request.clone());
        let settled = book.work(name, path, bytes)?;
        let report = book.report_of(&settled);
        let whys = book.whys(&settled, &report, asked);
        Ok(Explained { report, whys })
    }

    /// How what is called `asked` comes about in a worksheet that has been worked and reported.
    ///
    /// # Errors
    /// Where nothing goes by the name, or no single value.
    pub fn whys(&self, settled: &Settled, report: &Report, asked: &str) -> Result<Vec<Why>, Kind> {
        let targets = targets(&settled.checked, asked)?;
        let mut others = Elsewhere { book: self, known: HashMap::new() };
        let mut explainer = self.explainer(settled, report);
        let mut whys = Vec::with_capacity(targets.len());
        for target in targets {
            let (mut why, drawn) = explainer.explain(target, &mut others);
            why.sheets.extend(others.sheets(drawn));
            whys.push(why);
        }
        Ok(whys)
    }

    fn explainer<'s>(&self, settled: &'s Settled, report: &'s Report) -> Explainer<'s> {
        Explainer::new(&settled.sheet(&self.request), report, &settled.gathered.paths, self.request.today)
    }
}

impl Elsewhere<'_> {
    /// The steps in other worksheets down from the values that were drawn, and in those that these draw on.
    fn sheets(&mut self, drawn: Vec<Drawn>) -> Vec<SheetWhy> {
        let mut asked: BTreeSet<Drawn> = drawn.iter().cloned().collect();
        let mut paths: Vec<String> = Vec::new();
        let mut open = drawn;
        while let Some(next) = open.pop() {
            if !paths.contains(&next.path) {
                paths.push(next.path.clone());
            }
            let (_, deeper) = self.steps(&next.path, &asked);
            open.extend(deeper.into_iter().filter(|deeper| asked.insert(deeper.clone())));
        }
        let steps = |path: &String| {
            let (steps, _) = self.steps(path, &asked);
            Some(SheetWhy { file: Some(path.clone()), ..steps? })
        };
        paths.iter().filter_map(steps).collect()
    }

    /// The steps in one worksheet down from those values of it that are asked for.
    fn steps(&mut self, path: &str, asked: &BTreeSet<Drawn>) -> (Option<SheetWhy>, Vec<Drawn>) {
        let Some(known) = self.known(path) else { return (None, Vec::new()) };
        let names = asked.iter().filter(|drawn| drawn.path == path).map(|drawn| drawn.name.as_str());
        let (steps, drawn) = self.book.explainer(&known.settled, &known.report).down_from(names, self);
        (Some(steps), drawn)
    }

    fn known(&mut self, path: &str) -> Option<Rc<Known>> {
        if let Some(known) = self.known.get(path) {
            return known.clone();
        }
        let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
        let source = self.book.folder.read(path, most).ok().and_then(|bytes| Source::new(path, bytes).ok());
        let known = source.map(|source| {
            let settled = self.book.first(source, path, &[]);
            let report = self.book.report_of(&settled);
            Rc::new(Known { settled, report })
        });
        self.known.insert(path.to_owned(), known.clone());
        known
    }
}

impl Others for Elsewhere<'_> {
    fn value(&mut self, path: &str, row: Option<&(String, String)>, name: &str) -> Option<String> {
        let known = self.known(path)?;
        Places::of(&self.book.sheet(&known.settled)).value(row, name)
    }

    fn give(&mut self, path: &str, name: &str) -> Option<Give> {
        let known = self.known(path)?;
        let give = Places::of(&self.book.sheet(&known.settled)).give(name)?;
        Some(Give { place: format!("{path}, {}", give.place), ..give })
    }
}

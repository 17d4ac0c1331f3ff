//! What asked for a worksheet, back to the one that was called for, so that circles are told. It opens no file.

use super::Key;
use crate::checked::drawn::Drawn;
use std::cell::{Cell, RefCell};
use std::collections::HashMap;
use std::sync::Arc;

/// A worksheet that is being worked, and the one that asked for it.
#[derive(Clone, Copy)]
pub(super) struct Asked<'a> {
    /// Where it stands in the crew folder.
    pub(super) path: &'a str,
    by: Option<&'a Asked<'a>>,
    /// What one hand does from the first worksheet on.
    pub(super) run: &'a Run,
}

impl<'a> Asked<'a> {
    /// The worksheet that was called for.
    pub(super) fn first(path: &'a str, run: &'a Run) -> Self {
        Self { path, by: None, run }
    }

    /// A worksheet that this one asks for.
    pub(super) fn asks<'b>(&'b self, path: &'b str) -> Asked<'b> {
        Asked { path, by: Some(self), run: self.run }
    }

    /// Whether it is the one that was called for.
    pub(super) fn is_first(&self) -> bool {
        self.by.is_none()
    }

    fn chain(&self) -> impl Iterator<Item = &str> {
        std::iter::successors(Some(self), |asked| asked.by).map(|asked| asked.path)
    }

    /// Whether a worksheet is this one or one of those that asked for it.
    pub(super) fn is_for(&self, path: &str) -> bool {
        self.chain().any(|other| other == path)
    }

    /// The circle that is closed by asking for one of them again, in words.
    pub(super) fn circle(&self, path: &str) -> String {
        let mut chain: Vec<&str> = self.chain().collect();
        chain.reverse();
        chain.push(path);
        chain.join(" from ")
    }
}

/// What one hand has met. What comes out where a circle is met depends on where the circle was entered; so it is kept
/// for this run alone, and every run gives the same whatever others have done.
#[derive(Default)]
pub(super) struct Run {
    kept: RefCell<HashMap<Key, Arc<Drawn>>>,
    met: Cell<usize>,
    closed: RefCell<Vec<Circle>>,
    of_files: RefCell<Vec<Circle>>,
}

/// A value that depends on itself by way of other worksheets, or worksheets that draw on each other.
#[derive(Clone)]
pub(super) struct Circle {
    /// The worksheet it begins and ends at.
    pub(super) at: String,
    /// The worksheets on the way, in words.
    pub(super) chain: String,
}

impl Run {
    /// How often a circle was met so far.
    pub(super) fn met(&self) -> usize {
        self.met.get()
    }

    /// A circle is met.
    pub(super) fn meet(&self) {
        self.met.set(self.met.get() + 1);
    }

    /// A circle of worksheets that draw on each other is met.
    pub(super) fn close_files(&self, circle: Circle) {
        self.meet();
        self.of_files.borrow_mut().push(circle);
    }

    /// How many such circles were met so far.
    pub(super) fn circles(&self) -> usize {
        self.of_files.borrow().len()
    }

    /// The worksheets on such a circle that begins and ends at one, in words, of those met after so many.
    pub(super) fn circle_at(&self, path: &str, after: usize) -> Option<String> {
        self.of_files.borrow().iter().skip(after).find(|circle| circle.at == path).map(|circle| circle.chain.clone())
    }

    /// A circle of values is met.
    pub(super) fn close(&self, circle: Circle) {
        self.meet();
        self.closed.borrow_mut().push(circle);
    }

    /// The circles of values met so far.
    pub(super) fn closed(&self) -> Vec<Circle> {
        self.closed.borrow().clone()
    }

    /// What came of a worksheet within a circle.
    pub(super) fn kept(&self, key: &Key) -> Option<Arc<Drawn>> {
        let kept = self.kept.borrow().get(key).cloned();
        if kept.is_some() {
            self.meet();
        }
        kept
    }

    /// Keeps what came of a worksheet within a circle.
    pub(super) fn keep(&self, key: Key, drawn: Arc<Drawn>) {
        self.kept.borrow_mut().insert(key, drawn);
    }
}

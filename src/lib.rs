//! Catchwork: worksheets for people who calibrate hand-carried sprayers and spreaders.
//!
//! Data flows one way: text → syntax → checked → worked → report. [`work`] is the whole way in five calls; each stage
//! is a module that names no later one. `units`, `quantity` and `trouble` are leaves that serve them all.

// The grammar's generated code names it: pest goes without `std`, and so without a stack guard at each rule, since
// nesting is counted before the grammar sees a text.
extern crate alloc;

pub mod text;

pub mod syntax;

pub mod gathered;

pub mod checked;

pub mod worked;

pub mod report;

pub mod book;

pub mod each;
pub mod editing;
pub mod filled;

pub mod hands;
pub mod quantity;
pub mod trouble;
pub mod units;
pub mod watching;

use book::Book;
use quantity::Moment;
use report::Report;
use std::sync::Arc;
use text::Source;
use text::crew_folder::Alone;
use trouble::{Kind, Trouble};

/// How a worksheet is to be worked.
#[derive(Debug, Clone)]
pub struct Request {
    /// Entries set for this run, each as `name : value`.
    pub set: Vec<String>,
    /// The day that `today` stands for.
    pub today: Moment,
    /// Whether troubles are shown in colour.
    pub colour: bool,
}

/// Works a worksheet that stands alone, from its bytes: the report says everything, troubles included.
pub fn work(name: &str, bytes: Vec<u8>, request: &Request) -> Report {
    Book::new(Arc::new(Alone), request.clone()).report(name, "", bytes)
}

/// The report of a worksheet that cannot be read at all.
pub fn unread(name: &str, kind: Kind, request: &Request) -> Report {
    let sources = [Source::of_text(name, String::new())];
    let trouble = Trouble::new(text::Place::default(), kind);
    Report {
        program: format!("catchwork {}", env!("CARGO_PKG_VERSION")),
        schema: 1,
        worksheet: name.to_owned(),
        // Nothing was read, and nothing has no fingerprint.
        fingerprint: String::new(),
        notice: report::data::NOTICE.to_owned(),
        set: request.set.clone(),
        troubles: vec![report::build::trouble_of(&trouble, &sources, request.colour)],
        ..Report::default()
    }
}

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

pub mod quantity;
pub mod trouble;
pub mod units;

use quantity::Moment;
use report::Report;
use report::build::Sheet;
use text::Source;
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

/// Works a worksheet from its bytes: the report says everything, troubles included.
pub fn work(name: &str, bytes: Vec<u8>, request: &Request) -> Report {
    let source = match Source::new(name, bytes) {
        Ok(source) => source,
        Err(unreadable) => return unread(name, trouble::unreadable(unreadable), request),
    };
    let parsed = syntax::parse(&source, 0);
    let mut sources = vec![source];
    let (settings, mut refused) = settings(&request.set, &mut sources);
    let mut checked = checked::settle(&parsed, &sources, &settings);
    checked.troubles.append(&mut refused);
    let worked = worked::work(&checked, &sources, request.today);
    let today = request.today.to_string();
    report::build::report(&Sheet {
        sources: &sources,
        checked: &checked,
        worked: &worked,
        today,
        set: request.set.clone(),
        colour: request.colour,
    })
}

/// The report of a worksheet that cannot be read at all.
pub fn unread(name: &str, kind: Kind, request: &Request) -> Report {
    let sources = [Source::of_text(name, String::new())];
    let trouble = Trouble::new(text::Place::default(), kind);
    Report {
        program: format!("catchwork {}", env!("CARGO_PKG_VERSION")),
        schema: 1,
        worksheet: name.to_owned(),
        fingerprint: sources.iter().map(Source::fingerprint).collect(),
        notice: report::data::NOTICE.to_owned(),
        set: request.set.clone(),
        troubles: vec![report::build::trouble_of(&trouble, &sources, request.colour)],
        ..Report::default()
    }
}

/// Reads what is set for this run; each is a text of its own after the worksheet's.
fn settings(
    set: &[String],
    sources: &mut Vec<Source>,
) -> (Vec<(syntax::tree::Name, syntax::tree::Literal)>, Vec<Trouble>) {
    let (mut settings, mut refused) = (Vec::new(), Vec::new());
    for text in set {
        let source = Source::of_text("--set", text.clone());
        let number = u16::try_from(sources.len()).unwrap_or(u16::MAX);
        match syntax::parse::parse_setting(&source, number) {
            Ok(setting) => settings.push(setting),
            Err(trouble) => refused.push(trouble),
        }
        sources.push(source);
    }
    (settings, refused)
}

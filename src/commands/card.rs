//! `catchwork card`: a field card of one worksheet, one page to print or to open on a telephone.

use super::args::Card;
use super::reading::Reading;
use super::results::{request, show_troubles};
use super::{Status, complain, writing};
use anyhow::{Context, Result, bail};
use catchwork::report::Report;
use catchwork::report::card::{NoCard, card};
use catchwork::report::data::Outcome;
use catchwork::watching::Interests;
use std::path::Path;

/// Runs the command.
pub fn run(call: &Card) -> Result<Status> {
    let reading = Reading::new(request(&[], call.today));
    let report = reading.report(&call.file);
    let mut read = reading.interests();
    read.add_worksheet(&call.file);
    if let Err(no_card) = write(&call.out, &report, &read, call.replace)? {
        show_troubles(&report)?;
        complain(&format!("there is no card of {}: {}", report.worksheet, says(&no_card)));
        return Ok(Status::Trouble);
    }
    let says_no = report.checks.iter().any(|check| check.outcome == Outcome::No);
    Ok(if says_no { Status::No } else { Status::Worked })
}

/// Writes the card of a worksheet, or says why there is none.
///
/// # Errors
/// Where it would take the place of a file that the worksheet is worked from, or cannot be written.
pub fn write(out: &Path, report: &Report, read: &Interests, replace: bool) -> Result<Result<(), NoCard>> {
    if read.has_file(out) {
        bail!("the card would take the place of what it is made from: give it a name of its own, such as card.html");
    }
    let page = match card(report) {
        Ok(page) => page,
        Err(no_card) => return Ok(Err(no_card)),
    };
    writing::create(out, page.as_bytes(), replace).with_context(|| format!("{} is not written", out.display()))?;
    Ok(Ok(()))
}

/// Why there is no card, and what to do.
pub fn says(no_card: &NoCard) -> String {
    match no_card {
        NoCard::Trouble => "it is in trouble, and so may be every figure on it; mend it first".to_owned(),
        NoCard::Range(name) => format!(
            "`{name}` is a range in what is measured out, and how much to take is not for the one who measures to decide; \
             choose one rate inside the range and work with that"
        ),
        NoCard::TooLong(pages) => {
            format!("it would take {pages} pages in letters that can be read outdoors; a card is one page of one job")
        }
        NoCard::Page(error) => error.to_string(),
    }
}

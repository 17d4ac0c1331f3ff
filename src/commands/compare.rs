//! `catchwork compare`: two worksheets, or two versions of one, held against each other.

use super::Status;
use super::args::Compare;
use super::paths::is_standard_input;
use super::reading::Reading;
use super::results::{look, request, show_troubles};
use anyhow::{Result, bail};
use catchwork::report::data::Outcome;
use catchwork::report::text::versions::text;
use catchwork::report::versions::compare::compare;
use std::io::Write;

/// Runs the command.
pub fn run(call: &Compare) -> Result<Status> {
    if is_standard_input(&call.old) && is_standard_input(&call.new) {
        bail!("`-` is given twice, and standard input can be read only once");
    }
    let reading = Reading::new(request(&[], call.today));
    let (old, new) = match (reading.settled(&call.old), reading.settled(&call.new)) {
        (Ok(old), Ok(new)) => (old, new),
        (old, new) => {
            for unread in [old.err(), new.err()].into_iter().flatten() {
                show_troubles(&unread)?;
            }
            return Ok(Status::Trouble);
        }
    };
    let ((old_book, old), (new_book, new)) = (&old, &new);
    let (before, after) = (old_book.report_of(old), new_book.report_of(new));
    show_troubles(&before)?;
    show_troubles(&after)?;
    let found = compare((&old_book.sheet(old), &before), (&new_book.sheet(new), &after));
    let printed = text(&before, &after, &found, &look(call.plain));
    writeln!(std::io::stdout().lock(), "{}", printed.trim_end())?;
    let says_no = after.checks.iter().any(|check| check.outcome == Outcome::No);
    Ok(match before.troubles.is_empty() && after.troubles.is_empty() {
        false => Status::Trouble,
        true if says_no => Status::No,
        true => Status::Worked,
    })
}

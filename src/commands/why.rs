//! `catchwork why`: how a result comes about, and what its doubt comes from.

use super::args::Why;
use super::reading::Reading;
use super::results::{look, request, show_troubles};
use super::{Status, complain};
use anyhow::Result;
use catchwork::report::data::Outcome;
use catchwork::report::text::why::text;
use std::io::Write;

/// Runs the command.
pub fn run(call: &Why) -> Result<Status> {
    let asked = call.name.join(" ");
    let explained = match Reading::new(request(&call.run.set, call.run.today)).why(&call.file, &asked) {
        Ok(explained) => explained,
        Err(unread) => {
            show_troubles(&unread)?;
            return Ok(Status::Trouble);
        }
    };
    show_troubles(&explained.report)?;
    let whys = match &explained.whys {
        Ok(whys) => whys,
        Err(kind) => {
            let instead = kind.instead().map(|instead| format!("; instead: {instead}")).unwrap_or_default();
            complain(&format!("{}{instead}", kind.says()));
            return Ok(Status::Trouble);
        }
    };
    let printed = text(&explained.report, whys, &look(call.plain));
    writeln!(std::io::stdout().lock(), "{}", printed.trim_end())?;
    let says_no = whys.iter().flat_map(|why| &why.check).any(|check| check.outcome == Outcome::No);
    Ok(match explained.report.troubles.is_empty() {
        false => Status::Trouble,
        true if says_no => Status::No,
        true => Status::Worked,
    })
}

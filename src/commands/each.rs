//! `catchwork each`: one worked row for each row of a CSV file.

use super::args::Each as Call;
use super::paths::is_standard_input;
use super::progress::Progress;
use super::reading::Reading;
use super::results::show_troubles;
use super::writing::create_with;
use super::{Status, colour, complain};
use anyhow::{Context, Result, bail};
use catchwork::each::{Data, Each, MOST_ROW, Tally};
use catchwork::quantity::Moment;
use catchwork::report::letters::clean;
use catchwork::trouble::Kind;
use catchwork::{Request, unread};
use std::fs::File;
use std::io::{ErrorKind, Read};
use std::path::Path;

/// Runs the command.
pub fn run(call: &Call) -> Result<Status> {
    if is_standard_input(&call.template) && is_standard_input(&call.data) {
        bail!("`-` is given twice, and standard input can be read only once");
    }
    let today = call.today.unwrap_or_else(|| Moment::Day(jiff::ZonedDateTime::now().date()));
    let request = Request { set: Vec::new(), today, colour: colour(&std::io::stderr()) };
    let reading = Reading::new(request.clone());
    let settled = match reading.template(&call.template) {
        Ok(template) => template,
        Err(report) => {
            show_troubles(&report)?;
            return Ok(Status::Trouble);
        }
    };
    let mut read = reading.interests();
    [&call.template, &call.data].into_iter().for_each(|path| read.add_worksheet(path));
    if let Some(out) = call.out.as_ref().filter(|out| read.has_file(out)) {
        bail!("{} is read, and is not written over", out.display());
    }
    let name = clean(&call.data.display().to_string());
    let (source, length) = source(&call.data).with_context(|| format!("{name} cannot be read"))?;
    let mut data = Data::new(source);
    let headers = match data.headers() {
        Err(error) if error.kind() == ErrorKind::FileTooLarge => {
            show_troubles(&unread(&name, Kind::RowTooLong { most: MOST_ROW }, &request))?;
            return Ok(Status::Trouble);
        }
        headers => headers.with_context(|| format!("{name} cannot be read"))?,
    };
    match Each::new(settled, &request, &name, &headers) {
        Ok(each) => worked(call, &each, &mut data, length),
        Err(troubles) => {
            let report = catchwork::report::Report { worksheet: name, troubles, ..Default::default() };
            show_troubles(&report)?;
            Ok(Status::Trouble)
        }
    }
}

/// The data, and how many bytes it has where that is known beforehand.
fn source(data: &Path) -> std::io::Result<(Box<dyn Read + Send>, Option<u64>)> {
    if is_standard_input(data) {
        return Ok((Box::new(std::io::stdin()), None));
    }
    let file = File::open(data)?;
    let metadata = file.metadata()?;
    if metadata.is_dir() {
        return Err(ErrorKind::IsADirectory.into());
    }
    Ok((Box::new(file), metadata.is_file().then_some(metadata.len())))
}

/// Works all rows, and tells how it went.
fn worked(call: &Call, each: &Each, data: &mut Data<Box<dyn Read + Send>>, length: Option<u64>) -> Result<Status> {
    let progress = Progress::over_rows(length, call.out.is_none());
    let told = |tally: &Tally| progress.rows(tally.rows, tally.bytes);
    let tally = match &call.out {
        Some(out) => create_with(out, call.replace, |file| each.run(data, file, told))
            .with_context(|| format!("{} is not written", out.display())),
        None => each.run(data, &mut std::io::stdout(), told).map_err(anyhow::Error::from),
    };
    progress.done();
    let tally = tally?;
    if let Some(first) = tally.first_in_trouble {
        let Tally { rows, in_trouble, .. } = tally;
        complain(&format!(
            "{in_trouble} of {rows} rows in trouble, the first of them row {first}; their column `trouble` tells why"
        ));
    }
    Ok(match tally {
        Tally { in_trouble: 1.., .. } => Status::Trouble,
        Tally { no: 1.., .. } => Status::No,
        _ => Status::Worked,
    })
}

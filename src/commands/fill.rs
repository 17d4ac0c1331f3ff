//! `catchwork fill`: a new worksheet from a template, its blanks asked for on a terminal or given in the call.

use super::args::Fill;
use super::asking::{Asking, End};
use super::paths::is_standard_input;
use super::reading::{Reading, bytes_of, name};
use super::results::{request, show_troubles};
use super::writing::create;
use super::{Status, complain};
use anyhow::{Context, Result, bail};
use catchwork::book::Book;
use catchwork::checked::scope::nearest;
use catchwork::filled::{Filling, News, Template, Whence};
use catchwork::gathered::shipped;
use catchwork::report::Report;
use catchwork::report::figures::ENDING;
use catchwork::report::letters::clean;
use catchwork::text::Source;
use catchwork::text::crew_folder::OnDisk;
use catchwork::trouble::{Kind, unreadable};
use catchwork::{Request, unread};
use std::io::{IsTerminal, Write};
use std::path::Path;
use std::sync::Arc;

/// Runs the command.
pub fn run(call: &Fill) -> Result<Status> {
    check(call)?;
    let request = request(&[], None);
    let (folder, path) = OnDisk::of(&call.new).with_context(|| format!("{} cannot be reached", shown(&call.new)))?;
    let template = match template(call, &request, folder.root())? {
        Ok(template) => template,
        Err(report) => return told(&report),
    };
    let text = if call.linked { template.linked(&path).map_err(in_words)? } else { template.copied(&path) };
    let book = Book::new(Arc::new(folder), request);
    let mut filling = match Filling::begin(book, &name(&call.new), &path, text) {
        Ok(filling) => filling,
        Err(report) => return told(&report),
    };
    match filling.answer_all(&call.values) {
        Ok(news) if is_asked() => asked(call, filling, &news),
        Ok(_) => written(call, &filling),
        Err(troubles) => told(&Report { worksheet: name(&call.new), troubles, ..Report::default() }),
    }
}

/// Asks for what the call does not give, and writes.
fn asked(call: &Fill, mut filling: Filling, news: &News) -> Result<Status> {
    match Asking::begin(call, &filling, news)?.ask(&mut filling)? {
        End::Stopped => Ok(Status::Stopped),
        End::Done(go_on) => go_on.or_writes(|| written(call, &filling)),
    }
}

/// Whether there is someone to ask, who sees what is asked.
fn is_asked() -> bool {
    std::io::stdin().is_terminal() && std::io::stderr().is_terminal()
}

/// Refuses what cannot come to anything, before anyone is asked.
fn check(call: &Fill) -> Result<()> {
    let new = shown(&call.new);
    if !call.new.to_string_lossy().ends_with(ENDING) {
        bail!("the name of a worksheet ends in {ENDING}: {new}{ENDING}");
    }
    if call.values.is_empty() && !is_asked() {
        bail!(
            "there is no terminal to ask on, and the call gives nothing to fill in; give it as \"name : value\" behind \
             {new}, once for each"
        );
    }
    if call.new.exists() && !call.replace {
        bail!("{new} is there already; --replace writes over it");
    }
    let folder = call.new.parent().filter(|folder| !folder.as_os_str().is_empty());
    if let Some(folder) = folder.filter(|folder| !folder.is_dir()) {
        bail!("there is no folder {} to write {new} in; make it first", shown(folder));
    }
    Ok(())
}

/// The template that the call names, or its report where it is in trouble itself. No file that it draws on is written
/// over.
fn template(call: &Fill, request: &Request, root: &Path) -> Result<Result<Template, Report>> {
    let named = call.template.to_string_lossy();
    if shipped::is_inside(&named) && !is_standard_input(&call.template) {
        return inside_program(&named, &call.template).map(Ok);
    }
    let own = name(&call.template);
    let bytes = match bytes_of(&call.template) {
        Ok(bytes) => bytes,
        Err(error) => {
            return Ok(Err(unread(&own, Kind::CannotRead { file: own.clone(), why: error.to_string() }, request)));
        }
    };
    let reading = Reading::new(request.clone());
    let report = reading.report_of(&call.template, bytes.clone());
    let mut read = reading.interests();
    read.add_worksheet(&call.template);
    if read.has_file(&call.new) {
        bail!("{} is not written over, since the new worksheet is made from it", shown(&call.new));
    }
    if !report.troubles.is_empty() {
        return Ok(Err(report));
    }
    let whence = match OnDisk::of(&call.template) {
        Ok((folder, path)) if folder.root() == root && !is_standard_input(&call.template) => Whence::Folder(path),
        _ => Whence::Elsewhere,
    };
    let source = Source::new(&own, bytes);
    Ok(source.map(|source| Template { source, whence }).map_err(|error| unread(&own, unreadable(error), request)))
}

fn inside_program(named: &str, path: &Path) -> Result<Template> {
    let Some(text) = shipped::template(named) else {
        let near = nearest(named, shipped::TEMPLATES.iter().map(|(name, _)| *name));
        let near = near.map(|near| format!("; {near} is one")).unwrap_or_default();
        let file = if path.exists() { format!("; the file is named ./{named}") } else { String::new() };
        bail!("no template inside the program is called {}{near}{file}; catchwork templates lists them", clean(named));
    };
    Ok(Template { source: Source::of_text(named, text.to_owned()), whence: Whence::Program })
}

/// Tells what is in trouble; nothing is written.
fn told(report: &Report) -> Result<Status> {
    show_troubles(report)?;
    Ok(Status::Trouble)
}

/// Writes the new worksheet, and says what is still blank in it.
fn written(call: &Fill, filling: &Filling) -> Result<Status> {
    let text = match filling.text() {
        Ok(text) => text,
        Err(report) => return told(&report),
    };
    if let Err(error) = create(&call.new, text.as_bytes(), call.replace) {
        complain(&format!("{} is not written: {error}", shown(&call.new)));
        return Ok(Status::Trouble);
    }
    writeln!(std::io::stdout().lock(), "{}", shown(&call.new))?;
    let mut stream = std::io::stderr().lock();
    writeln!(stream, "{}", counts(call, filling))?;
    for measure in filling.out_of_reach() {
        writeln!(stream, "The size of {measure} stands in the template, and a worksheet linked to it cannot give it.")?;
    }
    Ok(Status::Worked)
}

/// `12 filled in, 2 still blank: catchwork blanks strip.worksheet lists them`
fn counts(call: &Fill, filling: &Filling) -> String {
    let filled = filling.answers().count();
    match filling.report().waiting.len() {
        0 => format!("{filled} filled in, nothing is blank"),
        blank => format!("{filled} filled in, {blank} still blank: catchwork blanks {} lists them", shown(&call.new)),
    }
}

/// What is wrong, and what to do instead, as the message of a call.
fn in_words(kind: Kind) -> anyhow::Error {
    let instead = kind.instead().map(|instead| format!("; instead: {instead}")).unwrap_or_default();
    anyhow::anyhow!("{}{instead}", kind.says())
}

fn shown(path: &Path) -> String {
    clean(&path.display().to_string())
}

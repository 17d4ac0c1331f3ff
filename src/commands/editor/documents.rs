//! What the client tells of its documents and files, and the troubles that it is told of.

use super::convert;
use super::files;
use super::lifecycle::{Refusal, Server, params_of};
use super::positions::Lines;
use catchwork::editing::Sheet;
use catchwork::editing::desk::NoSheet;
use catchwork::editing::marks::{Mark, mark, marks};
use catchwork::text::Place;
use catchwork::trouble::{self, Trouble};
use lsp_types::notification::{self, Notification as _};
use lsp_types::request::InlayHintRefreshRequest;
use lsp_types::{
    Diagnostic, DidChangeTextDocumentParams, DidChangeWatchedFilesParams, DidCloseTextDocumentParams,
    DidOpenTextDocumentParams, PublishDiagnosticsParams, TextDocumentContentChangeEvent, Uri,
};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::str::FromStr;

impl Server {
    /// Takes what the client tells.
    pub(super) fn notification(&mut self, method: &str, params: Value) -> Result<(), Refusal> {
        match method {
            notification::DidOpenTextDocument::METHOD => self.opened(params_of(params)?),
            notification::DidChangeTextDocument::METHOD => self.changed(params_of(params)?)?,
            notification::DidCloseTextDocument::METHOD => self.closed(&params_of(params)?),
            notification::DidSaveTextDocument::METHOD => self.look_again(),
            notification::DidChangeWatchedFiles::METHOD => self.files_changed(&params_of(params)?),
            // What begins so may be passed over, and so may what is not asked for.
            _ => {}
        }
        Ok(())
    }

    fn opened(&mut self, params: DidOpenTextDocumentParams) {
        let document = params.text_document;
        let name = document.uri.as_str();
        self.versions.insert(name.to_owned(), document.version);
        let touched = self.desk.open(name, files::file(&document.uri), document.text);
        self.due.insert(name.to_owned());
        self.touched(touched);
    }

    fn changed(&mut self, params: DidChangeTextDocumentParams) -> Result<(), Refusal> {
        let name = params.text_document.uri.as_str();
        let text = self.desk.text(name).ok_or_else(|| Refusal::wrong_params(format!("{name} is not open")))?;
        let mut text = text.to_string();
        for change in &params.content_changes {
            self.change(&mut text, change);
        }
        self.versions.insert(name.to_owned(), params.text_document.version);
        let touched = self.desk.change(name, text);
        self.due.insert(name.to_owned());
        self.touched(touched);
        Ok(())
    }

    fn change(&self, text: &mut String, change: &TextDocumentContentChangeEvent) {
        let Some(range) = change.range else {
            *text = change.text.clone();
            return;
        };
        let lines = Lines::of(text, self.client.encoding);
        let (start, end) = (lines.whole_byte(range.start), lines.whole_byte(range.end));
        text.replace_range(start..end.max(start), &change.text);
    }

    fn closed(&mut self, params: &DidCloseTextDocumentParams) {
        let name = params.text_document.uri.as_str();
        self.versions.remove(name);
        self.due.remove(name);
        self.later.remove(name);
        let touched = self.desk.close(name);
        self.told_now(name, BTreeMap::from([(name.to_owned(), Vec::new())]));
        self.told.remove(name);
        self.touched(touched);
    }

    /// A save may have changed what others draw on, and the client may not tell of files.
    fn look_again(&mut self) {
        self.desk.look_again();
        let all: Vec<String> = self.desk.names().map(str::to_owned).collect();
        self.touched(all);
    }

    fn files_changed(&mut self, params: &DidChangeWatchedFilesParams) {
        let changed: Vec<_> = params.changes.iter().filter_map(|change| files::file(&change.uri)).collect();
        if changed.iter().any(|file| file.extension().is_some_and(|extension| extension == "txt")) {
            // What marks a crew folder has come or gone.
            return self.look_again();
        }
        let touched = self.desk.files_changed(&changed);
        self.touched(touched);
    }

    /// Worksheets that draw on what has changed.
    fn touched(&mut self, names: Vec<String>) {
        self.later.extend(names);
    }

    /// Whether worksheets wait that draw on what has changed.
    pub(super) fn has_later(&self) -> bool {
        !self.later.is_empty()
    }

    /// Nothing is being typed: their troubles are told anew, and their hints are to be asked for.
    pub(super) fn turn_to_later(&mut self) {
        self.due.append(&mut self.later);
        if self.client.refreshes_hints {
            self.ask::<InlayHintRefreshRequest>(());
        }
    }

    /// Tells the troubles of one worksheet for which that is due. Returns whether there was one.
    pub(super) fn publish_next(&mut self) -> bool {
        let Some(name) = self.due.pop_first() else { return false };
        let found = match self.desk.sheet(&name) {
            Ok(sheet) => self.diagnostics(&name, &sheet),
            Err(NoSheet::Unreadable(unreadable)) => {
                let trouble = Trouble::new(Place::default(), trouble::unreadable(unreadable));
                let lines = Lines::of("", self.client.encoding);
                BTreeMap::from([(name.clone(), vec![convert::diagnostic(&mark(&trouble), &lines, None)])])
            }
            Err(NoSheet::NotOpen) => return true,
        };
        self.told_now(&name, found);
        true
    }

    /// The troubles of a worksheet by the file that each stands in; its own file is among them even where it has none.
    fn diagnostics(&self, name: &str, sheet: &Sheet) -> BTreeMap<String, Vec<Diagnostic>> {
        let mut by_text: BTreeMap<u16, Vec<Mark>> = BTreeMap::from([(0, Vec::new())]);
        for mark in marks(sheet) {
            by_text.entry(mark.place.source).or_default().push(mark);
        }
        let mut found = BTreeMap::new();
        for (text, marks) in by_text {
            let Some((uri, source)) = self.text_of(name, sheet, text) else { continue };
            let lines = Lines::of(&source, self.client.encoding);
            let own = Uri::from_str(&uri).ok();
            let told = marks.iter().map(|mark| convert::diagnostic(mark, &lines, own.as_ref()));
            found.insert(uri, told.collect());
        }
        found
    }

    /// One of the texts of a worksheet, and how the client knows it; none for a template inside the program.
    fn text_of(&self, name: &str, sheet: &Sheet, text: u16) -> Option<(String, std::sync::Arc<str>)> {
        if text == 0 {
            return Some((name.to_owned(), self.desk.text(name)?));
        }
        let file = sheet.file(text)?;
        match self.desk.name_of(&file) {
            Some(open) => Some((open.to_owned(), self.desk.text(open)?)),
            None => {
                let source = sheet.settled.sources.get(usize::from(text))?;
                Some((files::uri(&file)?.to_string(), source.text.clone()))
            }
        }
    }

    /// Tells what was found in working one worksheet; of each file it concerns all that is known, each trouble once.
    fn told_now(&mut self, name: &str, found: BTreeMap<String, Vec<Diagnostic>>) {
        let before = self.told.insert(name.to_owned(), found.clone()).unwrap_or_default();
        let concerned: BTreeSet<&String> = before.keys().chain(found.keys()).collect();
        let mut news = Vec::new();
        for file in concerned {
            let mut all: Vec<Diagnostic> = Vec::new();
            for diagnostic in self.told.values().filter_map(|told| told.get(file)).flatten() {
                if !all.contains(diagnostic) {
                    all.push(diagnostic.clone());
                }
            }
            let Ok(uri) = Uri::from_str(file) else { continue };
            news.push(PublishDiagnosticsParams { uri, diagnostics: all, version: self.versions.get(file).copied() });
        }
        news.into_iter().for_each(|news| self.tell::<notification::PublishDiagnostics>(news));
    }
}

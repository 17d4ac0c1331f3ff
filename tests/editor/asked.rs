//! What a case asks, put to the program, and its answers in words.

use crate::case::{Asked, Case, File};
use crate::client::Client;
use serde_json::{Value, json};
use std::path::{Path, PathBuf};

/// A client with all that is used.
pub fn capabilities(encoding: &str) -> Value {
    json!({
        "general": {"positionEncodings": [encoding]},
        "textDocument": {
            "hover": {"contentFormat": ["plaintext"]},
            "documentSymbol": {"hierarchicalDocumentSymbolSupport": true},
            "codeAction": {"codeActionLiteralSupport": {"codeActionKind": {"valueSet": ["quickfix"]}}},
        },
    })
}

/// The case with its answers as they come out.
pub fn answered(case: &Case, encoding: &str) -> Case {
    let folder = tempfile::tempdir().unwrap();
    let root = folder.path().canonicalize().unwrap();
    std::fs::write(root.join("crew-folder.txt"), "").unwrap();
    let (last, others) = case.files.split_last().expect("a case has a worksheet");
    others.iter().for_each(|file| saved(&root, file));
    let path = root.join(last.within());
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    let (text, at) = case.open();
    let mut client = Client::begun(&capabilities(encoding));
    client.open(&uri(&path), &text);
    let troubles = client.troubles(&uri(&path));
    let mut desk = Desk { client, encoding, root, uri: uri(&path), text, at, troubles };
    let asked = case.asked.iter().map(|asked| Asked { answer: desk.answer(&asked.what), what: asked.what.clone() });
    let asked: Vec<Asked> = asked.collect();
    desk.client.end();
    Case { asked, ..case.clone() }
}

fn saved(root: &Path, file: &File) {
    let path = root.join(file.within());
    std::fs::create_dir_all(path.parent().unwrap()).unwrap();
    std::fs::write(path, &file.text).unwrap();
}

/// A file as an editor names it; the cases keep to names that need no escapes.
pub fn uri(path: &Path) -> String {
    format!("file://{}", path.display())
}

/// An editor with one worksheet open.
struct Desk<'a> {
    client: Client,
    encoding: &'a str,
    root: PathBuf,
    uri: String,
    text: String,
    at: usize,
    troubles: Vec<Value>,
}

impl Desk<'_> {
    fn answer(&mut self, what: &str) -> String {
        let answer = match what.split_once(" to ").unwrap_or((what, "")) {
            ("marks", _) => self.marks(),
            ("beside", _) => self.beside(),
            ("hover", _) => self.hover(),
            ("goes to", _) => self.stands("definition", json!({})),
            ("used at", _) => self.stands("references", json!({"context": {"includeDeclaration": true}})),
            ("renamed", name) => self.renamed(name),
            ("offers", _) => self.offers(),
            ("outline", _) => self.outline(),
            ("folds", _) => self.folds(),
            ("laid out", _) => self.laid_out(),
            ("fixes", _) => self.fixes(),
            ("colours", _) => self.colours(),
            _ => panic!("nobody knows how to ask for {what}"),
        };
        answer.trim_end().to_owned()
    }

    fn place(&self) -> Value {
        json!({"textDocument": {"uri": self.uri}, "position": self.position(self.at)})
    }

    fn document(&self) -> Value {
        json!({"textDocument": {"uri": self.uri}})
    }

    fn length(&self, text: &str) -> usize {
        if self.encoding == "utf-8" { text.len() } else { text.encode_utf16().count() }
    }

    /// The position of a byte.
    fn position(&self, byte: usize) -> Value {
        let before = &self.text[..byte];
        let start = before.rfind('\n').map_or(0, |end| end + 1);
        json!({"line": before.matches('\n').count(), "character": self.length(&before[start..])})
    }

    /// The byte of a position in a text.
    fn byte(&self, text: &str, position: &Value) -> usize {
        let number = |key: &str| usize::try_from(position[key].as_u64().unwrap()).unwrap();
        let lines: Vec<&str> = text.split_inclusive('\n').collect();
        let start: usize = lines.iter().take(number("line")).map(|line| line.len()).sum();
        let line = lines.get(number("line")).copied().unwrap_or("");
        let ends = line.char_indices().map(|(index, _)| index).chain([line.len()]);
        start + ends.into_iter().find(|end| self.length(&line[..*end]) >= number("character")).unwrap()
    }

    fn range(&self, text: &str, range: &Value) -> std::ops::Range<usize> {
        self.byte(text, &range["start"])..self.byte(text, &range["end"])
    }

    /// The line that a position is in.
    fn line<'t>(&self, text: &'t str, position: &Value) -> &'t str {
        let line = usize::try_from(position["line"].as_u64().unwrap()).unwrap();
        text.lines().nth(line).unwrap_or("")
    }

    /// Each trouble under its line.
    fn marks(&self) -> String {
        let mut said = String::new();
        for trouble in &self.troubles {
            let range = self.range(&self.text, &trouble["range"]);
            let line_start = self.text[..range.start].rfind('\n').map_or(0, |end| end + 1);
            let marked = self.text[range.clone()].lines().next().unwrap_or("");
            let before = " ".repeat(self.text[line_start..range.start].chars().count());
            let mark = "^".repeat(marked.chars().count().max(1));
            let words = trouble["message"].as_str().unwrap().replace('\n', &format!("\n{before}"));
            let (line, kind) = (self.line(&self.text, &trouble["range"]["start"]), trouble["code"].as_str().unwrap());
            said += &format!("{line}\n{before}{mark} {kind}\n{before}{words}\n");
            for beside in trouble["relatedInformation"].as_array().into_iter().flatten() {
                let line = self.line(&self.text, &beside["location"]["range"]["start"]);
                said += &format!("{before}{}: {line}\n", beside["message"].as_str().unwrap());
            }
        }
        said
    }

    /// What stands beside the lines.
    fn beside(&mut self) -> String {
        let mut said = String::new();
        for hint in self.client.hints(&self.uri.clone()) {
            let end = self.byte(&self.text, &hint["position"]);
            let line_start = self.text[..end].rfind('\n').map_or(0, |start| start + 1);
            said += &format!("{}   {}\n", &self.text[line_start..end], hint["label"].as_str().unwrap());
            for more in hint["tooltip"].as_str().into_iter().flat_map(str::lines) {
                said += &format!("      ({more})\n");
            }
        }
        said
    }

    fn hover(&mut self) -> String {
        let hover = self.client.ask("textDocument/hover", self.place());
        let Some(words) = hover["contents"]["value"].as_str() else { return "nothing".to_owned() };
        let of = &self.text[self.range(&self.text, &hover["range"])];
        format!("of `{of}`:\n{words}")
    }

    /// Where something stands: the file, the line, the place marked in it.
    fn stands(&mut self, method: &str, more: Value) -> String {
        let mut params = self.place();
        params.as_object_mut().unwrap().extend(more.as_object().unwrap().clone());
        let found = self.client.ask(&format!("textDocument/{method}"), params);
        let (root, mut said) = (uri(&self.root), String::new());
        for location in found.as_array().into_iter().flatten() {
            let uri = location["uri"].as_str().unwrap();
            let path = uri.strip_prefix(&format!("{root}/")).unwrap_or(uri);
            let text = if uri == self.uri {
                self.text.clone()
            } else {
                std::fs::read_to_string(self.root.join(path)).unwrap()
            };
            let range = self.range(&text, &location["range"]);
            let number = location["range"]["start"]["line"].as_u64().unwrap() + 1;
            let line_start = text[..range.start].rfind('\n').map_or(0, |end| end + 1);
            let line_end = text[range.end..].find('\n').map_or(text.len(), |end| range.end + end);
            let (before, after) = (&text[line_start..range.start], &text[range.end..line_end]);
            said += &format!("{path}:{number}: {before}«{}»{after}\n", &text[range]);
        }
        if said.is_empty() { "nowhere".to_owned() } else { said }
    }

    /// The lines that a change of names changes.
    fn renamed(&mut self, name: &str) -> String {
        let mut params = self.place();
        params["newName"] = json!(name);
        let id = self.client.request("textDocument/rename", params);
        let answer = self.client.answer(id);
        match answer["error"]["message"].as_str() {
            Some(why) => format!("refused: {why}"),
            None => self.changed(&answer["result"]["changes"][&self.uri]),
        }
    }

    /// The text with edits made.
    fn edited(&self, edits: &Value) -> String {
        let mut text = self.text.clone();
        let mut edits: Vec<&Value> = edits.as_array().unwrap().iter().collect();
        edits.sort_by_key(|edit| self.byte(&self.text, &edit["range"]["start"]));
        for edit in edits.into_iter().rev() {
            text.replace_range(self.range(&self.text, &edit["range"]), edit["newText"].as_str().unwrap());
        }
        text
    }

    /// The lines that edits change, as they are then.
    fn changed(&self, edits: &Value) -> String {
        let text = self.edited(edits);
        let changed = text.lines().zip(self.text.lines()).filter(|(now, before)| now != before);
        changed.map(|(now, _)| format!("{now}\n")).collect()
    }

    /// The first of what may be written, and what the line would then be.
    fn offers(&mut self) -> String {
        let offers = self.client.ask("textDocument/completion", self.place());
        let offers = offers.as_array().cloned().unwrap_or_default();
        let mut said = String::new();
        for offer in offers.iter().take(8) {
            said += offer["label"].as_str().unwrap();
            said += &offer["detail"].as_str().map(|detail| format!("  ({detail})")).unwrap_or_default();
            said += "\n";
        }
        if offers.len() > 8 {
            said += &format!("and {} more\n", offers.len() - 8);
        }
        if let Some(first) = offers.first() {
            said += &format!("the first makes: {}\n", self.changed(&json!([first["textEdit"]])).trim_end());
        }
        if said.is_empty() { "nothing".to_owned() } else { said }
    }

    fn outline(&mut self) -> String {
        let outline = self.client.ask("textDocument/documentSymbol", self.document());
        let mut said = String::new();
        self.parts(&outline, 0, &mut said);
        said
    }

    fn parts(&self, parts: &Value, depth: usize, said: &mut String) {
        for part in parts.as_array().into_iter().flatten() {
            let range = self.range(&self.text, &part["range"]);
            let head = self.range(&self.text, &part["selectionRange"]);
            assert!(range.start <= head.start && head.end <= range.end, "{part}");
            let detail = part["detail"].as_str().map(|detail| format!(": {detail}")).unwrap_or_default();
            *said += &format!("{}{}{detail}\n", "  ".repeat(depth), part["name"].as_str().unwrap());
            self.parts(&part["children"], depth + 1, said);
        }
    }

    fn folds(&mut self) -> String {
        let folds = self.client.ask("textDocument/foldingRange", self.document());
        let lines: Vec<&str> = self.text.lines().collect();
        let line = |fold: &Value, key: &str| lines[usize::try_from(fold[key].as_u64().unwrap()).unwrap()];
        let folds = folds.as_array().cloned().unwrap_or_default();
        let said = folds.iter().map(|fold| format!("{} … {}\n", line(fold, "startLine"), line(fold, "endLine")));
        said.collect()
    }

    fn laid_out(&mut self) -> String {
        let mut params = self.document();
        params["options"] = json!({"tabSize": 4, "insertSpaces": true});
        let edits = self.client.ask("textDocument/formatting", params);
        match edits.as_array() {
            None => "left alone".to_owned(),
            Some(edits) if edits.is_empty() => "as it is".to_owned(),
            Some(_) => self.edited(&edits),
        }
    }

    /// Each quick fix at the cursor, and the line with it.
    fn fixes(&mut self) -> String {
        let position = self.position(self.at);
        let mut params = self.document();
        params["range"] = json!({"start": position, "end": position});
        params["context"] = json!({"diagnostics": []});
        let fixes = self.client.ask("textDocument/codeAction", params);
        let mut said = String::new();
        for fix in fixes.as_array().into_iter().flatten() {
            let line = self.changed(&fix["edit"]["changes"][&self.uri]);
            said += &format!("{}\n  {line}", fix["title"].as_str().unwrap());
        }
        if said.is_empty() { "none".to_owned() } else { said }
    }

    /// What the stretches of each line are.
    fn colours(&mut self) -> String {
        const WORDS: [&str; 10] =
            ["heading", "comment", "caution", "value", "whole", "function", "number", "unit", "substance", "text"];
        let tokens = self.client.ask("textDocument/semanticTokens/full", self.document());
        let tokens: Vec<usize> = tokens["data"]
            .as_array()
            .unwrap()
            .iter()
            .map(|part| usize::try_from(part.as_u64().unwrap()).unwrap())
            .collect();
        let (mut line, mut start, mut said) = (0, 0, String::new());
        for token in tokens.chunks(5) {
            let &[lines, characters, length, kind, given] = token else { panic!("five numbers a token") };
            start = if lines > 0 { characters } else { start + characters };
            if lines > 0 && !said.is_empty() {
                said += "\n";
            }
            line += lines;
            let from = self.byte(&self.text, &json!({"line": line, "character": start}));
            let to = self.byte(&self.text, &json!({"line": line, "character": start + length}));
            let given = if given > 0 { " given" } else { "" };
            said += &format!("[{}{given}: {}] ", WORDS[kind], &self.text[from..to]);
        }
        said.lines().map(|line| format!("{}\n", line.trim_end())).collect()
    }
}

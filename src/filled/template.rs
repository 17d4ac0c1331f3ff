//! The text that filling a template begins with: a whole copy of it, or a line that links to it. It fills in nothing.

use super::edits::{Edit, applied};
use crate::gathered::{rows, shipped};
use crate::syntax;
use crate::syntax::tree::{FileName, StatementKind};
use crate::text::crew_folder::within;
use crate::text::{Place, Source};
use crate::trouble::Kind;

/// A template as it was read.
#[derive(Debug, Clone)]
pub struct Template {
    /// Its text, under the name by which it was called.
    pub source: Source,
    /// Where it comes from.
    pub whence: Whence,
}

/// Where a template comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Whence {
    /// From inside the program, by its name.
    Program,
    /// From the crew folder of the new worksheet, by its path there.
    Folder(String),
    /// From anywhere else.
    Elsewhere,
}

impl Template {
    /// A whole copy for the worksheet `new` of the crew folder: the files that it names are named from there, and a
    /// note below its title says what it is a copy of.
    pub fn copied(&self, new: &str) -> String {
        let mut edits = match &self.whence {
            Whence::Folder(own) => self.files().iter().filter_map(|file| renamed(file, own, new)).collect(),
            Whence::Program | Whence::Elsewhere => Vec::new(),
        };
        edits.push(self.note(new));
        applied(&self.source.text, edits)
    }

    /// The line that links the worksheet `new` of the crew folder to the template as it is now.
    ///
    /// # Errors
    /// Where a worksheet there cannot name it.
    pub fn linked(&self, new: &str) -> Result<String, Kind> {
        let named = self.named(new);
        if self.whence == Whence::Elsewhere {
            return Err(Kind::TemplateElsewhere { file: self.source.name.clone() });
        }
        match quoted(&named) {
            Some(quoted) => Ok(format!("from {quoted} pinned {}\n", self.source.fingerprint())),
            None => Err(Kind::FileNotNamed { file: named }),
        }
    }

    /// What the worksheet `new` calls it.
    fn named(&self, new: &str) -> String {
        match &self.whence {
            Whence::Program => self.source.name.clone(),
            Whence::Folder(own) => relative(new, own),
            Whence::Elsewhere => self.source.name.rsplit(['/', '\\']).next().unwrap_or_default().to_owned(),
        }
    }

    /// The files that it names.
    fn files(&self) -> Vec<FileName> {
        let parsed = syntax::parse(&self.source, 0);
        let tables = rows::rows(&parsed, &self.source, &[], &mut Vec::new());
        let heads = tables.runs.into_iter().filter_map(|run| run.head.rows_from.map(|from| from.file));
        let lines = parsed.statements.into_iter().filter_map(|statement| match statement.kind {
            StatementKind::Draw(_, file) => Some(file),
            StatementKind::Fills(file) if !shipped::is_inside(&file.path) => Some(file),
            _ => None,
        });
        lines.chain(heads).collect()
    }

    /// The note, below the title; a line that links to another template stays the first.
    fn note(&self, new: &str) -> Edit {
        let note = format!("-- From the template {}, fingerprint {}.", self.named(new), self.source.fingerprint());
        let parsed = syntax::parse(&self.source, 0);
        let is_head = |kind: &StatementKind| matches!(kind, StatementKind::Fills(_) | StatementKind::Title(_));
        let head = parsed.statements.iter().take_while(|statement| is_head(&statement.kind)).last();
        let line_end = if self.source.text.contains("\r\n") { "\r\n" } else { "\n" };
        let (at, text) = match head {
            Some(head) => (head.place.end as usize, format!("{line_end}{line_end}{note}{line_end}")),
            None => (0, format!("{note}{line_end}{line_end}")),
        };
        Edit { place: Place::new(0, at, at), text }
    }
}

/// A file named from the place of the new worksheet instead of the template's.
fn renamed(file: &FileName, own: &str, new: &str) -> Option<Edit> {
    let path = within(own, &file.path).ok()?;
    Some(Edit { place: file.place, text: quoted(&relative(new, &path))? })
}

/// A path in quotes that it does not hold itself.
fn quoted(path: &str) -> Option<String> {
    let holds = |marks: &[char]| path.contains(marks) || path.chars().any(char::is_control);
    match () {
        () if !holds(&['"']) => Some(format!("\"{path}\"")),
        () if !holds(&['“', '”']) => Some(format!("“{path}”")),
        () => None,
    }
}

/// The path of one file of a crew folder as another names it: `../methods/strip.worksheet`.
fn relative(from: &str, path: &str) -> String {
    let folders: Vec<&str> = from.split('/').collect();
    let parts: Vec<&str> = path.split('/').collect();
    let most = (folders.len() - 1).min(parts.len() - 1);
    let shared = folders.iter().zip(&parts).take(most).take_while(|(folder, part)| folder == part).count();
    let up = std::iter::repeat_n("..", folders.len() - 1 - shared);
    let relative = up.chain(parts.into_iter().skip(shared)).collect::<Vec<_>>().join("/");
    // Without a path it would be a template inside the program.
    if shipped::is_inside(&relative) { format!("./{relative}") } else { relative }
}

#[cfg(test)]
mod tests {
    use super::*;
    use insta::assert_snapshot;

    fn template(text: &str, whence: Whence) -> Template {
        Template { source: Source::of_text("methods/strip.worksheet", text.to_owned()), whence }
    }

    #[test]
    fn a_file_is_named_from_where_the_worksheet_stands() {
        let from = |new: &str| relative(new, "methods/strip.worksheet");
        assert_snapshot!(from("jobs/2026/walk.worksheet"), @"../../methods/strip.worksheet");
        assert_snapshot!(from("methods/walk.worksheet"), @"strip.worksheet");
        assert_snapshot!(from("walk.worksheet"), @"methods/strip.worksheet");
        assert_snapshot!(relative("walk.worksheet", "strip"), @"./strip");
        assert_snapshot!(relative("methods/strip.worksheet/new.worksheet", "methods/strip.worksheet"), @"../strip.worksheet");
    }

    #[test]
    fn a_copy_names_its_files_anew_and_what_it_is_a_copy_of() {
        let text = "# Log\n! Care.\nspring from \"spring.worksheet\"\n\
                    | season from \"../jobs/*.worksheet\" | area : ft² |\n";
        let folder = Whence::Folder("methods/strip.worksheet".to_owned());
        assert_snapshot!(template(text, folder).copied("jobs/new.worksheet"), @r#"
        # Log

        -- From the template ../methods/strip.worksheet, fingerprint afa04091.

        ! Care.
        spring from "../methods/spring.worksheet"
        | season from "*.worksheet" | area : ft² |
        "#);
        assert_snapshot!(template("a : 1\r\n", Whence::Elsewhere).copied("new.worksheet").replace("\r\n", "^\n"), @r"
        -- From the template strip.worksheet, fingerprint d2507c8b.^
        ^
        a : 1^
        ");
    }

    #[test]
    #[rustfmt::skip]
    fn a_link_needs_a_template_that_can_be_named() {
        let linked = |template: Template| match template.linked("jobs/new.worksheet") {
            Ok(line) => line,
            Err(kind) => kind.says(),
        };
        let in_folder = |path: &str| linked(template("", Whence::Folder(path.to_owned())));
        assert_snapshot!(in_folder("methods/strip.worksheet"), @r#"from "../methods/strip.worksheet" pinned e3b0c442"#);
        assert_snapshot!(in_folder("5\" strip.worksheet"), @"from “../5\" strip.worksheet” pinned e3b0c442");
        assert_snapshot!(in_folder("“5\"” strip.worksheet"), @"../“5\"” strip.worksheet holds quotation marks of both kinds or a line break, so that no worksheet can name it");
        assert_snapshot!(linked(template("", Whence::Elsewhere)), @"methods/strip.worksheet is not in the crew folder of the new worksheet, which can be linked to no other");
    }
}

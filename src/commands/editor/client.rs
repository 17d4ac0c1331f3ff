//! What the client at the other end can do, as it says when it begins.

use super::positions::Encoding;
use lsp_types::{ClientCapabilities, MarkupKind, PositionEncodingKind};

/// What the client can do.
#[derive(Debug, Clone, Copy)]
pub struct Client {
    /// How it counts within a line.
    pub encoding: Encoding,
    /// Whether it shows Markdown.
    pub shows_markdown: bool,
    /// Whether it can be asked to tell of changed files.
    pub watches_files: bool,
    /// Whether it can be told to ask for hints again.
    pub refreshes_hints: bool,
    /// Whether it takes an outline with parts below others.
    pub nests_symbols: bool,
    /// Whether it takes quick fixes with their edits.
    pub takes_fixes: bool,
}

impl Client {
    /// By what it says.
    pub fn of(says: &ClientCapabilities) -> Self {
        let (text, workspace) = (says.text_document.as_ref(), says.workspace.as_ref());
        let encodings = says.general.as_ref().and_then(|general| general.position_encodings.as_ref());
        let is_utf8 = encodings.is_some_and(|encodings| encodings.contains(&PositionEncodingKind::UTF8));
        let hover = text.and_then(|text| text.hover.as_ref()).and_then(|hover| hover.content_format.as_ref());
        let watched = workspace.and_then(|workspace| workspace.did_change_watched_files.as_ref());
        let hints = workspace.and_then(|workspace| workspace.inlay_hint.as_ref());
        let symbols = text.and_then(|text| text.document_symbol.as_ref());
        let actions = text.and_then(|text| text.code_action.as_ref());
        Self {
            encoding: if is_utf8 { Encoding::Utf8 } else { Encoding::Utf16 },
            shows_markdown: hover.is_some_and(|formats| formats.contains(&MarkupKind::Markdown)),
            watches_files: watched.and_then(|watched| watched.dynamic_registration).unwrap_or_default(),
            refreshes_hints: hints.and_then(|hints| hints.refresh_support).unwrap_or_default(),
            nests_symbols: symbols.and_then(|symbols| symbols.hierarchical_document_symbol_support).unwrap_or_default(),
            takes_fixes: actions.is_some_and(|actions| actions.code_action_literal_support.is_some()),
        }
    }
}

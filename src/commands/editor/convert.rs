//! What the library says, in the words of the protocol.

use super::positions::Lines;
use catchwork::editing::Sheet;
use catchwork::editing::completion::{Offer, Sort};
use catchwork::editing::hints::Hint;
use catchwork::editing::layout::Edit;
use catchwork::editing::marks::Mark;
use catchwork::editing::outline::{Fold, Part, What};
use catchwork::editing::tokens::{Coloured, Token};
use catchwork::text::Place;
use lsp_types::{
    CodeAction, CodeActionKind, CompletionItem, CompletionItemKind, CompletionTextEdit, Diagnostic,
    DiagnosticRelatedInformation, DiagnosticSeverity, DocumentSymbol, FoldingRange, FoldingRangeKind, InlayHint,
    InlayHintLabel, InlayHintTooltip, Location, NumberOrString, SemanticToken, SemanticTokenModifier,
    SemanticTokenType, SemanticTokensLegend, SymbolInformation, SymbolKind, TextEdit, Uri, WorkspaceEdit,
};

/// A trouble.
pub fn diagnostic(mark: &Mark, lines: &Lines<'_>, own: Option<&Uri>) -> Diagnostic {
    let beside = mark.beside.filter(|beside| beside.source == mark.place.source).zip(own);
    let beside = beside.map(|(beside, own)| {
        let location = Location::new(own.clone(), lines.range(beside.range()));
        vec![DiagnosticRelatedInformation { location, message: "here first".to_owned() }]
    });
    Diagnostic {
        range: lines.range(mark.place.range()),
        severity: Some(DiagnosticSeverity::ERROR),
        code: Some(NumberOrString::String(mark.kind.to_owned())),
        source: Some("catchwork".to_owned()),
        message: mark.says.clone(),
        related_information: beside,
        ..Diagnostic::default()
    }
}

/// What stands beside a line.
pub fn hint(hint: &Hint, lines: &Lines<'_>) -> InlayHint {
    InlayHint {
        position: lines.position(hint.at as usize),
        label: InlayHintLabel::String(hint.shows.clone()),
        kind: None,
        text_edits: None,
        tooltip: (!hint.more.is_empty()).then(|| InlayHintTooltip::String(hint.more.clone())),
        padding_left: Some(true),
        padding_right: None,
        data: None,
    }
}

/// An edit.
pub fn edit(edit: &Edit, lines: &Lines<'_>) -> TextEdit {
    TextEdit::new(lines.range(edit.place.range()), edit.text.clone())
}

/// Edits of one worksheet.
#[allow(clippy::mutable_key_type, reason = "the protocol's types have a name's address as key; nothing changes it")]
pub fn changes(uri: &Uri, edits: Vec<TextEdit>) -> WorkspaceEdit {
    WorkspaceEdit::new([(uri.clone(), edits)].into())
}

/// What a trouble says to write instead, each a quick fix.
pub fn fixes(mark: &Mark, uri: &Uri, lines: &Lines<'_>) -> Vec<CodeAction> {
    let range = lines.range(mark.place.range());
    let fix = |instead: &String| CodeAction {
        title: format!("Write `{instead}`"),
        kind: Some(CodeActionKind::QUICKFIX),
        diagnostics: Some(vec![diagnostic(mark, lines, Some(uri))]),
        edit: Some(changes(uri, vec![TextEdit::new(range, instead.clone())])),
        is_preferred: Some(mark.instead.len() == 1),
        ..CodeAction::default()
    };
    mark.instead.iter().map(fix).collect()
}

/// Something that may be written; `order` is its place among what is offered.
pub fn offer(offer: &Offer, order: usize, lines: &Lines<'_>) -> CompletionItem {
    let kind = match offer.sort {
        Sort::Value => CompletionItemKind::VARIABLE,
        Sort::Column | Sort::Blank => CompletionItemKind::FIELD,
        Sort::Table => CompletionItemKind::STRUCT,
        Sort::Sheet => CompletionItemKind::MODULE,
        Sort::Function => CompletionItemKind::FUNCTION,
        Sort::Unit => CompletionItemKind::UNIT,
        Sort::File => CompletionItemKind::FILE,
    };
    let range = lines.range(offer.place.range());
    CompletionItem {
        label: offer.label.clone(),
        kind: Some(kind),
        detail: (!offer.detail.is_empty()).then(|| offer.detail.clone()),
        sort_text: Some(format!("{order:06}")),
        filter_text: Some(offer.label.clone()),
        text_edit: Some(CompletionTextEdit::Edit(TextEdit::new(range, offer.text.clone()))),
        ..CompletionItem::default()
    }
}

fn symbol_kind(what: What) -> SymbolKind {
    match what {
        What::Title | What::Section => SymbolKind::NAMESPACE,
        What::Entry => SymbolKind::FIELD,
        What::Result => SymbolKind::VARIABLE,
        What::Sheet => SymbolKind::FILE,
        What::Measure => SymbolKind::CONSTANT,
        What::Table => SymbolKind::ARRAY,
        What::Check => SymbolKind::BOOLEAN,
        What::Chart => SymbolKind::OBJECT,
    }
}

/// A part of the outline with what stands below it.
#[allow(deprecated, reason = "the protocol's type has a field that is no longer used")]
pub fn symbol(part: &Part, lines: &Lines<'_>) -> DocumentSymbol {
    let below: Vec<DocumentSymbol> = part.parts.iter().map(|part| symbol(part, lines)).collect();
    DocumentSymbol {
        name: part.name.clone(),
        detail: (!part.shows.is_empty()).then(|| part.shows.clone()),
        kind: symbol_kind(part.what),
        tags: None,
        deprecated: None,
        range: lines.range(part.whole.range()),
        selection_range: lines.range(part.head.range()),
        children: (!below.is_empty()).then_some(below),
    }
}

/// The outline for a client that takes no parts below others.
#[allow(deprecated, reason = "the protocol's type has a field that is no longer used")]
pub fn flat_symbols(parts: &[Part], uri: &Uri, lines: &Lines<'_>) -> Vec<SymbolInformation> {
    let mut flat = Vec::new();
    for part in parts {
        for (one, of) in std::iter::once((part, None)).chain(part.parts.iter().map(|one| (one, Some(&part.name)))) {
            flat.push(SymbolInformation {
                name: one.name.clone(),
                kind: symbol_kind(one.what),
                tags: None,
                deprecated: None,
                location: Location::new(uri.clone(), lines.range(one.whole.range())),
                container_name: of.cloned(),
            });
        }
    }
    flat
}

/// A stretch that may be folded away.
pub fn fold(fold: Fold, place: Place, lines: &Lines<'_>) -> FoldingRange {
    let range = lines.range(place.range());
    FoldingRange {
        start_line: range.start.line,
        end_line: range.end.line,
        kind: (fold == Fold::Notes).then_some(FoldingRangeKind::Comment),
        ..FoldingRange::default()
    }
}

/// The protocol's words for what stretches of a text are; all of them stand in its own list.
const TOKENS: [(Token, SemanticTokenType); 10] = [
    (Token::Heading, SemanticTokenType::CLASS),
    (Token::Comment, SemanticTokenType::COMMENT),
    (Token::Caution, SemanticTokenType::MACRO),
    (Token::Value, SemanticTokenType::VARIABLE),
    (Token::Whole, SemanticTokenType::NAMESPACE),
    (Token::Function, SemanticTokenType::FUNCTION),
    (Token::Number, SemanticTokenType::NUMBER),
    (Token::Unit, SemanticTokenType::TYPE),
    (Token::Substance, SemanticTokenType::PARAMETER),
    (Token::Text, SemanticTokenType::STRING),
];

/// The words that tokens are numbered by.
pub fn legend() -> SemanticTokensLegend {
    SemanticTokensLegend {
        token_types: TOKENS.iter().map(|(_, word)| word.clone()).collect(),
        token_modifiers: vec![SemanticTokenModifier::DECLARATION],
    }
}

/// What stretches of a text are, line by line, each counted from the one before.
pub fn tokens(
    tokens: &[Coloured],
    sheet: &Sheet,
    lines: &Lines<'_>,
    is_wanted: impl Fn(u32) -> bool,
) -> Vec<SemanticToken> {
    let mut told = Vec::new();
    let mut before = lsp_types::Position::default();
    for token in tokens {
        let kind = TOKENS.iter().position(|(own, _)| *own == token.token).unwrap_or_default();
        let mut start = token.place.start as usize;
        for line in sheet.source.slice(token.place).split_inclusive(['\n', '\r']) {
            let words = line.trim();
            let from = start + line.len() - line.trim_start().len();
            start += line.len();
            let range = lines.range(from..from + words.len());
            if words.is_empty() || !is_wanted(range.start.line) {
                continue;
            }
            let is_same_line = range.start.line == before.line;
            told.push(SemanticToken {
                delta_line: range.start.line.saturating_sub(before.line),
                delta_start: range.start.character.saturating_sub(if is_same_line { before.character } else { 0 }),
                length: range.end.character.saturating_sub(range.start.character),
                token_type: u32::try_from(kind).unwrap_or_default(),
                token_modifiers_bitset: u32::from(token.is_given),
            });
            before = range.start;
        }
    }
    told
}

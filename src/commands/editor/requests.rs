//! What a client asks, each answered by the library.

use super::client::Client;
use super::convert;
use super::files;
use super::lifecycle::{Refusal, Server, params_of, value};
use super::positions::{Encoding, Lines};
use catchwork::editing::desk::NoSheet;
use catchwork::editing::marks::{Mark, marks};
use catchwork::editing::stands::Stand;
use catchwork::editing::{Sheet, completion, hints, hover, layout, outline, rename, stands, tokens};
use lsp_types::request::{self, Request};
use lsp_types::{
    CodeActionKind, CodeActionOptions, CodeActionOrCommand, CodeActionParams, CodeActionProviderCapability,
    CompletionOptions, CompletionParams, CompletionResponse, DocumentFormattingParams, DocumentSymbolParams,
    DocumentSymbolResponse, FoldingRangeParams, FoldingRangeProviderCapability, GotoDefinitionParams,
    GotoDefinitionResponse, Hover, HoverContents, HoverParams, HoverProviderCapability, InlayHint, InlayHintParams,
    Location, MarkupContent, MarkupKind, OneOf, PositionEncodingKind, PrepareRenameResponse, ReferenceParams,
    RenameOptions, RenameParams, SemanticTokens, SemanticTokensFullOptions, SemanticTokensOptions,
    SemanticTokensParams, SemanticTokensRangeParams, ServerCapabilities, TextDocumentPositionParams,
    TextDocumentSyncCapability, TextDocumentSyncKind, TextDocumentSyncOptions, TextEdit, Uri, WorkDoneProgressOptions,
};
use serde_json::Value;
use std::sync::Arc;

/// What can be asked.
pub fn capabilities(client: &Client) -> ServerCapabilities {
    let encoding = match client.encoding {
        Encoding::Utf8 => PositionEncodingKind::UTF8,
        Encoding::Utf16 => PositionEncodingKind::UTF16,
    };
    let sync = TextDocumentSyncOptions {
        open_close: Some(true),
        change: Some(TextDocumentSyncKind::INCREMENTAL),
        save: Some(lsp_types::TextDocumentSyncSaveOptions::Supported(true)),
        ..TextDocumentSyncOptions::default()
    };
    ServerCapabilities {
        position_encoding: Some(encoding),
        text_document_sync: Some(TextDocumentSyncCapability::Options(sync)),
        hover_provider: Some(HoverProviderCapability::Simple(true)),
        definition_provider: Some(OneOf::Left(true)),
        references_provider: Some(OneOf::Left(true)),
        document_formatting_provider: Some(OneOf::Left(true)),
        inlay_hint_provider: Some(OneOf::Left(true)),
        document_symbol_provider: Some(OneOf::Left(true)),
        folding_range_provider: Some(FoldingRangeProviderCapability::Simple(true)),
        rename_provider: Some(OneOf::Right(RenameOptions {
            prepare_provider: Some(true),
            work_done_progress_options: WorkDoneProgressOptions::default(),
        })),
        code_action_provider: Some(CodeActionProviderCapability::Options(CodeActionOptions {
            code_action_kinds: Some(vec![CodeActionKind::QUICKFIX]),
            ..CodeActionOptions::default()
        })),
        completion_provider: Some(CompletionOptions {
            trigger_characters: Some([".", "\"", "/", "[", " "].map(str::to_owned).to_vec()),
            ..CompletionOptions::default()
        }),
        semantic_tokens_provider: Some(
            SemanticTokensOptions {
                legend: convert::legend(),
                full: Some(SemanticTokensFullOptions::Bool(true)),
                range: Some(true),
                ..SemanticTokensOptions::default()
            }
            .into(),
        ),
        ..ServerCapabilities::default()
    }
}

type Answer<R> = Result<<R as Request>::Result, Refusal>;

impl Server {
    /// Answers a request of a client that has begun.
    pub(super) fn request(&mut self, method: &str, params: Value) -> Result<Value, Refusal> {
        match method {
            request::HoverRequest::METHOD => self.reply::<request::HoverRequest>(params, Self::hover),
            request::InlayHintRequest::METHOD => self.reply::<request::InlayHintRequest>(params, Self::hints),
            request::GotoDefinition::METHOD => self.reply::<request::GotoDefinition>(params, Self::definition),
            request::References::METHOD => self.reply::<request::References>(params, Self::references),
            request::Formatting::METHOD => self.reply::<request::Formatting>(params, Self::formatting),
            request::Completion::METHOD => self.reply::<request::Completion>(params, Self::completion),
            request::CodeActionRequest::METHOD => self.reply::<request::CodeActionRequest>(params, Self::fixes),
            request::PrepareRenameRequest::METHOD => {
                self.reply::<request::PrepareRenameRequest>(params, Self::prepare_rename)
            }
            request::Rename::METHOD => self.reply::<request::Rename>(params, Self::rename),
            request::DocumentSymbolRequest::METHOD => {
                self.reply::<request::DocumentSymbolRequest>(params, Self::outline)
            }
            request::FoldingRangeRequest::METHOD => self.reply::<request::FoldingRangeRequest>(params, Self::folds),
            request::SemanticTokensFullRequest::METHOD => {
                self.reply::<request::SemanticTokensFullRequest>(params, Self::tokens)
            }
            request::SemanticTokensRangeRequest::METHOD => {
                self.reply::<request::SemanticTokensRangeRequest>(params, Self::tokens_in)
            }
            _ => Err(Refusal::unknown(method)),
        }
    }

    fn reply<R: Request>(
        &mut self,
        params: Value,
        answer: impl FnOnce(&mut Self, R::Params) -> Answer<R>,
    ) -> Result<Value, Refusal> {
        answer(self, params_of(params)?).map(value)
    }

    /// A worksheet that is open, worked, with its text.
    fn sheet(&mut self, uri: &Uri) -> Result<(Arc<Sheet>, Arc<str>), Refusal> {
        let name = uri.as_str();
        let sheet = self.desk.sheet(name).map_err(|none| match none {
            NoSheet::NotOpen => Refusal::wrong_params(format!("{name} is not open")),
            NoSheet::Unreadable(_) => Refusal::cannot(format!("{name} cannot be read")),
        })?;
        Ok((sheet, self.desk.text(name).unwrap_or_default()))
    }

    /// The same, with the byte at a position of it.
    fn at(&mut self, place: &TextDocumentPositionParams) -> Result<(Arc<Sheet>, Arc<str>, u32), Refusal> {
        let (sheet, text) = self.sheet(&place.text_document.uri)?;
        let byte = Lines::of(&text, self.client.encoding).byte(place.position);
        Ok((sheet, text, u32::try_from(byte).unwrap_or(u32::MAX)))
    }

    fn hover(&mut self, params: HoverParams) -> Answer<request::HoverRequest> {
        let (sheet, text, at) = self.at(&params.text_document_position_params)?;
        let Some(said) = hover::hover(&sheet, at) else { return Ok(None) };
        let contents = if self.client.shows_markdown {
            MarkupContent { kind: MarkupKind::Markdown, value: fenced(&said.says) }
        } else {
            MarkupContent { kind: MarkupKind::PlainText, value: said.says }
        };
        let range = Lines::of(&text, self.client.encoding).range(said.place.range());
        Ok(Some(Hover { contents: HoverContents::Markup(contents), range: Some(range) }))
    }

    fn hints(&mut self, params: InlayHintParams) -> Answer<request::InlayHintRequest> {
        let (sheet, text) = self.sheet(&params.text_document.uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let hints = hints::hints(&sheet);
        let hints = hints.iter().map(|hint| convert::hint(hint, &lines));
        let wanted = params.range;
        let is_wanted = |hint: &InlayHint| (wanted.start..=wanted.end).contains(&hint.position);
        Ok(Some(hints.filter(is_wanted).collect()))
    }

    fn definition(&mut self, params: GotoDefinitionParams) -> Answer<request::GotoDefinition> {
        let uri = params.text_document_position_params.text_document.uri.clone();
        let (sheet, _, at) = self.at(&params.text_document_position_params)?;
        let given = stands::given(&sheet, at);
        Ok(Some(GotoDefinitionResponse::Array(self.locations(&uri, &given))))
    }

    fn references(&mut self, params: ReferenceParams) -> Answer<request::References> {
        let uri = params.text_document_position.text_document.uri.clone();
        let (sheet, _, at) = self.at(&params.text_document_position)?;
        let used = stands::used(&sheet, at, params.context.include_declaration);
        Ok(Some(self.locations(&uri, &used)))
    }

    /// Stretches of files as the client knows them; `own` is the worksheet that was asked about.
    fn locations(&self, own: &Uri, stands: &[Stand]) -> Vec<Location> {
        let location = |stand: &Stand| {
            let file = stand.file.as_deref();
            let open = file.and_then(|file| self.desk.name_of(file)).and_then(|name| name.parse::<Uri>().ok());
            let uri = match (open, file) {
                (Some(open), _) => open,
                (None, Some(file)) => files::uri(file)?,
                (None, None) => own.clone(),
            };
            let text = self.desk.text(uri.as_str()).unwrap_or_else(|| stand.source.text.clone());
            Some(Location::new(uri, Lines::of(&text, self.client.encoding).range(stand.place.range())))
        };
        stands.iter().filter_map(location).collect()
    }

    fn formatting(&mut self, params: DocumentFormattingParams) -> Answer<request::Formatting> {
        let (sheet, text) = self.sheet(&params.text_document.uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let edits = layout::edits(&sheet);
        Ok(edits.map(|edits| edits.iter().map(|edit| convert::edit(edit, &lines)).collect::<Vec<TextEdit>>()))
    }
}

/// What writes to the text of a worksheet, or tells of its parts.
impl Server {
    fn completion(&mut self, params: CompletionParams) -> Answer<request::Completion> {
        let (sheet, text, at) = self.at(&params.text_document_position)?;
        let lines = Lines::of(&text, self.client.encoding);
        let offers = completion::offers(&sheet, at);
        let items = offers.iter().enumerate().map(|(order, offer)| convert::offer(offer, order, &lines));
        Ok(Some(CompletionResponse::Array(items.collect())))
    }

    /// What troubles in a stretch of the text say to write instead.
    fn fixes(&mut self, params: CodeActionParams) -> Answer<request::CodeActionRequest> {
        let uri = params.text_document.uri;
        let (sheet, text) = self.sheet(&uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let is_wanted = |mark: &Mark| {
            let range = lines.range(mark.place.range());
            mark.place.source == 0 && range.start <= params.range.end && params.range.start <= range.end
        };
        let is_asked = |kind: &CodeActionKind| *kind == CodeActionKind::EMPTY || *kind == CodeActionKind::QUICKFIX;
        let is_asked = params.context.only.as_ref().is_none_or(|only| only.iter().any(is_asked));
        let marks = marks(&sheet);
        let marks = marks.iter().filter(|mark| self.client.takes_fixes && is_asked && is_wanted(mark));
        let fixes = marks.flat_map(|mark| convert::fixes(mark, &uri, &lines));
        Ok(Some(fixes.map(CodeActionOrCommand::CodeAction).collect()))
    }

    fn prepare_rename(&mut self, params: TextDocumentPositionParams) -> Answer<request::PrepareRenameRequest> {
        let (sheet, text, at) = self.at(&params)?;
        let (place, name) = rename::renamable(&sheet, at).map_err(|why| Refusal::cannot(why.to_string()))?;
        let range = Lines::of(&text, self.client.encoding).range(place.range());
        Ok(Some(PrepareRenameResponse::RangeWithPlaceholder { range, placeholder: name }))
    }

    fn rename(&mut self, params: RenameParams) -> Answer<request::Rename> {
        let (sheet, text, at) = self.at(&params.text_document_position)?;
        let edits = rename::rename(&sheet, at, &params.new_name).map_err(|why| Refusal::cannot(why.to_string()))?;
        let lines = Lines::of(&text, self.client.encoding);
        let edits: Vec<TextEdit> = edits.iter().map(|edit| convert::edit(edit, &lines)).collect();
        Ok(Some(convert::changes(&params.text_document_position.text_document.uri, edits)))
    }

    fn outline(&mut self, params: DocumentSymbolParams) -> Answer<request::DocumentSymbolRequest> {
        let uri = params.text_document.uri;
        let (sheet, text) = self.sheet(&uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let parts = outline::outline(&sheet);
        Ok(Some(match self.client.nests_symbols {
            true => DocumentSymbolResponse::Nested(parts.iter().map(|part| convert::symbol(part, &lines)).collect()),
            false => DocumentSymbolResponse::Flat(convert::flat_symbols(&parts, &uri, &lines)),
        }))
    }

    fn folds(&mut self, params: FoldingRangeParams) -> Answer<request::FoldingRangeRequest> {
        let (sheet, text) = self.sheet(&params.text_document.uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        Ok(Some(outline::folds(&sheet).into_iter().map(|(fold, place)| convert::fold(fold, place, &lines)).collect()))
    }

    fn tokens(&mut self, params: SemanticTokensParams) -> Answer<request::SemanticTokensFullRequest> {
        let (sheet, text) = self.sheet(&params.text_document.uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let data = convert::tokens(&tokens::tokens(&sheet), &sheet, &lines, |_| true);
        Ok(Some(SemanticTokens { result_id: None, data }.into()))
    }

    fn tokens_in(&mut self, params: SemanticTokensRangeParams) -> Answer<request::SemanticTokensRangeRequest> {
        let (sheet, text) = self.sheet(&params.text_document.uri)?;
        let lines = Lines::of(&text, self.client.encoding);
        let (from, to) = (params.range.start.line, params.range.end.line);
        let data = convert::tokens(&tokens::tokens(&sheet), &sheet, &lines, |line| (from..=to).contains(&line));
        Ok(Some(SemanticTokens { result_id: None, data }.into()))
    }
}

/// Plain text as Markdown shows it as it is, whatever stands in it.
fn fenced(text: &str) -> String {
    let longest = text.split(|letter| letter != '`').map(str::len).max().unwrap_or_default();
    let fence = "`".repeat(3.max(longest + 1));
    format!("{fence}text\n{text}\n{fence}")
}

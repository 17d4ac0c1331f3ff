//! The life of the server, from `initialize` to `exit`: what may be asked when, and what is answered to what may not.

use super::super::Status;
use super::client::Client;
use super::requests;
use catchwork::editing::Desk;
use catchwork::quantity::Moment;
use lsp_server::{ErrorCode, Message, Notification, Request, RequestId, Response, ResponseError};
use lsp_types::notification::{self, Notification as _};
use lsp_types::request::{self, Request as _};
use lsp_types::{
    Diagnostic, DidChangeWatchedFilesRegistrationOptions, FileSystemWatcher, GlobPattern, InitializeParams,
    Registration, RegistrationParams,
};
use serde::Serialize;
use serde_json::{Value, json};
use std::collections::{BTreeMap, BTreeSet};

/// The server between two messages.
pub struct Server {
    phase: Phase,
    pub(super) client: Client,
    pub(super) desk: Desk,
    /// The version of each worksheet that is open.
    pub(super) versions: BTreeMap<String, i32>,
    /// Worksheets whose troubles are to be told anew.
    pub(super) due: BTreeSet<String>,
    /// The same of those that draw on what has changed: they wait until nothing is typed for a while.
    pub(super) later: BTreeSet<String>,
    /// What was last told: by worksheet, and by the file that each trouble stands in.
    pub(super) told: BTreeMap<String, BTreeMap<String, Vec<Diagnostic>>>,
    outgoing: Vec<Message>,
    asked: i32,
}

/// How far the client has got.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Phase {
    /// It has not begun.
    New,
    /// It has.
    Open,
    /// It has said that it will end.
    Down,
    /// It has ended; whether it said so before.
    Ended(bool),
}

/// Why a request is not done.
pub struct Refusal {
    code: ErrorCode,
    message: String,
}

impl Refusal {
    /// What was asked for cannot be.
    pub fn cannot(message: impl Into<String>) -> Self {
        Self { code: ErrorCode::RequestFailed, message: message.into() }
    }

    /// What was asked with is not what the protocol has there.
    pub fn wrong_params(message: impl Into<String>) -> Self {
        Self { code: ErrorCode::InvalidParams, message: message.into() }
    }

    /// There is no such request.
    pub fn unknown(method: &str) -> Self {
        Self { code: ErrorCode::MethodNotFound, message: format!("`{method}` is nothing that can be asked here") }
    }

    fn of(code: ErrorCode, message: &str) -> Self {
        Self { code, message: message.to_owned() }
    }
}

impl Server {
    /// One that nobody has spoken to.
    pub fn new() -> Self {
        Self {
            phase: Phase::New,
            client: Client::of(&lsp_types::ClientCapabilities::default()),
            desk: Desk::new(today()),
            versions: BTreeMap::new(),
            due: BTreeSet::new(),
            later: BTreeSet::new(),
            told: BTreeMap::new(),
            outgoing: Vec::new(),
            asked: 0,
        }
    }

    /// How it ended, if it has: well only where the client said beforehand that it would.
    pub fn ended(&self) -> Option<Status> {
        match self.phase {
            Phase::Ended(true) => Some(Status::Worked),
            Phase::Ended(false) => Some(Status::No),
            _ => None,
        }
    }

    /// What is to be sent.
    pub fn outgoing(&mut self) -> Vec<Message> {
        std::mem::take(&mut self.outgoing)
    }

    /// Tells the client something.
    pub(super) fn tell<N: notification::Notification>(&mut self, params: N::Params) {
        self.outgoing.push(Notification { method: N::METHOD.to_owned(), params: value(params) }.into());
    }

    /// Asks the client for something; what it answers changes nothing here.
    pub(super) fn ask<R: request::Request>(&mut self, params: R::Params) {
        self.asked += 1;
        let id = RequestId::from(format!("catchwork-{}", self.asked));
        self.outgoing.push(Request { id, method: R::METHOD.to_owned(), params: value(params) }.into());
    }

    /// Takes a message.
    pub fn take(&mut self, message: Message) {
        match message {
            Message::Request(request) => {
                let response_result = self.answer(&request.method, request.params);
                let response_result = response_result.map_err(|refusal| ResponseError {
                    code: refusal.code as i32,
                    message: refusal.message,
                    data: None,
                });
                self.outgoing.push(Response { id: request.id, response_result }.into());
            }
            Message::Notification(notification) => self.note(&notification.method, notification.params),
            Message::Response(_) => {}
        }
    }

    fn answer(&mut self, method: &str, params: Value) -> Result<Value, Refusal> {
        match self.phase {
            Phase::New if method == request::Initialize::METHOD => self.initialize(params),
            Phase::New => Err(Refusal::of(ErrorCode::ServerNotInitialized, "`initialize` comes first")),
            Phase::Open if method == request::Initialize::METHOD => {
                Err(Refusal::of(ErrorCode::InvalidRequest, "`initialize` comes once"))
            }
            Phase::Open if method == request::Shutdown::METHOD => {
                self.phase = Phase::Down;
                self.due.clear();
                self.later.clear();
                Ok(Value::Null)
            }
            Phase::Open => {
                self.desk.turn_to(today());
                self.request(method, params)
            }
            Phase::Down | Phase::Ended(_) => {
                Err(Refusal::of(ErrorCode::InvalidRequest, "`exit` is all that can follow"))
            }
        }
    }

    fn note(&mut self, method: &str, params: Value) {
        match self.phase {
            phase if method == notification::Exit::METHOD => self.phase = Phase::Ended(phase == Phase::Down),
            Phase::Open if method == notification::Initialized::METHOD => self.watch_files(),
            Phase::Open => {
                self.desk.turn_to(today());
                // Nobody waits for an answer: what cannot be done is written where the client keeps such things.
                if let Err(refusal) = self.notification(method, params) {
                    let message = lsp_types::LogMessageParams {
                        typ: lsp_types::MessageType::WARNING,
                        message: format!("{method}: {}", refusal.message),
                    };
                    self.tell::<notification::LogMessage>(message);
                }
            }
            _ => {}
        }
    }

    fn initialize(&mut self, params: Value) -> Result<Value, Refusal> {
        let params: InitializeParams = params_of(params)?;
        self.client = Client::of(&params.capabilities);
        self.phase = Phase::Open;
        let version = env!("CARGO_PKG_VERSION");
        Ok(json!({
            "capabilities": requests::capabilities(&self.client),
            "serverInfo": {"name": "catchwork", "version": version},
        }))
    }

    /// Asks to be told of files that change: worksheets, what they take rows from, and what marks a crew folder.
    fn watch_files(&mut self) {
        if !self.client.watches_files {
            return;
        }
        let watcher = |glob: &str| FileSystemWatcher { glob_pattern: GlobPattern::String(glob.to_owned()), kind: None };
        let watchers = ["**/*.worksheet", "**/*.csv", "**/crew-folder.txt"].map(watcher).to_vec();
        let method = notification::DidChangeWatchedFiles::METHOD.to_owned();
        let options = value(DidChangeWatchedFilesRegistrationOptions { watchers });
        let registration = Registration { id: "files".to_owned(), method, register_options: Some(options) };
        self.ask::<request::RegisterCapability>(RegistrationParams { registrations: vec![registration] });
    }
}

/// Parameters as the protocol has them.
pub fn params_of<P: serde::de::DeserializeOwned>(params: Value) -> Result<P, Refusal> {
    serde_json::from_value(params).map_err(|error| Refusal::wrong_params(error.to_string()))
}

/// What is sent, as JSON: the types of the protocol can always be written so.
pub fn value(data: impl Serialize) -> Value {
    serde_json::to_value(data).unwrap_or_default()
}

/// The computer's day.
fn today() -> Moment {
    Moment::Day(jiff::ZonedDateTime::now().date())
}

//! `catchwork editor`: a language server on standard input and output. It asks the library for plain data and puts that
//! into the words of the protocol; it computes nothing.

mod client;
mod convert;
mod documents;
mod files;
mod frames;
mod lifecycle;
mod positions;
mod queue;
mod requests;

use super::Status;
use anyhow::{Context, Result};
use frames::Incoming;
use lifecycle::Server;
use lsp_server::{ErrorCode, Message, RequestId, Response};
use queue::{Next, Queue};
use std::io::Write;
use std::time::Duration;

/// So long nothing may have come in before worksheets are worked again that draw on what is being typed.
const PAUSE: Duration = Duration::from_millis(150);

/// Runs the command until the client ends it.
pub fn run() -> Result<Status> {
    let mut queue = Queue::of_standard_input().context("standard input cannot be read")?;
    let mut server = Server::new();
    let mut stream = std::io::stdout().lock();
    loop {
        let next = queue.ready();
        for id in queue.cancelled() {
            send(&mut stream, cancelled(id))?;
        }
        let next = match next {
            Some(next) => next,
            // What is shown is brought up to date when nobody waits for anything else.
            None if server.publish_next() => {
                send_all(&mut stream, &mut server)?;
                continue;
            }
            None => match wait(&mut queue, &mut server) {
                Next::Message(next) => next,
                Next::Quiet => {
                    server.turn_to_later();
                    continue;
                }
                // A client that is gone without a word has not ended as it should.
                Next::Gone => return Ok(Status::No),
            },
        };
        match next {
            Incoming::Message(message) => server.take(message),
            Incoming::NoMessage(id) => {
                frames::refuse(&mut stream, id, ErrorCode::InvalidRequest, "this is no message of the protocol")?;
            }
            Incoming::Broken => {
                let id = serde_json::Value::Null;
                frames::refuse(&mut stream, id, ErrorCode::ParseError, "this cannot be read as a message")?;
            }
        }
        send_all(&mut stream, &mut server)?;
        if let Some(status) = server.ended() {
            return Ok(status);
        }
    }
}

/// Waits for a message, with nothing left to do.
fn wait(queue: &mut Queue, server: &mut Server) -> Next {
    server.desk.tidy();
    queue.wait(server.has_later().then_some(PAUSE))
}

fn cancelled(id: RequestId) -> Message {
    Response::new_err(id, ErrorCode::RequestCanceled as i32, "taken back".to_owned()).into()
}

fn send(stream: &mut impl Write, message: Message) -> Result<()> {
    message.write(stream).context("standard output cannot be written")
}

fn send_all(stream: &mut impl Write, server: &mut Server) -> Result<()> {
    server.outgoing().into_iter().try_for_each(|message| send(stream, message))
}

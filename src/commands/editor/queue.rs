//! Messages that wait: read as they come in, so that one that is taken back is known before its turn.

use super::frames::{self, Incoming};
use lsp_server::{Message, RequestId};
use lsp_types::notification::{Cancel, Notification};
use std::collections::VecDeque;
use std::io::BufReader;
use std::sync::mpsc::{Receiver, RecvTimeoutError, sync_channel};
use std::time::Duration;

/// So many messages are read ahead.
const MOST_AHEAD: usize = 1024;

/// What waiting for a message comes to.
#[derive(Debug)]
pub enum Next {
    /// A message.
    Message(Incoming),
    /// None has come in the time.
    Quiet,
    /// None will come any more.
    Gone,
}

/// Messages in their order.
pub struct Queue {
    incoming: Receiver<Incoming>,
    waiting: VecDeque<Incoming>,
    /// Requests taken back before their turn.
    cancelled: Vec<RequestId>,
}

impl Queue {
    /// The messages on standard input.
    ///
    /// # Errors
    /// Where the system gives no thread to read by.
    pub fn of_standard_input() -> std::io::Result<Self> {
        let (sender, incoming) = sync_channel(MOST_AHEAD);
        let read = move || {
            let mut stream = BufReader::new(std::io::stdin());
            while let Ok(Some(message)) = frames::read(&mut stream) {
                if sender.send(message).is_err() {
                    return;
                }
            }
        };
        std::thread::Builder::new().spawn(read)?;
        Ok(Self { incoming, waiting: VecDeque::new(), cancelled: Vec::new() })
    }

    /// The next message, if one has come in.
    pub fn ready(&mut self) -> Option<Incoming> {
        while let Ok(incoming) = self.incoming.try_recv() {
            self.take(incoming);
        }
        self.waiting.pop_front()
    }

    /// Waits for a message, at most so long if that is said.
    pub fn wait(&mut self, patience: Option<Duration>) -> Next {
        if let Some(incoming) = self.ready() {
            return Next::Message(incoming);
        }
        let next = match patience {
            Some(patience) => self.incoming.recv_timeout(patience),
            None => self.incoming.recv().map_err(|_| RecvTimeoutError::Disconnected),
        };
        match next {
            Ok(incoming) => Next::Message(incoming),
            Err(RecvTimeoutError::Timeout) => Next::Quiet,
            Err(RecvTimeoutError::Disconnected) => Next::Gone,
        }
    }

    /// Requests that were taken back before their turn, and are still to be answered.
    pub fn cancelled(&mut self) -> Vec<RequestId> {
        std::mem::take(&mut self.cancelled)
    }

    fn take(&mut self, incoming: Incoming) {
        match taken_back(&incoming) {
            Some(id) => {
                let is_it = |waiting: &Incoming| match waiting {
                    Incoming::Message(Message::Request(request)) => request.id == id,
                    _ => false,
                };
                if let Some(place) = self.waiting.iter().position(is_it) {
                    self.waiting.remove(place);
                    self.cancelled.push(id);
                }
            }
            None => self.waiting.push_back(incoming),
        }
    }
}

/// The request that a message takes back.
fn taken_back(incoming: &Incoming) -> Option<RequestId> {
    match incoming {
        Incoming::Message(Message::Notification(notification)) if notification.method == Cancel::METHOD => {
            serde_json::from_value(notification.params.get("id")?.clone()).ok()
        }
        _ => None,
    }
}

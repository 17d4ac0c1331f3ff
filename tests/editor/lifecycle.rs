//! From beginning to end: what may be said when, and what is answered to what is wrong, early, late, unknown, taken back
//! or broken. The numbers of errors are those of the Language Server Protocol, version 3.17.

use crate::client::{Client, framed};
use serde_json::{Value, json};
use std::fmt::Write;

const PARSE_ERROR: i64 = -32700;
const INVALID_REQUEST: i64 = -32600;
const METHOD_NOT_FOUND: i64 = -32601;
const INVALID_PARAMS: i64 = -32602;
const NOT_INITIALIZED: i64 = -32002;
const REQUEST_CANCELLED: i64 = -32800;

const URI: &str = "untitled:bed";

fn begun() -> Client {
    Client::begun(&json!({}))
}

fn at(line: u32, character: u32) -> Value {
    json!({"textDocument": {"uri": URI}, "position": {"line": line, "character": character}})
}

#[test]
fn it_ends_well_where_the_client_says_so_first() {
    begun().end();
}

#[test]
fn it_ends_badly_where_the_client_is_gone_without_a_word() {
    let mut client = begun();
    assert_eq!(client.ended().code(), Some(1));
    let mut client = begun();
    client.tell("exit", Value::Null);
    assert_eq!(client.ended().code(), Some(1));
    let mut client = Client::silent();
    client.tell("exit", Value::Null);
    assert_eq!(client.ended().code(), Some(1));
}

#[test]
fn nothing_comes_before_the_beginning() {
    let mut client = Client::silent();
    assert_eq!(client.refused("textDocument/hover", at(0, 0)).0, NOT_INITIALIZED);
    assert_eq!(client.refused("shutdown", Value::Null).0, NOT_INITIALIZED);
    // What is told too early is passed over.
    client.open(URI, "a : 1 ft\n");
    assert_eq!(client.refused("initialize", json!({"capabilities": 3})).0, INVALID_PARAMS);
    let answer = client.ask("initialize", json!({"processId": null, "rootUri": null, "capabilities": {}}));
    assert_eq!(answer["serverInfo"]["name"], "catchwork");
    assert_eq!(client.refused("textDocument/hover", at(0, 0)).0, INVALID_PARAMS, "it was not opened");
    client.end();
}

#[test]
fn it_begins_once_and_nothing_follows_the_end() {
    let mut client = begun();
    let again = json!({"processId": null, "rootUri": null, "capabilities": {}});
    assert_eq!(client.refused("initialize", again).0, INVALID_REQUEST);
    assert_eq!(client.ask("shutdown", Value::Null), Value::Null);
    assert_eq!(client.refused("textDocument/hover", at(0, 0)).0, INVALID_REQUEST);
    assert_eq!(client.refused("shutdown", Value::Null).0, INVALID_REQUEST);
    client.open(URI, "a : 1 ft\n");
    client.tell("exit", Value::Null);
    assert_eq!(client.ended().code(), Some(0));
    assert!(client.said.is_empty(), "{:?}", client.said);
}

#[test]
fn what_it_does_not_know_is_refused_or_passed_over() {
    let mut client = begun();
    assert_eq!(client.refused("textDocument/weigh", json!({})).0, METHOD_NOT_FOUND);
    assert_eq!(client.refused("$/weigh", json!({})).0, METHOD_NOT_FOUND);
    client.tell("$/weigh", json!({}));
    client.tell("textDocument/weigh", json!({}));
    client.tell("$/setTrace", json!({"value": "off"}));
    client.tell("$/cancelRequest", json!({"id": 99}));
    client.tell("$/cancelRequest", json!("no number"));
    client.end();
}

#[test]
fn what_is_asked_wrongly_is_refused() {
    let mut client = begun();
    client.open(URI, "a : 1 ft\n");
    for params in [json!(null), json!([]), json!({}), json!({"textDocument": {"uri": 3}})] {
        assert_eq!(client.refused("textDocument/hover", params).0, INVALID_PARAMS);
    }
    let elsewhere = json!({"textDocument": {"uri": "untitled:other"}, "position": {"line": 0, "character": 0}});
    assert_eq!(client.refused("textDocument/hover", elsewhere).0, INVALID_PARAMS);
    // What is told wrongly is noted where the client keeps such things.
    client.tell("textDocument/didChange", json!({"textDocument": {}}));
    client.change("untitled:other", 2, None, "b : 1 ft\n");
    for _ in 0..2 {
        client.wait(|message| message["method"] == "window/logMessage");
    }
    assert!(client.ask("textDocument/hover", at(0, 0)).is_object());
    client.end();
}

#[test]
fn positions_far_outside_do_no_harm() {
    let mut client = begun();
    client.open(URI, "a : 1 ft\nb = 2 * a [ft]\n");
    for (line, character) in [(0, u32::MAX), (u32::MAX, 0), (u32::MAX, u32::MAX)] {
        let place = at(line, character);
        for method in ["hover", "definition", "completion", "prepareRename"] {
            let id = client.request(&format!("textDocument/{method}"), place.clone());
            client.answer(id);
        }
    }
    let backwards = json!({"start": {"line": 1, "character": 3}, "end": {"line": 0, "character": 2}});
    client.change(URI, 2, Some(backwards), "x");
    assert!(client.troubles_of(URI, 2).len() <= 2);
    client.end();
}

#[test]
fn what_is_broken_does_not_stop_it() {
    let mut client = begun();
    for (broken, code) in [
        (framed("{"), PARSE_ERROR),
        (framed("\u{0}"), PARSE_ERROR),
        ("Content-Length: nine\r\n\r\n".to_owned(), PARSE_ERROR),
        ("What: is this\r\n\r\n".to_owned(), PARSE_ERROR),
        (framed(r#"{"jsonrpc": "2.0"}"#), INVALID_REQUEST),
        (framed("[1, 2]"), INVALID_REQUEST),
        (framed(&"[".repeat(100_000)), PARSE_ERROR),
    ] {
        client.send_raw(broken.as_bytes());
        let answer = client.wait(|message| message.get("error").is_some());
        assert_eq!((&answer["id"], answer["error"]["code"].as_i64()), (&Value::Null, Some(code)), "{broken:.40}");
    }
    client.send_raw(framed(r#"{"jsonrpc": "2.0", "id": 77, "method": 3}"#).as_bytes());
    assert_eq!(client.answer(77)["error"]["code"], INVALID_REQUEST);
    client.send_raw(&[b"Content-Length: 4\r\n\r\n".as_slice(), &[0xff, 0xfe, 0xfd, 0xfc]].concat());
    assert_eq!(client.wait(|message| message.get("error").is_some())["error"]["code"], PARSE_ERROR);
    client.end();
}

#[test]
fn what_is_taken_back_before_its_turn_is_not_done() {
    let mut client = begun();
    // A long worksheet keeps it busy until all of this has come in.
    let mut sheet = String::new();
    for number in 0..20_000 {
        let _ = writeln!(sheet, "a{number} = 2 ft * {number} [ft]");
    }
    client.open(URI, &sheet);
    let first = client.request("textDocument/hover", at(0, 0));
    let second = client.request("textDocument/hover", at(1, 0));
    let third = client.request("textDocument/hover", at(2, 0));
    client.tell("$/cancelRequest", json!({"id": second}));
    assert_eq!(client.answer(second)["error"]["code"], REQUEST_CANCELLED);
    assert!(client.answer(first)["result"].is_object());
    assert!(client.answer(third)["result"].is_object());
    client.end();
}

#[test]
fn a_worksheet_over_the_limit_is_told_so() {
    let mut client = begun();
    client.open(URI, &"-- a line\n".repeat(100_001));
    let troubles = client.troubles(URI);
    assert_eq!(troubles.len(), 1);
    assert!(client.refused("textDocument/hover", at(0, 0)).1.contains("cannot be read"));
    client.change(URI, 2, None, "a : 1 ft\n");
    assert!(client.troubles_of(URI, 2).is_empty());
    client.end();
}

//! The day changes while worksheets are open: it goes on, and it goes back where the clock does.

use crate::client::Client;
use crate::wrong::{set, shown_by};
use serde_json::{Value, json};
use tempfile::TempDir;

const URI: &str = "untitled:age";

/// What stands beside the line of the result.
fn hint(client: &mut Client) -> String {
    let is_beside = |hint: &&Value| hint["position"]["line"] == 1;
    client.hints(URI).iter().find(is_beside).map(|hint| hint["label"].to_string()).unwrap_or_default()
}

#[test]
fn what_rests_on_today_goes_with_the_clock_forward_and_back() {
    let folder = TempDir::new().unwrap();
    let clock = folder.path().join("clock");
    set(&clock, "2026-04-15");
    let Some(variables) = shown_by(&clock) else { return };
    let mut client = Client::among(&variables);
    client.begin(&json!({}));
    client.open(URI, "last : 2026-04-12\nage = today - last [day]\n");
    for (day, age) in [("2026-04-15", "3.000 day"), ("2026-04-22", "10.00 day"), ("2026-04-02", "-10.00 day")] {
        set(&clock, day);
        let hint = hint(&mut client);
        assert!(hint.contains(age), "{day}: {hint}");
    }
    client.end();
}

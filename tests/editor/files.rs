//! Several files at once: what is open and not saved is what the others draw on, what changes outside is taken in, and a
//! trouble stands in the file that it is in.

use crate::asked::uri;
use crate::client::Client;
use serde_json::{Value, json};
use std::path::PathBuf;

/// A crew folder on disk, and a client that has begun.
struct Crew {
    _folder: tempfile::TempDir,
    root: PathBuf,
    client: Client,
}

impl Crew {
    fn new(capabilities: &Value) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let root = folder.path().canonicalize().unwrap();
        std::fs::write(root.join("crew-folder.txt"), "").unwrap();
        Self { _folder: folder, root, client: Client::begun(capabilities) }
    }

    fn save(&self, name: &str, text: &str) {
        std::fs::write(self.root.join(name), text).unwrap();
    }

    fn uri(&self, name: &str) -> String {
        uri(&self.root.join(name))
    }

    fn open(&mut self, name: &str, text: &str) -> Vec<Value> {
        let uri = self.uri(name);
        self.client.open(&uri, text);
        self.client.troubles(&uri)
    }

    fn hints(&mut self, name: &str) -> Vec<String> {
        let uri = self.uri(name);
        let hints = self.client.hints(&uri);
        hints.iter().map(|hint| hint["label"].as_str().unwrap().to_owned()).collect()
    }
}

const STRIP: &str = "# Strip\nlength : 60 ft\nwidth : 2 ft\narea = length * width [ft²]\n";
const MIX: &str = "# Mix\nstrip from \"strip.worksheet\"\ntwice = 2 * strip.area [ft²]\n";

#[test]
fn a_worksheet_that_is_not_saved_is_what_others_draw_on() {
    let mut crew = Crew::new(&json!({"workspace": {"inlayHint": {"refreshSupport": true}}}));
    crew.save("strip.worksheet", STRIP);
    assert!(crew.open("mix.worksheet", MIX).is_empty());
    assert_eq!(crew.hints("mix.worksheet"), ["= 240.0 ft²"]);
    assert!(crew.open("strip.worksheet", &STRIP.replace("60", "30")).is_empty());
    crew.client.wait(|message| message["method"] == "workspace/inlayHint/refresh");
    assert_eq!(crew.hints("mix.worksheet"), ["= 120.0 ft²"]);
    let strip = crew.uri("strip.worksheet");
    crew.client.change(&strip, 2, None, &STRIP.replace("60 ft", "60 gal"));
    let mix = crew.uri("mix.worksheet");
    let is_told = |count: usize| {
        let mix = mix.clone();
        move |message: &Value| {
            message["params"]["uri"] == mix && message["params"]["diagnostics"].as_array().unwrap().len() == count
        }
    };
    crew.client.said.clear();
    crew.client.wait(is_told(1));
    // Closed, it is again what is on disk.
    crew.client.tell("textDocument/didClose", json!({"textDocument": {"uri": strip}}));
    crew.client.wait(is_told(0));
    assert_eq!(crew.hints("mix.worksheet"), ["= 240.0 ft²"]);
    crew.client.end();
}

#[test]
fn a_trouble_in_a_template_stands_in_the_templates_own_file() {
    let mut crew = Crew::new(&json!({}));
    crew.save("strip.worksheet", "# Strip\nlength : ____ ft\narea = length * wdth [ft²]\n");
    crew.open("green.worksheet", "from \"strip.worksheet\"\nlength : 60 ft\n");
    let template = crew.uri("strip.worksheet");
    let troubles = crew.client.troubles(&template);
    assert_eq!(troubles.len(), 1, "{troubles:?}");
    assert_eq!(troubles[0]["range"]["start"], json!({"line": 2, "character": 16}));
    // Open itself, it has the same trouble, and has it once.
    let text = "# Strip\nlength : ____ ft\narea = length * wdth [ft²]\n";
    assert_eq!(crew.open("strip.worksheet", text).len(), 1);
    crew.client.change(&template, 2, None, "# Strip\nlength : ____ ft\narea = length * length [ft²]\n");
    // What the worksheet that fills it said of it goes too.
    crew.client.wait(|message| message["params"]["uri"] == template && message["params"]["diagnostics"] == json!([]));
    crew.client.end();
}

#[test]
fn what_changes_outside_is_taken_in() {
    let watches = json!({"workspace": {"didChangeWatchedFiles": {"dynamicRegistration": true}}});
    let mut crew = Crew::new(&watches);
    let asked = crew.client.wait(|message| message["method"] == "client/registerCapability");
    assert_eq!(asked["params"]["registrations"][0]["method"], "workspace/didChangeWatchedFiles");
    crew.client.send(&json!({"jsonrpc": "2.0", "id": asked["id"], "result": null}));
    assert_eq!(crew.open("mix.worksheet", MIX).len(), 1, "there is no strip.worksheet yet");
    crew.save("strip.worksheet", STRIP);
    let changed = json!({"changes": [{"uri": crew.uri("strip.worksheet"), "type": 1}]});
    crew.client.tell("workspace/didChangeWatchedFiles", changed);
    let mix = crew.uri("mix.worksheet");
    assert!(crew.client.troubles(&mix).is_empty());
    assert_eq!(crew.hints("mix.worksheet"), ["= 240.0 ft²"]);
    crew.client.end();
}

#[test]
fn a_client_that_tells_of_no_files_has_them_looked_at_when_it_saves() {
    let mut crew = Crew::new(&json!({}));
    assert_eq!(crew.open("mix.worksheet", MIX).len(), 1);
    crew.save("strip.worksheet", STRIP);
    let mix = crew.uri("mix.worksheet");
    crew.client.tell("textDocument/didSave", json!({"textDocument": {"uri": mix}}));
    assert!(crew.client.troubles(&mix).is_empty());
    crew.client.end();
}

#[test]
fn a_new_worksheet_is_in_the_log_before_it_is_saved() {
    let mut crew = Crew::new(&json!({}));
    crew.save("a.worksheet", "# A\nused : 3 gal\n");
    let log = "# Log\n| jobs from \"*.worksheet\" | used : gal |\n\nall = sum(jobs.used) [gal]\n";
    assert!(crew.open("log.worksheet", log).is_empty());
    assert_eq!(crew.hints("log.worksheet"), ["1 row", "= 3.000 gal"]);
    crew.open("b.worksheet", "# B\nused : 4 gal\n");
    assert_eq!(crew.hints("log.worksheet"), ["2 rows", "= 7.000 gal"]);
    let new = crew.uri("b.worksheet");
    crew.client.change(&new, 2, None, "# B\nused : 5 gal\n");
    assert_eq!(crew.hints("log.worksheet"), ["2 rows", "= 8.000 gal"]);
    crew.client.end();
}

#[test]
fn rows_of_a_csv_file_are_taken_in_again() {
    let mut crew = Crew::new(&json!({}));
    crew.save("beds.csv", "bed,area (ft²)\nnorth,100\n");
    let sheet = "# Beds\n| beds from \"beds.csv\" | area : ft² |\n\nall = sum(beds.area) [ft²]\n";
    assert!(crew.open("beds.worksheet", sheet).is_empty());
    assert_eq!(crew.hints("beds.worksheet"), ["1 row", "= 100.0 ft²"]);
    crew.save("beds.csv", "bed,area (ft²)\nnorth,100\nsouth,50\n");
    let changed = json!({"changes": [{"uri": crew.uri("beds.csv"), "type": 2}]});
    crew.client.tell("workspace/didChangeWatchedFiles", changed);
    assert_eq!(crew.hints("beds.worksheet"), ["2 rows", "= 150.0 ft²"]);
    crew.client.end();
}

#[test]
fn names_of_files_may_hold_any_character() {
    let mut crew = Crew::new(&json!({}));
    let file = crew.root.join("½ bed #2.worksheet");
    let escaped = format!("{}/%C2%BD%20bed%20%232.worksheet", uri(&crew.root));
    std::fs::write(crew.root.join("strip.worksheet"), STRIP).unwrap();
    std::fs::write(&file, MIX).unwrap();
    crew.client.open(&escaped, MIX);
    assert!(crew.client.troubles(&escaped).is_empty());
    let place = json!({"textDocument": {"uri": escaped}, "position": {"line": 2, "character": 18}});
    let given = crew.client.ask("textDocument/definition", place);
    assert_eq!(given[0]["uri"], crew.uri("strip.worksheet"));
    assert_eq!(given[0]["range"]["start"], json!({"line": 3, "character": 0}));
    crew.client.end();
}

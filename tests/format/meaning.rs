//! What a report says apart from where it says it, so that a text and the same text laid out can be held against each
//! other.

use serde_json::Value;

/// What a report, as a line of JSON, says, places in its text and the words of troubles aside.
pub fn meaning(line: &str) -> serde_json::Result<Value> {
    let mut said = serde_json::from_str(line)?;
    without_places(&mut said);
    // Blanks are told in the order of their lines, and a row of several lines becomes one of a single line.
    if let Some(waiting) = said.get_mut("waiting").and_then(Value::as_array_mut) {
        waiting.sort_by_key(|blank| blank.get("name").map(Value::to_string));
    }
    Ok(said)
}

fn without_places(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for place in ["line", "column", "length", "fingerprint", "says", "instead"] {
                fields.remove(place);
            }
            // These quote the worksheet's own writing, whose spacing is what a layout is about.
            for quoted in ["compared", "shown"] {
                if let Some(Value::String(quoted)) = fields.get_mut(quoted) {
                    quoted.retain(|character| !character.is_whitespace());
                }
            }
            fields.values_mut().for_each(without_places);
        }
        Value::Array(items) => items.iter_mut().for_each(without_places),
        _ => {}
    }
}

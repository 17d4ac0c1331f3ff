//! The report as JSON. It knows nothing but how the plain data is written out.

use super::data::Report;
use super::letters::is_obeyed;

/// All reports as one array, laid out for reading.
pub fn array(reports: &[Report]) -> serde_json::Result<String> {
    serde_json::to_string_pretty(reports).map(seen)
}

/// One report on one line, without the line's end.
pub fn line(report: &Report) -> serde_json::Result<String> {
    serde_json::to_string(report).map(seen)
}

/// The same JSON with everything spelt out that a terminal would obey; such letters stand in strings only.
fn seen(json: String) -> String {
    let is_shown = |letter: char| letter == '\n' || !is_obeyed(letter);
    if json.chars().all(is_shown) {
        return json;
    }
    let spelt =
        |letter: char| if is_shown(letter) { letter.to_string() } else { format!("\\u{:04x}", u32::from(letter)) };
    json.chars().map(spelt).collect()
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::report::sample;
    use serde_json::Value;

    fn schema() -> jsonschema::Validator {
        let schema = include_str!("../../tests/schema/report.schema.json");
        jsonschema::validator_for(&serde_json::from_str(schema).unwrap()).unwrap()
    }

    fn as_value(report: &Report) -> Value {
        serde_json::from_str(&line(report).unwrap()).unwrap()
    }

    fn refused(change: impl Fn(&mut Value)) -> bool {
        let mut report = as_value(&sample::report());
        change(&mut report);
        !schema().is_valid(&report)
    }

    #[test]
    fn every_form_holds_to_the_schema() {
        let reports = [sample::report(), sample::unreadable(), Report::default()];
        let array: Value = serde_json::from_str(&array(&reports[..2]).unwrap()).unwrap();
        let troubles: Vec<String> = schema().iter_errors(&array).map(|trouble| trouble.to_string()).collect();
        assert_eq!(troubles, Vec::<String>::new());
        assert!(schema().is_valid(&as_value(&reports[0])));
        // A report that nobody filled says no program and is none.
        assert!(!schema().is_valid(&as_value(&reports[2])));
    }

    #[test]
    fn the_schema_is_strict() {
        assert!(!refused(|_| ()));
        assert!(refused(|report| report["values"][0]["kind"] = "volume".into()));
        assert!(refused(|report| report["values"][0]["more"] = 1.into()));
        assert!(refused(|report| drop(report["values"][0].as_object_mut().unwrap().remove("of"))));
        assert!(refused(|report| report["checks"][0]["outcome"] = "yes".into()));
        assert!(refused(|report| report["values"][0]["low"] = 1.into()));
        assert!(refused(|report| report["fingerprint"] = "8F2A91C4".into()));
        assert!(refused(|report| report["notice"] = "".into()));
    }

    #[test]
    fn no_words_of_a_worksheet_command_the_terminal() {
        let mut report = sample::report();
        let hostile = "a\u{1b}[2J\u{7f}\u{9b}2J\u{202e}é\n";
        report.title = Some(hostile.to_owned());
        let line = line(&report).unwrap();
        assert!(line.contains(r"a\u001b[2J\u007f\u009b2J\u202eé\n"), "{line}");
        assert_eq!(as_value(&report)["title"], hostile, "and nothing is lost");
    }

    #[test]
    fn numbers_keep_fifteen_digits() {
        let mut report = sample::report();
        let mut number = |number: f64| {
            report.values[0].cell.value = Some(number);
            as_value(&report)["values"][0]["value"].to_string()
        };
        assert_eq!(number(60.00000000000001), "60.0");
        assert_eq!(number(0.1 + 0.2), "0.3");
        assert_eq!(number(-0.0), "0.0");
        assert_eq!(number(123456789012345.0), "123456789012345.0");
        assert_eq!(number(1.23456789012345e-30), "1.23456789012345e-30");
        assert_eq!(number(f64::MAX), "1.7976931348623157e+308");
    }
}

//! Every report keeps to the JSON Schema beside it: those of all worksheets that ship or are published, of broken ones,
//! and of files that cannot be read at all.

#![allow(clippy::panic)]

use anyhow::{Context, Result, ensure};
use jsonschema::Validator;
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::Command;

const SCHEMA: &str = include_str!("schema/report.schema.json");

/// Worksheets in trouble of every sort, and those that hold next to nothing.
const BROKEN: [&str; 30] = [
    "",
    "\n\n",
    "# Title alone",
    "strip length : 60 ft",
    "no role at all",
    "tank : 3",
    "x = 1 ft + 1 s",
    "x = y",
    "x = x + 1",
    "a : 1 ft\na : 2 ft\nb = a * 2",
    "a : 9,5 ft",
    "a : 60 °F * 2",
    "a : 5 gal of product\nb : 5 gal of water\nc = a + b",
    "| beds | length : ft | width : ft |\n| north | 24 |\n",
    "| beds | length : ft | area = length * 2 s [ft²] |\n| north | 24 |\n| north | ____ |\n",
    "| beds | length : ft |\ntotal = sum(beds.length) [ft]\nworst = max(beds.length)\n",
    "? label : tank at most\n",
    "? label : 1 ft at most 2 s else Do something.\n",
    "a : ____ ft\nb = a * 2 [in]\n? small : b at most 3 ft\n",
    "a : 1 to 2 ft\nb = a / a\n",
    "a : up to 4 ft\nb : at least 2 ft\n",
    "a : 4/12/2026\nb : 2026-02-30\n",
    "a : \"open\nb : yes\nc : \"text\"\nd : 2026-04-12 14:30\n",
    "from \"nowhere.worksheet\"\n",
    "old from \"nowhere.worksheet\"\nx = old.flow * 2\n",
    "| beds from \"nowhere.csv\" | length : ft |\n",
    "1 scoop = ____ oz of product\ndose : 3 scoop\n",
    "a = today + 3 day\nb = sqrt(0 - 1)\nc = 1 / 0\n",
    "a : 9, 9, 9 ft\nb = mean(a)\nc = sd(a)\n~ one : a by a\n",
    "a : 1e308 ft\nb = a * a * a [ft³]\nc : 5 ft\u{a0}6 in\u{0}\n",
];

fn validator() -> Result<Validator> {
    let schema: Value = serde_json::from_str(SCHEMA)?;
    jsonschema::validator_for(&schema).context("the schema itself")
}

/// What the program prints as JSON for these paths; its exit status is 2 where something is in trouble.
fn printed(paths: &[&Path]) -> Result<Value> {
    let mut command = Command::new(env!("CARGO_BIN_EXE_catchwork"));
    command.arg("results").args(paths).args(["--as", "json", "--today", "2026-04-12"]);
    let output = command.current_dir(env!("CARGO_MANIFEST_DIR")).output()?;
    let said = String::from_utf8_lossy(&output.stderr);
    serde_json::from_slice(&output.stdout).with_context(|| format!("no JSON; it said: {said}"))
}

fn reports(printed: &Value) -> Result<&Vec<Value>> {
    printed.as_array().context("no array")
}

/// Everything in which a report leaves the schema.
fn keeps_to(validator: &Validator, report: &Value) -> Result<()> {
    let wrong: Vec<String> =
        validator.iter_errors(report).map(|error| format!("{}: {error}", error.instance_path())).collect();
    ensure!(wrong.is_empty(), "{}\n{}", report["worksheet"], wrong.join("\n"));
    Ok(())
}

/// A report in which one thing is not as it should be is refused, or the rest of this file would say nothing.
#[test]
fn the_schema_refuses_what_is_no_report() -> Result<()> {
    let validator = validator()?;
    let printed = printed(&[Path::new("worksheets/methods/sprayer-strip.worksheet")])?;
    let report = &reports(&printed)?[0];
    keeps_to(&validator, report)?;
    let changes: [fn(&mut Value); 6] = [
        |report| report["schema"] = 2.into(),
        |report| report["fingerprint"] = "xyz".into(),
        |report| report["extra"] = Value::Null,
        |report| report["values"][0]["value"] = "1".into(),
        |report| report["values"][0]["kind"] = "length".into(),
        |report| drop(report["values"][0].as_object_mut().map(|value| value.remove("shown"))),
    ];
    for (number, change) in changes.into_iter().enumerate() {
        let mut other = report.clone();
        change(&mut other);
        ensure!(keeps_to(&validator, &other).is_err(), "change {number} is taken");
    }
    Ok(())
}

#[test]
fn reports_of_all_that_ships_and_is_published_keep_to_it() -> Result<()> {
    let validator = validator()?;
    let printed = printed(&["worksheets", "tests/published"].map(Path::new))?;
    ensure!(reports(&printed)?.len() > 100, "only {} reports", reports(&printed)?.len());
    for report in reports(&printed)? {
        keeps_to(&validator, report)?;
    }
    keeps_to(&validator, &printed)
}

#[test]
fn each_line_of_jsonl_is_a_report() -> Result<()> {
    let validator = validator()?;
    let mut command = Command::new(env!("CARGO_BIN_EXE_catchwork"));
    command.args(["results", "worksheets/methods", "--as", "jsonl"]).current_dir(env!("CARGO_MANIFEST_DIR"));
    let text = String::from_utf8(command.output()?.stdout)?;
    ensure!(text.lines().count() > 20, "only {} lines", text.lines().count());
    for line in text.lines() {
        let report: Value = serde_json::from_str(line)?;
        ensure!(report.is_object(), "{line}");
        keeps_to(&validator, &report)?;
    }
    Ok(())
}

#[test]
fn reports_of_broken_worksheets_keep_to_it() -> Result<()> {
    let (validator, folder) = (validator()?, tempfile::tempdir()?);
    let mut in_trouble = 0;
    for (number, text) in BROKEN.iter().enumerate() {
        let path = folder.path().join(format!("broken-{number}.worksheet"));
        fs::write(&path, text)?;
        let printed = printed(&[&path])?;
        let [report] = reports(&printed)?.as_slice() else { anyhow::bail!("not one report of {text:?}") };
        keeps_to(&validator, report).with_context(|| format!("{text:?}"))?;
        in_trouble += usize::from(report["troubles"].as_array().is_some_and(|troubles| !troubles.is_empty()));
    }
    ensure!(in_trouble >= 20, "only {in_trouble} are in trouble");
    Ok(())
}

#[test]
fn a_file_that_cannot_be_read_yields_an_object_with_its_trouble() -> Result<()> {
    let (validator, folder) = (validator()?, tempfile::tempdir()?);
    let path = |name: &str| folder.path().join(name);
    fs::write(path("latin.worksheet"), b"# caf\xe9\nx : 1 ft\n")?;
    fs::write(path("zeros.worksheet"), [0xff; 40])?;
    fs::write(path("large.worksheet"), vec![b'-'; 5 << 20])?;
    for name in ["missing.worksheet", "latin.worksheet", "zeros.worksheet", "large.worksheet"] {
        let path = path(name);
        let printed = printed(&[&path])?;
        let [report] = reports(&printed)?.as_slice() else { anyhow::bail!("not one report of {name}") };
        keeps_to(&validator, report)?;
        let troubles = report["troubles"].as_array().context("no troubles")?;
        ensure!(troubles.len() == 1 && troubles[0]["line"].as_u64() >= Some(1), "{name}: {troubles:?}");
        ensure!(report["worksheet"] == path.display().to_string().as_str(), "{}", report["worksheet"]);
        ensure!(report["values"].as_array().is_some_and(Vec::is_empty), "{name} has values");
    }
    Ok(())
}

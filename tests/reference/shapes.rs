//! Areas of beds against the cross products of their corners and a geometry library; shapes that are none are refused.

use super::cases::{CLOSE, number, number_of, rows, trial, tried, worked};
use anyhow::{Context, Result, ensure};
use libtest_mimic::Trial;

const AREAS: usize = 200;
const REFUSED: usize = 42;

pub fn trials() -> Result<Vec<Trial>> {
    let areas = rows("shapes/areas.tsv", ["kind", "arguments", "area"], AREAS)?;
    let refused = rows("shapes/refused.tsv", ["kind", "arguments", "crossing"], REFUSED)?;
    let area = |(index, [kind, arguments, area]): (usize, [String; 3])| {
        trial(format!("area {}: {kind}", index + 1), move || hold_area(&kind, &arguments, &area))
    };
    let no_shape = |(index, [kind, arguments, crossing]): (usize, [String; 3])| {
        trial(format!("refused {}: {kind}", index + 1), move || hold_refused(&kind, &arguments, &crossing))
    };
    Ok(areas.into_iter().enumerate().map(area).chain(refused.into_iter().enumerate().map(no_shape)).collect())
}

/// A worksheet that takes each argument as an entry and works the area.
fn sheet(kind: &str, arguments: &str) -> String {
    let given = arguments.split(';').zip('a'..);
    let entries: String = given.clone().map(|(argument, name)| format!("{name} : {} ft\n", spaced(argument))).collect();
    let names: Vec<String> = given.map(|(_, name)| name.to_string()).collect();
    format!("{entries}area = {kind}({}) [ft²]\n", names.join(", "))
}

fn spaced(list: &str) -> String {
    list.replace(',', ", ")
}

fn hold_area(kind: &str, arguments: &str, area: &str) -> Result<()> {
    let text = sheet(kind, arguments);
    let found = number_of(&worked(&text)?, "area")?;
    let area = number(area)?;
    ensure!((found - area).abs() <= CLOSE * area, "{found}, and {area} is kept, of\n{text}");
    Ok(())
}

fn hold_refused(kind: &str, arguments: &str, crossing: &str) -> Result<()> {
    let text = sheet(kind, arguments);
    let report = tried(&text)?;
    let [trouble] = report.troubles.as_slice() else {
        anyhow::bail!("{} troubles, not one, in\n{text}", report.troubles.len());
    };
    if crossing.is_empty() {
        ensure!(trouble.kind == "sides-do-not-meet", "refused otherwise:\n{}", trouble.display);
        return Ok(());
    }
    ensure!(trouble.kind == "sides-cross", "refused otherwise:\n{}", trouble.display);
    let pairs: Vec<&str> = crossing.split(' ').collect();
    let corners = arguments.split(';').next().unwrap_or_default().split(',').count();
    let named = sides_named(&trouble.says, corners).with_context(|| trouble.says.clone())?;
    ensure!(pairs.contains(&named.as_str()), "{}: these cross: {crossing}", trouble.says);
    Ok(())
}

/// The two sides that a refusal names by their corners, as `1x3`: side 1 leads from corner 1 to 2.
fn sides_named(says: &str, corners: usize) -> Option<String> {
    let mut named = says.split("the side from corner ").skip(1).map(|rest| {
        let mut words = rest.split(' ');
        let (from, to): (usize, usize) = (words.next()?.parse().ok()?, words.nth(1)?.parse().ok()?);
        (to == from % corners + 1).then_some(from)
    });
    Some(format!("{}x{}", named.next()??, named.next()??))
}

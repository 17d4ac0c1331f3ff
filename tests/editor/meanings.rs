//! What names are taken to stand for when one is gone to or renamed, by what is written, is what formulas are worked with:
//! on the worksheets of the project, name by name.

use catchwork::checked::model::{Does, Expression, Origin};
use catchwork::editing::meanings::Meaning;
use catchwork::editing::{Desk, Sheet};
use catchwork::quantity::Moment;
use catchwork::syntax::tree::key;
use std::path::Path;

/// A name of a formula where it ends, and what the formula is worked with there.
type Worked = (u32, Meaning);

#[test]
fn names_stand_for_what_formulas_are_worked_with() {
    let today = Moment::parse("2026-04-12").unwrap_or_else(|_| panic!("a day"));
    let mut count = 0;
    for folder in ["worksheets", "tests/published"] {
        let files = walkdir::WalkDir::new(Path::new(env!("CARGO_MANIFEST_DIR")).join(folder)).sort_by_file_name();
        for path in files.into_iter().map(|entry| entry.unwrap().into_path()) {
            let is_worksheet = path.is_file() && path.extension().is_some_and(|extension| extension == "worksheet");
            let Some(text) = is_worksheet.then(|| std::fs::read_to_string(&path).ok()).flatten() else { continue };
            // A log works a whole season, for few names.
            if text.contains("*.worksheet") {
                continue;
            }
            let mut desk = Desk::new(today);
            desk.open("sheet", Some(path.clone()), text);
            let Ok(sheet) = desk.sheet("sheet") else { continue };
            count += held(&sheet, &path);
        }
    }
    assert!(count > 1000, "only {count} names");
}

/// Holds the names of one worksheet, and returns how many there are.
fn held(sheet: &Sheet, path: &Path) -> usize {
    let uses = sheet.uses(&sheet.meanings());
    let mut worked: Vec<Worked> = Vec::new();
    let checked = &sheet.settled.checked;
    for slot in &checked.slots {
        if let Origin::Worked(formula) = &slot.origin {
            collect(sheet, formula, None, &mut worked);
        }
    }
    for (table, own) in checked.tables.iter().enumerate() {
        for formula in own.columns.iter().filter_map(|column| column.formula.as_ref()) {
            collect(sheet, formula, Some(table), &mut worked);
        }
    }
    checked.checks.iter().filter_map(|check| check.condition.as_ref()).for_each(|condition| {
        collect(sheet, condition, None, &mut worked);
    });
    for (end, means) in &worked {
        let is_found = uses.names.iter().any(|own| own.place.end == *end && own.means == *means);
        let line = sheet.source.text[..*end as usize].lines().last().unwrap_or("");
        assert!(is_found, "{}: {means:?} behind `{line}` is not found", path.display());
    }
    worked.len()
}

fn collect(sheet: &Sheet, formula: &Expression, table: Option<usize>, found: &mut Vec<Worked>) {
    let checked = &sheet.settled.checked;
    let column = |table: usize, column: usize| {
        let own = checked.tables.get(table)?;
        Some(Meaning::Column(key(&own.name), key(&own.columns.get(column)?.name)))
    };
    let means = match &formula.does {
        Does::Slot(slot) => checked.slots.get(*slot).filter(|slot| !slot.is_crew_measure).map(|slot| {
            match slot.name.split_once('.').filter(|_| slot.from.is_some()) {
                Some((drawn, name)) => Meaning::Of(key(drawn), key(name)),
                None => Meaning::Value(key(&slot.name)),
            }
        }),
        Does::Column(table, own) => column(*table, *own),
        Does::Cell(own) => table.and_then(|table| column(table, *own)),
        _ => None,
    };
    if formula.place.source == 0 {
        found.extend(means.map(|means| (formula.place.end, means)));
    }
    match &formula.does {
        // In a choice a cell is one of the rows that are chosen from.
        Does::Call(_, arguments) => arguments.iter().for_each(|argument| {
            collect(sheet, &argument.value, table, found);
            argument.choice.iter().for_each(|choice| collect(sheet, choice, None, found));
        }),
        _ => formula.each_part(&mut |part| collect(sheet, part, table, found)),
    }
}

//! Worksheets with so many rows, blanks or steps that no file of cases can hold them: what is counted once however
//! often it is looked at, what is cut short, and what is just not too much.

use super::limits::{at_most, work};
use super::trial;
use anyhow::{Context, Result, ensure};
use catchwork::report::Report;
use libtest_mimic::Trial;

/// The tests.
pub fn trials() -> Vec<Trial> {
    vec![
        trial("many: checks wait on the first thing alone once all wait on more than 250 000", checks_that_wait),
        trial("many: what is the same in all rows of a column is gone through once", same_in_all_rows),
        trial("many: a swath of a million half spacings", || {
            let pans: String = (0..3).map(|pan| format!("| {pan} | 5 |\n")).collect();
            // A step is a swath and a spacing more: two half spacings.
            at_most(500_000, "swath-steps", move |count| {
                format!("| p | caught : g |\n{pans}\na = swath cv(p.caught, 1 ft, {count} ft, \"round and round\")\n")
            })
        }),
        trial("many: a label that no row has is told beside a hundred of those there are", labels_told),
    ]
}

fn worked(text: String) -> Result<Report> {
    let report = work(text.into_bytes())?;
    ensure!(report.troubles.is_empty(), "{:?}", report.troubles);
    Ok(report)
}

/// A thousand cells and eleven entries wait, each on itself. With 98 checks that wait on ten of those entries, one on nine
/// and 248 on all cells they make up 250 000.
fn checks_that_wait() -> Result<()> {
    let rows: String = (0..1000).map(|row| format!("| {row} | ____ |\n")).collect();
    let blanks: String = (0..11).map(|own| format!("b{own} : ____ g\n")).collect();
    let sum = |count: usize| (0..count).map(|own| format!("b{own}")).collect::<Vec<_>>().join(" + ");
    let sums = std::iter::repeat_n(sum(10), 98).chain([sum(9)]);
    let sums = sums.chain(std::iter::repeat_n("sum(t.x)".to_owned(), 250)).chain([sum(10), sum(11)]);
    let checks: String = (0..).zip(sums).map(|(own, sum)| format!("? c{own} : {sum} at least 1 g\n")).collect();
    let report = worked(format!("| t | x : g |\n{rows}\n{blanks}{checks}"))?;
    let found: Vec<usize> = report.checks.iter().map(|check| check.waiting_on.len()).collect();
    let expected = [vec![10; 98], vec![9], vec![1000; 248], vec![1, 1, 10, 1]].concat();
    ensure!(found == expected, "{found:?}");
    Ok(())
}

/// 2001 values in each of 10 000 rows would be more than 20 000 000.
fn same_in_all_rows() -> Result<()> {
    let catches: String = (0..2001).map(|row| format!("| {row} | 1 |\n")).collect();
    let beds: String = (0..10_000).map(|row| format!("| {row} | 5 |\n")).collect();
    for call in ["sum(u.catch)", "sum(u.catch where catch at least 1 g)"] {
        let report = worked(format!("| u | catch : g |\n{catches}\n| t | x : g | y = x + {call} |\n{beds}"))?;
        let table = report.tables.iter().find(|table| table.name == "t").context("no table")?;
        let last = table.rows.last().and_then(|row| row.cells.get(1)).context("no cell")?;
        let shown: Vec<String> = last.parts.iter().map(|part| part.value.to_string()).collect();
        ensure!(shown == ["2006"], "{call}: {shown:?}");
    }
    Ok(())
}

fn labels_told() -> Result<()> {
    for (count, ends) in [(99, "98"), (100, "99"), (101, "99, …")] {
        let rows: String = (0..count).map(|row| format!("| {row} | 5 |\n")).collect();
        let text = format!("| t | x : g |\n{rows}\na = pick(t.x, \"none\")\n");
        let report = work(text.into_bytes())?;
        let [trouble] = report.troubles.as_slice() else { anyhow::bail!("{:?}", report.troubles) };
        let told = format!("{} {}", trouble.says, trouble.instead.clone().unwrap_or_default());
        ensure!(told.trim_end().ends_with(&format!(", {ends}")), "{count}: {told}");
    }
    Ok(())
}

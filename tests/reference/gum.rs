//! Examples of JCGM 100: what the guide prints, to half a unit of its last place, and the same worked to 17 digits.

use super::cases::{kept, number, off, rows, trial, value, worked};
use anyhow::{Result, bail, ensure};
use libtest_mimic::Trial;

const HEAD: [&str; 8] =
    ["worksheet", "result", "figure", "printed", "half_a_unit", "worked", "clause", "rounded_on_the_way"];
const COUNT: usize = 32;

pub fn trials() -> Result<Vec<Trial>> {
    let one = |row: [String; 8]| {
        let [sheet, result, figure, _, _, _, clause, _] = &row;
        trial(format!("JCGM 100 {sheet} ({clause}): {figure} of {result}"), move || hold(&row))
    };
    Ok(rows("gum/figures.tsv", HEAD, COUNT)?.into_iter().map(one).collect())
}

fn hold([sheet, result, figure, printed, half_a_unit, worked_figure, _, rounded]: &[String; 8]) -> Result<()> {
    let report = worked(&kept(&format!("gum/{sheet}.worksheet"))?)?;
    let cell = &value(&report, result)?.cell;
    let found = match figure.as_str() {
        "value" => cell.value,
        "standard_uncertainty" => cell.standard_uncertainty,
        "degrees_of_freedom" => cell.degrees_of_freedom,
        other => bail!("no figure is called {other}"),
    };
    if let Some(wrong) = off(figure, found, Some(number(worked_figure)?)) {
        bail!(wrong);
    }
    let apart = (found.unwrap_or_default() - number(printed)?).abs();
    // Where the guide rounds on the way its figure is another one, and what is worked counts.
    let agrees = apart <= number(half_a_unit)? * (1.0 + 1e-12);
    ensure!(agrees || !rounded.is_empty(), "{found:?} does not round to the printed {printed}");
    Ok(())
}

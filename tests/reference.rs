//! The engine against figures from outside: doubts by moving every source, NIST's datasets, examples of JCGM 100, shapes
//! of beds, spread patterns. One named test for each case; what made the figures stands at the head of each kept file.

#[path = "reference/cases.rs"]
mod cases;
#[path = "reference/doubt.rs"]
mod doubt;
#[path = "reference/gum.rs"]
mod gum;
#[path = "reference/random.rs"]
mod random;
#[path = "reference/shapes.rs"]
mod shapes;
#[path = "reference/strd.rs"]
mod strd;
#[path = "reference/swath.rs"]
mod swath;

use anyhow::Result;
use libtest_mimic::Arguments;
use std::process::ExitCode;

fn main() -> Result<ExitCode> {
    let arguments = Arguments::from_args();
    let mut trials = doubt::trials()?;
    trials.extend(strd::trials()?);
    trials.extend(gum::trials()?);
    trials.extend(shapes::trials()?);
    trials.extend(swath::trials()?);
    trials.extend(random::trials()?);
    Ok(libtest_mimic::run(&arguments, trials).exit_code())
}

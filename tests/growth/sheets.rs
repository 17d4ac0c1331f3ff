//! The worksheets whose growth is measured, written into folders of their own. It works none of them.

use anyhow::Result;
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// One kind of work that can be made longer.
pub struct Law {
    /// What grows.
    pub work: &'static str,
    /// How long it is made, in turn.
    pub sizes: &'static [usize],
    /// Writes what is to be worked into a folder, and says what to name in the call.
    pub make: fn(&Path, usize) -> Result<PathBuf>,
}

/// All of them.
pub const LAWS: [Law; 7] = [
    Law { work: "lines", sizes: &[1_000, 10_000, 100_000], make: lines },
    Law { work: "lines that are wrong", sizes: &[1_000, 10_000, 100_000], make: wrong_lines },
    Law { work: "rows of a table", sizes: &[10, 100, 1_000, 10_000, 100_000], make: rows },
    Law { work: "worksheets in a folder", sizes: &[1, 10, 100, 1_000, 10_000], make: files },
    Law { work: "results in a chain", sizes: &[10, 100, 1_000, 10_000], make: chain },
    Law { work: "results that use one result", sizes: &[10, 100, 1_000, 10_000], make: used },
    Law { work: "sources of doubt in one sum", sizes: &[10, 100, 1_000, 10_000], make: doubts },
];

/// Writes one worksheet into a folder of its own, with the mark of a crew folder.
pub fn write(folder: &Path, name: &str, text: &str) -> Result<PathBuf> {
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("crew-folder.txt"), "")?;
    let path = folder.join(name).with_extension("worksheet");
    std::fs::write(&path, text)?;
    Ok(path)
}

/// So many pieces of text, by their numbers.
fn pieces(count: usize, piece: impl Fn(&mut String, usize) -> std::fmt::Result) -> Result<String> {
    let mut text = String::new();
    (0..count).try_for_each(|number| piece(&mut text, number))?;
    Ok(text)
}

fn lines(folder: &Path, count: usize) -> Result<PathBuf> {
    let text = pieces(count / 4, |text, bed| {
        writeln!(text, "bed {bed} length : 12.5 ft ± 1 in\nbed {bed} width : 4 ft")?;
        writeln!(text, "bed {bed} area = bed {bed} length * bed {bed} width [ft²]")?;
        writeln!(text, "? bed {bed} : bed {bed} area within 10 to 100 ft²")
    })?;
    write(folder, "sheet", &text)
}

fn wrong_lines(folder: &Path, count: usize) -> Result<PathBuf> {
    let text = pieces(count, |text, bed| writeln!(text, "bed {bed} length : 12.5 foots of"))?;
    write(folder, "sheet", &text)
}

fn rows(folder: &Path, count: usize) -> Result<PathBuf> {
    let data = pieces(count, |text, bed| writeln!(text, "bed {bed},{}.5,{}", bed % 90 + 4, bed % 17 + 2))?;
    std::fs::create_dir_all(folder)?;
    std::fs::write(folder.join("beds.csv"), format!("bed,length (ft),width (ft)\n{data}"))?;
    let table = "| beds from \"beds.csv\" | length : ft | width : ft | area = length * width [ft²] |\n";
    write(folder, "sheet", &format!("{table}\ntotal = sum(beds.area) [ft²]\n"))
}

fn files(folder: &Path, count: usize) -> Result<PathBuf> {
    let text = include_str!("../bench/glance.worksheet");
    for number in 0..count {
        write(folder, &format!("job-{number}"), text)?;
    }
    Ok(folder.to_owned())
}

fn chain(folder: &Path, count: usize) -> Result<PathBuf> {
    let text = pieces(count, |text, link| writeln!(text, "link {} = link {link} + 1 ft [ft]", link + 1))?;
    write(folder, "sheet", &format!("link 0 : 1 ft ± 1 in\n{text}"))
}

fn used(folder: &Path, count: usize) -> Result<PathBuf> {
    let text = pieces(count, |text, user| writeln!(text, "user {user} = 2 * area [ft²]"))?;
    write(folder, "sheet", &format!("width : 4 ft ± 1 in\narea = width * 10 ft [ft²]\n{text}"))
}

fn doubts(folder: &Path, count: usize) -> Result<PathBuf> {
    let rows = pieces(count, |text, row| writeln!(text, "| walk {row} | {}.5 ± 0.25 |", row % 40 + 10))?;
    write(folder, "sheet", &format!("| walks | catch : fl oz |\n{rows}\ntotal = sum(walks.catch) [fl oz]\n"))
}

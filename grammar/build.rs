//! Makes the program's table of units from `vocabulary.tsv` while it is built: exact sizes worked out and rounded once,
//! every word sorted for look-up. Knows nothing of how worksheets are read.

use std::collections::BTreeMap;
use std::fmt::Write;
use std::path::Path;
use std::process::ExitCode;
use std::{env, fs};

#[path = "../src/units/spelling.rs"]
mod spelling;

const TABLE: &str = "grammar/vocabulary.tsv";
const METHODS: &str = "worksheets/methods";
const COLUMNS: [&str; 7] = ["kind", "symbol", "dimension", "factor", "zero", "synonyms", "source"];

fn main() -> ExitCode {
    for file in [TABLE, "grammar/build.rs", "src/units/spelling.rs"] {
        println!("cargo::rerun-if-changed={file}");
    }
    println!("cargo::rerun-if-changed={METHODS}");
    match fs::read_to_string(TABLE)
        .map_err(|error| error.to_string())
        .and_then(|text| written(&text))
        .and_then(|()| shipped())
    {
        Ok(()) => ExitCode::SUCCESS,
        Err(message) => {
            println!("cargo::error={TABLE}: {message}");
            ExitCode::FAILURE
        }
    }
}

fn written(text: &str) -> Result<(), String> {
    let folder = env::var("OUT_DIR").map_err(|error| error.to_string())?;
    let table = Table::read(text)?;
    fs::write(Path::new(&folder).join("vocabulary.rs"), table.code()?).map_err(|error| error.to_string())
}

/// Makes the table of the templates that ship inside the program: each file of `worksheets/methods` by its name.
fn shipped() -> Result<(), String> {
    let folder = env::var("OUT_DIR").map_err(|error| error.to_string())?;
    let root = env::var("CARGO_MANIFEST_DIR").map_err(|error| error.to_string())?;
    let mut names = Vec::new();
    for entry in fs::read_dir(METHODS).map_err(|error| format!("{METHODS}: {error}"))? {
        let path = entry.map_err(|error| error.to_string())?.path();
        if path.extension().is_some_and(|extension| extension == "worksheet") {
            names.extend(path.file_stem().and_then(|stem| stem.to_str()).map(str::to_owned));
        }
    }
    names.sort();
    let mut code = String::from(
        "/// Every template by name, with its text, in name order.\npub static TEMPLATES: &[(&str, &str)] = &[\n",
    );
    for name in names {
        let path = Path::new(&root).join(METHODS).join(format!("{name}.worksheet"));
        writeln!(code, "    ({name:?}, include_str!({:?})),", path.display().to_string())
            .map_err(|error| error.to_string())?;
    }
    code.push_str("];\n");
    fs::write(Path::new(&folder).join("templates.rs"), code).map_err(|error| error.to_string())
}

/// One line of the file, its cells by column.
struct Row<'text> {
    line: usize,
    cells: [&'text str; 7],
}

impl<'text> Row<'text> {
    fn read(line: usize, text: &'text str) -> Result<Self, String> {
        let cells: Vec<&str> = text.split('\t').collect();
        let cells = cells.try_into().map_err(|cells: Vec<&str>| {
            format!("line {line} has {} columns, not {}: {text}", cells.len(), COLUMNS.len())
        })?;
        let row = Self { line, cells };
        match COLUMNS.iter().zip(cells).find(|(_, cell)| cell.is_empty() || cell.trim() != *cell) {
            Some((column, _)) => Err(row.trouble(&format!("the column {column} is empty or has space about it"))),
            None => Ok(row),
        }
    }

    fn kind(&self) -> &'text str {
        self.cells[0]
    }

    fn symbol(&self) -> &'text str {
        self.cells[1]
    }

    /// The cell of a column that may be empty.
    fn cell(&self, column: usize) -> Option<&'text str> {
        Some(self.cells[column]).filter(|cell| *cell != "-")
    }

    fn synonyms(&self) -> impl Iterator<Item = &'text str> {
        self.cell(5).into_iter().flat_map(|cell| cell.split(", "))
    }

    fn trouble(&self, what: &str) -> String {
        format!("line {} ({}): {what}", self.line, self.cells[1])
    }
}

/// The whole file, sorted into what each kind of row becomes.
struct Table<'text> {
    entries: Vec<Row<'text>>,
    composites: Vec<Row<'text>>,
    powers: Vec<Row<'text>>,
    refused: Vec<Row<'text>>,
}

impl<'text> Table<'text> {
    fn read(text: &'text str) -> Result<Self, String> {
        let mut lines = text.lines().enumerate().filter(|(_, line)| !line.starts_with('#'));
        if lines.next().map(|(_, head)| head.to_string()) != Some(COLUMNS.join("\t")) {
            return Err(format!("the first row must name the columns {}", COLUMNS.join(", ")));
        }
        let mut table = Self { entries: vec![], composites: vec![], powers: vec![], refused: vec![] };
        for (index, line) in lines {
            let row = Row::read(index + 1, line)?;
            match row.kind() {
                "composite" => table.composites.push(row),
                "power" => table.powers.push(row),
                "refused" => table.refused.push(row),
                _ => table.entries.push(row),
            }
        }
        Ok(table)
    }

    fn code(&self) -> Result<String, String> {
        let mut code = String::from("// Made from grammar/vocabulary.tsv by grammar/build.rs.\n");
        let counters = self.entries.iter().filter(|row| row.kind() == "counter").count();
        let _ = writeln!(code, "/// How many counters the vocabulary has.\npub const COUNTERS: u16 = {counters};");
        self.write_entries(&mut code)?;
        self.write_composites(&mut code)?;
        self.write_words(&mut code)?;
        Ok(code)
    }

    fn write_entries(&self, code: &mut String) -> Result<(), String> {
        let _ = writeln!(code, "static ENTRIES: [Entry; {}] = [", self.entries.len());
        let mut counter = 0;
        for row in &self.entries {
            let kind = entry_kind(row)?;
            let powers = powers(row, counter)?;
            counter += usize::from(row.kind() == "counter");
            let exact = row.cell(3).ok_or_else(|| row.trouble("has no factor"))?;
            let source = row.cell(6).ok_or_else(|| row.trouble("has no source"))?;
            let _ = writeln!(
                code,
                "    Entry {{ symbol: {:?}, factor: {}, zero: {}, powers: &[{powers}], synonyms: &{:?}, exact: {exact:?}, exact_zero: {:?}, \
                 source: {source:?}, kind: EntryKind::{kind} }},",
                row.symbol(),
                number(row, exact)?,
                number(row, row.cell(4).unwrap_or("0"))?,
                row.synonyms().collect::<Vec<_>>(),
                row.cell(4).unwrap_or(""),
            );
        }
        code.push_str("];\n");
        Ok(())
    }

    fn write_composites(&self, code: &mut String) -> Result<(), String> {
        let all = self.composites.iter().map(|row| Ok((row.symbol(), self.parts(row)?, row.synonyms().collect())));
        let all: Vec<(&str, String, Vec<&str>)> = all.collect::<Result<_, String>>()?;
        let _ = writeln!(code, "static COMPOSITES: [Composite; {}] = [", all.len());
        for (symbol, parts, synonyms) in all {
            let _ =
                writeln!(code, "    Composite {{ symbol: {symbol:?}, parts: &[{parts}], synonyms: &{synonyms:?} }},");
        }
        code.push_str("];\n");
        Ok(())
    }

    /// The parts of `gal/min` or `ft^2`, as pairs of place in the table and power in twelfths.
    fn parts(&self, row: &Row<'text>) -> Result<String, String> {
        let mut parts = Vec::new();
        for (place, part) in row.symbol().split('/').enumerate() {
            let (symbol, power) = part.split_once('^').unwrap_or((part, "1"));
            let index = self.entries.iter().position(|entry| entry.symbol() == symbol);
            let index = index.ok_or_else(|| row.trouble(&format!("{symbol} is no unit")))?;
            let power: i16 = power.parse().map_err(|_| row.trouble(&format!("{power} is no power")))?;
            parts.push(format!("({index}, {})", 12 * if place == 0 { power } else { -power }));
        }
        Ok(parts.join(", "))
    }

    /// Every word there is, in buckets as the look-up wants them.
    fn write_words(&self, code: &mut String) -> Result<(), String> {
        let mut words = Words::default();
        for (index, row) in self.entries.iter().enumerate() {
            for word in [row.symbol()].into_iter().chain(row.synonyms()) {
                words.add(row, word, format!("Meaning::Entry({index})"))?;
                if row.cell(2) == Some("length 1") {
                    self.add_powers(&mut words, row, word, index)?;
                }
            }
        }
        for (index, row) in self.composites.iter().enumerate() {
            row.synonyms().try_for_each(|word| words.add(row, word, format!("Meaning::Composite({index})")))?;
        }
        for row in &self.refused {
            let meaning = format!("Meaning::Refused(Refusal::{})", row.symbol());
            row.synonyms().try_for_each(|word| words.add(row, word, meaning.clone()))?;
        }
        words.write(code);
        Ok(())
    }

    /// `sq ft`, `cubic yards`: a length behind each word that raises it.
    fn add_powers(&self, words: &mut Words, length: &Row, word: &str, index: usize) -> Result<(), String> {
        for row in &self.powers {
            let power: i16 = row.symbol().parse().map_err(|_| row.trouble("is no whole power"))?;
            for before in row.synonyms() {
                words.add(length, &format!("{before} {word}"), format!("Meaning::Power({index}, {})", 12 * power))?;
            }
        }
        Ok(())
    }
}

/// Every word with what it means, by its form in lower case and then as written.
#[derive(Default)]
struct Words(BTreeMap<(String, String), (usize, String)>);

impl Words {
    fn add(&mut self, row: &Row, word: &str, meaning: String) -> Result<(), String> {
        let folded = word.to_ascii_lowercase();
        let same = self
            .0
            .iter()
            .find(|((own, as_written), (_, known))| *own == folded && (as_written == word || *known == meaning));
        if let Some(((_, as_written), (line, _))) = same {
            return Err(row.trouble(&format!("the word `{word}` is already on line {line}, as `{as_written}`")));
        }
        let tidy = !word.is_empty() && word.split(' ').all(|part| !part.is_empty() && !part.ends_with('.'));
        if !tidy {
            return Err(row.trouble(&format!("`{word}` has a space too many, or a word that ends in a dot")));
        }
        self.0.insert((folded, word.to_string()), (row.line, meaning));
        Ok(())
    }

    fn write(&self, code: &mut String) {
        let run = self.0.keys().map(|(_, word)| word.split(' ').count()).max().unwrap_or(0);
        let _ = writeln!(code, "/// The most words, parted by spaces, that one unit of the vocabulary is called by.");
        let _ = writeln!(code, "pub const LONGEST_RUN: usize = {run};");
        let mut words: Vec<(usize, &str, &str)> =
            self.0.iter().map(|((_, word), (_, meaning))| (spelling::bucket(word), &**word, &**meaning)).collect();
        words.sort_by_key(|(bucket, ..)| *bucket);
        let starts: Vec<usize> =
            (0..=spelling::BUCKETS).map(|bucket| words.partition_point(|(own, ..)| *own < bucket)).collect();
        let _ = writeln!(code, "static STARTS: [u16; {}] = {starts:?};", starts.len());
        let _ = writeln!(code, "static WORDS: [(&str, Meaning); {}] = [", words.len());
        for (_, word, meaning) in words {
            let _ = writeln!(code, "    ({word:?}, {meaning}),");
        }
        code.push_str("];\n");
    }
}

fn entry_kind(row: &Row) -> Result<&'static str, String> {
    Ok(match row.kind() {
        "measure" => "Measure",
        "point" => "Point",
        "percent" => "Ratio(Ratio::Percent)",
        "volume in volume" => "Ratio(Ratio::VolumeInVolume)",
        "weight in weight" => "Ratio(Ratio::WeightInWeight)",
        "points" => "Points",
        "counter" => "Counter",
        "currency" => "Currency",
        other => return Err(row.trouble(&format!("no kind of row is called {other}"))),
    })
}

/// The dimension `length 1, time -1` as the pairs of a base and its twelfths, in the order of the bases.
fn powers(row: &Row, counter: usize) -> Result<String, String> {
    const BASES: [&str; 7] = ["length", "mass", "time", "temperature", "angle", "money", "itself"];
    let mut powers = BTreeMap::new();
    for part in row.cell(2).into_iter().flat_map(|cell| cell.split(", ")) {
        let (base, power) = part.split_once(' ').ok_or_else(|| row.trouble(&format!("{part} has no power")))?;
        let place = BASES.iter().position(|known| *known == base);
        let place = place.ok_or_else(|| row.trouble(&format!("{base} is no base")))?;
        let power: i16 = power.parse().map_err(|_| row.trouble(&format!("{power} is no whole power")))?;
        let name = match base {
            "itself" => format!("Counter({counter})"),
            _ => base[..1].to_ascii_uppercase() + &base[1..],
        };
        if power == 0 || powers.insert(place, format!("(Base::{name}, {})", 12 * power)).is_some() {
            return Err(row.trouble(&format!("{base} is named twice, or to no power")));
        }
    }
    Ok(powers.into_values().collect::<Vec<_>>().join(", "))
}

/// A factor as a Rust number, rounded once: the digits of a decimal are read to the nearest.
fn number(row: &Row, expression: &str) -> Result<String, String> {
    let exact = Exact::read(expression).ok_or_else(|| row.trouble(&format!("`{expression}` cannot be read")))?;
    let digits = exact.digits().ok_or_else(|| row.trouble(&format!("`{expression}` has too many digits")))?;
    digits.parse::<f64>().map(|number| format!("{number:?}")).map_err(|error| row.trouble(&error.to_string()))
}

/// A quotient of whole numbers, in lowest terms.
#[derive(Clone, Copy)]
struct Exact {
    above: u128,
    below: u128,
}

impl Exact {
    /// Reads `0.45359237 * 9.80665 / 0.0254^2`, from left to right.
    fn read(expression: &str) -> Option<Self> {
        let mut parts = expression.split(' ');
        let mut product = Self::power(parts.next()?)?;
        while let Some(operator) = parts.next() {
            let next = Self::power(parts.next()?)?;
            product = match operator {
                "*" => product.times(next)?,
                "/" => product.times(Self { above: next.below, below: next.above })?,
                _ => return None,
            };
        }
        Some(product)
    }

    fn power(part: &str) -> Option<Self> {
        let (base, power) = part.split_once('^').unwrap_or((part, "1"));
        let base = Self::decimal(base)?;
        (1..power.parse::<u32>().ok().filter(|power| *power > 0)?).try_fold(base, |product, _| product.times(base))
    }

    fn decimal(text: &str) -> Option<Self> {
        // Thirty digits of pi: what is cut off lies far below the last bit that is kept.
        let text = if text == "pi" { "3.14159265358979323846264338328" } else { text };
        let (whole, part) = text.split_once('.').unwrap_or((text, ""));
        let above = format!("{whole}{part}").parse().ok()?;
        Self { above, below: 1 }.times(Self { above: 1, below: 10_u128.checked_pow(u32::try_from(part.len()).ok()?)? })
    }

    fn times(self, other: Self) -> Option<Self> {
        if other.below == 0 {
            return None;
        }
        let (left, right) = (divisor(self.above, other.below), divisor(other.above, self.below));
        let above = (self.above / left).checked_mul(other.above / right)?;
        Some(Self { above, below: (self.below / right).checked_mul(other.below / left)? })
    }

    /// Sixty decimals of it, and a last 1 where more follow, so that it never looks like a tie that it is not.
    fn digits(self) -> Option<String> {
        let mut digits = format!("{}.", self.above / self.below);
        let mut rest = self.above % self.below;
        for _ in 0..60 {
            rest = rest.checked_mul(10)?;
            digits.push(char::from_digit(u32::try_from(rest / self.below).ok()?, 10)?);
            rest %= self.below;
        }
        digits.push(if rest == 0 { '0' } else { '1' });
        Some(digits)
    }
}

fn divisor(left: u128, right: u128) -> u128 {
    if right == 0 { left.max(1) } else { divisor(right, left % right) }
}

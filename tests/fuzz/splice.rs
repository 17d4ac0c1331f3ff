//! Changes that keep most of a worksheet a worksheet: statements moved, doubled, exchanged for others, and the words and
//! numbers in them put in the place of each other.

use fastrand::Rng;

/// Numbers at the edges of what the notation reads or a float holds.
const NUMBERS: [&str; 24] = [
    "0",
    "1",
    "-1",
    "2",
    "3",
    "7",
    "100",
    "1000",
    "0.5",
    ".5",
    "1/2",
    "1 1/2",
    "½",
    "1e308",
    "1e-308",
    "5e-324",
    "1e16",
    "9007199254740993",
    "0.1",
    "1e-9",
    "-0",
    "99999",
    "____",
    "1 to 2",
];

/// The text with one change, or a few.
pub fn changed(text: &[u8], stock: &[String], random: &mut Rng) -> Vec<u8> {
    let mut lines: Vec<String> = String::from_utf8_lossy(text).split('\n').map(str::to_owned).collect();
    for _ in 0..=random.usize(..3) {
        change(&mut lines, stock, random);
    }
    lines.join("\n").into_bytes()
}

fn change(lines: &mut Vec<String>, stock: &[String], random: &mut Rng) {
    let (at, other) = (random.usize(..lines.len()), random.usize(..lines.len()));
    let fresh = stock.get(random.usize(..stock.len().max(1))).cloned().unwrap_or_default();
    match random.u8(..10) {
        0 | 1 => lines.insert(at, fresh),
        2 => lines[at] = fresh,
        3 if lines.len() > 1 => drop(lines.remove(at)),
        4 => lines.insert(at, lines[other].clone()),
        5 => lines.swap(at, other),
        6 => lines[at] = halves(&lines[at], &fresh),
        7 if random.bool() => lines[at] = exchanged(&lines[at], &fresh, random),
        7 => lines[at] = exchanged(&lines[at], &lines[other], random),
        8 => renumber(&mut lines[at], random),
        _ => lines[at] = renamed(&lines[at], &lines[other], random),
    }
}

/// What one line says before its sign, with what another says behind it.
fn halves(line: &str, other: &str) -> String {
    let sign = [':', '=', '|'];
    match (line.find(sign), other.find(sign)) {
        (Some(end), Some(start)) => format!("{}{}", &line[..end], &other[start..]),
        _ => other.to_owned(),
    }
}

/// The line with words of another in the place of some of its own.
fn exchanged(line: &str, other: &str, random: &mut Rng) -> String {
    let others: Vec<&str> = other.split(' ').collect();
    let mut words: Vec<&str> = line.split(' ').collect();
    let (to, from) = (random.usize(..words.len()), random.usize(..others.len()));
    let taken = random.usize(..3.min(words.len() - to + 1));
    let given = (from + 1 + random.usize(..3)).min(others.len());
    words.splice(to..to + taken, others[from..given].iter().copied());
    words.join(" ")
}

/// Another number in the place of one.
fn renumber(line: &mut String, random: &mut Rng) {
    let starts: Vec<usize> =
        line.char_indices().filter(|(_, letter)| letter.is_ascii_digit()).map(|(start, _)| start).collect();
    let Some(start) = (!starts.is_empty()).then(|| starts[random.usize(..starts.len())]) else { return };
    let length = line[start..].find(|letter: char| !letter.is_ascii_digit()).unwrap_or(line.len() - start);
    line.replace_range(start..start + length, NUMBERS[random.usize(..NUMBERS.len())]);
}

/// The line with the name that another defines in the place of a word behind its sign.
fn renamed(line: &str, other: &str, random: &mut Rng) -> String {
    let sign = [':', '=', '|'];
    let (Some(start), Some(end)) = (line.find(sign), other.find([':', '='])) else { return line.to_owned() };
    let (before, behind) = line.split_at(start + 1);
    let mut words: Vec<&str> = behind.split(' ').collect();
    let at = random.usize(..words.len());
    words[at] = other[..end].trim();
    format!("{before}{}", words.join(" "))
}

//! The least that working a million rows could take: a bare program that reads the CSV, works the formulas of
//! `tests/bench/beds.worksheet` in plain `f64`, and writes the rows with the results behind them, on as many threads as
//! the program's own. It knows the one sheet, no unit, no doubt, and believes every cell.

use anyhow::{Context, Result};
use catchwork::hands;
use std::fmt::Write as _;
use std::fs::File;
use std::io::Write;
use std::path::{Path, PathBuf};

/// What the data says, and what is worked from it.
const HEADS: &str = "length (ft),width (ft),cut out (ft²),walk (s),catch (fl oz)";
const RESULTS: &str =
    "area (ft²),pace (mph),flow (gal/min),volume (gal/1000 ft²),mix (gal),dose (fl oz of concentrate),pace";

/// Rows are taken so many at a time.
const PART: usize = 512;

/// Rows of data, made where there are none yet: every one a little different, with as many digits as a tape shows.
///
/// # Errors
/// Where they cannot be written.
pub fn data(scratch: &Path, rows: usize) -> Result<PathBuf> {
    let path = scratch.join(format!("floor-rows-{rows}.csv"));
    if path.exists() {
        return Ok(path);
    }
    let mut text = format!("{HEADS}\n");
    let mut state = 20_260_412_u64;
    let mut below = |count: u64| {
        state = state.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (state >> 33) % count
    };
    for _ in 0..rows {
        let (length, width, cut) = (40 + below(860), 200 + below(1800), below(4));
        let (walk, caught) = (180 + below(120), 800 + below(400));
        let tenths = |number: u64| format!("{}.{}", number / 10, number % 10);
        let hundredths = |number: u64| format!("{}.{:02}", number / 100, number % 100);
        let (length, width) = (tenths(length), hundredths(width));
        let _ = writeln!(text, "{length},{width},{cut},{},{}", tenths(walk), hundredths(caught));
    }
    std::fs::write(&path, text)?;
    Ok(path)
}

/// One thread's part of the rows.
#[derive(Default)]
struct Desk {
    records: Vec<csv::ByteRecord>,
    count: usize,
    out: Vec<u8>,
}

/// Works the data, and writes what comes of it to standard output.
///
/// # Errors
/// Where the data is no such data, or nothing can be written.
pub fn work(data: &Path) -> Result<()> {
    let mut reader = csv::ReaderBuilder::new().buffer_capacity(1 << 16).from_reader(File::open(data)?);
    let mut stdout = std::io::stdout();
    writeln!(stdout, "{HEADS},{RESULTS}")?;
    hands::in_turns(
        Desk::default,
        |desk| {
            desk.count = 0;
            while desk.count < PART {
                if desk.records.len() == desk.count {
                    desk.records.push(csv::ByteRecord::new());
                }
                if !reader.read_byte_record(&mut desk.records[desk.count])? {
                    break;
                }
                desk.count += 1;
            }
            Ok(desk.count > 0)
        },
        |desk| {
            desk.out.clear();
            for record in &desk.records[..desk.count] {
                row(record, &mut desk.out);
            }
        },
        |desk| stdout.write_all(&desk.out).context("standard output"),
    )?;
    Ok(stdout.flush()?)
}

fn row(record: &csv::ByteRecord, out: &mut Vec<u8>) {
    let mut numbers = [0.0; 5];
    for (number, cell) in numbers.iter_mut().zip(record) {
        *number = std::str::from_utf8(cell).ok().and_then(|cell| cell.parse().ok()).unwrap_or(f64::NAN);
        out.extend_from_slice(cell);
        out.push(b',');
    }
    let [length, width, cut_out, walk, caught] = numbers;
    let area = length * width - cut_out;
    let pace = 60.0 / walk * (3600.0 / 5280.0);
    let flow = caught / walk * (60.0 / 128.0);
    let volume = caught / 128.0 / (60.0 * (28.0 / 12.0)) * 1000.0;
    let mix = volume * area / 1000.0;
    let dose = 1.25 * area / 1000.0;
    let mut figures = zmij::Buffer::new();
    for result in [area, pace, flow, volume, mix, dose] {
        out.extend_from_slice(figures.format(result).as_bytes());
        out.push(b',');
    }
    out.extend_from_slice(if (1.0..=3.0).contains(&pace) { b"ok\n" } else { b"no\n" });
}

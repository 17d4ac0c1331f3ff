//! The shares of doubts, held against those of an outside library: `shares/shares.tsv`, which `shares/make_shares.py`
//! wrote from the same figures as `shares/shares.worksheet`.

use catchwork::Request;
use catchwork::book::Book;
use catchwork::quantity::Moment;
use catchwork::report::why::{DoubtSays, DoubtSource};
use catchwork::text::crew_folder::Alone;
use libtest_mimic::Failed;
use std::sync::Arc;

const WORKSHEET: &str = include_str!("shares/shares.worksheet");
const TABLE: &str = include_str!("shares/shares.tsv");

/// As many digits as double arithmetic leaves of differences that all but cancel.
const CLOSE: f64 = 1e-9;

pub fn are_those_of_an_outside_library() -> Result<(), Failed> {
    let mut names: Vec<&str> = TABLE.lines().skip(1).filter_map(|line| line.split('\t').next()).collect();
    names.dedup();
    assert!(names.len() >= 8, "the table is missing");
    for name in names {
        let expected: Vec<(&str, f64)> = TABLE
            .lines()
            .filter_map(|line| line.strip_prefix(name)?.strip_prefix('\t')?.split_once('\t'))
            .map(|(source, share)| (source, share.parse().unwrap()))
            .collect();
        let found = sources(name);
        let is_close = expected.len() == found.len()
            && expected.iter().zip(&found).all(|((source, share), found)| {
                same_scatter(source, &found.name) && (share - found.part).abs() < CLOSE
            });
        if !is_close {
            return Err(format!("{name}: {expected:?}, and {found:#?}").into());
        }
    }
    Ok(())
}

/// A scatter of two means is the same in whichever order they are named.
fn same_scatter(expected: &str, found: &str) -> bool {
    let parts = |name: &str| {
        let mut parts: Vec<String> = name.trim_start_matches("scatter of ").split(" and ").map(str::to_owned).collect();
        parts.sort();
        (name.starts_with("scatter of "), parts)
    };
    parts(expected) == parts(found)
}

fn sources(name: &str) -> Vec<DoubtSource> {
    let today = Moment::parse("2026-04-12").unwrap();
    let book = Book::new(Arc::new(Alone), Request { set: Vec::new(), today, colour: false });
    let explained = book.why("shares.worksheet", "", WORKSHEET.as_bytes().to_vec(), name).ok().unwrap();
    assert!(explained.report.troubles.is_empty(), "{:#?}", explained.report.troubles);
    let whys = explained.whys.unwrap();
    match &whys[0].doubts[0].says {
        DoubtSays::Sources(sources) => sources.clone(),
        other => panic!("{name}: {other:?}"),
    }
}

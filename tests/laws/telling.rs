//! Laws of telling how a value comes about, and of holding two worksheets against each other.

use crate::sheets::Draft;
use crate::tape::tapes;
use crate::{config, request, shipped, worked, worked_at};
use catchwork::book::{Book, Settled};
use catchwork::report::Report;
use catchwork::report::data::{Origin, ReportTable};
use catchwork::report::text::{self, Look};
use catchwork::report::versions::Comparison;
use catchwork::report::versions::compare::compare;
use catchwork::report::why::{DoubtSays, Why};
use catchwork::text::crew_folder::{Alone, OnDisk};
use proptest::prelude::*;
use std::path::Path;
use std::sync::Arc;
use unicode_width::UnicodeWidthStr;

const LOOK: Look = Look { width: 80, colour: false, plain: false };

fn book() -> Book {
    Book::new(Arc::new(Alone), request())
}

/// How a value of a worksheet comes about, and the page that tells it.
fn told(text: &str, name: &str) -> (Vec<Why>, String) {
    let explained = book().why("law.worksheet", "", text.as_bytes().to_vec(), name);
    let explained = explained.unwrap_or_else(|_| panic!("not read:\n{text}"));
    let whys = explained.whys.unwrap_or_else(|kind| panic!("{name}: {}\n{text}", kind.says()));
    let page = text::why::text(&explained.report, &whys, &LOOK);
    (whys, page)
}

/// What a page prints as shares: `70 %`, and `under 1 %` as nothing.
fn printed_shares(page: &str) -> Vec<i64> {
    let rows = page.lines().skip_while(|line| !line.starts_with("What its doubt comes from")).skip(1);
    let share = |line: &str| {
        let line = line.trim_start();
        match line.strip_prefix("under 1 %") {
            Some(_) => Some(0),
            None => line.split_once(" %  ").and_then(|(percent, _)| percent.parse().ok()),
        }
    };
    rows.filter_map(share).collect()
}

fn worked_sheet(text: &str) -> Settled {
    let settled = book().work("law.worksheet", "", text.as_bytes().to_vec());
    settled.unwrap_or_else(|_| panic!("not read:\n{text}"))
}

fn held_against(old: &str, new: &str) -> Comparison {
    let (book, old, new) = (book(), worked_sheet(old), worked_sheet(new));
    let (before, after) = (book.report_of(&old), book.report_of(&new));
    compare((&book.sheet(&old), &before), (&book.sheet(&new), &after))
}

/// Every result, check and last cell of a first row of the season's worksheets (its job records aside, which are all
/// alike) tells how it comes about, on a page that keeps to its width, with shares that add up.
#[test]
fn every_result_of_the_season_tells_how_it_comes_about() {
    let sheets = shipped::sheets()
        .into_iter()
        .filter(|(path, _)| path.contains("worksheets/example") && !path.contains("/jobs/"));
    for (path, text) in sheets {
        let (folder, within) = OnDisk::of(Path::new(&path)).unwrap_or_else(|error| panic!("{path}: {error}"));
        let book = Book::new(Arc::new(folder), request());
        for name in names(&worked_at(&path, &text)) {
            let explained = book.why(&within, &within, text.as_bytes().to_vec(), &name);
            let explained = explained.unwrap_or_else(|_| panic!("{path} is not read"));
            let whys = explained.whys.unwrap_or_else(|kind| panic!("{path}, {name}: {}", kind.says()));
            let page = text::why::text(&explained.report, &whys, &LOOK);
            let wide = page.lines().find(|line| line.width() > LOOK.width || line.ends_with(' '));
            assert!(wide.is_none(), "{path}, {name}: {wide:?}");
            let shares: i64 = printed_shares(&page).iter().sum();
            assert!(shares % 100 == 0, "{path}, {name}\n{page}");
        }
    }
}

/// What is worked out, of each table one cell.
fn names(report: &Report) -> Vec<String> {
    let values = report.values.iter().filter(|value| value.origin == Origin::Worked).map(|value| value.name.clone());
    let checks = report.checks.iter().map(|check| check.label.clone());
    let cell = |table: &ReportTable| {
        let (row, column) = (table.rows.first()?, table.columns.last()?);
        Some(format!("{}.{}, {}", table.name, column.name, row.label))
    };
    values.chain(checks).chain(report.tables.iter().filter_map(cell)).collect()
}

proptest! {
    #![proptest_config(config(100))]

    /// The shares of a doubt, as printed, add up to 100, and as they are to 1, none larger than the one before.
    #[test]
    fn shares_add_up(mut tape in tapes(150)) {
        let text = Draft::made(&mut tape).text();
        for value in worked(&text).values {
            let (whys, page) = told(&text, &value.name);
            let mut count = 0;
            for says in whys.iter().flat_map(|why| &why.doubts).map(|doubt| &doubt.says) {
                let DoubtSays::Sources(sources) = says else { continue };
                count += 1;
                let (parts, percents): (f64, i64) =
                    sources.iter().fold((0.0, 0), |(parts, percents), own| (parts + own.part, percents + own.percent));
                prop_assert!((parts - 1.0).abs() < 1e-9 && percents == 100, "{}: {sources:#?}\n{text}", value.name);
                let named = sources.iter().filter(|source| !source.name.ends_with("others together"));
                prop_assert!(named.map(|source| source.percent).is_sorted_by(|one, next| one >= next), "{sources:#?}");
                prop_assert!(sources.iter().all(|source| !source.share().starts_with('0')), "{sources:#?}");
            }
            prop_assert_eq!(printed_shares(&page).iter().sum::<i64>(), 100 * count, "{}\n{}", page, text);
        }
    }

    /// A value has sources of doubt just where the report gives it a ±, and keeps to the page.
    #[test]
    fn what_has_a_doubt_says_from_what(mut tape in tapes(150)) {
        let text = Draft::made(&mut tape).text();
        for value in worked(&text).values {
            let (whys, page) = told(&text, &value.name);
            let wide = page.lines().find(|line| line.width() > LOOK.width || line.ends_with(' '));
            prop_assert!(wide.is_none(), "{wide:?}\n{page}");
            if value.cell.value.is_none() {
                continue;
            }
            let says = &whys[0].doubts[0].says;
            match value.cell.give_or_take {
                None => prop_assert!(matches!(says, DoubtSays::Unknown(_)), "{says:?}\n{text}"),
                Some(0.0) => prop_assert!(matches!(says, DoubtSays::None(_)), "{says:?}\n{text}"),
                Some(_) => prop_assert!(matches!(says, DoubtSays::Sources(_)), "{says:?}\n{text}"),
            }
        }
    }

    /// Nothing differs between a worksheet and the same in another order, or in other units.
    #[test]
    fn the_same_in_other_words_is_the_same(mut tape in tapes(150)) {
        let draft = Draft::made(&mut tape);
        let text = draft.text();
        for other in [draft.clone(), draft.shuffled(&mut tape), draft.in_other_units(&mut tape)] {
            let found = held_against(&text, &other.text());
            prop_assert!(found.is_same(), "{found:#?}\n{text}\n\n{}", other.text());
        }
    }

    /// Whatever is left of a worksheet, what is in it can be asked about, and it can be held against what it was.
    #[test]
    fn no_part_of_a_worksheet_makes_it_panic(mut tape in tapes(150)) {
        let sheets = shipped::sheets();
        let (_, text) = tape.pick(&sheets).clone();
        let (start, end) = (tape.below(text.len()), tape.below(text.len()));
        let cut = |from: usize, until: usize| {
            let place = |at: usize| text.floor_char_boundary(at);
            text[place(from.min(until))..place(from.max(until))].to_owned()
        };
        let (rest, middle) = (cut(0, start) + &cut(end, text.len()), cut(start, end));
        held_against(&text, &rest);
        held_against(&rest, &middle);
        for text in [rest, middle] {
            let names: Vec<String> = names(&worked(&text));
            let ask = |name: &str| book().why("law.worksheet", "", text.clone().into_bytes(), name);
            for name in names.iter().take(3) {
                let Ok(explained) = ask(name) else { return Err(TestCaseError::fail(text)) };
                // What is in trouble itself, or defined twice, may be refused.
                let is_told = explained.whys.is_ok() || !explained.report.troubles.is_empty();
                prop_assert!(is_told, "{name}\n{text}");
                text::why::text(&explained.report, &explained.whys.unwrap_or_default(), &LOOK);
            }
            prop_assert!(ask("no such name, at all").is_ok_and(|explained| explained.whys.is_err()), "{text}");
        }
    }

    /// Where one entry is measured again, it is all that differs by itself, and what is behind every result that does.
    #[test]
    fn one_entry_is_behind_all_that_differs(mut tape in tapes(150)) {
        let draft = Draft::made(&mut tape);
        let Some((other, setting)) = draft.measured_again(&mut tape) else { return Ok(()) };
        let (name, _) = setting.split_once(" : ").unwrap_or_default();
        let found = held_against(&draft.text(), &other.text());
        let differing: Vec<&str> = found.entries.iter().map(|entry| entry.name.as_str()).collect();
        prop_assert!(differing.iter().all(|own| *own == name), "{differing:?} for {setting}\n{}", draft.text());
        for result in &found.results {
            prop_assert_eq!(&result.behind, &vec![name.to_owned()], "{:#?}\n{}\n\n{}", result, draft.text(), other.text());
        }
        let nothing_else = found.formulas.len() + found.gone.len() + found.added.len();
        prop_assert_eq!(nothing_else, 0, "{:#?}", found);
    }
}

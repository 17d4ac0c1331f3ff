//! How long each stage takes, in-process: `cargo bench --bench stages`. Sheets of 26 and of 1000 lines.

use catchwork::checked::drawn::Given;
use catchwork::quantity::Moment;
use catchwork::report::build::{self, Sheet};
use catchwork::report::text::{self, Look};
use catchwork::text::Source;
use catchwork::text::crew_folder::Alone;
use catchwork::{checked, gathered, report, syntax, worked};
use divan::Bencher;

const SHEETS: [(&str, &str); 2] =
    [("26 lines", include_str!("glance.worksheet")), ("1000 lines", include_str!("thousand.worksheet"))];

fn main() {
    divan::main();
}

fn source(name: &str) -> Source {
    let text = SHEETS.iter().find(|(own, _)| *own == name).map_or("", |(_, text)| text);
    Source::of_text("bench.worksheet", text.to_owned())
}

fn today() -> Moment {
    Moment::parse("2026-04-12").unwrap_or_else(|_| unreachable!("a date"))
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn text_to_syntax(bencher: Bencher<'_, '_>, name: &str) {
    let source = source(name);
    bencher.bench_local(|| syntax::parse(&source, 0));
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn syntax_to_checked(bencher: Bencher<'_, '_>, name: &str) {
    let sources = [source(name)];
    let gathered = gathered::gather(sources[0].clone(), "", &Alone, &gathered::Texts::default());
    bencher.bench_local(|| checked::settle(&gathered, &Given::default(), &sources, &[]));
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn checked_to_worked(bencher: Bencher<'_, '_>, name: &str) {
    let sources = [source(name)];
    let gathered = gathered::gather(sources[0].clone(), "", &Alone, &gathered::Texts::default());
    let checked = checked::settle(&gathered, &Given::default(), &sources, &[]);
    bencher.bench_local(|| worked::work(&checked, &sources, today()));
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn worked_to_report(bencher: Bencher<'_, '_>, name: &str) {
    let sources = [source(name)];
    let gathered = gathered::gather(sources[0].clone(), "", &Alone, &gathered::Texts::default());
    let checked = checked::settle(&gathered, &Given::default(), &sources, &[]);
    let worked = worked::work(&checked, &sources, today());
    bencher.bench_local(|| {
        build::report(&Sheet {
            sources: &sources,
            checked: &checked,
            worked: &worked,
            today: String::new(),
            set: Vec::new(),
            templates: Vec::new(),
            colour: false,
        })
    });
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn report_to_text(bencher: Bencher<'_, '_>, name: &str) {
    let report = whole(name);
    bencher.bench_local(|| text::text(&report, &Look { width: 80, colour: false, plain: false }));
}

#[divan::bench(args = ["26 lines", "1000 lines"])]
fn report_to_json(bencher: Bencher<'_, '_>, name: &str) {
    let report = whole(name);
    bencher.bench_local(|| report::json::line(&report));
}

fn whole(name: &str) -> report::Report {
    let request = catchwork::Request { set: Vec::new(), today: today(), colour: false };
    catchwork::work("bench.worksheet", source(name).text.as_bytes().to_vec(), &request)
}

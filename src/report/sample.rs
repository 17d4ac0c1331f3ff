//! A report put together by hand, for the tests of its printed forms: the worksheet that opens the notation.

use super::data::*;
use smallvec::smallvec;

fn value(name: &str, section: &str, line: usize, origin: Origin, kind: ValueKind, cell: Cell) -> ReportValue {
    ReportValue {
        name: name.to_owned(),
        section: Some(section.to_owned()),
        line,
        origin,
        kind,
        unit: None,
        of: None,
        per: None,
        cell,
        from: None,
    }
}

fn part(value: &str, give_or_take: &str, unit: &str) -> ShownPart {
    ShownPart { value: value.into(), give_or_take: give_or_take.into(), unit: unit.into() }
}

fn exact(value: f64, shown: &str, unit: &str) -> Cell {
    Cell {
        value: Some(value),
        standard_uncertainty: Some(0.0),
        give_or_take: Some(0.0),
        shown: shown.into(),
        parts: smallvec![part(shown, "", unit)],
        ..Cell::default()
    }
}

fn doubtful(value: f64, shown: &str, half_width: f64, give_or_take: &str, unit: &str) -> Cell {
    Cell {
        standard_uncertainty: Some(half_width / 1.959963984540054),
        give_or_take: Some(half_width),
        shown: format!("{shown} ± {give_or_take}").into(),
        parts: smallvec![part(shown, give_or_take, unit)],
        ..exact(value, shown, unit)
    }
}

fn entered(name: &str, line: usize, unit: &str, cell: Cell) -> ReportValue {
    let value = value(name, "What was measured", line, Origin::Entered, ValueKind::Quantity, cell);
    ReportValue { unit: Some(unit.into()), ..value }
}

fn worked(name: &str, line: usize, unit: &str, cell: Cell) -> ReportValue {
    let value = value(name, "What it comes to", line, Origin::Worked, ValueKind::Quantity, cell);
    ReportValue { unit: Some(unit.into()), ..value }
}

fn entries() -> Vec<ReportValue> {
    let label_rate = Cell {
        low: Some(1.0),
        high: Some(1.5),
        shown: "1 to 1 1/2".into(),
        parts: smallvec![part("1 to 1 1/2", "", "fl oz of concentrate per 1000 ft²")],
        ..Cell::default()
    };
    let sprayer = Cell { text: Some("green tank".to_owned()), shown: "green tank".into(), ..Cell::default() };
    let bed_area =
        Cell { waiting_on: vec!["bed area".to_owned()], parts: smallvec![part("", "", "ft²")], ..Cell::default() };
    let of_concentrate = |value: ReportValue| ReportValue { of: Some("concentrate".to_owned()), ..value };
    let text = value("sprayer", "What was measured", 6, Origin::Template, ValueKind::Text, sprayer);
    let range = entered("label rate", 11, "fl oz/1000 ft²", label_rate);
    vec![
        text,
        entered("strip length", 7, "ft", exact(60.0, "60", "ft")),
        entered("spray width", 8, "in", doubtful(28.0, "28", 1.0, "1", "in")),
        entered("rated flow", 9, "gal/min", exact(0.2, "0.20", "gal/min")),
        ReportValue {
            origin: Origin::Other,
            from: Some("../equipment.worksheet".to_owned()),
            ..entered("equipment.tank", 10, "gal", exact(3.0, "3", "gal"))
        },
        ReportValue { kind: ValueKind::Range, ..of_concentrate(range) },
        of_concentrate(entered(
            "rate used",
            12,
            "fl oz/1000 ft²",
            exact(1.25, "1 1/4", "fl oz of concentrate per 1000 ft²"),
        )),
        entered("bed area", 13, "ft²", bed_area),
    ]
}

fn results() -> Vec<ReportValue> {
    let volume = Cell {
        parts: smallvec![part("0.530", "0.028", "gal/1000 ft²"), part("2.16", "0.12", "L/100 m²")],
        degrees_of_freedom: Some(14.4522),
        remarks: vec!["under three readings 95 % takes a wide ±".to_owned()],
        ..doubtful(0.5301339, "0.530", 0.0283, "0.028", "")
    };
    let mix =
        Cell { waiting_on: vec!["bed area".to_owned()], parts: smallvec![part("", "", "gal")], ..Cell::default() };
    let dose = Cell {
        parts: smallvec![part("14 tbsp 1/2 tsp", "2.3 tsp", "of concentrate")],
        ..doubtful(14.15, "14 tbsp 1/2 tsp", 0.77, "2.3 tsp", "")
    };
    let small = "less than 1/4 tsp: too small for this measure";
    vec![
        worked("strip area", 19, "ft²", doubtful(140.0, "140.0", 5.0, "5.0", "ft²")),
        worked("flow", 20, "gal/min", doubtful(0.20881, "0.2088", 0.0064, "0.0064", "gal/min")),
        worked("spray volume", 22, "gal/1000 ft²", volume),
        worked("mix needed", 23, "gal", mix),
        worked("tank dose", 24, "tbsp", dose),
        worked("spreader sticker", 25, "tsp", exact(0.05, small, "tsp")),
        ReportValue { kind: ValueKind::Money, ..worked("change in cost", 26, "$", exact(-112.5, "-112.50", "$")) },
    ]
}

fn passes() -> ReportTable {
    let column = |name: &str, unit: &str, origin| ReportColumn {
        name: name.to_owned(),
        unit: Some(unit.into()),
        of: None,
        per: None,
        origin,
        head: unit.to_owned(),
    };
    let row = |label: &str, walk: &str, catch: &str, flow: f64, remark: Option<&str>| ReportRow {
        label: label.to_owned(),
        cells: vec![
            exact(walk.parse().unwrap_or(0.0), walk, "s"),
            doubtful(9.5, catch, 0.125, "1/8", "fl oz"),
            doubtful(flow, &format!("{flow:.4}"), 0.0027, "0.0027", "gal/min"),
        ],
        remark: remark.map(str::to_owned),
    };
    ReportTable {
        name: "passes".to_owned(),
        section: Some("What was measured".to_owned()),
        line: 15,
        columns: vec![
            column("walk", "s", Origin::Entered),
            column("catch", "fl oz", Origin::Entered),
            column("flow", "gal/min", Origin::Worked),
        ],
        rows: vec![
            row("first", "21.4", "9.5", 0.20809, None),
            row("second", "20.9", "9 1/4", 0.20746, None),
            row("third", "21.8", "9 3/4", 0.20965, Some("same person, same tip")),
        ],
        remarks: vec![],
    }
}

fn checks() -> Vec<ReportCheck> {
    let check = |label: &str, line, outcome, compared: &str, advice: Option<&str>| ReportCheck {
        label: label.to_owned(),
        section: Some("What it comes to".to_owned()),
        line,
        outcome,
        compared: compared.to_owned(),
        advice: advice.map(str::to_owned),
        waiting_on: vec![],
        remarks: vec![],
    };
    vec![
        check("label", 28, Outcome::Ok, "1 1/4 within 1 to 1 1/2 fl oz of concentrate per 1000 ft²", None),
        check(
            "tip wear",
            29,
            Outcome::Close,
            "0.2088 ± 0.0064 gal/min within 10 % of 0.20 gal/min",
            Some("Clean the tip; replace it if the flow stays off."),
        ),
        check("pace", 30, Outcome::No, "0.9 mph within 1 to 3 mph", None),
    ]
}

/// The worksheet that opens the notation, with a few lines more for what it does not have.
pub fn report() -> Report {
    Report {
        program: "catchwork 0.1.0".to_owned(),
        schema: 1,
        worksheet: "jobs/2026/north-walk.worksheet".to_owned(),
        fingerprint: "8f2a91c4".to_owned(),
        title: Some("Backpack sprayer, strip method".to_owned()),
        cautions: vec![
            "Water only for this test; wear the gloves and eye protection the label names all the same.".to_owned(),
        ],
        notice: NOTICE.to_owned(),
        set: vec!["strip length : 60 ft".to_owned()],
        today: Some("2026-04-12".to_owned()),
        templates: vec![TemplateUsed {
            file: "../methods/sprayer-strip.worksheet".to_owned(),
            fingerprint: "77c01b2e".to_owned(),
            pinned: true,
        }],
        notes: vec![Note {
            section: Some("What was measured".to_owned()),
            line: 5,
            text: "Walk the strip at the pace of the job, pump as you would on it, and catch what one tip sprays."
                .to_owned(),
        }],
        values: entries().into_iter().chain(results()).collect(),
        tables: vec![passes()],
        charts: vec![],
        checks: checks(),
        waiting: vec![WaitingBlank {
            name: "bed area".to_owned(),
            line: 13,
            unit: Some("ft²".into()),
            head: "ft²".to_owned(),
            needed_by: vec!["mix needed".to_owned()],
        }],
        troubles: vec![],
    }
}

/// What is left of a report where the file cannot be read.
pub fn unreadable() -> Report {
    Report {
        program: "catchwork 0.1.0".to_owned(),
        schema: 1,
        worksheet: "jobs/none.worksheet".to_owned(),
        notice: NOTICE.to_owned(),
        troubles: vec![ReportTrouble {
            file: None,
            line: 1,
            column: 1,
            length: 0,
            kind: "unreadable".to_owned(),
            says: "jobs/none.worksheet cannot be read: no such file".to_owned(),
            instead: None,
            display: String::new(),
        }],
        ..Report::default()
    }
}

//! The text of the sample report, whole, and what holds for every text.

use super::*;
use crate::report::data::{Cell, ReportColumn};
use crate::report::sample;
use insta::assert_snapshot;

const PLAIN_WORDS: Look = Look { width: 80, colour: false, plain: false };

fn widest(text: &str) -> usize {
    text.lines().map(unicode_width::UnicodeWidthStr::width).max().unwrap_or(0)
}

#[test]
fn in_eighty_columns() {
    assert_snapshot!(text(&sample::report(), &PLAIN_WORDS), @r"
    Backpack sprayer, strip method
    jobs/2026/north-walk.worksheet  8f2a91c4

    !  Water only for this test; wear the gloves and eye protection the label names
       all the same.
    The product label and local rules decide; this program does not replace a
    licensed applicator's judgement.

      set for this run   strip length : 60 ft
      today taken to be  2026-04-12

    What was measured  ─────────────────────────────────────────────────────────────
      Walk the strip at the pace of the job, pump as you would on it, and catch what
      one tip sprays.

                        value              unit            ± (95 %)         from
      sprayer           green tank                                          template
      strip length        60               ft                               entered
      spray width         28               in              ± 1              entered
      rated flow           0.20            gal/min                          entered
      equipment.tank       3               gal                              other
      label rate           1 to 1 1/2      fl oz of concentrate             entered
                                           per 1000 ft²
      rate used            1 1/4           fl oz of concentrate             entered
                                           per 1000 ft²
      bed area          ____               ft²                              blank

      passes  walk  catch        flow
              s     fl oz        gal/min
                                 worked
      first   21.4  9.5 ± 1/8    0.2081 ± 0.0027
      second  20.9  9 1/4 ± 1/8  0.2075 ± 0.0027
      third   21.8  9 3/4 ± 1/8  0.2097 ± 0.0027
              same person, same tip

    What it comes to  ──────────────────────────────────────────────────────────────
      strip area         140.0             ft²             ± 5.0            worked
      flow                 0.2088          gal/min         ± 0.0064         worked
      spray volume         0.530           gal/1000 ft²    ± 0.028          worked
                           2.16            L/100 m²        ± 0.12
                        under three readings 95 % takes a wide ±
      mix needed        waiting            gal                              worked
                        waits on bed area
      tank dose           14 tbsp 1/2 tsp  of concentrate  ± 2.3 tsp        worked
      spreader sticker  less than 1/4 tsp                                   worked
                        too small for this measure
      change in cost    -112.50            $                                worked

    Checks  ────────────────────────────────────────────────────────────────────────
      ok     label     1 1/4 within 1 to 1 1/2 fl oz of concentrate per 1000 ft²
      close  tip wear  0.2088 ± 0.0064 gal/min within 10 % of 0.20 gal/min
             → Clean the tip; replace it if the flow stays off.
      NO     pace      0.9 mph within 1 to 3 mph

    Still to be measured  ──────────────────────────────────────────────────────────
      bed area  ft²  for mix needed

    Other worksheets  ──────────────────────────────────────────────────────────────
      equipment  ../equipment.worksheet

    Templates  ─────────────────────────────────────────────────────────────────────
      ../methods/sprayer-strip.worksheet  77c01b2e  pinned

    5 entered, 1 from the template, 1 from elsewhere, 6 worked, 1 waiting; checks: 1
    no, 1 close, 1 ok; 1 blank
    ");
}

#[test]
fn in_sixty_columns_and_ascii_alone() {
    assert_snapshot!(text(&sample::report(), &Look { width: 60, plain: true, ..PLAIN_WORDS }), @r"
    Backpack sprayer, strip method
    jobs/2026/north-walk.worksheet  8f2a91c4

    !  Water only for this test; wear the gloves and eye
       protection the label names all the same.
    The product label and local rules decide; this program does
    not replace a licensed applicator's judgement.

      set for this run   strip length : 60 ft
      today taken to be  2026-04-12

    What was measured  -----------------------------------------
      Walk the strip at the pace of the job, pump as you would
      on it, and catch what one tip sprays.

                    value              unit            +/- (95 %)   from
      sprayer       green tank                                      template
      strip length    60               ft                           entered
      spray width     28               in              +/- 1        entered
      rated flow       0.20            gal/min                      entered
      equipment.       3               gal                          other
      tank
      label rate       1 to 1 1/2      fl oz of concentrate         entered
                                       per 1000 ft^2
      rate used        1 1/4           fl oz of concentrate         entered
                                       per 1000 ft^2
      bed area      ____               ft^2                         blank

      passes  walk  catch          flow
              s     fl oz          gal/min
                                   worked
      first   21.4  9.5 +/- 1/8    0.2081 +/- 0.0027
      second  20.9  9 1/4 +/- 1/8  0.2075 +/- 0.0027
      third   21.8  9 3/4 +/- 1/8  0.2097 +/- 0.0027
              same person, same tip

    What it comes to  ------------------------------------------
      strip area     140.0             ft^2            +/- 5.0      worked
      flow             0.2088          gal/min         +/- 0.0064   worked
      spray volume     0.530           gal/1000 ft^2   +/- 0.028    worked
                       2.16            L/100 m^2       +/- 0.12
                    under three readings 95 % takes a wide +/-
      mix needed    waiting            gal                          worked
                    waits on bed area
      tank dose       14 tbsp 1/2 tsp  of concentrate  +/- 2.3 tsp  worked
      spreader      less than 1/4 tsp                               worked
      sticker
                    too small for this measure
      change in     -112.50            $                            worked
      cost

    Checks  ----------------------------------------------------
      ok     label     1 1/4 within 1 to 1 1/2 fl oz of
                       concentrate per 1000 ft^2
      close  tip wear  0.2088 +/- 0.0064 gal/min within 10 % of
                       0.20 gal/min
             -> Clean the tip; replace it if the flow stays off.
      NO     pace      0.9 mph within 1 to 3 mph

    Still to be measured  --------------------------------------
      bed area  ft^2  for mix needed

    Other worksheets  ------------------------------------------
      equipment  ../equipment.worksheet

    Templates  -------------------------------------------------
      ../methods/sprayer-strip.worksheet  77c01b2e  pinned

    5 entered, 1 from the template, 1 from elsewhere, 6 worked,
    1 waiting; checks: 1 no, 1 close, 1 ok; 1 blank
    ");
}

#[test]
fn a_file_that_cannot_be_read_still_carries_the_notice() {
    assert_snapshot!(text(&sample::unreadable(), &PLAIN_WORDS), @r"
    jobs/none.worksheet

    The product label and local rules decide; this program does not replace a
    licensed applicator's judgement.

    1 trouble
    ");
}

#[test]
fn no_line_is_wider_than_the_terminal() {
    for width in [72, 80, 100, 200] {
        for plain in [false, true] {
            let text = text(&sample::report(), &Look { width, plain, ..PLAIN_WORDS });
            assert!(widest(&text) <= width, "{width}\n{text}");
            assert!(!plain || text.is_ascii(), "{text}");
        }
    }
}

#[test]
fn colour_adds_no_words_and_hides_none() {
    let coloured = text(&sample::report(), &Look { colour: true, ..PLAIN_WORDS });
    assert!(coloured.contains("\u{1b}[1m   0.530\u{1b}[0m") && coloured.contains("\u{1b}[2mentered\u{1b}[0m"));
    let mut stripped = String::new();
    let mut rest = coloured.as_str();
    while let Some((before, style)) = rest.split_once('\u{1b}') {
        stripped.push_str(before);
        rest = style.split_once('m').map_or("", |(_, after)| after);
    }
    assert_eq!(stripped + rest, text(&sample::report(), &PLAIN_WORDS));
}

#[test]
fn no_words_of_a_worksheet_command_the_terminal() {
    let mut report = sample::report();
    let hostile = "a\u{1b}]0;title\u{7}\u{9b}2J\u{202e}b".to_owned();
    report.title = Some(hostile.clone());
    report.cautions = vec![hostile.clone()];
    report.set = vec![hostile.clone()];
    report.worksheet = hostile.clone();
    report.notes.iter_mut().for_each(|note| note.text = hostile.clone());
    report.templates.iter_mut().for_each(|template| template.file = hostile.clone());
    report.waiting.iter_mut().for_each(|blank| blank.needed_by = vec![hostile.clone()]);
    for check in &mut report.checks {
        (check.label, check.compared, check.advice) = (hostile.clone(), hostile.clone(), Some(hostile.clone()));
        check.remarks = vec![hostile.clone()];
    }
    for value in &mut report.values {
        value.name = hostile.clone();
        value.section = Some(hostile.clone());
        value.from = Some(hostile.clone());
        say_everywhere(&mut value.cell, &hostile);
    }
    for table in &mut report.tables {
        (table.name, table.remarks) = (hostile.clone(), vec![hostile.clone()]);
        for column in &mut table.columns {
            (column.name, column.head) = (hostile.clone(), hostile.clone());
        }
        for row in &mut table.rows {
            (row.label, row.remark) = (hostile.clone(), Some(hostile.clone()));
            row.cells.iter_mut().for_each(|cell| say_everywhere(cell, &hostile));
        }
    }
    let text = text(&report, &PLAIN_WORDS);
    assert!(!text.chars().any(|letter| letter != '\n' && letter.is_control() || letter == '\u{202e}'), "{text}");
}

fn say_everywhere(cell: &mut Cell, words: &str) {
    cell.shown = words.into();
    cell.remarks = vec![words.to_owned()];
    cell.waiting_on = vec![words.to_owned(), words.to_owned()];
    for part in &mut cell.parts {
        (part.value, part.unit, part.give_or_take) = (words.into(), words.into(), words.into());
    }
}

#[test]
fn a_wide_table_is_printed_in_blocks() {
    let mut report = sample::report();
    report.values.clear();
    report.notes.clear();
    for table in &mut report.tables {
        let columns: Vec<ReportColumn> = table.columns.iter().cycle().take(7).cloned().collect();
        table.columns = columns;
        for row in &mut table.rows {
            let cells: Vec<Cell> = row.cells.iter().cycle().take(7).cloned().collect();
            row.cells = cells;
        }
    }
    let text = text(&report, &Look { width: 60, ..PLAIN_WORDS });
    let table: Vec<&str> = text.lines().skip_while(|line| !line.contains("passes")).take(16).collect();
    assert_snapshot!(table.join("\n"), @r"
      passes  walk  catch        flow             walk
              s     fl oz        gal/min          s
                                 worked
      first   21.4  9.5 ± 1/8    0.2081 ± 0.0027  21.4
      second  20.9  9 1/4 ± 1/8  0.2075 ± 0.0027  20.9
      third   21.8  9 3/4 ± 1/8  0.2097 ± 0.0027  21.8

      passes  catch        flow             walk
              fl oz        gal/min          s
                           worked
      first   9.5 ± 1/8    0.2081 ± 0.0027  21.4
      second  9 1/4 ± 1/8  0.2075 ± 0.0027  20.9
      third   9 3/4 ± 1/8  0.2097 ± 0.0027  21.8
              same person, same tip

    Checks  ────────────────────────────────────────────────────
    ");
}

//! Showing, by example and by rule.

#![allow(clippy::unwrap_used, clippy::indexing_slicing)]

use super::*;
use insta::assert_snapshot;
use proptest::prelude::*;

fn fraction(top: f64, bottom: u32) -> Step {
    Step { size: top / f64::from(bottom), denominator: Some(bottom), decimals: 0 }
}

fn decimal_step(size: f64, decimals: u8) -> Step {
    Step { size, denominator: None, decimals }
}

fn names(names: &[&str]) -> Vec<CompactString> {
    names.iter().copied().map(CompactString::from).collect()
}

fn digits(value: f64) -> String {
    show(value, value.abs(), None, &Form::Digits, &[]).text
}

fn with_doubt(value: f64, half_width: f64) -> String {
    let shown = show(value, value.abs(), Some(half_width), &Form::Digits, &[]);
    format!("{} ± {}", shown.text, shown.give_or_take)
}

fn stepped(value: f64, step: Step, rounding: Rounding) -> String {
    show(value, value.abs(), None, &Form::Step(step, rounding), &names(&["tsp"])).text
}

/// `[tbsp + 1/2 tsp]`
fn spoons(rounding: Rounding) -> Form {
    Form::Measures { ratios: vec![3.0], step: Some(fraction(1.0, 2)), rounding }
}

fn in_spoons(tsp: f64) -> String {
    show(tsp / 3.0, tsp.abs() / 3.0, None, &spoons(Rounding::Nearest), &names(&["tbsp", "tsp"])).text
}

fn end(value: f64) -> Option<End> {
    Some(End { value, size: value.abs(), half_width: None })
}

fn range(low: Option<End>, high: Option<End>, form: &Form) -> String {
    let shown = show_range(low, high, form, &names(&["fl oz"]), false);
    match shown.remark {
        Some(remark) => format!("{} -- {remark}", shown.text),
        None => shown.text,
    }
}

#[test]
fn four_digits_without_doubt() {
    assert_snapshot!(digits(12345.6), @"12346");
    assert_snapshot!(digits(123.456), @"123.5");
    assert_snapshot!(digits(108.0), @"108.0");
    assert_snapshot!(digits(1.0), @"1.000");
    assert_snapshot!(digits(9.99951), @"10.00");
    assert_snapshot!(digits(-0.053012), @"-0.05301");
    assert_snapshot!(digits(0.0), @"0");
}

#[test]
fn ties_go_away_from_zero_whatever_binary_made_of_them() {
    assert_snapshot!(digits(0.012345), @"0.01235");
    assert_snapshot!(digits(-0.012345), @"-0.01235");
    // 1.0005 is a little less than that in binary, 2.0005 a little more.
    assert_snapshot!(digits(1.0005), @"1.001");
    assert_snapshot!(digits(2.0005), @"2.001");
    assert_snapshot!(digits(10000.5), @"10001");
}

#[test]
fn two_digits_of_the_doubt() {
    // JCGM 100:2008, 7.2.6 (from memory): 10,057 62 Ω with u of 27 mΩ is given as 10,058 Ω.
    assert_snapshot!(with_doubt(10.05762, 0.027), @"10.058 ± 0.027");
    assert_snapshot!(with_doubt(0.5301, 0.0283), @"0.530 ± 0.028");
    assert_snapshot!(with_doubt(1234.0, 120.0), @"1230 ± 120");
    assert_snapshot!(with_doubt(1234.0, 99.6), @"1230 ± 100");
    assert_snapshot!(with_doubt(1.23456, 0.0996), @"1.23 ± 0.10");
    assert_snapshot!(with_doubt(60.0, 1.0), @"60.0 ± 1.0");
    assert_snapshot!(with_doubt(-5.0, 0.25), @"-5.00 ± 0.25");
}

#[test]
fn a_value_below_its_doubt_keeps_a_digit() {
    assert_snapshot!(with_doubt(0.0013, 0.5), @"0.001 ± 0.50");
    assert_snapshot!(with_doubt(0.0, 0.5), @"0.00 ± 0.50");
}

#[test]
fn what_binary_left_of_nothing_is_nothing() {
    let left = 0.1 + 0.2 - 0.3;
    assert_snapshot!(show(left, 0.3, None, &Form::Digits, &[]).text, @"0");
    assert_snapshot!(show(-left, 0.3, None, &Form::Step(fraction(1.0, 4), Rounding::Nearest), &[]).text, @"0");
    assert_snapshot!(show(-left, 0.3, Some(0.02), &Form::Digits, &[]).text, @"0.000");
    // Digits that the arithmetic has lost are not made up.
    assert_snapshot!(show(5.4321e-10, 1.0, None, &Form::Digits, &[]).text, @"5.4e-10");
}

#[test]
fn very_large_and_very_small_numbers_take_a_power_of_ten() {
    assert_snapshot!(digits(1.5e-7), @"1.500e-7");
    assert_snapshot!(digits(2.5e17), @"2.5e17");
    assert_snapshot!(digits(123456789012345.0), @"123456789012345");
    assert_snapshot!(with_doubt(1.5342e-7, 2.8e-9), @"1.534e-7 ± 2.8e-9");
    assert_snapshot!(with_doubt(2.512e17, 3.1e15), @"2.512e17 ± 3.1e15");
}

#[test]
fn steps_are_fractions_or_decimals_as_written() {
    assert_snapshot!(stepped(1.5, fraction(1.0, 4), Rounding::Nearest), @"1 1/2");
    assert_snapshot!(stepped(0.75, fraction(1.0, 4), Rounding::Nearest), @"3/4");
    assert_snapshot!(stepped(-2.5, fraction(1.0, 2), Rounding::Nearest), @"-2 1/2");
    assert_snapshot!(stepped(1.125, fraction(3.0, 8), Rounding::Nearest), @"1 1/8");
    assert_snapshot!(stepped(15.0, fraction(5.0, 1), Rounding::Nearest), @"15");
    assert_snapshot!(stepped(0.3, decimal_step(0.1, 1), Rounding::Nearest), @"0.3");
    assert_snapshot!(stepped(1.5, decimal_step(0.25, 2), Rounding::Nearest), @"1.50");
    assert_snapshot!(stepped(2.0 / 3.0, fraction(1.0, 3), Rounding::Nearest), @"2/3");
}

#[test]
fn steps_round_their_way() {
    assert_snapshot!(stepped(100.1, fraction(1.0, 1), Rounding::Up), @"101");
    assert_snapshot!(stepped(100.9, fraction(1.0, 1), Rounding::Down), @"100");
    assert_snapshot!(stepped(3.0000000000001, fraction(1.0, 1), Rounding::Up), @"3");
    assert_snapshot!(stepped(2.9999999999999, fraction(1.0, 1), Rounding::Down), @"3");
    assert_snapshot!(stepped(100.5, fraction(1.0, 1), Rounding::Nearest), @"101");
    assert_snapshot!(stepped(-100.5, fraction(1.0, 1), Rounding::Nearest), @"-101");
    assert_snapshot!(stepped(100.49999999999997, fraction(1.0, 1), Rounding::Nearest), @"101");
    assert_snapshot!(stepped(-0.3, fraction(1.0, 4), Rounding::Up), @"-1/4 (17 % under)");
}

#[test]
fn a_step_says_how_far_it_is_off() {
    assert_snapshot!(stepped(0.47, fraction(1.0, 2), Rounding::Nearest), @"1/2 (6 % over)");
    assert_snapshot!(stepped(0.54, fraction(1.0, 2), Rounding::Nearest), @"1/2 (7 % under)");
    assert_snapshot!(stepped(100.0, decimal_step(1.01, 2), Rounding::Up), @"101.00");
    assert_snapshot!(stepped(0.001, fraction(1.0, 1), Rounding::Up), @"1 (99900 % over)");
    assert_snapshot!(in_spoons(0.47), @"1/2 tsp (6 % over)");
}

#[test]
fn what_is_not_nothing_never_shows_as_zero() {
    assert_snapshot!(stepped(0.1, fraction(1.0, 4), Rounding::Nearest), @"less than 1/4 tsp: too small for this measure");
    assert_snapshot!(stepped(0.24, fraction(1.0, 4), Rounding::Down), @"less than 1/4 tsp: too small for this measure");
    assert_snapshot!(stepped(-0.1, fraction(1.0, 4), Rounding::Nearest),
        @"less than 1/4 tsp below 0: too small for this measure");
    assert_snapshot!(in_spoons(0.2), @"less than 1/2 tsp: too small for this measure");
    let cents = show(0.004, 0.004, None, &Form::Cents, &names(&["$"]));
    assert_snapshot!(cents.text, @"less than $0.01: too small for this measure");
    assert_eq!(cents.number, 0.0);
}

#[test]
fn a_point_of_a_scale_has_no_share_and_a_zero() {
    let shown = |value: f64| {
        let form = Form::Step(fraction(1.0, 1), Rounding::Nearest);
        show_point(value, value.abs(), None, &form, &names(&["°C"])).text
    };
    assert_snapshot!(shown(0.3), @"0");
    assert_snapshot!(shown(5.2), @"5");
}

#[test]
fn measures_carry() {
    assert_snapshot!(in_spoons(7.5), @"2 tbsp 1 1/2 tsp");
    assert_snapshot!(in_spoons(16.49), @"5 tbsp 1 1/2 tsp");
    assert_snapshot!(in_spoons(14.9), @"5 tbsp");
    assert_snapshot!(in_spoons(15.0), @"5 tbsp");
    assert_snapshot!(in_spoons(2.0), @"2 tsp");
    assert_snapshot!(in_spoons(-7.5), @"-2 tbsp 1 1/2 tsp");
    assert_snapshot!(in_spoons(0.0), @"0 tsp");
    let form = Form::Measures { ratios: vec![4.0, 32.0], step: Some(fraction(1.0, 1)), rounding: Rounding::Up };
    let three = |value: f64| show(value, value, None, &form, &names(&["gal", "qt", "fl oz"])).text;
    assert_snapshot!(three(2.99999), @"3 gal");
    assert_snapshot!(three(1.26), @"1 gal 1 qt 2 fl oz");
}

#[test]
fn measures_without_a_step_show_digits() {
    let form = Form::Measures { ratios: vec![12.0], step: None, rounding: Rounding::Nearest };
    let feet = |inches: f64, half_width: Option<f64>| {
        let shown = show(inches / 12.0, inches / 12.0, half_width, &form, &names(&["ft", "in"]));
        format!("{} ± {}", shown.text, shown.give_or_take)
    };
    assert_snapshot!(feet(66.374, None), @"5 ft 6.37 in ± ");
    assert_snapshot!(feet(71.999, None), @"6 ft ± ");
    assert_snapshot!(feet(66.374, Some(1.2 / 12.0)), @"5 ft 6.4 in ± 1.2 in");
    assert_snapshot!(feet(0.0013, Some(0.5 / 12.0)), @"0.001 in ± 0.50 in");
}

#[test]
fn money_alone_is_shown_to_the_cent() {
    let money = |value: f64| show(value, value.abs(), Some(3.1), &Form::Cents, &names(&["$"]));
    assert_snapshot!(money(24.5).text, @"24.50");
    assert_snapshot!(money(12345.678).text, @"12345.68");
    assert_snapshot!(money(24.5).give_or_take, @"3.10");
    let half_width = |half_width: f64| show(100.0, 100.0, Some(half_width), &Form::Cents, &names(&["$"])).give_or_take;
    assert_snapshot!(half_width(72.8996), @"72.90");
    assert_snapshot!(half_width(1234.567), @"1234.57");
    assert_snapshot!(half_width(0.01234), @"0.012");
    assert_snapshot!(money(0.026).text, @"0.03 (15 % over)");
}

#[test]
fn ranges_are_rounded_inward() {
    let halves = Form::Step(fraction(1.0, 2), Rounding::Nearest);
    assert_snapshot!(range(end(0.999), end(1.501), &halves), @"1 to 1 1/2");
    assert_snapshot!(range(end(0.8), end(1.6), &halves), @"1 to 1 1/2 -- lower end 25 % over, upper end 6 % under");
    assert_snapshot!(range(end(1.0000000000000002), end(1.4999999999999998), &halves), @"1 to 1 1/2");
    assert_snapshot!(range(None, end(4.0), &halves), @"up to 4");
    assert_snapshot!(range(end(2.0), None, &halves), @"at least 2");
    assert_snapshot!(range(end(1.1), end(1.4), &halves), @"1.100 to 1.400 -- no whole 1/2 fl oz lies within");
    assert_snapshot!(range(None, end(0.3), &halves), @"up to 0.3000 -- no whole 1/2 fl oz lies within");
    assert_snapshot!(range(end(1.00004), end(1.99996), &Form::Digits), @"1.001 to 1.999");
    assert_snapshot!(range(end(0.0), end(1.5), &Form::Digits), @"0 to 1.500");
    assert_snapshot!(range(end(1.00004), end(1.00005), &Form::Digits), @"1.00004 to 1.00005");
}

#[test]
fn ranges_in_measures() {
    let measures = names(&["tbsp", "tsp"]);
    let shown =
        |low: f64, high: f64| show_range(end(low / 3.0), end(high / 3.0), &spoons(Rounding::Nearest), &measures, false);
    assert_snapshot!(shown(15.0, 16.7).text, @"5 tbsp to 5 tbsp 1 1/2 tsp");
    assert_snapshot!(shown(15.1, 15.4).text, @"5.034 to 5.133 tbsp");
    assert_snapshot!(shown(15.1, 15.4).remark.unwrap_or_default(), @"no whole 1/2 tsp lies within");
}

#[test]
fn ranges_with_doubt_say_it_at_each_end() {
    let end = |value: f64, half_width: f64| Some(End { value, size: 2.0, half_width: Some(half_width) });
    let words = |low: Option<End>, high: Option<End>| {
        let shown = show_range(low, high, &Form::Digits, &[], false);
        format!("{} | {} | {}", shown.text, shown.bare, shown.give_or_take)
    };
    assert_snapshot!(words(end(1.0, 0.02), end(1.0, 0.031)), @"1.000 ± 0.020 to 1.000 ± 0.031 | 1.000 to 1.000 | ");
    assert_snapshot!(words(end(1.0, 0.02), end(2.0, 0.0)), @"1.000 ± 0.020 to 2.000 | 1.000 to 2.000 | ");
    assert_snapshot!(words(end(1.0, 0.0), end(2.0, 0.02)), @"1.000 to 2.000 ± 0.020 | 1.000 to 2.000 | ");
    assert_snapshot!(words(None, end(2.0, 0.02)), @"up to 2.000 | up to 2.000 | 0.020");
    assert_snapshot!(words(end(2.0, 0.02), None), @"at least 2.000 | at least 2.000 | 0.020");
}

#[test]
fn an_end_that_is_nothing_for_its_size_is_0() {
    let noise = Some(End { value: -4.6e-16, size: 3.3, half_width: None });
    let halves = Form::Step(fraction(1.0, 2), Rounding::Nearest);
    assert_snapshot!(range(noise, end(3.0), &Form::Digits), @"0 to 3.000");
    assert_snapshot!(range(noise, end(3.0), &halves), @"0 to 3");
    assert_snapshot!(range(noise, end(0.3), &halves), @"0 to 0.3000 -- no whole 1/2 fl oz lies within");
    assert_snapshot!(range(end(-3.0), noise, &Form::Digits), @"-3.000 to 0");
}

#[test]
fn what_is_nothing_for_its_size_is_0_however_small_the_step() {
    let shown = |form: &Form| show(3.0, 1e15, None, form, &names(&["tsp"])).text;
    assert_snapshot!(shown(&Form::Digits), @"0");
    assert_snapshot!(shown(&Form::Step(fraction(1.0, 2), Rounding::Up)), @"0");
    assert_snapshot!(show(3.0, 1e15, Some(0.5), &Form::Digits, &[]).text, @"0");
}

#[test]
fn a_multiple_of_a_tenth_is_as_near_as_can_be() {
    assert_eq!(step(0.31, 0.31, 0.1, Rounding::Nearest), 0.3);
    assert_eq!(step(0.3, 0.3, 0.1, Rounding::Up), 0.3);
    assert_eq!(step(7.0, 7.0, 2.5, Rounding::Nearest), 7.5);
}

fn steps() -> impl Strategy<Value = Step> {
    let fractions = (1u32..9, prop::sample::select(vec![1u32, 2, 3, 4, 8, 16, 128]));
    let decimals = (1u32..100, 1u8..4);
    prop_oneof![
        fractions.prop_map(|(top, bottom)| fraction(f64::from(top), bottom)),
        decimals
            .prop_map(|(size, places)| { decimal_step(f64::from(size) / steps::power_of_ten(places.into()), places) }),
    ]
}

/// A figure read as the notation reads it: `-1 1/2`, `0.25`, `1.5e-7`.
fn read(figure: &str) -> f64 {
    let (sign, figure) = figure.strip_prefix('-').map_or((1.0, figure), |figure| (-1.0, figure));
    let part = |part: &str| match part.split_once('/') {
        Some((top, bottom)) => top.parse::<f64>().unwrap() / bottom.parse::<f64>().unwrap(),
        None => part.parse().unwrap(),
    };
    sign * figure.split(' ').map(part).sum::<f64>()
}

/// Values of every magnitude that a worksheet may meet.
fn values() -> impl Strategy<Value = f64> {
    (-1.0..1.0f64, -9..17i32).prop_map(|(share, power)| share * steps::power_of_ten(power))
}

proptest! {
    #[test]
    fn digits_read_back_within_half_of_the_last(value in values()) {
        let shown = show(value, value.abs(), None, &Form::Digits, &[]);
        prop_assert_eq!(read(&shown.text), shown.number);
        let last = steps::power_of_ten(-decimals(value, None));
        prop_assert!((shown.number - value).abs() <= 0.5 * last + 1e-12 * value.abs());
    }

    #[test]
    fn doubt_reads_back_with_two_digits(value in values(), half_width in 1e-9..1e9f64) {
        let shown = show(value, value.abs(), Some(half_width), &Form::Digits, &[]);
        prop_assert_eq!(read(&shown.text), shown.number);
        prop_assert!((read(&shown.give_or_take) / half_width - 1.0).abs() < 0.051);
    }

    #[test]
    fn steps_read_back_and_lie_within_one(value in -1e4..1e4f64, step in steps(), way in 0..3) {
        let rounding = [Rounding::Nearest, Rounding::Up, Rounding::Down][way as usize];
        let shown = show(value, value.abs(), None, &Form::Step(step, rounding), &[]);
        let reach = if rounding == Rounding::Nearest { 0.5 } else { 1.0 };
        prop_assert!((shown.number - value).abs() <= reach * step.size + 1e-11 * value.abs());
        if !shown.text.starts_with("less") {
            let figure = shown.text.split(" (").next().unwrap_or_default();
            prop_assert!((read(figure) - shown.number).abs() <= 1e-12 * shown.number.abs());
        } else {
            prop_assert_eq!(shown.number, 0.0);
        }
    }

    #[test]
    fn up_is_never_below_and_down_never_above(value in values(), step in steps()) {
        let rounded = |rounding| show(value, value.abs(), None, &Form::Step(step, rounding), &[]).number;
        prop_assert!(rounded(Rounding::Up) >= value - 1e-12 * value.abs());
        prop_assert!(rounded(Rounding::Down) <= value + 1e-12 * value.abs());
        let nearest = rounded(Rounding::Nearest);
        prop_assert!(nearest == rounded(Rounding::Up) || nearest == rounded(Rounding::Down));
    }

    #[test]
    fn a_multiple_stays_where_it_is_however_it_is_rounded(count in -9999..9999i32, step in steps()) {
        let value = f64::from(count) * step.size;
        for noise in [1.0, 1.0 + 4e-13, 1.0 - 4e-13] {
            for rounding in [Rounding::Nearest, Rounding::Up, Rounding::Down] {
                let shown = show(value * noise, value.abs(), None, &Form::Step(step, rounding), &[]);
                prop_assert!((shown.number - value).abs() <= 1e-12 * value.abs());
            }
        }
    }

    #[test]
    fn measures_add_up_and_stay_below_the_next(value in 0.0..1000.0f64, step in prop::sample::select(vec![2u32, 3, 4])) {
        let form = Form::Measures {
            ratios: vec![2.0, 3.0],
            step: Some(fraction(1.0, step)),
            rounding: Rounding::Nearest,
        };
        let shown = show(value, value, None, &form, &names(&["_fl-oz", "_tbsp", "_tsp"]));
        prop_assert!((shown.number - value).abs() * 6.0 <= 0.5 / f64::from(step) + 1e-9);
        if !shown.text.starts_with("less") {
            let figures = shown.text.split(" (").next().unwrap_or_default();
            let sum: f64 = [("_fl-oz", 6.0, f64::MAX), ("_tbsp", 3.0, 2.0), ("_tsp", 1.0, 3.0)]
                .iter()
                .filter_map(|(name, tsp, limit)| {
                    let before = figures.split_once(&format!(" {name}"))?.0;
                    let part = read(before.rsplit('_').next()?.trim_start_matches(|c: char| !c.is_ascii_digit()));
                    assert!(part < *limit && part > 0.0, "{figures}");
                    Some(part * tsp)
                })
                .sum();
            prop_assert!((sum / 6.0 - shown.number).abs() <= 1e-9);
        }
    }

    #[test]
    fn ranges_never_leave_their_limits(low in 0.0..100.0f64, width in 0.0..10.0f64, step in steps(), digits in any::<bool>()) {
        let high = low + width;
        let form = if digits { Form::Digits } else { Form::Step(step, Rounding::Nearest) };
        let shown = show_range(end(low), end(high), &form, &names(&["fl oz"]), false);
        let (shown_low, shown_high) = (shown.low.unwrap(), shown.high.unwrap());
        prop_assert!(shown_low >= low * (1.0 - 1e-12) && shown_high <= high * (1.0 + 1e-12), "{}", shown.text);
        let (low_text, high_text) = shown.text.split_once(" to ").unwrap();
        prop_assert!((read(low_text) - shown_low).abs() <= 1e-12 * shown_low);
        prop_assert!((read(high_text) - shown_high).abs() <= 1e-12 * shown_high);
        prop_assert!(shown_low <= shown_high, "{}", shown.text);
    }

    #[test]
    fn no_number_makes_it_panic(value in any::<f64>(), size in any::<f64>(), half_width in any::<f64>(), step in steps()) {
        for form in [Form::Digits, Form::Step(step, Rounding::Up), Form::Cents, spoons(Rounding::Down)] {
            show(value, size, Some(half_width), &form, &names(&["tbsp", "tsp"]));
            let end = End { value, size, half_width: Some(half_width) };
            show_range(Some(end), Some(end), &form, &names(&["tbsp"]), false);
        }
    }
}

#[test]
fn what_is_as_near_as_can_be_to_a_power_of_ten_is_that() {
    for power in -30..=30 {
        let ten: f64 = format!("1e{power}").parse().unwrap();
        for near in [ten, ten.next_down(), ten.next_up(), ten * (1.0 - 1e-12), ten.next_down() / (1.0 + 1e-12)] {
            assert_eq!(steps::exponent(near, 3), power, "{near:e}");
        }
    }
    assert_snapshot!(digits(1e-6), @"0.000001000");
}

#[test]
fn steps_of_few_or_many_decimals_are_multiples_of_themselves() {
    assert_snapshot!(stepped(0.0052, decimal_step(0.0015, 4), Rounding::Nearest), @"0.0045 (13 % under)");
    // More decimals than a step can tell: the step is counted by itself.
    assert_snapshot!(stepped(3.2e-260, decimal_step(1e-260, u8::MAX), Rounding::Nearest), @"3e-260 (6 % under)");
    // A number too large for whole numbers is written as it is.
    assert_snapshot!(stepped(2e15, fraction(1.0, 4), Rounding::Nearest), @"2e15");
    assert_snapshot!(stepped(3e14 - 0.0625, fraction(1.0, 30), Rounding::Nearest), @"2.9999999999999994e14");
}

#[test]
fn measures_go_by_the_size_that_a_value_was_added_up_from() {
    let inches = |inches: f64, step: Option<Step>, rounding: Rounding, size: f64| {
        let form = Form::Measures { ratios: vec![12.0], step, rounding };
        show(inches / 12.0, size, None, &form, &names(&["ft", "in"])).text
    };
    let one = Some(fraction(1.0, 1));
    // Up is towards more, also below nothing.
    assert_snapshot!(inches(-39.6, one, Rounding::Up, 5.3), @"-3 ft 3 in (2 % under)");
    assert_snapshot!(inches(-39.6, one, Rounding::Down, 5.3), @"-3 ft 4 in (1 % over)");
    // A millionth of an inch from a tie is the tie beside a million feet, and is not beside one.
    assert_snapshot!(inches(2.499995, one, Rounding::Nearest, 1e6), @"3 in (20 % over)");
    assert_snapshot!(inches(2.499995, one, Rounding::Nearest, 1.0), @"2 in (20 % under)");
    // Of four digits only those are shown that a million feet have left.
    assert_snapshot!(inches(0.0025, None, Rounding::Nearest, 1e6), @"0.0025 in");
    assert_snapshot!(inches(0.0025, None, Rounding::Nearest, 1.0), @"0.002500 in");
}

#[test]
fn a_number_shown_to_a_step_is_the_one_that_is_written() {
    // Three times 0.1 in binary is 0.30000000000000004, and seven times 0.07 or 1/3 is as far off.
    for (step, count) in [(decimal_step(0.1, 1), 3.0), (decimal_step(0.07, 2), 7.0), (fraction(2.0, 3), 5.0)] {
        let value = step.size * count;
        let number = show(value, value, None, &Form::Step(step, Rounding::Nearest), &[]).number;
        let written = match step.denominator {
            Some(denominator) => count * 2.0 / f64::from(denominator),
            None => format!("{value:.2}").parse().unwrap(),
        };
        assert_eq!(number, written, "{step:?}");
    }
}

#[test]
fn what_rounds_to_nothing_from_below_is_no_negative_nothing() {
    for (value, size) in [(-0.03, 0.03), (-1e-15, 1.0)] {
        let number = steps::to_step(value, size, &decimal_step(0.1, 1), Rounding::Nearest);
        assert_eq!(number.to_bits(), 0f64.to_bits(), "{value}");
    }
}

#[test]
fn the_least_number_with_all_its_digits_is_shown_with_them() {
    assert_snapshot!(digits(1e-290), @"1.000e-290");
    assert_snapshot!(digits(9.9e-291), @"9.9e-291");
}

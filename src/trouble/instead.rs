//! What to write instead, where that is put together while reading: a table of functions from the data to the words.
//! What stands in backticks is what the marked spot is to read, letter for letter.

use crate::text::single_spaced;

/// Makes a function of each row: `name(data) "words";`, the words taking the data by name.
macro_rules! insteads {
    ($($name:ident($($data:ident),*) $words:literal;)*) => {
        $(
            #[doc = concat!("`", $words, "`")]
            pub fn $name($($data: &str),*) -> String {
                format!($words)
            }
        )*
    };
}

insteads! {
    // ---- Lines
    note(line) "`-- {line}` for a note";
    continuation_or_note(line) "two spaces before it, if it continues the line above; `-- {line}` for a note";
    named_or_note(line) "a name and a colon before it; `-- {line}` for a note";
    value_or_note(value, line) "`{value}`, or `-- {line}` for a note";
    result_name() "the name of the result before it";
    either_sign() "`:` for a value that was written down, `=` for one that is worked out";
    another_name() "another name";
    own_line(statement) "a line of its own for {statement}";
    check_label(condition) "? a few words : {condition}";
    chart_title(drawn) "~ a few words : {drawn}";
    chart_by(drawn) "{drawn} by what it is drawn along";
    crew_size_or_counter(word) "1 {word} = ____ oz, or 1 {word} alone for a counter";
    crew_amount(word) "one amount, as in 1 {word} = 2.4 oz";
    crew_size_of_one(word) "the size of one, as in 1 {word} = 2.4 oz";
    letter_first() "a letter first, if it is a name";
    closing_quote() "\" where the text ends";
    closing_bar() "a bar at its end";
    column_kinds_of(name) "{name} : ft, {name} : number, {name} : text, or {name} = a formula";
    column_kinds() "ft, number, text, date, yes or no, or $";

    // ---- Values
    blank() "____ and its unit";
    blank_or_nothing() "____ and its unit, or 0 and the unit for nothing";
    either_scale(number) "`{number} °F`, or `{number} °C`; `{number} deg` for an angle";
    one_kind_of_share() "both by weight or both by volume, by what a gallon of each weighs";
    exact_or_nothing(blank) "`{blank}`, or 0 and the unit for nothing";
    amount_or_readings(amount, readings) "`{amount}` for one amount, `{readings}` for readings";
    with_doubt(amount) "`{amount}`, and ± with how far it may be off";
    larger_doubt() "± and the larger of the two";
    freedom_or_limit() "no degrees of freedom, or no at most";
    doubt_with_freedom(number) "± and how far it may be off, then ({number} df)";
    other_unit(result) "`{result}` to show it in another unit, or no brackets";
    no_brackets() "no brackets";
    worked_column() "a column that is worked out, or what it comes to";
    date_form() "2026-04-12, or 2026-04-12 14:30 with the hour";
    rate_or_entries(rate) "`{rate}` for a rate, or two entries";
    two_entries() "two entries";
    sign_between() "a sign between the two";
    strengths(by_volume, by_weight) "`{by_volume}` or `{by_weight}` for a strength; after = for a share";

    // ---- Formulas
    minus_or_remark() "`-` for minus, `--` before a remark";
    remark_or_negative(remark) "`{remark}` for a remark; - - to take away what is negative";
    is_or_within() "`is`, or within … of … where a value is measured";
    line_for_each() "a line of its own for each result";
    list_entry() "a colon in place of the equals sign, where these are readings";
    and_between() "`and` between two comparisons";
    no_comma() "no comma";

    // ---- What a result is shown in
    step() "a step, such as [0.01 gal]";
    nearest() "nothing, since the nearest step is shown";
    second_unit(unit) "`; {unit}` for a second unit, or `, up` or `, down`";
    semicolon() "`;` between two units";

    // ---- Characters
    without_it() "the line without it";
    digits_alone() "the digits without it";
    plain_space() "` `, a plain space";
    plain_line_break() "a plain line break";
    one_character() "the letter and its mark as one character";
    latin_letter() "a Latin letter";
}

/// What the marked spot is to read.
pub fn exact(text: &str) -> String {
    format!("`{}`", single_spaced(text))
}

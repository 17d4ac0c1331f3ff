//! The table of troubles: for each kind its data, its name in reports, what it says, and what to write instead. All
//! wording about what is wrong stands here; the stages that find troubles only hand over the data.

use super::table::troubles;

troubles! {
    // ---- Files and lines
    /// Bytes that are no text.
    NotUtf8 { byte: usize } "not-utf8": "this file is no UTF-8 text: byte {byte} belongs to no character" => "save it as UTF-8 text";
    FileTooLong { bytes: usize, most: usize } "file-too-long": "the worksheet has {bytes} bytes; {most} (4 MiB) is the most" => "split it into several worksheets";
    TooManyLines { lines: usize, most: usize } "too-many-lines": "the worksheet has {lines} lines; {most} is the most" => "split it into several worksheets";
    CannotRead { file: String, why: String } "cannot-read": "{file} cannot be read: {why}" => "";
    /// A line with no role.
    UnknownRole { found: char } "unknown-role": "no line begins with `{found}`: a line is a title `#`, a section `##`, a note `--`, a caution `!`, a check `?`, a table row `|`, a chart `~`, a measure `1 word`, or it begins with a name" => "for a note write `-- ` before it";
    LineWithoutRole { line: String } "line-without-role": "`{line}` is no statement: after a name stands `:` and a value that was written down, or `=` and a formula" => "{line} : ____, or -- {line}";
    StrayContinuation "stray-continuation": "this line is indented, so that it would continue the line above, but there is none" => "begin it at the margin";
    RemarkContinued "remark-continued": "a line with a remark cannot be continued: this may be more of the remark or more of the value" => "put the remark at the very end, or begin this line at the margin";
    ProseOrStatement { text: String } "prose-or-statement": "this continues the text above, but it also reads as a line of its own" => "begin it at the margin if it is a line of its own; else put it on the line above";
    SecondTitle "second-title": "the worksheet has a title already" => "write ## for a section";
    EmptyProse { mark: String } "empty-line": "nothing stands after `{mark}`" => "write its text, or take the line out";
    DashesWithoutSpaces "unspaced-dashes": "a remark begins with two dashes that stand apart" => "write ` -- ` with a space before and after";
    TypedDash { dash: char } "typed-dash": "`{dash}` is a typed dash: it is no minus and begins no remark" => "write ` -- ` before a remark, `-` for minus, `to` for a range";
    ControlCharacter { code: u32 } "control-character": "a control character (code {code}) stands here; it cannot be seen" => "take it out";
    Lookalike { name: String, plain: String } "lookalike": "this is {name}; it only looks like a character of the notation" => "type {plain}";
    TooDeep { deepest: usize } "too-deep": "brackets and `if`s stand more than {deepest} deep here, which is the most" => "give the inner part a name and a line of its own";
    QuoteNotClosed "quote-not-closed": "the quotation mark is not closed" => "end the text with \"";
    BracketNotClosed "bracket-not-closed": "a bracket is not closed" => "write the closing bracket";
    BracketNotOpened "bracket-not-opened": "this bracket closes none" => "take it out, or write the opening one";
    BarOutsideTable "bar-outside-table": "`|` belongs to table rows, which begin with one" => "";
    RowNotClosed "row-not-closed": "a table row stands between bars, `| … | … |`, and this one does not end with a bar" => "write `|` at its end, before any remark";
    Unexpected { found: String } "unexpected": "`{found}` does not belong here" => "";
    MissingAtEnd { after: String } "missing-at-end": "something is missing after `{after}`" => "";
    MissingOperand "missing-operand": "a value is missing beside this sign or word" => "";
    MisplacedNot "misplaced-not": "`not` turns a whole comparison round" => "put it before the comparison, in brackets";
    NotYet { what: String } "not-yet": "{what} is part of the notation, but this program does not work it yet" => "";

    // ---- Names
    ReservedInName { name: String, word: String, offer: String } "reserved-in-name": "the name `{name}` holds `{word}`, which is a word of the notation" => "{offer}";
    BadNameCharacter { name: String, found: String } "bad-name": "`{found}` cannot stand after the name `{name}`: a name is words of letters and digits, then `:` or `=`" => "";
    NameTaken { name: String } "name-taken": "`{name}` is a word of the notation and cannot be a name" => "{name} 1, or a longer name";
    DefinedTwice { name: String, line: usize } "defined-twice": "`{name}` is defined already, in line {line}" => "give one of them another name";
    MissingName { name: String, near: String } "missing-name": "no line defines `{name}`" => "{near}";
    HyphenName { name: String, spaced: String } "hyphen-name": "no line defines `{name}`; a hyphen between letters belongs to the name" => "{spaced}";
    MissingMember { table: String, column: String, near: String } "missing-column": "`{table}` has nothing called `{column}`" => "{near}";
    NotATable { name: String } "not-a-table": "`{name}` is no table and no other worksheet, so that nothing follows it after a point" => "{name}";
    TableAsValue { name: String, offer: String } "table-as-value": "`{name}` is a whole table; a formula takes a column of it" => "{offer}";
    Circle { chain: String } "circle": "these results need each other: {chain}" => "break the circle: one of them must be an entry";
    NameIsUnit { name: String, unit: String, divided: String } "name-or-unit": "`{unit}` has two readings: the unit {name}, or division by the value `{name}`" => "{divided} for the value; give the value another name for the unit";
    UnitStandsAlone { name: String, joined: String } "unit-alone": "no line defines `{name}`; as a unit it must follow its number without spaces round the `/`" => "{joined}";
    DivisionTwice { text: String, rate: String, chained: String } "division-twice": "`{text}` has two readings: division by a rate, or division twice" => "{rate} for the rate, {chained} for division twice";

    // ---- Numbers
    NotANumber { text: String } "not-a-number": "`{text}` is no number" => "";
    NumberTooLarge { text: String } "number-too-large": "`{text}` is too large a number" => "";
    NotFinite "not-finite": "this comes to no finite number" => "";
    DecimalComma { text: String, dotted: String, apart: String } "decimal-comma": "`{text}` has two readings: {dotted}, or two numbers" => "{dotted}, or {apart} for two readings";
    ThousandsComma { text: String, joined: String } "thousands-comma": "`{text}` has two readings: {joined}, or a decimal comma" => "{joined}";
    SpacedThousands { text: String, joined: String } "spaced-thousands": "`{text}` has two readings: {joined}, or two numbers" => "{joined}";
    NumbersInRow { text: String } "numbers-in-row": "`{text}` is several numbers with nothing between them" => "put a comma between readings, `to` in a range";
    UnclearMixed { text: String, whole: String, above: u32, below: u32 } "unclear-mixed": "`{text}` has two readings: {whole} and {above}/{below}, or {whole}{above}/{below}" => "a fraction below 1 after the whole number, or a decimal";
    DoubleFraction { text: String, first: String, second: String } "double-fraction": "`{text}` has two readings: {first} or {second}" => "{first}, or {second}";
    DecimalFraction { text: String, above: String, below: String } "decimal-fraction": "`{text}` has two readings: the fraction of the whole, or a division with what follows" => "{above} / {below} in a formula, or the number worked out; a fraction is of two whole numbers";
    ZeroDenominator { text: String } "zero-denominator": "`{text}` divides by 0" => "";
    HyphenNumber { text: String, before: String, after: String } "hyphen-number": "`{text}` has three readings: {before} and {after} together, {before} to {after}, or {before} less {after}" => "{before} {after}, or {before} to {after}, or {before} - {after}";
    NumbersJoined { text: String } "numbers-joined": "`{text}` is no number" => "\"{text}\" in quotes, if it is text";
    ColonNumber { text: String, before: String, after: String } "colon-number": "`{text}` has several readings: {before} min {after} s, {before} h {after} min, {before} in {after}, or {before} to {after}" => "{before} min {after} s, or {before} hr {after} min; for a dilution {before}/{after} of the whole, or two entries";
    SlashDate { text: String, instead: String } "slash-date": "`{text}` has two readings as a date" => "{instead}";
    BadDate { says: String, instead: String } "bad-date": "{says}" => "{instead}";
    FeetMarks { instead: String } "feet-marks": "marks for feet and inches are not read" => "{instead}";
    MissingValue "missing-value": "no value stands here" => "____ and its unit, if it is not measured yet";
    TextWithoutQuotes { text: String } "text-without-quotes": "`{text}` is neither a number nor a date; text stands in quotes" => "\"{text}\"";
    FormulaInEntry { text: String } "formula-in-entry": "after `:` stands a value that was written down; `{text}` is to be worked out" => "= in place of :";
    ShareInEntry { text: String } "share-in-entry": "a bare `%` `of` is a share of a value, and an entry holds none" => "% v/v of … or % w/w of … for a strength, or = in place of : for a share";
    RangeInList "range-in-list": "a list is of single readings, and this is a range" => "an entry of its own for the range";
    DoubtOnReading "doubt-on-reading": "a ± on a single reading of a list is refused: the list has one device" => "the ± once, after the last reading";
    DoubtWithoutValue "doubt-without-value": "a ± follows a value" => "the value before it, or ____ and the unit";
    UnitOfSomeReadings "unit-of-some-readings": "some of these readings have a unit and some have none" => "one unit at the end, or one each";
    RangesOfTwoThings "two-things": "this says two things in one" => "two entries";
    ChainedRange "chained-range": "a range has two ends; this has more" => "";
    BadFreedom { text: String } "bad-freedom": "degrees of freedom are a whole number from 1; `{text}` is none" => "± 0.5 oz (18 df)";
    BadPower { text: String } "bad-power": "`{text}` is no power of a unit" => "ft² or ft^2";
    CheckWithoutLabel "check-without-label": "a check is `? label : condition`, and this has no label" => "? pace : walking speed within 1 to 3 mph";
    CrewLine { line: String } "crew-line": "a line that begins with a number is a measure of the crew's own, `1 scoop = 2.4 oz of product` or `1 basket`; `{line}` is none" => "begin a name with a letter";
    ColumnWithoutKind { name: String } "column-without-kind": "the column `{name}` does not say what its cells are" => "{name} : ft, {name} : number, {name} : text, or {name} = a formula";
    BlankInFormula "blank-in-formula": "a blank stands in an entry; a formula takes it by name" => "an entry of its own for the blank";
    UnspacedMinus { text: String, spaced: String } "unspaced-minus": "`{text}` has two readings: a difference, or one thing joined by a hyphen" => "{spaced}";
    DivisionByFraction { text: String, bracketed: String, chained: String } "division-by-fraction": "`{text}` has two readings" => "{bracketed}, or {chained}";
    NameBesideFraction { text: String, times: String, divided: String } "name-beside-fraction": "`{text}` has two readings: {times}, or {divided}" => "{times}, or {divided}";
    UnspacedDivision { text: String, spaced: String } "unspaced-division": "`{text}` has two readings: a unit that goes on, or a division" => "{spaced}";
    UnclearPower { text: String, first: String, second: String } "unclear-power": "`{text}` has two readings: {first}, or {second}" => "{first}, or {second}";
    ChainedComparison { middle: String } "chained-comparison": "two comparisons in a row have no one reading" => "`within … to …`, or two comparisons with `and`";
    OfBetweenValues { product: String } "of-between-values": "`of` follows a percentage (`10 % of x`) or names a substance after a unit" => "{product}";
    DistanceOrRange { range: String, distance: String } "distance-or-range": "this has two readings: {range}, or a distance from a range" => "{range}, or {distance}";
    DoubtInFormula "doubt-in-formula": "a ± stands in an entry, never in a formula" => "an entry of its own for the measured value and its ±";
    SpaceBeforeBracket { function: String } "space-before-bracket": "a bracket stands after `{function}` with nothing between that says what to do" => "{function}(…) without a space for a function, {function} * (…) for a product";
    EqualsInFormula "equals-in-formula": "`=` stands after a name only" => "is, or within … of …, to compare";
    PromiseMisplaced "promise-misplaced": "a unit in brackets stands at the end of a result only" => "";
    GradeAsSubstance { text: String } "grade-as-substance": "`{text}` is a grade, and a substance is words" => "of fertilizer, and the grade as text in an entry of its own";
    NumberBesideName { text: String, product: String } "number-beside-name": "`{text}` is a number beside a name with nothing between them" => "{product}";
    SettingIsNoEntry "setting-is-no-entry": "what is set is written as an entry" => "--set \"name : value\"";
}

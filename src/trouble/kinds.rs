//! The table of troubles: for each kind its data, its name in reports, what it says, and what to write instead. All
//! wording about what is wrong stands here; the stages that find troubles only hand over the data.

use super::table::{Shown, troubles};

troubles! {
    // ---- Files and lines
    /// Bytes that are no text.
    NotUtf8 { byte: usize, line: usize } "not-utf8": "this file is no UTF-8 text: byte {byte}, in line {line}, belongs to no character" => "save it as UTF-8 text";
    FileTooLong { bytes: usize, most: usize } "file-too-long": "the worksheet has {bytes} bytes; {most} (4 MiB) is the most" => "split it into several worksheets";
    TooManyLines { lines: usize, most: usize } "too-many-lines": "the worksheet has {lines} lines; {most} is the most" => "split it into several worksheets";
    CannotRead { file: String, why: String } "cannot-read": "{file} cannot be read: {why}" => "";
    /// A line with no role.
    UnknownRole { found: char, instead: String } "unknown-role": "no line begins with `{found}`: a line is a title `#`, a section `##`, a note `--`, a caution `!`, a check `?`, a table row `|`, a chart `~`, a measure `1 word`, or it begins with a name" => "{instead}";
    LineWithoutRole { line: String, instead: String } "line-without-role": "`{line}` says nothing yet: after a name stands `:` and a value that was written down, or `=` and a formula" => "{instead}";
    StrayContinuation "stray-continuation": "this is indented, as a line is that continues the one above, and none stands right above it" => "begin it at the margin, or right under the line that it continues";
    RemarkContinued "remark-continued": "a line with a remark cannot be continued: this may be more of the remark or more of the value" => "the remark at the very end of it all, or this line at the margin";
    ProseOrStatement { text: String } "prose-or-statement": "this continues the text above, and it also reads as a line of its own" => "at the margin, if it is a line of its own; on the line above, if it is not";
    SecondTitle { section: String } "second-title": "a worksheet has one title, and this is a second one" => "`{section}` for a section";
    EmptyProse { mark: String } "empty-line": "nothing stands after `{mark}`" => "its text, or no such line";
    DashesWithoutSpaces { instead: String } "unspaced-dashes": "a remark begins with two dashes, a space before and after them" => "{instead}";
    TypedDash { dash: char, instead: String } "typed-dash": "`{dash}` is a typed dash: it is no minus, and begins no remark and no note" => "{instead}";
    SingleHyphen { instead: String } "single-hyphen": "a note or a remark begins with two dashes, and this is one" => "{instead}";
    RemarkSign { sign: String, instead: String } "remark-sign": "`{sign}` begins no remark" => "{instead}";
    ControlCharacter { code: u32 } "control-character": "a control character (code {code}) stands here; it cannot be seen" => "the line without it";
    Lookalike { found: String, is: String, plain: String } "lookalike": "{found} is {is}" => "{plain}";
    TooDeep { deepest: usize } "too-deep": "brackets and `if`s stand more than {deepest} deep here, which is the most" => "a name and a line of its own for the inner part";
    FormulaTooLong { most: usize } "formula-too-long": "this formula has more than {most} signs, which is the most" => "names and lines of their own for its parts, or a table and sum(…)";
    QuoteNotClosed { instead: String } "quote-not-closed": "the quotation mark is not closed" => "{instead}";
    BracketNotClosed { bracket: char, close: char } "bracket-not-closed": "the bracket `{bracket}` is not closed" => "{close} where it ends";
    BracketNotOpened { bracket: char } "bracket-not-opened": "the bracket `{bracket}` closes none" => "the opening one, or neither";
    BracketOfAnotherKind { bracket: char } "bracket-of-another-kind": "brackets in a formula are round, and this is `{bracket}`" => "( and )";
    EmptyBrackets "empty-brackets": "nothing stands in these brackets" => "";
    BarOutsideTable "bar-outside-table": "`|` belongs to table rows, which begin with one" => "";
    RowNotClosed { instead: String } "row-not-closed": "a table row stands between bars, `| … | … |`, and this one does not end with a bar" => "{instead}";
    RemarkInCell "remark-in-cell": "a remark stands behind the last bar of a row" => "it there";
    Unexpected { found: String, instead: String } "unexpected": "`{found}` does not belong here" => "{instead}";
    MissingAtEnd { after: String } "missing-at-end": "nothing stands after `{after}`" => "";
    MissingOperand { beside: String } "missing-operand": "a value is missing beside `{beside}`" => "";
    OtherSign { sign: String, instead: String } "other-sign": "`{sign}` is no sign of the notation" => "{instead}";
    ComparisonWord { found: String, instead: String } "comparison-word": "`{found}` does not compare two values" => "{instead}";
    UnfinishedChoice { word: String } "unfinished-choice": "a choice is `if … then … else …`, and this has no `{word}`" => "{word} and what belongs behind it";
    PerBetweenNames { instead: String } "per-between-names": "`per` belongs to units, as in 3 gal per min; it divides no values" => "{instead}";
    PointWithSpaces { instead: String } "point-with-spaces": "a column stands right after its table's name and the point" => "{instead}";
    TwoColumns "two-columns": "a column has no parts" => "pick(table.column, \"row\") for one of its cells";
    MisplacedNot "misplaced-not": "`not` turns a whole comparison round" => "not before the comparison";
    MoreTroubles { count: usize } "more-troubles": "{count} more troubles follow from here on and are not told one by one" => "mend those before them first";

    // ---- Names
    ReservedInName { name: String, word: String, offer: String } "reserved-in-name": "the name `{name}` holds `{word}`, which is a word of the notation" => "{offer}";
    BadNameCharacter { name: String, found: String, instead: String } "bad-name": "`{found}` cannot stand in the name `{name}`: a name is words of letters and digits, and begins with a letter" => "{instead}";
    UnitInName { instead: String } "unit-in-name": "a unit stands behind the number of an entry, or in square brackets at the end of a result" => "{instead}";
    TwoSigns { instead: String } "two-signs": "one `:` or one `=` stands after a name" => "{instead}";
    TwoStatements { instead: String } "two-statements": "this says two things in one line" => "{instead}";
    NameTaken { name: String } "name-taken": "`{name}` is a word of the notation and cannot be a name" => "{name} 1, or a longer name";
    DefinedTwice { name: String, line: usize } "defined-twice": "`{name}` is defined already, in line {line}" => "give one of them another name";
    MissingName { name: String, near: String } "missing-name": "no line defines `{name}`" => "`{near}`";
    HyphenName { name: String, spaced: String } "hyphen-name": "no line defines `{name}`; a hyphen between letters belongs to the name" => "`{spaced}`";
    CrossName { name: String, product: String } "cross-name": "no line defines `{name}`; a product is written with `*`" => "`{product}`";
    MissingMember { table: String, column: String, near: String } "missing-column": "`{table}` has nothing called `{column}`" => "{near}";
    NotATable { name: String } "not-a-table": "`{name}` is no table and no other worksheet, so that nothing follows it after a point" => "{name}";
    TableAsValue { name: String, offer: String } "table-as-value": "`{name}` is a whole table; a formula takes a column of it" => "`{offer}`";
    SheetAsValue { name: String } "sheet-as-value": "`{name}` is a whole worksheet; a formula takes a value of it" => "{name}. and the value's name";
    Circle { chain: String } "circle": "these results need each other: {chain}" => "break the circle: one of them must be an entry";
    NameIsUnit { name: String, unit: String, divided: String } "name-or-unit": "`{unit}` has two readings: the unit {name}, or division by the value `{name}`" => "`{divided}` for the value; another name for the value, if the unit is meant";
    UnitStandsAlone { name: String, joined: String } "unit-alone": "no line defines `{name}`; as a unit it must follow its number without spaces round the `/`" => "`{joined}`";
    DivisionTwice { text: String, rate: String, chained: String } "division-twice": "`{text}` has two readings: division by a rate, or division twice" => "`{rate}` for the rate, `{chained}` for division twice";

    // ---- Numbers
    NumberTooLarge { text: String } "number-too-large": "`{text}` is too large a number" => "";
    NotFinite "not-finite": "this comes to no finite number" => "";
    DecimalComma { text: String, dotted: String, apart: String } "decimal-comma": "`{text}` has two readings: {dotted}, or {apart}" => "`{dotted}`, or {apart} for two values";
    UnspacedComma { text: String, apart: String } "unspaced-comma": "`{text}` is several numbers whose commas have no space behind them" => "`{apart}`";
    ThousandsComma { text: String, joined: String, dotted: String } "thousands-comma": "`{text}` has two readings: {joined}, or {dotted} with a decimal comma" => "`{joined}`, or `{dotted}`";
    SplitThousands { text: String, joined: String } "split-thousands": "`{text}` sets the thousands of a number apart" => "`{joined}`";
    SpacedThousands { text: String, joined: String, apart: String } "spaced-thousands": "`{text}` has two readings: {joined}, or {apart}" => "`{joined}`, or {apart} for readings";
    NumbersInRow { text: String, apart: String } "numbers-in-row": "`{text}` is several numbers with nothing between them" => "{apart} for readings";
    UnclearMixed { text: String, sum: String, joined: String } "unclear-mixed": "`{text}` has two readings: {sum}, or {joined}" => "`{sum}`, or `{joined}`";
    DoubleFraction { text: String, first: String, second: String } "double-fraction": "`{text}` has two readings: {first}, or {second}" => "{first} or {second}, in a formula";
    DecimalFraction { text: String, above: String, below: String } "decimal-fraction": "a fraction is of two whole numbers, and `{text}` may be that or a division of all that stands before the `/` by all that follows" => "the number worked out, or a formula that divides {above} and its unit by {below}";
    ZeroDenominator { text: String } "zero-denominator": "`{text}` divides by 0" => "";
    HyphenNumber { text: String, together: String, difference: String } "hyphen-number": "`{text}` has two readings: {together}, or {difference}, which is worked out" => "`{together}`, or {difference} in a formula";
    HyphenCode { text: String, difference: String } "hyphen-code": "`{text}` is no number" => "\"{text}\" if it is a text, {difference} in a formula";
    DashNumber { text: String, instead: String } "dash-number": "`{text}` is no number: a typed dash joins none" => "`{instead}`";
    NumbersJoined { text: String } "numbers-joined": "`{text}` is no number" => "\"{text}\" if it is a text";
    ColonNumber { text: String, first: u32, second: u32, whole: u32 } "colon-number": "`{text}` has several readings: {first} min {second} s, {first} h {second} min, {first} in {second}, or {first} to {second}" => "`{first} min {second} s`, or `{first} h {second} min`; of a dilution `{first}/{second}` for {first} in {second}, `{first}/{whole}` for {first} to {second}";
    ColonRatio { text: String, first: u32, second: u32, whole: u32 } "colon-ratio": "`{text}` has two readings: {first} in {second}, or {first} to {second}" => "`{first}/{second}` for {first} in {second}, `{first}/{whole}` for {first} to {second}";
    ColonClock { text: String, instead: String } "colon-clock": "`{text}` may be hours, minutes and seconds, or parts of three things" => "`{instead}`";
    BadDate { says: String, instead: String } "bad-date": "{says}" => "{instead}";
    DateInWords { instead: String } "date-in-words": "a date is written in digits: year, month, day" => "{instead}";
    HourAlone "hour-alone": "a time of day stands behind its date" => "2026-04-12 14:30";
    DatesTogether "dates-together": "dates make no range and no list" => "an entry for each, or a table with a column of dates";
    FeetMarks { instead: String } "feet-marks": "marks for feet and inches are not read" => "`{instead}`";
    MissingValue "missing-value": "no value stands here" => "____ and its unit, if it is not measured yet";
    BlankWord { found: String, instead: String } "blank-word": "`{found}` is no value; what is not measured yet is a blank" => "{instead}";
    YesNoWord { found: String, instead: String } "yes-no-word": "`{found}` is neither `yes` nor `no`" => "`{instead}`";
    NumberWord { found: String, instead: String } "number-word": "a number is written in digits, and this is `{found}`" => "`{instead}`";
    LimitInOtherWords { found: String, instead: String } "other-limit": "`{found}` is no limit of the notation; a limit is `at most` or `at least`" => "`{instead}`";
    RangeInOtherWords { instead: String } "other-range": "a range is written with `to`" => "`{instead}`";
    AndBetweenValues { instead: String } "and-between-values": "`and` joins no values that were written down" => "{instead}";
    ListInOtherWords { instead: String } "other-list": "readings are parted by commas" => "`{instead}`";
    DoubtInOtherWords { found: String, instead: String } "other-doubt": "how far a value may be off is written with ±, and not `{found}`" => "{instead}";
    ReadingMissing "reading-missing": "a reading is missing beside this comma" => "____ for one still to take, or no comma";
    ReadingWanted { found: String } "reading-wanted": "a reading is a number, and `{found}` is none" => "`____` for one still to take";
    TextWithoutQuotes { text: String } "text-without-quotes": "`{text}` is neither a number nor a date; text stands in quotes, and what is to be worked out after `=`" => "`\"{text}\"`";
    TextWithMarks { instead: String } "text-with-marks": "a text ends at the first quotation mark, and more stands behind it" => "{instead}";
    SingleQuotes { text: String } "single-quotes": "a text stands in double quotation marks" => "`\"{text}\"`";
    QuotedWord { instead: String } "quoted-word": "only a text stands in quotes, and this is a part of something else" => "`{instead}`";
    ValueInBrackets { instead: String } "value-in-brackets": "a value that was written down has no brackets" => "{instead}";
    UnitInBrackets { instead: String } "unit-in-brackets": "brackets say in what unit a result is shown; an entry has the unit it was measured in" => "{instead}";
    SpacedUnit { instead: String } "spaced-unit": "a unit goes on without spaces round its `/`" => "`{instead}`";
    UnclearSign { instead: String } "sign-before-number": "no sign but a minus stands before a number" => "`{instead}`";
    FormulaInEntry { text: String, instead: String } "formula-in-entry": "after `:` stands a value that was written down; `{text}` is to be worked out" => "{instead}";
    ShareInEntry { instead: String } "share-in-entry": "a bare `%` `of` something is a share of a value, which is to be worked out" => "{instead}";
    SubstanceMissing "substance-missing": "nothing stands after `of`" => "of and the substance, such as of fertilizer";
    RangeInList "range-in-list": "a list is of single readings, and this is a range" => "an entry of its own for the range";
    DoubtOnReading "doubt-on-reading": "a ± on a single reading of a list is refused: the list has one device" => "the ± once, after the last reading";
    DoubtWithoutValue "doubt-without-value": "a ± follows a value" => "the value before it, or ____ and the unit";
    SecondDoubt "second-doubt": "a value has one ±, and this is a second one" => "";
    UnitOfSomeReadings "unit-of-some-readings": "some of these readings have a unit and some have none" => "one unit at the end, or one each";
    TwoThings { instead: String } "two-things": "this says two things in one" => "{instead}";
    ChainedRange "chained-range": "a range has two ends; this has more" => "";
    BadFreedom { text: String } "bad-freedom": "degrees of freedom are a whole number from 1; `{text}` is none" => "± 0.5 oz (18 df)";
    FreedomPlace { instead: String } "freedom-place": "degrees of freedom stand in brackets after a ± with no `at most`, as in ± 0.5 oz (18 df)" => "{instead}";
    BadPower { text: String } "bad-power": "`{text}` is no power of a unit, which is a whole number from -9 to 9 and not 0" => "ft² or ft^2";
    CheckWithoutLabel { instead: String } "check-without-label": "a check is `? label : condition`, and this has no label" => "{instead}";
    ElseWithoutAdvice "else-without-advice": "nothing stands after `else`" => "what to do then, or no else";
    OtherElse "other-else": "advice stands after `else`" => "`else`";
    ChartLine { instead: String } "chart-line": "a chart is `~ title : ys by xs`" => "{instead}";
    CrewLine { line: String, instead: String } "crew-line": "a line that begins with a number is a measure of the crew's own, `1 scoop = 2.4 oz of product` or `1 basket`, and this is none" => "{instead}";
    FileLine { instead: String } "file-line": "a file is named in quotes after `from`" => "{instead}";
    PinMissing "pin-missing": "after `pinned` stands the fingerprint of the file" => "pinned 8f2a91c4, or nothing";
    ColumnWithoutKind { name: String, instead: String } "column-without-kind": "the column `{name}` does not say what its cells are" => "{instead}";
    ColumnWithoutName { found: String } "column-without-name": "the first row of a table names its columns, and {found} names none" => "a first row such as | beds | length : ft |";
    TableWithoutName "table-without-name": "the first cell of a table names it, and this one is empty" => "a name in it";
    ColumnKind { found: String, instead: String } "column-kind": "a column says the unit or the kind of its cells, and this is `{found}`" => "{instead}";
    TableNameWithKind { name: String } "table-name-with-kind": "the first cell of a table names it, and its column holds the labels of the rows" => "`{name}` alone";
    BlankInFormula "blank-in-formula": "a blank stands in an entry; a formula takes it by name" => "an entry of its own for the blank";
    UnspacedMinus { text: String, spaced: String } "unspaced-minus": "`{text}` has two readings: a difference, or one thing joined by a hyphen" => "`{spaced}`";
    DivisionByFraction { text: String, bracketed: String, chained: String } "division-by-fraction": "`{text}` has two readings: {bracketed}, or {chained}" => "`{bracketed}`, or `{chained}`";
    NameBesideFraction { text: String, times: String, divided: String } "name-beside-fraction": "`{text}` has two readings: {times}, or {divided}" => "`{times}`, or `{divided}`";
    UnspacedDivision { text: String, spaced: String } "unspaced-division": "`{text}` has two readings: a unit that goes on, or a division" => "`{spaced}` for the division";
    UnclearPower { text: String, first: String, second: String } "unclear-power": "`{text}` has two readings: {first}, or {second}" => "`{first}`, or `{second}`";
    ChainedComparison { instead: String } "chained-comparison": "two comparisons in a row have no one reading" => "{instead}";
    OfBetweenValues { product: String } "of-between-values": "`of` follows a percentage (`10 % of x`) or names a substance after a unit" => "`{product}`";
    DistanceOrRange { range: String, distance: String } "distance-or-range": "this has two readings: a range whose lower end is a share, or a distance from a range" => "`{range}`, or `{distance}`";
    DoubtInFormula "doubt-in-formula": "a ± stands in an entry, never in a formula" => "an entry of its own for the measured value and its ±";
    SpaceBeforeBracket { function: String } "space-before-bracket": "a bracket stands after `{function}` with nothing between that says what to do" => "`{function}(` for a function, `{function} * (` for a product";
    EqualsInFormula { instead: String } "equals-in-formula": "`=` stands after a name only, and does not compare" => "{instead}";
    PromiseMisplaced { instead: String } "promise-misplaced": "a unit in brackets stands at the end of a result only" => "{instead}";
    ShowingWord { found: String, instead: String } "showing-word": "`{found}` does not say how a result is shown" => "{instead}";
    SecondBrackets "second-brackets": "a result has one pair of brackets at its end" => "[gal; L] for two units";
    GradeAsSubstance { text: String } "grade-as-substance": "`{text}` is a grade or a number, and a substance is words" => "`fertilizer`, or what else it is, and the grade as text in an entry of its own";
    ReservedInSubstance { substance: String, word: String, instead: String } "reserved-in-substance": "the substance `{substance}` holds `{word}`, which is a word of the notation" => "{instead}";
    NumberBesideName { text: String, product: String } "number-beside-name": "`{text}` is two values with nothing between them" => "`{product}`";
    SettingIsNoEntry "setting-is-no-entry": "what is set is written as an entry" => "--set \"name : value\"";

    // ---- Units
    UnknownUnit { words: String, near: String } "unknown-unit": "`{words}` is no unit" => "`{near}`";
    UnitTwoReadings { words: String, readings: String, instead: String } "unit-two-readings": "the unit `{words}` has several readings: {readings}" => "{instead}";
    ActiveIngredientUnit { words: String, instead: String } "active-ingredient-unit": "`{words}` is a unit and what it is of" => "`{instead}`";
    PercentOfSubstance { words: String, substance: String } "percent-of-substance": "`{words}` does not say by weight or by volume" => "`% w/w of {substance}` by weight, `% v/v of {substance}` by volume, or % of {substance} for a share of a value";
    MonthOrYear { words: String } "month-or-year": "months and years have no one length, and this is `{words}`" => "days";
    PointsAsUnit "points-as-unit": "points stand only after ± and within" => "%";
    PointInUnit "point-in-unit": "a temperature on its scale is a point and cannot be part of another unit" => "Δ°F or Δ°C for a difference";
    TwoCurrencies { first: String, second: String } "two-currencies": "the worksheet counts in {first}, and this is in {second}" => "one currency for the whole worksheet";
    HalfSaidUnit { unit: String } "half-said-unit": "one end of the range has the unit {unit} and the other has none" => "the unit at the end, or at both ends";
    BackwardRange { low: String, high: String, turned: String } "backward-range": "a range goes from the smaller to the larger, and this goes from {low} to {high}" => "`{turned}`, if that is meant";
    EndsMismatch { first: String, second: String, instead: String } "ends-mismatch": "one is {first} and the last is {second}" => "{instead}";
    LabelsOfOneList { first: String, second: String } "labels-of-one-list": "one is {first} and another {second}" => "the substance once, at the end";
    UnitOfDoubt { text: String, first: String, second: String } "unit-of-doubt": "`{text}` has two readings here: {first} or {second}" => "the unit before the ± too";
    NegativeDoubt "negative-doubt": "a ± is at least 0" => "";
    BlankDoubt "blank-doubt": "how far a value may be off is said with it, not left blank" => "± and a number, or no ±";
    DoubtMismatch { value: String, doubt: String, instead: String } "doubt-mismatch": "the value is {value}, and its ± is {doubt}" => "{instead}";
    ShareOfPoint { instead: String } "share-of-point": "a temperature on its scale is a point: a percentage of it says nothing" => "{instead}";
    PercentOfPercentage { points: String } "percent-of-percentage": "a percentage of a percentage has two readings" => "{points}";
    CompoundWithoutUnit "compound-without-unit": "each part of an amount like 5 ft 6 in has its unit" => "";
    CompoundBlank "compound-blank": "a blank is one number and its unit" => "";
    CompoundOrder "compound-order": "the largest unit stands first" => "";
    CompoundUnit "compound-unit": "this unit does not go with others in one amount" => "";
    CompoundMismatch { first: String, first_is: String, second: String, second_is: String, instead: String } "compound-mismatch": "{first} is {first_is} and {second} is {second_is}: they make no one amount" => "{instead}";
    UnitOfNoNumber "unit-of-no-number": "this result is no number, so that it has no unit" => "";
    UnitMustBeSaid { first: String, second: String } "unit-must-be-said": "the unit of this result would mix {first} with {second}" => "the unit it is to be shown in, in brackets at the end";
    PromiseBroken { formula: String, promised: String, instead: String } "promise-broken": "the formula comes to {formula}; what is in brackets is {promised}" => "{instead}";
    TooManyLabels { labels: String } "too-many-labels": "the result would be {labels}" => "amount(…) round what is not to count";
    LabelChanged { own: String, said: String } "label-changed": "the value is of {own}, and is to be shown as of {said}" => "of {own}, or amount(…) to let it go";
    DisplaysOfTwoLabels "displays-of-two-labels": "one value cannot be shown as of two substances" => "";
    RangeUpOrDown "range-up-or-down": "a range is rounded inward, so that it cannot be rounded up or down" => "leave it out, or take low(…) or high(…)";
    StepBeforeLast "step-before-last": "only the last measure has a step" => "[tbsp + 1/2 tsp]";
    StepNotAboveZero "step-not-above-zero": "a step is more than 0" => "";
    StepOrThousands { text: String, step: String, alone: String } "step-or-thousands": "`{text}` has two readings: a step of {step}, or {step} of them as the unit" => "{alone}round(x, {text}) to round the value";

    // ---- What goes together
    UnitMismatch { left: String, right: String, instead: String } "unit-mismatch": "{left}, {right}" => "{instead}";
    LabelMismatch { left: String, right: String, offer: String } "label-mismatch": "{left}, {right}" => "{offer}, if it is not to count what it is of";
    PointsAdded "points-added": "two temperatures on a scale have no sum" => "their difference, or mean(…)";
    PointMultiplied "point-multiplied": "a temperature on its scale is a point: it has no multiple, part or power" => "a difference from another temperature";
    PointAndDifference { left: String, right: String } "point-and-difference": "{left}, {right}: one is a point on its scale, the other a difference" => "";
    RangeTwice { range: String } "range-twice": "{range} enters this result more than once, so that its ends would be put together wrongly" => "work it once with low(…) and once with high(…)";
    OpenRange "open-range": "a range without one of its ends may be compared, added to, multiplied or divided by one value above 0, and no more" => "low(…) or high(…) of the end that it has";
    RangeOfRanges "range-of-ranges": "an end of a range is one value, and this is a range itself" => "low(…) or high(…)";
    ShareOfItself { substance: String } "share-of-itself": "a share that is of {substance} is taken of an amount that is of {substance} already" => "amount(…) round the amount, if that is meant";
    DividedByShare { substance: String, value: String } "divided-by-share": "a share of {substance} divides an amount of {substance}; {value}" => "";
    WeightShareOfVolume "weight-share-of-volume": "% w/w is a share of a weight, and this is a volume" => "the weight of a gallon first";
    VolumeShareOfWeight "volume-share-of-weight": "% v/v is a share of a volume, and this is a weight" => "the weight of a gallon first";
    ShareOrSubstance { reading: String, product: String } "share-or-substance": "`{reading}` has two readings: a strength of that substance, or a share of the value of that name" => "`{product}` for the share; another name for the value, if the substance is meant";
    NoNumber { found: String } "no-number": "a number belongs here, and this is {found}" => "";
    NoCondition { found: String } "no-condition": "this is {found}, and neither holds nor fails" => "a comparison, such as flow at most 0.5 gal/min";
    ReadingsAsOne { name: String, count: String, mean: String } "readings-as-one": "{name} has {count}, and one value is needed" => "`{mean}`";
    PowerTooHigh { most: i16 } "power-too-high": "a unit would stand to a power above {most} here" => "";
    PowerNotPlain { found: String } "power-not-plain": "a power is a plain number, and this is {found}" => "";
    PowerNotWritten { name: String } "power-not-written": "the unit of this depends on `{name}`, which is known only when it is worked" => "a number for the power";
    PowerWithoutUnit { value: String } "power-without-unit": "{value} to this power has no unit" => "";
    MixedDates "mixed-dates": "one has a time of day and the other has none" => "both with the hour, or both without";
    DateArithmetic { left: String, right: String, instead: String } "date-arithmetic": "{left}, {right}: a date takes a time after it, and two dates have a difference" => "{instead}";
    ShareOrEnd { low: String, share: String, whole: String } "share-or-end": "`{low} to {share} of {whole}` has two readings: {low} to ({share} of {whole}), or {low} % of {whole} to {share} of {whole}" => "`({low} % of {whole}) to ({share} of {whole})`, or `{low} to ({share} of {whole})`";
    RangeOfDates { low: String, high: String } "range-of-dates": "a range is of numbers, and these are dates" => "at least {low} and at most {high}, each compared by itself";
    RootOfLabel { value: String, labels: String } "root-of-label": "{value} is {labels}, and what is to this power of it has no name" => "amount({value})";
    OrderOfText "order-of-text": "text, and yes or no, are the same or not; neither is more" => "is, or is not";
    WithinNoRange { found: String, name: String } "within-no-range": "{found}, and `within` needs a range or a distance" => "within 10 % of {name}";
    DistanceFromRange { name: String } "distance-from-range": "{name} is a range, and a distance is from one value" => "low({name}) or high({name})";

    // ---- Functions
    MissingFunction { name: String, near: String } "missing-function": "there is no function `{name}`" => "`{near}`";
    WrongCount { function: String, wanted: String, found: usize, form: String } "wrong-count": "`{function}` takes {wanted}, and has {found}" => "{form}";
    NothingGiven { function: String } "nothing-given": "`{function}` has nothing to work on" => "{function}(…)";
    ListOnly { function: String } "list-only": "`{function}` takes one list of readings or one column" => "a column of a table";
    SeveralWanted { found: String } "several-wanted": "a list of readings or a column belongs here, and this is {found}" => "";
    RangeNotTaken { name: String } "range-not-taken": "`{name}` is a range, and one value is needed" => "low({name}) or high({name})";
    ColumnOfRanges { name: String } "column-of-ranges": "`{name}` is a column of ranges, and one value is needed for each row" => "a column with low(…) or high(…) in its formula";
    NoRange { name: String, found: String } "no-range": "`{name}` is one value, {found}, and has no ends" => "{name}";
    EndMissing { name: String, end: String } "end-missing": "`{name}` has no {end} end" => "";
    WrongDimension { wanted: String, name: String, found: String } "wrong-dimension": "{wanted} belongs here, and {name} is {found}" => "";
    AngleWanted { function: String, name: String, found: String, instead: String } "angle-wanted": "`{function}` takes an angle, and {name} is {found}" => "{instead}";
    ShownOfFormula "shown-of-formula": "`shown` takes a name: only a named value is shown" => "";
    LabelWanted { found: String } "label-wanted": "the label of a row is text, and this is {found}" => "\"…\" in quotes";
    ColumnWanted { found: String } "column-wanted": "a column of a table belongs here, and this is {found}" => "";
    StyleWanted { found: String } "style-wanted": "the way of walking is \"back and forth\" or \"round and round\", and this is {found}" => "\"back and forth\" or \"round and round\"";
    ChoiceOfNoColumn "choice-of-no-column": "`where` chooses rows of a column, and what stands before it is none" => "sum(table.column where …)";
    ChoiceNotTaken { function: String } "choice-not-taken": "`{function}` takes no choice of rows" => "";
    ChoiceForm "choice-form": "a choice of rows is made by comparisons of its columns" => "where product is \"…\" and bed is \"…\"";
    ChoiceLeftSide "choice-left-side": "left of a comparison in a choice of rows stands a column of the table, or `row`" => "";
    ChoiceRightSide { name: String } "choice-right-side": "right of a comparison in a choice of rows stands a value of the worksheet, and `{name}` is a column" => "the name of a value, or \"{name}\" in quotes if it is text";
    TwoChoices { table: String } "two-choices": "this takes means over different choices of the rows of `{table}`, whose scatter cannot be told apart" => "a line of its own for each mean";

    // ---- Filling blanks and cells
    HourMissing "hour-missing": "a date with its hour belongs here" => "2026-04-12 14:30";
    HourUnwanted "hour-unwanted": "a date without an hour belongs here" => "2026-04-12";
    OtherKind { wanted: String, found: String } "other-kind": "{wanted} belongs here, and this is {found}" => "";
    OtherUnit { wanted: String, found: String, instead: String } "other-unit": "{wanted} belongs here, and this is {found}" => "{instead}";
    OtherSubstance { wanted: String, found: String } "other-substance": "the value belonging here is {wanted}, and this is {found}" => "no substance here, or the same one where the value is declared";

    // ---- Tables
    EnteredAfterWorked { name: String } "entered-after-worked": "columns that are worked out come last, and `{name}` follows one" => "the entered columns first";
    TooManyDoubts { column: String, most: usize } "too-many-doubts": "each cell of {column} depends on so much that was measured by itself that their doubts have more than {most} parts; that is the most" => "one ± for the column it comes from, or a result on a line of its own";
    TooManyColumns { most: usize } "too-many-columns": "a table has {most} columns at the most" => "several tables, or rows in place of columns";
    ColumnIsTable { name: String } "column-is-table": "`{name}` is the table itself, whose first column holds the labels of its rows" => "another name for the column";
    ColumnTwice { name: String } "column-twice": "the table has a column `{name}` already" => "another name for one of them";
    RowWithoutLabel { table: String } "row-without-label": "the first cell of a row is its label, and this is empty" => "a label that no other row of {table} has";
    RowTwice { label: String } "row-twice": "the table has a row `{label}` already" => "another label for one of them";
    CellOfWorked { column: String } "cell-of-worked": "`{column}` is worked out; a row stops before it" => "no cell for it";
    TooManyCells { table: String, wanted: usize, found: usize } "too-many-cells": "a row of `{table}` has a label and {wanted} cells, and this has {found}" => "";
    TooFewCells { table: String, wanted: usize, found: usize } "too-few-cells": "a row of `{table}` has a label and {wanted} cells, and this has {found}" => "____ for one that is not measured yet";
    ReadingsInCell "readings-in-cell": "a cell holds one value, and this is several" => "a row for each";
    RangeInCell "range-in-cell": "a cell of this column holds one value, and this is a range" => "two columns for the ends";
    ChartLengths { first: String, count: usize, second: String, other: usize } "chart-lengths": "{first} has {count} values and {second} has {other}: a chart takes as many of each" => "";

    // ---- Measures of the crew's own, and settings
    UnitTaken { word: String, instead: String } "unit-taken": "`{word}` is a word of the vocabulary and keeps its meaning" => "{instead}";
    CrewSubstance { word: String, own: String, said: String } "crew-substance": "a {word} is of {own}, and this says of {said}" => "{word} alone, or a measure of its own for {said}";
    CrewCircle { chain: String } "crew-circle": "these measures are counted in each other: {chain}" => "one of them in a unit, as in 1 scoop = 2.4 oz";
    TooManyMeasures { most: usize } "too-many-measures": "{most} measures of the crew's own is the most of a worksheet" => "units of the vocabulary";
    CrewMeasureSize { word: String } "crew-measure-size": "the size of a {word} is one amount" => "1 {word} = 2.4 oz of product, or = ____ oz";
    SetOfNoEntry { name: String } "set-of-no-entry": "`{name}` is no entry, and only what a person writes down is set for a run" => "an entry that it is worked from";
    NoSuchEntry { name: String, near: String } "no-such-entry": "the worksheet has no entry `{name}` to set" => "`{near}`";

    // ---- Revisions
    GitMissing { why: String } "git-missing": "an earlier revision is read by the program git, which cannot be run: {why}" => "";
    NoRepository { file: String } "no-repository": "{file} is in no folder whose revisions git keeps" => "";
    NoRevision { file: String, revision: String } "no-revision": "the repository of {file} has no revision {revision}" => "one that git log shows, or HEAD for the last";
    NotInRevision { file: String, revision: String } "not-in-revision": "revision {revision} has no file {file}" => "its path and name as they were then";
    GitFailed { file: String, why: String } "git-failed": "git cannot read an earlier revision of {file}: {why}" => "";

    // ---- Asked about
    NothingCalled { name: String, near: String } "nothing-called": "no entry, result, cell or check is called `{name}`" => "{near}";
    WholeAsked { name: String, what: String, cell: String } "whole-asked": "`{name}` is a whole {what}, and one cell is told of at a time" => "`{cell}`";
    NothingWorked "nothing-worked": "nothing of the worksheet could be worked, so that nothing comes about" => "";
    InTroubleItself { name: String } "in-trouble-itself": "`{name}` is in trouble itself, so that it comes to nothing" => "";

    // ---- Found while working
    DivisionByNothing { divisor: String } "division-by-nothing": "this divides by {divisor}, which is 0 or holds it" => "";
    RootOfNegative { value: String } "root-of-negative": "`{value}` is the root of a negative number" => "";
    LogarithmOfNone { value: String } "logarithm-of-none": "`{value}` has no value: only what is above 0 has a logarithm" => "";
    RangeBackward { range: String } "range-backward": "the range `{range}` comes out with its lower end above its upper one" => "";
    HoldsInPart { condition: String } "holds-in-part": "`{condition}` holds for a part of a range only" => "low(…) or high(…) of the range";
    OpenRangeScaled { range: String } "open-range-scaled": "a range without one of its ends may be multiplied or divided by one value above 0 only" => "";
    PartOfDay "part-of-day": "a date without an hour moves by whole days" => "the date with its hour, or whole days";
    OutOfYears "out-of-years": "this date is outside the years 1 to 9999" => "";
    SameWithDoubt { instead: String } "same-with-doubt": "two values that both have a doubt are never quite the same" => "{instead}";
    NoRowKept { function: String, column: String, holds: String } "no-row-kept": "the choice keeps no row, so that there is no `{function}`; {column} holds {holds}" => "";
    DeviationOfOne { name: String } "deviation-of-one": "{name} is one reading, which has no deviation" => "two readings at least";
    DoubtNotKnown { name: String } "doubt-not-known": "the doubt of {name} is not known" => "";
    FreedomWithoutEnd { name: String } "freedom-without-end": "the degrees of freedom of {name} have no end" => "";
    RowsUnequal { first: String, count: usize, second: String, other: usize, least: usize } "rows-unequal": "{first} has {count} values and {second} has {other}; both take the same number, {least} at least" => "";
    NeitherRisesNorFalls { name: String } "neither-rises-nor-falls": "{name} neither rises nor falls from row to row throughout" => "the rows in order, no two alike";
    BeyondRows { x: String, xs: String } "beyond-rows": "{x} lies beyond the rows of {xs}, and nothing is known there" => "a trial nearer to it";
    NoSuchRow { label: String, labels: String } "no-such-row": "no row is labelled {label}; the rows are {labels}" => "";
    NegativeLength { name: String } "negative-length": "{name} is less than 0, and a length is not" => "";
    SidesDoNotMeet { call: String } "sides-do-not-meet": "the sides of `{call}` do not meet: one is longer than the others together" => "measure them again";
    TooFewWidths { found: usize } "too-few-widths": "`offsets` takes three widths at least, and has {found}" => "a width of 0 at an end that is a point";
    TooManyCorners { found: usize, most: usize } "too-many-corners": "the polygon has {found} corners; {most} is the most" => "";
    SidesCross { first: String, second: String } "sides-cross": "the side from corner {first} crosses the side from corner {second}" => "the corners in order round the bed";
    PansNotOdd { found: usize } "pans-not-odd": "pans stand on both sides of the one the walker passes over, so that their number is odd, 3 at least; these are {found}" => "";
    TooManyPans { found: usize, most: usize } "too-many-pans": "these are {found} pans; {most} is the most" => "";
    NegativeCatch "negative-catch": "a catch is not less than 0" => "";
    NothingCaught "nothing-caught": "the pans caught nothing at all" => "";
    SpacingNotAboveZero "spacing-not-above-zero": "the spacing of the pans is more than 0" => "";
    SwathSteps { swath: String, spacing: String, nearest: String } "swath-steps": "{swath} is no whole number of half spacings ({spacing}), two spacings at least" => "{nearest}, the nearest";
    NoSwathMeets { lowest: String, swath: String } "no-swath-meets": "no swath meets the limit; the lowest CV is {lowest}, at {swath}" => "";

    // ---- Other files
    FromNotFirst "from-not-first": "`from` names the template that the whole worksheet fills, and stands first" => "the line at the top of the worksheet";
    NoSuchTemplate { name: String } "no-such-template": "no template inside the program is called `{name}`" => "one that catchwork templates lists, or the path of a file";
    TemplateChanged { file: String, pinned: String, now: String } "template-changed": "{file} has changed since it was pinned as {pinned}, so that nothing is worked" => "pinned {now}, once the changes have been read";
    CircleOfFiles { chain: String } "circle-of-files": "these files come from each other: {chain}" => "break the circle";
    CheckOfTemplate { label: String } "check-of-template": "the template has a check `{label}`, which a worksheet that fills it cannot replace" => "another label";
    HeadChanged { table: String } "head-changed": "the first row of `{table}` is not the template's" => "| {table} | alone, and the rows beneath";
    FileOutside { file: String } "file-outside": "{file} leads out of the crew folder" => "a file within it; a file crew-folder.txt marks the folder";
    FileMissing { file: String } "file-missing": "there is no file {file} in the crew folder" => "its path from this worksheet";
    FileIsNone { file: String } "file-is-none": "{file} is no file that can be read" => "";
    FileOfFolderTooLong { file: String } "file-of-folder-too-long": "{file} is longer than a file may be" => "";
    NoFileMatches { pattern: String } "no-file-matches": "no file matches {pattern}" => "a pattern such as jobs/2026/*.worksheet";
    TooManyFiles { pattern: String, most: usize } "too-many-files": "more than {most} files match {pattern}, which is the most" => "a pattern for fewer";
    BadPattern { pattern: String } "bad-pattern": "{pattern} is no pattern: `*` stands for any part of one name" => "";
    InFile { file: String, row: usize, column: String, says: String, instead: String } "in-file": "{file}, row {row}, column {column}: {says}" => "{instead}";
    FileHeader { file: String, says: String } "file-header": "{file}: {says}" => "";
    TroubleElsewhere { file: String, count: usize } "trouble-elsewhere": "{file} is in trouble itself ({count}), so that nothing is drawn from it" => "mend it first";
    TooManyRows { file: String, most: usize } "too-many-rows": "{file} has more than {most} rows, which is the most" => "split it";
    RowsTwice { table: String } "rows-twice": "the rows of `{table}` come from files, and these stand beneath it as well" => "one or the other";
    InSheet { file: String, name: String, says: String } "in-sheet": "{file}, {name}: {says}" => "";

    // ---- Filling a template
    ValueWithoutName { text: String } "value-without-name": "`{text}` does not say what it is the value of" => "\"name : value\", as a worksheet says it";
    ValueAfterEquals { instead: String } "value-after-equals": "what a person writes down stands after `:`" => "`{instead}`";
    RemarkInAnswer "remark-in-answer": "a remark is written behind the value in the worksheet itself, once that is there" => "the value alone";
    DoubtsOfRange "doubts-of-range": "each end of the range that belongs here has a ±, and this has none" => "a ± behind each end";
    ReadingsLeft { left: usize, all: usize } "readings-left": "{left} of these {all} readings are still to be taken" => "as many numbers alone, or all {all} readings";
    NoSuchBlank { name: String, near: String } "no-such-blank": "the template has no line `{name}` to fill in" => "`{near}`";
    WorkedNotFilled { name: String } "worked-not-filled": "`{name}` is worked out, and only what a person writes down is filled in" => "an entry that it is worked from";
    FilledTwice { name: String } "filled-twice": "`{name}` is given twice" => "one of them";
    MeasureOfTemplate { name: String } "measure-of-template": "the size of {name} stands in the template, and a worksheet that is linked to it cannot give it" => "a whole copy, without --linked";
    TemplateElsewhere { file: String } "template-elsewhere": "{file} is not in the crew folder of the new worksheet, which can be linked to no other" => "a whole copy, without --linked; or both in one folder, which a file crew-folder.txt marks";
    FileNotNamed { file: String } "file-not-named": "{file} holds quotation marks of both kinds or a line break, so that no worksheet can name it" => "another name for the file";
}

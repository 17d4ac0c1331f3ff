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
    FormulaTooLong { most: usize } "formula-too-long": "this has more than {most} operators" => "give parts of it a name and a line of their own, or put its values in a table";
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
    SheetAsValue { name: String } "sheet-as-value": "`{name}` is a whole worksheet; a formula takes a value of it" => "{name}. and the value's name";
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
    HyphenNumber { text: String, before: String, after: String, instead: String } "hyphen-number": "`{text}` has three readings: {before} and {after} together, {before} to {after}, or {before} less {after}" => "{instead}";
    NumbersJoined { text: String } "numbers-joined": "`{text}` is no number" => "\"{text}\" in quotes, if it is text";
    ColonNumber { text: String, before: String, after: String } "colon-number": "`{text}` has several readings: {before} min {after} s, {before} hr {after} min, {before} in {after}, or {before} to {after}" => "{before} min {after} s, or {before} hr {after} min; for a dilution {before}/{after} of the whole, or two entries";
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

    // ---- Units
    UnknownUnit { words: String, near: String } "unknown-unit": "`{words}` is no unit" => "{near}";
    UnitTwoReadings { words: String, readings: String, instead: String } "unit-two-readings": "the unit `{words}` has several readings: {readings}" => "{instead}";
    ActiveIngredientUnit { words: String, instead: String } "active-ingredient-unit": "`{words}` is a unit and what it is of" => "{instead}";
    PercentOfSubstance { words: String, instead: String } "percent-of-substance": "`{words}` does not say by weight or by volume" => "{instead}";
    MonthOrYear { words: String } "month-or-year": "a {words} has no one length" => "days";
    PointsAsUnit "points-as-unit": "points stand only after ± and within" => "%";
    PointInUnit "point-in-unit": "a temperature on its scale is a point and cannot be part of another unit" => "Δ°F or Δ°C for a difference";
    TwoCurrencies { first: String, second: String } "two-currencies": "the worksheet counts in {first}, and this is in {second}" => "one currency for the whole worksheet";
    HalfSaidUnit { unit: String } "half-said-unit": "one end of the range has the unit {unit} and the other has none" => "the unit at the end, or at both ends";
    BackwardRange { low: String, high: String, turned: String } "backward-range": "a range goes from the smaller to the larger, and this goes from {low} to {high}" => "{turned}, if that is meant";
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
    ShareOrSubstance { reading: String, product: String } "share-or-substance": "`{reading}` has two readings: a strength of that substance, or a share of the value of that name" => "{product} for the share; another name for the value if the substance is meant";
    NoNumber { found: String } "no-number": "a number belongs here, and this is {found}" => "";
    NoCondition { found: String } "no-condition": "this is {found}, and neither holds nor fails" => "a comparison, such as `flow at most 0.5 gal/min`";
    ReadingsAsOne { name: String, count: String, mean: String } "readings-as-one": "{name} has {count}, and one value is needed" => "{mean}";
    PowerNotPlain { found: String } "power-not-plain": "a power is a plain number, and this is {found}" => "";
    PowerNotWritten { name: String } "power-not-written": "the unit of this depends on `{name}`, which is known only when it is worked" => "a number for the power";
    PowerWithoutUnit { value: String } "power-without-unit": "{value} to this power has no unit" => "";
    MixedDates "mixed-dates": "one has a time of day and the other has none" => "both with the hour, or both without";
    DateArithmetic { left: String, right: String, instead: String } "date-arithmetic": "{left}, {right}: a date takes a time after it, and two dates have a difference" => "{instead}";
    RangeOfDates { low: String, high: String } "range-of-dates": "a range is of numbers, and these are dates" => "at least {low} and at most {high}, each compared by itself";
    RootOfLabel { value: String, labels: String } "root-of-label": "{value} is {labels}, and what is to this power of it has no name" => "amount({value})";
    OrderOfText "order-of-text": "text, and yes or no, are the same or not; neither is more" => "is, or is not";
    WithinNoRange { found: String, name: String } "within-no-range": "{found}, and `within` needs a range or a distance" => "within 10 % of {name}";
    DistanceFromRange { name: String } "distance-from-range": "{name} is a range, and a distance is from one value" => "low({name}) or high({name})";

    // ---- Functions
    MissingFunction { name: String, near: String } "missing-function": "there is no function `{name}`" => "{near}";
    WrongCount { function: String, wanted: String, found: usize, form: String } "wrong-count": "`{function}` takes {wanted}, and has {found}" => "{form}";
    NothingGiven { function: String } "nothing-given": "`{function}` has nothing to work on" => "{function}(…)";
    ListOnly { function: String } "list-only": "`{function}` takes one list of readings or one column" => "a column of a table";
    SeveralWanted { found: String } "several-wanted": "a list of readings or a column belongs here, and this is {found}" => "";
    RangeNotTaken { name: String } "range-not-taken": "`{name}` is a range, and one value is needed" => "low({name}) or high({name})";
    ColumnOfRanges { name: String } "column-of-ranges": "`{name}` is a column of ranges, and one value is needed for each row" => "a column with low(…) or high(…) in its formula";
    NoRange { name: String, found: String } "no-range": "`{name}` is one value, {found}, and has no ends" => "{name}";
    EndMissing { name: String, end: String } "end-missing": "`{name}` has no {end} end" => "";
    WrongDimension { wanted: String, name: String, found: String } "wrong-dimension": "{wanted} belongs here, and {name} is {found}" => "";
    AngleWanted { function: String, name: String, found: String } "angle-wanted": "`{function}` takes an angle, and {name} is {found}" => "{function}({name} deg), or rad";
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
    TooManyColumns { most: usize } "too-many-columns": "a table has {most} columns at the most" => "several tables, or rows in place of columns";
    ColumnIsTable { name: String } "column-is-table": "`{name}` is the table itself, whose first column holds the labels of its rows" => "another name for the column";
    ColumnTwice { name: String } "column-twice": "the table has a column `{name}` already" => "another name for one of them";
    RowWithoutLabel { table: String } "row-without-label": "the first cell of a row is its label, and this is empty" => "a label that no other row of `{table}` has";
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
    NoSuchEntry { name: String, near: String } "no-such-entry": "the worksheet has no entry `{name}` to set" => "{near}";

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
    NegativeCatch "negative-catch": "a catch is not less than 0" => "";
    NothingCaught "nothing-caught": "the pans caught nothing at all" => "";
    SpacingNotAboveZero "spacing-not-above-zero": "the spacing of the pans is more than 0" => "";
    SwathSteps { swath: String, spacing: String, nearest: String } "swath-steps": "{swath} is no whole number of half spacings ({spacing}), two spacings at least" => "{nearest}, the nearest";
    NoSwathMeets { lowest: String, swath: String } "no-swath-meets": "no swath meets the limit; the lowest CV is {lowest}, at {swath}" => "";

    // ---- Other files
    FromNotFirst "from-not-first": "`from` names the template that the whole worksheet fills, and stands first" => "the line at the top of the worksheet";
    NoSuchTemplate { name: String } "no-such-template": "no template inside the program is called `{name}`" => "one that `catchwork templates` lists, or the path of a file";
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
    OtherMeasure { name: String } "other-measure": "{name} is counted in a measure of its own worksheet, which has no meaning here" => "";
    TooManyRows { file: String, most: usize } "too-many-rows": "{file} has more than {most} rows, which is the most" => "split it";
    RowsTwice { table: String } "rows-twice": "the rows of `{table}` come from files, and these stand beneath it as well" => "one or the other";
    InSheet { file: String, name: String, says: String } "in-sheet": "{file}, {name}: {says}" => "";
}

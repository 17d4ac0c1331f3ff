"""Worksheets with a point, made by hand: what cancels, what is unknown, what is shared. Where the notation says a thing
that sheet.py cannot, `Twin` has its text beside a sheet that comes to the same.
"""

from dataclasses import dataclass
from fractions import Fraction

from sheet import Column, Entry, Give, Sheet, Table


@dataclass
class Twin(Sheet):
    text: str = ""

    def __str__(self):
        return f"# {self.title}\n\n{self.text}"


def F(text):
    return Fraction(text)


def numbers(text):
    return [Fraction(word) for word in text.split()]


def name(text):
    return ("name", text)


def of(function, text):
    return ("list", function, text)


def number(text):
    return ("number", Fraction(text))


def limit(half, unit=None):
    return Give(F(half), unit, None, True)


X = {"x": Entry([F("12.5")], "ft", Give(F("0.5"), "ft"))}
CATCHES = "9.5 9.25 9.75"


def rounds(entered, worked=None):
    return {"rounds": Table(entered, worked or {})}


SPECIAL = [
    Sheet("A thing taken from itself is nothing", X, {}, {
        "nothing": (("-", name("x"), name("x")), "ft"),
        "once": (("/", name("x"), name("x")), "%"),
        "still x": (("-", ("+", name("x"), ("quantity", F("3"), "ft")), ("/", ("*", name("x"), number("4")), number("8"))), "ft"),
    }),
    Sheet("Through names too", X | {"y": Entry([F("7")], "ft", Give(F("0.2"), "ft", 6))}, {}, {
        "both": (("+", name("x"), name("y")), "ft"),
        "only y": (("-", name("both"), name("x")), "ft"),
        "area": (("*", name("both"), ("-", name("x"), name("y"))), "ft²"),
    }),
    Sheet("Equal doubts of nine degrees make eighteen, whatever binary arithmetic says", {
        "first walk": Entry([F("30.1")], "s", Give(F("0.7"), "s", 9)), "second walk": Entry([F("28.4")], "s", Give(F("0.7"), "s", 9)),
    }, {}, {"both": (("+", name("first walk"), name("second walk")), "s"),
            "third": (("/", ("+", name("first walk"), name("second walk")), number("3")), "min")}),
    Sheet("Readings all alike and no plus or minus", {
        "catch": Entry(numbers("9.5 9.5 9.5"), "fl oz"), "walk": Entry(numbers("21.4 20.9 21.8"), "s", Give(F("0.2"), "s")),
    }, {}, {"caught": (of("mean", "catch"), "fl oz"), "flow": (("/", of("mean", "catch"), of("mean", "walk")), "gal/min"),
            "known": (("+", of("average", "catch"), ("quantity", F("1"), "fl oz")), "fl oz")}),
    Sheet("Readings all alike on a known device", {
        "catch": Entry(numbers("9.5 9.5 9.5"), "fl oz", Give(F("0.25"), "fl oz")),
        "poured": Entry(numbers("2.25 2.25"), "gal", Give(F("2"), "%", 12)),
    }, {}, {"caught": (of("mean", "catch"), "fl oz"), "ratio": (("/", of("mean", "catch"), of("mean", "poured")), "%")}),
    Sheet("One row, no plus or minus", {}, rounds({"walk": Column(numbers("21.4"), "s")}),
          {"walked": (of("mean", "rounds.walk"), "s"), "twice": (("*", number("2"), of("mean", "rounds.walk")), "s"),
           "summed": (of("sum", "rounds.walk"), "s")}),
    Sheet("One row on a known watch", {}, rounds({"walk": Column(numbers("21.4"), "s", Give(F("0.3"), "s", 4))}),
          {"walked": (of("mean", "rounds.walk"), "min")}),
    Sheet("Columns in one ratio: the scatter of the rows cancels", {}, rounds(
        {"caught": Column(numbers("8 9 10.5 12"), "fl oz"), "walked": Column(numbers("16 18 21 24"), "s")}),
        {"flow": (("/", of("mean", "rounds.caught"), of("mean", "rounds.walked")), "fl oz/s"),
         "caught": (of("mean", "rounds.caught"), "fl oz")}),
    Sheet("A difference over the same rows is the mean of the differences", {}, rounds(
        {"before": Column(numbers("40.1 38.7 41.9 39.6 40.8"), "lb"), "after": Column(numbers("33.0 31.9 34.7 32.1 33.8"), "lb")},
        {"used": (("-", name("before"), name("after")), "lb")}),
        {"paired": (("-", of("mean", "rounds.before"), of("mean", "rounds.after")), "lb"),
         "used": (of("mean", "rounds.used"), "lb")}),
    Sheet("A width shared by all rows", {"width": Entry([F("28")], "in", Give(F("1"), "in"))}, rounds(
        {"long": Column(numbers("60 61.5 58 62.25"), "ft")}, {"area": (("*", name("long"), name("width")), "ft²")}),
        {"mean area": (of("mean", "rounds.area"), "ft²"), "total": (of("sum", "rounds.area"), "ft²"),
         "average area": (of("average", "rounds.area"), "m²"), "median area": (of("median", "rounds.area"), "ft²"),
         "width again": (("/", of("mean", "rounds.area"), of("mean", "rounds.long")), "in")}),
    Sheet("A cell's own doubt is left out of a mean and carried by an average", {}, rounds({"caught": Column(
        numbers("9.5 9.25 9.75 10"), "fl oz", None, {0: Give(F("0.25"), "fl oz"), 2: Give(F("1.5"), "%", 8)})}),
        {"caught": (of("mean", "rounds.caught"), "fl oz"), "average caught": (of("average", "rounds.caught"), "fl oz"),
         "most": (of("max", "rounds.caught"), "fl oz"), "least": (of("min", "rounds.caught"), "fl oz"),
         "off the middle": (("-", of("sum", "rounds.caught"), ("*", number("2"), of("median", "rounds.caught"))), "fl oz")}),
    Sheet("Values by commas: what they share stays, what one has alone is in the scatter", {
        "reach": Entry([F("4.2")], "ft", Give(F("0.15"), "ft")), "left": Entry([F("3.1")], "", Give(F("0.1"))),
        "right": Entry([F("2.9")], "", Give(F("0.2"), None, 5)),
    }, {}, {
        "left edge": (("*", name("reach"), name("left")), "ft"), "right edge": (("*", name("reach"), name("right")), "ft"),
        "edge": (("values", "mean", [name("left edge"), name("right edge")]), "ft"),
        "reaches": (("/", name("edge"), name("reach")), "%"),
        "factor": (("values", "mean", [name("left"), name("right")]), ""),
    }),
    Sheet("The scatter of one table in every row of another", {}, {
        "laps": Table({"walk": Column(numbers("30.5 31.25 29.75"), "s")}),
        "rounds": Table({"caught": Column(numbers("64 66.5 63 65"), "fl oz", Give(F("1"), "fl oz", 3))},
                        {"flow": (("/", name("caught"), of("mean", "laps.walk")), "gal/min")}),
    }, {"flow": (of("mean", "rounds.flow"), "gal/min"), "total flow": (of("sum", "rounds.flow"), "gal/min"),
        "apart": (("/", of("mean", "rounds.caught"), of("mean", "laps.walk")), "gal/min")}),
    Sheet("A power with doubt in both", {"base": Entry([F("2.4")], "", Give(F("0.1"))), "power": Entry([F("1.7")], "", Give(F("0.05"), None, 7))},
          {}, {"raised": (("^", name("base"), name("power")), ""), "grown": (("call", "exp", ("*", name("power"), ("call", "ln", name("base")))), "")}),
    Sheet("Mean, median and the rest of one list", {"catch": Entry(numbers("9.5 9.25 9.75 10 9"), "fl oz", Give(F("0.125"), "fl oz", 10))}, {}, {
        function + " catch": (of(function, "catch"), "mL") for function in ("mean", "median", "average", "sum", "min", "max")}),
    Twin("The crew's own measure is one source wherever it is used",
         {"scoop": Entry([F("2.4")], "oz", Give(F("0.1"), "oz"))}, {}, {
             "total": (("*", number("5"), name("scoop")), "oz"), "left": (name("scoop"), "oz"),
             "share": (("/", ("*", number("3"), name("scoop")), ("*", number("2"), name("scoop"))), "%")},
         "1 scoop = 2.4 oz ± 0.1 oz\ndose : 3 scoop\nextra : 2 scoop\ntotal = dose + extra [oz]\nleft = dose - extra [oz]\n"
         "share = dose / extra [%]\n"),
    Twin("Compounds, fractions and other ways to write a value", {
        "width": Entry([F("66.5")], "in", Give(F("1/2"), "in")), "weight": Entry([F("36.25")], "oz", Give(F("2"), "%")),
        "tank": Entry([F("3")], "gal", Give(F("1/8"), "gal", 11)), "time": Entry([F("83")], "s", Give(F("3/2"), "s"))}, {}, {
            "square": (("^", name("width"), number("2")), "ft²"), "flow": (("/", name("tank"), name("time")), "gal/min"),
            "strength": (("/", name("weight"), name("tank")), "g/L")},
         "width : 5 ft 6½ in ± 1/2 in\nweight : 2 lb 4 1/4 oz +/- 2 %\ntank : 3 gal ± 1/8 gal (11 df)\ntime : 1 min 23 s ± 1 1/2 s\n"
         "square = width ^ 2 [ft²]\nflow = tank / time [gal/min]\nstrength = weight / tank [g/L]\n"),
]

MARK = {"mark": Entry([F("9.5")], "fl oz", limit("0.25", "fl oz"))}
THREE = {"catch": Entry(numbers(CATCHES), "fl oz", limit("0.125", "fl oz"))}

LIMITS = [
    Sheet("One limit alone is a rectangle", MARK, {}, {
        "same": (name("mark"), "fl oz"), "double": (("*", number("2"), name("mark")), "mL"),
        "less": (("-", ("quantity", F("20"), "fl oz"), name("mark")), "fl oz"),
        "square": (("^", ("/", name("mark"), ("quantity", F("4"), "fl oz")), number("2")), "%"),
        "nothing": (("-", name("mark"), name("mark")), "fl oz")}),
    Sheet("Two limits are a normal's", MARK | {"other": Entry([F("4")], "fl oz", limit("2", "%"))}, {}, {
        "both": (("+", name("mark"), name("other")), "fl oz"), "ratio": (("/", name("mark"), name("other")), "%"),
        "only other": (("-", name("both"), name("mark")), "fl oz")}),
    Sheet("A limit beside a plus or minus", MARK | {"tank": Entry([F("3")], "gal", Give(F("0.1"), "gal", 5))}, {}, {
        "strength": (("/", name("mark"), name("tank")), "%"), "tanks": (("/", name("tank"), name("mark")), "%")}),
    Sheet("Readings that a result rises with, and those it falls with", THREE, {}, {
        "caught": (of("mean", "catch"), "fl oz"), "average catch": (of("average", "catch"), "fl oz"),
        "all": (of("sum", "catch"), "fl oz"), "middle catch": (of("median", "catch"), "fl oz"),
        "reach": (("-", of("max", "catch"), of("min", "catch")), "fl oz"),
        "uneven": (("-", of("sum", "catch"), ("*", number("3"), of("max", "catch"))), "fl oz"),
        "nothing": (("-", of("average", "catch"), ("/", of("sum", "catch"), number("3"))), "fl oz"),
        "relative": (("/", of("max", "catch"), of("min", "catch")), "%")}),
    Sheet("Readings all alike under a limit", {"catch": Entry(numbers("9.5 9.5 9.5"), "fl oz", limit("1/8", "fl oz"))}, {}, {
        "caught": (of("mean", "catch"), "fl oz"), "half": (("/", of("mean", "catch"), number("2")), "fl oz")}),
    Sheet("Limits in the heads of two columns", {"width": Entry([F("28")], "in", limit("0.5", "in"))}, rounds(
        {"caught": Column(numbers("9.5 9.25 9.75 9.5"), "fl oz", limit("0.125", "fl oz")),
         "walked": Column(numbers("21.4 20.9 21.8 21.1"), "s", limit("0.1", "s"))},
        {"flow": (("/", name("caught"), name("walked")), "gal/min"), "length": (("*", name("walked"), ("quantity", F("4.4"), "ft/s")), "ft")}),
        {"flow": (of("mean", "rounds.flow"), "gal/min"), "average flow": (of("average", "rounds.flow"), "gal/min"),
         "paired flow": (("/", of("mean", "rounds.caught"), of("mean", "rounds.walked")), "gal/min"),
         "reach": (("-", of("max", "rounds.flow"), of("min", "rounds.flow")), "gal/min"),
         "area": (("*", of("average", "rounds.length"), name("width")), "ft²")}),
    Sheet("A cell's own limit", {}, rounds({"caught": Column(numbers("9.5 9.25 10"), "fl oz", None,
                                                             {0: limit("0.25", "fl oz"), 1: limit("3", "%")})}), {
        "caught": (of("mean", "rounds.caught"), "fl oz"), "average caught": (of("average", "rounds.caught"), "fl oz"),
        "most": (of("max", "rounds.caught"), "fl oz"), "least": (of("min", "rounds.caught"), "fl oz"),
        "reach": (("-", of("max", "rounds.caught"), of("min", "rounds.caught")), "fl oz")}),
]

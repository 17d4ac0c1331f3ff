"""Writes doubt.jsonl and limits.jsonl: worksheets, and for each result its value, standard uncertainty, effective
degrees of freedom and 95 % half-width (`give_or_take`), in the unit named.

Run from this folder: python3 make.py  (needs mpmath, pint, numpy, uncertainties)

Figures are by moves.py, which moves every source a little and works the sheet again with 60 digits; the `uncertainties`
library has to find the same, as far as doubles reach. Degrees of freedom are null where infinite; the last three are
null where the doubt is unknown.
"""

import json
import random
from fractions import Fraction

import library
import mpmath as mp
import moves
import numpy
import pint
import uncertainties
from sheet import Column, Entry, Give, Sheet, Table
from special import LIMITS, SPECIAL
from units import exact, size

UNITS = {
    "length": ["ft", "in", "yd", "m", "cm"], "area": ["ft²", "m²", "yd²"],
    "volume": ["gal", "qt", "pt", "fl oz", "L", "mL", "ft³"], "mass": ["lb", "oz", "kg", "g"], "time": ["s", "min", "h"],
    "flow": ["gal/min", "L/min", "fl oz/s"], "speed": ["ft/min", "mph", "m/s"], "dose": ["lb/1000 ft²", "g/m²", "oz/yd²"],
    "angle": ["deg", "rad"], "plain": [""],
}
# A middling size of each in SI, so that sums are of like things.
SIZES = {"length": 8.0, "area": 60.0, "volume": 0.01, "mass": 3.0, "time": 60.0, "flow": 1e-4, "speed": 1.0,
         "dose": 0.02, "angle": 0.5, "plain": 1.6}
NAMES = {
    "length": ["strip length", "spray width", "hedge height", "path edge"], "area": ["bed area", "lawn area"],
    "volume": ["tank volume", "water left", "mix used"], "mass": ["bag weight", "product used", "spilled"],
    "time": ["walk time", "fill time"], "flow": ["rated flow"], "speed": ["walking speed"], "dose": ["rate wanted"],
    "angle": ["slope", "lean"], "plain": ["ratio", "factor", "overlap"],
}
PRODUCTS = {"area": [("length", "length")], "volume": [("area", "length"), ("flow", "time")], "mass": [("dose", "area")],
            "length": [("speed", "time")]}
QUOTIENTS = {"flow": [("volume", "time")], "speed": [("length", "time")], "dose": [("mass", "area")],
             "length": [("volume", "area"), ("area", "length")], "time": [("volume", "flow"), ("length", "speed")],
             "area": [("volume", "length"), ("mass", "dose")]}
COLUMNS = {"length": "reach", "time": "walked", "volume": "catch", "mass": "weighed"}
WORKED = {"flow": "flow", "area": "covered", "speed": "pace", "dose": "laid"}


class Maker:
    """Makes one random worksheet."""

    def __init__(self, seed, at_most):
        self.random, self.at_most = random.Random(seed), at_most
        self.sheet, self.once = Sheet(f"Doubt {seed}"), set()
        self.atoms = {dimension: [] for dimension in UNITS}

    def chance(self, share):
        return self.random.random() < share

    def pick(self, several):
        return self.random.choice(several)

    def decimal(self, about, scatter):
        """A decimal of three or four digits near a size."""
        value = about * self.random.uniform(1 - scatter, 1 + scatter)
        digits = self.pick([2, 3]) - int(mp.floor(mp.log10(value)))
        return Fraction(str(round(value, digits))) if digits > 0 else Fraction(round(value))

    def about(self, dimension, unit):
        return SIZES[dimension] / float(size(unit)) * self.random.uniform(0.4, 2.5)

    def give(self, dimension, unit, value):
        """A `±` of a few percent, in the value's unit, another one, or percent."""
        share = self.random.uniform(0.004, 0.08)
        form = self.random.random()
        at_most = self.at_most and self.chance(0.8)
        freedom = None if at_most or self.chance(0.6) else self.random.randint(1, 40)
        if form < 0.25:
            return Give(self.decimal(100 * share, 0.3), "%", freedom, at_most)
        other = self.pick(UNITS[dimension]) if form < 0.5 and dimension != "plain" else unit
        half = float(value) * share * float(size(unit)) / float(size(other))
        return Give(self.decimal(half, 0.3), other or None, freedom, at_most)

    def entry(self, dimension):
        free = [name for name in NAMES[dimension] if name not in self.sheet.entries]
        if not free:
            return
        name, unit = self.pick(free), self.pick(UNITS[dimension])
        about = self.about(dimension, unit)
        if dimension not in ("angle", "plain") and self.chance(0.3):
            return self.readings(name, dimension, unit, about)
        entry = self.compound(dimension) or Entry([self.decimal(about, 0.5)], unit)
        if self.chance(0.75):
            entry.give = self.give(dimension, entry.unit, entry.values[0])
        self.sheet.entries[name] = entry
        self.atoms[dimension].append(("name", name))

    def compound(self, dimension):
        if dimension not in ("length", "mass", "time") or self.chance(0.8):
            return None
        large, small, many = {"length": ("ft", "in", 12), "mass": ("lb", "oz", 16), "time": ("min", "s", 60)}[dimension]
        first, second = self.random.randint(1, 30), Fraction(self.random.randint(1, 2 * many - 2), 2)
        text = f"{first} {large} {second.numerator // second.denominator}{' 1/2' if second.denominator == 2 else ''} {small}"
        if second < 1:
            text = f"{first} {large} 1/2 {small}"
        return Entry([first * many + second], small, written=text)

    def readings(self, name, dimension, unit, about):
        values = set()
        count = self.random.randint(2, 9)
        while len(values) < count:
            values.add(self.decimal(about, 0.1))
        entry = Entry(self.random.sample(sorted(values), count), unit)
        if self.chance(0.6):
            entry.give = self.give(dimension, unit, about)
        self.sheet.entries[name] = entry
        self.atoms[dimension] += self.functions(name)

    def functions(self, of):
        return [("list", function, of) for function in ("mean", "mean", "mean", "average", "sum", "min", "max", "median")]

    def table(self):
        name, rows = self.pick(["runs", "rounds", "trials"]), self.random.randint(2, 9)
        if name in self.sheet.tables:
            return
        dimensions = self.random.sample(sorted(COLUMNS), self.random.randint(1, 4))
        table = self.sheet.tables[name] = Table({COLUMNS[d]: self.column(d, rows) for d in dimensions})
        for dimension in dimensions:
            self.atoms[dimension] += self.functions(f"{name}.{COLUMNS[dimension]}")
        for dimension in self.random.sample(sorted(WORKED), len(WORKED)):
            if made := self.row_formula(dimension, dimensions):
                table.worked[WORKED[dimension]] = (made, self.pick(UNITS[dimension]))
                self.atoms[dimension] += self.functions(f"{name}.{WORKED[dimension]}")

    def column(self, dimension, rows):
        unit = self.pick(UNITS[dimension])
        about, values = self.about(dimension, unit), set()
        while len(values) < rows:
            values.add(self.decimal(about, 0.15))
        column = Column(self.random.sample(sorted(values), rows), unit)
        if self.chance(0.5):
            column.give = self.give(dimension, unit, about)
        elif self.chance(0.3):
            own = self.random.sample(range(rows), self.random.randint(1, rows))
            column.own = {row: self.give(dimension, unit, column.cells[row]) for row in sorted(own)}
        return column

    def row_formula(self, dimension, here):
        """A worked column's formula over this row's cells, and names of the worksheet where a factor is missing."""
        operator, (first, second) = ("*", PRODUCTS[dimension][0]) if dimension == "area" else ("/", QUOTIENTS[dimension][0])
        plain = {d: [atom for atom in self.atoms[d] if atom[0] == "name"] for d in (first, second)}
        if first not in here:
            return None
        left = ("name", COLUMNS[first])
        if second in here and second != first:
            return (operator, left, ("name", COLUMNS[second]))
        return (operator, left, self.pick(plain[second])) if plain[second] else None

    def atom(self, dimension):
        """A value of the sheet; a median or a mean of several values once at most."""
        free = [atom for atom in self.atoms[dimension] if not (atom[1] == "median" and atom in self.once)]
        if not free:
            return None
        atom = self.pick(free)
        if atom[1] == "median":
            self.once.add(atom)
        return atom

    def literal(self, dimension):
        unit = self.pick(UNITS[dimension])
        value = self.decimal(self.about(dimension, unit), 0.5)
        return ("quantity", value, unit) if unit else ("number", value)

    def formula(self, dimension, depth):
        if depth <= 0 or self.chance(0.12):
            return self.atom(dimension) or self.literal(dimension)
        ways = [self.sum, self.sum, self.scaled, self.several]
        ways += [self.product] * 4 * (dimension in PRODUCTS) + [self.quotient] * 4 * (dimension in QUOTIENTS)
        ways += [self.root] * 2 * (dimension == "length") + [self.power] * (dimension in ("area", "volume", "plain"))
        ways += [self.share, self.share, self.wave, self.wave, self.growth] * (dimension == "plain")
        ways += [self.arc] * (dimension == "angle")
        return self.pick(ways)(dimension, depth - 1)

    def sum(self, dimension, depth):
        return (self.pick("+-"), self.formula(dimension, depth), self.formula(dimension, depth))

    def scaled(self, dimension, depth):
        number = ("number", self.decimal(2, 0.8))
        form = self.random.random()
        if form < 0.1:
            return ("negative", self.formula(dimension, depth))
        if form < 0.5:
            return ("*", number, self.formula(dimension, depth))
        return (self.pick("*/"), self.formula(dimension, depth), self.formula("plain", depth))

    def several(self, dimension, depth):
        function = self.pick(["average", "sum", "min", "max", "mean"])
        if function != "mean" or "mean" in self.once:
            function = "sum" if function == "mean" else function
            return ("values", function, [self.formula(dimension, depth - 1) for _ in range(self.random.randint(2, 4))])
        names = [atom for atom in self.atoms[dimension] if atom[0] == "name"]
        if len(names) < 2:
            return self.formula(dimension, depth)
        self.once.add("mean")
        return ("values", "mean", self.random.sample(names, len(names)))

    def product(self, dimension, depth):
        first, second = self.pick(PRODUCTS[dimension])
        return ("*", self.formula(first, depth), self.formula(second, depth))

    def quotient(self, dimension, depth):
        first, second = self.pick(QUOTIENTS[dimension])
        return ("/", self.formula(first, depth), self.formula(second, depth))

    def root(self, _, depth):
        return ("call", "sqrt", self.formula("area", depth))

    def power(self, dimension, depth):
        if dimension == "plain":
            exponent = self.pick([Fraction(2), Fraction(3), Fraction(1, 2), Fraction(3, 2), Fraction(13, 10)])
            return ("^", ("call", "abs", self.formula("plain", depth)), ("number", exponent))
        return ("^", self.formula("length", depth), ("number", Fraction(2 if dimension == "area" else 3)))

    def share(self, _, depth):
        of = self.pick(["length", "area", "volume", "mass", "time", "flow"])
        return ("/", self.formula(of, depth), self.formula(of, depth))

    def wave(self, _, depth):
        return ("call", self.pick(["sin", "cos", "tan"]), self.formula("angle", depth))

    def growth(self, _, depth):
        return ("call", self.pick(["exp", "ln", "sqrt"]), self.formula("plain", depth))

    def arc(self, _, depth):
        return ("call", "atan", self.formula("plain", depth))

    def make(self):
        for dimension in self.random.sample(sorted(UNITS), self.random.randint(3, 6)):
            for _ in range(self.random.randint(1, 2)):
                self.entry(dimension)
        for _ in range(self.pick([0, 0, 1, 1, 2])):
            self.table()
        for result in ("first result", "second result", "third result")[: self.random.randint(1, 3)]:
            dimension = self.pick([d for d in UNITS if self.atoms[d]])
            made = self.formula(dimension, self.random.randint(1, 4))
            unit = self.pick(UNITS[dimension]) if dimension != "plain" else "%" if self.has_units(made) else ""
            self.sheet.results[result] = (made, unit)
            self.atoms[dimension] += [("name", result)] * 2
        return self.sheet

    def has_units(self, made):
        """Whether a value with a unit stands anywhere in a formula; results count as such where they show one."""
        match made:
            case ("name" | "list", *_, name):
                entry = self.sheet.entries.get(name)
                return bool(self.sheet.results[name][1] if name in self.sheet.results else entry.unit if entry else True)
            case ("quantity", *_):
                return True
            case ("number", _):
                return False
            case ("values", _, several):
                return any(map(self.has_units, several))
            case ("call" | "negative", *_, of):
                return self.has_units(of)
            case (_, left, right):
                return self.has_units(left) or self.has_units(right)


def agrees(found, other):
    """Whether the library finds the same, as far as its doubles reach: sums of parts that cancel lose digits."""
    if found.standard is None:
        return True
    close = lambda a, b, share, floor=0: abs(a - b) <= share * abs(b) + floor
    if not close(other.value, found.value, 1e-9, 1e-13) or not close(other.standard, found.standard, 1e-7, 1e-9 * abs(found.value)):
        return False
    return found.standard < 1e-6 * abs(found.value) or found.freedom == mp.inf or close(other.freedom, found.freedom, 1e-6)


def usable(sheet, summaries):
    """Finite, neither nothing nor beyond what a page would hold, and not all exact."""
    for name, (_, unit) in sheet.results.items():
        found = summaries[name]
        if not mp.isfinite(found.value):
            return False
        if not 1e-5 < abs(found.value) / exact(size(unit)) < 1e8:
            return False
        if found.standard is not None and not told_apart(found):
            return False
    return any(found.standard for found in summaries.values())


def told_apart(found):
    """A doubt no larger than the value, and degrees of freedom that doubles cannot take for other ones."""
    if found.standard > abs(found.value):
        return False
    if found.freedom == mp.inf:
        return True
    off = abs(found.freedom - mp.nint(found.freedom)) / found.freedom
    return found.freedom < 1e8 and not 1e-14 < off < 1e-10


def figure(number):
    return None if number is None or number == mp.inf else float(number)


def line(sheet, summaries):
    results = {}
    for name, (_, unit) in sheet.results.items():
        found, one = summaries[name], exact(size(unit))
        results[name] = {
            "unit": unit or None, "value": figure(found.value / one),
            "standard_uncertainty": None if found.standard is None else figure(found.standard / one),
            "degrees_of_freedom": figure(found.freedom),
            "give_or_take": None if found.half is None else figure(found.half / one),
        }
    return {"worksheet": str(sheet), "results": results}


def worked(sheet):
    summaries = moves.summaries(sheet)
    others = library.summaries(sheet)
    for name, found in summaries.items():
        assert agrees(found, others[name]), (str(sheet), name, found, others[name])
    return summaries


def random_sheets(first_seed, count, at_most):
    seed, lines = first_seed, []
    while len(lines) < count:
        sheet = Maker(seed, at_most).make()
        seed += 1
        try:
            summaries = moves.summaries(sheet)
        except (ZeroDivisionError, ValueError, TypeError):
            continue
        if usable(sheet, summaries):
            lines.append(line(sheet, worked(sheet)))
    return lines


def write(path, lines):
    versions = f"mpmath {mp.__version__}, uncertainties {uncertainties.__version__}, numpy {numpy.__version__}, pint {pint.__version__}"
    with open(path, "w", encoding="utf-8") as file:
        file.write(json.dumps({"made_by": "make.py", "libraries": versions, "sheets": len(lines)}) + "\n")
        file.writelines(json.dumps(one, ensure_ascii=False) + "\n" for one in lines)


if __name__ == "__main__":
    write("doubt.jsonl", [line(sheet, worked(sheet)) for sheet in SPECIAL] + random_sheets(1, 400, False))
    write("limits.jsonl", [line(sheet, worked(sheet)) for sheet in LIMITS] + random_sheets(100_001, 100, True))

"""Reads a template and a worksheet that fills it, as far as the cases of this folder go: entries and rows of tables.

Amounts become quantities of the general-purpose library pint; a blank is a quantity of nan in its unit, so that
whatever rests on it is nan too. It shares no line with the program, and does not know what a formula is.
"""

import datetime
import math
import re
from fractions import Fraction
from pathlib import Path

import pint

METHODS = Path(__file__).resolve().parents[2] / "worksheets" / "methods"
UNITS = pint.UnitRegistry()
for line in ("dollar = [money]", "shrub = [shrub]", "plant = [plant]", "squeeze = [squeeze]", "bagful = [bag]", "scoop = [scoop]"):
    UNITS.define(line)
Q = UNITS.Quantity

# Words of the notation whose name in pint is another one. US measures are said to be US ones.
WORDS = {
    "fl oz": "US_fluid_ounce", "gal": "US_liquid_gallon", "pt": "US_liquid_gallon / 8", "tsp": "US_fluid_ounce / 6",
    "tbsp": "US_fluid_ounce / 2", "cup": "US_liquid_gallon / 16", "oz": "ounce", "lb": "pound",
    "acre": "43560 * foot**2", "ha": "hectare", "ft": "foot", "in": "inch", "mph": "mile / hour", "kmh": "km / hour",
    "%": "0.01", "% v/v": "0.01", "% w/w": "0.01", "$": "dollar", "deg": "degree", "h": "hour", "s": "second",
    "min": "minute", "bar": "100000 * pascal",
    "psi": "pound_force_per_square_inch", "bag": "bagful", "°F": "degF", "": "1",
}
# A pint and a spoon are US ones, and an acre the international one, each as the vocabulary has it.
TEMPERATURES = ("°F", "°C")
POWERS = {"²": 2, "³": 3}


def word(text):
    """The quantity of one word of a unit, such as `ft²`."""
    power = POWERS.get(text[-1:], 1)
    plain = text[:-1] if power > 1 else text
    return Q(WORDS.get(plain, plain)) ** power


def unit(text):
    """The size of a unit: `gal/1000 ft²`, `fl oz of product per 100 gal`."""
    whole = re.sub(r"(% \w)/(\w)", r"\1÷\2", text.strip()).replace("km/h", "kmh")
    parts = re.split(r" per |/", whole)
    size = None
    for part in parts:
        plain = re.sub(r" of [a-zA-Z][a-zA-Z ]*$", "", part.strip()).replace("÷", "/")
        count, name = re.match(r"(\d*)\s*(.*)", plain).groups()
        found = word(name) * (int(count) if count else 1)
        size = found if size is None else size / found
    return size


def number(text):
    """`9 1/2`, `0.25`, `-5`."""
    sign, text = (-1, text[1:]) if text.startswith("-") else (1, text)
    return sign * float(sum(Fraction(part) for part in text.split()))


NUMERAL = r"-?(?:\d+ \d+/\d+|\d+/\d+|\d*\.\d+|\d+)(?![\d-])"


def amount(text, asked):
    """One number with its unit, or with the unit asked for."""
    found, rest = re.match(r"\$?(" + NUMERAL + r")\s*(.*)", text.strip()).groups()
    if text.startswith("$") and rest:
        rest = "$" + rest
    return number(found) * unit(rest or asked)


class Give:
    """What stands behind a `±`: its half-width, and whether it is a limit of error."""

    def __init__(self, text, asked):
        self.is_limit = text.endswith(" at most")
        self.half = amount(text.removesuffix(" at most"), asked)


def value(text, asked):
    """A value as the blank asks for it. `asked` is the unit or kind behind the blank's underscores."""
    text = text.strip()
    if asked == "text":
        return None if text.startswith("__") else text.strip('"')
    if asked == "yes or no":
        return {"yes": True, "no": False}.get(text)
    if asked.startswith("date"):
        if text.startswith("__"):
            return None
        form = "%Y-%m-%d %H:%M" if ":" in text else "%Y-%m-%d"
        return datetime.datetime.strptime(text, form)
    if asked in TEMPERATURES:
        return Q(math.nan if text.startswith("__") else number(text.split(" ")[0]), WORDS[asked])
    if text.startswith("__"):
        return math.nan * unit(asked)
    return amount(text, asked)


def bounds(text, asked):
    """A range as its two ends; one that is open below begins at nothing."""
    if text.startswith("__"):
        return math.nan * unit(asked), math.nan * unit(asked)
    if asked in TEMPERATURES:
        low, high = text.split(" to ")
        return value(low, asked), value(high, asked)
    high = re.sub(r"^up to |^at most ", "", text)
    if high != text:
        return 0 * unit(asked), amount(high, asked)
    low, high = text.split(" to ")
    high = amount(high, asked)
    rest = re.match(NUMERAL + r"\s*(.*)", text.split(" to ")[1]).group(1)
    return amount(low, rest or asked), high


class Sheet:
    """A filled template: entries by name, `give` with their `±`, tables as lists of rows with their labels."""

    def __init__(self, path):
        filled = path.read_text()
        self.template = re.match(r'from "([\w-]+)"', filled).group(1)
        self.entries, self.give, self.tables, self.heads = {}, {}, {}, {}
        self._read((METHODS / f"{self.template}.worksheet").read_text())
        self._read(filled)
        self.entries = {name: self._entry(name, text) for name, text in self.entries.items()}

    def _read(self, text):
        table = None
        for line in text.splitlines():
            line = re.split(r" -- ", line)[0].rstrip()
            if line.startswith("|"):
                table = self._row(table, [cell.strip() for cell in line.strip("|").split("|")])
                continue
            table = None
            entry = re.match(r"([A-Za-z][\w' -]*?)\s*:\s+(.*)$", line)
            if entry and not line.startswith(("#", "!", "?", "-", "~")):
                name, said = entry.groups()
                asked = self.entries.get(name, (said, said))[0]
                self.entries[name] = (asked, said)

    def _row(self, table, cells):
        if table is None:
            name, columns = cells[0], [cell for cell in cells[1:] if ":" in cell.split("=")[0]]
            if columns or name not in self.heads:
                self.heads[name] = [re.split(r"\s*:\s*", column, maxsplit=1) for column in columns]
            self.tables[name] = []
            return name
        row = {"row": cells[0]}
        for (column, asked), cell in zip(self.heads[table], cells[1:]):
            asked, _, give = asked.partition(" ± ")
            if give:
                self.give[f"{table}.{column}"] = Give(give, asked)
            asked = "" if asked == "number" else asked
            row[column] = value(cell or "____", asked)
        self.tables[table].append(row)
        return table

    def _entry(self, name, texts):
        asked, said = texts
        blank = re.sub(r"^____( to ____)?\s*", "", asked)
        if blank == asked:
            # A default of the template: its own unit is asked for.
            blank = re.sub(r"^\$?" + NUMERAL + r"\s*", "", asked)
        plain, _, give = said.partition(" ± ")
        is_range = "____ to ____" in asked
        if is_range:
            return bounds(plain, blank)
        if give:
            self.give[name] = Give(give, blank)
        return value(plain, blank)

    def __getitem__(self, name):
        return self.entries[name]

    def column(self, table, column):
        return [row[column] for row in self.tables[table]]

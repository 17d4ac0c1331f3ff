"""A worksheet as data, and how it is written in the notation. It knows no arithmetic.

Formulas are nested tuples: ("name", n), ("number", Fraction), ("quantity", Fraction, unit), ("+ - * / ^", a, b),
("negative", a), ("call", function, a), ("list", function, of) over readings or a column, ("values", function, [a, …]).
"""

from dataclasses import dataclass, field
from fractions import Fraction


@dataclass
class Give:
    """A `±`: a half-width in a unit (None: as the value's; "%": of the value), its degrees of freedom, or at most."""

    half: Fraction
    unit: str | None = None
    freedom: int | None = None
    at_most: bool = False

    def __str__(self):
        text = f" ± {decimal(self.half)}" + (f" {self.unit}" if self.unit else "")
        return text + (" at most" if self.at_most else f" ({self.freedom} df)" if self.freedom else "")


@dataclass
class Entry:
    """One value, or readings where there are several; `written` is the value's text where it is no plain decimal."""

    values: list
    unit: str = ""
    give: Give | None = None
    written: str | None = None

    def __str__(self):
        unit = f" {self.unit}" if self.unit else ""
        text = self.written or ", ".join(map(decimal, self.values)) + unit
        return text + (str(self.give) if self.give else "")


@dataclass
class Column:
    """An entered column: its cells, and the `±` of its head or of single cells."""

    cells: list
    unit: str = ""
    give: Give | None = None
    own: dict = field(default_factory=dict)

    def cell(self, row):
        give = self.own.get(row)
        # A bare number before a `±` in another unit has two readings: the column's unit, or the one behind the `±`.
        said = f" {self.unit}" if give and give.unit not in (None, "%", self.unit) else ""
        return decimal(self.cells[row]) + said + (str(give) if give else "")


@dataclass
class Table:
    entered: dict
    worked: dict = field(default_factory=dict)

    def rows(self):
        return len(next(iter(self.entered.values())).cells)


@dataclass
class Sheet:
    title: str
    entries: dict = field(default_factory=dict)
    tables: dict = field(default_factory=dict)
    results: dict = field(default_factory=dict)

    def __str__(self):
        lines = [f"# {self.title}"]
        if self.entries:
            lines += ["", *(f"{name} : {entry}" for name, entry in self.entries.items())]
        for name, table in self.tables.items():
            lines += ["", *table_lines(name, table)]
        lines += ["", *(f"{name} = {formula(made)}{bracket(unit)}" for name, (made, unit) in self.results.items())]
        return "\n".join(lines) + "\n"


LABELS = ["first", "second", "third", "fourth", "fifth", "sixth", "seventh", "eighth", "ninth", "tenth"]


def table_lines(name, table):
    heads = [f"{column} : {entered.unit or 'number'}{entered.give or ''}" for column, entered in table.entered.items()]
    heads += [f"{column} = {formula(made)}{bracket(unit)}" for column, (made, unit) in table.worked.items()]
    yield "| " + " | ".join([name, *heads]) + " |"
    for row in range(table.rows()):
        yield "| " + " | ".join([LABELS[row], *(entered.cell(row) for entered in table.entered.values())]) + " |"


def bracket(unit):
    return f" [{unit}]" if unit else ""


def decimal(number):
    """A fraction of tens as its decimal, without an exponent."""
    if number.denominator == 1:
        return str(number.numerator)
    places = next(places for places in range(1, 30) if (number * 10**places).denominator == 1)
    digits = str(abs(number.numerator) * (10**places // number.denominator)).rjust(places + 1, "0")
    return ("-" if number < 0 else "") + digits[:-places] + "." + digits[-places:]


def formula(made, inner=False):
    match made:
        case ("name", name):
            return name
        case ("number", number):
            return decimal(number)
        case ("quantity", number, unit):
            text = f"{decimal(number)} {unit}"
        case ("negative", of):
            text = "-" + formula(of, True)
        case ("call", function, of):
            return f"{function}({formula(of)})"
        case ("list", function, of):
            return f"{function}({of})"
        case ("values", function, several):
            return f"{function}({', '.join(map(formula, several))})"
        case (operator, left, right):
            text = f"{formula(left, True)} {operator} {formula(right, True)}"
    return f"({text})" if inner else text

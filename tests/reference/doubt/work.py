"""Works a sheet over any arithmetic: what each entry, column and formula comes to, by the notation's rules of which
source of doubt enters where. How a doubt moves through a formula is the arithmetic's own affair (see moves.py,
library.py).

A source is a pair: what it is, and how its parts combine ("single", "limit", "scatter").
"""

from dataclasses import dataclass
from functools import cache

import mpmath as mp
from units import exact, size


@cache
def t_95(freedom):
    """The 97.5 % quantile of Student's t; of the normal where freedom is infinite."""
    if freedom == mp.inf:
        return mp.sqrt(2) * mp.erfinv(mp.mpf("0.95"))
    if freedom > 10**6:
        return past_a_million(t_95(mp.inf), freedom)
    half, share = mp.mpf(freedom) / 2, mp.mpf("0.05")
    tail = lambda t: mp.betainc(half, 0.5, 0, freedom / (freedom + t * t), regularized=True) - share
    t = mp.findroot(tail, 12.7 if freedom == 1 else 2 + mp.mpf(5) / freedom, tol=mp.mpf("1e-40"), verify=False)
    assert abs(tail(t)) < mp.mpf("1e-30"), freedom
    return t


def past_a_million(z, freedom):
    """Fisher and Cornish's series (Abramowitz & Stegun 26.7.5); what is left out is under 1e-23."""
    terms = [(z**3 + z) / 4, (5 * z**5 + 16 * z**3 + 3 * z) / 96, (3 * z**7 + 19 * z**5 + 17 * z**3 - 15 * z) / 384]
    return z + sum(term / mp.mpf(freedom) ** power for power, term in enumerate(terms, 1))


@dataclass(frozen=True)
class Source:
    name: str
    kind: str
    freedom: object = mp.inf


def source_of(name, give):
    """The source that a `±` is, and a function from a value (in SI) to its standard uncertainty."""
    kind, freedom = ("limit" if give.at_most else "single"), give.freedom or mp.inf
    factor = mp.sqrt(3) if give.at_most else t_95(freedom)
    return Source(name, kind, freedom), factor


def parts_of(name, give, value, unit, part=0):
    if give is None:
        return []
    source, factor = source_of(name, give)
    half = abs(value) * exact(give.half) / 100 if give.unit == "%" else exact(give.half) * exact(size(give.unit or unit))
    return [(source, part if source.kind == "limit" else 0, half / factor)]


class Work:
    """One sheet over one arithmetic."""

    def __init__(self, sheet, arithmetic):
        self.sheet, self.arithmetic, self.known = sheet, arithmetic, {}
        for name, entry in sheet.entries.items():
            self.known[name] = self.entry(name, entry)
        for name, table in sheet.tables.items():
            self.table(name, table)
        self.results = {}
        for name, (made, _) in sheet.results.items():
            self.known[name] = self.results[name] = self.formula(made, {})

    def entry(self, name, entry):
        values = [exact(value) * exact(size(entry.unit)) for value in entry.values]
        given = [self.arithmetic.given(value, parts_of(name, entry.give, value, entry.unit, part))
                 for part, value in enumerate(values)]
        return given if len(given) > 1 else given[0]

    def table(self, name, table):
        for column, entered in table.entered.items():
            cells = []
            for row, cell in enumerate(entered.cells):
                value = exact(cell) * exact(size(entered.unit))
                parts = parts_of(f"{name}.{column}", entered.give, value, entered.unit, row)
                parts += parts_of(f"{name}.{column}, {row}", entered.own.get(row), value, entered.unit)
                cells.append(self.arithmetic.given(value, parts))
            self.known[f"{name}.{column}"] = cells
        for column, (made, _) in table.worked.items():
            rows = [{own: self.known[f"{name}.{own}"][row] for own in [*table.entered, *table.worked] if f"{name}.{own}" in self.known}
                    for row in range(table.rows())]
            self.known[f"{name}.{column}"] = [self.formula(made, row) for row in rows]

    def formula(self, made, row):
        do = self.arithmetic
        match made:
            case ("name", name):
                return row[name] if name in row else self.known[name]
            case ("number", number):
                return do.given(exact(number), [])
            case ("quantity", number, unit):
                return do.given(exact(number) * exact(size(unit)), [])
            case ("negative", of):
                return do.call("negative", self.formula(of, row))
            case ("call", function, of):
                return do.call(function, self.formula(of, row))
            case ("list", function, of):
                return self.of_many(function, self.known[of], of, of.partition(".")[0])
            case ("values", function, several):
                values = [self.formula(one, row) for one in several]
                return self.of_many(function, values, repr(made), repr(made))
            case (operator, left, right):
                return do.operator(operator, self.formula(left, row), self.formula(right, row))

    def of_many(self, function, values, of, together):
        """`together` is what scatters as one: the rows of a table, or one list."""
        do, count = self.arithmetic, len(values)
        if function == "mean":
            return do.mean(values, Source(f"scatter of {together}", "scatter", count - 1))
        if function == "median":
            return do.median(values, Source(f"median of {of}", "single", count - 1))
        if function in ("min", "max"):
            best = (min if function == "min" else max)(map(do.value, values))
            # Of those that are the same value (to twelve digits) the one that is least sure.
            return do.least_sure([value for value in values if abs(do.value(value) - best) <= abs(best) * 1e-12])
        total = values[0]
        for value in values[1:]:
            total = do.operator("+", total, value)
        return total if function == "sum" else do.operator("/", total, do.given(mp.mpf(count), []))


@dataclass
class Summary:
    """What a result comes to, in SI; an unknown doubt has none of the last three."""

    value: object
    standard: object = None
    freedom: object = None
    half: object = None


def summary(value, contributions):
    """Contributions are {(source, part): sensitivity × u}. Sources are put together by their kinds, then by
    Welch and Satterthwaite (GUM G.4)."""
    whole = {}
    for (source, _), contribution in contributions.items():
        if source.kind == "scatter":
            whole[source, 0] = mp.hypot(whole.get((source, 0), 0), contribution)
        else:
            sign = mp.sign(contribution) if source.kind == "limit" else 0
            whole[source, sign] = whole.get((source, sign), 0) + contribution
    whole = {key: contribution for key, contribution in whole.items() if contribution != 0}
    standard = mp.sqrt(mp.fsum(c**2 for c in whole.values()))
    welch = mp.fsum(c**4 / source.freedom for (source, _), c in whole.items())
    freedom = standard**4 / welch if welch else mp.inf
    kinds = [source.kind for source, _ in whole]
    factor = mp.mpf("0.95") * mp.sqrt(3) if kinds == ["limit"] else t_95(cut(freedom))
    return Summary(value, standard, freedom, factor * standard)


def cut(freedom):
    """To the next lower whole number (GUM G.4.1); what agrees with one to twelve digits is that number; 1 at least."""
    if freedom == mp.inf:
        return freedom
    nearest = mp.nint(freedom)
    return int(max(1, nearest if abs(freedom - nearest) <= mp.mpf("1e-12") * freedom else mp.floor(freedom)))



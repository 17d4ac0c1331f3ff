"""Doubt after the notation's page: sources as variables of the `uncertainties` library, which carries them through
every formula by first-order derivatives; what a combined doubt comes to is worked here, by JCGM 100.
"""

import math
from functools import cache

from scipy.stats import norm, t
from uncertainties import UFloat, Variable, umath



class Unsuitable(Exception):
    """Nothing is claimed about this."""


Z = float(norm.ppf(0.975))
INFINITE = math.inf


@cache
def factor(freedom):
    return Z if freedom == INFINITE else float(t.ppf(0.975, freedom))


def nominal(x):
    return x.nominal_value if isinstance(x, UFloat) else float(x)


def derivatives(x):
    return x.derivatives if isinstance(x, UFloat) else {}


class Doubts:
    """The sources of one worksheet: what each is, and which variables are its parts."""

    def __init__(self):
        self.kinds, self.source_of, self.scatters, self.count = {}, {}, {}, 0

    def source(self, kind, freedom=INFINITE):
        self.count += 1
        self.kinds[self.count] = (kind, freedom)
        return self.count

    def part(self, source):
        variable = Variable(0.0, 1.0)
        self.source_of[variable] = source
        return variable

    def device(self, values, halves, freedom=INFINITE, at_most=False):
        """Values that share a `±`, whose half-width is said for each."""
        source = self.source("limit" if at_most else "single", freedom)
        if at_most:
            return [x + half / math.sqrt(3) * self.part(source) for x, half in zip(values, halves)]
        one = self.part(source)
        return [x + half / factor(freedom) * one for x, half in zip(values, halves)]

    def carriers(self, values):
        """How many of the values each source enters."""
        count = {}
        for x in values:
            for source in {self.source_of[v] for v, d in derivatives(x).items() if d != 0.0}:
                count[source] = count.get(source, 0) + 1
        return count

    def shared(self, values):
        carriers, total = self.carriers(values), 0.0
        for x in values:
            for variable, derivative in derivatives(x).items():
                if carriers.get(self.source_of[variable], 0) > 1 or len(values) == 1:
                    total = total + derivative / len(values) * variable
        return total

    def mean(self, values, key, median=False):
        """The mean of repeats and whether its doubt is unknown; `key` says over which rows."""
        numbers, n = [nominal(x) for x in values], len(values)
        mean = math.fsum(numbers) / n
        at = middle(numbers) if median else mean
        if max(numbers) - min(numbers) < 1e-5 * abs(mean) and max(numbers) - min(numbers) > 1e-14 * abs(mean):
            raise Unsuitable("a scatter in the last digits")
        shared = self.shared(values)
        squares = math.fsum((x - mean) ** 2 for x in numbers)
        if 0.0 < max(map(abs, derivatives(shared).values()), default=0.0) < 1e-10 * abs(mean):
            raise Unsuitable("all but nothing")
        if n == 1 or max(numbers) - min(numbers) <= 1e-14 * abs(mean):
            return at + shared, not any(derivatives(shared).values())
        if median:
            if ("median", key) not in self.scatters:
                self.scatters["median", key] = self.part(self.source("single", n - 1))
            u = math.sqrt(squares / (n - 1) / n) * math.sqrt(math.pi / 2)
            return at + shared + u * self.scatters["median", key], False
        if key not in self.scatters:
            source = self.source("scatter", n - 1)
            self.scatters[key] = [self.part(source) for _ in values]
        rows = sum((x - mean) / math.sqrt(n * (n - 1)) * part for x, part in zip(numbers, self.scatters[key]))
        return at + shared + rows, False

    def summary(self, x):
        """Standard uncertainty, effective degrees of freedom, 95 % half-width."""
        sums, scatters = {}, {}
        for variable, derivative in derivatives(x).items():
            source = self.source_of[variable]
            kind, freedom = self.kinds[source]
            if kind == "scatter":
                scatters[source] = math.hypot(scatters.get(source, 0.0), derivative)
            else:
                # Under a limit, readings that the result rises with are one source, those it falls with another.
                side = derivative > 0 if kind == "limit" else None
                sums[source, side] = sums.get((source, side), 0.0) + derivative
        found = [(abs(c), *self.kinds[source]) for (source, _), c in sums.items()]
        found += [(c, *self.kinds[source]) for source, c in scatters.items()]
        largest = max((c for c, *_ in found), default=0.0)
        found = [one for one in found if one[0] != 0.0]
        if largest == 0.0:
            return 0.0, INFINITE, 0.0
        if largest < 1e-10 * abs(nominal(x)) or any(c < 1e-10 * largest for c, *_ in found):
            # What cancels in real numbers leaves a last digit in binary ones.
            raise Unsuitable("all but nothing")
        u = math.sqrt(math.fsum(c * c for c, *_ in found))
        loss = math.fsum((c / u) ** 4 / freedom for c, _, freedom in found)
        freedom = 1 / loss if loss > 0 else INFINITE
        if len(found) == 1 and found[0][1] == "limit":
            return u, INFINITE, 0.95 * math.sqrt(3) * u
        return u, freedom, u * factor(whole(freedom))


def whole(freedom):
    """The next lower whole number, at least 1; what agrees with a whole one to twelve digits is that one."""
    if freedom == INFINITE or freedom > 1e12:
        return INFINITE
    near = round(freedom)
    return max(1, near if abs(freedom - near) <= 1e-12 * freedom else math.floor(freedom))


def middle(numbers):
    ordered, n = sorted(numbers), len(numbers)
    return (ordered[(n - 1) // 2] + ordered[n // 2]) / 2


FUNCTIONS = {"sqrt": umath.sqrt, "sin": umath.sin, "cos": umath.cos, "tan": umath.tan, "atan": umath.atan,
             "exp": umath.exp, "ln": umath.log}

"""Doubt by the `uncertainties` library: each source a variable of its own, means over the rows of one table as
`correlated_values` with the covariance of the rows. Its arithmetic is in doubles; moves.py is held against it.
"""

import mpmath as mp
import numpy as np
from uncertainties import correlated_values, ufloat, umath
from uncertainties.core import AffineScalarFunc
from work import Work, summary

FUNCTIONS = {"negative": lambda x: -x, "sqrt": umath.sqrt, "abs": lambda x: -x if nominal(x) < 0 else x, "sin": umath.sin, "cos": umath.cos,
             "tan": umath.tan, "atan": umath.atan, "exp": umath.exp, "ln": umath.log}
OPERATORS = {"+": lambda a, b: a + b, "-": lambda a, b: a - b, "*": lambda a, b: a * b, "/": lambda a, b: a / b,
             "^": lambda a, b: a**b}


def nominal(x):
    return x.nominal_value if isinstance(x, AffineScalarFunc) else float(x)


def derivatives(x):
    return x.derivatives if isinstance(x, AffineScalarFunc) else {}


class Library:
    def __init__(self):
        self.variables, self.keys, self.scatters = {}, {}, {}

    def variable(self, key):
        if key not in self.variables:
            self.variables[key] = ufloat(0, 1)
            self.keys[self.variables[key]] = key
        return self.variables[key]

    def given(self, value, parts):
        return float(value) + sum(float(u) * self.variable((source, part)) for source, part, u in parts)

    value = staticmethod(nominal)

    def least_sure(self, values):
        return max(values, key=lambda x: x.std_dev if isinstance(x, AffineScalarFunc) else 0.0)

    def call(self, function, x):
        return FUNCTIONS[function](x)

    def operator(self, operator, x, y):
        return OPERATORS[operator](x, y)

    def shared(self, values):
        """What two or more values share, at its mean sensitivity, about nothing."""
        carriers = {}
        for x in values:
            for source in {self.keys[v][0] for v in derivatives(x)}:
                carriers[source] = carriers.get(source, 0) + 1
        total = 0.0
        for x in values:
            for variable, derivative in derivatives(x).items():
                if carriers[self.keys[variable][0]] > 1 or len(values) == 1:
                    total = total + derivative / len(values) * variable
        return total

    def mean(self, values, scatter):
        data = [nominal(x) for x in values]
        if len(set(data)) == 1:
            return data[0] + self.shared(values)
        return sum(data) / len(data) + self.scattered(scatter, data) + self.shared(values)

    def scattered(self, scatter, data):
        """The scatter of one mean beside the others over the same rows: the table's means are made in one go."""
        means = self.scatters.setdefault(scatter, {})
        if tuple(data) not in means:
            raise KeyError(scatter, tuple(data))
        return means[tuple(data)]

    def median(self, values, scatter):
        data = np.array([nominal(x) for x in values])
        u = data.std(ddof=1) / np.sqrt(len(data)) * np.sqrt(np.pi / 2)
        return float(np.median(data)) + u * self.variable((scatter, 0)) + self.shared(values)


class Gather(Library):
    """A first walk that only gathers which lists share a scatter."""

    def scattered(self, scatter, data):
        self.scatters.setdefault(scatter, {})[tuple(data)] = None
        # A stand-in of the scatter, so that the lists that depend on it are known to.
        return self.variable((scatter, 0)) * float(np.std(data))


def correlated(library, gathered):
    for scatter, lists in gathered.items():
        rows = np.array(list(lists))
        covariance = np.atleast_2d(np.cov(rows, ddof=1)) / rows.shape[1]
        for data, mean in zip(lists, correlated_values([0.0] * len(rows), covariance)):
            library.scatters.setdefault(scatter, {})[data] = mean
            for variable in mean.derivatives:
                library.keys[variable] = (scatter, id(variable))


def summaries(sheet):
    """Each result's value, standard uncertainty and degrees of freedom, in SI."""
    gather = Gather()
    Work(sheet, gather)
    library = Library()
    correlated(library, gather.scatters)
    found = {}
    for name, x in Work(sheet, library).results.items():
        parts = x.error_components() if isinstance(x, AffineScalarFunc) else {}
        signed = {}
        for variable in parts:
            key = library.keys[variable]
            signed[key] = mp.mpf(x.derivatives[variable] * variable.std_dev) + signed.get(key, 0)
        found[name] = summary(mp.mpf(nominal(x)), signed)
    return found

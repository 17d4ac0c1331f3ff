"""Writes shares.tsv: how much of the square of a doubt each source makes up, by a general-purpose library.

Source: the Python package `uncertainties` (error_components: the contribution of each independent variable to the
combined standard uncertainty, after JCGM 100:2008, 5.1). Means over the same rows are made by `correlated_values` with
the covariance matrix of the means (JCGM 100:2008, 5.2.3), whose hidden independent variables together are the scatter
of those rows. A limit of error is a rectangle (4.3.7), one variable for the readings that rise with the result and one
for those that fall; a ± is 95 % of a normal (4.3.4), or of Student's t where it names degrees of freedom (G.3.2).

    python3 -m venv /tmp/shares && /tmp/shares/bin/pip install uncertainties==3.2.3 numpy==2.2.6 scipy==1.15.3
    /tmp/shares/bin/python make_shares.py > shares.tsv

The worksheet is shares.worksheet beside it. The tests need no Python.
"""

import math
from itertools import count

import numpy
from scipy import stats
from uncertainties import correlated_values, ufloat

Z = stats.norm.ppf(0.975)
NEXT = count()

IN, FT, FL_OZ, S = 0.0254, 0.3048, 231 * 0.0254**3 / 128, 1.0


def give(value, half_width, tag, freedom=None):
    factor = Z if freedom is None else stats.t.ppf(0.975, freedom)
    return ufloat(value, half_width / factor, tag)


def limit(half_width, tag):
    """A limit of error by itself, to be added to what it belongs to."""
    return ufloat(0.0, half_width / math.sqrt(3), tag)


def means(names, columns):
    """The means of columns over the same rows, correlated as the rows show; all of one tag."""
    rows = numpy.array(columns, dtype=float)
    covariance = numpy.atleast_2d(numpy.cov(rows)) / rows.shape[1]
    tag = "scatter of " + " and ".join(names)
    values = correlated_values(rows.mean(axis=1), covariance, tags=[tag] * len(names))
    return values


def shares(name, value):
    parts = {}
    for variable, contribution in value.error_components().items():
        # Hidden variables of correlated values carry the tag of the values.
        parts[variable.tag] = parts.get(variable.tag, 0.0) + contribution**2
    whole = sum(parts.values())
    assert math.isclose(whole, value.std_dev**2, rel_tol=1e-9)
    for tag, part in sorted(parts.items(), key=lambda item: -item[1]):
        print(f"{name}\t{tag}\t{part / whole:.12f}")


walk = [21.4, 20.9, 21.8, 21.0]
catch = [9.5 * FL_OZ, 9.25 * FL_OZ, 9.75 * FL_OZ, 9.5 * FL_OZ]
width = give(28 * IN, 1 * IN, "spray width")
length = give(60 * FT, 1 * FT, "strip length")
height = give(20 * IN, 0.5 * IN, "height", freedom=18)

print("result\tsource\tshare")

mean_walk, mean_catch = means(["cups.walk", "cups.catch"], [walk, catch])
rising = limit(0.25 * FL_OZ, "cups.catch")
shares("rate", (mean_catch + rising) / mean_walk)
shares("product", (mean_catch + rising) * mean_walk)

(only_catch,) = means(["cups.catch"], [catch])
shares("volume", (only_catch + rising) / (width * length))

shares("box", width * length * height)

(only_walk,) = means(["cups.walk"], [walk])
shares("pace", length / only_walk)

# The largest catch rises with the result and the smallest falls: two variables of one name.
up, down = limit(0.25 * FL_OZ, "cups.catch"), limit(0.25 * FL_OZ, "cups.catch")
shares("left", max(catch) + up - min(catch) - down + height * width * (1 * FT))

# A scoop of 2.4 oz ± 2 %, three of them, and a device's ± of its own.
scoop = give(2.4, 2.4 * 0.02, "1 scoop")
more = give(5.0, 0.1, "more")
shares("weight", 3 * scoop + more)

# The same source by two ways, once more and once less.
shares("across", 2 * width - length / 10 + width / 3)

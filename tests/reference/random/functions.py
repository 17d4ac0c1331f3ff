"""The functions of several values, of beds and of spread patterns, on `uncertainties` numbers in base units; formulas
from geometry and from the notation's page.
"""

import math

from doubt import nominal
from uncertainties import umath
from values import Refused, Unsuitable


def scatter(values):
    mean = sum(values) / len(values)
    squares = sum((x - mean) ** 2 for x in values)
    if len(values) < 2:
        raise Refused("sd of one")
    if nominal(squares) == 0:
        raise Unsuitable("no scatter")
    return umath.sqrt(squares / (len(values) - 1))


def sd(values):
    """Without a doubt: the page gives `sd`, `cv` and `spread` none."""
    return scatter([nominal(x) for x in values])


def cv(values):
    return sd(values) / (sum(map(nominal, values)) / len(values))


def spread(values):
    values = [nominal(x) for x in values]
    return (max(values) - min(values)) / (sum(values) / len(values))


def extreme(values, sign):
    ordered = sorted(values, key=lambda x: sign * nominal(x))
    if len(ordered) > 1 and math.isclose(nominal(ordered[-1]), nominal(ordered[-2]), rel_tol=1e-9):
        raise Unsuitable("two alike, whose doubts may differ")
    return ordered[-1]


def heron(a, b, c):
    longest = max((a, b, c), key=nominal)
    if nominal(longest) * 2 > nominal(a + b + c) * 0.98:
        raise Unsuitable("no triangle, or nearly none")
    s = (a + b + c) / 2
    return umath.sqrt(s * (s - a) * (s - b) * (s - c))


def quadrilateral(a, b, c, d, diagonal):
    return heron(a, b, diagonal) + heron(c, d, diagonal)


SHAPES = {
    "circle": (1, lambda d: math.pi / 4 * d**2),
    "circle around": (1, lambda c: c**2 / (4 * math.pi)),
    "ellipse": (2, lambda length, width: math.pi / 4 * length * width),
    "triangle": (3, heron),
    "trapezoid": (3, lambda a, b, height: (a + b) / 2 * height),
    "quadrilateral": (5, quadrilateral),
}


def offsets(widths, spacing):
    return spacing * (sum(widths) - widths[0] / 2 - widths[-1] / 2)


def polygon(xs, ys):
    double = sum(xs[i - 1] * ys[i] - xs[i] * ys[i - 1] for i in range(len(xs)))
    return double / 2 if nominal(double) > 0 else -double / 2


def interpolate(x, xs, ys):
    for (x0, x1), (y0, y1) in zip(zip(xs, xs[1:]), zip(ys, ys[1:])):
        low, high = sorted((nominal(x0), nominal(x1)))
        if low < nominal(x) < high:
            if min(nominal(x) - low, high - nominal(x)) < 1e-6 * (high - low):
                raise Unsuitable("at a row")
            return y0 + (y1 - y0) * (x - x0) / (x1 - x0)
    raise Refused("beyond the rows")


def swath_cv(catches, halves, back_and_forth):
    """The CV at a swath of so many half spacings; pans are two half spacings apart, the walker over the middle one."""
    middle = len(catches) // 2

    def at(place):
        """The catch at so many half spacings from the walker."""
        pan, rest = divmod(place, 2)
        one = [catches[i + middle] if 0 <= i + middle < len(catches) else 0.0 for i in (pan, pan + 1)]
        return one[0] if not rest else (one[0] + one[1]) / 2

    period = halves * (2 if back_and_forth else 1)
    span = period if period % 2 == 0 else 2 * period
    copies = range(-(len(catches) + 2 + span) // halves - 3, (len(catches) + 2 + span) // halves + 4)
    field = []
    for place in range(0, span, 2):
        total = 0.0
        for copy in copies:
            off = place - copy * halves
            total = total + at(-off if back_and_forth and copy % 2 else off)
        field.append(total)
    return scatter(field) / (sum(field) / len(field))

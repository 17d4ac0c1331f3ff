"""What a case comes to: figures by the name of their result, and how checks come out. It knows no template."""

import math
from decimal import ROUND_HALF_UP, Decimal

from reader import Q, unit
from scipy import stats

ORDER = ["ok", "close", "waiting", "no"]
# Values that differ by no more than this are the same; see the notation on sums of decimals.
SAME = 1e-12


def si(quantity):
    """A plain float in SI units, temperatures in kelvin."""
    return float(quantity.to_base_units().magnitude) if isinstance(quantity, Q) else float(quantity)


def at_most(value, limit, half=0.0):
    """How `value at most limit` comes out, with the 95 % half-width of their difference."""
    value, limit, half = si(value), si(limit), si(half)
    if math.isnan(value) or math.isnan(limit):
        return "waiting"
    # Where nothing that counts is blank the difference has its doubt.
    if value - limit > SAME * max(abs(value), abs(limit)):
        return "no"
    return "close" if half > limit - value + SAME * abs(limit) else "ok"


def at_least(value, limit, half=0.0):
    return at_most(-si(value), -si(limit), half)


def within(value, ends, half=0.0):
    return both(at_least(value, ends[0], half), at_most(value, ends[1], half))


def within_share(value, share, of, half=0.0):
    """`value within P % of y`; the half-width at both limits is taken to be the same."""
    return within(value, ((1 - share) * of, (1 + share) * of), half)


def both(*outcomes):
    return max(outcomes, key=ORDER.index)


def either(*outcomes):
    return min(outcomes, key=ORDER.index)


def said(answer, wanted):
    """How `answer is yes` comes out."""
    return "waiting" if answer is None else ("ok" if answer == wanted else "no")


def step(quantity, size):
    """To the nearest whole step, halves away from zero."""
    many = si(quantity) / si(size)
    if math.isnan(many):
        return quantity
    whole = Decimal(repr(round(many, 9))).quantize(Decimal(1), rounding=ROUND_HALF_UP)
    return float(whole) * size


def spread(values):
    values = [si(value) for value in values]
    return (max(values) - min(values)) / (sum(values) / len(values))


def mean(values):
    return sum(values[1:], values[0]) / len(values)


def doubt(sources):
    """The 95 % half-width of independent sources, each a standard uncertainty with its degrees of freedom (GUM G.4)."""
    variance = sum(si(u) ** 2 for u, _ in sources)
    if variance == 0 or math.isnan(variance):
        return 0.0
    below = sum(si(u) ** 4 / df for u, df in sources)
    freedom = variance**2 / below if below else math.inf
    freedom = math.floor(freedom) if math.isfinite(freedom) else freedom
    return math.sqrt(variance) * (stats.t.ppf(0.975, freedom) if math.isfinite(freedom) else stats.norm.ppf(0.975))


def scatter(values):
    """The standard uncertainty of a mean, from its readings alone."""
    numbers = [si(value) for value in values]
    middle = sum(numbers) / len(numbers)
    return math.sqrt(sum((one - middle) ** 2 for one in numbers) / (len(numbers) - 1) / len(numbers)), len(numbers) - 1


def standard(give):
    """The standard uncertainty of a `±`."""
    if give is None:
        return 0.0
    return si(give.half) / (math.sqrt(3) if give.is_limit else stats.norm.ppf(0.975))


class Figures:
    """The rows of a case: result, figure, unit."""

    def __init__(self):
        self.rows = []

    def put(self, name, quantity, shown="", half=None):
        """A result in the unit it is shown in; `half` is its 95 % half-width, in SI."""
        size = si(unit(shown)) if shown else 1.0
        self.rows.append((name, self._figure(si(quantity) / size), shown))
        if half is not None and not math.isnan(si(quantity)):
            self.rows.append((f"{name} ±", self._figure(si(half) / size), shown))

    def say(self, name, text):
        self.rows.append((name, text, ""))

    def check(self, label, outcome):
        self.rows.append((f"? {label}", outcome, ""))

    @staticmethod
    def _figure(value):
        return "waiting" if math.isnan(value) else f"{value:.15g}"

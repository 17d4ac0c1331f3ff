"""Values and their arithmetic, after the notation's page: units by pint, doubts by `uncertainties`, labels, points of a
temperature scale and ranges by the rules of the page. What the page refuses raises `Refused`; what it leaves open, or a
test had better not hinge on (a comparison that hangs on the last digit), raises `Unsuitable`.
"""

import math
from dataclasses import dataclass, field, replace

from doubt import FUNCTIONS, Unsuitable, nominal
from units import Quantity

NEAR = 1e-7


class Refused(Exception):
    """The program has to refuse this."""


@dataclass(frozen=True)
class Number:
    """One number in pint's base units; labels to powers, above the line positive. A share that is named (`% w/w of N`)
    has its kind. `waits` are the blanks that it waits on, in which case its number is any. `choices` are the rows that
    means behind it were taken over.
    """

    q: object
    labels: tuple = ()
    point: bool = False
    share: str | None = None
    unknown: bool = False
    waits: frozenset = frozenset()
    choices: frozenset = frozenset()

    @property
    def value(self):
        return nominal(self.q.magnitude)

    @property
    def x(self):
        return self.q.magnitude

    @property
    def dimension(self):
        return self.q.dimensionality

    @property
    def is_plain(self):
        return not self.dimension and not self.share

    @property
    def is_doubtful(self):
        return self.unknown or any(getattr(self.x, "derivatives", {}).values())


@dataclass(frozen=True)
class Range:
    low: Number | None
    high: Number | None
    origins: frozenset

    @property
    def ends(self):
        return [end for end in (self.low, self.high) if end is not None]

    @property
    def dimension(self):
        return self.ends[0].dimension

    @property
    def labels(self):
        return self.ends[0].labels

    @property
    def waits(self):
        return frozenset().union(*(end.waits for end in self.ends))


@dataclass
class Several:
    """Readings or a column: its numbers, and what its rows are called, for means over the same rows."""

    numbers: list
    key: object
    labels_of_rows: list = field(default_factory=list)


def plain(number):
    return Number(Quantity(float(number), "dimensionless"))


def together(*numbers):
    """What any value made of these keeps of where they come from."""
    choices = frozenset().union(*(n.choices for n in numbers))
    tables = [table for table, _ in choices]
    if len(tables) != len(set(tables)):
        raise Unsuitable("means over different choices of rows")
    return {"unknown": any(n.unknown for n in numbers), "waits": frozenset().union(*(n.waits for n in numbers)),
            "choices": choices}


def combined(first, second, sign):
    powers = dict(first)
    for label, power in second:
        powers[label] = powers.get(label, 0) + sign * power
    return tuple(sorted((label, power) for label, power in powers.items() if power))


def side(labels, sign):
    return tuple((label, power) for label, power in labels if power * sign > 0)


def shared_labels(a, b):
    """The labels of a sum: each side of the line for itself, kept where both have it."""
    kept = ()
    for sign in (1, -1):
        one, other = side(a.labels, sign), side(b.labels, sign)
        if one and other and one != other:
            raise Refused("label")
        kept += one if one and other else ()
    return tuple(sorted(kept))


def same_labels(numbers):
    """The values of one list have the same labels."""
    if any(n.labels != numbers[0].labels for n in numbers):
        raise Unsuitable("a list with labels and without")
    return numbers[0].labels


def fitting(a, b):
    if a.dimension != b.dimension:
        raise Refused("dimension")


def add(a, b, sign=1):
    if isinstance(a, Range) or isinstance(b, Range):
        return range_sum(a, b, sign)
    fitting(a, b)
    if a.share or b.share:
        raise Unsuitable("a sum of shares")
    if a.point and b.point and sign > 0:
        raise Refused("points")
    if b.point and not a.point and sign < 0:
        raise Unsuitable("a difference less a point")
    q = a.q + b.q if sign > 0 else a.q - b.q
    size = max(abs(a.value), abs(b.value))
    if abs(nominal(q.magnitude)) < 1e-4 * size and nominal(q.magnitude) != 0.0:
        raise Unsuitable("nearly all cancels")
    point = (a.point or b.point) and not (a.point and b.point)
    return Number(q, shared_labels(a, b), point, **together(a, b))


def multiply(a, b):
    if isinstance(a, Range) or isinstance(b, Range):
        return range_product(a, b, multiply)
    return product(a, b, 1)


def divide(a, b):
    if isinstance(b, Range):
        if any(end.value == 0 for end in b.ends) or (len(b.ends) == 2 and b.low.value < 0 < b.high.value):
            raise Refused("a range that holds 0")
    if isinstance(a, Range) or isinstance(b, Range):
        return range_product(a, b, divide)
    if b.value == 0:
        raise Refused("division by 0")
    return product(a, b, -1)


def product(a, b, sign):
    if a.point or b.point:
        raise Refused("points")
    q = a.q * b.q if sign > 0 else a.q / b.q
    if a.share or b.share:
        return of_share(a, b, sign, q)
    return Number(q, combined(a.labels, b.labels, sign), **together(a, b))


def of_share(a, b, sign, q):
    """A named share with an amount: its label takes the place of the amount's above the line."""
    share, amount = (a, b) if a.share else (b, a)
    if amount.share or (sign < 0 and not b.share):
        raise Unsuitable("two shares, or an amount below one")
    if amount.dimension == Quantity(1, "meter ** 3").dimensionality and share.share == "w/w":
        raise Refused("share")
    if amount.dimension == Quantity(1, "kilogram").dimensionality and share.share == "v/v":
        raise Refused("share")
    if amount.dimension not in (Quantity(1, "meter ** 3").dimensionality, Quantity(1, "kilogram").dimensionality):
        raise Unsuitable("a share of something else")
    above, below = side(amount.labels, 1), side(amount.labels, -1)
    if sign > 0:
        if above == share.labels:
            raise Refused("label")
        labels = combined(share.labels, below, 1)
    else:
        if above and above != share.labels:
            raise Refused("label")
        if not above:
            raise Unsuitable("a plain amount divided by a share")
        labels = below
    return Number(q, labels, **together(a, b))


def power(a, exponent):
    if isinstance(a, Range) or a.point or a.share:
        raise Unsuitable("a power of that")
    if a.value < 0 and exponent != round(exponent):
        raise Refused("root of a negative")
    if a.value == 0:
        raise Unsuitable("a power of 0")
    if a.labels and exponent != round(exponent):
        raise Unsuitable("the root of a label")
    labels = tuple((label, power * exponent) for label, power in a.labels)
    return Number(a.q**exponent, labels, **together(a))


def negative(a):
    if isinstance(a, Range):
        if len(a.ends) < 2:
            raise Unsuitable("less than a range with one end")
        return Range(negative(a.high), negative(a.low), a.origins)
    if a.point or a.share:
        raise Unsuitable("less than a point")
    return replace(a, q=-a.q)


def function(name, a):
    """A function of one number."""
    if a.point or a.share or a.labels:
        raise Unsuitable("labels in a function")
    if name == "sqrt":
        if a.value <= 0:
            raise Unsuitable("the root of nothing")
        return Number(a.q**0.5, **together(a))
    if name == "abs":
        return replace(a, q=abs(a.q) if a.value >= 0 else -a.q)
    wanted = Quantity(1, "angle_rad" if name in ("sin", "cos", "tan") else "dimensionless").dimensionality
    if a.dimension != wanted:
        raise Refused("dimension")
    if (name == "ln" and a.value <= 0) or (name == "exp" and abs(a.value) > 50) or abs(a.value) > 1e4:
        raise Unsuitable("too far")
    found = FUNCTIONS[name](a.x)
    if abs(nominal(found)) < 1e-6 or abs(nominal(found)) > 1e6:
        raise Unsuitable("near nothing, where rounding decides")
    return Number(Quantity(found, "angle_rad" if name == "atan" else "dimensionless"), **together(a))


def once(a, b):
    origins = [v.origins for v in (a, b) if isinstance(v, Range)]
    if len(origins) == 2 and origins[0] & origins[1]:
        raise Refused("a range twice")
    return frozenset().union(*origins)


def range_sum(a, b, sign):
    origins = once(a, b)
    first, second = ends_of(a), ends_of(b)
    open_ends(a, b)
    if sign < 0:
        if len(b.ends if isinstance(b, Range) else "ab") < 2:
            raise Unsuitable("less a range with one end")
        second = second[::-1]
    ends = [None if x is None or y is None else add(x, y, sign) for x, y in zip(first, second)]
    return checked(Range(*ends, origins))


def range_product(a, b, operation):
    origins = once(a, b)
    open_ends(a, b)
    if any(end is None for end in ends_of(a) + ends_of(b)):
        return open_product(a, b, operation, origins)
    ends = [operation(x, y) for x in apart_ends(a) for y in apart_ends(b)]
    ends.sort(key=lambda end: end.value)
    for one, next_one in zip(ends, ends[1:]):
        if math.isclose(one.value, next_one.value, rel_tol=1e-9) and one is not next_one and one.is_doubtful:
            raise Unsuitable("which end decides is open")
    return checked(Range(ends[0], ends[-1], origins))


def open_ends(a, b):
    """A range with one end goes with one value only, which is no range."""
    for one, other in ((a, b), (b, a)):
        if isinstance(one, Range) and len(one.ends) == 1 and isinstance(other, Range):
            raise Unsuitable("a range with one end and a range")


def open_product(a, b, operation, origins):
    if not isinstance(a, Range) or b.value <= 0:
        raise Unsuitable("a range with one end below the line")
    return Range(*(None if end is None else operation(end, b) for end in (a.low, a.high)), origins)


def ends_of(a):
    return [a.low, a.high] if isinstance(a, Range) else [a, a]


def apart_ends(a):
    return a.ends if isinstance(a, Range) else [a]


def checked(a):
    if len(a.ends) == 2 and a.low.value > a.high.value:
        raise Unsuitable("backwards")
    return a


def apart(a, b):
    """Refuses two values that cannot be compared."""
    fitting(a, b)
    if a.point != b.point:
        raise Unsuitable("a point with a difference")
    shared_labels(a, b)
    if a.share or b.share:
        raise Unsuitable("shares compared")


def compare(a, b):
    """-1, 0 or 1, where rounding cannot decide it."""
    apart(a, b)
    difference, size = a.value - b.value, max(abs(a.value), abs(b.value))
    if abs(difference) <= 1e-14 * size:
        return 0
    if abs(difference) <= NEAR * size:
        raise Unsuitable("too near")
    return 1 if difference > 0 else -1

"""Writes patterns.tsv: spread patterns with the CV of every swath and the widest swath that meets a limit.

Run from the top of the repository: python3 tests/reference/swath/make.py  (needs numpy, mpmath)

The field is walked: numpy lays a long line of passes beside each other, adds up what each leaves at every place, and
takes the CV of what lies there. No index is folded into a period. Decisions and the figures written come from the same
walk in exact fractions of the decimals as written, which numpy's have to meet to twelve digits.

Columns: style; catches of the pans in order across; spacing of the pans; from two spacings up in half spacings, the CV
of each swath; the limit of CV; the widest swath that meets it (`none`); the lowest CV found; swaths from half of the
widest up that do not meet the limit. Lists stand apart by `,`. A swath is in the unit of the spacing, a CV is a plain
number.
"""

import random
from fractions import Fraction

import mpmath as mp
import numpy as np

mp.mp.dps = 30
RANDOM = random.Random(20260413)
STYLES = ("back and forth", "round and round")


def pattern(catches, spacing):
    """Where the knots of the pattern stand and what is caught there: 0 where the next pan would be."""
    middle = len(catches) // 2
    places = [(index - middle) * spacing for index in range(-1, len(catches) + 1)]
    return places, [0, *catches, 0]


def straight(x, places, catches):
    """The pattern at one place, in fractions."""
    for left, right, low, high in zip(places, places[1:], catches, catches[1:]):
        if left <= x <= right:
            return low + (high - low) * (x - left) / (right - left)
    return Fraction(0)


def places_of(spacing, halves, style):
    """How many places, one spacing apart from the middle pan on, one period has, or two where one is not whole."""
    period = halves * (2 if style == STYLES[0] else 1)
    return period // 2 if period % 2 == 0 else period


def by_numpy(catches, spacing, halves, style):
    knots, caught = pattern([float(c) for c in catches], float(spacing))
    swath = halves * float(spacing) / 2
    x = np.arange(places_of(spacing, halves, style)) * float(spacing)
    field = np.zeros_like(x)
    for walk in range(-60, 61):
        mirrored = -1 if style == STYLES[0] and walk % 2 else 1
        field += np.interp(mirrored * (x - walk * swath), knots, caught, left=0, right=0)
    return field.std(ddof=1) / field.mean()


def by_fractions(catches, spacing, halves, style):
    """The square of the CV, exactly."""
    knots, caught = pattern(catches, spacing)
    swath, count = halves * spacing / 2, places_of(spacing, halves, style)
    field = []
    for place in range(count):
        total = Fraction(0)
        for walk in range(-60, 61):
            mirrored = -1 if style == STYLES[0] and walk % 2 else 1
            total += straight(mirrored * (place * spacing - walk * swath), knots, caught)
        field.append(total)
    mean = sum(field) / count
    return sum((amount - mean) ** 2 for amount in field) / (count - 1) / mean**2


def decimal(low, high, digits):
    return Fraction(str(round(RANDOM.uniform(low, high), digits)))


def catches_of(kind, count):
    """Bells with scatter, lopsided ones, flat tops, triangles that overlap without a seam, and plain noise."""
    middle = count // 2
    lean = RANDOM.uniform(-0.3, 0.3)
    if kind == "triangle":
        step = decimal(0.1, 3, 1)
        return [step * (middle + 1 - abs(index - middle)) for index in range(count)]
    if kind == "noise":
        return [decimal(0, 20, 1) for _ in range(count)]
    result = []
    for index in range(count):
        at = (index - middle) / (middle + 1)
        body = {"bell": 1 - at * at, "flat": min(1, 2.2 * (1 - abs(at)))}[kind]
        result.append(Fraction(str(max(0, round(30 * body * (1 + lean * at) * RANDOM.uniform(0.85, 1.15), 1)))))
    if RANDOM.random() < 0.5:
        result[0] = result[-1] = Fraction(0)
    return result


def text(number):
    """A fraction of tens as its decimal."""
    return repr(int(number) if number.denominator == 1 else float(number))


def row(kind, style):
    count, spacing = RANDOM.randrange(5, 22, 2), decimal(0.5, 5, RANDOM.choice([0, 1, 2])) or Fraction(1)
    catches = catches_of(kind, count)
    all_halves = range(4, 2 * (count - 1) + 1)
    squares = {halves: by_fractions(catches, spacing, halves, style) for halves in all_halves}
    cvs = {halves: mp.sqrt(mp.mpf(square.numerator) / square.denominator) for halves, square in squares.items()}
    for halves in all_halves:
        assert abs(by_numpy(catches, spacing, halves, style) - float(cvs[halves])) < 1e-12, (catches, halves)
    limit = Fraction(0) if kind == "triangle" and RANDOM.random() < 0.5 else decimal(0.02, 0.3, 2)
    meets = [halves for halves in all_halves if squares[halves] <= limit**2]
    widest = max(meets, default=None)
    misses = [halves for halves in all_halves if widest and widest / 2 <= halves < widest and halves not in meets]
    swaths = lambda some: ",".join(text(halves * spacing / 2) for halves in some)
    return [style, ",".join(map(text, catches)), text(spacing), ",".join(mp.nstr(cvs[h], 17) for h in all_halves),
            text(limit), swaths([widest]) if widest else "none", mp.nstr(min(cvs.values()), 17), swaths(misses)]


with open("tests/reference/swath/patterns.tsv", "w", encoding="utf-8") as file:
    file.write(f"# Spread patterns by numpy {np.__version__} and exact fractions (mpmath {mp.__version__}): make.py\n")
    file.write("style\tcatches\tspacing\tcv\tlimit\twidest\tlowest\tmisses\n")
    for number in range(60):
        kind = ("bell", "flat", "triangle", "noise", "bell")[number % 5]
        for style in STYLES:
            file.write("\t".join(row(kind, style)) + "\n")

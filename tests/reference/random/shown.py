"""How a result is shown, after the notation's page: by its `±`, to four digits, or to a step."""

import math
from decimal import ROUND_CEILING, ROUND_DOWN, ROUND_FLOOR, ROUND_HALF_UP, ROUND_UP, Decimal
from fractions import Fraction

from doubt import Unsuitable


def decimals_for(number, digits):
    """How many places give so many significant digits, whole-number digits never cut."""
    places = digits - 1 - math.floor(math.log10(abs(number)))
    if abs(number) * 10.0**places >= 10**digits - 0.5:
        places -= 1
    return max(0, places)


def clear(number, places, halves):
    """Refuses what hangs on the last digit of a binary number: a tie, or a whole step."""
    steps = Fraction(number) * 10**places
    rest = abs(steps - round(steps * (2 if halves else 1)) / Fraction(2 if halves else 1))
    if rest < Fraction(1, 10**7) + abs(steps) / 10**8:
        raise Unsuitable("too near")


def number(value, half):
    """The text of a number with its half-width, both in the unit it is shown in."""
    if half:
        places = 1 - math.floor(math.log10(half))
        if half * 10.0**places >= 99.5:
            places -= 1
        if places < 0:
            raise Unsuitable("a ± of hundreds")
        clear(half, places, True)
    else:
        places = decimals_for(value, 4)
    clear(value, places, True)
    return placed(value, places) + (f" ± {placed(half, places)}" if half else "")


def placed(value, places, rounding=ROUND_HALF_UP):
    text = str(Decimal(repr(value)).quantize(Decimal(1).scaleb(-places), rounding))
    if "E" in text or not any(c in "123456789" for c in text):
        raise Unsuitable("nothing is left")
    return text


def ends(low, high):
    """A range is rounded inward."""
    texts = []
    for end, rounding in ((low, ROUND_CEILING), (high, ROUND_FLOOR)):
        places = decimals_for(end, 4)
        clear(end, places, False)
        texts.append(placed(end, places, rounding))
    if Decimal(texts[0]) >= Decimal(texts[1]):
        raise Unsuitable("nothing lies inside")
    return " to ".join(texts)


def stepped(value, step, way):
    """The value to a step: the nearest, ties away from nothing, or up or down."""
    steps = Fraction(value) / step
    low = math.floor(steps)
    rest = steps - low
    if min(rest, 1 - rest, abs(rest - Fraction(1, 2))) < Fraction(1, 10**7):
        raise Unsuitable("too near")
    if way == "up" or (way is None and rest > Fraction(1, 2)):
        low += 1
    return float(low * step)

"""How things are written: numerals, formulas with no more brackets than they need, and some with more."""

from dataclasses import dataclass
from fractions import Fraction

SUM, PRODUCT, POWER, ATOM = 5, 6, 8, 10
VULGAR = {"½": Fraction(1, 2), "¼": Fraction(1, 4), "¾": Fraction(3, 4), "⅓": Fraction(1, 3), "⅛": Fraction(1, 8)}


@dataclass
class Formula:
    """A text, how tightly its last operator binds, what it comes to in a row (`run`), the units of what it names with
    their powers where it is no more than a product, and the plain numbers and names in it.
    """

    text: str
    binds: int
    run: object
    terms: dict | None = None


def decimal(fraction):
    """A fraction whose denominator divides a power of ten, as a decimal."""
    text = f"{float(fraction):.12f}".rstrip("0").rstrip(".")
    assert Fraction(text) == fraction, fraction
    return text


def numeral(random, scale=None, is_fraction_fine=True):
    """A number above 0 of up to four digits as text and fraction; `scale` is about how large it is."""
    scale = scale or 10 ** random.uniform(-1, 2.5)
    if is_fraction_fine and 0.3 < scale < 60 and random.random() < 0.3:
        return mixed(random, scale)
    digits = random.choice([1, 2, 2, 3, 3, 4])
    number = float(f"{scale * random.uniform(0.6, 1.6):.{digits}g}")
    if random.random() < 0.05 or not 1e-4 < number < 1e7:
        text = f"{number:.{digits - 1}e}"
        return text, Fraction(text)
    text = f"{number:.10f}".rstrip("0").rstrip(".")
    fraction = Fraction(text)
    return (text[1:] if text.startswith("0.") and random.random() < 0.2 else text), fraction


def mixed(random, scale):
    whole, below = int(scale), random.choice([2, 2, 3, 4, 4, 8, 16])
    above = random.randrange(1, below)
    if random.random() < 0.25:
        sign = random.choice(list(VULGAR))
        return (f"{whole}{sign}" if whole else sign), whole + VULGAR[sign]
    return (f"{whole} " if whole else "") + f"{above}/{below}", whole + Fraction(above, below)


def within(formula, least, random):
    """Its text as a part of a formula whose operator binds so tightly."""
    if formula.binds < least or (formula.binds < ATOM and random.random() < 0.08):
        return f"({formula.text})"
    return formula.text


def joined(first, sign, second, random):
    binds = SUM if sign in "+-−" else PRODUCT
    return f"{within(first, binds, random)} {sign} {within(second, binds + 1, random)}", binds

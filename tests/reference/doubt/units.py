"""The sizes of the units that the worksheets here use, by pint in exact fractions; an angle's by mpmath's pi."""

from fractions import Fraction

import mpmath as mp
import pint

mp.mp.dps = 60
REGISTRY = pint.UnitRegistry(non_int_type=Fraction)
WORDS = {
    "ft": "foot", "in": "inch", "yd": "yard", "m": "meter", "cm": "centimeter", "ft²": "foot**2", "m²": "meter**2",
    "yd²": "yard**2", "gal": "gallon", "qt": "quart", "pt": "pint", "fl oz": "fluid_ounce", "L": "liter",
    "mL": "milliliter", "ft³": "foot**3", "lb": "pound", "oz": "ounce", "kg": "kilogram", "g": "gram", "s": "second",
    "min": "minute", "h": "hour", "mph": "mile/hour",
}


def word(text):
    if text == "rad":
        return mp.mpf(1)
    if text == "deg":
        return mp.pi / 180
    if text in ("", "%"):
        return Fraction(1, 100 if text else 1)
    return REGISTRY.Quantity(Fraction(1), WORDS[text]).to_base_units().magnitude


def size(unit):
    """How many SI units one of it is: `gal/min`, `lb/1000 ft²`."""
    above, _, below = unit.partition("/")
    lead, _, rest = below.partition(" ")
    if lead.isdigit():
        return word(above) / (int(lead) * word(rest))
    return word(above) / word(below) if below else word(above)


def exact(number):
    """A fraction as mpmath keeps it."""
    return mp.mpf(number.numerator) / number.denominator if isinstance(number, Fraction) else mp.mpf(number)

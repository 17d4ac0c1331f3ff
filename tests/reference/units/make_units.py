"""Makes pint.tsv: the size of every word of the vocabulary, from the general-purpose Python library pint.

Only the words are read from grammar/vocabulary.tsv, never its sizes. Each word is told to pint as it stands where pint
knows it; where it does not, the unit that ASKED names is. All arithmetic is in exact fractions, and each size is written
with forty digits, so that a test can ask for the very same nearest double.

    python -m venv venv && venv/bin/pip install pint==0.25.3
    venv/bin/python make_units.py > pint.tsv
"""

import platform
import sys
from decimal import Context, Decimal
from fractions import Fraction
from pathlib import Path

import pint

VOCABULARY = Path(__file__).resolve().parents[3] / "grammar" / "vocabulary.tsv"
BASES = ["length", "mass", "time", "temperature"]

# What pint is asked for the symbol of each row (an expression of its own units).
ASKED = {
    "in": "inch", "ft": "foot", "yd": "yard", "mi": "mile",
    "mm": "millimeter", "cm": "centimeter", "m": "meter", "km": "kilometer",
    "acre": "43560 * foot**2", "ha": "hectare",
    "tsp": "teaspoon", "tbsp": "tablespoon", "fl oz": "US_fluid_ounce", "cup": "cup", "pt": "US_liquid_gallon / 8",
    "qt": "liquid_quart", "gal": "US_liquid_gallon",
    "imp tsp": "imperial_cup / 48", "imp tbsp": "imperial_cup / 16", "imp fl oz": "imperial_fluid_ounce",
    "imp cup": "imperial_cup", "imp pt": "imperial_pint", "imp qt": "imperial_quart", "imp gal": "imperial_gallon",
    "mL": "milliliter", "L": "liter",
    "oz": "ounce", "lb": "pound", "ton": "short_ton", "mg": "milligram", "g": "gram", "kg": "kilogram",
    "tonne": "metric_ton",
    "s": "second", "min": "minute", "h": "hour", "day": "day", "week": "week",
    "mph": "mile / hour",
    "psi": "force_pound / inch**2", "bar": "bar", "Pa": "pascal", "kPa": "kilopascal", "atm": "standard_atmosphere",
    "lbf": "force_pound",
    "°F": "degree_Fahrenheit", "°C": "degree_Celsius",
    "Δ°F": "delta_degree_Fahrenheit", "Δ°C": "delta_degree_Celsius",
    "deg": "degree", "rad": "radian",
    "%": "percent", "% v/v": "percent", "% w/w": "percent", "% w/v": "gram / (100 * milliliter)",
    "ppm v/v": "ppm", "ppm w/w": "ppm", "points": "percent",
    "gal/min": "US_liquid_gallon / minute", "gal/h": "US_liquid_gallon / hour",
    "gal/acre": "US_liquid_gallon / (43560 * foot**2)", "L/min": "liter / minute", "km/h": "kilometer / hour",
    "ft^2": "foot**2", "ft^3": "foot**3", "cm^3": "centimeter**3",
}  # fmt: skip

# What is said beside a size that pint alone does not settle.
REMARKS = {
    "acre": "the standard wins: pint's own acre is of the survey foot, NIST Handbook 44's of the international one",
    "imp tsp": "48 to the cup is common practice",
    "imp tbsp": "16 to the cup is common practice",
    "% w/v": "grams in 100 mL is common practice",
}

# Words that pint reads otherwise than the trade: atto-c, kiloseconds, a pico-carat, the printer's point, thousand mph,
# and a difference (with the increment sign U+2206) as a point.
READ_OTHERWISE = ["acre", "acres", "ac", "kilos", "pct", "point", "points", "kmph", "∆°F", "∆°C"]

# Kinds whose size is no matter of measurement.
COUNTED = {"counter": "counted: one is one", "currency": "money: one is one"}


def main():
    registry = pint.UnitRegistry(non_int_type=Fraction)
    print(f"# Made by make_units.py with pint {pint.__version__}, Python {platform.python_version()}. Do not edit.")
    print("word", "size in SI", "zero in kelvin", "dimension", "source", sep="\t")
    for row in rows():
        for word in words(row):
            print(word, *answer(registry, row, word), sep="\t")
    for raised, word, symbol, power in raised_lengths():
        print(raised, *measured(registry, f"({ASKED[symbol]})**{power}"), f"pint: ({ASKED[symbol]})**{power}", sep="\t")


def rows():
    lines = [line for line in VOCABULARY.read_text(encoding="utf-8").splitlines() if not line.startswith("#")]
    columns = lines[0].split("\t")
    return [dict(zip(columns, line.split("\t"))) for line in lines[1:] if not line.startswith(("refused", "power"))]


def words(row):
    synonyms = [] if row["synonyms"] == "-" else row["synonyms"].split(", ")
    return synonyms if row["kind"] == "composite" else [row["symbol"], *synonyms]


def raised_lengths():
    lines = [line.split("\t") for line in VOCABULARY.read_text(encoding="utf-8").splitlines()]
    powers = [(before, cells[1]) for cells in lines if cells[0] == "power" for before in cells[5].split(", ")]
    for row in rows():
        if row["dimension"] == "length 1":
            for word in words(row):
                for before, power in powers:
                    yield f"{before} {word}", word, row["symbol"], power


def answer(registry, row, word):
    """The cells behind a word: size, zero, dimension, source."""
    if row["kind"] in COUNTED:
        return "1", "0", "money 1" if row["kind"] == "currency" else "itself 1", COUNTED[row["kind"]]
    asked = ASKED[row["symbol"]]
    wanted = measured(registry, asked)
    remark = f"; {REMARKS[row['symbol']]}" if row["symbol"] in REMARKS else ""
    own = word.replace(" ", "_")
    told = measured(registry, own) if known(registry, own) else None
    if told is not None and (told != wanted) != (word in READ_OTHERWISE):
        sys.exit(f"{word}: pint has {told}, and {wanted} for {asked}")
    return *wanted, f"pint: {own if told == wanted else asked}{remark}"


def known(registry, word):
    try:
        return "/" not in word and word in registry
    except Exception:  # pint's reader gives up on some signs in several ways
        return False


def measured(registry, asked):
    """Size, zero and dimension of what was asked of pint."""
    unit = registry.parse_expression(asked) if any(sign in asked for sign in " *") else registry.Quantity(1, asked)
    unit = unit if hasattr(unit, "units") else registry.Quantity(unit)
    zero = Fraction(0)
    if not unit._is_multiplicative:
        zero = registry.Quantity(Fraction(0), unit.units).to("kelvin").magnitude
        size = registry.Quantity(Fraction(1), unit.units).to("kelvin").magnitude - zero
    else:
        size = unit.to_base_units().magnitude
    return digits(size), digits(zero), dimension(unit)


def dimension(unit):
    # To pint an angle is a plain number: here it is a base of its own.
    if unit.to_base_units().units == unit._REGISTRY.radian:
        return "angle 1"
    powers = {str(base).strip("[]"): power for base, power in unit.dimensionality.items()}
    assert powers.keys() <= set(BASES), powers
    return ", ".join(f"{base} {powers[base]}" for base in BASES if base in powers) or "-"


def digits(value):
    value = Fraction(value)
    context = Context(prec=40)
    return format(context.divide(Decimal(value.numerator), Decimal(value.denominator)).normalize(context), "f")


if __name__ == "__main__":
    main()

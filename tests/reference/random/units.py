"""Units as the notation writes them, and their sizes by pint. Written from the notation's page, not from the program."""

from dataclasses import dataclass, field

import pint

REGISTRY = pint.UnitRegistry()
COUNTERS = ("plant shrub tree pot stroke squeeze turn pass nozzle tip tank bag load bottle bed pump person").split()
for counter in COUNTERS:
    # Some of these words are pint's own for something else.
    REGISTRY.define(f"counted_{counter} = [counted_{counter}]")
REGISTRY.define("coin = [coin]")
# In the notation an angle is no plain number.
REGISTRY.define("angle_rad = [turned]")
REGISTRY.define("angle_deg = 3.14159265358979323846264338327950288 / 180 * angle_rad")
REGISTRY.define("ratio_hundredth = 0.01")
Quantity = REGISTRY.Quantity

# The word as it is shown, what it is to pint, and other ways to write it.
WORDS = {
    "in": ("inch", ["inch", "inches"]), "ft": ("foot", ["foot", "feet"]), "yd": ("yard", ["yards"]), "mi": ("mile", []),
    "mm": ("millimeter", []), "cm": ("centimeter", []), "m": ("meter", ["meters"]), "km": ("kilometer", []),
    # pint's acre is of the survey foot, the notation's is the international one.
    "acre": ("43560 * foot ** 2", ["acres"]), "ha": ("hectare", ["hectares"]),
    "tsp": ("teaspoon", ["teaspoons"]), "tbsp": ("tablespoon", ["tablespoons"]),
    "fl oz": ("fluid_ounce", ["fluid ounces", "fl. oz."]), "cup": ("cup", ["cups"]), "pt": ("pint", ["pints"]),
    "qt": ("quart", ["quarts"]), "gal": ("gallon", ["gallons", "gallon"]),
    "imp fl oz": ("imperial_fluid_ounce", []), "imp pt": ("imperial_pint", []), "imp gal": ("imperial_gallon", []),
    "mL": ("milliliter", ["ml"]), "L": ("liter", ["liters", "l"]),
    "oz": ("ounce", ["ounces"]), "lb": ("pound", ["pounds", "lbs", "lbs."]), "ton": ("short_ton", []),
    "mg": ("milligram", []), "g": ("gram", ["grams"]), "kg": ("kilogram", []), "tonne": ("tonne", []),
    "s": ("second", ["sec", "seconds"]), "min": ("minute", ["minutes"]), "h": ("hour", ["hr", "hours"]),
    "day": ("day", ["days"]), "week": ("week", ["weeks"]), "mph": ("mile / hour", []),
    "psi": ("psi", []), "bar": ("bar", []), "Pa": ("pascal", []), "kPa": ("kilopascal", []), "atm": ("atm", []),
    "lbf": ("force_pound", []), "Δ°F": ("delta_degF", []), "Δ°C": ("delta_degC", []),
    "deg": ("angle_deg", []), "rad": ("angle_rad", []), "%": ("ratio_hundredth", []),
    "% v/v": ("ratio_hundredth", []), "% w/w": ("ratio_hundredth", []), "% w/v": ("gram / (100 * milliliter)", []),
    "$": ("coin", []), "£": ("coin", []), "€": ("coin", []),
} | {counter: (f"counted_{counter}", [counter + "s"] if counter not in ("pass", "person") else []) for counter in COUNTERS}
# Units put together that have a word.
SHORT = {"gal/min": ["gpm"], "gal/acre": ["gpa"]}
POWERS = {1: "", 2: "²", 3: "³", 4: "⁴", 5: "⁵", 6: "⁶"}
SIZES = {word: Quantity(1.0, "dimensionless") * REGISTRY(pint_word).to_base_units() for word, (pint_word, _) in WORDS.items()}


@dataclass(frozen=True)
class Unit:
    """Words to powers above and below the line, and the number that leads below it: `gal/1000 ft²`."""

    above: tuple = ()
    below: tuple = ()
    lead: int = 1
    size: object = field(default=None, compare=False, repr=False)

    def __str__(self):
        above = "·".join(word + POWERS[power] for word, power in self.above)
        lead = f"{self.lead} " if self.lead > 1 else ""
        below = "".join(f"/{lead if not index else ''}{word}{POWERS[power]}" for index, (word, power) in enumerate(self.below))
        return above + below

    @property
    def quantity(self):
        """How much one of it is, in pint's base units."""
        if self.size is None:
            size = Quantity(1.0 / self.lead, "dimensionless")
            for word, power in self.above:
                size = size * SIZES[word] ** power
            for word, power in self.below:
                size = size / SIZES[word] ** power
            object.__setattr__(self, "size", size)
        return self.size

    @property
    def dimension(self):
        return self.quantity.dimensionality

    @property
    def is_of_what_is_above(self):
        """Whether a substance at its end has two readings, if none stands above the line: `lb/acre of N`, `mg/L of N`."""
        if not self.above or self.above[0][0] in ("$", "£", "€") or not self.below:
            return False
        word, power = self.below[-1]
        is_ground = dict((SIZES[word] ** power).dimensionality) == {"[length]": 2}
        return is_ground or str(self) in ("mg/L", "mg/kg")

    def written(self, random, of=None, per=None, plain=False):
        """Some way to write it; `plain` leaves out what cannot stand in the middle of a formula."""
        loose = per is not None or (of is not None and self.below) or (self.below and random.random() < 0.3)
        if str(self) in SHORT and of is None and per is None and random.random() < 0.3:
            return random.choice(SHORT[str(self)])
        above = "·".join(way(word, power, random, plain) for word, power in self.above)
        below = [way(word, power, random, plain) for word, power in self.below]
        lead = f"{self.lead} " if self.lead > 1 else ""
        if lead == "1000 " and loose and random.random() < 0.2:
            lead = "1,000 "
        text = above + (f" of {of}" if of else "")
        if below:
            text += (" per " if loose else "/") + lead + below[0] + "".join("/" + one for one in below[1:])
        return text + (f" of {per}" if per else "")


def way(word, power, random, plain):
    others = [other for other in WORDS[word][1] if not (plain and "." in other)]
    if power == 1:
        return random.choice(others) if others and random.random() < 0.25 else word
    if word in ("ft", "in", "yd", "m", "cm") and power in (2, 3) and random.random() < 0.25:
        return ("sq " if power == 2 else "cu ") + word
    return word + random.choice([POWERS[power], f"^{power}", str(power) if power in (2, 3) and word in ("ft", "in", "yd", "m", "cm") else POWERS[power]])


def unit(text):
    """The unit that a text in the notation's own spelling means."""
    if text is None or text == "":
        return Unit()
    if text in WORDS:
        return Unit(((text, 1),))
    above, *below = text.split("/")
    lead = 1
    if below and below[0].split(" ")[0].isdigit():
        number, below[0] = below[0].split(" ", 1)
        lead = int(number)
    if above == "1":
        above = ""
    return Unit(tuple(map(powered, above.split("·"))) if above else (), tuple(map(powered, below)), lead)


def powered(text):
    for power, sign in POWERS.items():
        if sign and text.endswith(sign):
            return text[: -len(sign)], power
    if text not in WORDS:
        raise KeyError(text)
    return text, 1


CATALOG = [unit(text) for text in (
    "in ft yd m cm mm km mi in² ft² yd² m² cm² acre ha tsp tbsp fl_oz cup pt qt gal mL L in³ ft³ yd³ m³ imp_gal imp_pt "
    "imp_fl_oz oz lb ton mg g kg tonne s min h day week mph km/h ft/s ft/min m/s in/s gal/min gal/h L/min mL/s fl_oz/s "
    "fl_oz/min gal/1000_ft² fl_oz/1000_ft² gal/acre qt/acre pt/acre L/ha L/100_m² mL/m² oz/1000_ft² lb/1000_ft² lb/acre "
    "kg/ha g/m² g/ft² fl_oz/gal mL/L tbsp/gal lb/gal oz/gal lb/100_gal g/L kg/m³ mg/kg mg/L %_w/v psi bar kPa Pa atm lbf "
    "deg rad Δ°F Δ°C % fl_oz/plant mL/stroke gal/tank lb/bag shrub/bed plant/ft² s/plant min/bed ft²/bag plant bag tank "
    "shrub load stroke person nozzle $ $/gal $/lb $/h $/bag $/ft² lb/ft³ m/s² ft³/min"
).replace("_", "\0").split() for text in [text.replace("\0", " ")]]
BY_DIMENSION = {}
for one in CATALOG:
    BY_DIMENSION.setdefault(frozenset(one.dimension.items()), []).append(one)
BASES = {"[length]": ["ft", "in", "m", "yd", "cm"], "[mass]": ["lb", "oz", "g", "kg"], "[time]": ["s", "min", "h"],
         "[temperature]": ["Δ°F", "Δ°C"], "[turned]": ["deg", "rad"], "[coin]": ["$"]}
BASES |= {f"[counted_{counter}]": [counter] for counter in COUNTERS}


def any_unit(dimension, random):
    """Some unit of that dimension; None where it is too odd a one."""
    known = BY_DIMENSION.get(frozenset(dimension.items()), [])
    if known and random.random() < 0.9:
        return random.choice(known)
    above, below = [], []
    for base, power in sorted(dimension.items()):
        if abs(power - round(power)) > 1e-9 or abs(power) > 4:
            return None
        if round(power):
            (above if power > 0 else below).append((random.choice(BASES[base]), abs(round(power))))
    random.shuffle(above)
    random.shuffle(below)
    if not above and below:
        return None
    return Unit(tuple(above), tuple(below))

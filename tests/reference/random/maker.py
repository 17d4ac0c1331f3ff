"""Makes one random worksheet and what it comes to, from a number that stands for it."""

import datetime
import math
from fractions import Fraction

import functions
from doubt import INFINITE, Doubts, nominal
from random import Random
from units import BY_DIMENSION, CATALOG, COUNTERS, SIZES, Quantity, Unit, any_unit, unit
from values import (Number, Range, Refused, Several, Unsuitable, add, compare, divide, function, multiply, negative, plain,
                    power, same_labels, side, together)
from written import ATOM, POWER, SUM, Formula, decimal, joined, numeral, within

FIRST = ("north south front back upper lower gate hedge rose strip walk spray rated first second long short wet dry "
         "label bed crew's").split()
SECOND = ("length width run reach share catch dose mix figure amount depth need cover edge border trial slope part rest "
          "haul factor mark portion re-entry").split()
SUBSTANCES = ["concentrate", "N", "product", "mix", "fertilizer", "lime dust"]
TEXTS = ["green granule", "soap", "Lime sulfur", "bait", "dormant oil"]
LENGTH, VOLUME, MASS, TIME = (Quantity(1, u).dimensionality for u in ("meter", "meter ** 3", "kilogram", "second"))
ORDER = {"ok": 0, "close": 1, "waiting": 2, "no": 3}
WORDS_OF = {"<": ["<", "less than"], "<=": ["<=", "≤", "at most"], ">": [">", "more than"], ">=": [">=", "≥", "at least"]}
TRIES = 60


class Same:
    """What is known of values, not of others that are merely equal."""

    def __init__(self):
        self.kept = {}

    def __setitem__(self, value, known):
        self.kept[id(value)] = (value, known)

    def __contains__(self, value):
        return id(value) in self.kept

    def __getitem__(self, value):
        return self.kept[id(value)][1]

    def get(self, value, other):
        return self.kept.get(id(value), (value, other))[1]


class Maker:
    def __init__(self, seed):
        self.seed, self.random = seed, Random(seed)
        self.doubts = Doubts()
        self.names, self.known, self.unit_of, self.columns, self.readings = set(), {}, {}, {}, {}
        self.blocks, self.values, self.cells, self.checks, self.mistakes = [], {}, {}, {}, []
        self.dates, self.texts, self.answers, self.tables, self.limits = {}, {}, {}, {}, Same()
        self.taken = self.random.choice([None, None, None, "tank", "bag"])

    # Chance.

    def chance(self, share):
        return self.random.random() < share

    def pick(self, several):
        several = list(several)
        if not several:
            raise Unsuitable("nothing to pick")
        return self.random.choice(several)

    def tried(self, make, *of):
        """What is made at last, or nothing where it will not come right."""
        for _ in range(TRIES):
            try:
                return make(*of)
            except (Refused, Unsuitable, OverflowError, ZeroDivisionError, ValueError):
                continue
        return None

    def name(self):
        while True:
            kind = self.random.random()
            if self.taken and self.taken not in self.names:
                name = self.taken
            elif kind < 0.7:
                name = f"{self.pick(FIRST)} {self.pick(SECOND)}"
            elif kind < 0.85:
                name = f"{self.pick(SECOND)} {self.random.randrange(1, 30)}"
            else:
                name = f"{self.pick(FIRST)} {self.pick(FIRST)} {self.pick(SECOND)}"
            if name.casefold() not in self.names:
                self.names.add(name.casefold())
                return name

    def cased(self, name):
        return name.capitalize() if self.chance(0.05) and "." not in name else name

    # Values as they are written down.

    def unit(self, dimension=None):
        fits = BY_DIMENSION.get(frozenset(dimension.items()), []) if dimension is not None else CATALOG
        while True:
            chosen = self.pick(fits)
            if not any(self.taken == word for word, _ in chosen.above + chosen.below):
                return chosen

    def labels_for(self, of):
        """What a unit with a volume or a weight in it may be of."""
        def one(words):
            first = words[0][0] if len(words) == 1 else None
            if first is None or words[0][1] != 1 or first == "% w/v":
                return None
            return self.pick(SUBSTANCES) if SIZES[first].dimensionality in (VOLUME, MASS) else None
        above = one(of.above) if self.chance(0.3) else None
        below = one(of.below) if self.chance(0.15) and of.lead == 1 else None
        return above, (None if below == above or above is None and of.is_of_what_is_above else below)

    def give(self, value, of):
        """A `±` for a value in a unit: its text, half-width in base units as a share or fixed, freedom, at most."""
        share = 10 ** self.random.uniform(-2.5, -0.7)
        freedom = self.random.randrange(1, 40) if self.chance(0.25) else INFINITE
        at_most = freedom == INFINITE and self.chance(0.3)
        tail = f" ({freedom} df)" if freedom < INFINITE else " at most" if at_most else ""
        sign = self.pick(["±", "±", "+/-"])
        if self.chance(0.2) and str(of) != "%":
            text, number = numeral(self.random, 100 * share, False)
            return f" {sign} {text} %{tail}", lambda x: abs(x) * float(number) / 100, freedom, at_most
        unit = self.unit(of.dimension) if self.chance(0.2) and of.dimension else of
        size = unit.quantity.magnitude
        text, number = numeral(self.random, abs(value) * share / size)
        if str(unit) == "%":
            word = " points"
        else:
            word = f" {unit.written(self.random, plain=True)}" if str(unit) else ""
        return f" {sign} {text}{word}{tail}", lambda x: float(number) * size, freedom, at_most

    def number(self, q, above=None, below=None, **more):
        labels = tuple(sorted([(above, 1)] * bool(above) + [(below, -1)] * bool(below)))
        return Number(q, labels, **more)

    def with_doubt(self, bases, give, cell=None):
        """Numbers in base units that share the `±`."""
        _, half, freedom, at_most = give
        return self.doubts.device(bases, [half(x) for x in bases], freedom, at_most)

    def expect(self, name, number, of, above=None, below=None, doubt=True):
        """What the report has to say of a number shown in a unit."""
        kept = {"unit": str(of) or None, "of": above, "per": below}
        if number.waits:
            return self.values.update({name: kept | {"waiting_on": sorted(number.waits)}})
        self.values[name] = kept | self.figures(number, of, doubt)

    def figures(self, number, of, doubt=True):
        size = of.quantity.magnitude
        if number.q.dimensionality != of.dimension:
            raise Refused("dimension")
        value = number.value / size
        if not 1e-9 < abs(value) < 1e12:
            raise Unsuitable("out of all measure")
        if not doubt:
            return {"value": value}
        if number.unknown:
            return {"value": value, "standard_uncertainty": None, "degrees_of_freedom": None, "give_or_take": None}
        u, freedom, half = self.doubts.summary(number.x)
        return {"value": value, "standard_uncertainty": u / size, "degrees_of_freedom": None if freedom == INFINITE else freedom,
                "give_or_take": half / size}

    def line(self, text, is_whole=False):
        """A line of its own, now and then with a remark, or gone on with in the next."""
        if self.chance(0.06):
            text += self.pick([" -- as measured", " -- see the form, line 2", " -- same person, same tip"])
        elif not is_whole and self.chance(0.05):
            for sign in (" = ", " : "):
                if sign in text and not text.startswith("?"):
                    text = text.replace(sign, f"\n  {sign.strip()} ", 1)
                    break
        self.blocks.append(text)

    def keep(self, name, value, of=None):
        self.known[name], self.unit_of[name] = value, of

    # Entries.

    def entry(self, of=None):
        of = of or self.unit()
        name, (above, below) = self.name(), self.labels_for(of)
        written = of.written(self.random, above, below)
        if self.chance(0.04):
            return self.blank(name, of, above, below, written)
        text, number = self.written_number(of)
        q = Quantity(float(number), "dimensionless") * of.quantity
        kind = f" {written}" if written else ""
        if text.endswith("|"):
            text, kind = text[:-1], f" of {above}" if above else ""
        expected = None
        if self.chance(0.4):
            give = self.give(q.magnitude, of)
            x = self.with_doubt([q.magnitude], give)[0]
            text, q = f"{text}{kind}{give[0]}", Quantity(x, q.units)
            # A limit is printed as written, and that is its give or take too.
            expected = give[1](nominal(x)) / of.quantity.magnitude if give[3] else None
        else:
            text += kind
            if not text.endswith(("|",)) and written and of.lead == 1 and self.chance(0.1) and written[0].isalpha() and "e" not in text:
                text = text.replace(f" {written}", written) if not above else text
        number = self.number(q, above, below)
        self.expect(name, number, of, above, below)
        if expected is not None:
            self.values[name]["give_or_take"] = expected
            self.limits[number] = expected * of.quantity.magnitude
        self.keep(name, number, of)
        self.line(f"{name} : {text}")

    def written_number(self, of):
        """A numeral, or where the unit has smaller ones beneath it a compound, which says its own units."""
        parts = {"ft": ("in", 12), "lb": ("oz", 16), "gal": ("qt", 4), "min": ("s", 60), "h": ("min", 60)}.get(str(of))
        if parts and self.chance(0.15):
            whole, rest = self.random.randrange(1, 30), self.random.randrange(1, parts[1])
            self.compound = f"{whole} {of} {rest} {parts[0]}"
            return f"{self.compound}|", Fraction(whole) + Fraction(rest, parts[1])
        return numeral(self.random)

    def blank(self, name, of, above, below, written):
        number = self.number(Quantity(self.random.uniform(1, 20), "dimensionless") * of.quantity, above, below, waits=frozenset([name]))
        self.expect(name, number, of, above, below)
        self.keep(name, number, of)
        self.line(f"{name} : ____ {written}".rstrip())

    def range_entry(self):
        of = self.unit()
        if str(of) in ("% v/v", "% w/w"):
            raise Unsuitable("a share")
        name, (above, below) = self.name(), self.labels_for(of)
        written = of.written(self.random, above, below)
        low_text, low = numeral(self.random)
        high_text, high = numeral(self.random, float(low) * self.random.uniform(1.3, 4))
        if high <= low:
            raise Unsuitable("backwards")
        ends = [self.number(Quantity(float(x), "dimensionless") * of.quantity, above, below) for x in (low, high)]
        form, tail = self.random.random(), f" {written}" if written else ""
        if form < 0.12:
            text, ends[0] = f"{self.pick(['up to', 'at most'])} {high_text}{tail}", None
        elif form < 0.2:
            text, ends[1] = f"at least {low_text}{tail}", None
        elif form < 0.3 and tail:
            text = f"{low_text}{tail} to {high_text}{tail}"
        else:
            text = f"{low_text} to {high_text}{tail}"
        self.keep(name, Range(*ends, frozenset([name])), of)
        self.expect_range(name, self.known[name], of, above, below)
        self.line(f"{name} : {text}")

    def expect_range(self, name, value, of, above=None, below=None):
        kept = {"unit": str(of) or None, "of": above, "per": below}
        if value.waits:
            self.values[name] = kept | {"waiting_on": sorted(value.waits)}
            return
        low, high = (None if end is None else self.figures(end, of)["value"] for end in (value.low, value.high))
        self.values[name] = kept | {"low": low, "high": high}

    def readings_entry(self):
        of = self.unit()
        if "%" in str(of):
            raise Unsuitable("a percentage")
        name, (above, below) = self.name(), self.labels_for(of)
        count, scale = self.random.randrange(2, 7), 10 ** self.random.uniform(-0.5, 2)
        alike = self.chance(0.06)
        numerals = [numeral(self.random, scale) for _ in range(count)]
        numerals = [numerals[0]] * count if alike else numerals
        written = of.written(self.random, above, below)
        tail = f" {written}" if written else ""
        each = tail and self.chance(0.15)
        text = ", ".join(f"{n}{tail}" if each else n for n, _ in numerals) + ("" if each else tail)
        bases = [float(x) * of.quantity.magnitude for _, x in numerals]
        if self.chance(0.4):
            give = self.give(bases[0], of)
            bases, text = self.with_doubt(bases, give), text + give[0]
        units = of.quantity.units
        numbers = [self.number(Quantity(x, units), above, below) for x in bases]
        self.readings[name] = Several(numbers, name)
        self.unit_of[name] = of
        self.values[name] = {"unit": str(of) or None, "of": above, "per": below, "readings": [float(x) for _, x in numerals]}
        self.line(f"{name} : {text}")

    def share_entry(self):
        name, kind, of = self.name(), self.pick(["w/w", "v/v"]), self.pick(SUBSTANCES)
        text, number = numeral(self.random, 10 ** self.random.uniform(-0.5, 1.6))
        self.keep(name, Number(Quantity(float(number) / 100, "dimensionless"), ((of, 1),), share=kind), unit(f"% {kind}"))
        self.values[name] = {"unit": f"% {kind}", "of": of, "per": None, "value": float(number)}
        self.line(f"{name} : {text} % {kind} of {of}")

    def measure(self):
        """A measure of the crew's own, and something measured with it."""
        word = self.pick(["scoop", "dipper", "ladle"])
        if word in self.names:
            raise Unsuitable("measured already")
        of = self.unit(self.pick([VOLUME, MASS]))
        above = self.pick(SUBSTANCES) if self.chance(0.6) else None
        text, number = numeral(self.random, 5)
        base = float(number) * of.quantity.magnitude
        give = self.give(base, of) if self.chance(0.6) else ("",)
        size = self.with_doubt([base], give)[0] if give[0] else base
        self.names.add(word)
        self.line(f"1 {word} = {text} {of.written(self.random, above)}{give[0]}", True)
        for _ in range(2):
            name, (text, number) = self.name(), numeral(self.random, 4)
            self.keep(name, self.number(Quantity(float(number) * size, of.quantity.units), above), None)
            self.values[name] = {"unit": word, "of": above, "per": None, "value": float(number)}
            self.line(f"{name} : {text} {word}{'s' if self.chance(0.4) else ''}")

    def blank_entry(self):
        """Blanks of the other kinds: nothing is worked from these, but they are listed as waiting."""
        name, of = self.name(), self.unit()
        written = of.written(self.random)
        text = self.pick(["____ text", "____ date", "____ date and time", "____ yes or no", f"____ to ____ {written}".rstrip(),
                          f"____, 3, ____ {written}".rstrip(), "____"])
        self.values[name] = {"waiting_on": [name]}
        self.line(f"{name} : {text}")

    def word_entry(self):
        kind = self.random.random()
        name = self.name()
        if kind < 0.35:
            said = self.pick(TEXTS)
            self.texts[name] = said
            self.values[name] = {"text": said}
            self.line(f"{name} : " + self.pick([f'"{said}"', f"“{said}”"]))
        elif kind < 0.6:
            said = self.chance(0.5)
            self.answers[name] = said
            self.values[name] = {"text": "yes" if said else "no"}
            self.line(f"{name} : {'yes' if said else 'no'}")
        else:
            hours = self.chance(0.4)
            moment = datetime.datetime(2024, 1, 1) + datetime.timedelta(minutes=self.random.randrange(3 * 365 * 24 * 60))
            self.dates[name] = (moment if hours else moment.replace(hour=0, minute=0), hours)
            self.values[name] = {"text": dated(*self.dates[name])}
            self.line(f"{name} : {dated(*self.dates[name])}")

    def temperatures(self):
        """Points of a scale: what may be done with them and with their differences."""
        word, pints = self.pick([("°F", "degF"), ("°C", "degC")])
        names = [self.name(), self.name()]
        for name in names:
            text, number = numeral(self.random, 40, False)
            kelvin, tail = Quantity(float(number), pints).to("kelvin"), ""
            if self.chance(0.4):
                half_text, half = numeral(self.random, 2, False)
                x = self.doubts.device([kelvin.magnitude], [Quantity(float(half), f"delta_{pints}").to("kelvin").magnitude])[0]
                kelvin, tail = Quantity(x, "kelvin"), f" ± {half_text} {self.pick([word, 'Δ' + word])}"
            self.keep(name, Number(kelvin, point=True), unit("Δ" + word))
            self.values[name] = self.point(self.known[name], word, pints)
            self.line(f"{name} : {text} {word}{tail}")
        first, second = (self.known[name] for name in names)
        result, other = self.name(), self.pick([("°F", "degF"), ("°C", "degC")])
        number, delta = add(first, second, -1), unit("Δ" + other[0])
        if number.value != 0:
            self.expect(result, number, delta)
            self.keep(result, number, delta)
            self.line(f"{result} = {names[0]} - {names[1]} [Δ{other[0]}]")
        result, function = self.name(), self.pick(["min", "max", "average"])
        x = {"min": lambda: functions.extreme([first.x, second.x], -1), "max": lambda: functions.extreme([first.x, second.x], 1),
             "average": lambda: (first.x + second.x) / 2}[function]()
        self.values[result] = self.point(Number(Quantity(x, "kelvin"), point=True), *other)
        self.line(f"{result} = {function}({names[0]}, {names[1]}) [{other[0]}]")

    def point(self, number, word, pints):
        figures = self.figures(Number(number.q), unit("Δ" + word))
        value = Quantity(number.value, "kelvin").to(pints).magnitude
        if abs(value) < 1e-3:
            raise Unsuitable("at nothing")
        return {"unit": word, "of": None, "per": None} | figures | {"value": value}


def dated(moment, hours):
    return moment.strftime("%Y-%m-%d %H:%M" if hours else "%Y-%m-%d")

"""Formulas grown at random from what is known of a worksheet, each with what it comes to."""

import math
from dataclasses import replace
from fractions import Fraction

import functions
from doubt import nominal
from maker import LENGTH, MASS, TIME, TRIES, VOLUME, Maker
from units import Quantity, Unit, any_unit
from values import (apart, Number, Range, Refused, Several, Unsuitable, add, compare, divide, function, multiply, negative, plain,
                    power, same_labels, together)
from written import ATOM, POWER, SUM, Formula, joined, numeral, within

ANGLE = Quantity(1, "angle_rad").dimensionality


def plain_terms(of):
    """Whether a unit is one that a product's own can be put together from: no number leads in it, and no two of its
    words are of one dimension."""
    dimensions = [str(Unit(((word, 1),)).dimension) for word, _ in of.above + of.below]
    return of.lead == 1 and "%" not in str(of) and len(dimensions) == len(set(dimensions))


def terms_of(of):
    return dict([*of.above, *((word, -power) for word, power in of.below)])


def merged(first, second, sign):
    """The words of a product with their powers: those of one dimension as the first of them met, and what cancels gone."""
    if first is None or second is None:
        return None
    powers = dict(first)
    for word, power in second.items():
        dimension = Unit(((word, 1),)).dimension
        met = next((known for known in powers if Unit(((known, 1),)).dimension == dimension), word)
        powers[met] = powers.get(met, 0) + sign * power
        if not powers[met]:
            del powers[met]
    bases = [base for word in powers for base in Unit(((word, 1),)).dimension]
    return powers if len(bases) == len(set(bases)) else None


class Grower(Maker):
    """`row` in what follows is the row that a column is worked for: its cells by name, none outside a table."""

    row = None

    # Leaves.

    def lookup(self, name):
        def run(row):
            return row[name] if row and name in row else self.known[name]
        return run

    def names_for(self, fits):
        pool = dict(self.known) | (self.row or {})
        return [name for name, value in pool.items() if fits(value)]

    def named(self, fits=lambda value: True):
        name = self.pick(self.names_for(fits))
        of = self.unit_of.get(name)
        in_row = self.row and name in self.row
        terms = None if of is None or in_row or not plain_terms(of) else terms_of(of)
        return Formula(self.cased(name), ATOM, self.lookup(name), terms)

    def literal(self, dimension=None, scale=None):
        """A number with its unit, of that dimension and about that size in base units."""
        of = self.unit() if dimension is None else any_unit(dimension, self.random) if dimension else Unit()
        if of is None or any(self.taken == word for word, _ in of.above + of.below):
            raise Unsuitable("too odd a unit")
        size = of.quantity.magnitude
        text, number = numeral(self.random, scale and abs(scale) / size)
        value = Number(Quantity(float(number) * size, of.quantity.units))
        written = of.written(self.random, plain=True)
        text = f"{text} {written}".rstrip()
        # A numeral with a fraction in it does not stand bare beside a sign that may be taken for a part of it.
        is_bare = number.denominator == 1 and not written
        return Formula(text, ATOM if is_bare else SUM, lambda row: value, {} if not written else None)

    def atom(self):
        kind = self.random.random()
        if kind < 0.72:
            return self.named()
        if kind < 0.86:
            return self.literal()
        if kind < 0.93:
            return self.literal({}, 10 ** self.random.uniform(-0.5, 1.5))
        return self.of_range() if self.chance(0.5) else self.of_several()

    # Growing.

    def grow(self, depth):
        """A formula, and what it comes to in the row at hand."""
        if depth <= 0:
            return self.checked(self.atom())
        make = self.random.choices(
            [self.times, self.over, self.plus, self.raised, self.of_number, self.shape, self.share_of, self.choice,
             self.of_several, self.of_range, self.by_commas, self.rounded, self.less, self.with_share, self.doubt_of, self.span],
            [26, 24, 26, 4, 6, 5, 3, 4, 14, 4, 4, 4, 2, 5, 2, 3])[0]
        return self.checked(make(depth))

    def checked(self, formula):
        value = formula.run(self.row)
        for end in value.ends if isinstance(value, Range) else [value]:
            if not math.isfinite(end.value) or not 1e-12 < abs(end.value) < 1e14:
                raise Unsuitable("out of all measure")
            if any(abs(p) > 4 for p in end.dimension.values()):
                raise Unsuitable("too many dimensions")
        return formula

    def two(self, depth, second=None):
        first = self.grow(depth - 1)
        return first, second(first) if second else self.grow(self.random.randrange(depth))

    def binary(self, first, sign, second, operation, terms=None):
        text, binds = joined(first, sign, second, self.random)
        return Formula(text, binds, lambda row: operation(first.run(row), second.run(row)), terms)

    def times(self, depth):
        first, second = self.two(depth)
        terms = merged(first.terms, second.terms, 1)
        return self.binary(first, self.pick(["*", "*", "*", "×", "·"]), second, multiply, terms)

    def over(self, depth):
        first, second = self.two(depth)
        terms = merged(first.terms, second.terms, -1)
        return self.binary(first, self.pick(["/", "/", "/", "÷"]), second, divide, terms)

    def like(self, first):
        """Something that a sum with `first` can hold."""
        value = first.run(self.row)
        if isinstance(value, Number) and value.point:
            raise Unsuitable("points have formulas of their own")
        dimension = value.dimension
        def fits(other):
            return other.dimension == dimension and not getattr(other, "point", False) and not getattr(other, "share", None)
        if self.names_for(fits) and self.chance(0.75):
            return self.named(fits)
        return self.literal(dimension, (value.ends[0] if isinstance(value, Range) else value).value)

    def plus(self, depth):
        first, second = self.two(depth, self.like)
        if self.chance(0.3):
            first, second = second, first
        sign = self.pick("++--−")
        terms = first.terms if first.terms is not None and first.terms == second.terms else None
        return self.binary(first, sign, second, lambda a, b: add(a, b, 1 if sign == "+" else -1), terms)

    def span(self, depth):
        """`a to b`, which is a range of its own."""
        first, second = self.two(depth, self.like)
        self.spans = getattr(self, "spans", 0) + 1
        origin = frozenset([f"span {self.spans}"])
        def run(row):
            low, high = first.run(row), second.run(row)
            if any(isinstance(v, Range) or v.share or v.point for v in (low, high)) or row is not None:
                raise Unsuitable("a range of ranges")
            same_labels([low, high])
            if compare(low, high) >= 0:
                raise Unsuitable("backwards")
            waits = low.waits | high.waits
            return Range(replace(low, waits=waits), replace(high, waits=waits), origin)
        return Formula(f"{within(first, SUM, self.random)} to {within(second, SUM, self.random)}", 4, run)

    def raised(self, depth):
        base = self.grow(depth - 1)
        exponent = self.pick([2, 2, 3, 0.5, -1])
        if exponent == 0.5 and any(p % 2 for p in base.run(self.row).dimension.values()):
            raise Unsuitable("half a dimension")
        if exponent == -1:
            text, binds = f"{within(base, ATOM, self.random)}^(-1)", POWER
        else:
            text, binds = f"{within(base, ATOM, self.random)}{self.pick(['^', ' ^ '])}{exponent}", POWER
        terms = None if base.terms is None or exponent == 0.5 else {word: p * exponent for word, p in base.terms.items()}
        return Formula(text, binds, lambda row: power(base.run(row), exponent), terms)

    def less(self, depth):
        of = self.grow(depth - 1)
        # A minus sign before a number could be a part of it: `-2^2`.
        return Formula(f"-{within(of, ATOM, self.random)}", SUM, lambda row: negative(of.run(row)), of.terms)

    def call(self, name, arguments, operation, terms=None):
        """A function of one number each."""
        text = f"{self.cased(name) if '(' not in name else name}({', '.join(a.text for a in arguments)})"
        def run(row):
            values = [a.run(row) for a in arguments]
            if any(isinstance(v, Range) or v.point or v.share for v in values):
                raise Unsuitable("no function of ranges")
            return operation(*values)
        return Formula(text, ATOM, run, terms)

    def of_number(self, depth):
        name = self.pick(["sqrt", "abs", "sin", "cos", "tan", "atan", "exp", "ln"])
        if name in ("sin", "cos", "tan"):
            of = self.literal(ANGLE, 0.6) if self.chance(0.5) else self.named(lambda v: v.dimension == ANGLE)
        else:
            of = self.grow(depth - 1)
        if name == "sqrt" and any(p % 2 for p in of.run(self.row).dimension.values()):
            raise Unsuitable("half a dimension")
        return self.call(name, [of], lambda a: function(name, a))

    def length(self, about=None):
        def fits(value):
            return value.dimension == LENGTH and not isinstance(value, Range) and not value.labels
        if self.names_for(fits) and self.chance(0.7):
            return self.named(fits)
        return self.literal(LENGTH, about or 3.0)

    def shape(self, depth):
        name = self.pick(functions.SHAPES)
        count, work = functions.SHAPES[name]
        sides = [self.length()]
        about = sides[0].run(self.row)
        if isinstance(about, Range):
            raise Unsuitable("a range")
        sides += [self.length(about.value) for _ in range(count - 1)]
        def area(*values):
            if any(v.value <= 0 or v.labels for v in values):
                raise Unsuitable("no such side")
            return Number(Quantity(work(*(v.x for v in values)), "meter ** 2"), **together(*values))
        return self.call(name, sides, area)

    def share_of(self, depth):
        of = self.named()
        text, number = numeral(self.random, 20, False)
        share = plain(float(number) / 100)
        return Formula(f"{text} % of {of.text}", SUM, lambda row: multiply(share, of.run(row)))

    def with_share(self, depth):
        """`22 % w/w of N` with an amount."""
        share = self.named(lambda v: getattr(v, "share", None))
        kind = share.run(self.row).share
        amount = self.named(lambda v: isinstance(v, Number) and v.dimension == (MASS if kind == "w/w" else VOLUME))
        if self.chance(0.5):
            return self.binary(amount, "/", share, divide)
        return self.binary(*self.pick([(amount, "*", share), (share, "*", amount)]), multiply)

    def choice(self, depth):
        condition = self.condition(1)
        first, second = self.two(depth, self.like)
        def run(row):
            before, self.in_choice = self.in_choice, True
            try:
                outcome, holds = condition.run(row)
            finally:
                self.in_choice = before
            if outcome == "waiting":
                raise Unsuitable("a choice that waits")
            values = [first.run(row), second.run(row)]
            if any(v.waits or isinstance(v, Range) or v.share for v in values):
                raise Unsuitable("a choice of that")
            same_labels(values)
            return replace(values[0 if holds else 1])
        return Formula(f"if {condition.text} then {first.text} else {second.text}", 0, run)

    # Several values.

    def several(self, fits=lambda several: True):
        """The text of readings or of a column, and what is in it."""
        pool = {name: s for name, s in (self.readings | self.columns).items() if fits(s)}
        name = self.pick(pool)
        return name, pool[name]

    def of_several(self, depth=1):
        if self.row is not None and self.chance(0.7):
            raise Unsuitable("seldom in a row")
        name, several = self.several()
        function = self.pick(["mean"] * 6 + ["median", "average", "average", "sum", "sum", "count", "min", "max", "sd", "cv", "spread"])
        choice, text = None, name
        if "." in name and self.chance(0.3):
            choice = self.rows_chosen(name.split(".")[0])
            text = f"{name} where {choice[0]}"
        if "." in name and choice is None and function != "mean" and self.chance(0.25):
            return self.picked(name, several)
        numbers, key = several.numbers, several.key
        if choice:
            numbers = [n for n, kept in zip(numbers, choice[1]) if kept]
            key = (key, text.split(" where ")[1])
        if not numbers or (function in ("sd", "cv", "spread") and len(numbers) < 2):
            raise Unsuitable("too few")
        of = self.unit_of.get(name)
        is_shown_so = function not in ("count", "cv", "spread") and of is not None and plain_terms(of)
        unit_terms = terms_of(of) if is_shown_so else None
        value = self.of_all(function, numbers, key)
        return Formula(f"{function}({text})", ATOM, lambda row: value, unit_terms)

    def of_all(self, function, numbers, key):
        if function == "count":
            if any(n.waits for n in numbers):
                raise Unsuitable("a count with blanks")
            return plain(len(numbers))
        labels, common, units = same_labels(numbers), together(*numbers), numbers[0].q.units
        xs = [n.x for n in numbers]
        if any(n.unknown for n in numbers):
            raise Unsuitable("several whose doubt is unknown")
        if function in ("mean", "median"):
            if not common["waits"]:
                x, common["unknown"] = self.doubts.mean(xs, key, function == "median")
            else:
                x = xs[0]
            table = key[0] if isinstance(key, tuple) else key
            common["choices"] |= {(table, key)} if function == "mean" else frozenset()
            common = together(Number(None, **common))
            return Number(Quantity(x, units), labels, **common)
        if function in ("cv", "spread"):
            work = functions.cv if function == "cv" else functions.spread
            return Number(Quantity(work(xs), "dimensionless"), **common)
        work = {"average": lambda xs: sum(xs) / len(xs), "sum": sum, "sd": functions.sd,
                "min": lambda xs: functions.extreme(xs, -1), "max": lambda xs: functions.extreme(xs, 1)}[function]
        return Number(Quantity(work(xs), units), labels, **common)

    def picked(self, name, several):
        at = self.random.randrange(len(several.numbers))
        value = replace(several.numbers[at])
        return Formula(f'pick({name}, "{several.labels_of_rows[at]}")', ATOM, lambda row: value)

    def rows_chosen(self, table):
        """Words that choose rows, and which they keep."""
        column = self.pick(self.tables[table])
        kind, cells = self.tables[table][column]
        if kind == "number":
            limit = self.literal(cells[0].dimension, cells[self.random.randrange(len(cells))].value * 0.97)
            value = limit.run(None)
            sign = self.pick(["at most", "more than", "less than", ">="])
            if any(c.waits or c.unknown for c in cells):
                raise Unsuitable("a choice that waits")
            found = [compare(c, value) for c in cells]
            kept = [c == 0 and sign in ("at most", ">=") or (c < 0 if sign in ("at most", "less than") else c > 0) for c in found]
            return f"{column} {sign} {limit.text}", kept
        if kind == "text":
            said = self.pick(cells)
            return f'{column} is "{self.pick([said, said.upper()])}"', [c.casefold() == said.casefold() for c in cells]
        if kind == "yes or no":
            return f"{column} is yes", list(cells)
        raise Unsuitable("dates")

    def by_commas(self, depth):
        name = self.pick(["min", "max", "sum", "average", "mean"])
        first = self.grow(depth - 1)
        others = [self.like(first) for _ in range(self.random.randrange(1, 4))]
        arguments = [first, *others]
        def work(*values):
            return self.of_all(name, list(values), ("values", name, tuple(a.text for a in arguments)))
        formula = self.call(name, arguments, work)
        if name == "mean" and self.row is not None:
            raise Unsuitable("a mean in a row")
        return formula

    def rounded(self, depth):
        name, of = self.pick(["round", "round up", "round down"]), self.grow(depth - 1)
        value = of.run(self.row)
        if isinstance(value, Range) or value.point or value.labels:
            raise Unsuitable("no rounding of that")
        step = self.literal(value.dimension, abs(value.value) * self.random.uniform(0.02, 0.4))
        return self.call(name, [of, step], lambda x, by: self.to_step(name, x, by))

    def to_step(self, name, x, by):
        """Rounded; exact from there on. Ties go away from 0, and what is a whole number of steps to twelve digits is one."""
        steps = x.value / by.value
        low, rest = math.floor(steps), steps - math.floor(steps)
        if min(rest, 1 - rest) > 1e-13 and min(rest, 1 - rest, abs(rest - 0.5)) < 1e-8:
            raise Unsuitable("too near")
        if rest > 1 - 1e-13:
            low, rest = low + 1, 0.0
        if abs(rest - 0.5) < 1e-13:
            rest = 0.5
        if name == "round":
            low += 1 if rest > 0.5 or (rest == 0.5 and steps > 0) else 0
        elif name == "round up":
            low += 1 if rest > 1e-13 else 0
        return Number(Quantity(low * by.value, x.q.units), waits=x.waits | by.waits, unknown=x.unknown)

    def doubt_of(self, depth):
        """What is known of a doubt, as a value."""
        name, of = self.pick(["give or take", "standard uncertainty", "degrees of freedom"]), self.named()
        def work(x):
            if x.waits or x.unknown or x.labels:
                raise Unsuitable("no doubt to say")
            u, freedom, half = self.doubts.summary(x.x)
            if u == 0 or (name == "degrees of freedom" and math.isinf(freedom)):
                raise Unsuitable("nothing")
            if name == "degrees of freedom":
                return plain(freedom)
            # A limit of error that is written down is its own half-width.
            half = self.limits.get(x, half)
            return Number(Quantity(half if name == "give or take" else u, x.q.units))
        return self.call(name, [of], work)

    def of_range(self, depth=1):
        name, of = self.pick(["low", "high", "middle"]), self.named(lambda v: isinstance(v, Range))
        def run(row):
            value = of.run(row)
            if len(value.ends) < 2:
                raise Unsuitable("half open")
            if name == "middle":
                total = Number(value.low.q + value.high.q, value.labels, **together(value.low, value.high))
                return divide(total, plain(2))
            return value.low if name == "low" else value.high
        return Formula(f"{name}({of.text})", ATOM, run, of.terms)

    # Conditions: each comes to an outcome and to whether it holds.

    def condition(self, depth):
        kind = self.random.random()
        if depth > 0 and kind < 0.3:
            word = self.pick(["and", "or"])
            first, second = self.condition(depth - 1), self.condition(depth - 1)
            worst = max if word == "and" else min
            def run(row):
                one, other = first.run(row), second.run(row)
                holds = (one[1] and other[1]) if word == "and" else (one[1] or other[1])
                return worst(one[0], other[0], key=["ok", "close", "waiting", "no"].index), holds
            binds = 2 if word == "and" else 1
            return Formula(f"{within(first, binds, self.random)} {word} {within(second, binds + 1, self.random)}", binds, run)
        if self.row is None and kind < 0.4 and (self.texts or self.answers):
            return self.word_condition()
        if self.row is None and kind < 0.45 and self.dates:
            return self.dated_condition()
        if kind < 0.55:
            return self.inside()
        return self.comparison()

    def word_condition(self):
        is_not = self.chance(0.3)
        word = "is not" if is_not else "is"
        if self.texts and self.chance(0.6):
            name = self.pick(self.texts)
            said = self.pick([self.texts[name], self.texts[name].upper(), "bait"])
            holds = (said.casefold() == self.texts[name].casefold()) != is_not
            return Formula(f'{name} {word} "{said}"', 3, lambda row: ("ok" if holds else "no", holds))
        name = self.pick(self.answers)
        said = self.chance(0.5)
        holds = (said == self.answers[name]) != is_not
        return Formula(f"{name} {word} {'yes' if said else 'no'}", 3, lambda row: ("ok" if holds else "no", holds))

    def dated_condition(self):
        first = self.pick(self.dates)
        moment, hours = self.dates[first]
        other = self.pick([name for name, (_, h) in self.dates.items() if h == hours])
        sign = self.pick(["<", "at most", "more than", ">="])
        on = self.dates[other][0]
        holds = {"<": moment < on, "at most": moment <= on, "more than": moment > on, ">=": moment >= on}[sign]
        return Formula(f"{first} {sign} {other}", 3, lambda row: ("ok" if holds else "no", holds))

    def judged(self, value, limit, sign):
        """How one limit comes out: the value decides, the half-width of the difference says whether it is close."""
        fits = compare(value, limit) if not value.waits | limit.waits else apart(value, limit)
        if value.waits or limit.waits:
            return "waiting", False
        side = fits
        holds = {"<": side < 0, "<=": side <= 0, ">": side > 0, ">=": side >= 0}[sign]
        if not holds:
            return "no", False
        if value.unknown or limit.unknown:
            return "ok", True
        _, _, half = self.doubts.summary(value.x - limit.x)
        for one, other in ((value, limit), (limit, value)):
            # Checks use what is shown, and a limit of error is shown as it was written.
            if one in self.limits and not other.is_doubtful:
                half = self.limits[one]
        left = abs(value.value - limit.value)
        if 0 < half < 1e-10 * abs(value.value):
            raise Unsuitable("all but nothing")
        if abs(half - left) < 1e-6 * left:
            raise Unsuitable("too near")
        return ("close" if half > left else "ok"), True

    def all_judged(self, limits):
        found = [self.judged(*limit) for limit in limits]
        return max((outcome for outcome, _ in found), key=["ok", "close", "waiting", "no"].index), all(h for _, h in found)

    def comparison(self):
        first = self.grow(1) if self.chance(0.4) else self.named(lambda v: not getattr(v, "share", None) and not getattr(v, "point", False))
        second = self.limit_for(first)
        if self.chance(0.3):
            first, second = second, first
        sign = self.pick(["<", "<=", ">", ">="])
        words = {"<": ["<", "less than"], "<=": ["<=", "≤", "at most"], ">": [">", "more than"], ">=": [">=", "≥", "at least"]}
        is_not = self.chance(0.12)
        judged = {"<": ">=", "<=": ">", ">": "<=", ">=": "<"}[sign] if is_not else sign
        def run(row):
            one, other = first.run(row), second.run(row)
            if isinstance(one, Range) and isinstance(other, Range):
                raise Unsuitable("two ranges")
            if any(len(v.ends) < 2 for v in (one, other) if isinstance(v, Range)):
                raise Unsuitable("a half open range compared")
            ends = [(x, y) for x in (one.ends if isinstance(one, Range) else [one]) for y in (other.ends if isinstance(other, Range) else [other])]
            outcome, holds = self.all_judged([(x, y, judged) for x, y in ends])
            if any(x.waits or y.waits for x, y in ends):
                return "waiting", False
            if len(ends) > 1 and self.in_choice and not holds and any(self.judged(x, y, judged)[1] for x, y in ends):
                raise Unsuitable("a choice by a part of a range")
            return outcome, holds
        text = f"{within(first, SUM, self.random)} {self.pick(words[sign])} {within(second, SUM, self.random)}"
        return Formula(f"not ({text})", 3, run) if is_not else Formula(text, 3, run)

    in_choice = True

    def limit_for(self, first):
        """Something to hold it against, near enough to be of interest."""
        value = first.run(self.row)
        if self.chance(0.3):
            return self.like(first)
        end = value.ends[0] if isinstance(value, Range) else value
        if end.value <= 0 or end.point or end.share:
            raise Unsuitable("a limit below nothing")
        return self.literal(value.dimension, end.value * self.random.choice([0.7, 0.95, 1.0, 1.05, 1.4]))

    def inside(self):
        first = self.named(lambda v: isinstance(v, Number) and not v.share and not v.point)
        value = first.run(self.row)
        if value.value <= 0:
            raise Unsuitable("below nothing")
        kind = self.random.random()
        if kind < 0.2:
            held = self.named(lambda v: isinstance(v, Range) and v.dimension == value.dimension)
            def run(row):
                ends, x = held.run(row), first.run(row)
                return self.all_judged([(x, end, sign) for end, sign in ((ends.low, ">="), (ends.high, "<=")) if end is not None])
            return Formula(f"{first.text} within {held.text}", 3, run)
        if kind < 0.4:
            low, high = self.literal(value.dimension, value.value * 0.8), self.literal(value.dimension, value.value * 1.2)
            def run(row):
                if compare(low.run(row), high.run(row)) >= 0:
                    raise Unsuitable("backwards")
                return self.all_judged([(first.run(row), low.run(row), ">="), (first.run(row), high.run(row), "<=")])
            return Formula(f"{first.text} within {low.text} to {high.text}", 3, run)
        other = self.limit_for(first)
        text, number = numeral(self.random, 10, False)
        if kind < 0.7:
            amount, share = f"{text} %", float(number) / 100
            def distance(of):
                return Number(abs(of.q) * share, of.labels, **together(of))
        else:
            by = self.literal(value.dimension, value.value * 0.1)
            amount = by.text
            def distance(of):
                return by.run(None)
        def run(row):
            of, x = other.run(row), first.run(row)
            if isinstance(of, Range) or of.value <= 0:
                raise Unsuitable("a range")
            way = distance(of)
            low, high = Number(of.q - way.q, of.labels, **together(of, way)), Number(of.q + way.q, of.labels, **together(of, way))
            return self.all_judged([(x, low, ">="), (x, high, "<=")])
        return Formula(f"{first.text} within {amount} of {within(other, SUM, self.random)}", 3, run)

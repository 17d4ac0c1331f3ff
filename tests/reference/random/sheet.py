"""One random worksheet put together: entries, tables, results, checks and mistakes, shuffled."""

import math
from fractions import Fraction

import functions
import shown
from doubt import nominal
from grower import Grower
from maker import FIRST, LENGTH, SECOND, TIME, dated
from units import Quantity, Unit, any_unit, unit
from values import Number, Range, Refused, Several, Unsuitable, add, side
from written import Formula, numeral, within

import datetime

LABELS = ["first", "second", "third", "north walk", "gate", "mailbox island", "oak", "south bed"]


class Sheet(Grower):
    def __init__(self, seed):
        super().__init__(seed)
        random = self.random
        for make, most in [(self.entry, 7), (self.range_entry, 2), (self.readings_entry, 2), (self.share_entry, 1),
                           (self.measure, 1), (self.word_entry, 3),
                           (self.blank_entry, 1)]:
            for _ in range(random.randrange(most + 1) + (make == self.entry) * 2):
                self.tried(make)
        if self.chance(0.2):
            self.whole(self.temperatures)
        for _ in range(random.choice([0, 0, 1, 1, 2])):
            self.whole(self.table)
        if self.chance(0.15):
            self.whole(self.pattern)
        if self.chance(0.15):
            self.whole(self.corners)
        if self.chance(0.15):
            self.whole(self.settings)
        for _ in range(random.randrange(3, 11)):
            self.tried(self.result)
        if self.dates:
            self.tried(self.dated_result)
        for _ in range(random.randrange(4)):
            self.tried(self.check)
        if self.chance(0.3):
            for _ in range(random.choice([1, 1, 2])):
                self.tried(self.mistake)
        self.put_together()

    def whole(self, make):
        """What puts several lines down: all of them, or none."""
        kept = (list(self.blocks), dict(self.values), dict(self.cells), dict(self.known), dict(self.unit_of),
                dict(self.columns), dict(self.tables))
        for _ in range(20):
            try:
                return make()
            except (Refused, Unsuitable, OverflowError, ZeroDivisionError, ValueError):
                (self.blocks, self.values, self.cells, self.known, self.unit_of, self.columns, self.tables) = (
                    type(part)(part) for part in kept)
                self.row = None

    # Tables.

    def table(self):
        random, name = self.random, self.pick(["plots", "rounds", "jobs", "trials"])
        if name in self.tables:
            raise Unsuitable("there already")
        labels = random.sample(LABELS, random.randrange(1, 7))
        heads, rows = [name], [[label] for label in labels]
        self.tables[name], cells = {}, [{} for _ in labels]
        for _ in range(random.randrange(1, 5)):
            self.entered_column(name, labels, heads, rows, cells)
        for _ in range(random.randrange(3)):
            self.worked_column(name, labels, heads, cells)
        text = ["| " + " | ".join(heads) + " |"]
        if self.chance(0.2):
            text.append("|" + "|".join(" --- " for _ in range(len(rows[0]))) + "|")
        text += ["| " + " | ".join(row) + (" |" if self.chance(0.9) else " | -- as measured") for row in rows]
        self.blocks.append("\n".join(text))

    def column_name(self, name):
        while True:
            column = self.pick(SECOND) if self.chance(0.7) else f"{self.pick(FIRST)} {self.pick(SECOND)}"
            if column not in self.tables[name] and column not in self.names:
                return column

    def entered_column(self, name, labels, heads, rows, cells):
        column, kind = self.column_name(name), self.random.random()
        if kind < 0.15:
            said = [self.pick(["green granule", "soap", "bait"]) for _ in labels]
            self.words(name, column, "text", said, said, heads, rows)
        elif kind < 0.25:
            said = [self.chance(0.6) for _ in labels]
            self.words(name, column, "yes or no", said, ["yes" if yes else "no" for yes in said], heads, rows)
        elif kind < 0.32:
            said = [str(datetime.date(2025, 1, 1) + datetime.timedelta(days=self.random.randrange(500))) for _ in labels]
            self.words(name, column, "date", said, said, heads, rows)
        else:
            self.numbers(name, column, labels, heads, rows, cells)

    def words(self, name, column, kind, values, texts, heads, rows):
        self.tables[name][column] = (kind, values)
        heads.append(f"{column} : {kind}")
        for row, text in zip(rows, texts):
            row.append(f'"{text}"' if kind == "text" and self.chance(0.3) else text)
            self.cells[f"{name}.{column}, {row[0]}"] = {"text": text}

    def numbers(self, name, column, labels, heads, rows, cells):
        of = Unit() if self.chance(0.1) else self.unit()
        if "%" in str(of):
            raise Unsuitable("percentages")
        above, below = self.labels_for(of)
        size, units = of.quantity.magnitude, of.quantity.units
        scale = 10 ** self.random.uniform(-0.5, 2)
        written = of.written(self.random, above, below)
        texts, bases, said, limits = [], [], [], {}
        for _ in labels:
            text, base, is_said = self.cell(of, scale)
            texts.append(text)
            bases.append(base)
            said.append(is_said)
        head, kind = f"{column} : {written or 'number'}", self.random.random()
        if kind < 0.3 and written:
            give = self.give(bases[0], of)
            bases, head = self.with_doubt(bases, give), head + give[0]
        elif kind < 0.45:
            for at, base in enumerate(bases):
                if self.chance(0.5):
                    give = self.give(base, of)
                    bases[at] = self.with_doubt([base], give)[0]
                    limits[at] = give[1](base) if give[3] else None
                    # A bare number before a `±` in another unit has two readings.
                    texts[at] += ("" if said[at] or not str(of) else f" {of}") + give[0]
        numbers = [self.number(Quantity(x, units), above, below) for x in bases]
        for at, label in enumerate(labels):
            if self.chance(0.02):
                texts[at] = self.pick(["", "____", "__"])
                numbers[at] = self.number(Quantity(nominal(bases[at]), units), above, below, waits=frozenset([f"{name}.{column}, {label}"]))
            if limits.get(at) is not None:
                self.limits[numbers[at]] = limits[at]
            cells[at][column] = numbers[at]
            rows[at].append(texts[at])
            self.cells[f"{name}.{column}, {label}"] = self.cell_expected(numbers[at], of, above, below)
        heads.append(head)
        self.tables[name][column] = ("number", numbers)
        self.columns[f"{name}.{column}"] = Several(numbers, name, labels)
        self.unit_of[f"{name}.{column}"] = of
        self.cell_unit = of

    def cell(self, of, scale):
        size = of.quantity.magnitude
        other = self.unit(of.dimension) if str(of) and self.chance(0.12) else of
        if str(other) == "%":
            raise Unsuitable("a percentage of a percentage")
        text, number = numeral(self.random, scale * size / other.quantity.magnitude)
        said = f" {other.written(self.random, plain=True)}" if other != of or self.chance(0.1) else ""
        return text + said, float(number) * other.quantity.magnitude, bool(said)

    def cell_expected(self, number, of, above, below):
        if number.waits:
            return {"waiting_on": sorted(number.waits)}
        figures = self.figures(number, of)
        if number in self.limits:
            # A limit of error is its own half-width where it is written down.
            figures["give_or_take"] = self.limits[number] / of.quantity.magnitude
        return {"unit": str(of) or None, "of": above, "per": below} | figures

    def worked_column(self, name, labels, heads, cells):
        self.row = cells[0]
        if not self.row:
            return
        for _ in range(40):
            try:
                formula = self.grow(self.random.randrange(1, 3))
                if not any(cell in formula.text for cell in self.row):
                    continue
                values = [formula.run(row) for row in cells]
                if any(isinstance(v, Range) or v.share or v.point or v.unknown for v in values):
                    continue
                for v in values:
                    if v.value == 0 or v.dimension != values[0].dimension or v.labels != values[0].labels:
                        raise Unsuitable("unlike rows")
                bracket, of, above, below, values = self.bracket(formula, values)
                column = self.column_name(name)
                found = {f"{name}.{column}, {label}": self.cell_expected(value, of, above, below)
                         for label, value in zip(labels, values)}
            except (Refused, Unsuitable, OverflowError, ZeroDivisionError, ValueError):
                continue
            self.cells |= found
            heads.append(f"{column} = {formula.text}{bracket}")
            for row, value in zip(cells, values):
                row[column] = value
            self.tables[name][column] = ("number", values)
            self.columns[f"{name}.{column}"] = Several(values, name, labels)
            self.unit_of[f"{name}.{column}"] = of
            break
        self.row = None

    # Results.

    def bracket(self, formula, values):
        """What stands in brackets behind a formula, the unit, the labels, and the values as they are from then on."""
        first = values[0].ends[0] if isinstance(values[0], Range) else values[0]
        above, below = side(first.labels, 1), side(first.labels, -1)
        if len(above) > 1 or len(below) > 1 or any(p != 1 for _, p in above) or any(p != -1 for _, p in below):
            raise Refused("label")
        above, below = above[0][0] if above else None, below[0][0] if below else None
        default = self.default_unit(formula)
        values = [relabelled(value, value.labels) for value in values]
        if not first.dimension:
            percent = formula.terms is None or self.chance(0.3)
            if above or below:
                raise Unsuitable("a plain number of something")
            return (" [%]" if percent else ""), unit("%" if percent else ""), None, None, values
        if default is not None and self.chance(0.8) and default.dimension == first.dimension:
            return "", default, above, below, values
        of = any_unit(first.dimension, self.random)
        if of is None or any(self.taken == word for word, _ in of.above + of.below):
            raise Unsuitable("too odd a unit")
        if below and (not of.below or self.chance(0.3) or above is None and of.is_of_what_is_above):
            below = None
        if above and not of.above:
            raise Unsuitable("nothing above the line")
        if above is None and not below and not of.below and self.chance(0.05) and of.above[0][1] == 1:
            above = self.pick(["product", "lime dust"])
        labels = tuple(sorted([(above, 1)] * bool(above) + [(below, -1)] * bool(below)))
        values = [relabelled(value, labels) for value in values]
        decoration = self.decoration(of, above, below, values) if self.row is None else ""
        return f"  [{decoration or of.written(self.random, above, below)}]", of, above, below, values

    def decoration(self, of, above, below, values):
        """A step, two units or measures, none of which change the value."""
        kind, value = self.random.random(), values[0]
        is_range = isinstance(value, Range)
        end = value.ends[0] if is_range else value
        shown = abs(end.value) / of.quantity.magnitude
        written = of.written(self.random, above, below)
        if kind < 0.15 and 0.05 < shown < 1e4 and not written[0].isdigit():
            step = self.pick([text for text in ("0.01", "0.1", "1/2", "1/4", "5", "10") if float(Fraction(text)) < shown * 2] or ["0.01"])
            way = "" if is_range else self.pick(["", "", ", up", ", down"])
            self.step = (Fraction(step), way[2:] or None)
            return f"{step} {written}{way}"
        if kind < 0.22:
            other = any_unit(end.dimension, self.random)
            is_fine = other and bool(other.below) == bool(of.below) and bool(other.above) == bool(of.above)
            is_fine = is_fine and not (below and above is None and other.is_of_what_is_above)
            if is_fine and not any(self.taken == word for word, _ in other.above + other.below):
                return f"{written}; {other.written(self.random, above, below)}"
        measures = {"tbsp": "1/2 tsp", "ft": "in", "gal": "fl oz", "lb": "1/4 oz", "cup": "tbsp", "h": "min"}
        if kind < 0.4 and str(of) in measures and not above and not is_range:
            last = measures[str(of)].split(" ")
            inner = unit(last[1]).quantity.magnitude / of.quantity.magnitude if len(last) == 2 else None
            self.step = (Fraction(last[0]) * Fraction(inner).limit_denominator(10000), None) if inner else "measures"
            return f"{of} + {measures[str(of)]}"
        return ""

    def default_unit(self, formula):
        """The unit that a plain product of named values has without brackets; none where it has to say one, or is no
        such product. The units of the values in their order, those of one dimension merged into the first met."""
        if not formula.terms:
            return None
        powers = formula.terms
        bases = [base for word in powers for base in Unit(((word, 1),)).dimension]
        if len(bases) != len(set(bases)) or not any(p > 0 for p in powers.values()) or any(abs(p) > 6 for p in powers.values()):
            return None
        return Unit(tuple((w, p) for w, p in powers.items() if p > 0), tuple((w, -p) for w, p in powers.items() if p < 0))

    def result(self):
        formula, self.step = self.grow(self.random.choice([1, 1, 2, 2, 3])), None
        value = formula.run(None)
        if getattr(value, "share", None) or getattr(value, "point", False):
            raise Unsuitable("seen elsewhere")
        bracket, of, above, below, (value,) = self.bracket(formula, [value])
        name = self.name()
        if isinstance(value, Range):
            self.expect_range(name, value, of, above, below)
        else:
            self.expect(name, value, of, above, below)
        self.keep(name, value, of)
        self.line(f"{name} = {formula.text}{bracket}")
        self.tried_once(self.shown_text, self.values[name], value, of)
        if self.chance(0.15):
            self.tried_once(self.shown_result, name, value, of, above, below)

    def shown_text(self, figures, value, of):
        """What the report prints for a result, where no step is asked for."""
        if self.step is None and "waiting_on" not in figures and str(of) != "$":
            if "low" in figures:
                is_exact = not any(end.is_doubtful for end in value.ends)
                if is_exact and None not in (figures["low"], figures["high"]):
                    figures["shown"] = shown.ends(figures["low"], figures["high"])
            else:
                figures["shown"] = shown.number(figures["value"], figures["give_or_take"])

    def shown_result(self, name, value, of, above, below):
        """`shown(x)`: the value as it is shown."""
        if isinstance(value, Range) or value.waits:
            raise Unsuitable("one number only")
        figures = self.values[name]
        if self.step == "measures":
            raise Unsuitable("measures without a step")
        if self.step:
            number = shown.stepped(figures["value"], *self.step)
        elif str(of) == "$":
            number = shown.stepped(figures["value"], Fraction(1, 100), None)
        else:
            number = float(shown.number(figures["value"], figures["give_or_take"]).split(" ± ")[0])
        if number == 0:
            raise Unsuitable("nothing")
        other = self.name()
        below = None if not of.below or above is None and of.is_of_what_is_above else below
        self.values[other] = {"unit": str(of) or None, "of": above, "per": below, "value": number}
        written = of.written(self.random, above, below)
        self.line(f"{other} = shown({name})" + (f" [{written}]" if written else ""))

    def tried_once(self, make, *of):
        try:
            make(*of)
        except (Unsuitable, OverflowError, ValueError, ArithmeticError):
            pass

    def dated_result(self):
        first = self.pick(self.dates)
        moment, hours = self.dates[first]
        if not hours and self.chance(0.3):
            name, today = self.name(), datetime.datetime(2026, 4, 12)
            if moment == today:
                raise Unsuitable("no time at all")
            number = Number(Quantity((today - moment).total_seconds(), "second"))
            self.expect(name, number, unit("day"))
            self.keep(name, number, unit("day"))
            self.line(f"{name} = today - {first}")
            return
        name, others = self.name(), [n for n, (_, h) in self.dates.items() if h == hours and n != first]
        if others and self.chance(0.5):
            other = self.pick(others)
            seconds = (moment - self.dates[other][0]).total_seconds()
            number = Number(Quantity(seconds, "second"))
            self.expect(name, number, unit("h" if hours else "day"))
            self.keep(name, number, unit("h" if hours else "day"))
            self.line(f"{name} = {first} - {other}")
        else:
            count, sign = self.random.randrange(1, 400), self.pick([1, -1])
            step = datetime.timedelta(minutes=30 * count) if hours else datetime.timedelta(days=count)
            text = f"{count / 2:g} h" if hours else f"{count} day"
            self.values[name] = {"text": dated(moment + sign * step, hours)}
            self.line(f"{name} = {first} {'+' if sign > 0 else '-'} {text}")

    def pattern(self):
        """Pans across the path, and how uneven a swath is."""
        count, of = self.pick([5, 7, 9, 11]), self.pick(["g", "mL"])
        half = count // 2
        catches = []
        for pan in range(count):
            away = abs(pan - half) / half
            catches.append(numeral(self.random, 6 * (1.08 - away) + 0.05, False) if self.chance(0.95) else ("0", Fraction(0)))
        if catches[half][1] == 0:
            raise Unsuitable("nothing in the middle")
        spacing_text, spacing = numeral(self.random, 2, False)
        bases = [float(n) * unit(of).quantity.magnitude for _, n in catches]
        tail = ""
        if self.chance(0.4):
            give = self.give(max(bases), unit(of))
            bases, tail = self.with_doubt(bases, give), give[0]
        if any("e" in text for text, _ in catches):
            raise Unsuitable("powers of ten")
        self.blocks.append("\n".join([f"| pans | catch : {of}{tail} |"] + [f"| {i + 1} | {text} |" for i, (text, _) in enumerate(catches)]))
        name, halves, style = self.name(), self.random.randrange(4, 2 * count), self.pick(["back and forth", "round and round"])
        cv = functions.swath_cv(bases, halves, style == "back and forth")
        number = Number(Quantity(cv, "dimensionless"))
        swath = f"{halves} * {spacing_text} ft / 2" if self.chance(0.5) else f"{halves / 2:g} * ({spacing_text} ft)"
        self.expect(name, number, unit("%"))
        self.keep(name, number, unit("%"))
        self.line(f'{name} = swath cv(pans.catch, {spacing_text} ft, {swath}, "{style}") [%]')
        self.tried_once(self.widest, bases, float(spacing), spacing_text, style)

    def widest(self, bases, spacing, spacing_text, style):
        limit = self.random.randrange(4, 40)
        found = {halves: nominal(functions.swath_cv(bases, halves, style == "back and forth"))
                 for halves in range(4, 2 * len(bases) - 1)}
        meets = [halves for halves, cv in found.items() if cv <= limit / 100]
        if not meets or any(abs(cv * 100 / limit - 1) < 1e-7 for cv in found.values()):
            raise Unsuitable("none, or too near")
        name = self.name()
        self.values[name] = {"unit": "ft", "of": None, "per": None, "value": max(meets) / 2 * spacing}
        self.line(f'{name} = widest swath(pans.catch, {spacing_text} ft, {limit} %, "{style}") [ft]')

    def settings(self):
        """What a spreader lays at each setting, and the setting for what is wanted."""
        random, of = self.random, self.unit()
        rising, count = self.chance(0.7), random.randrange(2, 6)
        rates = sorted({float(f"{random.uniform(1, 9):.3g}") for _ in range(count)}, reverse=not rising)
        marks = [numeral(random, 5 * (at + 1), False) for at in range(len(rates))]
        if len(rates) < 2 or min(abs(a - b) for a, b in zip(rates, rates[1:])) < 0.05 or "%" in str(of):
            raise Unsuitable("too few")
        size, tail = of.quantity.magnitude, ""
        bases = [rate * size for rate in rates]
        if self.chance(0.4):
            give = self.give(5 * size, of)
            bases, tail = self.with_doubt(bases, give), give[0]
        written = of.written(random)
        head = f"| settings | mark : number | rate : {written or 'number'}{tail if written else ''} |"
        if not written:
            bases = [rate * size for rate in rates]
        self.blocks.append("\n".join([head] + [f"| {LABELS[i]} | {marks[i][0]} | {rate:g} |" for i, rate in enumerate(rates)]))
        wanted = float(f"{random.uniform(min(rates), max(rates)):.4g}")
        known = self.names_for(lambda v: isinstance(v, Number) and v.dimension == of.dimension and not v.labels and not v.share
                               and not v.point and min(rates) * size < v.value < max(rates) * size)
        x, text = wanted * size, f"{wanted:g} {written}".rstrip()
        if known and self.chance(0.7):
            text = self.pick(known)
            if self.known[text].waits or self.known[text].unknown:
                raise Unsuitable("waits")
            x = self.known[text].x
        name = self.name()
        number = Number(Quantity(functions.interpolate(x, bases, [float(n) for _, n in marks]), "dimensionless"))
        self.expect(name, number, Unit())
        self.keep(name, number, Unit())
        self.line(f"{name} = interpolate({text}, settings.rate, settings.mark)")

    def corners(self):
        """A bed by its corners, one by widths at even steps, and a setting between rows."""
        count, rows, angle = self.random.randrange(3, 8), [], 0.0
        xs, ys = [], []
        for corner in range(count):
            angle = 2 * math.pi * (corner + self.random.uniform(-0.3, 0.3)) / count
            far = self.random.uniform(5, 20)
            x, y = round(far * math.cos(angle), 1), round(far * math.sin(angle), 1)
            xs.append(x)
            ys.append(y)
            rows.append(f"| {corner + 1} | {x:g} | {y:g} | {round(abs(x) + 1, 1):g} |")
        feet = [[x * 0.3048 for x in column] for column in (xs, ys, [round(abs(x) + 1, 1) for x in xs])]
        if self.chance(0.4):
            give = self.give(3.0, unit("ft"))
            feet = [self.with_doubt(column, give) if index != 1 else column for index, column in enumerate(feet)]
            tails = [give[0], "", give[0]]
        else:
            tails = ["", "", ""]
        if any("%" in tail for tail in tails):
            raise Unsuitable("a share of a coordinate")
        head = f"| corners | east : ft{tails[0]} | north : ft{tails[1]} | across : ft{tails[2]} |"
        self.blocks.append("\n".join([head, *rows]))
        for text, x in [("polygon(corners.east, corners.north)", functions.polygon(feet[0], feet[1])),
                        ("offsets(corners.across, 3 ft)", functions.offsets(feet[2], 3 * 0.3048))]:
            name, number = self.name(), Number(Quantity(x, "meter ** 2"))
            of = any_unit(number.dimension, self.random)
            self.expect(name, number, of)
            self.keep(name, number, of)
            self.line(f"{name} = {text} [{of.written(self.random)}]")

    # Checks.

    def check(self):
        self.in_choice = False
        try:
            condition = self.condition(2)
            outcome, _ = condition.run(None)
        finally:
            self.in_choice = True
        label = self.name()
        self.checks[label] = outcome
        advice = self.pick(["", "", " else Clean the tip; replace it if the flow stays off.", " else Measure again"])
        self.line(f"? {label} : {condition.text}{advice}", True)

    # Mistakes.

    def mistake(self):
        make = self.pick([self.wrong_kind, self.wrong_kind, self.wrong_choice, self.wrong_point, self.no_such, self.wrong_sum, self.wrong_sum, self.wrong_bracket, self.wrong_check, self.wrong_label,
                          self.dropped_label, self.wrong_function, self.wrong_fit, self.squared_label, self.twice])
        text = make()
        self.mistakes.append(text)
        self.blocks.append(text)

    def exact_number(self, fits=lambda v: True):
        return self.named(lambda v: isinstance(v, Number) and not v.share and not v.point and fits(v))

    def wrong_sum(self):
        first = self.exact_number()
        dimension = first.run(None).dimension
        second = self.exact_number(lambda v: v.dimension != dimension)
        return f"{self.name()} = {first.text} {self.pick('+-')} {second.text}"

    def wrong_bracket(self):
        formula = self.grow(self.pick([1, 2]))
        value = formula.run(None)
        if getattr(value, "point", False) or getattr(value, "share", None) or any(p < 0 for _, p in value.labels) or value.labels:
            raise Unsuitable("labels")
        of = self.unit()
        if of.dimension == value.dimension:
            raise Unsuitable("that is right")
        return f"{self.name()} = {formula.text} [{of.written(self.random)}]"

    def wrong_check(self):
        first = self.exact_number()
        dimension = first.run(None).dimension
        second = self.exact_number(lambda v: v.dimension != dimension)
        return f"? {self.name()} : {first.text} {self.pick(['at most', '>', 'within 10 % of'])} {second.text}"

    def wrong_label(self):
        first = self.exact_number(lambda v: side(v.labels, 1))
        value = first.run(None)
        second = self.exact_number(lambda v: v.dimension == value.dimension and side(v.labels, 1) and side(v.labels, 1) != side(value.labels, 1))
        return f"{self.name()} = {first.text} + {second.text}"

    def dropped_label(self):
        first = self.exact_number(lambda v: side(v.labels, 1))
        value = first.run(None)
        of = any_unit(value.dimension, self.random)
        if of is None or any(self.taken == word for word, _ in of.above + of.below):
            raise Unsuitable("too odd")
        label = self.pick([None, "wood ash"])
        return f"{self.name()} = {first.text} [{of.written(self.random, label)}]"

    def squared_label(self):
        first = self.exact_number(lambda v: side(v.labels, 1))
        second = self.exact_number(lambda v: side(v.labels, 1))
        a, b = first.run(None), second.run(None)
        powers = {}
        for label, p in a.labels + b.labels:
            powers[label] = powers.get(label, 0) + p
        if sum(p for p in powers.values() if p > 0) < 2:
            raise Unsuitable("that is right")
        of = any_unit((a.q * b.q).dimensionality, self.random)
        if of is None or any(self.taken == word for word, _ in of.above + of.below):
            raise Unsuitable("too odd")
        return f"{self.name()} = {first.text} * {second.text} [{of}]"

    def wrong_function(self):
        of = self.exact_number(lambda v: v.dimension)
        name, value = self.pick(["sin", "exp", "ln", "circle", "round", "gr"]), of.run(None)
        if name == "circle" and value.dimension == LENGTH or name == "sin" and "[turned]" in value.dimension:
            raise Unsuitable("that is right")
        if name == "round":
            return f"{self.name()} = round({of.text}, 0.5)"
        if name == "gr":
            return f"{self.name()} = 2 ^ {of.text}"
        return f"{self.name()} = {name}({of.text})"

    def wrong_fit(self):
        """An entry whose doubt is of another kind, or readings and ranges of two kinds."""
        of = self.unit()
        other = self.unit()
        if of.dimension == other.dimension or "%" in str(of) + str(other):
            raise Unsuitable("that is right")
        return f"{self.name()} : 3 {of} ± 1 {other}"

    def wrong_kind(self):
        """A number with a text, a date or an answer; several values where one is wanted."""
        number = self.exact_number().text
        others = [*self.texts, *self.dates, *self.answers, *self.readings, *self.columns]
        other = self.pick(others)
        if other in self.dates and TIME == self.known.get(number.casefold(), self.known.get(number)).dimension:
            raise Unsuitable("that is right")
        return f"{self.name()} = {number} {self.pick('+*')} {other}"

    def wrong_choice(self):
        first = self.exact_number()
        dimension = first.run(None).dimension
        second = self.exact_number(lambda v: v.dimension != dimension)
        return f"{self.name()} = if {self.pick(['yes', '2 > 1'])} then {first.text} else {second.text}"

    def wrong_point(self):
        point = self.named(lambda v: getattr(v, "point", False))
        return f"{self.name()} = {point.text} {self.pick(['* 2', '/ 3', '+ ' + point.text, '* 1 ft'])}"

    def no_such(self):
        return f"{self.name()} = 2 * {self.pick(['nowhere', 'wlak length', 'plots.nothing at all'])}"

    def twice(self):
        of = self.named(lambda v: isinstance(v, Range) and len(v.ends) == 2 and not v.labels and v.low.value > 0)
        return f"{self.name()} = {of.text} / {of.text}"

    # The whole.

    def put_together(self):
        random = self.random
        if self.random.random() < 0.7:
            random.shuffle(self.blocks)
        lines, self.troubles = [f"# Sheet {self.seed}", ""], []
        if self.chance(0.5):
            lines += ["! Water only for this test.", ""]
        for block in self.blocks:
            if self.chance(0.05):
                lines += ["", "## " + self.pick(["What was measured", "What it comes to", "Mix"])]
            if self.chance(0.05):
                lines.append("-- Sprayer half full, same person all day.")
            if block in self.mistakes:
                self.troubles.append(len(lines) + 1)
            if block.startswith("|"):
                lines += ["", *block.split("\n"), ""]
            else:
                lines += block.split("\n")
        self.text = self.pick(["\n", "\n", "\n", "\r\n"]).join(lines) + "\n"
        self.expected = {"troubles": self.troubles, "values": self.values, "cells": self.cells, "checks": self.checks}

    def counts(self):
        counts = {"values": len(self.values), "cells": len(self.cells), "checks": len(self.checks), "mistakes": len(self.troubles)}
        every = [*self.values.values(), *self.cells.values()]
        counts["doubts"] = sum(1 for v in every if v.get("standard_uncertainty"))
        counts["waiting"] = sum(1 for v in every if "waiting_on" in v)
        counts["ranges"] = sum(1 for v in every if "low" in v)
        return counts


def relabelled(value, labels):
    if isinstance(value, Range):
        return Range(*(None if end is None else relabelled(end, labels) for end in (value.low, value.high)), value.origins)
    return Number(value.q, labels, value.point, None, value.unknown, value.waits, value.choices)

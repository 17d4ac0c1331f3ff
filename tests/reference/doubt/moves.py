"""Doubt by moving: every part of every source is moved a little each way, the whole worksheet is worked again at 60
digits, and what a result moves by is that part's contribution. No derivative is written down anywhere.
"""

from dataclasses import dataclass

import mpmath as mp
from work import Work, summary

STEP = mp.mpf("1e-18")
NOTHING = mp.mpf("1e-28")
FUNCTIONS = {"negative": lambda x: -x, "sqrt": mp.sqrt, "abs": abs, "sin": mp.sin, "cos": mp.cos, "tan": mp.tan,
             "atan": mp.atan, "exp": mp.exp, "ln": mp.log}
OPERATORS = {"+": lambda a, b: a + b, "-": lambda a, b: a - b, "*": lambda a, b: a * b, "/": lambda a, b: a / b,
             "^": lambda a, b: a**b}


def real(f):
    """The same, refusing a root or logarithm of a negative."""
    def checked(*of):
        found = f(*of)
        if isinstance(found, mp.mpc):
            raise ValueError("not real")
        return found
    return checked


@dataclass
class Moved:
    """A value as it is, and with the part at hand moved up and down; and the sources that it depends on."""

    at: object
    up: object
    down: object
    sources: frozenset
    unknown: bool = False


class Moves:
    """Arithmetic with one part of one source moved."""

    def __init__(self, source=None, part=None, chosen=()):
        self.source, self.part, self.met = source, part, {}
        self.chosen, self.ties = chosen, []

    def given(self, value, parts):
        self.met.update({(source, part): None for source, part, _ in parts})
        move = sum(u for source, part, u in parts if (source, part) == (self.source, self.part)) * STEP
        return Moved(value, value + move, value - move, frozenset(source for source, _, _ in parts))

    def value(self, moved):
        return moved.at

    def least_sure(self, values):
        """Which of several alike is least sure is known once every source has been moved; until then the first."""
        if len(values) == 1:
            return values[0]
        self.ties.append(values)
        return values[self.chosen[len(self.ties) - 1] if len(self.ties) <= len(self.chosen) else 0]

    def call(self, function, x):
        f = real(FUNCTIONS[function])
        return Moved(f(x.at), f(x.up), f(x.down), x.sources, x.unknown)

    def operator(self, operator, x, y):
        f = real(OPERATORS[operator])
        return Moved(f(x.at, y.at), f(x.up, y.up), f(x.down, y.down), x.sources | y.sources, x.unknown or y.unknown)

    def shared(self, values):
        """How the mean moves with what two or more of the values share; one value alone moves by all of its own."""
        count = len(values)
        sources = {s for s in frozenset().union(*(v.sources for v in values))
                   if count == 1 or sum(s in v.sources for v in values) > 1}
        if self.source not in sources:
            return 0, 0, sources
        return mp.fsum(v.up - v.at for v in values) / count, mp.fsum(v.down - v.at for v in values) / count, sources

    def repeated(self, values, middle, scatter, contributions):
        """A mean or median, with the parts of its scatter."""
        up, down, sources = self.shared(values)
        parts = {part: c for part, c in enumerate(contributions) if c != 0}
        self.met.update({(scatter, part): None for part in parts})
        if self.source == scatter:
            up, down = up + parts.get(self.part, 0) * STEP, down - parts.get(self.part, 0) * STEP
        unknown = any(v.unknown for v in values) or not (parts or sources)
        return Moved(middle, middle + up, middle + down, frozenset(sources | ({scatter} if parts else set())), unknown)

    def mean(self, values, scatter):
        count, at = len(values), [v.at for v in values]
        middle = mp.fsum(at) / count
        alike = all(x == at[0] for x in at)
        parts = [] if alike else [(x - middle) / mp.sqrt(count * (count - 1)) for x in at]
        return self.repeated(values, at[0] if alike else middle, scatter, parts)

    def median(self, values, scatter):
        count, at = len(values), sorted(v.at for v in values)
        middle, mean = (at[(count - 1) // 2] + at[count // 2]) / 2, mp.fsum(at) / count
        sd = mp.sqrt(mp.fsum((x - mean) ** 2 for x in at) / (count - 1)) if count > 1 else 0
        return self.repeated(values, middle, scatter, [sd / mp.sqrt(count) * mp.sqrt(mp.pi / 2)])


def summaries(sheet):
    """Each result's Summary."""
    chosen = choices(sheet)
    still = Moves(chosen=chosen)
    plain = Work(sheet, still).results
    contributions = {name: {} for name in plain}
    for source, part in still.met:
        for name, moved in Work(sheet, Moves(source, part, chosen)).results.items():
            contributions[name][source, part] = contribution(moved)
    return {name: settled(moved, contributions[name]) for name, moved in plain.items()}


def contribution(moved):
    return (moved.up - moved.down) / (2 * STEP)


def choices(sheet):
    """Of each `min` or `max` of values that are the same, in the order met, which value is least sure. One choice may
    decide what the next is between, so they are made anew until none changes."""
    chosen = []
    while True:
        still = Moves(chosen=chosen)
        Work(sheet, still)
        if not still.ties:
            return []
        found = [[{} for _ in tie] for tie in still.ties]
        for source, part in still.met:
            moves = Moves(source, part, chosen)
            Work(sheet, moves)
            for tie, values in zip(found, moves.ties):
                for parts, value in zip(tie, values):
                    parts[source, part] = contribution(value)
        again = [least_sure(tie, values) for tie, values in zip(found, still.ties)]
        if again == chosen:
            return chosen
        chosen = again


def least_sure(tie, values):
    """The place of the first that no other is less sure than; an unknown doubt is beyond all."""
    unsure = [mp.inf if value.unknown else settled(value, parts).standard for value, parts in zip(values, tie)]
    return max(range(len(unsure)), key=lambda place: (unsure[place], -place))


def settled(moved, contributions):
    # A value that sixty digits make nothing is nothing: no unit here is as small.
    at = moved.at if abs(moved.at) > NOTHING else mp.mpf(0)
    found = summary(at, dropped(moved, contributions))
    return type(found)(moved.at) if moved.unknown else found


def dropped(moved, contributions):
    """What sixty digits leave of sources that cancel is nothing."""
    largest = max([abs(moved.at), *map(abs, contributions.values())], default=0)
    return {key: c if abs(c) > NOTHING * largest else mp.mpf(0) for key, c in contributions.items()}

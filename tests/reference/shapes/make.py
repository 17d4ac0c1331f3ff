"""Writes areas.tsv (shapes of beds with their areas) and refused.tsv (shapes that are none) of this folder.

Run from the top of the repository: python3 tests/reference/shapes/make.py  (needs shapely, numpy, mpmath)

No area comes from the formula that a program would use: a shape given by lengths is laid out as corners with mpmath
and measured by the cross products of its corners; ellipses and circles are integrated; strips are summed by numpy;
polygons are measured by shapely. What is measured by mpmath is measured by shapely too, and the two must agree.
Arguments stand apart by `;`, the members of a list by `,`.
"""

import itertools
import random

import mpmath as mp
import numpy as np
import shapely
from shapely.geometry import LineString, Polygon

mp.mp.dps = 40
RANDOM = random.Random(20260412)


def tenths(low, high, digits=2):
    return round(RANDOM.uniform(low, high), digits)


def cross_products(corners):
    """The area within corners, by mpmath; shapely has to find the same."""
    pairs = zip(corners, corners[1:] + corners[:1])
    area = abs(mp.fsum(x * v - u * y for (x, y), (u, v) in pairs)) / 2
    found = Polygon([(float(x), float(y)) for x, y in corners]).area
    largest = max(abs(c) for corner in corners for c in corner)
    assert abs(found - area) < 1e-13 * largest**2, (found, area)
    return area


def apex(a, b, base, side):
    """The corner that is a from (0, 0) and b from (base, 0), above or below the base."""
    a, b, base = map(mp.mpf, (a, b, base))
    x = (a * a - b * b + base * base) / (2 * base)
    return x, side * mp.sqrt(a * a - x * x)


def closes(a, b, c):
    longest = max(a, b, c)
    return a + b + c - longest > longest * 1.0000001


def triangle():
    while True:
        a, b, c = (tenths(1, 60) for _ in range(3))
        if closes(a, b, c):
            corners = [(mp.mpf(0), mp.mpf(0)), (mp.mpf(c), mp.mpf(0)), apex(a, b, c, 1)]
            return [a, b, c], cross_products(corners)


def needle():
    """Two long sides and a very short one, or two that barely reach past the third."""
    long = tenths(50, 400)
    sides = [long, round(long + tenths(0.001, 0.02, 4), 4), tenths(0.03, 0.2, 3)]
    if RANDOM.random() < 0.5:
        part = tenths(10, 40)
        sides = [part, round(long - part + 0.0001, 4), long]
    a, b, c = sides
    base, first, second = max(sides), *sorted(sides)[:2]
    return sides, cross_products([(mp.mpf(0), mp.mpf(0)), (mp.mpf(base), mp.mpf(0)), apex(first, second, base, 1)])


def quadrilateral():
    while True:
        a, b, c, d, diagonal = (tenths(3, 80) for _ in range(5))
        if closes(a, b, diagonal) and closes(c, d, diagonal):
            # Sides in order round: a and b lead along one side from end to end of the diagonal, c and d back.
            start, end = (mp.mpf(0), mp.mpf(0)), (mp.mpf(diagonal), mp.mpf(0))
            return [a, b, c, d, diagonal], cross_products([start, apex(a, b, diagonal, 1), end, apex(d, c, diagonal, -1)])


def trapezoid():
    a, b, height, shift = tenths(0.5, 60), tenths(0.5, 60), tenths(0.5, 40), tenths(-30, 30)
    exact = [mp.mpf(x) for x in (a, b, height, shift)]
    a_, b_, h_, s_ = exact
    return [a, b, height], cross_products([(mp.mpf(0), mp.mpf(0)), (a_, mp.mpf(0)), (s_ + b_, h_), (s_, h_)])


def ellipse():
    length, width = tenths(2, 90), tenths(2, 90)
    half, across = mp.mpf(length) / 2, mp.mpf(width) / 2
    return [length, width], 4 * mp.quad(lambda t: half * across * mp.sin(t) ** 2, [0, mp.pi / 2])


def circle():
    diameter = tenths(0.5, 60)
    return [diameter], mp.quad(lambda r: 2 * mp.pi * r, [0, mp.mpf(diameter) / 2])


def circle_around():
    """The limit of regular polygons of that girth, by extrapolation."""
    girth = tenths(3, 200)
    polygon = lambda n: mp.mpf(girth) ** 2 / (4 * n * mp.tan(mp.pi / n))
    return [girth], mp.limit(lambda n: polygon(2 ** (n + 3)), mp.inf)


def offsets():
    count, spacing = RANDOM.randint(3, 15), tenths(0.5, 12)
    widths = [tenths(0, 30) for _ in range(count)]
    widths[0] = RANDOM.choice([0.0, widths[0]])
    widths[-1] = RANDOM.choice([0.0, widths[-1]])
    area = mp.mpf(float(np.trapezoid(np.array(widths), dx=spacing)))
    strips = mp.fsum((mp.mpf(a) + mp.mpf(b)) / 2 * mp.mpf(spacing) for a, b in itertools.pairwise(widths))
    assert abs(area - strips) < 1e-13 * strips
    return [widths, spacing], strips


def star():
    """A simple polygon, mostly not convex, round a point that may lie far from the origin; in either sense."""
    far = RANDOM.choice([0, 0, 0, 1000, 100000])
    count, middle = RANDOM.randint(3, 24), (tenths(-50, 50) + far, tenths(-50, 50) - far)
    angles = sorted(RANDOM.uniform(0, 2 * mp.pi) for _ in range(count))
    radii = [RANDOM.uniform(3, 60) for _ in angles]
    corners = [(round(middle[0] + float(r * mp.cos(t)), 2), round(middle[1] + float(r * mp.sin(t)), 2))
               for r, t in zip(radii, angles)]
    return corners if RANDOM.random() < 0.5 else corners[::-1]


def untangled():
    """A simple polygon through scattered points: crossing sides are turned round until none are left."""
    corners = [(tenths(-60, 60, 1), tenths(-60, 60, 1)) for _ in range(RANDOM.randint(5, 14))]
    while pairs := crossings(corners):
        first, second = pairs[0]
        corners[first:second] = corners[first:second][::-1]
    return corners


def polygon():
    while True:
        corners = RANDOM.choice([star, untangled])()
        shape = Polygon(corners)
        if shape.is_valid and shape.area > 1 and clear(corners):
            exact = [(mp.mpf(x), mp.mpf(y)) for x, y in corners]
            return [[x for x, _ in corners], [y for _, y in corners]], cross_products(exact)


def sides_of(corners):
    return [LineString([a, b]) for a, b in zip(corners, corners[1:] + corners[:1])]


def apart(corners):
    """Pairs of sides that have no corner in common, numbered from 1 (side 1 leads from corner 1 to corner 2)."""
    count = len(corners)
    return [(i, j) for i, j in itertools.combinations(range(1, count + 1), 2) if j - i not in (1, count - 1)]


def crossings(corners):
    sides = sides_of(corners)
    return [(i, j) for i, j in apart(corners) if sides[i - 1].crosses(sides[j - 1])]


def clear(corners):
    """No side comes near another's corner, so that what is crossed is beyond rounding."""
    sides, count = sides_of(corners), len(corners)
    corner = [shapely.Point(c) for c in corners]
    return all(sides[i].distance(corner[j]) > 0.05 for i in range(count) for j in range(count) if j not in (i, (i + 1) % count))


def crossing():
    while True:
        corners = [(tenths(-60, 60, 1), tenths(-60, 60, 1)) for _ in range(RANDOM.randint(4, 9))]
        pairs = crossings(corners)
        if pairs and clear(corners):
            assert not Polygon(corners).is_valid
            return [[x for x, _ in corners], [y for _, y in corners]], pairs


def no_triangle():
    while True:
        sides = [tenths(1, 60) for _ in range(3)]
        if 2 * max(sides) > sum(sides) * 1.001:
            return sides


def written(arguments):
    return ";".join(",".join(map(repr, a)) if isinstance(a, list) else repr(a) for a in arguments)


KINDS = [("triangle", triangle, 30), ("triangle", needle, 10), ("quadrilateral", quadrilateral, 40),
         ("trapezoid", trapezoid, 15), ("ellipse", ellipse, 15), ("circle", circle, 5),
         ("circle around", circle_around, 5), ("offsets", offsets, 30), ("polygon", polygon, 50)]

with open("tests/reference/shapes/areas.tsv", "w", encoding="utf-8") as file:
    file.write(f"# Areas by shapely {shapely.__version__}, numpy {np.__version__}, mpmath {mp.__version__}: make.py\n")
    file.write("kind\targuments\tarea\n")
    for kind, make, count in KINDS:
        for _ in range(count):
            arguments, area = make()
            file.write(f"{kind}\t{written(arguments)}\t{mp.nstr(area, 20)}\n")

with open("tests/reference/shapes/refused.tsv", "w", encoding="utf-8") as file:
    file.write(f"# Polygons whose sides cross, and which do (side 1 leads from corner 1 to 2), by shapely {shapely.__version__}; ")
    file.write("sides that close no triangle: make.py\n")
    file.write("kind\targuments\tcrossing\n")
    for _ in range(30):
        arguments, pairs = crossing()
        file.write(f"polygon\t{written(arguments)}\t{' '.join(f'{i}x{j}' for i, j in pairs)}\n")
    for _ in range(8):
        file.write(f"triangle\t{written(no_triangle())}\t\n")
    for _ in range(4):
        a, b, c = no_triangle()
        short = tenths(1, 0.9 * c)
        file.write(f"quadrilateral\t{written([a, b, c, c, short] if not closes(a, b, short) else [c, c, a, b, c])}\t\n")

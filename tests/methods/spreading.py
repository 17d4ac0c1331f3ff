"""The sheets about spreaders, granules and beds, worked a second way: numpy's straight lines between trials, a field
that is walked pass by pass, shapely's areas of the beds as they lie on the ground."""

import math

import numpy as np
from figures import (Figures, at_least, at_most, both, doubt, mean, scatter, si, spread, standard, step,
                     within, within_share)
from reader import unit
from scipy import optimize
from shapely.geometry import Point, Polygon

LB_1000 = "lb/1000 ft²"


def spreader_area(sheet):
    out = Figures()
    rows = sheet.tables["trials"]
    used = [row["before"] - row["after"] for row in rows]
    # The scale's ± is shared by all its readings, but what is weighed twice is one source with two parts.
    scale = standard(sheet.give["trials.before"]), standard(sheet.give["trials.after"])
    each = doubt([(scale[0], math.inf), (scale[1], math.inf)])
    for row, gone in zip(rows, used):
        out.put(f"trials.used, {row['row']}", gone, "lb", each)
    area = sheet["test length"] * sheet["test width"]
    rate = mean(used) / area
    half = doubt([scatter(used), (scale[0], math.inf), (scale[1], math.inf)]) / si(area)
    out.put("test area", area, "ft²")
    out.put("rate laid", rate, LB_1000, half)
    out.put("acre rate", rate, "lb/acre", half)
    out.put("trials differ", spread(used), "%")
    following = sheet["setting"] * si(sheet["rate wanted"]) / si(rate)
    out.put("next setting", following, "", si(following) * half / si(rate))
    out.check("label rate", within(rate, sheet["label rate"], half))
    out.check("as wanted", within_share(rate, 0.1, sheet["rate wanted"], half))
    out.check("trials agree", at_most(spread(used), 0.1))
    out.check("sure enough", at_most(half, 0.1 * rate, 0.1 * half))
    out.check("enough weighed", at_least(min(used, key=si), unit("lb") / 2, each))
    return out


def line(x, xs, ys):
    """Straight between points, found by numpy on points put in order."""
    order = np.argsort(xs)
    return float(np.interp(x, np.asarray(xs)[order], np.asarray(ys)[order]))


def spreader_setting(sheet):
    out = Figures()
    rows = sheet.tables["trials"]
    area = sheet["test area"]
    rates = [(row["before"] - row["after"]) / area for row in rows]
    settings = [si(row["setting"]) for row in rows]
    for row, rate in zip(rows, rates):
        out.put(f"trials.rate, {row['row']}", rate, LB_1000)
    laid = [si(rate) for rate in rates]
    wanted, mark = si(sheet["rate wanted"]), si(sheet["dial mark"])
    kilo = unit("kg/m²")
    full, half = line(wanted, laid, settings), line(wanted / 2, laid, settings)
    dials = [si(step(setting, mark)) for setting in (full, half)]
    lays = [line(dial, settings, laid) for dial in dials]
    out.put("half rate", sheet["rate wanted"] / 2, LB_1000)
    out.put("full setting", full)
    out.put("half setting", half)
    out.put("full dial", dials[0])
    out.put("half dial", dials[1])
    out.put("full dial lays", lays[0] * kilo, LB_1000)
    out.put("half dial lays", lays[1] * kilo, LB_1000)
    out.put("two passes lay", 2 * lays[1] * kilo, LB_1000)
    ends = [si(end) for end in sheet["label rate"]]
    out.check("rate wanted", within(wanted, ends))
    for label, rate, dial, times in (("one pass", lays[0], dials[0], 1), ("two passes", 2 * lays[1], dials[1], 2)):
        out.check(label, within(rate, ends, times * line_half(sheet, dial, settings, area)))
    return out


def line_half(sheet, dial, settings, area):
    """The half-width of a rate read between two trials: both weights of the two trials, each column one scale."""
    weights = [line(dial, settings, [float(index == other) for other in range(len(settings))]) for index in range(len(settings))]
    scale = [standard(sheet.give[f"trials.{column}"]) * sum(weights) / si(area) for column in ("before", "after")]
    return doubt([(u, math.inf) for u in scale])


def spreader_pattern(sheet):
    out = Figures()
    rows = sheet.tables["pans"]
    for row in rows:
        out.put(f"pans.place, {row['row']}", row["pan"] * sheet["pan spacing"], "ft")
    pans = [(int(si(row["pan"])), si(row["catch"])) for row in rows]
    left, right = (sum(catch for pan, catch in pans if pan * side > 0) for side in (-1, 1))
    centre = np.mean([catch for pan, catch in pans if abs(pan) <= 1])
    inside = [pan for pan, catch in pans if catch >= centre / 2 * (1 - 1e-12)]
    gram = unit("kg")
    out.put("left side", left * gram, "g")
    out.put("right side", right * gram, "g")
    out.put("balance", left / right, "%")
    out.put("centre catch", centre * gram, "g")
    out.put("half catch", centre / 2 * gram, "g")
    # All pans within the half-rate width stand beside each other in these cases: from the outermost to the outermost.
    width = (max(inside) - min(inside)) * sheet["pan spacing"]
    out.put("half-rate width", width, "ft")
    spacing, limit = si(sheet["pan spacing"]), si(sheet["CV limit"])
    halves = round(si(sheet["swath"]) / spacing * 2)
    varied = {}
    for style, column, widest in (("back", "CV back", "widest back"), ("round", "CV round", "widest round")):
        each = {each: walked([catch for _, catch in pans], each, style) for each in range(4, 2 * len(pans) - 1)}
        varied[column] = each[halves]
        out.put(column, each[halves], "%")
        meeting = [swath for swath, cv in each.items() if cv <= limit * (1 + 1e-12)]
        out.put(widest, max(meeting) * sheet["pan spacing"] / 2, "ft")
    out.put("rate laid", sum(catch for _, catch in pans) * gram * sheet["pan spacing"] / (si(sheet["runs"]) * sheet["pan area"] * sheet["swath"]), LB_1000)
    out.check("balance", within(left / right, (0.8, 1.25)))
    outermost = [pans[0], pans[-1]]
    out.put("first pan", float(outermost[0][0]))
    out.put("last pan", float(outermost[1][0]))
    out.check("edge of the row", both(*(at_most(catch, 0.1 * centre) for _, catch in outermost)))
    out.check("back and forth", at_most(varied["CV back"], limit))
    out.check("round and round", at_most(varied["CV round"], limit))
    out.check("half-rate width", at_most(sheet["swath"], width))
    return out


def walked(catches, halves, style):
    """The CV of what lies on a field walked at that swath, in half spacings: passes laid down beside each other."""
    middle = len(catches) // 2
    knots = np.arange(-middle - 1, middle + 2)
    heights = np.concatenate(([0], catches, [0]))
    period = halves * (2 if style == "back" else 1)
    where = np.arange(period // 2 if period % 2 == 0 else period)
    lying = np.zeros(len(where))
    for walk in range(-60, 61):
        from_walker = where - walk * halves / 2
        lying += np.interp(-from_walker if style == "back" and walk % 2 else from_walker, knots, heights, left=0, right=0)
    return float(np.std(lying, ddof=1) / np.mean(lying))


def scoop(sheet):
    out = Figures()
    weights = sheet.column("scoops", "weight")
    one = mean(weights)
    u, df = scatter(weights)
    scale = standard(sheet.give["scoops.weight"])
    half = doubt([(u, df), (scale, math.inf)])
    numbers = [si(weight) for weight in weights]
    out.put("one scoop", one, "oz", half)
    out.put("scoops alike", float(np.std(numbers, ddof=1) / np.mean(numbers)), "%")
    out.put("furthest off", max(abs(weight - np.mean(numbers)) for weight in numbers) * unit("kg"), "oz")
    many = si(step(si(sheet["dose"] / one), 0.5))
    laid = many * one
    out.put("dose in scoops", many)
    out.put("dose laid", laid, "oz", many * half)
    out.check("scoops alike", at_most(float(np.std(numbers, ddof=1) / np.mean(numbers)), 0.05))
    out.check("dose laid", within_share(laid, 0.05, sheet["dose"], many * half))
    out.check("label's most", at_most(laid, sheet["most"], many * half))
    return out


def bed_dose(sheet):
    out = Figures()
    rate, ends = sheet["rate used"], sheet["label rate"]
    scoop_holds = sheet["scoop holds"]
    doses, weighed, scooped = [], [], []
    for row in sheet.tables["beds"]:
        label, area = row["row"], row["area"]
        dose = rate * area
        each = dose / 2
        by_scale = 2 * step(each, 0.1 * unit("oz")) / area
        scoops = si(each / scoop_holds)
        by_scoop = 2 * si(step(scoops, 0.5)) * scoop_holds / area
        doses.append(dose)
        weighed.append(by_scale)
        scooped.append(by_scoop)
        out.put(f"beds.dose, {label}", dose, "lb")
        out.put(f"beds.each way, {label}", each, "lb")
        out.put(f"beds.lays, {label}", by_scale, LB_1000)
        out.put(f"beds.scoops each way, {label}", scoops, "scoop")
        out.put(f"beds.scoops lay, {label}", by_scoop, LB_1000)
    total = sum(doses[1:], doses[0])
    smallest = min(doses, key=si) / 2
    areas = sheet.column("beds", "area")
    out.put("beds in all", float(len(doses)))
    out.put("area in all", sum(areas[1:], areas[0]), "ft²")
    out.put("product in all", total, "lb")
    out.put("smallest half", smallest, "oz")
    out.put("left on the truck", sheet["on the truck"] - total, "lb")
    out.check("rate used", within(rate, ends))
    out.check("as weighed", both(*(within(lays, ends) for lays in weighed)))
    out.check("by scoops", both(*(within(lays, ends) for lays in scooped)))
    out.check("enough", at_most(total, sheet["on the truck"]))
    out.check("weighable", at_least(smallest, 20 * sheet["scale mark"]))
    return out


def fertilizer(sheet):
    out = Figures()
    shares = {name: si(sheet[name]) for name in ("nitrogen", "phosphate", "potash")}
    # What the bag holds of N covers so much ground; the bag's weight on that ground is the rate.
    covers = sheet["bag holds"] * shares["nitrogen"] / sheet["N wanted"]
    rate = sheet["bag holds"] / covers
    total = rate * sheet["area"]
    bags = math.ceil(si(total / sheet["bag holds"]) - 1e-12)
    out.put("product rate", rate, LB_1000)
    out.put("product in all", total, "lb")
    out.put("bags", float(bags), "bag")
    out.put("N in all", total * shares["nitrogen"], "lb")
    out.put("phosphate laid", rate * shares["phosphate"], LB_1000)
    out.put("potash laid", rate * shares["potash"], LB_1000)
    out.put("N year so far", sheet["N this year"] + sheet["N wanted"], LB_1000)
    out.check("at once", at_most(sheet["N wanted"], sheet["N at once"]))
    out.check("label rate", within(rate, sheet["label rate"]))
    out.check("year limit", at_most(sheet["N this year"] + sheet["N wanted"], sheet["N year limit"]))
    out.check("grade", at_most(shares["nitrogen"], 0.46))
    return out


def ground(shape, row):
    """The area of a bed as it lies on the ground, by shapely; curves from their many-sided like, put right exactly."""
    side = {name: si(size) for name, size in row.items() if name not in ("row", "counted")}
    if any(math.isnan(size) for size in side.values()):
        return math.nan
    if shape == "rectangles":
        return Polygon([(0, 0), (side["length"], 0), (side["length"], side["width"]), (0, side["width"])]).area
    if shape == "triangles":
        return Polygon([(0, 0), (side["side a"], 0), corner(side["side a"], side["side c"], side["side b"])]).area
    if shape == "trapezoids":
        return Polygon([(0, 0), (side["long side"], 0), (side["short side"] + 1, side["height"]), (1, side["height"])]).area
    if shape == "four-sided":
        far = side["diagonal"]
        over, under = corner(far, side["side a"], side["side b"]), corner(far, side["side d"], side["side c"])
        return Polygon([(0, 0), over, (far, 0), (under[0], -under[1])]).area
    many = Point(0, 0).buffer(1, quad_segs=512)
    round_one = many.area * math.pi / (1024 * math.sin(2 * math.pi / 2048))
    if shape == "circles":
        return round_one * side["diameter"] ** 2 / 4
    if shape == "rings":
        radius = optimize.brentq(lambda r: 2 * math.pi * r - side["girth"], 0, side["girth"], xtol=1e-15)
        return round_one * radius**2
    return round_one * side["length"] * side["width"] / 4


def corner(base, from_start, from_end):
    """Where two sides meet above a base, by the law of cosines as a place."""
    along = (base**2 + from_start**2 - from_end**2) / (2 * base)
    return along, math.sqrt(from_start**2 - along**2)


def outlined(places):
    return math.nan if np.isnan(places).any() else Polygon(places).area


GROUPS = {
    "straight beds": ("rectangles", "triangles", "trapezoids", "four-sided"),
    "round beds": ("circles", "rings", "ellipses"), "winding beds": ("winding", "cornered"),
}


def bed_areas(sheet):
    out = Figures()
    widths, step_length = [si(width) for width in sheet.column("stations", "width")], si(sheet["step length"])
    edge = [(index * step_length, width) for index, width in enumerate(widths)]
    outline = outlined([(0, 0), *edge, (edge[-1][0], 0)])
    corners = outlined([(si(row["along"]), si(row["across"])) for row in sheet.tables["corners"]])
    square = unit("m²")
    total, counted, empty = 0.0, 0, 0
    for group, shapes in GROUPS.items():
        sum_of_group = 0.0
        for shape in shapes:
            for row in sheet.tables[shape]:
                area = {"winding": outline, "cornered": corners}.get(shape)
                area = (ground(shape, row) if area is None else area) - si(row["cut out"])
                out.put(f"{shape}.area, {row['row']}", area * square, "ft²")
                if row["counted"]:
                    sum_of_group, counted, empty = sum_of_group + area, counted + 1, empty + (area <= 0)
        out.put(group, sum_of_group * square, "ft²")
        total += sum_of_group
    out.put("total area", total * square, "ft²")
    out.put("total in acres", total * square, "acre")
    out.put("beds counted", float(counted))
    out.put("beds without ground", float(empty))
    out.check("cut outs", "no" if empty else "ok")
    out.check("every bed", "ok" if counted == si(sheet["bed count"]) else "no")
    return out


SHEETS = {
    "spreader-area": spreader_area, "spreader-setting": spreader_setting, "spreader-pattern": spreader_pattern,
    "scoop": scoop, "bed-dose": bed_dose, "fertilizer": fertilizer, "bed-areas": bed_areas,
}

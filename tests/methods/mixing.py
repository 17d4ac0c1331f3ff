"""The sheets about mixing, doses and what is left, worked a second way: tanks are filled one by one, rinses done one
after another, rates carried from the bottle to the ground."""

import datetime
import math

from figures import (Figures, at_least, at_most, both, mean, said, scatter, si, spread, standard, step, within,
                     within_share)
from reader import unit

FL_OZ, GAL, TSP, CUBIC = unit("fl oz"), unit("gal"), unit("tsp"), unit("m³")
HAND = (unit("gal/1000 ft²") / 5, 5 * unit("gal/1000 ft²"))
ON_1000, DRY_1000 = "fl oz/1000 ft²", "oz/1000 ft²"


def whole_up(quantity, size):
    many = si(quantity) / si(size)
    return quantity if math.isnan(many) else math.ceil(many - 1e-9) * size


def bottle(sheet):
    out = Figures()
    trials = sheet.tables["trials"]
    each = [row["catch"] / row["squeezes"] for row in trials]
    for row, one in zip(trials, each):
        out.put(f"trials.each, {row['row']}", one, "mL/squeeze")
    squeeze = mean(each)
    out.put("one squeeze", squeeze, "mL/squeeze")
    out.put("squeezes alike", spread(each), "%")
    needed = sheet["plants"] * sheet["squeezes each"] * squeeze
    made = whole_up(needed, FL_OZ / 2)
    out.put("mix needed", needed, "fl oz")
    out.put("mix made", made, "fl oz")
    mark, dose = sheet["finest mark"], sheet["strength used"] * made
    measured = step(dose, mark) if si(dose) >= si(mark) / 2 * (1 - 1e-12) else dose
    error = (abs(si(measured - dose)) + si(mark) / 2) / si(dose)
    smallest = mark / 2 / sheet["allowed error"]
    made_strength = measured / made
    out.put("dose", dose, "mL")
    out.put("measured dose", measured, "mL")
    out.put("dose error", error, "%")
    out.put("smallest dose", smallest, "mL")
    out.put("smallest mix", smallest / sheet["strength used"], "fl oz")
    out.put("strength made", made_strength, "fl oz/gal")
    out.check("squeezes alike", at_most(spread(each), 0.1))
    out.check("fits", at_most(made, sheet["bottle holds"]))
    out.check("strength used", within(sheet["strength used"], sheet["label strength"]))
    out.check("strength made", within(made_strength, sheet["label strength"]))
    out.check("measurable", at_least(dose, smallest))
    out.check("dose error", at_most(error, sheet["allowed error"]))
    return out


def greater(one, other):
    return one if si(one) >= si(other) else other


def spray_to_wet(sheet):
    out = Figures()
    mixes, water_u = [], 0.0
    give = sheet.give["sizes.water"]
    for row in sheet.tables["sizes"]:
        one = row["water"] / row["tested"]
        mixes.append(one * row["counted"])
        water_u += si(give.half) * si(row["counted"] / row["tested"])
        out.put(f"sizes.each, {row['row']}", one, "fl oz/shrub")
        out.put(f"sizes.mix, {row['row']}", one * row["counted"], "gal")
    total = sum(mixes[1:], mixes[0])
    # Every reading of the cup pushes the total the same way: one limit, and its half-width is 95 % of it.
    half = 0.95 * water_u
    product = sheet["strength used"] * total
    measured = step(product, TSP / 4)
    made, laid = measured / total, greater(product, measured) / sheet["planting area"]
    counted = sheet.column("sizes", "counted")
    out.put("shrubs", sum(counted[1:], counted[0]), "shrub")
    out.put("total mix", total, "gal", half)
    out.put("product", product, "tbsp")
    out.put("strength made", made, "fl oz/100 gal")
    out.put("acre product", laid, "fl oz/acre")
    out.put("acre volume", total / sheet["planting area"], "gal/acre")
    out.put("most mix", sheet["acre ceiling"] * sheet["planting area"] / sheet["strength used"], "gal")
    out.check("strength", within(sheet["strength used"], sheet["label strength"]))
    out.check("as measured", within(made, sheet["label strength"], si(made) * half / si(total)))
    out.check("one tank", at_most(total, sheet["tank fill"], half))
    # What a spoon measures is exact; what was worked from the water test is not.
    laid_half = si(laid) * half / si(total) if si(product) >= si(measured) else 0.0
    out.check("ceiling", at_most(laid, sheet["acre ceiling"], laid_half))
    return out


def spot(sheet):
    out = Figures()
    for row in sheet.tables["patches"]:
        out.put(f"patches.area, {row['row']}", row["length"] * row["width"], "ft²")
    areas = [row["length"] * row["width"] for row in sheet.tables["patches"]]
    area = sum(areas[1:], areas[0])
    mix = sheet["spray volume"] * area
    product = sheet["strength used"] * mix
    measured = step(product, TSP / 4)
    most = greater(product, measured)
    made, laid = measured / mix, most / area
    out.put("treated area", area, "ft²")
    out.put("treated share", area / sheet["bed area"], "%")
    out.put("mix needed", mix, "fl oz")
    out.put("product", product, "tbsp")
    out.put("strength made", made, "fl oz/gal")
    out.put("on treated acre", laid, "fl oz/acre")
    out.put("on whole bed", most / sheet["bed area"], "fl oz/acre")
    out.put("season so far", sheet["used before"] + laid, "fl oz/acre")
    out.check("likely volume", within(sheet["spray volume"], HAND))
    out.check("strength", within(sheet["strength used"], sheet["label strength"]))
    out.check("as measured", within(made, sheet["label strength"]))
    out.check("one tank", at_most(mix, sheet["tank fill"]))
    out.check("treated acre", at_most(laid, sheet["acre most"]))
    out.check("season", at_most(sheet["used before"] + laid, sheet["season most"]))
    out.check("still spots", at_most(area / sheet["bed area"], sheet["label share"]))
    out.check("patches in the bed", at_most(area, sheet["bed area"]))
    return out


class Tanks:
    """The tanks of a job, filled one by one until the mix is used up; the last to the nearest fluid ounce."""

    def __init__(self, mix, fill):
        self.full, left = 0, si(mix)
        while left >= si(fill) * (1 - 1e-12):
            self.full, left = self.full + 1, left - si(fill)
        self.last = step(max(left, 0.0) * CUBIC, FL_OZ)
        self.mixed = self.full + (1 if si(self.last) > 0 else 0)


def per_tank(out, tanks, fill, volume, rate, name, size, unit_name, ground):
    """What goes into each tank at a rate on the ground, and what it comes to as measured."""
    zero = 0 * size
    full = rate * (fill / volume) if tanks.full else zero
    last = rate * (tanks.last / volume)
    lays = [rate, rate]
    if tanks.full:
        lays[0] = step(full, size) / (fill / volume)
    if si(tanks.last) > 0:
        lays[1] = step(last, size) / (tanks.last / volume)
    out.put(f"full tank {name}", full, unit_name)
    out.put(f"last tank {name}", last, unit_name)
    out.put(f"full tank lays {name}", lays[0], ground)
    out.put(f"last tank lays {name}", lays[1], ground)
    fine = [outcome_fine(step(dose, size), dose) for dose in (full, last)]
    return lays, both(*fine)


def outcome_fine(measured, dose):
    return at_least(measured, 0.9 * dose)


def tank_mix(sheet):
    out = Figures()
    volume, fill, area = sheet["spray volume"], sheet["tank fill"], sheet["area"]
    mix = volume * area
    tanks = Tanks(mix, fill)
    age = (sheet["job date"] - sheet["calibration date"]).days
    load = sheet["empty weight"] + fill * unit("lb/gal") * 8.34
    out.put("calibration age", age * unit("day"), "day")
    out.put("mix needed", mix, "gal")
    out.put("full tanks", float(tanks.full))
    out.put("last tank", tanks.last, "gal")
    out.put("tanks mixed", float(tanks.mixed))
    out.put("full tank covers", fill / volume, "ft²")
    out.put("hose covers", sheet["hose holds"] / volume, "ft²")
    out.put("load", load, "lb")
    liquid, liquid_fine = per_tank(out, tanks, fill, volume, sheet["liquid rate"], "liquid", TSP / 2, "cup", ON_1000)
    powder, powder_fine = per_tank(out, tanks, fill, volume, sheet["powder rate"], "powder", unit("oz") / 10, "oz", DRY_1000)
    out.put("liquid in all", sheet["liquid rate"] * area, "fl oz")
    out.put("powder in all", sheet["powder rate"] * area, "oz")
    strength = sheet["adjuvant strength"]
    doses = [strength * fill if tanks.full else 0 * CUBIC, strength * tanks.last]
    out.put("full tank adjuvant", doses[0], "tbsp")
    out.put("last tank adjuvant", doses[1], "tbsp")
    made = [step(doses[0], TSP / 2) / fill if tanks.full else strength, step(doses[1], TSP / 2) / tanks.last if si(tanks.last) else strength]
    for label, name in (("same person", "person"), ("same sprayer", "sprayer"), ("same tip", "tip")):
        out.check(label, "ok" if sheet[name].lower() == sheet[f"calibrated {name}"].lower() else "no")
    out.check("fresh enough", within(age, (0, si(sheet["good for"]) / 86400)))
    out.check("likely volume", within(volume, HAND))
    for name, lays, fine in (("liquid", liquid, liquid_fine), ("powder", powder, powder_fine)):
        ends = sheet[f"{name} label rate"]
        out.check(f"{name} rate", within(sheet[f"{name} rate"], ends))
        out.check(f"{name}, as measured", both(*(within(each, ends) for each in lays)))
        out.check("fine enough" if name == "liquid" else "fine enough, powder", fine)
    out.check("adjuvant", within(strength, sheet["adjuvant label strength"]))
    out.check("adjuvant, as measured", both(*(within(each, sheet["adjuvant label strength"]) for each in made)))
    out.check("load", at_most(load, sheet["load limit"]))
    out.check("hose", at_most(sheet["hose holds"], 0.1 * mix))
    return out


def leftover(sheet):
    out = Figures()
    made, left, volume = sheet["mix made"], sheet["mix left"], sheet["spray volume"]
    strength, most, there = sheet["product put in"] / made, sheet["label most"], sheet["lies there"]
    product = strength * left
    laid = (made - left) / sheet["area covered"]
    room = most * sheet["place area"] - there * sheet["place area"]
    out.put("strength", strength, "fl oz/gal")
    out.put("product left", product, "fl oz")
    out.put("fresh ground", product / most, "ft²")
    out.put("place may take", room, "fl oz")
    out.put("one walk lays", strength * volume, ON_1000)
    out.put("walked area", left / volume, "ft²")
    out.put("left share", left / made, "%")
    out.put("volume laid", laid, "gal/1000 ft²")
    out.put("rate laid", strength * laid, ON_1000)
    out.put("off calibration", laid / volume - 1, "%")
    give = sheet.give.get("mix left")
    # The jug's mark enters each figure in the share of the mix left.
    half = si(0.95 * give.half) if give and give.is_limit else 0.0
    out.check("site", said(sheet["labelled site"], True))
    out.check("room for it", at_most(product, room, half * si(strength)))
    out.check("one walk", at_most(there + strength * volume, most))
    out.check("long enough", at_least(sheet["place area"], left / volume, half / si(volume)))
    out.check("rate laid", at_most(strength * laid, most, half * si(strength / sheet["area covered"])))
    out.check("nothing much left", at_most(left / made, 0.05, half / si(made)))
    out.check("calibration", within_share(laid, 0.1, volume, half / si(sheet["area covered"])))
    out.check("whole area", at_least(sheet["area covered"], 0.98 * sheet["area planned"]))
    return out


def rinse(sheet):
    out = Figures()
    behind, water = sheet["stays behind"], sheet["rinse water"]
    # Rinse after rinse: pour in, mix, pour out all that will run out.
    carried, before = sheet["mix strength"] * behind, sheet["mix strength"] * behind
    shares, poured = [], 0 * CUBIC
    for _ in range(3):
        strength = carried / (behind + water)
        poured = poured + strength * water
        carried = strength * behind
        shares.append(carried / before)
    out.put("each leaves", shares[0], "%")
    for name, left in zip(("one rinse", "two rinses", "three rinses"), shares):
        out.put(name, left, "%")
    added = poured / sheet["place area"]
    out.put("product before", before, "mL")
    out.put("product after", carried, "mL")
    out.put("strength after", carried / behind, "tsp/gal")
    out.put("rinse in all", water + water + water, "gal")
    out.put("product in rinse water", poured, "tsp")
    out.put("added rate", added, ON_1000)
    out.put("lies there after", sheet["lies there"] + added, ON_1000)
    out.check("rinse water", within(water, (0.2 * sheet["tank holds"], 0.25 * sheet["tank holds"])))
    out.check("clean", at_most(shares[2], 0.001))
    out.check("site", said(sheet["labelled site"], True))
    out.check("room", at_most(sheet["lies there"] + added, sheet["label most"]))
    return out


def label_rates(sheet):
    out = Figures()
    volume = sheet["spray volume"]

    def put(name, ends, shown):
        low, high = (si(end) / si(unit(shown)) for end in ends)
        out.rows.append((name, "waiting" if math.isnan(low + high) else f"{low:.15g} to {high:.15g}", shown))
        return ends

    def times(ends, by):
        return [end * by for end in ends]

    def over(ends, by):
        return [end / by for end in ends]

    acre = put("acre rate on 1000", sheet["acre rate"], ON_1000)
    dry_acre = put("dry acre rate on 1000", sheet["dry acre rate"], DRY_1000)
    gallon = put("gallon rate on 1000", times(sheet["gallon rate"], volume), ON_1000)
    hundred = put("hundred rate on 1000", times(sheet["hundred rate"], volume), ON_1000)
    put("in one gallon", sheet["hundred rate"], "tsp/gal")
    dry_hundred = put("dry hundred rate on 1000", times(sheet["dry hundred rate"], volume), DRY_1000)
    put("dry in one gallon", sheet["dry hundred rate"], "oz/gal")
    share = put("share on 1000", times(sheet["share"], volume), ON_1000)
    put("product in one gallon", over(sheet["wanted mg"], sheet["strength"]), "tsp/gal")
    by_mg = put("product on 1000", times(over(sheet["wanted mg"], sheet["strength"]), volume), ON_1000)
    liquid = put("liquid for it", over(sheet["ai rate"], sheet["liquid strength"]), ON_1000)
    dry = put("dry for it", over(sheet["ai rate"], sheet["dry strength"]), DRY_1000)
    out.check("likely volume", within(volume, HAND))
    used, dry_used = sheet["rate used"], sheet["dry rate used"]
    for label, rate, ends in (
        ("part 1, liquid", used, sheet["thousand rate"]), ("part 1, dry", dry_used, sheet["dry thousand rate"]),
        ("part 2", used, acre), ("part 3, dry", dry_used, dry_acre), ("part 4", used, gallon), ("part 5, liquid", used, hundred),
        ("part 5, dry", dry_used, dry_hundred), ("part 6", used, share), ("part 7", used, by_mg), ("part 8, liquid", used, liquid),
        ("part 8, dry", dry_used, dry),
    ):
        out.check(label, within(rate, ends))
    return out


SHEETS = {
    "bottle": bottle, "spray-to-wet": spray_to_wet, "spot": spot, "tank-mix": tank_mix, "leftover": leftover, "rinse": rinse,
    "label-rates": label_rates,
}

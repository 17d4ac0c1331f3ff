"""The sheets about sprayers and tips, worked a second way: each function takes a filled sheet and returns its figures.

Where there is one, the way is another one than the sheet's: the pump interval finds the volume at which the flow has
fallen by trying, on the gas law and the square root law themselves; the fan's width comes from its two edge rays.
"""

import math

import numpy as np
from figures import (Figures, at_least, at_most, both, doubt, mean, scatter, si, spread, standard, within, within_share)
from reader import Q, unit
from scipy import optimize

GAL_1000, L_100 = unit("gal/1000 ft²"), unit("L/100 m²")
HAND = (0.2 * GAL_1000, 5 * GAL_1000)
PACE = (unit("mph"), 3 * unit("mph"))


def share(half, value):
    """A half-width or standard uncertainty as a share of its value."""
    return si(half) / si(value)


def cup(sheet, table, column):
    give = sheet.give.get(f"{table}.{column}")
    return standard(give)


def of_ratio(*parts):
    """The sources of a product or quotient, as shares: pairs of standard uncertainty as a share, degrees of freedom."""
    return [(u, df) for u, df in parts if u]


def volume_sheet(sheet, length, catch_table, out, first, second):
    """What the strip and the 1/128 acre course have in common: the doubt of the volume and the checks."""
    rows = sheet.tables[catch_table]
    catches, walks = [row["catch"] for row in rows], [row["walk"] for row in rows]
    flows = [row["catch"] / row["walk"] for row in rows]
    by_cup = cup(sheet, catch_table, "catch")
    for row, flow in zip(rows, flows):
        single = 0.95 * sheet.give["passes.catch"].half / row["walk"]
        out.put(f"passes.flow, {row['row']}", flow, "gal/min", single)
    width, width_u = sheet["spray width"], standard(sheet.give.get("spray width"))
    speed = length / mean(walks)
    walk_u, df = scatter(walks)
    speed_half = si(speed) * doubt(of_ratio((share(walk_u, mean(walks)), df)))
    out.put("walking speed", speed, "mph", speed_half)
    flow = mean(flows)
    flow_u, flow_df = scatter(flows)
    by_cup_flow = by_cup * np.mean([1 / si(walk) for walk in walks])
    out.put("tip flow", flow, "gal/min", doubt([(flow_u, flow_df), (by_cup_flow, math.inf)]))
    volume = mean(catches) / (length * width)
    catch_u, catch_df = scatter(catches)
    sources = of_ratio((share(catch_u, mean(catches)), catch_df), (share(by_cup, mean(catches)), math.inf), (share(width_u, width), math.inf))
    volume_share = doubt(sources)
    half = si(volume) * volume_share
    out.put(first[0], volume, first[1], half)
    out.put(second[0], volume, second[1], half)
    out.put("full tank covers", sheet["tank fill"] / volume, "ft²", si(sheet["tank fill"] / volume) * volume_share)
    catches_differ, walks_differ = spread(catches), spread(walks)
    out.put("catches differ", catches_differ, "%")
    out.put("walks differ", walks_differ, "%")
    out.check("pace", within(speed, PACE, speed_half))
    out.check("catches agree", at_most(catches_differ, 0.1))
    out.check("walks agree", at_most(walks_differ, 0.1))
    out.check("sure enough", at_most(half, 0.1 * volume, 0.1 * half))
    out.check("likely", within(volume, HAND, half))
    out.check("label volume", within(volume, sheet["label volume"], half))
    return width, width_u


def sprayer_strip(sheet):
    out = Figures()
    length = sheet["strip length"]
    width, width_u = volume_sheet(sheet, length, "passes", out, ("spray volume", "gal/1000 ft²"), ("acre volume", "gal/acre"))
    out.put("strip area", length * width, "ft²", si(length * width) * doubt(of_ratio((share(width_u, width), math.inf))))
    return out


def sprayer_128th_acre(sheet):
    out = Figures()
    course = unit("acre") / 128
    length = round(si(course / sheet["spray width"]) / 0.3048 / 0.1) * 0.1 * unit("ft")
    out.put("course area", course, "ft²")
    out.put("course length", length, "ft")
    out.put("one fl oz here", unit("fl oz") / course, "gal/acre")
    out.check("course", within_share(sheet["course flagged"], 0.02, length))
    volume_sheet(sheet, sheet["course flagged"], "passes", out, ("acre volume", "gal/acre"), ("spray volume", "gal/1000 ft²"))
    return out


def sprayer_timed(sheet):
    out = Figures()
    catches = sheet.tables["catches"]
    flows = [row["catch"] / row["timed"] for row in catches]
    for row, flow in zip(catches, flows):
        out.put(f"catches.flow, {row['row']}", flow, "gal/min", 0.95 * sheet.give["catches.catch"].half / row["timed"])
    walks = sheet.column("walks", "timed")
    for row in sheet.tables["walks"]:
        out.put(f"walks.pace, {row['row']}", sheet["course length"] / row["timed"], "mph")
    flow, pace, width = mean(flows), sheet["course length"] / mean(walks), sheet["spray width"]
    flow_u, flow_df = scatter(flows)
    by_cup = cup(sheet, "catches", "catch") * np.mean([1 / si(row["timed"]) for row in catches])
    walk_u, walk_df = scatter(walks)
    in_flow = [(share(flow_u, flow), flow_df), (share(by_cup, flow), math.inf)]
    in_pace = [(share(walk_u, mean(walks)), walk_df)]
    in_width = [(share(standard(sheet.give.get("spray width")), width), math.inf)]

    def half(value, *sources):
        return si(value) * doubt(of_ratio(*sum(sources, [])))

    volume = flow / (pace * width)
    out.put("tip flow", flow, "gal/min", half(flow, in_flow))
    out.put("walking speed", pace, "mph", half(pace, in_pace))
    out.put("covered", pace * width, "ft²/min", half(pace * width, in_pace, in_width))
    volume_half = half(volume, in_flow, in_pace, in_width)
    out.put("spray volume", volume, "gal/1000 ft²", volume_half)
    out.put("acre volume", volume, "gal/acre", volume_half)
    out.put("full tank covers", sheet["tank fill"] / volume, "ft²", half(sheet["tank fill"] / volume, in_flow, in_pace, in_width))
    out.put("full tank lasts", sheet["tank fill"] / flow, "min", half(sheet["tank fill"] / flow, in_flow))
    out.put("flows differ", spread(flows), "%")
    out.put("walks differ", spread(walks), "%")
    out.check("pace", within(pace, PACE, half(pace, in_pace)))
    out.check("flows agree", at_most(spread(flows), 0.1))
    out.check("walks agree", at_most(spread(walks), 0.1))
    out.check("sure enough", at_most(volume_half, 0.1 * volume, 0.1 * volume_half))
    out.check("likely", within(volume, HAND, volume_half))
    out.check("label volume", within(volume, sheet["label volume"], volume_half))
    return out


class Caught:
    """The flow of a table of catches: its mean, and the sources of its doubt with their degrees of freedom."""

    def __init__(self, sheet, table, out):
        rows = sheet.tables[table]
        self.flows = [row["catch"] / row["timed"] for row in rows]
        give = sheet.give[f"{table}.catch"]
        for row, flow in zip(rows, self.flows):
            out.put(f"{table}.flow, {row['row']}", flow, "gal/min", 0.95 * give.half / row["timed"])
        self.mean = mean(self.flows)
        by_cup = standard(give) * np.mean([1 / si(row["timed"]) for row in rows])
        self.sources = [scatter(self.flows), (by_cup, math.inf)]
        self.half = doubt(self.sources)


def tip_check(sheet):
    out = Figures()
    tip = Caught(sheet, "catches", out)
    out.put("tip flow", tip.mean, "gal/min", tip.half)
    out.put("flows differ", spread(tip.flows), "%")
    out.check("flows agree", at_most(spread(tip.flows), 0.1))
    # The pressure drives the flow: flow² / pressure stays the same.
    wanted = (sheet["rated flow"] ** 2 / sheet["rated pressure"] * sheet["pressure used"]) ** 0.5
    out.put("wanted flow", wanted, "gal/min")
    out.put("off rated", tip.mean / wanted - 1, "%", tip.half / si(wanted))
    out.check("pressure suits", within(sheet["pressure used"], sheet["tip pressures"]))
    out.check("tip worn", at_most(tip.mean, 1.1 * wanted, tip.half))
    out.check("tip blocked", at_least(tip.mean, 0.9 * wanted, tip.half))
    new = Caught(sheet, "new tip", out)
    out.put("new flow", new.mean, "gal/min", new.half)
    ratio = si(tip.mean / new.mean)
    shares = [(si(u) / si(part.mean), df) for part in (tip, new) for u, df in part.sources]
    out.put("off new", ratio - 1, "%", ratio * doubt(shares))
    for label, factor, judge in (("worn beside new", 1.1, at_most), ("blocked beside new", 0.9, at_least)):
        half = doubt(tip.sources + [(factor * u, df) for u, df in new.sources])
        out.check(label, judge(tip.mean, factor * new.mean, half))
    several(sheet, out)
    return out


def several(sheet, out):
    """Tips against their average: one cup reads them all, so that its mark is in each and in the average."""
    rows = sheet.tables["tips"]
    flows = [si(row["catch"] / row["timed"]) for row in rows]
    half = sheet.give["tips.catch"].half
    times = [si(row["timed"]) for row in rows]
    each = [si(half) / time for time in times]
    average = float(np.mean(flows))
    out.put("average flow", average * unit("m³/s"), "gal/min", 0.95 * float(np.mean(each)))
    for row, flow, give in zip(rows, flows, each):
        out.put(f"tips.flow, {row['row']}", flow * unit("m³/s"), "gal/min", 0.95 * give)
        # Flow over average: one source where the ratio only rises with the tip's own reading, another where it falls.
        own = give / average - flow * give / len(flows) / average**2
        others = flow * (sum(each) - give) / len(flows) / average**2
        out.put(f"tips.off average, {row['row']}", flow / average - 1, "%", doubt([(own / math.sqrt(3), math.inf), (others / math.sqrt(3), math.inf)]))
    for label, flow, factor, judge in (("highest tip", max(flows), 1.1, at_most), ("lowest tip", min(flows), 0.9, at_least)):
        give = each[flows.index(flow)]
        own = give - factor * give / len(flows)
        others = factor * (sum(each) - give) / len(flows)
        out.check(label, judge(flow, factor * average, doubt([(own / math.sqrt(3), math.inf), (others / math.sqrt(3), math.inf)])))


SERIES = {"01": 0.4, "015": 0.6, "02": 0.8, "025": 1.0, "03": 1.2, "035": 1.4, "04": 1.6, "05": 2.0, "06": 2.4, "08": 3.2}


def tip_choice(sheet):
    out = Figures()
    wanted = sheet["wanted volume"] * sheet["pace"] * sheet["pass width"]
    # The fan's edges leave the tip at half its angle to either side: two rays, met with the ground.
    half = si(sheet["spray angle"]) / 2
    ray = complex(math.cos(half), math.sin(half))
    reach = ray.imag / ray.real
    out.put("wanted flow", wanted, "gal/min")
    out.put("fan width", 2 * sheet["tip height"] * reach, "in")
    out.put("height needed", sheet["pass width"] / (2 * reach), "in")
    flows = {name: (rated**2 / 3 * si(sheet["pressure"]) / 1e5) ** 0.5 * unit("L/min") for name, rated in SERIES.items()}
    for name, flow in flows.items():
        out.put(f"sizes.flow, {name}", flow, "gal/min")
        out.put(f"sizes.off wanted, {name}", flow / wanted - 1, "%")
    chosen = flows.get(sheet["chosen size"], math.nan * unit("gal/min"))
    pace = chosen / (sheet["wanted volume"] * sheet["pass width"])
    out.put("chosen flow", chosen, "gal/min")
    out.put("volume at my pace", chosen / (sheet["pace"] * sheet["pass width"]), "gal/1000 ft²")
    out.put("pace it wants", pace, "mph")
    out.check("tip fits", within_share(chosen, 0.1, wanted))
    out.check("pace it wants", within(pace, PACE))
    out.check("pace", within(sheet["pace"], PACE))
    out.check("fan reaches", at_most(sheet["pass width"], 2 * sheet["tip height"] * reach))
    return out


def sprayed(air, pumped, outside, fall):
    """The volume after which the flow has fallen by that share, found by trying: p × V stays the same, flow as √p."""
    if math.isnan(air + pumped + outside + fall):
        return math.nan

    def flow_left(out):
        gauge = (pumped + outside) * air / (air + out) - outside
        return math.sqrt(max(gauge, 0) / pumped) - (1 - fall)

    return optimize.brentq(flow_left, 0, 100 * air, xtol=1e-18, rtol=8.9e-16)


def pump_interval(sheet):
    out = Figures()
    pumped, outside, fall = si(sheet["pumped pressure"]), si(sheet["air pressure"]), si(sheet["flow may fall"])
    low = optimize.brentq(lambda p: math.sqrt(p / pumped) - (1 - fall), 0, pumped, xtol=1e-9, rtol=8.9e-16) if pumped == pumped else pumped
    out.put("low pressure", low * unit("Pa"), "psi")
    out.put("air spreads", sprayed(1.0, pumped, outside, fall), "%")
    times, airs = [], []
    for row in sheet.tables["fills"]:
        air = sheet["tank brim"] - row["mix"]
        gone = sprayed(si(air), pumped, outside, fall) * unit("m³")
        airs.append(si(air))
        times.append(si(gone / sheet["tip flow"]))
        out.put(f"fills.air, {row['row']}", air, "gal")
        out.put(f"fills.sprayed, {row['row']}", gone, "fl oz")
        out.put(f"fills.spray time, {row['row']}", gone / sheet["tip flow"], "s")
    out.put("shortest time", min(times) if not any(map(math.isnan, times)) else math.nan, "s")
    out.check("tank limit", at_most(sheet["pumped pressure"], sheet["tank limit"]))
    out.check("air left", at_least(np.min(airs), 0.25 * sheet["tank brim"]))
    out.check("time to work", at_least(np.min(times), 10.0))
    return out


def heavy_mix(sheet):
    out = Figures()
    weight, held = sheet["full jug"] - sheet["empty jug"], sheet["jug holds"]
    density, water = weight / held, Q(8.34, "pound") / unit("gal")
    gravity = si(density) / si(water)
    # At one pressure density × flow² stays the same.
    slower = (si(water) / si(density)) ** 0.5
    out.put("density", density, "lb/gal")
    out.put("gravity", gravity)
    out.put("factor", 1 / slower)
    out.put("mix flow", sheet["water flow"] * slower, "gal/min")
    out.put("mix volume", sheet["spray volume"] * slower, "gal/1000 ft²")
    out.put("set for water", sheet["wanted volume"] / slower, "gal/1000 ft²")
    load = sheet["empty weight"] + sheet["tank fill"] / held * weight
    out.put("load", load, "lb")
    out.check("gravity", within(gravity, (0.75, 1.7)))
    out.check("likely", within(sheet["spray volume"], HAND))
    out.check("as wanted", within_share(sheet["spray volume"] * slower, 0.05, sheet["wanted volume"]))
    out.check("load", at_most(load, sheet["load limit"]))
    return out


SHEETS = {
    "sprayer-strip": sprayer_strip, "sprayer-128th-acre": sprayer_128th_acre, "sprayer-timed": sprayer_timed,
    "tip-check": tip_check, "tip-choice": tip_choice, "pump-interval": pump_interval, "heavy-mix": heavy_mix,
}

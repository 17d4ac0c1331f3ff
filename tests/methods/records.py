"""The sheets that keep records and count costs, worked a second way with the calendar and plain sums of Python."""

import datetime
import math

from figures import Figures, at_least, at_most, both, either, said, si, within, within_share
from reader import unit

DAY = unit("day")


def days(later, earlier):
    """Days from one date to another, nan where one is blank."""
    return math.nan if later is None or earlier is None else float((later.date() - earlier.date()).days)


def written(moment):
    return moment.strftime("%Y-%m-%d %H:%M" if moment.hour or moment.minute else "%Y-%m-%d")


def total(values):
    return sum(values[1:], values[0])


def job_record(sheet):
    out = Figures()
    rows = sheet.tables["applied"]
    first = min(row["day"] for row in rows)
    took = (sheet["finish"] - sheet["start"]).total_seconds() * unit("s")
    wait = datetime.timedelta(seconds=si(sheet["re-entry time"]))
    area, liquid, dry = (total([row[name] for row in rows]) for name in ("area", "liquid", "dry"))
    rates = liquid / area, dry / area
    volume = (sheet["mix made"] - sheet["mix left"]) / area
    seasons = sheet["used before"] + rates[0], sheet["dry used before"] + rates[1]
    out.say("first day", first.strftime("%Y-%m-%d"))
    out.put("took", took, "h")
    out.say("keep out until", (sheet["finish"] + wait).strftime("%Y-%m-%d %H:%M"))
    out.put("area in all", area, "ft²")
    out.put("liquid in all", liquid, "fl oz")
    out.put("dry in all", dry, "lb")
    out.put("liquid rate", rates[0], "fl oz/1000 ft²")
    out.put("dry rate", rates[1], "lb/1000 ft²")
    out.put("volume laid", volume, "gal/1000 ft²")
    out.put("season liquid", seasons[0], "fl oz/1000 ft²")
    out.put("season dry", seasons[1], "lb/1000 ft²")
    yes = {name: sheet[name] for name in ("label read", "restricted", "licensed", "supervised", "inversion", "posting needed", "posted", "rinsed")}
    out.check("label", said(yes["label read"], True))
    out.check("licence", either(said(yes["restricted"], False), said(yes["licensed"], True), said(yes["supervised"], True)))
    out.check("rate", within(rates[0], sheet["label rate"]))
    out.check("dry rate", within(rates[1], sheet["dry label rate"]))
    out.check("interval", at_least(days(first, sheet["last use"]) * DAY, sheet["minimum interval"]))
    out.check("season", at_most(seasons[0], sheet["season most"]))
    out.check("dry season", at_most(seasons[1], sheet["dry season most"]))
    out.check("times", "ok" if si(took) > 0 else "no")
    out.check("wind", within(sheet["wind"], sheet["label wind"]))
    out.check("heat", within(sheet["temperature"], sheet["label heat"]))
    out.check("inversion", said(yes["inversion"], False))
    out.check("posting", either(said(yes["posting needed"], False), said(yes["posted"], True)))
    out.check("volume", within_share(volume, 0.1, sheet["spray volume"]))
    out.check("calibration", within(days(first, sheet["calibrated"]), (0, 90)))
    out.check("rinse", said(yes["rinsed"], True))
    return out


def season_log(sheet):
    out = Figures()
    season = sheet.tables["season"]
    log_day = sheet["log date"]
    uses = []
    for row in sheet.tables["products"]:
        label, mine = row["row"], [each for each in season if each["registration"] == row["number"]]
        last = max(each["day"] for each in mine)
        uses.append(len(mine))
        out.put(f"products.uses, {label}", float(len(mine)))
        out.put(f"products.liquid used, {label}", total([each["liquid"] for each in mine]), "fl oz")
        out.put(f"products.dry used, {label}", total([each["dry"] for each in mine]), "lb")
        out.say(f"products.last use, {label}", last.strftime("%Y-%m-%d"))
        out.put(f"products.days since, {label}", days(log_day, last) * DAY, "day")
        out.put(f"products.days left, {label}", row["least days"] - days(log_day, last) * DAY, "day")
    jobs = []
    for row in sheet.tables["places"]:
        mine = [each for each in season if each["bed"] == row["place"]]
        jobs.append(len(mine))
        out.put(f"places.jobs, {row['row']}", float(len(mine)))
        out.put(f"places.ground, {row['row']}", sum((each["area"] for each in mine), 0 * unit("ft²")), "ft²")
    lines, shares = [], {}
    for table, column, shown in (("limits", "liquid", "fl oz/1000 ft²"), ("dry limits", "dry", "lb/1000 ft²")):
        shares[table] = []
        for row in sheet.tables[table]:
            mine = [each for each in season if each["registration"] == row["number"] and each["bed"] == row["place"]]
            laid = sum((each[column] for each in mine), 0 * mine[0][column] if mine else 0 * unit(shown.split("/")[0])) / row["bed area"]
            lines.append(len(mine))
            shares[table].append(si(laid / row["season most"]))
            out.put(f"{table}.times, {row['row']}", float(len(mine)))
            out.put(f"{table}.laid, {row['row']}", laid, shown)
            out.put(f"{table}.share, {row['row']}", laid / row["season most"], "%")
    last_job = max(each["day"] for each in season)
    out.put("rows in all", float(len(season)))
    out.put("ground treated", total([each["area"] for each in season]), "ft²")
    out.put("liquid in all", total([each["liquid"] for each in season]), "fl oz")
    out.put("dry in all", total([each["dry"] for each in season]), "lb")
    out.say("last job", last_job.strftime("%Y-%m-%d"))
    there = [each["day"] for each in season if each["registration"] == sheet["next number"] and each["bed"] == sheet["next bed"]]
    waited = days(sheet["next day"], max(there)) * DAY if there else sheet["next least"]
    out.put("times there", float(len(there)))
    out.put("days waited", waited, "day")
    out.check("every row", "ok" if sum(uses) == len(season) else "no")
    out.check("every place", "ok" if sum(jobs) == len(season) else "no")
    out.check("lines in use", "ok" if min(lines) >= 1 else "no")
    out.check("liquid limits", at_most(max(shares["limits"]), 1.0))
    out.check("dry limits", at_most(max(shares["dry limits"]), 1.0))
    out.check("log date", at_least(days(log_day, last_job), 0))
    out.check("next bed", either("ok" if there else "no", said(sheet["first time"], True)))
    out.check("long enough", at_least(waited, sheet["next least"]))
    return out


def equipment(sheet):
    out = Figures()
    today = sheet["list date"]
    ages = {}
    for table, day, name in (("sprayers", "calibrated", "age"), ("care", "oiled", "since oiled"), ("spreaders", "calibrated", "age")):
        ages[table] = {row["row"]: days(today, row[day]) for row in sheet.tables[table]}
        for label, age in ages[table].items():
            out.put(f"{table}.{name}, {label}", age * DAY, "day")
    sprayers = {row["row"]: row for row in sheet.tables["sprayers"]}
    chosen = sprayers[sheet["chosen"]]
    out.say("kept apart", "yes" if chosen["herbicides only"] else "no")
    out.put("chosen age", ages["sprayers"][sheet["chosen"]] * DAY, "day")
    unmarked = [row for row in sprayers.values() if row["herbicides only"] and not row["marked"]]
    out.put("unmarked", float(len(unmarked)))
    oldest, unoiled, oldest_spreader = (max(ages[table].values()) for table in ("sprayers", "care", "spreaders"))
    out.put("oldest calibration", oldest * DAY, "day")
    out.put("longest unoiled", unoiled * DAY, "day")
    out.put("oldest spreader calibration", oldest_spreader * DAY, "day")
    good, oil = si(sheet["good for"] / DAY), si(sheet["oil every"] / DAY)
    out.check("right sprayer", "ok" if sheet["herbicide job"] == chosen["herbicides only"] else "no")
    out.check("marked", "no" if unmarked else "ok")
    out.check("calibration of the chosen", within(ages["sprayers"][sheet["chosen"]], (0, good)))
    out.check("all calibrations", at_most(oldest, good))
    out.check("spreaders", at_most(oldest_spreader, good))
    out.check("oiled", at_most(unoiled, oil))
    out.check("capacity", at_most(max(si(row["holds"]) for row in sprayers.values()), sheet["capacity limit"]))
    return out


def cost(sheet):
    out = Figures()
    spent = 0 * unit("$")
    for table in ("liquids", "dry goods"):
        for row in sheet.tables[table]:
            out.put(f"{table}.cost, {row['row']}", row["price"] * row["used"], "$")
            spent = spent + (row["price"] * row["used"]).to("dollar")
    visit = sheet["work pace"] * sheet["treated"] + sheet["set up"] + sheet["travel"]
    hours = visit * si(sheet["visits"]) * si(sheet["people"])
    labour = hours * sheet["wage"]
    everything = spent + labour.to("dollar")
    out.put("product cost", spent, "$")
    out.put("visit time", visit, "h")
    out.put("crew time", hours, "h")
    out.put("labour cost", labour, "$")
    out.put("all in all", everything, "$")
    out.put("cost on 1000", everything / sheet["area"], "$/1000 ft²")
    out.put("product share", spent / everything, "%")
    out.check("time for the careful parts", at_least(sheet["set up"], 20 * unit("min")))
    out.check("visits", at_least(sheet["visits"], 1.0))
    return out


SHEETS = {"job-record": job_record, "season-log": season_log, "equipment": equipment, "cost": cost}

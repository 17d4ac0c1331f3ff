"""Makes random worksheets with what they come to, and holds the program to them.

    python3 make.py try 10000 ../../../target/release/catchwork   all of them, worked by the built program
    python3 make.py keep 600                                      writes kept.jsonl, which `cargo test` holds it to
    python3 make.py show 17                                       one worksheet and what it comes to

Needs pint, uncertainties, scipy. A worksheet depends on its number alone.
"""

import json
import math
import subprocess
import sys
import tempfile
from collections import Counter
from importlib.metadata import version
from pathlib import Path

from sheet import Sheet
from units import unit

VALUE, DOUBT = 1e-9, 1e-6
FIGURES = {"value": VALUE, "low": VALUE, "high": VALUE, "standard_uncertainty": DOUBT, "degrees_of_freedom": DOUBT,
           "give_or_take": DOUBT}


def differences(expected, report):
    """What the report says otherwise, each as a line."""
    lines = sorted(trouble["line"] for trouble in report["troubles"])
    if lines != sorted(expected["troubles"]):
        said = [f"{t['line']}: {t['says']}" for t in report["troubles"]]
        yield f"troubles in {lines}, expected in {sorted(expected['troubles'])}: {said}"
        return
    found = {value["name"]: value for value in report["values"]}
    for name, value in expected["values"].items():
        yield from unlike(name, value, found.get(name), found.get(name, {}).get("unit"))
    cells = {f"{table['name']}.{column['name']}, {row['label']}": (cell, column)
             for table in report["tables"] for row in table["rows"]
             for cell, column in zip(row["cells"], table["columns"])}
    for name, value in expected["cells"].items():
        cell, column = cells.get(name, (None, {}))
        yield from unlike(name, value, cell and {**cell, **{key: column[key] for key in ("unit", "of", "per")}}, None)
    outcomes = {check["label"]: check["outcome"] for check in report["checks"]}
    for label, outcome in expected["checks"].items():
        if outcomes.get(label) != outcome:
            yield f"? {label}: {outcomes.get(label)}, expected {outcome}"


def unlike(name, expected, found, _):
    if found is None:
        yield f"{name}: not in the report"
        return
    for key, value in expected.items():
        have = found[key]
        if key == "waiting_on":
            same = sorted({blank.split(", reading")[0] for blank in have}) == value
        elif key == "readings":
            same = len(have) == len(value) and all(close(a, b, VALUE) for a, b in zip(have, value))
        elif key in FIGURES:
            same = close(have, value, FIGURES[key])
            # What cancels leaves a last digit of what it was made from.
            tiny = 1e-12 * abs(found.get("value") or 0)
            same = same or (key == "standard_uncertainty" and None not in (have, value) and max(have, value) < tiny)
        elif key == "shown":
            # A second unit stands behind a semicolon; very small numbers are shown with a power of ten.
            have = have.split(";")[0]
            same = have == value or ("e" in have and numbers(have) == numbers(value))
        elif key == "unit":
            same = words_of(have) == words_of(value)
        else:
            same = have == value
        if not same:
            yield f"{name}, {key}: {have!r}, expected {value!r}"


def numbers(text):
    return [float(word) for word in text.split() if word not in ("±", "to")]


def words_of(unit):
    """The words of a unit above and below the line, in whatever order."""
    above, *below = (unit or "").split("/")
    return sorted(above.split("·")), sorted(below)


def close(a, b, share):
    if a is None or b is None:
        return a is b
    return math.isclose(a, b, rel_tol=share, abs_tol=0.0)


def tried(count, program, first=0):
    """Works so many worksheets in one folder and tells every difference."""
    with tempfile.TemporaryDirectory() as folder:
        sheets = {}
        for seed in range(first, first + count):
            sheet = Sheet(seed)
            sheets[f"{seed:06}.worksheet"] = sheet
            Path(folder, f"{seed:06}.worksheet").write_text(sheet.text)
        run = subprocess.run([program, "results", "--as", "jsonl", "--today", "2026-04-12", "."], cwd=folder,
                             capture_output=True, text=True)
        reports = [json.loads(line) for line in run.stdout.splitlines()]
    counts, wrong = Counter(), 0
    assert len(reports) == len(sheets), run.stderr[:2000]
    for report in reports:
        sheet = sheets[Path(report["worksheet"]).name]
        off = list(differences(sheet.expected, report))
        if off:
            wrong += 1
            if wrong <= 40:
                print(f"--- {sheet.seed}", *off, sep="\n  ")
        counts.update(sheet.counts())
    print(f"{len(sheets)} worksheets, {wrong} of them come out otherwise;", ", ".join(f"{n} {what}" for what, n in sorted(counts.items())))
    return 1 if wrong else 0


def keep(count):
    """Each worksheet on a line of its own: what has a doubt or was worked, by `row`."""
    with open(Path(__file__).with_name("kept.jsonl"), "w") as kept:
        libraries = {name: version(name) for name in ("pint", "uncertainties", "scipy")}
        print(json.dumps({"made_by": f"make.py keep {count}", "libraries": libraries, "sheets": count}), file=kept)
        for seed in range(count):
            sheet = Sheet(seed)
            kinds = {"values": {}, "cells": {}}
            for kind, found in kinds.items():
                for name, value in sheet.expected[kind].items():
                    if value.get("standard_uncertainty") or f"\n{name} =" in "\n" + sheet.text.replace("\r", "") or kind == "cells":
                        found[name] = row(value)
            print(json.dumps({"sheet": seed, "worksheet": sheet.text, "troubles": sorted(sheet.troubles)} | kinds |
                             {"checks": sheet.checks}, ensure_ascii=False), file=kept)


COLUMNS = ("value", "standard_uncertainty", "degrees_of_freedom", "give_or_take")


def row(value):
    """What is kept of a value: unit, labels above and below the line, its figures with twelve digits (of an exact one
    the number and a 0, where nothing is claimed of its doubt the number alone), and how it is shown."""
    units = [value.get(key) for key in ("unit", "of", "per")]
    if "text" in value:
        return {"text": value["text"]}
    if "waiting_on" in value:
        return {"waiting_on": value["waiting_on"]}
    if "low" in value:
        found = [*units, "range", short(value["low"]), short(value["high"])]
    elif "standard_uncertainty" not in value:
        found = [*units, short(value["value"])]
    elif value["standard_uncertainty"] == 0:
        found = [*units, short(value["value"]), 0]
    else:
        found = units + [short(value[key]) for key in COLUMNS]
    return found + ([value["shown"]] if "shown" in value else [])


def short(figure):
    return None if figure is None else float(f"{figure:.12g}")


def show(seed):
    sheet = Sheet(seed)
    print(sheet.text)
    print(json.dumps(sheet.expected, indent=1, ensure_ascii=False))


if __name__ == "__main__":
    match sys.argv[1:]:
        case ["try", count, program, *first]:
            sys.exit(tried(int(count), str(Path(program).resolve()), *map(int, first)))
        case ["keep", count]:
            keep(int(count))
        case ["show", seed]:
            show(int(seed))
        case _:
            sys.exit(__doc__)

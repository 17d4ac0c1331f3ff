"""Writes the worksheets and certified.tsv of this folder from NIST's Statistical Reference Datasets (univariate).

Run from the top of the repository: python3 tests/reference/strd/make.py PUBLISHED_CASES  (needs mpmath), where
PUBLISHED_CASES is the file of published examples that holds the datasets and what NIST certifies for them.

certified.tsv has for each figure what NIST prints; the same worked with mpmath from the decimals as printed, to 20
digits; and the same worked with mpmath from the nearest doubles, which is the best a program that keeps doubles can do
(the readings of NumAcc3 are already 1e-10 off as doubles, those of NumAcc4 1e-9, and so their sd is).
"""

import json
import sys

import mpmath as mp

mp.mp.dps = 60
WIDTH = 110


def digits_of_pi():
    """PiDigits as NIST circulates it: the 957th digit is 3, where pi has 8."""
    with mp.workdps(5050):
        digits = mp.nstr(+mp.pi, 5030).replace(".", "")[:5000]
    assert digits[956] == "8"
    return list(digits[:956] + "3" + digits[957:])


RULES = {
    "numacc2": ["1.2"] + ["1.1", "1.3"] * 500,
    "numacc3": ["1000000.2"] + ["1000000.1", "1000000.3"] * 500,
    "numacc4": ["10000000.2"] + ["10000000.1", "10000000.3"] * 500,
}
# The published cases hold no NumAcc4: its rule and what NIST certifies for it are from memory.
FROM_MEMORY = {
    "id": "t12-strd-numacc4",
    "source": {"title": "Statistical Reference Datasets, univariate summary statistics: NumAcc4", "publisher": "NIST (the rule from memory)"},
    "inputs": [{"name": "n", "value": 1001}],
    "expected": [{"name": "mean", "value": 10000000.2}, {"name": "standard deviation (n-1)", "value": 0.1}],
}


def decimals(name, inputs):
    """The readings as NIST prints them, but for zeros at the end."""
    if "data" in inputs:
        return [repr(int(x) if x == int(x) else x) for x in inputs["data"]]
    return RULES[name] if name in RULES else digits_of_pi()


def statistics(numbers):
    """Mean and sd (n - 1)."""
    mean = mp.fsum(numbers) / len(numbers)
    return mean, mp.sqrt(mp.fsum((x - mean) ** 2 for x in numbers) / (len(numbers) - 1))


def lines_of(readings):
    """The entry, continued where it is long."""
    lines, line = [], "readings :"
    for index, reading in enumerate(readings):
        word = " " + reading + ("," if index + 1 < len(readings) else "")
        if len(line) + len(word) > WIDTH:
            lines.append(line)
            line = " "
        line += word
    return lines + [line]


def worksheet(case, readings):
    text = [f"# {case['source']['title']}", "", f"-- Source: {case['source']['publisher']}, Statistical Reference Datasets", ""]
    text += [*lines_of(readings), "", "mean = mean(readings)", "sd = sd(readings)"]
    return "\n".join(text) + "\n"


def main(published):
    with open(published, encoding="utf-8") as file:
        cases = [case for case in json.load(file) if case["id"].startswith("t12-strd-")] + [FROM_MEMORY]
    rows = []
    for case in cases:
        name = case["id"].removeprefix("t12-strd-")
        inputs = {given["name"]: given["value"] for given in case["inputs"]}
        printed = {figure["name"]: figure for figure in case["expected"]}
        readings = decimals(name, inputs)
        assert len(readings) == inputs["n"], name
        with open(f"tests/reference/strd/{name}.worksheet", "w", encoding="utf-8") as file:
            file.write(worksheet(case, readings))
        exact = statistics([mp.mpf(reading) for reading in readings])
        doubles = statistics([mp.mpf(float(reading)) for reading in readings])
        for place, (result, figure) in enumerate({"mean": "mean", "sd": "standard deviation (n-1)"}.items()):
            certified = printed[figure]["value"]
            assert abs(exact[place] - certified) <= 2e-15 * abs(exact[place]), (name, result, exact[place])
            rows.append((name, result, repr(certified), mp.nstr(exact[place], 20), mp.nstr(doubles[place], 20)))
    with open("tests/reference/strd/certified.tsv", "w", encoding="utf-8") as file:
        file.write(f"# NIST StRD, univariate: certified by NIST; worked with mpmath {mp.__version__}: make.py\n")
        file.write("worksheet\tresult\tcertified\tof_decimals\tof_doubles\n")
        file.writelines("\t".join(row) + "\n" for row in rows)


main(sys.argv[1])

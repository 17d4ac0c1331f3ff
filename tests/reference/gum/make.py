"""Writes the worksheets of this folder, examples of JCGM 100:2008 in the notation, and figures.tsv: what JCGM prints.

Run from this folder: python3 make.py  (needs what ../doubt/make.py needs)

The inputs and printed figures are from memory, but for H.1 and 4.4.3, which the published cases of the project hold
too; the readings of H.2 have the correlations that its table gives (-0.36, 0.86, -0.65). Each figure is worked
here by ../doubt/moves.py and has to come out as printed, within half a unit of the last place.
Where JCGM rounds on the way its figure is named as such in the last column and `worked` is what counts. Nanometre and
microvolt are not in the vocabulary: those sheets hold plain numbers. A standard uncertainty u with n degrees of freedom
is written as the half-width t × u.
"""

import sys
from fractions import Fraction

sys.path.insert(0, "../doubt")

import moves
import mpmath as mp
from sheet import Column, Entry, Give, Sheet, Table
from special import Twin
from work import t_95


def half(u, freedom=None):
    """The `±` whose standard uncertainty is u, to 12 digits."""
    width = t_95(freedom or mp.inf) * mp.mpf(u)
    return Give(Fraction(mp.nstr(width, 12, strip_zeros=True, min_fixed=-20, max_fixed=20)), None, freedom)


def at_most(a):
    return Give(Fraction(a), None, None, True)


def entry(value, give=None):
    return Entry([Fraction(value)], "", give)


def name(text):
    return ("name", text)


def mean(text):
    return ("list", "mean", text)


def column(text):
    return Column([Fraction(word) for word in text.split()])


def end_gauge():
    sheet = Sheet("JCGM 100 H.1: an end gauge against a standard, in nm and °C", {
        "standard": entry("50000623", half(25, 18)),
        "difference": entry("215", half("5.8", 24)),
        "comparator random": entry("0", half("3.9", 5)),
        "comparator systematic": entry("0", half("6.7", 8)),
        "expansion": entry("0.0000115", half("0.0000012")),
        "expansion apart": entry("0", half("0.00000058", 50)),
        "departure": entry("-0.1", half("0.41")),
        "temperature apart": entry("0", half("0.029", 2)),
    })
    sheet.results["d"] = (("+", ("+", name("difference"), name("comparator random")), name("comparator systematic")), "")
    warm = ("+", ("*", name("expansion apart"), name("departure")), ("*", name("expansion"), name("temperature apart")))
    sheet.results["gauge"] = (("-", ("+", name("standard"), name("d")), ("*", name("standard"), warm)), "")
    return sheet, [
        ("d", "standard_uncertainty", "9.7", "H.1.3.2", ""), ("d", "degrees_of_freedom", "25.6", "H.1.6", "from 9.7 rounded"),
        ("gauge", "value", "50000838", "H.1.7", ""), ("gauge", "standard_uncertainty", "32", "H.1.4", ""),
        ("gauge", "degrees_of_freedom", "16.7", "H.1.6", "from 32 and 1002 rounded"),
    ]


VOLTS, AMPS, PHASE = "5.007 4.994 5.005 4.990 4.999", "0.019663 0.019639 0.019640 0.019685 0.019678", "1.0456 1.0438 1.0468 1.0428 1.0433"


def ohms(volts, amps, phase):
    over = ("/", volts, amps)
    return {"resistance": ("*", over, ("call", "cos", phase)), "reactance": ("*", over, ("call", "sin", phase)), "impedance": over}


def reactance():
    sets = Table({"across": column(VOLTS), "through": column(AMPS), "phase": Column(column(PHASE).cells, "rad")})
    by_row = ohms(name("across"), name("through"), name("phase"))
    sets.worked = {each: (made, "volt/amp") for each, made in by_row.items()}
    by_mean = ohms(mean("sets.across"), mean("sets.through"), mean("sets.phase"))
    results = {each: (made, "volt/amp") for each, made in by_mean.items()}
    results |= {f"{each} set for set": (mean(f"sets.{each}"), "volt/amp") for each in by_mean}
    results |= {"across": (mean("sets.across"), "volt"), "through": (mean("sets.through"), "amp"), "phase": (mean("sets.phase"), "rad")}
    sheet = Sheet("JCGM 100 H.2: resistance and reactance from five sets of readings", {}, {"sets": sets}, results)
    text = str(sheet).partition("\n\n")[2].replace("across : number", "across : volt").replace("through : number", "through : amp")
    text = "1 volt\n1 amp\n\n" + text
    printed = []
    for each, value, u in (("resistance", "127.732", "0.071"), ("reactance", "219.847", "0.295"), ("impedance", "254.260", "0.236")):
        # By means the reactance's 0.2956 is printed 0.295, as it comes out set for set.
        early = "from rounded parts" if each == "reactance" else ""
        printed += [(each, "value", value, "H.2.3, table H.3", ""), (each, "standard_uncertainty", u, "H.2.3, table H.3", early)]
        printed += [(f"{each} set for set", "value", value, "H.2.4, table H.4", ""),
                    (f"{each} set for set", "standard_uncertainty", u, "H.2.4, table H.4", "")]
    printed += [("across", "value", "4.9990", "table H.2", ""), ("across", "standard_uncertainty", "0.0032", "table H.2", ""),
                ("through", "value", "0.0196610", "table H.2", ""), ("through", "standard_uncertainty", "0.0000095", "table H.2", ""),
                ("phase", "value", "1.04446", "table H.2", ""), ("phase", "standard_uncertainty", "0.00075", "table H.2", "")]
    return Twin(sheet.title, {}, sheet.tables, sheet.results, text), printed


TEMPERATURES = ("96.90 98.18 98.25 98.61 99.03 99.49 99.56 99.74 99.89 100.07 100.33 100.42 100.68 100.95 101.11 101.20 "
                "101.57 101.84 102.36 102.72")


def temperatures():
    readings = TEMPERATURES.split()
    sheet = Twin("JCGM 100 4.4.3: twenty temperatures", {"readings": Entry([Fraction(t) for t in readings])}, {},
                 {"temperature": (mean("readings"), "")},
                 f"readings : {', '.join(readings)} °C\n\ntemperature = mean(readings) [°C]\nscatter = sd(readings) [Δ°C]\n")
    return sheet, [("temperature", "value", "100.14", "4.4.3", "100.145 exactly"),
                   ("temperature", "standard_uncertainty", "0.33", "4.4.3", ""), ("scatter", "value", "1.49", "4.4.3", "")]


def expansion():
    sheet = Sheet("JCGM 100 4.3.7 example 1: a handbook's limit of error, in 0.000001 per °C", {"copper": entry("16.52", at_most("0.40"))},
                  {}, {"expansion": (name("copper"), "")})
    return sheet, [("expansion", "standard_uncertainty", "0.23", "4.3.7 example 1", "")]


def voltmeter():
    sheet = Sheet("JCGM 100 4.3.7 example 2 and 5.1.5: a voltmeter's limit beside its scatter, in microvolt", {
        "readings": entry("928571", half(12)), "correction": entry("0", at_most("15"))}, {}, {
        "applied": (name("correction"), ""), "potential": (("+", name("readings"), name("correction")), "")})
    return sheet, [("applied", "standard_uncertainty", "8.7", "4.3.7 example 2", ""),
                   ("potential", "value", "928571", "5.1.5", ""), ("potential", "standard_uncertainty", "15", "5.1.5", "")]


def bounds():
    sheet = Twin("JCGM 100 4.4.5: a temperature between bounds", {"between": entry("100", at_most("4"))}, {}, {"temperature": (name("between"), "")},
                 "between : 100 °C ± 4 °C at most\n\ntemperature = between [°C]\n")
    return sheet, [("temperature", "value", "100", "4.4.5", ""), ("temperature", "standard_uncertainty", "2.3", "4.4.5", "")]


SHEETS = {"H.1": end_gauge, "H.2": reactance, "4.4.3": temperatures, "4.3.7-1": expansion, "4.3.7-2": voltmeter, "4.4.5": bounds}


def sd(readings):
    at = [mp.mpf(t) for t in readings.split()]
    middle = mp.fsum(at) / len(at)
    return mp.sqrt(mp.fsum((x - middle) ** 2 for x in at) / (len(at) - 1))


def worked(summaries, result, figure):
    if result == "scatter":
        return sd(TEMPERATURES)
    kinds = {"value": "value", "standard_uncertainty": "standard", "degrees_of_freedom": "freedom"}
    return getattr(summaries[result], kinds[figure])


def half_a_unit(printed):
    return Fraction(1, 2) / 10 ** len(printed.partition(".")[2])


def rows(example, sheet, printed):
    # Volt and amp are counters of the sheet's own: one of each is one.
    bare = Sheet(sheet.title, sheet.entries, sheet.tables, {each: (made, "") for each, (made, _) in sheet.results.items()})
    summaries = moves.summaries(bare)
    for result, figure, text, clause, rounded in printed:
        found, place = worked(summaries, result, figure), half_a_unit(text)
        near = abs(found - mp.mpf(text)) <= mp.mpf(place.numerator) / place.denominator + mp.mpf("1e-30")
        assert near != bool(rounded) or rounded == "100.145 exactly", (example, result, figure, found, text)
        yield [example, result, figure, text, str(float(place)), mp.nstr(found, 17), clause, rounded]


with open("figures.tsv", "w", encoding="utf-8") as file:
    file.write(f"# JCGM 100:2008, Guide to the expression of uncertainty in measurement; worked with mpmath {mp.__version__}: make.py\n")
    file.write("worksheet\tresult\tfigure\tprinted\thalf_a_unit\tworked\tclause\trounded_on_the_way\n")
    for example, make in SHEETS.items():
        sheet, printed = make()
        with open(f"{example}.worksheet", "w", encoding="utf-8") as worksheet:
            worksheet.write(str(sheet))
        file.writelines("\t".join(row) + "\n" for row in rows(example, sheet, printed))

"""Prints how many branches of the stages that make numbers were taken, a line a module, and each that was not.

It reads what `llvm-cov export` writes. A branch is one way out of a condition: each condition has two. A function that was
built more than once, for other types or in another program, has its conditions once, and a way counts as taken if any
of its builds took it. Unit tests are left out.
"""

import json
import sys
from collections import defaultdict
from pathlib import Path

MODULES = {
    "units": ["src/units/"],
    "quantity": ["src/quantity/", "src/quantity.rs"],
    "checked": ["src/checked/"],
    "worked": ["src/worked/"],
    "report's figures": ["src/report/figures.rs", "src/report/shown.rs", "src/report/digits.rs"],
}


def module_of(path):
    for module, beginnings in MODULES.items():
        if any(path.startswith(beginning) for beginning in beginnings):
            return module
    return None


def tests_from(lines):
    """The line at which the unit tests at a file's foot begin."""
    for number, (line, following) in enumerate(zip(lines, lines[1:]), 1):
        if line == "#[cfg(test)]" and following.startswith("mod tests {"):
            return number
    return len(lines) + 1


def main():
    root = Path.cwd()
    taken = defaultdict(lambda: [0, 0])
    for export in json.load(open(sys.argv[1]))["data"]:
        for function in export["functions"]:
            for line, column, to_line, to_column, yes, no, file, *_ in function["branches"]:
                path = Path(function["filenames"][file])
                if not path.is_absolute():
                    path = root / path
                if root in path.parents:
                    ways = taken[str(path.relative_to(root)), line, column, to_line, to_column]
                    ways[0] += yes
                    ways[1] += no
    lines = {}
    counts = {module: [0, 0] for module in MODULES}
    missed = []
    for (path, line, column, to_line, to_column), ways in sorted(taken.items()):
        module = module_of(path)
        if module is None or path.endswith("tests.rs"):
            continue
        if path not in lines:
            text = (root / path).read_text().splitlines()
            lines[path] = (text, tests_from(text))
        text, tests = lines[path]
        if line >= tests:
            continue
        for way, count in zip(("yes", "no"), ways):
            counts[module][1] += 1
            counts[module][0] += count > 0
            if count == 0:
                condition = text[line - 1][column - 1 : to_column - 1 if line == to_line else None]
                missed.append(f"{path}:{line}:{column}: never {way}: {condition.strip()}")
    print("\n".join(missed))
    for module, (some, all_of) in [*counts.items(), ("all", [sum(part) for part in zip(*counts.values())])]:
        print(f"{module:18} {some:5} of {all_of:5}  {100 * some / max(all_of, 1):.1f} %")


main()

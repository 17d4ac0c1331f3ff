"""Writes figures.tsv in each folder here: what every case of that template comes to, worked a second way.

    python -m venv venv && venv/bin/pip install pint==0.25.3 numpy==2.4.6 scipy==1.17.1 shapely==2.2.0
    venv/bin/python tests/methods/make.py

Only the measures are read from a case, and the units of the blanks from its template; no formula of either is. The
functions that work them stand in spraying.py, spreading.py, mixing.py and records.py, one a template. A figure is in the
unit beside it, the first that the result is shown in; a row `name ±` is the 95 % half-width; a row `? label` says how
the check comes out. Every result, every worked cell and every check has its row.
"""

from pathlib import Path

import mixing
import numpy
import pint
import records
import scipy
import shapely
import spraying
import spreading
from reader import Sheet

HERE = Path(__file__).resolve().parent
SHEETS = spraying.SHEETS | spreading.SHEETS | mixing.SHEETS | records.SHEETS

for folder in sorted(path for path in HERE.iterdir() if path.is_dir() and path.name in SHEETS):
    lines = [f"# pint {pint.__version__}, numpy {numpy.__version__}, scipy {scipy.__version__}, shapely {shapely.__version__}: make.py"]
    lines.append("case\tresult\tfigure\tunit")
    for case in sorted(folder.glob("*.worksheet")):
        sheet = Sheet(case)
        assert sheet.template == folder.name, case
        for row in SHEETS[folder.name](sheet).rows:
            lines.append("\t".join((case.stem, *row)))
    (folder / "figures.tsv").write_text("\n".join(lines) + "\n")

"""Writes scipy.tsv: the 97.5 % quantile of Student's t by scipy, which shares nothing with table.py.

Run from the top of the repository: python3 tests/reference/student/scipy_table.py  (needs scipy)
"""

import scipy
from scipy import stats

COUNTS = [*range(1, 1001), 1001, 1234, 1500, 2000, 5000, 10**4, 10**5, 10**6, 10**7, 10**8, 10**9]

with open("tests/reference/student/scipy.tsv", "w", encoding="utf-8") as table:
    table.write(f"# 97.5 % quantile of Student's t by scipy {scipy.__version__}, scipy.stats.t.ppf: scipy_table.py\n")
    table.write("freedom\tt\n")
    table.write(f"inf\t{float(stats.norm.ppf(0.975))!r}\n")
    table.writelines(f"{count}\t{float(stats.t.ppf(0.975, count))!r}\n" for count in COUNTS)

"""Writes src/quantity/student/table.rs: the 97.5 % quantile of Student's t for 1 to 1000 degrees of freedom, and
beyond.tsv: the same at counts past the table, which hold the series of src/quantity/student.rs to account.

Run from the top of the repository: python3 tests/reference/student/table.py  (needs mpmath)

The probability is integrated from the density itself at 50 digits and turned round by Newton's method, so nothing here
rests on a library's own quantile. Each figure is the shortest decimal that reads back as the nearest double.
"""

import mpmath as mp

mp.mp.dps = 50
HEAD = """//! The 97.5 % quantile of Student's t for 1 to 1000 degrees of freedom, each the nearest double. Written by
//! `tests/reference/student/table.py` with mpmath {version}; it knows nothing of how the figures are used.

/// `T_975[n - 1]` is the quantile for n degrees of freedom.
pub static T_975: [f64; 1000] = [
"""


def density(freedom):
    """Student's density as a function of one number."""
    half = mp.mpf(freedom) / 2
    scale = mp.exp(mp.loggamma(half + mp.mpf(1) / 2) - mp.loggamma(half)) / mp.sqrt(mp.pi * freedom)
    return lambda x: scale * mp.exp(-(half + mp.mpf(1) / 2) * mp.log1p(x * x / freedom))


def quantile(freedom, start):
    """Where the area from 0 reaches 0.475."""
    at = density(freedom)
    t = mp.mpf(start)
    for _ in range(30):
        step = (mp.quad(at, mp.linspace(0, t, 5)) - mp.mpf("0.475")) / at(t)
        t -= step
        if abs(step) < mp.mpf(10) ** -35:
            return t
    raise ArithmeticError(f"no quantile for {freedom}")


def main():
    t, rows = mp.mpf("12.7"), []
    for freedom in range(1, 1001):
        t = quantile(freedom, t if freedom != 2 else mp.mpf("4.3"))
        rows.append(t)
    with open("src/quantity/student/table.rs", "w", encoding="utf-8") as table:
        table.write(HEAD.format(version=mp.__version__))
        table.writelines(f"    {float(row)!r},\n" for row in rows)
        table.write("];\n")
    with open("tests/reference/student/beyond.tsv", "w", encoding="utf-8") as beyond:
        beyond.write(f"# 97.5 % quantile of Student's t past the table, by mpmath {mp.__version__}: table.py\n")
        beyond.write("freedom\tt\n")
        normal = mp.sqrt(2) * mp.erfinv(mp.mpf("0.95"))
        beyond.write(f"inf\t{mp.nstr(normal, 25)}\n")
        for freedom in (1001, 1002, 1500, 2000, 10**4, 10**5, 10**6, 10**9, 4294967295):
            beyond.write(f"{freedom}\t{mp.nstr(quantile(freedom, normal), 25)}\n")


main()

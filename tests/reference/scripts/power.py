"""The chance that a t interval leaves zero out, and the difference seen with a given chance.

Writes ../power_expected.json. Needs scipy (made with 1.17.1), whose noncentral t rests on the Boost library and
shares no code with Fairpen's. Where Boost's series loses digits the same tails come from nested adaptive
quadrature of the definition; rows whose two answers differ by more than 1e-8 are left out and counted.

Run: python power.py
"""

import json
import pathlib

import numpy as np
import scipy
from scipy import integrate, optimize, special, stats

HERE = pathlib.Path(__file__).resolve().parent.parent


def by_library(d, df, c):
    return float(stats.nct.sf(c, df, d) + stats.nct.cdf(-c, df, d))


def by_definition(d, df, c):
    def at(s):
        return stats.chi.pdf(s * np.sqrt(df), df) * np.sqrt(df) * (special.ndtr(d - c * s) + special.ndtr(-d - c * s))

    middle = d / c if c > 0 else 1.0
    width = 40 / np.sqrt(2 * df)
    high = 1 + width
    cuts = sorted({x for x in (1.0, 1 - width / 8, 1 + width / 8, middle, middle - 4 / c, middle + 4 / c) if 0 < x < high})
    return float(integrate.quad(at, 0, high, epsabs=1e-14, epsrel=1e-12, limit=2000, points=cuts)[0])


rows, left_out = [], 0
for df in (1, 2, 3.7, 8, 23.4, 60, 158, 1000, 100000):
    for level in (0.9, 0.95, 0.99):
        c = float(stats.t.ppf(0.5 + level / 2, df))
        for d in (0, 0.3, 1, 2.5, 2.8, 4, 9):
            one, other = by_library(d, df, c), by_definition(d, df, c)
            if abs(one - other) > 1e-8:
                left_out += 1
            else:
                rows.append([d, df, c, other])

inverse = []
for df in (2, 8, 23.4, 158, 1000):
    for chance in (0.5, 0.8, 0.9):
        c = float(stats.t.ppf(0.975, df))
        d = optimize.brentq(lambda d: by_definition(d, df, c) - chance, 0.01, 40, xtol=1e-12, rtol=1e-12)
        inverse.append([chance, df, c, float(d)])

answer = {
    "made_with": f"scipy {scipy.__version__}, scripts/power.py; {left_out} rows left out",
    "chance": rows,
    "seen_with_chance": inverse,
}
text = ",\n".join(f" {json.dumps(key)}: {json.dumps(value)}" for key, value in answer.items())
(HERE / "power_expected.json").write_text("{\n" + text + "\n}\n")

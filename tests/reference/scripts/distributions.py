"""Tail probabilities and quantiles of t, F, normal and chi-square.

Writes ../distributions_expected.json. Needs scipy (made with 1.17.1), whose t, F and chi-square rest
on the Boost and Cephes libraries and share no code with Fairpen's.

Run: python distributions.py
"""

import json
import pathlib

import scipy
from scipy import stats

HERE = pathlib.Path(__file__).resolve().parent.parent

T_DF = [1, 2, 2.5, 5, 10, 30, 48, 120, 1000, 100000, 1000000]
F_DF = [(1, 1), (1, 48), (2, 6), (2, 48), (4, 37), (6, 48), (18, 37), (10, 1000), (3, 100000), (7, 1000000)]
CHI_DF = [1, 2, 3, 10, 50, 1000, 100000]
P = [0.001, 0.05, 0.5, 0.9, 0.95, 0.975, 0.995, 0.9999]

answer = {
    "made_with": f"scipy {scipy.__version__}, scripts/distributions.py",
    "t_tail": [
        [df, t, float(stats.t.sf(t, df))] for df in T_DF for t in (0, 0.1, 0.5, 1, 2, 3.7, 10, 25, -1.25)
    ],
    "t_quantile": [[df, p, float(stats.t.ppf(p, df))] for df in T_DF for p in P if p != 0.5],
    "f_tail": [
        [a, b, f, float(stats.f.sf(f, a, b))] for a, b in F_DF for f in (0.01, 0.5, 1, 2, 5, 30)
    ],
    "f_quantile": [[a, b, p, float(stats.f.ppf(p, a, b))] for a, b in F_DF for p in P],
    "chi_square_tail": [
        [df, df * m, float(stats.chi2.sf(df * m, df))] for df in CHI_DF for m in (0.25, 0.5, 1, 1.5, 3)
    ],
    "chi_square_quantile": [[df, p, float(stats.chi2.ppf(p, df))] for df in CHI_DF for p in P],
    "normal_tail": [[z, float(stats.norm.sf(z))] for z in (-3, -0.5, 0, 0.1, 1, 1.96, 4, 8, 20)],
    "normal_quantile": [[p, float(stats.norm.ppf(p))] for p in P if p != 0.5],
}
text = ",\n".join(f" {json.dumps(key)}: {json.dumps(value)}" for key, value in answer.items())
(HERE / "distributions_expected.json").write_text("{\n" + text + "\n}\n")

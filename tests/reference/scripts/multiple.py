"""Studentized range, and the largest of several correlated t values.

Writes ../multiple_expected.json. Needs scipy (made with 1.17.1). The range comes from scipy's own
distribution; the largest t from nested adaptive quadrature of its definition, with scipy's normal
distribution function and chi density. Neither shares code or points with Fairpen's.

Run: python multiple.py
"""

import json
import pathlib

import numpy as np
import scipy
from scipy import integrate, special, stats

HERE = pathlib.Path(__file__).resolve().parent.parent


def largest_t_tail(loadings, df, t):
    """P(max |T_j| > t), T_j with correlations b_i b_j."""
    b = np.array(loadings)
    root = np.sqrt(1 - b * b)

    def inner(s):
        def at(z):
            high = special.ndtr((t * s - b * z) / root)
            low = special.ndtr((-t * s - b * z) / root)
            return np.exp(-z * z / 2) / np.sqrt(2 * np.pi) * (1 - np.prod(high - low))

        return integrate.quad(at, -9, 9, epsabs=1e-12, epsrel=1e-10, limit=200)[0]

    def outer(s):
        return stats.chi.pdf(s * np.sqrt(df), df) * np.sqrt(df) * inner(s)

    return integrate.quad(outer, 0, 12, epsabs=1e-11, epsrel=1e-9, limit=200, points=[0.5, 1, 2])[0]


RANGE = [(r, df) for r in (2, 3, 4, 7, 20) for df in (1.5, 4, 11.3, 60, 1000)]
LOADINGS = [
    [0.5**0.5] * 2,
    [0.5**0.5] * 3,
    [0.3, 0.6, 0.8, 0.95],
    [0.0, 0.0, 0.0],
    [0.6, -0.5],
]

answer = {
    "made_with": f"scipy {scipy.__version__}, scripts/multiple.py",
    "range_tail": [
        [r, df, q, float(stats.studentized_range.sf(q, r, df))]
        for r, df in RANGE
        for q in (0.5, 2.0, 3.5, 6.0)
    ],
    "range_quantile": [
        [r, df, tail, float(stats.studentized_range.isf(tail, r, df))]
        for r, df in RANGE
        for tail in (0.05, 0.01)
    ],
    "largest_tail": [
        [loadings, df, t, largest_t_tail(loadings, df, t)]
        for loadings in LOADINGS
        for df in (2.5, 12, 80)
        for t in (0.7, 2.0, 3.5)
    ],
}
text = ",\n".join(f" {json.dumps(key)}: {json.dumps(value)}" for key, value in answer.items())
(HERE / "multiple_expected.json").write_text("{\n" + text + "\n}\n")

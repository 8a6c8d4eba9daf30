"""Least-squares means and sums of squares of the steers and the lambs, from plain matrices.

Writes ../fixed_effects_expected.json. Needs numpy (made with 2.4.6); no statistics package.
Models are coded against the first level of each factor and solved by singular value decomposition;
means are averages of predictions over a grid. Fairpen takes another road (indicator columns, a
rank-revealing Cholesky factor, weights on cells), so agreement is a check and not an echo.

Run: python fixed_effects.py
"""

import csv
import itertools
import json
import pathlib

import numpy as np

HERE = pathlib.Path(__file__).resolve().parent.parent


def read(name):
    with open(HERE / name, newline="") as file:
        rows = list(csv.DictReader(file))
    return {key: [row[key] for row in rows] for key in rows[0]}


def dummies(values, levels):
    """Indicators of every level but the first."""
    return np.array([[1.0 if value == level else 0.0 for level in levels[1:]] for value in values])


def solve(x, y):
    b, _, rank, _ = np.linalg.lstsq(x, y, rcond=1e-12)
    residual = y - x @ b
    rss = float(residual @ residual)
    df = len(y) - rank
    return b, np.linalg.pinv(x.T @ x, rcond=1e-12), rss, int(df)


def steers():
    table = read("harvey_steers.csv")
    y = np.array([float(v) for v in table["average_daily_gain_lb"]])
    age = np.array([float(v) for v in table["weaning_age_days"]])
    weight = np.array([float(v) for v in table["initial_weight_lb"]])
    line, sire, dam = table["line"], table["sire"], table["dam_age_class"]
    lines, dams = sorted(set(line)), sorted(set(dam))
    sires = {l: sorted({s for s, own in zip(sire, line) if own == l}) for l in lines}

    def blocks(line, sire, dam, age, weight):
        n = len(line)
        within = [
            np.array([[1.0 if value == s else 0.0] for value in sire]) for l in lines for s in sires[l][1:]
        ]
        of_line, of_dam = dummies(line, lines), dummies(dam, dams)
        both = np.column_stack(
            [of_line[:, i] * of_dam[:, j] for i in range(of_line.shape[1]) for j in range(of_dam.shape[1])]
        )
        return {
            "one": np.ones((n, 1)),
            "line": of_line,
            "sire": np.hstack(within),
            "dam_age": of_dam,
            "line x dam_age": both,
            "age": (age - AGE).reshape(-1, 1),
            "weight": (weight - WEIGHT).reshape(-1, 1),
        }

    AGE, WEIGHT = age.mean(), weight.mean()
    parts = blocks(line, sire, dam, age, weight)
    x = np.hstack(list(parts.values()))
    b, inverse, rss, df = solve(x, y)
    s2 = rss / df

    def mean(points):
        """Weighted mean of predictions at (line, sire, dam) points and its standard error."""
        row = 0
        for (l, s, d), w in points:
            part = blocks([l], [s], [d], np.array([AGE]), np.array([WEIGHT]))
            row = row + w * np.hstack(list(part.values()))[0]
        return float(row @ b), float(np.sqrt(s2 * row @ inverse @ row))

    share_dam = {d: dam.count(d) / len(dam) for d in dams}
    share_sire = {s: sire.count(s) / line.count(l) for l in lines for s in sires[l]}
    equal = [
        mean([((l, s, d), 1 / len(sires[l]) / len(dams)) for s, d in itertools.product(sires[l], dams)])
        for l in lines
    ]
    observed = [
        mean([((l, s, d), share_sire[s] * share_dam[d]) for s, d in itertools.product(sires[l], dams)])
        for l in lines
    ]
    wrong = {}
    for name in ("line", "dam_age"):
        without = np.hstack([part for key, part in parts.items() if key != name])
        wrong[name] = solve(without, y)[2] - rss
    return {
        "residual_ss": rss,
        "baseline_coded_partial_ss": wrong,
        "line_means_equal": [m for m, _ in equal],
        "line_means_observed": [m for m, _ in observed],
        "line_means_observed_se": [s for _, s in observed],
        "line_means_raw": [float(np.mean([v for v, own in zip(y, line) if own == l])) for l in lines],
    }


def lambs(with_sires):
    table = read("harville_lambs.csv")
    y = np.array([float(v) for v in table["birth_weight_lb"]])
    line, dam = [int(v) for v in table["line"]], [int(v) for v in table["dam_age_class"]]
    sire = [int(v) for v in table["sire"]]
    lines, dams = sorted(set(line)), sorted(set(dam))
    sires = {l: sorted({s for s, own in zip(sire, line) if own == l}) for l in lines}

    def matrix(line, sire, dam):
        columns = [np.ones((len(line), 1)), dummies(line, lines), dummies(dam, dams)]
        if with_sires:
            columns += [
                np.array([[1.0 if (v, own) == (s, l) else 0.0] for v, own in zip(sire, line)])
                for l in lines
                for s in sires[l][1:]
            ]
        return np.hstack(columns)

    b, inverse, rss, df = solve(matrix(line, sire, dam), y)
    s2 = rss / df

    def row(line_weights, dam_weights):
        total = 0
        for (l, wl), (d, wd) in itertools.product(line_weights.items(), dam_weights.items()):
            for s in sires[l]:
                total = total + wl * wd / len(sires[l]) * matrix([l], [s], [d])[0]
        return total

    def numbers(weights):
        return [float(weights @ b), float(np.sqrt(s2 * weights @ inverse @ weights))]

    equal_line, equal_dam = {l: 1 / len(lines) for l in lines}, {d: 1 / len(dams) for d in dams}
    of_line = [row({l: 1.0}, equal_dam) for l in lines]
    of_dam = [row(equal_line, {d: 1.0}) for d in dams]
    return {
        "residual_ss": rss,
        "residual_df": df,
        "r_squared": 1 - rss / float(((y - y.mean()) ** 2).sum()),
        "overall": numbers(row(equal_line, equal_dam)),
        "line": [numbers(w) for w in of_line],
        "dam_age": [numbers(w) for w in of_dam],
        "line_differences": [numbers(a - c) for a, c in itertools.combinations(of_line, 2)],
        "dam_age_differences": [numbers(a - c) for a, c in itertools.combinations(of_dam, 2)],
    }


answer = {
    "made_with": f"numpy {np.__version__}, scripts/fixed_effects.py",
    "steers": steers(),
    "lambs_without_sires": lambs(False),
    "lambs_with_sires": lambs(True),
}
(HERE / "fixed_effects_expected.json").write_text(json.dumps(answer, indent=1) + "\n")

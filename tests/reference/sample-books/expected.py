#!/usr/bin/env python3
"""Adjusted weights, groups, ratios and one comparison of the sample books, worked out apart from Fairpen.

    python3 expected.py            writes the files beside it
    python3 expected.py --check    changes nothing; exit 1 when a file is out of date

Python's standard library only. Figures and where they come from:

- 205-day weight, dam-age factors (lb, male / female): Michigan State University Extension, "Calculating
  calf-adjusted weaning weights and herd indexes", quoting the Beef Improvement Federation;
- dam classes in days: Beef Improvement Federation guidelines, page Age_of_Dam;
- standard birth weights 75 and 70 lb where none was taken: secondary source;
- everything else is Fairpen's written rule: dam age in days from her birth date, from a birth year
  alone the calving year less the birth year times 365.25; the weaning factor by the cow that raised the
  calf; no factor where her age is not known; no 205-day weight outside 160 to 250 days or on the bottle;
  groups by season, sex, breed, place, management (the kind of the place where blank), creep, born as,
  raised by, weighed more than 7 days after weaning, then births within 90 days of the group's first, then
  weighings within 3 days of the group's first; no ratio for a calf alone.

two-barns-comparison.json is ordinary least squares in exact fractions: the weight adjusted for age alone
on sex, dam class, born as, raised by, birth date (days), and the kind of place, for the calves with a
205-day weight whose raising cow's age is known. Weights in lb.
"""

import csv
import datetime
import fractions
import io
import json
import pathlib
import sys

HERE = pathlib.Path(__file__).parent
BOOKS = HERE.parent.parent.parent / "sample-books"
CLASSES = [(639, 1003, "2", 60, 54), (1004, 1369, "3", 40, 36), (1370, 1734, "4", 20, 18),
           (1735, 3925, "5-10", 0, 0), (3926, None, "11+", 20, 18)]


def sheet(book, name):
    with open(BOOKS / book / f"{name}.csv", newline="", encoding="utf-8") as file:
        return list(csv.DictReader(file))


def day(text):
    return datetime.date.fromisoformat(text) if text else None


def days_old(cows, tag, born):
    """Age in days of the cow that wore this tag on that day; None where it is not known."""
    fits = []
    for cow in cows:
        if cow["tag"] != tag:
            continue
        began = day(cow["birth_date"]) or (
            datetime.date(int(cow["birth_year"]), 12, 31) if cow["birth_year"] else datetime.date.min)
        left = day(cow["left_on"])
        if began < born and (left is None or left >= born):
            fits.append(cow)
    if len(fits) > 1:
        sys.exit(f"two cows fit tag {tag} on {born}")
    if not fits:
        return None
    cow = fits[0]
    if cow["birth_date"]:
        return (born - day(cow["birth_date"])).days
    if cow["birth_year"]:
        return (born.year - int(cow["birth_year"])) * 365.25
    return None


def work(book):
    cows, kinds = sheet(book, "cows"), {row["name"]: row["kind"] for row in sheet(book, "places")}
    calves = []
    for line, row in enumerate(sheet(book, "calves"), start=2):
        born = day(row["birth_date"])
        weighed = day(row["weigh_date"]) or day(row["wean_date"])
        calf = {"line": line, "tag": row["tag"], "birth_date": born, "row": row, "weighed": weighed,
                "kind": kinds[row["place"]], "class": "", "factor": 0, "age": "", "age_only": None,
                "adjusted": None, "group": None}
        calves.append(calf)
        age_of_cow = days_old(cows, row["raised_dam"] or row["dam"], born)
        female = row["sex"] == "heifer"
        if age_of_cow is not None:
            for low, high, name, male_lb, female_lb in CLASSES:
                if low <= age_of_cow and (high is None or age_of_cow < high + 1):
                    calf["class"], calf["factor"] = name, female_lb if female else male_lb
        calf["birth_used"] = int(row["birth_weight"]) if row["birth_weight"] else (70 if female else 75)
        if weighed is None or not row["wean_weight"]:
            continue
        calf["age"] = (weighed - born).days
        if not 160 <= calf["age"] <= 250 or row["raised_by"] == "bottle":
            continue
        gain = fractions.Fraction(int(row["wean_weight"]) - calf["birth_used"], calf["age"])
        calf["age_only"] = gain * 205 + calf["birth_used"]
        calf["adjusted"] = calf["age_only"] + calf["factor"]
    number_groups(calves)
    return calves


def number_groups(calves):
    parts = {}
    for calf in calves:
        row = calf["row"]
        if calf["adjusted"] is None:
            continue
        late = (calf["weighed"] - day(row["wean_date"])).days > 7
        key = (calf["birth_date"].year, row["sex"], row["breed"], row["place"],
               row["management"] or calf["kind"], row["creep"], row["born_as"], row["raised_by"], late)
        parts.setdefault(key, []).append(calf)
    groups = []
    for key in sorted(parts):
        for births in runs(parts[key], "birth_date", 90):
            groups.extend(runs(births, "weighed", 3))
    for number, members in enumerate(groups, start=1):
        mean = sum(calf["adjusted"] for calf in members) / len(members)
        for calf in members:
            calf["group"], calf["size"] = number, len(members)
            calf["ratio"] = 100 * calf["adjusted"] / mean if len(members) > 1 else None


def runs(calves, field, most_days):
    """Cuts calves into runs that end `most_days` after the first of the run."""
    cut = []
    for calf in sorted(calves, key=lambda calf: (calf[field], calf["line"])):
        if not cut or (calf[field] - cut[-1][0][field]).days > most_days:
            cut.append([])
        cut[-1].append(calf)
    return cut


def table(calves):
    out = io.StringIO()
    writer = csv.writer(out, lineterminator="\n")
    writer.writerow(["line", "tag", "birth_date", "age_days", "birth_weight_used", "dam_age_class",
                     "dam_age_factor", "adj_205_weight", "group_number", "group_size", "ratio"])
    for calf in calves:
        done = calf["adjusted"] is not None
        writer.writerow([
            calf["line"], calf["tag"], calf["birth_date"], calf["age"], calf["birth_used"],
            calf["class"], calf["factor"], repr(float(calf["adjusted"])) if done else "",
            calf["group"] if done else "", calf["size"] if done else "",
            repr(float(calf["ratio"])) if done and calf["ratio"] is not None else ""])
    return out.getvalue()


def least_squares(rows, response):
    """Coefficients and the inverse of X'X, by Gauss-Jordan elimination in exact fractions."""
    n = len(rows[0])
    left = [[sum(row[i] * row[j] for row in rows) for j in range(n)]
            + [fractions.Fraction(int(i == j)) for j in range(n)] for i in range(n)]
    right = [sum(row[i] * y for row, y in zip(rows, response)) for i in range(n)]
    for i in range(n):
        pivot = next((k for k in range(i, n) if left[k][i] != 0), None)
        if pivot is None:
            sys.exit("the terms of the comparison cannot be separated")
        left[i], left[pivot] = left[pivot], left[i]
        scale = left[i][i]
        left[i] = [value / scale for value in left[i]]
        for k in range(n):
            if k != i and left[k][i] != 0:
                times = left[k][i]
                left[k] = [a - times * b for a, b in zip(left[k], left[i])]
    inverse = [row[n:] for row in left]
    return [sum(a * b for a, b in zip(row, right)) for row in inverse], inverse


def comparison(calves):
    used = [calf for calf in calves if calf["adjusted"] is not None and calf["class"]]
    first = min(calf["birth_date"] for calf in used)
    terms = {
        "sex": lambda calf: calf["row"]["sex"], "dam_class": lambda calf: calf["class"],
        "born_as": lambda calf: calf["row"]["born_as"],
        "raised_by": lambda calf: calf["row"]["raised_by"], "kind": lambda calf: calf["kind"]}
    names, columns = ["mean", "birth_day"], [[1] * len(used),
                                             [(calf["birth_date"] - first).days for calf in used]]
    for term, level in terms.items():
        for value in sorted({level(calf) for calf in used})[1:]:
            names.append(f"{term}:{value}")
            columns.append([int(level(calf) == value) for calf in used])
    rows = [[fractions.Fraction(column[i]) for column in columns] for i in range(len(used))]
    response = [calf["age_only"] for calf in used]
    beta, inverse = least_squares(rows, response)
    residuals = [y - sum(b * x for b, x in zip(beta, row)) for row, y in zip(rows, response)]
    freedom = len(used) - len(beta)
    variance = sum(r * r for r in residuals) / freedom
    at = names.index("kind:pasture")
    levels = {}
    for kind in ("bedded pen", "pasture"):
        members = [calf for calf in used if calf["kind"] == kind]
        levels[kind] = {
            "n": len(members),
            "raw_mean": float(fractions.Fraction(
                sum(int(calf["row"]["wean_weight"]) for calf in members), len(members))),
            "age_adjusted_mean": float(sum(calf["age_only"] for calf in members) / len(members)),
            "adjusted_mean": float(sum(calf["adjusted"] for calf in members) / len(members))}
    return {
        "calves": len(used), "levels": levels,
        "pens_minus_pastures": float(-beta[at]),
        "standard_error": float(variance * inverse[at][at]) ** 0.5,
        "residual_degrees_of_freedom": freedom, "residual_variance": float(variance),
        "coefficients": {name: float(value) for name, value in zip(names, beta)}}


def main():
    two_barns = work("two-barns")
    files = {
        "two-barns.csv": table(two_barns),
        "five-years.csv": table(work("five-years")),
        "two-barns-comparison.json": json.dumps(comparison(two_barns), indent=2) + "\n"}
    stale = []
    for name, text in files.items():
        if "--check" not in sys.argv:
            (HERE / name).write_text(text)
        elif not (HERE / name).exists() or (HERE / name).read_text() != text:
            stale.append(name)
    if stale:
        sys.exit("out of date: " + ", ".join(stale))


if __name__ == "__main__":
    main()

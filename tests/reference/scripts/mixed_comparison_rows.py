"""The rows of the comparison by management in the sample book five-years, worked out apart from Fairpen.

Writes ../sample-books/five-years-model.csv, which mixed_comparison.R reads. Python's standard library only;
ages, classes and weights come from ../sample-books/expected.py, whose sources are named at its top.

A calf is in when it has a weight on 205 days by age alone. Columns: line of calves.csv; y, that weight in lb;
season; sex; class of the cow that raised it ("not recorded" where her age is not known); twin and foster, 0 or
1; day, birth date less the mean birth date of its season; kind of its place; place; cow, the row of the cow that
raised it, or her name, or one of her own; sires, with ; between several, an unknown one by season.

Run: python mixed_comparison_rows.py
"""

import csv
import importlib.util
import pathlib
import statistics

HERE = pathlib.Path(__file__).resolve().parent.parent
SPEC = importlib.util.spec_from_file_location("expected", HERE / "sample-books" / "expected.py")
EXPECTED = importlib.util.module_from_spec(SPEC)
SPEC.loader.exec_module(EXPECTED)
BOOK = "five-years"


def cow_of(cows, tag, born):
    """Row of the cow that wore this tag then; her name when there is none."""
    for at, cow in enumerate(cows):
        if cow["tag"] != tag:
            continue
        began = EXPECTED.day(cow["birth_date"]) or EXPECTED.datetime.date.min
        left = EXPECTED.day(cow["left_on"])
        if began < born and (left is None or left >= born):
            return f"row {at}"
    return f"name {tag}"


def main():
    cows = EXPECTED.sheet(BOOK, "cows")
    rows = []
    for calf in EXPECTED.work(BOOK):
        if calf["age_only"] is None:
            continue
        row, born = calf["row"], calf["birth_date"]
        tag = row["raised_dam"] if row["raised_by"] == "foster" else row["dam"]
        sires = [name.strip() for name in row["sire"].split(";") if name.strip()]
        known = [name if name.lower() != "unknown" else f"unknown {born.year}" for name in sires]
        rows.append({
            "line": calf["line"], "y": repr(float(calf["age_only"])), "season": born.year, "sex": row["sex"],
            "class": calf["class"] or "not recorded", "twin": int(row["born_as"] == "twin"),
            "foster": int(row["raised_by"] == "foster"), "day": born.toordinal(), "kind": row["management"] or calf["kind"],
            "place": row["place"], "cow": cow_of(cows, tag, born) if tag else f"own {calf['line']}",
            "sires": ";".join(known) or f"unknown {born.year}"})
    for season in {row["season"] for row in rows}:
        members = [row for row in rows if row["season"] == season]
        mean = statistics.fmean(row["day"] for row in members)
        for row in members:
            row["day"] = repr(row["day"] - mean)
    with open(HERE / "sample-books" / f"{BOOK}-model.csv", "w", newline="", encoding="utf-8") as file:
        writer = csv.DictWriter(file, rows[0], lineterminator="\n")
        writer.writeheader()
        writer.writerows(rows)


if __name__ == "__main__":
    main()

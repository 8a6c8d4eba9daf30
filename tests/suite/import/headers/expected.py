#!/usr/bin/env python3
"""Expected readings of the files in this folder, worked out apart from Fairpen.

Writes NAME.expect.json beside every NAME.csv. Run it after the CSV files change:

    python3 expected.py            writes
    python3 expected.py --check    changes nothing; exit 1 when a file is out of date

Only the Python standard library, only published figures:

- 205-day weight: (weaning weight - birth weight) / age in days x 205 + birth weight + dam-age factor,
  for calves 160 to 250 days old; factors in lb for male / female by dam class 2, 3, 4, 5-10, 11+:
  60/54, 40/36, 20/18, 0/0, 20/18. Source: Michigan State University Extension, "Calculating
  calf-adjusted weaning weights and herd indexes" (quotes the Beef Improvement Federation).
- dam classes in days at calving: 639-1003, 1004-1369, 1370-1734, 1735-3925, 3926 and over. Source:
  Beef Improvement Federation guidelines, page Age_of_Dam. A stated age in years, or a birth year, counts
  as years x 365.25 (our rule).
- a missing birth weight counts as 75 lb for males and 70 lb for females (secondary source).
- a dam of unknown age gets no factor (our rule).
- a pound is 0.45359237 kg exactly (international yard and pound agreement, 1959). Files in kg are worked
  in lb and turned back.
- ratio: 100 x own / mean of the calves of the same sex, place, management and creep; none for a calf
  alone. Birth dates lie within 90 days and weighings within 3 in every file, and one season, so nothing
  else splits a group.

Which key each header stands for is written here by hand.
"""

import csv
import datetime
import io
import json
import pathlib
import sys

HERE = pathlib.Path(__file__).parent
KG_PER_LB = 0.45359237

# file: (delimiter, date style, unit, decimal comma, {header: key}); own columns have the key None.
FILES = {
    "terse": (",", "iso", "lb", False, {
        "id": "tag", "sx": "sex", "bd": "birth_date", "bw": "birth_weight", "wd": "wean_date",
        "ww": "wean_weight"}),
    "wordy": (",", "mdy", "lb", False, {
        "Calf Identification Number": "tag", "Sex of Calf": "sex", "Date of Birth": "birth_date",
        "Weight at Birth (pounds)": "birth_weight", "Identification Number of Dam": "dam",
        "Age of Dam (years)": "dam_age", "Sire of Calf": "sire", "Date of Weaning": "wean_date",
        "Weight at Weaning (pounds)": "wean_weight"}),
    "units-in-names": (",", "mdy", "lb", False, {
        "Tag #": "tag", "Sex": "sex", "Birth Date": "birth_date", "Birth wt (lb)": "birth_weight",
        "Dam": "dam", "Dam age (yr)": "dam_age", "Pen #": "place", "Wean Date": "wean_date",
        "Wean Wt lbs": "wean_weight"}),
    "kilograms": (",", "iso", "kg", False, {
        "Calf ID": "tag", "Sex": "sex", "DOB": "birth_date", "BWT (kg)": "birth_weight",
        "Dam ID": "dam", "Dam Age": "dam_age", "Wean Date": "wean_date", "WWT (kg)": "wean_weight",
        "Group": "management"}),
    "underscores": (",", "iso", "lb", False, {
        "calf_id": "tag", "calf_sex": "sex", "birth_dt": "birth_date", "birth_wt": "birth_weight",
        "dam_id": "dam", "dam_age_yrs": "dam_age", "sire_id": "sire", "date_wean": "wean_date",
        "wt_wean": "wean_weight"}),
    "camel-case": (",", "iso", "lb", False, {
        "calfTag": "tag", "sex": "sex", "birthDate": "birth_date", "birthWt": "birth_weight",
        "damTag": "dam", "ageOfDam": "dam_age", "pastureName": "place", "weanDate": "wean_date",
        "weanWtLb": "wean_weight"}),
    "other-word-order": (",", "mdy", "lb", False, {
        "ear tag": "tag", "mother": "dam", "cow age": "dam_age", "born": "birth_date",
        "wt at birth": "birth_weight", "sex": "sex", "father": "sire", "wt weaned": "wean_weight",
        "weaning date": "wean_date", "weigh date": "weigh_date"}),
    "pen-and-management": (",", "mdy", "lb", False, {
        "Calf": "tag", "Sex": "sex", "Born": "birth_date", "Birth Wt": "birth_weight", "Cow": "dam",
        "Cow Age": "dam_age", "Bull": "sire", "Pen": "place", "Mgmt": "management",
        "Weaned": "wean_date", "Wean Wt": "wean_weight"}),
    "semicolon-decimal-comma": (";", "iso", "kg", True, {
        "Tag": "tag", "Sex": "sex", "Birth date": "birth_date", "Birth weight kg": "birth_weight",
        "Dam": "dam", "Dam birth year": "dam_birth_year", "Location": "place",
        "Wean date": "wean_date", "Wean weight kg": "wean_weight"}),
    "tabs": ("\t", "mdyy", "lb", False, {
        "Tag No.": "tag", "EID No.": "eid", "Sex": "sex", "Birthdate": "birth_date",
        "Birthweight": "birth_weight", "Calving ease": "calving_ease", "Cow ID": "dam",
        "Age of cow": "dam_age", "Wean date": "wean_date", "Weaning wt.": "wean_weight"}),
    "crlf-byte-mark": (",", "dmony", "lb", False, {
        "Calf Tag": "tag", "Calf Sex": "sex", "Calf DOB": "birth_date",
        "Calf Birth Weight": "birth_weight", "Dam Tag": "dam", "Dam DOB": "dam_birth_date",
        "Weaning Date": "wean_date", "Weaning Weight": "wean_weight"}),
    "quoted-remarks": (",", "mdy", "lb", False, {
        "Tag": "tag", "Sex": "sex", "Birth Date": "birth_date", "Birth Weight, lb": "birth_weight",
        "Dam": "dam", "Dam Age": "dam_age", "Temper": None, "Color": None, "Wean Date": "wean_date",
        "Wean Weight, lb": "wean_weight", "Remarks": "note"}),
    "yearlings": (",", "iso", "lb", False, {
        "Visual Tag": "tag", "Electronic ID": "eid", "Sex": "sex", "Breed": "breed",
        "Birth Date": "birth_date", "Birth Wt": "birth_weight", "Dam": "dam", "AOD": "dam_age",
        "Wean Date": "wean_date", "Wean Wt": "wean_weight", "Yearling Date": "yearling_date",
        "Yearling Wt": "yearling_weight"}),
    "lot-and-creep": (",", "dmony", "lb", False, {
        "lot": "place", "creep fed (y/n)": "creep", "calf no": "tag", "sex": "sex",
        "calved": "birth_date", "birth lbs": "birth_weight", "cow no": "dam",
        "age of dam": "dam_age", "sire": "sire", "date weaned": "wean_date",
        "date weighed": "weigh_date", "weaning lbs": "wean_weight"}),
    "upper-case": (",", "mdy", "lb", False, {
        "TAG NO": "tag", "SEX": "sex", "DATE BORN": "birth_date", "BIRTH WT LBS": "birth_weight",
        "DAM NO": "dam", "DAM YEAR OF BIRTH": "dam_birth_year", "PASTURE": "place",
        "DATE WEANED": "wean_date", "WEANING WT LBS": "wean_weight"}),
    "pounds-words-mixed": (",", "mdyy", "lb", False, {
        "Animal": "tag", "Gender": "sex", "Birthday": "birth_date",
        "Birth_Weight_Lbs": "birth_weight", "Mother Tag": "dam",
        "Mother Birth Date": "dam_birth_date", "Sire Tag": "sire", "Pen Name": "place",
        "Notes": "note", "Weaning_Date": "wean_date", "Weaning_Weight_Lbs": "wean_weight"}),
}

SEXES = {
    "b": "bull", "bull": "bull", "bull calf": "bull",
    "s": "steer", "str": "steer", "steer": "steer", "steer calf": "steer",
    "h": "heifer", "f": "heifer", "hfr": "heifer", "heifer": "heifer", "heifer calf": "heifer",
    "m": "male",
}
DATE_STYLES = {"iso": "%Y-%m-%d", "mdy": "%m/%d/%Y", "mdyy": "%m/%d/%y", "dmony": "%d-%b-%Y"}
CLASSES = [(639, 1003, "2", 60, 54), (1004, 1369, "3", 40, 36), (1370, 1734, "4", 20, 18),
           (1735, 3925, "5-10", 0, 0), (3926, None, "11+", 20, 18)]


def read_rows(name):
    delimiter, date_style, unit, comma, mapping = FILES[name]
    text = (HERE / f"{name}.csv").read_bytes().decode("utf-8-sig")
    reader = csv.reader(io.StringIO(text, newline=""), delimiter=delimiter)
    header = next(reader)
    if header != list(mapping):
        sys.exit(f"{name}.csv: the header is not the one this script was written for: {header}")
    for cells in reader:
        row = {key: cell for key, cell in zip(mapping.values(), cells) if key}
        for key, cell in row.items():
            if cell == "":
                row[key] = None
            elif key.endswith("_date"):
                row[key] = datetime.datetime.strptime(cell, DATE_STYLES[date_style]).date()
            elif key.endswith("_weight"):
                number = float(cell.replace(",", ".") if comma else cell)
                row[key] = number / KG_PER_LB if unit == "kg" else number
            elif key == "sex":
                row[key] = SEXES[cell.lower()]
        yield row


def dam_age_days(row):
    if row.get("dam_birth_date"):
        return (row["birth_date"] - row["dam_birth_date"]).days
    if row.get("dam_birth_year"):
        return (row["birth_date"].year - int(row["dam_birth_year"])) * 365.25
    if row.get("dam_age"):
        return float(row["dam_age"]) * 365.25
    return None


def work(row):
    """Adds age, class, factor and adj_205, in lb."""
    female = row["sex"] == "heifer"
    row["age_days"] = ((row.get("weigh_date") or row["wean_date"]) - row["birth_date"]).days
    row["birth_used"] = row["birth_weight"]
    if row["birth_used"] is None:
        row["birth_used"] = 70.0 if female else 75.0
    days = dam_age_days(row)
    row["dam_class"], row["factor"] = None, 0.0
    if days is not None:
        for low, high, name, male_lb, female_lb in CLASSES:
            if low <= days and (high is None or days <= high + 0.999):
                row["dam_class"], row["factor"] = name, float(female_lb if female else male_lb)
    row["adj_205"] = None
    if 160 <= row["age_days"] <= 250:
        row["adj_205"] = ((row["wean_weight"] - row["birth_used"]) / row["age_days"] * 205
                          + row["birth_used"] + row["factor"])
    row["group"] = (row["sex"], row.get("place"), row.get("management"), row.get("creep"))


def chosen(rows):
    """Three calves that differ: no birth weight, a young dam, and one more."""
    sure = [row for row in rows if row["sex"] != "male"]
    picks = []
    for wanted in (lambda row: row["birth_weight"] is None,
                   lambda row: row["dam_class"] in ("2", "3"),
                   lambda row: row["dam_class"] == "11+",
                   lambda row: row["sex"] != "heifer",
                   lambda row: True, lambda row: True):
        pick = next((row for row in reversed(sure) if wanted(row) and row not in picks), None)
        if pick and len(picks) < 3:
            picks.append(pick)
    return sorted(picks, key=lambda row: row["tag"])


def expectation(name):
    _, _, unit, _, mapping = FILES[name]
    rows = list(read_rows(name))
    for row in rows:
        work(row)
    out = KG_PER_LB if unit == "kg" else 1.0
    calves = {}
    for row in chosen(rows):
        mates = [mate["adj_205"] for mate in rows if mate["group"] == row["group"]]
        calves[row["tag"]] = {
            "sex": row["sex"],
            "age_days": row["age_days"],
            "birth_weight_stated": row["birth_weight"] is not None,
            "birth_weight_used": row["birth_used"] * out,
            "dam_age_class": row["dam_class"],
            "dam_age_factor": row["factor"] * out,
            "adj_205": row["adj_205"] * out,
            "group_size": len(mates),
            "ratio": 100 * row["adj_205"] / (sum(mates) / len(mates)) if len(mates) > 1 else None,
        }
    adjusted = [row["adj_205"] * out for row in rows]
    return {
        "mapping": {header: key or "own" for header, key in mapping.items()},
        "weight_unit": unit,
        "rows": len(rows),
        "mean_adj_205": sum(adjusted) / len(adjusted),
        "calves": calves,
    }


def main():
    stale = []
    for name in FILES:
        path = HERE / f"{name}.expect.json"
        text = json.dumps(expectation(name), indent=2) + "\n"
        if "--check" in sys.argv:
            if not path.exists() or path.read_text() != text:
                stale.append(path.name)
        else:
            path.write_text(text)
    known = {path.stem for path in HERE.glob("*.csv")}
    for name in sorted(known - set(FILES)):
        stale.append(f"{name}.csv is not in this script")
    if stale:
        sys.exit("out of date: " + ", ".join(stale))


if __name__ == "__main__":
    main()

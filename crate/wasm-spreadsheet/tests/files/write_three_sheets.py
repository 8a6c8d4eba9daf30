"""Writes three_sheets.xlsx beside itself: an invented herd as people keep it, on three sheets.

Run once by hand with the general-purpose library openpyxl 3.1 (MIT licence); the file it wrote is kept.
"""
import datetime
import pathlib

import openpyxl

book = openpyxl.Workbook()
cover = book.active
cover.title = "Read me"
cover["A1"] = "Weights of the fall. Ask before you change anything."

calves = book.create_sheet("Calves weaned")
calves["B1"] = "Fall weaning, both places"
calves.merge_cells("B1:H1")
heads = ["Pen", "Calf tag", "Sex", "Date born", "Dam", "Weaned on", "Wean wt (lb)"]
for column, text in enumerate(heads, start=2):
    calves.cell(3, column, text)
pens = ["East barn", "Creek"]
for number in range(24):
    row = 4 + number
    calves.cell(row, 2, pens[number // 12])
    calves.cell(row, 3, 101 + number).number_format = "0000"
    calves.cell(row, 4, ["H", "S"][number % 2])
    calves.cell(row, 5, datetime.date(2026, 3, 1 + number)).number_format = "d-mmm-yy"
    calves.cell(row, 6, f"C{30 + number}")
    calves.cell(row, 7, datetime.date(2026, 10, 1)).number_format = "d-mmm-yy"
    calves.cell(row, 8, "n/a" if number == 5 else 470 + 7 * (number * 5 % 24))
calves.merge_cells("B4:B15")
calves.merge_cells("B16:B27")
calves.cell(29, 2, "Average")
calves.cell(29, 8, "=AVERAGE(H4:H27)")

cows = book.create_sheet("Cows")
for column, text in enumerate(["Cow", "Birth date"], start=1):
    cows.cell(1, column, text)
for number in range(24):
    cows.cell(2 + number, 1, f"C{30 + number}")
    cows.cell(2 + number, 2, datetime.date(2016 + number % 8, 4, 2))

book.save(pathlib.Path(__file__).with_name("three_sheets.xlsx"))

"""Writes the spreadsheet files beside itself: invented herds as people keep them, each of another shape.

Run once by hand with the general-purpose libraries openpyxl 3.1 (MIT licence), xlwt 1.3.0 (BSD licence) and odfpy
1.4.1 (Apache licence); the files they wrote are kept.
"""
import datetime
import pathlib

import openpyxl
import xlwt
from odf.opendocument import OpenDocumentSpreadsheet
from odf.table import CoveredTableCell, Table, TableCell, TableRow
from odf.text import P

here = pathlib.Path(__file__).parent

# A title over merged cells, units in the headers on a second line of the cell, a pen that stands once for its rows,
# numbers typed as text, a formula of totals, an error, yes and no.
book = openpyxl.Workbook()
sheet = book.active
sheet.title = "Weaning '25"
sheet["A1"] = "North place: calves weaned in fall 2025"
sheet.merge_cells("A1:H1")
sheet["A2"] = "weights off the chute scale, not shrunk"
heads = ["Pen", "Calf ID", "Sex", "Born", "Dam", "Weaned", "Wean Wt\n(lb)", "Gain\nper day", "Creep"]
for column, text in enumerate(heads, start=1):
    sheet.cell(4, column, text)
rows = [
    ("Shed", 12, "S", datetime.date(2025, 3, 3), "A7", datetime.date(2025, 10, 2), "1,012 ", True),
    (None, 13, "H", datetime.date(2025, 3, 9), "A9", datetime.date(2025, 10, 2), 498.25, False),
    (None, "13B", "H", "3/19/2025", "A12", datetime.date(2025, 10, 2), "-", True),
    ("Creek", 14, "B", datetime.datetime(2025, 3, 21, 6, 30), "A15", datetime.date(2025, 10, 2), 541, False),
    (None, 15, "S", "spring", None, None, "#N/A", True),
]
for row, (pen, tag, sex, born, dam, weaned, weight, creep) in enumerate(rows, start=5):
    for column, value in enumerate([pen, tag, sex, born, dam, weaned, weight, None, creep], start=1):
        if value is not None:
            sheet.cell(row, column, value)
    sheet.cell(row, 2).number_format = "0000"
    sheet.cell(row, 8, f"=(G{row}-80)/(F{row}-D{row})")
sheet.merge_cells("A5:A7")
sheet.merge_cells("A8:A9")
sheet["A11"] = "Average"
sheet["G11"] = "=AVERAGE(G5:G9)"
notes = book.create_sheet("Notes")
notes["B3"] = "Ask Sam about 13B"
book.save(here / "merged-titles-units-totals.xlsx")

# Dates as bare day counts and as days, an electronic ID that became a number, a header that stands again.
book = xlwt.Workbook()
sheet = book.add_sheet("Scale")
day = xlwt.easyxf(num_format_str="D-MMM-YY")
for column, text in enumerate(["EID", "VID", "Weigh date", "Weight", "Lot"]):
    sheet.write(0, column, text)
lines = [
    (840003111222333, "0101", 45944, 512, "weaned"),
    ("840 003 111 222 334", 102.0, datetime.date(2025, 10, 14), "530 lb", "weaned"),
    (None, None, None, None, None),
    ("EID", "VID", "Weigh date", "Weight", "Lot"),
    (840003111222335, None, 45945.375, 0, "late"),
    (840003111222333, "0101", 45944, 515, "again"),
    (None, None, "Head", 4, None),
]
for row, cells in enumerate(lines, start=1):
    for column, value in enumerate(cells):
        if value is None:
            continue
        if isinstance(value, datetime.date):
            sheet.write(row, column, value, day)
        else:
            sheet.write(row, column, value)
book.save(str(here / "scale-serial-dates.xls"))

# Two tables: cows with rows that are merged down, and a pregnancy list with a column per month.
document = OpenDocumentSpreadsheet()


def cell(value, rows=1):
    spans = {"numberrowsspanned": rows} if rows > 1 else {}
    if isinstance(value, (int, float)):
        made = TableCell(valuetype="float", value=value, **spans)
    elif isinstance(value, datetime.date):
        made = TableCell(valuetype="date", datevalue=value.isoformat(), **spans)
    else:
        made = TableCell(valuetype="string", **spans)
    for text in str(value).split("\n"):
        made.addElement(P(text=text))
    return made


cows = Table(name="Cows")
document.spreadsheet.addElement(cows)
for values in [
    ["Cow no.", "Born", "Breed", "Came as"],
    ["001", datetime.date(2019, 4, 2), "red", "raised"],
    ["2", "April 2018", "red x black", "bought bred"],
    ["3", 2017, "", "?"],
]:
    row = TableRow()
    for value in values:
        row.addElement(cell(value) if value != "" else TableCell())
    cows.addElement(row)
checks = Table(name="Preg check")
document.spreadsheet.addElement(checks)
for at, values in enumerate([
    ["Cow", "Date", "Mar", "Apr", "May", "Open", "Vet"],
    ["001", datetime.date(2025, 11, 3), "x", "", "", "", "Dr. Elm"],
    ["2", datetime.date(2025, 11, 3), "", "x", "", "", ""],
    ["3", datetime.date(2025, 11, 3), "", "", "", "x", ""],
    ["4", datetime.date(2025, 11, 3), "", "X", "X", "", ""],
]):
    row = TableRow()
    for column, value in enumerate(values):
        if at > 1 and column == 6:
            row.addElement(CoveredTableCell())
        elif at == 1 and column == 6:
            row.addElement(cell(value, rows=4))
        else:
            row.addElement(cell(value) if value != "" else TableCell())
    checks.addElement(row)
document.save(str(here / "cows-and-pregnancy.ods"))

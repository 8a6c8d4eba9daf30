"""Writes old_weights.xls beside itself: an invented herd in the binary format of older programs.

Run once by hand with the general-purpose library xlwt 1.3.0 (BSD licence); the file it wrote is kept.
"""
import datetime
import pathlib

import xlwt

book = xlwt.Workbook()
sheet = book.add_sheet("Weaning 2026")
day = xlwt.easyxf(num_format_str="YYYY-MM-DD")
sheet.write_merge(0, 0, 0, 4, "Calves weaned this fall")
for column, text in enumerate(["Pen", "Tag", "Born", "Wean wt (lb)", "Remark"]):
    sheet.write(2, column, text)
sheet.write_merge(3, 4, 0, 0, "East barn")
for row, (tag, month, weight, remark) in enumerate([("0041", 3, 583, ""), ("0042", 4, 541.5, "limped")], start=3):
    sheet.write(row, 1, tag)
    sheet.write(row, 2, datetime.date(2026, month, 9), day)
    sheet.write(row, 3, weight)
    sheet.write(row, 4, remark)
book.add_sheet("Empty")
book.save(str(pathlib.Path(__file__).with_name("old_weights.xls")))

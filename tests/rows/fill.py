"""Fills a template as a specialist does in a spreadsheet program: openpyxl, a writer that is not ours.

fill.py TEMPLATE FILLED ROWS: ROWS is JSON, a list of rows, each a dictionary from heading to value. The rows below the headings
are replaced. With ROWS "read" it prints headings, cells, and the lists that cells are chosen from, as JSON.
"""
import json
import sys

from openpyxl import load_workbook

template, filled, rows = sys.argv[1:4]
book = load_workbook(template)
sheet = book["Rows"]
headings = [cell.value for cell in sheet[1]]
if rows == "read":
    lists = {}
    for rule in sheet.data_validations.dataValidation:
        reference = rule.formula1.lstrip("=").replace("$", "")
        name, cells = reference.split("!")
        words = [cell.value for row in book[name.strip("'")][cells] for cell in row]
        lists[headings[list(rule.sqref.ranges)[0].min_col - 1]] = words
    cells = [[cell.value for cell in row] for row in sheet.iter_rows(min_row=2, max_row=sheet.max_row)]
    print(json.dumps({"headings": headings, "rows": cells, "lists": lists}))
else:
    sheet.delete_rows(2, sheet.max_row)
    for at, row in enumerate(json.loads(rows), start=2):
        for heading, value in row.items():
            if heading not in headings:
                headings.append(heading)
                sheet.cell(row=1, column=len(headings), value=heading)
            sheet.cell(row=at, column=headings.index(heading) + 1, value=value)
    book.save(filled)

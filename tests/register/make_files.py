"""Writes the registers that the tests read, with the tools that units use: a spreadsheet program run headless
(LibreOffice), the openpyxl writer, and Python's own csv module. Names and finds are invented.

    python make_files.py FOLDER

What a reader must see in each cell stands beside the cell, written by hand, and goes to expected.json.
"""
import csv
import datetime
import json
import pathlib
import subprocess
import sys
import zipfile
from xml.sax.saxutils import escape

import openpyxl
from openpyxl.utils import get_column_letter

FOLDER = pathlib.Path(sys.argv[1])
DAY = datetime.date
NOTHING = ("empty", "")


def text(value):
    return ("text", value)


def number(value):
    return ("number", value)


def shown(value, as_text):
    return ("shown", [value, as_text])


def day(value):
    return ("date", value)


def fault(value):
    return ("fault", value)


# One row per find: what is written, what is seen. A third entry is the number format of the cell.
NAMES = [
    "SF No", "Ctx", "Mat.", "Object", "Description", "Qty", "Wt (g)", "Date found", "Found by", "Easting", "OD",
    "L", "W", "Th", "Complete %", "Human remains", "Notes", "Notes", None,
]
FINDS = [
    [
        ("SF 001 ", text("SF 001 ")), (214, number(214)), ("iron", text("iron")), ("nail", text("nail")),
        ("bent\nshank", text("bent\nshank")), (1, number(1)), (12.5, number(12.5)),
        (DAY(2031, 5, 3), day("2031-05-03")), ("B. Lisle-Okoro", text("B. Lisle-Okoro")),
        (512345.25, number(512345.25)), (-3.21, number(-3.21)), (45, number(45)), (8, number(8)), (4, number(4)),
        (0.8, shown(0.8, "80%"), "0%"), (False, ("truth", False)), (None, NOTHING), (None, NOTHING),
        ("stray", text("stray")),
    ],
    [
        # a space that does not break, brackets round a cut, a count typed as text, a day as text, a doubled weight
        ("SF\u00a0002", text("SF\u00a0002")), ("[215]", text("[215]")), ("Cu alloy", text("Cu alloy")),
        ("brooch", text("brooch")), ("crème enamel – worn", text("crème enamel – worn")), ("3", text("3")),
        ("=G6*2", number(25)), ("14/05/2031", text("14/05/2031")), ("Søren Ålund", text("Søren Ålund")),
        (512346, number(512346)), (3, number(3)), ("45.5", text("45.5")), ("c. 8", text("c. 8")), (None, NOTHING),
        (0.255, shown(0.255, "25.5%"), "0.0%"), (None, NOTHING), ("pin missing", text("pin missing")),
        ("see photograph", text("see photograph")), (None, NOTHING),
    ],
    [
        # a number shown with zeros, a formula for a count, words for nothing
        (3, shown(3, "003"), "000"), (214, number(214)), ("Iron", text("Iron")), ("knife", text("knife")),
        ("n/a", text("n/a")), ("=2+3", number(5)), ("1,234.5", text("1,234.5")),
        (datetime.datetime(2031, 5, 5, 14, 30), day("2031-05-05")), ("-", text("-")), (None, NOTHING),
        (None, NOTHING), (None, NOTHING), (None, NOTHING), (None, NOTHING), (None, NOTHING), ("no", text("no")),
        (None, NOTHING), (None, NOTHING), (None, NOTHING),
    ],
    [
        # everything wrong at once
        ("SF 001", text("SF 001")), (999, number(999)), ("vulcanite", text("vulcanite")), ("comb", text("comb")),
        (None, NOTHING), ("5-7", text("5-7")), ("=1/0", fault("#DIV/0!")), ("31/02/2031", text("31/02/2031")),
        (None, NOTHING), ("east", text("east")), (None, NOTHING), ("12 x 5", text("12 x 5")), ("<1", text("<1")),
        (-4, number(-4)), (1.5, shown(1.5, "150%"), "0%"), ("perhaps", text("perhaps")), (None, NOTHING),
        (None, NOTHING), (None, NOTHING),
    ],
    [
        # a number that a spreadsheet took for a date, and the unit in the cell
        (DAY(2031, 2, 1), day("2031-02-01")), (214, number(214)), ("pottery", text("pottery")), ("rim", text("rim")),
        (None, NOTHING), (2, number(2)), ("0.4kg", text("0.4kg")), (None, NOTHING), (None, NOTHING), (None, NOTHING),
        (None, NOTHING), (None, NOTHING), (None, NOTHING), (None, NOTHING), (None, NOTHING), (None, NOTHING),
        (None, NOTHING), (None, NOTHING), (None, NOTHING),
    ],
]
FIRST = 6
HEADER = 5


def write_workbook():
    """The messy workbook as a program without a calculator writes it."""
    book = openpyxl.Workbook()
    hidden = book.active
    hidden.title = "Read me"
    hidden["A1"] = "Internal notes"
    hidden.sheet_state = "hidden"
    sheet = book.create_sheet("Finds")
    sheet["A1"] = "Vessenholt Quay VSQ31 – finds register"
    sheet.merge_cells("A1:R1")
    sheet["A2"] = "Printed 4 June 2031"
    sheet["L4"] = "Dimensions (mm)"
    sheet.merge_cells("L4:N4")
    for at, name in enumerate(NAMES):
        sheet.cell(HEADER, at + 1, name)
    for row, cells in enumerate(FINDS, FIRST):
        for column, cell in enumerate(cells, 1):
            place = sheet.cell(row, column, cell[0])
            if len(cell) > 2:
                place.number_format = cell[2]
    contexts = book.create_sheet("Contexts")
    contexts.append(["Context", "Type", "Above"])
    contexts.append([214, "layer", "215"])
    book.save(FOLDER / "messy.xlsx")
    cells = {}
    uncalculated = {}
    for row, line in enumerate(FINDS, FIRST):
        for column, cell in enumerate(line, 1):
            place = f"{get_column_letter(column)}{row}"
            cells[place] = cell[1]
            formula = isinstance(cell[0], str) and cell[0].startswith("=")
            uncalculated[place] = fault("not calculated") if formula else cell[1]
    return cells, uncalculated


def convert(source, extension, into):
    """LibreOffice opens a file, calculates it, and saves it in another format."""
    out = FOLDER / "converted"
    profile = (FOLDER / "profile").as_uri()
    subprocess.run(
        ["soffice", f"-env:UserInstallation={profile}", "--headless", "--convert-to", extension, "--outdir", str(out),
         str(FOLDER / source)],
        check=True, capture_output=True, timeout=180,
    )
    (out / (pathlib.Path(source).stem + "." + extension.split(":")[0])).rename(FOLDER / into)


def write_csv(name, rows, encoding, **style):
    with open(FOLDER / name, "w", encoding=encoding, newline="") as file:
        csv.writer(file, **style).writerows(rows)


def write_texts():
    # western European letters, semicolons, decimal commas, days with full stops
    write_csv("western.csv", [
        ["Find no", "Context", "Material", "Description", "Weight/kg", "Date", "Found by"],
        ["1", "101", "ceramic", "crème slip – “fine”", "0,125", "13.05.2031", "Søren Béchard"],
        ["2", "101", "ceramic", "plain", "1,5", "3.5.2031", "Søren Béchard"],
        ["3", "102", "glass", "rim", "1.250,75", "14.05.31", "Lucja Ø."],
    ], "cp1252", delimiter=";")
    # a mark at the beginning, quoted line ends, ragged rows, an empty line, the header again
    lines = [
        "Find,Context,Material,Object,Weight (g),Notes\r\n",
        "1,101,iron,nail,\"1,234.5\",\"two lines,\r\nand a \"\"quote\"\"\"\r\n",
        "2,101,iron,nail,\"1,234\"\r\n",
        "\r\n",
        "Find,Context,Material,Object,Weight (g),Notes\r\n",
        "3,101,iron,12\" nail,12,a,b,c\r\n",
    ]
    (FOLDER / "marked.csv").write_bytes(b"\xef\xbb\xbf" + "".join(lines).encode())
    # what a spreadsheet calls Unicode text
    tabs = "Find\tContext\tMaterial\tDescription\n1\t101\tiron\tΧαλκός, ξύλο\n2\t101\tglass\tÆ ø å\n"
    (FOLDER / "unicode.txt").write_bytes(tabs.encode("utf-16"))
    write_csv("american.csv", [
        ["Find", "Date found", "Wt (g)"], ["1", "5/13/2031", "1,234"], ["2", "5/4/2031", "2,000"], ["3", "6/1/31", "12,500"],
    ], "utf-8")
    write_csv("doubtful.csv", [["Find", "Date found", "Weight (g)"], ["1", "4/5/2031", "1,234"], ["2", "5/4/2031", "7"]], "utf-8")
    write_csv("mixed.csv", [
        ["Find", "Date found", "Weight (g)"], ["1", "13/5/2031", "12.5"], ["2", "5/13/2031", "12,5"], ["3", "4/5/2031", "1,234"],
    ], "utf-8")
    write_csv("contexts.csv", [
        ["Context No.", "Type", "Trench", "Above", "Below", "Cut by", "Same as", "Description"],
        ["(101)", "layer", "A", "102, 103", "", "[110]", "", "dark brown\nsilt"],
        ["(102)", "fill", "A", "", "101", "", "", ""],
        ["103", "fill", "A", "101", "", "", "", ""],
        ["110", "cut", "A", "", "", "", "104-106", ""],
        ["111", "cut", "A", "111", "", "", "999", ""],
    ], "utf-8")


LARGE = 100_000
WIDE = [
    "Find no", "Context", "Material", "Object", "Description", "Count", "Weight (g)", "Date", "Found by", "Method", "State",
    "Easting", "Northing", "OD", "Notes",
]
MATERIALS = ["iron", "ceramic", "glass", "copper alloy", "animal bone"]


def large_rows():
    for at in range(1, LARGE + 1):
        found = DAY(2031, 4, 1) + datetime.timedelta(days=at % 200)
        yield [
            f"SF {at:06}", 100 + at % 60, MATERIALS[at % 5], "object", f"description of find {at}, worn on one side", 1 + at % 9,
            (at % 5000) / 10, found, f"digger {at % 40}", "hand" if at % 3 else "sieve", ["dry", "damp", "wet"][at % 3],
            512300 + (at % 1000) / 100, 184200 + (at % 700) / 100, 2 + (at % 90) / 100, "" if at % 10 else f"note {at}",
        ]


def write_large():
    """Three times the same 100,000 rows; the two spreadsheets in the form in which LibreOffice saves them."""
    with open(FOLDER / "large.csv", "w", encoding="utf-8", newline="") as file:
        writer = csv.writer(file)
        writer.writerow(WIDE)
        writer.writerows(large_rows())
    write_large_xlsx()
    write_large_ods()


def write_large_xlsx():
    shared, order = {}, []

    def index(word):
        if word not in shared:
            shared[word] = len(order)
            order.append(word)
        return shared[word]

    letters = [get_column_letter(at + 1) for at in range(len(WIDE))]
    main = 'xmlns="http://schemas.openxmlformats.org/spreadsheetml/2006/main"'
    head = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'
    epoch = DAY(1899, 12, 30)
    with zipfile.ZipFile(FOLDER / "large.xlsx", "w", zipfile.ZIP_DEFLATED, compresslevel=1) as out:
        out.writestr("[Content_Types].xml", head + '<Types xmlns="http://schemas.openxmlformats.org/package/2006/content-types"><Default Extension="rels" ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Default Extension="xml" ContentType="application/xml"/></Types>')
        relation = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
        rels = 'xmlns="http://schemas.openxmlformats.org/package/2006/relationships"'
        out.writestr("_rels/.rels", head + f'<Relationships {rels}><Relationship Id="rId1" Type="{relation}/officeDocument" Target="xl/workbook.xml"/></Relationships>')
        out.writestr("xl/workbook.xml", head + f'<workbook {main} xmlns:r="{relation}"><sheets><sheet name="Finds" sheetId="1" r:id="rId1"/></sheets></workbook>')
        out.writestr("xl/_rels/workbook.xml.rels", head + f'<Relationships {rels}><Relationship Id="rId1" Type="{relation}/worksheet" Target="worksheets/sheet1.xml"/><Relationship Id="rId2" Type="{relation}/sharedStrings" Target="sharedStrings.xml"/><Relationship Id="rId3" Type="{relation}/styles" Target="styles.xml"/></Relationships>')
        out.writestr("xl/styles.xml", head + f'<styleSheet {main}><cellXfs count="2"><xf numFmtId="0"/><xf numFmtId="14" applyNumberFormat="1"/></cellXfs></styleSheet>')
        with out.open("xl/worksheets/sheet1.xml", "w", force_zip64=True) as part:
            part.write((head + f"<worksheet {main}><sheetData>").encode())
            for row, cells in enumerate([WIDE, *large_rows()], 1):
                line = [f'<row r="{row}">']
                for letter, cell in zip(letters, cells):
                    if isinstance(cell, str):
                        if cell:
                            line.append(f'<c r="{letter}{row}" s="0" t="s"><v>{index(cell)}</v></c>')
                    elif isinstance(cell, DAY):
                        line.append(f'<c r="{letter}{row}" s="1"><v>{(cell - epoch).days}</v></c>')
                    else:
                        line.append(f'<c r="{letter}{row}" s="0"><v>{cell}</v></c>')
                part.write("".join([*line, "</row>"]).encode())
            part.write(b"</sheetData></worksheet>")
        words = "".join(f"<si><t>{escape(word)}</t></si>" for word in order)
        out.writestr("xl/sharedStrings.xml", head + f'<sst {main} count="{len(order)}" uniqueCount="{len(order)}">{words}</sst>')


def write_large_ods():
    spaces = (
        'xmlns:office="urn:oasis:names:tc:opendocument:xmlns:office:1.0" xmlns:table="urn:oasis:names:tc:opendocument:xmlns:table:1.0" '
        'xmlns:text="urn:oasis:names:tc:opendocument:xmlns:text:1.0" xmlns:calcext="urn:org:documentfoundation:names:experimental:calc:xmlns:calcext:1.0"'
    )
    kind = "application/vnd.oasis.opendocument.spreadsheet"
    with zipfile.ZipFile(FOLDER / "large.ods", "w", zipfile.ZIP_DEFLATED, compresslevel=1) as out:
        out.writestr("mimetype", kind, zipfile.ZIP_STORED)
        out.writestr("META-INF/manifest.xml", f'<manifest:manifest xmlns:manifest="urn:oasis:names:tc:opendocument:xmlns:manifest:1.0"><manifest:file-entry manifest:full-path="/" manifest:media-type="{kind}"/></manifest:manifest>')
        with out.open("content.xml", "w", force_zip64=True) as part:
            part.write(f'<?xml version="1.0" encoding="UTF-8"?><office:document-content {spaces}><office:body><office:spreadsheet><table:table table:name="Finds">'.encode())
            for cells in [WIDE, *large_rows()]:
                line = ["<table:table-row>"]
                for cell in cells:
                    if cell == "":
                        line.append("<table:table-cell/>")
                    elif isinstance(cell, str):
                        line.append(f'<table:table-cell office:value-type="string" calcext:value-type="string"><text:p>{escape(cell)}</text:p></table:table-cell>')
                    elif isinstance(cell, DAY):
                        line.append(f'<table:table-cell office:value-type="date" office:date-value="{cell}" calcext:value-type="date"><text:p>{cell}</text:p></table:table-cell>')
                    else:
                        line.append(f'<table:table-cell office:value-type="float" office:value="{cell}" calcext:value-type="float"><text:p>{cell}</text:p></table:table-cell>')
                part.write("".join([*line, "</table:table-row>"]).encode())
            part.write(b"</table:table></office:spreadsheet></office:body></office:document-content>")


def main():
    FOLDER.mkdir(parents=True, exist_ok=True)
    calculated, uncalculated = write_workbook()
    write_texts()
    convert("messy.xlsx", "ods", "messy_saved.ods")
    convert("messy.xlsx", "xlsx", "messy_saved.xlsx")
    convert("western.csv", "xls", "western.xls")
    convert("western.csv", "pdf", "western.pdf")
    write_large()
    expected = {"calculated": calculated, "uncalculated": uncalculated}
    (FOLDER / "expected.json").write_text(json.dumps(expected, ensure_ascii=False, indent=1), encoding="utf-8")


main()

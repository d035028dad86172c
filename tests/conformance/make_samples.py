#!/usr/bin/env python3
"""Writes the workbooks among the samples of the importer plugins; samples of text are written by hand.

    python3 make_samples.py

Python 3.9 or newer, nothing else. The same bytes each time. Machines, initials and readings are invented.
"""
import datetime as dt
import pathlib
import zipfile
from xml.sax.saxutils import escape

PLUGINS = pathlib.Path(__file__).resolve().parents[2] / "plugins"
MAIN = "http://schemas.openxmlformats.org/spreadsheetml/2006/main"
OFFICE = "http://schemas.openxmlformats.org/officeDocument/2006/relationships"
PACKAGE = "http://schemas.openxmlformats.org/package/2006"
HEAD = '<?xml version="1.0" encoding="UTF-8" standalone="yes"?>\n'


class Shown:
    """A number or day with the format that it is shown by."""

    def __init__(self, value, code):
        self.value, self.code = value, code


class Formula:
    """A formula whose result was never stored."""

    def __init__(self, text):
        self.text = text


def day(year, month, number, code="dd.mm.yyyy"):
    """A day as workbooks keep it: its number since the end of 1899."""
    return Shown((dt.date(year, month, number) - dt.date(1899, 12, 30)).days, code)


def letters(column):
    return chr(ord("A") + column)


def sheet_xml(rows, merges, codes):
    lines = []
    for row, cells in enumerate(rows, start=1):
        line = []
        for column, value in enumerate(cells):
            at = f"{letters(column)}{row}"
            if value is None:
                continue
            if isinstance(value, str):
                line.append(f'<c r="{at}" t="inlineStr"><is><t xml:space="preserve">{escape(value)}</t></is></c>')
            elif isinstance(value, Formula):
                line.append(f'<c r="{at}"><f>{escape(value.text)}</f></c>')
            elif isinstance(value, Shown):
                style = 1 + codes.setdefault(value.code, len(codes))
                line.append(f'<c r="{at}" s="{style}"><v>{value.value}</v></c>')
            else:
                line.append(f'<c r="{at}"><v>{value}</v></c>')
        lines.append(f'<row r="{row}">{"".join(line)}</row>')
    merged = "".join(f'<mergeCell ref="{area}"/>' for area in merges)
    merged = f'<mergeCells count="{len(merges)}">{merged}</mergeCells>' if merges else ""
    return f'{HEAD}<worksheet xmlns="{MAIN}"><sheetData>{"".join(lines)}</sheetData>{merged}</worksheet>'


def styles_xml(codes):
    formats = "".join(
        f'<numFmt numFmtId="{164 + number}" formatCode="{escape(code, {chr(34): "&quot;"})}"/>' for code, number in codes.items()
    )
    shown = "".join(f'<xf numFmtId="{164 + number}" applyNumberFormat="1"/>' for number in codes.values())
    formats = f'<numFmts count="{len(codes)}">{formats}</numFmts>' if codes else ""
    return (
        f'{HEAD}<styleSheet xmlns="{MAIN}">{formats}<fonts count="1"><font/></fonts><fills count="1"><fill/></fills>'
        f'<borders count="1"><border/></borders><cellStyleXfs count="1"><xf/></cellStyleXfs>'
        f'<cellXfs count="{1 + len(codes)}"><xf numFmtId="0"/>{shown}</cellXfs></styleSheet>'
    )


def workbook(path, sheets):
    """Writes sheets, each a name, its rows and its merged areas."""
    codes = {}
    parts = {f"xl/worksheets/sheet{n}.xml": sheet_xml(rows, merges, codes) for n, (_, rows, merges) in enumerate(sheets, 1)}
    names = "".join(f'<sheet name="{escape(name)}" sheetId="{n}" r:id="rId{n}"/>' for n, (name, _, _) in enumerate(sheets, 1))
    links = "".join(
        f'<Relationship Id="rId{n}" Type="{OFFICE}/worksheet" Target="worksheets/sheet{n}.xml"/>'
        for n in range(1, len(sheets) + 1)
    )
    links += f'<Relationship Id="rId{len(sheets) + 1}" Type="{OFFICE}/styles" Target="styles.xml"/>'
    sheet_type = "application/vnd.openxmlformats-officedocument.spreadsheetml"
    types = "".join(f'<Override PartName="/{part}" ContentType="{sheet_type}.worksheet+xml"/>' for part in parts)
    parts = {
        "[Content_Types].xml": f'{HEAD}<Types xmlns="{PACKAGE}/content-types"><Default Extension="rels" '
        f'ContentType="application/vnd.openxmlformats-package.relationships+xml"/><Override PartName="/xl/workbook.xml" '
        f'ContentType="{sheet_type}.sheet.main+xml"/><Override PartName="/xl/styles.xml" ContentType="{sheet_type}.styles+xml"/>{types}</Types>',
        "_rels/.rels": f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships"><Relationship Id="rId1" Type="{OFFICE}/officeDocument" '
        f'Target="xl/workbook.xml"/></Relationships>',
        "xl/workbook.xml": f'{HEAD}<workbook xmlns="{MAIN}" xmlns:r="{OFFICE}"><sheets>{names}</sheets></workbook>',
        "xl/_rels/workbook.xml.rels": f'{HEAD}<Relationships xmlns="{PACKAGE}/relationships">{links}</Relationships>',
        "xl/styles.xml": styles_xml(codes),
        **parts,
    }
    path = PLUGINS / path
    path.parent.mkdir(exist_ok=True)
    with zipfile.ZipFile(path, "w", zipfile.ZIP_DEFLATED) as package:
        for name, text in parts.items():
            package.writestr(zipfile.ZipInfo(name, (2024, 1, 1, 0, 0, 0)), text.encode(), zipfile.ZIP_DEFLATED)


def main():
    workbook("row-log/samples/german-group-headers.xlsx", [(
        "Messungen",
        [
            ["Maschine", "Datum", "Prüfspannung [V]", "Isolationswiderstand gegen Erde [MΩ]", None, None, "Wicklungstemperatur [°C]"],
            [None, None, None, "U", "V", "W", None],
            ["KP-11", day(2003, 5, 14), 1000, 840, 855, 870, 22],
            ["KP-12", day(2003, 5, 15), 1000, 96.5, 101, 99, 35],
            ["KP-11", day(2005, 6, 2), 1000, 790, 810, 805, 24],
        ],
        ["A1:A2", "B1:B2", "C1:C2", "D1:F1", "G1:G2"],
    )])
    workbook("form/samples/two-sheets.xlsx", [
        (
            tag,
            [
                ["Insulation test record"],
                ["Machine:", tag, None, "Date:", day(2011, 9, number, "d mmm yyyy")],
                ["Test voltage:", "2500 V DC", None, "Winding temperature:", f"{celsius} °C"],
                ["Resistance, U+V+W to earth, 1 min:", Shown(reading, '#,##0" MΩ"')],
                ["Tested by:", "O. Q."],
            ],
            [],
        )
        for tag, number, celsius, reading in [("CF-201", 20, 28, 1450), ("CF-202", 21, 31, 385)]
    ])
    workbook("cross-tab/samples/german-machines-across.xlsx", [(
        "Wicklungen",
        [
            ["Isolationswiderstand in GΩ, alle Phasen gegen Erde, 1 min bei 5000 V"],
            ["Datum", "KP-11", "KP-12", "KP-13"],
            [day(1998, 4, 23), 12.4, 3.05, 8.8],
            [day(2000, 5, 17), 11.9, 2.1, None],
            [day(2002, 4, 29), 12.1, 0.94, 9.2],
        ],
        ["A1:D1"],
    )])
    workbook("timed-series/samples/german-seconds-across.xlsx", [(
        "Protokoll",
        [
            ["Antrieb", "KP-11", None, "Datum", day(2008, 10, 16)],
            ["Prüfspannung", "5 kV DC", None, "Wicklungstemperatur", "26 °C"],
            [],
            ["Zeit [s]", 15, 30, 60, 600],
            ["Riso [GΩ]", 2.1, 3.4, 4.6, 15.2],
        ],
        [],
    )])
    workbook("step-series/samples/spanish-kilovolts-across.xlsx", [(
        "Escalones",
        [
            ["Corriente de fuga (µA) por escalón de tensión continua, todas las fases a tierra"],
            ["Máquina", "Fecha", "Temp. devanado (°C)", "2 kV", "4 kV", "6 kV", "8 kV"],
            ["BA-31", day(2007, 3, 19, "dd/mm/yyyy"), 27, 1.1, 2.3, 3.6, 5.2],
            ["BA-32", day(2007, 3, 20, "dd/mm/yyyy"), 29, 1.8, 3.9, 7.4, 16.5],
        ],
        ["A1:G1"],
    )])
    workbook("surge-table/samples/french-pairs-across.xlsx", [(
        "Onde de choc",
        [
            ["Essai à l'onde de choc"],
            ["Moteur", "Date", "Tension crête (kV)", "Différence (%)", None, None],
            [None, None, None, "U-V", "V-W", "W-U"],
            ["PA-51", day(2014, 11, 18, "dd/mm/yyyy"), 12.5, 1.2, 2.1, 1.6],
            ["PA-52", day(2014, 11, 19, "dd/mm/yyyy"), 12.5, 1.9, 14.3, 13.8],
        ],
        ["A2:A3", "B2:B3", "C2:C3", "D2:F2"],
    )])
    workbook("winding-resistance/samples/german-unit-a-row.xlsx", [(
        "KP-11",
        [
            ["Wicklungswiderstand KP-11", None, "Datum", day(2010, 2, 25)],
            ["Wicklungstemperatur", "18,5 °C"],
            [],
            ["Klemmen", "Widerstand", "Einheit"],
            ["U-V", 84.2, "mΩ"],
            ["V-W", 84.6, "mΩ"],
            ["W-U", 84.3, "mΩ"],
        ],
        [],
    )])
    workbook("machine-register/samples/german-horsepower.xlsx", [(
        "Motoren",
        [
            ["Antrieb", "Fabriknummer", "Leistung [PS]", "Nennspannung [kV]", "Drehzahl [1/min]", "Baujahr", "Wärmeklasse"],
            ["KP-11", "T-70411", 1200, 6, 990, 1964, "B"],
            ["KP-12", "T-70412", 1200, 6, 990, 1964, "B"],
            ["KP-13", "91.2207", 850, 6, 1485, 1991, "F"],
        ],
        [],
    )])
    workbook("machine-register/samples/french-formula-without-result.xlsx", [(
        "Parc",
        [
            ["Repère", "Numéro de série", "Puissance (kW)", "Tension (V)"],
            ["PA-51", "58554-7001", 310, 6600],
            ["PA-52", "58554-7002", Formula("C2*1.25"), 6600],
        ],
        [],
    )])


if __name__ == "__main__":
    main()

#!/usr/bin/env python3
"""Writes samples/: the invented records of an invented company, in the containers and layouts of four decades.

    python make_samples.py OUTPUT_FOLDER

Python 3.11 with openpyxl==3.1.5 xlwt==1.3.0 odfpy==1.4.1 msoffcrypto-tool==6.1.0. Fixed seed and dates: the same bytes each time, but for the encrypted file.
Everything is invented: company, mills, machines, makers, serial numbers, initials, readings.
"""
import datetime as dt
import io
import math
import os
import random
import struct
import sys
import zipfile

import openpyxl
import xlwt
from openpyxl.comments import Comment
from openpyxl.styles import Font

OUT = sys.argv[1]
RNG = random.Random(20260401)
STAMP = dt.datetime(2024, 1, 1)


class Motor:
    """An invented motor with a true insulation resistance (megohms at 40 C) over the years."""

    def __init__(self, tag, name, serial, kw, volts, made, winding, cls, fate):
        self.tag, self.name, self.serial, self.kw, self.volts = tag, name, serial, kw, volts
        self.made, self.winding, self.cls, self.fate = made, winding, cls, fate
        self.base = RNG.uniform(3.0, 3.6)
        self.pi = RNG.uniform(2.6, 3.8)
        self.ohm25 = 11.0 * (volts / 400) ** 2 / kw * 0.1

    @property
    def thermoplastic(self):
        return self.made < 1970

    def ir40(self, year):
        """Megohms at 40 C in a year, with what befalls the machine."""
        level = self.base - 0.008 * (year - self.made)
        if self.fate == "runs down":
            level -= 0.09 * max(0.0, year - 2004) ** 1.25
        if self.fate == "dirt" and (1990 < year < 1997 or 2010 < year < 2016):
            level -= 0.16 * min(year - (1990 if year < 2000 else 2010), 5)
        if self.fate == "rewound 2002" and year < 2002.5:
            level -= 0.07 * max(0.0, year - 1986)
        return 10 ** (level + RNG.gauss(0, 0.05))

    def factor(self, celsius):
        """Resistance at a temperature over resistance at 40 C."""
        if self.thermoplastic:
            return 2 ** ((40 - celsius) / 10)
        slope = 1245 if celsius <= 40 else 4230
        return math.exp(slope * (1 / (celsius + 273) - 1 / 313))

    def ir(self, year, celsius, minutes=1.0, phase=0):
        value = self.ir40(year) * self.factor(celsius) * (1 + 0.04 * (phase - 1))
        if self.fate == "runs down" and year > 2012:
            return value * minutes ** math.log10(max(1.05, self.pi - 0.2 * (year - 2012)))
        return value * minutes ** math.log10(self.pi)

    def test_voltage(self):
        return 500 if self.volts < 1000 else 1000 if self.volts < 2500 else 2500 if self.volts < 5000 else 5000


MILL = "Lindquay Board Mill"
BRIDGE = "Ferrow Bridge Pulp Works"
M = {m.tag: m for m in [
    Motor("LQ-RF-201", "Refiner 201", "TS-61044", 1250, 6600, 1961, "form", "B", "sound"),
    Motor("LQ-RF-202", "Refiner 202", "TS-61045", 1250, 6600, 1961, "form", "B", "rewound 2002"),
    Motor("LQ-VP-310", "Vacuum pump 310", "88-3310", 630, 3300, 1978, "form", "F", "sound"),
    Motor("LQ-VP-311", "Vacuum pump 311", "88-3311", 630, 3300, 1978, "form", "F", "runs down"),
    Motor("LQ-FN-115", "Hood fan 115", "C70815", 90, 415, 1984, "random", "F", "sound"),
    Motor("LQ-FN-116", "Hood fan 116", "C70816", 90, 415, 1984, "random", "F", "dirt"),
    Motor("LQ-PM-04", "Stock pump 4", "C51204", 55, 415, 1972, "random", "B", "sound"),
    Motor("FB-CH-01", "Chipper 1", "N-40218", 900, 6600, 1967, "form", "B", "sound"),
    Motor("FB-CH-02", "Chipper 2", "N-40219", 900, 6600, 1967, "form", "B", "dirt"),
    Motor("FB-CP-07", "Compressor 7", "N-77102", 400, 3300, 1988, "form", "F", "sound"),
    Motor("FB-PM-11", "Liquor pump 11", "W1187", 37, 415, 1990, "random", "F", "sound"),
    Motor("FB-PM-12", "Liquor pump 12", "W1188", 37, 415, 1990, "random", "F", "unbalance"),
]}
LQ = [m for m in M.values() if m.tag.startswith("LQ")]
FB = [m for m in M.values() if m.tag.startswith("FB")]


def nice(value, digits=3):
    """A reading as a person notes it down."""
    if value <= 0:
        return 0
    places = digits - 1 - math.floor(math.log10(value))
    value = round(value, places)
    return int(value) if places <= 0 else value


def day(year, spread=300):
    return dt.date(year, 1, 5) + dt.timedelta(days=RNG.randrange(spread))


def path(*parts):
    full = os.path.join(OUT, *parts)
    os.makedirs(os.path.dirname(full), exist_ok=True)
    return full


def save(wb, *parts):
    wb.properties.created = wb.properties.modified = STAMP
    raw = io.BytesIO()
    wb.save(raw)
    rezip(raw.getvalue(), path(*parts))


def rezip(raw, target, keep=None):
    """Writes the archive again with fixed times, so that the same script gives the same bytes."""
    with zipfile.ZipFile(io.BytesIO(raw)) as old, zipfile.ZipFile(target, "w", zipfile.ZIP_DEFLATED) as new:
        for item in old.infolist():
            data = old.read(item.filename)
            if item.filename == "docProps/core.xml":
                import re
                data = re.sub(rb"\d{4}-\d\d-\d\dT\d\d:\d\d:\d\dZ", b"2024-01-01T00:00:00Z", data)
            info = zipfile.ZipInfo(item.filename, (2024, 1, 1, 0, 0, 0))
            info.compress_type = zipfile.ZIP_DEFLATED
            new.writestr(info, data)


# ---------------------------------------------------------------- 1961-1988: ledgers typed in later
def ledger_1983():
    """A row a test, ditto marks, megohms and degrees in the header."""
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Ledger"
    ws.append([f"{MILL} - insulation to earth, all phases together, one minute"])
    ws.append([])
    ws.append(["Date", "Motor", "Test V", "Megohms", "Wdg temp °C", "By"])
    for year in range(1979, 1989):
        d = day(year)
        for i, m in enumerate(LQ):
            t = RNG.randrange(18, 38)
            value = nice(m.ir(year + d.month / 12, t), 2)
            first = i == 0
            ws.append([d if first else '"', m.tag, m.test_voltage(), ">2000" if value > 2000 else value, t, "R.H." if first else '"'])
    for row in ws.iter_rows(min_row=4, min_col=1, max_col=1):
        row[0].number_format = "dd/mm/yyyy"
    save(wb, "lindquay", "ledger_1979-1988.xlsx")


def printout_1986():
    """A line-printer listing with page heads."""
    lines, page = [], 0
    rows = []
    for m in FB:
        for year in (1985, 1986, 1987, 1988):
            d = day(year)
            t = RNG.randrange(14, 33)
            if m.made <= year:
                rows.append((m.tag, d, m.test_voltage(), nice(m.ir(year, t), 3), t))
    for start in range(0, len(rows), 12):
        page += 1
        lines += [f"{BRIDGE.upper():<52}PAGE {page}", "INSULATION RESISTANCE TO EARTH, 1 MIN, MEGOHMS", "",
                  "MACHINE      DATE        TEST V    READING   TEMP C", "---------    ----------  ------    -------   ------"]
        for tag, d, v, r, t in rows[start:start + 12]:
            lines.append(f"{tag:<13}{d:%d.%m.%Y}  {v:>6}    {r:>7}   {t:>6}")
        lines.append("")
        lines.append("\f" if start + 12 < len(rows) else f"{len(rows)} TESTS LISTED")
    with open(path("ferrow_bridge", "listing_1988.prn"), "w", encoding="ascii", newline="") as f:
        f.write("\r\n".join(lines) + "\r\n")


def old_xls_1990s():
    """Two-row header with merged groups, phases, in a workbook of the nineties."""
    book = xlwt.Workbook(encoding="utf-8")
    sheet = book.add_sheet("Tests 1990-96")
    date = xlwt.easyxf(num_format_str="DD.MM.YYYY")
    sheet.write(0, 0, f"{BRIDGE} - insulation tests after 1 min")
    sheet.write_merge(2, 3, 0, 0, "Machine")
    sheet.write_merge(2, 3, 1, 1, "Date")
    sheet.write_merge(2, 2, 2, 4, "To earth, Mohm")
    for c, p in enumerate("UVW"):
        sheet.write(3, 2 + c, p)
    sheet.write_merge(2, 3, 5, 5, "Test V DC")
    sheet.write_merge(2, 3, 6, 6, "Winding °C")
    r = 4
    for year in range(1990, 1997):
        for m in FB:
            d = day(year)
            t = RNG.randrange(12, 30)
            sheet.write(r, 0, m.tag)
            sheet.write(r, 1, d, date)
            for c in range(3):
                sheet.write(r, 2 + c, nice(m.ir(year + d.month / 12, t, 1, c)))
            sheet.write(r, 5, m.test_voltage())
            sheet.write(r, 6, t)
            r += 1
    sheet.write(r, 0, "Average")
    for c in range(3):
        sheet.write(r, 2 + c, 1234)
    book.save(path("ferrow_bridge", "tests_1990-1996.xls"))


def dbf_1994():
    """A dBase table, code page 850, with one deleted record."""
    fields = [("TAG", "C", 12, 0), ("TESTDATE", "D", 8, 0), ("VOLTS", "N", 6, 0), ("MOHM_1MIN", "N", 9, 1), ("MOHM_10MIN", "N", 9, 1), ("WDG_TEMP_C", "N", 5, 1), ("REMARK", "C", 24, 0)]
    records = []
    for year in (1992, 1993, 1994, 1995):
        for m in LQ[:4]:
            d = day(year)
            t = RNG.randrange(16, 30)
            one = nice(m.ir(year, t), 3)
            records.append((" ", [m.tag, f"{d:%Y%m%d}", m.test_voltage(), one, nice(m.ir(year, t, 10), 3), t, "heaters on" if RNG.random() < .3 else ""]))
    records.insert(5, ("*", ["LQ-RF-201", "19920310", 5000, 1.0, 1.0, 20, "typing error"]))
    size = 1 + sum(f[2] for f in fields)
    out = struct.pack("<BBBBIHH16xBB2x", 3, 96, 1, 15, len(records), 32 + 32 * len(fields) + 1, size, 0, 2)
    for name, kind, length, dec in fields:
        out += struct.pack("<11scI BB14x".replace(" ", ""), name.encode(), kind.encode(), 0, length, dec)
    out += b"\r"
    for flag, values in records:
        out += flag.encode()
        for (name, kind, length, dec), v in zip(fields, values):
            text = f"{v:.{dec}f}" if kind == "N" and dec else str(v)
            out += (text.rjust(length) if kind == "N" else text.ljust(length)).encode("cp850")[:length]
    with open(path("lindquay", "MOTORS.DBF"), "wb") as f:
        f.write(out + b"\x1a")


# ---------------------------------------------------------------- 1997-2008
def annual_crosstab():
    """A row a machine, a column a year; temperatures in a block below; events in year columns."""
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Annual"
    years = list(range(1997, 2009))
    ws.append([f"{MILL}: insulation resistance, all phases to earth, 1 min, MΩ"])
    ws.append([])
    ws.append(["Motor", "kV"] + years)
    temps = {}
    for m in LQ:
        row = [m.tag, m.volts / 1000]
        for y in years:
            t = temps[m.tag, y] = RNG.randrange(15, 36)
            value = nice(m.ir(y + .5, t))
            row.append("rewound" if m.fate == "rewound 2002" and y == 2002 else "o/s" if RNG.random() < .04 else f">{10000}" if value > 10000 else value)
        ws.append(row)
    ws.append(["Mean"] + [None] + [nice(sum(v for r in range(4, 4 + len(LQ)) if isinstance(v := ws.cell(r, 3 + i).value, (int, float))) / len(LQ)) for i in range(len(years))])
    ws.append([])
    ws.append(["Winding temperature, °C"])
    ws.append(["Motor", None] + years)
    for m in LQ:
        ws.append([m.tag, None] + [temps[m.tag, y] for y in years])
    save(wb, "lindquay", "annual_1997-2008.xlsx")


def certificates_2001():
    """A form a sheet."""
    wb = openpyxl.Workbook()
    wb.remove(wb.active)
    for n, m in enumerate(FB):
        ws = wb.create_sheet(m.tag)
        d = day(2001)
        t = RNG.randrange(17, 27)
        one, ten = nice(m.ir(2001.5, t)), nice(m.ir(2001.5, t, 10))
        ws["A1"] = "CERTIFICATE OF INSULATION TEST"
        ws["A1"].font = Font(bold=True)
        for r, (a, b, c, e) in enumerate([
            ("Site:", BRIDGE, "Certificate:", f"FB/01/{n + 11:03d}"), ("Motor:", m.tag, "Serial no.:", m.serial),
            ("Rated:", f"{m.kw} kW", "Rated voltage:", f"{m.volts} V"), ("Date of test:", d, "Tested by:", "K.O."),
            ("Test voltage:", f"{m.test_voltage()} V DC", "Winding temperature:", f"{t} °C"),
            ("Relative humidity:", f"{RNG.randrange(40, 70)} %", "Ambient:", f"{t - 2} °C")]):
            for c_, v in zip("ABDE", (a, b, c, e)):
                ws[f"{c_}{3 + r}"] = v
        ws["B6"].number_format = "dd mmm yyyy"
        ws["A10"], ws["B10"] = "Windings to earth, 1 min:", f"{one} MΩ"
        ws["A11"], ws["B11"] = "Windings to earth, 10 min:", f"{ten} MΩ"
        ws["A12"], ws["B12"] = "Polarization index:", round(ten / one, 2)
        ws["A14"], ws["B14"] = "Minimum required:", f"{100 if m.volts > 1000 else 5} MΩ"
        ws["A15"], ws["B15"] = "Result:", "Acceptable"
    save(wb, "ferrow_bridge", "certificates_2001.xlsx")


def spreadsheetml_2004():
    """Excel 2003 XML: winding resistance by terminal pair."""
    rows = ['<Row><Cell><Data ss:Type="String">Winding resistance, milliohms, as read</Data></Cell></Row>', "<Row/>",
            "<Row>" + "".join(f'<Cell><Data ss:Type="String">{h}</Data></Cell>' for h in ["Motor", "Date", "U-V", "V-W", "W-U", "Temp °C"]) + "</Row>"]
    for m in LQ + FB:
        d = day(2004)
        t = RNG.randrange(15, 28)
        ohms = [m.ohm25 * 1000 * (234.5 + t) / 259.5 * (1 + RNG.gauss(0, .002)) for _ in range(3)]
        cells = [f'<Cell><Data ss:Type="String">{m.tag}</Data></Cell>', f'<Cell ss:StyleID="d"><Data ss:Type="DateTime">{d}T00:00:00.000</Data></Cell>']
        cells += [f'<Cell><Data ss:Type="Number">{nice(o, 4)}</Data></Cell>' for o in ohms] + [f'<Cell><Data ss:Type="Number">{t}</Data></Cell>']
        rows.append("<Row>" + "".join(cells) + "</Row>")
    with open(path("store_room", "bridge_readings_2004.xml"), "w", encoding="utf-8") as f:
        f.write('<?xml version="1.0"?>\n<?mso-application progid="Excel.Sheet"?>\n<Workbook xmlns="urn:schemas-microsoft-com:office:spreadsheet" xmlns:ss="urn:schemas-microsoft-com:office:spreadsheet">'
                '<Styles><Style ss:ID="d"><NumberFormat ss:Format="dd/mm/yyyy"/></Style></Styles><Worksheet ss:Name="Bridge"><Table>' + "\n".join(rows) + "</Table></Worksheet></Workbook>\n")


def html_2006():
    """A report page saved under the name of a workbook."""
    body = "".join(f"<tr><td>{m.tag}</td><td>{day(2006):%d %b %Y}</td><td>{m.test_voltage()}</td><td>{nice(m.ir(2006.5, 22) / 1000)}</td><td>22</td></tr>\n" for m in FB)
    with open(path("ferrow_bridge", "round_2006.xls"), "w", encoding="utf-8") as f:
        f.write(f"<html><head><meta charset='utf-8'><title>{BRIDGE}</title></head><body><table border='1'><tr><th colspan='5'>{BRIDGE}: windings to earth after 60 s</th></tr>"
                f"<tr><th>Machine</th><th>Date</th><th>Test voltage (V)</th><th>Insulation resistance (G&Omega;)</th><th>Winding temp (&deg;C)</th></tr>\n{body}</table></body></html>\n")


# ---------------------------------------------------------------- 2009-2024
def contractor_german():
    """A German contractor: semicolons, decimal commas, Windows-1252."""
    lines = ["Messprotokoll Isolationswiderstand", f"Kunde;{MILL}", "Prüfspannung;wie Spalte", "", "Maschine;Datum;Prüfspannung V;Riso 1 min MΩ;Riso 10 min MΩ;PI;Wickl.-Temp. °C;Prüfer".replace("Ω", "Ohm")]
    for m in LQ:
        d = day(2009)
        t = RNG.randrange(17, 26)
        one, ten = m.ir(2009.5, t), m.ir(2009.5, t, 10)
        german = lambda v: f"{v:.1f}".replace(".", ",")
        lines.append(";".join([m.tag, f"{d:%d.%m.%Y}", str(m.test_voltage()), german(one), german(ten), f"{ten / one:.2f}".replace(".", ","), str(t), "J. E."]))
    with open(path("contractors", "protokoll_2009.csv"), "w", encoding="cp1252", newline="") as f:
        f.write("\r\n".join(lines) + "\r\n")


def contractor_french():
    """A French contractor's workbook, gigohms by number format only."""
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Essais"
    ws.append([f"{BRIDGE} - résistance d'isolement des enroulements contre masse, 1 min"])
    ws.append([])
    ws.append(["Repère", "Date d'essai", "Tension d'essai (V)", "Isolement", "Temp. enroulement (°C)", "Observations"])
    for m in FB:
        t = RNG.randrange(14, 24)
        ws.append([m.tag, day(2011), m.test_voltage(), nice(m.ir(2011.5, t) / 1000), t, "nettoyé" if RNG.random() < .2 else None])
    for row in ws.iter_rows(min_row=4, max_row=ws.max_row):
        row[1].number_format = "dd/mm/yyyy"
        row[3].number_format = '0.000" GΩ"'
    save(wb, "contractors", "essais_2011.xlsx")


def pi_forms():
    """Minutes down, phases across; temperature in a note on one sheet."""
    minutes = [0.5, 1, 2, 3, 4, 5, 6, 7, 8, 9, 10]
    for year, name in ((2013, "absorption_2013.xlsx"), (2017, "absorption_2017.xlsx")):
        wb = openpyxl.Workbook()
        wb.remove(wb.active)
        for m in [x for x in LQ + FB if x.volts > 1000]:
            ws = wb.create_sheet(m.tag)
            t = RNG.randrange(18, 30)
            ws.append(["Absorption test"])
            ws.append(["Machine", m.tag, None, "Date", day(year)])
            ws["E2"].number_format = "yyyy-mm-dd"
            ws.append(["Test voltage", f"{m.test_voltage()} V DC", None, "Winding temperature", f"{t} °C"])
            ws.append([])
            ws.append(["Minutes", "U to earth, MΩ", "V to earth, MΩ", "W to earth, MΩ"])
            cols = []
            for mi in minutes:
                values = [nice(m.ir(year + .5, t, mi, p)) for p in range(3)]
                cols.append(values)
                ws.append([mi] + values)
            ws.append(["10 min / 1 min"] + [round(cols[-1][p] / cols[1][p], 2) for p in range(3)])
            ws["B5"].comment = Comment("heaters off since the morning before", "K.O.")
        save(wb, "absorption", name)


def steps_2015():
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Steps"
    r = 1
    for m in [x for x in LQ + FB if x.volts >= 3300]:
        ws.cell(r, 1, f"{m.tag} - DC step test, all phases to earth, {day(2015):%d %b %Y}, winding {RNG.randrange(18, 26)} °C")
        for c, h in enumerate(["kV", "Leakage µA after 1 min", "MΩ"]):
            ws.cell(r + 1, 1 + c, h)
        top = 2 * m.volts / 1000
        ir = m.ir(2015.5, 22)
        for i in range(1, 6):
            kv = round(top * i / 5, 1)
            knee = 1.0 + (0.9 if m.fate == "runs down" and i >= 4 else 0.02) * (i - 3 if i > 3 else 0)
            ua = nice(kv * 1000 / ir * knee)
            ws.cell(r + 1 + i, 1, kv)
            ws.cell(r + 1 + i, 2, ua)
            ws.cell(r + 1 + i, 3, nice(kv * 1000 / ua))
        r += 9
    save(wb, "contractors", "dc_steps_2015.xlsx")


def surge_2018():
    lines = ["Surge comparison tests 2018 (peak volts, difference of responses)", "Machine,Date,Pair,Peak V,Difference %,Result"]
    for m in LQ + FB:
        d = day(2018)
        for pair in ("U-V", "V-W", "W-U"):
            bad = m.fate == "unbalance" and pair != "V-W"
            lines.append(f"{m.tag},{d:%Y-%m-%d},{pair},{2 * m.volts + 1000},{nice(RNG.uniform(14, 19) if bad else RNG.uniform(.6, 3.2), 2)},{'mismatch' if bad else 'match'}")
    with open(path("contractors", "surge_2018.csv"), "w", encoding="utf-8", newline="") as f:
        f.write("\n".join(lines) + "\n")


def resistance_2016_2022():
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Resistance"
    ws.append(["Winding resistance at the terminals, mΩ"])
    ws.append(["Machine", "Date", "T1-T2", "T2-T3", "T3-T1", "Temp °C", "Unbalance %"])
    for year in (2016, 2019, 2022):
        for m in LQ + FB:
            t = RNG.randrange(16, 28)
            base = m.ohm25 * 1000 * (234.5 + t) / 259.5
            grow = 1 + (0.012 * (year - 2014) if m.fate == "unbalance" else 0)
            ohms = [nice(base * (1 + RNG.gauss(0, .001)), 4), nice(base * (1 + RNG.gauss(0, .001)) * grow, 4), nice(base * (1 + RNG.gauss(0, .001)), 4)]
            mean = sum(ohms) / 3
            ws.append([m.tag, day(year), *ohms, t, round(max(abs(o - mean) for o in ohms) / mean * 100, 2)])
    for row in ws.iter_rows(min_row=3, min_col=2, max_col=2):
        row[0].number_format = "dd/mm/yyyy"
    save(wb, "contractors", "winding_resistance_2016-2022.xlsx")


def xml_2014():
    items = []
    for m in FB:
        t = RNG.randrange(15, 25)
        items.append(f'  <test tag="{m.tag}" date="{day(2014)}">\n    <winding-temperature unit="Cel">{t}</winding-temperature>\n    <test-voltage unit="V">{m.test_voltage()}</test-voltage>\n'
                     f'    <insulation-resistance unit="MOhm" circuit="UVW-E" after="60 s">{nice(m.ir(2014.5, t))}</insulation-resistance>\n  </test>')
    with open(path("ferrow_bridge", "round_2014.xml"), "w", encoding="utf-8") as f:
        f.write(f'<?xml version="1.0" encoding="UTF-8"?>\n<tests site="{BRIDGE}">\n' + "\n".join(items) + "\n</tests>\n")


def ods_2019():
    from odf.opendocument import OpenDocumentSpreadsheet
    from odf.table import Table, TableCell, TableRow
    from odf.text import P
    doc = OpenDocumentSpreadsheet()
    table = Table(name="Runde 2019")
    def row(values):
        r = TableRow()
        for v in values:
            if isinstance(v, dt.date):
                c = TableCell(valuetype="date", datevalue=v.isoformat())
                c.addElement(P(text=v.strftime("%d.%m.%Y")))
            elif isinstance(v, (int, float)):
                c = TableCell(valuetype="float", value=str(v))
                c.addElement(P(text=str(v)))
            else:
                c = TableCell(valuetype="string")
                c.addElement(P(text=v))
            r.addElement(c)
        table.addElement(r)
    row([f"{MILL}, Isolationswiderstand aller Phasen gegen Erde, 1 min"])
    row([""])
    row(["Kennzeichen", "Prüfdatum", "Prüfspannung (V)", "Riso (MΩ)", "Wicklungstemperatur (°C)"])
    for m in LQ:
        t = RNG.randrange(15, 27)
        row([m.tag, day(2019), m.test_voltage(), nice(m.ir(2019.5, t)), t])
    doc.spreadsheet.addElement(table)
    raw = io.BytesIO()
    doc.write(raw)
    rezip(raw.getvalue(), path("lindquay", "runde_2019.ods"))


def tab_2021():
    lines = ["Exported 2021\tFerrow Bridge Pulp Works", "", "Tag\tTested on\tTest V\tR1 MΩ\tR10 MΩ\tWinding °C\tRH %"]
    for m in FB:
        t = RNG.randrange(15, 26)
        lines.append(f"{m.tag}\t{day(2021):%d-%b-%Y}\t{m.test_voltage()}\t{nice(m.ir(2021.5, t))}\t{nice(m.ir(2021.5, t, 10))}\t{t}\t{RNG.randrange(35, 75)}")
    with open(path("ferrow_bridge", "export_2021.txt"), "wb") as f:
        f.write(("\r\n".join(lines) + "\r\n").encode("utf-16"))


def log_2020s():
    """The log of today; one slip of a factor of 1000 hides in it."""
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Log 2020-2024"
    ws.append(["Insulation log, all windings to earth together, after 1 and 10 minutes"])
    ws.append(["Date", "Tag", "Site", "Test V", "1 min", "10 min", "Winding", "RH", "Remarks"])
    ws.append(["", "", "", "V DC", "MΩ", "MΩ", "°C", "%", ""])
    for year in (2020, 2022, 2024):
        for m in LQ + FB:
            t = RNG.randrange(14, 32)
            one, ten = nice(m.ir(year + .5, t)), nice(m.ir(year + .5, t, 10))
            if m.tag == "FB-CP-07" and year == 2022:
                one, ten = nice(one / 1000), nice(ten / 1000)
            ws.append([day(year), m.tag, MILL if m in LQ else BRIDGE, m.test_voltage(), one, ten, t, RNG.randrange(35, 80), "cleaned before test" if m.fate == "dirt" and year == 2020 else None])
    for row in ws.iter_rows(min_row=4, min_col=1, max_col=1):
        row[0].number_format = "dd/mm/yyyy"
    save(wb, "log_2020-2024.xlsx")


def register():
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Motors"
    ws.append(["Tag", "Description", "Site", "Serial no.", "Rated kW", "Rated voltage V", "Year made", "Winding", "Insulation class"])
    for m in M.values():
        ws.append([m.tag, m.name, MILL if m.tag.startswith("LQ") else BRIDGE, m.serial, m.kw, m.volts, m.made, f"{m.winding}-wound", m.cls])
    save(wb, "motor_register.xlsx")


def withstand_2012():
    """A table of DC withstand tests with outcomes in words."""
    lines = ["DC withstand tests at the 2012 outage|||||", "Machine|Date|Test kV DC|Minutes|Leakage µA|Result"]
    for m in [x for x in LQ + FB if x.volts >= 3300]:
        lines.append(f"{m.tag}|{day(2012):%d %b %Y}|{round(2 * m.volts / 1000, 1)}|1|{nice(2 * m.volts / m.ir(2012.5, 22))}|withstood")
    with open(path("contractors", "withstand_2012.psv"), "w", encoding="utf-8", newline="") as f:
        f.write("\n".join(lines) + "\n")


# ---------------------------------------------------------------- what cannot be read without asking, and what is no record
def questions():
    wb = openpyxl.Workbook()
    ws = wb.active
    ws.title = "Round"
    ws.append(["Motor round, windings to earth, 1 min"])
    ws.append(["Motor", "Date", "Reading", "Test V"])
    for m in LQ[:4]:
        ws.append([m.tag, f"0{RNG.randrange(1, 9)}/0{RNG.randrange(1, 9)}/2003", nice(m.ir(2003.5, 20)), m.test_voltage()])
    save(wb, "store_room", "round_without_unit.xlsx")


def unclaimed():
    with open(path("unclaimed", "memo.txt"), "w", encoding="utf-8") as f:
        f.write("To all shift electricians\n\nPlease return the test leads to the store after use. Two sets have been missing since the\nsummer outage, and the spare one is kept for the shop. Ask for the key at the gate.\n\nThank you.\n")
    wb = openpyxl.Workbook()
    wb.active.append(["secret"])
    plain = io.BytesIO()
    wb.save(plain)
    import msoffcrypto
    from msoffcrypto.format.ooxml import OOXMLFile
    out = io.BytesIO()
    OOXMLFile(plain).encrypt("linden-47", out)
    with open(path("unclaimed", "protected.xlsx"), "wb") as f:
        f.write(out.getvalue())
    with open(path("log_2020-2024.xlsx"), "rb") as f:
        whole = f.read()
    with open(path("unclaimed", "cut_short.xlsx"), "wb") as f:
        f.write(whole[: len(whole) // 2])
    with open(path("unclaimed", "nothing.xlsx"), "wb"):
        pass


for make in (ledger_1983, printout_1986, old_xls_1990s, dbf_1994, annual_crosstab, certificates_2001, spreadsheetml_2004, html_2006, contractor_german, contractor_french,
             pi_forms, steps_2015, surge_2018, resistance_2016_2022, xml_2014, ods_2019, tab_2021, log_2020s, register, withstand_2012, questions, unclaimed):
    make()

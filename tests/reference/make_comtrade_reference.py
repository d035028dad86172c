#!/usr/bin/env python3
"""Writes the pairs of configuration and samples in plugins/comtrade/samples (invented: Lindquay Board Mill) and, with the package
`comtrade` 0.2.0 (MIT licence) as an independent reader, comtrade.json: what it reads of every record there. Needs: pip install comtrade==0.2.0.
The layout of the files follows IEEE C37.111-1991, -1999 and -2013, from memory; the reader used here agrees with it."""
import json
import math
import struct
from pathlib import Path

import comtrade

HERE = Path(__file__).parent
SAMPLES = HERE / "../../plugins/comtrade/samples"
N, RATE = 24, 4000


def wave(i, shift):
    """Current as stored, 16 bits."""
    return round(900 * math.exp(-i / 20) * math.sin(2 * math.pi * 400 * i / RATE + shift))


def config(kind, first_line, analog, digital, day, later=()):
    lines = [first_line, f"{len(analog) + len(digital)},{len(analog)}A,{len(digital)}D", *analog, *digital,
             "50", "1", f"{RATE},{N}", f"{day},10:15:30.000000", f"{day},10:15:30.002000", kind, *later]
    return ("\r\n".join(lines) + "\r\n").encode()


def binary(code, values):
    rows = []
    for i in range(N):
        stored = struct.pack(f"<{len(values)}{code}", *[column[i] for column in values])
        rows.append(struct.pack("<II", i + 1, i * 250) + stored + struct.pack("<H", 1 if i >= 8 else 0))
    return b"".join(rows)


def text(values):
    rows = [f"{i + 1},{i * 250}," + ",".join(str(column[i]) for column in values) + f",{1 if i >= 8 else 0}" for i in range(N)]
    return ("\r\n".join(rows) + "\r\n").encode()


def pairs():
    """Name: configuration, samples."""
    phases = [[wave(i, -2 * math.pi * p / 3) for i in range(N)] for p in range(3)]
    old = [f"{p + 1},I {n},{n},PM-102,A,0.02,0,0,-2048,2047" for p, n in enumerate("RST")]
    new = [f"{p + 1},I {n},{n},PM-102,A,0.02,0.5,0,-32767,32767,400,5,{side}" for p, (n, side) in enumerate(zip("UVW", "SSP"))]
    wide = [f"{p + 1},U {n}-E,{n}-E,PM-102,kV,1e-05,0,0,-2000000000,2000000000,1,1,P" for p, n in enumerate("UVW")]
    trip = "1,trip,0"
    late = "1,trip,,PM-102,0"
    year = lambda y: f"Lindquay Board Mill,bench recorder,{y}"
    clock = ("1", "0,0", "B,0")
    yield "pair-1991", config("ASCII", "Lindquay Board Mill,bench recorder", old, [trip], "03/14/87"), text(phases)
    yield "pair-1999", config("BINARY", year(1999), new, [late], "14/03/2003", ("1",)), binary("h", phases)
    yield "pair-2013", config("BINARY32", year(2013), wide, [late], "14/03/2015", clock), binary("i", [[v * 1000 for v in c] for c in phases])
    yield "pair-float", config("FLOAT32", year(2013), wide, [late], "14/03/2015", clock), binary("f", [[v * 1000.5 for v in c] for c in phases])


def read(record):
    analog = [{"name": n, "values": [None if v is None or math.isnan(v) else v for v in map(float, column)]}
              for n, column in zip(record.analog_channel_ids, record.analog)]
    status = [{"name": n, "values": list(map(int, column))} for n, column in zip(record.status_channel_ids, record.status)]
    return {"channels": analog + status, "times": [float(t) for t in record.time]}


def main():
    expected = {}
    for name, cfg, dat in pairs():
        (SAMPLES / f"{name}.cfg").write_bytes(cfg)
        (SAMPLES / f"{name}-samples.dat").write_bytes(dat)
        record = comtrade.Comtrade()
        record.load(str(SAMPLES / f"{name}.cfg"), str(SAMPLES / f"{name}-samples.dat"))
        expected[f"{name}-samples.dat"] = read(record)
    for name in ["bench-16-bit.cff", "bench-text.cff"]:
        record = comtrade.Comtrade()
        record.load(str(SAMPLES / name))
        expected[name] = read(record)
    (HERE / "comtrade.json").write_text(json.dumps(expected, indent=1) + "\n")


main()

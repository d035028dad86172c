"""What `windrow query` tells of a fleet, and how a tool's answer is held against it.

The scripts beside this one get the same arguments: WINDROW WORK REPOSITORY; the fleet is WORK/plant, as README.md names it.
"""

import csv
import io
import math
import os
import pathlib
import shutil
import subprocess
import sys

WINDROW, WORK, REPOSITORY = [pathlib.Path(argument).resolve() for argument in sys.argv[1:4]]
FLEET = WORK / "plant"
ANALYSTS = REPOSITORY / "tests/analysts"
TABLES = [
    "assets", "tests", "readings", "reported_figures", "waveforms", "cells", "holds", "sources", "imports", "test_summary",
    "findings", "coverage",
]
STATISTICS = (
    "SELECT quantity, count(*) AS n, min(value) AS a, max(value) AS b, avg(value) AS c FROM readings "
    "GROUP BY quantity ORDER BY quantity"
)
# Engines sum floating-point numbers in different orders.
TOLERANCE = 1e-12


def windrow(*arguments, statuses=(0,)):
    done = subprocess.run([WINDROW, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode in statuses, f"{arguments}: {done.stderr}"
    return done.stdout


def ask(sql):
    return list(csv.reader(io.StringIO(windrow("query", sql, "--fleet", FLEET, "--format", "csv"))))[1:]


def same(told, found, what):
    assert len(told) == len(found), f"{what}: {len(found)} rows, and {len(told)} by windrow query"
    for ours, theirs in zip(told, found):
        for a, b in zip(ours, theirs, strict=True):
            if isinstance(b, float):
                assert math.isclose(float(a), b, rel_tol=TOLERANCE), f"{what}: {b} is not {a}"
            else:
                assert a == ("" if b is None else str(b)), f"{what}: {b!r} is not {a!r}"


def store(table):
    return str(FLEET / "store" / table)


def committed():
    """Number of rows by table."""
    return {table: int(ask(f"SELECT count(*) FROM {table}")[0][0]) for table in TABLES}


def questions():
    """The statements of queries.sql."""
    lines = (ANALYSTS / "queries.sql").read_text(encoding="utf-8").splitlines()
    statements = "\n".join(line for line in lines if not line.startswith("--")).split(";")
    return [statement for statement in statements if statement.strip()]


def shown(tool, **known):
    """Runs what README.md shows under `tool`, as it stands there, and gives the names that it leaves."""
    text = (ANALYSTS / "README.md").read_text(encoding="utf-8")
    code = text.split(f"### {tool}\n")[1].split("```python\n")[1].split("```")[0]
    os.chdir(WORK)
    names = dict(known)
    exec(code, names)
    return names


def elsewhere():
    """Goes where the fleet lies below a folder with a blank and a letter beyond ASCII, as people name theirs."""
    folder = WORK / "Werk Süd"
    shutil.copytree(store("readings"), folder / "plant/store/readings", dirs_exist_ok=True)
    os.chdir(folder)

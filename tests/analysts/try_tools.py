"""Tries analysts' own tools on a fleet and what it hands out; fails where they disagree with `windrow query`.

usage: try_tools.py WINDROW FLEET WORK REPOSITORY
"""

import csv
import io
import json
import math
import os
import pathlib
import sqlite3
import subprocess
import sys

import cloudevents.http
import deltalake
import duckdb
import duckdb_extension_delta
import frictionless
import jsonschema
import nbclient
import nbformat
import openpyxl
import pandas
import polars

WINDROW, FLEET, WORK, REPOSITORY = [pathlib.Path(argument).resolve() for argument in sys.argv[1:5]]
TABLES = [
    "assets", "tests", "readings", "reported_figures", "waveforms", "cells", "holds", "sources", "imports", "test_summary",
    "findings", "coverage",
]
# Engines sum floating-point numbers in different orders.
TOLERANCE = 1e-12


def windrow(*arguments):
    done = subprocess.run([WINDROW, *map(str, arguments)], capture_output=True, text=True)
    assert done.returncode == 0, f"{arguments}: {done.stderr}"
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
    return {table: int(ask(f"SELECT count(*) FROM {table}")[0][0]) for table in TABLES}


def duck():
    connection = duckdb.connect(config={"allow_unsigned_extensions": "false"})
    folder = pathlib.Path(duckdb_extension_delta.__file__).parent
    extension = next(folder.rglob("delta.duckdb_extension"))
    connection.execute(f"LOAD '{extension}'")
    for table in TABLES:
        connection.execute(f"CREATE VIEW {table} AS SELECT * FROM delta_scan('{store(table)}')")
    return connection


def delta_tables(counts):
    connection = duck()
    for table, count in counts.items():
        assert connection.execute(f"SELECT count(*) FROM {table}").fetchone()[0] == count, f"DuckDB: {table}"
        assert len(deltalake.DeltaTable(store(table)).to_pandas()) == count, f"pandas: {table}"
        assert polars.scan_delta(store(table)).collect().height == count, f"Polars: {table}"
    told = ask("SELECT quantity, count(*) AS n, min(value) AS a, max(value) AS b, avg(value) AS c FROM readings GROUP BY quantity ORDER BY quantity")
    sql = "SELECT quantity, count(*) AS n, min(value) AS a, max(value) AS b, avg(value) AS c FROM readings GROUP BY quantity ORDER BY quantity"
    same(told, connection.execute(sql).fetchall(), "statistics by DuckDB")
    frame = deltalake.DeltaTable(store("readings")).to_pandas().groupby("quantity")["value"]
    rows = frame.agg(["count", "min", "max", "mean"]).reset_index().itertuples(index=False)
    same(told, [(q, int(n), float(a), float(b), float(c)) for q, n, a, b, c in rows], "statistics by pandas")
    value = polars.col("value")
    lazy = polars.scan_delta(store("readings")).group_by("quantity").agg(
        polars.len(), value.min().alias("a"), value.max().alias("b"), value.mean().alias("c")
    )
    same(told, lazy.sort("quantity").collect().rows(), "statistics by Polars")
    lines = (REPOSITORY / "tests/analysts/queries.sql").read_text().splitlines()
    statements = "\n".join(line for line in lines if not line.startswith("--"))
    for statement in statements.split(";"):
        if statement.strip():
            same(ask(statement), connection.execute(statement).fetchall(), statement)


def exports(counts):
    for form, name in [("parquet", "parquet"), ("csv", "csv"), ("sqlite", "fleet.db"), ("xlsx", "fleet.xlsx")]:
        windrow("export", "--fleet", FLEET, "--to", form, "--out", WORK / name)
    database = sqlite3.connect(WORK / "fleet.db")
    for table, count in counts.items():
        assert database.execute(f"SELECT count(*) FROM {table}").fetchone()[0] == count, f"SQLite: {table}"
        parquet = polars.read_parquet(WORK / "parquet" / f"{table}.parquet")
        assert parquet.height == count, f"Parquet: {table}"
        with open(WORK / "csv" / f"{table}.csv", newline="", encoding="utf-8") as file:
            rows = list(csv.DictReader(file))
        assert len(rows) == count, f"CSV: {table}"
        for column, kind in parquet.schema.items():
            if kind == polars.String:
                # One leading apostrophe is the guard's.
                texts = [row[column].removeprefix("'") for row in rows]
                assert texts == [text or "" for text in parquet[column].to_list()], f"CSV: {table}.{column}"
            elif kind == polars.Float64:
                numbers = [float(row[column]) if row[column] else None for row in rows]
                assert numbers == parquet[column].to_list(), f"CSV: {table}.{column}"
    report = frictionless.validate(str(WORK / "csv" / "datapackage.json"))
    assert report.valid, report.flatten(["rowNumber", "fieldNumber", "type", "message"])[:10]
    book = openpyxl.load_workbook(WORK / "fleet.xlsx")
    assert book["Readings"].max_row - 1 == counts["readings"] and book["Machines"].max_row - 1 == counts["assets"]
    head = [cell.value for cell in book["Readings"][1]]
    first = dict(zip(head, book["Readings"][2]))
    assert isinstance(first["Value"].value, (int, float)) and first["Date"].is_date and book["Readings"].freeze_panes == "B2"
    link = first["Source"].hyperlink.target
    assert pathlib.Path(link.split("#")[0].removeprefix("file://")).exists(), link


def events():
    windrow("feed", "--fleet", FLEET, "--into", WORK / "events", "--on", "2026-11-29")
    schemas = {}
    for path in (REPOSITORY / "schema/events").glob("*.schema.json"):
        schema = json.loads(path.read_text())
        jsonschema.Draft202012Validator.check_schema(schema)
        schemas[schema["$id"]] = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
    lines = [line for path in sorted((WORK / "events").iterdir()) for line in path.read_text().splitlines()]
    assert len(lines) > 300
    for line in lines:
        event = json.loads(line)
        schemas["urn:windrow:schema:event:1"].validate(event)
        schemas[event["dataschema"]].validate(event["data"])
        parsed = cloudevents.http.from_json(line)
        assert parsed["id"] == event["id"] and parsed.data == event["data"]


def notebook():
    book = nbformat.read(REPOSITORY / "tests/analysts/fleet.ipynb", as_version=4)
    nbformat.validate(book)
    os.environ["WINDROW_FLEET"] = str(FLEET)
    nbclient.NotebookClient(book, timeout=120, kernel_name="python3").execute()
    told = "".join(output.get("text", "") for cell in book.cells for output in cell.get("outputs", []))
    machines = ask("SELECT count(*) FROM assets")[0][0]
    assert f"{machines} machines" in told, told


def main():
    counts = committed()
    for step in [lambda: delta_tables(counts), lambda: exports(counts), events, notebook]:
        step()
    print(f"pandas {pandas.__version__}, DuckDB {duckdb.__version__}, Polars {polars.__version__}: all agree")


if __name__ == "__main__":
    main()

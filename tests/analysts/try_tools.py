"""Tries analysts' own tools on a fleet and what it hands out; fails where they disagree with `windrow query`.

usage: try_tools.py WINDROW WORK REPOSITORY
"""

import csv
import json
import os
import pathlib
import sqlite3
from urllib.parse import unquote

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
from fleet_told import ANALYSTS, FLEET, REPOSITORY, STATISTICS, TABLES, WORK, ask, committed, elsewhere, questions, same, shown, store, windrow


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
    told = ask(STATISTICS)
    same(told, connection.execute(STATISTICS).fetchall(), "statistics by DuckDB")
    frame = deltalake.DeltaTable(store("readings")).to_pandas().groupby("quantity")["value"]
    rows = frame.agg(["count", "min", "max", "mean"]).reset_index().itertuples(index=False)
    same(told, [(q, int(n), float(a), float(b), float(c)) for q, n, a, b, c in rows], "statistics by pandas")
    value = polars.col("value")
    lazy = polars.scan_delta(store("readings")).group_by("quantity").agg(
        polars.len(), value.min().alias("a"), value.max().alias("b"), value.mean().alias("c")
    )
    same(told, lazy.sort("quantity").collect().rows(), "statistics by Polars")
    for statement in questions():
        same(ask(statement), connection.execute(statement).fetchall(), statement)


def as_shown(counts):
    """What README.md shows, as it stands there."""
    assert len(shown("pandas")["readings"]) == counts["readings"]
    assert shown("Polars")["readings"].collect().height == counts["readings"]
    assert sum(n for _, n in shown("DuckDB")["counts"].fetchall()) == counts["readings"]
    elsewhere()
    table = deltalake.DeltaTable("plant/store/readings")
    assert len(table.to_pandas()) == counts["readings"]
    dataset = table.to_pyarrow_dataset()
    assert duckdb.sql("SELECT count(*) FROM dataset").fetchone()[0] == counts["readings"]
    assert polars.scan_parquet([unquote(file) for file in table.file_uris()]).collect().height == counts["readings"]


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
    assert guarded(WORK / "csv") > 0, "no text of the fleet begins like a formula, so that nothing is tried"
    workbook(counts)


def names():
    """Parquet without the names of people; the other forms are tried in Rust."""
    settings, out = FLEET / "windrow.toml", WORK / "nobody"
    people = {tester for [tester] in ask("SELECT DISTINCT tester FROM tests WHERE tester IS NOT NULL")}
    assert people
    text = settings.read_text(encoding="utf-8")
    settings.write_text(text.replace('testers = "keep"', 'testers = "drop"'), encoding="utf-8")
    windrow("export", "--fleet", FLEET, "--to", "parquet", "--out", out)
    settings.write_text(text, encoding="utf-8")
    for path in out.iterdir():
        for row in polars.read_parquet(path).rows():
            assert not any(person in field for person in people for field in row if isinstance(field, str)), path.name


def guarded(folder):
    """Fails where a field of delimited text would run as a formula; gives how many are guarded."""
    count = 0
    for path in folder.glob("*.csv"):
        with open(path, newline="", encoding="utf-8") as file:
            for row in list(csv.reader(file))[1:]:
                for field in row:
                    assert field[:1] not in "=+-@\t\r\n" or is_number(field) or not field, f"{path.name}: {field!r}"
                    count += field.startswith("'")
    return count


def is_number(field):
    try:
        float(field)
    except ValueError:
        return False
    return True


def workbook(counts):
    book = openpyxl.load_workbook(WORK / "fleet.xlsx")
    assert book["Readings"].max_row - 1 == counts["readings"] and book["Machines"].max_row - 1 == counts["assets"]
    for name in ["Machines", "Test summary", "Readings", "Findings", "Open questions"]:
        sheet = book[name]
        assert sheet.freeze_panes == "B2" and sheet.auto_filter.ref.startswith("A1:"), name
        assert all(cell.data_type != "f" for row in sheet.iter_rows() for cell in row), f"{name}: a formula"
    head = [cell.value for cell in book["Readings"][1]]
    for row in book["Readings"].iter_rows(min_row=2):
        line = dict(zip(head, row))
        assert isinstance(line["Value"].value, (int, float)), line["Value"]
        assert line["Date"].value is None or line["Date"].is_date, line["Date"]
        link = line["Source"].hyperlink.target
        assert pathlib.Path(link.split("#")[0].removeprefix("file://")).exists(), link


def event_schemas():
    schemas = {}
    for path in (REPOSITORY / "schema/events").glob("*.schema.json"):
        schema = json.loads(path.read_text())
        jsonschema.Draft202012Validator.check_schema(schema)
        schemas[schema["$id"]] = jsonschema.Draft202012Validator(schema, format_checker=jsonschema.FormatChecker())
    return schemas


def validated(folder, schemas):
    """Holds every event of `folder` against its schemas and the CloudEvents library; gives their types."""
    lines = [line for path in sorted(folder.iterdir()) for line in path.read_text(encoding="utf-8").splitlines()]
    for line in lines:
        event = json.loads(line)
        schemas["urn:windrow:schema:event:1"].validate(event)
        schemas[event["dataschema"]].validate(event["data"])
        parsed = cloudevents.http.from_json(line)
        assert parsed["id"] == event["id"] and parsed.data == event["data"]
    return [json.loads(line)["type"] for line in lines]


def events():
    schemas = event_schemas()
    windrow("feed", "--fleet", FLEET, "--into", WORK / "events", "--on", "2026-11-29")
    assert len(validated(WORK / "events", schemas)) > 300
    assert set(validated(whole_life(), schemas)) == set(schemas["urn:windrow:schema:event:1"].schema["properties"]["type"]["enum"])


def whole_life():
    """The events of an invented pump which is found low, dries, is corrected, is renamed and goes."""
    records, fleet, out = WORK / "pump", WORK / "pumps", WORK / "life"
    records.mkdir()
    log = records / "log.csv"

    def told(*rows):
        log.write_text("Motor,Volts,Made,Date,Winding temp °C,IR 1 min MOhm\n" + "".join(f"{row}\n" for row in rows))
        windrow("run", records, "--fleet", fleet, statuses=(0, 1))
        windrow("feed", "--fleet", fleet, "--into", out, "--on", "2007-01-01")

    good, low = "P-1,400,1995,2001-02-03,40,910", "P-1,400,1995,2003-02-03,40,2.1"
    lower, dried = "P-1,400,1995,2005-02-03,40,1.9", "P-1,400,1995,2006-02-03,40,880"
    told(good, low)
    told(good, low, lower)
    told(good, low, lower, dried)
    told(*[row.replace("910", "911").replace("1995", "1996") for row in [good, low, lower, dried]])
    told(*[row.replace("P-1", "PUMP-7") for row in [good, low, lower, dried]])
    log.unlink()
    (records / "other.csv").write_text("Motor,Date,IR MOhm\nF-2,2001-02-03,9\n")
    windrow("run", records, "--fleet", fleet, "--forget-missing", statuses=(0, 1))
    windrow("feed", "--fleet", fleet, "--into", out, "--on", "2007-01-01")
    return out


def notebook():
    book = nbformat.read(ANALYSTS / "fleet.ipynb", as_version=4)
    nbformat.validate(book)
    os.environ["WINDROW_FLEET"] = str(FLEET)
    nbclient.NotebookClient(book, timeout=120, kernel_name="python3").execute()
    told = "".join(output.get("text", "") for cell in book.cells for output in cell.get("outputs", []))
    machines = ask("SELECT count(*) FROM assets")[0][0]
    assert f"{machines} machines" in told, told


def main():
    counts = committed()
    for step in [lambda: delta_tables(counts), lambda: as_shown(counts), lambda: exports(counts), names, events, notebook]:
        step()
    print(f"pandas {pandas.__version__}, DuckDB {duckdb.__version__}, Polars {polars.__version__}: all agree")


if __name__ == "__main__":
    main()

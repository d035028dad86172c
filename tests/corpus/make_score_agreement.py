#!/usr/bin/env python3
"""Writes agreement/: imports, faulty in known ways, with what score_import.py counts of them. `cargo test -p xtask` holds the counters of
`cargo xtask score` against these. Run it again when score_import.py or its self-test changes. Standard library only.

    bench   every case of test_score_import.py that rows of an import can express
    corpus  a part of the open corpus, imported with many faults at a time: one case a kind of fault, and all of them together
"""
import copy, json, os, random, sys
sys.dont_write_bytecode = True
HERE = os.path.dirname(os.path.abspath(__file__)); sys.path.insert(0, HERE)
import test_score_import as TS

OUT = os.path.join(HERE, "agreement")
READING = ["test_id", "quantity", "circuit", "elapsed_s", "applied_voltage_v", "value", "bound", "as_reported", "source_file",
           "source_sheet", "source_cell", "flags", "asset_id", "performed_on", "performed_precision", "winding_temperature_c", "winding_temperature_basis",
           "test_voltage_v", "test_voltage_basis", "duplicate_of"]
FILES_OF_CORPUS = 9

def rows(d):
    """What a fleet would answer, as far as counting needs it; None where no row can say so."""
    readings = []
    for r in d["readings"]:
        r = {k: r.get(k) for k in READING}
        try: r["value"] = float(r["value"])
        except (TypeError, ValueError): return None
        if r["value"] in (float("inf"), float("-inf")) or not str(r["source_file"]).startswith("files/"): return None
        r["source_file"] = r["source_file"][len("files/"):]
        readings.append({k: v for k, v in r.items() if v is not None})
    short = lambda x, keys: {k: (x.get(k) or "").removeprefix("files/") if k == "source_file" else x.get(k) for k in keys}
    # Other folders and other ways of writing an address are the script's to understand: rows in memory have neither.
    odd = lambda x: not str(x["source_file"]).startswith("files/") or any(c in str(x.get("source_cell") or "") for c in "$! ")
    if any(odd(x) for x in d["holds"] + d["cells"] + d["readings"]): return None
    holds = [short(h, ["source_file", "source_sheet", "source_cell"]) for h in d["holds"] if not h.get("resolved_by")]
    held = [short(c, ["source_file", "source_sheet", "source_cell"]) for c in d["cells"] if c["disposition"] == "held"]
    return {"readings": readings, "holds": holds, "held": held}

def golden(j):
    styles = {s: {k: n for k, n in sorted(c.items()) if n and not k.startswith("sheets_")} for s, c in sorted(j["styles"].items())}
    return {"styles": styles, "bcubed": j["bcubed"], "duplicates": j["duplicates"]}

def write(name, truth, notr, cases):
    folder = os.path.join(OUT, name); os.makedirs(folder, exist_ok=True)
    for part, lines in (("truth", truth), ("notreadings", notr), ("cases", cases)):
        with open(os.path.join(folder, part + ".jsonl"), "w", encoding="utf-8") as f:
            f.writelines(json.dumps(x, ensure_ascii=False, separators=(",", ":")) + "\n" for x in lines)
    print(f"{name}: {len(truth)} truths, {len(cases)} cases")

def bench():
    kept, recorded, skipped = TS.Bench.run, [], []
    def run(self, d, *extra, truth=None):
        code, j = kept(self, d, *extra, truth=truth)
        r = rows(d) if j is not None and truth is None and "no_list_flags" not in d else None
        (recorded.append({"rows": r, "golden": golden(j)}) if r else skipped.append(code))
        run.bench = self
        return code, j
    TS.Bench.run = run
    try: TS.main()
    except SystemExit: pass
    TS.Bench.run = kept
    b = run.bench
    write("bench", b.truth, b.notr, [{"name": f"case {i + 1}", **c} for i, c in enumerate(recorded)])
    print(f"  {len(skipped)} cases are about files, queries or texts and not about rows")

def load(name):
    with open(os.path.join(HERE, "open", name), encoding="utf-8") as f: return [json.loads(x) for x in f if x.strip()]

FAULTS = {
    "values": lambda r, rng: r.update(value=repr(float(r["value"]) * 1000)),
    "values owned up to": lambda r, rng: r.update(value=repr(float(r["value"]) / 1000), flags="['unit_assumed']"),
    "circuits": lambda r, rng: r.update(circuit=rng.choice(["U-E", "V-E", "W-U", None])),
    "times": lambda r, rng: r.update(elapsed_s=rng.choice([30, 600, None])),
    "dates": lambda r, rng: r.update(performed_on=rng.choice(["1999-01-02", None]), performed_precision=rng.choice(["day", "month", "year"])),
    "temperatures": lambda r, rng: r.update(winding_temperature_c=rng.choice([55.5, None]), winding_temperature_basis=rng.choice(["measured", "assumed"])),
    "voltages": lambda r, rng: r.update(applied_voltage_v=rng.choice([1234, None]), test_voltage_basis=rng.choice(["recorded", "assumed"])),
    "bounds": lambda r, rng: r.update(bound="at_least", flags=rng.choice(["[]", "['bound_assumed']"])),
    "quantities": lambda r, rng: r.update(quantity="winding_resistance"),
    "machines": lambda r, rng: r.update(asset_id=rng.choice(["uuid-one", "uuid-two", None])),
    "flags": lambda r, rng: r.update(flags="['date_order_assumed' 'ditto']"),
}

def corpus():
    truth, notr, counts = load("truth.jsonl"), load("notreadings.jsonl"), load("cellcounts.jsonl")
    rng = random.Random(7)
    due = sorted({t["file"] for t in truth if t["expect"] == "hold"})[:3]
    twice = sorted({t["file"] for t in truth if t.get("dup")})[:2]
    few = {f for f in {t["file"] for t in truth} if sum(t["file"] == f for t in truth) <= 40}
    files = set(due + twice) | set(rng.sample(sorted(few), FILES_OF_CORPUS - 5))
    truth, notr = ([x for x in lines if x["file"] in files] for lines in (truth, notr))
    # A few of each file keep the data small; copies of one test stay together.
    truth = [t for i, t in enumerate(truth) if t["expect"] == "hold" or t.get("dup") or i % 6 == 0]
    b = TS.Bench()
    for n, lines in (("truth", truth), ("notreadings", notr), ("cellcounts", [])):
        with open(os.path.join(b.truthdir, n + ".jsonl"), "w", encoding="utf-8") as f: f.writelines(json.dumps(x) + "\n" for x in lines)
    perfect, cases = TS.answers(truth, notr, []), []
    def case(name, change):
        d = copy.deepcopy(perfect); change(d)
        _, j = b.run(d)
        cases.append({"name": name, "rows": rows(d), "golden": golden(j)})
    def fault(name, every):
        def change(d):
            for i, r in enumerate(d["readings"]):
                if i % every == 0: FAULTS[name](r, rng)
        return change
    def lost(d):
        gone = [r for i, r in enumerate(d["readings"]) if i % 4 == 0]
        d["readings"] = [r for i, r in enumerate(d["readings"]) if i % 4]
        for i, r in enumerate(gone):
            if i % 3 == 0: d["holds"].append({k: r[k] for k in ("source_file", "source_sheet", "source_cell")})
            if i % 3 == 1: d["holds"].append({"source_file": r["source_file"], "source_sheet": r["source_sheet"], "source_cell": None})
    def answered(d):
        """What must be asked is stored instead, with and without a flag."""
        for i, t in enumerate(x for x in truth if x["expect"] == "hold"):
            r = dict(perfect["readings"][0], source_file="files/" + t["file"], source_sheet=t["sheet"], source_cell=t["cell"] or f"{t['line']}:1", reading_id=f"g{i}",
                     quantity=t["quantity"], circuit=t["circuit"], value="1e9", flags="['unit_assumed' 'date_order_assumed']" if i % 2 else "[]")
            d["readings"].append(r)
        d["holds"] = d["holds"][::2]; d["cells"] = [c for c in d["cells"] if c["disposition"] != "held"]
    def false(d):
        for i, n in enumerate(notr):
            if n.get("cell"): d["readings"].append(dict(d["readings"][0], source_file="files/" + n["file"], source_sheet=n["sheet"], source_cell=n["cell"], reading_id=f"f{i}"))
        d["readings"].append(dict(d["readings"][0], source_cell="ZZ99", reading_id="nowhere"))
        d["readings"].append(dict(d["readings"][0], source_cell="ZZ98", reading_id="aux", quantity="temperature"))
    def copies(d):
        first = d["readings"][0]["test_id"]
        for r in d["readings"]: r["duplicate_of"] = first if r["test_id"] != first and r["test_id"].endswith("3") else None
    case("perfect", lambda d: None)
    for name in FAULTS: case(name, fault(name, 3))
    for name, change in (("lost", lost), ("answered", answered), ("false", false), ("copies", copies)): case(name, change)
    case("everything", lambda d: [change(d) for change in [fault(n, k + 4) for k, n in enumerate(FAULTS)] + [lost, answered, false]])
    write("corpus", truth, notr, cases)

bench()
corpus()

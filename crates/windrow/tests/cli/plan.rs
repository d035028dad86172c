//! `windrow plan`: what is due, as a list, as a calendar, and as sheets that read back.

use super::{ask, demo, folder, on, windrow};
use std::collections::BTreeMap;
use std::fs;
use std::io::{Cursor, Read, Write};
use std::path::Path;

/// Rows of the plan as objects.
fn plan(fleet: &Path, arguments: &[&str]) -> Vec<serde_json::Value> {
    let said = on(fleet, "plan", &[arguments, &["--format", "json"]].concat());
    assert_eq!(said.status, Some(0), "{}", said.err);
    serde_json::from_str(&said.out).unwrap()
}

/// A fleet of one file of invented records.
fn fleet_of(text: &str) -> tempfile::TempDir {
    let records = folder();
    fs::write(records.path().join("log.csv"), text).unwrap();
    let fleet = folder();
    on(fleet.path(), "run", &[records.path().to_str().unwrap()]);
    fleet
}

const LOG: &str = "Motor,Rated voltage V,Winding,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n\
                   A-1,480,random,2024-03-10,25,500,700\nA-2,480,random,2024-11-20,25,500,700\n";

/// Yearly by default (CP-05: common practice once or twice a year, no source).
#[test]
fn tests_are_due_a_year_after_the_last_and_never_silently_dropped() {
    let fleet = fleet_of(LOG);
    let standing = |day: &str| -> Vec<String> {
        let rows = plan(fleet.path(), &["--on", day, "--within", "0"]);
        let told = |row: &serde_json::Value| {
            format!(
                "{} {} {}",
                row["tag"].as_str().unwrap(),
                row["test"].as_str().unwrap(),
                row["standing"].as_str().unwrap()
            )
        };
        rows.iter().map(told).collect()
    };
    let winding = ["A-1 winding_resistance never tested", "A-2 winding_resistance never tested"];
    assert_eq!(standing("2025-03-09"), winding, "a day before");
    assert_eq!(standing("2025-03-10"), [winding[0], "A-1 insulation_resistance due", winding[1]], "on the day");
    assert_eq!(standing("2025-03-11"), [winding[0], "A-1 insulation_resistance overdue", winding[1]], "a day after");
    for row in plan(fleet.path(), &["--on", "2025-03-10"]) {
        for field in ["asks", "before", "cannot_see", "caution", "due_on"] {
            assert!(row[field].as_str().is_some_and(|text| !text.is_empty()), "{field}: {row}");
        }
    }
    let table = on(fleet.path(), "plan", &["--on", "2025-03-10"]);
    for needed in ["Cautions", "above the dew point", "discharged", "isolated", "500 V DC; IEEE 43-2013"] {
        assert!(table.out.contains(needed), "{needed}: {}", table.out);
    }
}

#[test]
fn intervals_are_the_sites_and_an_unknown_kind_is_refused() {
    let fleet = fleet_of(LOG);
    fs::write(fleet.path().join("windrow.toml"), "[plan.months]\nsurge = 36\ninsulation_resistance = 6\n").unwrap();
    let rows = plan(fleet.path(), &["--on", "2025-03-10", "--within", "0"]);
    let of_first: Vec<&str> =
        rows.iter().filter(|row| row["tag"] == "A-1").map(|row| row["test"].as_str().unwrap()).collect();
    assert_eq!(of_first, ["insulation_resistance", "surge"], "insulation resistance before every high voltage");
    fs::write(fleet.path().join("windrow.toml"), "[plan.months]\nhipot = 12\n").unwrap();
    let refused = on(fleet.path(), "plan", &[]);
    assert_eq!(refused.status, Some(2));
    assert!(refused.err.contains("hipot") && refused.err.contains("dc_withstand"), "{}", refused.err);
}

/// RFC 5545: lines end with CR LF and are at most 75 octets long (3.1), events have UID and DTSTAMP (3.6.1), a whole day is a DATE
/// (3.3.4).
#[test]
fn the_calendar_is_one_of_rfc_5545_with_cautions_in_every_event() {
    let (fleet, _) = demo();
    let arguments = ["--on", "2025-06-01", "--format", "calendar"];
    let said = on(fleet, "plan", &arguments);
    assert!(
        said.out.starts_with("BEGIN:VCALENDAR\r\nVERSION:2.0\r\nPRODID:") && said.out.ends_with("END:VCALENDAR\r\n")
    );
    assert!(said.out.split("\r\n").all(|line| line.len() <= 75 && !line.contains('\n')));
    let unfolded = said.out.replace("\r\n ", "");
    let events = unfolded.matches("BEGIN:VEVENT").count();
    assert!(events > 0 && events == plan(fleet, &["--on", "2025-06-01"]).len());
    for field in ["UID:", "DTSTAMP:20250601T000000Z", "DTSTART;VALUE=DATE:", "SUMMARY:", "Cautions:"] {
        assert_eq!(unfolded.matches(field).count(), events, "{field}");
    }
    let past =
        unfolded.lines().filter_map(|line| line.strip_prefix("DTSTART;VALUE=DATE:")).filter(|day| *day < "20250601");
    assert_eq!(past.count(), 0, "nobody looks for work in the past");
    assert_eq!(on(fleet, "plan", &arguments).out, said.out, "same plan, same bytes");
}

/// The parts of a workbook by name.
fn parts(workbook: &[u8]) -> BTreeMap<String, Vec<u8>> {
    let mut archive = zip::ZipArchive::new(Cursor::new(workbook)).unwrap();
    (0..archive.len())
        .map(|index| {
            let mut file = archive.by_index(index).unwrap();
            let (name, mut bytes) = (file.name().unwrap().into_owned(), Vec::new());
            file.read_to_end(&mut bytes).unwrap();
            (name, bytes)
        })
        .collect()
}

/// A number as the content of a cell.
fn number(value: f64) -> String {
    format!("><v>{value}</v>")
}

/// A text as the content of a cell.
fn text(value: &str) -> String {
    format!(" t=\"inlineStr\"><is><t>{value}</t></is>")
}

/// What a person does with a sheet: writes beside labels; `written` has the label in column A and what goes into B, C, …; a label that
/// comes again means the next line of that label.
fn fill(workbook: &[u8], sheet: &str, written: &[(&str, &[String])]) -> Vec<u8> {
    let mut parts = parts(workbook);
    let texts = String::from_utf8(parts["xl/sharedStrings.xml"].clone()).unwrap();
    let texts: Vec<&str> =
        texts.split("<si>").skip(1).map(|item| item.split('>').nth(1).unwrap().split('<').next().unwrap()).collect();
    let name = format!("xl/worksheets/{}.xml", part_of(&parts, sheet));
    let mut xml = String::from_utf8(parts[&name].clone()).unwrap();
    for (place, (label, contents)) in written.iter().enumerate() {
        let index = texts.iter().position(|text| text == label);
        let again = written[..place].iter().filter(|(before, _)| before == label).count();
        let mut rows = (1..60).filter(|row| {
            let cell = xml.split(&format!("<c r=\"A{row}\"")).nth(1).and_then(|rest| rest.split("</c>").next());
            let value = cell.and_then(|cell| cell.split("<v>").nth(1)).and_then(|rest| rest.split("</v>").next());
            match (cell.is_some_and(|cell| cell.contains("t=\"s\"")), value) {
                (true, value) => value.and_then(|value| value.parse().ok()) == index && index.is_some(),
                (false, value) => value == Some(*label),
            }
        });
        let row = rows.nth(again);
        let columns = ["B", "C", "D", "E"].iter();
        for (column, content) in columns.zip(contents.iter()).filter(|(_, content)| !content.is_empty()) {
            let start = format!("<c r=\"{column}{}\"", row.unwrap());
            let (before, after) = xml.split_once(&start).unwrap();
            let (style, rest) = after.split_once("/>").unwrap();
            xml = format!("{before}{start}{style}{content}</c>{rest}");
        }
    }
    parts.insert(name, xml.into_bytes());
    let mut out = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in parts {
        out.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        out.write_all(&bytes).unwrap();
    }
    out.finish().unwrap().into_inner()
}

/// `sheet2` for the second sheet of a workbook, by its name.
fn part_of(parts: &BTreeMap<String, Vec<u8>>, sheet: &str) -> String {
    let book = String::from_utf8(parts["xl/workbook.xml"].clone()).unwrap();
    let names: Vec<&str> = book.split("<sheet name=\"").skip(1).map(|rest| rest.split('"').next().unwrap()).collect();
    format!("sheet{}", names.iter().position(|name| *name == sheet).unwrap() + 1)
}

/// The demo's sheet of FB-CH-01 with the ending `.xlsx` or `.html`.
fn sheet_of_chiller(folder: &Path, ending: &str) -> std::path::PathBuf {
    let mut files = fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path());
    files.find(|path| path.to_string_lossy().contains("FB-CH-01") && path.to_string_lossy().ends_with(ending)).unwrap()
}

/// Imports a filled-in workbook into a fleet of its own: nothing is asked, nothing is left unread.
fn read_back(filled: Vec<u8>) -> tempfile::TempDir {
    let records = folder();
    fs::write(records.path().join("sheet.xlsx"), filled).unwrap();
    let fleet = folder();
    let said = windrow(["run", records.path().to_str().unwrap(), "--fleet", fleet.path().to_str().unwrap()]);
    let open = ask(fleet.path(), "SELECT question, raw_text, context FROM holds");
    assert_eq!(open, Vec::<String>::new(), "{}", said.out);
    assert_eq!(said.status, Some(0), "nothing is held or unread: {}{}", said.out, said.err);
    fleet
}

/// 2026-06-02 as a serial number of the workbook's calendar.
const DAY: f64 = 46175.0;

#[test]
fn a_filled_in_sheet_reads_back_without_a_question() {
    let (demo, _) = demo();
    let sheets = folder();
    let said = on(demo, "plan", &["--on", "2026-06-01", "--sheets", sheets.path().to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let page = fs::read_to_string(sheet_of_chiller(sheets.path(), ".html")).unwrap();
    for needed in ["FB-CH-01", "Last results", "IEEE 43-2013", "Cautions", "Insulation tests can kill", "dew point"] {
        assert!(page.contains(needed), "{needed}");
    }
    // DC-09: charged for 10 min, earthed for 40 min.
    assert!(page.contains("Charged for 10 min, the winding stays earthed for at least 40 min"));
    assert!(!page.contains("<script") && !page.contains("http"));

    let workbook = fs::read(sheet_of_chiller(sheets.path(), ".xlsx")).unwrap();
    let one = |value: f64| [number(value)];
    let filled = fill(
        &workbook,
        "Insulation resistance",
        &[
            ("Date", &one(DAY)),
            ("Test voltage (V)", &one(5000.0)),
            ("Winding temperature (°C)", &one(31.0)),
            ("Relative humidity (%)", &one(48.0)),
            ("0.5", &one(610.0)),
            ("1", &one(800.0)),
            ("10", &one(2510.0)),
        ],
    );
    let filled = fill(
        &filled,
        "Winding resistance",
        &[
            ("Date", &one(DAY)),
            ("Winding temperature (°C)", &one(31.0)),
            ("U-V", &one(0.5021)),
            ("V-W", &one(0.5043)),
            ("W-U", &one(0.5102)),
        ],
    );
    let fleet = read_back(filled);
    let read = ask(
        fleet.path(),
        "SELECT a.tag, t.performed_on, t.winding_temperature_c, r.quantity, r.circuit, r.elapsed_s, r.value FROM readings r \
         JOIN tests t ON r.test_id = t.test_id JOIN assets a ON a.asset_id = t.asset_id ORDER BY r.quantity, r.seq, r.value",
    );
    assert_eq!(
        read,
        [
            "FB-CH-01,2026-06-02,31,insulation_resistance,UVW-E,30,610000000",
            "FB-CH-01,2026-06-02,31,insulation_resistance,UVW-E,60,800000000",
            "FB-CH-01,2026-06-02,31,insulation_resistance,UVW-E,600,2510000000",
            "FB-CH-01,2026-06-02,31,winding_resistance,U-V,,0.5021",
            "FB-CH-01,2026-06-02,31,winding_resistance,V-W,,0.5043",
            "FB-CH-01,2026-06-02,31,winding_resistance,W-U,,0.5102",
        ]
    );
}

/// The demo with an interval for one kind of test, and the chiller's workbook and page for it.
fn sheet_for(kind: &str) -> (Vec<u8>, String) {
    let fleet = folder();
    on(fleet.path(), "run", &[super::SAMPLES]);
    fs::write(fleet.path().join("windrow.toml"), format!("[plan.months]\n{kind} = 12\n")).unwrap();
    let sheets = folder();
    let said = on(fleet.path(), "plan", &["--on", "2026-06-01", "--sheets", sheets.path().to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let workbook = fs::read(sheet_of_chiller(sheets.path(), ".xlsx")).unwrap();
    (workbook, fs::read_to_string(sheet_of_chiller(sheets.path(), ".html")).unwrap())
}

const TRIALS: &str = "SELECT t.kind, t.performed_on, t.winding_temperature_c, r.quantity, r.circuit, r.applied_voltage_v, r.value, r.outcome \
     FROM readings r JOIN tests t ON r.test_id = t.test_id JOIN assets a ON a.asset_id = t.asset_id WHERE a.tag = 'FB-CH-01' \
     ORDER BY r.quantity, r.seq";

/// IEEE maintenance guidance, quoted second-hand: 1.25 to 1.5 E times 1.7 in service; E is the chiller's 6600 V.
#[test]
fn a_withstand_sheet_carries_levels_and_cautions_and_reads_back() {
    let (workbook, page) = sheet_for("dc_withstand");
    for needed in [
        "14025",
        "16830",
        "Insulation tests can kill",
        "Before the test",
        "no order to test",
        "What the test cannot see",
    ] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let row = |microamperes: f64, told: &str| [number(14.0), number(microamperes), text(told)];
    let fleet = read_back(fill(
        &workbook,
        "DC withstand test",
        &[
            ("Date", &[number(DAY)]),
            ("Winding temperature (°C)", &[number(31.0)]),
            ("U-E", &row(1.2, "withstood")),
            ("V-E", &row(1.3, "withstood")),
            ("W-E", &row(9.8, "broke down")),
        ],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "dc_withstand,2026-06-02,31,leakage_current,U-E,14000,1.2e-6,withstood",
            "dc_withstand,2026-06-02,31,leakage_current,V-E,14000,1.3e-6,withstood",
            "dc_withstand,2026-06-02,31,leakage_current,W-E,14000,9.8e-6,broke_down",
        ]
    );
    let withstood = ask(fleet.path(), "SELECT withstood, max_voltage_v FROM test_summary");
    assert_eq!(withstood, ["false,14000"]);
}

#[test]
fn a_step_sheet_carries_cautions_and_reads_back_with_its_last_step() {
    let (workbook, page) = sheet_for("dc_step");
    for needed in ["Insulation tests can kill", "DC step test", "at the end at most 14025 to 16830 V DC"] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let step = |kilovolts: f64, microamperes: f64, told: &str| {
        let told = if told.is_empty() { None } else { Some(text(told)) };
        [number(kilovolts), number(microamperes)].into_iter().chain(told).collect::<Vec<String>>()
    };
    let fleet = read_back(fill(
        &workbook,
        "DC step test",
        &[
            ("Date", &[number(DAY)]),
            ("Winding temperature (°C)", &[number(31.0)]),
            ("1", &step(2.0, 0.31, "")),
            ("2", &step(4.0, 0.66, "")),
            ("3", &step(6.0, 1.05, "")),
            ("4", &step(8.0, 2.9, "stopped")),
        ],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "dc_step,2026-06-02,31,leakage_current,UVW-E,2000,3.1e-7,",
            "dc_step,2026-06-02,31,leakage_current,UVW-E,4000,6.6e-7,",
            "dc_step,2026-06-02,31,leakage_current,UVW-E,6000,1.05e-6,",
            "dc_step,2026-06-02,31,leakage_current,UVW-E,8000,2.9e-6,stopped",
        ]
    );
    assert_eq!(
        ask(fleet.path(), "SELECT withstood FROM test_summary"),
        ["false"],
        "a test that was stopped withstood nothing"
    );
}

/// The paper on ramp testing raises 1 kV a minute (verified); the level is that of a direct voltage in service, as for steps.
#[test]
fn a_ramp_sheet_carries_cautions_and_reads_back_as_a_ramp() {
    let (workbook, page) = sheet_for("dc_ramp");
    for needed in ["Insulation tests can kill", "DC ramp test", "at the end at most 14025 to 16830 V DC"] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let point = |kilovolts: f64, microamperes: f64| [number(kilovolts), number(microamperes)];
    let fleet = read_back(fill(
        &workbook,
        "DC ramp test",
        &[
            ("Date", &[number(DAY)]),
            ("Winding temperature (°C)", &[number(31.0)]),
            ("1", &point(2.0, 0.31)),
            ("2", &point(4.0, 0.66)),
            ("3", &[number(6.0), number(2.9), text("stopped")]),
        ],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "dc_ramp,2026-06-02,31,leakage_current,UVW-E,2000,3.1e-7,",
            "dc_ramp,2026-06-02,31,leakage_current,UVW-E,4000,6.6e-7,",
            "dc_ramp,2026-06-02,31,leakage_current,UVW-E,6000,2.9e-6,stopped",
        ]
    );
}

/// IEEE maintenance guidance, quoted second-hand: 1.25 to 1.5 E in service; E is the chiller's 6600 V.
#[test]
fn an_alternating_withstand_sheet_carries_levels_and_cautions_and_reads_back() {
    let (workbook, page) = sheet_for("ac_withstand");
    for needed in ["AC withstand test", "8250 to 9900 V rms", "Insulation tests can kill", "no order to test"] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let row = |milliamperes: f64, told: &str| [number(8.3), number(milliamperes), text(told)];
    let fleet = read_back(fill(
        &workbook,
        "AC withstand test",
        &[
            ("Date", &[number(DAY)]),
            ("U-E", &row(412.0, "withstood")),
            ("V-E", &row(415.0, "withstood")),
            ("W-E", &row(409.0, "broke down")),
        ],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "ac_withstand,2026-06-02,,leakage_current,U-E,8300,0.412,withstood",
            "ac_withstand,2026-06-02,,leakage_current,V-E,8300,0.415,withstood",
            "ac_withstand,2026-06-02,,leakage_current,W-E,8300,0.409,broke_down",
        ]
    );
    // Where no current is read, the voltage itself is the reading.
    let row = |told: &str| [number(8.3), String::new(), text(told)];
    let fleet = read_back(fill(
        &workbook,
        "AC withstand test",
        &[("Date", &[number(DAY)]), ("U-E", &row("withstood")), ("V-E", &row("withstood")), ("W-E", &row("withstood"))],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "ac_withstand,2026-06-02,,voltage,U-E,8300,8300,withstood",
            "ac_withstand,2026-06-02,,voltage,V-E,8300,8300,withstood",
            "ac_withstand,2026-06-02,,voltage,W-E,8300,8300,withstood",
        ]
    );
}

/// IEEE 522, quoted second-hand: 2.625 pu in service, pu = √(2/3)·6600 V, that is 14146 V.
#[test]
fn a_surge_sheet_carries_levels_and_cautions_and_reads_back() {
    let (workbook, page) = sheet_for("surge");
    for needed in ["14146", "IEEE 522", "Insulation tests can kill"] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let row = |kilovolts: f64, difference: f64| [number(kilovolts), number(difference), text("pass")];
    let fleet = read_back(fill(
        &workbook,
        "Surge test",
        &[("Date", &[number(DAY)]), ("U-V", &row(14.1, 1.1)), ("V-W", &row(14.1, 2.0)), ("W-U", &row(14.0, 1.4))],
    ));
    assert_eq!(
        ask(fleet.path(), TRIALS),
        [
            "surge,2026-06-02,,surge_difference,U-V,14100,0.011,withstood",
            "surge,2026-06-02,,surge_difference,V-W,14100,0.02,withstood",
            "surge,2026-06-02,,surge_difference,W-U,14000,0.014,withstood",
            "surge,2026-06-02,,surge_peak_voltage,U-V,,14100,withstood",
            "surge,2026-06-02,,surge_peak_voltage,V-W,,14100,withstood",
            "surge,2026-06-02,,surge_peak_voltage,W-U,,14000,withstood",
        ]
    );
}

/// IEC 60034-27-3 (from memory): steps of 0.2 E, E being the chiller's 6600 V; no limit is claimed for a winding in service.
#[test]
fn a_dissipation_sheet_carries_its_steps_and_reads_back() {
    let (workbook, page) = sheet_for("dissipation_factor");
    for needed in [
        "Dissipation factor test",
        "1320 to 6600 V rms in equal steps",
        "no limit is claimed for a winding in service",
        "Insulation tests can kill",
        "no order to test",
        "What the test cannot see",
    ] {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let row = |kilovolts: f64, percent: f64, nanofarads: f64| [number(kilovolts), number(percent), number(nanofarads)];
    let fleet = read_back(fill(
        &workbook,
        "Dissipation factor test",
        &[
            ("Date", &[number(DAY)]),
            ("Winding temperature (°C)", &[number(31.0)]),
            ("U-E", &row(1.32, 1.62, 182.1)),
            ("U-E", &row(6.6, 2.35, 184.0)),
            ("V-E", &row(1.32, 1.6, 181.6)),
            ("V-E", &row(6.6, 2.2, 183.2)),
        ],
    ));
    let read = ask(
        fleet.path(),
        "SELECT t.kind, t.performed_on, t.winding_temperature_c, r.quantity, r.circuit, r.applied_voltage_v, r.value FROM readings r \
         JOIN tests t ON r.test_id = t.test_id ORDER BY r.quantity, r.circuit, r.applied_voltage_v",
    );
    let line = |quantity: &str, circuit: &str, volts: u32, value: &str| {
        format!("dissipation_factor,2026-06-02,31,{quantity},{circuit},{volts},{value}")
    };
    assert_eq!(
        read,
        [
            line("capacitance", "U-E", 1320, "1.821e-7"),
            line("capacitance", "U-E", 6600, "1.84e-7"),
            line("capacitance", "V-E", 1320, "1.816e-7"),
            line("capacitance", "V-E", 6600, "1.832e-7"),
            line("dissipation_factor", "U-E", 1320, "0.0162"),
            line("dissipation_factor", "U-E", 6600, "0.0235"),
            line("dissipation_factor", "V-E", 1320, "0.016"),
            line("dissipation_factor", "V-E", 6600, "0.022"),
        ]
    );
}

/// Circuit geometry: service puts 6600 V / √3 on the ground wall. Figures of two instruments cannot be compared, and the sheet says so.
#[test]
fn a_discharge_sheet_carries_its_voltage_and_reads_back() {
    let (workbook, page) = sheet_for("partial_discharge");
    for needed in
        ["Partial discharge test", "3811 V rms", "no limit of a single value is claimed", "Insulation tests can kill"]
    {
        assert!(page.contains(needed), "{needed}: {page}");
    }
    let row = |charge: f64, on: f64, off: f64| [number(3.81), number(charge), number(on), number(off)];
    let fleet = read_back(fill(
        &workbook,
        "Partial discharge test",
        &[
            ("Date", &[number(DAY)]),
            ("Relative humidity (%)", &[number(48.0)]),
            ("Instrument", &[text("bridge 2, coupler 1 nF")]),
            ("U-E", &row(850.0, 2.9, 2.4)),
            ("V-E", &row(790.0, 3.1, 2.5)),
            ("W-E", &row(3200.0, 1.8, 1.5)),
        ],
    ));
    let read = ask(
        fleet.path(),
        "SELECT t.kind, r.quantity, r.circuit, r.applied_voltage_v, r.value FROM readings r JOIN tests t ON r.test_id = t.test_id \
         ORDER BY r.quantity, r.circuit",
    );
    // The charge was read at the test's voltage; an inception is where it began, whatever was put on afterwards.
    assert_eq!(
        read,
        [
            "partial_discharge,pd_extinction_voltage,U-E,,2400",
            "partial_discharge,pd_extinction_voltage,V-E,,2500",
            "partial_discharge,pd_extinction_voltage,W-E,,1500",
            "partial_discharge,pd_inception_voltage,U-E,,2900",
            "partial_discharge,pd_inception_voltage,V-E,,3100",
            "partial_discharge,pd_inception_voltage,W-E,,1800",
            "partial_discharge,pd_magnitude,U-E,3810,8.5e-10",
            "partial_discharge,pd_magnitude,V-E,3810,7.9e-10",
            "partial_discharge,pd_magnitude,W-E,3810,3.2e-9",
        ]
    );
}

#[test]
fn a_blank_sheet_tells_no_reading() {
    let (demo, _) = demo();
    let sheets = folder();
    on(demo, "plan", &["--on", "2026-06-01", "--sheets", sheets.path().to_str().unwrap()]);
    let fleet = folder();
    on(fleet.path(), "import", &[sheets.path().to_str().unwrap()]);
    assert_eq!(ask(fleet.path(), "SELECT count(*) FROM readings"), ["0"]);
}

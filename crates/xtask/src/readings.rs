//! `readings`: what an import makes of each number, one line each, to be held against what the pages say.

use std::collections::BTreeMap;
use std::path::Path;
use windrow_importer::{Hands, Intake};
use windrow_model::rows::{Asset, Reading, Test};
use windrow_model::settings::Settings;
use windrow_pipeline::{Rows, rows_of, understand_all};
use windrow_source::Limits;

/// Imports a folder in memory and prints readings, questions and what was not read.
pub(crate) fn run(folder: &Path) -> anyhow::Result<()> {
    let registry = windrow_plugins::registry()?;
    let (settings, limits) = (Settings::default(), Limits::default());
    let intake =
        Intake { registry: &registry, settings: &settings, limits: &limits, hands: Hands::Threads(2), recall: None };
    let rows = rows_of(understand_all(&[folder.to_owned()], intake, &mut |_| {}), &settings, &[]);
    let assets: BTreeMap<&str, &Asset> = rows.assets.iter().map(|asset| (asset.asset_id.as_str(), asset)).collect();
    let tests: BTreeMap<&str, &Test> = rows.tests.iter().map(|test| (test.test_id.as_str(), test)).collect();
    for source in &rows.sources {
        println!("== {} ({})", source.source_file, source.status);
        for reading in rows.readings.iter().filter(|reading| reading.source_file == source.source_file) {
            if let Some(test) = tests.get(reading.test_id.as_str()) {
                let asset = test.asset_id.as_ref().and_then(|id| assets.get(id.as_str()));
                println!("{}", line(reading, test, asset.map_or("?", |asset| asset.tag.as_str())));
            }
        }
        rest(&rows, &source.source_file);
    }
    Ok(())
}

/// All that is known of one reading; what is not told is left out.
fn line(reading: &Reading, test: &Test, tag: &str) -> String {
    let place = format!("{}{}", sheet(reading.source_sheet.as_deref()), reading.source_cell);
    let date = test.performed_on.map_or_else(|| "no date".to_owned(), |date| date.to_string());
    let mut parts = vec![
        format!("{place} {:?}", reading.raw_text),
        tag.to_owned(),
        format!("{date} {}", test.performed_precision),
        reading.quantity.to_string(),
        reading.circuit.as_deref().unwrap_or("-").to_owned(),
        format!("{} {} {}", reading.value, reading.unit, reading.bound),
    ];
    let mut told = |name: &str, value: Option<String>| parts.extend(value.map(|value| format!("{name} {value}")));
    told("after s", reading.elapsed_s.map(|seconds| seconds.to_string()));
    told("V", reading.applied_voltage_v.map(|volts| volts.to_string()));
    told("winding C", test.winding_temperature_c.map(|c| format!("{c:.1} {}", test.winding_temperature_basis)));
    told("ambient C", test.ambient_temperature_c.map(|c| format!("{c:.1}")));
    told("RH", test.relative_humidity_pct.map(|percent| percent.to_string()));
    told("reported", Some(reading.as_reported.to_string()).filter(|reported| reported != "as_read"));
    told("to C", reading.reported_reference_c.map(|c| c.to_string()));
    told("stage", test.stage.as_ref().map(ToString::to_string));
    told("outcome", test.reported_outcome.as_ref().map(|outcome| format!("{outcome:?}")));
    told("remarks", test.remarks.as_ref().map(|remarks| format!("{remarks:?}")));
    parts.join(" | ")
}

fn sheet(name: Option<&str>) -> String {
    name.map(|name| format!("[{name}] ")).unwrap_or_default()
}

/// Questions about a file, and its cells that nobody read.
fn rest(rows: &Rows, file: &str) {
    for hold in rows.holds.iter().filter(|hold| hold.source_file == file) {
        let place = hold.source_cell.as_deref().unwrap_or("all of it");
        let sheet = sheet(hold.source_sheet.as_deref());
        println!("? {} {sheet}{place} {:?}: {} {:?}", hold.question, hold.raw_text, hold.context, hold.choices);
    }
    for cell in rows.cells.iter().filter(|cell| cell.source_file == file) {
        let (sheet, reason) = (sheet(cell.source_sheet.as_deref()), cell.reason.as_deref().unwrap_or_default());
        match cell.disposition.as_str() {
            "unread" => println!("unread {sheet}{} {:?}: {reason}", cell.source_cell, cell.raw_text),
            "derived" => println!("derived {sheet}{} {:?}: {reason}", cell.source_cell, cell.raw_text),
            _ => {}
        }
    }
}

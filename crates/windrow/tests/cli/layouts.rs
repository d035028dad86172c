//! Layout files: drafted, used by imports, and telling what they miss.

use crate::{ask, folder, on, windrow};
use std::fs;

/// A log in words that no vocabulary here has.
const LOG: &str = "Kone,Pvm,Lukema\nKM-101,1994-03-04,850\nKM-102,1994-03-05,900\nKM-103,1994-03-06,950\n";
const LAYOUT: &str = "[[layout]]\n[[layout.table]]\n\
    [[layout.table.column]]\nunder = [\"Kone\"]\nis = \"tag\"\n\
    [[layout.table.column]]\nunder = [\"Pvm\"]\nis = \"date\"\n\
    [[layout.table.column]]\nunder = [\"Lukema\"]\nis = \"insulation_resistance\"\nunit = \"MOhm\"\n";

#[test]
fn a_layout_file_teaches_a_log_and_says_what_it_misses_when_the_log_changes() {
    let folder = folder();
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    fs::create_dir_all(&records).unwrap();
    fs::write(records.join("log.csv"), LOG).unwrap();
    let records_text = records.to_str().unwrap();
    on(&fleet, "import", &[records_text]);
    assert_eq!(ask(&fleet, "SELECT count(*) FROM readings"), ["0"]);
    fs::write(fleet.join("layouts/pumppaamo.toml"), LAYOUT).unwrap();
    on(&fleet, "import", &[records_text]);
    assert_eq!(
        ask(&fleet, "SELECT value, flags FROM readings ORDER BY value LIMIT 1"),
        ["850000000,layout_file no_temperature"]
    );
    let derivation = on(&fleet, "query", &["SELECT derivation FROM readings LIMIT 1", "--format", "json"]).out;
    assert!(
        derivation.contains("told by") && derivation.contains("layout file") && derivation.contains("pumppaamo"),
        "{derivation}"
    );
    fs::write(records.join("log.csv"), LOG.replace("Lukema", "Mittaus")).unwrap();
    let said = on(&fleet, "import", &[records_text]);
    assert!(said.out.contains("layouts") && said.out.contains("no cell reads \"Lukema\""), "{}", said.out);
    let seen = on(&fleet, "inspect", &[records.join("log.csv").to_str().unwrap()]);
    assert!(seen.out.contains("no cell reads \"Lukema\""), "{}", seen.out);
    fs::write(fleet.join("layouts/pumppaamo.toml"), LAYOUT.replace("MOhm", "Megs")).unwrap();
    let said = on(&fleet, "import", &[records_text]);
    assert!(said.status != Some(0) && said.err.contains("pumppaamo") && said.err.contains("UCUM"), "{}", said.err);
}

#[test]
fn a_drafted_layout_reads_its_file_as_before() {
    let folder = folder();
    let (file, fleet) = (folder.path().join("log.csv"), folder.path().join("fleet"));
    fs::write(
        &file,
        "Tag,Date,1 min MOhm,10 min MOhm,Winding °C\nP-1,1994-03-04,850,2100,21\nP-2,1994-03-05,900,2300,23\n",
    )
    .unwrap();
    let file = file.to_str().unwrap();
    on(&fleet, "import", &[file]);
    let sql = "SELECT source_cell, value, elapsed_s, quantity FROM readings ORDER BY source_cell";
    let before = ask(&fleet, sql);
    assert_eq!(before.len(), 4);
    let said = windrow(["inspect", file, "--draft-layout"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert!(said.out.contains("elapsed_s = 60.0") && said.out.starts_with('#'), "{}", said.out);
    fs::write(fleet.join("layouts/draft.toml"), &said.out).unwrap();
    on(&fleet, "import", &[file]);
    assert_eq!(ask(&fleet, sql), before);
    assert_eq!(ask(&fleet, "SELECT DISTINCT flags FROM readings"), ["layout_file"]);
}

//! Machines as the program shows them: one of them with what sources tell differently, and all beside an equipment list. All invented.

use crate::{folder, on, windrow};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

const LIST: &str = "Equipment,Tag,Functional location,Parent,kW,Volts\n\
                    10004711,P-1,OAK-10-PMP-001,OAK-10,450,6600\n\
                    10004712,P-2,OAK-10-PMP-002,OAK-10,450,3300\n\
                    10004713,G-9,OAK-20-GEN-001,OAK-20,800,6600\n";
const LOG: &str =
    "Motor,kW,Volts,Date,IR MOhm\np 1,450,6600,2001-02-03,910\nP-2,450,6600,2001-02-03,880\nX-5,22,400,2001-02-03,70\n";

fn fleet(within: &Path, files: &[(&str, &str)]) -> PathBuf {
    let (records, fleet) = (within.join("records"), within.join("fleet"));
    fs::create_dir_all(&records).unwrap();
    for (name, text) in files {
        fs::write(records.join(name), text).unwrap();
    }
    let said = windrow(["import", records.to_str().unwrap(), "--fleet", fleet.to_str().unwrap()]);
    assert!(said.status.is_some_and(|status| status <= 1), "{}", said.err);
    fleet
}

#[test]
fn one_machine_shows_its_place_and_every_value_that_sources_tell() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("list.csv", LIST), ("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["P-2"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    for told in
        ["OAK-10-PMP-002", "10004712", "list.csv A3", "3300 V", "6600 V", "log.csv C3", "the equipment list tells it"]
    {
        assert!(said.out.contains(told), "{told} is not in\n{}", said.out);
    }
}

#[test]
fn an_equipment_list_is_compared_with_the_records_in_every_form() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("list.csv", LIST), ("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["--compare-list", "--format", "json"]);
    assert_eq!(said.status, Some(1), "a conflict waits: {}", said.err);
    let rows: Value = serde_json::from_str(&said.out).unwrap();
    let mut states: Vec<(&str, &str)> = rows
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["tag"].as_str().unwrap(), row["state"].as_str().unwrap()))
        .collect();
    states.sort_unstable();
    assert_eq!(
        states,
        [("G-9", "only in the list"), ("P-1", "matched"), ("P-2", "conflict"), ("X-5", "only in the records")]
    );
    let csv = on(&fleet, "assets", &["--compare-list", "--format", "csv"]);
    assert!(csv.out.contains("10004711,P-1") || csv.out.contains("10004711\",\"P-1"), "{}", csv.out);
    assert!(on(&fleet, "assets", &["--compare-list"]).out.contains("only in the records"));
}

#[test]
fn without_a_list_there_is_nothing_to_compare_and_the_program_says_what_to_do() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["--compare-list"]);
    assert_eq!(said.status, Some(0));
    assert!(said.err.contains("equipment list") && said.out.is_empty(), "{}", said.err);
}

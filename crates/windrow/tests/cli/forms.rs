//! Output in the forms that are asked for, and help.

use crate::{SAMPLES, demo, folder, on, windrow};
use serde_json::Value;
use std::fs;

const SQL: &str = "SELECT tag, aliases, serial_number FROM assets ORDER BY tag LIMIT 2";

#[test]
fn a_query_answers_as_table_csv_json_and_parquet() {
    let (fleet, _) = demo();
    let table = on(fleet, "query", &[SQL]);
    assert!(table.out.lines().any(|line| line.contains("tag") && line.contains("aliases")), "{}", table.out);
    let csv = on(fleet, "query", &[SQL, "--format", "csv"]);
    assert_eq!(csv.out.lines().next(), Some("tag,aliases,serial_number"));
    assert_eq!(csv.out.lines().count(), 3);
    let json: Value = serde_json::from_str(&on(fleet, "query", &[SQL, "--format", "json"]).out).unwrap();
    assert_eq!(json.as_array().unwrap().len(), 2);
    assert!(json[0]["aliases"].is_array(), "lists stay lists");
    let folder = folder();
    let file = folder.path().join("assets.parquet");
    let said = on(fleet, "query", &[SQL, "--format", "parquet", "--out", file.to_str().unwrap()]);
    assert_eq!((said.status, said.out.as_str()), (Some(0), ""));
    // The magic number at both ends: Apache Parquet format specification, "File Format".
    let bytes = fs::read(file).unwrap();
    assert!(bytes.starts_with(b"PAR1") && bytes.ends_with(b"PAR1"));
}

#[test]
fn a_statement_that_is_wrong_is_wrong_usage_and_says_what_is_known() {
    let (fleet, _) = demo();
    let said = on(fleet, "query", &["SELECT * FROM machines"]);
    assert_eq!(said.status, Some(2));
    assert!(said.err.contains("machines") && said.err.contains("assets"), "{}", said.err);
    assert_eq!(on(fleet, "query", &["SELEC 1"]).status, Some(2));
    assert_eq!(on(fleet, "query", &["SELECT colour FROM assets"]).status, Some(2));
    assert_eq!(on(fleet, "query", &["SELECT 1", "--format", "xml"]).status, Some(2));
}

#[test]
fn plugins_are_listed_in_every_form() {
    let json: Value = serde_json::from_str(&windrow(["plugins", "--format", "json"]).out).unwrap();
    let plugins = json.as_array().unwrap();
    assert!(plugins.iter().any(|plugin| plugin["id"] == "row-log" && plugin["kind"] == "importer"));
    assert!(plugins.iter().any(|plugin| plugin["id"] == "workbook" && plugin["kind"] == "reader"));
    for plugin in plugins {
        assert!(
            ["version", "reads", "summary"].iter().all(|key| plugin[key].as_str().is_some_and(|text| !text.is_empty()))
        );
    }
    let (table, csv) = (windrow(["plugins"]), windrow(["plugins", "--format", "csv"]));
    assert_eq!(table.out.lines().count(), plugins.len() + 1);
    assert_eq!(csv.out.lines().count(), plugins.len() + 1);
    assert_eq!((table.status, csv.status), (Some(0), Some(0)));
}

#[test]
fn inspecting_tells_who_reads_what_and_stores_nothing() {
    let folder = folder();
    let file = format!("{SAMPLES}/contractors/protokoll_2009.csv");
    let run = |form: &str| {
        let mut command = crate::program();
        let said: crate::Said =
            command.args(["inspect", &file, "--format", form]).current_dir(folder.path()).output().unwrap().into();
        assert_eq!(said.status, Some(0), "{}", said.err);
        said.out
    };
    let page = run("table");
    for words in ["opened by delimited-text", "read by row-log", "because every row tells", "unread   0 cells"] {
        assert!(page.contains(words), "{words}: {page}");
    }
    let json: Value = serde_json::from_str(&run("json")).unwrap();
    assert_eq!(json["regions"][0]["importer"], "row-log");
    let cells = json["cells"].as_array().unwrap().len();
    assert_eq!(run("csv").lines().count(), cells + 1);
    assert_eq!(fs::read_dir(folder.path()).unwrap().count(), 0, "nothing is stored");
}

#[test]
fn inspecting_a_held_file_says_so() {
    let said = windrow(["inspect", &format!("{SAMPLES}/store_room/round_without_unit.xlsx")]);
    assert_eq!(said.status, Some(1));
    assert!(said.out.contains("asked: "), "{}", said.out);
    let missing = windrow(["inspect", "no/such/book.xlsx"]);
    assert_eq!(missing.status, Some(3));
    assert!(missing.err.contains("no/such/book.xlsx"), "{}", missing.err);
}

#[test]
fn every_shell_gets_its_completions() {
    for shell in ["bash", "elvish", "fish", "powershell", "zsh"] {
        let said = windrow(["completions", shell]);
        assert_eq!(said.status, Some(0), "{shell}");
        assert!(said.out.contains("windrow") && said.out.contains("inspect"), "{shell}");
    }
}

#[test]
fn help_teaches_and_wrong_usage_is_told() {
    let help = windrow(["--help"]);
    assert_eq!(help.status, Some(0));
    assert!(help.out.contains("Examples:") && help.out.contains("Exit status:"), "{}", help.out);
    let words: Vec<&str> = help.out.split_whitespace().collect();
    assert!(words.join(" ").contains("local codes and licensed practice"), "cautions come with it");
    for command in ["run", "import", "analyze", "report", "query", "inspect", "completions"] {
        assert!(windrow([command, "--help"]).out.contains("Example"), "{command} has an example");
    }
    for wrong in [&["run"][..], &["run", "x"], &["imprt", "x"], &["query", "--fleet", "f"], &["plugins", "--colour"]] {
        let said = windrow(wrong);
        assert_eq!(said.status, Some(2), "{wrong:?}");
        assert!(said.err.contains("Usage") || said.err.contains("--help"), "{}", said.err);
    }
    assert!(windrow(["--version"]).out.starts_with("windrow "));
}

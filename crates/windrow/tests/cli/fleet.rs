//! Statistics of the fleet: the command and the SQL of `schema/sql/` give the same numbers.

use crate::{demo, folder, on};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

const SQL: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../schema/sql");
const KEYS: [&str; 3] = ["rating_class", "winding_kind", "insulation_era"];

/// Rows by cohort: each a column's number, or `None` where it is empty.
type Numbers = BTreeMap<Vec<String>, BTreeMap<String, Option<f64>>>;

/// No field of these answers holds a comma.
fn numbers(csv: &str) -> Numbers {
    let mut lines =
        csv.lines().map(|line| line.split(',').map(|cell| cell.trim_matches('"').to_owned()).collect::<Vec<_>>());
    let header = lines.next().unwrap();
    lines
        .map(|cells| {
            let row: BTreeMap<String, String> = header.iter().cloned().zip(cells).collect();
            let key = KEYS.iter().map(|name| row[*name].clone()).collect();
            let values = row.iter().filter(|(name, _)| !KEYS.contains(&name.as_str()));
            (key, values.map(|(name, cell)| (name.clone(), cell.parse().ok())).collect())
        })
        .collect()
}

/// Asserts that each figure of each SQL file is that of the command, and returns how many were compared.
fn agree(fleet: &Path) -> usize {
    let ours = numbers(&on(fleet, "fleet", &["--format", "csv"]).out);
    assert!(!ours.is_empty());
    let mut compared = 0;
    let mut files: Vec<_> = fs::read_dir(SQL).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    for file in files {
        let said = on(fleet, "query", &["--file", file.to_str().unwrap(), "--format", "csv"]);
        assert_eq!(said.status, Some(0), "{}: {}", file.display(), said.err);
        for (key, figures) in numbers(&said.out) {
            for (name, figure) in figures {
                let expected = &ours[&key][&name];
                let same = match (figure, expected) {
                    (Some(a), Some(b)) => (a - b).abs() <= 1e-9 * b.abs(),
                    (None, None) => true,
                    _ => false,
                };
                assert!(same, "{}: {name} of {key:?}: {figure:?} by SQL, {expected:?} by the command", file.display());
                compared += 1;
            }
        }
    }
    compared
}

#[test]
fn the_sql_gives_the_numbers_of_the_command() {
    assert!(agree(&demo().0) >= 20, "figures of the demo");
}

/// Readings at the end of the range, machines without nameplate, with one test, all readings equal, and a cohort of one.
#[test]
fn ceilings_and_poor_records_give_the_same_numbers_either_way() {
    let folder = folder();
    let (records, fleet) = (folder.path().join("log.csv"), folder.path().join("fleet"));
    let rows = "Motor,Volts,Made,Date,Winding temp °C,IR 1 min MOhm,IR 10 min MOhm\n\
                A,400,1995,2001-02-03,40,>2000,>2000\nB,400,1995,2001-02-03,40,850,1700\nC,400,1995,2001-02-03,40,2.5,2.6\n\
                D,400,1995,2001-02-03,40,850,1900\nE,400,1995,2001-02-03,40,>200,\nE,400,1995,1999-02-03,40,12,\n\
                F,,,2001-02-03,40,77,\nG,6600,1995,2001-02-03,40,>5,>5\nH,400,1995,,40,1,2\nI,4.16,1995,2001-02-03,40,9,9\n";
    fs::write(&records, rows).unwrap();
    on(&fleet, "run", &[records.to_str().unwrap()]);
    assert!(agree(&fleet) > 20);
    // By hand, machines A to E of 400 V at their newest: 2.5, ≥ 200, 850, 850, ≥ 2000: P(X > 2.5) = 4/5, P(X > 850) = 4/5 · 1/3.
    let all = numbers(&on(&fleet, "fleet", &["--format", "csv"]).out);
    let low = all.iter().find(|(key, _)| key[0] == "to 1 kV").unwrap().1;
    assert_eq!(low["resistance_q10_ohm"], Some(2.5e6), "{low:?}");
    assert_eq!(low["resistance_q50_ohm"], Some(850e6), "{low:?}");
    assert_eq!(low["resistance_q90_ohm"], None, "above the ceilings");
    let table = on(&fleet, "fleet", &[]);
    assert!(table.status == Some(0) && table.out.contains("above the ceilings"), "{}", table.out);
    let json: serde_json::Value = serde_json::from_str(&on(&fleet, "fleet", &["--format", "json"]).out).unwrap();
    assert!(json.as_array().unwrap().iter().any(|row| row["resistance_q90_ohm"].is_null()));
}

#[test]
fn a_statement_in_a_file_that_is_not_there_is_told() {
    let (fleet, _) = demo();
    let said = on(fleet, "query", &["--file", "nowhere.sql"]);
    assert!(said.status == Some(2) && said.err.contains("nowhere.sql"), "{}", said.err);
    assert_eq!(on(fleet, "query", &["SELECT 1", "--file", "x.sql"]).status, Some(2));
    assert_eq!(on(fleet, "query", &[]).status, Some(2));
}

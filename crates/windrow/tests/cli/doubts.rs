//! Records that cannot be true: noted with a proposed ruling; a person who puts it into decisions.toml gets what it promises. All records are
//! invented.

use crate::{ask, folder, on};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

/// Records, a fleet made of them, and the same again with what a finding proposes.
struct Case {
    records: PathBuf,
    fleet: PathBuf,
    _folder: tempfile::TempDir,
}

impl Case {
    fn of(files: &[(&str, String)]) -> Self {
        let folder = folder();
        let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
        fs::create_dir_all(&records).unwrap();
        for (name, text) in files {
            fs::write(records.join(name), text).unwrap();
        }
        let case = Self { records, fleet, _folder: folder };
        case.run();
        case
    }

    fn run(&self) {
        let said = on(&self.fleet, "run", &[self.records.to_str().unwrap()]);
        assert!(said.status.is_some_and(|status| status <= 1), "{}{}", said.out, said.err);
    }

    /// State of the findings of a rule.
    fn states(&self, rule: &str) -> Vec<String> {
        ask(&self.fleet, &format!("SELECT state FROM findings WHERE rule = '{rule}'"))
    }

    /// Agrees with what the one finding of a rule proposes, and imports again.
    fn agree(&self, rule: &str) {
        assert_eq!(self.states(rule), ["open"], "{rule}: {:?}", rules(&self.fleet));
        let sql = format!("SELECT proposal FROM findings WHERE rule = '{rule}'");
        let said = on(&self.fleet, "query", &[&sql, "--format", "json"]);
        let rows: Value = serde_json::from_str(&said.out).unwrap();
        let proposal = rows[0]["proposal"].as_str().unwrap();
        fs::write(self.fleet.join("decisions.toml"), proposal).unwrap();
        self.run();
        assert_eq!(self.states(rule), ["cleared"], "{rule} after\n{proposal}");
    }
}

fn rules(fleet: &Path) -> Vec<String> {
    ask(fleet, "SELECT rule, statement FROM findings")
}

fn log(head: &str, rows: &[String]) -> String {
    format!("{head}\n{}\n", rows.join("\n"))
}

#[test]
fn fahrenheit_under_a_heading_of_celsius() {
    let rows: Vec<String> = [(68, 70, 410), (72, 75, 380), (75, 79, 395), (64, 66, 450)]
        .iter()
        .enumerate()
        .map(|(year, (air, winding, ir))| format!("P-1,400,{}-05-06,{winding},{air},{ir}", 2001 + year))
        .collect();
    let case = Case::of(&[("log.csv", log("Motor,Volts,Date,Winding temp °C,Ambient temp °C,IR 1 min MOhm", &rows))]);
    case.agree("fahrenheit_as_celsius");
    let told = ask(&case.fleet, "SELECT winding_temperature_c FROM tests ORDER BY performed_on");
    let first: f64 = told[0].parse().unwrap();
    assert!((first - (70.0 - 32.0) / 1.8).abs() < 1e-9, "{told:?}");
}

#[test]
fn a_log_in_gigohms_under_a_heading_of_megohms() {
    let machines = [("M-11", 850.0), ("M-12", 120.0), ("M-13", 2300.0)];
    let rows = |years: std::ops::Range<i32>, scale: f64| -> Vec<String> {
        let of_year = |year: i32| {
            machines.map(|(tag, level)| {
                format!("{tag},400,{year}-05-06,{}", level * scale * (1.0 + f64::from(year % 3) / 10.0))
            })
        };
        years.flat_map(of_year).collect()
    };
    let head = "Motor,Volts,Date,IR 1 min MOhm";
    let case = Case::of(&[("a.csv", log(head, &rows(1998..2002, 1.0))), ("b.csv", log(head, &rows(2002..2005, 1e-3)))]);
    case.agree("column_slip");
    let newest = ask(&case.fleet, "SELECT value FROM readings WHERE source_file = 'b.csv' ORDER BY value");
    assert!(newest[4].parse::<f64>().is_ok_and(|ohm| (8e8..1.1e9).contains(&ohm)), "{newest:?}");
}

#[test]
fn readings_at_the_end_of_a_range() {
    let rows: Vec<String> = ["2000", "850", "2000", "123", "2000", "1450", "64", "2000", "910"]
        .iter()
        .enumerate()
        .map(|(number, ir)| format!("M{},400,{}-05-06,meter 3,{ir}", number % 4, 1990 + number))
        .collect();
    let case = Case::of(&[("log.csv", log("Motor,Volts,Date,Instrument,IR 1 min MOhm", &rows))]);
    case.agree("hidden_ceiling");
    assert_eq!(
        ask(&case.fleet, "SELECT bound, count(*) FROM readings GROUP BY bound ORDER BY bound"),
        ["at_least,4", "exact,5"]
    );
}

#[test]
fn two_phases_swapped() {
    let rows: Vec<String> = [
        (0.990, 1.000, 1.010),
        (0.991, 1.000, 1.009),
        (1.010, 1.000, 0.990),
        (0.990, 1.001, 1.010),
        (0.989, 1.000, 1.011),
    ]
    .iter()
    .enumerate()
    .map(|(year, (uv, vw, wu))| format!("P-1,400,{}-05-06,{uv:.3},{vw:.3},{wu:.3}", 2001 + year))
    .collect();
    let case = Case::of(&[(
        "log.csv",
        log("Motor,Volts,Date,Winding resistance U-V Ohm,Winding resistance V-W Ohm,Winding resistance W-U Ohm", &rows),
    )]);
    case.agree("swapped_phases");
}

#[test]
fn one_and_ten_minutes_swapped() {
    let rows: Vec<String> = [
        ("M-11", 2510, 800),
        ("M-12", 900, 310),
        ("M-13", 640, 200),
        ("M-11", 2100, 700),
        ("M-12", 950, 300),
        ("M-13", 600, 210),
    ]
    .iter()
    .enumerate()
    .map(|(number, (tag, one, ten))| format!("{tag},400,{}-05-06,{one},{ten}", 2001 + number / 3))
    .collect();
    let case = Case::of(&[("log.csv", log("Motor,Volts,Date,IR 1 min MOhm,IR 10 min MOhm", &rows))]);
    case.agree("swapped_times");
    assert_eq!(ask(&case.fleet, "SELECT count(*) FROM test_summary WHERE polarization_index < 1"), ["0"]);
}

#[test]
fn readings_copied_from_year_to_year() {
    let rows: Vec<String> = (2001..2006)
        .flat_map(|year| {
            [format!("P-1,400,{year}-05-06,847"), format!("P-2,400,{year}-05-06,{}", 411 + (year * 37) % 83)]
        })
        .collect();
    let case = Case::of(&[("log.csv", log("Motor,Volts,Date,IR 1 min MOhm", &rows))]);
    case.agree("copied_forward");
    assert_eq!(ask(&case.fleet, "SELECT count(*) FROM readings"), ["6"], "the first of them stays");
}

#[test]
fn one_date_with_day_and_month_swapped() {
    let days = ["2001-01-20", "2001-02-14", "2001-05-03", "2001-03-28", "2001-04-20", "2001-06-09", "2001-07-18"];
    let rows: Vec<String> =
        days.iter().enumerate().map(|(number, day)| format!("M{number},400,{day},{}", 700 + 13 * number)).collect();
    let case = Case::of(&[("log.csv", log("Motor,Volts,Date,IR 1 min MOhm", &rows))]);
    case.agree("day_month_swapped");
    assert_eq!(ask(&case.fleet, "SELECT count(*) FROM tests WHERE performed_on = '2001-03-05'"), ["1"]);
}

#[test]
fn a_motor_younger_than_its_tests() {
    let rows = ["P-1,400,1997,1988-05-06,640".to_owned(), "P-1,400,1997,1999-05-06,615".to_owned()];
    let case = Case::of(&[("log.csv", log("Motor,Volts,Made,Date,IR 1 min MOhm", &rows))]);
    assert_eq!(case.states("before_manufacture"), ["open"], "{:?}", rules(&case.fleet));
}

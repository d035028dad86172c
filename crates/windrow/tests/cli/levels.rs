//! `windrow levels` and `windrow limits`: figures with basis and cautions, or a refusal that explains itself.

use super::{ask, demo, folder, on, windrow};
use std::fs;

#[test]
fn a_rating_gives_levels_with_basis_and_cautions() {
    let said = windrow(["levels", "--voltage", "480", "--winding", "random", "--service", "new"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    // Common practice, no source: about 500 V for the resistance test, 2 E + 1000 V for the high-potential level.
    for needed in
        ["500 V DC", "1960 V rms", "3332 V DC", "turn to turn", "cannot see", "Cautions", "Insulation tests can kill"]
    {
        assert!(said.out.contains(needed), "{needed}: {}", said.out);
    }
    for line in
        said.out.lines().filter(|line| line.contains(" V rms") || line.contains(" V DC") || line.contains(" V peak"))
    {
        assert!(line.contains(", rule "), "a level without its basis: {line}");
    }
}

#[test]
fn in_service_levels_come_as_json_with_all_that_belongs_to_them() {
    let said =
        windrow(["levels", "--voltage", "13.8kV", "--winding", "form", "--service", "in-service", "--format", "json"]);
    let rows: Vec<serde_json::Value> = serde_json::from_str(&said.out).unwrap();
    let service = rows.iter().find(|row| row["rule"] == "DC-SERVICE").unwrap();
    // HP-06 and HP-07: 1.7 × 1.25 E and 1.7 × 1.5 E.
    assert_eq!((&service["value"], &service["up_to"]), (&"29325".into(), &"35190".into()));
    for row in &rows {
        for field in ["test", "asks", "stresses", "cannot_see", "caution"] {
            assert!(row[field].as_str().is_some_and(|text| !text.is_empty()), "{field}: {row}");
        }
        let decided = row["value"] != "";
        assert!(!decided || row["basis"] != "" && row["known"] != "", "{row}");
        let asks = row["asks"].as_str().unwrap();
        let unlimited = asks.starts_with("no limit ");
        assert!(decided || unlimited || asks.contains("not decided"), "{row}");
        assert!(unlimited || row["rule"] != "", "{row}");
    }
    // What a test is for stands there whether or not anybody gives a figure.
    for kind in ["dc_step", "dc_ramp", "dissipation_factor", "partial_discharge"] {
        assert!(rows.iter().any(|row| row["test"] == kind && row["basis"] != ""), "{kind}");
    }
}

#[test]
fn the_preference_decides_the_order_and_hides_nothing() {
    for (prefer, first) in [("ieee", "AC-NEMA"), ("iec", "AC-IEC"), ("repair", "AC-NEMA")] {
        let arguments = [
            "levels",
            "--voltage",
            "230",
            "--power-kw",
            "4",
            "--service",
            "new",
            "--prefer",
            prefer,
            "--format",
            "csv",
        ];
        let said = windrow(arguments);
        let of_test = |line: &&str| line.starts_with("\"ac_withstand\"");
        let lines: Vec<&str> = said.out.lines().filter(of_test).collect();
        assert!(lines[0].contains(&format!("rule {first} ")), "{prefer}: {lines:?}");
        // HP-09 and HP-10: IEC's least value of 1500 V beside 1460 V.
        assert!(
            lines.iter().any(|line| line.contains("\"1500\"")) && lines.iter().any(|line| line.contains("\"1460\""))
        );
    }
}

#[test]
fn what_cannot_be_a_rated_voltage_is_refused_and_explained() {
    for (volts, told) in [
        ("4.16", "kilovolts typed as volts (4160 V)"),
        ("277", "phase voltage of a machine of 480 V"),
        ("0", "is not a voltage"),
        ("-480", "is not a voltage"),
        ("NaN", "is not a voltage"),
        ("high", "is no voltage such as 480"),
    ] {
        let said = windrow(["levels", &format!("--voltage={volts}")]);
        assert_eq!((said.status, said.out.as_str()), (Some(2), ""), "{volts}");
        assert!(said.err.contains(told), "{volts}: {}", said.err);
    }
    let confirmed = windrow(["levels", "--voltage", "277", "--line-to-line"]);
    assert_eq!(confirmed.status, Some(0), "{}", confirmed.err);
    assert_eq!(windrow(["levels"]).status, Some(2), "neither a machine nor a rating");
}

#[test]
fn a_machine_of_the_fleet_gets_levels_or_the_reason_why_not() {
    let (fleet, _) = demo();
    let named = ask(fleet, "SELECT asset_id FROM assets WHERE rated_voltage_v = 6600 ORDER BY asset_id LIMIT 1");
    let said = on(fleet, "levels", &[&named[0]]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert!(said.out.contains("6600 V") && said.out.contains("2500 to 5000 V DC"), "{}", said.out);

    let records = folder();
    fs::write(
        records.path().join("plates.csv"),
        "Motor,Rated voltage V,Date,IR MOhm\nQ-1,4.16,2001-02-03,700\nQ-2,277,2001-02-03,700\nQ-3,480,2001-02-03,700\n",
    )
    .unwrap();
    let fleet = folder();
    on(fleet.path(), "import", &[records.path().to_str().unwrap()]);
    let low = on(fleet.path(), "levels", &["Q-1"]);
    assert_eq!((low.status, low.out.as_str()), (Some(1), ""), "{}", low.err);
    assert!(low.err.contains("kilovolts") && low.err.contains("windrow.toml"), "{}", low.err);
    assert_eq!(on(fleet.path(), "levels", &["Q-2"]).status, Some(1));
    assert_eq!(on(fleet.path(), "levels", &["Q-3"]).status, Some(0));
    fs::write(fleet.path().join("windrow.toml"), "[judging]\nline_voltages = [277.0, 4.16]\nstandards = \"iec\"\n")
        .unwrap();
    let confirmed = on(fleet.path(), "levels", &["Q-2"]);
    assert!(confirmed.out.contains("IEC first"), "{}{}", confirmed.out, confirmed.err);
    assert_eq!(on(fleet.path(), "levels", &["Q-1"]).status, Some(1), "nobody can confirm 4.16 V");
}

#[test]
fn a_limit_is_explained_with_formula_source_and_worked_example() {
    let list = windrow(["limits", "--format", "csv"]);
    assert!(list.out.lines().count() > 60, "{}", list.out);
    let said = windrow(["limits", "ac-nema"]);
    for needed in ["2 E + 1000 V", "NEMA MG 1", "from memory", "480 V: 1960 V rms", "caution"] {
        assert!(said.out.contains(needed), "{needed}: {}", said.out);
    }
    let unknown = windrow(["limits", "AC-NOBODY"]);
    assert_eq!(unknown.status, Some(2));
    assert!(unknown.err.contains("windrow limits"), "{}", unknown.err);
}

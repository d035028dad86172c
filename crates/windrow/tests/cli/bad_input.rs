//! What cannot be: a clear error, and nothing half written.

use crate::{SAMPLES, count, folder, log_of, on};
use std::fs;

#[test]
fn a_path_that_does_not_exist_stops_the_import_by_name() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    on(&fleet, "import", &[&format!("{SAMPLES}/absorption")]);
    let before = count(&fleet, "SELECT count(*) FROM sources");
    let said = on(&fleet, "import", &[&format!("{SAMPLES}/contractors"), "recrods"]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("recrods") && said.err.contains("check the path"), "{}", said.err);
    assert_eq!(count(&fleet, "SELECT count(*) FROM sources"), before);
}

#[test]
fn a_folder_without_files_is_told() {
    let folder = folder();
    fs::create_dir(folder.path().join("empty")).unwrap();
    let said = on(&folder.path().join("fleet"), "run", &[folder.path().join("empty").to_str().unwrap()]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("there is no file below"), "{}", said.err);
}

#[test]
fn a_file_over_a_limit_is_listed_with_the_setting_that_raises_it() {
    let folder = folder();
    let (fleet, records) = (folder.path().join("fleet"), folder.path().join("a.csv"));
    fs::write(&records, log_of("P-10", 500)).unwrap();
    fs::create_dir(&fleet).unwrap();
    fs::write(fleet.join("windrow.toml"), "[opening]\ncells = 3\n").unwrap();
    let said = on(&fleet, "import", &[records.to_str().unwrap()]);
    assert!(said.out.contains("a.csv") && said.out.contains("cells under [opening]"), "{}", said.out);
    assert_eq!(count(&fleet, "SELECT count(*) FROM readings"), 0);
    fs::write(fleet.join("windrow.toml"), "").unwrap();
    on(&fleet, "import", &[records.to_str().unwrap()]);
    assert!(count(&fleet, "SELECT count(*) FROM readings") > 0, "without the setting the same file is read");
}

#[cfg(unix)]
#[test]
fn a_folder_that_may_not_be_read_is_told_or_listed() {
    use std::os::unix::fs::PermissionsExt;
    let folder = folder();
    let (records, closed) = (folder.path().join("records"), folder.path().join("records/closed"));
    fs::create_dir_all(&closed).unwrap();
    fs::write(records.join("a.csv"), log_of("P-10", 500)).unwrap();
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o000)).unwrap();
    // Who may read everything cannot be kept out: nothing to see then.
    if fs::read_dir(&closed).is_err() {
        let fleet = folder.path().join("fleet");
        let said = on(&fleet, "import", &[records.to_str().unwrap()]);
        assert_eq!(said.status, Some(1), "the rest is imported: {}", said.err);
        assert!(said.out.lines().any(|line| line.contains("closed: the folder cannot be read")), "{}", said.out);
        let said = on(&fleet, "import", &[closed.to_str().unwrap()]);
        assert_eq!(said.status, Some(3), "named by itself it stops the import");
        assert!(said.err.contains("permissions"), "{}", said.err);
    }
    fs::set_permissions(&closed, fs::Permissions::from_mode(0o755)).unwrap();
}

#[test]
fn a_fleet_of_a_newer_schema_is_left_alone() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    on(&fleet, "import", &[&format!("{SAMPLES}/absorption")]);
    fs::write(fleet.join("store/schema_version"), "99\n").unwrap();
    for (command, argument) in [("import", SAMPLES), ("run", SAMPLES), ("query", "SELECT 1")] {
        let said = on(&fleet, command, &[argument]);
        assert_eq!(said.status, Some(3), "{command}");
        assert!(said.err.contains("schema version 99") && said.err.contains("newer program"), "{}", said.err);
    }
    for command in ["analyze", "report"] {
        assert_eq!(on(&fleet, command, &[]).status, Some(3), "{command}");
    }
    assert!(!fleet.join("report.html").exists());
    fs::write(fleet.join("store/schema_version"), "1\n").unwrap();
    assert_eq!(count(&fleet, "SELECT count(*) FROM sources"), 2, "it was not touched");
}

#[test]
fn a_place_that_is_no_fleet_is_told() {
    let folder = folder();
    fs::write(folder.path().join("letter.txt"), "x").unwrap();
    let file = folder.path().join("letter.txt");
    let said = on(folder.path(), "import", &[SAMPLES]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("letter.txt") && said.err.contains("new or empty folder"), "{}", said.err);
    assert!(!folder.path().join("store").exists(), "nothing is written there");
    assert_eq!(on(&file, "import", &[SAMPLES]).status, Some(3));
    let said = on(&folder.path().join("none"), "query", &["SELECT 1"]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("windrow import"), "says how to begin: {}", said.err);
}

#[test]
fn settings_that_are_wrong_are_told_with_their_line() {
    let folder = folder();
    fs::write(folder.path().join("windrow.toml"), "[reading]\ndate_order = \"american\"\n").unwrap();
    let said = on(folder.path(), "import", &[SAMPLES]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("windrow.toml, line 2") && said.err.contains("month-first"), "{}", said.err);
}

/// `/dev/full` answers every write as a full disk does (Linux, full(4)).
#[cfg(target_os = "linux")]
#[test]
fn a_full_disk_under_the_report_is_told() {
    let (fleet, _) = crate::demo();
    let said = on(fleet, "report", &["--out", "/dev/full"]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("/dev/full") && said.err.contains("check the disk"), "{}", said.err);
    let said = on(fleet, "query", &["SELECT * FROM tests", "--out", "/dev/full"]);
    assert_eq!(said.status, Some(3), "{}", said.err);
}

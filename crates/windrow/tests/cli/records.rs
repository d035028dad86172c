//! Records in two files: a configuration and its samples.

use crate::{ask, folder, on, windrow};
use std::fs;
use std::path::Path;

const PAIRS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../plugins/comtrade/samples");

/// Copies a pair under one name, as recorders write them.
fn lay(pair: &str, folder: &Path) {
    fs::create_dir_all(folder).unwrap();
    fs::copy(format!("{PAIRS}/{pair}.cfg"), folder.join("RUN1.CFG")).unwrap();
    fs::copy(format!("{PAIRS}/{pair}-samples.dat"), folder.join("run1.dat")).unwrap();
}

#[test]
fn a_configuration_and_its_samples_become_waveforms_and_both_are_accounted_for() {
    let folder = folder();
    let (records, fleet) = (folder.path().join("records"), folder.path().join("fleet"));
    lay("pair-2013", &records);
    let said = on(&fleet, "import", &[records.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}{}", said.out, said.err);
    assert!(said.out.contains("4 waveforms"), "{}", said.out);
    let rows =
        ask(&fleet, "SELECT channel, circuit, unit, sample_interval_s, source_file FROM waveforms ORDER BY channel");
    assert_eq!(rows[0], "U U-E,U-E,V,0.00025,run1.dat");
    assert_eq!(rows.len(), 4);
    let sources = ask(&fleet, "SELECT source_file, status, reader, cells_unread FROM sources ORDER BY source_file");
    assert_eq!(sources, ["RUN1.CFG,read,comtrade,0", "run1.dat,read,comtrade,0"]);
    let test = ask(&fleet, "SELECT kind, performed_on, a.tag FROM tests t JOIN assets a ON a.asset_id = t.asset_id");
    assert_eq!(test, ["waveform,2015-03-14,PM-102"]);
    // Half of the samples: said, flagged, and what is there is kept.
    let samples = fs::read(records.join("run1.dat")).unwrap();
    fs::write(records.join("run1.dat"), &samples[..samples.len() / 2]).unwrap();
    let said = on(&fleet, "import", &[records.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}{}", said.out, said.err);
    let reason = ask(&fleet, "SELECT reason FROM sources WHERE source_file = 'run1.dat'");
    assert!(reason[0].contains("the configuration tells 24 samples, and the data hold 12"), "{reason:?}");
    assert_eq!(ask(&fleet, "SELECT DISTINCT flags FROM waveforms"), ["cut_short"]);
    // Without the samples the configuration says what it lacks, and what was read of them is kept.
    fs::remove_file(records.join("run1.dat")).unwrap();
    on(&fleet, "import", &[records.to_str().unwrap()]);
    assert_eq!(ask(&fleet, "SELECT count(*) FROM waveforms"), ["4"]);
    on(&fleet, "import", &[records.to_str().unwrap(), "--forget-missing"]);
    assert_eq!(ask(&fleet, "SELECT count(*) FROM waveforms"), ["0"]);
    let reason = ask(&fleet, "SELECT reason FROM sources");
    assert!(reason[0].contains("no file of samples (.dat)"), "{reason:?}");
}

#[test]
fn inspecting_one_of_two_shows_both() {
    let folder = folder();
    lay("pair-1999", folder.path());
    let said = windrow(["inspect", folder.path().join("RUN1.CFG").to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}{}", said.out, said.err);
    assert!(
        said.out.contains("it was read together with run1.dat") && said.out.contains("4 waveforms"),
        "{}",
        said.out
    );
}

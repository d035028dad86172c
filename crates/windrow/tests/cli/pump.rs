//! One invented pump whose resistance falls and comes back: what tests of findings and of feeds begin with.

use crate::on;
use std::fs;
use std::path::{Path, PathBuf};

/// Headings of its log.
const HEAD: &str = "Motor,Volts,Made,Date,Winding temp °C,IR 1 min MOhm\n";
/// Dry.
pub(crate) const GOOD: &str = "P-1,400,1995,2001-02-03,40,910\n";
/// Below its minimum.
pub(crate) const LOW: &str = "P-1,400,1995,2003-02-03,40,2.1\n";
/// Lower still.
pub(crate) const LOWER: &str = "P-1,400,1995,2005-02-03,40,1.9\n";
/// After drying.
pub(crate) const DRIED: &str = "P-1,400,1995,2006-02-03,40,880\n";

/// A fleet whose one log holds `rows` now.
pub(crate) fn keep(within: &Path, rows: &[&str]) -> PathBuf {
    let (records, fleet) = (within.join("records"), within.join("fleet"));
    fs::create_dir_all(&records).unwrap();
    fs::write(records.join("log.csv"), HEAD.to_owned() + &rows.concat()).unwrap();
    let said = on(&fleet, "run", &[records.to_str().unwrap()]);
    assert!(said.status.is_some_and(|status| status <= 1), "{}{}", said.out, said.err);
    fleet
}

//! Records that cannot be true, one check a file. Each finding shows its arithmetic, what else would look so, and a ruling that a person may
//! put into `decisions.toml`; none changes a value.

mod ceilings;
mod column_slip;
mod copied;
mod corrected;
mod dates;
mod digits;
mod fahrenheit;
#[cfg(test)]
pub(crate) mod fixture;
mod found;
mod grouped;
mod impossible;
mod phases;
mod proposal;
mod range;
mod sheets;
mod times;

use crate::loaded::Loaded;
use jiff::civil::Date;
use rayon::prelude::*;
use windrow_model::Finding;
use windrow_model::settings::Settings;

/// Doubts about the records of a fleet as they were known on the day `known_on`.
pub(crate) fn find(loaded: &Loaded, settings: &Settings, known_on: Option<Date>) -> Vec<Finding> {
    // Those that take long come first, so that no thread is left with one of them when the others are done.
    let checks: [fn(&Loaded) -> Vec<Finding>; 9] = [
        column_slip::find,
        range::find,
        fahrenheit::find,
        copied::find,
        digits::find,
        phases::find,
        times::find,
        ceilings::find,
        dates::find,
    ];
    let mut found = corrected::find(loaded, &settings.decisions);
    found.par_extend(checks.into_par_iter().with_max_len(1).flat_map_iter(|check| check(loaded)));
    found.extend(impossible::find(loaded, known_on));
    found
}

//! # What it finds
//! A newest insulation resistance measured on a winding that was colder than the dew point, or too near to it.
//! # How it is judged
//! `note`: such a reading speaks of the water on the surface, not of the insulation.
//! # References
//! IEEE 43-2013 clause 6 and common practice, by `windrow-criteria`; dew point: WMO-No. 8, Annex 4.B.

use crate::finding::{self, Found};
use crate::series::History;
use windrow_criteria::cautions;
use windrow_criteria::dew_point;
use windrow_model::{Finding, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let (newest, _) = history.newest(|judged| judged.test.lowest.as_ref())?;
    let margin = newest.dew_point_margin_k?;
    let (least, basis) = dew_point::least_margin_k()?;
    if margin >= least {
        return None;
    }
    let how = if margin > 0.0 {
        format!("{margin:.1} K above the dew point, less than {least:.0} K")
    } else {
        format!("{:.1} K below the dew point", -margin)
    };
    let statement = format!(
        "{}: at the insulation resistance the winding was {how}; water on its surface lowers the reading.",
        history.tag
    );
    let found = Found {
        rule: "dew_point",
        level: "note",
        statement,
        value: Some(margin),
        limit: Some(least),
        unit: "K",
        basis,
        cautions: cautions::GROUND_WALL,
        next_test: "the same test with the winding warmer than the dew point",
    };
    let told = |value: Option<f64>, unit: &str| value.map_or("not told".to_owned(), |value| format!("{value} {unit}"));
    let test = newest.test;
    let data = format!(
        "winding {}, ambient {}, relative humidity {}, dew point as recorded {}",
        told(test.winding_temperature_c, "°C"),
        told(test.ambient_temperature_c, "°C"),
        told(test.relative_humidity_pct, "%"),
        told(test.dew_point_c, "°C")
    );
    let working = vec![
        Step::new("data", data),
        Step::new("arithmetic", format!("winding temperature − dew point = {margin:.2} K, less than {least} K")),
    ];
    Some(Finding { working, ..finding::row(history, newest, found) })
}

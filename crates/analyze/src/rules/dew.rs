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
use windrow_model::Finding;

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
    Some(finding::row(history, newest, found))
}

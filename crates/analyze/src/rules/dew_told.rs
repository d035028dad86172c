//! # What it finds
//! A dew point on the record that temperature and humidity of the air beside it do not give.
//! # How it is judged
//! `note`: a statement about the record, for the margin of the winding goes by the dew point as recorded. Two kelvin are allowed: one degree
//! and two per cent of rounding move the dew point by about that.
//! # References
//! Dew point: WMO-No. 8, Annex 4.B, by `windrow-criteria`; the two kelvin: choice of this program, no source.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::{cautions, dew_point};
use windrow_model::{Finding, Step};

/// How far both may lie apart, K.
const FAR_K: f64 = 2.0;

/// One finding a test.
pub(crate) fn find<'a>(history: &'a History<'a>) -> impl Iterator<Item = Finding> + 'a {
    history.tests.iter().filter_map(|judged| of_test(history, judged))
}

fn of_test(history: &History<'_>, judged: &Judged<'_>) -> Option<Finding> {
    let test = judged.test;
    let (told, air, humidity) = (test.dew_point_c?, test.ambient_temperature_c?, test.relative_humidity_pct?);
    let ours = dew_point::dew_point_c(air, humidity)?;
    if (told - ours).abs() <= FAR_K {
        return None;
    }
    let found = Found {
        rule: "dew_point_differs",
        level: "note",
        statement: format!(
            "{}: the record tells a dew point of {told:.1} °C, air of {air:.1} °C with {humidity:.0} % relative humidity gives {ours:.1} °C.",
            history.tag
        ),
        value: Some(told),
        limit: Some(ours),
        unit: "Cel",
        basis: "WMO-No. 8, Annex 4.B (verified in a manual of stations); two kelvin allowed for rounding: choice of this program, no source".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "none; look at the record, where one of the three is mistyped or of another hour",
    };
    let working = vec![
        Step::new("data", format!("air {air} °C, relative humidity {humidity} %, dew point as recorded {told} °C")),
        Step::new(
            "arithmetic",
            format!("dew point {ours:.2} °C; {:.2} K apart, more than {FAR_K} K", (told - ours).abs()),
        ),
    ];
    Some(Finding { working, ..finding::row_of_record(history, judged, found) })
}

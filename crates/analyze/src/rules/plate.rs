//! # What it finds
//! A rated voltage that cannot be one: zero, kilovolts typed as volts, a phase voltage. Nothing is judged by it.
//! # How it is judged
//! `note`: a statement about the record.
//! # References
//! `windrow-criteria`, module `rated`: series of rated voltages from memory, thresholds of this program.

use crate::judge::Judged;
use crate::series::History;
use windrow_model::Finding;
use windrow_model::id::row_id;

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let judged: &Judged<'_> = history.tests.first()?;
    judged.test.rated_voltage_v?;
    let missing = judged.machine.rated_voltage().err()?;
    Some(Finding {
        finding_id: row_id("findings", &[history.asset_id, "rated_voltage"]).to_string(),
        asset_id: Some(history.asset_id.to_owned()),
        test_id: None,
        rule: "rated_voltage".to_owned(),
        level: "note".to_owned(),
        statement: format!("{}: {missing}. Until then no limit and no level stands beside its tests.", history.tag),
        evidence: Vec::new(),
        value: judged.test.rated_voltage_v,
        limit: None,
        unit: Some("V".to_owned()),
        basis: "series of rated voltages (IEC 60034-1, IEC 60038, NEMA MG 1, ANSI C84.1, from memory); a machine below 24 V or \
                above 40 kV has no place in it"
            .to_owned(),
        next_test: Some("none; read the nameplate".to_owned()),
        cautions: windrow_criteria::cautions::HIGH_VOLTAGE.to_owned(),
        q_value: None,
        forecast_date: None,
        forecast_from: None,
        forecast_to: None,
        first_seen: None,
        last_seen: None,
        state: "open".to_owned(),
    })
}

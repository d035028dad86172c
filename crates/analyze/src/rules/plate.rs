//! # What it finds
//! A rated voltage that cannot be one: zero, kilovolts typed as volts, a phase voltage. Nothing is judged by it.
//! # How it is judged
//! `note`: a statement about the record.
//! # References
//! `windrow-criteria`, module `rated`: series of rated voltages from memory, thresholds of this program.

use crate::finding::{About, Found, stated};
use crate::judge::Judged;
use crate::series::History;
use windrow_model::{Finding, Step};

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let judged: &Judged<'_> = history.tests.first()?;
    judged.test.nameplate().rated_voltage_v?;
    let missing = judged.machine.rated_voltage().err()?;
    let about = About {
        key: vec![history.asset_id.to_owned(), "rated_voltage".to_owned()],
        asset_id: Some(history.asset_id.to_owned()),
        test_id: None,
        evidence: Vec::new(),
        seen: None,
    };
    let found = Found {
        rule: "rated_voltage",
        level: "note",
        statement: format!("{}: {missing}. Until then no limit and no level stands beside its tests.", history.tag),
        value: judged.test.nameplate().rated_voltage_v,
        limit: None,
        unit: "V",
        basis: "series of rated voltages (IEC 60034-1, IEC 60038, NEMA MG 1, ANSI C84.1, from memory); a machine below 24 V or \
                above 40 kV has no place in it"
            .to_owned(),
        next_test: "none; read the nameplate",
        cautions: windrow_criteria::cautions::HIGH_VOLTAGE,
    };
    let volts = judged.test.nameplate().rated_voltage_v?;
    let working = vec![
        Step::new("data", format!("rated voltage on the nameplate: {volts} V")),
        Step::new("rule", format!("not taken as a rated voltage: {missing}")),
    ];
    Some(Finding { working, ..stated(about, found) })
}

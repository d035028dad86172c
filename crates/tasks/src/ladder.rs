//! Levels that stand beside a machine's tests in the report.

use jiff::civil::Date;
use windrow_analyze::nameplate;
use windrow_criteria::level::{Asked, Level, levels};
use windrow_criteria::stress::Form;
use windrow_criteria::{Preference, State, Subject};
use windrow_model::Asset;
use windrow_model::settings::JudgingSettings;
use windrow_report::LevelLine;

/// What is drawn, in words, and how its voltage is told.
const DRAWN: [(Subject, &str, Form); 4] = [
    (Subject::InsulationTestVoltage, "for insulation resistance", Form::Direct),
    (Subject::DcWithstand, "direct withstand, in service", Form::Direct),
    (Subject::AcWithstand, "alternating withstand, in service", Form::Rms),
    (Subject::Surge, "surge, in service", Form::Peak),
];

/// The preferred level of each voltage test for the winding that `asset` has now, in service; none without a rated voltage that
/// can be true.
#[must_use]
pub fn levels_beside(asset: &Asset, judging: &JudgingSettings) -> Vec<LevelLine> {
    // The winding after all rewinds told, whatever the day: the page depends on the records alone.
    let machine = nameplate::machine(asset, Some(Date::MAX), judging);
    let asked = Asked { machine: &machine, state: State::InService, prefer: Preference::of(judging).family };
    let first = |(subject, what, form): &(Subject, &str, Form)| {
        let level = levels(*subject, asked).ok()?.into_iter().next()?;
        Some(LevelLine {
            asset_id: asset.asset_id.clone(),
            crest_v: form.crest_v(level.volts),
            label: format!("{what}: {}", volts(&level, *form)),
            basis: level.basis,
        })
    };
    DRAWN.iter().filter_map(first).collect()
}

fn volts(level: &Level, form: Form) -> String {
    let unit = form.unit().trim_start_matches('V').trim();
    let low = level.volts / 1000.0;
    match level.up_to_v {
        Some(high) => format!("{low:.2} to {:.2} kV {unit}", high / 1000.0),
        None => format!("{low:.2} kV {unit}"),
    }
}

//! Which law corrects a winding, by what its records tell.

use windrow_criteria::Correction;
use windrow_criteria::winding::{self, Era, Years};
use windrow_model::settings::{JudgingSettings, StandardFamily};
use windrow_model::{Asset, Flag, Test};

/// How a law was chosen.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum Law {
    /// The records tell what it needs.
    Told(Correction),
    /// It rests on an assumption, in words, that a flag owns up to.
    Assumed(Correction, String, Flag),
    /// Nobody can say which of the two holds, and why.
    Open([Correction; 2], String),
}

/// Law of the insulation of `asset`'s winding as it was at the time of `test`.
pub(super) fn of_insulation(asset: Option<&Asset>, test: &Test, judging: &JudgingSettings) -> Law {
    let thermosetting = match judging.standards {
        StandardFamily::Ieee | StandardFamily::Repair => Correction::ThermosettingExponential,
        StandardFamily::Iec => Correction::IecResin,
    };
    let by_era = |is_thermosetting| if is_thermosetting { thermosetting } else { Correction::ThermoplasticHalving };
    let open = |why: &str| Law::Open([Correction::ThermoplasticHalving, thermosetting], why.to_owned());
    let Some(asset) = asset else { return open("the record names no machine") };
    let since = judging.thermosetting_since;
    let years = Years { made: asset.made_year, rewound: &asset.rewound_years };
    let tested = test.performed_on.map(|date| i32::from(date.year()));
    match winding::era(asset.insulation_era.as_deref(), years, tested, since) {
        Era::Told(told) => Law::Told(by_era(told)),
        Era::ByYear(is_thermosetting) => {
            let age = if is_thermosetting { format!("in or after {since}") } else { format!("before {since}") };
            let why = format!("; the insulation system is not told and was taken from the year: made {age}");
            Law::Assumed(by_era(is_thermosetting), why, Flag::EraByYear)
        }
        Era::Open(why) => open(why),
    }
}

/// Law of the conductor.
pub(super) fn of_conductor(asset: Option<&Asset>, judging: &JudgingSettings) -> Law {
    let copper = match judging.standards {
        StandardFamily::Iec => Correction::CopperLinearIec,
        StandardFamily::Ieee | StandardFamily::Repair => Correction::CopperLinear,
    };
    match asset.and_then(|asset| asset.conductor.as_deref()) {
        Some("aluminium") => Law::Told(Correction::AluminiumLinear),
        Some("copper") => Law::Told(copper),
        _ => Law::Assumed(
            copper,
            "; the conductor is not told and was taken as copper".to_owned(),
            Flag::ConductorPresumed,
        ),
    }
}

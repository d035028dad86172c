//! Which law corrects a winding, by what its records tell.

use windrow_criteria::Correction;
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
        StandardFamily::Ieee => Correction::ThermosettingExponential,
        StandardFamily::Iec => Correction::IecResin,
    };
    let by_era = |is_thermosetting| if is_thermosetting { thermosetting } else { Correction::ThermoplasticHalving };
    let open = |why: &str| Law::Open([Correction::ThermoplasticHalving, thermosetting], why.to_owned());
    let Some(asset) = asset else { return open("the record names no machine") };
    let since = judging.thermosetting_since;
    let told = match asset.insulation_era.as_deref() {
        Some("thermosetting") => Some(true),
        Some("thermoplastic") => Some(false),
        _ => None,
    };
    let by_year = year_of_winding(asset, test).map(|years| years.map(|year| year >= since));
    match (told, by_year) {
        (Some(told), Some([a, b])) if rewound(asset) && (a != told || b != told) => {
            open("the insulation system told and the years of the rewinds disagree")
        }
        (Some(told), _) => Law::Told(by_era(told)),
        (None, Some([a, b])) if a == b => {
            let age = if a { format!("in or after {since}") } else { format!("before {since}") };
            let why = format!("; the insulation system is not told and was taken from the year: made {age}");
            Law::Assumed(by_era(a), why, Flag::EraByYear)
        }
        (None, Some(_)) => open("the winding was replaced at about the time of the test"),
        (None, None) => open("the records tell neither the insulation system nor the year"),
    }
}

fn rewound(asset: &Asset) -> bool {
    !asset.rewound_years.is_empty()
}

/// Earliest and latest year in which the winding tested could have been made; `None` if no year is told.
///
/// Only the years of rewinds are known, so a rewind in the year of the test leaves both windings possible, and without a
/// date every winding that the machine ever had.
fn year_of_winding(asset: &Asset, test: &Test) -> Option<[i32; 2]> {
    let years = || asset.made_year.into_iter().chain(asset.rewound_years.iter().copied());
    let Some(tested) = test.performed_on.map(|date| i32::from(date.year())) else {
        return Some([years().min()?, years().max()?]);
    };
    let latest = years().filter(|year| *year <= tested).max();
    let latest_before = years().filter(|year| *year < tested).max();
    match (latest, latest_before) {
        (Some(latest), Some(before)) => Some([before.min(latest), latest]),
        (Some(latest), None) => Some([latest, latest]),
        // Made or rewound after the test: the winding tested is older than any year told.
        (None, _) => None,
    }
}

/// Law of the conductor.
pub(super) fn of_conductor(asset: Option<&Asset>, judging: &JudgingSettings) -> Law {
    let copper = match judging.standards {
        StandardFamily::Iec => Correction::CopperLinearIec,
        StandardFamily::Ieee => Correction::CopperLinear,
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

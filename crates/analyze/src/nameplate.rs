//! A machine as the rules of the trade see it, from its row in `assets`.

use jiff::civil::Date;
use windrow_criteria::Machine;
use windrow_criteria::rated::is_confirmed;
use windrow_criteria::winding::{Era, Years, era};
use windrow_model::Asset;
use windrow_model::rows::RULED;
use windrow_model::settings::JudgingSettings;

/// What the records tell of the winding that `asset` had on the day `on`; nothing that they leave open is filled in.
///
/// The year of the winding is told by the insulation system alone: a winding whose system is open has no year, so that no rule
/// that asks for it applies.
#[must_use]
pub fn machine(asset: &Asset, on: Option<Date>, judging: &JudgingSettings) -> Machine {
    let plate = Plate {
        rated_voltage_v: asset.rated_voltage_v,
        rated_voltage_basis: asset.rated_voltage_basis.as_deref(),
        rated_power_w: asset.rated_power_w,
        winding_kind: asset.winding_kind.as_deref(),
        insulation_class: asset.insulation_class.as_deref(),
        insulation_era: asset.insulation_era.as_deref(),
        years: Years { made: asset.made_year, rewound: &asset.rewound_years },
    };
    plate.machine(on, judging)
}

/// The columns of `assets` that rules look at.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Plate<'a> {
    pub(crate) rated_voltage_v: Option<f64>,
    pub(crate) rated_voltage_basis: Option<&'a str>,
    pub(crate) rated_power_w: Option<f64>,
    pub(crate) winding_kind: Option<&'a str>,
    pub(crate) insulation_class: Option<&'a str>,
    pub(crate) insulation_era: Option<&'a str>,
    pub(crate) years: Years<'a>,
}

impl Plate<'_> {
    pub(crate) fn machine(&self, on: Option<Date>, judging: &JudgingSettings) -> Machine {
        self.machine_of(self.system(on, judging), judging)
    }

    /// The insulation system of the winding that the machine had on a day, all of it that depends on the day; `None` where it is open.
    pub(crate) fn system(&self, on: Option<Date>, judging: &JudgingSettings) -> Option<&'static str> {
        let tested = on.map(|date| i32::from(date.year()));
        match era(self.insulation_era, self.years, tested, judging.thermosetting_since) {
            Era::Told(thermosetting) | Era::ByYear(thermosetting) => Some(code(thermosetting)),
            Era::Open(_) => None,
        }
    }

    /// The machine while its winding was of a system.
    pub(crate) fn machine_of(&self, system: Option<&str>, judging: &JudgingSettings) -> Machine {
        Machine {
            rated_voltage_v: self.rated_voltage_v,
            winding_kind: self.winding_kind.map(str::to_owned),
            made_year: None,
            insulation_era: system.map(str::to_owned),
            insulation_class: self.insulation_class.map(str::to_owned),
            rated_power_w: self.rated_power_w,
            voltage_confirmed: self.is_confirmed(judging),
            ..Machine::default()
        }
    }

    /// Whether a person vouches for the rated voltage as line to line, by a ruling or in the settings.
    fn is_confirmed(&self, judging: &JudgingSettings) -> bool {
        self.rated_voltage_basis == Some(RULED)
            || self.rated_voltage_v.is_some_and(|volts| is_confirmed(volts, &judging.line_voltages))
    }
}

const fn code(thermosetting: bool) -> &'static str {
    if thermosetting { "thermosetting" } else { "thermoplastic" }
}

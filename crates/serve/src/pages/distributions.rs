//! How figures are spread over the machines of each cohort.

use crate::params::link;
use crate::view::Kin;
use maud::Markup;
use windrow_report::format::{self, Units};
use windrow_report::plot::Scale;
use windrow_report::plot::distribution::{Distribution, Row, distribution};

/// One-minute insulation resistance at 40 °C; `here` is that of the machine whose page it is.
pub(super) fn resistance<'k>(kin: impl IntoIterator<Item = &'k Kin>, units: Units, here: Option<f64>) -> Markup {
    let row = |kin: &'k Kin| Row { name: kin.name(), href: Some(machines(kin)), values: &kin.resistances, here };
    distribution(&Distribution {
        title: format!("One-minute insulation resistance at {}", format::temperature(40.0, units)),
        unit: ("Ohm", "insulation_resistance"),
        scale: Scale::Logarithmic,
        rows: kin.into_iter().map(row).collect(),
    })
}

/// Polarization index; `here` is that of the machine whose page it is.
pub(super) fn index<'k>(kin: impl IntoIterator<Item = &'k Kin>, here: Option<f64>) -> Markup {
    let row = |kin: &'k Kin| Row { name: kin.name(), href: Some(machines(kin)), values: &kin.indices, here };
    distribution(&Distribution {
        title: "Polarization index".to_owned(),
        unit: ("1", "polarization_index"),
        scale: Scale::Linear,
        rows: kin.into_iter().map(row).collect(),
    })
}

/// Where the machines of a cohort are listed.
fn machines(kin: &Kin) -> String {
    link("/", &[("cohort", &kin.name())])
}

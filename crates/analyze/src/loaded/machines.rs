//! Machines as their nameplates tell them.

use super::Loaded;
use super::slices::{Slice, each, known};
use crate::AnalyzeError;
use crate::nameplate::Plate;
use polars::prelude::*;
use windrow_criteria::winding::Years;
use windrow_model::Text;

/// What rules look at of a machine.
#[derive(Debug, Clone, Default, PartialEq)]
pub(crate) struct MachineRow {
    pub(crate) asset_id: Text,
    pub(crate) tag: Option<Text>,
    pub(crate) site: Option<Text>,
    pub(crate) manufacturer: Option<Text>,
    pub(crate) rated_voltage_v: Option<f64>,
    pub(crate) rated_voltage_basis: Option<Text>,
    pub(crate) rated_power_w: Option<f64>,
    pub(crate) winding_kind: Option<Text>,
    pub(crate) insulation_class: Option<Text>,
    pub(crate) insulation_era: Option<Text>,
    pub(crate) made_year: Option<i32>,
    pub(crate) rewound_years: Vec<i32>,
}

/// A machine of which nothing is known.
pub(crate) static UNKNOWN_MACHINE: MachineRow = MachineRow {
    asset_id: Text::new_static(""),
    tag: None,
    site: None,
    manufacturer: None,
    rated_voltage_v: None,
    rated_voltage_basis: None,
    rated_power_w: None,
    winding_kind: None,
    insulation_class: None,
    insulation_era: None,
    made_year: None,
    rewound_years: Vec::new(),
};

impl MachineRow {
    /// What rules of the trade look at.
    pub(crate) fn plate(&self) -> Plate<'_> {
        Plate {
            rated_voltage_v: self.rated_voltage_v,
            rated_voltage_basis: self.rated_voltage_basis.as_deref(),
            rated_power_w: self.rated_power_w,
            winding_kind: self.winding_kind.as_deref(),
            insulation_class: self.insulation_class.as_deref(),
            insulation_era: self.insulation_era.as_deref(),
            years: Years { made: self.made_year, rewound: &self.rewound_years },
        }
    }
}

pub(super) fn load(loaded: &mut Loaded, assets: &LazyFrame) -> Result<(), AnalyzeError> {
    let columns = [
        "asset_id",
        "tag",
        "site",
        "manufacturer",
        "rated_voltage_v",
        "rated_voltage_basis",
        "rated_power_w",
        "winding_kind",
        "insulation_class",
        "insulation_era",
        "made_year",
        "rewound_years",
    ]
    .map(col);
    each(assets, &columns, |slices| slices.iter().try_for_each(|slice| add(loaded, slice)))
}

/// Adds the machines of a slice.
fn add(loaded: &mut Loaded, slice: &Slice) -> Result<(), AnalyzeError> {
    let text = |name: &str| slice.texts(name);
    let (ids, tags, sites, makers) = (text("asset_id")?, text("tag")?, text("site")?, text("manufacturer")?);
    let (volts, basis) = (slice.numbers("rated_voltage_v")?, text("rated_voltage_basis")?);
    let (watts, kinds) = (slice.numbers("rated_power_w")?, text("winding_kind")?);
    let (classes, eras) = (text("insulation_class")?, text("insulation_era")?);
    let (made, rewound) = (slice.integers("made_year")?, slice.lists("rewound_years")?);
    // Few machines were rewound, and only their lists are looked at.
    let counts = rewound.lst_lengths();
    for row in 0..slice.len() {
        let is_told = counts.get(row).is_some_and(|count| count > 0);
        let rewound_years = match is_told.then(|| rewound.get_as_series(row)).flatten() {
            Some(years) => years.i32()?.iter().flatten().collect(),
            None => Vec::new(),
        };
        loaded.machines.push(MachineRow {
            asset_id: Text::new(ids.told(row)),
            tag: tags.get(row).map(Text::new),
            site: sites.get(row).map(Text::new),
            manufacturer: makers.get(row).map(Text::new),
            rated_voltage_v: known(volts.get(row)),
            rated_voltage_basis: basis.get(row).map(Text::new),
            rated_power_w: known(watts.get(row)),
            winding_kind: kinds.get(row).map(Text::new),
            insulation_class: classes.get(row).map(Text::new),
            insulation_era: eras.get(row).map(Text::new),
            made_year: made.get(row),
            rewound_years,
        });
    }
    Ok(())
}

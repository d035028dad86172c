//! Whether a region looks like this layout.

use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_sheet::{Attribute, Claim, Region, Shape};

/// Quantities that have layouts of their own.
const OTHERS: &[Quantity] = &[
    Quantity::LeakageCurrent,
    Quantity::WindingResistance,
    Quantity::Unbalance,
    Quantity::SurgePeakVoltage,
    Quantity::SurgeInceptionVoltage,
    Quantity::SurgeDifference,
];

/// Bids for readings told as pairs, and for small tables whose machine and date are told by pairs around them.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.readings() == 0 {
        return Claim::refuse("no readings");
    }
    if region.shape == Shape::Prose {
        return Claim::refuse("readings stand in sentences");
    }
    if region.shape == Shape::Pairs {
        return Claim::new(0.9, "readings stand behind their labels");
    }
    if region.share(OTHERS) >= 0.5 {
        return Claim::refuse("its quantities have a layout of their own");
    }
    let by_lines = [Attribute::Asset, Attribute::Date]
        .iter()
        .any(|attribute| region.told(*attribute, Via::Row) || region.told(*attribute, Via::Column));
    if by_lines {
        return Claim::refuse("rows or columns tell machine or date");
    }
    if region.told(Attribute::Elapsed, Via::Row) {
        return Claim::refuse("a series of times");
    }
    Claim::new(0.6, "a table of one test of one machine")
}

#[cfg(test)]
mod tests {
    use super::claim;
    use std::collections::{BTreeMap, BTreeSet};
    use windrow_model::Quantity;
    use windrow_model::raw::Via;
    use windrow_sheet::{Attribute, Region, Shape};
    use windrow_source::Area;

    fn region(shape: Shape, quantity: Option<Quantity>, places: &[(Attribute, Via)]) -> Region {
        let mut told: BTreeMap<Attribute, BTreeSet<Via>> = BTreeMap::new();
        for (attribute, via) in places {
            told.entry(*attribute).or_default().insert(*via);
        }
        Region {
            sheet: None,
            area: Area { top: 0, left: 0, bottom: 9, right: 5 },
            shape,
            turned: false,
            places: told,
            quantities: quantity.into_iter().map(|quantity| (quantity, 8)).collect(),
            rows: 8,
            header_lines: 1,
            machines: 0,
            plate_fields: 0,
        }
    }

    #[test]
    fn claims_its_own_layout() {
        let region = region(
            Shape::Pairs,
            Some(Quantity::InsulationResistance),
            &[(Attribute::Asset, Via::Block), (Attribute::Date, Via::Block)],
        );
        assert!(claim(&region).confidence >= 0.8, "{:?}", claim(&region));
    }

    #[test]
    fn refuses_a_look_alike() {
        let region = region(
            Shape::Table,
            Some(Quantity::InsulationResistance),
            &[(Attribute::Asset, Via::Row), (Attribute::Date, Via::Row), (Attribute::Elapsed, Via::Column)],
        );
        assert!(claim(&region).confidence <= 0.3, "{:?}", claim(&region));
    }
}

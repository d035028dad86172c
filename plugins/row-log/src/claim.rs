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

/// Bids for tables whose rows name their machine and date.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.shape != Shape::Table || region.readings() == 0 {
        return Claim::refuse("no table of readings");
    }
    if region.told(Attribute::Asset, Via::Column) || region.told(Attribute::Date, Via::Column) {
        return Claim::refuse("a column header tells machine or date");
    }
    if region.share(OTHERS) >= 0.5 {
        return Claim::refuse("its quantities have a layout of their own");
    }
    let (asset, date) = (region.told(Attribute::Asset, Via::Row), region.told(Attribute::Date, Via::Row));
    match (asset, date) {
        (true, true) => Claim::new(0.9, "every row tells its machine and date"),
        (true, false) => Claim::new(0.7, "every row tells its machine"),
        (false, true) => Claim::new(0.7, "every row tells its date, the block its machine"),
        (false, false) => Claim::refuse("rows tell neither machine nor date"),
    }
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
            Shape::Table,
            Some(Quantity::InsulationResistance),
            &[(Attribute::Asset, Via::Row), (Attribute::Date, Via::Row), (Attribute::Elapsed, Via::Column)],
        );
        assert!(claim(&region).confidence >= 0.8, "{:?}", claim(&region));
    }

    #[test]
    fn refuses_a_look_alike() {
        let region = region(
            Shape::Table,
            Some(Quantity::InsulationResistance),
            &[(Attribute::Asset, Via::Row), (Attribute::Date, Via::Column)],
        );
        assert!(claim(&region).confidence <= 0.3, "{:?}", claim(&region));
    }
}

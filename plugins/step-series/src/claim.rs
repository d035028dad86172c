//! Whether a region looks like this layout.

use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_sheet::{Attribute, Claim, Region, Shape};

/// Bids for tables of leakage currents.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.shape != Shape::Table || region.share(&[Quantity::LeakageCurrent]) < 0.3 {
        return Claim::refuse("no table of leakage currents");
    }
    if region.told(Attribute::Voltage, Via::Row) || region.told(Attribute::Voltage, Via::Column) {
        return Claim::new(0.95, "leakage currents at voltages told by rows or columns");
    }
    Claim::new(0.7, "leakage currents at one voltage")
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
            Some(Quantity::LeakageCurrent),
            &[(Attribute::Asset, Via::Block), (Attribute::Voltage, Via::Row)],
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

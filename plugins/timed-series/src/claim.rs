//! Whether a region looks like this layout.

use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_sheet::{Attribute, Claim, Region, Shape};

/// Quantities of insulation tests at one voltage.
const INSULATION: &[Quantity] =
    &[Quantity::InsulationResistance, Quantity::PolarizationIndex, Quantity::AbsorptionRatio];

/// Bids for tables of one test with times along an axis.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.shape != Shape::Table || region.share(INSULATION) < 0.5 {
        return Claim::refuse("no table of insulation readings");
    }
    let by_lines = [Attribute::Asset, Attribute::Date]
        .iter()
        .any(|attribute| region.told(*attribute, Via::Row) || region.told(*attribute, Via::Column));
    if by_lines {
        return Claim::refuse("rows or columns tell machine or date");
    }
    if region.share(&[Quantity::LeakageCurrent]) >= 0.3 {
        return Claim::refuse("leakage currents, with resistances computed from them");
    }
    if region.told(Attribute::Elapsed, Via::Row) {
        return Claim::new(0.9, "rows tell the time, the block machine and date");
    }
    if region.told(Attribute::Elapsed, Via::Column) && !region.told(Attribute::Circuit, Via::Row) {
        return Claim::new(0.9, "columns tell the time, the block machine and date");
    }
    Claim::refuse("no series of times")
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
            &[(Attribute::Asset, Via::Block), (Attribute::Date, Via::Block), (Attribute::Elapsed, Via::Row)],
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

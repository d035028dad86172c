//! Whether a region looks like this layout.

use windrow_model::Quantity;
use windrow_model::raw::Via;
use windrow_sheet::{Attribute, Claim, Region, Shape};

/// Bids for tables whose column headers tell machine or date.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.shape != Shape::Table || region.readings() == 0 {
        return Claim::refuse("no table of readings");
    }
    let date = region.told(Attribute::Date, Via::Column);
    let asset = region.told(Attribute::Asset, Via::Column);
    if !date && !asset {
        return Claim::refuse("no column header tells machine or date");
    }
    if region.share(&[Quantity::SurgePeakVoltage, Quantity::SurgeDifference]) >= 0.5 {
        return Claim::refuse("surge readings have a layout of their own");
    }
    Claim::new(0.95, if date { "column headers tell the dates" } else { "column headers tell the machines" })
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
            &[(Attribute::Asset, Via::Row), (Attribute::Date, Via::Column)],
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

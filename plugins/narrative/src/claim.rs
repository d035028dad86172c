//! Whether a region looks like this layout.

use windrow_sheet::{Claim, Region, Shape};

/// Bids for sentences that tell readings.
pub(crate) fn claim(region: &Region) -> Claim {
    if region.shape != Shape::Prose {
        return Claim::refuse("no sentences");
    }
    if region.readings() == 0 {
        return Claim::refuse("no readings");
    }
    Claim::new(0.9, "readings stand in sentences")
}

#[cfg(test)]
mod tests {
    use super::claim;
    use std::collections::BTreeMap;
    use windrow_model::Quantity;
    use windrow_sheet::{Region, Shape};
    use windrow_source::Area;

    fn region(shape: Shape) -> Region {
        Region {
            sheet: None,
            area: Area { top: 3, left: 0, bottom: 9, right: 2 },
            shape,
            turned: false,
            places: BTreeMap::new(),
            quantities: BTreeMap::from([(Quantity::InsulationResistance, 4)]),
            rows: 0,
            header_lines: 0,
            machines: 0,
            plate_fields: 0,
        }
    }

    #[test]
    fn claims_sentences_and_nothing_else() {
        assert!(claim(&region(Shape::Prose)).confidence >= 0.8);
        assert!(claim(&region(Shape::Pairs)).confidence <= 0.0);
        assert!(claim(&region(Shape::Table)).confidence <= 0.0);
    }
}

//! Which quantities a test tells: most rules ask for one that most tests do not have, and need not look at their readings then.

use crate::loaded::Reading;
use windrow_model::Quantity;

/// Quantities that some readings tell, a bit each.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub(crate) struct Quantities(u32);

/// Each has a bit of its own.
const _: () = assert!(Quantity::ALL.len() <= u32::BITS as usize);

impl Quantities {
    pub(crate) fn of<'a>(readings: impl Iterator<Item = Reading<'a>>) -> Self {
        Self(readings.filter_map(|reading| reading.known_quantity()).fold(0, |all, quantity| all | bit(quantity)))
    }

    /// Whether a quantity is among them.
    pub(crate) fn has(self, quantity: Quantity) -> bool {
        self.0 & bit(quantity) != 0
    }
}

const fn bit(quantity: Quantity) -> u32 {
    1 << quantity as u32
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::{Records, add, test};
    use windrow_model::Quantity;

    #[test]
    fn a_test_tells_what_its_readings_are_of_and_nothing_else() {
        let mut records = Records::default();
        add(&mut records, test("M1", "2001-05-06", "S"), "847");
        records.tests.push(test("M1", "2002-05-06", "S"));
        let loaded = records.loaded();
        let told = |place| {
            Quantity::ALL.iter().filter(|quantity| loaded.quantities_of(place).has(**quantity)).collect::<Vec<_>>()
        };
        assert_eq!(told(0), [&Quantity::InsulationResistance]);
        assert!(told(1).is_empty());
    }
}

//! The lowest one-minute insulation resistance of a test, and of each part of the winding.

use super::Part;
use crate::loaded::Reading;
use windrow_model::{Bound, Text};

/// The lowest one-minute insulation resistance of a test.
#[derive(Debug, Clone)]
pub(crate) struct Lowest {
    /// What it was measured on, where the circuit is known.
    pub(crate) part: Option<Part>,
    pub(crate) value_ohm: f64,
    pub(crate) bound: Text,
    pub(crate) at_40c_ohm: Option<f64>,
    /// Where the law is open: lower and higher value at 40 °C.
    pub(crate) bracket_ohm: Option<[f64; 2]>,
    pub(crate) circuit: Option<Text>,
    /// Whether the source told the minute; else it is taken as the usual one-minute reading.
    pub(crate) time_told: bool,
}

impl Lowest {
    /// Whether limits by the machine's rated voltage hold for it.
    pub(crate) fn has_rated_voltage(&self) -> bool {
        self.part.is_some_and(Part::has_rated_voltage)
    }

    fn of((part, reading): (Option<Part>, Reading<'_>)) -> Self {
        Self {
            part,
            value_ohm: reading.value(),
            bound: Text::new(reading.bound_code()),
            at_40c_ohm: reading.value_ref(),
            bracket_ohm: reading.bracket(),
            circuit: reading.circuit().map(Text::new),
            time_told: reading.elapsed_s().is_some(),
        }
    }
}

/// The lowest of a test, and that of each part that was measured.
#[derive(Debug, Clone, Default)]
pub(crate) struct LowestOf {
    /// Of stator and armature where one of them was measured, else of the rest: a rotor of its own, lower voltage must neither be held
    /// against the stator's minimum nor hide the stator.
    pub(crate) test: Option<Lowest>,
    pub(crate) parts: Vec<(Part, Lowest)>,
}

/// The lowest one-minute resistances among the readings of a test.
pub(super) fn lowest<'a>(readings: impl Iterator<Item = Reading<'a>>) -> LowestOf {
    let of_a_minute = readings.filter(|reading| reading.is_insulation_resistance() && reading.is_of_a_minute());
    let known: Vec<(Option<Part>, Reading<'_>)> = of_a_minute.map(|reading| (reading.part(), reading)).collect();
    let of = |wanted: &dyn Fn(Option<Part>) -> bool| {
        let own = known.iter().copied().filter(|(part, _)| wanted(*part));
        own.min_by(|(_, a), (_, b)| a.value().total_cmp(&b.value()).then(rank(a).cmp(&rank(b)))).map(Lowest::of)
    };
    LowestOf {
        test: of(&|part| part.is_some_and(Part::has_rated_voltage)).or_else(|| of(&|_| true)),
        parts: Part::ALL.into_iter().filter_map(|one| Some((one, of(&|part| part == Some(one))?))).collect(),
    }
}

/// Among equal numbers "at most" comes first, for it may be lower still, then an exact one, then "at least".
fn rank(reading: &Reading<'_>) -> u8 {
    match reading.bound() {
        Some(Bound::AtMost) => 0,
        Some(Bound::Exact) => 1,
        Some(Bound::AtLeast) | None => 2,
    }
}

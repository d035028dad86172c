//! A quantity over the voltage applied, as one test recorded it: leakage current, dissipation factor.

use crate::judge::Judged;
use crate::loaded::Reading;
use std::borrow::Cow;
use std::collections::BTreeMap;
use windrow_model::Quantity;

/// Readings of one circuit at rising voltages.
#[derive(Debug, Clone, Default)]
pub(crate) struct Curve<'a> {
    pub(crate) circuit: Option<&'a str>,
    pub(crate) volts: Vec<f64>,
    /// In the stored unit of the quantity: A for a current, 1 for a dissipation factor.
    pub(crate) values: Vec<f64>,
    /// The readings of the points.
    pub(crate) readings: Vec<Reading<'a>>,
}

impl<'a> Curve<'a> {
    /// Ids of its readings.
    pub(crate) fn reading_ids(&self) -> Vec<String> {
        self.readings.iter().filter_map(Reading::reading_id).collect()
    }

    /// The point nearest to a voltage; `None` where none is at the same one (within 2 %).
    pub(crate) fn at(&self, wanted: f64) -> Option<(f64, f64, Option<Reading<'a>>)> {
        let apart = |volts: f64| (volts / wanted - 1.0).abs();
        let near = self.points().filter(|(volts, ..)| apart(*volts) <= SAME_VOLTAGE);
        near.min_by(|(one, ..), (other, ..)| apart(*one).total_cmp(&apart(*other)))
    }

    /// Lowest and highest voltage that the other curve has too.
    pub(crate) fn shared(&self, other: &Curve<'_>) -> Option<[f64; 2]> {
        let mut both = self.volts.iter().copied().filter(|volts| other.at(*volts).is_some());
        let first = both.next()?;
        Some([first, both.next_back().unwrap_or(first)])
    }

    /// The curve with no more points than its shape needs, spread evenly, the first and the last among them.
    pub(crate) fn thinned(&self) -> Cow<'_, Self> {
        let count = self.volts.len();
        if count <= MOST_POINTS {
            return Cow::Borrowed(self);
        }
        let kept: Vec<usize> = (0..MOST_POINTS).map(|place| place * (count - 1) / (MOST_POINTS - 1)).collect();
        let of = |values: &[f64]| kept.iter().filter_map(|place| values.get(*place).copied()).collect();
        Cow::Owned(Self {
            circuit: self.circuit,
            volts: of(&self.volts),
            values: of(&self.values),
            readings: kept.iter().filter_map(|place| self.readings.get(*place).copied()).collect(),
        })
    }

    /// Voltage, value and reading of each point, by rising voltage.
    pub(crate) fn points(&self) -> impl DoubleEndedIterator<Item = (f64, f64, Option<Reading<'a>>)> {
        let pairs = self.volts.iter().zip(&self.values).enumerate();
        pairs.map(|(index, (volts, value))| (*volts, *value, self.readings.get(index).copied()))
    }
}

/// Voltages so near are the same.
const SAME_VOLTAGE: f64 = 0.02;
/// Most points of a curve whose shape is judged; a record of a ramp is thinned to them.
const MOST_POINTS: usize = 20;

/// What one test recorded of a circuit.
pub(crate) type Recorded<'a> = (&'a Judged<'a>, Curve<'a>);

/// Of each circuit the tests that measured it, in the order of `tests`: a test of one circuit says nothing of the others.
pub(crate) fn by_circuit<'a>(tests: &[&'a Judged<'a>], quantity: Quantity) -> Vec<Vec<Recorded<'a>>> {
    let mut circuits: BTreeMap<Option<&str>, Vec<Recorded<'a>>> = BTreeMap::new();
    for judged in tests {
        for curve in of_quantity(judged, quantity) {
            circuits.entry(curve.circuit).or_default().push((judged, curve));
        }
    }
    circuits.into_values().collect()
}

/// Curves of a test, one a circuit; of several readings at one voltage the last counts, which stood longest.
pub(crate) fn of_quantity<'a>(judged: &Judged<'a>, quantity: Quantity) -> Vec<Curve<'a>> {
    if !judged.tells(quantity) {
        return Vec::new();
    }
    let mut by_circuit: BTreeMap<Option<&str>, BTreeMap<u64, Reading<'_>>> = BTreeMap::new();
    for figure in judged.readings() {
        // What leaves out most readings is asked first.
        let Some(volts) = figure.applied_voltage_v().filter(|volts| *volts > 0.0) else { continue };
        if !figure.is(quantity) || !figure.is_as_read() || !figure.is_exact() || figure.value() <= 0.0 {
            continue;
        }
        let steps = by_circuit.entry(figure.circuit()).or_default();
        // Bits of positive numbers stand in the order of the numbers.
        let kept = steps.entry(volts.to_bits()).or_insert(figure);
        if figure.elapsed_s() > kept.elapsed_s() {
            *kept = figure;
        }
    }
    by_circuit.into_iter().map(|(circuit, steps)| curve(circuit, &steps)).collect()
}

fn curve<'a>(circuit: Option<&'a str>, steps: &BTreeMap<u64, Reading<'a>>) -> Curve<'a> {
    Curve {
        circuit,
        volts: steps.values().filter_map(Reading::applied_voltage_v).collect(),
        values: steps.values().map(Reading::value).collect(),
        readings: steps.values().copied().collect(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Curve, MOST_POINTS};

    #[test]
    fn a_thinned_curve_keeps_its_ends_and_spreads_the_rest() {
        for count in [1_u16, 20, 21, 22, 40, 41, 1000] {
            let volts: Vec<f64> = (1..=count).map(f64::from).collect();
            let whole = Curve { values: volts.clone(), volts: volts.clone(), ..Curve::default() };
            let thin = whole.thinned();
            assert_eq!(thin.volts.len(), volts.len().min(MOST_POINTS), "{count}");
            assert_eq!((thin.volts.first(), thin.volts.last()), (volts.first(), volts.last()), "{count}");
            assert!(thin.points().all(|(volts, value, _)| volts.to_bits() == value.to_bits()), "{count}");
            let gaps: Vec<f64> = thin.volts.windows(2).map(|pair| pair[1] - pair[0]).collect();
            let most = gaps.iter().copied().fold(0.0, f64::max);
            assert!(gaps.iter().all(|gap| *gap >= 1.0 && most - gap <= 1.0), "{count}: {gaps:?}");
        }
    }
}

//! Whether values look as if they had been brought to one temperature already, though nobody says so: what is left of them stops
//! depending on the winding's temperature, while the value corrected once more depends on it fully.
//!
//! Regression of the corrected value on the correction within circuits (fixed effects), with the weights of Huber 1964; NIST/SEMATECH
//! e-Handbook for the standard error of a slope. A winding whose insulation follows a flatter law than the one applied looks alike.

use std::collections::BTreeMap;
use windrow_model::Text;

/// Fewest readings beyond the means of their circuits: the standard error is then about a sixth for temperatures that scatter by
/// 10 K (halving law, scatter 0.3 decades).
const FEWEST: usize = 12;
/// The slope is 0 for values as read and 1 for values that had been corrected.
pub const HALFWAY: f64 = 0.5;
/// Standard errors by which a slope must differ from 0.
pub const FROM_AS_READ: f64 = 4.0;
/// Standard errors by which it must be nearer to 1 than to 0: a question that nobody needs costs more than one that is not asked.
const FROM_HALFWAY: f64 = 2.0;
/// Huber's constant: 95 % efficiency for normal errors.
const HUBER: f64 = 1.345;
const ROUNDS: usize = 20;

/// A reading: which circuit of which machine, decades of its correction, decades of its corrected value.
#[derive(Debug, Clone, PartialEq)]
pub struct Point {
    /// Readings of one circuit of one machine have the same name.
    pub circuit: Text,
    /// Decimal logarithm of the factor that brings the value to the reference temperature.
    pub correction: f64,
    /// Decimal logarithm of the value so corrected.
    pub corrected: f64,
}

/// How the corrected values depend on the correction: 0 for values as read, 1 for values that had been corrected.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Slope {
    /// The slope.
    pub value: f64,
    /// Its standard error.
    pub error: f64,
}

/// The slope of `points` if they look corrected already; `None` if they do not, or tell too little.
#[must_use]
pub fn looks_corrected(points: &[Point]) -> Option<Slope> {
    let slope = slope(points)?;
    let surely = slope.value - FROM_HALFWAY * slope.error > HALFWAY;
    (surely && slope.value >= FROM_AS_READ * slope.error).then_some(slope)
}

/// The slope of `points`, whose values are called corrected, if they depend on the correction that was due as values as read do: −1
/// for values never corrected. `None` if they do not, or tell too little.
#[must_use]
pub fn looks_uncorrected(points: &[Point]) -> Option<Slope> {
    slope(points).filter(|slope| slope.value < -HALFWAY && -slope.value >= FROM_AS_READ * slope.error)
}

/// Slope of the corrected value on the correction within circuits, and its standard error; `None` with too little to go by.
fn slope(points: &[Point]) -> Option<Slope> {
    let mut weights = vec![1.0; points.len()];
    let (circuits, count) = numbered(points);
    let circuits = (circuits.as_slice(), count);
    let free = points.len().checked_sub(count + 1).filter(|free| *free >= FEWEST)?;
    let mut result = None;
    for _ in 0..ROUNDS {
        let (across, up) = (
            centred(points, circuits, &weights, |point| point.correction),
            centred(points, circuits, &weights, |point| point.corrected),
        );
        let sum = |of: &dyn Fn(usize) -> f64| (0..points.len()).map(|index| weights[index] * of(index)).sum::<f64>();
        let spread = sum(&|index| across[index] * across[index]);
        if spread < 1e-6 {
            return None;
        }
        let slope = sum(&|index| across[index] * up[index]) / spread;
        let left: Vec<f64> = across.iter().zip(&up).map(|(across, up)| up - slope * across).collect();
        #[expect(clippy::cast_precision_loss, reason = "counts of readings")]
        let variance = sum(&|index| left[index] * left[index]) / free as f64;
        result = Some(Slope { value: slope, error: (variance / spread).sqrt() });
        let scale = middle(left.iter().map(|left| left.abs()).collect())? / 0.6745;
        weights = left
            .iter()
            .map(|left| if left.abs() <= HUBER * scale { 1.0 } else { HUBER * scale / left.abs() })
            .collect();
    }
    result
}

/// A number for the circuit of each point, from 0, and how many circuits there are.
fn numbered(points: &[Point]) -> (Vec<usize>, usize) {
    let mut numbers: BTreeMap<&str, usize> = BTreeMap::new();
    let number = |point| {
        let next = numbers.len();
        *numbers.entry(point).or_insert(next)
    };
    let of_each = points.iter().map(|point| point.circuit.as_str()).map(number).collect();
    (of_each, numbers.len())
}

/// Values less the weighted mean of their circuit.
fn centred(
    points: &[Point],
    (circuits, count): (&[usize], usize),
    weights: &[f64],
    of: impl Fn(&Point) -> f64,
) -> Vec<f64> {
    let mut sums = vec![(0.0, 0.0); count];
    for ((point, circuit), weight) in points.iter().zip(circuits).zip(weights) {
        let (sum, total) = &mut sums[*circuit];
        *sum += weight * of(point);
        *total += weight;
    }
    let mean = |circuit: usize| sums[circuit].0 / sums[circuit].1;
    points.iter().zip(circuits).map(|(point, circuit)| of(point) - mean(*circuit)).collect()
}

fn middle(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied()
}

#[cfg(test)]
mod tests {
    use super::{Point, Slope, looks_corrected, slope};
    use crate::Correction;

    /// Invented readings of three circuits over the seasons: values as read follow `law`, and `told` is what the sheet holds.
    fn points(told: impl Fn(f64, f64) -> f64) -> Vec<Point> {
        let law = Correction::ThermoplasticHalving;
        let scatter = [0.04, -0.09, 0.02, 0.07, -0.05, 0.01, -0.03, 0.06, -0.02, 0.05];
        let mut points = Vec::new();
        for (number, level) in [2.1, 2.9, 3.4].into_iter().enumerate() {
            for (year, noise) in scatter.iter().enumerate() {
                #[expect(clippy::cast_precision_loss, reason = "small")]
                let temperature = 15.0 + ((year * 7 + number * 3) % 25) as f64;
                let factor = law.factor(temperature, 40.0).unwrap().log10();
                let as_read = level + noise - factor;
                let corrected = told(as_read, factor) + factor;
                points.push(Point { circuit: number.to_string().into(), correction: factor, corrected });
            }
        }
        points
    }

    #[test]
    fn values_as_read_have_slope_nought_and_values_already_corrected_slope_one() {
        let Slope { value: as_read, error } = slope(&points(|as_read, _| as_read)).unwrap();
        assert!(as_read.abs() < 4.0 * error && error < 0.1, "{as_read} {error}");
        assert_eq!(looks_corrected(&points(|as_read, _| as_read)), None);
        let Slope { value: corrected, error } = looks_corrected(&points(|as_read, factor| as_read + factor)).unwrap();
        assert!((corrected - 1.0).abs() < 4.0 * error && corrected > 4.0 * error, "{corrected} {error}");
    }

    /// One reading with a slip of a thousand does not turn the answer.
    #[test]
    fn a_slip_does_not_turn_the_answer() {
        let mut points = points(|as_read, factor| as_read + factor);
        points[4].corrected += 3.0;
        let Slope { value, error } = looks_corrected(&points).unwrap();
        assert!(value > 0.5 && value > 4.0 * error, "{value} {error}");
    }

    #[test]
    fn little_evidence_is_no_evidence() {
        assert_eq!(slope(&points(|as_read, factor| as_read + factor)[..12]), None);
        let mut one_temperature = points(|as_read, _| as_read);
        for point in &mut one_temperature {
            point.correction = -0.3;
        }
        assert_eq!(slope(&one_temperature), None, "equal temperatures tell nothing");
        assert_eq!(slope(&[]), None);
    }
}

//! Axes: from values to pixels, and the marks between.

use super::Scale;
use jiff::civil::Date;

/// A day as a decimal year.
pub(crate) fn decimal_year(day: Date) -> f64 {
    f64::from(day.year()) + (f64::from(day.day_of_year()) - 1.0) / 365.25
}

/// A mapping from values to positions.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Axis {
    scale: Scale,
    low: f64,
    high: f64,
    from: f64,
    to: f64,
}

impl Axis {
    /// An axis over all `values`, drawn between the positions `from` and `to`; `None` without values.
    pub(crate) fn over(values: impl Iterator<Item = f64>, scale: Scale, from: f64, to: f64) -> Option<Self> {
        let mapped = values.map(|value| transform(scale, value)).filter(|value| value.is_finite());
        let (low, high) =
            mapped.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        if low > high {
            return None;
        }
        let padding = match scale {
            Scale::Logarithmic => 0.25,
            Scale::Linear => ((high - low) * 0.08).max(high.abs() * 0.02).max(1e-12),
        };
        Some(Self { scale, low: low - padding, high: high + padding, from, to })
    }

    /// An axis of years.
    pub(crate) fn years(values: impl Iterator<Item = f64>, from: f64, to: f64) -> Option<Self> {
        let (low, high) =
            values.fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), value| (low.min(value), high.max(value)));
        if low > high {
            return None;
        }
        Some(Self { scale: Scale::Linear, low: low.floor(), high: (high + 0.001).ceil(), from, to })
    }

    /// Position of `value`.
    pub(crate) fn at(&self, value: f64) -> f64 {
        let share = (transform(self.scale, value) - self.low) / (self.high - self.low);
        self.from + share * (self.to - self.from)
    }

    /// About five round values within the axis.
    pub(crate) fn marks(&self) -> Vec<f64> {
        match self.scale {
            Scale::Logarithmic => self.decades(),
            Scale::Linear => self.steps(5.0),
        }
    }

    /// Round years within the axis.
    pub(crate) fn year_marks(&self) -> Vec<f64> {
        self.steps(8.0).into_iter().filter(|year| year.fract() == 0.0).collect()
    }

    /// Powers of ten; over fewer than two decades twice and five times them as well, so that more than one number stands there.
    fn decades(&self) -> Vec<f64> {
        #[expect(clippy::cast_possible_truncation, reason = "exponents of finite doubles fit")]
        let (first, last) = (self.low.ceil() as i32, self.high.floor() as i32);
        if self.high - self.low < 2.0 {
            let finer =
                (first - 1..=last).flat_map(|exponent| [1.0, 2.0, 5.0].map(|factor| factor * 10_f64.powi(exponent)));
            return finer.filter(|value| (self.low..=self.high).contains(&value.log10())).collect();
        }
        let every = usize::try_from((last - first) / 6 + 1).unwrap_or(1);
        (first..=last).step_by(every).map(|exponent| 10_f64.powi(exponent)).collect()
    }

    fn steps(&self, about: f64) -> Vec<f64> {
        let raw = (self.high - self.low) / about;
        let power = 10_f64.powf(raw.log10().floor());
        let step =
            [1.0, 2.0, 5.0, 10.0].into_iter().map(|factor| factor * power).find(|step| *step >= raw).unwrap_or(raw);
        let first = (self.low / step).ceil();
        (0..=20_u8).map(|index| (first + f64::from(index)) * step).take_while(|value| *value <= self.high).collect()
    }
}

fn transform(scale: Scale, value: f64) -> f64 {
    match scale {
        Scale::Linear => value,
        Scale::Logarithmic => value.log10(),
    }
}

#[cfg(test)]
mod tests {
    use super::{Axis, Scale};

    #[test]
    fn a_decade_is_as_long_as_any_other() {
        let axis = Axis::over([1e6, 1e9].into_iter(), Scale::Logarithmic, 0.0, 350.0).expect("two values");
        let lengths: Vec<f64> = [1e6, 1e7, 1e8].iter().map(|value| axis.at(value * 10.0) - axis.at(*value)).collect();
        assert!(lengths.iter().all(|length| (length - lengths[0]).abs() < 1e-9));
        assert_eq!(axis.marks().len(), 4);
    }

    #[test]
    fn less_than_two_decades_have_marks_between_the_powers_of_ten() {
        let axis = Axis::over([3e8, 9e8].into_iter(), Scale::Logarithmic, 0.0, 100.0).expect("two values");
        assert_eq!(axis.marks(), [2e8, 5e8, 1e9]);
    }

    #[test]
    fn equal_values_still_have_an_axis() {
        let axis = Axis::over([5.0, 5.0].into_iter(), Scale::Linear, 0.0, 100.0).expect("two values");
        assert!((axis.at(5.0) - 50.0).abs() < 1e-9);
    }
}

//! One winding in time: level, slope and scatter, learnt reading by reading (West and Harrison 1997, chapter 4).

use crate::normal::mean_above;
use windrow_model::Bound;

/// Degrees of freedom at which the scatter is held: the fleet's scatter keeps its say.
pub(crate) const DEGREES: f64 = 8.0;
/// For learning, a reading counts as at most this many scales from what was expected.
const CLIP: f64 = 3.0;
/// The same for learning the scatter.
const CLIP_SCATTER: f64 = 2.5;
/// Sd of the slope before any reading, in units of the scatter a year (0.01 decade/year at a scatter of 0.2).
const SLOPE: f64 = 0.05;
/// The level wanders by this, in units of the scatter, for the square root of a year.
const WANDER: f64 = 0.1;

/// What is known of a winding after its readings so far. Variances are in units of that of one reading.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Filter {
    pub(crate) level: f64,
    pub(crate) slope: f64,
    p00: f64,
    p01: f64,
    p11: f64,
    /// Variance of one reading.
    variance: f64,
    degrees: f64,
    is_held: bool,
}

/// What the next reading should be.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Forecast {
    pub(crate) mean: f64,
    pub(crate) scale: f64,
    /// Variance of the level it should have.
    pub(crate) level: f64,
    /// Variance of this reading itself, in units of that of a usual one.
    own: f64,
}

/// What a winding starts from.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Start {
    /// Level and slope a year.
    pub(crate) level: f64,
    pub(crate) slope: f64,
    /// Variance of levels of windings about that level.
    pub(crate) between: f64,
    /// Variance of one reading.
    pub(crate) variance: f64,
}

impl Filter {
    pub(crate) fn new(start: Start) -> Self {
        Self {
            level: start.level,
            slope: start.slope,
            p00: start.between / start.variance,
            p01: 0.0,
            p11: SLOPE * SLOPE,
            variance: start.variance,
            degrees: DEGREES,
            is_held: true,
        }
    }

    /// Forgets the level as after a cleaning: it may be anything that windings of the kind have.
    pub(crate) fn loosen(&mut self, start: Start) {
        self.p00 += start.between / start.variance;
    }

    /// Takes one reading for the level: a later one said the same.
    pub(crate) fn begin_at(&mut self, reading: f64) {
        self.level = reading;
        self.p00 = 1.0;
        self.p01 = 0.0;
    }

    /// Lets `years` pass and says what the next reading should be, which has an error of standard deviation `extra` beyond the usual.
    pub(crate) fn forecast(&mut self, years: f64, extra: f64) -> Forecast {
        self.level += years * self.slope;
        self.p00 += 2.0 * years * self.p01 + years * years * self.p11;
        if self.is_held {
            self.p00 += WANDER * WANDER * years;
        }
        self.p01 += years * self.p11;
        let own = 1.0 + extra * extra / self.variance;
        Forecast {
            mean: self.level,
            scale: (self.variance * (own + self.p00)).sqrt(),
            level: self.variance * self.p00,
            own,
        }
    }

    /// Learns a reading that was forecast as `forecast`.
    pub(crate) fn learn(&mut self, forecast: Forecast, value: f64, bound: Bound) {
        let scale = forecast.scale;
        let error = value - forecast.mean;
        let (error, part) = match bound {
            Bound::Exact => (error, 1.0),
            // The expected surplus of a value that lies beyond the bound (assumed-density filtering).
            Bound::AtLeast => {
                let a = error / scale;
                let h = mean_above(a);
                (scale * h, (h * (h - a)).clamp(0.0, 1.0))
            }
            Bound::AtMost => {
                let a = -error / scale;
                let h = mean_above(a);
                (-scale * h, (h * (h - a)).clamp(0.0, 1.0))
            }
        };
        let spread = forecast.own + self.p00;
        let (gain_0, gain_1) = (self.p00 / spread, self.p01 / spread);
        let clip = |limit: f64| if self.is_held { error.clamp(-limit * scale, limit * scale) } else { error };
        self.level += gain_0 * clip(CLIP);
        self.slope += gain_1 * clip(CLIP);
        if bound == Bound::Exact {
            let squared = clip(CLIP_SCATTER).powi(2) / spread;
            self.variance = (self.degrees * self.variance + squared) / (self.degrees + 1.0);
            if !self.is_held {
                self.degrees += 1.0;
            }
        }
        self.p11 -= part * gain_1 * gain_1 * spread;
        self.p01 -= part * gain_0 * gain_1 * spread;
        self.p00 -= part * gain_0 * gain_0 * spread;
    }
}

#[cfg(test)]
mod tests {
    use super::{DEGREES, Filter};
    use windrow_model::Bound;

    /// Without wander, clipping and holding, the filter is the batch conjugate line. Reference: case `normal-inverse-gamma/5`, closed
    /// form with numpy 2.4.6 (West and Harrison 1997, chapter 4; Gelman et al. 2013, chapter 14).
    #[test]
    fn the_filter_is_the_batch_conjugate_line() {
        let mut filter = Filter {
            level: 3.2,
            slope: -0.01,
            p00: 4.0,
            p01: 0.0,
            p11: 0.0025,
            variance: 0.04,
            degrees: DEGREES,
            is_held: false,
        };
        let mut before = 0.0;
        for (x, y) in [(0.0, 3.4), (2.1, 3.31), (3.9, 3.35), (7.2, 3.02), (9.0, 3.1)] {
            let forecast = filter.forecast(x - before, 0.0);
            filter.learn(forecast, y, Bound::Exact);
            before = x;
        }
        let forecast = filter.forecast(12.0 - before, 0.0);
        let near = |a: f64, b: f64| assert!((a / b - 1.0).abs() < 1e-10, "{a} against {b}");
        near(filter.slope, -0.013_391_483_131_366_618);
        near(filter.level - 12.0 * filter.slope, 3.290_912_557_241_207_5);
        near(filter.variance, 0.029_891_504_649_986_935);
        near(filter.degrees, 13.0);
        near(forecast.mean, 3.130_214_759_664_808);
        near(forecast.scale, 0.198_800_890_982_468_86);
    }

    #[test]
    fn a_higher_ceiling_never_lowers_the_level() {
        let start = super::Start { level: 3.0, slope: 0.0, between: 0.1, variance: 0.04 };
        let after = |ceiling: f64| {
            let mut filter = Filter::new(start);
            let forecast = filter.forecast(1.0, 0.0);
            filter.learn(forecast, ceiling, Bound::AtLeast);
            filter.level
        };
        let levels: Vec<f64> = (0..60).map(|step| after(1.0 + f64::from(step) * 0.1)).collect();
        assert!(levels.windows(2).all(|pair| pair[0] <= pair[1] + 1e-12), "{levels:?}");
    }
}

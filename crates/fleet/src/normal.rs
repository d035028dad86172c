//! Normal and Student distributions, for arguments that may be anything, and a table where they are asked for millions of times.

use windrow_statistics::special::{normal, student};

/// Normal scores beyond this are told as this: no fleet is large enough to know more.
pub(crate) const FARTHEST: f64 = 12.0;
/// With so many degrees of freedom a Student-t is taken as normal.
const NORMAL_FROM: f64 = 200.0;

/// P(Z ≤ z).
pub(crate) fn below(z: f64) -> f64 {
    normal::cdf(z)
}

/// Normal density.
pub(crate) fn density(z: f64) -> f64 {
    normal::pdf(z)
}

/// The score with P(Z ≤ score) = p, kept within ± [`FARTHEST`].
pub(crate) fn score(p: f64) -> f64 {
    normal::quantile(p).clamp(-FARTHEST, FARTHEST)
}

/// Normal score of a Student-t number with `df` degrees of freedom.
pub(crate) fn score_of_t(t: f64, df: f64) -> f64 {
    if df > NORMAL_FROM {
        return t.clamp(-FARTHEST, FARTHEST);
    }
    // The lower tail keeps its digits; the upper one is its mirror.
    let z = score(student::cdf(-t.abs(), df));
    if t < 0.0 { z } else { -z }
}

/// The number of a Student-t with `df` degrees of freedom at a normal score.
pub(crate) fn t_of_score(z: f64, df: f64) -> f64 {
    if df > NORMAL_FROM {
        return z;
    }
    let t = student::quantile(below(-z.abs()), df);
    if z < 0.0 { t } else { -t }
}

/// Mean of a standard normal above `a`: φ(a)/(1 − Φ(a)).
pub(crate) fn mean_above(a: f64) -> f64 {
    if a > 8.0 {
        // The continued fraction of the Mills ratio; at 8 its error is below 1e-4.
        return a + 1.0 / (a + 2.0 / (a + 3.0 / a));
    }
    density(a) / below(-a)
}

/// A function on ± a reach, read off by straight lines between steps.
#[derive(Debug, Clone)]
pub(crate) struct Curve {
    reach: f64,
    values: Vec<f64>,
}

impl Curve {
    const STEP: f64 = 0.05;

    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        clippy::cast_precision_loss,
        reason = "hundreds of steps"
    )]
    pub(crate) fn of(reach: f64, function: impl Fn(f64) -> f64) -> Self {
        let steps = (2.0 * reach / Self::STEP).round() as usize;
        Self { reach, values: (0..=steps).map(|step| function(step as f64 * Self::STEP - reach)).collect() }
    }

    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "clamped before")]
    pub(crate) fn at(&self, x: f64) -> f64 {
        let place = (x.clamp(-self.reach, self.reach) + self.reach) / Self::STEP;
        let (before, part) = (place.floor() as usize, place.fract());
        let value = |step: usize| self.values.get(step).or(self.values.last()).copied().unwrap_or(f64::NAN);
        value(before) + part * (value(before + 1) - value(before))
    }
}

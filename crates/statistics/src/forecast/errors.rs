//! Student's t distribution with five degrees of freedom, in closed form.
//!
//! # References
//! Abramowitz & Stegun 1964, 26.7.3.

/// A product that may leave the range of numbers.
#[derive(Debug, Clone, Copy)]
pub(super) struct Product {
    factor: f64,
    logarithm: f64,
}

impl Product {
    pub(super) const ONE: Self = Self { factor: 1.0, logarithm: 0.0 };

    pub(super) fn times(&mut self, factor: f64) {
        self.factor *= factor;
        if !(1e-150..1e150).contains(&self.factor) {
            self.logarithm += self.factor.max(f64::MIN_POSITIVE).ln();
            self.factor = 1.0;
        }
    }

    /// The product itself, where it never left that range.
    pub(super) fn plain(self) -> Option<f64> {
        (self.logarithm == 0.0).then_some(self.factor)
    }

    pub(super) fn ln(self) -> f64 {
        self.logarithm + self.factor.max(f64::MIN_POSITIVE).ln()
    }
}

/// 1 + t²/5: the density but for its constant is this to the power −3.
pub(super) fn base(t: f64) -> f64 {
    1.0 + t * t * 0.2
}

/// P(T > t).
pub(super) fn above(t: f64) -> f64 {
    let tangent = t / 5.0_f64.sqrt();
    // The square of the cosine of the angle; sine times cosine is the tangent times that.
    let squared = 1.0 / (1.0 + tangent * tangent);
    let half = (tangent.atan() + tangent * squared * (1.0 + 2.0 / 3.0 * squared)) / std::f64::consts::PI;
    // The closed form loses its digits far out; no chance there matters below this.
    (0.5 - half).max(1e-12)
}

#[cfg(test)]
mod tests {
    use super::{above, base};
    use crate::special::student;

    #[test]
    fn as_the_distribution_itself() {
        for t in [-6.0, -1.3, 0.0, 0.4, 2.0, 9.0] {
            assert!((above(t) - student::sf(t, 5.0)).abs() < 1e-11, "{t}");
            let ratio = (student::ln_pdf(t, 5.0) - student::ln_pdf(0.0, 5.0)).exp();
            assert!((base(t).powi(-3) - ratio).abs() < 1e-12, "{t}");
        }
    }
}

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

    pub(super) fn ln(self) -> f64 {
        self.logarithm + self.factor.max(f64::MIN_POSITIVE).ln()
    }
}

/// 1 + t²/5: the density but for its constant is this to the power −3.
pub(super) fn base(t: f64) -> f64 {
    1.0 + t * t * 0.2
}

/// P(T > t). Without a branch, so that the processor takes several at a time.
#[expect(clippy::inline_always, reason = "only so it becomes part of what is made for the processor at hand")]
#[inline(always)]
pub(super) fn above(t: f64) -> f64 {
    let tangent = t * (1.0 / 5.0_f64.sqrt());
    // The square of the cosine of the angle; sine times cosine is the tangent times that.
    let squared = 1.0 / (1.0 + tangent * tangent);
    let half = (angle(tangent) + tangent * squared * (1.0 + 2.0 / 3.0 * squared)) * std::f64::consts::FRAC_1_PI;
    // The closed form loses its digits far out; no chance there matters below this.
    (0.5 - half).max(1e-12)
}

/// tan(π/8) and tan(3π/8).
const TANGENTS: (f64, f64) = (std::f64::consts::SQRT_2 - 1.0, std::f64::consts::SQRT_2 + 1.0);

/// Of atan(y)/y in powers of y² up to tan²(π/8), the highest first: Chebyshev interpolation worked out with forty digits, off by less than 2e-18.
const ANGLE: [f64; 12] = [
    -0.017_805_397_205_419_446,
    0.037_965_257_453_865_94,
    -0.050_351_024_566_015_52,
    0.058_468_782_973_308_72,
    -0.066_629_518_136_291_9,
    0.076_920_453_309_022_25,
    -0.090_908_968_090_640_27,
    0.111_111_107_449_196_58,
    -0.142_857_142_792_502_46,
    0.199_999_999_999_408_92,
    -0.333_333_333_333_331_2,
    1.0,
];

/// The angle of a tangent. The one of the system's library is as exact, and takes one at a time.
#[inline(always)]
fn angle(tangent: f64) -> f64 {
    use std::f64::consts::{FRAC_PI_2, FRAC_PI_4};
    let size = tangent.abs();
    // atan(x) = π/4 + atan((x − 1)/(x + 1)) = π/2 − atan(1/x).
    let (over, under, turned) = if size <= TANGENTS.0 {
        (size, 1.0, 0.0)
    } else if size <= TANGENTS.1 {
        (size - 1.0, size + 1.0, FRAC_PI_4)
    } else {
        (-1.0, size, FRAC_PI_2)
    };
    let left = over / under;
    let squared = left * left;
    let ratio = ANGLE.iter().fold(0.0, |sum, factor| sum * squared + factor);
    (turned + left * ratio).copysign(tangent)
}

#[cfg(test)]
mod tests {
    use super::{above, angle, base};
    use crate::special::student;

    #[test]
    fn as_the_distribution_itself() {
        for t in [-6.0, -1.3, 0.0, 0.4, 2.0, 9.0] {
            assert!((above(t) - student::sf(t, 5.0)).abs() < 1e-11, "{t}");
            let ratio = (student::ln_pdf(t, 5.0) - student::ln_pdf(0.0, 5.0)).exp();
            assert!((base(t).powi(-3) - ratio).abs() < 1e-12, "{t}");
        }
    }

    /// Against the system's library, over both borders of the interpolation and far out.
    #[test]
    fn angles_are_those_of_the_library() {
        for step in -4000_i32..=4000 {
            let tangent = (f64::from(step) / 400.0).sinh();
            assert!((angle(tangent) - tangent.atan()).abs() <= 3e-16, "{tangent}");
        }
    }
}

//! Where a line meets a limit, with an interval that is open when the data leave it open.
//!
//! # References
//! Fieller 1954, *J. R. Stat. Soc. B* 16:175; Draper & Smith 1998, section 3.2.

use super::line::Line;
use crate::special::student;

/// Where the line meets the limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Crossing {
    /// x at which the line itself meets it.
    pub at: f64,
    /// Ends of the interval; `None` where the slope cannot be told from zero, so that no closed interval exists.
    pub interval: Option<(f64, f64)>,
    /// t² s²/(b² Sxx): how far the slope is from being told from zero; 1 or more leaves the interval open.
    pub g: f64,
}

/// Where `line` meets `limit`, with the interval of its mean at `level` (0.8, say).
///
/// `None` if the line is level or has no scatter to judge by (two points).
#[must_use]
pub fn crossing(line: &Line, limit: f64, level: f64) -> Option<Crossing> {
    let sd = line.residual_sd?;
    let at = (limit - line.intercept) / line.slope;
    if !at.is_finite() {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "counts are far below 2^52")]
    let count = line.count as f64;
    let t = student::quantile(f64::midpoint(1.0, level), count - 2.0);
    let g = (t * sd / line.slope).powi(2) / line.spread_x;
    let away = at - line.mean_x;
    let interval = (g < 1.0).then(|| {
        let middle = line.mean_x + away / (1.0 - g);
        let root = ((1.0 - g) / count + away * away / line.spread_x).sqrt();
        let half = t * sd / (line.slope.abs() * (1.0 - g)) * root;
        (middle - half, middle + half)
    });
    Some(Crossing { at, interval, g })
}

#[cfg(test)]
mod tests {
    use super::crossing;
    use crate::regression::line;

    #[test]
    fn a_level_line_meets_nothing() {
        let level = line(&[0.0, 1.0, 2.0], &[3.0, 3.0, 3.0]).unwrap();
        assert_eq!(crossing(&level, 1.0, 0.8), None);
        let two = line(&[0.0, 1.0], &[3.0, 2.0]).unwrap();
        assert_eq!(crossing(&two, 1.0, 0.8), None);
    }
}

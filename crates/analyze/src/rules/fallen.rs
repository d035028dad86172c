//! How far the newest readings of a series lie below its early ones: what one straight slope misses where a level held for long and falls
//! since.
//!
//! The early level is the median of the first half of the tests, the newest that of the last three (of fewer than six tests the last half):
//! one bad reading moves neither far. A median of n scatters by σ √(π/2n) (large samples of the normal distribution; Kendall & Stuart, from
//! memory); σ is the fleet's scatter, with the weight of [`PRIOR_DF`] degrees of freedom, and what the early readings show. Told is the fall that
//! is surpassed with a chance of 95 %.

use windrow_model::Bound;
use windrow_statistics::robust::median;
use windrow_statistics::step::PRIOR_DF;
use windrow_statistics::trend::Point;

/// Most of the newest readings.
const NEWEST: usize = 3;
/// Of the normal distribution, one-sided 5 %.
const ONE_SIDED: f64 = 1.645;

/// What some neighbouring readings of a series tell together.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Level {
    /// log10 of their median.
    pub(super) decades: f64,
    /// Middle of their times, years.
    t: f64,
    pub(super) tests: usize,
}

/// A fall from the early readings to the newest.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Fallen {
    pub(super) early: Level,
    pub(super) newest: Level,
    /// Decades that the fall surely is.
    pub(super) surely: f64,
    /// Standard deviation of one reading, decades.
    pub(super) scatter: f64,
}

impl Fallen {
    /// Decades between both levels.
    pub(super) fn decades(&self) -> f64 {
        self.early.decades - self.newest.decades
    }

    /// Years between both levels.
    pub(super) fn years(&self) -> f64 {
        self.newest.t - self.early.t
    }
}

/// The fall of a series, oldest first, with the fleet's `scatter` of one reading in decades. `None` where bounds leave open whether it is one: a
/// newest reading that may be higher, or an early one that may be lower.
pub(super) fn fallen(points: &[Point], scatter: f64) -> Option<Fallen> {
    let (early, late) = points.split_at(points.len() / 2);
    let newest = late.get(late.len().checked_sub(NEWEST.min(early.len()))?..)?;
    let opens = early.iter().any(|point| point.bound == Bound::AtMost)
        || newest.iter().any(|point| point.bound == Bound::AtLeast);
    if opens {
        return None;
    }
    let scatter = moderated(early, scatter);
    let (early, newest) = (level(early)?, level(newest)?);
    let error = scatter * (std::f64::consts::FRAC_PI_2 * (1.0 / count(early.tests) + 1.0 / count(newest.tests))).sqrt();
    let surely = early.decades - newest.decades - ONE_SIDED * error;
    Some(Fallen { early, newest, surely, scatter })
}

fn level(points: &[Point]) -> Option<Level> {
    let of = |of: fn(&Point) -> f64| median(&points.iter().map(of).collect::<Vec<f64>>());
    Some(Level { decades: of(|point| point.y)?, t: of(|point| point.t)?, tests: points.len() })
}

/// The fleet's scatter and that of some readings about their mean, weighed by their degrees of freedom.
fn moderated(points: &[Point], scatter: f64) -> f64 {
    let mean = points.iter().map(|point| point.y).sum::<f64>() / count(points.len());
    let squares: f64 = points.iter().map(|point| (point.y - mean).powi(2)).sum();
    ((PRIOR_DF * scatter * scatter + squares) / (PRIOR_DF + count(points.len()) - 1.0)).sqrt()
}

#[expect(clippy::cast_precision_loss, reason = "counts of tests")]
fn count(tests: usize) -> f64 {
    tests as f64
}

#[cfg(test)]
mod tests {
    use super::fallen;
    use windrow_model::Bound;
    use windrow_statistics::trend::Point;

    fn series(values: &[f64]) -> Vec<Point> {
        let point = |(y, year): (&f64, i32)| Point { t: f64::from(year), blur: 0.0, y: *y, bound: Bound::Exact };
        values.iter().zip(2000..).map(point).collect()
    }

    /// By hand: medians 9.1 and 7.0, four years apart; s² = (8·0.04 + 0.02)/10, error s·√(π/2·(1/3 + 1/3)).
    #[test]
    fn the_fall_is_told_less_what_scatter_explains() {
        let found = fallen(&series(&[9.1, 9.2, 9.0, 9.1, 7.5, 7.0, 6.0]), 0.2).unwrap();
        assert!((found.decades() - 2.1).abs() < 1e-12 && (found.years() - 4.0).abs() < 1e-12, "{found:?}");
        let error = (0.034_f64 * std::f64::consts::FRAC_PI_2 * 2.0 / 3.0).sqrt();
        assert!((found.surely - (2.1 - 1.645 * error)).abs() < 1e-12, "{found:?}");
    }

    #[test]
    fn bounds_that_may_hide_the_fall_leave_it_open() {
        let mut points = series(&[9.0, 9.1, 9.0, 9.1, 7.0, 7.1]);
        points[5].bound = Bound::AtLeast;
        assert_eq!(fallen(&points, 0.2), None);
        points[5].bound = Bound::AtMost;
        assert!(fallen(&points, 0.2).is_some_and(|found| found.surely > 1.0));
        points[0].bound = Bound::AtMost;
        assert_eq!(fallen(&points, 0.2), None);
        assert_eq!(fallen(&series(&[]), 0.2), None);
    }
}

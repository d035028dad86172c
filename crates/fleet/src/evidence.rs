//! Evidence over time: the strongest of the last one to four surprises together, M = min over w of (sum of the last w scores)/√w
//! (a windowed likelihood ratio; Page 1954, Lai 1995), and how rare that is by chance.

use crate::normal;
use std::sync::OnceLock;

/// Longest window.
pub(crate) const LONGEST: usize = 4;
/// Legendre nodes of one integration.
const NODES: usize = 48;
/// Scores from −12 to 4 in steps of a quarter.
const STEP: f64 = 0.25;
const LOWEST: f64 = -12.0;
const STEPS: usize = 65;

/// The strongest window of scores, oldest first: its M and its length. `None` without scores.
pub(crate) fn strongest(scores: &[f64]) -> Option<(f64, usize)> {
    let mut sum = 0.0;
    let windows = scores.iter().rev().take(LONGEST).enumerate().map(|(before, score)| {
        sum += score;
        (sum / root(before + 1), before + 1)
    });
    windows.min_by(|a, b| a.0.total_cmp(&b.0))
}

/// P(M ≤ m) for independent standard normal scores, with windows up to `longest`.
pub(crate) fn chance(m: f64, longest: usize) -> f64 {
    let longest = longest.clamp(1, LONGEST);
    if longest == 1 {
        return normal::below(m);
    }
    let logs = &tables()[longest - 2];
    let place = ((m - LOWEST) / STEP).max(0.0);
    #[expect(
        clippy::cast_possible_truncation,
        clippy::cast_sign_loss,
        reason = "not negative, and cut at the last step"
    )]
    let before = (place as usize).min(STEPS - 2);
    #[expect(clippy::cast_precision_loss, reason = "65 steps")]
    let part = (place - before as f64).min(1.0);
    (logs[before] + part * (logs[before + 1] - logs[before])).exp().min(1.0)
}

/// Works out beforehand what [`chance`] looks up: a fiftieth of a second that others need not wait for.
pub(crate) fn prepare() {
    tables();
}

/// ln P for windows up to 2, 3 and 4.
fn tables() -> &'static [[f64; STEPS]; LONGEST - 1] {
    static TABLES: OnceLock<[[f64; STEPS]; LONGEST - 1]> = OnceLock::new();
    TABLES.get_or_init(|| {
        let mut tables = [[0.0; STEPS]; LONGEST - 1];
        for step in 0..STEPS {
            #[expect(clippy::cast_precision_loss, reason = "65 steps")]
            let chances = crossing(LOWEST + STEP * step as f64);
            for (table, chance) in tables.iter_mut().zip(chances) {
                table[step] = chance.max(f64::MIN_POSITIVE).ln();
            }
        }
        tables
    })
}

/// P that a random walk of normal steps, after w of them, lies at or below m√w for a w up to 2, 3, 4: the density of the walks that
/// did not, carried on step by step.
fn crossing(m: f64) -> [f64; LONGEST - 1] {
    let (nodes, weights) = legendre();
    let mut alive: Vec<(f64, f64)> =
        stretch(&nodes, &weights, m, 1).map(|(x, weight)| (x, weight * normal::density(x))).collect();
    let mut crossed = normal::below(m);
    let mut chances = [0.0; LONGEST - 1];
    for (w, chance) in (2..=LONGEST).zip(&mut chances) {
        let limit = m * root(w);
        crossed += alive.iter().map(|(x, mass)| mass * normal::below(limit - x)).sum::<f64>();
        *chance = crossed;
        if w == LONGEST {
            break;
        }
        alive = stretch(&nodes, &weights, m, w)
            .map(|(to, weight)| {
                (to, weight * alive.iter().map(|(x, mass)| mass * normal::density(to - x)).sum::<f64>())
            })
            .collect();
    }
    chances
}

/// Nodes and weights from the limit after `w` steps up to where no walk comes.
fn stretch<'a>(nodes: &'a [f64], weights: &'a [f64], m: f64, w: usize) -> impl Iterator<Item = (f64, f64)> + 'a {
    let from = (m * root(w)).max(-8.0 * root(w));
    let half = (8.0 * root(w) - from) / 2.0;
    nodes.iter().zip(weights).map(move |(node, weight)| (from + half * (1.0 + node), half * weight))
}

/// Gauss-Legendre nodes and weights by Newton's method on the recursion of the polynomials.
#[expect(clippy::cast_precision_loss, reason = "48 nodes")]
fn legendre() -> (Vec<f64>, Vec<f64>) {
    let count = NODES as f64;
    (0..NODES)
        .map(|node| {
            let mut x = (std::f64::consts::PI * (node as f64 + 0.75) / (count + 0.5)).cos();
            let mut slope = 1.0;
            for _ in 0..20 {
                let (mut before, mut here) = (1.0, x);
                for degree in 2..=NODES {
                    let degree = degree as f64;
                    (before, here) = (here, ((2.0 * degree - 1.0) * x * here - (degree - 1.0) * before) / degree);
                }
                slope = count * (x * here - before) / (x * x - 1.0);
                x -= here / slope;
            }
            (x, 2.0 / ((1.0 - x * x) * slope * slope))
        })
        .unzip()
}

#[expect(clippy::cast_precision_loss, reason = "up to 4")]
fn root(w: usize) -> f64 {
    (w as f64).sqrt()
}

#[cfg(test)]
mod tests {
    use super::{chance, crossing, strongest};

    #[test]
    fn the_strongest_window_is_found() {
        assert_eq!(strongest(&[]), None);
        assert_eq!(strongest(&[0.0, -3.0]), Some((-3.0, 1)));
        let (m, w) = strongest(&[5.0, -1.0, -1.0, -1.0, -1.0]).unwrap();
        assert!((m + 2.0).abs() < 1e-12 && w == 4);
    }

    /// Against direct simulation (2 million walks of Python 3.11's `random.gauss`, seed 1): P(M ≤ −2) for windows up to 2, 3, 4.
    #[test]
    fn the_null_of_the_windows_is_that_of_random_walks() {
        let [two, three, four] = crossing(-2.0);
        for (ours, simulated) in [(two, SIMULATED[0]), (three, SIMULATED[1]), (four, SIMULATED[2])] {
            assert!((ours - simulated).abs() < 4.0 * (simulated / 2e6_f64).sqrt(), "{ours} against {simulated}");
        }
        assert!((chance(-2.0, 4) - four).abs() < 1e-12 && chance(-2.1, 4) < chance(-2.0, 4));
    }

    const SIMULATED: [f64; 3] = [0.037_924_5, 0.049_119_5, 0.057_952_5];
}

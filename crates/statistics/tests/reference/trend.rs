//! Trend and step cases: scipy 1.17.1, pymannkendall 1.4.3, rational arithmetic with full enumeration (R NADA 1.6-1.1 beside it),
//! pyhomogeneity 1.1, ruptures 1.1.10.

use crate::case::{Case, numbers, truths};
use windrow_model::Bound;
use windrow_statistics::special::normal;
use windrow_statistics::step;
use windrow_statistics::trend::{
    Extent, Point, extent, intercept, normal_p, permutation_variance, score, significance, slope, tau_b,
};

pub(crate) fn run(case: &Case) {
    match case.group() {
        "theil-sen" => theil_sen(case),
        "mann-kendall" => mann_kendall(case),
        "kendall-exact" => kendall_exact(case),
        "kendall-ties" => kendall_ties(case),
        "mann-kendall-exact-table" => exact_table(case),
        "ats" => bounded(case),
        "pettitt" => pettitt(case),
        "least-squares-step" => least_squares_step(case),
        _ => case.unknown(),
    }
}

fn points(case: &Case) -> Vec<Point> {
    let (t, y) = match case.dataset() {
        Some(set) => (numbers(&set["t"]), numbers(&set["y"])),
        None => (numbers(case.input("t")), numbers(case.input("y"))),
    };
    let bounds = match case.input("at_least") {
        flags if flags.is_array() => truths(flags),
        _ => vec![false; t.len()],
    };
    t.into_iter()
        .zip(y)
        .zip(bounds)
        .map(|((t, y), at_least)| Point {
            t,
            blur: 0.0,
            y,
            bound: if at_least { Bound::AtLeast } else { Bound::Exact },
        })
        .collect()
}

#[expect(clippy::cast_precision_loss, reason = "scores are small")]
fn as_f64(score: i64) -> f64 {
    score as f64
}

fn theil_sen(case: &Case) {
    let points = points(case);
    let middle = slope(&points).unwrap().middle;
    case.holds("slope", middle);
    case.holds("intercept", intercept(&points, middle).unwrap());
    let level = case.input("level").as_f64().unwrap();
    match extent(&points, level).unwrap() {
        Extent::Interval(low, high) => {
            case.holds("low", low.unwrap());
            case.holds("high", high.unwrap());
        }
        // scipy gives order statistics for three points as well; ours are the same numbers, called a range.
        Extent::Range(low, high) => {
            case.holds("low", low.unwrap());
            case.holds("high", high.unwrap());
        }
    }
}

fn mann_kendall(case: &Case) {
    let points = points(case);
    let (s, variance) = (score(&points), permutation_variance(&points));
    case.holds("s", as_f64(s));
    case.holds("var_s", variance);
    let z = if variance > 0.0 { as_f64(s - s.signum()) / variance.sqrt() } else { 0.0 };
    case.holds("z", z);
    case.holds("p", normal_p(s, variance));
    let pairs = as_f64(i64::try_from(points.len() * (points.len() - 1) / 2).unwrap());
    case.holds("tau_a", as_f64(s) / pairs);
}

fn kendall_exact(case: &Case) {
    let points = points(case);
    let found = significance(&points).unwrap();
    assert!(found.exact, "{}", case.id());
    case.holds("p", found.p);
    case.holds("tau_b", tau_b(&points).unwrap());
}

fn kendall_ties(case: &Case) {
    let points = points(case);
    case.holds("tau_b", tau_b(&points).unwrap());
    // scipy's asymptotic p has no continuity correction.
    let z = as_f64(score(&points)) / permutation_variance(&points).sqrt();
    case.holds("p", 2.0 * normal::sf(z.abs()));
}

/// A series of each S in the table: an order with the right number of inversions, built by bubbling.
fn exact_table(case: &Case) {
    for (length, row) in case.all_expected().as_object().unwrap() {
        let length: usize = length.parse().unwrap();
        for (s, p) in row.as_object().unwrap() {
            let s: i64 = s.parse().unwrap();
            let found = significance(&series_of(length, s)).unwrap();
            assert_eq!((found.s, found.exact), (s, true));
            case.near(&format!("n = {length}, S = {s}"), found.p, p.as_f64().unwrap());
        }
    }
}

fn series_of(length: usize, s: i64) -> Vec<Point> {
    let mut values: Vec<u8> = (1..=u8::try_from(length).unwrap()).collect();
    let falls = usize::try_from((i64::try_from(length * (length - 1) / 2).unwrap() - s) / 2).unwrap();
    let swaps = (0..length).flat_map(|last| 0..length - 1 - last);
    for at in swaps.take(falls) {
        values.swap(at, at + 1);
    }
    let dated = values.into_iter().zip(0_u8..);
    dated.map(|(y, t)| Point { t: f64::from(t), blur: 0.0, y: f64::from(y), bound: Bound::Exact }).collect()
}

fn bounded(case: &Case) {
    let points = points(case);
    let s = score(&points);
    case.holds("s", as_f64(s));
    let pairs = as_f64(i64::try_from(points.len() * (points.len() - 1) / 2).unwrap());
    case.holds("tau_a", as_f64(s) / pairs);
    let found = slope(&points).unwrap();
    case.holds("slope", found.middle);
    case.holds("slope_low", found.low);
    case.holds_or_open("slope_high", found.high, case.expected("slope_high"));
    let variance = permutation_variance(&points);
    case.holds("var_s_permutation", variance);
    case.holds("z", as_f64(s - s.signum()) / variance.sqrt());
    case.holds("p_normal", normal_p(s, variance));
    // Beyond eight points ours is the normal p above; the enumeration of the ninth case says how far off that is.
    if points.len() <= 8 {
        case.holds("p_exact_permutation", significance(&points).unwrap().p);
    }
    // NADA bisects on jittered data and stops anywhere in the stretch, or within 1 % of it (note of the case).
    let theirs = case.expected("nada_slope").as_f64().unwrap();
    let slack = 0.01 * theirs.abs() + 1e-9;
    assert!(theirs >= found.low - slack && found.high.is_none_or(|high| theirs <= high + slack), "{}", case.id());
}

fn pettitt(case: &Case) {
    let y: Vec<f64> = points(case).iter().map(|point| point.y).collect();
    let found = step::pettitt(&y).unwrap();
    case.holds("index_before_step", as_f64(i64::try_from(found.first_length - 1).unwrap()));
    case.holds("K", as_f64(found.k));
    case.holds("year_before_step", points(case)[found.first_length - 1].t);
    let (before, after) = y.split_at(found.first_length);
    let mean = |values: &[f64]| values.iter().sum::<f64>() / as_f64(i64::try_from(values.len()).unwrap());
    case.holds("mean_before", mean(before));
    case.holds("mean_after", mean(after));
}

fn least_squares_step(case: &Case) {
    let y: Vec<f64> = points(case).iter().map(|point| point.y).collect();
    let found = step::largest_step(&y, None).unwrap();
    case.holds("first_length", as_f64(i64::try_from(found.first_length).unwrap()));
    case.holds("rss", found.residual_squares);
}

//! Robust and shrunken estimates: scipy 1.17.1, statsmodels 0.15.0 (R MASS 7.3 beside it), R limma 3.54.1, mpmath 1.4.1, closed forms
//! with numpy 2.4.6.

use crate::case::{Case, numbers};
use windrow_statistics::conjugate::{Belief, update};
use windrow_statistics::regression::{crossing, line};
use windrow_statistics::robust::{deviation, huber_location, huber_regression, median, moderate, robust_scores};
use windrow_statistics::special::student;

pub(crate) fn run(case: &Case) {
    match case.group() {
        "mad" => absolute_deviation(case),
        "huber-proposal-2" => proposal_2(case),
        "huber-regression" => regression(case),
        "normal-inverse-gamma" => conjugate_line(case),
        "moderated-variance" => moderated(case),
        "fieller" => fieller(case),
        _ => case.unknown(),
    }
}

fn absolute_deviation(case: &Case) {
    let x = numbers(case.input("x"));
    case.holds("scale", deviation(&x).unwrap());
    match robust_scores(&x) {
        Some(scores) => {
            case.holds("median", median(&x).unwrap());
            case.all_hold("robust_z", &scores);
        }
        None => assert!(case.expected("robust_z").is_null(), "{}", case.id()),
    }
}

fn proposal_2(case: &Case) {
    let found = huber_location(&numbers(case.input("x")), case.input("c").as_f64().unwrap()).unwrap();
    case.holds("location", found.location);
    case.holds("scale", found.scale);
}

fn regression(case: &Case) {
    let (x, y) = match case.dataset() {
        Some(set) => {
            let rows: Vec<Vec<f64>> = set["x"].as_array().unwrap().iter().map(numbers).collect();
            let columns = (0..rows[0].len()).map(|column| rows.iter().map(|row| row[column]).collect()).collect();
            (columns, numbers(&set["y"]))
        }
        None => (vec![numbers(case.input("t"))], numbers(case.input("y"))),
    };
    let ones = vec![1.0; y.len()];
    let columns: Vec<&[f64]> = std::iter::once(&ones).chain(&x).map(Vec::as_slice).collect();
    let found = huber_regression(&columns, &y, 1.345).unwrap();
    case.all_hold("coef", &found.coefficients);
    case.holds("scale", found.scale);
}

fn conjugate_line(case: &Case) {
    let two = |values: Vec<f64>| [values[0], values[1]];
    let covariance = case.input("P0_in_noise_units").as_array().unwrap();
    let prior = Belief {
        mean: two(numbers(case.input("m0"))),
        covariance: [two(numbers(&covariance[0])), two(numbers(&covariance[1]))],
        df: case.input("n0").as_f64().unwrap(),
        variance: case.input("S0").as_f64().unwrap(),
    };
    let (x, y) = (numbers(case.input("x")), numbers(case.input("y")));
    let posterior = update(&prior, &x, &y).unwrap();
    // One reading after the other must give the same.
    let steps = x.iter().zip(&y).fold(prior, |belief, (x, y)| update(&belief, &[*x], &[*y]).unwrap());
    for belief in [posterior, steps] {
        case.all_hold("mean", &belief.mean);
        case.holds("S", belief.variance);
        case.holds("df", belief.df);
        let next = belief.predict(case.input("predict_at").as_f64().unwrap());
        case.holds("predict_mean", next.mean);
        case.holds("predict_scale", next.scale);
        case.holds("p_below_2_5", student::cdf((2.5 - next.mean) / next.scale, next.df));
    }
}

fn moderated(case: &Case) {
    let members: Vec<(f64, f64)> = numbers(case.input("var")).into_iter().zip(numbers(case.input("df"))).collect();
    let found = moderate(&members).unwrap();
    case.holds("var_prior", found.prior);
    let df = Some(found.prior_df).filter(|df| df.is_finite());
    case.holds_or_open("df_prior", df, case.expected("df_prior"));
    case.all_hold("var_post", &found.variances);
}

fn fieller(case: &Case) {
    let fit = line(&numbers(case.input("t")), &numbers(case.input("y"))).unwrap();
    case.holds("slope", fit.slope);
    let found = crossing(&fit, case.input("limit").as_f64().unwrap(), case.input("level").as_f64().unwrap()).unwrap();
    case.holds("crossing", found.at);
    case.holds("g", found.g);
    case.holds_or_open("low", found.interval.map(|(low, _)| low), case.expected("low"));
    case.holds_or_open("high", found.interval.map(|(_, high)| high), case.expected("high"));
}

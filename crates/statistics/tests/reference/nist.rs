//! NIST Statistical Reference Datasets: certified values (Longley: recomputed with mpmath at 40 digits).

use crate::case::{Case, numbers};
use windrow_statistics::regression::{least_squares, line, one_way_f};

pub(crate) fn run(case: &Case) {
    match case.id() {
        "norris" => norris(case),
        "longley" => longley(case),
        "silicon-resistivity" => silicon(case),
        _ => case.unknown(),
    }
}

fn norris(case: &Case) {
    let fit = line(&numbers(case.input("x")), &numbers(case.input("y"))).unwrap();
    case.holds("intercept", fit.intercept);
    case.holds("slope", fit.slope);
    case.holds("se_intercept", fit.se_intercept.unwrap());
    case.holds("se_slope", fit.se_slope.unwrap());
    case.holds("residual_sd", fit.residual_sd.unwrap());
    case.holds("r_squared", fit.r_squared);
}

fn longley(case: &Case) {
    let rows: Vec<Vec<f64>> = case.input("x").as_array().unwrap().iter().map(numbers).collect();
    let mut columns = vec![vec![1.0; rows.len()]];
    columns.extend((0..rows[0].len()).map(|column| rows.iter().map(|row| row[column]).collect::<Vec<f64>>()));
    let columns: Vec<&[f64]> = columns.iter().map(Vec::as_slice).collect();
    case.all_hold("coef", &least_squares(&columns, &numbers(case.input("y"))).unwrap().coefficients);
}

fn silicon(case: &Case) {
    let groups: Vec<Vec<f64>> = case.input("groups").as_array().unwrap().iter().map(numbers).collect();
    case.holds("f", one_way_f(&groups).unwrap());
}

//! Survival cases: lifelines 0.30.3 (equal to R survival 3.5-3), statsmodels 0.15.0 (equal to R NADA).

use crate::case::{Case, numbers, truths};
use windrow_model::Bound;
use windrow_statistics::robust::median;
use windrow_statistics::survival::{Observation, kaplan_meier, regression_on_order_statistics, weibull};

pub(crate) fn run(case: &Case) {
    match case.id() {
        "kaplan-meier/left-truncated" => delayed_entry(case),
        "weibull/left-truncated" => weibull_lives(case),
        "ros/conductance" => conductance(case),
        _ if case.group() == "kaplan-meier" => ceilings(case),
        _ => case.unknown(),
    }
}

fn ceilings(case: &Case) {
    let readings = numbers(case.input("x")).into_iter().zip(truths(case.input("at_least")));
    let bound = |at_least: bool| if at_least { Bound::AtLeast } else { Bound::Exact };
    let observations: Vec<Observation> =
        readings.map(|(x, at_least)| Observation::of_reading(x, bound(at_least)).unwrap()).collect();
    let curve = kaplan_meier(&observations);
    let at = numbers(case.expected("at"));
    let each = |value: &dyn Fn(f64) -> f64| at.iter().map(|x| value(*x)).collect::<Vec<f64>>();
    case.all_hold("survival", &each(&|x| curve.survival(x)));
    case.all_hold("lower95", &each(&|x| curve.band(x, 0.95).0));
    case.all_hold("upper95", &each(&|x| curve.band(x, 0.95).1));
    for (p, want) in case.expected("quantile").as_object().unwrap() {
        case.holds_or_open(p, curve.quantile(p.parse().unwrap()), want);
    }
}

fn lives(case: &Case) -> Vec<Observation> {
    let ages = numbers(case.input("entry")).into_iter().zip(numbers(case.input("exit")));
    ages.zip(truths(case.input("failed"))).map(|((entry, exit), failed)| Observation { entry, exit, failed }).collect()
}

fn delayed_entry(case: &Case) {
    let curve = kaplan_meier(&lives(case));
    let at = numbers(case.expected("at"));
    case.all_hold("survival", &at.iter().map(|x| curve.survival(*x)).collect::<Vec<f64>>());
    case.all_hold("at", &curve.steps.iter().map(|step| step.at).collect::<Vec<f64>>());
}

fn weibull_lives(case: &Case) {
    let fit = weibull(&lives(case)).unwrap();
    case.holds("scale", fit.scale);
    case.holds("shape", fit.shape);
    case.holds("log_likelihood", fit.log_likelihood);
}

fn conductance(case: &Case) {
    let values: Vec<(f64, bool)> = numbers(case.input("x")).into_iter().zip(truths(case.input("at_most"))).collect();
    let fit = regression_on_order_statistics(&values).unwrap();
    case.all_hold("sorted_imputed", &fit.sorted);
    case.holds("mean", fit.mean);
    case.holds("sd", fit.sd);
    case.holds("median", median(&fit.sorted).unwrap());
}

//! # What it finds
//! A site in one year, an instrument or a tester whose insulation resistances read differently from what their machines lead one to
//! expect: a wet season, a new instrument, a changed method.
//! # How it is judged
//! `note`: five readings or more, by a factor of 1.5 or more, false discoveries among all groups of the kind at 0.05. Machines are judged
//! without what their site and year share.
//! # References
//! Median against its standard error, Student-t with as many degrees of freedom as readings less one; Benjamini and Hochberg 1995.

use super::words::factor;
use crate::finding::{self, About, Found, small};
use crate::fleet::{Model, site_and_year};
use std::collections::BTreeMap;
use windrow_criteria::cautions;
use windrow_fleet::{Odd, odd_groups};
use windrow_model::{Finding, Step};

const RATE: f64 = 0.05;
/// Smallest shift worth a word, decades: a factor of 1.5.
const SMALLEST: f64 = 0.176;
/// So many readings are named as evidence.
const NAMED: usize = 200;

/// Findings on groups; `evidence` gives the readings of the review at a place of the model.
pub(crate) fn find(model: &Model<'_>, evidence: impl Fn(usize) -> Vec<String>) -> Vec<Finding> {
    let resistance = &model.scores.resistance;
    let error = |place: usize| {
        if resistance.history[place] > 1 && !resistance.slip[place] { resistance.error[place] } else { f64::NAN }
    };
    let errors: Vec<f64> = (0..resistance.error.len()).map(error).collect();
    let reviews = &model.columns.reviews;
    let kinds = [("campaign", &reviews.campaign), ("instrument", &reviews.instrument), ("tester", &reviews.tester)];
    let odd = |(kind, codes): (&'static str, &Vec<u32>)| -> Vec<Finding> {
        let all = odd_groups(&errors, &reviews.resistance.bound, codes);
        let groups = all.len();
        let odd: Vec<Odd> = all.into_iter().filter(|odd| odd.q <= RATE && odd.shift.abs() >= SMALLEST).collect();
        let mut places: BTreeMap<u32, Vec<usize>> = odd.iter().map(|odd| (odd.code, Vec::new())).collect();
        for (place, code) in codes.iter().enumerate().filter(|(place, _)| errors[*place].is_finite()) {
            if let Some(places) = places.get_mut(code) {
                places.push(place);
            }
        }
        let of = |odd: &Odd| places.get(&odd.code).map(Vec::as_slice).unwrap_or_default();
        odd.iter().filter_map(|odd| stated(model, kind, (*odd, groups), (of(odd), &evidence))).collect()
    };
    kinds.into_iter().flat_map(odd).collect()
}

fn stated(
    model: &Model<'_>,
    kind: &'static str,
    (odd, groups): (Odd, usize),
    (places, evidence): (&[usize], impl Fn(usize) -> Vec<String>),
) -> Option<Finding> {
    let (name, key) = match kind {
        "campaign" => {
            let (site, year) = site_and_year(odd.code);
            let site = site.and_then(|site| model.codes.sites.name(site));
            let name = site.map_or_else(|| "all machines without a site".to_owned(), |site| format!("site {site}"));
            (format!("{name} in {year}"), format!("{} {year}", site.unwrap_or_default()))
        }
        "instrument" => {
            model.codes.instruments.name(odd.code).map(|name| (format!("instrument {name}"), name.to_owned()))?
        }
        _ => model.codes.testers.name(odd.code).map(|name| (format!("tester {name}"), name.to_owned()))?,
    };
    let seen = places.iter().filter_map(|place| model.keys.get(*place)?.performed_on).max();
    let way = if odd.shift > 0.0 { "higher" } else { "lower" };
    let shared = if kind == "campaign" { " Machines are judged without it." } else { "" };
    let found = Found {
        rule: match kind {
            "campaign" => "odd_campaign",
            "instrument" => "odd_instrument",
            _ => "odd_tester",
        },
        level: "note",
        statement: format!(
            "{name}: insulation resistances read {} times {way} than their machines lead one to expect, over {} readings: weather, an \
             instrument or a method, rather than all these windings at once.{shared}",
            factor(odd.shift),
            odd.count
        ),
        value: Some(10_f64.powf(odd.shift)),
        limit: None,
        unit: "1",
        basis: format!(
            "median of {} surprises: {:+.2} decades with a standard error of {:.2}; q = {} among all groups of the kind (Benjamini and \
             Hochberg 1995)",
            odd.count,
            odd.shift,
            odd.error,
            small(odd.q)
        ),
        cautions: cautions::GROUND_WALL,
        next_test: "measure a few of these windings again with another instrument, dry and at a known temperature",
    };
    let about = About {
        key: vec![kind.to_owned(), key, found.rule.to_owned()],
        asset_id: None,
        test_id: None,
        evidence: places.iter().flat_map(|place| evidence(*place)).take(NAMED).collect(),
        seen,
    };
    let mut finding = finding::stated(about, found);
    finding.q_value = Some(odd.q);
    finding.working = vec![
        Step::new(
            "group",
            format!(
                "each reading against the past of its machine and its sister machines; {groups} groups of the kind with five such readings or more, \
                 about the median of all readings"
            ),
        ),
        Step::new(
            "arithmetic",
            format!(
                "median of {} readings less what was expected of each: {:+.3} decades, standard error {:.3}, ratio {:.1}",
                odd.count,
                odd.shift,
                odd.error,
                odd.shift / odd.error
            ),
        ),
        Step::new("chance", format!("q = {} among all groups of the kind", small(odd.q))),
        Step::new(
            "look_alike",
            "machines of one group that all failed together; then they stay low when the weather or the instrument changes",
        ),
    ];
    Some(finding)
}

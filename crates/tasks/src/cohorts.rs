//! Machines of one kind beside one another: the newest figures of each, as lists and pictures tell them.

use std::collections::HashMap;
use windrow_analyze::cohorts::{Cohort, cohorts};
use windrow_model::{Asset, Bound, TestSummary};
use windrow_report::distributions::Kind;

/// A cohort with the newest figures of its machines.
#[derive(Debug, Clone, PartialEq)]
pub struct Kin {
    /// What is known of them together.
    pub figures: Cohort,
    /// Their name and newest figures.
    pub kind: Kind,
}

/// A figure with its bound.
type Figure = (f64, Bound);

/// The cohorts of `assets`, and for each machine the place of its cohort. Each machine counts once, by its newest test that tells the
/// figure; `summaries` stand in the order of their days.
#[must_use]
pub fn kin(assets: &[Asset], summaries: &[TestSummary]) -> (Vec<Kin>, Vec<usize>) {
    let mut all: Vec<Kin> = cohorts(assets, summaries).into_iter().map(Kin::of).collect();
    let newest = newest(summaries);
    let mut places = Vec::with_capacity(assets.len());
    for asset in assets {
        let place = place_of(asset, &all);
        places.push(place);
        let figures = newest.get(asset.asset_id.as_str()).copied().unwrap_or_default();
        if let Some(kin) = all.get_mut(place) {
            kin.kind.resistances.extend(figures.0);
            kin.kind.indices.extend(figures.1);
        }
    }
    (all, places)
}

impl Kin {
    fn of(figures: Cohort) -> Self {
        let told = |text: &str, what: &str| if text == "unknown" { format!("{what} unknown") } else { text.to_owned() };
        let name = format!(
            "{}, {}, {}",
            told(&figures.rating_class, "rating"),
            told(&figures.winding_kind, "winding"),
            told(&figures.insulation_era, "insulation")
        );
        Self { figures, kind: Kind { name, ..Kind::default() } }
    }
}

/// Newest one-minute resistance at 40 °C and newest polarization index of each machine.
fn newest(summaries: &[TestSummary]) -> HashMap<&str, (Option<Figure>, Option<Figure>)> {
    let figure = |value: Option<f64>, bound: Option<&str>| {
        let value = value.filter(|value| value.is_finite())?;
        Some((value, bound.and_then(Bound::from_code).unwrap_or(Bound::Exact)))
    };
    let mut newest: HashMap<&str, (Option<Figure>, Option<Figure>)> = HashMap::new();
    for summary in summaries.iter().filter(|summary| summary.duplicate_of.is_none()) {
        let Some(asset) = summary.asset_id.as_deref() else { continue };
        let told = newest.entry(asset).or_default();
        told.0 = figure(summary.ir_1min_40c_ohm, summary.ir_bound.as_deref()).or(told.0);
        told.1 = figure(summary.polarization_index, summary.polarization_index_bound.as_deref()).or(told.1);
    }
    newest
}

/// Place of a machine's cohort: the analysis is asked for the cohort of this machine alone.
fn place_of(asset: &Asset, all: &[Kin]) -> usize {
    let key =
        |cohort: &Cohort| (cohort.rating_class.clone(), cohort.winding_kind.clone(), cohort.insulation_era.clone());
    let own = cohorts(std::slice::from_ref(asset), &[]).first().map(key);
    all.iter().position(|kin| Some(key(&kin.figures)) == own).unwrap_or(usize::MAX)
}

//! The same again: twice, in another order, under another name.

use super::Complaints;
use super::case::Case;
use super::golden;
use crate::claim::bids;
use crate::engine::understand_source;
use crate::registry::Registry;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_source::{Limits, Preview};

/// Names that tell nothing, or the wrong thing.
const NAMES: [&str; 3] = ["x", "renamed.bin", "MOTOR.XLS"];

/// Holds one sample to giving the same twice, and the same bids under another name.
pub(super) fn check(case: &Case, registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let name = case.name();
    if golden::of(case, registry) != golden::of(case, registry) {
        complaints.add(format!("{name} gives something else the second time"));
    }
    let bid = |file: &str| -> Vec<(&str, String)> {
        let preview = Preview::of(file, case.bytes()).beside(case.companion());
        bids(&preview.probe(), registry)
            .into_iter()
            .map(|(plugin, bid)| (plugin.id, bid.confidence.to_string()))
            .collect()
    };
    let own = bid(case.file());
    for other in NAMES.iter().filter(|other| !case.said.name_matters && bid(other) != own) {
        complaints.add(format!("{name}: bids change when it is named {other}; content decides, not names"));
    }
    complaints
}

/// Holds all samples to giving the same in the other order: nothing may be remembered from one to the next.
pub(super) fn check_order(cases: &[Case], registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let understood: Vec<Understood> = cases.iter().map(|case| understand(case, registry)).collect();
    for (case, first) in cases.iter().zip(&understood).rev() {
        if understand(case, registry) != *first {
            complaints.add(format!("{} gives something else after the other samples", case.name()));
        }
    }
    complaints
}

fn understand(case: &Case, registry: &Registry) -> Understood {
    let source = case.source();
    understand_source(source, registry, &Settings::default(), &Limits::default())
}

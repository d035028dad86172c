//! Every bid over every sample: the owner leads, and what is nobody's stays nobody's.

use super::Complaints;
use super::case::{Case, Expect};
use crate::claim::{LOWEST, bids, leads};
use crate::engine::{Source, read_source, understand_source};
use crate::registry::Registry;
use std::path::Path;
use windrow_model::raw::{RegionReport, Understood};
use windrow_model::settings::Settings;
use windrow_source::{Limits, Preview};

/// Holds all bids over one sample to the scale.
pub(super) fn check(case: &Case, registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let id = case.id();
    if registry.readers().iter().any(|plugin| plugin.id == id) {
        of_readers(case, &id, registry, &mut complaints);
    } else {
        of_importers(case, &id, registry, &mut complaints);
    }
    complaints
}

fn of_readers(case: &Case, id: &str, registry: &Registry, complaints: &mut Complaints) {
    let preview = Preview::of(case.file(), case.bytes()).beside(case.companion());
    let bids = bids(&preview.probe(), registry);
    let name = case.name();
    for (plugin, verdict) in &bids {
        if !(0.0..=1.0).contains(&verdict.confidence) || verdict.reason.trim().is_empty() {
            complaints.add(format!("{name}: {} bids {} for {:?}", plugin.id, verdict.confidence, verdict.reason));
        }
    }
    let own = bids.iter().find(|(plugin, _)| plugin.id == id).map_or(0.0, |(_, verdict)| verdict.confidence);
    let others = bids.iter().find(|(plugin, _)| plugin.id != id);
    let (other, most) = others.map_or(("nobody", 0.0), |(plugin, verdict)| (plugin.id, verdict.confidence));
    match case.expect() {
        Expect::Refuse if own > 0.0 => complaints.add(format!("{name}: {id} must refuse it and bids {own}")),
        Expect::Refuse => {}
        // What is too damaged to be told by its mark may be nobody's; it must not be somebody else's.
        Expect::Error if own < LOWEST && most < LOWEST => {}
        _ if own < LOWEST => complaints.add(format!("{name}: {id} does not bid for its own sample")),
        _ if !leads(own, most) => complaints.add(format!("{name}: {id} bids {own} and {other} bids {most}, too near")),
        _ => {}
    }
}

fn of_importers(case: &Case, id: &str, registry: &Registry, complaints: &mut Complaints) {
    let source = case.source();
    let understood = understand_source(source, registry, &Settings::default(), &Limits::default());
    let name = case.name();
    if understood.reader.is_none() {
        let reason = understood.reason.unwrap_or_default();
        complaints.add(format!("{name}: no reader reads it: {reason}"));
    } else if case.expect() == Expect::Refuse {
        for region in &understood.regions {
            let bid = bid_of(id, region);
            if bid > 0.0 {
                complaints.add(format!("{name}: {id} must refuse {} and bids {bid}", region.place));
            }
        }
    } else {
        owns(&understood, id, &name, complaints);
    }
}

/// The bid of an importer for a region.
fn bid_of(id: &str, region: &RegionReport) -> f64 {
    let first = region.importer.as_deref().filter(|importer| *importer == id).map(|_| region.confidence);
    first.or_else(|| region.runners_up.iter().find(|(other, _)| other == id).map(|(_, bid)| *bid)).unwrap_or(0.0)
}

/// Every region that somebody claims is the owner's, by a lead.
fn owns(understood: &Understood, id: &str, name: &str, complaints: &mut Complaints) {
    let mut owned = 0;
    for region in understood.regions.iter().filter(|region| region.importer.is_some()) {
        let (own, importer) = (bid_of(id, region), region.importer.as_deref().unwrap_or_default());
        let rivals = region.runners_up.iter().filter(|(other, _)| other != id).map(|(_, bid)| *bid);
        let most = rivals.fold(0.0, f64::max);
        if importer != id {
            complaints
                .add(format!("{name}: {importer} claims {} with {}, {id} bids {own}", region.place, region.confidence));
        } else if own < LOWEST || !leads(own, most) {
            complaints.add(format!("{name}: {id} bids {own} for {}, another {most}: too near", region.place));
        } else {
            owned += 1;
        }
        if region.reasons.iter().all(|reason| reason.trim().is_empty()) {
            complaints.add(format!("{name}: {importer} claims {} without a reason", region.place));
        }
    }
    if owned == 0 {
        complaints.add(format!("{name}: {id} claims no region of its own sample"));
    }
}

/// Files that every plugin must leave alone: they are not read, and why is said with what to do.
///
/// # Errors
/// When the folder cannot be read.
pub fn unclaimed(folder: &Path, registry: &Registry) -> std::io::Result<Complaints> {
    let mut complaints = Complaints::none();
    let mut paths: Vec<_> = std::fs::read_dir(folder)?.collect::<Result<Vec<_>, _>>()?;
    paths.sort_by_key(std::fs::DirEntry::path);
    for entry in paths {
        let (bytes, name) = (std::fs::read(entry.path())?, entry.file_name().to_string_lossy().into_owned());
        match read_source(Source::alone(&name, &bytes), registry, &Limits::default()) {
            Ok((reader, _)) => complaints.add(format!("{} is nobody's and {} reads it", name, reader.id)),
            Err(error) if error.found.is_empty() || error.advice.is_empty() => {
                complaints.add(format!("{name} is refused without saying why and what to do: {error}"));
            }
            Err(_) => {}
        }
    }
    Ok(complaints)
}

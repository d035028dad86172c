//! The simple rules that any analysis must beat; higher scores are worse.

use super::world::{Machine, RATINGS, Visit, World};

/// A rule's name and its scores, one a review in the order of the world.
pub(crate) type Scored = (&'static str, Vec<f64>);

/// All simple rules.
pub(crate) fn all(world: &World) -> Vec<Scored> {
    let (mean, sd) = moments(world.machines.iter().flat_map(|machine| &machine.visits).map(raw));
    let each = |score: &dyn Fn(&Machine, usize) -> f64| -> Vec<f64> {
        world
            .machines
            .iter()
            .flat_map(|machine| (0..machine.visits.len()).map(|at| score(machine, at)).collect::<Vec<_>>())
            .collect()
    };
    vec![
        ("IR minimum only, threshold moved", each(&minimum)),
        ("z-score of raw IR in the fleet", each(&|machine, at| (mean - raw(&machine.visits[at])) / sd)),
        ("z-score of raw IR, own history", each(&own_z)),
        ("own regression of y, t of slope", each(&own_slope)),
        ("drop of y below own median", each(&own_drop)),
        ("limits on every quantity", each(&|machine, at| minimum(machine, at).max(others(&machine.visits[at])))),
        (
            "own-median drop + limits on the rest",
            each(&|machine, at| own_drop(machine, at).max(others(&machine.visits[at]))),
        ),
    ]
}

fn raw(visit: &Visit) -> f64 {
    visit.resistance_mohm.log10()
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn moments(values: impl Iterator<Item = f64> + Clone) -> (f64, f64) {
    let count = values.clone().count().max(1) as f64;
    let mean = values.clone().sum::<f64>() / count;
    (mean, (values.map(|value| (value - mean).powi(2)).sum::<f64>() / (count - 1.0).max(1.0)).sqrt().max(1e-9))
}

/// Decades below the minimum of IEEE 43-2013 Table 3 (from memory): kV + 1, 100 or 5 MΩ.
fn minimum(machine: &Machine, at: usize) -> f64 {
    let (volts, kind) = RATINGS[machine.rating as usize % RATINGS.len()];
    let least: f64 = match (machine.era, kind) {
        (0, _) => volts / 1000.0 + 1.0,
        (_, "form") => 100.0,
        _ => 5.0,
    };
    machine.visits[at].decades(machine.era).map_or(f64::NEG_INFINITY, |decades| least.log10() - decades)
}

fn own_z(machine: &Machine, at: usize) -> f64 {
    let before = machine.visits[..at].iter().map(raw);
    if at < 2 {
        return f64::NEG_INFINITY;
    }
    let (mean, sd) = moments(before);
    (mean - raw(&machine.visits[at])) / sd.max(0.05)
}

#[expect(clippy::cast_precision_loss, reason = "counts")]
fn own_slope(machine: &Machine, at: usize) -> f64 {
    let points: Vec<(f64, f64)> = machine.visits[..=at]
        .iter()
        .filter_map(|visit| Some((f64::from(visit.day) / 365.25, visit.decades(machine.era)?)))
        .collect();
    if points.len() < 3 {
        return f64::NEG_INFINITY;
    }
    let count = points.len() as f64;
    let (mx, my) =
        (points.iter().map(|(x, _)| x).sum::<f64>() / count, points.iter().map(|(_, y)| y).sum::<f64>() / count);
    let sxx: f64 = points.iter().map(|(x, _)| (x - mx).powi(2)).sum();
    let sxy: f64 = points.iter().map(|(x, y)| (x - mx) * (y - my)).sum();
    let slope = sxy / sxx.max(1e-9);
    let rest: f64 = points.iter().map(|(x, y)| (y - my - slope * (x - mx)).powi(2)).sum();
    -slope / (rest / (count - 2.0) / sxx.max(1e-9)).sqrt().max(1e-6)
}

/// Decades below the median of the machine's earlier readings.
fn own_drop(machine: &Machine, at: usize) -> f64 {
    let mut before: Vec<f64> = machine.visits[..at].iter().filter_map(|visit| visit.decades(machine.era)).collect();
    before.sort_by(f64::total_cmp);
    let (Some(middle), Some(here)) = (before.get(before.len() / 2), machine.visits[at].decades(machine.era)) else {
        return f64::NEG_INFINITY;
    };
    let low = before[(before.len() - 1) / 2];
    f64::midpoint(low, *middle) - here
}

/// Polarization index under 2, unbalance over 5 %, a surge level not withstood: each in units in which 1 is far beyond its limit.
fn others(visit: &Visit) -> f64 {
    let index = visit.index.map_or(f64::NEG_INFINITY, |index| (2.0 / index).ln() / 0.5);
    let unbalance = visit.unbalance.map_or(f64::NEG_INFINITY, |unbalance| (unbalance / 0.05).ln() + 1.0);
    let surge = visit.surge.and_then(|surge| surge.inception).map_or(f64::NEG_INFINITY, |level| 2.0 + 3.5 - level);
    index.max(unbalance).max(surge)
}

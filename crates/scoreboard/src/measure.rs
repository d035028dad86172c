//! What is counted: faults found at a rate of false alarms, false discoveries at a snapshot, coverage, unit slips.

use super::world::{FAULTS, World};

/// Share of faults found, by kind and of all.
#[derive(Debug, Clone, Copy, Default, PartialEq)]
pub(crate) struct Detected {
    pub(crate) by_kind: [f64; 4],
    pub(crate) all: f64,
}

/// The score that `per_thousand` of the reviews of sound machines exceed. A review is a test from the second on.
pub(crate) fn threshold(world: &World, scores: &[f64], per_thousand: f64) -> f64 {
    let mut sound: Vec<f64> = Vec::new();
    for_each_review(world, |machine, at, review| {
        if at > 0 && world.machines[machine].fault.is_none() {
            sound.push(finite(scores[review]));
        }
    });
    sound.sort_by(|a, b| b.total_cmp(a));
    #[expect(clippy::cast_precision_loss, clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "a count")]
    let place = (sound.len() as f64 * per_thousand / 1000.0).floor() as usize;
    sound.get(place).copied().unwrap_or(f64::INFINITY)
}

fn finite(score: f64) -> f64 {
    if score.is_nan() { f64::NEG_INFINITY } else { score }
}

fn for_each_review(world: &World, mut act: impl FnMut(usize, usize, usize)) {
    let mut review = 0;
    for (machine, drawn) in world.machines.iter().enumerate() {
        for at in 0..drawn.visits.len() {
            act(machine, at, review);
            review += 1;
        }
    }
}

/// Share of faults with a review between onset and failure above `threshold`.
pub(crate) fn detected(world: &World, scores: &[f64], threshold: f64) -> Detected {
    let mut found = vec![false; world.machines.len()];
    for_each_review(world, |machine, at, review| {
        let drawn = &world.machines[machine];
        let is_there = drawn.fault.is_some_and(|fault| fault.is_there(drawn.visits[at].day));
        found[machine] |= at > 0 && is_there && finite(scores[review]) > threshold;
    });
    let share = |kind: Option<_>| {
        let of_kind = |fault: &super::world::Fault| kind.is_none_or(|kind| fault.kind == kind);
        let all = world.machines.iter().zip(&found).filter(|(machine, _)| machine.fault.as_ref().is_some_and(of_kind));
        let (count, hits) = all.fold((0_u32, 0_u32), |(count, hits), (_, found)| (count + 1, hits + u32::from(*found)));
        f64::from(hits) / f64::from(count.max(1))
    };
    Detected { by_kind: FAULTS.map(|kind| share(Some(kind))), all: share(None) }
}

/// False alarms per thousand reviews of sound machines by length of history: 2, 3–4, 5–8, 9 and more.
pub(crate) fn by_history(world: &World, scores: &[f64], threshold: f64) -> [f64; 4] {
    let mut counts = [(0_u32, 0_u32); 4];
    for_each_review(world, |machine, at, review| {
        if at > 0 && world.machines[machine].fault.is_none() {
            let class = match at + 1 {
                2 => 0,
                3 | 4 => 1,
                5..=8 => 2,
                _ => 3,
            };
            counts[class].0 += 1;
            counts[class].1 += u32::from(finite(scores[review]) > threshold);
        }
    });
    counts.map(|(all, alarms)| 1000.0 * f64::from(alarms) / f64::from(all.max(1)))
}

/// Whether each machine has a fault at its newest review.
pub(crate) fn faulty_now(world: &World) -> Vec<bool> {
    let now = |machine: &super::world::Machine| {
        machine.fault.zip(machine.visits.last()).is_some_and(|(fault, visit)| fault.is_there(visit.day))
    };
    world.machines.iter().map(now).collect()
}

/// False among what is flagged, and the share of faults flagged.
pub(crate) fn discoveries(truth: &[bool], flagged: &[bool]) -> (f64, f64) {
    let count = |wanted: fn((&bool, &bool)) -> bool| {
        f64::from(u32::try_from(truth.iter().zip(flagged).filter(|pair| wanted(*pair)).count()).unwrap_or(u32::MAX))
    };
    let (right, wrong, missed) = (count(|(t, f)| *t && *f), count(|(t, f)| !*t && *f), count(|(t, f)| *t && !*f));
    (wrong / (right + wrong).max(1.0), right / (right + missed).max(1.0))
}

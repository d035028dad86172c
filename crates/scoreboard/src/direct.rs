//! A drawn fleet straight as the columns of the fleet model, for quick trials.

use super::world::{Machine, Visit, World, calendar, correction, year};
use windrow_fleet::{Bound, Channel, Fleet, UNTOLD};

/// Temperature at which a resistance is taken to be read where none is written, as the analyzer takes it.
const USUAL_C: f64 = 25.0;
const USUAL_SPREAD_K: f64 = 10.0;
/// Smaller unbalances are as good as none.
const LEAST_UNBALANCE: f64 = 5e-4;

/// The columns of a fleet.
pub(crate) fn columns(world: &World) -> Fleet {
    let mut fleet = Fleet::default();
    for machine in &world.machines {
        fleet.machines.rating.push(machine.rating);
        fleet.machines.insulation.push(machine.era);
        fleet.machines.maker.push(machine.maker);
        for visit in &machine.visits {
            review(&mut fleet, machine, visit);
        }
        fleet.machines.end.push(fleet.reviews.time_a.len());
    }
    fleet
}

fn review(fleet: &mut Fleet, machine: &Machine, visit: &Visit) {
    let reviews = &mut fleet.reviews;
    let time = year(visit.day);
    let (calendar_year, month) = calendar(visit.day);
    let rewinds = machine.rewound_years.iter().filter(|rewound| **rewound <= calendar_year);
    let made = rewinds.clone().max().copied().unwrap_or(machine.made_year);
    reviews.time_a.push(time);
    reviews.winding.push(u32::try_from(rewinds.count()).unwrap_or(UNTOLD));
    reviews.treated.push(visit.cleaned);
    reviews.age_a.push(time - f64::from(made));
    reviews.temperature_c.push(visit.celsius.unwrap_or(f64::NAN));
    reviews.humidity_pct.push(visit.humidity_pct.unwrap_or(f64::NAN));
    let [calendar_year, month] = [calendar_year, month - 1].map(|number| u32::try_from(number).unwrap_or(0));
    reviews.campaign.push(machine.site * 4096 + calendar_year);
    reviews.visit.push((machine.site * 4096 + calendar_year) * 12 + month);
    reviews.instrument.push(visit.instrument);
    reviews.tester.push(UNTOLD);
    let bound = if visit.ceiling { Bound::AtLeast } else { Bound::Exact };
    let told = visit.decades(machine.era);
    let at = |celsius: f64| correction(machine.era, celsius).unwrap_or(0.0);
    let assumed = visit.resistance_mohm.log10() + at(USUAL_C);
    reviews.resistance.push(Some((told.unwrap_or(assumed), bound)));
    reviews.extra.push(if told.is_some() { 0.0 } else { (at(USUAL_C + USUAL_SPREAD_K) - at(USUAL_C)).abs() });
    let exact = |channel: &mut Channel, value: Option<f64>| channel.push(value.map(|value| (value.ln(), Bound::Exact)));
    exact(&mut reviews.polarization, visit.index.filter(|_| told.is_none_or(|decades| decades <= 5000.0_f64.log10())));
    exact(&mut reviews.knee, visit.slope_ratio);
    exact(&mut reviews.unbalance, visit.unbalance.map(|unbalance| unbalance.max(LEAST_UNBALANCE)));
    reviews.surge.push(visit.surge.map(|surge| match surge.inception {
        Some(inception) => (inception, Bound::Exact),
        None => (surge.level, Bound::AtLeast),
    }));
}

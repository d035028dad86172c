//! Whom a machine is compared with: how many others of its cohorts told a quantity, and how many readings its campaign holds.

use crate::columns::{Channel, Fleet, UNTOLD};
use std::collections::HashMap;

/// Machines that told one quantity, by cohort, and readings of it by campaign.
#[derive(Debug, Clone, Default)]
pub struct Sisters {
    /// By rating, by rating and insulation, by both and maker; coarser cohorts have [`UNTOLD`] for what they leave open.
    machines: HashMap<[u32; 3], usize>,
    all: usize,
    readings: HashMap<u32, usize>,
}

/// How many others told a quantity.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Others {
    /// Machines of the fleet.
    pub fleet: usize,
    /// Of these those of the same rating.
    pub rating: usize,
    /// Of these those of the same insulation.
    pub insulation: usize,
    /// Of these those of the same maker.
    pub maker: usize,
    /// Readings of the same campaign as one review.
    pub campaign: usize,
}

impl Sisters {
    /// Counts those of a fleet.
    #[must_use]
    pub fn of(fleet: &Fleet, channel: &Channel) -> Self {
        let mut sisters = Self::default();
        for machine in (0..fleet.len()).filter(|machine| tells(fleet, channel, *machine)) {
            sisters.all += 1;
            for cohort in cohorts(fleet, machine) {
                *sisters.machines.entry(cohort).or_default() += 1;
            }
        }
        for (review, campaign) in fleet.reviews.campaign.iter().enumerate() {
            if *campaign != UNTOLD && channel.get(review).is_some() {
                *sisters.readings.entry(*campaign).or_default() += 1;
            }
        }
        sisters
    }

    /// Those beside a machine and one of its reviews.
    #[must_use]
    pub fn beside(&self, fleet: &Fleet, channel: &Channel, (machine, review): (usize, usize)) -> Others {
        let own = usize::from(tells(fleet, channel, machine));
        let [rating, insulation, maker] = cohorts(fleet, machine)
            .map(|cohort| self.machines.get(&cohort).copied().unwrap_or_default().saturating_sub(own));
        let campaign = fleet.reviews.campaign.get(review).and_then(|campaign| self.readings.get(campaign));
        let own_reading = usize::from(channel.get(review).is_some());
        Others {
            fleet: self.all.saturating_sub(own),
            rating,
            insulation,
            maker,
            campaign: campaign.copied().unwrap_or_default().saturating_sub(own_reading),
        }
    }
}

fn tells(fleet: &Fleet, channel: &Channel, machine: usize) -> bool {
    fleet.reviews_of(machine).any(|review| channel.get(review).is_some())
}

/// The cohorts of a machine, coarse to fine.
fn cohorts(fleet: &Fleet, machine: usize) -> [[u32; 3]; 3] {
    let code = |codes: &[u32]| codes.get(machine).copied().unwrap_or(UNTOLD);
    let machines = &fleet.machines;
    let (rating, insulation, maker) = (code(&machines.rating), code(&machines.insulation), code(&machines.maker));
    // What is left open is told apart from what is not told by one more than the last code.
    let open = UNTOLD - 1;
    [[rating, open, open], [rating, insulation, open], [rating, insulation, maker]]
}

#[cfg(test)]
mod tests {
    use super::{Others, Sisters};
    use crate::columns::{Channel, Fleet, Machines, Reviews};
    use windrow_model::Bound::Exact;

    /// Counted by hand: machines 0 to 2 of one rating, 0 and 1 of one insulation, each of its own maker; machine 3 of another rating; machine 2
    /// never told the quantity. Reviews 0 and 3 stand in one campaign.
    #[test]
    fn others_are_those_that_told_the_quantity() {
        let mut channel = Channel::default();
        for value in [Some(1.0), Some(2.0), None, Some(3.0)] {
            channel.push(value.map(|value| (value, Exact)));
        }
        let machines = Machines {
            rating: vec![7, 7, 7, 8],
            insulation: vec![1, 1, 2, 1],
            maker: vec![1, 2, 3, 1],
            end: vec![1, 2, 3, 4],
        };
        let fleet = Fleet { machines, reviews: Reviews { campaign: vec![5, 6, 5, 5], ..Reviews::default() } };
        let sisters = Sisters::of(&fleet, &channel);
        let beside = |machine: usize| sisters.beside(&fleet, &channel, (machine, machine));
        assert_eq!(beside(0), Others { fleet: 2, rating: 1, insulation: 1, maker: 0, campaign: 1 });
        assert_eq!(beside(2), Others { fleet: 3, rating: 2, insulation: 0, maker: 0, campaign: 2 });
    }
}

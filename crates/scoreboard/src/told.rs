//! What findings say of drawn machines: falls and unit slips, and how many of them are true.

use super::run::{Outcome, number_of};

/// What the two forms of `falling_trend` say.
pub(crate) const EVEN: &str = " a year";
pub(crate) const LATE: &str = "late rather than evenly";

/// Falls told, and those of machines that never fail; such windings age too, so that not each of the latter is wrong.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct Falls {
    pub(crate) told: u32,
    pub(crate) sound: u32,
}

impl Falls {
    pub(crate) fn add(&mut self, outcome: &Outcome, words: &str) {
        let told = outcome.analysis.findings.iter().filter(|finding| {
            finding.rule == "falling_trend" && finding.level == "watch" && finding.statement.contains(words)
        });
        for finding in told {
            let machine = finding.asset_id.as_deref().and_then(number_of);
            let machine = machine.and_then(|number| outcome.world.machines.get(number));
            self.told += 1;
            self.sound += u32::from(machine.is_some_and(|machine| machine.fault.is_none()));
        }
    }
}

/// Unit slips told and true.
#[derive(Debug, Default)]
pub(crate) struct Slips {
    told: f64,
    right: f64,
    true_ones: f64,
}

impl Slips {
    pub(crate) fn add(&mut self, outcome: &Outcome) {
        let visits = outcome.world.machines.iter().flat_map(|machine| &machine.visits);
        for (visit, reviewed) in visits.zip(&outcome.analysis.reviewed) {
            let truth = visit.slipped && !visit.ceiling;
            self.true_ones += f64::from(u8::from(truth));
            self.told += f64::from(u8::from(reviewed.slip));
            self.right += f64::from(u8::from(reviewed.slip && visit.slipped));
        }
    }

    pub(crate) fn rates(&self) -> (f64, f64) {
        (self.right / self.true_ones.max(1.0), self.right / self.told.max(1.0))
    }
}

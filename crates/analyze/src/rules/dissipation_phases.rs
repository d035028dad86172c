//! # What it finds
//! A phase whose dissipation factor grows faster with the voltage than that of the other two.
//! # How it is judged
//! In the newest test that measured the three phases at the same two voltages: twice the mean growth of the other two and half a percentage
//! point above it. One temperature and one humidity act on all three, so that no correction is needed. `plan` if the same phase stood out
//! in the test before, `watch` otherwise. No limit is claimed.
//! # References
//! As for growth over the years (`dissipation`): no standard gives a limit; half a percentage point is what IEC 60034-27-3:2015 allows new
//! coils from step to step (from memory); the factor of two: common practice, no source.

use super::curves::of_quantity;
use super::tip::{self, LEAST_RISE, QUANTITY, Tip};
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};

const TIMES: f64 = 2.0;

/// The phases of one test.
struct Phases {
    /// By growth, the largest first.
    tips: [(&'static str, Tip); 3],
}

impl Phases {
    fn others(&self) -> f64 {
        f64::midpoint(self.tips[1].1.growth(), self.tips[2].1.growth())
    }

    fn allowed(&self) -> f64 {
        tip::allowed(self.others(), TIMES)
    }

    fn stands_out(&self) -> bool {
        self.tips[0].1.growth() >= self.allowed()
    }
}

pub(crate) fn find(history: &History<'_>) -> Option<Finding> {
    let tests = history.of_this_winding();
    let told: Vec<(&Judged<'_>, Phases)> = tests.iter().filter_map(|judged| Some((*judged, phases(judged)?))).collect();
    let ((newest, now), earlier) = told.split_last()?;
    if !now.stands_out() {
        return None;
    }
    let (circuit, worst) = &now.tips[0];
    let again = earlier.last().is_some_and(|(_, before)| before.stands_out() && before.tips[0].0 == *circuit);
    let repeat = if again { "it stood out in the test before as well" } else { "one test: repeat it" };
    let row = Found {
        rule: "dissipation_phases",
        level: if again { "plan" } else { "watch" },
        statement: format!(
            "{}: the dissipation factor of {circuit} grows by {:.2} percentage points from {:.2} to {:.2} kV, that of the other two by {:.2}; \
             {repeat}. No limit is claimed for a winding in service.",
            history.tag,
            100.0 * worst.growth(),
            worst.volts[0] / 1e3,
            worst.volts[1] / 1e3,
            100.0 * now.others()
        ),
        value: Some(worst.growth()),
        limit: Some(now.allowed()),
        unit: "1",
        basis: tip::basis("the three phases of one test against each other"),
        cautions: cautions::GROUND_WALL,
        next_test: "each phase against earth with the other two earthed, clean and dry; terminals and cables apart",
    };
    let row = finding::of_series(history, &[*newest], ("", &[QUANTITY.code()]), row);
    let evidence = now.tips.iter().flat_map(|(_, tip)| tip.reading_ids.iter().cloned()).collect();
    let mut working: Vec<Step> = now.tips.iter().map(|(circuit, tip)| told_of(circuit, tip)).collect();
    working.push(Step::new(
        "arithmetic",
        format!(
            "mean of the other two {:.4}; {:.4} ≥ {TIMES} times that and ≥ {LEAST_RISE} above it: {:.4}",
            now.others(),
            worst.growth(),
            now.allowed()
        ),
    ));
    Some(Finding { evidence, working, ..row })
}

fn told_of(circuit: &str, tip: &Tip) -> Step {
    let ([low_v, high_v], [low, high]) = (tip.volts, tip.factors);
    let factors =
        format!("{:.3} % at {:.2} kV, {:.3} % at {:.2} kV", 100.0 * low, low_v / 1e3, 100.0 * high, high_v / 1e3);
    Step::new("data", format!("{circuit}: {factors}, growth {:.3} percentage points", 100.0 * tip.growth()))
}

/// The three phases at the lowest and the highest voltage that all of them were measured at.
fn phases(judged: &Judged<'_>) -> Option<Phases> {
    let curves = of_quantity(judged, QUANTITY);
    [["U-E", "V-E", "W-E"], ["U", "V", "W"]].into_iter().find_map(|names| {
        let of = |name: &str| curves.iter().find(|curve| curve.circuit == Some(name));
        let [u, v, w] = [of(names[0])?, of(names[1])?, of(names[2])?];
        let (second, third) = (u.shared(v)?, u.shared(w)?);
        let volts = [second[0].max(third[0]), second[1].min(third[1])];
        if volts[1] <= volts[0] {
            return None;
        }
        let mut tips = [(names[0], Tip::of(u, volts)?), (names[1], Tip::of(v, volts)?), (names[2], Tip::of(w, volts)?)];
        tips.sort_by(|(_, one), (_, other)| other.growth().total_cmp(&one.growth()));
        Some(Phases { tips })
    })
}

//! # What it finds
//! Partial discharges that double every six months.
//! # How it is judged
//! On the newest test with apparent charges of each circuit, at the highest voltage that the test before had too (within 2 %): twice as much as
//! then or more, and for a longer time twice for each half year. `watch`, `plan` if it had doubled so before that as well; `note` where the records do not name one
//! and the same instrument for both tests, whose figures cannot be compared then. No limit of a single value is claimed.
//! # References
//! CIGRE Session 2002, paper 11-202: doubling every six months under similar conditions is rapid decline (verified in the abstract; about
//! monitoring on line). That instruments cannot be compared: common practice, no source.

use super::curves::{Recorded, by_circuit};
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::{Machine, cautions, rule};
use windrow_model::{Finding, Quantity, Step};

const QUANTITY: Quantity = Quantity::PdMagnitude;
/// Half a year, days.
const HALF_YEAR_D: f64 = 182.625;

/// Charge of one test over that of the test before.
struct Growth<'a> {
    /// Newer test, then the one before.
    tests: [&'a Judged<'a>; 2],
    charges: [f64; 2],
    reading_ids: Vec<String>,
    volts: f64,
    days: f64,
    /// How many times as much is rapid over these days.
    rapid: f64,
}

impl Growth<'_> {
    fn times(&self) -> f64 {
        self.charges[0] / self.charges[1]
    }

    fn is_rapid(&self) -> bool {
        self.times() >= self.rapid
    }

    fn same_instrument(&self) -> bool {
        let [newer, before] = self.tests.map(|judged| judged.test.instrument);
        newer.is_some() && newer == before
    }
}

pub(crate) fn find(history: &History<'_>) -> Vec<Finding> {
    let circuits = by_circuit(history.of_this_winding(), QUANTITY);
    circuits.iter().filter_map(|tests| of_circuit(history, tests)).collect()
}

fn of_circuit(history: &History<'_>, tests: &[Recorded<'_>]) -> Option<Finding> {
    let circuit = tests.last()?.1.circuit;
    let mut pairs = tests.windows(2).rev().map(growth);
    let growth = pairs.next()?.filter(Growth::is_rapid)?;
    let again = pairs.next().flatten().is_some_and(|growth| growth.is_rapid());
    let (level, told) = match (growth.same_instrument(), again) {
        (false, _) => {
            ("note", "the records do not name one instrument for both, whose figures cannot be compared then")
        }
        (true, true) => ("plan", "they had doubled as fast before that"),
        (true, false) => ("watch", "one test: repeat it under the same conditions"),
    };
    let shown = circuit.map(|circuit| format!(" ({circuit})")).unwrap_or_default();
    let row = Found {
        rule: "discharge_growth",
        level,
        statement: format!(
            "{}: at {:.2} kV partial discharges{shown} are {:.1} times those of {:.0} days before; {told}. No limit of a single value is claimed.",
            history.tag,
            growth.volts / 1e3,
            growth.times(),
            growth.days
        ),
        value: Some(growth.times()),
        limit: Some(growth.rapid),
        unit: "1",
        basis: rule::rule(RULE).map(windrow_criteria::Rule::basis).unwrap_or_default().to_string(),
        cautions: cautions::GROUND_WALL,
        next_test: "the same test with the same instrument, coupler and voltage at a similar temperature and humidity; insulation resistance and polarization \
                    index first",
    };
    let row = finding::of_series(history, &[growth.tests[0]], (circuit.unwrap_or(""), &[QUANTITY.code()]), row);
    Some(Finding { evidence: growth.reading_ids.clone(), working: working(&growth), ..row })
}

/// The rule that says what is rapid.
const RULE: &str = "PD-DOUBLING";

fn growth<'a>(pair: &[Recorded<'a>]) -> Option<Growth<'a>> {
    let [(before, old), (newer, own)] = pair else { return None };
    let volts = own.shared(old)?[1];
    let ((_, charge, reading), (_, charge_before, reading_before)) = (own.at(volts)?, old.at(volts)?);
    let days = f64::from(before.test.performed_on?.until(newer.test.performed_on?).ok()?.get_days());
    let times = rule::rule(RULE)?.value.value(&Machine::default()).ok()?;
    Some(Growth {
        tests: [newer, before],
        charges: [charge, charge_before],
        reading_ids: [reading_before, reading]
            .into_iter()
            .flatten()
            .filter_map(|reading| reading.reading_id())
            .collect(),
        volts,
        days,
        rapid: times.powf((days / HALF_YEAR_D).max(1.0)),
    })
}

fn working(growth: &Growth<'_>) -> Vec<Step> {
    let one = |(judged, charge): (&Judged<'_>, f64)| {
        let on = judged.test.performed_on.map(|on| on.to_string()).unwrap_or_default();
        let instrument = judged.test.instrument.map_or("instrument not told", |instrument| instrument.as_str());
        Step::new("data", format!("{on}: {:.0} pC at {:.2} kV, {instrument}", charge * 1e12, growth.volts / 1e3))
    };
    let pairs = growth.tests.into_iter().zip(growth.charges);
    let mut steps: Vec<Step> = pairs.rev().map(one).collect();
    steps.push(Step::new(
        "arithmetic",
        format!(
            "{:.2} times as much; twice for each half year, at least twice, is {:.2} over {:.0} days",
            growth.times(),
            growth.rapid,
            growth.days
        ),
    ));
    steps
}

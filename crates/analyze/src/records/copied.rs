//! # What it finds
//! Readings of one machine that stand the same from test to test, digit for digit, more often than chance allows: copied forward.
//! # How it is judged
//! `note`, by machine: the chance of the longest run of equal tests, times the number of places where it could begin; over the fleet
//! false discoveries are held at 5 % (Benjamini & Hochberg 1995). Bounded readings and values that the instrument gives often are left
//! out, winding resistances too: they repeat by nature.
//! # References
//! Chance that two tests of an unchanged winding agree at a scatter of 0.1 decades: two digits 0.047, three 0.0047 (by simulation);
//! integer temperatures of a standard deviation of 10 K agree by chance in 1/(2·10·√π) = 0.028.

use super::found::{Doubt, evidence, lines, note};
use crate::loaded::{Loaded, Reading, Test};
use crate::printed::sure_digits;
use foldhash::fast::FixedState;
use std::collections::HashMap;
use windrow_model::{Finding, Question, Step};
use windrow_statistics::multiplicity::benjamini_hochberg;

/// Nearest two tests that cannot be the same one told twice, days.
const APART_DAYS: i32 = 25;
/// Held rate of false discoveries.
const RATE: f64 = 0.05;
/// Chance that two temperatures agree; twice the figure above, for they follow the seasons.
const TEMPERATURES_AGREE: f64 = 0.056;

/// A test with a date, and its exact insulation resistances.
struct Dated<'a> {
    test: Test<'a>,
    readings: Vec<Reading<'a>>,
}

/// A run of equal tests of one machine.
struct Run<'a> {
    tests: Vec<Test<'a>>,
    log10_chance: f64,
    places: usize,
    readings: Vec<Reading<'a>>,
    arithmetic: Vec<String>,
}

/// Findings by machine.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let usual = Usual::of(records);
    let mut looked_at = 0;
    let mut runs: Vec<(&str, Run<'_>)> = Vec::new();
    for places in records.by_machine() {
        let tests: Vec<Dated<'_>> = places.filter_map(|place| dated(records, records.test(place))).collect();
        looked_at += usize::from(tests.len() > 1);
        if let (Some(run), Some(first)) = (longest(&tests, &usual), tests.first()) {
            runs.extend(first.test.asset_id().map(|asset| (asset, run)));
        }
    }
    // The chance of the most surprising run anywhere in the machine's history.
    let chance = |run: &Run<'_>| (run.log10_chance + places(run.places)).min(0.0);
    // Machines without any run of equal tests were asked as well.
    let mut p: Vec<f64> = runs.iter().map(|(_, run)| 10_f64.powf(chance(run))).collect();
    p.resize(looked_at.max(p.len()), 1.0);
    let q_values = benjamini_hochberg(&p);
    runs.iter()
        .zip(q_values)
        .filter(|(_, q)| *q <= RATE)
        .map(|((asset, run), q)| finding(asset, run, (chance(run), q, looked_at)))
        .collect()
}

fn places(count: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "counts of tests")]
    let count = count as f64;
    count.log10()
}

/// How often each number stands among the readings of an instrument (or file, where none is told).
#[derive(Default)]
struct Usual<'a> {
    all: HashMap<(&'a str, u64), f64, FixedState>,
    readings: HashMap<&'a str, f64, FixedState>,
}

impl<'a> Usual<'a> {
    fn of(records: &'a Loaded) -> Self {
        let mut usual = Self::default();
        for test in records.tests() {
            let meter = meter(test);
            let mut values: Vec<u64> = readings_of(records, test).map(|record| record.value().to_bits()).collect();
            values.sort_unstable();
            for same in values.chunk_by(|a, b| a == b) {
                *usual.all.entry((meter, same[0])).or_default() += count(same.len());
            }
            if !values.is_empty() {
                *usual.readings.entry(meter).or_default() += count(values.len());
            }
        }
        usual
    }

    /// Share of a number among the instrument's readings of other machines than the one whose tests are `own`; a few readings more, for what
    /// few show is not sure.
    fn share(&self, test: Test<'_>, value: f64, own: &[Dated<'_>]) -> f64 {
        let (meter, value) = (meter(test), value.to_bits());
        let same_meter = own.iter().filter(|dated| self::meter(dated.test) == meter);
        let own = same_meter.flat_map(|dated| &dated.readings).filter(|record| record.value().to_bits() == value);
        let own = count(own.count());
        let all = self.all.get(&(meter, value)).copied().unwrap_or_default();
        (all - own).max(0.0) / (self.readings.get(meter).copied().unwrap_or_default() + 20.0)
    }
}

/// The readings of a test that tell of copying.
fn readings_of<'a>(records: &'a Loaded, test: Test<'a>) -> impl Iterator<Item = Reading<'a>> {
    let own = records.readings_of(test.place);
    own.filter(|record| record.is_insulation_resistance() && record.is_exact() && record.value() > 0.0)
}

/// A test of a machine on a known day that tells any, and is no repeat.
fn dated<'a>(records: &'a Loaded, test: Test<'a>) -> Option<Dated<'a>> {
    test.asset_id()?;
    test.performed_on()?;
    let readings: Vec<Reading<'a>> = (!test.is_repeat()).then(|| readings_of(records, test).collect())?;
    (!readings.is_empty()).then_some(Dated { test, readings })
}

#[expect(clippy::cast_precision_loss, reason = "counts of readings")]
fn count(readings: usize) -> f64 {
    readings as f64
}

fn meter(test: Test<'_>) -> &str {
    test.instrument().map_or(test.sheet().0.as_str(), windrow_model::Text::as_str)
}

fn longest<'a>(tests: &[Dated<'a>], usual: &Usual<'_>) -> Option<Run<'a>> {
    let mut best: Option<Run<'a>> = None;
    let mut current: Option<Run<'a>> = None;
    for pair in tests.windows(2) {
        let [earlier, later] = pair else { continue };
        let agreed = agree((earlier, later), tests, usual);
        current = match (current.take(), agreed) {
            (_, None) => None,
            (run, Some((log10_chance, arithmetic))) => {
                let mut run = run.unwrap_or_else(|| Run {
                    tests: vec![earlier.test],
                    log10_chance: 0.0,
                    places: tests.len() - 1,
                    readings: earlier.readings.clone(),
                    arithmetic: Vec::new(),
                });
                run.tests.push(later.test);
                run.log10_chance += log10_chance;
                run.readings.extend(later.readings.iter().copied());
                run.arithmetic.push(arithmetic);
                Some(run)
            }
        };
        if let Some(run) = &current
            && best.as_ref().is_none_or(|best| run.log10_chance < best.log10_chance)
        {
            best = Some(Run {
                tests: run.tests.clone(),
                readings: run.readings.clone(),
                arithmetic: run.arithmetic.clone(),
                ..*run
            });
        }
    }
    best
}

/// log10 of the chance that all readings of two tests agree as they do, with its arithmetic; `None` if they do not, or if they can be
/// one test told twice.
fn agree((earlier, later): (&Dated<'_>, &Dated<'_>), own: &[Dated<'_>], usual: &Usual<'_>) -> Option<(f64, String)> {
    let (a, b) = (earlier.test, later.test);
    let days = b.performed_on()?.since(a.performed_on()?).ok()?.get_days();
    if days < APART_DAYS || earlier.readings.len() != later.readings.len() {
        return None;
    }
    let mut log10_chance = 0.0;
    let mut factors = Vec::new();
    for record in &later.readings {
        let twin = earlier.readings.iter().find(|other| is_alike(**other, *record))?;
        if twin.value().to_bits() != record.value().to_bits() {
            return None;
        }
        let by_digits = match sure_digits(record.raw_text()) {
            0 | 1 => 0.3,
            2 => 0.047,
            3 => 0.0047,
            _ => 0.000_47,
        };
        let chance = f64::max(by_digits, usual.share(b, record.value(), own));
        log10_chance += chance.log10();
        factors.push(format!("{:?} {chance:.2e}", record.raw_text()));
    }
    match (a.winding_temperature_c(), b.winding_temperature_c()) {
        (Some(one), Some(other)) if one.to_bits() == other.to_bits() => {
            log10_chance += TEMPERATURES_AGREE.log10();
            factors.push(format!("{one} °C {TEMPERATURES_AGREE}"));
        }
        (Some(_), Some(_)) => return None,
        _ => {}
    }
    let dates = [a, b].map(|test| test.performed_on().map(|day| day.to_string()).unwrap_or_default());
    Some((log10_chance, format!("{} and {}: {}", dates[0], dates[1], factors.join(" × "))))
}

fn is_alike(a: Reading<'_>, b: Reading<'_>) -> bool {
    a.circuit() == b.circuit() && a.elapsed_s() == b.elapsed_s() && a.as_reported() == b.as_reported()
}

fn finding(asset: &str, run: &Run<'_>, (chance, q, looked_at): (f64, f64, usize)) -> Finding {
    let tests = &run.tests;
    let (first, last) = (tests[0], tests[tests.len() - 1]);
    let mut working = lines("arithmetic", run.arithmetic.iter().cloned());
    working.push(Step::new(
        "chance",
        format!(
            "product 10^{:.1}, times {} places where the run could begin: p = 10^{chance:.1}; q = {q:.2e} over {looked_at} machines",
            run.log10_chance, run.places
        ),
    ));
    working.push(Step::new(
        "look_alike",
        "an instrument with a coarse scale, or a winding that has not changed at all and was read at one temperature",
    ));
    let copies = run.readings.iter().filter(|record| record.test() != run.tests[0]);
    let proposals = copies.map(|record| {
        let sheet = &record.test().sheet();
        super::proposal::entry(
            Question::IllegibleValue,
            windrow_model::decision::NO_READING,
            sheet,
            Some(&record.cell()),
        )
    });
    note(Doubt {
        rule: "copied_forward",
        key: vec![asset.to_owned(), first.test_id().to_string()],
        asset_id: first.asset_id().map(windrow_model::Text::new).clone(),
        statement: format!(
            "{}: {} tests from {} to {} show the same insulation resistances digit for digit; they may have been copied, not measured.",
            first.tag(),
            tests.len(),
            first.performed_on().map(|day| day.to_string()).unwrap_or_default(),
            last.performed_on().map(|day| day.to_string()).unwrap_or_default()
        ),
        value: Some(10_f64.powf(chance)),
        unit: "1",
        basis: "chance of equal digits at a scatter of 0.1 decades: two digits 0.047, three 0.0047, never less than the share of that number \
                among the instrument's readings; multiplied over readings and tests; Benjamini-Hochberg over the fleet"
            .to_owned(),
        proposal: super::proposal::entries(proposals),
        working,
        evidence: evidence(run.readings.iter().copied()),
        seen: last.performed_on(),
        q_value: Some(q),
        ..Doubt::default()
    })
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, noise, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    /// A fleet of healthy windings: 20 machines with five tests, scatter about 0.1 decades, three digits.
    fn fleet() -> Records {
        let mut records = Records::default();
        let mut next = noise(7);
        for machine in 0..20 {
            let level = 200.0 * 30_f64.powf(next());
            for year in 2001..2006 {
                let value = level * 10_f64.powf(0.35 * (next() - 0.5));
                let digits = if value < 1000.0 { 0 } else { -1 };
                let value = if digits < 0 { (value / 10.0).round() * 10.0 } else { value };
                add(&mut records, test(&format!("M{machine}"), &format!("{year}-05-06"), "S"), &format!("{value:.0}"));
            }
        }
        records
    }

    /// Three tests alike at three digits: 0.0047² = 2.2e-5, the figure of the design.
    #[test]
    fn three_years_alike_at_three_digits_stand_out() {
        let mut records = fleet();
        for day in ["2001-05-06", "2002-05-06", "2003-05-06"] {
            add(&mut records, test("copied", day, "S"), "847");
        }
        let found = find(&records);
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].statement.contains("3 tests from 2001-05-06 to 2003-05-06"), "{}", found[0].statement);
        let p = found[0].value.unwrap();
        assert!((p - 2.0 * 0.0047 * 0.0047).abs() < 1e-8, "times two places: {p}");
        assert_eq!(found[0].proposal.as_deref().unwrap().matches("no reading").count(), 2, "the first stays");
    }

    #[test]
    fn one_equality_a_ceiling_and_a_coarse_scale_are_no_copies() {
        assert!(find(&fleet()).is_empty());
        let mut records = fleet();
        for day in ["2001-05-06", "2002-05-06"] {
            add(&mut records, test("twice", day, "S"), "847");
        }
        for (machine, printed) in [("ceiling", ">2000"), ("round", "500")] {
            for year in 2001..2005 {
                add(&mut records, test(machine, &format!("{year}-05-06"), "S"), printed);
            }
        }
        assert!(find(&records).is_empty(), "{:?}", find(&records));
    }

    #[test]
    fn equal_readings_at_different_temperatures_or_on_one_day_are_no_copies() {
        let mut records = fleet();
        for (year, temperature) in [(2001, 15.0), (2002, 22.0), (2003, 19.0)] {
            let mut warm = test("warm", &format!("{year}-05-06"), "S");
            warm.winding_temperature_c = Some(temperature);
            add(&mut records, warm, "847");
        }
        for sheet in ["S", "T", "U"] {
            add(&mut records, test("told thrice", "2001-05-06", sheet), "847");
        }
        assert!(find(&records).is_empty());
    }
}

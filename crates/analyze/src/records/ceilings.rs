//! # What it finds
//! Exact readings that are the end of the instrument's range: a round number, the largest of the instrument, met again and again.
//! # How it is judged
//! `note`, by instrument (by file, where none is told) and test voltage, from three tests of two machines: more readings at the maximum
//! than the smoothed tail below it and the liking for round numbers allow (Poisson, p below 0.001).
//! # References
//! The tail within a factor of two below the maximum, spread evenly over its logarithm.

use super::found::{Doubt, evidence, lines, note, place};
use super::grouped::Grouped;
use super::proposal::{entries, entry};
use crate::loaded::{Loaded, Reading};
use crate::printed::{digits, sure_digits};
use foldhash::fast::FixedState;
use std::collections::{BTreeMap, BTreeSet, HashMap, HashSet};
use windrow_model::{Bound, Finding, Question, Step};
use windrow_statistics::special::poisson_at_least;

const FEWEST: usize = 3;
const FEWEST_MACHINES: usize = 2;
const CHANCE: f64 = 0.001;
/// Digits of a round number, zeros at its end left out.
const ROUND: usize = 2;

/// Instrument (or file) and test voltage, V.
type Group<'a> = (&'a str, u64);

/// Findings by group.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let mut tops: Grouped<Group<'_>, Top<'_>> = Grouped::default();
    // Who writes ">2000" where it is meant, means 2000 where it stands without.
    let mut told: HashSet<(&str, u64), FixedState> = HashSet::default();
    each(records, |group, record| {
        if record.bound() == Some(Bound::AtLeast) {
            told.insert((group.0, record.value().to_bits()));
        }
        if record.is_exact() {
            tops.of(group, Top::default).add(record);
        }
    });
    let is_in_doubt = |(group, top): &(Group<'_>, Top<'_>)| {
        !told.contains(&(group.0, top.largest().to_bits())) && top.may_be_a_ceiling()
    };
    let groups: HashMap<Group<'_>, Top<'_>, FixedState> = tops.into_iter().filter(is_in_doubt).collect();
    // All readings of few groups only.
    let mut all: BTreeMap<Group<'_>, Vec<Reading<'_>>> = BTreeMap::new();
    if !groups.is_empty() {
        each(records, |group, record| {
            if record.is_exact() && groups.contains_key(&group) {
                all.entry(group).or_default().push(record);
            }
        });
    }
    // Whatever the order in which they were met.
    let found =
        |(group, readings): (Group<'_>, Vec<Reading<'_>>)| of_group(group, &readings, &groups.get(&group)?.there);
    all.into_iter().filter_map(found).collect()
}

/// Gives each reading with its group.
fn each<'a>(records: &'a Loaded, mut take: impl FnMut(Group<'a>, Reading<'a>)) {
    for test in records.tests() {
        let meter = test.instrument().map_or(test.sheet().0.as_str(), windrow_model::Text::as_str);
        let own = records.resistances_of(test.place);
        for record in own.filter(|record| record.is_insulation_resistance() && record.is_as_read()) {
            let volts = record.applied_voltage_v().or(test.test_voltage_v()).unwrap_or_default();
            take((meter, volts.to_bits()), record);
        }
    }
}

/// The exact readings of a group that show its largest number.
#[derive(Default)]
struct Top<'a> {
    there: Vec<Reading<'a>>,
}

impl<'a> Top<'a> {
    fn largest(&self) -> f64 {
        self.there.first().map_or(f64::NAN, Reading::value)
    }

    fn add(&mut self, record: Reading<'a>) {
        if self.there.is_empty() || record.value() > self.largest() {
            self.there = vec![record];
        } else if record.value().to_bits() == self.largest().to_bits() {
            self.there.push(record);
        }
    }

    /// Whether the number is round, and shown by tests and machines enough.
    fn may_be_a_ceiling(&self) -> bool {
        let tests: BTreeSet<usize> = self.there.iter().map(Reading::test_place).collect();
        let machines: BTreeSet<_> = self.there.iter().map(|record| record.test().asset_id()).collect();
        let is_round = self.there.first().is_some_and(|first| (1..=ROUND).contains(&sure_digits(first.raw_text())));
        is_round && tests.len() >= FEWEST && machines.len() >= FEWEST_MACHINES
    }
}

/// Expected number of readings at the maximum, with its arithmetic.
struct Expected {
    count: f64,
    arithmetic: String,
}

fn of_group((meter, volts): Group<'_>, readings: &[Reading<'_>], there: &[Reading<'_>]) -> Option<Finding> {
    let first = there.first()?;
    let largest = first.value();
    let tests: BTreeSet<usize> = there.iter().map(Reading::test_place).collect();
    let machines: BTreeSet<_> = there.iter().map(|record| record.test().asset_id()).collect();
    let expected = expected(readings, largest, first.raw_text());
    let p = poisson_at_least(u32::try_from(tests.len()).unwrap_or(u32::MAX), expected.count);
    if p.is_nan() || p >= CHANCE {
        return None;
    }
    let volts = f64::from_bits(volts);
    let shown = if volts > 0.0 { format!("{meter} at {volts} V") } else { meter.to_owned() };
    let mut working = vec![
        Step::new(
            "data",
            format!("{} of {} exact readings show {:?}, the largest", there.len(), readings.len(), first.raw_text()),
        ),
        Step::new("arithmetic", expected.arithmetic),
        Step::new(
            "chance",
            format!("Poisson: {} tests or more where {:.3} are expected, p = {p:.1e}", tests.len(), expected.count),
        ),
        Step::new("look_alike", "a coarse scale, or windings that are alike"),
    ];
    working.extend(lines(
        "data",
        there.iter().map(|record| {
            let test = record.test();
            let day = test.performed_on().map(|day| day.to_string()).unwrap_or_default();
            format!("{}, {day}: {:?} at {}, cell {}", test.tag(), record.raw_text(), place(test.sheet()), record.cell())
        }),
    ));
    // The text as it stands, marked as a lower bound, is the answer that changes nothing else.
    let ruled = there.iter().map(|record| {
        let answer = format!(">{}", record.raw_text().trim());
        entry(Question::IllegibleValue, &answer, record.test().sheet(), Some(&record.cell()))
    });
    Some(note(Doubt {
        rule: "hidden_ceiling",
        key: vec![meter.to_owned(), volts.to_string()],
        statement: format!(
            "{shown}: {} readings of {} machines show {:?}, the largest it ever showed; that is likely the end of its range, and the windings \
             are at least that, not just that.",
            there.len(),
            machines.len(),
            first.raw_text()
        ),
        value: Some(largest),
        unit: "Ohm",
        basis: "more equal largest readings than the tail below them and round numbers elsewhere allow (Poisson, p < 0.001)".to_owned(),
        working,
        proposal: entries(ruled),
        evidence: evidence(there.iter().copied()),
        seen: there.iter().filter_map(|record| record.test().performed_on()).max(),
        ..Doubt::default()
    }))
}

/// What the readings below the maximum let expect at it: by the tail, or by the liking for numbers as round, whichever is more.
fn expected(readings: &[Reading<'_>], largest: f64, printed: &str) -> Expected {
    let tail = readings.iter().filter(|record| record.value() < largest && record.value() >= largest / 2.0).count();
    let whole: f64 = digits(printed).and_then(|digits| digits.parse().ok()).unwrap_or(1.0);
    // Three digits are taken as read: "2000" is 2.00 thousand at the least.
    let step = 1.0 / whole.max(100.0);
    let width = (1.0 + step).log2();
    #[expect(clippy::cast_precision_loss, reason = "counts of readings")]
    let by_tail = (tail as f64 + 1.0) * width;
    let round = sure_digits(printed);
    let mut elsewhere: BTreeMap<u64, f64> = BTreeMap::new();
    for record in readings {
        let alike = (1..=round).contains(&sure_digits(record.raw_text()));
        if alike && record.value() < largest && record.value() >= largest / 10.0 {
            *elsewhere.entry(record.value().to_bits()).or_default() += 1.0;
        }
    }
    // A decade has 9 numbers of one digit and 90 of two; a number that is met again is one that this scale likes.
    let numbers = if round > 1 { 90.0 } else { 9.0 };
    let mean = (elsewhere.values().sum::<f64>() + 1.0) / numbers;
    let liked = elsewhere.values().copied().filter(|count| *count > 1.0).fold(0.0, f64::max);
    let by_round = f64::max(mean, liked);
    Expected {
        count: f64::max(by_tail, by_round),
        arithmetic: format!(
            "expected by the tail ({tail} + 1) · log2(1 + {step:.4}) = {by_tail:.3}; by the liking for round numbers in the decade below {by_round:.3}"
        ),
    }
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn records(largest: &[&str], below: &[&str]) -> Records {
        let mut records = Records::default();
        for (number, printed) in largest.iter().chain(below).enumerate() {
            let mut read = test(&format!("M{}", number % 4), &format!("{}-05-06", 1990 + number), "S");
            read.instrument = Some("meter 3".into());
            add(&mut records, read, printed);
        }
        records
    }

    #[test]
    fn equal_largest_readings_of_several_machines_are_a_ceiling() {
        let found = find(&records(&["2000"; 4], &["850", "123", "1450", "64", "910"]));
        assert_eq!(found.len(), 1);
        assert!(found[0].proposal.as_deref().unwrap().contains("answer = \">2000\""));
        assert!(found[0].value.is_some_and(|value| (value - 2e9).abs() < 1.0));
    }

    #[test]
    fn round_numbers_everywhere_and_odd_maxima_are_no_ceiling() {
        assert!(
            find(&records(&["2000"; 4], &["1000", "1000", "1000", "500", "500", "200"])).is_empty(),
            "a coarse scale"
        );
        assert!(find(&records(&["1873"; 4], &["850", "123", "1450"])).is_empty(), "no end of a range");
        assert!(find(&records(&[">2000"; 4], &["850", "123", "1450"])).is_empty(), "told already");
        let both = ["2000", "2000", "2000", "2000", ">2000"];
        assert!(find(&records(&both, &["850", "123", "1450"])).is_empty(), "who marks ceilings means the rest");
    }
}

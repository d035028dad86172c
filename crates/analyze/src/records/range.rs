//! # What it finds
//! Exact readings above the end of the range that the source itself states for the instrument: by bounded readings (">2000"), or in the
//! instrument's name ("0-2000 MΩ").
//! # How it is judged
//! `note`, by sheet, instrument and test voltage: only where every bounded reading of the group tells one and the same end, twice or more, or
//! the name tells it.
//! # References
//! The source's own words.

use super::found::{Doubt, evidence, key, lines, note, place};
use super::grouped::Grouped;
use crate::loaded::{Loaded, Reading, SheetName};
use foldhash::fast::FixedState;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use windrow_model::{Bound, Dimension, Finding, Step};

/// Fewest bounded readings that tell a range.
const FEWEST: usize = 2;
/// A reading is beyond only by more than the last printed digit can be off.
const BEYOND: f64 = 1.005;

/// Sheet, instrument, test voltage.
type Group<'a> = (&'a SheetName, &'a str, u64);

/// A group by numbers: sheet, instrument, test voltage.
type Code = (u32, u32, u64);

/// What a group tells of its range, without the readings: few groups of a fleet tell any, and only their readings are gathered.
struct Tally {
    /// As the instrument's name tells it, Ohm.
    named: Option<f64>,
    bounded: usize,
    /// Lowest and highest end that bounded readings tell.
    ends: [f64; 2],
    largest: f64,
}

impl Tally {
    fn of(instrument: &str) -> Self {
        let ends = [f64::INFINITY, f64::NEG_INFINITY];
        Self { named: named_range(instrument), bounded: 0, ends, largest: f64::NEG_INFINITY }
    }

    fn add(&mut self, record: Reading<'_>) {
        let value = record.value();
        if record.bound() == Some(Bound::AtLeast) {
            self.bounded += 1;
            self.ends = [self.ends[0].min(value), self.ends[1].max(value)];
        }
        if record.is_exact() {
            self.largest = self.largest.max(value);
        }
    }

    /// Whether some reading is beyond the end that the group tells.
    fn is_left(&self) -> bool {
        let [low, high] = self.ends;
        let agreed = (self.bounded >= FEWEST && low.to_bits() == high.to_bits()).then_some(low);
        self.named.or(agreed).is_some_and(|end| self.largest > end * BEYOND)
    }
}

/// Findings by group.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let mut tallies: Grouped<Code, Tally> = Grouped::default();
    each(records, |code, instrument, record| tallies.of(code, || Tally::of(instrument)).add(record));
    let mut left: HashMap<Code, Vec<Reading<'_>>, FixedState> = HashMap::default();
    left.extend(tallies.into_iter().filter(|(_, tally)| tally.is_left()).map(|(code, _)| (code, Vec::new())));
    if !left.is_empty() {
        each(records, |code, _, record| left.get_mut(&code).into_iter().for_each(|readings| readings.push(record)));
    }
    let groups: BTreeMap<Group<'_>, Vec<Reading<'_>>> = left.into_iter().filter_map(named).collect();
    groups.into_iter().filter_map(|(group, readings)| of_group(group, &readings)).collect()
}

/// A group by names.
fn named(((_, _, volts), readings): (Code, Vec<Reading<'_>>)) -> Option<(Group<'_>, Vec<Reading<'_>>)> {
    let test = readings.first()?.test();
    Some(((test.sheet(), test.instrument()?.as_str(), volts), readings))
}

/// Gives each reading of a named instrument with its group; a sheet that names none can have had several.
fn each<'a>(records: &'a Loaded, mut take: impl FnMut(Code, &'a str, Reading<'a>)) {
    for test in records.tests() {
        let Some(instrument) = test.instrument() else { continue };
        let own = records.resistances_of(test.place);
        for record in own.filter(|record| record.is_insulation_resistance() && record.is_as_read()) {
            let volts = record.applied_voltage_v().or(test.test_voltage_v()).unwrap_or_default().to_bits();
            take((test.sheet_code(), test.instrument_code(), volts), instrument, record);
        }
    }
}

/// The end of a range, Ohm, and who tells it.
fn stated(instrument: &str, readings: &[Reading<'_>]) -> Option<(f64, String)> {
    if let Some(end) = named_range(instrument) {
        return Some((end, format!("the instrument as written: {instrument:?}")));
    }
    let bounded: Vec<&Reading<'_>> = readings.iter().filter(|record| record.bound() == Some(Bound::AtLeast)).collect();
    let ends: BTreeSet<u64> = bounded.iter().map(|record| record.value().to_bits()).collect();
    match ends.into_iter().collect::<Vec<_>>()[..] {
        [end] if bounded.len() >= FEWEST => {
            let first = bounded.first()?;
            Some((f64::from_bits(end), format!("{} bounded readings, all {:?}", bounded.len(), first.raw_text())))
        }
        _ => None,
    }
}

/// The upper end of a range of resistance in a name such as `hand-cranked 0-2000 MΩ`; `None` where it tells none.
fn named_range(name: &str) -> Option<f64> {
    let ends_in_a_number = |text: &str| text.trim_end().ends_with(|c: char| c.is_ascii_digit());
    let (_, end) = ["-", "–", "…", " to "]
        .into_iter()
        .filter_map(|between| name.rsplit_once(between))
        .find(|(from, _)| ends_in_a_number(from))?;
    let measure = windrow_text::measure::read(end.trim())?;
    let [part] = measure.parts.as_slice() else { return None };
    let unit = part.units.iter().find(|meaning| meaning.unit.dimension == Dimension::Resistance)?.unit;
    part.numbers.last().map(|number| unit.to_stored(number.value))
}

fn of_group((sheet, instrument, volts): Group<'_>, readings: &[Reading<'_>]) -> Option<Finding> {
    let (end, told_by) = stated(instrument, readings)?;
    let beyond: Vec<Reading<'_>> =
        readings.iter().filter(|record| record.is_exact() && record.value() > end * BEYOND).copied().collect();
    let largest = beyond.iter().map(Reading::value).max_by(f64::total_cmp)?;
    let mut name = key(sheet);
    name.extend([instrument.to_owned(), volts.to_string()]);
    let mut working = vec![Step::new("rule", format!("end of the range {end:.3e} Ω, told by {told_by}"))];
    working.extend(lines(
        "arithmetic",
        beyond.iter().map(|record| {
            format!(
                "{}: cell {} {:?} is {:.2} times the end",
                record.test().tag(),
                record.cell(),
                record.raw_text(),
                record.value() / end
            )
        }),
    ));
    working.push(Step::new(
        "look_alike",
        "an instrument with several ranges, or another one that the record does not name",
    ));
    Some(note(Doubt {
        rule: "beyond_range",
        key: name,
        statement: format!(
            "{}: {} exact readings by {instrument} lie above the end of the range that the record itself states ({}).",
            place(sheet),
            beyond.len(),
            crate::finding::megohms(end)
        ),
        value: Some(largest),
        limit: Some(end),
        unit: "Ohm",
        basis: "an instrument shows nothing beyond its range".to_owned(),
        working,
        evidence: evidence(beyond.iter().copied()),
        seen: beyond.iter().filter_map(|record| record.test().performed_on()).max(),
        ..Doubt::default()
    }))
}

#[cfg(test)]
mod tests {
    use super::named_range;
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn records(printed: &[&str]) -> Records {
        let mut records = Records::default();
        for (number, printed) in printed.iter().enumerate() {
            let mut read = test(&format!("M{number}"), "2001-05-06", "S");
            read.instrument = Some("meter 3".into());
            add(&mut records, read, printed);
        }
        records
    }

    #[test]
    fn a_reading_above_what_the_record_calls_over_range_is_told() {
        let found = find(&records(&[">2000", "850", ">2000", "2400", "120"]));
        assert_eq!(found.len(), 1);
        assert!(
            found[0].working.iter().any(|step| step.detail.contains("1.20 times")),
            "2400 / 2000: {:?}",
            found[0].working
        );
    }

    #[test]
    fn several_ranges_and_one_bounded_reading_tell_no_end() {
        assert!(find(&records(&[">2000", ">200", ">2000", "2400"])).is_empty());
        assert!(find(&records(&[">2000", "2400"])).is_empty());
        assert!(find(&records(&[">2000", ">2000", "2000"])).is_empty());
    }

    #[test]
    fn a_range_in_the_name_is_an_end_and_a_model_number_is_none() {
        assert_eq!(named_range("hand-cranked 0-2000 MΩ"), Some(2e9));
        assert_eq!(named_range("meter 1587"), None);
        assert_eq!(named_range("IR tester 5 kV"), None);
        assert_eq!(named_range("bridge"), None);
    }
}

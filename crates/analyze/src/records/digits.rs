//! # What it finds
//! A tester or an instrument whose readings end in certain digits far more often than chance allows: rounded, read off a coarse scale, or
//! made up.
//! # How it is judged
//! `note`, from 55 readings of two printed digits or more: χ² of the last digits, q of 1 % over all testers and instruments, and at least
//! a fifth of the readings rounded to 0 or 5 beyond chance. The years are told apart in the working.
//! # References
//! Pearson's χ² (NIST/SEMATECH e-Handbook 1.3.5.15); chances of second digits: Newcomb 1881, Benford 1938 (0.120 for 0 down to 0.085 for
//! 9), of later ones one in ten.

use super::found::{Doubt, MOST_EVIDENCE, evidence, lines, note};
use super::grouped::Grouped;
use crate::loaded::{Loaded, Reading};
use crate::printed::last_digit_read;
use std::collections::BTreeMap;
use std::sync::LazyLock;
use windrow_fleet::UNTOLD;
use windrow_model::{Finding, Step};
use windrow_statistics::multiplicity::benjamini_hochberg;
use windrow_statistics::special::chi_squared_sf;

/// With fewer readings a share of 0.4 rounded is not found either (power 0.9 at 0.001).
const FEWEST: usize = 55;
const RATE: f64 = 0.01;
/// Smallest share of rounded readings that is worth a word.
const SMALLEST_SHARE: f64 = 0.2;

/// Who read: the column of the tests, and what stands there.
type Reader<'a> = (&'static str, &'a str);

/// Last digits of one reader's readings.
#[derive(Default)]
struct Counts<'a> {
    seen: [f64; 10],
    expected: [f64; 10],
    years: BTreeMap<i16, (usize, usize)>,
    all: usize,
    /// The first of them.
    readings: Vec<Reading<'a>>,
}

impl<'a> Counts<'a> {
    /// Adds the readings of a test, of which there are some.
    fn add_all(&mut self, read: &[(Reading<'a>, Last)], year: Option<i16>) {
        for (record, last) in read {
            self.add(*record, *last);
        }
        if let Some(year) = year {
            let (all, rounded) = self.years.entry(year).or_default();
            *all += read.len();
            *rounded += read.iter().filter(|(_, last)| last.digit.is_multiple_of(5)).count();
        }
    }

    fn add(&mut self, record: Reading<'a>, last: Last) {
        self.seen[usize::from(last.digit)] += 1.0;
        let chances = match last.place {
            Place::Second => *SECOND_DIGITS,
            Place::Later => [0.1; 10],
        };
        for (expected, chance) in self.expected.iter_mut().zip(chances) {
            *expected += chance;
        }
        self.all += 1;
        if self.readings.len() < MOST_EVIDENCE {
            self.readings.push(record);
        }
    }

    fn chi_squared(&self) -> f64 {
        self.seen.iter().zip(&self.expected).map(|(seen, expected)| (seen - expected).powi(2) / expected).sum()
    }

    /// Share of readings rounded to 0 or 5 beyond those that end so by chance.
    fn rounded(&self) -> f64 {
        let total: f64 = self.seen.iter().sum();
        let by_chance = (self.expected[0] + self.expected[5]) / total;
        ((self.seen[0] + self.seen[5]) / total - by_chance) / (1.0 - by_chance)
    }
}

/// Which digit of a reading its last one is; a single one tells nothing.
#[derive(Debug, Clone, Copy)]
enum Place {
    Second,
    Later,
}

/// The last digit of a reading.
#[derive(Debug, Clone, Copy)]
struct Last {
    digit: u8,
    place: Place,
}

impl Last {
    fn of(text: &str) -> Option<Self> {
        let (digit, count) = last_digit_read(text)?;
        match count {
            0 | 1 => None,
            2 => Some(Self { digit, place: Place::Second }),
            _ => Some(Self { digit, place: Place::Later }),
        }
    }
}

/// Last digits of the texts that were met, by the numbers of the texts: few texts, for millions of readings.
#[derive(Default)]
struct Digits(Vec<Option<Option<Last>>>);

impl Digits {
    fn last_of(&mut self, record: Reading<'_>) -> Option<Last> {
        let text = usize::try_from(record.raw_code()).ok().filter(|_| record.raw_code() != UNTOLD)?;
        if text >= self.0.len() {
            self.0.resize(text + 1, None);
        }
        *self.0.get_mut(text)?.get_or_insert_with(|| Last::of(record.raw_text()))
    }
}

static SECOND_DIGITS: LazyLock<[f64; 10]> = LazyLock::new(|| std::array::from_fn(second_digit));

/// Chance of a second digit, by the law of leading digits.
fn second_digit(digit: usize) -> f64 {
    #[expect(clippy::cast_precision_loss, reason = "digits")]
    (1..10).map(|first| (1.0 + 1.0 / (10 * first + digit) as f64).log10()).sum()
}

/// Findings by tester and by instrument.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    // By the numbers of their names: hardly anything else is asked of a test.
    let mut readers: [Grouped<u32, (Reader<'_>, Counts<'_>)>; 2] = Default::default();
    let mut digits = Digits::default();
    for test in records.tests() {
        let own = records.resistances_of(test.place);
        let read: Vec<(Reading<'_>, Last)> = own
            .filter(|record| record.is_exact() && record.is_as_read() && record.is_insulation_resistance())
            .filter_map(|record| Some((record, digits.last_of(record)?)))
            .collect();
        let year = test.performed_on().map(jiff::civil::Date::year);
        if read.is_empty() {
            continue;
        }
        let told =
            [("tester", test.tester_code(), test.tester()), ("instrument", test.instrument_code(), test.instrument())];
        for (readers, (column, code, name)) in readers.iter_mut().zip(told) {
            if let Some(name) = name {
                let (_, counts) = readers.of(code, || ((column, name.as_str()), Counts::default()));
                counts.add_all(&read, year);
            }
        }
    }
    let readers: BTreeMap<Reader<'_>, Counts<'_>> =
        readers.into_iter().flatten().map(|(_, reader)| reader).filter(|(_, counts)| counts.all >= FEWEST).collect();
    let looked_at = readers.len();
    let p: Vec<f64> = readers.values().map(|counts| chi_squared_sf(counts.chi_squared(), 9.0)).collect();
    let judged = readers.iter().zip(p.iter().zip(benjamini_hochberg(&p)));
    judged
        .filter(|((_, counts), (_, q))| *q <= RATE && counts.rounded() >= SMALLEST_SHARE)
        .map(|((reader, counts), (p, q))| finding(*reader, counts, (*p, q, looked_at)))
        .collect()
}

fn finding((column, name): Reader<'_>, counts: &Counts<'_>, (p, q, looked_at): (f64, f64, usize)) -> Finding {
    let total: f64 = counts.seen.iter().sum();
    let rounded = counts.rounded();
    let seen: Vec<String> =
        counts.seen.iter().enumerate().map(|(digit, count)| format!("{digit}: {count:.0}")).collect();
    let expected: Vec<String> = counts.expected.iter().map(|count| format!("{count:.1}")).collect();
    let mut working = vec![
        Step::new("data", format!("last digits of {total:.0} readings: {}", seen.join(", "))),
        Step::new("model", format!("expected: {}", expected.join(", "))),
        Step::new(
            "arithmetic",
            format!(
                "χ² = Σ (seen − expected)²/expected = {:.1} with 9 degrees of freedom; share rounded = (seen share of 0 and 5 − expected share)/(1 − expected share) = {rounded:.2}",
                counts.chi_squared()
            ),
        ),
        Step::new("chance", format!("p = {p:.1e}; q = {q:.1e} over {looked_at} testers and instruments")),
    ];
    let years = counts.years.iter().map(|(year, (all, rounded))| format!("{year}: {rounded} of {all} end in 0 or 5"));
    working.extend(lines("data", years));
    working.push(Step::new(
        "look_alike",
        "a scale whose marks are that coarse: then the readings are as good as the scale, and no better",
    ));
    note(Doubt {
        rule: "digit_preference",
        key: vec![column.to_owned(), name.to_owned()],
        statement: format!(
            "{column} {name}: {:.0} % of {total:.0} insulation resistances end in 0 or 5; about {:.0} % of the readings are rounded. \
             Differences smaller than that rounding mean nothing.",
            (counts.seen[0] + counts.seen[5]) / total * 100.0,
            rounded * 100.0
        ),
        value: Some(rounded),
        limit: Some(SMALLEST_SHARE),
        unit: "1",
        basis: "χ² of last digits against the law of leading digits (second digits) and one in ten (later ones); Benjamini-Hochberg".to_owned(),
        working,
        evidence: evidence(counts.readings.iter().copied()),
        q_value: Some(q),
        ..Doubt::default()
    })
}

#[cfg(test)]
mod tests {
    use super::second_digit;
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, noise, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    /// 400 readings by two testers; `lazy` rounds the share `rounded` of them to 5 or 0.
    fn records(rounded: f64) -> Records {
        let mut records = Records::default();
        let mut next = noise(3);
        for number in 0..400 {
            let mut read = test(&format!("M{number}"), "2001-05-06", "S");
            let lazy = number % 2 == 0;
            read.tester = Some(if lazy { "lazy" } else { "careful" }.into());
            let value = 10_f64.powf(2.0 + next()).round();
            let value = if lazy && next() < rounded { (value / 5.0).round() * 5.0 } else { value };
            add(&mut records, read, &format!("{value:.0}"));
        }
        records
    }

    /// Newcomb's table of second digits: 0.1197 for 0, 0.0967 for 5, 0.0850 for 9.
    #[test]
    fn second_digits_follow_the_law_of_leading_digits() {
        for (digit, chance) in [(0, 0.1197), (5, 0.0967), (9, 0.0850)] {
            assert!((second_digit(digit) - chance).abs() < 5e-5, "{digit}");
        }
        assert!(((0..10).map(second_digit).sum::<f64>() - 1.0).abs() < 1e-12);
    }

    /// Four and five digits of an instrument that shows three end in zeros by nature.
    #[test]
    fn zeros_behind_the_third_digit_are_no_preference() {
        let mut records = Records::default();
        let mut next = noise(5);
        for number in 0..300 {
            let mut read = test(&format!("M{number}"), "2001-05-06", "S");
            read.tester = Some("careful".into());
            let value = 10.0 * 10_f64.powf(2.0 + next()).round();
            add(&mut records, read, &format!("{value:.0}"));
        }
        assert!(find(&records).is_empty());
    }

    #[test]
    fn who_rounds_is_told_and_who_reads_is_not() {
        let found = find(&records(0.5));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].statement.contains("tester lazy"));
        assert!((found[0].value.unwrap() - 0.5).abs() < 0.12, "{:?}", found[0].value);
        assert!(find(&records(0.0)).is_empty());
    }
}

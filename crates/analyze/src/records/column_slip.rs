//! # What it finds
//! A column, a sheet or a whole file whose insulation resistances stand a factor of 1000 beside what other records tell of the same
//! circuits: kilohms taken for megohms, megohms for gigohms.
//! # How it is judged
//! `note`, from six readings of two machines or more, of which four fifths lie within 0.75 decades of three decades, and their median
//! within 0.5. A single reading is the matter of the rule `unit_slip`.
//! # References
//! analysis by differences of log10 resistance; windings differ by ten between two tests now and then (ASTM D257, from memory), a
//! thousand together is a unit.

mod beside;

use super::found::{Doubt, evidence, key, lines, note, place};
use super::proposal::{entries, entry};
use crate::loaded::{Loaded, Reading, SheetName};
use crate::printed;
use beside::{Offset, Suspects};
use std::collections::{BTreeMap, BTreeSet};
use windrow_model::place::a1;
use windrow_model::{Finding, Question, Step};

const FEWEST_READINGS: usize = 6;
const FEWEST_MACHINES: usize = 2;
const DECADES: f64 = 3.0;
/// How far one reading may be off three decades.
const NEAR: f64 = 0.75;
/// How far their median may be.
const MEDIAN_NEAR: f64 = 0.5;
const SHARE: f64 = 0.8;

/// Findings by sheet and column; columns of a sheet that agree are one.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let suspects = Suspects::of(records);
    let mut columns: BTreeMap<&SheetName, BTreeMap<Option<u32>, Vec<Offset<'_>>>> = BTreeMap::new();
    suspects.each(records, |sheet, offset| {
        columns.entry(sheet).or_default().entry(offset.column()).or_default().push(offset);
    });
    let mut findings = Vec::new();
    for (sheet, columns) in columns {
        let whole: Vec<&Offset<'_>> = columns.values().flatten().collect();
        if let Some(sign) = slip(&whole) {
            findings.push(finding(sheet, None, &whole, sign));
            continue;
        }
        for (column, offsets) in &columns {
            let offsets: Vec<&Offset<'_>> = offsets.iter().collect();
            if let (Some(sign), Some(column)) = (slip(&offsets), column) {
                findings.push(finding(sheet, Some(*column), &offsets, sign));
            }
        }
    }
    findings
}

fn median(mut values: Vec<f64>) -> Option<f64> {
    values.sort_by(f64::total_cmp);
    let middle = values.len() / 2;
    match values.len() % 2 {
        0 => Some(values.get(middle)?.midpoint(*values.get(middle.checked_sub(1)?)?)),
        _ => values.get(middle).copied(),
    }
}

/// Whether the readings stand three decades too high (1) or too low (−1) together. Where the other sheets hold fewer readings of
/// these circuits than this one, it is they that are in doubt.
fn slip(offsets: &[&Offset<'_>]) -> Option<f64> {
    let machines: BTreeSet<&str> = offsets.iter().map(|offset| offset.machine).collect();
    if offsets.len() < FEWEST_READINGS || machines.len() < FEWEST_MACHINES {
        return None;
    }
    let middle = median(offsets.iter().map(|offset| offset.decades).collect())?;
    let sign = middle.signum();
    let near = offsets.iter().filter(|offset| is_near(offset.decades, sign)).count();
    let own: BTreeMap<(&str, Option<&str>), usize> = offsets.iter().fold(BTreeMap::new(), |mut own, offset| {
        *own.entry((offset.machine, offset.record.circuit())).or_default() += 1;
        own
    });
    let is_told_elsewhere = |offset: &&&Offset<'_>| {
        own.get(&(offset.machine, offset.record.circuit())).is_some_and(|own| offset.others >= *own)
    };
    let outnumbered = offsets.iter().filter(is_told_elsewhere).count() * 2 >= offsets.len();
    ((middle - sign * DECADES).abs() <= MEDIAN_NEAR && are_most(near, offsets.len()) && outnumbered).then_some(sign)
}

/// Whether a reading lies about three decades above (1) or below (−1) what is told elsewhere.
fn is_near(decades: f64, sign: f64) -> bool {
    (decades - sign * DECADES).abs() <= NEAR
}

/// Whether so many of a column are enough for a slip.
#[expect(clippy::cast_precision_loss, reason = "counts of readings")]
fn are_most(near: usize, all: usize) -> bool {
    near as f64 >= SHARE * all as f64
}

fn finding(sheet: &SheetName, column: Option<u32>, offsets: &[&Offset<'_>], sign: f64) -> Finding {
    let told =
        column.map_or(String::new(), |column| format!(", column {}", windrow_model::place::column_letters(column)));
    let middle = median(offsets.iter().map(|offset| offset.decades).collect()).unwrap_or_default();
    let mut name = key(sheet);
    name.extend(column.map(|column| column.to_string()));
    let way = if sign > 0.0 { "high" } else { "low" };
    let mut working = vec![Step::new(
        "arithmetic",
        format!(
            "median of log10(reading) − log10(median of the same circuit in other sheets) over {} readings: {middle:+.2} decades, a factor of {:.3e}",
            offsets.len(),
            10_f64.powf(middle)
        ),
    )];
    working.extend(lines(
        "data",
        offsets.iter().map(|offset| {
            format!(
                "cell {} {:?}: 10^{:.2} Ω beside 10^{:.2} Ω from {} readings elsewhere, {:+.2}",
                offset.record.cell(),
                offset.record.raw_text(),
                offset.elsewhere + offset.decades,
                offset.elsewhere,
                offset.others,
                offset.decades
            )
        }),
    ));
    working.push(Step::new(
        "look_alike",
        "the other sheets of these machines may be the ones with the wrong unit; they hold as many readings or more",
    ));
    note(Doubt {
        rule: "column_slip",
        key: name,
        statement: format!(
            "{}{told}: {} insulation resistances stand a factor of 1000 too {way} beside other records of the same circuits; the unit \
             of the column is in doubt.",
            place(sheet),
            offsets.len()
        ),
        value: Some(middle),
        limit: Some(sign * DECADES),
        unit: "1",
        basis: "differences of log10 resistance against the same circuits in other sheets: median within 0.5 of three decades, four fifths within 0.75"
            .to_owned(),
        proposal: unit(offsets, sign)
            .and_then(|unit| entries(ranges(offsets).iter().map(|cells| entry(Question::Unit, unit, sheet, Some(cells))))),
        working,
        evidence: evidence(offsets.iter().map(|offset| offset.record)),
        ..Doubt::default()
    })
}

/// The unit that a thousandth (or a thousandfold) of what was read would have, if all numbers were read in one unit.
fn unit(offsets: &[&Offset<'_>], sign: f64) -> Option<&'static str> {
    let factor = |record: Reading<'_>| {
        let number: f64 = printed::number(record.raw_text())?;
        Some((record.value() / number).log10().round())
    };
    let read: BTreeSet<Option<i64>> = offsets
        .iter()
        .map(|offset| {
            #[expect(clippy::cast_possible_truncation, reason = "a rounded decade")]
            factor(offset.record).map(|decade| decade as i64)
        })
        .collect();
    let [Some(decade)] = read.into_iter().collect::<Vec<_>>()[..] else { return None };
    match decade - if sign > 0.0 { 3 } else { -3 } {
        0 => Some("Ω"),
        3 => Some("kΩ"),
        6 => Some("MΩ"),
        9 => Some("GΩ"),
        12 => Some("TΩ"),
        _ => None,
    }
}

/// The cells of the readings: a range a column, for a ruling on the whole sheet would also meet its other quantities; one by one where the
/// container has no columns.
fn ranges(offsets: &[&Offset<'_>]) -> Vec<String> {
    let mut columns: BTreeMap<u32, (u32, u32)> = BTreeMap::new();
    let mut others = Vec::new();
    for offset in offsets {
        let Some((row, column)) = offset.record.at() else {
            others.push(offset.record.cell().to_string());
            continue;
        };
        let (top, bottom) = columns.entry(column).or_insert((row, row));
        (*top, *bottom) = ((*top).min(row), (*bottom).max(row));
    }
    let range =
        |(column, (top, bottom)): (&u32, &(u32, u32))| format!("{}:{}", a1(*top, *column), a1(*bottom, *column));
    columns.iter().map(range).chain(others).collect()
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::{add, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    /// Three machines over five years in two sheets; those of sheet `B` are multiplied.
    fn records(times: f64) -> Records {
        let mut records = Records::default();
        for (machine, level) in [("M1", 850.0), ("M2", 120.0), ("M3", 2300.0)] {
            for year in 0..5_u32 {
                let sheet = if year < 3 { "A" } else { "B" };
                let drift = 1.0 + 0.4 * f64::from((year * 7 + u32::from(machine == "M2")) % 5) - 0.8;
                let value = level * drift.max(0.4) * if sheet == "B" { times } else { 1.0 };
                add(&mut records, test(machine, &format!("{}-05-06", 2001 + year), sheet), &format!("{value:.4}"));
            }
        }
        records
    }

    /// By hand: 850 MΩ against 0.85 MΩ is log10(1000) = 3 decades.
    #[test]
    fn a_sheet_in_another_unit_is_told_with_the_unit_that_would_fit() {
        let found = find(&records(1e-3));
        assert_eq!(found.len(), 1, "{found:?}");
        assert!(
            found[0].statement.contains("sheet B") && found[0].statement.contains("too low"),
            "{}",
            found[0].statement
        );
        assert!(found[0].value.is_some_and(|decades| (decades + 3.0).abs() < 0.5));
        assert!(found[0].proposal.as_deref().unwrap().contains("answer = \"GΩ\""), "{:?}", found[0].proposal);
        let high = find(&records(1e3));
        assert!(high[0].proposal.as_deref().unwrap().contains("answer = \"kΩ\""), "{:?}", high[0].proposal);
    }

    /// No resistance is zero or less: such a value at 40 °C says nothing, and the value as read is taken.
    #[test]
    fn a_corrected_value_that_is_none_does_not_hide_a_slip() {
        for none in [0.0, -5.0] {
            let mut spoiled = records(1e-3);
            spoiled.readings[5].value_ref = Some(none);
            spoiled.readings[8].value_ref = Some(none);
            assert_eq!(find(&spoiled), find(&records(1e-3)), "{none}");
        }
    }

    #[test]
    fn a_fall_by_a_hundred_and_one_machine_alone_are_no_slip() {
        assert!(find(&records(1e-2)).is_empty());
        assert!(find(&records(1.0)).is_empty());
        let mut one = records(1e-3);
        one.readings.retain(|reading| one.tests[reading.test].tag == "M1");
        assert!(find(&one).is_empty(), "one machine can have failed");
    }
}

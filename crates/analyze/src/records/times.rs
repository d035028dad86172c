//! # What it finds
//! A sheet in which nearly all ten-minute insulation resistances are below the one-minute ones: the two columns are swapped.
//! # How it is judged
//! `note`, from five circuits of two machines or more, four fifths of them below a ratio of 1. A single winding whose current rises during
//! the test is the matter of the polarization index.
//! # References
//! Absorption makes the current fall and the resistance rise (IEEE 43-2013 clause 5, from memory).

use super::found::{Doubt, evidence, key, lines, note, place};
use super::proposal::{entries, entry};
use super::sheets::BySheet;
use crate::loaded::{Loaded, Reading, SheetName};
use std::collections::BTreeSet;
use windrow_model::{Finding, Question, Step};

const FEWEST: usize = 5;
const FEWEST_MACHINES: usize = 2;
const SHARE: f64 = 0.8;

/// Findings by sheet.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let mut sheets: BySheet<Vec<[Reading<'_>; 2]>> = BySheet::default();
    for test in records.tests() {
        // Few circuits a test.
        let mut circuits: Vec<(Option<&str>, [Option<Reading<'_>>; 2])> = Vec::new();
        let own = records.resistances_of(test.place);
        for record in own.filter(|record| record.is_insulation_resistance() && record.is_exact() && record.is_as_read())
        {
            let Some(time) = [60.0, 600.0].into_iter().position(|seconds| record.is_at(seconds)) else { continue };
            let known = circuits.iter().position(|(known, _)| *known == record.circuit()).unwrap_or_else(|| {
                circuits.push((record.circuit(), [None; 2]));
                circuits.len() - 1
            });
            circuits[known].1[time].get_or_insert(record);
        }
        circuits.sort_unstable_by_key(|(circuit, _)| *circuit);
        for (_, times) in circuits {
            if let [Some(one), Some(ten)] = times {
                sheets.of(test).push([one, ten]);
            }
        }
    }
    sheets.in_order(records).filter_map(|(sheet, pairs)| of_sheet(sheet, &pairs)).collect()
}

fn of_sheet(sheet: &SheetName, pairs: &[[Reading<'_>; 2]]) -> Option<Finding> {
    let falling: Vec<&[Reading<'_>; 2]> = pairs.iter().filter(|[one, ten]| ten.value() < one.value()).collect();
    let machines: BTreeSet<_> = falling.iter().map(|[one, _]| one.test().asset_id()).collect();
    #[expect(clippy::cast_precision_loss, reason = "counts of circuits")]
    let share = falling.len() as f64 / pairs.len() as f64;
    if falling.len() < FEWEST || machines.len() < FEWEST_MACHINES || share < SHARE {
        return None;
    }
    let mut working =
        vec![Step::new("rule", format!("{} of {} circuits fall from one to ten minutes", falling.len(), pairs.len()))];
    working.extend(lines(
        "arithmetic",
        falling.iter().map(|[one, ten]| {
            format!(
                "{}: cell {} {:?} over cell {} {:?} = {:.3}",
                one.test().tag(),
                ten.cell(),
                ten.raw_text(),
                one.cell(),
                one.raw_text(),
                ten.value() / one.value()
            )
        }),
    ));
    working.push(Step::new("look_alike", "wet windings, all on one day: then their one-minute values are low as well"));
    let swapped = falling.iter().flat_map(|[one, ten]| {
        [
            entry(Question::Elapsed, "10 min", sheet, Some(&one.cell())),
            entry(Question::Elapsed, "1 min", sheet, Some(&ten.cell())),
        ]
    });
    Some(note(Doubt {
        rule: "swapped_times",
        key: key(sheet),
        statement: format!(
            "{}: in {} of {} circuits the ten-minute insulation resistance is below the one-minute one; the two columns may be swapped.",
            place(sheet),
            falling.len(),
            pairs.len()
        ),
        value: Some(share),
        limit: Some(SHARE),
        unit: "1",
        basis: "absorption makes the resistance rise with time; a sheet of several machines in which it falls nearly always has its columns swapped"
            .to_owned(),
        working,
        proposal: entries(swapped),
        evidence: evidence(falling.iter().flat_map(|pair| pair.iter().copied())),
        seen: falling.iter().filter_map(|[one, _]| one.test().performed_on()).max(),
        ..Doubt::default()
    }))
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::{Record, Records};
    use crate::records::fixture::{megohms, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn records(machines: usize, pairs: &[(&str, &str)]) -> Records {
        let mut records = Records::default();
        for (number, (one, ten)) in pairs.iter().enumerate() {
            records.tests.push(test(&format!("M{}", number % machines), &format!("2001-05-{:02}", number + 1), "S"));
            for (printed, seconds) in [(one, 60.0), (ten, 600.0)] {
                let like = megohms(&records, printed);
                records.readings.push(Record { elapsed_s: Some(seconds), ..like });
            }
        }
        records
    }

    /// PI-10 of the worked examples: 800 MΩ at one minute, 2510 MΩ at ten; swapped the ratio is 0.319.
    #[test]
    fn swapped_columns_are_told_with_the_times_that_fit() {
        let pairs = [("2510", "800"), ("900", "310"), ("640", "200"), ("2100", "700"), ("55", "21"), ("480", "500")];
        let found = find(&records(3, &pairs));
        assert_eq!(found.len(), 1);
        assert!(found[0].working.iter().any(|step| step.detail.ends_with("= 0.319")), "{:?}", found[0].working);
        assert!(found[0].proposal.as_deref().unwrap().contains("answer = \"10 min\""));
    }

    #[test]
    fn one_wet_machine_is_no_swapped_column() {
        let pairs = [("90", "80"), ("85", "80"), ("70", "66"), ("64", "60"), ("55", "51")];
        assert!(find(&records(1, &pairs)).is_empty());
        assert!(find(&records(2, &[("800", "2510"); 6])).is_empty());
        assert!(find(&records(2, &[("800", ">2000"); 6])).is_empty());
    }

    /// "At a time" is half a second either way, both ends included, here as everywhere.
    #[test]
    fn half_a_second_either_way_is_still_the_time() {
        let mut late = records(3, &[("2510", "800"), ("900", "310"), ("640", "200"), ("2100", "700"), ("55", "21")]);
        late.readings.iter_mut().for_each(|reading| reading.elapsed_s = reading.elapsed_s.map(|told| told + 0.5));
        assert_eq!(find(&late).len(), 1);
        late.readings.iter_mut().for_each(|reading| reading.elapsed_s = reading.elapsed_s.map(|told| told + 0.1));
        assert_eq!(find(&late), []);
    }
}

//! # What it finds
//! A test whose winding resistances fit the machine's other tests in another order of the phases: swapped columns or leads.
//! # How it is judged
//! `note`, from three other tests: of the six orders the nearest to the past must beat the order as written by more than four standard
//! deviations of the machine's own scatter, more where few tests tell that scatter, and fit. Phases that differ by no more than scatter can stand in
//! any order, and are not judged.
//! # References
//! distances of ln(resistance over the mean of the three) from the median of the other tests.

use super::found::{Doubt, evidence, note};
use super::proposal::{entries, entry};
use crate::loaded::{Loaded, Reading};
use rayon::prelude::*;
use std::ops::Range;
use windrow_model::{Finding, Quantity, Question, Step};

const FEWEST_OTHERS: usize = 3;
/// By how many standard deviations another order must be nearer, and how much more that is where few other tests tell them: so that of 4000 tests
/// of equal phases two at most are told, for 3 to 11 others and a scatter from 0.05 to 0.5 % (by simulation).
const MARGIN: f64 = 4.0;
const FEW: f64 = 4.0;
/// How far from the past a fitting order may be, standard deviations a phase.
const FITS: f64 = 3.0;
/// A bridge repeats no better than this, relative (common practice, no source).
const SMALLEST_SCATTER: f64 = 0.001;

const PAIRS: [&str; 3] = ["U-V", "V-W", "W-U"];
const PHASES: [&str; 3] = ["U", "V", "W"];
const ORDERS: [[usize; 3]; 6] = [[0, 1, 2], [0, 2, 1], [1, 0, 2], [1, 2, 0], [2, 0, 1], [2, 1, 0]];

/// Three resistances of one test.
struct Triple<'a> {
    readings: [Reading<'a>; 3],
    /// ln of each over their mean.
    pattern: [f64; 3],
}

/// Findings by test.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    records.by_machine().into_par_iter().flat_map_iter(|tests| of_machine(records, tests)).collect()
}

fn of_machine(records: &Loaded, tests: Range<usize>) -> Vec<Finding> {
    let [mut phases, mut pairs] = [const { Vec::new() }; 2];
    for place in tests {
        if records.test(place).asset_id().is_none() || !records.quantities_of(place).has(Quantity::WindingResistance) {
            continue;
        }
        let own = records.resistances_of(place);
        let readings: Vec<Reading<'_>> =
            own.filter(|record| record.is_winding_resistance() && record.is_exact()).collect();
        phases.extend(triple(&readings, PHASES));
        pairs.extend(triple(&readings, PAIRS));
    }
    [phases, pairs].iter().flat_map(|triples| of_triples(triples)).collect()
}

fn triple<'a>(readings: &[Reading<'a>], names: [&str; 3]) -> Option<Triple<'a>> {
    if readings.len() != 3 {
        return None;
    }
    let of = |name: &str| readings.iter().find(|record| record.circuit() == Some(name)).copied();
    let readings = [of(names[0])?, of(names[1])?, of(names[2])?];
    let mean = readings.iter().map(Reading::value).sum::<f64>() / 3.0;
    Some(Triple { readings, pattern: readings.map(|record| (record.value() / mean).ln()) })
}

fn of_triples<'a>(triples: &'a [Triple<'a>]) -> impl Iterator<Item = Finding> + 'a {
    triples.iter().enumerate().filter_map(move |(index, triple)| {
        let others: Vec<&[f64; 3]> =
            triples.iter().enumerate().filter(|(other, _)| *other != index).map(|(_, other)| &other.pattern).collect();
        judge(triple, &others)
    })
}

fn judge(triple: &Triple<'_>, others: &[&[f64; 3]]) -> Option<Finding> {
    if others.len() < FEWEST_OTHERS {
        return None;
    }
    #[expect(clippy::cast_precision_loss, reason = "a count of tests")]
    let margin = MARGIN * (1.0 + FEW / others.len() as f64);
    let past: [f64; 3] = [0, 1, 2].map(|phase| middle(others.iter().map(|other| other[phase]).collect()));
    let distance = |order: &[usize; 3]| {
        let squares = order.iter().enumerate().map(|(phase, from)| (triple.pattern[*from] - past[phase]).powi(2));
        squares.sum::<f64>().sqrt()
    };
    let best = ORDERS.iter().min_by(|a, b| distance(a).total_cmp(&distance(b)))?;
    let (written, nearest) = (distance(&ORDERS[0]), distance(best));
    // Most tests are near enough as written, however small the machine's scatter may be; for them it need not be known.
    if *best == ORDERS[0] || (written - nearest) / SMALLEST_SCATTER <= margin {
        return None;
    }
    // The median of a phase is one of its values, whose deviation is none.
    let off = |phase: usize| {
        let mut all: Vec<f64> = others.iter().map(|other| (other[phase] - past[phase]).abs()).collect();
        all.sort_by(f64::total_cmp);
        all.into_iter().skip(1)
    };
    // A normal scatter has its median deviation at 0.6745 standard deviations.
    let scatter = (middle((0..3).flat_map(off).collect()) / 0.6745).max(SMALLEST_SCATTER);
    let fits = nearest <= FITS * scatter * 3.0_f64.sqrt();
    if !fits || (written - nearest) / scatter <= margin {
        return None;
    }
    Some(finding(triple, (&past, best), [written, nearest, scatter, margin], others.len()))
}

fn middle(mut values: Vec<f64>) -> f64 {
    values.sort_by(f64::total_cmp);
    values.get(values.len() / 2).copied().unwrap_or_default()
}

fn finding(
    triple: &Triple<'_>,
    (past, best): (&[f64; 3], &[usize; 3]),
    [written, nearest, scatter, margin]: [f64; 4],
    others: usize,
) -> Finding {
    let first = triple.readings[0];
    let test = first.test();
    let name = |index: usize| triple.readings[index].circuit().unwrap_or_default();
    let shown = |values: &[f64; 3]| {
        values.iter().map(|value| format!("{:+.2} %", value * 100.0)).collect::<Vec<_>>().join(", ")
    };
    let moved = best.iter().enumerate().filter(|(to, from)| to != *from);
    let fits: Vec<String> =
        moved.clone().map(|(to, from)| format!("the value of {} fits {}", name(*from), name(to))).collect();
    let proposals =
        moved.map(|(to, from)| entry(Question::Circuit, name(to), test.sheet(), Some(&triple.readings[*from].cell())));
    note(Doubt {
        rule: "swapped_phases",
        key: vec![test.test_id().to_string()],
        asset_id: test.asset_id().map(windrow_model::Text::new).clone(),
        test_id: Some(test.test_id().clone()),
        statement: format!(
            "{}: the winding resistances of {} fit the machine's other tests in another order: {}.",
            test.tag(),
            test.performed_on().map(|day| day.to_string()).unwrap_or_default(),
            fits.join(", ")
        ),
        value: Some((written - nearest) / scatter),
        limit: Some(margin),
        unit: "1",
        basis: "of the six orders of three phases, the nearest to the median of the other tests against the order as written".to_owned(),
        working: vec![
            Step::new("data", format!("deviations from the mean of {}, {}, {}: {}", name(0), name(1), name(2), shown(&triple.pattern))),
            Step::new("group", format!("medians of the machine's {others} other tests: {}", shown(past))),
            Step::new(
                "arithmetic",
                format!(
                    "root of the summed squares: as written {written:.5}, in the nearest order {nearest:.5}; scatter {scatter:.5}; ({written:.5} − {nearest:.5})/{scatter:.5} = {:.1}",
                    (written - nearest) / scatter
                ),
            ),
            Step::new("look_alike", "leads or windings changed since, for instance by a rewind or a new connection"),
        ],
        proposal: entries(proposals),
        evidence: evidence(triple.readings.iter().copied()),
        seen: test.performed_on(),
        ..Doubt::default()
    })
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::{Record, Records};
    use crate::records::fixture::{megohms, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn records(tests: &[[f64; 3]]) -> Records {
        let mut records = Records::default();
        for (year, values) in tests.iter().enumerate() {
            records.tests.push(test("M1", &format!("{}-05-06", 2001 + year), "S"));
            for (circuit, value) in ["U-V", "V-W", "W-U"].into_iter().zip(values) {
                let like = megohms(&records, "1");
                records.readings.push(Record {
                    quantity: "winding_resistance".into(),
                    circuit: Some(circuit.into()),
                    value: *value,
                    raw_text: value.to_string().into(),
                    ..like
                });
            }
        }
        records
    }

    /// By hand: phases at −1 %, 0 and +1 % of the mean, scatter 0.1 %; with the outer two swapped the distance is
    /// √(2 · 0.02²) = 0.0283, 28 standard deviations.
    #[test]
    fn a_test_with_two_phases_swapped_is_told_with_the_circuits_that_fit() {
        let found = find(&records(&[
            [0.990, 1.000, 1.010],
            [0.991, 1.000, 1.009],
            [1.010, 1.000, 0.990],
            [0.990, 1.001, 1.010],
            [0.989, 1.000, 1.011],
        ]));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].statement.contains("2003-05-06") && found[0].statement.contains("the value of W-U fits U-V"));
        assert!((found[0].value.unwrap() - 28.3).abs() < 3.0, "{:?}", found[0].value);
        assert_eq!(found[0].proposal.as_deref().unwrap().matches("question = \"circuit\"").count(), 2);
    }

    #[test]
    fn a_failing_joint_and_even_phases_are_no_swap() {
        let even = [[1.000, 1.001, 0.999], [0.999, 1.000, 1.001], [1.001, 0.999, 1.000], [1.000, 0.999, 1.001]];
        assert!(find(&records(&even)).is_empty());
        let joint = [[0.990, 1.000, 1.010], [0.991, 1.000, 1.009], [1.050, 1.000, 1.010], [0.990, 1.001, 1.010]];
        assert!(find(&records(&joint)).is_empty(), "no order fits a joint that failed");
        assert!(find(&records(&joint[..3])).is_empty());
    }

    /// Two hundred machines whose phases are equal but for a scatter of 0.2 %: any order fits them as well.
    #[test]
    fn equal_phases_are_in_no_order() {
        // The multiplicative congruential generator of Park and Miller 1988; twelve numbers less six are nearly normal.
        let mut state = 1_u64;
        let mut normal = || {
            let twelve = (0..12).map(|_| {
                state = state * 16_807 % 2_147_483_647;
                f64::from(u32::try_from(state).unwrap()) / 2_147_483_647.0
            });
            twelve.sum::<f64>() - 6.0
        };
        for machine in 0..200 {
            let tests: Vec<[f64; 3]> = (0..6).map(|_| std::array::from_fn(|_| 1.0 + 0.002 * normal())).collect();
            let found = find(&records(&tests));
            assert!(found.is_empty(), "machine {machine}: {found:#?}");
        }
    }
}

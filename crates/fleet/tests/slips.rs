//! Readings that are wrong by a factor of a thousand, as the readings on both sides of them show.

use windrow_fleet::{Bound, Fleet, Scores, UNTOLD, score};

/// Yearly resistances of machines of one kind, log10 MΩ.
fn scores(machines: &[&[f64]]) -> Scores {
    let mut fleet = Fleet::default();
    for values in machines {
        fleet.machines.rating.push(0);
        fleet.machines.insulation.push(0);
        fleet.machines.maker.push(0);
        for (value, year) in values.iter().zip(0_i32..) {
            let reviews = &mut fleet.reviews;
            let time = 2001.4 + f64::from(year);
            reviews.time_a.push(time);
            reviews.winding.push(0);
            reviews.treated.push(false);
            reviews.age_a.push(time - 1990.0);
            reviews.temperature_c.push(f64::NAN);
            reviews.humidity_pct.push(f64::NAN);
            reviews.extra.push(0.0);
            for codes in [&mut reviews.campaign, &mut reviews.visit, &mut reviews.instrument, &mut reviews.tester] {
                codes.push(UNTOLD);
            }
            reviews.resistance.push(Some((*value, Bound::Exact)));
            for channel in [&mut reviews.polarization, &mut reviews.knee, &mut reviews.unbalance, &mut reviews.surge] {
                channel.push(None);
            }
        }
        fleet.machines.end.push(fleet.reviews.time_a.len());
    }
    score(&fleet)
}

/// Twenty machines, each steady at a level of its own, and behind them the one that is looked at.
fn among_others(values: &[f64]) -> (Vec<bool>, Vec<f64>, Scores) {
    const STEADY: [f64; 8] = [0.0, 0.12, -0.1, 0.08, -0.05, 0.11, -0.02, 0.03];
    let others: Vec<Vec<f64>> =
        (0..20_i32).map(|number| STEADY.iter().map(|off| 1.2 + 0.15 * f64::from(number) + off).collect()).collect();
    let mut all: Vec<&[f64]> = others.iter().map(Vec::as_slice).collect();
    all.push(values);
    let scores = scores(&all);
    let first = scores.resistance.slip.len() - values.len();
    (scores.resistance.slip[first..].to_vec(), scores.resistance.off[first..].to_vec(), scores)
}

#[test]
fn a_first_reading_is_a_slip_where_those_after_it_say_so() {
    // By its kind alone anything from 1.2 to 4 is usual: 5.0 is two decades off, the thousand shows only later.
    let (alone, ..) = among_others(&[5.0]);
    assert_eq!(alone, [false]);
    let (slips, off, _) = among_others(&[5.0, 2.0, 2.1, 1.95, 2.05]);
    assert_eq!(slips, [true, false, false, false, false]);
    assert!((off[0] - 3.0).abs() < 0.3, "{off:?}");
}

#[test]
fn a_fall_that_later_readings_confirm_is_no_slip() {
    assert_eq!(among_others(&[2.9, 3.0, 2.95, 0.0]).0, [false, false, false, true], "no later reading tells");
    for confirmed in [&[2.9, 3.0, 2.95, 0.0, 0.1][..], &[2.9, 3.0, 2.95, 0.0, 0.1, -0.1]] {
        let (slips, off, _) = among_others(confirmed);
        assert!(slips.iter().all(|slip| !slip), "{confirmed:?}: {slips:?}, {off:.2?}");
    }
}

/// Each test half a decade below the one before: the level lags behind, but the test before says nearly the same.
#[test]
fn a_winding_that_runs_down_is_no_slip() {
    let runs_down = [3.1, 3.15, 3.1, 3.05, 3.0, 2.8, 2.3, 1.4, 0.6, 0.1, -0.25, -0.5, -1.05];
    let (slips, off, _) = among_others(&runs_down);
    assert!(off.iter().any(|off| *off < -2.0) && slips.iter().all(|slip| !slip), "{slips:?}, {off:.2?}");
}

#[test]
fn two_slips_behind_one_another_are_both_seen_from_the_other_side() {
    let (slips, ..) = among_others(&[2.9, 3.0, 2.95, 0.0, -0.1, 3.0, 2.9, 2.95]);
    assert_eq!(slips, [false, false, false, true, true, false, false, false]);
}

/// What is known now is judged as if the slip had not been read; what a review brought when it came stays as it was.
#[test]
fn a_slip_that_shows_later_counts_for_nothing_from_then_on() {
    let (slips, _, scores) = among_others(&[5.0, 2.0, 2.1, 2.05]);
    assert_eq!(slips, [true, false, false, false]);
    let first = scores.resistance.slip.len() - 4;
    assert!(scores.resistance.score[first].is_nan() && scores.by_review[first].is_finite());
    let (.., sound) = among_others(&[2.0, 2.1, 2.05]);
    let p = |scores: &Scores| scores.by_machine.last().copied().unwrap();
    assert!((p(&scores).ln() - p(&sound).ln()).abs() < 0.2, "{} and {}", p(&scores), p(&sound));
}

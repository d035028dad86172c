//! An analysis that remembers the one before gives what an analysis of everything gives.

use super::dissipation::tan;
use super::fleet::{DAYS, Machine, frames, machine, megohms, reading, test, yearly};
use crate::{Analysis, Frames, Looks, Memory, Rows, analyze_into};
use jiff::civil::{Date, date};
use std::collections::VecDeque;
use windrow_model::settings::Settings;
use windrow_model::{Coverage, TestSummary};

/// Parts and rows in memory.
#[derive(Default)]
struct Shelf {
    earlier: VecDeque<Vec<u8>>,
    next: VecDeque<Vec<u8>>,
    damaged: bool,
    /// Rows of the analysis before.
    summaries: Vec<TestSummary>,
    coverage: Vec<Coverage>,
}

impl Memory for Shelf {
    fn recall(&mut self) -> Option<Vec<u8>> {
        self.earlier.pop_front()
    }

    fn keep(&mut self, part: Vec<u8>) {
        self.next.push_back(part);
    }

    fn is_damaged(&mut self) {
        self.damaged = true;
    }
}

/// All that an analysis gives, as text, for NaN is not equal to itself; and how much of it was worked out.
fn analyzed(machines: &[Machine], shelf: &mut Shelf) -> (String, Looks) {
    of_frames(&frames(machines), (&Settings::default(), None), shelf)
}

fn of_frames(frames: &Frames, judging: (&Settings, Option<Date>), shelf: &mut Shelf) -> (String, Looks) {
    shelf.earlier = std::mem::take(&mut shelf.next);
    let mut rows = Rows::default();
    let take = &mut |part: Rows| {
        rows.summaries.extend(part.summaries);
        rows.coverage.extend(part.coverage);
        rows.as_before.extend(part.as_before);
    };
    let analysis = analyze_into(frames, judging, Some(&mut *shelf), take).unwrap();
    let Rows { mut summaries, mut coverage, as_before } = rows;
    let is_as_before = |asset_id: &str| as_before.iter().any(|before| before == asset_id);
    let kept = std::mem::take(&mut shelf.summaries).into_iter();
    summaries.extend(kept.filter(|row| row.asset_id.as_deref().is_some_and(is_as_before)));
    let kept = std::mem::take(&mut shelf.coverage).into_iter();
    coverage.extend(kept.filter(|row| is_as_before(&row.asset_id)));
    summaries.sort_by(|a, b| a.test_id.cmp(&b.test_id));
    coverage.sort_by(|a, b| (&a.asset_id, &a.insulation).cmp(&(&b.asset_id, &b.insulation)));
    let looks = analysis.looks;
    let told = format!("{summaries:#?}{coverage:#?}{:#?}", Analysis { looks: Looks::default(), ..analysis });
    (shelf.summaries, shelf.coverage) = (summaries, coverage);
    (told, looks)
}

fn counted(looks: Looks) -> (usize, usize) {
    (looks.machines, looks.anew)
}

fn afresh(machines: &[Machine]) -> String {
    analyzed(machines, &mut Shelf::default()).0
}

/// Machines with a fall, an unbalance, waves, a rewind, an undated test and nothing of the kind, and four sisters with dissipation factors,
/// the last of which stands out.
fn fleet() -> Vec<Machine> {
    let resistances = ["U-V", "V-W", "W-U"].map(|circuit| reading("winding_resistance", circuit, 0.5));
    let mut unbalanced = machine("b unbalanced", vec![test("winding_resistance", "2011-05-01", resistances.to_vec())]);
    unbalanced.tests[0].readings[1].value = 0.6;
    let mut waves = machine("d waves", vec![test("surge", "2012-05-01", Vec::new())]);
    let ringing = |period: f32| (0_u8..200).map(|n| (f32::from(n) / period).cos()).collect();
    waves.tests[0].waves = vec![("U", ringing(5.0)), ("V", ringing(5.0)), ("W", ringing(4.0))];
    let mut rewound = machine("e rewound", yearly(&[40.0, 30.0, 20.0, 900.0, 850.0]));
    rewound.rewound_years = vec![2008];
    let mut undated = machine("f undated", yearly(&[300.0, 310.0]));
    undated.tests[1].on = None;
    undated.tests[1].readings[0].bound = "at_least";
    let sisters = [("g sister", 1.9), ("h sister", 1.8), ("i sister", 1.9), ("j apart", 2.9)];
    let sisters = sisters.map(|(tag, high)| machine(tag, vec![tan(DAYS[0], 1.6, high)]));
    let others = [
        machine("a falling", yearly(&[900.0, 500.0, 260.0, 140.0, 70.0, 30.0])),
        unbalanced,
        machine("c sound", yearly(&[500.0, 520.0, 490.0, 510.0])),
        waves,
        rewound,
        undated,
    ];
    others.into_iter().chain(sisters).collect()
}

#[test]
fn a_sister_that_was_not_worked_out_again_still_speaks_of_one_that_was() {
    let (mut machines, mut shelf) = (fleet(), Shelf::default());
    let tells = |told: &str| told.contains("dissipation_sisters");
    assert!(tells(&analyzed(&machines, &mut shelf).0) && tells(&analyzed(&machines, &mut shelf).0));
    machines[8].winding_kind = "random";
    assert!(!tells(&analyzed(&machines, &mut shelf).0), "two sisters are too few");
}

/// Changes something that an analysis sees of a machine.
type Change = fn(&mut Machine);

#[test]
fn only_machines_that_changed_are_worked_out_and_the_result_is_that_of_the_whole() {
    let changes: [(usize, Change); 12] = [
        (0, |machine| machine.tests.push(megohms("2012-05-01", 12.0, "exact"))),
        (1, |machine| machine.tests[0].readings[1].value = 0.7),
        (1, |machine| machine.tests[0].readings[2].circuit = "U"),
        (2, |machine| drop(machine.tests.pop())),
        (2, |machine| machine.rated_voltage_v = Some(690.0)),
        (2, |machine| machine.tests[1].temperature_c = None),
        (3, |machine| machine.tests[0].waves[2].1[7] = 0.5),
        (4, |machine| machine.rewound_years.clear()),
        (5, |machine| machine.tests[1].readings[0].bound = "exact"),
        (7, |machine| machine.tests[0].readings[2].value = 0.028),
        (8, |machine| machine.winding_kind = "random"),
        (9, |machine| machine.tests[0].readings[2].value = 0.019),
    ];
    for (number, (place, change)) in changes.into_iter().enumerate() {
        let (mut machines, mut shelf) = (fleet(), Shelf::default());
        assert_eq!(counted(analyzed(&machines, &mut shelf).1), (10, 10));
        let again = analyzed(&machines, &mut shelf);
        assert_eq!((again.0 == afresh(&machines), counted(again.1)), (true, (10, 0)));
        assert_eq!(again.1.forecasts_anew, 0);
        change(&mut machines[place]);
        let (told, looks) = analyzed(&machines, &mut shelf);
        assert!(told == afresh(&machines), "change {number}");
        assert_eq!(counted(looks), (10, 1), "change {number}");
    }
}

#[test]
fn machines_that_come_and_go_between_others_are_found() {
    let mut shelf = Shelf::default();
    analyzed(&fleet(), &mut shelf);
    let mut machines = fleet();
    machines.insert(0, machine("0 new", yearly(&[100.0, 90.0])));
    machines.insert(4, machine("c2 new", yearly(&[100.0, 90.0])));
    machines.push(machine("z new", yearly(&[100.0, 90.0])));
    machines.remove(2);
    let (told, looks) = analyzed(&machines, &mut shelf);
    assert!(told == afresh(&machines));
    assert_eq!(counted(looks), (12, 3));
}

#[test]
fn a_damaged_part_is_told_and_worked_out_again() {
    let mut shelf = Shelf::default();
    analyzed(&fleet(), &mut shelf);
    shelf.next = VecDeque::from([vec![0xff; 40]]);
    let (told, looks) = analyzed(&fleet(), &mut shelf);
    assert!(shelf.damaged && told == afresh(&fleet()));
    assert_eq!(looks.anew, 10);
    assert_eq!(analyzed(&fleet(), &mut shelf).1.anew, 0, "made anew");
}

/// What may be other at the next analysis although no machine is: the day on which the records are known, rulings, the order of rows, the number of threads.
#[test]
fn an_analysis_of_another_day_by_other_rulings_rows_and_threads_is_that_of_the_whole() {
    let ruling = toml::from_str("question = \"corrected\"\nanswer = \"as read\"").unwrap();
    let ruled = Settings { decisions: vec![ruling], ..Settings::default() };
    let known = Some(date(2004, 7, 1));
    let (settings, machines) = (Settings::default(), fleet());
    let written = frames(&machines);
    let turned = Frames {
        assets: written.assets.clone().reverse(),
        tests: written.tests.clone().reverse(),
        readings: written.readings.clone().reverse(),
        reported_figures: written.reported_figures.clone().reverse(),
        waveforms: written.waveforms.clone().reverse(),
    };
    let cases = [
        (&written, (&settings, known)),
        (&written, (&ruled, None)),
        (&turned, (&settings, None)),
        (&turned, (&ruled, known)),
    ];
    for threads in [1, 2, 3, 5] {
        let pool = rayon::ThreadPoolBuilder::new().num_threads(threads).build().unwrap();
        let mut shelf = Shelf::default();
        analyzed(&machines, &mut shelf);
        for (case, (frames, judging)) in cases.into_iter().enumerate() {
            let (told, looks) = pool.install(|| of_frames(frames, judging, &mut shelf));
            let (whole, _) = of_frames(&written, judging, &mut Shelf::default());
            assert!(told == whole, "{threads} threads, case {case}");
            assert_eq!(counted(looks), (10, 0), "{threads} threads, case {case}");
        }
    }
}

//! Two imports at once: one waits, or the later one is refused; never a mixture.

use super::{commit, import, new_fleet, tables};
use crate::steps::Steps;
use crate::{Fleet, Writer};
use std::sync::atomic::{AtomicBool, Ordering};
use windrow_model::{CellRow, Hold, ImportRow, Reading, Test};

#[test]
fn the_second_waits_and_readers_never_see_a_mixture() {
    let (_folder, fleet) = new_fleet();
    let dir = fleet.dir();
    let done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        let writers = ["7", "11"].map(|id| {
            scope.spawn(move || {
                let fleet = Fleet::open(dir).unwrap();
                for round in 0..4 {
                    commit(&fleet, &format!("{id}-{round}"), id.parse().unwrap());
                }
            })
        });
        scope.spawn(|| {
            while !done.load(Ordering::Relaxed) {
                check_is_one_import(&fleet);
            }
        });
        let results = writers.map(std::thread::ScopedJoinHandle::join);
        done.store(true, Ordering::Relaxed);
        for result in results {
            result.unwrap();
        }
    });
    let snapshot = fleet.snapshot().unwrap();
    assert_eq!((snapshot.commit(), snapshot.rows::<ImportRow>().unwrap().len()), (8, 8));
    check_is_one_import(&fleet);
}

fn check_is_one_import(fleet: &Fleet) {
    let snapshot = fleet.snapshot().unwrap();
    let Some(id) = snapshot.import_id() else { return };
    let tests: Vec<Test> = snapshot.rows().unwrap();
    assert_eq!(tests.len().to_string(), id.split('-').next().unwrap());
    assert_eq!(snapshot.rows::<Reading>().unwrap().len(), 2 * tests.len());
    assert!(tests.iter().all(|test| test.import_id == id));
    assert!(snapshot.rows::<CellRow>().unwrap().iter().all(|cell| cell.import_id == id));
    assert!(snapshot.rows::<Hold>().unwrap().iter().all(|hold| hold.import_id == id));
}

#[test]
fn without_locks_the_later_commit_is_refused_and_the_earlier_stays() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "start", 1);
    let mut first = Writer::new(&fleet, None, Steps::default()).unwrap();
    let mut second = Writer::new(&fleet, None, Steps::default()).unwrap();
    first.commit_import(&import("first"), tables("first", 2)).unwrap();
    let error = second.commit_import(&import("second"), tables("second", 3)).unwrap_err();
    assert!(error.to_string().contains("if another program writes there"), "{error}");
    let snapshot = fleet.snapshot().unwrap();
    assert_eq!(snapshot.import_id(), Some("first"));
    assert_eq!(snapshot.rows::<Test>().unwrap().len(), 2);
    commit(&fleet, "third", 4);
    assert_eq!(fleet.snapshot().unwrap().rows::<Test>().unwrap().len(), 4);
}

#[test]
fn without_locks_only_one_of_two_first_commits_is_accepted() {
    let (_folder, fleet) = new_fleet();
    // As a program leaves it that is killed after it made the table of commits: two additions to an empty table contradict
    // each other in nothing that a log alone can see.
    fleet.delta().create(&crate::commits::INFO).unwrap();
    let mut first = Writer::new(&fleet, None, Steps::default()).unwrap();
    let mut second = Writer::new(&fleet, None, Steps::default()).unwrap();
    first.commit_import(&import("first"), tables("first", 2)).unwrap();
    second.commit_import(&import("second"), tables("second", 3)).unwrap_err();
    let snapshot = fleet.snapshot().unwrap();
    assert_eq!((snapshot.commit(), snapshot.import_id()), (1, Some("first")));
    assert_eq!(snapshot.rows::<Test>().unwrap().len(), 2);
}

//! Who is who does not depend on how the records came: in which order, in how many imports, over how many threads, or how often.
//! What this checks against is one import of everything by one thread.

use crate::fleet::{Records, Shelf};
use proptest::prelude::*;
use windrow_pipeline::Missing;

/// Namesakes of two plants, a motor that moved, slips, spares, a copied test, old and new tags, an equipment list. All invented.
const FILES: [(&str, &str); 9] = [
    ("north/log.csv", "Motor,kW,Volts,Date,IR MOhm\nP-1,450,6600,2001-02-03,910\nP-2,450,6600,2001-02-03,880\n"),
    ("south/log.csv", "Motor,kW,Volts,Date,IR MOhm\nP-1,22,400,2001-05-06,120\nP-2,450,6000,2001-05-06,640\n"),
    ("south/later.csv", "Motor,Date,IR MOhm\nP-1,2010-02-03,700\nSPARE,2010-02-03,41\nSPARE,2010-02-03,43\n"),
    ("office/any.csv", "Motor,Date,IR MOhm\nP-1,2011-02-03,600\nP-1O1,2011-02-03,81\nP-101,2012-02-03,82\n"),
    (
        "mills/one.csv",
        "Site,Motor,Serial No.,Date,IR MOhm\nOak Mill,F-1,58554-5801,2001-02-03,301\nOak Mill,F-1,58554-5801,2003-02-03,302\n",
    ),
    (
        "mills/two.csv",
        "Site,Motor,Serial No.,Date,IR MOhm\nElm Mill,F-9,58554 58O1,2010-02-03,303\nOak Mill,F-1,43909-6102,2011-02-03,304\n",
    ),
    (
        "mills/copy.csv",
        "Site,Motor,Serial No.,Date,IR MOhm\nOak Mill,F-1,58554-5801,2001-02-03,301\nOak Mill,F-1,,2012-02-03,305\n",
    ),
    ("lists/renumbered.csv", "Old tag,New tag,Date\nP-101,BF-101,2011-06-01\nP-3,BF-3,2011-06-01\n"),
    (
        "lists/equipment.csv",
        "Equipment,Tag,Functional location,Parent,kW,Volts\n10004711,P-2,OAK-10-PMP-002,OAK-10,450,6600\n10004713,G-9,OAK-20-GEN-001,OAK-20,800,6600\n",
    ),
];

proptest! {
    #![proptest_config(ProptestConfig { cases: 24, ..ProptestConfig::default() })]

    #[test]
    fn order_threads_and_importing_again_change_nothing_of_who_is_who(
        order in Just((0..FILES.len()).collect::<Vec<_>>()).prop_shuffle(),
        cuts in prop::collection::vec(any::<bool>(), FILES.len()),
        threads in 1_usize..4,
        again in prop::collection::vec(0..FILES.len(), 0..3),
    ) {
        let records = Records::of(&FILES);
        let names: Vec<&str> = FILES.iter().map(|(name, _)| *name).collect();
        let once = Shelf::default().import(&records.paths(&names), Missing::Keep, 1).unwrap().rows;
        let mut shelf = Shelf::default();
        let mut group: Vec<&str> = Vec::new();
        for (index, cut) in order.iter().zip(&cuts) {
            group.push(names[*index]);
            if *cut {
                shelf.import(&records.paths(&group), Missing::Keep, threads).unwrap();
                group.clear();
            }
        }
        group.extend(again.iter().map(|index| names[*index]));
        if !group.is_empty() {
            shelf.import(&records.paths(&group), Missing::Keep, threads).unwrap();
        }
        prop_assert_eq!(&shelf.rows.assets, &once.assets);
        prop_assert_eq!(&shelf.rows.tests, &once.tests);
        prop_assert_eq!(&shelf.rows.holds, &once.holds);
        prop_assert_eq!(&shelf.rows, &once);
    }
}

#[test]
fn the_records_above_hold_what_they_are_meant_to() {
    let records = Records::of(&FILES);
    let rows = Shelf::default().import(&records.paths(&["."]), Missing::Keep, 1).unwrap().rows;
    let kinds: std::collections::BTreeSet<&str> = rows.holds.iter().map(|hold| hold.question.as_str()).collect();
    assert!(kinds.contains("machine") && kinds.contains("same_machine"), "{kinds:?}");
    assert_eq!(rows.tests.iter().filter(|test| test.duplicate_of.is_some()).count(), 1, "the copied test");
    assert!(rows.assets.iter().any(|asset| asset.list_key.is_some()));
    let moved: Vec<_> = rows.assets.iter().filter(|asset| asset.serial_number.is_some()).collect();
    assert_eq!(moved.len(), 2, "{moved:?}");
}

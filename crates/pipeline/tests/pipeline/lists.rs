//! Lists beside the records: renumbered machines and the owners' equipment list. All plants are invented. What such lists look like is
//! common practice, no source; hierarchy and class codes follow ISO 14224:2016 clauses 8.2 and A.2 (from memory).

use crate::fleet::{Records, Shelf, answer, asked};
use std::collections::BTreeSet;
use windrow_model::{Asset, Decision, Question};
use windrow_pipeline::{Missing, Rows};

fn import(files: &[(&str, &str)], decisions: Vec<Decision>) -> Rows {
    let records = Records::of(files);
    let mut shelf = Shelf::default();
    shelf.settings.decisions = decisions;
    shelf.import(&records.paths(&["."]), Missing::Keep, 1).unwrap().rows
}

/// The machine of the test of `year` in a log of one tag a file.
fn machine(rows: &Rows, file: &str, year: i16) -> Option<String> {
    let is_it =
        |test: &&windrow_model::Test| test.source_file == file && test.performed_on.is_some_and(|on| on.year() == year);
    rows.tests.iter().find(is_it).unwrap().asset_id.as_deref().map(str::to_owned)
}

fn log(tag: &str, years: &[i16]) -> String {
    let lines: Vec<String> = years.iter().map(|year| format!("{tag},{year}-02-03,{}\n", year - 1000)).collect();
    format!("Motor,Date,IR MOhm\n{}", lines.concat())
}

fn the_asset<'r>(rows: &'r Rows, tag: &str) -> &'r Asset {
    let found: Vec<&Asset> = rows.assets.iter().filter(|asset| asset.tag == tag).collect();
    assert_eq!(found.len(), 1, "{tag}: {:?}", rows.assets);
    found[0]
}

#[test]
fn a_list_of_old_and_new_tags_joins_the_records_of_both_and_reads_no_number_from_it() {
    let rows = import(
        &[
            ("old.csv", &log("P-3", &[1990, 1995])),
            ("new.csv", &log("BF-7", &[2005])),
            ("other.csv", &log("P-4", &[1991])),
            ("renumbering.csv", "Old tag,New tag,Date\nP-3,BF-7,2001-04-01\nP-4,BF-8,2001-04-01\n"),
        ],
        Vec::new(),
    );
    assert_eq!(machine(&rows, "old.csv", 1990), machine(&rows, "new.csv", 2005));
    assert_ne!(machine(&rows, "other.csv", 1991), machine(&rows, "new.csv", 2005));
    assert_eq!((rows.assets.len(), rows.readings.len()), (2, 4), "{:?}", rows.assets);
    assert!(rows.assets.iter().any(|asset| asset.aliases.contains(&"P-4".to_owned()) || asset.tag == "P-4"));
    let source = rows.sources.iter().find(|source| source.source_file == "renumbering.csv").unwrap();
    assert_eq!((source.status.as_str(), source.cells_value), ("read", 6));
}

#[test]
fn a_tag_that_was_given_again_is_told_apart_by_the_day_of_the_list() {
    let files = [
        ("p1.csv", log("P-1", &[1990, 2005])),
        ("p2.csv", log("P-2", &[1991, 2006])),
        ("list.csv", "Old tag,New tag,Date\nP-1,P-2,2001-04-01\nP-2,P-1,2001-04-01\n".to_owned()),
    ];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let rows = import(&files, Vec::new());
    assert_eq!(machine(&rows, "p1.csv", 1990), machine(&rows, "p2.csv", 2006), "it has the other tag since 2001");
    assert_eq!(machine(&rows, "p2.csv", 1991), machine(&rows, "p1.csv", 2005));
    assert_ne!(machine(&rows, "p1.csv", 1990), machine(&rows, "p1.csv", 2005));
}

#[test]
fn a_tag_that_was_given_again_on_a_day_that_nobody_tells_is_asked_about_and_joins_nothing() {
    let files = [
        ("p1.csv", log("P-1", &[1990])),
        ("p2.csv", log("P-2", &[1991])),
        ("p3.csv", log("P-3", &[1992])),
        ("list.csv", "Old tag,New tag\nP-1,P-2\nP-2,P-3\n".to_owned()),
    ];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let rows = import(&files, Vec::new());
    let machines: BTreeSet<Option<String>> =
        [("p1.csv", 1990), ("p2.csv", 1991), ("p3.csv", 1992)].map(|(file, year)| machine(&rows, file, year)).into();
    assert_eq!(machines.len(), 3, "thrown together");
    let holds = asked(&rows, Question::SameMachine);
    assert_eq!(holds.len(), 2, "{holds:?}");
    assert!(holds.iter().all(|hold| hold.source_file == "list.csv" && hold.context.contains("no day")));
    let rulings = holds.iter().map(|hold| {
        let renamed = hold.choices.iter().find(|choice| choice.ends_with("YYYY-MM-DD")).unwrap();
        answer(hold, &renamed.replace("YYYY-MM-DD", "1991-01-01"))
    });
    let ruled = import(&files, rulings.collect());
    assert_eq!(machine(&ruled, "p1.csv", 1990), machine(&ruled, "p2.csv", 1991), "P-1 became P-2");
    assert!(asked(&ruled, Question::SameMachine).is_empty());
}

/// Two lines are known to the records, one is not; the voltage of P-2 contradicts them.
const LIST: &str = "Equipment,Tag,Description,Functional location,Parent,Equipment class,Area,kW,Volts\n\
                    10004711,P-1,Feed pump motor,OAK-10-PMP-001,OAK-10,EM,Boiler house,450,6600\n\
                    10004712,P-2,Feed pump motor,OAK-10-PMP-002,OAK-10,EM,Boiler house,450,3300\n\
                    10004713,G-9,Standby set,OAK-20-GEN-001,OAK-20,EG,Yard,800,6600\n";

#[test]
fn an_equipment_list_is_the_authority_and_its_key_and_hierarchy_stay_with_the_machine() {
    let log = "Motor,kW,Volts,Date,IR MOhm\np 1,450,6600,2001-02-03,910\nP-2,450,6600,2001-02-03,880\nX-5,22,400,2001-02-03,70\n";
    let rows = import(&[("list.csv", LIST), ("log.csv", log)], Vec::new());
    let first = the_asset(&rows, "P-1");
    assert_eq!(first.list_key.as_deref(), Some("10004711"));
    assert_eq!(first.functional_location.as_deref(), Some("OAK-10-PMP-001"));
    assert_eq!((first.parent.as_deref(), first.area.as_deref()), (Some("OAK-10"), Some("Boiler house")));
    assert_eq!(first.listed_at.as_deref(), Some("list.csv A2"));
    assert_eq!(the_asset(&rows, "G-9").equipment_class, "EG");
    assert_eq!(the_asset(&rows, "X-5").list_key, None);
    let second = the_asset(&rows, "P-2");
    assert_eq!(second.rated_voltage_v, Some(3300.0), "the list is the authority");
    let conflict = &second.nameplate_conflicts[0];
    assert_eq!(conflict.step, "rated_voltage_v");
    for told in ["3300 V", "6600 V", "list.csv I3", "log.csv C3", "the equipment list tells it"] {
        assert!(conflict.detail.contains(told), "{told} is not in {}", conflict.detail);
    }
    assert_eq!(asked(&rows, Question::Nameplate).len(), 1);
}

#[test]
fn records_that_name_functional_locations_are_of_the_machines_that_the_list_puts_there() {
    let log = "Motor,Date,IR MOhm\nOAK-10-PMP-001,2001-02-03,910\nP-2,2001-02-03,880\n";
    let rows = import(&[("list.csv", LIST), ("log.csv", log)], Vec::new());
    assert_eq!(rows.assets.len(), 3, "{:?}", rows.assets);
    assert_eq!(the_asset(&rows, "P-1").aliases, ["OAK-10-PMP-001"]);
    assert_eq!(machine(&rows, "log.csv", 2001).as_deref(), Some(the_asset(&rows, "P-1").asset_id.as_str()));
}

#[test]
fn a_list_that_names_machines_by_functional_location_alone_gives_tag_place_area_and_key() {
    let log =
        "Site,Motor,Date,IR MOhm\nOak Mill,OAK-10-PMP-001,2001-02-03,910\nOak Mill,OAK-10-PMP-002,2001-02-03,880\n";
    for heads in [
        "Equipment,Functional location,Description,Superior functional location",
        "Equipment,Technischer Platz,Bezeichnung,Übergeordneter Platz",
    ] {
        let list = format!(
            "{heads}\n10004711,OAK-10-PMP-001,Feed pump 1,OAK-10\n10004712,OAK-10-PMP-002,Feed pump 2,OAK-10\n\
             10004713,OAK-20-GEN-001,Standby,OAK-20\n"
        );
        let rows = import(&[("list.csv", &list), ("log.csv", log)], Vec::new());
        assert_eq!(rows.assets.len(), 3, "{heads}: {:?}", rows.assets);
        let asset = the_asset(&rows, "OAK-10-PMP-001");
        assert_eq!(asset.list_key.as_deref(), Some("10004711"), "{heads}");
        assert_eq!(asset.functional_location.as_deref(), Some("OAK-10-PMP-001"), "{heads}");
        assert_eq!((asset.parent.as_deref(), asset.area.as_deref()), (Some("OAK-10"), Some("OAK-10")), "{heads}");
        assert_eq!(asset.location_levels, ["OAK", "10", "PMP", "001"], "{heads}");
    }
}

#[test]
fn nameplates_that_differ_are_kept_with_their_sources_and_the_voltage_is_asked_about() {
    let register = |volts: &str, year: &str| {
        format!(
            "Tag,Station,Serial No.,kW,Volts,Year\nP-1,Oak Mill,58554-5801,450,{volts},{year}\nP-9,Oak Mill,58554-5809,75,400,1990\n"
        )
    };
    let files =
        [("a.csv", register("6600", "1958")), ("b.csv", register("6600", "1959")), ("c.csv", register("6000", "1959"))];
    let files: Vec<(&str, &str)> = files.iter().map(|(name, text)| (*name, text.as_str())).collect();
    let rows = import(&files, Vec::new());
    let asset = the_asset(&rows, "P-1");
    assert_eq!((asset.rated_voltage_v, asset.made_year), (Some(6600.0), Some(1959)), "most sources tell so");
    let columns: Vec<&str> = asset.nameplate_conflicts.iter().map(|conflict| conflict.step.as_str()).collect();
    assert_eq!(columns, ["rated_voltage_v", "made_year"]);
    let holds = asked(&rows, Question::Nameplate);
    assert_eq!(holds.len(), 1, "a year decides no limit, a voltage does");
    assert_eq!((holds[0].source_file.as_str(), holds[0].source_cell.as_deref()), ("c.csv", Some("E2")));
    assert_eq!(holds[0].choices, ["6600 V", "6000 V"]);
    assert!(holds[0].context.contains("a.csv E2") && holds[0].context.contains("c.csv E2"), "{}", holds[0].context);
    for volts in [6000.0, 6600.0] {
        let ruled = import(&files, vec![answer(holds[0], &format!("{volts} V"))]);
        assert_eq!(the_asset(&ruled, "P-1").rated_voltage_v, Some(volts));
        assert!(asked(&ruled, Question::Nameplate).is_empty());
        assert_eq!(the_asset(&ruled, "P-1").nameplate_conflicts.len(), 2, "what was told stays");
    }
}

//! Machines as the program shows them: one of them with what sources tell differently, and all beside an equipment list. All invented.

use crate::{folder, on, windrow};
use serde_json::Value;
use std::fs;
use std::path::{Path, PathBuf};

const LIST: &str = "Equipment,Tag,Functional location,Parent,kW,Volts\n\
                    10004711,P-1,OAK-10-PMP-001,OAK-10,450,6600\n\
                    10004712,P-2,OAK-10-PMP-002,OAK-10,450,3300\n\
                    10004713,G-9,OAK-20-GEN-001,OAK-20,800,6600\n";
const LOG: &str =
    "Motor,kW,Volts,Date,IR MOhm\np 1,450,6600,2001-02-03,910\nP-2,450,6600,2001-02-03,880\nX-5,22,400,2001-02-03,70\n";

fn fleet(within: &Path, files: &[(&str, &str)]) -> PathBuf {
    let (records, fleet) = (within.join("records"), within.join("fleet"));
    fs::create_dir_all(&records).unwrap();
    for (name, text) in files {
        fs::write(records.join(name), text).unwrap();
    }
    let said = windrow(["import", records.to_str().unwrap(), "--fleet", fleet.to_str().unwrap()]);
    assert!(said.status.is_some_and(|status| status <= 1), "{}", said.err);
    fleet
}

#[test]
fn one_machine_shows_its_place_and_every_value_that_sources_tell() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("list.csv", LIST), ("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["P-2"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    for told in
        ["OAK-10-PMP-002", "10004712", "list.csv A3", "3300 V", "6600 V", "log.csv C3", "the equipment list tells it"]
    {
        assert!(said.out.contains(told), "{told} is not in\n{}", said.out);
    }
}

#[test]
fn an_equipment_list_is_compared_with_the_records_in_every_form() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("list.csv", LIST), ("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["--compare-list", "--format", "json"]);
    assert_eq!(said.status, Some(1), "a conflict waits: {}", said.err);
    let rows: Value = serde_json::from_str(&said.out).unwrap();
    let mut states: Vec<(&str, &str)> = rows
        .as_array()
        .unwrap()
        .iter()
        .map(|row| (row["tag"].as_str().unwrap(), row["state"].as_str().unwrap()))
        .collect();
    states.sort_unstable();
    assert_eq!(
        states,
        [("G-9", "only in the list"), ("P-1", "matched"), ("P-2", "conflict"), ("X-5", "only in the records")]
    );
    let csv = on(&fleet, "assets", &["--compare-list", "--format", "csv"]);
    assert!(csv.out.contains("10004711,P-1") || csv.out.contains("10004711\",\"P-1"), "{}", csv.out);
    assert!(on(&fleet, "assets", &["--compare-list"]).out.contains("only in the records"));
}

#[test]
fn without_a_list_there_is_nothing_to_compare_and_the_program_says_what_to_do() {
    let folder = folder();
    let fleet = fleet(folder.path(), &[("log.csv", LOG)]);
    let said = on(&fleet, "assets", &["--compare-list"]);
    assert_eq!(said.status, Some(0));
    assert!(said.err.contains("equipment list") && said.out.is_empty(), "{}", said.err);
}

#[test]
fn why_names_the_list_and_the_ruling_that_join_two_names() {
    let folder = folder();
    let renamed = "Old tag,New tag\nP-9,PU-2209\n";
    let log = "Motor,Date,IR MOhm\nP-9,2001-02-03,910\nPU-2209,2016-02-03,880\nP-3 (formerly K-3),2001-02-03,70\nK-3,1999-02-03,75\n";
    let fleet = fleet(folder.path(), &[("renumbered.csv", renamed), ("log.csv", log)]);
    let said = on(&fleet, "assets", &["--why", "P-9", "PU-2209"]);
    assert!(
        said.out.contains("a list gives PU-2209 to what was P-9   told at renumbered.csv A2 and renumbered.csv B2"),
        "{}",
        said.out
    );
    assert!(said.out.contains("they are one machine"), "{}", said.out);
    let noted = on(&fleet, "assets", &["--why", "P-3", "K-3"]);
    assert!(noted.out.contains("P-3 (formerly K-3)\"   told at log.csv A4"), "{}", noted.out);
}

#[test]
fn why_names_the_list_that_puts_a_machine_at_its_functional_location() {
    let folder = folder();
    let log = "Motor,Date,IR MOhm\nOAK-10-PMP-001,2001-02-03,910\n";
    let fleet = fleet(folder.path(), &[("list.csv", LIST), ("log.csv", log)]);
    let said = on(&fleet, "assets", &["--why", "P-1", "OAK-10-PMP-001"]);
    let told = "the equipment list puts P-1 at OAK-10-PMP-001   told at list.csv C2 and list.csv B2";
    assert!(said.out.contains(told) && said.out.contains("they are one machine"), "{}", said.out);
    let open =
        "SELECT source_cell FROM cells WHERE source_file = 'list.csv' AND disposition = 'value' AND target IS NULL";
    assert_eq!(crate::ask(&fleet, open), [""; 0], "each cell leads to its machine");
}

#[test]
fn records_of_spares_are_ruled_row_by_row_and_never_all_at_once() {
    let folder = folder();
    let log = "Motor,Date,IR MOhm\nSPARE,2001-02-03,910\nSPARE,2002-02-03,880\nSPARE,2003-02-03,70\n";
    let fleet = fleet(folder.path(), &[("log.csv", log)]);
    let id = crate::ask(&fleet, "SELECT hold_id FROM holds WHERE question = 'machine' ORDER BY source_cell").remove(0);
    let all = on(&fleet, "decide", &[&id, "P-7"]);
    assert!(all.status == Some(3) && all.err.contains("3 records") && all.err.contains("--cells"), "{}", all.err);
    assert_eq!(on(&fleet, "decide", &[&id, "P-7", "--cells", "A2:A3"]).status, Some(0));
    let nowhere = on(&fleet, "decide", &[&id, "P-7", "--cells", "F2"]);
    assert!(nowhere.status == Some(3) && nowhere.err.contains("none of these cells"), "{}", nowhere.err);
    on(&fleet, "import", &[folder.path().join("records").to_str().unwrap()]);
    let of = "SELECT a.tag, count(*) FROM tests t LEFT JOIN assets a ON a.asset_id = t.asset_id GROUP BY a.tag ORDER BY a.tag";
    assert_eq!(crate::ask(&fleet, of).len(), 2);
    assert_eq!(crate::ask(&fleet, "SELECT source_cell FROM holds WHERE question = 'machine'"), ["A4"]);
}

#[test]
fn a_file_is_ruled_upon_without_a_question_and_the_ruling_is_undone_by_deleting_it() {
    let folder = folder();
    let log = "Motor,Date,IR MOhm\nP-1,2001-02-03,910\n";
    let fleet = fleet(folder.path(), &[("a.csv", log), ("b.csv", "Motor,Date,IR MOhm\nP-1,2011-02-03,870\n")]);
    let import = || on(&fleet, "import", &[folder.path().join("records").to_str().unwrap()]);
    let machines = || crate::count(&fleet, "SELECT count(*) FROM assets");
    assert_eq!(machines(), 1);
    for (arguments, told) in [
        (&["machine", "P-1 [stores]", "--file", "c.csv"][..], "has no file"),
        (&["spare", "P-1", "--file", "b.csv"], "the question itself"),
        (&["nameplate", "480 V", "--file", "b.csv"], "cell by cell"),
        (&["same_machine", "unlike P-1", "--file", "b.csv"], "different from MACHINE"),
    ] {
        let refused = on(&fleet, "decide", arguments);
        assert!(refused.status == Some(3) && refused.err.contains(told), "{arguments:?}: {}", refused.err);
    }
    let said = on(&fleet, "decide", &["same_machine", "different from P-1", "--file", "b.csv", "--by", "R. Doe"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    import();
    assert_eq!(machines(), 2);
    fs::write(fleet.join("decisions.toml"), "").unwrap();
    import();
    assert_eq!(machines(), 1, "deleting a ruling takes it back");
}

#[test]
fn functional_locations_show_their_levels_where_the_list_shows_how_they_are_made() {
    let folder = folder();
    let list = "Equipment,Tag,Site,Functional location,Parent\n10004711,P-1,North Station,P1-U2-CWP-0001-A,P1-U2-CWP\n\
                10004712,P-2,North Station,P1-U2-CWP-0002-A,P1-U2-CWP\n10004713,P-3,North Station,P1-U1-FWP-0001-A,P1-U1-FWP\n";
    let one = fleet(folder.path(), &[("list.csv", list)]);
    assert!(on(&one, "assets", &["P-2"]).out.contains("P1 > U2 > CWP > 0002 > A"));
    assert_eq!(crate::ask(&one, "SELECT location_levels FROM assets WHERE tag = 'P-3'"), ["P1 U1 FWP 0001 A"]);
    // ISO 14224:2016 clause 8.2 (from memory): area above position; no source tells another.
    assert_eq!(crate::ask(&one, "SELECT tag, area FROM assets ORDER BY tag"), ["P-1,P1-U2", "P-2,P1-U2", "P-3,P1-U1"]);
    let sites = crate::folder();
    let untold = fleet(sites.path(), &[("list.csv", &list.replace("North Station", ""))]);
    let area = "SELECT count(*) FROM assets WHERE area IS NOT NULL";
    assert_eq!(crate::count(&untold, area), 0, "without a site the widest level may be a company");
    let other = crate::folder();
    let unlike = "Equipment,Tag,Functional location\n10004711,P-1,P1-U2-CWP-0001-A\n10004712,P-2,boiler house\n10004713,P-3,U1 FWP\n";
    let unlike = fleet(other.path(), &[("list.csv", unlike)]);
    assert!(!on(&unlike, "assets", &["P-1"]).out.contains("its levels"));
    assert_eq!(crate::count(&unlike, area), 0, "nothing is guessed");
}

#[test]
fn one_tag_of_two_plants_is_two_machines_and_the_program_says_which_and_why() {
    let folder = folder();
    let of = |kilowatts: u32, volts: u32, megohms: u32| {
        format!("Motor,kW,Volts,Date,IR MOhm\nP-1,{kilowatts},{volts},2001-02-03,{megohms}\n")
    };
    let records = folder.path().join("records");
    for (name, text) in [("oak", of(450, 6600, 910)), ("elm", of(22, 400, 12))] {
        fs::create_dir_all(records.join(name)).unwrap();
        fs::write(records.join(name).join("log.csv"), text).unwrap();
    }
    let fleet = fleet(folder.path(), &[]);
    let all = on(&fleet, "assets", &[]);
    let why = all.err.lines().find(|line| line.contains("called P-1")).unwrap().to_owned();
    let ids: Vec<&str> = why.split("--why ").nth(1).unwrap().split(' ').take(2).collect();
    let told = on(&fleet, "assets", &["--why", ids[0], ids[1]]).out;
    assert!(told.contains("different rated voltage") && told.contains("they are two machines"), "{told}");
    let which = on(&fleet, "assets", &["P-1"]);
    assert!(which.status == Some(3) && which.err.contains("400 V") && which.err.contains("450 kW"), "{}", which.err);
}

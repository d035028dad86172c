//! Opening and making fleet folders.

use super::{commit, files, new_fleet};
use crate::Fleet;
use std::fs;

#[test]
fn a_new_fleet_has_settings_to_fill_in_and_places_for_the_rest() {
    let folder = tempfile::tempdir().unwrap();
    let dir = folder.path().join("deep/plant");
    let fleet = Fleet::open_or_create(&dir).unwrap();
    assert!(fs::read_to_string(dir.join("windrow.toml")).unwrap().contains("# date_order = \"day-first\""));
    assert!(fleet.layouts_dir().is_dir());
    assert_eq!(fleet.settings().unwrap(), windrow_model::settings::Settings::default());
    assert_eq!(fleet.snapshot().unwrap().commit(), 0);
}

#[test]
fn what_people_wrote_is_left_as_it_is() {
    let folder = tempfile::tempdir().unwrap();
    fs::write(folder.path().join("windrow.toml"), "[site]\nname = \"Ost\"\n").unwrap();
    let fleet = Fleet::open_or_create(folder.path()).unwrap();
    assert_eq!(fleet.settings().unwrap().site.name.as_deref(), Some("Ost"));
    fs::write(folder.path().join("windrow.toml"), "[site]\nname = 3\n").unwrap();
    let error = Fleet::open(folder.path()).unwrap().settings().unwrap_err();
    assert!(error.is_settings() && error.to_string().contains("windrow.toml, line 2"), "{error}");
}

#[test]
fn a_fleet_of_a_newer_schema_is_refused_and_not_touched() {
    let (_folder, fleet) = new_fleet();
    commit(&fleet, "one", 1);
    fs::write(fleet.dir().join("store/schema_version"), "2\n").unwrap();
    let before = files(fleet.dir());
    for error in [Fleet::open(fleet.dir()).unwrap_err(), Fleet::open_or_create(fleet.dir()).unwrap_err()] {
        assert!(error.to_string().contains("schema version 2"), "{error}");
        assert!(error.to_string().contains("newer program"), "{error}");
    }
    assert_eq!(files(fleet.dir()), before);
}

#[test]
fn a_file_or_another_folder_is_not_taken_for_a_fleet() {
    let folder = tempfile::tempdir().unwrap();
    let file = folder.path().join("records.xlsx");
    fs::write(&file, b"x").unwrap();
    let message = |result: crate::Result<Fleet>| result.unwrap_err().to_string();
    assert!(message(Fleet::open_or_create(&file)).contains("is a file"));
    assert!(message(Fleet::open(&file)).contains("is a file"));
    assert!(message(Fleet::open_or_create(&file.join("below"))).contains("file"));
    assert!(message(Fleet::open_or_create(folder.path())).contains("other files (records.xlsx)"));
    assert!(message(Fleet::open(folder.path())).contains("is no fleet folder"));
    assert!(message(Fleet::open(&folder.path().join("none"))).contains("windrow import"));
    assert_eq!(files(folder.path()).len(), 1, "nothing was written");
}

#[test]
fn the_settings_hash_follows_meaning_and_decisions_not_comments() {
    let (_folder, fleet) = new_fleet();
    let hash = || fleet.settings_hash().unwrap();
    let first = hash();
    fs::write(fleet.dir().join("windrow.toml"), "# other words\n").unwrap();
    assert_eq!(hash(), first);
    fs::write(fleet.dir().join("windrow.toml"), "[site]\nname = \"Ost\"\n").unwrap();
    let named = hash();
    assert_ne!(named, first);
    fs::write(fleet.decisions_path(), "[[decision]]\nquestion = \"unit\"\nanswer = \"MOhm\"\n").unwrap();
    let decided = hash();
    assert_ne!(decided, named);
    fs::write(fleet.layouts_dir().join("a.toml"), "[[layout]]\nanchors = [\"Kone\"]\n").unwrap();
    assert_ne!(hash(), decided);
}

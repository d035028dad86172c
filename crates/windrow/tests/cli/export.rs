//! What is handed out, as another program finds it; and the consolidated workbook, imported again.

use crate::{SAMPLES, ask, count, demo, folder, on};
use std::fs;
use std::path::Path;

const CORPUS: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../tests/corpus/open/files");

/// Every reading with all that decides what it means, sorted.
fn readings(fleet: &Path) -> Vec<String> {
    let mut all = ask(
        fleet,
        "SELECT a.tag, a.site, t.kind, t.performed_on, t.performed_precision, t.winding_temperature_c, t.winding_temperature_basis, \
         t.ambient_temperature_c, t.relative_humidity_pct, t.dew_point_c, t.test_voltage_v, t.test_voltage_basis, t.stage, t.remarks, \
         a.rated_voltage_v, a.winding_kind, a.insulation_era, r.reported_reference_c, r.flags, r.quantity, r.circuit, r.elapsed_s, r.applied_voltage_v, r.value, r.unit, r.bound, r.outcome, \
         r.as_reported, r.value_ref, r.reference_c, t.duplicate_of IS NULL FROM readings r JOIN tests t ON r.test_id = t.test_id \
         LEFT JOIN assets a ON t.asset_id = a.asset_id",
    );
    all.sort();
    all
}

fn export(fleet: &Path, form: &str, out: &Path) {
    let said = on(fleet, "export", &["--to", form, "--out", out.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{form}: {}", said.err);
}

/// Exports `fleet` as a workbook, imports that into a new fleet, and gives both.
fn there_and_back(fleet: &Path, folder: &Path) -> (Vec<String>, Vec<String>) {
    let (book, again) = (folder.join("handed out.xlsx"), folder.join("again"));
    export(fleet, "xlsx", &book);
    let said = on(&again, "import", &[book.to_str().unwrap()]);
    assert!(matches!(said.status, Some(0 | 1)), "{}", said.err);
    assert_eq!(ask(&again, "SELECT sum(cells_unread), sum(cells_held) FROM sources"), ["0,0"]);
    (readings(fleet), readings(&again))
}

#[test]
fn the_workbook_of_the_demo_imports_as_the_same_readings() {
    let folder = folder();
    let (before, after) = there_and_back(&demo().0, folder.path());
    assert!(before.len() > 1000, "{}", before.len());
    assert_eq!(before.len(), after.len());
    let different = before.iter().zip(&after).filter(|(a, b)| a != b).count();
    assert_eq!(different, 0, "{:?}", before.iter().zip(&after).find(|(a, b)| a != b));
}

#[test]
fn the_workbook_of_the_corpus_imports_as_the_same_readings() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    on(&fleet, "run", &[CORPUS]);
    let (before, after) = there_and_back(&fleet, folder.path());
    assert!(before.len() > 1000, "{}", before.len());
    assert_eq!(before.len(), after.len());
    let different: Vec<_> = before.iter().zip(&after).filter(|(a, b)| a != b).collect();
    assert_eq!(different.len(), 0, "{:?}", different.first());
}

#[test]
fn the_workbook_beside_its_own_sources_counts_nothing_twice() {
    let folder = folder();
    let (fleet, book) = (folder.path().join("fleet"), folder.path().join("handed"));
    fs::create_dir(&book).unwrap();
    on(&fleet, "run", &[SAMPLES]);
    // Before everything else in the order of names, and after it.
    for name in ["a first.xlsx", "z last.xlsx"] {
        export(&fleet, "xlsx", &book.join(name));
    }
    let once = "SELECT count(*) FROM tests WHERE duplicate_of IS NULL";
    let found = "SELECT finding_id, level, state, statement FROM findings ORDER BY finding_id";
    let (tests, findings) = (count(&fleet, once), ask(&fleet, found));
    let kept = ask(&fleet, "SELECT test_id FROM tests WHERE duplicate_of IS NULL ORDER BY test_id");
    on(&fleet, "run", &[book.to_str().unwrap()]);
    assert_eq!(count(&fleet, "SELECT count(*) FROM tests"), 3 * tests, "they are there");
    assert_eq!(ask(&fleet, "SELECT test_id FROM tests WHERE duplicate_of IS NULL ORDER BY test_id"), kept);
    assert_eq!(ask(&fleet, found), findings);
    assert_eq!(count(&fleet, "SELECT count(*) FROM holds WHERE question = 'same_test'"), 0);
}

#[test]
fn a_workbook_that_somebody_changed_is_asked_about() {
    let folder = folder();
    let book = folder.path().join("book.xlsx");
    export(&demo().0, "xlsx", &book);
    let changed = folder.path().join("changed.xlsx");
    change_text(&book, &changed, "xl/sharedStrings.xml", "<t>MΩ</t>", "<t>kV</t>");
    let fleet = folder.path().join("fleet");
    let said = on(&fleet, "import", &[changed.to_str().unwrap()]);
    assert_eq!(said.status, Some(1));
    assert!(count(&fleet, "SELECT count(*) FROM holds WHERE question = 'unit'") > 100, "{}", said.out);
    assert_eq!(count(&fleet, "SELECT count(*) FROM readings WHERE quantity = 'insulation_resistance'"), 0);
}

/// Copies a workbook with one text of one part replaced.
fn change_text(from: &Path, to: &Path, part: &str, old: &str, new: &str) {
    use std::io::{Read, Write};
    let mut archive = zip::ZipArchive::new(fs::File::open(from).unwrap()).unwrap();
    let mut out = zip::ZipWriter::new(fs::File::create(to).unwrap());
    for at in 0..archive.len() {
        let mut member = archive.by_index(at).unwrap();
        let name = member.name().unwrap().into_owned();
        let mut bytes = Vec::new();
        member.read_to_end(&mut bytes).unwrap();
        if name == part {
            let text = String::from_utf8(bytes).unwrap();
            assert!(text.contains(old), "{part} holds no {old}");
            bytes = text.replace(old, new).into_bytes();
        }
        out.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
        out.write_all(&bytes).unwrap();
    }
    out.finish().unwrap();
}

#[test]
fn nothing_is_replaced_unasked_and_nothing_of_anybody_else_ever() {
    let folder = folder();
    let out = folder.path().join("tables");
    fs::create_dir(&out).unwrap();
    fs::write(out.join("my notes.txt"), "mine").unwrap();
    let path = out.to_str().unwrap();
    for force in [&[][..], &["--force"]] {
        let said = on(&demo().0, "export", &[&["--to", "csv", "--out", path], force].concat());
        assert_eq!(said.status, Some(2), "{}", said.err);
    }
    assert_eq!(fs::read_to_string(out.join("my notes.txt")).unwrap(), "mine");
    fs::remove_file(out.join("my notes.txt")).unwrap();
    export(&demo().0, "csv", &out);
    let said = on(&demo().0, "export", &["--to", "csv", "--out", path]);
    assert!(said.status == Some(2) && said.err.contains("--force"), "{}", said.err);
    let said = on(&demo().0, "export", &["--to", "csv", "--out", path, "--force"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let left: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().file_name()).collect();
    assert_eq!(left, ["tables"], "nothing unfinished lies about");
}

/// All texts of what was handed out: of a file, of the parts of a workbook, of the files of a folder.
fn texts(out: &Path) -> String {
    if out.is_dir() {
        return fs::read_dir(out).unwrap().map(|entry| texts(&entry.unwrap().path())).collect();
    }
    if out.extension().is_some_and(|ending| ending == "xlsx") {
        let mut archive = zip::ZipArchive::new(fs::File::open(out).unwrap()).unwrap();
        let mut text = String::new();
        for at in 0..archive.len() {
            std::io::Read::read_to_string(&mut archive.by_index(at).unwrap(), &mut text).unwrap();
        }
        return text;
    }
    String::from_utf8_lossy(&fs::read(out).unwrap()).into_owned()
}

#[test]
fn names_of_people_leave_as_the_site_wants_in_every_form() {
    let folder = folder();
    let fleet = folder.path().join("fleet");
    on(&fleet, "run", &[SAMPLES]);
    let id = ask(&fleet, "SELECT finding_id FROM findings WHERE rule = 'ir_minimum'").remove(0);
    on(&fleet, "acknowledge", &[&id, "--reason", "Q. Zander looked", "--by", "Q. Zander"]);
    let mut names = ask(&fleet, "SELECT DISTINCT tester FROM tests WHERE tester IS NOT NULL ORDER BY tester");
    assert!(!names.is_empty());
    names.push("Q. Zander".to_owned());
    let settings = fs::read_to_string(fleet.join("windrow.toml")).unwrap();
    for (mode, stands) in [("drop", false), ("pseudonym", false), ("keep", true)] {
        fs::write(fleet.join("windrow.toml"), settings.replace("testers = \"keep\"", &format!("testers = \"{mode}\"")))
            .unwrap();
        let place = |name: &str| folder.path().join(format!("{mode} {name}"));
        let forms = [("csv", place("csv")), ("sqlite", place("x.db")), ("xlsx", place("x.xlsx"))];
        for (form, out) in &forms {
            export(&fleet, form, out);
        }
        // Each mode as the first feed of a fleet: what was told once stays told.
        let _ = fs::remove_dir_all(fleet.join("feed"));
        let events = place("events");
        on(&fleet, "feed", &["--into", events.to_str().unwrap()]);
        for (form, out) in forms.iter().chain([&("feed", events)]) {
            let text = texts(out);
            let found = names.iter().filter(|name| text.contains(name.as_str())).count();
            assert_eq!(found, if stands { names.len() } else { 0 }, "{mode}: {form}");
            assert_eq!(text.contains("person-"), mode == "pseudonym", "{mode}: {form}");
        }
    }
}

#[test]
fn the_database_holds_every_row() {
    let folder = folder();
    let out = folder.path().join("plant.db");
    export(&demo().0, "sqlite", &out);
    // Read by SQLite itself, not by what wrote it.
    let database = rusqlite::Connection::open_with_flags(&out, rusqlite::OpenFlags::SQLITE_OPEN_READ_ONLY).unwrap();
    for table in windrow_model::table::TABLES {
        let sql = format!("SELECT count(*) FROM {}", table.name);
        let rows: i64 = database.query_row(&sql, [], |row| row.get(0)).unwrap();
        assert_eq!(rows, count(&demo().0, &sql), "{}", table.name);
    }
}

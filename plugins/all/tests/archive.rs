//! An archive of records of every container is opened in place, one level deep.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests fail by panicking")]

use std::io::{Cursor, Write};
use std::path::Path;

use windrow_importer::{Hands, Intake, import};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_source::{Limits, find};

/// A sample of each container that a folder may hold, and its reader.
const SAMPLES: [(&str, &str); 7] = [
    ("word-document", "test-report.docx"),
    ("symbolic-link", "ir-log.slk"),
    ("data-interchange", "meter-log.dif"),
    ("wk1-sheet", "ir-log.wk1"),
    ("comtrade", "bench-16-bit.cff"),
    ("dbase", "memo-iii.dbf"),
    ("html-table", "report-with-headings.htm"),
];

fn zipped(files: &[(String, Vec<u8>)]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, bytes) in files {
        writer.start_file(name.as_str(), zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(bytes).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

/// A folder with one archive of `bytes`, imported.
fn imported(bytes: &[u8], limits: &Limits) -> Vec<Understood> {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("old.zip"), bytes).unwrap();
    let registry = windrow_plugins::registry().unwrap();
    let settings = Settings::default();
    let intake = Intake { registry: &registry, settings: &settings, limits, hands: Hands::Threads(1), recall: None };
    let mut all = Vec::new();
    let found = find::below(&[folder.path().to_path_buf()]);
    import(found, Vec::new(), intake, &mut |_| {}, &mut |taken| all.push(taken.understood));
    all
}

fn samples() -> Vec<(String, Vec<u8>)> {
    let plugins = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let read = |(plugin, name): &(&str, &str)| {
        let bytes = std::fs::read(plugins.join(plugin).join("samples").join(name)).unwrap();
        (format!("1987/{name}"), bytes)
    };
    SAMPLES.iter().map(read).collect()
}

fn of<'a>(all: &'a [Understood], end: &str) -> &'a Understood {
    all.iter().find(|understood| understood.source_file.ends_with(end)).unwrap_or_else(|| panic!("no {end}"))
}

#[test]
fn each_container_is_read_within_an_archive_and_no_archive_within_it() {
    let inner = zipped(&samples());
    let all = imported(&zipped(&[samples(), vec![("inner.zip".to_owned(), inner)]].concat()), &Limits::default());
    for (reader, name) in SAMPLES {
        assert_eq!(of(&all, &format!("old.zip/1987/{name}")).reader.as_deref(), Some(reader), "{name}");
    }
    let inner = of(&all, "inner.zip");
    assert_eq!(inner.status, SourceStatus::Refused);
    assert!(inner.reason.as_deref().unwrap_or_default().contains("no archive within an archive"), "{:?}", inner.reason);
    assert_eq!(all.len(), SAMPLES.len() + 1);
}

#[test]
fn limits_hold_within_an_archive() {
    let all = imported(&zipped(&samples()), &Limits { cells: 5, ..Limits::default() });
    for (_, name) in SAMPLES {
        let understood = of(&all, name);
        assert_eq!(understood.status, SourceStatus::Refused, "{name}");
        assert!(understood.reason.as_deref().unwrap_or_default().contains("more"), "{name}: {:?}", understood.reason);
    }
}

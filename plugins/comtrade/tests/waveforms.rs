//! Sampled waveforms are no readings, whatever the unit of their channel: they stay in sight, unread.

use std::path::Path;

use windrow_importer::{Source, understand_source};
use windrow_model::Disposition;
use windrow_model::settings::Settings;
use windrow_plugin_comtrade as _;
use windrow_source::Limits;

#[test]
fn waveforms_never_become_readings() {
    let registry = windrow_plugins::registry().unwrap();
    for name in ["bench-16-bit.cff", "bench-text.cff", "first-edition.cfg"] {
        let bytes = std::fs::read(Path::new(env!("CARGO_MANIFEST_DIR")).join("samples").join(name)).unwrap();
        let source = Source { source_file: name, bytes: &bytes };
        let understood = understand_source(source, &registry, &Settings::default(), &Limits::default());
        assert_eq!(understood.reader.as_deref(), Some("comtrade"));
        assert!(understood.tests.is_empty(), "{name}: {:?}", understood.tests);
        let samples = understood.cells.iter().filter(|mark| mark.place.sheet.as_deref() != Some("header"));
        let unread = samples.filter(|mark| mark.disposition == Disposition::Unread).count();
        assert!(unread >= 35, "{name}: what is not read stays in sight, and {unread} cells do");
    }
}

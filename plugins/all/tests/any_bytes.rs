//! No bytes make a reader panic: neither noise nor what begins or goes on like its own files, and whether or not it would claim them.
#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use proptest::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::LazyLock;
use windrow_source::{Companion, Input, Limits, Preview, ReaderPlugin};

/// Little enough that a file asking for much is refused before it costs much.
fn limits() -> Limits {
    Limits {
        cells: 20_000,
        memory_bytes: 64 << 20,
        inflated_bytes: 8 << 20,
        member_bytes: 4 << 20,
        ..Limits::default()
    }
}

/// Samples of all readers.
static SAMPLES: LazyLock<Vec<Vec<u8>>> = LazyLock::new(|| {
    let plugins = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
    let registry = windrow_plugins::registry().unwrap();
    let folders = registry.readers().iter().map(|plugin| plugins.join(plugin.id).join("samples"));
    let mut paths: Vec<PathBuf> =
        folders.flat_map(|folder| std::fs::read_dir(folder).unwrap()).map(|entry| entry.unwrap().path()).collect();
    paths.sort();
    paths.retain(|path| path.extension().is_some_and(|extension| extension != "toml"));
    paths.iter().map(|path| std::fs::read(path).unwrap()).collect()
});

/// Shows `bytes` to every reader, alone and beside another file; each answers with cells within the limits or with an error.
fn show(bytes: &[u8], beside: &[u8]) -> Result<(), TestCaseError> {
    let limits = limits();
    let companion = Companion { name: "x.cfg", bytes: beside };
    for input in [Input::alone("x.dat", bytes), Input { companion: Some(companion), ..Input::alone("x.dat", bytes) }] {
        let preview = Preview::of(input.name, bytes).beside(input.companion);
        for plugin in windrow_plugins::registry().unwrap().readers() {
            answer(plugin, &preview, &input, &limits)?;
        }
    }
    Ok(())
}

fn answer(
    plugin: &ReaderPlugin,
    preview: &Preview<'_>,
    input: &Input<'_>,
    limits: &Limits,
) -> Result<(), TestCaseError> {
    let bid = (plugin.claim)(&preview.probe());
    prop_assert!((0.0..=1.0).contains(&bid.confidence), "{} bids {}", plugin.id, bid.confidence);
    if windrow_source::archive::check(input.bytes, limits).is_err() {
        return Ok(());
    }
    match (plugin.read)(input, limits) {
        Ok(book) => {
            let cells: usize = book.sheets.iter().map(|sheet| sheet.cells.len()).sum();
            prop_assert!(cells <= 2 * limits.cells, "{} hands over {cells} cells", plugin.id);
        }
        Err(error) => prop_assert!(!error.found.is_empty() && !error.advice.is_empty(), "{}: {error}", plugin.id),
    }
    Ok(())
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]

    #[test]
    fn noise(bytes in prop::collection::vec(any::<u8>(), 0..400), beside in prop::collection::vec(any::<u8>(), 0..60)) {
        show(&bytes, &beside)?;
    }

    /// The beginning of one sample and the end of another, with bytes changed between.
    #[test]
    fn spliced_samples(
        (first, second) in (any::<prop::sample::Index>(), any::<prop::sample::Index>()),
        (till, from) in (any::<prop::sample::Index>(), any::<prop::sample::Index>()),
        noise in prop::collection::vec(any::<u8>(), 0..12),
    ) {
        let (one, other) = (first.get(&SAMPLES), second.get(&SAMPLES));
        let (till, from) = (till.index(one.len() + 1), from.index(other.len() + 1));
        let bytes = [&one[..till], noise.as_slice(), &other[from..]].concat();
        show(&bytes, other)?;
    }
}

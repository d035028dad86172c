//! Ids of tests and readings over their natural keys: the place in the source and what was measured there.
//!
//! Dates, units and values are no part of a key, so that a person's ruling on them leaves ids as they are.

use std::collections::BTreeMap;
use windrow_model::Place;
use windrow_model::id::row_id;
use windrow_model::raw::{RawReading, RawTest, RawWaveform, Understood};

/// Ids of one source's rows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Ids {
    tests: Vec<String>,
    readings: Vec<Vec<String>>,
    waveforms: Vec<String>,
}

impl Ids {
    /// Ids of everything in `understood`. Rows with equal keys are told apart by their order.
    pub(crate) fn of(understood: &Understood) -> Self {
        let mut seen = Seen::default();
        let file = understood.source_file.as_str();
        let tests = understood.tests.iter().map(|test| seen.id("tests", test_key(file, test))).collect();
        let of_test = |test: &RawTest, seen: &mut Seen| {
            test.readings.iter().map(|reading| seen.id("readings", reading_key(file, reading))).collect()
        };
        let readings = understood.tests.iter().map(|test| of_test(test, &mut seen)).collect();
        let waveforms = understood.waveforms.iter();
        let waveforms = waveforms.map(|waveform| seen.id("waveforms", waveform_key(file, waveform))).collect();
        Self { tests, readings, waveforms }
    }

    /// Id of test number `test`.
    pub(crate) fn test(&self, test: u32) -> Option<&str> {
        self.tests.get(usize::try_from(test).ok()?).map(String::as_str)
    }

    /// Id of reading number `reading` of test number `test`.
    pub(crate) fn reading(&self, test: u32, reading: u32) -> Option<&str> {
        let readings = self.readings.get(usize::try_from(test).ok()?)?;
        readings.get(usize::try_from(reading).ok()?).map(String::as_str)
    }

    /// Id of waveform number `waveform`.
    pub(crate) fn waveform(&self, waveform: u32) -> Option<&str> {
        self.waveforms.get(usize::try_from(waveform).ok()?).map(String::as_str)
    }

    /// Tests in order, each with the ids of its readings.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&str, &[String])> {
        self.tests.iter().map(String::as_str).zip(self.readings.iter().map(Vec::as_slice))
    }
}

/// How often each key was met.
#[derive(Default)]
struct Seen(BTreeMap<String, usize>);

impl Seen {
    fn id(&mut self, table: &str, mut key: Vec<String>) -> String {
        let times = self.0.entry(format!("{table}\u{1f}{}", key.join("\u{1f}"))).or_default();
        let ordinal = times.to_string();
        *times += 1;
        key.push(ordinal);
        row_id(table, &key.iter().map(String::as_str).collect::<Vec<&str>>())
    }
}

fn place(place: &Place) -> [String; 2] {
    [place.sheet.clone().unwrap_or_default(), place.cell.clone()]
}

fn test_key(file: &str, test: &RawTest) -> Vec<String> {
    let first = test.readings.first().map_or(&test.place, |reading| &reading.place);
    let mut key = vec![file.to_owned()];
    key.extend(place(&test.place));
    key.extend([first.cell.clone(), test.kind.code().to_owned()]);
    key
}

fn waveform_key(file: &str, waveform: &RawWaveform) -> Vec<String> {
    let mut key = vec![file.to_owned()];
    key.extend(place(&waveform.place));
    key.extend([waveform.channel.clone(), waveform.start_s.to_string()]);
    key
}

fn reading_key(file: &str, reading: &RawReading) -> Vec<String> {
    let circuit = reading.circuit.as_ref().map_or("", |told| told.value.code());
    let elapsed = reading.elapsed_s.as_ref().map(|told| told.value.to_string()).unwrap_or_default();
    let mut key = vec![file.to_owned()];
    key.extend(place(&reading.place));
    key.extend([reading.quantity.value.code().to_owned(), circuit.to_owned(), elapsed]);
    key
}

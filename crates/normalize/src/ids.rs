//! Ids of tests and readings over their natural keys: the place in the source and what was measured there.
//!
//! Dates, units and values are no part of a key, so that a person's ruling on them leaves ids as they are.

use std::collections::HashMap;
use windrow_model::id::row_id;
use windrow_model::raw::{RawReading, RawTest, RawWaveform, Understood};
use windrow_model::{Place, Text};

/// Ids of one source's rows.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Ids {
    tests: Vec<Text>,
    readings: Vec<Vec<Text>>,
    waveforms: Vec<Text>,
}

impl Ids {
    /// Ids of everything in `understood`. Rows with equal keys are told apart by their order.
    pub(crate) fn of(understood: &Understood) -> Self {
        let mut seen = Seen::default();
        let file = understood.source_file.as_str();
        let tests = understood.tests.iter().map(|test| seen.of_test(file, test)).collect();
        let of_test = |test: &RawTest, seen: &mut Seen| {
            test.readings.iter().map(|reading| seen.of_reading(file, reading)).collect()
        };
        let readings = understood.tests.iter().map(|test| of_test(test, &mut seen)).collect();
        let waveforms = understood.waveforms.iter();
        let waveforms = waveforms.map(|waveform| seen.of_waveform(file, waveform)).collect();
        Self { tests, readings, waveforms }
    }

    /// Id of test number `test`.
    pub(crate) fn test(&self, test: u32) -> Option<&Text> {
        self.tests.get(usize::try_from(test).ok()?)
    }

    /// Id of reading number `reading` of test number `test`.
    pub(crate) fn reading(&self, test: u32, reading: u32) -> Option<&str> {
        let readings = self.readings.get(usize::try_from(test).ok()?)?;
        readings.get(usize::try_from(reading).ok()?).map(Text::as_str)
    }

    /// Id of waveform number `waveform`.
    pub(crate) fn waveform(&self, waveform: u32) -> Option<&Text> {
        self.waveforms.get(usize::try_from(waveform).ok()?)
    }

    /// Tests in order, each with the ids of its readings.
    pub(crate) fn iter(&self) -> impl Iterator<Item = (&Text, &[Text])> {
        self.tests.iter().zip(self.readings.iter().map(Vec::as_slice))
    }
}

/// How often each key was met.
#[derive(Default)]
struct Seen(HashMap<String, usize>);

impl Seen {
    fn id(&mut self, table: &str, key: &[&str]) -> Text {
        let times = self.0.entry(format!("{table}\u{1f}{}", key.join("\u{1f}"))).or_default();
        let ordinal = times.to_string();
        *times += 1;
        let with_ordinal: Vec<&str> = key.iter().copied().chain([ordinal.as_str()]).collect();
        row_id(table, &with_ordinal)
    }

    fn of_test(&mut self, file: &str, test: &RawTest) -> Text {
        let first = test.readings.first().map_or(&test.place, |reading| &reading.place);
        let [sheet, cell] = place(&test.place);
        self.id("tests", &[file, sheet, cell, &first.cell, test.kind.code()])
    }

    fn of_waveform(&mut self, file: &str, waveform: &RawWaveform) -> Text {
        let [sheet, cell] = place(&waveform.place);
        self.id("waveforms", &[file, sheet, cell, &waveform.channel, &waveform.start_s.to_string()])
    }

    fn of_reading(&mut self, file: &str, reading: &RawReading) -> Text {
        let circuit = reading.circuit.as_ref().map_or("", |told| told.value.code());
        let elapsed = reading.elapsed_s.as_ref().map(|told| told.value.to_string()).unwrap_or_default();
        let [sheet, cell] = place(&reading.place);
        self.id("readings", &[file, sheet, cell, reading.quantity.value.code(), circuit, &elapsed])
    }
}

fn place(place: &Place) -> [&str; 2] {
    [place.sheet.as_deref().unwrap_or_default(), &place.cell]
}

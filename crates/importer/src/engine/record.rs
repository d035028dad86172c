//! A record of sampled signals as a test with its waveforms. What the reader tells is in the words of the source; here they get
//! their meaning: unit, circuit, machine. What is not told stays open: a kind of test is never taken from the shape of a signal.

use std::collections::BTreeSet;
use windrow_model::raw::{CellMark, Mention, RawHold, RawTest, RawWaveform, Target, Told, Understood, Via};
use windrow_model::settings::Settings;
use windrow_model::{Circuit, Disposition, Flag, PartialDate, Place, Question, Step, TestKind, Text, Unit};
use windrow_sheet::ruling::{Ruling, Rulings};
use windrow_source::wave::{Channel, Record, Words};
use windrow_source::{Cell, Grid, Workbook};
use windrow_text::circuit::{self, Named};
use windrow_text::{tag, unit};

/// Least likeness of a name to a tag from which it names the machine.
const LIKE_A_TAG: f32 = 0.5;

/// Adds the test and the waveforms of a record, and marks the cells of the sheets of signals that were used.
pub(super) fn understand(book: &Workbook, settings: &Settings, into: &mut Understood) {
    for grid in book.sheets.iter().filter(|grid| grid.is_signal) {
        if let Some(told) = &grid.told {
            label(grid, told, book.record.as_deref(), into);
        }
    }
    let Some(record) = &book.record else { return };
    let Some(first) = record.channels.first() else { return };
    if record.stretches.is_empty() {
        into.notes.push("the samples stand at uneven times, and are not stored".to_owned());
        return;
    }
    let rulings = Rulings::of_sheet(settings, &into.source_file, first.place.sheet.as_deref());
    let test = u32::try_from(into.tests.len()).unwrap_or(u32::MAX);
    let row = test_of(record, &first.place, &rulings);
    into.holds.extend(ask_day(record, &row));
    into.tests.push(row);
    let naming = namings(record);
    for channel in &record.channels {
        let waveform = u32::try_from(into.waveforms.len()).unwrap_or(u32::MAX);
        let mut begin = 0_usize;
        for stretch in &record.stretches {
            let end = begin.saturating_add(stretch.samples).min(channel.samples.len());
            let samples = channel.samples.get(begin..end).unwrap_or_default().to_vec();
            begin = end;
            let base = waveform_of(record, channel, &naming, samples);
            into.waveforms.push(RawWaveform { test, start_s: stretch.start_s, interval_s: stretch.interval_s, ..base });
        }
        mark(book, &channel.place, waveform, into);
    }
}

/// Marks the cells of a sheet that told what others mean; those of channels are values.
fn label(grid: &Grid, told: &str, record: Option<&Record>, into: &mut Understood) {
    let channels: BTreeSet<&Place> =
        record.iter().flat_map(|record| &record.channels).map(|channel| &channel.place).collect();
    for cell in grid.cells.iter().filter(|cell| !cell.synthetic) {
        let place = Place::new(grid.name.as_deref(), cell.place());
        if channels.contains(&place) {
            continue;
        }
        into.cells.push(CellMark {
            place,
            raw_text: cell.text.clone(),
            disposition: Disposition::Label,
            target: None,
            reason: Some(told.into()),
        });
    }
}

/// Marks the cell of a channel as its samples.
fn mark(book: &Workbook, place: &Place, waveform: u32, into: &mut Understood) {
    let sheet = book.sheets.iter().find(|grid| grid.name.as_deref() == place.sheet.as_deref());
    let cell = sheet.and_then(|grid| grid.cells.iter().find(|cell| cell.place() == place.cell));
    into.cells.extend(cell.map(|cell| CellMark {
        place: place.clone(),
        raw_text: cell.text.clone(),
        disposition: Disposition::Value,
        target: Some(Target::Waveform { waveform }),
        reason: None,
    }));
}

fn test_of(record: &Record, place: &Place, rulings: &Rulings) -> RawTest {
    let at = at(place);
    let pick = |ruling: &Ruling| if let Ruling::Machine(tag) = ruling { Some(tag.clone()) } else { None };
    let ruled = rulings.find(&at, &[Question::Machine], pick);
    let ruled = ruled.map(|(tag, credit)| Told::without_place(Text::from(tag), Via::Decision, credit));
    let pick = |ruling: &Ruling| if let Ruling::Date(date) = ruling { Some(*date) } else { None };
    let ruled_day = rulings.find(&at, &[Question::Date], pick);
    let ruled_day = ruled_day.map(|(date, credit)| Told::without_place(date, Via::Decision, credit));
    let machine = Mention {
        tag: ruled.or_else(|| machine(record)),
        site: record.station.as_ref().map(|words| told(Text::new(&words.text), Via::Sheet, words)),
        ..Mention::default()
    };
    let is_short = record.day.as_ref().is_some_and(|day| day.is_short && day.date.is_some()) && ruled_day.is_none();
    RawTest {
        performed: ruled_day.or_else(|| day(record)),
        instrument: record.recorder.as_ref().map(|words| told(Text::new(&words.text), Via::Sheet, words)),
        flags: if is_short { vec![Flag::CenturyAssumed] } else { Vec::new() },
        ..RawTest::blank(machine, TestKind::Waveform, place.clone())
    }
}

/// A cell by which rulings on a place are found: the first of a range.
fn at(place: &Place) -> Cell {
    Cell::text(0, 0, "").at(place.cell.split(':').next().unwrap_or_default())
}

/// The question which day is meant, where the source tells one that is none.
fn ask_day(record: &Record, test: &RawTest) -> Option<RawHold> {
    let day = record.day.as_ref().filter(|day| day.date.is_none() && test.performed.is_none())?;
    Some(RawHold {
        place: test.place.clone(),
        raw_text: day.words.text.as_str().into(),
        question: Question::Date,
        choices: Vec::new(),
        context: "the date of the first sample is none in the order of day and month that its edition of the standard prescribes"
            .to_owned(),
        cause: format!("date {}", day.words.text),
    })
}

fn day(record: &Record) -> Option<Told<PartialDate>> {
    let day = record.day.as_ref()?;
    Some(told(day.date?, Via::Sheet, &day.words))
}

/// The one name of what all channels are told to be measured on, where it is like a tag.
fn machine(record: &Record) -> Option<Told<Text>> {
    let words: Vec<&Words> = record.channels.iter().filter_map(|channel| channel.component.as_ref()).collect();
    let names: BTreeSet<String> = words.iter().map(|words| tag::fold(&words.text)).collect();
    let first = words.first().filter(|words| names.len() == 1 && tag::likeness(&words.text) >= LIKE_A_TAG)?;
    Some(told(Text::new(&first.text), Via::Sheet, first))
}

/// An attribute that the source or the file beside it tells.
fn told<T>(value: T, via: Via, words: &Words) -> Told<T> {
    match &words.file {
        Some(file) => Told::without_place(value, Via::File, format!("{} ({file}, {})", words.text, words.place.cell)),
        None => Told::at(value, via, words.text.clone(), words.place.clone()),
    }
}

fn waveform_of(
    record: &Record,
    channel: &Channel,
    namings: &BTreeSet<circuit::Naming>,
    samples: Vec<Option<f32>>,
) -> RawWaveform {
    let unit = channel.unit.as_ref().and_then(|words| Some(told(unit_of(&words.text)?, Via::Column, words)));
    // States are 0 or 1 and have no unit.
    let unit = match &channel.unit {
        None => Some(told(Unit::ONE, Via::Column, &channel.name)),
        Some(_) => unit,
    };
    let mut flags = Vec::new();
    flags.extend(record.is_cut.then_some(Flag::CutShort));
    flags.extend(channel.is_secondary.then_some(Flag::SecondarySide));
    flags.extend(samples.iter().any(Option::is_none).then_some(Flag::SamplesMissing));
    let mut steps: Vec<Step> = channel.steps.clone();
    steps.extend(record.steps.iter().cloned());
    RawWaveform {
        test: 0,
        channel: channel.name.text.clone(),
        circuit: circuit_of(channel, namings),
        unit,
        unit_text: channel.unit.as_ref().map_or_else(String::new, |words| words.text.clone()),
        started: record.started.clone(),
        start_s: 0.0,
        interval_s: 0.0,
        samples,
        place: channel.place.clone(),
        steps,
        flags,
    }
}

/// The unit that a text means, where no other is half as likely: the text stands where units stand and nowhere else.
fn unit_of(text: &str) -> Option<Unit> {
    let meanings = unit::read(text, None);
    let best = meanings.first().filter(|best| !best.colloquial)?;
    let is_clear = meanings.iter().skip(1).all(|other| other.weight * 2.0 <= best.weight);
    is_clear.then_some(best.unit)
}

/// Ways of naming phases that the channels share: a letter alone says little.
fn namings(record: &Record) -> BTreeSet<circuit::Naming> {
    let mut seen: std::collections::BTreeMap<circuit::Naming, BTreeSet<u8>> = std::collections::BTreeMap::new();
    for words in record.channels.iter().filter_map(|channel| channel.phase.as_ref()) {
        for meaning in circuit::read(&words.text) {
            let phases = match meaning.named {
                Named::Phase(phase) | Named::PhaseToEarth(phase) => vec![phase],
                Named::Pair(a, b) => vec![a, b],
                _ => continue,
            };
            if let Some(naming) = meaning.naming {
                seen.entry(naming).or_default().extend(phases);
            }
        }
    }
    seen.into_iter().filter(|(_, phases)| phases.len() == 3).map(|(naming, _)| naming).collect()
}

/// The circuit that the phase of a channel names; a phase against what is not told is the phase alone.
fn circuit_of(channel: &Channel, namings: &BTreeSet<circuit::Naming>) -> Option<Told<Circuit>> {
    let words = channel.phase.as_ref()?;
    let read = circuit::read(&words.text);
    let meant: BTreeSet<Circuit> = read
        .iter()
        .filter(|meaning| meaning.naming.is_none_or(|naming| namings.contains(&naming) || meaning.weight >= 0.9))
        .filter_map(|meaning| circuit::resolve(meaning.named, false))
        .collect();
    let mut meant = meant.into_iter();
    match (meant.next(), meant.next()) {
        (Some(circuit), None) => Some(told(circuit, Via::Column, words)),
        _ => None,
    }
}

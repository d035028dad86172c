//! Records become tests with waveforms, and never readings, whatever the unit of their channels. Values and times are held against
//! `tests/reference/comtrade.json`, written by `make_comtrade_reference.py` there with the package `comtrade` 0.2.0.

#![expect(clippy::unwrap_used, reason = "helpers of tests fail by panicking")]

use std::path::{Path, PathBuf};

use serde_json::Value;
use windrow_importer::{Source, understand_source};
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_model::{Circuit, Disposition, Flag, Unit};
use windrow_plugin_comtrade as _;
use windrow_source::{Companion, Limits};

fn samples() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("samples")
}

/// A sample, understood together with the one beside it.
fn understood(name: &str) -> Understood {
    let registry = windrow_plugins::registry().unwrap();
    let bytes = std::fs::read(samples().join(name)).unwrap();
    let other = name.strip_suffix("-samples.dat").map(|stem| format!("{stem}.cfg"));
    let beside = other.map(|other| (std::fs::read(samples().join(&other)).unwrap(), other));
    let companion = beside.as_ref().map(|(bytes, name)| Companion { name, bytes });
    let source = Source { companion, ..Source::alone(name, &bytes) };
    understand_source(source, &registry, &Settings::default(), &Limits::default())
}

#[test]
fn values_and_times_are_those_of_the_reference() {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../tests/reference/comtrade.json");
    let reference: Value = serde_json::from_str(&std::fs::read_to_string(path).unwrap()).unwrap();
    let records = reference.as_object().unwrap();
    assert_eq!(records.len(), 6);
    for (name, wanted) in records {
        let understood = understood(name);
        let channels = wanted["channels"].as_array().unwrap();
        assert_eq!(understood.waveforms.len(), channels.len(), "{name}");
        for (waveform, channel) in understood.waveforms.iter().zip(channels) {
            assert_eq!(waveform.channel, channel["name"], "{name}");
            let values: Vec<Option<f64>> = channel["values"].as_array().unwrap().iter().map(Value::as_f64).collect();
            assert_eq!(waveform.samples.len(), values.len());
            for (at, (sample, value)) in waveform.samples.iter().zip(values).enumerate() {
                // The reference leaves a missing value of 16 bits scaled; the standard reserves the lowest number for it.
                let is_missing = name == "bench-16-bit.cff" && waveform.channel == "R U" && at == 3;
                match value {
                    Some(value) if !is_missing => {
                        let allowed = 2e-7 * value.abs().max(1.0);
                        assert!(
                            (f64::from(sample.unwrap()) - value).abs() <= allowed,
                            "{name} {}: {sample:?} {value}",
                            channel["name"]
                        );
                    }
                    _ => assert!(sample.is_none(), "{name} {at}"),
                }
            }
            for (number, time) in (0_u32..).zip(wanted["times"].as_array().unwrap()) {
                let ours = waveform.interval_s.mul_add(f64::from(number), waveform.start_s);
                assert!((ours - time.as_f64().unwrap()).abs() < 1e-8, "{name}");
            }
        }
    }
}

#[test]
fn what_the_configuration_tells_of_channels_is_told_with_its_place() {
    let record = understood("pair-1999-samples.dat");
    let [u, v, w, trip] = record.waveforms.as_slice() else { panic!("four channels") };
    let circuits = [u, v, w].map(|waveform| waveform.circuit.as_ref().unwrap().value);
    assert_eq!(circuits, Circuit::PHASES);
    assert_eq!(u.unit.as_ref().unwrap().value, Unit::AMPERE);
    assert_eq!((trip.unit.as_ref().unwrap().value, trip.flags.len()), (Unit::ONE, 0));
    assert_eq!([u.flags.as_slice(), w.flags.as_slice()], [&[Flag::SecondarySide][..], &[]]);
    assert!(u.circuit.as_ref().unwrap().text.contains("U (pair-1999.cfg, 3:3)"));
    let test = &record.tests[0];
    assert_eq!(test.machine.tag.as_ref().unwrap().value, "PM-102");
    assert_eq!(test.performed.as_ref().unwrap().value.to_string(), "2003-03-14");
    let to_earth = &understood("pair-2013-samples.dat").waveforms[0];
    assert_eq!(to_earth.circuit.as_ref().unwrap().value, Circuit::UToEarth);
    assert_eq!(to_earth.unit.as_ref().unwrap().value, Unit::KILOVOLT);
}

#[test]
fn waveforms_never_become_readings_and_every_cell_is_accounted_for() {
    for name in
        ["bench-16-bit.cff", "bench-text.cff", "pair-1991-samples.dat", "pair-float-samples.dat", "first-edition.cfg"]
    {
        let understood = understood(name);
        assert_eq!(understood.reader.as_deref(), Some("comtrade"));
        assert!(understood.tests.iter().all(|test| test.readings.is_empty() && test.derived.is_empty()), "{name}");
        assert_eq!(understood.notes.iter().find(|note| note.contains("our bug")), None);
        let of_signals = understood.cells.iter().filter(|mark| mark.place.sheet.as_deref() != Some("header"));
        let unread = of_signals.filter(|mark| mark.disposition == Disposition::Unread).count();
        // A configuration without its samples told nothing.
        assert_eq!(unread > 0, name == "first-edition.cfg", "{name}: {unread} unread");
        let values = understood.cells.iter().filter(|mark| mark.disposition == Disposition::Value).count();
        assert_eq!(values, understood.waveforms.len(), "{name}");
    }
}

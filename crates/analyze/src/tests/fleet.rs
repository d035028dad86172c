//! Invented fleets as the frames that an analysis is given.

use crate::{Analysis, Frames, analyze};
use polars::prelude::*;
use windrow_model::Finding;
use windrow_model::settings::Settings;

/// A machine, 4160 V, form-wound, thermosetting unless changed.
#[derive(Clone)]
pub(super) struct Machine {
    pub(super) tag: &'static str,
    pub(super) rated_voltage_v: Option<f64>,
    pub(super) winding_kind: &'static str,
    pub(super) rewound_years: Vec<i32>,
    pub(super) tests: Vec<Test>,
}

/// A test with its readings.
#[derive(Clone)]
pub(super) struct Test {
    pub(super) kind: &'static str,
    /// `2012-05-01`, or nothing.
    pub(super) on: Option<&'static str>,
    pub(super) stage: Option<&'static str>,
    pub(super) temperature_c: Option<f64>,
    pub(super) humidity_pct: Option<f64>,
    pub(super) instrument: Option<&'static str>,
    pub(super) readings: Vec<Reading>,
    /// Channel and samples, one every microsecond.
    pub(super) waves: Vec<(&'static str, Vec<f32>)>,
}

/// A reading, as read.
#[derive(Clone)]
pub(super) struct Reading {
    pub(super) quantity: &'static str,
    pub(super) circuit: &'static str,
    pub(super) volts: Option<f64>,
    pub(super) elapsed_s: Option<f64>,
    pub(super) value: f64,
    pub(super) bound: &'static str,
    pub(super) outcome: Option<&'static str>,
    /// Whether the records let it be brought to 40 °C.
    pub(super) correctable: bool,
}

pub(super) fn machine(tag: &'static str, tests: Vec<Test>) -> Machine {
    Machine { tag, rated_voltage_v: Some(4160.0), winding_kind: "form", rewound_years: Vec::new(), tests }
}

pub(super) fn test(kind: &'static str, on: &'static str, readings: Vec<Reading>) -> Test {
    let (stage, humidity_pct, instrument) = (None, None, None);
    Test { kind, on: Some(on), stage, temperature_c: Some(40.0), humidity_pct, instrument, readings, waves: Vec::new() }
}

pub(super) fn reading(quantity: &'static str, circuit: &'static str, value: f64) -> Reading {
    Reading { quantity, circuit, volts: None, elapsed_s: None, value, bound: "exact", outcome: None, correctable: true }
}

/// One-minute insulation resistance, MΩ at 40 °C.
pub(super) fn megohms(on: &'static str, value: f64, bound: &'static str) -> Test {
    let minute = Reading { bound, ..minute("UVW-E", value) };
    test("insulation_resistance", on, vec![minute])
}

/// A one-minute insulation resistance of a circuit, MΩ at 40 °C.
pub(super) fn minute(circuit: &'static str, value: f64) -> Reading {
    Reading { elapsed_s: Some(60.0), ..reading("insulation_resistance", circuit, value * 1e6) }
}

/// One-minute insulation resistances of one test, MΩ at 40 °C by circuit.
pub(super) fn circuits(on: &'static str, values: &[(&'static str, f64)]) -> Test {
    test("insulation_resistance", on, values.iter().map(|(circuit, value)| minute(circuit, *value)).collect())
}

/// The first of May of some years.
pub(super) const DAYS: [&str; 16] = [
    "2005-05-01",
    "2006-05-01",
    "2007-05-01",
    "2008-05-01",
    "2009-05-01",
    "2010-05-01",
    "2011-05-01",
    "2012-05-01",
    "2013-05-01",
    "2014-05-01",
    "2015-05-01",
    "2016-05-01",
    "2017-05-01",
    "2018-05-01",
    "2019-05-01",
    "2020-05-01",
];

/// Exact yearly resistances, MΩ.
pub(super) fn yearly(values: &[f64]) -> Vec<Test> {
    values.iter().zip(DAYS).map(|(value, on)| megohms(on, *value, "exact")).collect()
}

/// What the analysis makes of the machines. Every finding of every rule must say what it rests on, and none may promise anything.
pub(super) fn analysis(machines: &[Machine]) -> Analysis {
    let analysis = analyze(&frames(machines), &Settings::default()).unwrap();
    for finding in &analysis.findings {
        let told = [&finding.statement, &finding.basis, &finding.cautions].iter().all(|text| !text.is_empty());
        assert!(told && finding.next_test.is_some() && !finding.evidence.is_empty(), "{finding:#?}");
        let working: Vec<&str> = finding.working.iter().map(|step| step.step.as_str()).collect();
        assert!(working.iter().any(|step| ["arithmetic", "rule"].contains(step)), "{finding:#?}");
        assert!(!finding.statement.to_lowercase().contains("safe"), "{}", finding.statement);
    }
    analysis
}

/// Findings of one rule.
pub(super) fn found(machines: &[Machine], rule: &str) -> Vec<Finding> {
    analysis(machines).findings.into_iter().filter(|finding| finding.rule == rule).collect()
}

/// The only finding of one rule.
pub(super) fn only(machines: &[Machine], rule: &str) -> Finding {
    let mut found = found(machines, rule);
    assert_eq!(found.len(), 1, "{rule}: {found:#?}");
    found.remove(0)
}

pub(super) fn frames(machines: &[Machine]) -> Frames {
    let tests: Vec<(String, &Machine, &Test)> = machines
        .iter()
        .flat_map(|machine| {
            machine
                .tests
                .iter()
                .enumerate()
                .map(move |(index, test)| (format!("{} {index:02}", machine.tag), machine, test))
        })
        .collect();
    let readings: Vec<(&str, usize, &Reading)> = tests
        .iter()
        .flat_map(|(id, _, test)| {
            test.readings.iter().enumerate().map(move |(seq, reading)| (id.as_str(), seq, reading))
        })
        .collect();
    Frames {
        assets: assets(machines),
        tests: tests_frame(&tests),
        readings: readings_frame(&readings),
        reported_figures: readings_frame(&[]).drop(cols(["reading_id", "outcome"])),
        waveforms: waveforms(&tests),
    }
}

fn days(on: Option<&str>) -> Option<i32> {
    let on: jiff::civil::Date = on?.parse().unwrap();
    let since = jiff::civil::Date::constant(1970, 1, 1).until(on).unwrap();
    Some(since.get_days())
}

fn lists(values: impl Iterator<Item = Series>) -> Series {
    Series::new("".into(), values.collect::<Vec<Series>>())
}

fn assets(machines: &[Machine]) -> LazyFrame {
    let none: Vec<Option<&str>> = vec![None; machines.len()];
    let mut frame = df!(
        "asset_id" => machines.iter().map(|machine| machine.tag).collect::<Vec<_>>(),
        "tag" => machines.iter().map(|machine| machine.tag).collect::<Vec<_>>(),
        "site" => none.clone(),
        "manufacturer" => none,
        "rated_voltage_v" => machines.iter().map(|machine| machine.rated_voltage_v).collect::<Vec<_>>(),
        "rated_voltage_basis" => vec![Some("told"); machines.len()],
        "rated_power_w" => vec![None::<f64>; machines.len()],
        "winding_kind" => machines.iter().map(|machine| machine.winding_kind).collect::<Vec<_>>(),
        "insulation_class" => vec![Some("155"); machines.len()],
        "insulation_era" => vec![Some("thermosetting"); machines.len()],
        "made_year" => vec![None::<i32>; machines.len()],
    )
    .unwrap();
    let rewound = lists(machines.iter().map(|machine| Series::new("".into(), &machine.rewound_years)));
    frame.with_column(rewound.with_name("rewound_years".into()).into_column()).unwrap();
    frame.lazy().with_columns([col("rewound_years").cast(DataType::List(Box::new(DataType::Int32)))])
}

fn tests_frame(tests: &[(String, &Machine, &Test)]) -> LazyFrame {
    let texts =
        |of: &dyn Fn(&Test) -> Option<&'static str>| tests.iter().map(|(.., test)| of(test)).collect::<Vec<_>>();
    let numbers = |of: &dyn Fn(&Test) -> Option<f64>| tests.iter().map(|(.., test)| of(test)).collect::<Vec<_>>();
    df!(
        "test_id" => tests.iter().map(|(id, ..)| id.as_str()).collect::<Vec<_>>(),
        "asset_id" => tests.iter().map(|(_, machine, _)| machine.tag).collect::<Vec<_>>(),
        "kind" => texts(&|test| Some(test.kind)),
        "performed_on" => tests.iter().map(|(.., test)| days(test.on)).collect::<Vec<_>>(),
        "performed_precision" => texts(&|test| Some(test.on.map_or("unknown", |_| "day"))),
        "duplicate_of" => texts(&|_| None),
        "stage" => texts(&|test| test.stage),
        "winding_temperature_c" => numbers(&|test| test.temperature_c),
        "winding_temperature_basis" => texts(&|test| Some(test.temperature_c.map_or("unknown", |_| "measured"))),
        "ambient_temperature_c" => numbers(&|_| None),
        "relative_humidity_pct" => numbers(&|test| test.humidity_pct),
        "dew_point_c" => numbers(&|_| None),
        "test_voltage_v" => numbers(&|_| None),
        "test_voltage_basis" => texts(&|_| Some("unknown")),
        "reported_outcome" => texts(&|_| None),
        "instrument" => texts(&|test| test.instrument),
        "tester" => texts(&|_| None),
        "source_file" => texts(&|_| Some("invented.xlsx")),
        "source_sheet" => texts(&|_| None),
        "source_cell" => tests.iter().map(|(id, ..)| format!("{id} A")).collect::<Vec<_>>(),
    )
    .unwrap()
    .lazy()
    .with_columns([col("performed_on").cast(DataType::Date)])
}

fn readings_frame(readings: &[(&str, usize, &Reading)]) -> LazyFrame {
    let texts = |of: &dyn Fn(&Reading) -> Option<&'static str>| {
        readings.iter().map(|(.., reading)| of(reading)).collect::<Vec<Option<&str>>>()
    };
    let numbers =
        |of: &dyn Fn(&Reading) -> Option<f64>| readings.iter().map(|(.., reading)| of(reading)).collect::<Vec<_>>();
    let ids: Vec<String> = readings.iter().map(|(test, seq, _)| format!("{test} r{seq}")).collect();
    let cells: Vec<String> = readings.iter().map(|(test, seq, _)| format!("{test} C{seq}")).collect();
    let at_40c = |reading: &Reading| {
        Some(reading.value).filter(|_| reading.correctable && reading.quantity == "insulation_resistance")
    };
    df!(
        "test_id" => readings.iter().map(|(test, ..)| *test).collect::<Vec<_>>(),
        "reading_id" => ids,
        "seq" => readings.iter().map(|(_, seq, _)| i32::try_from(*seq).unwrap()).collect::<Vec<_>>(),
        "quantity" => texts(&|reading| Some(reading.quantity)),
        "circuit" => texts(&|reading| Some(reading.circuit)),
        "elapsed_s" => numbers(&|reading| reading.elapsed_s),
        "applied_voltage_v" => numbers(&|reading| reading.volts),
        "value" => numbers(&|reading| Some(reading.value)),
        "bound" => texts(&|reading| Some(reading.bound)),
        "as_reported" => texts(&|_| Some("as_read")),
        "value_ref" => numbers(&at_40c),
        "value_ref_low" => numbers(&|_| None),
        "value_ref_high" => numbers(&|_| None),
        "outcome" => texts(&|reading| reading.outcome),
        "raw_text" => texts(&|_| Some("as it stood")),
        "source_file" => texts(&|_| Some("invented.xlsx")),
        "source_sheet" => texts(&|_| None),
        "source_cell" => cells,
        "flags" => texts(&|_| None),
    )
    .unwrap()
    .lazy()
    .with_columns([col("flags").cast(DataType::List(Box::new(DataType::String)))])
}

fn waveforms(tests: &[(String, &Machine, &Test)]) -> LazyFrame {
    let waves: Vec<(&str, &str, &Vec<f32>)> = tests
        .iter()
        .flat_map(|(id, _, test)| test.waves.iter().map(move |(name, samples)| (id.as_str(), *name, samples)))
        .collect();
    let mut frame = df!(
        "test_id" => waves.iter().map(|(test, ..)| *test).collect::<Vec<_>>(),
        "waveform_id" => waves.iter().map(|(test, name, _)| format!("{test} {name}")).collect::<Vec<_>>(),
        "channel" => waves.iter().map(|(_, name, _)| *name).collect::<Vec<_>>(),
        "circuit" => vec![None::<&str>; waves.len()],
        "applied_voltage_v" => vec![None::<f64>; waves.len()],
        "start_s" => vec![0.0; waves.len()],
        "sample_interval_s" => vec![1e-6; waves.len()],
        "unit" => vec!["V"; waves.len()],
    )
    .unwrap();
    let samples = lists(waves.iter().map(|(.., samples)| Series::new("".into(), samples.as_slice())));
    frame.with_column(samples.with_name("samples".into()).into_column()).unwrap();
    frame.lazy().with_columns([col("samples").cast(DataType::List(Box::new(DataType::Float32)))])
}

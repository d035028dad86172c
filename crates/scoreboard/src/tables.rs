//! A drawn fleet as the rows of the tables, and those as the frames that the analyzer reads.

use super::world::{ERAS, Machine, RATINGS, Visit, World, calendar, correction};
use anyhow::Context;
use jiff::civil::Date;
use polars::prelude::IntoLazy;
use windrow_analyze::Frames;
use windrow_model::id::row_id;
use windrow_model::kind::Outcome;
use windrow_model::{Asset, Reading, ReportedFigure, Test, Text, Waveform};
use windrow_store::from_rows;

/// Steps of a step-voltage curve.
const STEPS: u32 = 8;
/// Resistance of one phase, Ohm.
const PHASE_OHM: f64 = 0.8;

/// Rows of the three tables.
#[derive(Debug, Clone, Default)]
pub(crate) struct Rows {
    pub(crate) assets: Vec<Asset>,
    pub(crate) tests: Vec<Test>,
    pub(crate) readings: Vec<Reading>,
}

/// The rows of a fleet, with `timed` readings more of each resistance; machines are named so that their ids stand in the order of the world.
pub(crate) fn rows(world: &World, timed: u32) -> Rows {
    let mut rows = Rows::default();
    for (number, machine) in world.machines.iter().enumerate() {
        let asset_id = format!("m{number:07}");
        rows.assets.push(asset(&asset_id, machine));
        for (place, visit) in machine.visits.iter().enumerate() {
            let (tests, readings) = (rows.tests.len(), rows.readings.len());
            visit_rows(&mut rows, &asset_id, machine, (place, visit, timed));
            let log = Text::from(format!("site {}/{}.xlsx", machine.site, calendar(visit.day).0));
            rows.tests[tests..].iter_mut().for_each(|test| test.source_file = log.clone());
            rows.readings[readings..].iter_mut().for_each(|reading| reading.source_file = log.clone());
        }
    }
    rows
}

/// Frames over the rows.
pub(crate) fn frames(rows: Rows) -> anyhow::Result<Frames> {
    let (reported, waveforms): (Vec<ReportedFigure>, Vec<Waveform>) = (Vec::new(), Vec::new());
    Ok(Frames {
        assets: from_rows(rows.assets).context("assets")?.lazy(),
        tests: from_rows(rows.tests).context("tests")?.lazy(),
        readings: from_rows(rows.readings).context("readings")?.lazy(),
        reported_figures: from_rows(reported).context("reported figures")?.lazy(),
        waveforms: from_rows(waveforms).context("waveforms")?.lazy(),
    })
}

fn asset(asset_id: &str, machine: &Machine) -> Asset {
    let (volts, kind) = RATINGS[machine.rating as usize % RATINGS.len()];
    let (class, era) = ERAS[machine.era as usize % ERAS.len()];
    Asset {
        asset_id: asset_id.to_owned(),
        tag: asset_id.to_owned(),
        aliases: Vec::new(),
        site: Some(format!("site {}", machine.site)),
        area: None,
        description: None,
        equipment_class: "EM".to_owned(),
        manufacturer: Some(format!("maker {}", machine.maker)),
        model: None,
        serial_number: None,
        rated_power_w: None,
        rated_voltage_v: Some(volts),
        rated_current_a: None,
        rated_speed_rpm: None,
        rated_frequency_hz: None,
        winding_kind: Some(kind.to_owned()),
        insulation_class: Some(class.to_owned()),
        insulation_era: Some(era.to_owned()),
        conductor: Some("copper".to_owned()),
        made_year: Some(machine.made_year),
        rewound_years: machine.rewound_years.clone(),
        in_service: Some(true),
        functional_location: None,
        parent: None,
        list_key: None,
        listed_at: None,
        nameplate_conflicts: Vec::new(),
        rated_voltage_basis: Some("recorded".to_owned()),
        location_levels: Vec::new(),
    }
}

fn visit_rows(rows: &mut Rows, asset_id: &str, machine: &Machine, (place, visit, timed): (usize, &Visit, u32)) {
    let mut test = |kind: &str| {
        let test_id = row_id("tests", &[asset_id, &place.to_string(), kind]);
        rows.tests.push(test_row(&test_id, asset_id, kind, visit));
        test_id
    };
    let mut readings = Vec::new();
    let id = test("insulation_resistance");
    let ohm = visit.resistance_mohm * 1e6;
    let factor = visit.celsius.and_then(|celsius| correction(machine.era, celsius)).map(|decades| 10_f64.powf(decades));
    let bound = if visit.ceiling { "at_least" } else { "exact" };
    let base =
        Reading { circuit: Some("UVW-E".into()), bound: bound.into(), ..blank(&id, "insulation_resistance", "Ohm") };
    let minute = |seconds: f64, ohm: f64| Reading {
        elapsed_s: Some(seconds),
        value: ohm,
        value_ref: factor.map(|factor| ohm * factor),
        reference_c: factor.map(|_| 40.0),
        ..base.clone()
    };
    readings.push(minute(60.0, ohm));
    readings.extend(visit.index.map(|index| minute(600.0, ohm * index)));
    readings.extend((1..=timed).map(|step| minute(60.0 + 5.0 * f64::from(step), ohm)));
    if let Some(ratio) = visit.slope_ratio {
        let id = test("dc_step");
        readings.extend(curve(&id, ratio));
    }
    if let Some(unbalance) = visit.unbalance {
        let id = test("winding_resistance");
        let of = |circuit: &str, share: f64| Reading {
            circuit: Some(circuit.into()),
            value: PHASE_OHM * share,
            value_ref: Some(PHASE_OHM * share),
            reference_c: Some(25.0),
            ..blank(&id, "winding_resistance", "Ohm")
        };
        let half = unbalance / 2.0;
        readings.extend([of("U-V", 1.0 + unbalance), of("V-W", 1.0 - half), of("W-U", 1.0 - half)]);
    }
    if let Some(surge) = visit.surge {
        let id = test("surge");
        let per_unit = RATINGS[machine.rating as usize % RATINGS.len()].0 * (2.0_f64 / 3.0).sqrt();
        let outcome = if surge.inception.is_some() { Outcome::BrokeDown } else { Outcome::Withstood };
        readings.push(Reading {
            value: surge.level * per_unit,
            outcome: Some(outcome.code().into()),
            ..blank(&id, "surge_peak_voltage", "V")
        });
        readings.extend(
            surge
                .inception
                .map(|level| Reading { value: level * per_unit, ..blank(&id, "surge_inception_voltage", "V") }),
        );
    }
    for (seq, reading) in (0_i32..).zip(readings) {
        let reading_id = row_id("readings", &[&reading.test_id, &seq.to_string()]);
        let source_cell = format!("C{}", rows.readings.len() % 50_000 + 2).into();
        let raw_text = format!("{:.3e}", reading.value).into();
        rows.readings.push(Reading { reading_id, seq, source_cell, raw_text, ..reading });
    }
}

/// Currents after each step, whose last rise is `ratio` times the first.
fn curve(test_id: &str, ratio: f64) -> Vec<Reading> {
    let mut current = 0.0;
    let step = |step: u32| {
        current += if step == STEPS { ratio } else { 1.0 } * 1e-7;
        Reading {
            circuit: Some("UVW-E".into()),
            elapsed_s: Some(60.0),
            applied_voltage_v: Some(f64::from(step) * 1000.0),
            value: current,
            ..blank(test_id, "leakage_current", "A")
        }
    };
    (1..=STEPS).map(step).collect()
}

fn blank(test_id: &str, quantity: &str, unit: &str) -> Reading {
    Reading {
        reading_id: "".into(),
        test_id: test_id.into(),
        seq: 0,
        quantity: quantity.into(),
        circuit: None,
        elapsed_s: None,
        applied_voltage_v: None,
        value: 0.0,
        unit: unit.into(),
        bound: "exact".into(),
        as_reported: "as_read".into(),
        reported_reference_c: None,
        value_ref: None,
        reference_c: None,
        correction: None,
        value_ref_low: None,
        value_ref_high: None,
        outcome: None,
        raw_text: "".into(),
        source_file: "drawn".into(),
        source_sheet: None,
        source_cell: "A1".into(),
        derivation: Vec::new(),
        flags: Vec::new(),
    }
}

fn test_row(test_id: &str, asset_id: &str, kind: &str, visit: &Visit) -> Test {
    let date = Date::constant(1970, 1, 1).checked_add(jiff::Span::new().days(visit.day)).ok();
    Test {
        test_id: test_id.into(),
        asset_id: Some(asset_id.into()),
        kind: kind.into(),
        performed_on: date,
        performed_precision: "day".into(),
        stage: visit.cleaned.then(|| "after_cleaning".into()),
        winding_temperature_c: visit.celsius,
        winding_temperature_basis: if visit.celsius.is_some() { "measured" } else { "unknown" }.into(),
        ambient_temperature_c: None,
        relative_humidity_pct: visit.humidity_pct,
        dew_point_c: None,
        test_voltage_v: None,
        test_voltage_basis: "unknown".into(),
        instrument: Some(format!("instrument {}", visit.instrument).into()),
        tester: None,
        remarks: None,
        work_order: None,
        reported_outcome: None,
        duplicate_of: None,
        source_file: "drawn".into(),
        source_sheet: None,
        source_cell: "A1".into(),
        import_id: "drawn".into(),
    }
}

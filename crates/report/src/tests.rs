//! The page as a reader sees it.

use crate::format::Units;
use crate::{LevelLine, ReportData, render, render_in};
use jiff::civil::date;
use windrow_model::{Asset, Coverage, Finding, Hold, Reading, Step, Test, TestSummary};

fn asset() -> Asset {
    Asset {
        asset_id: "a1".into(),
        tag: "K-7".into(),
        aliases: vec!["K7".into()],
        site: Some("Invented Mill".into()),
        area: None,
        description: Some("<b>kiln</b> fan".into()),
        equipment_class: "EM".into(),
        manufacturer: None,
        model: None,
        serial_number: None,
        rated_power_w: Some(110_000.0),
        rated_voltage_v: Some(6600.0),
        rated_voltage_basis: Some("recorded".into()),
        rated_current_a: None,
        rated_speed_rpm: None,
        rated_frequency_hz: None,
        winding_kind: Some("form".into()),
        insulation_class: None,
        insulation_era: None,
        conductor: None,
        made_year: None,
        rewound_years: vec![],
        in_service: None,
        functional_location: None,
        location_levels: Vec::new(),
        parent: None,
        list_key: None,
        listed_at: None,
        nameplate_conflicts: Vec::new(),
    }
}

fn test_row(id: &str, year: i16) -> Test {
    Test {
        test_id: id.into(),
        asset_id: Some("a1".into()),
        kind: "insulation_resistance".into(),
        performed_on: Some(date(year, 5, 1)),
        performed_precision: "day".into(),
        stage: None,
        winding_temperature_c: Some(20.0),
        winding_temperature_basis: "measured".into(),
        ambient_temperature_c: None,
        relative_humidity_pct: None,
        dew_point_c: None,
        test_voltage_v: Some(5000.0),
        test_voltage_basis: "recorded".into(),
        instrument: None,
        tester: None,
        remarks: None,
        work_order: None,
        reported_outcome: None,
        duplicate_of: None,
        source_file: "kiln.xlsx".into(),
        source_sheet: Some("2001".into()),
        source_cell: "A4".into(),
        import_id: "i".into(),
    }
}

fn reading(test: &str, bound: &str, value: f64) -> Reading {
    Reading {
        reading_id: format!("r-{test}").into(),
        test_id: test.into(),
        seq: 0,
        quantity: "insulation_resistance".into(),
        circuit: Some("UVW-E".into()),
        elapsed_s: Some(60.0),
        applied_voltage_v: Some(5000.0),
        value,
        unit: "Ohm".into(),
        bound: bound.into(),
        as_reported: "as_read".into(),
        reported_reference_c: None,
        value_ref: Some(value / 4.0),
        reference_c: Some(40.0),
        correction: Some("thermoplastic_halving".into()),
        value_ref_low: None,
        value_ref_high: None,
        outcome: None,
        raw_text: ">2000".into(),
        source_file: "kiln.xlsx".into(),
        source_sheet: Some("2001".into()),
        source_cell: "F4".into(),
        derivation: vec![Step::new("unit", "MOhm, told by header F2")],
        flags: vec![],
    }
}

pub(crate) fn data() -> ReportData {
    let finding = Finding {
        finding_id: "f1".into(),
        asset_id: Some("a1".into()),
        test_id: Some("t1".into()),
        rule: "ir_minimum".into(),
        level: "act".into(),
        statement: "below its minimum".into(),
        evidence: vec!["r-t1".into()],
        value: None,
        limit: None,
        unit: None,
        basis: "IEEE 43-2013".into(),
        next_test: Some("repeat the test".into()),
        cautions: "discharge first".into(),
        q_value: None,
        forecast_date: None,
        forecast_from: None,
        forecast_to: None,
        first_seen: Some(date(2001, 5, 1)),
        last_seen: Some(date(2001, 5, 1)),
        state: "open".into(),
        working: Vec::new(),
        proposal: None,
        changes: Vec::new(),
    };
    let summary = TestSummary {
        test_id: "t1".into(),
        asset_id: Some("a1".into()),
        tag: Some("K-7".into()),
        site: None,
        rated_voltage_v: Some(6600.0),
        winding_kind: None,
        insulation_class: None,
        insulation_era: None,
        kind: "insulation_resistance".into(),
        performed_on: Some(date(2001, 5, 1)),
        performed_precision: "day".into(),
        ir_1min_ohm: Some(2e9),
        ir_1min_40c_ohm: Some(5e8),
        ir_1min_40c_low_ohm: None,
        ir_1min_40c_high_ohm: None,
        ir_bound: Some("at_least".into()),
        polarization_index: None,
        polarization_index_bound: None,
        absorption_ratio: None,
        absorption_ratio_bound: None,
        leakage_at_max_v_a: None,
        ir_from_current_ohm: None,
        max_voltage_v: None,
        max_voltage_pu: None,
        withstood: None,
        unbalance: None,
        dew_point_margin_k: None,
        dissipation_factor: None,
        dissipation_tip_up: None,
        dissipation_from_v: None,
        dissipation_to_v: None,
        pd_magnitude_c: None,
        reported_polarization_index: None,
        reported_absorption_ratio: None,
        reported_unbalance: None,
        ir_minimum_ohm: Some(1e8),
        ir_minimum_basis: Some("IR-100".into()),
        polarization_index_minimum: None,
        polarization_index_basis: None,
        duplicate_of: None,
    };
    ReportData {
        title: "Invented fleet".into(),
        cautions: vec!["Isolate, lock, prove dead, earth.".into()],
        assets: vec![asset()],
        tests: vec![test_row("t1", 2001), test_row("t2", 2003)],
        readings: vec![reading("t1", "at_least", 2e9), reading("t2", "exact", 1.5e9)],
        summaries: vec![summary],
        findings: vec![finding],
        ..ReportData::default()
    }
}

#[test]
fn every_number_shows_the_way_back_to_its_cell() {
    let page = render(&data());
    assert!(page.contains("kiln.xlsx, sheet 2001, cell F4"));
    assert!(page.contains("told by header F2"));
    assert!(page.contains("≥\u{a0}2000\u{a0}MΩ"), "a ceiling is shown as one");
    assert!(page.contains("≥\u{a0}500\u{a0}MΩ at 40\u{a0}°C"));
}

#[test]
fn verdicts_stand_with_basis_and_cautions() {
    let page = render(&data());
    for needed in
        ["Isolate, lock, prove dead, earth.", "IEEE 43-2013", "repeat the test", "discharge first", "minimum: IR-100"]
    {
        assert!(page.contains(needed), "{needed}");
    }
}

#[test]
fn text_from_cells_is_text() {
    let page = render(&data());
    assert!(!page.contains("<b>kiln"));
    assert!(page.contains("&lt;b&gt;kiln"));
}

#[test]
fn the_page_needs_no_network_and_runs_no_script() {
    let page = render(&data());
    for forbidden in ["<script", "http://", "https://", "src=", "@import"] {
        assert!(!page.contains(forbidden), "{forbidden}");
    }
}

#[test]
fn an_empty_fleet_is_a_page_too() {
    let page = render(&ReportData { title: "nothing yet".into(), ..ReportData::default() });
    assert!(page.contains("nothing yet") && page.contains("</html>"));
}

/// A direct-voltage test of `kind` that reached 5 kV, with an outcome or none.
fn trial(id: &str, kind: &str, withstood: Option<bool>) -> TestSummary {
    let summary = data().summaries.remove(0);
    TestSummary { test_id: id.into(), kind: kind.into(), max_voltage_v: Some(5000.0), withstood, ..summary }
}

fn turns() -> Coverage {
    Coverage {
        asset_id: "a1".into(),
        tag: "K-7".into(),
        site: None,
        insulation: "turn_to_turn".into(),
        rated_voltage_v: Some(6600.0),
        proven_v: None,
        proven_form: None,
        proven_crest_v: None,
        proven_kind: None,
        proven_on: None,
        proven_test_id: None,
        failed_v: None,
        failed_kind: None,
        failed_on: None,
        failed_test_id: None,
        untold_v: None,
        stress_v: Some(16_166.0),
        stress_basis: Some("rule SERVICE-START (from memory)".into()),
        since_year: None,
        standing: "never_tested".into(),
        statement: "Turn to turn: never tested in these records.".into(),
        cautions: "a level is not an order to test".into(),
    }
}

#[test]
fn the_ladder_tells_fates_by_shape_and_text_and_coverage_in_words() {
    let level = LevelLine {
        asset_id: "a1".into(),
        crest_v: 14_025.0,
        label: "direct withstand, in service: 14.03 kV DC".into(),
        basis: "rule DC-SERVICE (verified)".into(),
    };
    let page = render(&ReportData {
        summaries: vec![
            trial("t1", "dc_withstand", Some(false)),
            trial("t2", "ac_withstand", Some(true)),
            trial("t3", "surge", None),
        ],
        coverage: vec![turns()],
        levels: vec![level],
        ..data()
    });
    assert!(page.contains("Voltage ladder, 3 tests, 1 failed"));
    assert!(page.contains(">failed</text>") && page.contains("point broke"), "a failure is a cross and a word");
    assert!(page.contains("point off-basis") && page.contains("outcome not told"), "an open outcome is hollow");
    assert!(page.contains("AC withstand: 5\u{a0}kV rms"), "alternating voltage stands at its crest and is told as rms");
    for needed in ["never tested", "SERVICE-START", "DC-SERVICE", "Cautions", "a level is not an order to test"] {
        assert!(page.contains(needed), "{needed}");
    }
}

#[test]
fn a_machine_that_no_test_covered_has_no_ladder() {
    let page = render(&data());
    assert!(!page.contains("Voltage ladder"));
}

#[test]
fn the_first_sheet_tells_what_to_act_on_why_by_when_and_on_what_it_rests() {
    let forecast = Finding {
        level: "plan".into(),
        finding_id: "f2".into(),
        statement: "falls towards its minimum".into(),
        forecast_date: Some(date(2027, 3, 1)),
        forecast_from: Some(date(2026, 9, 1)),
        forecast_to: Some(date(2028, 1, 1)),
        ..data().findings.remove(0)
    };
    let closed = Finding {
        finding_id: "f3".into(),
        state: "acknowledged".into(),
        statement: "closed by a person".into(),
        ..data().findings.remove(0)
    };
    let mut all = data();
    all.findings.extend([forecast, closed]);
    let page = render(&all);
    let sheet = page.split("id=\"summary\"").nth(1).and_then(|rest| rest.split("id=\"overview\"").next()).unwrap();
    for needed in [
        "K-7",
        "below its minimum",
        "before the next start",
        "IEEE 43-2013",
        "1 record, the last of 2001-05-01",
        "hardly before 2026-09-01; as likely as not by 2027-03-01, with nine chances in ten by 2028-01-01",
        "not a machine proven good",
    ] {
        assert!(sheet.contains(needed), "{needed}");
    }
    assert!(!sheet.contains("closed by a person"), "what a person closed is not asked again");
    assert_eq!(
        sheet.matches("<tbody><tr>").count() + sheet.matches("</tr><tr>").count(),
        1,
        "a line a machine: {sheet}"
    );
    assert!(sheet.contains("Also plan: insulation resistance below its minimum"), "{sheet}");
}

fn hold(id: &str, resolved_by: Option<&str>) -> Hold {
    Hold {
        hold_id: id.into(),
        import_id: "i".into(),
        source_file: "kiln.xlsx".into(),
        source_sheet: None,
        source_cell: Some("B2".into()),
        raw_text: "7".into(),
        question: "unit".into(),
        choices: Vec::new(),
        context: "no unit is told".into(),
        cause: "unit".into(),
        resolved_by: resolved_by.map(Into::into),
    }
}

#[test]
fn questions_are_counted_alike_wherever_they_are_counted() {
    let one = vec![hold("h1", None), hold("h2", None)];
    let page = render(&ReportData { questions: vec![one, vec![hold("h3", None)]], ..data() });
    assert!(page.contains("2 questions about records are open"), "the first sheet");
    assert!(page.contains("<dt>open questions</dt><dd><a href=\"#questions\">2</a>"), "the overview");
    assert_eq!(page.matches("no unit is told").count(), 2, "the list");
    assert!(page.contains("0 machines have no test in these records"));
}

/// A leakage current in steps of voltage or a timed resistance, a row a reading.
fn series(test: &str, quantity: &str, rows: &[(f64, f64, f64, &str)]) -> Vec<Reading> {
    let row = |(seq, (volts, seconds, value, reported)): (i32, &(f64, f64, f64, &str))| Reading {
        reading_id: format!("r-{test}-{seq}").into(),
        seq,
        quantity: quantity.into(),
        applied_voltage_v: Some(*volts),
        elapsed_s: Some(*seconds),
        as_reported: (*reported).into(),
        unit: if quantity == "leakage_current" { "A".into() } else { "Ohm".into() },
        ..reading(test, "exact", *value)
    };
    (0..).zip(rows).map(row).collect()
}

/// The titles of the points in the figure whose caption begins with `caption`.
fn points(page: &str, caption: &str) -> Vec<String> {
    let figure = page.split("<figcaption>").find(|part| part.starts_with(caption)).unwrap_or_default();
    let figure = figure.split("</figure>").next().unwrap();
    figure.split("<title>").skip(1).map(|title| title.split("</title>").next().unwrap().to_owned()).collect()
}

#[test]
fn step_curves_are_of_direct_voltage_and_of_each_voltage_the_longest_time() {
    let steps = [(1000.0, 60.0, 1e-6, "as_read"), (2000.0, 60.0, 5e-6, "as_read"), (2000.0, 30.0, 9e-6, "as_read")];
    let of = |kind: &str| Test { kind: kind.into(), ..test_row("t1", 2001) };
    let page = |kind: &str| {
        render(&ReportData { tests: vec![of(kind)], readings: series("t1", "leakage_current", &steps), ..data() })
    };
    let drawn = points(&page("dc_step"), "Step-voltage");
    assert_eq!(drawn.len(), 2, "{drawn:?}");
    assert!(drawn[1].contains("2\u{a0}kV: 5\u{a0}µA"), "{drawn:?}");
    assert_eq!(
        points(&page("ac_withstand"), "Step-voltage"),
        Vec::<String>::new(),
        "an alternating current is another one"
    );
}

#[test]
fn absorption_curves_are_of_values_as_read() {
    let rows =
        |reported| [(5000.0, 30.0, 1e9, "as_read"), (5000.0, 60.0, 2e9, reported), (5000.0, 600.0, 4e9, "as_read")];
    let page = |reported| {
        let readings = series("t1", "insulation_resistance", &rows(reported));
        render(&ReportData { tests: vec![test_row("t1", 2001)], readings, ..data() })
    };
    assert_eq!(points(&page("as_read"), "Absorption").len(), 3);
    assert_eq!(points(&page("corrected"), "Absorption").len(), 2);
}

#[test]
fn older_curves_that_are_left_out_are_told() {
    let years = 1990..2002_i16;
    let id = |year: i16| format!("t{year}");
    let rows = [(5000.0, 30.0, 1e9, "as_read"), (5000.0, 60.0, 2e9, "as_read")];
    let tests: Vec<Test> = years.clone().map(|year| test_row(&id(year), year)).collect();
    let readings = years.flat_map(|year| series(&id(year), "insulation_resistance", &rows)).collect();
    let page = render(&ReportData { tests, readings, ..data() });
    assert!(page.contains("2 older curves are left out"), "12 tests, 10 curves");
}

/// A machine whose resistance may meet its minimum, as the analysis tells it.
fn foreseen(to: Option<jiff::civil::Date>) -> ReportData {
    let outlook = Finding {
        rule: "minimum_ahead".into(),
        level: "watch".into(),
        statement: "may meet its minimum".into(),
        evidence: vec!["r-t1".into(), "r-t2".into()],
        value: Some(5e8),
        limit: Some(1e8),
        unit: Some("Ohm".into()),
        forecast_from: Some(date(2007, 3, 1)),
        forecast_date: Some(date(2011, 6, 1)),
        forecast_to: to,
        ..data().findings.remove(0)
    };
    ReportData { findings: vec![outlook], ..data() }
}

/// The history of insulation resistance.
fn history(page: &str) -> &str {
    let figure = page.split("<figcaption>").find(|part| part.starts_with("Insulation resistance")).unwrap();
    figure.split("</figure>").next().unwrap()
}

#[test]
fn a_forecast_stands_in_the_history_with_the_ends_that_are_told() {
    let page = render(&foreseen(Some(date(2019, 1, 1))));
    let closed = history(&page);
    assert_eq!(closed.matches("class=\"end\"").count(), 2, "{closed}");
    for needed in
        ["last test", "hardly before 2007-03-01", "as likely as not by 2011-06-01", "by 2019-01-01", ">2010</text>"]
    {
        assert!(closed.contains(needed), "{needed} is not in {closed}");
    }
    let page = render(&foreseen(None));
    let open = history(&page);
    assert!(open.contains("no later end that these tests can tell") && !open.contains("2019-01-01"), "{open}");
    assert!(open.contains("an arrow: no later end is told"), "{open}");
}

#[test]
fn where_nothing_is_foreseen_the_history_says_why() {
    let page = render(&data());
    assert!(
        history(&page).contains("No forecast: it takes 3 dated values at 40\u{a0}°C, and the records tell 1."),
        "{}",
        history(&page)
    );
    let years = [2001, 2003, 2005];
    let of = |value: f64| {
        let summaries = years.map(|year| TestSummary {
            test_id: format!("t{year}").into(),
            performed_on: Some(date(year, 5, 1)),
            ir_1min_40c_ohm: Some(value),
            ir_bound: Some("exact".into()),
            ..data().summaries.remove(0)
        });
        render(&ReportData { summaries: summaries.to_vec(), ..data() })
    };
    assert!(history(&of(5e7)).contains("the newest value is below its minimum already"));
    assert!(history(&of(5e9)).contains("none is made unless a finding asks for one"));
}

#[test]
fn a_machine_without_histories_says_what_would_bring_them() {
    let page = |tests: Vec<Test>, readings: Vec<Reading>| render(&ReportData { tests, readings, ..data() });
    assert!(page(Vec::new(), Vec::new()).contains("once records of its tests are imported"));
    let undated = Test { performed_on: None, ..test_row("t1", 2001) };
    let text = page(vec![undated], vec![reading("t1", "exact", 1e9)]);
    assert!(text.contains("its one test tells no date"), "{text}");
    let other = Reading { quantity: "unbalance".into(), ..reading("t1", "exact", 0.01) };
    let text = page(vec![test_row("t1", 2001), test_row("t2", 2003)], vec![other]);
    assert!(text.contains("its 2 tests tell only unbalance"), "{text}");
}

#[test]
fn the_polarization_index_has_a_history_with_its_minimum() {
    let summary = TestSummary {
        polarization_index: Some(2.6),
        polarization_index_bound: Some("exact".into()),
        polarization_index_minimum: Some(2.0),
        polarization_index_basis: Some("PI-BFH (quoted)".into()),
        ..data().summaries.remove(0)
    };
    let page = render(&ReportData { summaries: vec![summary], ..data() });
    let figure = page.split("<figcaption>").find(|part| part.starts_with("Polarization index")).unwrap();
    for needed in ["2001-05-01: 2.6", "minimum: PI-BFH", "href=\"#t-t1\""] {
        assert!(figure.contains(needed), "{needed}");
    }
}

/// 40 °C are 104 °F, and 110 kW are 147.5 hp (a horsepower is 745.699872 W).
#[test]
fn a_report_is_in_the_units_of_its_reader() {
    let page = render_in(&data(), Units::Us);
    for needed in ["one minute, at 104\u{a0}°F", "Last one-minute value at 104\u{a0}°F", "147.5\u{a0}hp"] {
        assert!(page.contains(needed), "{needed}");
    }
    assert!(!page.contains("40\u{a0}°C") && !page.contains("kW<"));
}

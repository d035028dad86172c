//! What the rules of the trade find in records: brackets, reported figures, doubtful nameplates and sheets, coverage. All records
//! are invented.

use super::{ask, demo, folder, on};
use std::fmt::Write;
use std::fs;
use std::path::Path;

/// A fleet of one file, analyzed.
fn fleet_of(name: &str, text: &str) -> tempfile::TempDir {
    let records = folder();
    fs::write(records.path().join(name), text).unwrap();
    let fleet = folder();
    let said = on(fleet.path(), "run", &[records.path().to_str().unwrap()]);
    assert!(said.out.contains("findings"), "{}{}", said.out, said.err);
    // The records stay for a further import; the system clears them away with its own.
    let _ = records.keep();
    fleet
}

fn statement(fleet: &Path, rule: &str, machine: &str) -> Option<String> {
    let sql = format!(
        "SELECT level, statement FROM findings WHERE rule = '{rule}' AND statement LIKE '%{machine}%' AND state <> 'cleared'"
    );
    ask(fleet, &sql).pop()
}

/// IEEE 43-2013 clause 6.3 and Table 3 (from memory): 90 MΩ at 20 °C is 22.5 MΩ at 40 °C by the halving rule and 68.60 MΩ by the
/// thermosetting law (K = 0.76223, factor table of the worked examples); the minima are 7.6 and 100 MΩ.
#[test]
fn an_era_that_is_not_told_brackets_the_value_and_the_finding_says_so() {
    let fleet = fleet_of(
        "round.csv",
        "Motor,Rated voltage V,Winding,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n\
         G-1,6600,form,2011-05-03,20,5000,300\n\
         G-2,6600,form,2011-05-03,20,5000,90\n\
         G-3,480,random,2011-05-03,20,500,2\n\
         G-4,6600,form,2011-05-03,5,5000,90\n",
    );
    let fleet = fleet.path();
    let ends = ask(
        fleet,
        "SELECT round(ir_1min_40c_low_ohm / 1e6, 2), round(ir_1min_40c_high_ohm / 1e6, 2), ir_1min_40c_ohm FROM test_summary \
         WHERE tag = 'G-2'",
    );
    assert_eq!(ends, ["22.5,68.6,"]);
    assert_eq!(statement(fleet, "ir_minimum", "G-1"), None, "above both minima");
    let open = statement(fleet, "ir_minimum", "G-2").unwrap();
    assert!(open.starts_with("watch") && open.contains("only if thermosetting: 68.60 MΩ against 100 MΩ"), "{open}");
    let either = statement(fleet, "ir_minimum", "G-3").unwrap();
    assert!(either.starts_with("plan") && either.contains("either way"), "{either}");
    // 5 °C is outside the thermosetting law (IR-17): nothing is extrapolated, and the reading says so.
    let outside = ask(
        fleet,
        "SELECT r.value_ref, r.value_ref_low FROM readings r JOIN tests t ON r.test_id = t.test_id WHERE t.winding_temperature_c = 5",
    );
    assert_eq!(outside, [","]);
}

/// PI-01 and PI-10: what the source computed is held against its own minutes, rounding allowed for.
#[test]
fn a_reported_ratio_that_its_minutes_do_not_give_is_a_finding_on_the_record() {
    let fleet = fleet_of(
        "ratios.csv",
        "Motor,Date,Winding temp C,Test voltage V,IR 1 min MOhm,IR 10 min MOhm,PI\n\
         R-1,2011-05-03,20,5000,620,2480,4.0\n\
         R-2,2011-05-04,20,5000,800,2510,3.13\n\
         R-3,2011-05-05,20,5000,800,2510,3.4\n\
         R-4,2011-05-06,20,5000,2500,1000,2.5\n",
    );
    let fleet = fleet.path();
    assert_eq!(statement(fleet, "reported_figure_differs", "R-1"), None);
    assert_eq!(statement(fleet, "reported_figure_differs", "R-2"), None, "cut off, not rounded");
    let differs = statement(fleet, "reported_figure_differs", "R-3").unwrap();
    assert!(differs.starts_with("note") && differs.contains("3.1375") && differs.contains("cell G4"), "{differs}");
    let swapped = statement(fleet, "reported_figure_differs", "R-4").unwrap();
    assert!(swapped.contains("may be swapped"), "{swapped}");
    let ratios =
        ask(fleet, "SELECT polarization_index, reported_polarization_index FROM test_summary WHERE tag = 'R-3'");
    assert_eq!(ratios, ["3.1375,3.4"], "ours and theirs side by side");
}

/// DC-03, DC-04, DC-05 and UN-07: voltage over current, beside what the record says it is.
#[test]
fn a_resistance_that_voltage_and_current_do_not_give_is_a_finding_on_the_record() {
    let fleet = fleet_of(
        "steps.csv",
        "Motor,Date,DC test voltage kV,Leakage uA,MOhm\n\
         D-3,2011-05-03,0.5,0.25,2000\nD-4,2011-05-03,1.96,2,980\nD-5,2011-05-03,10,2.90,3448\nD-7,2011-05-03,1,0.35,2857\n\
         D-8,2011-05-03,10,2.90,3900\n",
    );
    let fleet = fleet.path();
    let megohms = ask(fleet, "SELECT round(ir_from_current_ohm / 1e6, 3) FROM test_summary ORDER BY tag");
    assert_eq!(megohms, ["2000", "980", "3448.276", "2857.143", "3448.276"]);
    assert_eq!(statement(fleet, "reported_figure_differs", "D-5"), None, "rounded");
    let differs = statement(fleet, "reported_figure_differs", "D-8").unwrap();
    assert!(differs.contains("3900") && differs.contains("3448"), "{differs}");
}

/// TR-05: phases of 900, 880 and 95 MΩ; the finding says how many times the lowest is behind the middle of the other two.
#[test]
fn a_phase_that_falls_behind_the_other_two_is_found() {
    let mut text = "Motor,Date,Winding temp C,Test voltage V,U-E MOhm,V-E MOhm,W-E MOhm\n".to_owned();
    for (year, w) in [(2008, 890), (2009, 870), (2010, 905), (2011, 95)] {
        let _ = writeln!(text, "T-5,{year}-05-03,20,5000,900,880,{w}");
    }
    let fleet = fleet_of("phases.csv", &text);
    let behind = ask(fleet.path(), "SELECT 1 / value FROM findings WHERE rule = 'phase_divergence'").concat();
    assert!((behind.parse::<f64>().unwrap() / 0.106_741_573 - 1.0).abs() < 1e-6, "{behind}");
}

#[test]
fn a_rated_voltage_that_cannot_be_true_is_found_and_nothing_is_judged_by_it() {
    let fleet = fleet_of(
        "plates.csv",
        "Motor,Rated voltage V,Winding,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n\
         K-1,4.16,form,2011-05-03,40,500,3\nK-2,277,random,2011-05-03,40,500,3\nK-3,480,random,2011-05-03,40,500,3\n",
    );
    let fleet = fleet.path();
    let low = statement(fleet, "rated_voltage", "K-1").unwrap();
    assert!(low.starts_with("note") && low.contains("4160 V"), "{low}");
    assert!(statement(fleet, "rated_voltage", "K-2").unwrap().contains("phase voltage of a machine of 480 V"));
    assert_eq!(statement(fleet, "rated_voltage", "K-3"), None);
    let unjudged = ask(fleet, "SELECT ir_minimum_ohm, max_voltage_pu FROM test_summary WHERE tag IN ('K-1', 'K-2')");
    assert_eq!(unjudged, [",", ","]);
    let coverage = ask(fleet, "SELECT standing FROM coverage WHERE tag = 'K-1' AND insulation = 'ground_wall'");
    assert_eq!(coverage, ["stress_unknown"]);
    for (cell, told) in [("B2", "4160 V"), ("B3", "277 V")] {
        let id = question(fleet, cell);
        let said = on(fleet, "holds", &["--explain", &id]);
        assert!(said.out.contains(told) && said.out.contains("no level stands"), "{}", said.out);
        assert_eq!(on(fleet, "decide", &[&id, told]).status, Some(0));
    }
    let refused = on(fleet, "decide", &[&question(fleet, "B2"), "4.16 V"]);
    assert!(refused.status == Some(3) && refused.err.contains("kilovolts typed as volts"), "{}", refused.err);
    again(fleet);
    assert_eq!(ask(fleet, "SELECT count(*) FROM holds"), ["0"]);
    assert_eq!(statement(fleet, "rated_voltage", "K-1"), None);
    assert_eq!(statement(fleet, "rated_voltage", "K-2"), None, "confirmed as line to line");
    let judged =
        ask(fleet, "SELECT round(max_voltage_pu, 3) FROM test_summary WHERE tag IN ('K-1', 'K-2') ORDER BY tag");
    assert_eq!(judged, ["0.147", "2.211"], "500 V over √(2/3) of 4160 V and of 277 V");
}

/// Found, explained and held for every machine whose limits, levels and coverage go by a voltage that nobody tells.
#[test]
fn machines_that_tell_no_rated_voltage_are_one_question_and_answered_for_those_that_share_one() {
    let fleet = fleet_of(
        "log.csv",
        "Motor,Winding,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n\
         V-1,random,2011-05-03,40,500,3\nV-2,random,2011-05-03,40,500,3\nV-3,random,2011-05-03,40,500,3\n",
    );
    let fleet = fleet.path();
    let id = question(fleet, "A2");
    let listed = on(fleet, "holds", &[]);
    assert!(listed.out.contains("log.csv A2 and 2 more"), "{}", listed.out);
    let explained = on(fleet, "holds", &["--explain", &id]).out;
    assert!(explained.contains("tell no rated voltage") && explained.contains("no level stands"), "{explained}");
    let judged =
        || ask(fleet, "SELECT tag, ir_minimum_ohm IS NULL, max_voltage_pu IS NULL FROM test_summary ORDER BY tag");
    assert_eq!(judged(), ["V-1,true,true", "V-2,true,true", "V-3,true,true"]);
    let stress = ask(
        fleet,
        "SELECT count(*) FROM coverage WHERE stress_v IS NOT NULL OR standing IN ('proven', 'below_stress')",
    );
    assert_eq!(stress, ["0"], "nothing is said to cover anything");
    let refused = on(fleet, "decide", &[&id, "480 V"]);
    assert!(refused.status == Some(3) && refused.err.contains("3 machines tell no rated voltage"), "{}", refused.err);
    assert_eq!(on(fleet, "decide", &[&id, "480 V", "--cells", "A2:A3"]).status, Some(0));
    again(fleet);
    assert_eq!(ask(fleet, "SELECT source_cell FROM holds"), ["A4"]);
    assert_eq!(ask(fleet, "SELECT tag FROM assets WHERE rated_voltage_v = 480 ORDER BY tag"), ["V-1", "V-2"]);
    assert!(on(fleet, "levels", &["V-1"]).out.contains("500 V DC"));
    let open = on(fleet, "levels", &["V-3"]);
    assert!(
        open.status == Some(1) && open.err.contains("the records tell no rated voltage"),
        "{}{}",
        open.out,
        open.err
    );
    assert_eq!(on(fleet, "decide", &[&question(fleet, "A4"), "not known"]).status, Some(0));
    again(fleet);
    assert_eq!(ask(fleet, "SELECT count(*) FROM holds"), ["0"]);
}

/// The id of the question about a cell.
fn question(fleet: &Path, cell: &str) -> String {
    ask(fleet, &format!("SELECT hold_id FROM holds WHERE source_cell = '{cell}'")).concat()
}

/// The same records once more, from where they were.
fn again(fleet: &Path) {
    let origin = ask(fleet, "SELECT DISTINCT origin FROM sources").concat();
    let said = on(fleet, "run", &[&origin]);
    assert!(said.status.is_some_and(|status| status <= 1), "{}", said.err);
}

/// Readings of four machines over the seasons, those of 1975 as read or as somebody had brought them to 40 °C (halving rule).
fn seasons(corrected: bool) -> String {
    let mut text = "Motor,Rated voltage V,Winding,Made,Date,Winding temp C,Test voltage V,IR 1 min MOhm\n".to_owned();
    for motor in 0..4 {
        for year in 0..8 {
            let temperature = 15 + (year * 7 + motor * 3) % 25;
            let scatter = [1.05, 0.93, 1.0, 1.1, 0.96, 1.02, 0.9, 1.07][(year + motor) % 8];
            let at_40c = 150.0 * f64::from(u32::try_from(motor).unwrap() + 1) * scatter;
            let factor = 2_f64.powf((40.0 - f64::from(u32::try_from(temperature).unwrap())) / 10.0);
            let told = if corrected { at_40c } else { at_40c * factor };
            let _ = writeln!(text, "S-{motor},6600,form,1960,{}-03-04,{temperature},2500,{told:.0}", 1975 + year);
        }
    }
    text
}

#[test]
fn a_sheet_that_looks_corrected_without_saying_so_is_found() {
    let fleet = fleet_of("corrected.csv", &seasons(true));
    let found = statement(fleet.path(), "looks_corrected", "corrected.csv").unwrap();
    assert!(found.starts_with("note") && found.contains("32 insulation resistances"), "{found}");
    let twice = ask(fleet.path(), "SELECT count(*) FROM readings WHERE value_ref < value * 0.9");
    assert_ne!(twice, ["0"], "nothing changes until it is ruled");
    let id = ask(fleet.path(), "SELECT hold_id FROM holds WHERE question = 'corrected'").concat();
    assert_eq!(on(fleet.path(), "decide", &[&id, "corrected to 40 °C"]).status, Some(0));
    again(fleet.path());
    assert_eq!(statement(fleet.path(), "looks_corrected", "corrected.csv"), None);
    assert_eq!(ask(fleet.path(), "SELECT count(*) FROM holds"), ["0"]);
    assert_eq!(ask(fleet.path(), "SELECT count(*) FROM readings WHERE value_ref <> value"), ["0"]);
    let fleet = fleet_of("as_read.csv", &seasons(false));
    assert_eq!(statement(fleet.path(), "looks_corrected", "as_read.csv"), None);
}

/// DP-20: winding 16 °C in air of 25 °C and 60 % is 0.69 K below the dew point.
#[test]
fn a_winding_colder_than_the_dew_point_is_said() {
    let fleet = fleet_of(
        "damp.csv",
        "Motor,Date,Winding temp C,Ambient temp C,Humidity %,Test voltage V,IR 1 min MOhm\n\
         D-1,2011-05-03,16,25,60,500,80\nD-2,2011-05-03,25,25,60,500,80\n",
    );
    let margin = ask(fleet.path(), "SELECT round(dew_point_margin_k, 2) FROM test_summary WHERE tag = 'D-1'");
    assert_eq!(margin, ["-0.69"]);
    assert!(statement(fleet.path(), "dew_point", "D-1").unwrap().contains("0.7 K below the dew point"));
    assert_eq!(statement(fleet.path(), "dew_point", "D-2"), None);
}

/// DP-09: air of 25 °C and 60 % has a dew point of 16.69 °C.
#[test]
fn a_dew_point_that_the_air_does_not_give_is_a_finding_on_the_record() {
    let fleet = fleet_of(
        "air.csv",
        "Motor,Date,Winding temp C,Ambient temp C,Humidity %,Dew point C,Test voltage V,IR 1 min MOhm\n\
         A-1,2011-05-03,30,25,60,16.7,5000,800\nA-2,2011-05-03,30,25,60,12.0,5000,800\n",
    );
    assert_eq!(statement(fleet.path(), "dew_point_differs", "A-1"), None);
    let differs = statement(fleet.path(), "dew_point_differs", "A-2").unwrap();
    assert!(differs.starts_with("note") && differs.contains("12.0 °C") && differs.contains("16.7 °C"), "{differs}");
}

/// DC-01: 1 kV/min; after 10 min 10 kV, so that 2.9 µA are 3448 MΩ. The rate stands in the remarks as the source told it.
#[test]
fn a_ramp_told_by_its_rate_has_derived_quantities_and_coverage() {
    let fleet = fleet_of(
        "ramp.csv",
        "DC ramp test\nMotor,R-7\nRated voltage,6.6 kV\nDate,2012-05-03\nWinding temp,30 °C\nRate of rise,1 kV/min\nCircuit,UVW-E\n\n\
         Time (min),Leakage µA\n1,0.31\n2,0.66\n4,1.05\n8,1.62\n10,2.90\n",
    );
    let fleet = fleet.path();
    let derived = ask(
        fleet,
        "SELECT kind, round(max_voltage_v), round(ir_from_current_ohm / 1e6), round(max_voltage_pu, 3) FROM test_summary",
    );
    assert_eq!(derived, ["dc_ramp,10000,3448,1.856"]);
    let coverage = "SELECT standing, round(proven_v), proven_kind FROM coverage WHERE insulation = 'ground_wall'";
    assert_eq!(ask(fleet, coverage), ["proven,10000,dc_ramp"]);
    assert_eq!(ask(fleet, "SELECT remarks FROM tests"), ["Rate of rise: 1 kV/min"]);
    assert_eq!(ask(fleet, "SELECT count(*) FROM holds"), ["0"]);
}

/// The demo's contractors tested with direct voltage and with surges; only the surges say anything of the turns.
#[test]
fn coverage_says_what_was_proven_at_which_voltage_and_what_was_never_tested() {
    let (fleet, _) = demo();
    let row = |tag: &str, part: &str| {
        let sql = format!(
            "SELECT standing, proven_v, proven_form, proven_kind, failed_kind FROM coverage WHERE tag = '{tag}' AND insulation = '{part}'"
        );
        ask(fleet, &sql).concat()
    };
    assert_eq!(row("FB-CH-01", "ground_wall"), "proven,13200,direct,dc_step,");
    assert_eq!(row("FB-CH-01", "turn_to_turn"), "below_stress,14200,peak,surge,");
    assert_eq!(row("FB-PM-12", "turn_to_turn"), "failed,,,,surge");
    assert_eq!(row("LQ-FN-115", "phase_to_phase"), "never_tested,,,,");
    let parts = ask(fleet, "SELECT count(*) FROM coverage");
    let machines = ask(fleet, "SELECT count(DISTINCT asset_id) FROM tests");
    assert_eq!(parts[0].parse::<usize>().unwrap(), 3 * machines[0].parse::<usize>().unwrap());
    assert_eq!(ask(fleet, "SELECT count(*) FROM coverage WHERE cautions = '' OR statement = ''"), ["0"]);
    // CP-06: turns are proven by surges alone, whatever a direct voltage proved.
    let kinds = ask(
        fleet,
        "SELECT DISTINCT proven_kind FROM coverage WHERE insulation = 'turn_to_turn' AND proven_kind IS NOT NULL",
    );
    assert_eq!(kinds, ["surge"]);
}

#[test]
fn a_rewind_and_an_outcome_that_is_not_told_prove_nothing() {
    let fleet = fleet_of(
        "proofs.csv",
        "Motor,Rated voltage V,Rewound,Date,Test,Test voltage kV,Leakage uA,Result\n\
         P-1,6600,1990,1985-05-03,DC hipot,20,3.1,withstood\n\
         P-2,6600,,1985-05-03,DC hipot,20,3.1,\n\
         P-3,6600,,1985-05-03,DC hipot,20,3.1,withstood\n",
    );
    let fleet = fleet.path();
    let of = |tag: &str| {
        ask(fleet, &format!("SELECT standing, proven_v, untold_v, since_year FROM coverage WHERE tag = '{tag}' AND insulation = 'ground_wall'"))
            .concat()
    };
    assert_eq!(of("P-3"), "proven,20000,,");
    assert_eq!(of("P-2"), "untold,,20000,");
    assert_eq!(of("P-1"), "never_tested,,,1990");
}

#[test]
fn the_page_draws_the_ladder_and_says_it_in_words_with_cautions() {
    let (fleet, _) = demo();
    let page = fs::read_to_string(fleet.join("report.html")).unwrap();
    for needed in [
        "Voltage ladder",
        "operating voltage to earth",
        "start, between turns",
        ">failed</text>",
        "never tested",
        "a level is not an order to test",
    ] {
        assert!(page.contains(needed), "{needed}");
    }
}

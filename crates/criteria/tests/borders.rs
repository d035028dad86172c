//! Every border of every table just below, at and above it. The borders stand here as the sources word them, not as the data files write
//! them: "up to 500 V" holds at 500 V, "above" does not. A border of the data that nobody lists here fails.
//!
//! IEEE 43-2013 Tables 1 and 3 and IEC 60034-27-4:2018 (from memory), a start-up manual (verified), IEC 60034-1:2004 Table 16 and
//! ANSI/EASA AR100-2020 Tables 4-4 and 4-5 (verified), NEMA MG 1 (from memory: ½ hp is 372.85 W by UCUM), IEC 60034-15 (second-hand), shop
//! practice (no source), IEC 60034-27-3:2015 (scope second-hand), IEEE 95-2002 (from memory).
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests fail by panicking")]

use std::collections::BTreeSet;
use windrow_criteria::{Applies, Interval, Machine, Part, Preference, Standing, rules};

const VOLTS: &str = "rated_voltage_v";
const WATTS: &str = "rated_power_w";
/// ½ hp of 745.699872 W.
const HALF_HORSEPOWER: f64 = 372.849_936;

/// "Below", "less than": not at the border.
const BELOW: [bool; 3] = [true, false, false];
/// "Up to", "or less".
const UP_TO: [bool; 3] = [true, true, false];
/// "From", "or more".
const FROM: [bool; 3] = [false, true, true];
/// "Above", "more than".
const ABOVE: [bool; 3] = [false, false, true];

/// Rules, the field of the nameplate, the border, and whether the rule holds just below, at and above it.
const BORDERS: [(&str, &str, f64, [bool; 3]); 28] = [
    ("IR-V-1 IR-V-IEC-1 PI-RANDOM IR-5", VOLTS, 1000.0, BELOW),
    ("IR-100 IR-V-2 IR-V-IEC-2", VOLTS, 1000.0, FROM),
    ("IR-V-2 IR-V-IEC-2", VOLTS, 2500.0, UP_TO),
    ("IR-V-3 IR-V-IEC-3", VOLTS, 2500.0, ABOVE),
    ("IR-V-3 IR-V-IEC-3", VOLTS, 5000.0, UP_TO),
    ("IR-V-4 IR-V-IEC-4", VOLTS, 5000.0, ABOVE),
    ("IR-V-4 IR-V-IEC-4", VOLTS, 12_000.0, UP_TO),
    ("IR-V-5 IR-V-IEC-5", VOLTS, 12_000.0, ABOVE),
    ("IR-V-PLANT-1", VOLTS, 900.0, UP_TO),
    ("IR-V-PLANT-2", VOLTS, 900.0, ABOVE),
    ("IR-V-PLANT-2", VOLTS, 7000.0, UP_TO),
    ("IR-V-PLANT-3", VOLTS, 7000.0, ABOVE),
    ("IR-V-PLANT-3", VOLTS, 14_500.0, UP_TO),
    ("S-15-09-P S-15-09-T S-15-09-R", VOLTS, 3000.0, FROM),
    ("S-15-09-P S-15-09-T S-15-09-R", VOLTS, 15_000.0, UP_TO),
    ("S-LV S-LV-USED", VOLTS, 1000.0, UP_TO),
    ("AC-IEC-SMALL AC-IEC-OVERHAULED-SMALL", VOLTS, 100.0, BELOW),
    ("AC-IEC-SMALL", WATTS, 1000.0, BELOW),
    ("AC-IEC AC-IEC-REPEAT AC-IEC-PARTLY AC-IEC-OVERHAULED", VOLTS, 100.0, FROM),
    ("AC-IEC", WATTS, 1000.0, FROM),
    ("AC-IEC AC-IEC-REPEAT AC-IEC-PARTLY DC-IEC", VOLTS, 24_000.0, UP_TO),
    ("DC-IEC", VOLTS, 6000.0, ABOVE),
    ("AC-IEC-5A", VOLTS, 500.0, UP_TO),
    ("AC-IEC-5A-HIGH", VOLTS, 500.0, ABOVE),
    ("AC-AR100-BRUSHLESS", VOLTS, 350.0, UP_TO),
    ("AC-AR100-BRUSHLESS-HIGH", VOLTS, 350.0, ABOVE),
    ("DC-RAMP-RATE DC-STEP-SIZE", VOLTS, 2300.0, FROM),
    ("TAN-STEPS TAN-NEW TAN-NEW-STEP", VOLTS, 6000.0, FROM),
];

/// Rules for motors above and up to ½ hp and 250 V, which have both borders.
const SMALL: &str = "AC-NEMA-SMALL DC-AR100-SMALL";
const LARGE: &str =
    "AC-NEMA AC-NEMA-1S AC-AR100-REPEAT AC-AR100-RECONDITIONED AC-SERVICE-75 DC-AC-17 DC-AR100 DC-AR100-RECONDITIONED";

fn borders() -> Vec<(&'static str, &'static str, f64, [bool; 3])> {
    let mut all = Vec::new();
    let small = [(SMALL, UP_TO), (LARGE, ABOVE)];
    let both =
        small.iter().flat_map(|(ids, holds)| [(*ids, VOLTS, 250.0, *holds), (*ids, WATTS, HALF_HORSEPOWER, *holds)]);
    for (ids, field, at, holds) in BORDERS.into_iter().chain(both) {
        all.extend(ids.split(' ').map(|id| (id, field, at, holds)));
    }
    all
}

/// A condition of a rule as the data file writes it, and the rule's own.
fn conditions() -> Vec<(String, usize, toml::Table)> {
    let texts = ["insulation_resistance", "ratios_and_balance", "withstand", "surge", "dielectric", "service"];
    let mut all = Vec::new();
    for name in texts {
        let path = format!("{}/data/{name}.toml", env!("CARGO_MANIFEST_DIR"));
        let file: toml::Table = std::fs::read_to_string(path).unwrap().parse().unwrap();
        for rule in file["rule"].as_array().unwrap() {
            for (index, condition) in rule["applies"].as_array().unwrap().iter().enumerate() {
                all.push((rule["id"].as_str().unwrap().to_owned(), index, condition.as_table().unwrap().clone()));
            }
        }
    }
    all
}

/// Both ends of an interval, without those that no machine reaches.
fn ends(text: &str) -> Vec<f64> {
    assert!(Interval::parse(text).is_some(), "{text}");
    let numbers = text.trim_matches(['(', ')', '[', ']']).split(',').map(|end| end.trim().parse::<f64>().unwrap());
    numbers.filter(|end| *end > 0.0 && end.is_finite()).collect()
}

/// A figure within an interval.
fn within(text: &str) -> f64 {
    match ends(text)[..] {
        [from, to] => f64::midpoint(from, to),
        [one] if text.starts_with("(0") => one * 0.7,
        [one] => one * 1.3,
        _ => panic!("{text}"),
    }
}

/// A machine for which everything of a condition holds.
fn machine(condition: &toml::Table) -> Machine {
    let text = |field: &str| condition.get(field).and_then(toml::Value::as_str).map(str::to_owned);
    let first = |field: &str| condition.get(field)?.as_array()?.first()?.as_str().map(str::to_owned);
    let part = first("part").map(|part| toml::Value::String(part).try_into::<Part>().unwrap());
    Machine {
        rated_voltage_v: text(VOLTS).map(|interval| within(&interval)),
        rated_power_w: text(WATTS).map(|interval| within(&interval)),
        winding_kind: text("construction"),
        insulation_era: text("era"),
        insulation_class: first("insulation_class"),
        made_year: None,
        part: part.unwrap_or_default(),
        voltage_confirmed: true,
    }
}

#[test]
fn every_border_of_every_table_is_where_its_source_puts_it() {
    let (wanted, since) = (borders(), Preference::default().thermosetting_since);
    let (mut met, mut checked) = (BTreeSet::new(), 0);
    for (id, index, condition) in conditions() {
        let rule = rules().iter().find(|rule| rule.id == id).unwrap();
        for field in [VOLTS, WATTS] {
            let Some(interval) = condition.get(field).and_then(toml::Value::as_str) else { continue };
            for end in ends(interval) {
                let listed =
                    wanted.iter().position(|(rule, of, at, _)| *rule == id && *of == field && (*at - end).abs() < 1e-9);
                let listed = listed.unwrap_or_else(|| panic!("nobody lists the border of {id} at {end} of {field}"));
                met.insert(listed);
                let found = [end - 0.1, end, end + 0.1].map(|figure| {
                    let mut machine = machine(&condition);
                    *(if field == VOLTS { &mut machine.rated_voltage_v } else { &mut machine.rated_power_w }) =
                        Some(figure);
                    rule.applies[index].holds(&machine, since) == Applies::Yes
                });
                assert_eq!(found, wanted[listed].3, "{id} about {end} of {field}");
                checked += 1;
            }
        }
    }
    let unmet: Vec<_> = (0..wanted.len()).filter(|index| !met.contains(index)).map(|index| wanted[index]).collect();
    assert!(unmet.is_empty(), "the data have no such borders: {unmet:?}");
    assert!(checked >= wanted.len());
}

/// IEEE 43-2013 clause 12.2.2 (from memory; figure verified in a maker's manual): above 5000 MΩ the index means nothing.
#[test]
fn the_ceiling_of_the_index() {
    let machine = Machine { insulation_class: Some("155".into()), ..Machine::default() };
    let judged = |ohm: f64| machine.minimum_polarization_index(Some(ohm), Preference::default()).is_ok();
    assert_eq!([4.999e9, 5.0e9, 5.001e9].map(judged), UP_TO);
}

/// IEEE 43-2013 Table 2 (second-hand): 1.5 and 2.0 are kept at the figure itself.
#[test]
fn a_minimum_is_kept_at_its_figure() {
    for (class, least) in [("105", 1.5), ("130", 2.0), ("155", 2.0), ("180", 2.0)] {
        let machine = Machine { insulation_class: Some(class.into()), ..Machine::default() };
        let minimum = machine.minimum_polarization_index(None, Preference::default()).unwrap();
        let kept = |value: f64| minimum.as_minimum(value, windrow_model::Bound::Exact) == Standing::Kept;
        assert_eq!([least - 0.01, least, least + 0.01].map(kept), FROM, "class {class}");
    }
}

/// IEEE 43-2013 Table 3 (from memory): "before about 1970"; the year is a setting of the site, 1970 unless told.
#[test]
fn the_year_from_which_windings_count_as_thermosetting() {
    let minimum = |year: i32| {
        let machine = Machine {
            rated_voltage_v: Some(6600.0),
            winding_kind: Some("form".into()),
            made_year: Some(year),
            ..Machine::default()
        };
        machine.minimum_insulation_resistance(Preference::default()).unwrap().basis
    };
    for (year, rule) in [(1969, "rule IR-KV1 "), (1970, "rule IR-100 "), (1971, "rule IR-100 ")] {
        assert!(minimum(year).contains(rule), "{year}: {}", minimum(year));
    }
}

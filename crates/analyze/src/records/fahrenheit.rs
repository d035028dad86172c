//! # What it finds
//! A sheet whose temperatures in °C look like °F: too hot for any air, above the thermal class of the winding at rest, or matching
//! the ambient temperature only after conversion.
//! # How it is judged
//! `note`, by sheet, never by one reading: 75 °F is 24 °C, and a winding can be at 75 °C. From three temperatures of which each is
//! impossible as °C and possible as °F, or from five of which most match the ambient temperature as °F and not as °C.
//! # References
//! Highest air temperature ever recorded 56.7 °C (World Meteorological Organization, archive of extremes, from memory); thermal
//! classes: IEC 60085; (v − 32)/1.8 by the definition of the scale.

use super::found::{Doubt, key, lines, note, place};
use super::proposal::{entries, entry};
use super::sheets::BySheet;
use crate::loaded::{Loaded, SheetName, Test};
use windrow_model::{Finding, Question, Step};

/// No air on record was hotter, °C.
const HOTTEST_AIR_C: f64 = 57.0;
/// Fewest temperatures that are impossible as °C.
const FEWEST_IMPOSSIBLE: usize = 3;
/// Fewest pairs of winding and ambient temperature.
const FEWEST_PAIRS: usize = 5;
/// A winding at rest is within this of the air around it, K.
const AT_REST_K: f64 = 8.0;
/// And not so far from it, K.
const APART_K: f64 = 25.0;
/// Share of a sheet that must agree.
const SHARE: f64 = 0.8;

/// What a temperature says.
enum Says {
    Impossible(String),
    MatchesAsFahrenheit(String),
    Nothing,
}

/// °F to °C.
fn celsius(fahrenheit: f64) -> f64 {
    (fahrenheit - 32.0) / 1.8
}

fn says(test: Test<'_>) -> Says {
    let who = || format!("{}, {}", test.tag(), test.performed_on().map_or("no date".to_owned(), |day| day.to_string()));
    if let Some(air) = test.ambient_temperature_c()
        && air > HOTTEST_AIR_C
    {
        let as_celsius = celsius(air);
        return Says::Impossible(format!(
            "{}: ambient {air} °C, more than the {HOTTEST_AIR_C} °C of the hottest air on record; ({air} − 32)/1.8 = {as_celsius:.1} °C",
            who()
        ));
    }
    let Some(winding) = test.winding_temperature_c() else { return Says::Nothing };
    let class = test.insulation_class().and_then(|class| class.parse::<f64>().ok());
    if let Some(class) = class.filter(|class| winding > *class) {
        let as_celsius = celsius(winding);
        return Says::Impossible(format!(
            "{}: winding {winding} °C, above its thermal class {class}; ({winding} − 32)/1.8 = {as_celsius:.1} °C",
            who()
        ));
    }
    match test.ambient_temperature_c() {
        Some(air) if (winding - air).abs() > APART_K && (celsius(winding) - air).abs() < AT_REST_K => {
            Says::MatchesAsFahrenheit(format!(
                "{}: winding {winding} °C beside ambient {air} °C; ({winding} − 32)/1.8 = {:.1} °C",
                who(),
                celsius(winding)
            ))
        }
        _ => Says::Nothing,
    }
}

/// Findings by sheet.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let mut sheets: BySheet<Vec<Test<'_>>> = BySheet::default();
    for test in records.tests() {
        if test.winding_temperature_c().is_some() || test.ambient_temperature_c().is_some() {
            sheets.of(test).push(test);
        }
    }
    sheets.in_order(records).filter_map(|(sheet, tests)| of_sheet(sheet, &tests)).collect()
}

fn of_sheet(sheet: &SheetName, tests: &[Test<'_>]) -> Option<Finding> {
    let (mut impossible, mut matching) = (Vec::new(), Vec::new());
    for test in tests {
        match says(*test) {
            Says::Impossible(line) => impossible.push((line, *test)),
            Says::MatchesAsFahrenheit(line) => matching.push((line, *test)),
            Says::Nothing => {}
        }
    }
    let pairs =
        tests.iter().filter(|test| test.winding_temperature_c().is_some() && test.ambient_temperature_c().is_some());
    #[expect(clippy::cast_precision_loss, reason = "counts of tests")]
    let most = |count: usize, of: usize| count as f64 >= SHARE * of as f64;
    let is_told =
        impossible.len() >= FEWEST_IMPOSSIBLE || matching.len() >= FEWEST_PAIRS && most(matching.len(), pairs.count());
    // A temperature below that of freezing water would be far colder as °F: then not all of the column can be °F.
    let frozen = tests
        .iter()
        .any(|test| test.winding_temperature_c().or(test.ambient_temperature_c()).is_some_and(|told| told < 10.0));
    if !is_told || frozen {
        return None;
    }
    let count = impossible.len() + matching.len();
    let mut working = vec![Step::new(
        "rule",
        format!(
            "{} of {} tests of the sheet with a temperature speak for °F: {} cannot be °C, {} match the ambient temperature only as °F",
            count,
            tests.len(),
            impossible.len(),
            matching.len()
        ),
    )];
    let shown = impossible.iter().chain(&matching);
    working.extend(lines("data", shown.clone().map(|(line, _)| line.clone())));
    working.push(Step::new(
        "look_alike",
        "windings tested hot, soon after a stop; then the ambient temperatures stand near 20 °C as they are",
    ));
    Some(note(Doubt {
        rule: "fahrenheit_as_celsius",
        key: key(sheet),
        statement: format!(
            "{}: {count} temperatures read as °C look like °F. If they are, the insulation resistances of the sheet are corrected to 40 °C \
             from a wrong temperature.",
            place(sheet)
        ),
        value: shown.clone().next().and_then(|(_, test)| test.winding_temperature_c().or(test.ambient_temperature_c())),
        unit: "Cel",
        basis: "thermal class of the winding (IEC 60085), hottest air on record 56.7 °C (WMO), ambient temperature beside the winding's"
            .to_owned(),
        working,
        proposal: proposal(sheet, tests),
        evidence: shown.map(|(_, test)| test.test_id().to_string()).collect(),
        seen: tests.iter().filter_map(Test::performed_on).max(),
        ..Doubt::default()
    }))
}

/// All temperatures of the sheet; only those of the windings where the air beside them is right as it stands.
fn proposal(sheet: &SheetName, tests: &[Test<'_>]) -> Option<String> {
    let air_is_right = tests.iter().any(|test| test.ambient_temperature_c().is_some_and(|air| air <= HOTTEST_AIR_C));
    if !air_is_right {
        return entries([entry(Question::TemperatureUnit, "°F", sheet, None)]);
    }
    let cells = "the cells of the winding's temperatures, such as G4:G40";
    let why = "# put the cells of the winding's temperatures: the ambient ones beside them are right as they stand\n";
    entries([why.to_owned() + &entry(Question::TemperatureUnit, "°F", sheet, Some(cells))])
}

#[cfg(test)]
mod tests {
    use super::celsius;
    use crate::records::fixture::Records;
    use crate::records::fixture::test;

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn sheet(pairs: &[(f64, Option<f64>)]) -> Records {
        let tests = pairs.iter().enumerate().map(|(number, (winding, ambient))| {
            let mut test = test(&format!("M{}", number % 3), &format!("2001-{:02}-03", number + 1), "S");
            test.winding_temperature_c = Some(*winding);
            test.ambient_temperature_c = *ambient;
            test
        });
        Records { tests: tests.collect(), readings: Vec::new() }
    }

    /// 32 °F and 212 °F are the freezing and boiling points of water; −40 is the same on both scales.
    #[test]
    fn degrees_are_converted_by_the_definition_of_the_scales() {
        assert!((celsius(32.0)).abs() < 1e-12 && (celsius(212.0) - 100.0).abs() < 1e-12);
        assert!((celsius(-40.0) + 40.0).abs() < 1e-12);
    }

    #[test]
    fn air_hotter_than_any_on_record_and_windings_above_their_class_are_fahrenheit() {
        let hot_air = sheet(&[(75.0, Some(68.0)), (80.0, Some(72.0)), (78.0, Some(75.0))]);
        let found = find(&hot_air);
        assert_eq!(found.len(), 1);
        assert!(found[0].proposal.as_deref().unwrap().contains("answer = \"°F\""));
        assert!(
            found[0].working.iter().any(|step| step.detail.contains("(68 − 32)/1.8 = 20.0")),
            "{:?}",
            found[0].working
        );
        assert_eq!(find(&sheet(&[(140.0, None), (150.0, None), (141.0, None)])).len(), 1, "class 130");
    }

    #[test]
    fn windings_that_match_the_air_only_as_fahrenheit_are_told() {
        let pairs: Vec<(f64, Option<f64>)> =
            [(70.0, 21.0), (75.0, 24.0), (68.0, 19.5), (82.0, 27.0), (79.0, 26.0)].map(|(a, b)| (a, Some(b))).to_vec();
        assert_eq!(find(&sheet(&pairs)).len(), 1);
        assert!(find(&sheet(&pairs[..4])).is_empty(), "four pairs are too few");
    }

    /// Windings tested soon after a stop scatter between ambient and their running temperature.
    #[test]
    fn hot_windings_are_not_fahrenheit() {
        let pairs = [(62.0, 22.0), (75.0, 24.0), (95.0, 23.0), (48.0, 22.0), (88.0, 21.0), (55.0, 25.0)];
        assert!(find(&sheet(&pairs.map(|(a, b)| (a, Some(b))))).is_empty());
        assert!(find(&sheet(&[(75.0, None), (80.0, None), (72.0, None), (77.0, None), (70.0, None)])).is_empty());
        assert!(
            find(&sheet(&[(140.0, None), (150.0, None), (141.0, None), (5.0, None)])).is_empty(),
            "5 °F is freezing hard"
        );
    }
}

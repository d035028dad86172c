//! Labels of record keeping (dictionary, sections 4 to 7: common practice, no source).

use super::read;
use crate::circuit::Named;
use crate::vocabulary::Concept;
use proptest::prelude::*;

fn concept(text: &str) -> Option<Concept> {
    read(text).concept()
}

#[test]
fn names_of_elements_are_words_beside_other_words_too() {
    let label = read("isolementCorrige40C phase");
    assert_eq!(label.reference_c, Some(40.0));
    assert!(label.unexplained.is_empty(), "{label:?}");
    // Units keep their capitals.
    assert_eq!(read("Riso (kOhm)").units.first().map(|unit| unit.unit.ucum), Some("kOhm"));
    assert_eq!(read("R winding milliOhm").units.first().map(|unit| unit.unit.ucum), Some("mOhm"));
}

#[test]
fn a_letter_behind_a_word_for_temperature_is_its_unit() {
    assert_eq!(read("TEMP F WINDING").units.first().map(|unit| unit.unit.ucum), Some("[degF]"));
    assert_eq!(read("Temp C wdg").units.first().map(|unit| unit.unit.ucum), Some("Cel"));
}

#[test]
fn a_resistance_to_earth_is_not_the_windings() {
    for text in ["Résistance bobinage / masse", "Resistance coils to earth", "Resistencia bobina a tierra"] {
        assert_ne!(concept(text), Some(Concept::WindingResistance), "{text}");
    }
}

#[test]
fn labels_in_four_languages() {
    for (text, expected) in [
        ("Tag", Concept::Tag),
        ("Machine", Concept::Tag),
        ("Kennzeichen", Concept::Tag),
        ("N° moteur", Concept::Tag),
        ("Date", Concept::Date),
        ("Prüfdatum", Concept::Date),
        ("Pruefdatum", Concept::Date),
        ("Date d'essai", Concept::Date),
        ("Fecha de ensayo", Concept::Date),
        ("TESTDATE", Concept::Date),
        ("Test voltage (V)", Concept::TestVoltage),
        ("Test V", Concept::TestVoltage),
        ("Prüfspannung V", Concept::TestVoltage),
        ("Tension d'essai (kV)", Concept::TestVoltage),
        ("Wickl.-Temp. °C", Concept::WindingTemperature),
        ("Winding temp (°C)", Concept::WindingTemperature),
        ("Temp. enroulement (°C)", Concept::WindingTemperature),
        ("Temp. devanado", Concept::WindingTemperature),
        ("R.H.", Concept::Humidity),
        ("P.I.", Concept::PolarizationIndex),
        ("R10/R1", Concept::PolarizationIndex),
        ("10 min / 1 min", Concept::PolarizationIndex),
        ("60/30", Concept::AbsorptionRatio),
        ("R60/R15", Concept::AbsorptionRatio),
        ("Résistance d'isolement (GΩ)", Concept::InsulationResistance),
        ("Riso", Concept::InsulationResistance),
        ("Serial No.", Concept::Serial),
        ("Leakage, µA", Concept::LeakageCurrent),
        ("Remarks", Concept::Remarks),
        ("Unbalance %", Concept::Unbalance),
        ("Onde de choc, écart (%)", Concept::SurgeDifference),
        ("Peak deviation %", Concept::Unbalance),
        ("WDG_TEMP_C", Concept::WindingTemperature),
        ("TEMP F WINDING", Concept::WindingTemperature),
        ("windingResistance", Concept::WindingResistance),
        ("Résistance bobinage", Concept::WindingResistance),
        ("Widerstand der Spule", Concept::WindingResistance),
        ("Last year", Concept::EarlierReading),
        ("Vorjahr", Concept::EarlierReading),
        ("Année précédente", Concept::EarlierReading),
        ("Año anterior", Concept::EarlierReading),
        ("winding-temperature", Concept::WindingTemperature),
        ("Winding temperature at test, °C", Concept::WindingTemperature),
        ("Stator, temp. °C", Concept::WindingTemperature),
        ("Tª dev. (ºC)", Concept::WindingTemperature),
        ("T° bob.", Concept::WindingTemperature),
        ("Tw", Concept::WindingTemperature),
        ("Ux kV", Concept::TestVoltage),
        ("Temp. de mesure, local", Concept::AmbientTemperature),
    ] {
        assert_eq!(concept(text), Some(expected), "{text}: {:?}", read(text));
    }
}

#[test]
fn components_are_cut_out() {
    let label = read("Insulation resistance to earth, 1 min, MΩ");
    assert_eq!((label.elapsed_s, label.units[0].unit.ucum), (Some(60.0), "MOhm"));
    assert_eq!(label.circuits[0].named, Named::ToEarth);
    assert_eq!(label.concept(), Some(Concept::InsulationResistance));
    assert!(label.unexplained.is_empty(), "{:?}", label.unexplained);
    assert_eq!(read("MOHM_1MIN").elapsed_s, Some(60.0));
    assert_eq!(read("MOHM_1MIN").units[0].unit.ucum, "MOhm");
    assert_eq!(read("R60").elapsed_s, Some(60.0));
    assert_eq!(read("10'").elapsed_s, Some(600.0));
    for (text, seconds) in [
        ("R15s [MΩ]", 15.0),
        ("R60s", 60.0),
        ("R10min [GΩ]", 600.0),
        ("R10min", 600.0),
        ("Riso 30s (MΩ)", 30.0),
        ("RISO_60s", 60.0),
        ("Iso 1min", 60.0),
        ("IR 1' MΩ", 60.0),
        ("R1 min", 60.0),
        ("Isol. phases/masse à 1 mn", 60.0),
        ("Aisl. a los 10 min", 600.0),
    ] {
        let label = read(text);
        assert_eq!(
            (label.elapsed_s, concept(text)),
            (Some(seconds), Some(Concept::InsulationResistance)),
            "{text}: {label:?}"
        );
    }
    assert_eq!(read("Isol. phases/masse à 1 mn").circuits[0].named, Named::All);
    assert_eq!(read("30 s").elapsed_s, Some(30.0));
    for text in ["run 4 h 20 min", "4h 20 min", "hot, 40 s after stop", "20 min nach Stillstand", "marche 30 min"] {
        assert_eq!(read(text).elapsed_s, None, "{text}");
    }
    assert_eq!(read("R after 1 min (MΩ)").elapsed_s, Some(60.0));
    assert_eq!(read("IR40 (MΩ)").reference_c, Some(40.0));
    assert_eq!(read("MΩ at 40 °C").reference_c, Some(40.0));
    assert_eq!(read("All values corrected to 25 °C, milliohms").reference_c, Some(25.0));
    assert_eq!(read("U-V").circuits[0].named, Named::Pair(0, 1));
    assert_eq!(read("U (GΩ)").circuits[0].named, Named::Phase(0));
    assert_eq!(read("U (GΩ)").units[0].unit.ucum, "GOhm");
    assert_eq!(read("MEG_V_E").units[0].unit.ucum, "MOhm");
    assert_eq!(read("MEG_V_E").circuits[0].named, Named::PhaseToEarth(1));
    assert_eq!(read("A gegen Erde").circuits[0].named, Named::PhaseToEarth(0));
    assert!(read("A gegen Erde").units.is_empty());
    assert_eq!(read("S - T Ω").units[0].unit.ucum, "Ohm");
    assert_eq!(read("Test V").units[0].unit.ucum, "V");
    assert_eq!(read("WDG_TEMP_C").units[0].unit.ucum, "Cel");
    assert_eq!(read("Ambient F").units[0].unit.ucum, "[degF]");
    assert!(read("Minimum 100 MΩ").statistic.is_some());
    assert!(read("Average").statistic.is_some());
}

#[test]
fn symbols_over_their_units_tell_the_unit() {
    for (text, unit) in [("Tw/°C", "Cel"), ("U/kV", "kV"), ("C/nF", "nF"), ("R_iso/MΩ", "MOhm"), ("I / µA", "uA")] {
        assert_eq!(read(text).units.first().map(|meaning| meaning.unit.ucum), Some(unit), "{text}");
    }
    assert_eq!(read("U/E").circuits.first().map(|meaning| meaning.named), Some(Named::PhaseToEarth(0)));
}

#[test]
fn units_before_to_and_volts_of_a_plant_are_what_they_are() {
    assert_eq!(read("MEGOHMS TO HULL").units.first().map(|meaning| meaning.unit.ucum), Some("MOhm"));
    assert_eq!(read("Iso-Werte 24 V-Meldeanlage nicht enthalten").voltage_v, None);
    assert_eq!(read("bei 500 V-DC gemessen").voltage_v, Some(500.0));
    assert_eq!(read("16.7 V/s").voltage_v, None, "a rate");
    let ramp = read("DC ramp, 1 kV/min");
    assert_eq!((ramp.voltage_v, ramp.elapsed_s), (None, None), "a rate");
    let timed = read("IR 500 V/1 min");
    assert_eq!((timed.voltage_v, timed.elapsed_s), (Some(500.0), Some(60.0)));
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,80}") {
        let _ = read(&text);
    }
}

/// Wordings of rows of corrected values: common practice, no source.
#[test]
fn a_correction_names_its_reference_with_or_without_a_word_between() {
    for text in ["corr. 40 °C", "corrigé 40 °C", "korr. 40 °C", "corrected to 40 °C", "Corr. to 40 °C"] {
        assert_eq!(super::read(text).reference_c, Some(40.0), "{text}");
    }
}

#[test]
fn voltages_with_a_mark_of_thousands_are_those_of_tests() {
    for (text, volts) in
        [("1.000 V", 1000.0), ("60.000 V", 60_000.0), ("12,500 V DC", 12_500.0), ("500 V", 500.0), ("50 V", 50.0)]
    {
        assert_eq!(read(text).voltage_v, Some(volts), "{text}");
    }
}

#[test]
fn a_letter_beside_a_time_is_a_phase_and_no_volt() {
    let label = super::read("V nach 1 min");
    assert!(label.units.is_empty() && !label.circuits.is_empty(), "{label:?}");
    assert_eq!(super::read("V").units.first().map(|unit| unit.unit.ucum), Some("V"));
}

#[test]
fn names_without_gaps_are_parted_into_words() {
    assert_eq!(concept("TESTVOLTS"), Some(Concept::TestVoltage));
    assert_eq!(concept("ASSETNO"), Some(Concept::Tag));
    let short = read("WDGC");
    assert_eq!(short.concept(), Some(Concept::WindingTemperature));
    assert_eq!(short.units.first().map(|meaning| meaning.unit.symbol), Some("°C"));
    assert_eq!(read("MISC").concept(), None);
    let label = read("WDGTEMPC");
    assert_eq!(label.concept(), Some(Concept::WindingTemperature));
    assert_eq!(label.units.first().map(|unit| unit.unit.ucum), Some("Cel"));
    let label = read("IR10MINMEG");
    assert_eq!((label.concept(), label.elapsed_s), (Some(Concept::InsulationResistance), Some(600.0)));
    assert_eq!(label.units.first().map(|unit| unit.unit.ucum), Some("MOhm"));
    // A word that is left over leaves the whole name unexplained.
    assert_eq!(read("KESSELPUMPE").unexplained, ["kesselpumpe"]);
    assert_eq!(read("MOTORC").unexplained, ["motorc"], "a letter is a unit behind a temperature only");
}

#[test]
fn a_unit_in_a_field_name_stays_whole() {
    let label = read("at_kV");
    assert_eq!(label.units.first().map(|unit| unit.unit.ucum), Some("kV"));
    // "Pico" is the peak in Spanish.
    let label = read("PICO_V");
    assert_eq!(label.concept(), Some(Concept::SurgeVoltage));
    assert_eq!(label.units.first().map(|unit| unit.unit.ucum), Some("V"));
}

/// Headings of limits and of earlier values: common practice, no source.
#[test]
fn the_least_and_the_last_of_a_resistance_are_no_readings() {
    for text in
        ["Min megohm", "MINMEGOHM", "Min. IR MΩ", "Isolement mini MΩ", "Aislamiento mín. MΩ", "Max MΩ", "R min MOhm"]
    {
        assert!(read(text).statistic.is_some(), "{text}");
    }
    for text in
        ["LASTMEGOHM", "Last MΩ", "Prev megohm", "OLDMEGOHM", "Letzter Wert MΩ", "MΩ précédent", "Megaohmios anterior"]
    {
        assert_eq!(concept(text), Some(Concept::EarlierReading), "{text}");
    }
    for text in ["IR 1 min MΩ", "MOHM_1MIN", "IR10MINMEG", "New megohm", "Riso 10 Min. MΩ"] {
        let label = read(text);
        assert!(label.statistic.is_none() && label.concept() != Some(Concept::EarlierReading), "{text}");
    }
    assert!(read("TEMPMAXC").concepts.is_empty(), "which temperature is not told");
}

#[test]
fn a_terminal_before_a_unit_is_no_prefix_of_it() {
    for text in ["W/U ohms", "U/V ohms", "W-U ohms"] {
        let label = read(text);
        assert_eq!(label.units.first().map(|best| best.unit.ucum), Some("Ohm"), "{text}");
        assert!(matches!(label.circuits.first().map(|best| best.named), Some(Named::Pair(..))), "{text}");
    }
}

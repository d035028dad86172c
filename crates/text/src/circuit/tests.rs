//! Spellings of circuits.

use super::{Named, Naming, read, resolve};
use proptest::prelude::*;
use windrow_model::Circuit;

fn best(text: &str) -> Option<Named> {
    read(text).into_iter().max_by(|a, b| a.weight.total_cmp(&b.weight)).map(|meaning| meaning.named)
}

/// Spellings of connections: record-keeping dictionary, section 6 (common practice, no source).
#[test]
fn connections_in_every_spelling() {
    for text in
        ["A-G", "A/G", "A to Gnd", "A-E", "phase A to earth", "U-PE", "U-Masse", "U gegen Erde", "L1-PE", "R-earth"]
    {
        assert_eq!(best(text), Some(Named::PhaseToEarth(0)), "{text}");
    }
    for text in [
        "all phases to earth",
        "windings to earth",
        "enroulements contre masse",
        "UVW-PE",
        "ABC-G",
        "Wicklung gegen Erde",
        "3ø-GND",
        "todas las fases a tierra",
        "toutes phases à la masse",
        "Windings to frame",
        "alle Phasen gegen Erde",
        "phases/masse",
        "phases/masse à",
        "phases / masse a",
        "Phases-terre",
        "3 phases / masse",
        "les 3 phases à la masse",
        "Phasen gegen Erde",
        "Phasen-Erde",
        "3 Phasen gegen PE",
        "Stränge gegen Gehäuse",
        "Phasen zum Gehäuse",
        "devanado completo a tierra",
        "complete winding to earth",
        "gesamte Wicklung gegen Erde",
        "U, V, W gemeinsam gegen Masse",
        "phases par rapport à la masse",
        "fases-tierra",
        "Fases a tierra",
        "las tres fases contra masa",
        "phases to earth",
        "leads to ground",
        "wdg to ground",
        "Wdgs / E",
        "Stator / masse",
        "Ständer gegen Erde",
        "Bobinage / masse",
        "bobinado-tierra",
        "Wickl. - Erde",
    ] {
        assert_eq!(best(text), Some(Named::All), "{text}");
    }
    // One phase, or each of them in turn: which is not told.
    for text in [
        "to earth",
        "gegen Erde",
        "à la terre",
        "a tierra",
        "contre masse",
        "Ph./masse",
        "phase/masse",
        "Phase gegen Erde",
        "fase-tierra",
        "ph to ground",
    ] {
        assert_eq!(best(text), Some(Named::ToEarth), "{text}");
    }
    for (text, pair) in [
        ("U-V", (0, 1)),
        ("W-U", (2, 0)),
        ("T1-T2", (0, 1)),
        ("B/C", (1, 2)),
        ("2-3", (1, 2)),
        ("R-Y", (0, 1)),
        ("S-T", (1, 2)),
    ] {
        assert_eq!(best(text), Some(Named::Pair(pair.0, pair.1)), "{text}");
    }
    assert_eq!(best("phase 2"), Some(Named::Phase(1)));
    assert_eq!(best("Strang V"), Some(Named::Phase(1)));
    assert_eq!(best("U1-U2"), Some(Named::Phase(0)));
    for (text, circuit) in [
        ("rotor to earth", Circuit::RotorToEarth),
        ("Läuferwicklung gegen Erde", Circuit::RotorToEarth),
        ("Shunt field", Circuit::FieldToEarth),
        ("Inducteur", Circuit::FieldToEarth),
        ("Arm.", Circuit::ArmatureToEarth),
    ] {
        assert_eq!(best(text), Some(Named::Special(circuit)), "{text}");
    }
    assert_eq!(best("Stator"), Some(Named::ToEarth), "which terminals is not told");
}

#[test]
fn two_windings_have_no_code_and_t_or_m_may_be_earth() {
    for text in ["Anker–Erregung", "induit / inducteur", "armature to field"] {
        assert_eq!(best(text), Some(Named::OtherWinding), "{text}");
    }
    for (text, index) in [("Fase U - T", 0), ("V-T", 1), ("U-M", 0), ("W / M", 2), ("Ph1-T", 0), ("Ph3/M", 2)] {
        assert_eq!(best(text), Some(Named::PhaseToEarth(index)), "{text}");
    }
    assert_eq!(best("UVW - T"), Some(Named::All));
}

/// Old marks of begin and end of a phase (from memory: in use before IEC 60034-8 had U1-U2); T for earth where no phase can be meant.
#[test]
fn ends_of_a_phase_and_a_t_against_itself() {
    for (text, index) in [("U-X", 0), ("V/Y", 1), ("w - z", 2), ("U1-U2", 0)] {
        assert_eq!(best(text), Some(Named::Phase(index)), "{text}");
    }
    assert_eq!(best("T-T"), Some(Named::TToTierra));
    assert_eq!(best("R-T"), Some(Named::Pair(0, 2)));
    assert_eq!(best("U X"), None);
}

#[test]
fn words_are_no_circuits() {
    for text in ["Tag", "By", "1", "12", "Date", "Remarks", "Test V", "Temp", "Machine", "P-101A", "1 min"] {
        assert!(best(text).is_none(), "{text}: {:?}", read(text));
    }
}

#[test]
fn a_hull_is_earth_and_a_motor_vessel_is_none() {
    assert_eq!(best("U to hull"), Some(Named::PhaseToEarth(0)));
    assert_eq!(best("V/M"), Some(Named::PhaseToEarth(1)));
    assert_eq!(best("M/V"), None);
    assert_eq!(best("Line - m.v."), None);
    assert_eq!(best("I phase 2 / masse"), Some(Named::PhaseToEarth(1)));
    assert_eq!(best("Phase I - E"), Some(Named::PhaseToEarth(0)));
}

#[test]
fn between_phases_and_to_earth_is_neither() {
    for text in ["entre fases y a masa", "zwischen Phasen und gegen Erde", "between phases and to earth"] {
        assert_eq!(best(text), None, "{text}");
    }
}

#[test]
fn a_letter_alone_is_open() {
    let namings: Vec<_> = read("R").into_iter().filter_map(|meaning| meaning.naming).collect();
    assert_eq!(namings, [Naming::Rst, Naming::Ryb]);
    assert!(read("R").iter().all(|meaning| meaning.weight < 0.5));
    assert_eq!(resolve(Named::Pair(2, 0), false), Some(Circuit::WToU));
}

proptest! {
    #[test]
    fn no_text_panics(text in "\\PC{0,40}") {
        let _ = read(&text);
    }
}

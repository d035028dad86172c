//! Windings of machines that have more than a stator's.

use super::words::{ALL, EARTH, FILLER};
use super::{CircuitMeaning, Named};
use windrow_model::Circuit;

/// Words that name the winding. Common practice, no source.
const ROTOR: &[&str] = &["rotor", "laufer", "roteur", "lauferwicklung", "rotorwicklung"];
const FIELD: &[&str] = &[
    "field",
    "fld",
    "feld",
    "feldwicklung",
    "erregerwicklung",
    "erreger",
    "erregung",
    "inducteur",
    "inducteurs",
    "champ",
    "campos",
    "excitation",
    "excitacion",
    "campo",
    "inductor",
];
const ARMATURE: &[&str] = &["armature", "arm", "anker", "ankerwicklung", "induit", "armadura", "inducido"];
/// Words that may stand beside the name.
const BESIDE: &[&str] = &["main", "coils", "coil", "circuit", "shunt"];

/// Rotor, field and armature windings.
pub(super) fn special(words: &[&str]) -> Option<CircuitMeaning> {
    let kinds = [(ROTOR, Circuit::RotorToEarth), (FIELD, Circuit::FieldToEarth), (ARMATURE, Circuit::ArmatureToEarth)];
    let mut all = words
        .iter()
        .filter_map(|word| kinds.iter().find(|(names, _)| names.contains(word)).map(|(_, circuit)| *circuit));
    let named = all.next()?;
    // Two windings against each other have no code.
    if all.any(|other| other != named) {
        return None;
    }
    let is_known = |word: &&str| {
        let lists = [EARTH, FILLER, ALL, BESIDE, ROTOR, FIELD, ARMATURE];
        lists.iter().any(|list| list.contains(word))
    };
    words.iter().all(is_known).then_some(CircuitMeaning { named: Named::Special(named), naming: None, weight: 0.8 })
}

//! Windings of machines that have more than a stator's.

use super::words::{ALL, EARTH, FILLER, STATOR};
use super::{CircuitMeaning, Named};
use windrow_model::Circuit;

/// Words that name the winding. Common practice, no source.
const ROTOR: &[&str] = &["rotor", "laufer", "roteur", "lauferwicklung", "rotorwicklung"];
const FIELD: &[&str] = &[
    "field",
    "fields",
    "fld",
    "induct",
    "feld",
    "feldwicklung",
    "hauptfeld",
    "hauptfeldwicklung",
    "hauptpole",
    "hauptpolwicklung",
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
/// Words that are short for an armature beside another word only: "Ind/masa", "Ind/campo".
const ARMATURE_BESIDE: &[&str] = &["ind", "indu"];
/// Words that are short for a field beside a word for earth only: "HF g. Geh.".
const FIELD_TO_EARTH: &[&str] = &["hf", "hpw", "nebenschluss", "nebenschlusswicklung"];
/// Words that are short for another winding of a machine with a commutator, beside a word for earth only: "WP g. Geh.".
const OTHER_TO_EARTH: &[&str] = &["wp", "wpw", "kw", "kpw"];
/// Words of the other windings of machines with a commutator, which have no code. Common practice, no source.
const OTHER: &[&str] = &[
    "interpole",
    "interpoles",
    "compole",
    "compoles",
    "commutating",
    "wendepol",
    "wendepole",
    "wendepolwicklung",
    "kompensationswicklung",
    "reihenschlusswicklung",
    "interpolo",
    "interpolos",
];
/// Words that name such a winding beside one of those, or beside a word for poles, and other things alone.
const OTHER_BESIDE: &[&str] = &[
    "pole",
    "poles",
    "pol",
    "polos",
    "polo",
    "auxiliaires",
    "auxiliares",
    "commutation",
    "conmutacion",
    "compensation",
    "compensating",
    "kompensation",
    "compensacion",
    "series",
    "serie",
];
/// Two words that name such a winding together.
const OTHER_PAIRS: [(&str, &str); 10] = [
    ("poles", "auxiliaires"),
    ("poles", "commutation"),
    ("poles", "aux"),
    ("polos", "aux"),
    ("polos", "auxiliares"),
    ("polos", "conmutacion"),
    ("series", "field"),
    ("series", "winding"),
    ("compensating", "winding"),
    ("inducteur", "serie"),
];
/// What rotors and slip rings are measured against; a shaft alone is no earth.
const SHAFT: &[&str] = &["shaft", "welle", "arbre", "eje"];
/// Slip rings: against earth or shaft, the rotor that ends in them.
const RINGS: &[&str] = &[
    "rings",
    "ring",
    "slip",
    "sliprings",
    "slipring",
    "schleifringe",
    "schleifring",
    "bagues",
    "collectrices",
    "anillos",
    "rozantes",
];
/// Words that may stand beside the name.
const BESIDE: &[&str] = &["main", "coils", "coil", "circuit", "shunt", "nebenschluss"];

/// Rotor, field, armature and other windings.
pub(super) fn special(words: &[&str]) -> Option<CircuitMeaning> {
    if let Some(other) = other_winding(words) {
        return Some(other);
    }
    let kinds = [(ROTOR, Circuit::RotorToEarth), (FIELD, Circuit::FieldToEarth), (ARMATURE, Circuit::ArmatureToEarth)];
    let kind = |word: &&&str| {
        let is_short = words.len() >= 2 && ARMATURE_BESIDE.contains(word);
        let named = kinds.iter().find(|(names, _)| names.contains(word)).map(|(_, circuit)| *circuit);
        let is_field = is_earthed(words) && FIELD_TO_EARTH.contains(word);
        named.or(is_short.then_some(Circuit::ArmatureToEarth)).or(is_field.then_some(Circuit::FieldToEarth))
    };
    let all = words.iter().filter_map(|word| kind(&word));
    let mut all: Vec<Circuit> = all.collect();
    // "Rotor (field winding)": the field that turns, named twice.
    if all.contains(&Circuit::FieldToEarth) {
        all.retain(|circuit| *circuit != Circuit::RotorToEarth);
    }
    let Some(named) = all.first().copied() else { return rings(words) };
    // "Rotor and stator to frame" is neither.
    if words.iter().any(|word| STATOR.contains(word)) {
        return None;
    }
    let is_between = all.iter().any(|other| *other != named);
    let is_known = |word: &&str| {
        let lists = [EARTH, FILLER, ALL, BESIDE, ROTOR, FIELD, FIELD_TO_EARTH, ARMATURE, ARMATURE_BESIDE, RINGS, SHAFT];
        lists.iter().any(|list| list.contains(word))
    };
    // Two windings against each other have no code.
    let named = if is_between { Named::OtherWinding } else { Named::Special(named) };
    words.iter().all(is_known).then_some(CircuitMeaning { named, naming: None, weight: 0.8 })
}

/// Whether a folded word names a winding that is none of a stator's.
pub(super) fn names_winding(word: &str) -> bool {
    [ROTOR, FIELD, ARMATURE].iter().any(|list| list.contains(&word))
}

/// Whether a word for earth stands among others; a letter alone may be short for anything.
fn is_earthed(words: &[&str]) -> bool {
    words.len() >= 2 && words.iter().any(|word| word.len() > 1 && EARTH.contains(word))
}

/// "Slip rings to shaft", "Schleifringe gegen Masse".
fn rings(words: &[&str]) -> Option<CircuitMeaning> {
    let has = |list: &[&str]| words.iter().any(|word| list.contains(word));
    let is_known = |word: &&str| [EARTH, FILLER, RINGS, SHAFT].iter().any(|list| list.contains(word));
    let is_earthed = has(SHAFT) || is_earthed(words);
    (has(RINGS) && is_earthed && words.iter().all(is_known)).then_some(CircuitMeaning {
        named: Named::Special(Circuit::RotorToEarth),
        naming: None,
        weight: 0.8,
    })
}

/// "Interpoles - E", "pôles auxiliaires", "Wendepole + Kompensation". With an armature it is that circuit, which nothing here names.
fn other_winding(words: &[&str]) -> Option<CircuitMeaning> {
    let has = |word: &str| words.contains(&word);
    let is_short = is_earthed(words) && words.iter().any(|word| OTHER_TO_EARTH.contains(word));
    let is_named = is_short
        || words.iter().any(|word| OTHER.contains(word))
        || OTHER_PAIRS.iter().any(|(one, two)| has(one) && has(two));
    let is_known = |word: &&str| {
        let words: &[&str] = &["winding", "windings", "wicklung", "field"];
        let lists = [EARTH, FILLER, BESIDE, OTHER, OTHER_TO_EARTH, OTHER_BESIDE, words];
        lists.iter().any(|list| list.contains(word))
    };
    (is_named && words.iter().all(is_known)).then_some(CircuitMeaning {
        named: Named::OtherWinding,
        naming: None,
        weight: 0.8,
    })
}

#[cfg(test)]
mod tests {
    use crate::circuit::{Named, read};
    use windrow_model::Circuit;

    /// Windings of machines with a commutator: common practice, no source.
    #[test]
    fn windings_without_a_code_are_named_and_no_others() {
        for text in [
            "Interpole - E",
            "Interpoles to frame",
            "Wendepole + Kompensation",
            "Wendepolwicklung gegen Gehäuse",
            "pôles auxiliaires / masse",
            "polos de conmutación",
            "series field",
            "Anker gegen Feld",
            "Induit / inducteur",
            "WP g. Geh.",
            "KW gegen Gehäuse",
            "pôles aux. / masse",
        ] {
            let named: Vec<Named> = read(text).into_iter().map(|meaning| meaning.named).collect();
            assert_eq!(named, [Named::OtherWinding], "{text}");
        }
        for text in [
            "Kompensation",
            "compensation",
            "Serie",
            "poles",
            "Anker + Wendepole",
            "commutation",
            "WP",
            "75 KW",
            "KW - E",
        ] {
            assert!(read(text).iter().all(|meaning| meaning.named != Named::OtherWinding), "{text}");
        }
        for text in
            ["Rotor to shaft", "Läuferwicklung gegen Welle", "slip rings - earth", "anillos a eje", "bagues / masse"]
        {
            assert_eq!(
                read(text).first().map(|meaning| meaning.named),
                Some(Named::Special(Circuit::RotorToEarth)),
                "{text}"
            );
        }
        for text in [
            "slip rings",
            "Schleifringe",
            "shaft",
            "U gegen Welle",
            "drive shaft",
            "Läufer und Ständer gegen Masse",
            "rotor / stator - E",
        ] {
            assert!(read(text).iter().all(|meaning| !matches!(meaning.named, Named::Special(_))), "{text}");
        }
        assert!(read("HF").iter().all(|meaning| !matches!(meaning.named, Named::Special(_))), "short for many things");
        for text in [
            "HF g. Geh.",
            "Hauptfeld gegen Masse",
            "Nebenschluss (Feld)",
            "Rotor (devanado de campo) contra tierra",
            "field winding (rotor) - E",
        ] {
            let field = read(text);
            assert_eq!(
                field.first().map(|meaning| meaning.named),
                Some(Named::Special(Circuit::FieldToEarth)),
                "{text}"
            );
        }
    }
}

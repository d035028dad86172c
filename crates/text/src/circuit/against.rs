//! "U gegen V+W+PE": one phase against all the rest, which is earthed.

use super::words::{EARTH, PHASE_WORDS, phases};
use super::{CircuitMeaning, Named};
use crate::fold::fold;

/// What stands between the phase and the rest.
const LINKS: [&str; 9] = [" gegen ", " to ", " vs ", " against ", " contre ", " contra ", "/", ">", "-"];

/// The phase that a text sets against the other phases and earth together.
pub(super) fn read(text: &str) -> Vec<CircuitMeaning> {
    if !text.contains(['+', '&', ',']) {
        return Vec::new();
    }
    let Some((link, (phase, rest))) = LINKS.iter().find_map(|link| Some((link, text.split_once(link)?))) else {
        return Vec::new();
    };
    // "U gegen V, W, Masse" names one connection, "U-V, W-E" two.
    let marks: &[char] = if link.starts_with(' ') { &['+', '&', ','] } else { &['+', '&'] };
    if !rest.contains(marks) {
        return Vec::new();
    }
    let parts: Vec<String> = rest.split(marks).flat_map(|part| letters_apart(fold(part).trim())).collect();
    let is_earth = |part: &String| EARTH.contains(&part.as_str());
    if !parts.iter().any(is_earth) {
        return Vec::new();
    }
    let phase = fold(phase);
    let named = phase.trim().split_once(' ').filter(|(word, _)| PHASE_WORDS.contains(word));
    let alone = phases(named.map_or(phase.trim(), |(_, name)| name));
    let is_rest = |(index, naming): &(u8, super::Naming)| {
        let is_other = |part: &String| phases(part).iter().any(|(other, same)| same == naming && other != index);
        parts.iter().filter(|part| !is_earth(part)).all(is_other)
    };
    let meant = alone.into_iter().filter(is_rest);
    meant
        .map(|(index, naming)| CircuitMeaning { named: Named::PhaseToEarth(index), naming: Some(naming), weight: 0.95 })
        .collect()
}

/// "vw" in its letters: two phases written as one word.
fn letters_apart(part: &str) -> Vec<String> {
    let letters: Vec<String> = part.chars().map(String::from).collect();
    let are_phases = letters.len() == 2 && letters.iter().all(|letter| !phases(letter).is_empty());
    if are_phases && phases(part).is_empty() { letters } else { vec![part.to_owned()] }
}

#[cfg(test)]
mod tests {
    use crate::circuit::{Named, read};

    #[test]
    fn a_phase_against_the_earthed_rest_is_that_phase_to_earth() {
        for (text, index) in [
            ("U gegen V+W+PE", 0),
            ("V / U+W+E", 1),
            ("C to A+B+GND", 2),
            ("T contra R+S+tierra", 2),
            ("L2 - L1+L3+PE", 1),
            ("U gegen V, W, Masse", 0),
            ("W contre U, V, masse", 2),
            ("Phase U gegen V+W+Erde", 0),
            ("Fase S contra R+T+tierra", 1),
            ("U gegen VW+Gehäuse", 0),
        ] {
            assert_eq!(read(text).first().map(|meaning| meaning.named), Some(Named::PhaseToEarth(index)), "{text}");
        }
        assert!(read("U+V+W gegen PE").iter().all(|meaning| meaning.named == Named::All));
    }
}

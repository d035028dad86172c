//! Names of phases and connections.

mod against;
mod joined;
mod pair_in_words;
mod special;
#[cfg(test)]
mod tests;
mod words;

use crate::fold::fold;
pub use joined::{is_tied, joined};
use special::special;
use std::borrow::Cow;
use windrow_model::Circuit;
pub(crate) use words::phases;
use words::{
    AGAINST, ALL, BETWEEN, EARTH, EARTH_ALONE, FILLER, PHASE_WORDS, SEVERAL_PHASES, STATOR, THREE, TO_NEXT, WHOLE,
};

/// The three connections that a text lists in their order ("between terminals (U-V, V-W, W-U)"); `None` where it lists no three pairs.
#[must_use]
pub fn listed(text: &str) -> Option<[Vec<CircuitMeaning>; 3]> {
    let is_pair = |meaning: &CircuitMeaning| matches!(meaning.named, Named::Pair(..)) && meaning.weight >= 0.5;
    let pieces: Vec<Vec<CircuitMeaning>> =
        text.split([',', ';', '(', ')', ':']).map(|piece| read(piece.trim())).collect();
    let mut runs = pieces.windows(3).filter(|three| three.iter().all(|piece| piece.iter().any(is_pair)));
    let [first, second, third] = runs.next()? else { return None };
    Some([first.clone(), second.clone(), third.clone()])
}

/// A way of naming the three phases.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash, serde::Serialize, serde::Deserialize)]
pub enum Naming {
    /// U, V, W (also U1, V1, W1).
    Uvw,
    /// A, B, C.
    Abc,
    /// R, S, T.
    Rst,
    /// R, Y, B (red, yellow, blue).
    Ryb,
    /// L1, L2, L3.
    L123,
    /// T1, T2, T3.
    T123,
    /// 1, 2, 3 after a word ("phase 2") or as a pair ("1-2"); bare digits alone are never a phase.
    Numbered,
}

/// What a text names.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Named {
    /// Phase 0, 1 or 2, against what is not told.
    Phase(u8),
    /// Phase 0, 1 or 2 to earth.
    PhaseToEarth(u8),
    /// Pair of phases.
    Pair(u8, u8),
    /// All phases to earth, told in words ("all phases to earth", "UVW-PE").
    All,
    /// Phase T against the T of "tierra" or "terre" ("T-T": no phase is measured against itself). Beside it "R-T" and "S-T" are
    /// phases to earth as well.
    TToTierra,
    /// To earth, which terminals is not told ("to earth", "gegen Erde").
    ToEarth,
    /// Between phases, which ones is not told.
    BetweenPhases,
    /// Between a phase that is told elsewhere and the next one ("gegen nächsten Strang").
    ToNext,
    /// Armature, field or rotor winding to earth or alone.
    Special(Circuit),
    /// A winding that has no code: interpoles, compensating and series windings.
    OtherWinding,
}

/// One way to read a text as a circuit.
#[derive(Debug, Clone, PartialEq)]
pub struct CircuitMeaning {
    /// What is named.
    pub named: Named,
    /// Naming it would belong to; `None` where no phase letter stands.
    pub naming: Option<Naming>,
    /// 0 to 1: a lone letter (`R`, `T`, `A`) is low, `A-G` high.
    pub weight: f32,
}

/// Every circuit that all of `text` could name: `"R"` may be phase R of R/S/T or of R/Y/B (or no circuit at all: weights are
/// low for single letters; the phases seen together on the sheet decide).
#[must_use]
pub fn read(text: &str) -> Vec<CircuitMeaning> {
    let text = &*without_y(without_lead(text.trim()));
    if text.is_empty() || text.len() > 48 {
        return Vec::new();
    }
    // "masse à 1 mn": the accent tells the French word from the phase.
    let folded =
        fold(&text.replace(['Ø', 'ø', 'Φ', 'φ', 'ϕ'], "ø").replace(['à', 'À'], "to").replace(" g. ", " gegen "));
    let folded = folded.trim();
    // "Phase U - earth (V, W earthed)": what stands in brackets is what was done with the others.
    let is_phase = |word: &str| word.starts_with(char::is_uppercase) && !phases(&fold(word)).is_empty();
    let names_phase = |rest: &str| rest.split(|c: char| !c.is_alphanumeric()).any(is_phase);
    if let Some((before, _)) = text.split_once('(').filter(|(_, rest)| names_phase(rest)) {
        let is_whole = |meaning: &CircuitMeaning| matches!(meaning.named, Named::PhaseToEarth(_) | Named::Pair(..));
        let named = read(before);
        if named.iter().any(|meaning| is_whole(meaning) && meaning.weight >= 0.8) {
            return named;
        }
    }
    let in_words = pair_in_words::read(text);
    if !in_words.is_empty() {
        return in_words;
    }
    if BETWEEN.contains(&folded) {
        return vec![CircuitMeaning { named: Named::BetweenPhases, naming: None, weight: 0.9 }];
    }
    if TO_NEXT.contains(&folded) {
        return vec![CircuitMeaning { named: Named::ToNext, naming: None, weight: 0.9 }];
    }
    if is_earth_alone(folded) {
        return vec![CircuitMeaning { named: Named::ToEarth, naming: None, weight: 0.8 }];
    }
    if WHOLE.contains(&folded) {
        return vec![CircuitMeaning { named: Named::All, naming: None, weight: 0.8 }];
    }
    if STATOR.contains(&folded) || is_stator_of_machine(folded) {
        return vec![CircuitMeaning { named: Named::ToEarth, naming: None, weight: 0.45 }];
    }
    let has_link = text.contains(['-', '/', '>', '–', ':', '→', '\u{2194}'])
        || folded.contains(" to ")
        || folded.contains(" gegen ")
        || folded.contains(" gg ");
    let words: Vec<&str> = folded.split(' ').collect();
    if names_both(&words) {
        return Vec::new();
    }
    let against = against::read(text);
    if !against.is_empty() {
        return against;
    }
    if let Some(special) = special(&words) {
        return vec![special];
    }
    if let [word] = words.as_slice() {
        return single(word, text.chars().any(char::is_lowercase));
    }
    if has_link && words == ["t", "t"] {
        return vec![CircuitMeaning { named: Named::TToTierra, naming: Some(Naming::Rst), weight: 0.9 }];
    }
    if let Some(index) = ends_of_phase(&words).filter(|_| has_link) {
        return vec![CircuitMeaning { named: Named::Phase(index), naming: Some(Naming::Uvw), weight: 0.9 }];
    }
    several(&words, has_link)
}

/// "U-X", "V-Y", "W-Z": begin and end of a phase, as terminals were marked before 1965 or so (from memory).
fn ends_of_phase(words: &[&str]) -> Option<u8> {
    match words {
        ["u", "x"] => Some(0),
        ["v", "y"] => Some(1),
        ["w", "z"] => Some(2),
        _ => None,
    }
}

/// Whether a text names both ends of one phase: "R U1-U2", "V-Y". What is measured there is the conductor, if it is in ohms.
///
/// ```
/// use windrow_text::circuit::names_both_ends;
/// assert!(names_both_ends("R U1-U2 (Ω)") && names_both_ends("W-Z") && !names_both_ends("U1-V1") && !names_both_ends("U2"));
/// ```
#[must_use]
pub fn names_both_ends(text: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(|c: char| !c.is_alphanumeric()).filter(|word| !word.is_empty()).collect();
    let are_ends =
        |two: &[&str]| matches!(two, ["u1", "u2"] | ["v1", "v2"] | ["w1", "w2"]) || ends_of_phase(two).is_some();
    words.windows(2).any(are_ends)
}

/// Phase 1, 2 or 3 where a word for phases heads the number alone.
///
/// ```
/// use windrow_text::circuit::{Named, numbered};
/// assert_eq!(numbered("Phase", "2").map(|meaning| meaning.named), Some(Named::Phase(1)));
/// assert_eq!(numbered("Phase", "Ph. 3").map(|meaning| meaning.named), Some(Named::Phase(2)));
/// assert!(numbered("Motor", "2").is_none() && numbered("Phase", "4").is_none() && numbered("Motor", "Ph1").is_none());
/// ```
#[must_use]
pub fn numbered(heading: &str, number: &str) -> Option<CircuitMeaning> {
    let heading = fold(heading);
    let folded = fold(number);
    // "Ph1" says again what the heading says.
    let bare = |word: &&str| folded.trim().strip_prefix(*word).map(|rest| rest.trim_matches([' ', '.']));
    let index = match PHASE_WORDS.iter().find_map(bare).unwrap_or_else(|| number.trim()) {
        "1" => 0,
        "2" => 1,
        "3" => 2,
        _ => return None,
    };
    let is_phase = PHASE_WORDS.contains(&heading.trim());
    is_phase.then_some(CircuitMeaning { named: Named::Phase(index), naming: Some(Naming::Numbered), weight: 0.9 })
}

/// "Stator moteur", "motor stator": the stator of one of several machines on a shaft.
fn is_stator_of_machine(folded: &str) -> bool {
    let is_machine =
        |word: &str| crate::said::names_machine(word) || matches!(word, "du" | "de" | "del" | "of" | "des");
    let words: Vec<&str> = folded.split(' ').filter(|word| !is_machine(word)).collect();
    words.len() < folded.split(' ').count() && STATOR.contains(&words.join(" ").as_str())
}

/// Whether a text names the stator.
#[must_use]
pub fn names_stator(text: &str) -> bool {
    fold(text).split(' ').any(|word| STATOR.contains(&word))
}

/// Whether a text names the stator and another winding: "rotor and stator to frame" is the circuit of neither.
#[must_use]
pub fn names_stator_and_other(text: &str) -> bool {
    names_stator(text) && fold(text).split(' ').any(special::names_winding)
}

/// Whether a folded word of two letters or more is one for earth or frame.
#[must_use]
pub fn is_earth_word(word: &str) -> bool {
    word.len() > 1 && EARTH.contains(&word)
}

/// Whether a folded word means earth where nothing stands beside it; "masse" and "frame" mean other things as well.
#[must_use]
pub fn is_earth_alone(word: &str) -> bool {
    EARTH_ALONE.contains(&word)
}

/// Whether a folded word leads from terminals to what they were measured against: "to", "gegen", "contra".
#[must_use]
pub fn leads_to_earth(word: &str) -> bool {
    AGAINST.contains(&word)
}

/// A small "y" among small words is the Spanish "and" and no yellow phase.
fn without_y(text: &str) -> Cow<'_, str> {
    let is_small = |word: &str| word.chars().count() >= 3 && word.chars().all(char::is_lowercase);
    let mut words = text.split(' ');
    if words.clone().any(|word| word == "y") && words.any(is_small) {
        let replaced: Vec<&str> = text.split(' ').map(|word| if word == "y" { "and" } else { word }).collect();
        return Cow::Owned(replaced.join(" "));
    }
    Cow::Borrowed(text)
}

/// "Between phases and to earth": two circuits, neither of them of any one reading.
fn names_both(words: &[&str]) -> bool {
    let goes_on = |two: &[&str]| matches!(two, [and, to] if matches!(*and, "and" | "und" | "et") && matches!(*to, "a" | "to" | "gegen" | "contre"));
    words.iter().any(|word| SEVERAL_PHASES.contains(word))
        && words.windows(2).any(goes_on)
        && words.iter().any(|word| word.len() > 1 && EARTH.contains(word))
}

/// A word alone: a letter, a run of letters, a letter glued to earth (`AG`).
fn single(word: &str, has_lower_case: bool) -> Vec<CircuitMeaning> {
    let lone: Vec<CircuitMeaning> = phases(word)
        .into_iter()
        .filter(|(_, naming)| *naming != Naming::Numbered)
        .map(|(index, naming)| CircuitMeaning {
            named: Named::Phase(index),
            naming: Some(naming),
            weight: match word {
                "s" | "t" if has_lower_case => 0.2,
                _ if word.len() > 1 => 0.7,
                _ => 0.35,
            },
        })
        .collect();
    if !lone.is_empty() {
        return lone;
    }
    let joined = two_terminals(word);
    if !joined.is_empty() {
        return joined;
    }
    const RUNS: [&str; 8] = ["uvw", "abc", "rst", "ryb", "l123", "t123", "l1l2l3", "t1t2t3"];
    if RUNS.contains(&word) {
        return vec![CircuitMeaning { named: Named::All, naming: None, weight: 0.5 }];
    }
    // `UVWM`, `ABCG`: the field names of databases leave out what links the phases to earth.
    let is_earthed = |run: &str| word.strip_prefix(run).is_some_and(|rest| word.len() > 3 && EARTH.contains(&rest));
    if !has_lower_case && RUNS.into_iter().any(is_earthed) {
        return vec![CircuitMeaning { named: Named::All, naming: None, weight: 0.9 }];
    }
    // "By" and "be" are words; letters run together are a connection only in capitals.
    let mut glued = Vec::new();
    if has_lower_case {
        return glued;
    }
    if let (Some(first), Some(rest)) = (word.get(..1), word.get(1..)) {
        let earth = matches!(rest, "g" | "e" | "gnd" | "pe");
        for (index, naming) in phases(first).into_iter().filter(|(_, naming)| *naming != Naming::Numbered) {
            if earth {
                glued.push(CircuitMeaning { named: Named::PhaseToEarth(index), naming: Some(naming), weight: 0.45 });
            }
            for (other, same) in
                phases(rest).into_iter().filter(|(other, same)| *same == naming && *other != index && rest.len() == 1)
            {
                glued.push(CircuitMeaning { named: Named::Pair(index, other), naming: Some(same), weight: 0.35 });
            }
        }
    }
    glued
}

/// "L1L2", "V1W1": two terminals of different phases, each a letter and a digit, with nothing between.
fn two_terminals(word: &str) -> Vec<CircuitMeaning> {
    let Some((first, second)) = word.split_at_checked(2).filter(|(_, second)| second.len() == 2) else {
        return Vec::new();
    };
    let is_terminal = |part: &str| part.ends_with(|c: char| c.is_ascii_digit());
    if !is_terminal(first) || !is_terminal(second) {
        return Vec::new();
    }
    let both = phases(first).into_iter().flat_map(|one| phases(second).into_iter().map(move |other| (one, other)));
    both.filter(|(one, other)| one.1 == other.1 && one.0 != other.0)
        .map(|(one, other)| CircuitMeaning { named: Named::Pair(one.0, other.0), naming: Some(one.1), weight: 0.9 })
        .collect()
}

/// Several words: operands joined by signs or words.
fn several(words: &[&str], has_link: bool) -> Vec<CircuitMeaning> {
    // "M/V", "Line - m.v." is a motor vessel: of earth and phase the phase comes first.
    let ends = |at: usize| at > 0 && at + 1 == words.len();
    let is_earth =
        |at: usize, word: &str| EARTH.contains(&word) && (word.len() > 1 || has_link && (word != "m" || ends(at)));
    let earth = words.iter().enumerate().any(|(at, word)| is_earth(at, word));
    let all = words.iter().any(|word| ALL.contains(word) || SEVERAL_PHASES.contains(word) && earth);
    let phase_word = words.iter().any(|word| PHASE_WORDS.contains(word));
    let mut operands: Vec<Vec<(u8, Naming)>> = Vec::new();
    for (at, word) in words.iter().enumerate() {
        // "I phase 2 / masse": the current of that phase, no first phase.
        if *word == "i" && at == 0 && words.get(1).is_some_and(|next| PHASE_WORDS.contains(next)) {
            continue;
        }
        let is_earth = is_earth(at, word);
        // "3 ph" counts them, "ph 3" is the third.
        let is_of_phases = |next: &&str| SEVERAL_PHASES.contains(next) || PHASE_WORDS.contains(next);
        let counts = words.get(at + 1).is_some_and(is_of_phases) && THREE.contains(word);
        if is_earth || counts || ALL.contains(word) && *word != "a" || !has_link && is_article(words, at) {
            continue;
        }
        let found = phases(word);
        match (found.is_empty(), FILLER.contains(word) && !matches!(*word, "a" | "y")) {
            (_, true) => {}
            (false, _) => operands.push(found),
            (true, false) if PHASE_WORDS.contains(word) || SEVERAL_PHASES.contains(word) => {}
            (true, false) => return Vec::new(),
        }
    }
    combine(&operands, Links { earth, all, phase_word, has_link })
}

/// Whether the word at `at` is the French or Spanish "a" before a word for earth, and no phase: "A a tierra" names both.
fn is_article(words: &[&str], at: usize) -> bool {
    words.get(at) == Some(&"a")
        && words.get(at + 1).is_some_and(|next| matches!(*next, "la" | "terre" | "masse" | "tierra" | "masa"))
}

/// The text without a small "a" behind a word for earth, which led to what was cut off ("masse a [1 mn]").
fn without_lead(text: &str) -> &str {
    let before = text.strip_suffix(" a").map(str::trim_end);
    let earth = |before: &&str| {
        before.rsplit([' ', '-', '/', '>', '–', '.']).next().is_some_and(|word| EARTH.contains(&fold(word).as_str()))
    };
    before.filter(earth).unwrap_or(text)
}

/// What ties the operands together.
#[derive(Clone, Copy)]
#[expect(clippy::struct_excessive_bools, reason = "four independent facts about one text")]
struct Links {
    earth: bool,
    all: bool,
    phase_word: bool,
    has_link: bool,
}

fn combine(operands: &[Vec<(u8, Naming)>], links: Links) -> Vec<CircuitMeaning> {
    match operands {
        // Plurals and words for all against earth.
        [] if links.all && links.earth => vec![CircuitMeaning { named: Named::All, naming: None, weight: 0.95 }],
        [] if links.earth => vec![CircuitMeaning { named: Named::ToEarth, naming: None, weight: 0.8 }],
        [one] if links.earth => one.iter().map(|(index, naming)| to_earth(*index, *naming, 0.95)).collect(),
        [one] if links.phase_word => one
            .iter()
            .map(|(index, naming)| CircuitMeaning { named: Named::Phase(*index), naming: Some(*naming), weight: 0.9 })
            .collect(),
        [first, second] if links.has_link && is_phase_to_tierra(first, second) => {
            first.iter().map(|(index, naming)| to_earth(*index, *naming, 0.9)).collect()
        }
        [first, second] if links.has_link || links.phase_word => pairs(first, second),
        [one] if links.all && links.has_link && one.as_slice() == [(2, Naming::Rst)] => {
            vec![CircuitMeaning { named: Named::All, naming: None, weight: 0.9 }]
        }
        [first, second, third] if links.earth => match (first.first(), second.first(), third.first()) {
            (Some(a), Some(b), Some(c)) if a.0 != b.0 && b.0 != c.0 && a.0 != c.0 => {
                vec![CircuitMeaning { named: Named::All, naming: Some(a.1), weight: 0.9 }]
            }
            _ => Vec::new(),
        },
        _ => Vec::new(),
    }
}

/// "U - T", "A/T": the T of "tierra" or "terre", which is no phase beside those of another naming.
fn is_phase_to_tierra(first: &[(u8, Naming)], second: &[(u8, Naming)]) -> bool {
    second == [(2, Naming::Rst)] && !first.iter().any(|(_, naming)| *naming == Naming::Rst)
}

fn to_earth(index: u8, naming: Naming, weight: f32) -> CircuitMeaning {
    CircuitMeaning { named: Named::PhaseToEarth(index), naming: Some(naming), weight }
}

/// Pairs of one naming; the two ends of one phase (`U1-U2`) are that phase.
fn pairs(first: &[(u8, Naming)], second: &[(u8, Naming)]) -> Vec<CircuitMeaning> {
    let mut found = Vec::new();
    for (a, naming) in first {
        for (b, other) in second.iter().filter(|(_, other)| other == naming) {
            let weight = if *naming == Naming::Numbered { 0.6 } else { 0.95 };
            let named = if a == b { Named::Phase(*a) } else { Named::Pair(*a, *b) };
            found.push(CircuitMeaning { named, naming: Some(*other), weight });
        }
    }
    found
}

/// The circuit of `named` for readings against earth (`to_earth`) or of the conductor.
#[must_use]
pub fn resolve(named: Named, to_earth: bool) -> Option<Circuit> {
    let at = |circuits: [Circuit; 3], index: u8| circuits.get(usize::from(index)).copied();
    match named {
        Named::Phase(index) if to_earth => at(Circuit::PHASES_TO_EARTH, index),
        Named::Phase(index) => at(Circuit::PHASES, index),
        Named::PhaseToEarth(index) => at(Circuit::PHASES_TO_EARTH, index),
        Named::TToTierra => Some(Circuit::WToEarth),
        Named::Pair(0, 1) | Named::Pair(1, 0) => Some(Circuit::UToV),
        Named::Pair(1, 2) | Named::Pair(2, 1) => Some(Circuit::VToW),
        Named::Pair(2, 0) | Named::Pair(0, 2) => Some(Circuit::WToU),
        Named::Pair(..) | Named::ToEarth | Named::BetweenPhases | Named::ToNext | Named::OtherWinding => None,
        Named::All => Some(Circuit::AllToEarth),
        Named::Special(circuit) => Some(circuit),
    }
}

//! What a label says of a figure that nobody measured here: it was promised or demanded, is a change, was calculated, is of the
//! surroundings or of a part that is no winding, or was taken over from an earlier test (`data/words.csv`).

use crate::fold::fold;
use crate::marks::{is_kind, is_nominal};
use crate::vocabulary::{self, Concept};

/// Longest label that is looked at, in bytes.
const LONGEST: usize = 80;
/// Longest phrase of the word lists that is looked for, in words.
const LONGEST_PHRASE: usize = 4;
/// Most words of a label that names a change: longer ones are remarks ("increase since the last test, keep an eye on it").
const MOST_WORDS: usize = 4;

/// The words of a text with letters in them.
fn words(folded: &str) -> Vec<&str> {
    folded.split(' ').filter(|word| word.chars().any(char::is_alphabetic)).collect()
}

/// How many words at the beginning are a phrase of the kind, 0 if they are none.
fn begins_with(words: &[&str], kind: &str) -> usize {
    let is_phrase = |length: &usize| words.get(..*length).is_some_and(|phrase| is_kind(&phrase.join(" "), kind));
    (1..=LONGEST_PHRASE).rev().find(is_phrase).unwrap_or(0)
}

/// Where a phrase of the kind stands among words.
fn find(words: &[&str], kind: &str) -> Option<(usize, usize)> {
    (0..words.len()).find_map(|from| {
        let length = begins_with(words.get(from..)?, kind);
        (length > 0).then_some((from, from + length))
    })
}

/// The text before its unit or remark: up to a bracket, a comma or a colon.
fn bare(text: &str) -> &str {
    text.split(['(', '[', ',', ':']).next().unwrap_or_default().trim()
}

/// What a label says of the figure that it heads.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Figure {
    /// Promised by a nameplate or a catalogue.
    Promised,
    /// Demanded: the least or the most that is allowed.
    Demanded,
    /// A change between readings.
    Change,
    /// The noise that was there without discharges of the test object.
    Background,
    /// How many readings or machines a list holds.
    Entries,
}

/// The figure that a label names, if it is one that nobody measured.
///
/// ```
/// use windrow_text::figures::{Figure, figure};
/// assert_eq!(figure("Nennwert (Ω)"), Some(Figure::Promised));
/// for text in ["Soll", "Mini :", "Shop limit for difference: 10 %"] {
///     assert_eq!(figure(text), Some(Figure::Demanded), "{text}");
/// }
/// for text in ["Tip-up %", "Anstieg je 0,6 kV, max.", "Δtg δ", "Évolution %", "Incr. 2-8"] {
///     assert_eq!(figure(text), Some(Figure::Change), "{text}");
/// }
/// for text in ["Grundstörpegel", "Background, pC", "Bruit de fond (pC)"] {
///     assert_eq!(figure(text), Some(Figure::Background), "{text}");
/// }
/// assert_eq!(figure("Lecturas:"), Some(Figure::Entries));
/// for text in ["Mini mill", "Seuil d'apparition (kV)", "tan δ", "increase since the last test, watch it", "Discharge above background"] {
///     assert_eq!(figure(text), None, "{text}");
/// }
/// ```
#[must_use]
pub fn figure(label: &str) -> Option<Figure> {
    if label.len() > LONGEST {
        return None;
    }
    let folded = fold(label);
    let words = words(&folded);
    let begins = |kind: &str| words.len() <= MOST_WORDS && begins_with(&words, kind) > 0;
    let whole = fold(bare(label));
    match () {
        () if is_nominal(label) => Some(Figure::Promised),
        () if is_kind(&whole, "limit_alone") || names_limit_of(&words) => Some(Figure::Demanded),
        () if begins("change") => Some(Figure::Change),
        () if begins("background") => Some(Figure::Background),
        () if is_kind(&whole, "count_alone") => Some(Figure::Entries),
        () => None,
    }
}

/// Whether words name a limit of what stands behind them: "Shop limit for difference".
fn names_limit_of(words: &[&str]) -> bool {
    const FARTHEST: usize = 3;
    let Some(of) = words.iter().position(|word| is_kind(word, "of_word")) else { return false };
    // "Seuil d'apparition" is a voltage that was measured.
    let is_measured =
        |concept: Concept| matches!(concept, Concept::PdInception | Concept::PdExtinction | Concept::SurgeInception);
    let head = words.get(..of).unwrap_or_default();
    head.len() <= FARTHEST
        && head.last().is_some_and(|word| is_kind(word, "limit"))
        && !vocabulary::hits(words).iter().any(|hit| is_measured(hit.concept))
}

/// Whether a label says that its numbers were calculated.
#[must_use]
pub fn is_calculated(label: &str) -> bool {
    fold(label).split(' ').any(|word| is_kind(word, "calculated"))
}

/// What a text tells of parts of a machine that are no winding, and of what leads to it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Part {
    /// A heater, a bearing's insulation, brush gear, a sensor, a cable tested by itself: its name and nothing else.
    Whole,
    /// The name of such a part with more behind it ("Lagerisolation B-Seite", "Space heater to frame").
    Named,
    /// A cable: beside windings, it is what was tested.
    Cable,
    /// A word that heads the resistance of a cable, and elsewhere names a machine ("Feeder").
    Feeder,
}

/// The part that is no winding which a label names before anything else. "U-E, heaters on" names a winding, "heater fan" a machine.
///
/// ```
/// use windrow_text::figures::{Part, part};
/// assert_eq!(part("4. Space heater"), Some(Part::Whole));
/// assert_eq!(part("Isolement de la réchauffe"), Some(Part::Whole));
/// assert_eq!(part("Bürstenbrücke gegen Masse"), Some(Part::Named));
/// assert_eq!(part("Lagerisolation B-Seite"), Some(Part::Named));
/// assert_eq!((part("cable"), part("Feeder, mΩ")), (Some(Part::Cable), Some(Part::Feeder)));
/// for text in ["U-E, heaters on", "Heater on", "Heater fan", "Ständerwicklung (Heizung aus)", "Motor with cable"] {
///     assert_eq!(part(text), None, "{text}");
/// }
/// ```
#[must_use]
pub fn part(label: &str) -> Option<Part> {
    let folded = fold(bare(label));
    let words = words(&folded);
    let whole = words.join(" ");
    if is_kind(&whole, "no_winding_alone") {
        return Some(Part::Cable);
    }
    if is_kind(&whole, "no_winding_heading") {
        return Some(Part::Feeder);
    }
    let (from, to) = find(&words, "no_winding")?;
    let hits = vocabulary::hits(words.get(..from).unwrap_or_default());
    let is_resistance = |concept: Concept| {
        matches!(concept, Concept::InsulationResistance | Concept::Resistance | Concept::WindingResistance)
    };
    let is_filler = |(at, word): (usize, &&str)| {
        is_kind(word, "beside_measured")
            || is_kind(word, "says_nothing")
            || hits.iter().any(|hit| is_resistance(hit.concept) && (hit.from..hit.to).contains(&at))
    };
    let is_of_else =
        |word: &&str| ["switched", "machine", "machine_noun", "winding"].iter().any(|kind| is_kind(word, kind));
    let is_named = words.iter().enumerate().take(from).all(is_filler) && !words.iter().skip(to).any(is_of_else);
    is_named.then_some(if to == words.len() { Part::Whole } else { Part::Named })
}

/// Whether a text says that the number it holds or stands beside is not the winding's ("22 MΩ - heater, not the winding", "cable only").
///
/// ```
/// use windrow_text::figures::denies_winding;
/// assert!(denies_winding("22 MΩ - heater, not the winding") && denies_winding("sólo cable"));
/// assert!(!denies_winding("850 MΩ with cable"));
/// ```
#[must_use]
pub fn denies_winding(text: &str) -> bool {
    let folded = fold(text);
    find(&words(&folded), "not_winding").is_some()
}

/// Whether a note says that values were taken over from elsewhere, or not measured at all.
///
/// ```
/// use windrow_text::figures::says_taken_over;
/// assert!(says_taken_over("* 1998 nicht gemessen, Spalte aus 1996 übernommen"));
/// assert!(says_taken_over("* not measured, figures of the year before"));
/// assert!(!says_taken_over("* winding temperature not measured") && !says_taken_over("* not copied from the old book"));
/// ```
#[must_use]
pub fn says_taken_over(note: &str) -> bool {
    let is_circumstance = |concept: Concept| {
        matches!(
            concept,
            Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature | Concept::Humidity
        )
    };
    note.split([';', ',', '.', '(', ')']).any(|clause| {
        let folded = fold(clause);
        let words = words(&folded);
        let speaks_of_values = !vocabulary::hits(&words).iter().any(|hit| is_circumstance(hit.concept));
        let taken = find(&words, "taken_over")
            .is_some_and(|(from, _)| !words.iter().take(from).any(|word| is_kind(word, "denial")));
        speaks_of_values && (taken || find(&words, "not_done").is_some())
    })
}

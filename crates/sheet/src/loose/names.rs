//! Names of machines and sites among the words of a text.

use windrow_text::{circuit, date, header, marks, measure, tag};

/// What else is written as tags are: standards and sensors. Common practice, no source.
const NO_MACHINES: [&str; 9] = ["IEC", "ISO", "EN", "DIN", "VDE", "IEEE", "PT", "NI", "SN"];

/// The one machine that a heading names among other words: surely a tag, or a word made as tags are ("FAN0891").
#[must_use]
pub fn named_machine(text: &str) -> Option<String> {
    only_tag(text).or_else(|| {
        let is_made_so = |word: &&str| {
            let letters = word.trim_end_matches(|c: char| c.is_ascii_digit());
            (2..=4).contains(&letters.len())
                && letters.bytes().all(|b| b.is_ascii_uppercase())
                && (3..=5).contains(&(word.len() - letters.len()))
                && !NO_MACHINES.contains(&letters)
        };
        let mut words = text.split_whitespace().filter(is_made_so);
        let first = words.next()?;
        words.next().is_none().then(|| first.to_owned())
    })
}

/// The one word of a text that is surely a tag.
#[must_use]
pub fn only_tag(text: &str) -> Option<String> {
    let words: Vec<&str> = text
        .split([' ', ',', ';', '(', ')', ':', '_', '\n', '"'])
        .map(|word| word.trim_matches(['.', '\'']))
        .filter(|word| !word.is_empty())
        .collect();
    // "Form QA/7": a number of papers.
    let is_paper = |at: usize| at.checked_sub(1).is_some_and(|before| marks::names_document(words[before]));
    let is_tag =
        |at: usize, word: &str| tag::likeness(word) >= 0.85 && is_no_label(word) && !is_sensor(word) && !is_paper(at);
    let mut tags: Vec<&str> =
        words.iter().enumerate().filter(|(at, word)| is_tag(*at, word)).map(|(_, word)| *word).collect();
    tags.dedup();
    match tags.as_slice() {
        [one] => Some((*one).to_owned()),
        _ => None,
    }
}

/// "PT100", "Ni1000": a resistance thermometer by its metal and its ohms at 0 °C (IEC 60751), no machine.
fn is_sensor(word: &str) -> bool {
    let word = word.to_ascii_uppercase();
    let ohms = word.strip_prefix("PT").or_else(|| word.strip_prefix("NI"));
    ohms.is_some_and(|ohms| matches!(ohms, "100" | "120" | "500" | "1000"))
}

fn is_no_label(word: &str) -> bool {
    // "K-348", "LQ-RF-201": letters, hyphen, two digits or more, whatever the letters mean elsewhere.
    let is_code = word.rsplit_once('-').is_some_and(|(letters, rest)| {
        letters.split('-').all(|part| (1..=5).contains(&part.len()) && part.bytes().all(|b| b.is_ascii_uppercase()))
            && rest.bytes().take_while(u8::is_ascii_digit).count() >= 2
    });
    if is_code && circuit::read(word).is_empty() {
        return true;
    }
    let label = header::read(word);
    if !label.unexplained.is_empty() && label.concepts.is_empty() {
        return true;
    }
    label.concepts.is_empty()
        && label.units.is_empty()
        && label.circuits.is_empty()
        && label.elapsed_s.is_none()
        && label.reference_c.is_none()
        && circuit::read(word).is_empty()
        && date::read(word).is_empty()
        && measure::read(word).is_none()
}

/// Words that make a clause the name of a site. Common practice, no source.
const SITE_WORDS: &[&str] = &[
    "station",
    "works",
    "plant",
    "mill",
    "site",
    "powerhouse",
    "reservoir",
    "refinery",
    "terminal",
    "depot",
    "mine",
    "dam",
    "intake",
    "exchange",
    "facility",
    "shipyard",
    "quarry",
    "werk",
    "kraftwerk",
    "anlage",
    "betrieb",
    "standort",
    "hutte",
    "zentrale",
    "usine",
    "centrale",
    "site",
    "station",
    "atelier",
    "chaufferie",
    "planta",
    "central",
    "estacion",
    "fabrica",
    "instalacion",
    "bahnhof",
    "pumpwerk",
    "klaranlage",
    "wasserwerk",
    "heizwerk",
    "barrage",
    "presa",
];

/// Whether the folded word is one for a site: "works", "station".
#[must_use]
pub(crate) fn is_site_word(word: &str) -> bool {
    SITE_WORDS.contains(&word)
}

/// The site that a clause names: the words up to "works", "station" and the like.
#[must_use]
pub fn site_in(clause: &str) -> Option<String> {
    let words: Vec<&str> = clause.split_whitespace().collect();
    let is_site = |word: &&str| is_site_word(&windrow_text::fold::fold(word));
    let last = words.iter().take(6).rposition(is_site).filter(|last| *last >= 1)?;
    // Names are written with capitals; "pump house at works" is none.
    let named = words.iter().take(last).all(|word| word.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()));
    named.then(|| words[..=last].join(" "))
}

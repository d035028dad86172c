//! Marks that change the unit of the numbers they stand at: "MΩ; * = GΩ", "in GΩ, sauf M = MΩ", "megohms unless k (kilohms)".

use super::notes;
use crate::view::{Item, View};
use regex::Regex;
use std::sync::LazyLock;
use windrow_model::{Dimension, Text};
use windrow_text::fold::fold;
use windrow_text::unit::{self, UnitMeaning};

/// A mark and the unit that it stands for.
#[derive(Debug, Clone)]
pub struct UnitMark {
    /// The mark as it stands behind a number.
    pub sign: String,
    /// The unit, best first.
    pub units: Vec<UnitMeaning>,
    /// The unit as written.
    pub text: Text,
    /// The cell that explains the mark.
    pub item: Item,
}

/// Words between a mark and its unit. Common practice, no source.
const FILLERS: &[&str] = &[
    "in",
    "en",
    "is",
    "are",
    "means",
    "value",
    "values",
    "reading",
    "readings",
    "wert",
    "werte",
    "sind",
    "ist",
    "bedeutet",
    "valeur",
    "valeurs",
    "signifie",
    "valor",
    "valores",
    "significa",
    "behind",
    "after",
    "the",
    "figure",
    "figures",
    "number",
    "numbers",
    "hinter",
    "nach",
    "der",
    "zahl",
    "derriere",
    "apres",
    "le",
    "chiffre",
    "nombre",
    "tras",
    "detras",
    "de",
    "la",
    "el",
    "cifra",
    "numero",
    "son",
    "es",
    "sont",
    "est",
    "",
];
/// Words before a mark that is an exception. Common practice, no source.
const EXCEPTIONS: &[&str] = &["except", "unless", "sauf", "ausser", "excepto", "salvo"];
/// Words for the numbers that bear a mark. Common practice, no source.
const NUMBERS: &[&str] = &[
    "figures", "values", "readings", "numbers", "werte", "zahlen", "angaben", "valeurs", "chiffres", "nombres",
    "mesures", "cifras", "valores", "lecturas", "numeros",
];
/// Words that say of such numbers in what they are. Common practice, no source.
const VERBS: &[&str] = &["are", "sind", "sont", "son", "in", "en"];
/// Letters that are short for a unit where a text says so.
const LETTERS: &[&str] = &["M", "G", "K", "T", "k", "m", "u", "g"];
/// Letters that are the beginning of a unit of resistance where a text excepts them and says no more.
const BARE_LETTERS: &[&str] = &["M", "G", "K", "k"];

/// The marks that the texts of a view explain.
#[must_use]
pub fn marks(view: &View<'_>) -> Vec<UnitMark> {
    let says_more =
        |text: &str| fold(text).split(' ').any(|word| EXCEPTIONS.contains(&word) || NUMBERS.contains(&word));
    let may_explain = |text: &str| {
        text.len() >= 4 && (text.contains(|c: char| is_mark(c) || matches!(c, '=' | ':')) || says_more(text))
    };
    let texts = view.items().iter().filter_map(|item| {
        let text = &view.cell(item).text;
        match super::behind_sign(view, item) {
            Some(behind) => Some((item, format!("{text} {behind}"))),
            None => may_explain(text).then(|| (item, text.to_string())),
        }
    });
    let of_text = |(item, text): (&Item, String)| {
        let (whole, text) = excepted(&text);
        let told = whole.into_iter().chain(pieces(&text).filter_map(explained));
        let mark = |(sign, text): (String, String)| UnitMark {
            sign,
            units: unit::read(&text, None),
            text: text.into(),
            item: *item,
        };
        told.map(mark).collect::<Vec<_>>()
    };
    texts.flat_map(of_text).collect()
}

/// A text without the pieces that explain such marks: what it says of all other numbers.
#[must_use]
pub(super) fn without(text: &str) -> String {
    let (_, text) = excepted(notes::before(text));
    let mut rest = text.clone();
    for piece in pieces(&text).filter(|piece| explained(piece).is_some()) {
        rest = rest.replacen(piece, " ", 1);
    }
    rest
}

/// "Unless k (kilohms)": the letters with their units in brackets that a text excepts, and the text without them.
fn excepted(text: &str) -> (Vec<(String, String)>, String) {
    static EXCEPTED: LazyLock<Option<Regex>> = LazyLock::new(|| {
        Regex::new(
            r"(?:(?i:\b(?:unless|except|sauf|au(?:ß|ss)er|excepto|salvo)(?:\s+\w+)?))\s+([MGKTkm])\s*\(([^()]+)\)",
        )
        .ok()
    });
    let Some(regex) = EXCEPTED.as_ref() else { return (Vec::new(), text.to_owned()) };
    let (mut told, mut rest) = (Vec::new(), text.to_owned());
    for found in regex.captures_iter(text) {
        let (Some(whole), Some(letter), Some(unit)) = (found.get(0), found.get(1), found.get(2)) else { continue };
        if is_electric(unit.as_str().trim()) {
            told.push((letter.as_str().to_owned(), unit.as_str().trim().to_owned()));
            rest = rest.replacen(whole.as_str(), " ", 1);
        }
    }
    (told, rest)
}

fn pieces(text: &str) -> impl Iterator<Item = &str> {
    text.split([';', ',', '(', ')', '\n'])
        .flat_map(|piece| piece.split(". "))
        .flat_map(|piece| piece.split(" - "))
        .flat_map(|piece| piece.split(" – "))
        .flat_map(at_exception)
        .filter(|piece| piece.len() <= 60)
}

/// "in M ohms, except k = kilohms": what holds for all, and from the word of exception on what holds for the mark.
fn at_exception(piece: &str) -> impl Iterator<Item = &str> {
    let is_other = |word: &&str| !EXCEPTIONS.contains(&fold(word.trim()).as_str());
    let length: usize = piece.split_inclusive(char::is_whitespace).take_while(is_other).map(str::len).sum();
    let at = if length < piece.len() { length } else { 0 };
    let (before, from) = piece.split_at(at);
    [before, from].into_iter().filter(|part| !part.is_empty())
}

/// The mark that a piece explains, and the unit as written.
fn explained(piece: &str) -> Option<(String, String)> {
    let tokens: Vec<&str> = piece
        .split(|c: char| c.is_whitespace() || matches!(c, '=' | ':'))
        .map(|token| token.trim_matches(['"', '“', '”', '„', '«', '»', '\'', '‘', '’']))
        .collect();
    // "kΩ unless M": the letter is the beginning of its unit.
    if let [exception, letter] = tokens.iter().filter(|token| !token.is_empty()).collect::<Vec<_>>().as_slice()
        && EXCEPTIONS.contains(&fold(exception).as_str())
        && BARE_LETTERS.contains(letter)
    {
        let unit = format!("{}Ω", letter.replace('K', "k"));
        return Some(((**letter).to_owned(), unit));
    }
    let is_sign = |token: &&str| !token.is_empty() && token.len() <= 4 && token.chars().all(is_mark);
    // A letter needs the sign of equality, or words that say the same; a mark tells by itself.
    let says = |at: usize| piece.contains(['=', ':']) || speaks_of_numbers(&tokens, at);
    let mut placed = tokens.iter().enumerate();
    let (at, _) = placed.find(|(at, token)| is_sign(token) || LETTERS.contains(*token) && says(*at))?;
    let behind = tokens.get(at + 1..)?.iter().filter(|token| !FILLERS.contains(&fold(token).as_str()));
    let unit = behind.map(|token| token.trim_end_matches('.')).collect::<Vec<_>>().join(" ");
    is_electric(&unit).then(|| (tokens[at].to_owned(), unit))
}

/// "The figures with K are kilohms": whether a word for numbers stands before the letter at `at`, and a verb behind it.
fn speaks_of_numbers(tokens: &[&str], at: usize) -> bool {
    let is = |words: &[&str], token: &str| words.contains(&fold(token).as_str());
    let is_right_behind = at.checked_sub(1).is_some_and(|before| is(VERBS, tokens[before]));
    // "Values in M ohms" are in megohms, all of them.
    !is_right_behind
        && tokens.get(..at).is_some_and(|before| before.iter().any(|token| is(NUMBERS, token)))
        && tokens.get(at + 1).is_some_and(|next| is(VERBS, next))
}

/// Whether a text is a unit that windings are measured in, and no lone letter.
fn is_electric(text: &str) -> bool {
    let is_measured = |best: &UnitMeaning| {
        best.weight >= 0.55
            && matches!(best.unit.dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance)
    };
    text.chars().count() > 1 && unit::read(text, None).first().is_some_and(is_measured)
}

const fn is_mark(c: char) -> bool {
    matches!(c, '*' | '†' | '‡' | '#' | '¹' | '²' | '³')
}

#[cfg(test)]
mod tests {
    use super::{excepted, explained, without};

    #[test]
    fn marks_with_units_are_told_from_other_notes() {
        let told = |sign: &str, unit: &str| Some((sign.to_owned(), unit.to_owned()));
        assert_eq!(explained(" * = Wert in GΩ"), told("*", "GΩ"));
        assert_eq!(explained(" sauf M = MΩ"), told("M", "MΩ"));
        assert_eq!(explained("values marked # in gigohms"), told("#", "gigohms"));
        assert_eq!(without("valeurs en GΩ, sauf * en MΩ - essai 1000 V"), "valeurs en GΩ,   - essai 1000 V");
        assert_eq!(explained("sauf \"k\" = kilohms"), told("k", "kilohms"));
        assert_eq!(without("isolement en M ohms sauf \"k\" = kilohms"), "isolement en M ohms  ");
        assert_eq!(explained("* = corrected to 40 °C"), None);
        assert_eq!(explained("U = 500 V"), None);
        assert_eq!(explained("M 12 bolts"), None);
        assert_eq!(without("Werte in MΩ; * = Wert in GΩ"), "Werte in MΩ; ");
    }

    #[test]
    fn letters_are_explained_in_brackets_by_words_and_by_an_exception_alone() {
        let told = |sign: &str, unit: &str| Some((sign.to_owned(), unit.to_owned()));
        let (marks, rest) = excepted("IR in megohms unless k (kilohms), 500 V");
        assert_eq!((marks.first().cloned(), rest.as_str()), (told("k", "kilohms"), "IR in megohms  , 500 V"));
        assert_eq!(excepted("All motors except M (spare)").0, []);
        assert_eq!(explained("las cifras con K son kΩ"), told("K", "kΩ"));
        assert_eq!(explained("K behind the figure = kilohms"), told("K", "kilohms"));
        assert_eq!(explained("Zahlen mit k sind kΩ"), told("k", "kΩ"));
        assert_eq!(explained("values in M ohms"), None);
        assert_eq!(explained("unless M"), told("M", "MΩ"));
        assert_eq!(explained("except T"), None);
        assert_eq!(without("kΩ unless M"), "kΩ  ");
        assert_eq!(without("Isolement en MΩ, 500 V ; (1) en kΩ ; (2) sous 250 V").trim(), "Isolement en MΩ, 500 V");
    }
}

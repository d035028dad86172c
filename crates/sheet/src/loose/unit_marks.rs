//! Marks that change the unit of the numbers they stand at: "MΩ; * = GΩ", "in GΩ, sauf M = MΩ".

use crate::view::{Item, View};
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
    "",
];
/// Words before a mark that is an exception. Common practice, no source.
const EXCEPTIONS: &[&str] = &["except", "sauf", "ausser", "excepto", "salvo"];
/// Letters that are short for a unit where a text says so.
const LETTERS: &[&str] = &["M", "G", "K", "T", "k", "m", "u", "g"];

/// The marks that the texts of a view explain.
#[must_use]
pub fn marks(view: &View<'_>) -> Vec<UnitMark> {
    let may_explain = |text: &str| text.len() >= 4 && text.contains(|c: char| is_mark(c) || matches!(c, '=' | ':'));
    let texts = view.items().iter().filter_map(|item| {
        let text = &view.cell(item).text;
        match super::behind_sign(view, item) {
            Some(behind) => Some((item, format!("{text} {behind}"))),
            None => may_explain(text).then(|| (item, text.to_string())),
        }
    });
    let of_text = |(item, text): (&Item, String)| {
        let told = pieces(&text).filter_map(explained);
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
    let mut rest = text.to_owned();
    for piece in pieces(text).filter(|piece| explained(piece).is_some()) {
        rest = rest.replacen(piece, " ", 1);
    }
    rest
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
    let is_sign = |token: &&str| !token.is_empty() && token.len() <= 4 && token.chars().all(is_mark);
    // A letter needs the sign of equality; a mark tells by itself.
    let at = tokens.iter().position(|token| is_sign(token) || LETTERS.contains(token) && piece.contains(['=', ':']))?;
    let behind = tokens.get(at + 1..)?.iter().filter(|token| !FILLERS.contains(&fold(token).as_str()));
    let unit = behind.map(|token| token.trim_end_matches('.')).collect::<Vec<_>>().join(" ");
    let best = unit::read(&unit, None).into_iter().next()?;
    let is_electric =
        matches!(best.unit.dimension, Dimension::Resistance | Dimension::Current | Dimension::Capacitance);
    (is_electric && unit.chars().count() > 1 && best.weight >= 0.55).then(|| (tokens[at].to_owned(), unit))
}

const fn is_mark(c: char) -> bool {
    matches!(c, '*' | '†' | '‡' | '#' | '¹' | '²' | '³')
}

#[cfg(test)]
mod tests {
    use super::{explained, without};

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
}

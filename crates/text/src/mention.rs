//! What a text mentions, whatever it says of it: voltages, times and units that stand in it. Enough to doubt what something else
//! tells, never enough to believe it.

use crate::date;
use crate::figures;
use crate::fold::fold;
use crate::marks::{self, is_kind};
use crate::unit;
use crate::volts::{self, Whose, is_usual};
use regex::Regex;
use std::ops::Range;
use std::sync::LazyLock;
use windrow_model::{Dimension, PartialDate, Precision, Unit};

/// Longest text that is looked at, bytes: what is longer is a report.
const LONGEST: usize = 400;

/// One time of a text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Timed {
    /// Its bytes.
    pub(crate) at: Range<usize>,
    /// How long, s.
    pub(crate) seconds: f64,
}

/// The times of a text, in order: numbers or words for them before a unit of time. "1500 1/min" tells none.
pub(crate) fn times(text: &str) -> Vec<Timed> {
    static TIME: LazyLock<Option<Regex>> = LazyLock::new(|| {
        let number = r"(\d{1,3}(?:[.,]\d)?|one|ten|half|eine|einer|zehn|une|dix|un|uno|diez|medio)";
        let unit = r"(s|secs?|seconds?|sek|sekunden?|segundos?|seg|secondes?|min|mins|minutes?|minuten?|minutos?|mn)";
        Regex::new(&format!(r"(?i)(?:^|[^\w.,/-])({number}[\s-]{{0,2}}(?:a\s)?{unit}\b\.?)")).ok()
    });
    let found = TIME.as_ref().into_iter().flat_map(|regex| regex.captures_iter(text));
    let read = |found: regex::Captures<'_>| {
        let word = |at: usize| found.get(at).map_or("", |found| found.as_str()).to_lowercase();
        let number = match word(2).as_str() {
            "one" | "eine" | "einer" | "une" | "un" | "uno" => 1.0,
            "ten" | "zehn" | "dix" | "diez" => 10.0,
            "half" | "medio" => 0.5,
            digits => digits.replace(',', ".").parse().ok()?,
        };
        let unit = if word(3).starts_with('m') { Unit::MINUTE } else { Unit::SECOND };
        Some(Timed { at: found.get(1)?.range(), seconds: unit.to_stored(number) })
    };
    found.filter_map(read).collect()
}

/// The voltages that a text mentions and that it does not call a machine's, V: those that insulation is usually tested with, and
/// those that it says were put on.
///
/// ```
/// use windrow_text::mention::test_volts;
/// assert_eq!(test_volts("1000 volts this time"), [1000.0]);
/// assert_eq!(test_volts("rewound for 4160 V"), []);
/// ```
#[must_use]
pub fn test_volts(text: &str) -> Vec<f64> {
    if text.len() > LONGEST {
        return Vec::new();
    }
    let named = volts::named(text).into_iter();
    let told =
        named.filter(|named| named.whose == Whose::Test || named.whose == Whose::Untold && is_usual(named.volts));
    told.map(|named| named.volts).collect()
}

/// The times that a text mentions, s.
///
/// ```
/// use windrow_text::mention::seconds;
/// assert_eq!(seconds("30 secs only, had to sail"), [30.0]);
/// assert_eq!(seconds("after 10 min"), [600.0]);
/// assert_eq!(seconds("1500 1/min"), []);
/// ```
#[must_use]
pub fn seconds(text: &str) -> Vec<f64> {
    if text.len() > LONGEST {
        return Vec::new();
    }
    times(text).into_iter().map(|timed| timed.seconds).collect()
}

/// The units of insulation resistance, kilohms and more, that a text names without a number before them ("GΩ, rewound",
/// "from here on in GIGOHMS").
///
/// ```
/// use windrow_text::mention::resistance_units;
/// use windrow_model::Unit;
/// assert_eq!(resistance_units("UNIT GIGOHMS, all phases"), [Unit::GIGOHM]);
/// assert_eq!(resistance_units("was 2 GΩ last year"), []);
/// assert_eq!(resistance_units("total kW"), []);
/// assert_eq!(resistance_units("GOhm??"), [Unit::GIGOHM]);
/// ```
#[must_use]
pub fn resistance_units(text: &str) -> Vec<Unit> {
    if text.len() > LONGEST {
        return Vec::new();
    }
    let mut units = Vec::new();
    let mut before: Option<&str> = None;
    let is_edge = |c: char| c.is_whitespace() || matches!(c, ',' | ';' | '(' | ')' | '[' | ']' | ':' | '?' | '!');
    for word in text.split(is_edge) {
        let is_measured = before.is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()));
        before = Some(word).filter(|word| !word.is_empty()).or(before);
        if is_measured || word.chars().count() < 2 {
            continue;
        }
        // "kW" is a lost omega only where nothing else can be meant.
        let word = word.trim_end_matches('.');
        let is_of_other =
            unit::read(word, None).first().is_some_and(|first| first.unit.dimension != Dimension::Resistance);
        let best = unit::read(word, Some(Dimension::Resistance)).into_iter().next().filter(|_| !is_of_other);
        if let Some(best) = best.filter(|best| best.weight >= 0.8 && best.unit.to_stored(1.0) >= 1e3)
            && !units.contains(&best.unit)
        {
            units.push(best.unit);
        }
    }
    units
}

/// The days that a text mentions, each with all that it may mean.
///
/// ```
/// use windrow_model::PartialDate;
/// let days = windrow_text::mention::days("received 31.01.2002, sent back 6 Feb 2002");
/// assert_eq!(days.len(), 2);
/// assert_eq!(Some(days[0][0]), PartialDate::day(2002, 1, 31));
/// ```
#[must_use]
pub fn days(text: &str) -> Vec<Vec<PartialDate>> {
    let mut found = date::find_all(text);
    found.retain(|(_, meaning)| !meaning.bare_number && meaning.date.precision == Precision::Day);
    let of_one = found.chunk_by(|one, next| one.0 == next.0);
    of_one.map(|meanings| meanings.iter().map(|(_, meaning)| meaning.date).collect()).collect()
}

/// The days, months or years of another visit from which a remark says that its value is ("Wert von 2011 übernommen", "de la ronda de
/// septiembre de 2018").
///
/// ```
/// use windrow_text::mention::other_visits;
/// assert_eq!(other_visits("nicht gemessen, Wert von 2011 übernommen").len(), 1);
/// assert!(other_visits("rewound 2011").is_empty() && other_visits("copied from the card").is_empty());
/// ```
#[must_use]
pub fn other_visits(text: &str) -> Vec<PartialDate> {
    if !figures::says_taken_over(text) && !marks::names_other_visit(text) {
        return Vec::new();
    }
    let words = text.split(|c: char| !c.is_alphanumeric()).filter(|word| date::is_year_alone(word));
    let years = words.flat_map(date::read).map(|meaning| meaning.date);
    let found: Vec<PartialDate> = date::find_all(text).into_iter().map(|(_, meaning)| meaning.date).collect();
    if found.is_empty() { years.collect() } else { found }
}

/// Whether a clause of a remark says that nothing was measured, of whatever ("not tested, running"); "winding temperature not measured"
/// says it of that.
#[must_use]
pub fn says_not_done(text: &str) -> bool {
    let mut clauses = text.split([';', ',', '.', '(', ')', '–']).map(|clause| fold(clause.trim()));
    clauses.any(|clause| is_kind(&clause, "not_done"))
}

/// Whether a remark asks which of two it is ("M or k?", "this or M20? Labels swapped", "¿o era el 11?").
///
/// ```
/// use windrow_text::mention::asks_which;
/// assert!(asks_which("12 was? M oder k, Zettel nass") && asks_which("¿o era el 11? placas iguales"));
/// assert!(!asks_which("bearing noise?") && !asks_which("wash or dry"));
/// ```
#[must_use]
pub fn asks_which(text: &str) -> bool {
    text.contains('?') && fold(text).split(' ').any(|word| is_kind(word, "or"))
}

/// Whether a text tells a day by another one: "a day later", "am Folgetag", "after 36 h in the oven".
#[must_use]
pub fn tells_relative_day(text: &str) -> bool {
    let folded = fold(text);
    let all: Vec<&str> = folded.split(' ').collect();
    let is_count = |word: &str| !word.is_empty() && word.bytes().all(|b| b.is_ascii_digit());
    let is_after_hours = |three: &[&str]| {
        is_kind(three[0], "after") && is_count(three[1]) && (is_kind(three[2], "hours") || is_kind(three[2], "day"))
    };
    if all.get(..3).is_some_and(is_after_hours) {
        return true;
    }
    let mut words = all.into_iter().peekable();
    let mut is_day = false;
    while let Some(word) = words.next() {
        let is_later = |next: &&str| is_kind(next, "later");
        let is_next = is_kind(word, "following") && words.peek().is_some_and(|next| is_kind(next, "day"));
        if is_next
            || is_kind(word, "next_day")
            || (is_kind(word, "day") || is_day) && words.peek().is_some_and(is_later)
        {
            return true;
        }
        is_day = is_kind(word, "day");
    }
    false
}

/// Whether a text speaks of what stands above it: "the rotor column above", "die Werte über dieser Zeile", "some rows are in MΩ, though
/// the heading says kΩ".
#[must_use]
pub fn looks_up(text: &str) -> bool {
    let folded = fold(text);
    let words: Vec<&str> = folded.split(' ').collect();
    // "As above, but the rotor" goes on with what follows.
    let is_like = words.windows(2).any(|two| is_kind(two[0], "like_word") && is_kind(two[1], "upward"));
    let speaks_of_table = || {
        words.iter().any(|word| is_kind(word, "part_of_table")) && !words.iter().any(|word| is_kind(word, "downward"))
    };
    !is_like && (words.iter().any(|word| is_kind(word, "upward")) || speaks_of_table())
        || words.windows(2).any(|two| is_kind(two[0], "over") && is_kind(two[1], "this"))
}

#[cfg(test)]
mod tests {
    use super::{looks_up, tells_relative_day, test_volts};

    /// Wordings: common practice, no source.
    #[test]
    fn volts_of_a_new_tester_are_mentioned_and_those_of_machines_are_not() {
        assert_eq!(test_volts("NOTE Aug 1993: new tester. From here on 5000 V, readings in GIGOHMS"), [5000.0]);
        assert_eq!(test_volts("PUMP STATION BIG SPILLWAY (4160 V)"), []);
        assert_eq!(test_volts("ab hier 2,5 kV"), [2500.0]);
        assert_eq!(test_volts("6.6 kV motors"), []);
    }

    /// Wordings: common practice, no source.
    #[test]
    fn days_told_by_others_and_lines_above_are_known() {
        for text in [
            "the same, a day later",
            "Lo mismo de EXT-1, un día después",
            "am Folgetag",
            "al día siguiente",
            "am folgenden Tag",
            "the next day",
            "le lendemain",
            "einen Tag später",
        ] {
            assert!(tells_relative_day(text), "{text}");
        }
        assert!(tells_relative_day("Après 12 h à l'étuve") && tells_relative_day("nach 36 Std. im Ofen"));
        for text in ["after 10 min", "later that year", "day shift", "3 days idle", "tag after rewind: P-2"] {
            assert!(!tells_relative_day(text), "{text}");
        }
        assert!(
            looks_up("Die drei Werte über dieser Zeile sind in Megaohm") && looks_up("rotor column above in kilohm")
        );
        assert!(looks_up("Algunas filas están en MΩ aunque el título diga kΩ") && looks_up("two rows are in GΩ"));
        assert!(!looks_up("rows below are in GΩ"));
        assert!(!looks_up("über Nacht getrocknet") && !looks_up("readings below are in GΩ"));
        assert!(!looks_up("scale ends at 2000, max 500") && !looks_up("high and dry"));
        assert!(!looks_up("wie oben, jedoch Läufer, 500 V, kΩ") && !looks_up("same as above, in kΩ"));
    }
}

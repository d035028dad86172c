//! Words and signs that are not values: ditto marks, "not tested", events, statistics, verdicts (`data/words.csv`).

use crate::data;
use crate::fold::fold;
use std::collections::HashMap;
use std::sync::LazyLock;

const WORDS: &str = include_str!("../data/words.csv");

/// Kinds of the word list by folded word; a word may have several.
static KINDS: LazyLock<HashMap<&'static str, Vec<&'static str>>> = LazyLock::new(|| {
    let mut kinds: HashMap<&str, Vec<&str>> = HashMap::new();
    for [kind, word] in data::rows::<2>(WORDS) {
        kinds.entry(word).or_default().push(kind);
    }
    kinds
});

/// Longest text that can be one of these words, in bytes.
const LONGEST: usize = 48;

/// Whether the folded `word` is listed as `kind`.
pub(crate) fn is_kind(word: &str, kind: &str) -> bool {
    KINDS.get(word).is_some_and(|kinds| kinds.contains(&kind))
}

fn is_text_of(text: &str, kind: &str) -> bool {
    let text = text.trim();
    text.len() <= LONGEST && is_kind(&fold(text), kind)
}

/// Whether `text` is a ditto mark or word (`"`, `''`, `do.`, `same`, `idem`, `dto`).
#[must_use]
pub fn is_ditto(text: &str) -> bool {
    let text = text.trim();
    let signs = !text.is_empty()
        && text.chars().all(|c| matches!(c, '"' | '\'' | '″' | '〃' | '“' | '”' | '„' | '’' | '-' | ' ' | '|' | '↓'));
    let quotes = text.chars().filter(|c| !matches!(c, '-' | ' ')).count();
    (signs && quotes > 0) || is_text_of(text, "ditto")
}

/// Whether a word is one for a form or document, so that the code behind it ("Form QA/7") is that of the paper and of no machine.
#[must_use]
pub fn names_document(word: &str) -> bool {
    is_text_of(word.trim_matches(['(', ')', ':', ',', '.']), "document")
}

/// Whether a heading is a word for the motions of a crane: what stands below ("Hoist", "Slew") are parts of the machine that a title names.
#[must_use]
pub fn heads_motions(heading: &str) -> bool {
    is_text_of(heading, "motion")
}

/// Whether a heading is a word for a machine and for an instrument alike ("Appareil", "Gerät").
#[must_use]
pub fn names_apparatus(heading: &str) -> bool {
    is_text_of(heading, "apparatus")
}

/// Whether a heading asks for the thing ("What", "Was"), and says nothing else.
#[must_use]
pub fn asks_what(heading: &str) -> bool {
    is_kind(&fold(heading.trim_matches(['?', '¿', ' '])), "asks_what")
}

/// Whether a heading asks for the place ("Where", "Wo").
#[must_use]
pub fn asks_where(heading: &str) -> bool {
    is_kind(&fold(heading.trim_matches(['?', '¿', ' '])), "asks_where")
}

/// Whether a text explains ditto marks as what stands at their left ("the sign \" means: as at the left"), or as what was before, which
/// in a table of months may stand there.
///
/// ```
/// assert!(windrow_text::marks::repeats_the_left("Das Zeichen \" heißt: wie links."));
/// assert!(windrow_text::marks::repeats_the_left("\" = same as the previous quarter"));
/// assert!(!windrow_text::marks::repeats_the_left("\" = same as the previous line"));
/// assert!(!windrow_text::marks::repeats_the_left("left motor \"A\""));
/// ```
#[must_use]
pub fn repeats_the_left(text: &str) -> bool {
    let folded = fold(text);
    let says = |kind: &str| folded.split(' ').any(|word| is_kind(word, kind));
    let begins_with_mark = text.trim_start().split(['=', ':']).next().is_some_and(|sign| is_ditto(sign.trim()));
    let is_of_line = || says("line_word") || says("upward");
    (says("leftward") || says("earlier_value") && !is_of_line()) && (says("ditto") || says("sign") || begins_with_mark)
}

/// The clause of a note that says that blank cells are as those above them, and so of which columns it speaks
/// ("leere Felder in Datum und U = wie darüber").
///
/// ```
/// let note = "leere Felder in Datum und U = wie darüber";
/// assert_eq!(windrow_text::marks::blanks_as_above(note), Some(note));
/// assert_eq!(windrow_text::marks::blanks_as_above("blank = not tested; \" = as above"), None);
/// assert_eq!(windrow_text::marks::blanks_as_above("empty cells: see the list above"), None);
/// ```
#[must_use]
pub fn blanks_as_above(text: &str) -> Option<&str> {
    text.split([';', ',', '.', '–', '|', '(', ')']).map(str::trim).find(|clause| {
        let folded = fold(clause);
        let words: Vec<&str> = folded.split(' ').collect();
        let at = |kind: &str| words.iter().position(|word| is_kind(word, kind));
        let denies = words.iter().any(|word| is_kind(word, "denial") || is_kind(word, "lack"));
        let is_like = |(from, like): (usize, &[&str])| {
            let [first, rest @ ..] = like else { return false };
            is_kind(first, "like_word")
                && rest.iter().any(|word| is_kind(word, "upward"))
                && at("blank_field").is_some_and(|blank| blank < from)
        };
        let is_said = (2..=3).any(|length| words.windows(length).enumerate().any(is_like));
        is_said && !denies && clause.matches('=').count() <= 1
    })
}

/// Whether a text is a word for months and nothing else ("Monat", "Mois").
#[must_use]
pub fn names_months(text: &str) -> bool {
    is_text_of(text, "month_word")
}

/// Whether a label is one for how long a test lasts ("Duration min", "Prüfdauer"), and no time of a reading.
#[must_use]
pub fn names_duration(label: &str) -> bool {
    fold(label).split(' ').any(|word| is_kind(word, "duration"))
}

/// Whether `text` says that what it names was measured one against the other ("entre ph. U-V").
#[must_use]
pub fn says_between(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "between"))
}

/// Whether a text says how a test ended ("no breakdown, stopped at 10 kV"): its voltage is where, and not what readings were taken at.
///
/// ```
/// use windrow_text::marks::says_end;
/// assert!(says_end("No breakdown, stopped at 10 kV.") && says_end("Abbruch bei 8 kV"));
/// assert!(!says_end("Insulation at 5 kV, one minute") && !says_end("motor stopped two hours, 500 V"));
/// ```
#[must_use]
pub fn says_end(text: &str) -> bool {
    let is_end = |two: &[&str]| two.iter().any(|word| is_kind(word, "ended")) || is_kind(&two.join(" "), "ended");
    let says = |clause: &str| {
        let folded = fold(clause);
        let words: Vec<&str> = folded.split(' ').collect();
        let at = words.iter().position(|word| word.starts_with(|c: char| c.is_ascii_digit()));
        at.is_some_and(|at| {
            words
                .get(..at)
                .is_some_and(|before| before.windows(2).any(is_end) || before.iter().any(|word| is_kind(word, "ended")))
        })
    };
    text.split([',', ';']).any(says)
}

/// Whether a text names a round of tests ("Campaign 3", "Revision Herbst"), in one of its words.
///
/// ```
/// use windrow_text::marks::names_campaign;
/// assert!(names_campaign("Campagne d'hiver") && !names_campaign("Quilmo plant"));
/// ```
#[must_use]
pub fn names_campaign(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "campaign"))
}

/// Whether a title tells a part, side, speed or state of machines, or a turn of tests, and so no place: "Low speed", "Cold", "Night shift".
///
/// ```
/// use windrow_text::marks::names_no_place;
/// assert!(names_no_place("Low speed") && names_no_place("Kalt") && !names_no_place("M.V. Sandpiper"));
/// ```
#[must_use]
pub fn names_no_place(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "no_place"))
}

/// Whether a title says that a list goes on ("continued", "Fortsetzung von Blatt 1").
///
/// ```
/// use windrow_text::marks::says_it_goes_on;
/// assert!(says_it_goes_on("Pumps (continued)") && says_it_goes_on("Suite de la liste") && !says_it_goes_on("Le Courlis"));
/// ```
#[must_use]
pub fn says_it_goes_on(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "goes_on"))
}

/// Whether `text` says that nothing was measured (`n/t`, `o/s`, `-`, `not tested`, `hors service`, `nicht gemessen`).
#[must_use]
pub fn is_void(text: &str) -> bool {
    let text = text.trim();
    let dashes = !text.is_empty() && text.chars().all(|c| matches!(c, '-' | '–' | '—' | '.' | '_' | '/'));
    dashes || is_text_of(text, "void")
}

/// What happened to a machine, as a word in a cell.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Event {
    /// Rewound.
    Rewound,
    /// Cleaned.
    Cleaned,
    /// Dried or baked.
    Dried,
    /// Replaced, repaired, swapped, sold, spare.
    Replaced,
}

/// The event that `text` tells, if it begins with one.
#[must_use]
pub fn event(text: &str) -> Option<Event> {
    let events = [
        ("rewound", Event::Rewound),
        ("cleaned", Event::Cleaned),
        ("dried", Event::Dried),
        ("replaced", Event::Replaced),
    ];
    leading(text, |word| events.iter().find(|(kind, _)| is_kind(word, kind)).map(|(_, event)| *event))
}

/// A figure that the source computed or set, not measured.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Statistic {
    /// Average, mean.
    Mean,
    /// Total, sum.
    Total,
    /// Lowest.
    Lowest,
    /// Highest.
    Highest,
    /// Limit, minimum required, specification.
    Limit,
    /// Count of tests, number of pages.
    Count,
    /// Computed difference, percentage of last.
    Computed,
}

const STATISTICS: [(&str, Statistic); 7] = [
    ("mean", Statistic::Mean),
    ("total", Statistic::Total),
    ("lowest", Statistic::Lowest),
    ("highest", Statistic::Highest),
    ("limit", Statistic::Limit),
    ("count", Statistic::Count),
    ("computed", Statistic::Computed),
];

/// The statistic that a label names, if it begins or ends with one (`"AVG"`, `"Mittelwert"`, `"lowest"`, `"min. allowed"`).
#[must_use]
pub fn statistic(text: &str) -> Option<Statistic> {
    // The sign for a mean in German tables, which folds to a letter.
    if matches!(text.trim(), "Ø" | "ø" | "∅") {
        return Some(Statistic::Mean);
    }
    let find = |word: &str| STATISTICS.iter().find(|(kind, _)| is_kind(word, kind)).map(|(_, statistic)| *statistic);
    leading(text, find).or_else(|| {
        let folded = fold(text);
        // "R mean 20 °C": the reference of a correction stands behind all else.
        let is_reference = |word: &str| word.trim_end_matches(['°', 'c']).chars().all(|c| c.is_ascii_digit());
        let last = folded.split(' ').rfind(|word| !is_reference(word));
        last.and_then(find).filter(|_| folded.split(' ').count() <= 5)
    })
}

/// Whether a label says that what it heads is what was promised, and nothing that was measured ("Rated", "Nennwert (Ω)", "Valeur
/// plaque").
#[must_use]
pub fn is_nominal(label: &str) -> bool {
    let bare = label.split(['(', '[', ',']).next().unwrap_or_default();
    is_kind(fold(bare.trim_end_matches([':', ' '])).trim(), "nominal")
}

/// Whether words end in a unit that no winding is measured in ("Pluie mm"): what they name is another figure, and no machine.
#[must_use]
pub fn ends_in_other_unit(text: &str) -> bool {
    let Some((name, unit)) = text.trim().rsplit_once([' ', '(', '[']) else { return false };
    let unit = unit.trim_matches(['(', ')', '[', ']', '.']);
    name.chars().any(char::is_alphabetic) && !unit.starts_with(char::is_uppercase) && is_kind(&fold(unit), "other_unit")
}

/// Whether a remark says that its value is that of another round or card ("de la ronda de …", "Wert von …").
#[must_use]
pub(crate) fn names_other_visit(remark: &str) -> bool {
    let folded = fold(remark);
    let words: Vec<&str> = folded.split(' ').collect();
    (1..=4).any(|length| words.windows(length).any(|phrase| is_kind(&phrase.join(" "), "other_visit")))
}

/// The name of an exciter in a label, as written: a machine that feeds the field of another. "Erregerwicklung" is a field, and "Erreger" is short for it.
///
/// ```
/// use windrow_text::marks::exciter;
/// assert_eq!(exciter("Pilot exciter armature to earth"), Some("exciter"));
/// assert_eq!(exciter("Hilfserreger Anker gegen Gehäuse:"), Some("Hilfserreger"));
/// assert!(exciter("Erregerwicklung gegen Welle").is_none() && exciter("Erreger gegen Masse").is_none(), "fields");
/// ```
#[must_use]
pub fn exciter(label: &str) -> Option<&str> {
    label.split(|c: char| !c.is_alphanumeric()).find(|word| is_kind(&fold(word), "exciter"))
}

/// Whether a text names the test that compares the surges of two phases.
///
/// ```
/// use windrow_text::marks::names_surge_test;
/// assert!(names_surge_test("Surge test") && names_surge_test("Essai d'onde de choc") && !names_surge_test("Peak"));
/// ```
#[must_use]
pub fn names_surge_test(text: &str) -> bool {
    holds_phrase(&fold(text), "surge_test")
}

/// Whether a text names surges or impulses at all, as the test or as its voltage: beside a difference it is that of the traces.
///
/// ```
/// use windrow_text::marks::names_surges;
/// assert!(names_surges("Impulso, dif. %") && names_surges("Stoß %") && !names_surges("Dif. %"));
/// ```
#[must_use]
pub fn names_surges(text: &str) -> bool {
    let folded = fold(text);
    holds_phrase(&folded, "surge_word") || holds_phrase(&folded, "surge_test")
}

/// Whether a label names the greatest, the least or the change of the values above it and nothing else ("Máx.", "Δ"); "min" is a minute
/// as often.
#[must_use]
pub fn is_extreme(label: &str) -> bool {
    let folded = fold(label);
    let is = |kind: &str| is_kind(folded.trim_end_matches('.'), kind);
    is("most") || is("change") || is("least") && folded.len() > 3 || matches!(label.trim(), "Δ" | "∆")
}

/// Whether a text calls a machine cold or hot ("kalt, 18 °C").
#[must_use]
pub fn says_how_warm(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "warmth"))
}

/// Whether a label heads the values of other labels ("Item | Data", "Prüfung | Wert").
#[must_use]
pub fn heads_values(label: &str) -> bool {
    is_kind(&fold(label), "value_head")
}

/// Whether a label heads codes of how an instrument was set ("Range", "Stufe", "V").
#[must_use]
pub fn heads_settings(label: &str) -> bool {
    fold(label).split(' ').next_back().is_some_and(|word| is_kind(word, "code_of_setting"))
}

/// The statistic that a label begins with in two words or more, where the first alone could be a unit ("min. allowed").
#[must_use]
pub fn statistic_phrase(text: &str) -> Option<Statistic> {
    let find = |words: &str| {
        let told = STATISTICS.iter().find(|(kind, _)| is_kind(words, kind)).map(|(_, statistic)| *statistic);
        told.filter(|_| words.contains(' '))
    };
    leading(text, find)
}

/// What `find` says of the longest run of words at the beginning of `text`.
fn leading<T>(text: &str, find: impl Fn(&str) -> Option<T>) -> Option<T> {
    if text.len() > 4 * LONGEST {
        return None;
    }
    let folded = fold(text);
    let mut head = folded.as_str();
    loop {
        if let Some(found) = find(head) {
            return Some(found);
        }
        head = &head[..head.rfind(' ')?];
    }
}

/// A verdict word.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Verdict {
    /// Pass, OK, withstood.
    Pass,
    /// Fail, broke down, flashover.
    Fail,
    /// Marginal, watch.
    Marginal,
    /// Stopped, aborted.
    Stopped,
}

/// The verdict that `text` tells, if it is one.
#[must_use]
pub fn verdict(text: &str) -> Option<Verdict> {
    let verdicts = [
        ("pass", Verdict::Pass),
        ("fail", Verdict::Fail),
        ("marginal", Verdict::Marginal),
        ("stopped", Verdict::Stopped),
    ];
    leading(text, |word| verdicts.iter().find(|(kind, _)| is_kind(word, kind)).map(|(_, verdict)| *verdict))
}

/// Whether `text` is the label of the time of day at which voltage was applied ("Voltage on at", "Spannung ein").
#[must_use]
pub fn is_voltage_on(text: &str) -> bool {
    is_text_of(text, "voltage_on")
}

/// Whether a flag says yes or no ("T", "ja", "1", "x"; "F", "nein", "0"); `None` for anything else. A mark of over-range is a yes.
#[must_use]
pub fn yes_or_no(text: &str) -> Option<bool> {
    let text = text.trim();
    if matches!(text, "" | "-" | "–" | "—") {
        return Some(false);
    }
    if text.len() > LONGEST {
        return None;
    }
    let folded = fold(text);
    let is = |kind| is_kind(&folded, kind);
    if is("yes") || is("above") || matches!(text, "*" | ">" | "✓" | "☑" | "☒") {
        return Some(true);
    }
    is("no").then_some(false)
}

/// Whether a text has a word for hours ("Drying time, h").
///
/// ```
/// assert!(windrow_text::marks::names_hours("Durée étuve h"));
/// assert!(!windrow_text::marks::names_hours("Time, min"));
/// ```
#[must_use]
pub fn names_hours(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "hours"))
}

/// Words at the beginning of a text among which one says that it is about ratings.
const RATING_WORDS: usize = 2;

/// Whether a text begins with a word for what a maker promises ("Rated values", "Nennwerte laut Werk").
///
/// ```
/// use windrow_text::marks::names_ratings;
/// assert!(names_ratings("Rated values from the test sheet, at 20 °C"));
/// assert!(!names_ratings("values at 20 °C"));
/// ```
#[must_use]
pub fn names_ratings(text: &str) -> bool {
    fold(text).split(' ').filter(|word| !word.is_empty()).take(RATING_WORDS).any(|word| is_kind(word, "nominal"))
}

/// Longest phrase of the list that [`holds_phrase`] looks for, in words.
pub(crate) const LONGEST_PHRASE: usize = 4;

/// Whether a folded text holds a phrase of the kind.
pub(crate) fn holds_phrase(folded: &str, kind: &str) -> bool {
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    (1..=LONGEST_PHRASE).any(|length| words.windows(length).any(|phrase| is_kind(&phrase.join(" "), kind)))
}

/// Whether a label names a power factor, which is the motor's or the insulation's.
#[must_use]
pub fn names_power_factor(label: &str) -> bool {
    holds_phrase(&fold(label), "power_factor")
}

/// Whether a label names the tangent of the loss angle.
#[must_use]
pub fn names_tangent(label: &str) -> bool {
    holds_phrase(&fold(label), "tangent")
}

/// Whether a heading names the range of an instrument.
#[must_use]
pub fn names_range(text: &str) -> bool {
    fold(text).split(' ').any(|word| is_kind(word, "range"))
}

#[cfg(test)]
mod tests {
    use super::{Event, Statistic, Verdict, event, is_ditto, is_nominal, is_void, statistic, verdict, yes_or_no};

    /// Spellings of the trade: common practice, no source.
    #[test]
    fn marks_in_four_languages() {
        for ditto in
            ["\"", "''", "do.", "-\"-", "same", "idem", "dto.", "″", "wie vor", "même", "como arriba", "idem ci-dessus"]
        {
            assert!(is_ditto(ditto), "{ditto}");
        }
        for void in ["n/t", "o/s", "-", "—", "n/a", "not tested", "hors service", "nicht gemessen", "sin datos"] {
            assert!(is_void(void), "{void}");
        }
        assert!(!is_ditto("11") && !is_ditto("-") && !is_void("850") && !is_void("P-101"));
        for (text, told) in
            [("T", true), ("ja", true), ("1", true), ("OVR", true), ("F", false), ("non", false), ("", false)]
        {
            assert_eq!(yes_or_no(text), Some(told), "{text}");
        }
        assert_eq!((yes_or_no("850"), yes_or_no("?")), (None, None));
        assert_eq!(event("REWOUND 1987"), Some(Event::Rewound));
        assert_eq!(event("nettoyé"), Some(Event::Cleaned));
        assert_eq!(statistic("Average:"), Some(Statistic::Mean));
        assert_eq!(statistic("Mittelwert"), Some(Statistic::Mean));
        assert_eq!(statistic(" Ø "), Some(Statistic::Mean));
        assert_eq!(statistic("Min. required"), Some(Statistic::Limit));
        assert_eq!(statistic("r mean 20c"), Some(Statistic::Mean));
        assert_eq!(statistic("R mittel 20 °C"), Some(Statistic::Mean));
        assert_eq!(statistic("mean of three taken 20"), Some(Statistic::Mean));
        assert_eq!(statistic("insulation R 20 °C"), None);
        assert_eq!(statistic("Insulation"), None);
        for text in ["Rated", "Nennwert (Ω)", "Valeur plaque :", "Placa", "Nominal value, MΩ"] {
            assert!(is_nominal(text), "{text}");
        }
        assert!(!is_nominal("Rated voltage") && !is_nominal("Measured") && !is_nominal("Nominal power (kW)"));
        assert_eq!(verdict("Withstood"), Some(Verdict::Pass));
        assert_eq!(verdict("nicht bestanden"), Some(Verdict::Fail));
        assert_eq!(verdict("850"), None);
    }
}

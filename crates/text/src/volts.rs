//! Voltages that a text names, and whose each of them is: put on for a test, or that of a machine or plant (`data/words.csv`).

use crate::fold::fold;
use crate::marks::is_kind;
use crate::number;
use crate::said;
use crate::vocabulary::{self, Concept};
use regex::Regex;
use std::sync::LazyLock;
use windrow_model::Unit;

/// Voltages of tests, V: a number that can be read in two ways is the one of these. Common practice, no source.
pub(crate) const TEST_VOLTS: std::ops::RangeInclusive<f64> = 100.0..=100_000.0;
/// Direct voltages that insulation testers give, V: one alone in a remark is the test's. Common practice, no source.
const TEST_STEPS: [f64; 6] = [250.0, 500.0, 1000.0, 2500.0, 5000.0, 10_000.0];
/// Others that insulation is tested with, V: below, between and above the steps of IEEE 43-2013 table 1 (from memory), common practice.
const FURTHER_STEPS: [f64; 4] = [50.0, 100.0, 2000.0, 15_000.0];
/// Words before a voltage, and behind it, that can say whose it is.
const NEAR: usize = 4;

static VOLTAGE: LazyLock<Option<Regex>> = LazyLock::new(|| {
    Regex::new(
        r"(?i)\b(\d{1,3}[ \u{a0}\u{202f}]\d{3}|\d[\d.,]*)\s*(kv|v|volts?)(?:\b\s*(?:d\.?\s?c\.?|a\.?\s?c\.?|dc|ac|cc|ca|=)?|dc\b|ac\b|cc\b|ca\b)",
    )
    .ok()
});

/// Whose a voltage is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Whose {
    /// Put on for a test: "at 500 V", "Prüfspannung 3 kV".
    Test,
    /// Of a machine or plant: "6.6 kV motors", "3.3 kV board", "rated 400 V".
    Machine,
    /// Not told.
    Untold,
}

/// A voltage in a text.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Named {
    /// Its bytes.
    pub(crate) at: std::ops::Range<usize>,
    /// Volts.
    pub(crate) volts: f64,
    pub(crate) whose: Whose,
}

/// Whether `volts` is a direct voltage that insulation testers give.
#[must_use]
pub fn is_test_step(volts: f64) -> bool {
    TEST_STEPS.iter().any(|step| (step - volts).abs() < 0.5)
}

/// Whether insulation resistance is usually measured with so many volts.
#[must_use]
pub fn is_usual(volts: f64) -> bool {
    is_test_step(volts) || FURTHER_STEPS.iter().any(|step| (step - volts).abs() < 0.5)
}

/// Whether a text says that so many volts were put on for a test.
///
/// ```
/// use windrow_text::volts::is_applied;
/// assert!(is_applied("Insulation of 6.6 kV motors at 3 kV", 3000.0));
/// assert!(!is_applied("Motor 11 kV insulation resistance", 11_000.0));
/// ```
#[must_use]
pub fn is_applied(text: &str, volts: f64) -> bool {
    named(text).iter().any(|named| named.whose == Whose::Test && (named.volts - volts).abs() < 0.5)
}

/// The voltages of a text, from its beginning. "P-170 V", a machine and a phase, is none.
pub(crate) fn named(text: &str) -> Vec<Named> {
    let found = VOLTAGE.as_ref().into_iter().flat_map(|regex| regex.captures_iter(text));
    let read = |found: regex::Captures<'_>| {
        let (whole, number, unit) = (found.get(0)?, found.get(1)?, found.get(2)?);
        let (start, number) = one_number(text.get(..whole.start())?, number.start(), number.as_str());
        let (before, after) = (text.get(..start)?, text.get(whole.end()..)?);
        if before.ends_with(['-', '_', '/']) || is_per_time(after) {
            return None;
        }
        let meanings = number::read(number);
        // "1.000 V" is a thousand volts, "60.000 V" sixty thousand.
        let usual = meanings.iter().find(|meaning| TEST_VOLTS.contains(&meaning.value)).or(meanings.first());
        let is_kilo = unit.as_str().to_lowercase().starts_with('k');
        let value = usual.filter(|_| !is_kilo).or(meanings.first())?.value;
        let volts = if is_kilo { Unit::KILOVOLT } else { Unit::VOLT }.to_stored(value);
        // The end of a number that is cut in a way nobody knows.
        if volts <= 0.0 {
            return None;
        }
        // "24 V-Meldeanlage" is a plant of so many volts, "500 V-DC" a voltage.
        let joined = after.strip_prefix('-').map_or(0, |word| word.chars().take_while(|c| c.is_alphabetic()).count());
        let whose =
            if joined >= 4 { Whose::Machine } else { whose(before, text.get(start..whole.end())?, after, volts) };
        Some(Named { at: start..whole.end(), volts, whose })
    };
    found.filter_map(read).collect()
}

/// Where a number begins and what of it is the voltage: "à 2 500 V" is one number in two groups, "Motor 2 500 V" is the name of a machine
/// and its volts. Nobody but who parts thousands puts a blank that does not break into a number, or one before three zeros.
fn one_number<'t>(before: &str, start: usize, number: &'t str) -> (usize, &'t str) {
    let Some((first, last)) = number.split_once(' ') else { return (start, number) };
    let lead = before.trim_end();
    let word = lead.rsplit(|c: char| c.is_whitespace() || matches!(c, '\'' | '’')).next().unwrap_or_default();
    // "P-101 500 V": a sign that joins the number to a word begins none.
    let is_parted = before.ends_with(' ') && lead.ends_with(['-', '–']);
    let is_begun = lead.is_empty() || is_parted || lead.ends_with([',', ';', ':', '(', '[', '=', '@', '|', '~', '≈']);
    // "A 2 500 V" may be of a machine A.
    let is_led = word.starts_with(char::is_lowercase)
        && (["tested_at", "tested_by", "of_word", "approx"].iter().any(|kind| is_kind(&fold(word), kind)));
    let names_voltage = || {
        let names = |concept: Concept| matches!(concept, Concept::TestVoltage | Concept::RatedVoltage);
        vocabulary::hits(&[&fold(word)]).iter().any(|hit| names(hit.concept))
    };
    if last == "000" || !first.starts_with('0') && (is_begun || is_led || names_voltage()) {
        return (start, number);
    }
    (start + first.len() + 1, last)
}

/// Whether "/min" or "/s" stands behind a voltage: how fast it is raised.
fn is_per_time(after: &str) -> bool {
    let Some(unit) = after.trim_start().strip_prefix('/') else { return false };
    let word: String = unit.trim_start().chars().take_while(|c| c.is_alphabetic()).collect();
    // "500 V/S-E" is at phase S.
    if word == "S" {
        return false;
    }
    crate::unit::read(&word, Some(windrow_model::Dimension::Time)).first().is_some_and(|best| best.weight >= 0.5)
}

/// Whose a voltage is, by the words of its clause. Common practice, no source.
fn whose(before: &str, voltage: &str, after: &str, volts: f64) -> Whose {
    const ENDS: [char; 6] = [',', ';', '(', ')', '\n', '|'];
    let mut clauses = before.rsplit(ENDS);
    let (before, last) = (fold(clauses.next().unwrap_or_default()), clauses.next().map(fold));
    let after = fold(after.split(ENDS).next().unwrap_or_default());
    let before: Vec<&str> = before.split(' ').filter(|word| !word.is_empty()).collect();
    let after: Vec<&str> = after.split(' ').filter(|word| !word.is_empty()).collect();
    let near = before.get(before.len().saturating_sub(NEAR)..).unwrap_or_default();
    // "Winch motors, 220 V": a voltage alone in its clause is that of the machines before it.
    let is_alone = before.is_empty() && after.is_empty();
    let of_machine = |last: &String| last.split(' ').next_back().is_some_and(|word| is_thing(word).is_some());
    if is_alone && last.as_ref().is_some_and(of_machine) && !is_test_step(volts) {
        return Whose::Machine;
    }
    let thing = thing_behind(&after);
    match said_before(near) {
        Some(Said::Rated) => return Whose::Machine,
        Some(Said::At) if thing.is_none_or(|thing| thing != Thing::Plant) => return Whose::Test,
        Some(Said::Tested) if thing.is_none() => return Whose::Test,
        Some(Said::OfMachine) if thing.is_none() => {
            return if is_test_step(volts) { Whose::Untold } else { Whose::Machine };
        }
        _ => {}
    }
    let is_direct = fold(voltage).split(' ').any(|word| matches!(word, "dc" | "vdc" | "cc"));
    // "500 V hand generator" is a tester.
    let is_tested = after.first().is_some_and(|word| is_kind(word, "tested_with") || is_kind(word, "hand_driven"));
    match thing {
        Some(Thing::Named) => Whose::Untold,
        Some(_) => Whose::Machine,
        None if is_direct || is_tested => Whose::Test,
        None => Whose::Untold,
    }
}

/// What the words before a voltage say, the nearest first.
enum Said {
    /// "rated", "fed from".
    Rated,
    /// "at", "test voltage".
    At,
    /// "tested", "with".
    Tested,
    /// The name of a machine or plant.
    OfMachine,
}

fn said_before(words: &[&str]) -> Option<Said> {
    let names = |concept: Concept| {
        let last = words.get(words.len().saturating_sub(3)..).unwrap_or_default();
        let mut hits = vocabulary::hits(last).into_iter();
        hits.any(|hit| hit.concept == concept && hit.weight >= 0.9 && hit.to == last.len())
    };
    // "Tension 500 V" names either.
    let (is_rated, is_tested) = (names(Concept::RatedVoltage), names(Concept::TestVoltage));
    if is_rated && !is_tested {
        return Some(Said::Rated);
    }
    let mut weak = (is_tested && !is_rated).then_some(Said::At);
    for (distance, word) in words.iter().rev().enumerate() {
        // "From here on 5000 V" is fed from nothing.
        let behind = words.len().checked_sub(distance).and_then(|next| words.get(next));
        if is_kind(word, "rated") && !behind.is_some_and(|next| is_kind(next, "henceforth")) {
            return Some(Said::Rated);
        }
        if is_kind(word, "tested_with") {
            return weak.or(Some(Said::Tested));
        }
        if is_thing(word).is_some() {
            // "Motors with 6.6 kV" tells what they are, "motors at 500 V" how they were tested.
            return weak.filter(|said| matches!(said, Said::At)).or(Some(Said::OfMachine));
        }
        if distance == 0 && weak.is_none() {
            let (at, with) = (is_kind(word, "tested_at"), is_kind(word, "tested_by"));
            weak = at.then_some(Said::At).or(with.then_some(Said::Tested));
        } else if weak.is_none() && !vocabulary::hits(&[word]).is_empty() {
            return None;
        }
    }
    weak
}

/// What the noun behind a voltage is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Thing {
    /// Machines.
    Machine,
    /// One machine, by its number: "Motor 7".
    Named,
    /// A part of the plant: "board".
    Plant,
}

/// The machine or part of the plant that the words behind a voltage name, with no other word of a test before it.
fn thing_behind(words: &[&str]) -> Option<Thing> {
    for (at, word) in words.iter().take(NEAR).enumerate() {
        if let Some(thing) = is_thing(word) {
            // "6.6 kV pump motors".
            let more = words.get(at + 1).filter(|next| is_thing(next).is_some());
            let behind = words.get(at + 1 + usize::from(more.is_some()));
            let is_numbered = behind.is_some_and(|word| word.contains(|c: char| c.is_ascii_digit()));
            return Some(if is_numbered && thing == Thing::Machine { Thing::Named } else { thing });
        }
        let is_of_test = ["tested_with", "tested_at", "rated", "hand_driven"].iter().any(|kind| is_kind(word, kind));
        if is_of_test || !is_kind(word, "machine_sort") && !vocabulary::hits(&[word]).is_empty() {
            return None;
        }
    }
    None
}

fn is_thing(word: &str) -> Option<Thing> {
    if is_kind(word, "of_plant") {
        return Some(Thing::Plant);
    }
    let is_machine = |word: &str| is_kind(word, "machine_noun") || said::names_machine(word);
    let ends = ["s", "n", "en", "e"].iter().filter_map(|end| word.strip_suffix(end));
    (is_machine(word) || ends.into_iter().any(is_machine)).then_some(Thing::Machine)
}

#[cfg(test)]
mod tests {
    use super::{Whose, named};

    fn all(text: &str) -> Vec<(f64, Whose)> {
        named(text).iter().map(|named| (named.volts, named.whose)).collect()
    }

    /// Wordings of titles: common practice, no source.
    #[test]
    fn a_voltage_of_a_machine_or_plant_is_told_from_that_of_a_test() {
        for (text, volts) in [
            ("Motor 11 kV insulation resistance report", 11_000.0),
            ("Insulation resistance of motors rated 400 V", 400.0),
            ("Motors rated at 500 V", 500.0),
            ("Insulation resistance, pumps fed from 3.3 kV board", 3300.0),
            ("Insulation test 2.5 kV switchgear room", 2500.0),
            ("Insulation test report 6.6 kV motors", 6600.0),
            ("Isolationswiderstand der 6-kV-Motoren", 6000.0),
            ("Isolationswiderstand der 6 kV Motoren", 6000.0),
            ("Nennspannung 500 V", 500.0),
            ("Résistance d'isolement des moteurs 5,5 kV", 5500.0),
            ("Moteurs alimentés en 690 V", 690.0),
            ("Aislamiento, motores de 4,16 kV", 4160.0),
            ("Motores 440 V", 440.0),
            ("500 V DC motors, insulation", 500.0),
            ("Cargo winch motors, 220 V", 220.0),
            ("Pumpenmotoren, 690 V", 690.0),
            ("Motors, left hand board 690 V", 690.0),
        ] {
            let read = all(text);
            let is_part = text.contains("6-kV-Motoren") && read.is_empty();
            assert!(is_part || read == [(volts, Whose::Machine)], "{text}: {read:?}");
        }
        for (text, volts) in [
            ("Motors tested at 6 kV", 6000.0),
            ("IR at 500 V motor P-101", 500.0),
            ("Test voltage 3 kV", 3000.0),
            ("Prüfspannung: 600 V", 600.0),
            ("mit 0,5 kV gemessen", 500.0),
            ("Moteurs essayés sous 6 kV", 6000.0),
            ("Tensión de ensayo 750 V", 750.0),
            ("Insulation resistance 600 V DC", 600.0),
            ("Insulation resistance, 500 V hand generator", 500.0),
            ("with the 250 V magneto", 250.0),
            ("Kurbelinduktor 500 V", 500.0),
        ] {
            assert_eq!(all(text), [(volts, Whose::Test)], "{text}");
        }
        assert_eq!(all("Tensión 1 kV cc"), [(1000.0, Whose::Test)]);
        for text in ["tension 500 V", "Insulation resistance 1000 V", "IR 1000 V Motor 7", "Motor P-101 500 V"] {
            assert_eq!(all(text).first().map(|(_, whose)| *whose), Some(Whose::Untold), "{text}");
        }
        assert_eq!(all("Aislamiento, tensión 1 500 V"), [(1500.0, Whose::Untold)]);
        for text in
            ["Isolement, trois phases, 2 500 V", "Isolement\u{a0}2\u{a0}500 V", "Isolement sous 2 500 V", "at 2 500 V"]
        {
            assert_eq!(all(text).first().map(|(volts, _)| *volts), Some(2500.0), "{text}");
        }
        let both = all("Insulation resistance of 6.6 kV motors at 5 kV");
        assert_eq!(both, [(6600.0, Whose::Machine), (5000.0, Whose::Test)]);
    }

    /// Thousands parted by a blank (ISO 80000-1, 7.3.2); a number behind the name of a machine is part of the name.
    #[test]
    fn a_number_in_two_groups_is_one_voltage_and_the_number_of_a_machine_is_none_of_it() {
        for (text, volts) in [
            ("Résistance d'isolement, 2 500 V CC, en MΩ", 2500.0),
            ("Isolement sous 2 500 V", 2500.0),
            ("Prüfspannung 1 250 V", 1250.0),
            ("(1 500 V)", 1500.0),
            ("Stator 2\u{a0}500 V", 2500.0),
            ("Motor 2 500 V", 500.0),
            ("Pump A 1 500 V", 500.0),
            ("phase 1 500 V", 500.0),
            ("Rotor 2 000 V", 2000.0),
        ] {
            assert_eq!(all(text).first().map(|(volts, _)| *volts), Some(volts), "{text}");
        }
    }
}

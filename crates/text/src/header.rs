//! Labels as sums of components: circuit, time, voltage, unit and reference temperature are cut out, the rest names a concept.

mod cut;
mod field;
mod numbered;
mod surges;
#[cfg(test)]
mod tests;
mod warm_unit;

pub use warm_unit::unit_at_degrees;

use crate::circuit::{self, CircuitMeaning, Named};
use crate::explained;
use crate::fold::{fold, mend};
use crate::initials;
use crate::marks::{self, Statistic};
use crate::unit::{self, UnitMeaning};
use crate::vocabulary::{self, Concept};
use regex::Regex;
use std::borrow::Cow;
use std::sync::LazyLock;
use windrow_model::Dimension;

/// What a label says, component by component.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Label {
    /// Concepts of the words left over, best first, with weights 0 to 1. The last noun decides ("winding temp unit").
    pub concepts: Vec<(Concept, f32)>,
    /// Unit told, best first (`"(MΩ)"`, `"in Megohms"`, `"kV"`).
    pub units: Vec<UnitMeaning>,
    /// Unit as written.
    pub unit_text: String,
    /// A power of ten told without a unit ("×10⁻³"); inner `None` for a factor that is none.
    pub scale: Option<Option<i32>>,
    /// Circuit told.
    pub circuits: Vec<CircuitMeaning>,
    /// Time told, s (`"1 min"`, `"R60"`, `"10'"`).
    pub elapsed_s: Option<f64>,
    /// Voltage told, V (`"at 500 V DC"`, `"2.5 kV"`).
    pub voltage_v: Option<f64>,
    /// Reference temperature of a correction, °C (`"@40C"`, `"R25"`, `"bei 40 °C"`).
    pub reference_c: Option<f64>,
    /// Statistic told (`"mean"`, `"lowest"`, `"min. required"`).
    pub statistic: Option<Statistic>,
    /// What a lone letter at the end may name as a phase ("IR 1 min R"), where the other phases are named alike.
    pub last_letter: Vec<CircuitMeaning>,
    /// Folded words that no component and no concept explains; a non-empty list forbids defaults.
    pub unexplained: Vec<String>,
}

impl Label {
    /// Weight of `concept` in this label, 0 if it does not name it.
    #[must_use]
    pub fn weight(&self, concept: Concept) -> f32 {
        self.concepts.iter().find(|(known, _)| *known == concept).map_or(0.0, |(_, weight)| *weight)
    }

    /// The best concept.
    #[must_use]
    pub fn concept(&self) -> Option<Concept> {
        self.concepts.first().map(|(concept, _)| *concept)
    }
}

/// Longest text that is looked at as a label, in bytes.
const LONGEST: usize = 240;

/// Reads a label. An empty [`Label`] for a text that says nothing known (all its words are then `unexplained`).
///
/// ```
/// use windrow_text::header::read;
/// use windrow_text::vocabulary::Concept;
/// let label = read("Riso 1 min (MΩ)");
/// assert_eq!(label.concept(), Some(Concept::InsulationResistance));
/// assert_eq!(label.elapsed_s, Some(60.0));
/// assert_eq!(label.units[0].unit.ucum, "MOhm");
/// ```
#[must_use]
pub fn read(text: &str) -> Label {
    let text = text.trim();
    if text.is_empty() || text.len() > LONGEST {
        return Label::default();
    }
    // "DIF.%": the point ends a word that was cut short.
    let apart = if text.ends_with(".%") { Cow::Owned(text.replace(".%", ". %")) } else { Cow::Borrowed(text) };
    let text = &*apart;
    let mut label = told(text);
    if initials::are_initials(text) {
        (label.units, label.unit_text) = (Vec::new(), String::new());
    }
    // "IR, not corrected to 40 °C" is as read.
    if explained::denies_correction(text) {
        label.reference_c = None;
        for (concept, _) in label.concepts.iter_mut().filter(|(concept, _)| *concept == Concept::CorrectedResistance) {
            *concept = Concept::InsulationResistance;
        }
    }
    label
}

/// A text without the rates at which a voltage is raised ("1 kV/min"), which are neither voltages nor times.
#[must_use]
pub fn without_rates(text: &str) -> String {
    cut::rate(text)
}

/// A text without the time that it tells ("insulation at 1 min").
#[must_use]
pub fn without_time(text: &str) -> String {
    cut::elapsed(text, &mut Label::default())
}

/// What a label tells, with its factor.
fn told(text: &str) -> Label {
    // The letters of "r.m.s." are no phases.
    let mended = mend(&field::words(&unit_in_brackets(text))).replace("r.m.s.", "rms").replace("R.M.S.", "RMS");
    let mended = spaced_prefix(&mended);
    // "U, V and W tied": one circuit, and no phase that stands first.
    let mended = if circuit::is_tied(&mended) { circuit::joined(&mended).into_owned() } else { mended };
    if let Some((unit, _)) = unit_at_degrees(text) {
        let units = unit::read(unit, Some(Dimension::Resistance));
        return Label { units, unit_text: unit.to_owned(), ..Label::default() };
    }
    // "Mín.": the accent tells the lowest from a minute.
    let short = text.trim().trim_end_matches('.').to_lowercase();
    let lowest = (short == "mín").then_some(marks::Statistic::Lowest);
    if let Some(statistic) = lowest.or_else(|| marks::statistic_phrase(&mended)) {
        return Label { statistic: Some(statistic), ..Label::default() };
    }
    let Some(scale) = unit::scale::find(&mended) else { return components(&mended) };
    let mut label = components(&scale.rest);
    // "×10⁻⁴, 50 Hz": nobody multiplies hertz, volts or minutes.
    let is_scalable = label.units.first().is_some_and(|best| !unit::scale::is_circumstance(best.unit.dimension));
    if is_scalable {
        label.units = unit::scaled(std::mem::take(&mut label.units), scale.power);
        label.unit_text = label.units.first().map(|best| best.unit.symbol.to_owned()).unwrap_or_default();
        if label.units.is_empty() {
            label.scale = Some(None);
        }
        return label;
    }
    if scale.stands_alone || scale.rest.trim().is_empty() {
        label.scale = Some(scale.power);
        return label;
    }
    components(&mended)
}

/// The components of a label without a factor.
fn components(mended: &str) -> Label {
    let mut label = Label::default();
    let rest = numbered::terminals(mended, &mut label);
    let rest = cut::rate(&rest);
    let rest = cut::ratio(&rest, &mut label);
    let rest = cut::reference(&rest, &mut label);
    let rest = cut::elapsed(&rest, &mut label);
    let rest = cut::voltage(&rest, &mut label);
    let rest = cut::unit(&rest, &mut label);
    let rest = if label.units.is_empty() { rest } else { cut::preposition(&rest) };
    let rest = cut::circuit(&rest, &mut label);
    if label.circuits.is_empty() && (label.units.is_empty() || stands_behind_bracket(mended)) {
        label.last_letter = last_letter(&rest);
    }
    name(&rest, &mut label);
    temperature_letter(mended, &mut label);
    if label.concept() == Some(Concept::Page) {
        // "Page 2 / 3" counts pages, not phases, minutes or volts.
        return Label { concepts: label.concepts, unexplained: label.unexplained, ..Label::default() };
    }
    label
}

/// "tan δ [%] U": whether a lone capital stands behind the bracket of a unit, which so is not part of it.
fn stands_behind_bracket(text: &str) -> bool {
    let behind = text.trim_end().rsplit_once([']', ')']).map(|(_, behind)| behind);
    behind.is_some_and(|behind| behind.starts_with(' ') && !behind.trim().contains(' ') && !behind.trim().is_empty())
}

/// The phases that a lone capital behind other words may name.
fn last_letter(rest: &str) -> Vec<CircuitMeaning> {
    let mut words = rest.split_whitespace().rev();
    let last = words.next().filter(|word| word.starts_with(char::is_uppercase) && word.len() <= 2);
    last.filter(|_| words.next().is_some()).map(crate::circuit::read).unwrap_or_default()
}

/// A lone C or F at the end of the name of a temperature is its unit (`WDG_TEMP_C`), never a phase.
fn temperature_letter(text: &str, label: &mut Label) {
    let temperature = matches!(
        label.concept(),
        Some(Concept::WindingTemperature | Concept::AmbientTemperature | Concept::Temperature | Concept::DewPoint)
    );
    let last = text.split([' ', '(', ')', '-']).rfind(|word| !word.is_empty());
    let sign = match last.filter(|word| word.len() == 1).or_else(|| letter_within(text)) {
        Some("C") => "°C",
        Some("F") => "°F",
        // `wdg_temp_c`: a field's name.
        Some("c") if !text.contains(char::is_uppercase) => "°C",
        Some("f") if !text.contains(char::is_uppercase) => "°F",
        _ => return,
    };
    if temperature && label.units.is_empty() {
        label.units = crate::unit::read(sign, None);
        sign.clone_into(&mut label.unit_text);
        label.circuits.clear();
        label.unexplained.retain(|word| !matches!(word.as_str(), "c" | "f"));
    }
}

/// The lone capital right behind the word for a temperature: "TEMP F WINDING".
fn letter_within(text: &str) -> Option<&str> {
    let words: Vec<&str> = text.split([' ', '(', ')', '/', ',']).filter(|word| !word.is_empty()).collect();
    let is_temperature =
        |word: &str| vocabulary::hits(&[&fold(word)]).iter().any(|hit| hit.concept == Concept::Temperature);
    let found = words.windows(2).find(|two| matches!(two[1], "C" | "F") && is_temperature(two[0]));
    found.map(|two| two[1])
}

/// "Tw/°C", "U/kV": a symbol over its unit, as the axes of standards write it, with the unit in brackets. "U/E" and "1/min" are none.
fn unit_in_brackets(text: &str) -> Cow<'_, str> {
    let read = || {
        let (symbol, unit) = text.rsplit_once('/')?;
        let (symbol, unit) = (symbol.trim(), unit.trim());
        let is_sure = |text: &str| crate::unit::read(text, None).first().is_some_and(|best| best.weight >= 0.9);
        let is_symbol = (1..=12).contains(&symbol.chars().count())
            && symbol.chars().all(|c| c.is_alphanumeric() || matches!(c, '_' | '.' | ' '))
            && symbol.chars().any(char::is_alphabetic)
            && !(symbol.chars().count() > 1 && is_sure(symbol));
        // "W/U ohms": a letter that a blank parts from the unit is a terminal, and no prefix.
        let is_terminal = unit.split_once(' ').is_some_and(|(letter, _)| letter.chars().count() == 1);
        let is_unit =
            unit.chars().count() >= 2 && !is_terminal && is_sure(unit) && crate::circuit::read(text).is_empty();
        (is_symbol && is_unit && !is_sure(text)).then(|| format!("{symbol} ({unit})"))
    };
    read().map_or(Cow::Borrowed(text), Cow::Owned)
}

/// "Rotor M ohm", "k Ω": the prefix of a unit that a blank parts from it, and no terminal.
fn spaced_prefix(text: &str) -> String {
    static SPACED: LazyLock<Option<Regex>> =
        LazyLock::new(|| Regex::new(r"(^|[\s(\[,/])([kMG])\s+(ohms?|Ohms?|OHMS?|Ω|Ω)(\W|$)").ok());
    SPACED.as_ref().map_or_else(|| text.to_owned(), |spaced| spaced.replace_all(text, "$1$2$3$4").into_owned())
}

/// "Bearing temp", "Temp. Lager": the temperature of a part that is no winding says nothing of a test.
fn by_part(label: &mut Label, words: &[&str]) {
    let tells_temperature = label.concepts.iter().any(|(concept, _)| *concept == Concept::Temperature);
    let names_winding = label.concepts.iter().any(|(concept, _)| *concept == Concept::WindingTemperature);
    if tells_temperature && !names_winding && words.iter().any(|word| marks::is_kind(word, "other_part")) {
        label.concepts = vec![(Concept::OtherFigure, 0.9)];
    }
}

/// A word that is vague alone means a quantity beside its unit: "Test V", "Winding °C", "Rated kV".
fn by_unit(label: &mut Label) {
    let Some(dimension) = label.units.first().map(|unit| unit.unit.dimension) else { return };
    let meant = label.concepts.iter().find_map(|(concept, _)| match (concept, dimension) {
        (Concept::TestKind | Concept::TestVoltage | Concept::Withstand, Dimension::Voltage) => {
            Some(Concept::TestVoltage)
        }
        (Concept::WindingKind, Dimension::Temperature) => Some(Concept::WindingTemperature),
        // "t (s)", "T desde inicio, s".
        (Concept::Temperature, Dimension::Time) => Some(Concept::Elapsed),
        (Concept::RatedPower, Dimension::Voltage) => Some(Concept::RatedVoltage),
        (Concept::RatedPower, Dimension::Current) => Some(Concept::RatedCurrent),
        _ => None,
    });
    if let Some(concept) = meant {
        label.concepts.push((concept, 1.0));
    }
}

/// A temperature beside a word for the winding is the winding's, beside one for the surroundings theirs ("Stator, temp. at test").
fn by_place(label: &mut Label, hits: &[vocabulary::Hit], words: &[&str]) {
    let Some(hit) = hits.iter().find(|hit| hit.concept == Concept::Temperature) else { return };
    let beside = |kind: &str| {
        words.iter().enumerate().any(|(at, word)| !(hit.from..hit.to).contains(&at) && marks::is_kind(word, kind))
    };
    let meant = match (beside("winding"), beside("surroundings")) {
        (true, false) => Concept::WindingTemperature,
        (false, true) => Concept::AmbientTemperature,
        _ => return,
    };
    label.concepts.retain(|(concept, _)| *concept != Concept::Temperature);
    label.concepts.push((meant, 1.0));
}

/// "Resistance, rotor winding": a resistance beside a word for the winding is the conductor's, unless it is said to be to earth.
/// Returns whether it is.
fn by_winding(label: &mut Label, hits: &[vocabulary::Hit], words: &[&str]) -> bool {
    let Some(hit) = hits.iter().find(|hit| hit.concept == Concept::Resistance && hit.weight >= 0.9) else {
        return false;
    };
    // "Resistance, stator" is as often that of its insulation.
    let is_winding = |(at, word): (usize, &&str)| {
        !(hit.from..hit.to).contains(&at)
            && marks::is_kind(word, "winding")
            && !matches!(*word, "stator" | "stander" | "estator" | "tw")
    };
    let is_large = label.units.iter().any(|meaning| meaning.unit.factor > windrow_model::Unit::OHM.factor);
    let is_to_earth = |meaning: &CircuitMeaning| {
        matches!(
            meaning.named,
            Named::PhaseToEarth(_) | Named::All | Named::ToEarth | Named::Special(_) | Named::OtherWinding
        )
    };
    let is_insulation = |concept: Concept| {
        matches!(concept, Concept::InsulationResistance | Concept::CorrectedResistance | Concept::PolarizationIndex)
    };
    let is_other = is_large
        || label.circuits.iter().any(is_to_earth)
        || hits.iter().any(|hit| is_insulation(hit.concept))
        || words.iter().any(|word| crate::circuit::is_earth_word(word));
    let is_meant = words.iter().enumerate().any(is_winding) && !is_other;
    if is_meant {
        label.concepts.push((Concept::WindingResistance, 0.95));
    }
    is_meant
}

/// "Min megohm", "last MΩ", "min. PI": the least or the most that something was or may be, or what it was before, is no reading of
/// this test.
fn by_standing(label: &mut Label, words: &[&str]) {
    let is_measured = |concept: Concept| {
        matches!(
            concept,
            Concept::InsulationResistance
                | Concept::WindingResistance
                | Concept::CorrectedResistance
                | Concept::Resistance
                | Concept::PolarizationIndex
                | Concept::AbsorptionRatio
        )
    };
    let is_in_ohms =
        label.units.first().is_some_and(|best| best.unit.dimension == windrow_model::Dimension::Resistance);
    if !is_in_ohms && !label.concepts.iter().any(|(concept, _)| is_measured(*concept)) {
        return;
    }
    let says = |kind: &str| words.iter().any(|word| marks::is_kind(word, kind));
    // "Min 1 MΩ" may count minutes.
    let is_counted = words.iter().any(|word| word.contains(|c: char| c.is_ascii_digit()));
    if label.statistic.is_none() && !is_counted {
        label.statistic = match (says("least"), says("most")) {
            (true, _) => Some(marks::Statistic::Limit),
            (false, true) => Some(marks::Statistic::Highest),
            (false, false) => None,
        };
        if label.statistic == Some(marks::Statistic::Limit) {
            // The "min" of a least value counts no minutes.
            label.concepts.retain(|(concept, _)| *concept != Concept::Elapsed);
        }
    }
    if says("earlier_value") && !label.concepts.iter().any(|(concept, _)| *concept == Concept::EarlierReading) {
        label.concepts.push((Concept::EarlierReading, 1.0));
    }
}

/// Whether a letter is the symbol of what the unit beside it measures (ISO 80000-6): "I (µA)", "U in kV".
fn is_symbol(word: &str, label: &Label) -> bool {
    use windrow_model::Dimension;
    let Some(best) = label.units.first() else { return false };
    match best.unit.dimension {
        Dimension::Current => word == "i",
        Dimension::Voltage => matches!(word, "u" | "v"),
        _ => false,
    }
}

/// A text without the names of the three phases in a row ("fases R-S-T"): there R is no resistance and T no temperature.
fn without_phases(text: &str) -> String {
    static PHASES: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"\b(?:R-S-T|R/S/T|R, ?S, ?T)\b").ok());
    PHASES.as_ref().map_or_else(|| text.to_owned(), |phases| phases.replace_all(text, " ").into_owned())
}

/// "This year": of the test that a sheet is about, which no reading needs to be told.
fn is_present_year(words: &[&str]) -> bool {
    marks::is_kind(&words.join(" "), "present_year")
}

/// Concepts, statistic and what is left of the remaining words.
fn name(rest: &str, label: &mut Label) {
    let rest = &without_phases(rest);
    let folded = fold(rest);
    let words: Vec<&str> = folded.split(' ').filter(|word| !word.is_empty()).collect();
    label.statistic = marks::statistic(rest);
    let hits = vocabulary::hits(&words);
    // "Seuil DP" is an inception voltage, though "seuil" alone is a limit.
    let is_measured =
        |concept: Concept| matches!(concept, Concept::PdInception | Concept::PdExtinction | Concept::SurgeInception);
    if hits.iter().any(|hit| is_measured(hit.concept) && marks::statistic(&words[hit.from..hit.to].join(" ")).is_some())
    {
        label.statistic = None;
    }
    let last = hits.iter().map(|hit| hit.to).max().unwrap_or(0);
    for hit in &hits {
        // The last noun decides; a longer phrase says more than a word.
        let place = if hit.to == last { 1.0 } else { 0.75 };
        let length = if hit.to - hit.from > 1 { 1.0 } else { 0.9 };
        label.concepts.push((hit.concept, hit.weight * place * length));
    }
    by_unit(label);
    surges::settle(label, &hits, &words);
    by_place(label, &hits, &words);
    let is_of_winding = by_winding(label, &hits, &words);
    by_standing(label, &words);
    // "Winding resistance in ohms": the unit's name says less than the name before it.
    let is_named = |(concept, _): &(Concept, f32)| {
        matches!(concept, Concept::WindingResistance | Concept::InsulationResistance | Concept::CorrectedResistance)
    };
    if label.concepts.iter().any(is_named) {
        label.concepts.retain(|(concept, _)| *concept != Concept::Resistance);
    }
    by_part(label, &words);
    label.concepts.sort_by(|a, b| b.1.total_cmp(&a.1).then(a.0.cmp(&b.0)));
    label.concepts.dedup_by_key(|(concept, _)| *concept);
    let explained = |index: usize| hits.iter().any(|hit| hit.from <= index && index < hit.to);
    let is_present = is_present_year(&words);
    if is_present {
        label.concepts.clear();
    }
    label.unexplained = words
        .iter()
        .enumerate()
        .filter(|_| !is_present)
        .filter(|(index, word)| {
            !explained(*index) && !marks::is_kind(word, "says_nothing") && word.chars().any(char::is_alphabetic)
        })
        .filter(|(_, word)| !is_of_winding || !marks::is_kind(word, "winding"))
        .filter(|(_, word)| !is_symbol(word, label))
        .filter(|(_, word)| label.statistic.is_none() || marks::statistic(word).is_none())
        .filter(|(_, word)| {
            !label.concepts.iter().any(|(concept, _)| *concept == Concept::EarlierReading)
                || !marks::is_kind(word, "earlier_value")
        })
        .map(|(_, word)| (*word).to_owned())
        .collect();
}

//! All that a cell could mean by itself, before its neighbours are seen. Each distinct text is read once.

use std::collections::HashMap;
use windrow_source::{Cell, Content};
use windrow_text::circuit::{self, CircuitMeaning};
use windrow_text::date::{self, DateMeaning};
use windrow_text::figures::{self, Figure, Part};
use windrow_text::header::{self, Label};
use windrow_text::marks::{self, Statistic};
use windrow_text::measure::{self, Measure, OverRange};
use windrow_text::naming;
use windrow_text::tag;
use windrow_text::vocabulary::Concept;

/// Letters from which on a word that nothing explains is no abbreviation.
const OWN_WORD: usize = 5;
/// Greatest weight of words that are short for several things.
const SHORT_WORD: f32 = 0.7;

/// What kind of content a cell shows at first sight.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Kind {
    /// A typed number or a text that is one number, with or without bound and unit.
    Number,
    /// A typed date, or a text that can only be a date.
    Date,
    /// A time of day or duration.
    Duration,
    /// A ditto mark.
    Ditto,
    /// "Not measured".
    Void,
    /// Over or under range without a number.
    Over,
    /// An error value or a formula without a result.
    Broken,
    /// Any other text.
    Text,
}

/// Meanings of one text or one kind of typed content.
#[derive(Debug, Clone)]
#[expect(clippy::struct_excessive_bools, reason = "independent properties of one text")]
pub struct Sense {
    /// First sight.
    pub kind: Kind,
    /// The text as a label.
    pub label: Label,
    /// Ways to read it as a date.
    pub dates: Vec<DateMeaning>,
    /// The text as a value.
    pub measure: Option<Measure>,
    /// The text as a circuit.
    pub circuits: Vec<CircuitMeaning>,
    /// Likeness to a plant tag.
    pub tag: f32,
    /// Likeness to a serial number.
    pub serial: f32,
    /// Over or under range.
    pub over: Option<OverRange>,
    /// The dimension of the value that a text of several values begins with ("17 °C   RH 61 %", "1850 kW 6.6 kV").
    pub begins: Option<windrow_model::Dimension>,
    /// Number of words.
    pub words: usize,
    /// Whether the text is a label with its value ("Date: 14.03.1987").
    pub is_pair: bool,
    /// Whether the text names a stage in the life of a winding ("as found").
    pub is_stage: bool,
    /// Whether the text is a month or quarter that lacks its year ("Jan", "Q3").
    pub is_period: bool,
    /// What the text says as a label of a figure that nobody measured.
    pub figure: Option<Figure>,
    /// The part that is no winding which the text names.
    pub part: Option<Part>,
    /// Whether the text says that its number is not the winding's.
    pub denies_winding: bool,
}

/// Labels longer than this are sentences.
const LONGEST_LABEL: usize = 80;
/// Texts longer than this are prose: nothing is looked for in them.
const LONGEST_TEXT: usize = 400;

impl Sense {
    fn of_kind(kind: Kind) -> Self {
        Self {
            kind,
            label: Label::default(),
            dates: Vec::new(),
            measure: None,
            circuits: Vec::new(),
            tag: 0.0,
            serial: 0.0,
            over: None,
            begins: None,
            words: 0,
            is_pair: false,
            is_stage: false,
            is_period: false,
            figure: None,
            part: None,
            denies_winding: false,
        }
    }

    /// All meanings of a text.
    #[must_use]
    pub fn read_text(text: &str) -> Self {
        let text = &*windrow_text::ticks::chosen(text.trim());
        let mut sense = Self::of_kind(Kind::Text);
        sense.words = text.split_whitespace().count();
        if text.len() > LONGEST_TEXT {
            return sense;
        }
        if text.len() <= LONGEST_LABEL {
            sense.dates = date::read(text);
            if sense.dates.is_empty() {
                sense.dates = year_of_tests(text);
            }
            sense.measure = measure::read(text);
            sense.circuits = circuit::read(text);
            let is_no_name = is_to_earth(text, &sense.circuits) || date::is_day_and_roman_month(text);
            sense.tag = if is_no_name { 0.0 } else { tag::likeness(text) };
            sense.serial = tag::serial_likeness(text);
            sense.over = measure::over_range(text);
            sense.is_pair = crate::inline::is_pair(text) || crate::inline::is_plate(text);
            sense.is_period = is_period(text);
            sense.figure = figures::figure(text);
            sense.part = figures::part(text);
            sense.denies_winding = figures::denies_winding(text);
            sense.is_stage = sense.words <= 6 && crate::stage::stage(text).is_some();
        }
        // "P-3 (formerly K-3)" is the name of a machine, whatever its words mean in a heading.
        if let Some((now, _)) = naming::earlier(text).filter(|(now, _)| tag::likeness(now) >= 0.5) {
            sense.tag = sense.tag.max(tag::likeness(now));
            return sense;
        }
        sense.label = header::read(text);
        sense.drop_name();
        sense.drop_named_word(text);
        // "1 min A-PE" and "R120" say when and between what.
        if sense.label.elapsed_s.is_some() && sense.label.unexplained.is_empty() {
            sense.tag *= 0.4;
        }
        sense.kind = sense.first_sight(text);
        if let Some(rest) = unit_behind_day(text) {
            (sense.kind, sense.measure, sense.label) = (Kind::Text, None, header::read(rest));
        }
        if sense.kind == Kind::Text && sense.words <= 8 {
            sense.begins = first_of_several(text);
        }
        sense
    }

    /// "MTR-231" is a machine's name, no label of one, whatever its letters are short for.
    fn drop_name(&mut self) {
        let label = &self.label;
        let is_bare = label.units.is_empty() && label.circuits.is_empty() && label.elapsed_s.is_none();
        // "PR-1": two letters may be short for a dew point or, as "PS-1", for horsepower, but not with a number behind a hyphen.
        let is_short = |weight: f32| weight < 0.6 && label.unexplained.is_empty();
        let is_name = |(concept, weight): &(Concept, f32)| {
            matches!(concept, Concept::Tag | Concept::RatedPower) || is_short(*weight)
        };
        if self.tag >= 0.5 && is_bare && label.concepts.iter().all(is_name) {
            self.label.concepts.clear();
        }
    }

    /// "MTR-174A U-E": the letters of a machine's name beside its circuit are no label of machines either.
    fn drop_named_word(&mut self, text: &str) {
        if self.label.concept() != Some(Concept::Tag) || !text.contains(' ') {
            return;
        }
        if let Some(name) = crate::loose::only_tag(text)
            && header::read(&text.replace(&name, " ")).concept() != Some(Concept::Tag)
        {
            self.label.concepts.retain(|(concept, _)| *concept != Concept::Tag);
            self.label.unexplained.push(windrow_text::fold::fold(&name));
        }
    }

    fn first_sight(&self, text: &str) -> Kind {
        let is_date = self.dates.iter().any(|meaning| !meaning.bare_number);
        if marks::is_ditto(text) {
            Kind::Ditto
        } else if self.over.is_some() {
            Kind::Over
        } else if marks::is_void(text) {
            Kind::Void
        } else if is_date && !self.is_valued_measure() {
            Kind::Date
        } else if self.measure.is_some() && !self.is_name_with_number(text) {
            Kind::Number
        } else {
            Kind::Text
        }
    }

    /// "C0476": a letter and a number in one word are a machine's name, no value with its phase.
    fn is_name_with_number(&self, text: &str) -> bool {
        let begins =
            text.starts_with(|c: char| c.is_ascii_uppercase()) && text.chars().all(|c| c.is_ascii_alphanumeric());
        let is_bare = self.measure.as_ref().is_some_and(|measure| {
            measure.parts.iter().all(|part| part.units.is_empty() && (!part.label.is_empty() || part.approximate))
        });
        self.tag >= 0.5 && begins && is_bare
    }

    /// Whether the text is a measure that tells its unit or bound.
    fn is_valued_measure(&self) -> bool {
        self.measure.as_ref().is_some_and(|measure| {
            measure.parts.iter().any(|part| !part.units.is_empty() || part.bound != windrow_model::Bound::Exact)
        })
    }

    /// The concept that the label most likely names.
    #[must_use]
    pub fn concept(&self) -> Option<Concept> {
        self.label.concepts.first().map(|(concept, _)| *concept)
    }

    /// Whether the text tells something as a label: a concept or a component of a header.
    #[must_use]
    pub fn is_label(&self) -> bool {
        let label = &self.label;
        let told = !label.concepts.is_empty()
            || !label.units.is_empty()
            || !label.circuits.is_empty()
            || label.elapsed_s.is_some()
            || label.voltage_v.is_some()
            || label.reference_c.is_some()
            || label.statistic.is_some()
            || label.scale.is_some()
            || self.is_stage
            || !self.circuits.is_empty();
        self.kind != Kind::Ditto && self.words <= 12 && told
    }

    /// "Strahlanlage Rad 1": whether a word of its own stands beside one that is short for something ("RAD", a ratio).
    #[must_use]
    pub fn is_name_with_short_word(&self) -> bool {
        self.label.units.is_empty()
            && self.label.statistic.is_none()
            && self.label.unexplained.iter().any(|word| word.chars().count() >= OWN_WORD)
            && self.label.concepts.iter().all(|(_, weight)| *weight <= SHORT_WORD)
            && self.label.concepts.iter().any(|(concept, _)| crate::fit::quantity(*concept).is_some())
    }

    /// Whether the text is a label and nothing that a body would hold.
    #[must_use]
    pub fn is_pure_label(&self) -> bool {
        self.is_label()
            && matches!(self.kind, Kind::Text | Kind::Void | Kind::Over)
            && self.label.unexplained.len() <= 2
    }

    /// Whether the text names a concept and can hardly be a value.
    #[must_use]
    pub fn is_strong_label(&self) -> bool {
        self.is_pure_label()
            && self.begins.is_none()
            && self.label.unexplained.is_empty()
            && self.label.concepts.first().is_some_and(|(_, weight)| *weight >= 0.5)
            && self.tag < 0.5
    }

    /// Whether the label is nothing but a unit.
    #[must_use]
    pub fn is_unit_only(&self) -> bool {
        let label = &self.label;
        !label.units.is_empty()
            && label.circuits.is_empty()
            && label.elapsed_s.is_none()
            && label.voltage_v.is_none()
            && label.unexplained.is_empty()
            && label.concepts.is_empty()
    }

    /// The statistic that the label names.
    #[must_use]
    pub fn statistic(&self) -> Option<Statistic> {
        self.label.statistic
    }
}

/// "14/02/2018 MΩ": the unit behind a day, as it heads what was read on that day.
fn unit_behind_day(text: &str) -> Option<&str> {
    let (day, unit) = text.split_once(' ')?;
    let unit = unit.trim().trim_matches(['(', ')', '[', ']']);
    let is_day = || date::read(day).iter().any(|meaning| !meaning.bare_number);
    let best = windrow_text::unit::read(unit, None).into_iter().next()?;
    let is_sure = best.weight >= 0.9 && !best.colloquial && best.unit.dimension == windrow_model::Dimension::Resistance;
    (is_sure && day.contains(['/', '.', '-']) && is_day()).then_some(unit)
}

/// The dimension of the temperature or rating that a text begins with, where another value follows.
fn first_of_several(text: &str) -> Option<windrow_model::Dimension> {
    use windrow_model::Dimension;
    let (part, length) = measure::begin(text).filter(|_| text.starts_with(|c: char| c.is_ascii_digit()))?;
    let best = part.units.first().filter(|best| best.weight >= 0.8)?;
    let goes_on = text.get(length..)?.contains(|c: char| c.is_ascii_digit());
    let dimension = best.unit.dimension;
    let is_told = matches!(dimension, Dimension::Temperature | Dimension::Power | Dimension::ApparentPower);
    (goes_on && is_told).then_some(dimension)
}

/// "U1-tierra": a terminal and a word for earth name no machine, whatever the digit makes them look like.
fn is_to_earth(text: &str, circuits: &[CircuitMeaning]) -> bool {
    let is_named = circuits.iter().any(|meaning| matches!(meaning.named, circuit::Named::PhaseToEarth(_)));
    is_named && windrow_text::fold::fold(text).split(' ').next_back().is_some_and(circuit::is_earth_alone)
}

/// Whether a year behind the text makes it a month or quarter.
fn is_period(text: &str) -> bool {
    let is_short = text.len() <= 12 && text.chars().any(char::is_alphabetic) && !text.contains(char::is_whitespace);
    // A year that no month or quarter can be taken for.
    is_short && date::read(text).is_empty() && period(text, 1999).is_some()
}

/// The month or quarter that a text names in a year.
#[must_use]
pub fn period(text: &str, year: i32) -> Option<Vec<DateMeaning>> {
    let text = text.trim().trim_end_matches('.');
    // "1T" to "4T": quarters in Spanish and French tables.
    let quarter = text.strip_suffix(['T', 't']).filter(|number| matches!(*number, "1" | "2" | "3" | "4"));
    // "T1" without a year beside it is a terminal.
    if text.len() == 2 && text.starts_with(['T', 't']) {
        return None;
    }
    let text = quarter.map_or_else(|| text.to_owned(), |number| format!("Q{number}"));
    let read = date::read(&format!("{text} {year}"));
    let is_period = |meaning: &DateMeaning| {
        let precision = meaning.date.precision;
        matches!(precision, windrow_model::Precision::Month | windrow_model::Precision::Quarter)
            && i32::from(meaning.date.first.year()) == year
    };
    (!read.is_empty() && read.iter().all(is_period)).then_some(read)
}

/// "1994 tests", "Prüfung 1994": the year, where nothing else is said.
fn year_of_tests(text: &str) -> Vec<DateMeaning> {
    const WORDS: [&str; 22] = [
        "test",
        "tests",
        "reading",
        "readings",
        "prufung",
        "prufungen",
        "messung",
        "messungen",
        "essai",
        "essais",
        "ensayo",
        "ensayos",
        "year",
        "jahr",
        "ano",
        "annee",
        "exercice",
        "campaign",
        "kampagne",
        "messkampagne",
        "campagne",
        "campana",
    ];
    let folded = windrow_text::fold::fold(text);
    let rest: Vec<&str> = folded.split(' ').filter(|word| !WORDS.contains(word)).collect();
    match rest.as_slice() {
        [year] if year.len() == 4 && folded.contains(' ') => date::read(year)
            .into_iter()
            .filter(|meaning| meaning.date.precision == windrow_model::Precision::Year)
            .map(|meaning| DateMeaning { bare_number: false, ..meaning })
            .collect(),
        _ => Vec::new(),
    }
}

/// Index of a [`Sense`] in [`Senses`].
pub type SenseId = u32;

/// Meanings of all distinct texts of a workbook.
#[derive(Debug)]
pub struct Senses {
    all: Vec<Sense>,
    by_text: HashMap<String, SenseId>,
}

const TYPED: [Kind; 4] = [Kind::Number, Kind::Date, Kind::Duration, Kind::Broken];

impl Default for Senses {
    fn default() -> Self {
        Self { all: TYPED.iter().map(|kind| Sense::of_kind(*kind)).collect(), by_text: HashMap::new() }
    }
}

impl Senses {
    /// The meanings of a cell, read now or before.
    pub fn of(&mut self, cell: &Cell) -> SenseId {
        match cell.content {
            Content::Number(_) => 0,
            Content::Date { .. } => 1,
            Content::Duration(_) => 2,
            Content::Error | Content::NoResult => 3,
            Content::Text | Content::Bool(_) => self.of_text(&cell.text),
        }
    }

    /// The meanings of a text, which are read once.
    pub fn of_text(&mut self, text: &str) -> SenseId {
        if let Some(id) = self.by_text.get(text) {
            return *id;
        }
        let id = u32::try_from(self.all.len()).unwrap_or(0);
        self.all.push(Sense::read_text(text));
        self.by_text.insert(text.to_owned(), id);
        id
    }

    /// The meanings behind an id.
    #[must_use]
    pub fn get(&self, id: SenseId) -> &Sense {
        self.all.get(id as usize).unwrap_or(&self.all[0])
    }
}

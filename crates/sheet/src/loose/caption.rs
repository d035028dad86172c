//! Captions: texts that tell quantity, unit, time, place and machine of what stands below them.

use super::names::{only_tag, site_in};
use crate::fit;
use crate::heading::Heading;
use crate::view::Item;
use regex::Regex;
use std::borrow::Cow;
use std::sync::LazyLock;
use windrow_model::{Circuit, Dimension};
use windrow_text::circuit::Named;
use windrow_text::date::{self, DateMeaning, Order};
use windrow_text::fold::fold;
use windrow_text::prose::{self, Place};
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;
use windrow_text::{circuit, explained, header, marks, measure};

/// A text that speaks of what stands below it.
#[derive(Debug, Clone)]
pub struct Caption {
    /// What it tells as a label.
    pub heading: Heading,
    /// The cell.
    pub item: Item,
    /// The one tag that it names, if one.
    pub tag: Option<String>,
    /// The one date that it names, if one.
    pub dates: Vec<DateMeaning>,
    /// The clause that names a site, by a word such as "works".
    pub site: Option<String>,
    /// Clauses that are names of something: a site, a machine, a company.
    pub names: Vec<String>,
    /// A scale end that it tells ("scale ends at 2000 MΩ").
    pub ceiling: Option<measure::Part>,
    /// The sign that it explains ("* = corrected to 40 °C").
    pub footnote: Option<String>,
    /// Whether it says that values, or those marked, are corrected.
    pub corrected: bool,
    /// Every concept that it tells, in order.
    pub concepts: Vec<Concept>,
    /// Every unit that it tells, with the text it was written as.
    pub units: Vec<(Vec<UnitMeaning>, String)>,
}

/// Words that nothing explains in a title that still names terminals as a whole.
const MOST_UNEXPLAINED: usize = 5;

/// "A) Step test", "12) Surge": a title without the letter or number that lists it, which is no ampere.
fn without_enumerator(text: &str) -> &str {
    const LONGEST: usize = 3;
    let Some((sign, rest)) = text.trim_start().split_once(')') else { return text };
    let is_sign = (1..=LONGEST).contains(&sign.len()) && sign.bytes().all(|b| b.is_ascii_alphanumeric());
    if is_sign && rest.starts_with(char::is_whitespace) && !rest.trim().is_empty() { rest.trim_start() } else { text }
}

/// Reads a caption, clause by clause.
#[must_use]
pub fn caption(text: &str, item: &Item) -> Caption {
    let text = without_enumerator(text);
    let rated = without_rating(&join_phases(&super::unit_marks::without(&crate::legend::without(text))));
    let rated = windrow_text::initials::without_initials(&rated);
    let text = &*header::without_rates(&without_terms(&rated));
    let measured = date::measured_on(text);
    let mut caption = Caption {
        heading: Heading { items: vec![*item], ..Heading::default() },
        item: *item,
        tag: None,
        dates: measured.clone().or_else(|| date::find_in(text)).unwrap_or_default(),
        site: None,
        names: Vec::new(),
        ceiling: None,
        footnote: footnote_sign(text),
        corrected: false,
        concepts: measured.iter().map(|_| Concept::Date).collect(),
        units: Vec::new(),
    };
    let mut whole = header::read(told_of_readings(text));
    whole.circuits.retain(|meaning| meaning.weight >= 0.5);
    // Among so many words that nothing explains a letter is no phase; its clauses are read for themselves.
    if whole.unexplained.len() > MOST_UNEXPLAINED {
        whole.circuits.clear();
    }
    without_places(&mut whole);
    // "Windings at 25 °C" and "all at 20 °C" tell how warm they were.
    let is_warmth = !explained::says_corrected(text)
        && prose::temperatures(text).iter().any(|(place, _)| *place == Place::Winding || speaks_of_all(text));
    // "Rated values, at 20 °C": of what the maker gives, not of what was measured.
    let is_of_ratings = !explained::says_corrected(text) && marks::names_ratings(text);
    // "Limit: R > 1 MΩ at 40 °C": of what is asked for.
    let is_of_limit = !explained::says_corrected(text) && marks::statistic(text) == Some(marks::Statistic::Limit);
    if is_warmth || is_of_ratings || is_of_limit {
        whole.reference_c = None;
    }
    let is_rating = tells_rating(text);
    if is_rating {
        whole.voltage_v = clauses(text)
            .into_iter()
            .find_map(|clause| header::read(clause).voltage_v.filter(|_| says_test(clause) || names_measured(clause)));
    }
    caption.corrected = whole.reference_c.is_some()
        || whole.concepts.iter().any(|(concept, _)| *concept == Concept::CorrectedResistance)
        || explained::says_corrected(text);
    let clauses = clauses(told_of_readings(text));
    for (index, clause) in clauses.iter().enumerate() {
        // "OL = off scale (2000 MΩ)": the end of the range in brackets.
        let is_end = index.checked_sub(1).is_some_and(|before| names_scale(clauses[before]));
        if is_end && let Some(end) = resistance_alone(clause) {
            caption.ceiling = Some(end);
            continue;
        }
        read_clause(clause, item, &mut caption);
    }
    if marks::says_end(text) {
        whole.voltage_v = None;
        caption.heading.voltage_v = None;
    }
    if is_rating {
        // "3.2 MW 11 kV" names no phases either.
        caption.heading.voltage_v = None;
        let is_told = |meaning: &circuit::CircuitMeaning| !matches!(meaning.named, Named::Pair(..) | Named::Phase(_));
        caption.heading.circuits.retain(|by| by.value.iter().all(is_told));
        whole.circuits.retain(is_told);
    }
    // "K MEG (thousands of megohms)": the factor of one clause is not that of another's unit.
    if caption.units.is_empty() && is_sure_unit(&whole, text) {
        caption.units.push((whole.units.clone(), whole.unit_text.clone()));
    }
    let couples = super::alternatives::read(text);
    if !couples.is_empty() {
        caption.units = couples;
    }
    caption.concepts.extend(whole.concepts.iter().map(|(concept, _)| *concept));
    // Of ratings and a test's volts in one text only the test's have to agree.
    let of_tests = Some(voltages_of_tests(text)).filter(|told| is_rating && !told.is_empty());
    let voltages = of_tests.unwrap_or_else(|| voltages(text));
    if voltages.iter().any(|volts| voltages.first() != Some(volts)) {
        // "500 V / 1 kV / 2.5 kV as rated" tells no voltage of any one reading.
        caption.heading.voltage_v = None;
        return Caption { tag: named(text), ..caption };
    }
    caption.heading.add_label(&whole, &circuits_of(text), item, text);
    without_rotor_of_field(&mut caption.heading);
    if is_warmth {
        caption.heading.reference_c = None;
    }
    caption.tag = named(text);
    caption
}

/// "All at 20 °C" speaks of windings, "at 40 °C" alone of a correction. Common practice, no source.
fn speaks_of_all(text: &str) -> bool {
    const ALL: [&str; 9] = ["all", "alle", "alles", "tous", "toutes", "tout", "todos", "todas", "todo"];
    fold(text).split(' ').any(|word| ALL.contains(&word))
}

/// "ALT-3 (11 kV)": a voltage in brackets behind a machine's name is its rating and says nothing of the test.
fn without_rating(text: &str) -> String {
    let rating = text.split_once('(').and_then(|(before, rest)| {
        let (inside, after) = rest.split_once(')')?;
        let names = before.split_whitespace().next_back().is_some_and(|word| only_tag(word).is_some());
        let label = header::read(inside.trim());
        (names && label.voltage_v.is_some() && label.concepts.is_empty()).then(|| format!("{before}{after}"))
    });
    rating.unwrap_or_else(|| text.to_owned())
}

/// Whether a title tells ratings ("Drive HA-2, 6.0 kV, 1250 kW", "UN = 6,3 kV"): a voltage among them is the machine's.
fn tells_rating(text: &str) -> bool {
    static RATED: LazyLock<Option<Regex>> =
        LazyLock::new(|| Regex::new(r"\b[UV](?:_|\s)?(?:N|n|r|nom)\b\s*[=:]?\s*\d").ok());
    let is_rated = |concept: &Concept| {
        matches!(concept, Concept::RatedVoltage | Concept::RatedPower | Concept::RatedCurrent | Concept::RatedSpeed)
    };
    let tells = |clause: &str| {
        let label = header::read(clause);
        let is_power = label.units.first().is_some_and(|best| {
            matches!(best.unit.dimension, Dimension::Power | Dimension::ApparentPower | Dimension::Speed)
                && best.weight >= 0.8
        });
        let names = label.concepts.iter().any(|(concept, weight)| *weight >= 0.7 && is_rated(concept));
        is_power && clause.contains(|c: char| c.is_ascii_digit()) || names
    };
    RATED.as_ref().is_some_and(|rated| rated.is_match(text))
        || text.contains(|c: char| c.is_ascii_digit())
            && text.contains(['V', 'v'])
            && clauses(text).into_iter().any(tells)
}

/// Whether a clause names a measured quantity, whose voltage then is the test's.
fn names_measured(clause: &str) -> bool {
    header::read(clause).concepts.iter().any(|(concept, weight)| *weight >= 0.6 && fit::quantity(*concept).is_some())
}

/// Whether a clause says that its voltage is that of a test. Common practice, no source.
fn says_test(clause: &str) -> bool {
    const WORDS: [&str; 16] = [
        "dc",
        "cc",
        "vdc",
        "vcc",
        "gs",
        "test",
        "tested",
        "tests",
        "prufspannung",
        "gepruft",
        "messspannung",
        "essai",
        "essais",
        "ensayo",
        "ensayos",
        "at",
    ];
    fold(clause).split(' ').any(|word| WORDS.contains(&word))
}

/// "2E + 1000 V = 1960 V", "dial x 100 V": a term of a sum or product is no voltage of a test.
fn without_terms(text: &str) -> Cow<'_, str> {
    static TERM: LazyLock<Option<Regex>> = LazyLock::new(|| Regex::new(r"(?i)(?:\+|×|\bx)\s*\d[\d.,]*\s*k?V\b").ok());
    TERM.as_ref().map_or(Cow::Borrowed(text), |term| term.replace_all(text, "+ "))
}

/// The machine that a title names: by a tag, or by a word and a number.
fn named(text: &str) -> Option<String> {
    // "Q1/00" alone is a quarter.
    let is_period = date::read(text).iter().any(|told| told.order == Order::Named && !told.bare_number);
    if is_period {
        return None;
    }
    only_tag(text).or_else(|| windrow_text::tag::numbered(text))
}

/// The text without a time that belongs to a label of another thing: "Sampling: 1 s" is no time of readings.
fn told_of_readings(text: &str) -> &str {
    let Some((label, value)) = text.split_once(':') else { return text };
    let value = header::read(value.trim());
    // "Upper works: U/V/W to frame, MΩ, 1 min" tells of readings, whatever stands before the colon.
    let is_alone = value.units.is_empty() && value.circuits.is_empty();
    let is_time = value.elapsed_s.is_some() && value.concepts.is_empty() && value.unexplained.is_empty() && is_alone;
    let label_read = header::read(label.trim());
    let is_of_readings = label_read.concepts.iter().any(|(concept, _)| {
        fit::quantity(*concept).is_some()
            || matches!(
                concept,
                Concept::Elapsed | Concept::Resistance | Concept::CorrectedResistance | Concept::TestKind
            )
    });
    let is_other = !label_read.concepts.is_empty() || !label_read.unexplained.is_empty();
    if is_time && !is_of_readings && is_other { label } else { text }
}

/// All voltages that a text names, V.
fn voltages(text: &str) -> Vec<f64> {
    clauses(text)
        .into_iter()
        .flat_map(|clause| clause.split(['/', '&']))
        .flat_map(|piece| piece.split(" or "))
        // Reading a label costs much, and most pieces can hold no voltage.
        .filter(|piece| piece.contains(['V', 'v']))
        .filter_map(|piece| header::read(piece.trim()).voltage_v)
        .collect()
}

/// The voltages of the clauses that speak of a test, V.
fn voltages_of_tests(text: &str) -> Vec<f64> {
    clauses(text).into_iter().filter(|clause| says_test(clause) || names_measured(clause)).flat_map(voltages).collect()
}

/// Words by which letters in a title are phases and not names of machines ("Pumps A, B, C"). Common practice, no source.
const PHASE_COMPANY: &[&str] = &[
    "earth",
    "ground",
    "erde",
    "masse",
    "terre",
    "tierra",
    "masa",
    "phase",
    "phases",
    "phasen",
    "fase",
    "fases",
    "winding",
    "windings",
    "wicklung",
    "wicklungen",
    "enroulement",
    "enroulements",
    "devanado",
    "devanados",
];

/// "U, V, W to earth": the three phases of a title are all phases.
fn join_phases(text: &str) -> String {
    let folded = fold(text);
    let is_company = |word: &str| PHASE_COMPANY.contains(&word) || circuit::is_earth_word(word);
    if !folded.split(' ').any(is_company) && !circuit::is_tied(text) {
        return text.to_owned();
    }
    circuit::joined(text).into_owned()
}

/// Circuits that a text names; an abbreviation's letter ("R. isol.") is no phase.
fn circuits_of(text: &str) -> Vec<circuit::CircuitMeaning> {
    let mut circuits = circuit::read(text);
    circuits.retain(|meaning| meaning.weight >= 0.5);
    circuits
}

/// "Rotor (field winding) to earth, 500 V": the field that turns is the one winding that is named, whatever a clause of it says.
fn without_rotor_of_field(heading: &mut Heading) {
    let is = |named: Named| move |meaning: &circuit::CircuitMeaning| meaning.named == named;
    let (rotor, field) = (Named::Special(Circuit::RotorToEarth), Named::Special(Circuit::FieldToEarth));
    if heading.circuits.iter().any(|by| by.value.iter().any(is(field))) {
        heading.circuits.retain(|by| !by.value.iter().any(is(rotor)));
    }
}

/// "County field", "Feld 3": fields and bays among words of which nothing is known are places; "Feld gegen Masse" is a winding.
fn without_places(label: &mut header::Label) {
    if !label.unexplained.is_empty() {
        label.circuits.retain(|meaning| meaning.named != Named::Special(Circuit::FieldToEarth));
    }
}

fn read_clause(clause: &str, item: &Item, caption: &mut Caption) {
    let mut label = header::read(clause);
    label.circuits.retain(|meaning| meaning.weight >= 0.5);
    without_places(&mut label);
    let circuits = circuits_of(clause);
    if caption.site.is_none() {
        caption.site = site_in(clause);
    }
    if is_scale(clause) {
        caption.ceiling = clause
            .char_indices()
            .filter(|(at, c)| c.is_ascii_digit() && !clause[..*at].ends_with(|c: char| c.is_ascii_digit()))
            .find_map(|(at, _)| measure::read(clause.get(at..)?))
            .and_then(|measure| measure.parts.into_iter().next());
        return;
    }
    let tells = !label.concepts.is_empty()
        || !label.units.is_empty()
        || label.elapsed_s.is_some()
        || label.voltage_v.is_some()
        || label.scale.is_some()
        || !label.circuits.is_empty()
        || !circuits.is_empty();
    if label.statistic.is_none() {
        caption
            .concepts
            .extend(label.concepts.iter().filter(|(_, weight)| *weight >= 0.4).map(|(concept, _)| *concept));
    }
    if is_sure_unit(&label, clause) {
        caption.units.push((label.units.clone(), label.unit_text.clone()));
    }
    if tells {
        // A limit or a list of voltages is no attribute of the readings.
        if label.statistic.is_none() {
            caption.heading.add_label(&label, &circuits, item, clause);
        }
        if label.concepts.is_empty() && !label.unexplained.is_empty()
            || label.concepts.iter().all(|(_, weight)| *weight < 0.6)
        {
            push_name(clause, caption);
        }
    } else {
        push_name(clause, caption);
    }
}

/// Whether the unit of a clause is meant as one: prose is full of words that are also loose spellings of units.
fn is_sure_unit(label: &header::Label, clause: &str) -> bool {
    let Some(best) = label.units.first() else { return false };
    // "Lectura a 1 min" holds no ampere.
    let is_part = label.unit_text == "%" && label.concepts.iter().any(|(concept, _)| is_share(*concept));
    if label.unit_text.len() == 1 && !is_part && clause.trim().len() > 1 && !clause.contains(['(', '[']) {
        return false;
    }
    // "900 kW" is a rating, no unit of what stands below.
    let is_behind_number =
        |at: usize| clause.get(..at).is_some_and(|before| before.trim_end().ends_with(|c: char| c.is_ascii_digit()));
    let unit = label.unit_text.as_str();
    if !unit.is_empty() && clause.match_indices(unit).any(|(at, _)| is_behind_number(at)) {
        return false;
    }
    // "LECTURA A 1 MIN": the preposition in capitals is no ampere.
    let goes_on = |at: usize| {
        clause.get(at + 1..).is_some_and(|after| after.trim_start().starts_with(|c: char| c.is_ascii_digit()))
    };
    if unit == "A" && clause.match_indices(unit).any(|(at, _)| goes_on(at)) {
        return false;
    }
    // "Valeurs en PC": said to be the unit of the numbers.
    if best.weight >= 0.7 && says_values_in(clause, unit) {
        return true;
    }
    let names_quantity = label.concepts.iter().any(|(concept, _)| {
        fit::quantity(*concept).is_some()
            || matches!(concept, Concept::Resistance | Concept::WindingTemperature | Concept::Temperature)
    });
    !best.colloquial || names_quantity && best.weight >= 0.7 || label.unit_text.trim() == clause.trim()
}

/// Whether a concept names a share of a whole, which people write in percent.
const fn is_share(concept: Concept) -> bool {
    matches!(concept, Concept::DissipationFactor | Concept::Unbalance | Concept::SurgeDifference)
}

/// Whether a clause is a word for values and the unit that they are in. Common practice, no source.
fn says_values_in(clause: &str, unit: &str) -> bool {
    const VALUES: [&str; 10] = [
        "values in",
        "readings in",
        "all values in",
        "werte in",
        "alle werte in",
        "angaben in",
        "messwerte in",
        "valeurs en",
        "valores en",
        "lecturas en",
    ];
    let before = clause.trim().strip_suffix(unit).map(fold);
    !unit.is_empty() && before.is_some_and(|before| VALUES.contains(&before.trim()))
}

fn push_name(clause: &str, caption: &mut Caption) {
    let letters = clause.chars().filter(|c| c.is_alphabetic()).count();
    if letters >= 3 && clause.split_whitespace().count() <= 7 {
        caption.names.push(clause.to_owned());
    }
}

fn clauses(text: &str) -> Vec<&str> {
    let mut pieces = vec![text];
    for mark in [" - ", " – ", " — ", ": ", "; ", ", ", "(", ")", ". ", "|", "\n", "   "] {
        pieces = pieces.into_iter().flat_map(|piece| piece.split(mark)).collect();
    }
    pieces
        .into_iter()
        .map(|piece| piece.trim_matches([' ', ':', ',', '.', '-']))
        .filter(|piece| !piece.is_empty())
        .collect()
}

/// A clause that is nothing but a resistance with its unit.
fn resistance_alone(clause: &str) -> Option<measure::Part> {
    let measure = measure::read(clause)?;
    let [part] = <[measure::Part; 1]>::try_from(measure.parts).ok()?;
    let is_resistance = part.units.iter().any(|meaning| meaning.unit.dimension == Dimension::Resistance);
    (is_resistance && part.label.is_empty()).then_some(part)
}

/// Whether a clause speaks of the end of an instrument's range and tells it.
fn is_scale(clause: &str) -> bool {
    names_scale(clause) && clause.contains(|c: char| c.is_ascii_digit())
}

/// Whether a clause speaks of an instrument's range. Common practice, no source.
fn names_scale(clause: &str) -> bool {
    let folded = windrow_text::fold::fold(clause);
    const READS: [&str; 6] = ["reads to ", "reads up to ", "misst bis ", "mesure jusqu ", "mide hasta ", "lee hasta "];
    const WORDS: [&str; 19] = [
        "fs",
        "vollausschlag",
        "skalenende",
        "skalenendwert",
        "bereichsende",
        "cadran",
        "tope",
        "scale",
        "full scale",
        "range",
        "ceiling",
        "messbereich",
        "endwert",
        "skala",
        "calibre",
        "echelle",
        "escala",
        "fondo",
        "rango",
    ];
    folded.split(' ').any(|word| WORDS.contains(&word)) || READS.iter().any(|reads| folded.contains(reads))
}

/// Whether a sentence says that all values are corrected.
pub(crate) fn corrects_all(sentence: &str) -> bool {
    explained::says_corrected(sentence) && speaks_of_all(sentence)
}

/// The sign that a footnote explains: `* = …`, `(1) …`.
pub(crate) fn footnote_sign(text: &str) -> Option<String> {
    let rest = text.trim_start();
    let sign = leading_sign(rest)?;
    let after = rest.get(sign.len()..)?;
    after.chars().any(char::is_alphabetic).then(|| sign.to_owned())
}

/// The sign of a footnote that a text begins with: stars, daggers, a raised digit, a digit or letter in brackets. Common practice, no source.
fn leading_sign(text: &str) -> Option<&str> {
    static SIGN: LazyLock<Option<Regex>> =
        LazyLock::new(|| Regex::new(r"^(\*{1,3}|[†‡#]|\([1-9a-f]\)|[¹²³⁴⁵⁶⁷⁸⁹]\)?)").ok());
    Some(SIGN.as_ref()?.find(text)?.as_str())
}

/// Whether a text is the sign of a footnote and nothing else: its explanation stands in the next cell.
pub(crate) fn is_sign(text: &str) -> bool {
    let text = text.trim();
    leading_sign(text).is_some_and(|sign| sign.len() == text.len())
}

/// A sign as it is compared: "²)" behind a number is "²" before its note.
pub(crate) fn sign_key(sign: &str) -> &str {
    sign.trim().trim_end_matches([')', ']']).trim_start_matches(['(', '['])
}

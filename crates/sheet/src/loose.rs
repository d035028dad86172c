//! What stands outside tables: label–value pairs, and captions that tell quantity, unit, time, place and machine in words.

use crate::fit::{self, Wants, fits, wants};
use crate::heading::Heading;
use crate::inline;
use crate::line;
use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use regex::Regex;
use std::sync::LazyLock;
use windrow_source::Cell;
use windrow_text::date::{self, DateMeaning};
use windrow_text::fold::fold;
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;
use windrow_text::{circuit, header, measure, tag};

/// A label with its value.
#[derive(Debug, Clone)]
pub struct Pair {
    /// What the label tells.
    pub heading: Heading,
    /// Cell of the label; the value's own cell when both stand in one.
    pub label: Item,
    /// Cell of the value.
    pub value: Item,
    /// Unit cell behind the value.
    pub unit: Option<Item>,
    /// The value, where it is only a part of its cell.
    pub inline: Option<Box<(Cell, Sense)>>,
}

impl Pair {
    /// The value's content.
    #[must_use]
    pub fn cell<'p>(&'p self, view: &View<'p>) -> &'p Cell {
        match &self.inline {
            Some(inline) => &inline.0,
            None => view.cell(&self.value),
        }
    }

    /// The value's meanings.
    #[must_use]
    pub fn sense<'p>(&'p self, view: &View<'p>) -> &'p Sense {
        match &self.inline {
            Some(inline) => &inline.1,
            None => view.sense(&self.value),
        }
    }

    /// Whether the pair tells a measured value rather than a circumstance.
    #[must_use]
    pub fn is_reading(&self, view: &View<'_>) -> bool {
        if !matches!(self.sense(view).kind, Kind::Number | Kind::Over) || self.heading.statistic.is_some() {
            return false;
        }
        match self.heading.concept() {
            Some(Concept::Resistance | Concept::CorrectedResistance) => true,
            Some(concept) => fit::quantity(concept).is_some(),
            None => {
                let units =
                    self.sense(view).measure.iter().flat_map(|measure| &measure.parts).flat_map(|part| &part.units);
                let labelled = self.heading.units.iter().flat_map(|units| &units.value.0);
                let measured = units.chain(labelled).any(|unit| is_measured(unit.unit.dimension));
                !self.heading.circuits.is_empty() || self.heading.elapsed_s.is_some() || measured
            }
        }
    }
}

const fn is_measured(dimension: windrow_model::Dimension) -> bool {
    use windrow_model::Dimension;
    matches!(
        dimension,
        Dimension::Resistance | Dimension::Current | Dimension::Capacitance | Dimension::Charge | Dimension::Inductance
    )
}

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

/// Everything outside tables.
#[derive(Debug, Default)]
pub struct Loose {
    /// Pairs, in order.
    pub pairs: Vec<Pair>,
    /// Captions, in order.
    pub captions: Vec<Caption>,
    /// Labels of forms beside which no value stands: they say nothing of the values of others.
    pub unfilled: Vec<Item>,
    /// Cells of which nothing is understood.
    pub rest: Vec<Item>,
}

/// Farthest distance between a label and its value, in empty columns.
const REACH: u32 = 3;

/// Reads loose cells.
#[must_use]
pub fn read(view: &View<'_>, items: &[Item]) -> Loose {
    let mut loose = Loose::default();
    for line in items.chunk_by(|a, b| a.row == b.row) {
        read_line(view, line, &mut loose);
    }
    set_unfilled_aside(&mut loose);
    loose
}

/// Labels of a circuit or time in a column of such labels with values are labels without a value, no titles.
fn set_unfilled_aside(loose: &mut Loose) {
    let pairs = &loose.pairs;
    let is_unfilled = |caption: &Caption| {
        let (item, told) = (caption.item, &caption.heading);
        let beside = pairs.iter().filter(|pair| {
            pair.label.column == item.column && pair.label.row.abs_diff(item.row) == 1 && pair.inline.is_none()
        });
        let has_phase = |heading: &Heading| {
            let mut meanings = heading.circuits.iter().flat_map(|by| &by.value);
            meanings.any(|meaning| meaning.naming.is_some())
        };
        let mut beside = beside.map(|pair| &pair.heading);
        beside.any(|label| has_phase(told) && has_phase(label) || told.elapsed_s.is_some() && label.elapsed_s.is_some())
    };
    let (unfilled, captions) = std::mem::take(&mut loose.captions).into_iter().partition(is_unfilled);
    loose.captions = captions;
    loose.unfilled = unfilled.into_iter().map(|caption: Caption| caption.item).collect();
}

fn read_line(view: &View<'_>, line: &[Item], loose: &mut Loose) {
    let mut index = 0;
    while index < line.len() {
        let item = &line[index];
        let next = line.get(index + 1).filter(|next| next.column <= item.right + 1 + REACH);
        let is_series =
            |next: &Item| is_number(view, next) && line.get(index + 2).is_some_and(|third| is_number(view, third));
        // "Date | 14.03.87 | " | 15.03.87": a line of dates, none of which is the label's alone.
        let is_dated = |next: &Item| {
            let third = line.get(index + 2).filter(|third| third.column == next.right + 1);
            view.sense(next).kind == Kind::Date
                && third.is_some_and(|third| matches!(view.sense(third).kind, Kind::Date | Kind::Ditto))
        };
        let is_alone = |next: &&Item| !is_series(next) && !is_dated(next);
        if let Some(next) = next.filter(|next| makes_pair(view, item, next)).filter(is_alone) {
            let unit =
                line.get(index + 2).filter(|unit| is_written_unit(view.sense(unit)) && unit.column == next.right + 1);
            loose.pairs.push(Pair {
                heading: Heading::sum(view, std::slice::from_ref(item)),
                label: *item,
                value: *next,
                unit: unit.copied(),
                inline: None,
            });
            index += 2 + usize::from(unit.is_some());
            continue;
        }
        index += 1;
        if view.sense(item).kind == Kind::Text || view.sense(item).kind == Kind::Void {
            if !read_inline(view, item, loose) {
                read_caption(view, item, loose);
            }
        } else if view.cell(item).content == windrow_source::Content::Text && view.sense(item).is_label() {
            read_caption(view, item, loose);
        } else {
            loose.rest.push(*item);
        }
    }
}

/// Whether the cell is a number: of several behind one label none is the label's.
fn is_number(view: &View<'_>, item: &Item) -> bool {
    matches!(view.sense(item).kind, Kind::Number | Kind::Over) && !line::is_heading(view, item)
}

/// Whether a cell behind a value is surely its unit.
fn is_written_unit(sense: &Sense) -> bool {
    (sense.is_unit_only() || line::names_unit(sense))
        && sense.label.units.first().is_some_and(|meaning| !meaning.colloquial || meaning.weight >= 0.8)
}

fn makes_pair(view: &View<'_>, label: &Item, value: &Item) -> bool {
    let sense = view.sense(label);
    let text = view.cell(label).text.trim_end();
    let colon = text.ends_with([':', '=']);
    let most_words = if colon { 14 } else { 7 };
    if view.cell(label).content != windrow_source::Content::Text || sense.words > most_words {
        return false;
    }
    // "6,53 µA" is a value with its unit, "1 min" a label.
    let is_measured = sense.kind == Kind::Number && !line::is_heading(view, label);
    if !colon && (is_measured || line::is_value(view, label) && !sense.is_label()) {
        return false;
    }
    if (view.sense(value).is_strong_label() || line::is_column_label(view.sense(value))) && !colon {
        return false;
    }
    if line::ends_with_colon(view, value) {
        return false;
    }
    match line::promise(sense) {
        Some(promise) => {
            let fit = fits(promise, view.cell(value), view.sense(value));
            let loose_label = sense.label.unexplained.len() > 2;
            // Names of sites and titles end in words that are labels elsewhere ("… Pumping Station").
            let is_title = promise == Wants::Words && (!sense.label.unexplained.is_empty() || sense.words > 3);
            fit >= if colon {
                0.15
            } else if loose_label || is_title {
                0.95
            } else {
                0.5
            }
        }
        None => colon,
    }
}

/// `Date: 3/14/87   Tested by: R.K.` in one cell: each label with what follows it.
fn read_inline(view: &View<'_>, item: &Item, loose: &mut Loose) -> bool {
    let text = &view.cell(item).text;
    if !text.contains([':', '=']) || text.len() > 200 {
        return false;
    }
    let found: Vec<Pair> = inline::read(text)
        .into_iter()
        .map(|inline| {
            let mut heading = Heading { items: vec![*item], ..Heading::default() };
            heading.add_label(&inline.told, &[], item, inline.label);
            let cell = Cell { row: item.row, column: item.column, ..Cell::text(0, 0, inline.value) };
            Pair { heading, label: *item, value: *item, unit: None, inline: Some(Box::new((cell, inline.sense))) }
        })
        .collect();
    let any = !found.is_empty();
    loose.pairs.extend(found);
    any
}

fn read_caption(view: &View<'_>, item: &Item, loose: &mut Loose) {
    let text = view.cell(item).text.trim();
    if text.len() > 400 {
        loose.rest.push(*item);
        return;
    }
    loose.captions.push(caption(text, item));
}

/// Reads a caption, clause by clause.
#[must_use]
pub fn caption(text: &str, item: &Item) -> Caption {
    let text = &join_phases(text);
    let mut caption = Caption {
        heading: Heading { items: vec![*item], ..Heading::default() },
        item: *item,
        tag: None,
        dates: date::find_in(text).unwrap_or_default(),
        site: None,
        names: Vec::new(),
        ceiling: None,
        footnote: footnote_sign(text),
        corrected: false,
        concepts: Vec::new(),
        units: Vec::new(),
    };
    let mut whole = header::read(text);
    whole.circuits.retain(|meaning| meaning.weight >= 0.5);
    caption.corrected = whole.reference_c.is_some()
        || whole.concepts.iter().any(|(concept, _)| *concept == Concept::CorrectedResistance)
        || says_corrected(text);
    for clause in clauses(text) {
        read_clause(clause, item, &mut caption);
    }
    if is_sure_unit(&whole, text) {
        caption.units.push((whole.units.clone(), whole.unit_text.clone()));
    }
    caption.concepts.extend(whole.concepts.iter().map(|(concept, _)| *concept));
    let voltages = voltages(text);
    if voltages.iter().any(|volts| voltages.first() != Some(volts)) {
        // "500 V / 1 kV / 2.5 kV as rated" tells no voltage of any one reading.
        caption.heading.voltage_v = None;
        return Caption { tag: only_tag(text), ..caption };
    }
    caption.heading.add_label(&whole, &circuits_of(text), item, text);
    caption.tag = only_tag(text);
    caption
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
    if !fold(text).split(' ').any(|word| PHASE_COMPANY.contains(&word)) {
        return text.to_owned();
    }
    static PHASES: LazyLock<Option<Regex>> = LazyLock::new(|| {
        let three =
            "U|A|R|L1|T1|U1|1U".split('|').zip("V|B|S|L2|T2|V1|1V".split('|')).zip("W|C|T|L3|T3|W1|1W".split('|'));
        let of = |((a, b), c): ((&str, &str), &str)| format!(r"{a}\s*[,/+&]\s*{b}\s*(?:[,/+&]|und|and|et|y)\s*{c}");
        let all =
            three.map(of).chain([r"R\s*[,/+&]\s*Y\s*(?:[,/+&]|and)\s*B".to_owned()]).collect::<Vec<_>>().join("|");
        Regex::new(&format!(r"\b(?:{all})\b")).ok()
    });
    PHASES.as_ref().map_or_else(|| text.to_owned(), |phases| phases.replace_all(text, "UVW").into_owned())
}

/// Circuits that a text names; an abbreviation's letter ("R. isol.") is no phase.
fn circuits_of(text: &str) -> Vec<circuit::CircuitMeaning> {
    let mut circuits = circuit::read(text);
    circuits.retain(|meaning| meaning.weight >= 0.5);
    circuits
}

fn read_clause(clause: &str, item: &Item, caption: &mut Caption) {
    let mut label = header::read(clause);
    label.circuits.retain(|meaning| meaning.weight >= 0.5);
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
    let names_quantity = label.concepts.iter().any(|(concept, _)| {
        fit::quantity(*concept).is_some()
            || matches!(concept, Concept::Resistance | Concept::WindingTemperature | Concept::Temperature)
    });
    !best.colloquial || names_quantity && best.weight >= 0.7 || label.unit_text.trim() == clause.trim()
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

fn is_scale(clause: &str) -> bool {
    let folded = windrow_text::fold::fold(clause);
    const WORDS: [&str; 12] = [
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
    folded.split(' ').any(|word| WORDS.contains(&word)) && clause.contains(|c: char| c.is_ascii_digit())
}

fn says_corrected(text: &str) -> bool {
    let folded = windrow_text::fold::fold(text);
    ["corrected", "korrigiert", "umgerechnet", "corrige", "ramene", "corregido", "referido"]
        .iter()
        .any(|word| folded.split(' ').any(|other| other.starts_with(word)))
        && !folded.contains("not corrected")
        && !folded.contains("uncorrected")
}

/// The sign that a footnote explains: `* = …`, `(1) …`.
fn footnote_sign(text: &str) -> Option<String> {
    let rest = text.trim_start();
    for sign in ["***", "**", "*", "†", "‡", "#", "(1)", "(2)", "(a)", "¹", "²"] {
        if let Some(after) = rest.strip_prefix(sign) {
            return after.chars().any(char::is_alphabetic).then(|| sign.to_owned());
        }
    }
    None
}

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
    let words = text.split([' ', ',', ';', '(', ')', ':', '_', '\n', '"']).map(|word| word.trim_matches(['.', '\'']));
    let mut tags: Vec<&str> = words.filter(|word| tag::likeness(word) >= 0.85 && is_no_label(word)).collect();
    tags.dedup();
    match tags.as_slice() {
        [one] => Some((*one).to_owned()),
        _ => None,
    }
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

/// Whether a concept wants words that identify a machine.
#[must_use]
pub fn is_identity(concept: Concept) -> bool {
    matches!(wants(concept), Wants::Tag | Wants::Serial)
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

/// The site that a clause names: the words up to "works", "station" and the like.
#[must_use]
pub fn site_in(clause: &str) -> Option<String> {
    let words: Vec<&str> = clause.split_whitespace().collect();
    let is_site = |word: &&str| SITE_WORDS.contains(&windrow_text::fold::fold(word).as_str());
    let last = words.iter().take(6).rposition(is_site).filter(|last| *last >= 1)?;
    // Names are written with capitals; "pump house at works" is none.
    let named = words.iter().take(last).all(|word| word.starts_with(|c: char| c.is_uppercase() || c.is_ascii_digit()));
    named.then(|| words[..=last].join(" "))
}

//! What stands outside tables: label–value pairs, and captions that tell quantity, unit, time, place and machine in words.

mod alternatives;
mod caption;
mod dated;
mod days;
mod described;
mod leads;
mod measured;
pub(crate) mod names;
mod notes;
mod phases_behind;
mod sentences;
mod unit_marks;
mod voltage;

pub use caption::{Caption, caption};
pub(crate) use caption::{corrects_all, footnote_sign, is_sign, sign_key};
pub use names::{named_machine, only_tag, site_in};
pub(crate) use notes::parts as note_parts;
pub use unit_marks::{UnitMark, marks as unit_marks};

use crate::fit::{self, Wants, fits, wants};
use crate::heading::{By, Heading};
use crate::inline;
use crate::legend;
use crate::line;
use crate::pair_unit;
use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use windrow_source::Cell;
use windrow_text::figures::Figure;
use windrow_text::ticks;
use windrow_text::vocabulary::Concept;

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

    /// Whether its label says that the value was computed, promised or demanded.
    #[must_use]
    pub fn is_set(&self, view: &View<'_>) -> bool {
        // "Soll: 5 MΩ  Ist: 850 MΩ" in one cell: its first word speaks of its first value only.
        let is_alone = self.inline.is_none() || view.cell(&self.label).text.matches([':', '=']).count() <= 1;
        let figure = view.sense(&self.label).figure.filter(|_| is_alone);
        self.heading.statistic.is_some() || figure.is_some_and(|figure| figure != Figure::Entries)
    }

    /// Whether the pair tells a measured value rather than a circumstance.
    #[must_use]
    pub fn is_reading(&self, view: &View<'_>) -> bool {
        let is_value = matches!(self.sense(view).kind, Kind::Number | Kind::Over | Kind::Ditto);
        if !is_value || self.is_set(view) {
            return false;
        }
        match self.heading.concept() {
            Some(Concept::Resistance | Concept::CorrectedResistance) => true,
            Some(concept) => fit::quantity(concept).is_some(),
            None => {
                let units =
                    self.sense(view).measure.iter().flat_map(|measure| &measure.parts).flat_map(|part| &part.units);
                let labelled = self.heading.units.iter().flat_map(|units| &units.value.0);
                let measured = units.chain(labelled).any(|unit| is_measured(unit.unit));
                !self.heading.circuits.is_empty() || self.heading.elapsed_s.is_some() || measured
            }
        }
    }
}

/// Whether values in this unit are measured on insulation or windings; whole amperes are those of a nameplate.
fn is_measured(unit: windrow_model::Unit) -> bool {
    use windrow_model::{Dimension, Unit};
    match unit.dimension {
        Dimension::Current => unit != Unit::AMPERE,
        dimension => matches!(
            dimension,
            Dimension::Resistance | Dimension::Capacitance | Dimension::Charge | Dimension::Inductance
        ),
    }
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
    /// What a "#" before a text is.
    pub hashes: Hashes,
    /// Cells of which nothing is understood.
    pub rest: Vec<Item>,
}

/// What a "#" at the beginning of a text is.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Hashes {
    /// The sign of a footnote: values bear it.
    #[default]
    Sign,
    /// The beginning of a comment, as in files that programs write.
    Comment,
}

impl Hashes {
    fn of(view: &View<'_>) -> Self {
        let is_signed = |item: &Item| view.cell(item).text.trim_end().ends_with('#');
        if view.items().iter().any(is_signed) { Self::Sign } else { Self::Comment }
    }

    /// The text that a caption speaks.
    pub(crate) fn without(self, text: &str) -> &str {
        let comment = text.strip_prefix('#').map(|comment| comment.trim_start_matches('#').trim_start());
        // "#3 Boiler feed pump" is a number.
        comment.filter(|text| self == Self::Comment && text.starts_with(char::is_alphabetic)).unwrap_or(text)
    }
}

/// The explanation of a sign that stands alone in its cell: the only other cell of its row, behind it.
pub(crate) fn behind_sign<'v>(view: &'v View<'_>, item: &Item) -> Option<&'v str> {
    let sign = view.cell(item);
    if !is_sign(&sign.text) {
        return None;
    }
    let cells = &view.grid.cells;
    let first = cells.partition_point(|cell| cell.row < sign.row);
    let row = cells.get(first..).unwrap_or_default().iter().take_while(|cell| cell.row == sign.row);
    match row.collect::<Vec<_>>().as_slice() {
        [_, behind] if behind.column > sign.column => Some(behind.text.trim()),
        _ => None,
    }
}

/// Farthest distance between a label and its value, in empty columns.
const REACH: u32 = 3;

/// Reads loose cells.
#[must_use]
pub fn read(view: &View<'_>, items: &[Item]) -> Loose {
    let mut loose = Loose { hashes: Hashes::of(view), ..Loose::default() };
    for line in items.chunk_by(|a, b| a.row == b.row) {
        read_line(view, line, &mut loose);
    }
    measured::settle_same(view, &mut loose.pairs);
    set_unfilled_aside(view, &mut loose);
    voltage::settle(view, &mut loose);
    described::settle(view, &mut loose);
    leads::settle(view, &mut loose);
    leads::settle_differences(&mut loose);
    days::settle(view, &mut loose);
    loose
}

/// Labels of a circuit or time in a column of such labels with values are labels without a value, no titles.
fn set_unfilled_aside(view: &View<'_>, loose: &mut Loose) {
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
        // A label of many words beside its value is none without one.
        let behind = |other: &Item| other.column > item.right && is_number(view, other);
        let is_filled = view.line(view.line_at(item.row)).iter().any(|other| other.row == item.row && behind(other));
        !is_filled
            && beside.any(|label| {
                has_phase(told) && has_phase(label) || told.elapsed_s.is_some() && label.elapsed_s.is_some()
            })
    };
    let (unfilled, captions) = std::mem::take(&mut loose.captions).into_iter().partition(is_unfilled);
    loose.captions = captions;
    loose.unfilled = unfilled.into_iter().map(|caption: Caption| caption.item).collect();
}

/// Reads the loose cells of one line.
pub(crate) fn read_line(view: &View<'_>, line: &[Item], loose: &mut Loose) {
    let mut index = 0;
    while index < line.len() {
        let item = &line[index];
        let next = line.get(index + 1).filter(|next| next.column <= item.right + 1 + REACH);
        let phases = phases_behind::read(view, line.get(index..).unwrap_or_default());
        if !phases.is_empty() {
            index += 1 + phases.len();
            loose.pairs.extend(phases);
            continue;
        }
        if let Some(value) = next.filter(|value| measured::makes_pair(view, item, value)) {
            let heading = measured::heading(view, item);
            let unit = unit_behind(view, line.get(index + 2..).unwrap_or_default(), value);
            let unit = unit.filter(|unit| is_written_unit(view.sense(unit)));
            loose.pairs.push(Pair { heading, label: *item, value: *value, unit: unit.copied(), inline: None });
            index += 2 + usize::from(unit.is_some());
            continue;
        }
        let is_series =
            |next: &Item| is_number(view, next) && line.get(index + 2).is_some_and(|third| is_number(view, third));
        // "Date | 14.03.87 | " | 15.03.87": a line of dates, none of which is the label's alone.
        let is_dated = |next: &Item| {
            let third = line.get(index + 2).filter(|third| third.column == next.right + 1);
            view.sense(next).kind == Kind::Date
                && third.is_some_and(|third| matches!(view.sense(third).kind, Kind::Date | Kind::Ditto))
        };
        let is_alone = |next: &&Item| {
            !is_series(next)
                && !is_dated(next)
                && !begins_again(view, line, index)
                && !heads_values(view, item, next)
                // "2.4 | GΩ | > 100 MΩ": the unit of the value before it, and no label of the limit behind.
                && (!view.sense(item).is_unit_only() || !is_unit_of_number(view, item, line))
        };
        let behind = next.and_then(|next| unit_behind(view, line.get(index + 2..).unwrap_or_default(), next));
        let warmth = next.and_then(|next| warmth_of(view, item, next, behind));
        if let Some(next) = next.filter(|next| warmth.is_some() || makes_pair(view, item, next)).filter(is_alone) {
            // "Isolement U | kΩ | 620": the label goes on before its unit; "Anker | - Feld | 950": or behind a sign of what was
            // measured against what.
            let before = index.checked_sub(1).and_then(|before| line.get(before)).filter(|before| {
                (view.sense(item).is_unit_only() || goes_on(view, item))
                    && before.right + 1 == item.column
                    && loose.captions.last().is_some_and(|caption| caption.item.cell == before.cell)
            });
            if before.is_some() {
                loose.captions.pop();
            }
            let stack: Vec<Item> = before.into_iter().chain([item]).copied().collect();
            let mut heading = Heading::sum(view, &stack);
            if goes_on(view, item) {
                let text = heading.text(view);
                let value = windrow_text::circuit::read(&text.replace(" / ", " "));
                heading.circuits = if value.is_empty() { Vec::new() } else { vec![By { value, item: *item }] };
            }
            if is_dated_stage(view, item, next) && heading.concept().is_none() {
                heading.concepts = vec![(Concept::Date, 0.9, *item)];
            }
            name_by_value(view, &mut heading, next);
            if let Some(concept) = warmth {
                (heading.concepts, heading.circuits) = (vec![(concept, 0.9, *item)], Vec::new());
            } else if line::is_dated(view.sense(item), view.sense(next)) {
                heading.concepts.sort_by_key(|(concept, ..)| *concept != Concept::Date);
            }
            let unit =
                behind.filter(|unit| pair_unit::tell(view, &mut heading, unit) || is_written_unit(view.sense(unit)));
            let inline = first_value(view, next);
            loose.pairs.push(Pair { heading, label: *item, value: *next, unit: unit.copied(), inline });
            if view.sense(next).begins.is_some() {
                crate::told::add_others(view, next, loose);
            }
            index += 2 + usize::from(unit.is_some());
            continue;
        }
        index += 1;
        if is_unit_of_number(view, item, line) {
            loose.rest.push(*item);
        } else if view.sense(item).kind == Kind::Text || view.sense(item).kind == Kind::Void {
            let known = loose.pairs.len();
            if !read_inline(view, item, loose) {
                read_caption(view, item, loose);
            }
            crate::told::add(view, item, known, loose);
        } else if view.cell(item).content == windrow_source::Content::Text && view.sense(item).is_label() {
            read_caption(view, item, loose);
        } else if dated::is_date_of_title(view, item, line) {
            let mut dated = caption(&view.cell(item).text, item);
            dated.dates = crate::dates::meanings(view.cell(item), view.sense(item));
            loose.captions.push(dated);
        } else {
            loose.rest.push(*item);
        }
    }
}

/// "Item | Data" over labels and their values: what stands beside the label heads the column of values, and is none itself.
fn heads_values(view: &View<'_>, label: &Item, next: &Item) -> bool {
    windrow_text::marks::heads_values(&view.cell(next).text) && !view.cell(label).text.trim_end().ends_with([':', '='])
}

/// The first of several values that stand beside a label in one cell: the one that the label is of.
fn first_value(view: &View<'_>, value: &Item) -> Option<Box<(Cell, Sense)>> {
    view.sense(value).begins?;
    let text = view.cell(value).text.trim();
    let (_, length) = windrow_text::measure::begin(text)?;
    let first = text.get(..length)?;
    let cell = Cell { row: value.row, column: value.column, ..Cell::text(0, 0, first) };
    Some(Box::new((cell, Sense::read_text(first))))
}

/// "Insulation before the test, 1 min: | 2480 MΩ": of the names in a label that of what its value is in, not that of the test.
fn name_by_value(view: &View<'_>, heading: &mut Heading, value: &Item) {
    let is_test = heading.concept() == Some(Concept::TestKind);
    let is_resistance = |concept: Concept| {
        fit::quantity(concept).is_some_and(|quantity| quantity.dimension() == windrow_model::Dimension::Resistance)
    };
    if is_test && measured::is_resistance(view.sense(value)) {
        heading.concepts.sort_by_key(|(concept, ..)| !is_resistance(*concept));
    }
}

/// "Data | Generator 1 | | Data | Pump 1": whether what stands beyond an empty column behind the cell at `index` is the label again
/// that stands right before it.
fn begins_again(view: &View<'_>, line: &[Item], index: usize) -> bool {
    let text = |item: &Item| view.cell(item).text.trim();
    let before = index.checked_sub(1).and_then(|before| line.get(before));
    match (before, line.get(index), line.get(index + 1)) {
        (Some(before), Some(item), Some(next)) => {
            before.right + 1 == item.column && next.column > item.right + 1 && text(before) == text(next)
        }
        _ => false,
    }
}

/// "Reel drive A | Reel drive B": two names that differ in their last letter or number only.
fn are_siblings(a: &str, b: &str) -> bool {
    let is_last = |text: &str| text.len() <= 2 && text.chars().all(|c| c.is_ascii_uppercase() || c.is_ascii_digit());
    match (a.rsplit_once(' '), b.rsplit_once(' ')) {
        (Some((own, last)), Some((other, its))) => own == other && last != its && is_last(last) && is_last(its),
        _ => false,
    }
}

/// Whether a label begins with a sign that joins it to what stands before.
fn goes_on(view: &View<'_>, item: &Item) -> bool {
    let text = view.cell(item).text.trim_start();
    let behind = text.strip_prefix(['-', '–', '/', '→', '>']);
    behind.is_some_and(|rest| rest.starts_with(' '))
}

/// Which temperature a word for a place tells with the degrees beside it ("Raum | 22 °C", "devanado | 20 | °C").
fn warmth_of(view: &View<'_>, label: &Item, value: &Item, behind: Option<&Item>) -> Option<Concept> {
    let sense = view.sense(label);
    let is_degrees = |units: &[windrow_text::unit::UnitMeaning]| {
        units.first().is_some_and(|best| {
            best.weight >= 0.8 && !best.colloquial && best.unit.dimension == windrow_model::Dimension::Temperature
        })
    };
    let amounts = crate::value::amounts(view.cell(value), view.sense(value))?;
    let [amount] = amounts.parts.as_slice() else { return None };
    let unit_behind = behind.filter(|unit| view.sense(unit).is_unit_only()).map(|unit| view.sense(unit));
    let tells = is_degrees(&amount.units)
        || amount.units.is_empty() && unit_behind.is_some_and(|unit| is_degrees(&unit.label.units));
    let is_word =
        sense.kind == Kind::Text && !sense.is_pair && view.cell(label).content == windrow_source::Content::Text;
    let is_other = sense.concept().is_some_and(|concept| matches!(wants(concept), Wants::Number(_) | Wants::Date));
    if tells && is_word && !is_other { crate::warmth::of_place(&view.cell(label).text) } else { None }
}

/// Whether the cell is a number: of several behind one label none is the label's.
fn is_number(view: &View<'_>, item: &Item) -> bool {
    matches!(view.sense(item).kind, Kind::Number | Kind::Over) && !line::is_heading(view, item)
}

/// What may be the unit behind `value`: the next cell, or, where one place between them is blank ("U-V | 21.4 | | mΩ", in a column that
/// other lines wrote their second values before), a unit with no number of its own behind it.
fn unit_behind<'l>(view: &View<'_>, rest: &'l [Item], value: &Item) -> Option<&'l Item> {
    let unit = rest.first()?;
    let is_last = rest.get(1).is_none_or(|other| !is_number(view, other));
    let is_parted =
        unit.column == value.right + 2 && is_last && is_number(view, value) && is_written_unit(view.sense(unit));
    (unit.column == value.right + 1 || is_parted).then_some(unit)
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
    if line::names_by_key(view, label, value, None) {
        return true;
    }
    // "Motor: G-21 | Motor: G-22": each has its own value.
    if sense.is_pair || view.sense(value).is_pair {
        return false;
    }
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
    if (line::are_headings(sense, view.sense(value)) || line::is_unit_of_words(sense, view.sense(value))) && !colon {
        return false;
    }
    if line::ends_with_colon(view, value) || !colon && are_siblings(text, view.cell(value).text.trim()) {
        return false;
    }
    if !colon && is_unit_before_other(sense, view.sense(value)) {
        return false;
    }
    // "Card of converter set 2 | sheet 3", "Test list insulation | 1991": the page and the year of a title.
    // "Tag | REV-M1" names the motor of something that revolves.
    let is_name =
        sense.concept() == Some(Concept::Tag) && windrow_text::tag::likeness(view.cell(value).text.trim()) >= 0.85;
    let is_page =
        view.sense(value).concept() == Some(Concept::Page) && sense.concept() != Some(Concept::Page) && !is_name;
    let is_title = !sense.label.unexplained.is_empty() && sense.label.units.is_empty();
    let is_year = || windrow_text::date::is_year_alone(view.cell(value).text.trim());
    let promises_number = matches!(line::promise(sense), Some(Wants::Number(_)));
    // "AÑO 1979 | 500 V" are two parts of a title.
    let is_titled_year = windrow_text::date::is_year_alone(text);
    if !colon && (is_page || is_titled_year || is_title && promises_number && is_year()) {
        return false;
    }
    // "Date | 30.02.1997": what no calendar has is asked about, and no other date stands in for it.
    if sense.concept() == Some(Concept::Date) && windrow_text::date::impossible(&view.cell(value).text) {
        return true;
    }
    match line::promise(sense) {
        Some(_) if line::is_dated(sense, view.sense(value)) => true,
        Some(_) if line::is_misplaced(sense, view.sense(value)) => false,
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
        None => colon || voltage::is_bare_pair(text, view.sense(value)) || is_dated_stage(view, label, value),
    }
}

/// "en MΩ | 1000 Vcc": a unit is no label of a value in another one; both are parts of a title.
fn is_unit_before_other(label: &Sense, value: &Sense) -> bool {
    let Some(own) = label.label.units.first().filter(|_| label.is_unit_only()) else { return false };
    let told = value.measure.iter().flat_map(|measure| &measure.parts).flat_map(|part| &part.units);
    let mut sure = told.filter(|meaning| !meaning.colloquial && meaning.weight >= 0.8).peekable();
    sure.peek().is_some() && sure.all(|meaning| meaning.unit.dimension != own.unit.dimension)
}

/// Whether a cell is the unit of the number right before it, which is read under no label: it is no title in that unit.
fn is_unit_of_number(view: &View<'_>, item: &Item, line: &[Item]) -> bool {
    let is_before = |other: &&Item| other.row == item.row && other.right + 1 == item.column;
    is_written_unit(view.sense(item)) && line.iter().find(is_before).is_some_and(|before| is_number(view, before))
}

/// "AS RECEIVED | 15 May 2018": a stage with its day.
fn is_dated_stage(view: &View<'_>, label: &Item, value: &Item) -> bool {
    view.sense(label).is_stage && view.sense(value).kind == Kind::Date
}

/// `Date: 3/14/87   Tested by: R.K.` in one cell: each label with what follows it.
fn read_inline(view: &View<'_>, item: &Item, loose: &mut Loose) -> bool {
    let chosen = ticks::chosen(&view.cell(item).text);
    let text = loose.hashes.without(&chosen);
    if !text.contains([':', '=']) || text.len() > 200 || ticks::is_open(text) {
        return false;
    }
    let read = inline::read(text);
    // "Figures are megohms. Remarks: D dry, W wet": what stands before the first label tells of the numbers.
    let lead = read.first().and_then(|first| text.find(first.label)).and_then(|at| text.get(..at));
    let lead = lead.map(|lead| caption(lead.trim(), item)).filter(|lead| !lead.units.is_empty());
    let found: Vec<Pair> = read
        .into_iter()
        .map(|inline| {
            let mut heading = Heading { items: vec![*item], ..Heading::default() };
            heading.add_label(&inline.told, &[], item, inline.label);
            let cell = Cell { row: item.row, column: item.column, ..Cell::text(0, 0, inline.value) };
            Pair { heading, label: *item, value: *item, unit: None, inline: Some(Box::new((cell, inline.sense))) }
        })
        .collect();
    // "Job 4477: Dye pump, plant number DP-2": the number stands before the colon, and behind it a title.
    if let [pair] = found.as_slice() {
        let (label, value) = text.split_once([':', '=']).unwrap_or((text, ""));
        let is_numbered = label.contains(|c: char| c.is_ascii_digit());
        if pair.heading.concept() == Some(Concept::WorkOrder) && is_numbered && value.contains(' ') {
            loose.captions.push(caption(value.trim(), item));
            return true;
        }
    }
    let any = !found.is_empty();
    loose.pairs.extend(found);
    loose.captions.extend(lead);
    any
}

fn read_caption(view: &View<'_>, item: &Item, loose: &mut Loose) {
    let text = view.cell(item).text.trim();
    if text.len() > 400 {
        loose.rest.push(*item);
        return;
    }
    // "1 = 500 V" beside "2 = 1000 V", "I060 | insulation after 1 min": it explains codes and says nothing of the tests.
    let line = view.line(view.line_at(item.row));
    let explains = |item: &Item| legend::single(view.cell(item)).is_some();
    if view.explains(item) || explains(item) && line.iter().filter(|item| explains(item)).count() >= 2 {
        loose.captions.push(caption("", item));
        return;
    }
    let chosen = ticks::chosen(loose.hashes.without(text));
    match sentences::captions(&chosen, item) {
        Some(captions) => loose.captions.extend(captions),
        None => loose.captions.push(caption(&chosen, item)),
    }
}

/// What a test is called beside its label tells how it was made as a title does ("Essai | 500 V, 1 mn").
pub(crate) fn tests_named(view: &View<'_>, loose: &mut Loose) {
    // "Schaltung: | U, V, W verbunden gegen Erde": a connection of windings, or the one that was measured.
    let is_connection = |pair: &&Pair| {
        let told = caption(view.cell(&pair.value).text.trim(), &pair.value);
        let mut circuits = told.heading.circuits.iter().flat_map(|by| &by.value);
        pair.heading.concept() == Some(Concept::OtherPlate)
            && pair.inline.is_none()
            && circuits.any(|meaning| meaning.named == windrow_text::circuit::Named::All)
    };
    let connections: Vec<Item> = loose.pairs.iter().filter(is_connection).map(|pair| pair.value).collect();
    for item in connections {
        read_caption(view, &item, loose);
    }
    let is_named = |pair: &&Pair| {
        pair.heading.concept() == Some(Concept::TestKind)
            && pair.inline.is_none()
            && view.cell(&pair.value).text.contains(|c: char| c.is_ascii_digit())
            // "AC withstand 2 kV" in a form of insulation resistances is another test.
            && view.sense(&pair.value).label.concepts.iter().all(|(concept, _)| *concept != Concept::Withstand)
    };
    let named: Vec<Item> = loose.pairs.iter().filter(is_named).map(|pair| pair.value).collect();
    for item in named {
        read_caption(view, &item, loose);
    }
}

/// Whether a concept wants words that identify a machine.
#[must_use]
pub fn is_identity(concept: Concept) -> bool {
    matches!(wants(concept), Wants::Tag | Wants::Serial)
}

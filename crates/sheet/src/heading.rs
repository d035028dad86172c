//! What the header cells over a column tell together; the same sum is made for the label of a row and for a caption.

use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use windrow_model::{Dimension, Stage, Text};
use windrow_source::Content;
use windrow_text::circuit::{self, CircuitMeaning, Named, Naming};
use windrow_text::date;
use windrow_text::header::{self, Label};
use windrow_text::marks::Statistic;
use windrow_text::tag;
use windrow_text::unit::UnitMeaning;
use windrow_text::vocabulary::Concept;

/// Something told, with the cell that told it.
#[derive(Debug, Clone, PartialEq)]
pub struct By<T> {
    /// What is told.
    pub value: T,
    /// The cell.
    pub item: Item,
}

/// What single letters of a header may be.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Letters {
    /// Phases, where the sheet names all three so.
    Phases,
    /// Abbreviations and units only.
    Words,
}

/// The sum of header cells.
#[derive(Debug, Clone, Default)]
pub struct Heading {
    /// The cells, from the top line to the lowest.
    pub items: Vec<Item>,
    /// Concepts with weights, best first.
    pub concepts: Vec<(Concept, f32, Item)>,
    /// Units, with the text they were written as.
    pub units: Option<By<(Vec<UnitMeaning>, Text)>>,
    /// Circuits told, lowest line first.
    pub circuits: Vec<By<Vec<CircuitMeaning>>>,
    /// Time since voltage was applied, s.
    pub elapsed_s: Option<By<f64>>,
    /// Applied voltage, V.
    pub voltage_v: Option<By<f64>>,
    /// A power of ten by which the numbers are to be multiplied; `None` inside for a factor that is none.
    pub scale: Option<By<Option<i32>>>,
    /// Reference temperature of a correction, °C.
    pub reference_c: Option<By<f64>>,
    /// Statistic told.
    pub statistic: Option<By<Statistic>>,
    /// Stage told.
    pub stage: Option<By<Stage>>,
    /// Which round of its year's tests ("before the season").
    pub round: Option<By<String>>,
    /// A date that stands as header.
    pub date: Option<Item>,
    /// A month or quarter that stands as header without its year.
    pub period: Option<By<String>>,
    /// The winding's temperature that a group tells of its columns, °C.
    pub winding_c: Option<By<f64>>,
    /// A machine's name that stands as header.
    pub tag: Option<By<String>>,
    /// A drive of the machine that each line names.
    pub drive: Option<By<String>>,
    /// A plain number that stands as header; the corner says what it counts.
    pub number: Option<By<f64>>,
    /// A duration that stands as header, s.
    pub duration: Option<By<f64>>,
    /// What the numbers of times with colons are in the cells below.
    pub clock: Option<crate::column::Clock>,
    /// The three phases that a cell below lists, in order ("A / B / C").
    pub phases: Option<Vec<Vec<CircuitMeaning>>>,
    /// Words that nothing explains; they forbid defaults.
    pub unexplained: Vec<String>,
}

impl Heading {
    /// Adds up `items`, upper line first.
    #[must_use]
    pub fn sum(view: &View<'_>, items: &[Item]) -> Self {
        Self::sum_as(view, items, Letters::Phases)
    }

    /// Adds up `items`, upper line first; `letters` says what single letters may be.
    #[must_use]
    pub fn sum_as(view: &View<'_>, items: &[Item], letters: Letters) -> Self {
        let mut heading = Self { items: items.to_vec(), ..Self::default() };
        for item in items.iter().rev() {
            let letters = if is_unit_below(view, items, item) { Letters::Words } else { letters };
            heading.add(view, item, letters);
        }
        heading.join(view, items);
        heading.scale_units();
        heading.drop_abbreviations(view);
        heading.drop_short_inductance();
        heading.name_by_unit();
        heading
    }

    /// "MΩ" over "×10": the unit of the numbers is ten megohms. A factor that makes no unit of it leaves none.
    fn scale_units(&mut self) {
        if let (Some(by), Some(scale)) = (&mut self.units, &self.scale) {
            let units = windrow_text::unit::scaled(std::mem::take(&mut by.value.0), scale.value);
            by.value.1 = units.first().map(|best| Text::from(best.unit.symbol)).unwrap_or_default();
            by.value.0 = units;
        }
    }

    /// "Ind/masa": short for the armature, which nobody measures henries of against earth.
    fn drop_short_inductance(&mut self) {
        let is_winding = |meaning: &CircuitMeaning| {
            matches!(meaning.named, Named::Special(_) | Named::OtherWinding) && meaning.weight >= 0.5
        };
        if self.circuits.iter().flat_map(|by| &by.value).any(is_winding) {
            self.concepts.retain(|(concept, weight, _)| *concept != Concept::Inductance || *weight >= 0.8);
        }
    }

    /// "R" over "GΩ", "t" over "s": a letter over the unit of what it abbreviates is no phase.
    fn drop_abbreviations(&mut self, view: &View<'_>) {
        let Some(dimension) = self.units.as_ref().and_then(|by| by.value.0.first()).map(|unit| unit.unit.dimension)
        else {
            return;
        };
        // "C pF" under "Phase A": between what was measured stands above, the letter beside the unit is what was.
        let told_above = |by: &By<Vec<CircuitMeaning>>, told: &[By<Vec<CircuitMeaning>>]| {
            let is_sure = |other: &By<Vec<CircuitMeaning>>| other.value.iter().any(|meaning| meaning.weight >= 0.5);
            told.iter().any(|other| other.item.row < by.item.row && is_sure(other)) && is_symbol(&by.value, dimension)
        };
        let told = self.circuits.clone();
        self.circuits.retain(|by| !abbreviates(view, &by.value, dimension) && !told_above(by, &told));
    }

    fn add(&mut self, view: &View<'_>, item: &Item, letters: Letters) {
        let (cell, sense) = (view.cell(item), view.sense(item));
        // "15 kW / 400 V / 985 rpm" over a column of a form is of its machine, and tells no reading anything.
        if crate::line::tells_plate(sense) {
            return;
        }
        match (cell.content, sense.kind) {
            // A number that a list explains is its meaning.
            (Content::Number(value), _) if view.meaning(item).is_none() => {
                self.number = self.number.take().or(Some(By { value, item: *item }));
                return;
            }
            (Content::Duration(value), _) => {
                self.duration = self.duration.take().or(Some(By { value, item: *item }));
                return;
            }
            (_, Kind::Date) => {
                self.date = self.date.or(Some(*item));
                return;
            }
            _ => {}
        }
        // "1. Hj" under a year counts no more than its rounds.
        if sense.kind == Kind::Number && cell.content == Content::Text && windrow_text::round::names_round(&cell.text) {
            return;
        }
        if let Some(year) = crate::line::heads_year(view, item) {
            self.number = self.number.take().or(Some(By { value: f64::from(year), item: *item }));
            let part = sense.measure.as_ref().and_then(|measure| measure.parts.first());
            let units = part.map(|part| part.units.clone()).unwrap_or_default();
            let unit_text = units.first().map(|best| best.unit.symbol.to_owned()).unwrap_or_default();
            self.add_label(&Label { units, unit_text, ..Label::default() }, &[], item, &cell.text);
            return;
        }
        if sense.is_period || date::is_weekday_and_day(&cell.text) {
            let value = cell.text.trim().to_owned();
            self.period = self.period.take().or(Some(By { value, item: *item }));
            return;
        }
        if self.add_dated(sense, item, &cell.text) {
            return;
        }
        if let Some(month) = month_of_group(view, item) {
            self.period = self.period.take().or(Some(By { value: month, item: *item }));
            let winding = windrow_text::prose::temperatures(&cell.text);
            if let [(windrow_text::prose::Place::Winding, celsius)] = winding.as_slice() {
                self.winding_c = Some(By { value: *celsius, item: *item });
            }
            self.stage = self.stage.take().or(crate::stage::stage(&cell.text).map(|value| By { value, item: *item }));
            return;
        }
        if sense.tag >= 0.5 && !sense.is_pure_label() {
            let value = cell.text.trim().to_owned();
            self.tag = self.tag.take().or(Some(By { value, item: *item }));
            return;
        }
        if let Some(phases) = three_phases(&cell.text).filter(|_| !is_all_together(sense)) {
            let are_pairs = phases.iter().flatten().all(|meaning| matches!(meaning.named, Named::Pair(..)));
            self.phases = self.phases.take().or(Some(phases));
            let rest = crate::heading_phases::without_phases(&cell.text);
            if let Some(rest) = rest.filter(|rest| rest.contains(char::is_alphanumeric)) {
                let mut label = windrow_text::header::read(&rest);
                // An unbalance is of no pair of phases.
                label.concepts.retain(|(concept, _)| !are_pairs || *concept != Concept::Unbalance);
                let units = label.units.iter().filter(|meaning| meaning.weight >= 0.8).cloned().collect();
                let label = Label { units, circuits: Vec::new(), unexplained: Vec::new(), ..label };
                self.add_label(&label, &[], item, &rest);
            }
            return;
        }
        // A letter that the sheet uses as a phase is nothing else.
        if letters == Letters::Phases
            && cell.text.trim().chars().count() <= 2
            && sense.circuits.iter().any(|circuit| circuit.naming.is_some_and(|naming| view.pools.names_all(naming)))
        {
            self.circuits.push(By { value: sense.circuits.clone(), item: *item });
            return;
        }
        let known = self.unexplained.len();
        let is_letter = cell.text.trim().chars().count() <= 2;
        if letters == Letters::Words && is_letter || is_abbreviation(view, sense) {
            let label = Label { circuits: Vec::new(), ..sense.label.clone() };
            self.add_label(&label, &[], item, &cell.text);
        } else {
            self.add_label(&sense.label, &sense.circuits, item, &cell.text);
        }
        if letters == Letters::Phases {
            self.add_last_letter(view, sense, item);
        }
        // "P-101A MΩ", "P-101A U-E": a machine with a unit or a circuit.
        if !sense.label.unexplained.is_empty()
            && view.meaning(item).is_none()
            && let Some(value) = crate::loose::named_machine(&cell.text)
        {
            self.unexplained.truncate(known);
            self.tag = self.tag.take().or(Some(By { value, item: *item }));
        }
        if sense.kind == Kind::Number && sense.label.elapsed_s.is_none() && sense.label.voltage_v.is_none() {
            let plain =
                sense.measure.as_ref().and_then(|measure| measure.parts.first()).filter(|part| part.units.is_empty());
            let value = plain.and_then(|part| part.numbers.first()).map(|number| number.value);
            self.number = self.number.take().or(value.map(|value| By { value, item: *item }));
        }
    }

    /// "UNIT-1 06-May-2014": a date behind the name of a machine or another label; returns whether there is one.
    fn add_dated(&mut self, sense: &Sense, item: &Item, text: &str) -> bool {
        if sense.kind != Kind::Text || !(2..=6).contains(&sense.words) || !text.contains(|c: char| c.is_ascii_digit()) {
            return false;
        }
        let Some(rest) = without_date(text).or_else(|| without_year(text)) else { return false };
        self.date = self.date.or(Some(*item));
        let name = crate::loose::named_machine(&rest).or_else(|| (tag::likeness(&rest) >= 0.5).then(|| rest.clone()));
        match name {
            Some(value) => self.tag = self.tag.take().or(Some(By { value, item: *item })),
            None => self.add_label(&header::read(&rest), &circuit::read(&rest), item, &rest),
        }
        true
    }

    /// "IR 1 min R": the letter at the end is a phase where the sheet names all three so.
    fn add_last_letter(&mut self, view: &View<'_>, sense: &Sense, item: &Item) {
        let named = |meaning: &&CircuitMeaning| meaning.naming.is_some_and(|naming| view.pools.names_all(naming));
        let letter: Vec<CircuitMeaning> = sense.label.last_letter.iter().filter(named).cloned().collect();
        if letter.is_empty() || !sense.circuits.is_empty() {
            return;
        }
        let word =
            view.cell(item).text.split_whitespace().next_back().map(windrow_text::fold::fold).unwrap_or_default();
        self.unexplained.retain(|known| *known != word);
        self.circuits.push(By { value: letter, item: *item });
    }

    /// Adds what a label tells; what is told already (by a lower line) stays.
    pub fn add_label(&mut self, label: &Label, circuits: &[CircuitMeaning], item: &Item, text: &str) {
        // "Insulation resistance" over "phase": a word for terminals below says nothing of what was measured between them.
        if self.concepts.iter().all(|(concept, ..)| *concept == Concept::Circuit) {
            self.concepts.extend(label.concepts.iter().map(|(concept, weight)| (*concept, *weight, *item)));
        }
        if self.units.is_none() && !label.units.is_empty() {
            self.units = Some(By { value: (label.units.clone(), label.unit_text.as_str().into()), item: *item });
        }
        self.scale = self.scale.take().or(label.scale.map(|value| By { value, item: *item }));
        let told = if label.circuits.is_empty() { circuits } else { &label.circuits };
        if !told.is_empty() {
            self.circuits.push(By { value: told.to_vec(), item: *item });
        }
        let by = |value: f64| By { value, item: *item };
        self.elapsed_s = self.elapsed_s.take().or(label.elapsed_s.map(by));
        self.voltage_v = self.voltage_v.take().or(label.voltage_v.map(by));
        self.reference_c = self.reference_c.take().or(label.reference_c.map(by));
        self.statistic = self.statistic.take().or(label.statistic.map(|value| By { value, item: *item }));
        let beside = || crate::stage::beside_quantity(text).filter(|_| names_measured(label));
        self.stage =
            self.stage.take().or(crate::stage::stage(text).or_else(beside).map(|value| By { value, item: *item }));
        if told.is_empty() {
            self.unexplained.extend(label.unexplained.iter().cloned());
        }
    }

    /// Reads two-line headers also as one label ("Temperature" over "Winding"), in both orders; what fits the column decides.
    fn join(&mut self, view: &View<'_>, items: &[Item]) {
        let texts: Vec<&Item> = items
            .iter()
            .filter(|item| {
                let sense = view.sense(item);
                let is_name = sense.tag >= 0.5 && !sense.is_pure_label();
                sense.kind == Kind::Text && !sense.is_unit_only() && !is_name
            })
            .collect();
        let [.., upper, lower] = texts.as_slice() else { return };
        self.join_windings(view, upper, lower);
        let below = &view.sense(lower).label;
        if below.concepts.is_empty() && below.unexplained.is_empty() {
            return;
        }
        for (first, second) in [(lower, upper), (upper, lower)] {
            let joined = header::read(&format!("{} {}", view.cell(first).text, view.cell(second).text));
            for (concept, weight) in joined.concepts {
                let weight = weight * 0.95;
                match self.concepts.iter_mut().find(|(known, ..)| *known == concept) {
                    Some(known) => known.1 = known.1.max(weight),
                    None => self.concepts.push((concept, weight, **lower)),
                }
            }
            if joined.unexplained.len() < self.unexplained.len() {
                self.unexplained = joined.unexplained;
            }
        }
        self.concepts.sort_by(|a, b| b.1.total_cmp(&a.1));
    }

    /// "Armature to" over "fields": two windings against each other, which one line alone does not tell.
    fn join_windings(&mut self, view: &View<'_>, upper: &Item, lower: &Item) {
        let goes_on = view.cell(upper).text.trim().rsplit(' ').next().is_some_and(|last| {
            let last = windrow_text::fold::fold(last);
            last != "a" && circuit::leads_to_earth(&last)
        });
        let joined = circuit::read(&format!("{} {}", view.cell(upper).text.trim(), view.cell(lower).text.trim()));
        let are_two = |meaning: &CircuitMeaning| meaning.named == Named::OtherWinding && meaning.weight >= 0.5;
        if goes_on && joined.iter().any(are_two) {
            self.circuits = vec![By { value: joined, item: *lower }];
            self.unexplained.clear();
        }
    }

    /// "V" over "Test", "°C" under "Winding": a word that is vague alone means a quantity with the unit in another line.
    fn name_by_unit(&mut self) {
        let Some(units) = &self.units else { return };
        let is_stacked = units.item.row != self.items.last().map_or(0, |item| item.row) || self.items.len() > 1;
        let Some(dimension) = units.value.0.first().map(|meaning| meaning.unit.dimension) else { return };
        let meant = self.concepts.iter().find_map(|(concept, _, item)| match (concept, dimension) {
            // "Palier (kV)": a step with a unit of voltage is told by its voltage, not by its number.
            (Concept::StepNumber, Dimension::Voltage) => Some((Concept::TestVoltage, *item)),
            (Concept::TestKind | Concept::Withstand, Dimension::Voltage) if is_stacked => {
                Some((Concept::TestVoltage, *item))
            }
            (Concept::WindingKind, Dimension::Temperature) if is_stacked => Some((Concept::WindingTemperature, *item)),
            _ => None,
        });
        if let Some((concept, item)) = meant.filter(|(concept, _)| !self.has(*concept)) {
            self.concepts.insert(0, (concept, 1.0, item));
        }
    }

    /// The likeliest concept.
    #[must_use]
    pub fn concept(&self) -> Option<Concept> {
        self.concepts.first().map(|(concept, ..)| *concept)
    }

    /// Whether `concept` is among the likely ones.
    #[must_use]
    pub fn has(&self, concept: Concept) -> bool {
        self.concepts.iter().any(|(known, ..)| *known == concept)
    }

    /// The text of all its cells.
    #[must_use]
    pub fn text(&self, view: &View<'_>) -> String {
        self.items.iter().map(|item| view.cell(item).text.trim()).collect::<Vec<_>>().join(" / ")
    }
}

/// Whether a label names a measured resistance or a unit of one.
fn names_measured(label: &Label) -> bool {
    let in_ohms = label.units.first().is_some_and(|best| best.unit.dimension == Dimension::Resistance);
    in_ohms || label.concepts.iter().any(|(concept, _)| *concept == Concept::InsulationResistance)
}

/// The month or quarter among the words over a group of columns ("Shutdown May (winding 26 °C)"), where another group of the line has one
/// too: "may" alone is a verb as well.
fn month_of_group(view: &View<'_>, item: &Item) -> Option<String> {
    let line = view.line(view.line_at(item.row));
    let mut fellows = line.iter().filter(|other| other.row == item.row && other.cell != item.cell);
    let month = month_among_words(&view.cell(item).text)?;
    fellows.any(|other| month_among_words(&view.cell(other).text).is_some()).then_some(month)
}

/// The one month or quarter among two to eight words that hold no year.
fn month_among_words(text: &str) -> Option<String> {
    let words: Vec<&str> = text.split([' ', '(', ')', ',', ';']).filter(|word| !word.is_empty()).collect();
    let is_long = (2..=8).contains(&words.len()) && date::find_all(text).is_empty();
    let is_month = |word: &&&str| {
        word.starts_with(char::is_uppercase) && word.chars().count() >= 2 && crate::sense::period(word, 1999).is_some()
    };
    let mut months = words.iter().filter(is_month);
    let month = months.next().filter(|_| is_long && months.next().is_none())?;
    Some((*month).to_owned())
}

/// "V" below "Peak voltage": the unit that the label above it wants, whatever the phases are called.
fn is_unit_below(view: &View<'_>, items: &[Item], item: &Item) -> bool {
    let sense = view.sense(item);
    let Some(dimension) = sense.label.units.first().map(|meaning| meaning.unit.dimension) else { return false };
    let wants = |above: &Item| {
        let concepts = view.sense(above).label.concepts.iter();
        concepts.filter(|(_, weight)| *weight >= 0.5).any(|(concept, _)| match crate::fit::quantity(*concept) {
            Some(quantity) => quantity.dimension() == dimension,
            None => crate::fit::wants(*concept) == crate::fit::Wants::Number(Some(dimension)),
        })
    };
    view.cell(item).text.trim().chars().count() == 1 && items.iter().any(|above| above.row < item.row && wants(above))
}

/// What is left of a text without the one date in it; `None` if there is none, or nothing else.
fn without_date(text: &str) -> Option<String> {
    let found = date::find_all(text);
    let range = found.iter().find(|(_, meaning)| !meaning.bare_number).map(|(range, _)| range.clone())?;
    let is_one = found.iter().all(|(other, meaning)| meaning.bare_number || *other == range);
    let rest = format!("{} {}", text.get(..range.start)?, text.get(range.end..)?);
    let mut rest = rest.trim_matches([' ', ',', '(', ')', ':', '-', '–']).to_owned();
    // "As found, 3 May 1996 (MΩ)": the bracket at the end was that of the unit.
    let is_cut = rest.contains('(') && !rest.contains(')');
    if is_cut && !rest.contains('°') {
        rest.push(')');
    }
    (is_one && !rest.is_empty()).then_some(rest)
}

/// What is left of "Insulation 2011" without its year, where that is a label of what is measured and nothing else.
fn without_year(text: &str) -> Option<String> {
    let is_year = |word: &&str| word.len() == 4 && word.parse::<u16>().is_ok_and(|year| (1930..2100).contains(&year));
    // "Insulation 2000 V" tells a voltage.
    if header::read(text).voltage_v.is_some() {
        return None;
    }
    let words: Vec<&str> = text.split_whitespace().collect();
    let mut years = words.iter().filter(|word| is_year(word));
    years.next().filter(|_| years.next().is_none())?;
    let rest: Vec<&str> = words.iter().filter(|word| !is_year(word)).copied().collect();
    let rest = rest.join(" ");
    let label = header::read(&rest);
    let is_measured = label.concepts.iter().any(|(concept, weight)| {
        let is_resistance = matches!(concept, windrow_text::vocabulary::Concept::Resistance);
        *weight >= 0.6 && (is_resistance || crate::fit::quantity(*concept).is_some())
    });
    (is_measured && label.unexplained.is_empty()).then_some(rest)
}

/// "C nF": a letter that is no phase of this sheet, beside a concept that it abbreviates.
fn is_abbreviation(view: &View<'_>, sense: &Sense) -> bool {
    let circuits = &sense.label.circuits;
    let is_open = is_open_letter(circuits) && circuits.iter().all(|meaning| !is_named(view, meaning));
    let unit = sense.label.units.first().map(|meaning| meaning.unit.dimension);
    is_open && !sense.label.concepts.is_empty() || unit.is_some_and(|unit| abbreviates(view, circuits, unit))
}

/// Whether a lone letter beside a unit of `dimension` is short for what is measured in it: t for a time or temperature, C for a
/// capacitance; R for a resistance and U or V for a voltage unless the sheet names its phases so.
fn abbreviates(view: &View<'_>, circuits: &[CircuitMeaning], dimension: Dimension) -> bool {
    if !is_open_letter(circuits) {
        return false;
    }
    let is = |naming, index| {
        circuits.iter().any(|meaning| meaning.naming == Some(naming) && meaning.named == Named::Phase(index))
    };
    let is_free = circuits.iter().all(|meaning| !is_named(view, meaning));
    match dimension {
        Dimension::Time | Dimension::Temperature if is(Naming::Rst, 2) => true,
        Dimension::Resistance => is_free && is(Naming::Rst, 0),
        Dimension::Voltage => is_free && (is(Naming::Uvw, 0) || is(Naming::Uvw, 1)),
        Dimension::Capacitance
        | Dimension::Inductance
        | Dimension::Temperature
        | Dimension::Current
        | Dimension::Time => is_free,
        _ => false,
    }
}

/// Whether a lone letter is the usual symbol of what has this dimension, whatever else it may name.
fn is_symbol(circuits: &[CircuitMeaning], dimension: Dimension) -> bool {
    let is = |naming, index| {
        circuits.iter().any(|meaning| meaning.naming == Some(naming) && meaning.named == Named::Phase(index))
    };
    is_open_letter(circuits)
        && match dimension {
            Dimension::Capacitance => is(Naming::Abc, 2),
            Dimension::Resistance => is(Naming::Rst, 0),
            Dimension::Voltage => is(Naming::Uvw, 0) || is(Naming::Uvw, 1),
            Dimension::Temperature | Dimension::Time => is(Naming::Rst, 2),
            _ => false,
        }
}

/// Whether a text is one letter that may name a phase, and no more than that.
fn is_open_letter(circuits: &[CircuitMeaning]) -> bool {
    !circuits.is_empty()
        && circuits.iter().all(|meaning| meaning.weight < 0.5 && matches!(meaning.named, Named::Phase(_)))
}

/// Whether the sheet names all three phases as this one is named.
fn is_named(view: &View<'_>, meaning: &CircuitMeaning) -> bool {
    meaning.naming.is_some_and(|naming| view.pools.names_all(naming))
}

/// "Riso U-V-W to earth": the phases together, no list of three values.
fn is_all_together(sense: &Sense) -> bool {
    let mut meanings = sense.label.circuits.iter().chain(&sense.circuits);
    meanings.any(|meaning| meaning.named == Named::All && meaning.weight >= 0.5)
}

/// What parts a list of phases from other words.
pub(crate) const SEPARATORS: [char; 5] = ['(', ')', ',', ';', ' '];

/// A text whose lists have no blanks: "U, V, W" as "U/V/W".
pub(crate) fn compact_list(text: &str) -> String {
    let compact = text.replace(" / ", "/").replace(" - ", "-");
    let words: Vec<&str> = compact.split(' ').collect();
    let letter = |at: usize| {
        let word = words.get(at)?.trim_start_matches('(').trim_end_matches([',', ')']);
        (1..=2).contains(&word.len()).then_some(word)
    };
    let listed = |at: &usize| {
        let are_parted = (0..2).all(|next| words.get(at + next).is_some_and(|word| word.ends_with(',')));
        are_parted && (0..3).all(|next| letter(at + next).is_some())
    };
    let Some(first) = (0..words.len()).find(listed) else { return compact };
    let list: Vec<&str> = (first..first + 3).filter_map(letter).collect();
    let (before, behind) = (&words[..first], words.get(first + 3..).unwrap_or_default());
    [before, &[list.join("/").as_str()], behind].concat().join(" ")
}

/// The phases that "A / B / C" names, in one way of naming, or the pairs of "U-V / V-W / W-U".
#[must_use]
pub fn three_phases(text: &str) -> Option<Vec<Vec<CircuitMeaning>>> {
    let compact = compact_list(text);
    compact.split(SEPARATORS).find_map(|word| {
        let pairs: Vec<&str> = word.split('/').collect();
        let parts = if pairs.len() == 3 { pairs } else { word.split(['/', '-', '|']).collect() };
        if parts.len() != 3 {
            return None;
        }
        let read: Vec<Vec<CircuitMeaning>> = parts.iter().map(|part| circuit::read(part)).collect();
        let namings = read.first()?.iter().filter_map(|meaning| meaning.naming);
        namings.into_iter().find_map(|naming| {
            let of = |meanings: &Vec<CircuitMeaning>| {
                let meaning = meanings.iter().find(|meaning| meaning.naming == Some(naming))?;
                Some(vec![CircuitMeaning { naming: None, weight: 0.95, ..meaning.clone() }])
            };
            read.iter().map(of).collect()
        })
    })
}

//! Evidence pooled from many cells: what one cell leaves open, its column, sheet, file or folder may settle.

use crate::numbered::Numbered;
use crate::sense::{Kind, Sense, Senses};
use crate::stated::Stated;
use crate::value::Marks;
use serde::{Deserialize, Serialize};
use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Cell, Content, Workbook};
use windrow_text::circuit::{Named, Naming};
use windrow_text::date::{DateMeaning, Order};
use windrow_text::vocabulary::Concept;

/// Counts for two answers to one question.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Count {
    /// Cells that can only be read in the first way.
    pub first: u32,
    /// Cells that can only be read in the second way.
    pub second: u32,
}

impl Count {
    /// `Some(true)` for the first answer, `Some(false)` for the second, `None` without evidence or with both.
    #[must_use]
    pub const fn verdict(self) -> Option<bool> {
        match (self.first > 0, self.second > 0) {
            (true, false) => Some(true),
            (false, true) => Some(false),
            _ => None,
        }
    }

    /// Whether members contradict each other.
    #[must_use]
    pub const fn is_contradicted(self) -> bool {
        self.first > 0 && self.second > 0
    }

    fn add(&mut self, order: Order) {
        match order {
            Order::DayFirst => self.first += 1,
            Order::MonthFirst => self.second += 1,
            _ => {}
        }
    }

    const fn without(self, part: Self) -> Self {
        Self { first: self.first.saturating_sub(part.first), second: self.second.saturating_sub(part.second) }
    }

    fn merge(&mut self, other: Self) {
        self.first += other.first;
        self.second += other.second;
    }
}

/// Most names of machines that a pool keeps.
const MOST_TAGS: usize = 20_000;

/// Evidence of one file or folder.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct Pools {
    /// Day first against month first, in numeric dates of three parts.
    pub date_order: Count,
    /// Those of them whose years have two digits.
    pub short_years: Count,
    /// Marks between the digits of numbers typed as texts.
    pub marks: Marks,
    /// Celsius against Fahrenheit.
    pub celsius: Count,
    /// Phases named, by way of naming (bit 0 for the first phase).
    pub namings: BTreeMap<Naming, u8>,
    /// A T that is earth beside the phases R, S and T ("T-T") against one that is the third of them ("R-S", "S-T", "T-R").
    pub tierra: Count,
    /// Names that a label calls a site, plant or station.
    pub sites: BTreeSet<String>,
    /// Names that a label calls a machine's, folded.
    pub tags: BTreeSet<String>,
    /// Names of sheets in whose titles, alike in all else, they stand: places, folded. Of one file only, and not remembered.
    #[serde(skip)]
    pub places: BTreeSet<String>,
    /// Whether sheets are named by seasons of two years ("2003-04", "2004-05"), which are no months. Of one file only, and not remembered.
    #[serde(skip)]
    pub has_seasons: bool,
    /// Units that sheets of notes state. Of one file only, and not remembered.
    #[serde(skip)]
    pub stated: Vec<Stated>,
    /// Numbered lists of machines. Of one file only, and not remembered.
    #[serde(skip)]
    pub numbered: Vec<Numbered>,
}

/// Most words of a label that names a pair of phases.
const WORDS_OF_LABEL: usize = 4;

impl Pools {
    /// Adds the evidence of another file of the same folder.
    pub fn merge(&mut self, other: &Self) {
        self.date_order.merge(other.date_order);
        self.short_years.merge(other.short_years);
        self.marks.merge(other.marks);
        self.celsius.merge(other.celsius);
        self.tierra.merge(other.tierra);
        for (naming, phases) in &other.namings {
            *self.namings.entry(*naming).or_default() |= phases;
        }
        self.sites.extend(other.sites.iter().cloned());
        let room = MOST_TAGS.saturating_sub(self.tags.len());
        self.tags.extend(other.tags.iter().take(room).cloned());
    }

    /// Adds what one text proves.
    pub fn add(&mut self, sense: &Sense) {
        if let Some(order) = proven_order(sense) {
            self.date_order.add(order);
            if sense.dates.iter().all(|meaning| meaning.two_digit_year) {
                self.short_years.add(order);
            }
        }
        self.marks.add_text(sense);
        let circuits = sense.circuits.iter().chain(&sense.label.circuits).chain(&sense.label.last_letter);
        // A small s or t is far more often a second, a time or a temperature.
        for circuit in circuits.filter(|circuit| circuit.weight >= 0.3) {
            let Some(naming) = circuit.naming else { continue };
            let bits = match circuit.named {
                Named::Phase(index) | Named::PhaseToEarth(index) => 1 << index,
                Named::TToTierra => {
                    self.tierra.first += 1;
                    1 << 2
                }
                Named::Pair(a, b) => {
                    // "R-T" and "S-T" may be either, and "R, S, T" in a sentence lists three.
                    let is_pair = naming == Naming::Rst && a.min(b) == 0 && a.max(b) == 1;
                    self.tierra.second += u32::from(is_pair && sense.words <= WORDS_OF_LABEL);
                    (1 << a) | (1 << b)
                }
                _ => 0,
            };
            *self.namings.entry(naming).or_default() |= bits;
        }
    }

    /// What the other files of a folder prove of dates like one with these meanings. A hand that writes years otherwise is another
    /// one, and may write days and months otherwise too; where hands contradict each other, nothing is proven.
    #[must_use]
    pub fn order_of_others(&self, meanings: &[DateMeaning]) -> Count {
        if self.date_order.is_contradicted() {
            self.date_order
        } else if meanings.iter().all(|meaning| meaning.two_digit_year) {
            self.short_years
        } else {
            self.date_order.without(self.short_years)
        }
    }

    /// Whether all three phases are named in this way, and how sure that makes it.
    #[must_use]
    pub fn names_all(&self, naming: Naming) -> bool {
        self.namings.get(&naming) == Some(&0b111)
    }
}

/// The order that a text proves: the only one in which its numbers are a date.
#[must_use]
pub fn proven_order(sense: &Sense) -> Option<Order> {
    if sense.kind != Kind::Date {
        return None;
    }
    let mut orders = sense.dates.iter().filter(|meaning| !meaning.bare_number).map(|meaning| meaning.order);
    let first = orders.next()?;
    orders.all(|order| order == first).then_some(first)
}

/// All evidence of a workbook.
#[must_use]
pub fn evidence(book: &Workbook) -> Pools {
    evidence_by(book, &mut Senses::default())
}

/// All evidence of a workbook; every text that was read for it is known to `senses` afterwards.
pub(crate) fn evidence_by(book: &Workbook, senses: &mut Senses) -> Pools {
    let mut pools = Pools::default();
    for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
        let mut headed: BTreeMap<u32, Concept> = BTreeMap::new();
        for line in grid.cells.chunk_by(|a, b| a.row == b.row) {
            add_line(line, senses, &mut headed, &mut pools);
        }
    }
    pools
}

/// Adds a line of cells; `headed` are the columns under a label of a site or machine.
fn add_line(line: &[Cell], senses: &mut Senses, headed: &mut BTreeMap<u32, Concept>, pools: &mut Pools) {
    let ids: Vec<_> = line.iter().map(|cell| senses.of(cell)).collect();
    let labels: Vec<Option<Concept>> = ids
        .iter()
        .map(|id| {
            let sense = senses.get(*id);
            sense.concept().filter(|_| sense.is_pure_label() && sense.label.unexplained.is_empty())
        })
        .collect();
    for (index, (cell, id)) in line.iter().zip(&ids).enumerate() {
        if cell.content != Content::Text {
            continue;
        }
        let sense = senses.get(*id);
        pools.add(sense);
        let before = index.checked_sub(1).and_then(|before| labels[before]);
        if let Some(concept @ (Concept::Site | Concept::Tag)) = labels[index] {
            // A label beside another label heads a column; a label beside a value is a pair.
            if before.is_some() || labels.get(index + 1).copied().flatten().is_some() {
                headed.insert(cell.column, concept);
            }
            continue;
        }
        if sense.kind != Kind::Text || sense.is_strong_label() {
            continue;
        }
        match before.or_else(|| headed.get(&cell.column).copied()) {
            Some(Concept::Site) if sense.words <= 6 && cell.text.len() >= 5 && !sense.is_label() => {
                pools.sites.insert(cell.text.trim().to_owned());
            }
            Some(Concept::Tag) if sense.tag >= 0.5 && pools.tags.len() < MOST_TAGS => {
                pools.tags.insert(windrow_text::tag::fold(&cell.text));
            }
            _ => {}
        }
    }
}

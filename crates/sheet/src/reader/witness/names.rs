//! Quantities that a label or title names nearer to a reading than the place that it was read by.

use super::is_far;
use crate::fit::{self, is_index};
use crate::reader::Reader;
use crate::reader::test::{Pending, line_of};
use crate::sense::Kind;
use crate::view::Item;
use std::collections::BTreeMap;
use windrow_model::raw::{Told, Via};
use windrow_model::{Dimension, Place, Quantity, Unit};
use windrow_text::header::Label;
use windrow_text::vocabulary::Concept;

/// From which weight on a label names its quantity: two letters ("RW") may be a machine's.
const SURE: f32 = 0.8;
/// The same of a ratio, which "IP" may be short for.
const SURE_OF_RATIO: f32 = 0.4;

/// What a title "partial discharge" may be that of.
const DISCHARGE: [Quantity; 3] = [Quantity::PdMagnitude, Quantity::PdInceptionVoltage, Quantity::PdExtinctionVoltage];

/// Cells of a sheet that name quantities, by where they stand.
#[derive(Debug, Default)]
pub(super) struct Namings {
    by_row: BTreeMap<u32, Vec<(u32, Naming)>>,
    by_column: BTreeMap<u32, Vec<(u32, Naming)>>,
    /// Rows in which one cell stands that names some.
    alone: BTreeMap<u32, Naming>,
    /// Cells that tell a unit of resistance and nothing else, by column: their rows and what they may mean.
    units: BTreeMap<u32, Vec<(u32, UnitAlone)>>,
    /// Columns of all texts, by row.
    texts: BTreeMap<u32, Vec<u32>>,
    /// Rows of what stands outside of tables, by its place.
    loose: BTreeMap<Place, u32>,
}

/// A cell that tells a unit and nothing else.
#[derive(Debug)]
struct UnitAlone {
    place: Place,
    units: Vec<Unit>,
}

/// A cell and the quantities that it names.
#[derive(Debug, Clone, PartialEq)]
struct Naming {
    item: Item,
    named: Vec<Quantity>,
}

impl Naming {
    fn of(item: Item, concepts: &[(Concept, f32)]) -> Option<Self> {
        let mut named: Vec<Quantity> = Vec::new();
        for (concept, weight) in concepts {
            match (concept, fit::quantity(*concept)) {
                (_, Some(ratio)) if is_index(ratio) && *weight >= SURE_OF_RATIO => named.push(ratio),
                _ if *weight < SURE => {}
                // Of what, the word alone does not say.
                (Concept::Resistance | Concept::CorrectedResistance, _) => {
                    named.extend([Quantity::InsulationResistance, Quantity::WindingResistance]);
                }
                (_, Some(Quantity::PdMagnitude)) => named.extend(DISCHARGE),
                // A deviation is of resistances or of waves, a peak may be the voltage that something was measured at.
                (_, Some(Quantity::Unbalance | Quantity::SurgePeakVoltage) | None) => {}
                (_, Some(quantity)) => named.push(quantity),
            }
        }
        (!named.is_empty()).then_some(Self { item, named })
    }

    /// The quantity that it names and no other.
    fn only(&self) -> Option<Quantity> {
        if let [one] = self.named.as_slice() { Some(*one) } else { None }
    }

    fn names(&self, quantity: Quantity) -> bool {
        self.named.contains(&quantity)
    }
}

/// Another quantity, and the label that names it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Rival {
    pub(super) quantity: Quantity,
    pub(super) item: Item,
    pub(super) via: Via,
}

impl Reader<'_, '_, '_> {
    pub(super) fn namings(&self) -> Namings {
        let mut namings = Namings::default();
        let mut in_row: BTreeMap<u32, usize> = BTreeMap::new();
        for item in self.view.items() {
            let cell = self.view.cell(item);
            *in_row.entry(cell.row).or_default() += 1;
            let sense = self.view.sense(item);
            if sense.kind != Kind::Text {
                continue;
            }
            namings.texts.entry(cell.row).or_default().push(cell.column);
            if let Some(units) = resistance_alone(&sense.label) {
                namings
                    .units
                    .entry(cell.column)
                    .or_default()
                    .push((cell.row, UnitAlone { place: self.place(item), units }));
            }
            // "ALT-R1" is a machine, "IR: 185 MΩ" tells its own value, "1:30" is a minute and a half.
            let is_clock = windrow_text::date::clock(&self.view.cell(item).text).is_some();
            if sense.tag >= 0.5 || sense.is_pair || is_clock || sense.is_name_with_short_word() {
                continue;
            }
            if let Some(naming) = Naming::of(*item, &sense.label.concepts) {
                namings.by_row.entry(cell.row).or_default().push((cell.column, naming.clone()));
                namings.by_column.entry(cell.column).or_default().push((cell.row, naming));
            }
        }
        namings
            .by_row
            .values_mut()
            .chain(namings.by_column.values_mut())
            .for_each(|line| line.sort_by_key(|(at, _)| *at));
        let loose = &self.scene.loose;
        let pairs = loose.pairs.iter().flat_map(|pair| [pair.value, pair.label]);
        let items = pairs.chain(loose.captions.iter().map(|caption| caption.item));
        namings.loose = items.map(|item| (self.place(&item), self.view.cell(&item).row)).collect();
        for (row, line) in &namings.by_row {
            if let ([(_, naming)], Some(1)) = (line.as_slice(), in_row.get(row)) {
                namings.alone.insert(*row, naming.clone());
            }
        }
        namings
    }

    /// The unit that stands alone above a reading in its column, where the reading was given that of a cell below it.
    pub(super) fn unit_above(&self, item: &Item, pending: &Pending, all: &Namings) -> Option<Unit> {
        let told = &pending.reading.unit;
        if told.value.dimension != Dimension::Resistance || told.via == Via::Decision {
            return None;
        }
        let cell = self.view.cell(item);
        let units = all.units.get(&cell.column)?;
        let split = units.partition_point(|(row, _)| *row < cell.row);
        let (above, below) = units.split_at_checked(split)?;
        let (_, nearest) = above.last().filter(|(_, nearest)| !nearest.units.contains(&told.value))?;
        let is_below = below.iter().any(|(_, unit)| told.place.as_ref() == Some(&unit.place));
        nearest.units.first().copied().filter(|_| is_below)
    }

    /// What a label in the row of a reading, above it in its column, or in a line of its own between it and the title that named its
    /// quantity names instead.
    pub(super) fn rival_quantity(&self, block: usize, item: &Item, pending: &Pending, all: &Namings) -> Option<Rival> {
        let told = &pending.reading.quantity;
        if matches!(told.via, Via::Cell | Via::Decision | Via::Layout) {
            return None;
        }
        let cell = self.view.cell(item);
        let block = self.scene.blocks.get(block)?;
        let area = self.view.area(block.rows.0, block.columns.0, block.rows.1, block.columns.1);
        let before = |line: &'_ [(u32, Naming)], at: u32| line.partition_point(|(place, _)| *place < at).checked_sub(1);
        let in_row = all.by_row.get(&cell.row).and_then(|line| line.get(before(line, cell.column)?));
        let in_column = all.by_column.get(&cell.column).and_then(|line| line.get(before(line, cell.row)?));
        // In "Insulation | 430 MΩ | R U-V (Ω) | 0.385" the first label is not that of the last number.
        let text = all.texts.get(&cell.row).and_then(|columns| columns.iter().filter(|at| **at < cell.column).max());
        let in_row = in_row.filter(|(column, _)| *column >= area.left && Some(column) == text);
        let in_column = in_column.filter(|(row, _)| *row >= area.top);
        let told_at = |naming: &Naming| told.place.as_ref().is_some_and(|place| *place == self.place(&naming.item));
        let of_row = in_row.map(|(_, naming)| naming);
        let of_column = in_column.map(|(_, naming)| naming);
        if of_row.is_some_and(|naming| naming.names(told.value)) {
            // "R (GΩ)" in a line whose last column is headed "PI".
            return of_column
                .filter(|naming| naming.only().is_some_and(is_index) && !is_index(told.value))
                .and_then(|naming| rival(naming, told, Via::Column));
        }
        if let Some(naming) = of_row {
            return rival(naming, told, Via::Row);
        }
        if let Some(naming) = of_column.filter(|naming| !told_at(naming)) {
            return rival(naming, told, Via::Column);
        }
        let from = all.loose.get(told.place.as_ref()?).copied().filter(|row| is_far(told.via) && *row < cell.row)?;
        let (row, naming) = all.alone.range(from..cell.row).next_back()?;
        if *row == from { ratio_of_title(naming, pending) } else { nearer_title(naming, pending) }
    }
}

/// The units of resistance that a label names which tells nothing else.
fn resistance_alone(label: &Label) -> Option<Vec<Unit>> {
    let is_alone = label.concepts.is_empty() && label.circuits.is_empty() && label.unexplained.is_empty();
    let units: Vec<Unit> =
        label.units.iter().filter(|meaning| meaning.weight >= 0.2).map(|meaning| meaning.unit).collect();
    let is_resistance = !units.is_empty() && units.iter().all(|unit| unit.dimension == Dimension::Resistance);
    (is_alone && is_resistance).then_some(units)
}

/// "Polarization index" above readings that have their times, or a unit near them: those that it is computed from. Without either, and
/// with a unit that another title told, they are ratios.
fn ratio_of_title(naming: &Naming, pending: &Pending) -> Option<Rival> {
    let reading = &pending.reading;
    let is_timed =
        reading.elapsed_s.as_ref().is_some_and(|time| !is_far(time.via) || time.place == reading.quantity.place);
    let is_of_other = is_far(reading.unit.via) && reading.unit.place != reading.quantity.place;
    let rival = rival(naming, &reading.quantity, Via::Section).filter(|rival| is_index(rival.quantity));
    rival.filter(|_| !is_timed && is_of_other)
}

/// What a title between the one that was followed and a reading names.
fn nearer_title(naming: &Naming, pending: &Pending) -> Option<Rival> {
    let reading = &pending.reading;
    let is_timed = reading.elapsed_s.as_ref().is_some_and(|time| time.place != reading.quantity.place);
    rival(naming, &reading.quantity, Via::Section).filter(|rival| !is_timed || !is_index(rival.quantity))
}

/// The one quantity that a label names, if it is not the one told.
fn rival(naming: &Naming, told: &Told<Quantity>, via: Via) -> Option<Rival> {
    let quantity = naming.only().filter(|_| !naming.names(told.value))?;
    Some(Rival { quantity, item: naming.item, via })
}

/// Whether a reading that was taken for a resistance may be the ratio that a nearer label names: no unit was told in its own line, and its
/// number is one that a ratio can have. Indices from below 1 to beyond 10 are met (IEEE Std 43-2013, clause 12.2, speaks of 1 to 4).
pub(super) fn may_be_ratio(pending: &Pending) -> bool {
    let reading = &pending.reading;
    let is_in_line = reading.unit.place.as_ref().is_some_and(|place| line_of(place) == line_of(&reading.place));
    let is_far_unit = !is_in_line && !matches!(reading.unit.via, Via::Cell | Via::Decision);
    reading.unit.value.dimension == Dimension::Resistance && is_far_unit && (0.3..=30.0).contains(&reading.number)
}

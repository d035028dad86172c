//! What each column of a table is for.

mod amperes;
mod arithmetic;
mod below_zero;
mod beside;
mod by_cells;
mod campaigns;
mod circumstance;
mod clock;
mod codes;
mod commutator;
mod converted;
mod counted;
mod drives;
mod earth;
mod figures;
mod groups;
mod labels;
mod letters;
mod lists;
mod loss;
mod machine_groups;
mod machines;
mod name_parts;
mod named_lines;
mod names;
mod numbered_names;
mod onset;
mod others;
mod pairs_of_numbers;
mod rated_parts;
mod rest_of_phases;
mod roman;
mod rounds;
mod seasons;
mod series;
mod stack;
mod symbols;
mod told_above;
mod torn;
mod visits;
mod voltage;
mod warm;

pub use beside::{UNNAMED, companions};
pub(crate) use beside::{exponent, power};
pub use clock::{Clock, clock_form};
pub(crate) use codes::is_code_of_capitals;
pub(crate) use roman::{are_roman_months, are_roman_quarters};
pub(crate) use seasons::are_seasons;

use crate::corner;
use crate::cut::{BodyLine, Table, column_fit};
use crate::fit::{Wants, quantity, wants};
use crate::heading::Heading;
use crate::parallel;
use crate::support;
use crate::view::{Item, View};
use stack::stack;
use std::collections::BTreeMap;
use windrow_model::{Dimension, Quantity, Question};
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// Cells of the body by their columns.
type Cells = BTreeMap<u32, Vec<Item>>;

/// What a column is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It tells an attribute or field of its line.
    Field(Concept),
    /// It holds readings, of this quantity if the header tells one.
    Reading(Option<Quantity>),
    /// It labels its line ("U-E", "MΩ", "PI"): the label is read like a header.
    LineLabel,
    /// It holds a part of the name that stands in another column.
    NamePart,
    /// Computed by the source, or a limit.
    Statistic(Statistic),
    /// Only a person can tell what it is for.
    Asked(Question),
    /// Not understood.
    Unknown,
}

impl Role {
    /// Whether it names the machine or place of its line, or its day.
    #[must_use]
    pub const fn tells_which_or_when(self) -> bool {
        matches!(
            self,
            Self::Field(
                Concept::Tag | Concept::Serial | Concept::Site | Concept::Area | Concept::Description | Concept::Date
            )
        )
    }
}

/// A column with its header and role.
#[derive(Debug, Clone)]
pub struct Column {
    /// Position in the view.
    pub column: u32,
    /// The sum of its header cells.
    pub heading: Heading,
    /// What it is for.
    pub role: Role,
    /// How well its cells fit that, 0 to 1.
    pub fit: f32,
}

impl Column {
    /// Whether the column names the machines of the lines, wholly or in part, or is headed by one.
    #[must_use]
    pub fn names_lines(&self) -> bool {
        let is_name = matches!(
            self.role,
            Role::Field(Concept::Tag | Concept::Serial | Concept::ListKey | Concept::Description)
                | Role::LineLabel
                | Role::NamePart
        );
        is_name || self.heading.tag.is_some()
    }

    /// Whether a machine or date that heads this column heads the other as well: in one cell over both, or written over each.
    #[must_use]
    pub fn shares_group(&self, other: &Self, view: &View<'_>) -> bool {
        let text = |cell: u32| view.grid.cells.get(cell as usize).map(|cell| cell.text.trim());
        match (self.group(), other.group()) {
            (Some(own), Some(its)) => own == its || text(own) == text(its),
            _ => false,
        }
    }

    /// The header cell that tells a machine or date for this column and its neighbours of the same group.
    #[must_use]
    pub fn group(&self) -> Option<u32> {
        let heading = &self.heading;
        let year = heading.number.as_ref().filter(|by| (1900.0..2100.0).contains(&by.value)).map(|by| by.item);
        let period = heading.period.as_ref().map(|by| by.item);
        heading.date.or(period).or(heading.tag.as_ref().map(|by| by.item)).or(year).map(|item| item.cell)
    }
}

/// Reads the columns of a table.
#[must_use]
pub fn columns(view: &View<'_>, table: &Table) -> Vec<Column> {
    let mut cells = Cells::new();
    let is_own = |line: &&BodyLine| !line.is_statistic && !table.tells_across(line);
    for item in table.body.iter().filter(is_own).flat_map(|line| &line.items) {
        cells.entry(item.column).or_default().push(*item);
    }
    for item in table.header.iter().flatten() {
        cells.entry(item.column).or_default();
    }
    let told_above = told_above::read(view, table);
    let mut columns: Vec<Column> = cells
        .iter()
        .map(|(column, cells)| {
            let mut over = stack(view, table, *column);
            let top = table.header.first().and_then(|line| line.first()).filter(|_| told_above.is_some());
            over.retain(|item| top.is_none_or(|top| top.row != item.row));
            let heading = Heading::sum(view, &over);
            let (role, fit) = role(view, &heading, cells);
            Column { column: *column, heading, role, fit }
        })
        .collect();
    if let Some(told) = &told_above {
        told_above::settle(told, &mut columns);
    }
    amperes::settle(view, &mut columns, &cells);
    campaigns::settle(view, &mut columns);
    commutator::settle(view, &mut columns);
    numbered_names::settle(view, &mut columns);
    rest_of_phases::settle(view, &mut columns);
    rest_of_phases::settle_pairs(view, &mut columns);
    rest_of_phases::settle_titled(&mut columns, &cells);
    rest_of_phases::settle_lone_unit(view, table, &mut columns);
    roman::settle(view, table, &mut columns, &cells);
    seasons::settle(view, &mut columns, &cells);
    rounds::settle(view, &mut columns);
    names::settle(view, &mut columns, &cells);
    names::settle_drives(view, &mut columns, &cells);
    names::settle_apparatus(view, &mut columns, &cells);
    names::settle_instruments(view, &mut columns, &cells);
    pairs_of_numbers::settle(view, &mut columns, &cells);
    letters::settle(view, table, &mut columns, &cells);
    series::settle(view, &mut columns, &cells);
    circumstance::settle_by_cells(view, &mut columns, &cells);
    circumstance::settle_currents(&mut columns);
    groups::settle(view, &mut columns);
    symbols::settle(view, &mut columns);
    symbols::settle_capacitance(view, &mut columns);
    onset::settle(view, &mut columns);
    earth::settle(view, &mut columns, &cells);
    loss::settle(view, &mut columns);
    visits::settle(view, &mut columns, &cells);
    visits::settle_found_and_left(view, &mut columns);
    visits::settle_found_beside_limit(view, &mut columns);
    visits::settle_dates_of_stages(&mut columns);
    voltage::settle(view, &mut columns, &cells);
    voltage::settle_settings(view, &mut columns, &cells);
    voltage::settle_windings(&mut columns);
    amperes::settle_plates(view, &mut columns);
    rated_parts::settle(view, &mut columns, &cells);
    warm::settle(view, &mut columns, &cells);
    warm::settle_named(view, &mut columns, &cells);
    clock::settle(view, &mut columns, &cells);
    clock::settle_told(view, &mut columns, &cells);
    machines::settle(view, &mut columns, &cells);
    by_cells::settle(view, &mut columns, &cells);
    labels::settle(view, &mut columns, &cells);
    circumstance::settle_differences(view, &mut columns);
    codes::settle(view, &mut columns, &cells);
    counted::settle(view, &mut columns, &cells);
    lists::settle(view, &mut columns, &cells);
    converted::settle(&mut columns);
    corner::settle(view, &mut columns, &cells);
    parallel::settle(view, &mut columns);
    beside::settle(view, &mut columns, &cells);
    name_parts::settle(view, &mut columns, &cells);
    visits::settle_in_turn(view, &mut columns, &cells);
    named_lines::settle(view, &mut columns, &cells);
    drives::settle(view, &mut columns);
    machine_groups::settle(view, &mut columns, &cells);
    others::settle(view, &mut columns);
    figures::settle(view, &mut columns, &cells);
    torn::settle(view, &mut columns);
    below_zero::settle(view, &mut columns, &cells);
    seasons::settle_trimesters(view, &mut columns);
    arithmetic::settle(view, &mut columns, &cells);
    columns
}

/// Which column tells the units of which: the one of the same group, else the one next to the right; one alone speaks for all
/// readings, unless its group says of what else it speaks.
#[must_use]
pub fn unit_columns(view: &View<'_>, columns: &[Column]) -> BTreeMap<u32, u32> {
    let units: Vec<&Column> = columns.iter().filter(|column| column.role == Role::Field(Concept::UnitColumn)).collect();
    let group = |column: &Column| {
        let first = column.heading.items.first().filter(|_| column.heading.items.len() > 1)?;
        Some(view.cell(first).text.trim())
    };
    let same_group =
        |column: &Column| units.iter().find(|unit| group(unit).is_some() && group(unit) == group(column)).copied();
    let is_circumstance = |column: &Column| matches!(column.role, Role::Field(concept) if matches!(wants(concept), Wants::Number(Some(_))));
    // "Temperature | unit" beside readings without one: the unit is the temperature's.
    let is_of_other = |unit: &Column| {
        let fellows = || columns.iter().filter(|other| group(unit).is_some() && group(other) == group(unit));
        fellows().any(is_circumstance) && !fellows().any(|other| matches!(other.role, Role::Reading(_)))
    };
    let tells_own = |column: &Column| {
        let mut units = column.heading.units.iter().flat_map(|by| &by.value.0);
        units.any(|meaning| !meaning.colloquial && meaning.weight >= 0.8)
    };
    let is_reading = |column: &Column| matches!(column.role, Role::Reading(_));
    // "Insulation | unit | U-V (mΩ) | V-W (mΩ)": the unit is that of what stands before it and tells none.
    let is_needed =
        |before: u32| columns.iter().any(|column| column.column < before && is_reading(column) && !tells_own(column));
    let is_of_those_before = |column: &Column| {
        tells_own(column) && units.iter().all(|unit| unit.column < column.column && is_needed(unit.column))
    };
    let unit_of = |column: &Column| {
        if is_reading(column) && is_of_those_before(column) {
            return None;
        }
        if is_circumstance(column) {
            let next = units.iter().find(|unit| unit.column > column.column).or(units.last()).copied();
            return same_group(column).or(next.filter(|_| units.len() > 1));
        }
        let open: Vec<&Column> = units.iter().filter(|unit| !is_of_other(unit)).copied().collect();
        let alone = open.first().filter(|_| open.len() == 1).copied();
        let next = || open.iter().find(|unit| unit.column > column.column).or(open.last()).copied();
        alone.or_else(|| same_group(column)).or_else(next)
    };
    let values = columns.iter().filter(|column| is_reading(column) || is_circumstance(column));
    values.filter_map(|column| unit_of(column).map(|unit| (column.column, unit.column))).collect()
}

/// The role that header and content agree on best, and how well.
fn role(view: &View<'_>, heading: &Heading, cells: &[Item]) -> (Role, f32) {
    if let Some(statistic) = &heading.statistic {
        return (Role::Statistic(statistic.value), 1.0);
    }
    if support::is_least(view, heading, cells) {
        return (Role::Statistic(Statistic::Lowest), 1.0);
    }
    let mut best: Option<(Role, f32)> = None;
    for (concept, weight, told) in &heading.concepts {
        if !support::supports(view, heading, (*concept, *weight, told), cells) {
            continue;
        }
        let fit = column_fit(view, cells, wants(*concept)).unwrap_or(0.6);
        let role = match quantity(*concept) {
            Some(quantity) => Role::Reading(Some(quantity)),
            None if matches!(concept, Concept::Resistance | Concept::CorrectedResistance | Concept::EarlierReading) => {
                Role::Reading(None)
            }
            None => Role::Field(*concept),
        };
        let score = weight * fit;
        if fit >= 0.4 && best.is_none_or(|(_, known)| score > known + 0.001) {
            best = Some((role, score));
        }
    }
    if let Some((role, _)) = best {
        let promise = match role {
            Role::Field(concept) => wants(concept),
            _ => Wants::Number(None),
        };
        return (role, column_fit(view, cells, promise).unwrap_or(0.6));
    }
    by_components(view, heading, cells)
}

/// The role of a column whose header names no concept: unit, circuit, time, date or machine.
fn by_components(view: &View<'_>, heading: &Heading, cells: &[Item]) -> (Role, f32) {
    let numbers = column_fit(view, cells, Wants::Number(None)).unwrap_or(0.0);
    let is_condition = !heading.circuits.is_empty()
        || heading.elapsed_s.is_some()
        || heading.voltage_v.is_some()
        || heading.date.is_some()
        || heading.tag.is_some()
        || heading.period.is_some()
        || heading.number.is_some()
        || heading.duration.is_some()
        || heading.stage.is_some()
        || heading.reference_c.is_some()
        || heading.phases.is_some();
    let dimension = heading.units.as_ref().and_then(|units| units.value.0.first()).map(|best| best.unit.dimension);
    let is_of_warmth = dimension == Some(Dimension::Temperature) && support::tells_warmth(view, heading);
    // "Hub ht (m)" counts no minutes.
    let is_guess = dimension == Some(Dimension::Time)
        && !heading.unexplained.is_empty()
        && heading.units.as_ref().is_some_and(|units| units.value.0.iter().all(|meaning| meaning.weight < 0.5));
    if heading.units.is_some() && numbers >= 0.4 && !is_of_warmth && !is_guess {
        // "kV to earth" names what the volts stood against, and no reading.
        let is_condition = is_condition && !(dimension == Some(Dimension::Voltage) && says_earth_alone(heading));
        let place = || {
            let text = view.cell(heading.items.last()?).text.split(['(', '[']).next()?;
            crate::warmth::of_place(text)
        };
        match dimension.and_then(|dimension| by_dimension(dimension, is_condition)) {
            Some(Role::Field(Concept::Temperature)) => {
                return (Role::Field(place().unwrap_or(Concept::Temperature)), numbers);
            }
            Some(role) => return (role, numbers),
            None => {}
        }
    }
    if is_condition && numbers >= 0.3 {
        return (Role::Reading(None), numbers);
    }
    // "Reading", "Value": a header of words that say nothing of their own.
    let says_nothing = !heading.items.is_empty() && heading.unexplained.is_empty() && heading.concepts.is_empty();
    if says_nothing && numbers >= 0.5 && heading.units.is_none() {
        return (Role::Reading(None), numbers);
    }
    (Role::Unknown, numbers)
}

/// Whether a heading tells nothing but its unit and earth.
fn says_earth_alone(heading: &Heading) -> bool {
    let mut circuits = heading.circuits.iter().flat_map(|by| &by.value);
    !heading.circuits.is_empty()
        && circuits.all(|meaning| meaning.named == windrow_text::circuit::Named::ToEarth)
        && heading.elapsed_s.is_none()
        && heading.voltage_v.is_none()
        && heading.duration.is_none()
        && heading.stage.is_none()
}

/// What a column of this dimension is for, where the header tells nothing else.
fn by_dimension(dimension: Dimension, is_condition: bool) -> Option<Role> {
    Some(match dimension {
        Dimension::Resistance => Role::Reading(None),
        Dimension::Current => Role::Reading(Some(Quantity::LeakageCurrent)),
        Dimension::Capacitance => Role::Reading(Some(Quantity::Capacitance)),
        Dimension::Charge => Role::Reading(Some(Quantity::PdMagnitude)),
        Dimension::Inductance => Role::Reading(Some(Quantity::Inductance)),
        Dimension::Temperature => Role::Field(Concept::Temperature),
        Dimension::Voltage if !is_condition => Role::Field(Concept::TestVoltage),
        Dimension::VoltageRate => Role::Field(Concept::RateOfRise),
        Dimension::Time if !is_condition => Role::Field(Concept::Elapsed),
        Dimension::Power | Dimension::ApparentPower => Role::Field(Concept::RatedPower),
        Dimension::Speed => Role::Field(Concept::RatedSpeed),
        Dimension::Frequency => Role::Field(Concept::RatedFrequency),
        _ if is_condition => Role::Reading(None),
        _ => return None,
    })
}

//! What each column of a table is for.

use crate::cut::{Table, column_fit};
use crate::fit::{Wants, quantity, wants};
use crate::heading::{Heading, Letters};
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_model::{Dimension, Quantity};
use windrow_source::Content;
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// What a column is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// It tells an attribute or field of its line.
    Field(Concept),
    /// It holds readings, of this quantity if the header tells one.
    Reading(Option<Quantity>),
    /// It labels its line ("U-E", "MΩ", "PI"): the label is read like a header.
    LineLabel,
    /// Computed by the source, or a limit.
    Statistic(Statistic),
    /// Not understood.
    Unknown,
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
    /// The header cell that tells a machine or date for this column and its neighbours of the same group.
    #[must_use]
    pub fn group(&self) -> Option<u32> {
        let heading = &self.heading;
        let year = heading.number.as_ref().filter(|by| (1900.0..2100.0).contains(&by.value)).map(|by| by.item);
        heading.date.or(heading.tag.as_ref().map(|by| by.item)).or(year).map(|item| item.cell)
    }
}

/// Reads the columns of a table.
#[must_use]
pub fn columns(view: &View<'_>, table: &Table) -> Vec<Column> {
    let mut cells: std::collections::BTreeMap<u32, Vec<Item>> = std::collections::BTreeMap::new();
    for item in table.body.iter().filter(|line| !line.is_statistic).flat_map(|line| &line.items) {
        cells.entry(item.column).or_default().push(*item);
    }
    for item in table.header.iter().flatten() {
        cells.entry(item.column).or_default();
    }
    let mut columns: Vec<Column> = cells
        .iter()
        .map(|(column, cells)| {
            let heading = Heading::sum(view, &stack(view, table, *column));
            let (role, fit) = role(view, &heading, cells);
            Column { column: *column, heading, role, fit }
        })
        .collect();
    settle_letters(view, table, &mut columns, &cells);
    settle_by_cells(view, &mut columns, &cells);
    settle_voltage(view, &mut columns, &cells);
    settle_unlabelled(view, &mut columns, &cells);
    settle_differences(&mut columns);
    settle_lists(&mut columns);
    columns
}

/// Lists of equipment and of renumbered machines: a new tag is the tag, and beside a column of better tags in an equipment list
/// ("Equipment 10004711 | Tag P-7") what else names machines is the list's own key.
fn settle_lists(columns: &mut [Column]) {
    let has = |columns: &[Column], concept: Concept| columns.iter().any(|column| column.role == Role::Field(concept));
    if !has(columns, Concept::Tag) {
        for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::NewTag)) {
            column.role = Role::Field(Concept::Tag);
        }
    }
    let named = |column: &Column| column.role == Role::Field(Concept::Tag);
    let is_location = |column: &Column| named(column) && column.heading.has(Concept::FunctionalLocation);
    if columns.iter().any(|column| named(column) && !is_location(column)) {
        for column in columns.iter_mut().filter(|column| is_location(column)) {
            column.role = Role::Field(Concept::FunctionalLocation);
        }
    }
    let is_list = [Concept::FunctionalLocation, Concept::Parent, Concept::EquipmentClass]
        .iter()
        .any(|concept| has(columns, *concept));
    if !is_list || has(columns, Concept::ListKey) {
        return;
    }
    let tags = columns.iter().filter(|column| column.role == Role::Field(Concept::Tag));
    let best = tags.map(|column| column.fit).fold(0.0, f32::max);
    for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::Tag) && column.fit < best) {
        column.role = Role::Field(Concept::ListKey);
    }
}

/// Which column tells the units of which: the one of the same group, else the one next to the right; one alone speaks for all
/// readings.
#[must_use]
pub fn unit_columns(columns: &[Column]) -> std::collections::BTreeMap<u32, u32> {
    let units: Vec<&Column> = columns.iter().filter(|column| column.role == Role::Field(Concept::UnitColumn)).collect();
    let values = columns.iter().filter(|column| match column.role {
        Role::Reading(_) => true,
        Role::Field(concept) => units.len() > 1 && matches!(wants(concept), Wants::Number(Some(_))),
        _ => false,
    });
    let group =
        |column: &Column| column.heading.items.first().filter(|_| column.heading.items.len() > 1).map(|item| item.cell);
    values
        .filter_map(|column| {
            let same_group = units.iter().find(|unit| group(unit).is_some() && group(unit) == group(column));
            let next = units.iter().find(|unit| unit.column > column.column).or(units.last());
            let alone = units.first().filter(|_| units.len() == 1);
            alone.or(same_group).or(next).map(|unit| (column.column, unit.column))
        })
        .collect()
}

/// Header cells over a column, from the top: its own, and group labels that reach over it.
fn stack(view: &View<'_>, table: &Table, column: u32) -> Vec<Item> {
    let mut stack = Vec::new();
    for (index, line) in table.header.iter().enumerate() {
        let row = line.first().map_or(0, |item| item.row);
        let own = line.iter().find(|item| item.column <= column && column <= item.right);
        let from_above = table.header.iter().take(index).flatten();
        if own.is_none()
            && from_above.into_iter().any(|item| item.column <= column && column <= item.right && row <= item.bottom)
        {
            continue;
        }
        let is_leaf = |item: &Item| item.column == column && !view.sense(item).is_unit_only();
        let has_leaf = || table.header.iter().skip(index + 1).flatten().any(is_leaf);
        let group = || {
            let left = line.iter().rev().find(|item| item.column < column)?;
            let reaches = group_width(line).is_none_or(|width| column < left.column + width);
            (left.right == left.column && reaches && has_leaf()).then_some(left)
        };
        if let Some(item) = own.or_else(group) {
            stack.push(*item);
        }
    }
    stack
}

/// Width of the groups in a line of group labels, if its merged cells or its even spacing tell one: the last group is as wide
/// as the others.
fn group_width(line: &[Item]) -> Option<u32> {
    if let Some(merged) = line.iter().find(|item| item.right > item.column) {
        return Some(merged.right - merged.column + 1);
    }
    let steps: Vec<u32> = line.windows(2).map(|two| two[1].column - two[0].column).collect();
    let first = steps.first().copied().filter(|step| *step > 1)?;
    steps.iter().all(|step| *step == first).then_some(first)
}

/// The role that header and content agree on best, and how well.
fn role(view: &View<'_>, heading: &Heading, cells: &[Item]) -> (Role, f32) {
    if let Some(statistic) = &heading.statistic {
        return (Role::Statistic(statistic.value), 1.0);
    }
    let mut best: Option<(Role, f32)> = None;
    for (concept, weight, _) in &heading.concepts {
        let fit = column_fit(view, cells, wants(*concept)).unwrap_or(0.6);
        let role = match quantity(*concept) {
            Some(quantity) => Role::Reading(Some(quantity)),
            None if matches!(concept, Concept::Resistance | Concept::CorrectedResistance) => Role::Reading(None),
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
        || heading.number.is_some()
        || heading.duration.is_some()
        || heading.stage.is_some()
        || heading.reference_c.is_some()
        || heading.phases.is_some();
    if let Some(units) = heading.units.as_ref().filter(|_| numbers >= 0.4) {
        let dimension = units.value.0.first().map(|meaning| meaning.unit.dimension);
        if let Some(role) = dimension.and_then(|dimension| by_dimension(dimension, is_condition)) {
            return (role, numbers);
        }
    }
    if is_condition && numbers >= 0.3 {
        return (Role::Reading(None), numbers);
    }
    // "Reading", "Value": a header of words that say nothing of their own.
    let says_nothing = !heading.items.is_empty() && heading.unexplained.is_empty();
    if says_nothing && numbers >= 0.5 && heading.units.is_none() {
        return (Role::Reading(None), numbers);
    }
    (Role::Unknown, numbers)
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
        Dimension::Time if !is_condition => Role::Field(Concept::Elapsed),
        Dimension::Power | Dimension::ApparentPower => Role::Field(Concept::RatedPower),
        Dimension::Speed => Role::Field(Concept::RatedSpeed),
        Dimension::Frequency => Role::Field(Concept::RatedFrequency),
        _ if is_condition => Role::Reading(None),
        _ => return None,
    })
}

/// Of two columns headed by the same letter the one among its fellow phases is a phase, the other ("V" after "W") a unit.
fn settle_letters(
    view: &View<'_>,
    table: &Table,
    columns: &mut [Column],
    cells: &std::collections::BTreeMap<u32, Vec<Item>>,
) {
    let letter = |column: &Column| {
        // The letter of a phase may stand over the unit.
        let is_short = |item: &&Item| view.cell(item).text.trim().chars().count() <= 2;
        let item = match column.heading.items.as_slice() {
            [.., over, last] if is_short(&over) && view.sense(last).is_unit_only() => over,
            [.., last] => last,
            [] => return None,
        };
        let text = view.cell(item).text.trim();
        let is_letter = text.chars().count() <= 2 && !view.sense(item).circuits.is_empty();
        (is_letter && !column.heading.circuits.is_empty()).then(|| text.to_owned())
    };
    let letters: Vec<Option<String>> = columns.iter().map(letter).collect();
    for index in 0..columns.len() {
        let Some(text) = &letters[index] else { continue };
        let is_group = |other: usize| {
            columns[other].heading.items.len() == columns[index].heading.items.len()
                && columns[other].heading.items.first().map(|item| item.cell)
                    == columns[index].heading.items.first().map(|item| item.cell)
                || columns[index].heading.items.len() == 1
        };
        let twin =
            (0..columns.len()).any(|other| other != index && letters[other].as_ref() == Some(text) && is_group(other));
        let fellow = |other: Option<usize>| {
            other
                .and_then(|other| letters.get(other))
                .is_some_and(|other| other.as_ref().is_some_and(|other| other != text))
        };
        let among_fellows = fellow(index.checked_sub(1)) || fellow(Some(index + 1));
        if twin && !among_fellows {
            let heading = Heading::sum_as(view, &stack(view, table, columns[index].column), Letters::Words);
            let cells = cells.get(&columns[index].column).map(Vec::as_slice).unwrap_or_default();
            let (role, fit) = role(view, &heading, cells);
            columns[index] = Column { column: columns[index].column, heading, role, fit };
        }
    }
}

/// A difference beside surge voltages is that of two wave forms, where no resistances of windings stand that could differ.
fn settle_differences(columns: &mut [Column]) {
    let has = |quantity| columns.iter().any(|column| column.role == Role::Reading(Some(quantity)));
    if !has(Quantity::SurgePeakVoltage) || has(Quantity::WindingResistance) {
        return;
    }
    for column in columns.iter_mut().filter(|column| column.role == Role::Reading(Some(Quantity::Unbalance))) {
        column.role = Role::Reading(Some(Quantity::SurgeDifference));
    }
}

/// Columns whose cells carry units of a circumstance: volts are the test voltage, degrees a temperature, whatever the header.
fn settle_by_cells(view: &View<'_>, columns: &mut [Column], cells: &std::collections::BTreeMap<u32, Vec<Item>>) {
    for column in columns {
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        let share = |dimension: Dimension| {
            let sample = cells.iter().take(100);
            let all = sample.len();
            let has = |item: &&Item| {
                let amounts = crate::value::amounts(view.cell(item), view.sense(item));
                amounts.is_some_and(|amounts| {
                    amounts.parts.iter().any(|part| crate::value::unit_of(&part.units, dimension).is_some())
                })
            };
            sample.filter(has).count() * 10 >= all * 8
        };
        let wanted = match column.role {
            Role::Field(concept) => match wants(concept) {
                Wants::Number(Some(dimension)) => Some(dimension),
                _ => None,
            },
            Role::Reading(Some(quantity)) => Some(quantity.dimension()),
            _ => None,
        };
        let concept = if share(Dimension::Temperature) && wanted != Some(Dimension::Temperature) {
            if column.heading.has(Concept::WindingKind) { Concept::WindingTemperature } else { Concept::Temperature }
        } else if share(Dimension::Voltage) && wanted != Some(Dimension::Voltage) {
            Concept::TestVoltage
        } else if share(Dimension::Time) && wanted.is_some_and(|wanted| wanted != Dimension::Time) {
            Concept::Elapsed
        } else {
            continue;
        };
        column.role = Role::Field(concept);
        column.fit = 0.9;
    }
}

/// Usual test voltages, V. Common practice; the steps are those of IEEE 43-2013 table 1 (from memory).
const TEST_VOLTAGES: [f64; 9] = [50.0, 100.0, 250.0, 500.0, 1000.0, 2500.0, 5000.0, 10_000.0, 15_000.0];

/// Bare "Volts" beside readings is the test voltage if all of them are usual ones; in a register it is the rated voltage.
fn settle_voltage(view: &View<'_>, columns: &mut [Column], cells: &std::collections::BTreeMap<u32, Vec<Item>>) {
    let has_readings = columns.iter().any(|column| matches!(column.role, Role::Reading(_)));
    let at_chosen_voltage = columns.iter().any(|column| {
        let quantity = match column.role {
            Role::Reading(quantity) => quantity,
            _ => None,
        };
        quantity.is_some_and(|quantity| {
            !matches!(quantity.dimension(), Dimension::Resistance) && quantity != Quantity::PolarizationIndex
        })
    });
    let has_plate = columns.iter().any(|column| {
        matches!(
            column.role,
            Role::Field(Concept::RatedPower | Concept::RatedCurrent | Concept::RatedSpeed | Concept::MadeYear)
        )
    });
    for column in columns {
        if !matches!(column.role, Role::Field(Concept::RatedVoltage | Concept::TestVoltage)) {
            continue;
        }
        let sure = column.heading.concepts.first().is_some_and(|(_, weight, _)| *weight >= 0.9)
            && !(column.heading.has(Concept::RatedVoltage) && column.heading.has(Concept::TestVoltage));
        if sure {
            continue;
        }
        let usual = cells.get(&column.column).is_some_and(|cells| {
            cells.iter().filter_map(|item| volts(view, item)).all(|volts| TEST_VOLTAGES.contains(&volts))
        });
        let concept = if has_readings && (usual || at_chosen_voltage) && !has_plate {
            Concept::TestVoltage
        } else {
            Concept::RatedVoltage
        };
        column.role = Role::Field(concept);
    }
}

fn volts(view: &View<'_>, item: &Item) -> Option<f64> {
    let amounts = crate::value::amounts(view.cell(item), view.sense(item))?;
    let amount = amounts.parts.first()?;
    let number = amount.numbers.first()?.value;
    let unit = crate::value::unit_of(&amount.units, Dimension::Voltage);
    Some(unit.map_or(if number < 50.0 { number * 1000.0 } else { number }, |unit| unit.to_stored(number)))
}

/// Columns whose header tells nothing: known by what they hold, if nothing else in the table is that.
fn settle_unlabelled(view: &View<'_>, columns: &mut [Column], cells: &std::collections::BTreeMap<u32, Vec<Item>>) {
    let has = |columns: &[Column], concept: Concept| columns.iter().any(|column| column.role == Role::Field(concept));
    for index in 0..columns.len() {
        if columns[index].role != Role::Unknown {
            continue;
        }
        let Some(cells) = cells.get(&columns[index].column).filter(|cells| !cells.is_empty()) else { continue };
        let share = |test: &dyn Fn(&Item) -> bool| {
            let sample = cells.iter().take(200);
            let all = sample.len();
            sample.filter(|item| test(item)).count() * 10 >= all * 7
        };
        let is_headless = columns[index].heading.items.is_empty();
        let labels = share(&|item| line_label(view, item));
        let dates = share(&|item| view.sense(item).kind == Kind::Date);
        let tags = share(&|item| view.sense(item).tag >= 0.5 && !view.sense(item).is_pure_label());
        let words = share(&|item| matches!(view.sense(item).kind, Kind::Text | Kind::Ditto | Kind::Void));
        // A corner label may speak of the header line ("Time min" over dates).
        let is_first_headed = columns[..index].iter().all(|column| column.heading.items.is_empty());
        let is_corner = is_first_headed && columns[index].fit < 0.2;
        let unlabelled = is_headless || is_corner || columns[index].heading.concepts.is_empty();
        let role = if !unlabelled {
            continue;
        } else if dates && !has(columns, Concept::Date) {
            Role::Field(Concept::Date)
        } else if tags && !has(columns, Concept::Tag) && !has(columns, Concept::Serial) {
            Role::Field(Concept::Tag)
        } else if labels && index <= 1 {
            Role::LineLabel
        } else if words && is_headless && index > 0 {
            Role::Field(Concept::Remarks)
        } else {
            continue;
        };
        columns[index].role = role;
        columns[index].fit = 0.8;
    }
    first_column_labels(view, columns, cells);
    lists_of_labels(view, columns, cells);
}

/// A column headed by a word of the winding whose cells tell times or quantities ("Winding" over "IR 1 min") labels its lines.
fn lists_of_labels(view: &View<'_>, columns: &mut [Column], cells: &std::collections::BTreeMap<u32, Vec<Item>>) {
    let tells = |item: &Item| {
        let label = &view.sense(item).label;
        let named = label.concepts.iter().any(|(concept, _)| quantity(*concept).is_some());
        label.unexplained.is_empty() && (label.elapsed_s.is_some() || named)
    };
    for column in columns {
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        let is_word = matches!(column.role, Role::Field(Concept::WindingKind | Concept::Circuit | Concept::Remarks));
        if is_word && cells.iter().filter(|item| tells(item)).count() * 10 >= cells.len() * 7 {
            (column.role, column.fit) = (Role::LineLabel, 0.9);
        }
    }
}

/// A first column of a corner label, whose cells are labels of another kind ("min:sec" over "MΩ"), labels its lines.
fn first_column_labels(view: &View<'_>, columns: &mut [Column], cells: &std::collections::BTreeMap<u32, Vec<Item>>) {
    let Some(first) = columns.first_mut() else { return };
    let Some(cells) = cells.get(&first.column).filter(|cells| !cells.is_empty()) else { return };
    // "Oak Mill" in a column of sites is a site, though "mill" is a label of sites.
    let is_own_kind =
        |item: &Item| matches!(first.role, Role::Field(concept) if view.sense(item).label.weight(concept) > 0.0);
    let labels = cells.iter().filter(|item| line_label(view, item) && !is_own_kind(item)).count();
    let is_key = matches!(first.role, Role::Field(Concept::Circuit)) && first.fit >= 0.8;
    if !is_key && labels * 10 >= cells.len() * 7 && first.fit < 0.7 {
        first.role = Role::LineLabel;
        first.fit = 0.9;
    }
}

/// Whether a cell labels its line: a circuit, quantity, unit or time in words.
fn line_label(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    view.cell(item).content == Content::Text
        && sense.is_label()
        && (sense.is_pure_label() || line::is_heading(view, item))
}

//! Columns known by what they hold, and columns of labels.

use super::{Cells, Column, Role};
use crate::fit::quantity;
use crate::line;
use crate::sense::Kind;
use crate::view::{Item, View};
use std::collections::BTreeSet;
use windrow_source::Content;
use windrow_text::header::Label;
use windrow_text::vocabulary::Concept;

/// Columns whose header tells nothing: known by what they hold, if nothing else in the table is that.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let has = |columns: &[Column], concept: Concept| columns.iter().any(|column| column.role == Role::Field(concept));
    for index in 0..columns.len() {
        if columns[index].role != Role::Unknown {
            continue;
        }
        let all_cells = cells;
        let Some(cells) = cells.get(&columns[index].column).filter(|cells| !cells.is_empty()) else { continue };
        let share = |test: &dyn Fn(&Item) -> bool| {
            let sample = cells.iter().take(200);
            let all = sample.len();
            sample.filter(|item| test(item)).count() * 10 >= all * 7
        };
        let is_headless = columns[index].heading.items.is_empty();
        let labels = share(&|item| line_label(view, item)) || are_in_outline(view, cells);
        let dates = share(&|item| view.sense(item).kind == Kind::Date);
        let tags = share(&|item| view.sense(item).tag >= 0.5 && !view.sense(item).is_pure_label());
        let words = share(&|item| matches!(view.sense(item).kind, Kind::Text | Kind::Ditto | Kind::Void));
        // A corner label may speak of the header line ("Time min" over dates).
        let is_first_headed = columns[..index].iter().all(|column| column.heading.items.is_empty());
        let is_corner = is_first_headed && columns[index].fit < 0.2;
        let is_misnamed = is_unit_of_plant(view, &columns[index], cells);
        // "RTG-11", "RTG-12": names, whatever else their word is short for.
        let is_series = is_misnamed && are_numbered_in_turn(view, cells);
        let (labels, tags) = (labels && !is_series, tags || is_series);
        let unlabelled = is_headless || is_corner || is_misnamed || is_unexplained(&columns[index]);
        let role = if !unlabelled {
            continue;
        } else if dates && !has(columns, Concept::Date) {
            Role::Field(Concept::Date)
        } else if tags
            && !has(columns, Concept::Tag)
            && (index == 0 || !has(columns, Concept::Serial))
            && !is_sparser(view, columns, index, all_cells)
        {
            Role::Field(Concept::Tag)
        } else if index == 0 && words && !labels && is_year_over_names(columns) && !has(columns, Concept::Tag) {
            // The year is that of the months, no date of these cells.
            (columns[0].heading.number, columns[0].heading.date) = (None, None);
            Role::Field(Concept::Tag)
        } else if labels && index <= 1 || index == 0 && is_headless && words && says_corrected(view, cells) {
            Role::LineLabel
        } else if words && is_headless && index > 0 {
            Role::Field(Concept::Remarks)
        } else {
            continue;
        };
        if role == Role::Field(Concept::Tag) {
            // "Set" over "EG-2" and "EG-3" is no month.
            (columns[index].heading.period, columns[index].heading.date) = (None, None);
        }
        columns[index].role = role;
        columns[index].fit = 0.8;
    }
    first_column_labels(view, columns, cells);
    further_label_columns(view, columns, cells);
    lists_of_labels(view, columns, cells);
    tests_between_terminals(view, columns, cells);
}

/// "Measured" over "Converted to 20 °C" in a column without a heading: what was done with the values of a line.
fn says_corrected(view: &View<'_>, cells: &[Item]) -> bool {
    let corrects = |item: &Item| {
        view.sense(item).label.reference_c.is_some() && windrow_text::explained::says_corrected(&view.cell(item).text)
    };
    cells.len() >= 2 && cells.iter().any(corrects) && !cells.iter().all(corrects)
}

/// "Step test" over "three phases together": a column headed by the name of a test whose cells all name terminals tells those.
fn tests_between_terminals(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let names_terminals = |item: &Item| {
        let sense = view.sense(item);
        sense.circuits.iter().any(|meaning| meaning.weight >= 0.5) && sense.label.concepts.is_empty()
    };
    for column in columns.iter_mut().filter(|column| column.role == Role::Field(Concept::TestKind)) {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        if !own.is_empty() && own.iter().all(names_terminals) {
            (column.role, column.fit) = (Role::Field(Concept::Circuit), 0.9);
        }
    }
}

/// "Bin B1 | Spare no. SM-04": whether another column under a heading that nothing explains holds more different tags, so that this one says
/// where they are.
fn is_sparser(view: &View<'_>, columns: &[Column], index: usize, cells: &Cells) -> bool {
    let tags = |column: &Column| {
        let own = cells.get(&column.column).map(Vec::as_slice).unwrap_or_default();
        let made_so = own.iter().filter(|item| view.sense(item).tag >= 0.5).map(|item| view.cell(item).text.trim());
        made_so.collect::<BTreeSet<_>>().len()
    };
    let own = tags(&columns[index]);
    let is_open = |column: &&Column| column.role == Role::Unknown && is_unexplained(column);
    columns.iter().skip(index + 1).filter(is_open).any(|other| tags(other) > own)
}

/// Whether all cells of a column are one word in capitals, a dash and numbers none of which comes twice.
fn are_numbered_in_turn(view: &View<'_>, cells: &[Item]) -> bool {
    let parts: Option<Vec<(&str, u32)>> = cells
        .iter()
        .map(|item| {
            let (word, number) = view.cell(item).text.trim().split_once('-')?;
            let is_word = word.len() >= 2 && word.bytes().all(|b| b.is_ascii_uppercase());
            is_word.then_some((word, number.parse().ok()?))
        })
        .collect();
    let Some(parts) = parts else { return false };
    let words: BTreeSet<&str> = parts.iter().map(|(word, _)| *word).collect();
    let numbers: BTreeSet<u32> = parts.iter().map(|(_, number)| *number).collect();
    parts.len() >= 3 && words.len() == 1 && numbers.len() == parts.len()
}

/// Whether "Unit" over cells that are no units calls machines so.
fn is_unit_of_plant(view: &View<'_>, column: &Column, cells: &[Item]) -> bool {
    let concepts = &column.heading.concepts;
    !concepts.is_empty()
        && concepts.iter().all(|(concept, ..)| *concept == Concept::UnitColumn)
        && cells.iter().all(|item| !line::names_unit(view.sense(item)) && !view.sense(item).is_unit_only())
}

/// Whether a heading tells nothing, or no more than that something is numbered ("Spare no.").
fn is_unexplained(column: &Column) -> bool {
    let heading = &column.heading;
    let counts = |(concept, weight, _): &(Concept, f32, _)| *concept == Concept::RowNumber && *weight < 0.6;
    heading.concepts.iter().all(counts) && (heading.concepts.is_empty() || !heading.unexplained.is_empty())
}

/// Whether a year stands over the first column, and months or quarters over others: what it heads are the things whose readings follow.
fn is_year_over_names(columns: &[Column]) -> bool {
    let heading = &columns[0].heading;
    let is_year =
        heading.number.as_ref().is_some_and(|by| (1900.0..2100.0).contains(&by.value)) || heading.date.is_some();
    is_year && columns.iter().filter(|column| column.heading.period.is_some()).count() >= 2
}

/// A column right behind one of labels that holds nothing but labels and times ("Test 1" before "1 min", "Wdg °C") labels its
/// lines as well.
fn further_label_columns(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    for index in 1..columns.len() {
        let Some(own) = cells.get(&columns[index].column).filter(|own| !own.is_empty()) else { continue };
        let is_behind = columns[index - 1].role == Role::LineLabel;
        let are_labels = own.iter().all(|item| line::is_heading(view, item) && view.sense(item).is_label());
        let is_reading = matches!(columns[index].role, Role::Reading(_) | Role::Unknown);
        if is_behind && are_labels && is_reading && columns[index].fit < 0.9 {
            (columns[index].role, columns[index].fit) = (Role::LineLabel, 0.8);
        }
    }
}

/// A column headed by a word of the winding or of tests whose cells tell times or quantities ("Winding" over "IR 1 min") labels its
/// lines.
fn lists_of_labels(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let named = |label: &Label| {
        label.concepts.iter().any(|(concept, weight)| {
            let is_parameter = matches!(
                concept,
                Concept::Resistance
                    | Concept::TestVoltage
                    | Concept::WindingTemperature
                    | Concept::AmbientTemperature
                    | Concept::Temperature
            );
            quantity(*concept).is_some() || is_parameter && *weight >= 0.6
        })
    };
    // "500 V used", "winding 61 °F": how a line was measured, and no name of what it holds.
    let names_quantity = |label: &Label| {
        label.voltage_v.is_none() && label.concepts.iter().any(|(concept, _)| quantity(*concept).is_some())
    };
    // `RWI_L1L2` among `RISO_L1_2500V`: the name of a field that ends in terminals.
    let names_terminals = |label: &Label| label.circuits.iter().any(|meaning| meaning.weight >= 0.5);
    // "Surge comparison U-V, peak 14 kV, difference": the quantity for sure and between what, whatever words stand beside.
    let names_both = |label: &Label| {
        let is_sure = |(concept, weight): &(Concept, f32)| quantity(*concept).is_some() && *weight >= 0.9;
        label.concepts.first().is_some_and(is_sure) && label.circuits.iter().any(|meaning| meaning.weight >= 0.9)
    };
    for column in columns {
        let Some(cells) = cells.get(&column.column).filter(|cells| !cells.is_empty()) else { continue };
        // "DC 1 min" is the kind of a test, "IR 1 min" a reading.
        let needs_name = matches!(column.role, Role::Unknown | Role::Field(Concept::TestKind | Concept::Description));
        let is_remark = column.role == Role::Field(Concept::Remarks);
        let tells = |item: &&Item| {
            let label = &view.sense(item).label;
            let named = |label: &Label| if is_remark { names_quantity(label) } else { named(label) };
            let is_told = named(label) || !needs_name && label.elapsed_s.is_some();
            // A code that a list explains is there to name what was measured, whatever else the list says of it.
            is_told && (label.unexplained.is_empty() || view.meaning(item).is_some())
                || names_both(label)
                || view.meaning(item).is_some() && names_terminals(label)
                || view.cell(item).text.contains('_') && names_terminals(label)
        };
        // "Bearing temp DE" among them is put aside.
        let is_other = |item: &&Item| {
            let concepts = &view.sense(item).label.concepts;
            // A code may stand for what was recorded beside the readings as well.
            let is_beside = |concept: Concept| {
                view.meaning(item).is_some()
                    && matches!(concept, Concept::Humidity | Concept::AmbientTemperature | Concept::DewPoint)
            };
            concepts.first().is_some_and(|(concept, _)| *concept == Concept::OtherFigure || is_beside(*concept))
        };
        let is_word = matches!(column.role, Role::Field(Concept::WindingKind | Concept::Circuit | Concept::Remarks));
        let told = cells.iter().filter(tells).count();
        let others = cells.iter().filter(|item| !tells(item) && is_other(item)).count();
        if (is_word || needs_name) && told > 0 && (told + others) * 10 >= cells.len() * 7 {
            (column.role, column.fit) = (Role::LineLabel, 0.9);
        }
    }
}

/// A first column of a corner label, whose cells are labels of another kind ("min:sec" over "MΩ"), labels its lines.
fn first_column_labels(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let Some(first) = columns.first_mut() else { return };
    let Some(cells) = cells.get(&first.column).filter(|cells| !cells.is_empty()) else { return };
    // "Oak Mill" in a column of sites is a site, though "mill" is a label of sites.
    let is_own_kind =
        |item: &Item| matches!(first.role, Role::Field(concept) if view.sense(item).label.weight(concept) > 0.0);
    // "A", "B" in a column of lines or areas are such, and no phases.
    let is_place = matches!(first.role, Role::Field(Concept::Area | Concept::Site));
    let is_letter = |item: &Item| is_place && view.cell(item).text.trim().chars().count() <= 2;
    let labels = cells.iter().filter(|item| line_label(view, item) && !is_own_kind(item) && !is_letter(item)).count();
    let is_key = matches!(first.role, Role::Field(Concept::Circuit)) && first.fit >= 0.8;
    // "Aislam. | 500 V, 60 s": no class of materials, but how its line was measured.
    let is_class =
        first.role == Role::Field(Concept::InsulationClass) && first.heading.has(Concept::InsulationResistance);
    let tells_how = |item: &Item| {
        let label = &view.sense(item).label;
        label.elapsed_s.is_some() || label.voltage_v.is_some()
    };
    if is_class && cells.iter().all(tells_how) {
        (first.role, first.fit) = (Role::LineLabel, 0.9);
        first.heading.concepts.retain(|(concept, ..)| *concept != Concept::InsulationClass);
        return;
    }
    if !is_key && labels * 10 >= cells.len() * 7 && first.fit < 0.7 {
        first.role = Role::LineLabel;
        first.fit = 0.9;
    }
}

/// Whether the cells label their lines, but for those that stand alone in theirs and name the machine of the lines below.
fn are_in_outline(view: &View<'_>, cells: &[Item]) -> bool {
    let is_alone = |item: &&Item| view.line(view.line_at(item.row)).len() == 1;
    let names_machine = |item: &Item| crate::loose::named_machine(view.cell(item).text.trim()).is_some();
    let (alone, beside): (Vec<&Item>, Vec<&Item>) = cells.iter().partition(is_alone);
    let named = alone.iter().filter(|item| names_machine(item)).count();
    // A place may stand over the machines.
    named >= 1 && named * 2 >= alone.len() && beside.len() >= 2 && beside.iter().all(|item| line_label(view, item))
}

/// Whether a cell labels its line: a circuit, quantity, unit or time in words.
fn line_label(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    view.cell(item).content == Content::Text
        && sense.is_label()
        && (sense.is_pure_label() || line::is_heading(view, item))
}

//! What a line of a view is by itself: a header, a row of label–value pairs, a caption, or something that bodies hold.

use crate::fit::{fits, wants};
use crate::sense::{Kind, Sense};
use crate::view::{Item, View};
use windrow_model::Dimension;
use windrow_source::Content;
use windrow_text::circuit::Named;
use windrow_text::figures::Figure;
use windrow_text::marks;
use windrow_text::vocabulary::Concept;

/// Times, s or min, that headers list without a word.
const TIMES: [f64; 22] = [
    0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0, 10.0, 15.0, 20.0, 30.0, 45.0, 60.0, 120.0,
    300.0, 600.0,
];

/// Whether a cell is a value that may stand in a body.
#[must_use]
pub fn is_value(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    match sense.kind {
        Kind::Number | Kind::Date | Kind::Duration | Kind::Ditto | Kind::Broken => true,
        Kind::Over | Kind::Void => !sense.is_pure_label(),
        Kind::Text => {
            let is_season = || windrow_text::date::years_of_season(&view.cell(item).text).is_some();
            sense.tag >= 0.5 && !sense.is_pure_label() && !sense.is_pair || is_season()
        }
    }
}

/// Whether a line says that it is computed, promised or demanded: average, total, limit, rated values, a change. A unit may stand
/// behind its values.
#[must_use]
pub fn is_statistic(view: &View<'_>, items: &[Item]) -> bool {
    let says = |item: &Item| {
        let sense = view.sense(item);
        let by_figure = match sense.figure {
            Some(Figure::Promised) => items.len() >= 3,
            Some(Figure::Demanded | Figure::Change | Figure::Background) => items.len() >= 2,
            Some(Figure::Entries) | None => false,
        };
        by_figure || sense.statistic().is_some() || items.len() >= 2 && marks::is_extreme(&view.cell(item).text)
    };
    let Some((first, rest)) = items.split_first() else { return false };
    let is_unit = |item: &Item| view.sense(item).is_unit_only();
    // "Mean | 186.4 | Required | > 0.1": tables beside each other end in such lines together.
    says(first)
        && rest.iter().all(|item| is_value(view, item) || is_unit(item) || says(item))
        && (rest.is_empty() || rest.iter().any(|item| is_value(view, item)))
}

/// Whether the text can head a column: a label, or a value that an axis lists with its unit ("1 min", "2 kV").
#[must_use]
pub fn is_heading(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    !sense.is_pair
        && sense.begins.is_none()
        && (sense.is_period
            || sense.is_pure_label()
            || sense.kind == Kind::Number && is_heading_value(sense)
            || heads_values_in_turn(view, item))
}

/// "Value | Note | Value | Note" below years: a word for values that heads them again in its line, each time under a year or date and before
/// a label of something else.
fn heads_values_in_turn(view: &View<'_>, item: &Item) -> bool {
    if !marks::heads_values(&view.cell(item).text) {
        return false;
    }
    let at = view.line_at(item.row);
    let (line, above) = (view.line(at), at.checked_sub(1).map(|above| view.line(above)).unwrap_or_default());
    let is_one = |value: &&Item| {
        let next = line.iter().find(|next| next.column == value.right + 1);
        let over = above.iter().find(|head| head.column <= value.column && value.column <= head.right);
        marks::heads_values(&view.cell(value).text)
            && next.is_some_and(|next| view.sense(next).is_pure_label())
            && over.is_some_and(|over| is_key(view, over))
    };
    line.iter().filter(is_one).count() >= 2
}

/// Whether a cell heads a column as a time or voltage with its unit.
pub(crate) fn is_step(view: &View<'_>, item: &Item) -> bool {
    let label = &view.sense(item).label;
    is_heading(view, item) && (label.elapsed_s.is_some() || label.voltage_v.is_some())
}

/// "1 min", "30 s", "2 kV": a time or voltage as header.
fn is_heading_value(sense: &Sense) -> bool {
    let label = &sense.label;
    // "1-2 [Ω]" and "10/1 min" read as numbers too.
    let is_pair = label.circuits.iter().any(|meaning| matches!(meaning.named, Named::Pair(..)));
    // "85,3 Megohms" is a value, although the word for the unit is one for what is measured in it.
    let is_ratio = label
        .concepts
        .iter()
        .any(|(concept, weight)| *weight >= 0.9 && crate::fit::quantity(*concept).is_some_and(crate::fit::is_index));
    let tells = label.elapsed_s.is_some() || label.voltage_v.is_some() || is_pair || is_ratio;
    tells && label.unexplained.is_empty() && !tells_plate(sense)
}

/// "15 kW / 400 V / 985 rpm", "160 kW 400 V": several values, a power or speed among them, are a nameplate.
pub(crate) fn tells_plate(sense: &Sense) -> bool {
    let parts = sense.measure.as_ref().map(|measure| measure.parts.as_slice()).unwrap_or_default();
    let is_plates = |dimension| matches!(dimension, Dimension::Power | Dimension::ApparentPower | Dimension::Speed);
    let has = |part: &windrow_text::measure::Part| {
        part.units
            .iter()
            .any(|meaning| meaning.weight >= 0.8 && !meaning.colloquial && is_plates(meaning.unit.dimension))
    };
    let begins = matches!(sense.begins, Some(Dimension::Power | Dimension::ApparentPower));
    begins || parts.len() >= 2 && parts.iter().any(has)
}

/// Nature of the values of an axis.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Axis {
    /// Years.
    Years,
    /// Dates.
    Dates,
    /// Times since voltage was applied.
    Times,
    /// Names of machines.
    Tags,
}

/// The axis that values form, if they do: all of one nature, none of them unlike the others.
#[must_use]
pub fn axis(view: &View<'_>, values: &[&Item]) -> Option<Axis> {
    if values.len() < 2 {
        return None;
    }
    let number = |item: &&&Item| plain_number(view, item);
    let all = |test: &dyn Fn(&&&Item) -> bool| values.iter().all(|item| test(&item));
    if all(&|item| number(item).is_some_and(is_year_number) || is_text_year(view, item))
        || are_years_with_units(view, values)
    {
        // "Spring 93 | Autumn 93 | Spring 94": two rounds of one year.
        let are_rounds = |two: &[&Item]| {
            let text = |item: &Item| view.cell(item).text.trim();
            year(view, two[0]) == year(view, two[1]) && text(two[0]) != text(two[1])
        };
        let rises = |two: &&[&Item]| year(view, two[0]) < year(view, two[1]) || are_rounds(two);
        let increasing = values.windows(2).filter(rises).count();
        return (increasing * 2 >= values.len() - 1).then_some(Axis::Years);
    }
    if crate::column::are_seasons(view, values) {
        return Some(Axis::Years);
    }
    if all(&|item| view.sense(item).kind == Kind::Date) {
        return Some(Axis::Dates);
    }
    if all(&|item| view.sense(item).kind == Kind::Duration) {
        return Some(Axis::Times);
    }
    if all(&|item| number(item).is_some_and(|value| TIMES.contains(&value))) {
        let increasing = values.windows(2).filter(|two| number(&&two[0]) < number(&&two[1])).count();
        return (increasing + 1 >= values.len() * 2 / 3).then_some(Axis::Times);
    }
    let is_tag = |item: &&&Item| view.sense(item).tag >= 0.5 && view.sense(item).kind == Kind::Text;
    if all(&is_tag) {
        return Some(Axis::Tags);
    }
    None
}

/// "2013 | 2014 GΩ | 2015 GΩ": years, some of which tell the unit of what was read in them. Where all do, they follow one another as no
/// readings would.
fn are_years_with_units(view: &View<'_>, values: &[&Item]) -> bool {
    const NEAR: i32 = 5;
    let is_bare = |item: &&Item| year_with_unit(view.sense(item)).is_none();
    let is_year = |item: &&Item| !is_bare(item) || self::is_year(view, item);
    let are_near = || values.windows(2).all(|two| (1..=NEAR).contains(&(year(view, two[1]) - year(view, two[0]))));
    values.iter().all(is_year) && (values.iter().any(is_bare) || values.len() >= 3 && are_near())
}

/// The year of "2014 GΩ" as the head of a column.
pub(crate) fn year_with_unit(sense: &Sense) -> Option<i16> {
    let measure = sense.measure.as_ref().filter(|measure| !measure.range && measure.remark.is_none())?;
    let [part] = measure.parts.as_slice() else { return None };
    let [number] = part.numbers.as_slice() else { return None };
    let is_of_readings = part.units.first().is_some_and(|best| best.unit.dimension == Dimension::Resistance);
    let is_alone = part.bound == windrow_model::Bound::Exact && part.label.is_empty() && !part.approximate;
    let is_year = is_year_number(number.value);
    #[expect(clippy::cast_possible_truncation, reason = "a year")]
    (is_of_readings && is_alone && is_year).then_some(number.value as i16)
}

/// The year of a heading with a unit, where another cell of its line is a year too: "2000 MΩ" alone is the end of a scale.
pub(crate) fn heads_year(view: &View<'_>, item: &Item) -> Option<i16> {
    let own = year_with_unit(view.sense(item))?;
    let is_other = |other: &&Item| {
        other.row == item.row
            && other.cell != item.cell
            && (is_year(view, other) || year_with_unit(view.sense(other)).is_some())
            && year(view, other) != i32::from(own)
    };
    view.line(view.line_at(item.row)).iter().any(|other| is_other(&other)).then_some(own)
}

/// Whether a cell is a bare year.
pub(crate) fn is_year(view: &View<'_>, item: &Item) -> bool {
    plain_number(view, item).is_some_and(is_year_number) || is_text_year(view, item)
}

/// Whether a number may be the year of a record.
fn is_year_number(value: f64) -> bool {
    value.fract() == 0.0 && (1930.0..2100.0).contains(&value)
}

/// Whether the values are two or more years, each later than the one before, or each earlier.
pub(crate) fn are_rising_years(view: &View<'_>, values: &[&Item]) -> bool {
    let years: Vec<i32> = values.iter().map(|item| year(view, item)).collect();
    let rises = |later: fn(&i32, &i32) -> bool| years.windows(2).all(|two| later(&two[0], &two[1]));
    axis(view, values) == Some(Axis::Years) && (rises(i32::lt) || rises(i32::gt))
}

/// Whether a cell is a number that headers and first columns list as a time.
pub(crate) fn is_listed_time(view: &View<'_>, item: &Item) -> bool {
    plain_number(view, item).is_some_and(|value| TIMES.contains(&value))
}

/// Whether a cell over a group is a year, a date or a machine: all that stands under it is of then, or of that one.
pub(crate) fn is_key(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    is_year(view, item) || sense.kind == Kind::Date || sense.tag >= 0.5 && !sense.is_pure_label()
}

/// A number without unit or bound, stored or typed.
fn plain_number(view: &View<'_>, item: &Item) -> Option<f64> {
    if let Content::Number(value) = view.cell(item).content {
        return Some(value);
    }
    let measure = view.sense(item).measure.as_ref().filter(|measure| !measure.range && measure.remark.is_none())?;
    let [part] = measure.parts.as_slice() else { return None };
    let is_plain = part.units.is_empty() && part.bound == windrow_model::Bound::Exact && part.label.is_empty();
    match part.numbers.as_slice() {
        [number] if is_plain => Some(number.value),
        _ => None,
    }
}

fn is_text_year(view: &View<'_>, item: &Item) -> bool {
    let dates = &view.sense(item).dates;
    !dates.is_empty() && dates.iter().all(|meaning| meaning.date.precision == windrow_model::Precision::Year)
}

fn year(view: &View<'_>, item: &Item) -> i32 {
    if let Content::Number(value) = view.cell(item).content {
        #[expect(clippy::cast_possible_truncation, reason = "a year")]
        return value as i32;
    }
    let sense = view.sense(item);
    let told = || sense.dates.first().map_or(0, |meaning| i32::from(meaning.date.first.year()));
    year_with_unit(sense).map_or_else(told, i32::from)
}

/// Whether the value at `value` is what the label at `label` promises.
#[must_use]
pub fn is_pair(view: &View<'_>, label: &Item, value: &Item) -> bool {
    let (label, sense) = (view.sense(label), view.sense(value));
    let Some(promise) = promise(label) else { return false };
    !is_misplaced(label, sense) && fits(promise, view.cell(value), sense) >= 0.5 || is_dated(label, sense)
}

/// "In operation | 1 MΩ" ("in Betrieb", where "Betrieb" is a plant as well): a resistance is no place.
pub(crate) fn is_misplaced(label: &Sense, value: &Sense) -> bool {
    matches!(label.concept(), Some(Concept::Site | Concept::Area)) && crate::fit::is_in_ohms(value)
}

/// Whether a label that names several things means the date that stands beside it: "Tag" is a name in one language, a day in another.
pub(crate) fn is_dated(label: &Sense, value: &Sense) -> bool {
    value.kind == Kind::Date && label.label.weight(Concept::Date) >= 0.4 && label.label.unexplained.is_empty()
}

/// What a label promises of its value, if it promises anything.
#[must_use]
pub fn promise(label: &Sense) -> Option<crate::fit::Wants> {
    if let Some(concept) = label.concept() {
        return Some(wants(concept));
    }
    let told = &label.label;
    let is_condition = !told.circuits.is_empty() || !told.units.is_empty() || told.elapsed_s.is_some();
    is_condition.then_some(crate::fit::Wants::Number(None))
}

/// Whether the line is made of label–value pairs only.
#[must_use]
pub fn is_pair_row(view: &View<'_>, items: &[Item]) -> bool {
    if items.iter().any(|item| heads_values_in_turn(view, item)) {
        return false;
    }
    let (mut pairs, mut extras, mut index) = (0, 0, 0);
    while index < items.len() {
        let here = &items[index];
        if view.sense(here).is_pair {
            pairs += 1;
            index += 1;
            continue;
        }
        let next = items.get(index + 1);
        let is_label = view.sense(here).is_label() && !is_value(view, here) || ends_with_colon(view, here);
        let pair = next.is_some_and(|next| {
            is_label
                && (is_pair(view, here, next) || ends_with_colon(view, here))
                && !view.sense(next).is_strong_label()
                && (ends_with_colon(view, here) || !is_column_label(view.sense(next)))
                // "Wdg F" before "1-2" heads a column before another one of terminals.
                && (ends_with_colon(view, here) || !are_headings(view.sense(here), view.sense(next)))
                // "MΩ" beside a dash is a line of units.
                && !(names_unit(view.sense(here)) && view.sense(next).kind == Kind::Void)
                && (ends_with_colon(view, here) || !is_unit_of_words(view.sense(here), view.sense(next)))
        });
        let is_key = next.is_some_and(|next| names_by_key(view, here, next, items.get(index + 2)));
        if pair || is_key {
            // A second value of the same kind behind the first is an axis, not a pair.
            let again = items.get(index + 2).is_some_and(|third| {
                is_value(view, third) && next.is_some_and(|next| view.sense(next).kind == view.sense(third).kind)
            });
            if again {
                return false;
            }
            pairs += 1;
            index += 2;
        } else {
            extras += usize::from(is_value(view, here));
            index += 1;
        }
    }
    pairs > 0 && extras == 0 && pairs * 3 >= items.len()
}

/// "Tag | HP 1": a word of letters and its number right behind a label that wants a name, with nothing behind it, is that name, although
/// the letters are those of a unit.
pub(crate) fn names_by_key(view: &View<'_>, label: &Item, next: &Item, third: Option<&Item>) -> bool {
    let sense = view.sense(label);
    let is_label = sense.is_pure_label() && sense.concept() == Some(Concept::Tag);
    let text = view.cell(next).text.trim();
    let is_named_so = text.split_once([' ', '-']).is_some_and(|(letters, number)| {
        (1..=4).contains(&letters.len())
            && letters.bytes().all(|b| b.is_ascii_uppercase())
            && (1..=4).contains(&number.len())
            && number.bytes().all(|b| b.is_ascii_digit())
    });
    let is_last = third.is_none_or(|third| third.column > next.right + 1);
    is_label && is_named_so && next.column == label.right + 1 && is_last
}

/// "ANTRIEB | MOHM": a unit is the value of no label that wants a name or words, and heads a column beside it.
pub(crate) fn is_unit_of_words(label: &Sense, next: &Sense) -> bool {
    use crate::fit::Wants;
    let wants_words = matches!(promise(label), Some(Wants::Tag | Wants::Key | Wants::Words | Wants::Serial));
    let is_sure =
        next.label.units.first().is_some_and(|meaning| meaning.weight >= 0.8 && meaning.unit.symbol.len() > 1);
    let is_word = label.is_pure_label() && label.label.unexplained.is_empty() && label.measure.is_none();
    wants_words && is_word && is_sure && next.kind == Kind::Text && names_unit(next)
}

/// Whether two cells head columns beside each other rather than tell a label's value: "Wdg F" before "1-2", "15 s" before "1 min".
pub(crate) fn are_headings(label: &Sense, next: &Sense) -> bool {
    let (own, other) = (&label.label, &next.label);
    let names_terminals = !other.circuits.is_empty()
        && other.concepts.is_empty()
        && other.units.is_empty()
        && other.unexplained.is_empty();
    let wants_terminals = matches!(promise(label), Some(crate::fit::Wants::Circuit | crate::fit::Wants::Words) | None);
    let is_time = |label: &windrow_text::header::Label| label.elapsed_s.is_some() && label.unexplained.is_empty();
    let is_ratio = other
        .concepts
        .iter()
        .any(|(concept, _)| matches!(concept, Concept::PolarizationIndex | Concept::AbsorptionRatio));
    names_terminals && !wants_terminals || is_time(own) && (is_time(other) || is_ratio)
}

/// "15 s in kΩ", "U-E MΩ": a unit with what is measured in it heads a column and is the value of no label.
pub(crate) fn is_column_label(sense: &Sense) -> bool {
    let label = &sense.label;
    let tells = label.elapsed_s.is_some() || !label.circuits.is_empty() || !label.concepts.is_empty();
    let has_unit = label.units.first().is_some_and(|meaning| !meaning.colloquial);
    // "1 min (GΩ)" reads as a value as well.
    let is_label = sense.is_pure_label() || sense.kind == Kind::Number && label.elapsed_s.is_some();
    is_label && label.unexplained.is_empty() && has_unit && tells && !sense.is_unit_only()
}

/// "MΩ", "Megohms": a unit, which may name what is measured in it.
pub(crate) fn names_unit(sense: &Sense) -> bool {
    let label = &sense.label;
    // "LASTMEGOHM" and "MINMEGOHM" say more than their unit.
    let is_plain = label.statistic.is_none() && label.weight(Concept::EarlierReading) <= 0.0;
    sense.words == 1 && is_plain && !label.units.is_empty() && label.unexplained.is_empty() && label.circuits.is_empty()
}

/// Whether the text ends as a label does that has its value beside it.
pub(crate) fn ends_with_colon(view: &View<'_>, item: &Item) -> bool {
    view.cell(item).text.trim_end().ends_with([':', '='])
}

/// Whether the items look like a header: labels, or an axis with its label.
#[must_use]
pub fn is_header(view: &View<'_>, items: &[Item]) -> bool {
    if items.len() < 2 || is_pair_row(view, items) || are_captions(view, items) || is_unfilled_pair(view, items) {
        return false;
    }
    if is_numbered_axis(view, items) {
        return true;
    }
    let headings = items.iter().filter(|item| is_heading(view, item)).count();
    // "Low" or "Max" among headings heads a column.
    let is_word = |item: &Item| {
        headings >= 3
            && matches!(view.sense(item).kind, Kind::Over | Kind::Void)
            && view.cell(item).text.chars().any(char::is_alphabetic)
    };
    let times =
        items.iter().filter(|item| is_heading(view, item) && view.sense(item).label.elapsed_s.is_some()).count();
    // "ID" is a ditto mark below a text, and among headings a label; "L1/L2/L3" looks like a machine's name.
    let is_list = |item: &Item| {
        let is_label = view.sense(item).kind == Kind::Ditto && !view.sense(item).label.concepts.is_empty();
        is_label && headings >= 3 || headings >= 2 && crate::heading::three_phases(&view.cell(item).text).is_some()
    };
    let is_head = |item: &Item| is_word(item) || is_list(item) || times >= 2 && is_quotient(&view.cell(item).text);
    let values: Vec<&Item> =
        items.iter().filter(|item| !is_heading(view, item) && is_value(view, item) && !is_head(item)).collect();
    let words = items.len() - headings - values.len();
    if values.is_empty() {
        return headings >= 2 && words <= headings;
    }
    // "KP-1 | L1 | L2 | L3 | Earth": terminals under the name of their machine.
    let names_terminals = |item: &Item| {
        let sense = view.sense(item);
        sense.kind == Kind::Text && sense.words <= 2 && !sense.circuits.is_empty()
    };
    if let ([name], [first, others @ ..]) = (values.as_slice(), items)
        && name.cell == first.cell
        && others.len() >= 3
        && view.sense(name).tag >= 0.5
        && others.iter().all(names_terminals)
    {
        return true;
    }
    // "1986 | Jan | Feb | Mar": months under the year in their corner.
    let periods = items.iter().filter(|item| view.sense(item).is_period).count();
    if matches!(values.as_slice(), [year] if is_key(view, year) && year.cell == items[0].cell) && periods >= 2 {
        return periods + 2 >= items.len();
    }
    let axis = axis(view, &values);
    // "Line | Shaft | Pump | 2006 | 2007 | 2008": before years and dates words for machines, each told once, head machines.
    let is_dated = values.len() >= 3 && matches!(axis, Some(Axis::Years | Axis::Dates));
    let is_machine = |item: &&Item| {
        let folded = windrow_text::fold::fold(view.cell(item).text.trim());
        !is_heading(view, item) && !is_value(view, item) && windrow_text::said::names_machine(&folded)
    };
    let mut machines: Vec<&str> = items.iter().filter(is_machine).map(|item| view.cell(item).text.trim()).collect();
    let count = machines.len();
    machines.sort_unstable();
    machines.dedup();
    let told = if is_dated && machines.len() == count { count.min(words) } else { 0 };
    let (headings, words) = (headings + told, words - told);
    // The first cell may be an unknown word over an axis ("Aggregat | 1994 | 1995"), before many dates two or three may be.
    let is_upright = view.orientation == crate::view::Orientation::Upright;
    let many_dates = usize::from(is_upright && values.len() >= 3 && axis == Some(Axis::Dates));
    headings + words >= 1
        && words <= 1 + headings / 2 + many_dates
        && axis.is_some()
        && (values.len() >= 2 && headings <= values.len() + 6)
}

/// "60/15": two whole numbers, beside "15 s" and "60 s" the name of their ratio.
fn is_quotient(text: &str) -> bool {
    let is_whole = |part: &str| !part.is_empty() && part.bytes().all(|b| b.is_ascii_digit());
    text.trim().split_once('/').is_some_and(|(over, under)| is_whole(over.trim()) && is_whole(under.trim()))
}

/// "IR W-E: | | MΩ": a label with its unit and no value between.
fn is_unfilled_pair(view: &View<'_>, items: &[Item]) -> bool {
    let [label, unit] = items else { return false };
    let has_room = unit.column > label.right + 1;
    let (label, unit) = (view.sense(label), view.sense(unit));
    has_room && names_unit(unit) && label.is_label() && !label.is_unit_only() && !is_unit_of_words(label, unit)
}

/// Whether the items are the name of a voltage or time and three or more plain numbers that rise: steps beside each other.
fn is_numbered_axis(view: &View<'_>, items: &[Item]) -> bool {
    let [label, steps @ ..] = items else { return false };
    let sense = view.sense(label);
    // "kV | 3 | 6 | 9 | 12": the unit alone says as much.
    let is_unit_of_axis = sense.is_unit_only()
        && sense.label.units.iter().any(|meaning| {
            meaning.weight >= 0.5 && matches!(meaning.unit.dimension, Dimension::Voltage | Dimension::Time)
        });
    let counts = is_unit_of_axis || matches!(sense.concept(), Some(Concept::TestVoltage | Concept::Elapsed));
    let numbers: Option<Vec<f64>> = steps.iter().map(|step| plain_number(view, step)).collect();
    counts
        && (is_unit_of_axis || sense.is_pure_label())
        && numbers.is_some_and(|numbers| numbers.len() >= 3 && numbers.windows(2).all(|two| two[0] < two[1]))
}

/// Whether the items are long texts with room between them: captions of tables side by side.
#[must_use]
pub fn are_captions(view: &View<'_>, items: &[Item]) -> bool {
    let text = |item: &Item| view.cell(item).text.trim();
    let apart = |room: u32| items.windows(2).all(|two| two[1].column > two[0].column + room);
    let repeated = items.len() >= 2 && items.windows(2).all(|two| text(&two[0]) == text(&two[1]));
    items.iter().all(|item| view.sense(item).words >= 4 && item.right == item.column) && apart(1)
        || repeated && apart(2) && items.iter().all(|item| view.sense(item).words >= 2 || names_quantity(view, item))
}

fn names_quantity(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.label.units.is_empty() && sense.concept().is_some_and(|concept| crate::fit::quantity(concept).is_some())
}

/// Whether the items are an axis without any label, as it stands over groups of columns.
#[must_use]
pub fn is_bare_axis(view: &View<'_>, items: &[Item]) -> bool {
    let values: Vec<&Item> = items.iter().collect();
    axis(view, &values).is_some_and(|axis| axis != Axis::Times || view.sense(&items[0]).kind == Kind::Duration)
}

/// Whether the items are a further line of a header: labels and units only.
#[must_use]
pub fn is_subheader(view: &View<'_>, items: &[Item]) -> bool {
    !items.is_empty()
        && items.iter().all(|item| {
            // A dash stands for "no unit".
            is_heading(view, item) || !is_value(view, item) || view.sense(item).kind == Kind::Void
        })
        && items.iter().filter(|item| is_heading(view, item)).count() * 2 >= items.len()
}

/// Whether the item is a key label: it announces which machine or when.
#[must_use]
pub fn is_key_label(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    sense.is_pure_label() && matches!(sense.concept(), Some(Concept::Tag | Concept::Serial | Concept::Date))
}

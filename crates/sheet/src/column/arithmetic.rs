//! Columns without a condition of their own whose every number is a quotient of two others of its line: ratios that the source worked
//! out, whatever it calls them ("15 s | 60 s | K").

use super::{Cells, Column, Role};
use crate::fit::is_of_others;
use crate::heading::Heading;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::Quantity;
use windrow_source::Content;
use windrow_text::marks::Statistic;
use windrow_text::vocabulary::Concept;

/// Fewest lines that prove it: a chance quotient to one decimal place agrees in about one line of ten.
const LINES: usize = 5;
/// Fewest different quotients among them: of equal numbers every quotient is 1.
const DIFFERENT: usize = 3;
/// One line in so many may disagree: people mistype.
const MISTYPED: usize = 12;
/// Most decimal places that numbers are compared to.
const MOST_DECIMALS: u8 = 6;
/// Most columns of readings that are compared: beyond it (a logger, years of months) chance alone finds quotients.
const MOST_COLUMNS: usize = 16;

/// A number of a column and its decimal places.
#[derive(Debug, Clone, Copy)]
struct Written {
    value: f64,
    decimals: u8,
}

/// The numbers of a column, by line.
type Numbers = BTreeMap<u32, Vec<Written>>;

/// Settles them.
pub(super) fn settle(view: &View<'_>, columns: &mut [Column], cells: &Cells) {
    let is_reading =
        |column: &Column| matches!(column.role, Role::Reading(quantity) if !quantity.is_some_and(is_of_others));
    let readings: Vec<&Column> = columns.iter().filter(|column| is_reading(column)).collect();
    if !(3..=MOST_COLUMNS).contains(&readings.len()) {
        return;
    }
    let of = |column: &Column| numbers(view, cells.get(&column.column).map(Vec::as_slice).unwrap_or_default());
    let written: Vec<(&Column, Numbers)> = readings.into_iter().map(|column| (column, of(column))).collect();
    let told: Vec<(u32, Option<Quantity>)> = written
        .iter()
        .filter_map(|(ratio, numbers)| {
            let (over, under) = sources(ratio, numbers, &written)?;
            Some((ratio.column, quantity_of(&over.heading, &under.heading)))
        })
        .collect();
    for (at, quantity) in told {
        for column in columns.iter_mut().filter(|column| column.column == at) {
            column.fit = 1.0;
            column.role =
                quantity.map_or(Role::Statistic(Statistic::Computed), |quantity| Role::Reading(Some(quantity)));
            if let (Some(quantity), Some(item)) = (quantity, column.heading.items.last().copied()) {
                column.heading.concepts = vec![(concept(quantity), 0.9, item)];
            }
        }
    }
}

/// The two columns whose quotient a column is.
fn sources<'c>(ratio: &Column, numbers: &Numbers, all: &[(&'c Column, Numbers)]) -> Option<(&'c Column, &'c Column)> {
    let decimals = numbers.values().flatten().map(|number| number.decimals).max().filter(|decimals| *decimals > 0)?;
    let others = || all.iter().filter(|(other, _)| other.column != ratio.column && other.role == ratio.role);
    let pairs = others().flat_map(|over| others().map(move |under| (over, under)));
    let mut pairs = pairs.filter(|((over, _), (under, _))| {
        over.column != under.column && are_conditions(&ratio.heading, &over.heading, &under.heading)
    });
    let found = pairs.find(|((_, over), (_, under))| is_quotient(numbers, over, under, decimals));
    found.map(|((over, _), (under, _))| (*over, *under))
}

/// Whether two headings tell conditions that the third does not: a column that has a time or a circuit of its own was measured.
fn are_conditions(ratio: &Heading, over: &Heading, under: &Heading) -> bool {
    let shared = |item: &Item| {
        let heads = |heading: &Heading| heading.items.iter().any(|head| head.cell == item.cell);
        heads(over) && heads(under)
    };
    let own = |heading: &Heading| conditions(heading).into_iter().any(|item| !shared(&item));
    own(over) && own(under) && !own(ratio)
}

/// The cells of a heading that tell when, with how much or between what was measured.
fn conditions(heading: &Heading) -> Vec<Item> {
    let times = [&heading.elapsed_s, &heading.voltage_v, &heading.number, &heading.duration, &heading.reference_c];
    let mut items: Vec<Item> = times.into_iter().flatten().map(|by| by.item).collect();
    items.extend(heading.circuits.iter().map(|by| by.item));
    items.extend(heading.date);
    items.extend(heading.period.as_ref().map(|by| by.item));
    items.extend(heading.stage.as_ref().map(|by| by.item));
    items.extend(heading.tag.as_ref().map(|by| by.item));
    items
}

/// Whether all numbers of a column are the quotients of two others, written with that many decimal places.
fn is_quotient(ratio: &Numbers, over: &Numbers, under: &Numbers, decimals: u8) -> bool {
    let place = 10f64.powi(-i32::from(decimals));
    let mut different: Vec<i64> = Vec::new();
    let (mut lines, mut agree) = (0, 0);
    for (row, written) in ratio {
        let (Some(over), Some(under)) = (over.get(row), under.get(row)) else { continue };
        let mut quotients = over.iter().flat_map(|over| under.iter().map(|under| over.value / under.value));
        lines += 1;
        // Cut as well as rounded: less than one unit of the last place.
        let fits = quotients.find(|quotient| {
            written.iter().any(|number| (number.value - quotient).abs() < place * 0.999 && *quotient > 0.0)
        });
        if let Some(quotient) = fits.filter(|quotient| quotient.is_finite()) {
            agree += 1;
            #[expect(
                clippy::cast_possible_truncation,
                reason = "a quotient of readings, told apart by its last place"
            )]
            different.push((quotient / place).round() as i64);
        }
    }
    different.sort_unstable();
    different.dedup();
    agree >= LINES && different.len() >= DIFFERENT && (lines - agree) * MISTYPED <= lines
}

/// The numbers that cells may be.
fn numbers(view: &View<'_>, cells: &[Item]) -> Numbers {
    let read = |item: &Item| {
        if let Content::Number(value) = view.cell(item).content {
            return Some((item.row, vec![Written { value, decimals: decimals(value) }]));
        }
        let measure = view.sense(item).measure.as_ref()?;
        let [part] = measure.parts.as_slice() else { return None };
        let is_exact = part.bound == windrow_model::Bound::Exact;
        let numbers = part.numbers.iter().map(|number| Written { value: number.value, decimals: number.decimals });
        is_exact.then(|| (item.row, numbers.collect()))
    };
    cells.iter().filter_map(read).collect()
}

/// Decimal places of a stored number, as many as are needed to tell it; a quotient that the sheet worked out has more than a person writes.
fn decimals(value: f64) -> u8 {
    let text = value.to_string();
    let places = text.split_once('.').map_or(0, |(_, behind)| behind.len());
    u8::try_from(places).unwrap_or(u8::MAX).min(MOST_DECIMALS)
}

/// What the quotient of readings at two times is called: IEEE Std 43-2013, clause 5.4, for ten minutes over one; one minute over 15 s or
/// 30 s is common practice, no source.
fn quantity_of(over: &Heading, under: &Heading) -> Option<Quantity> {
    let seconds = |heading: &Heading| {
        let time = heading.elapsed_s.as_ref().or(heading.duration.as_ref())?;
        Some(time.value.round())
    };
    let (over, under) = (seconds(over)?, seconds(under)?);
    let is = |times: (f64, f64)| (over - times.0).abs() < 0.5 && (under - times.1).abs() < 0.5;
    match () {
        () if is((600.0, 60.0)) => Some(Quantity::PolarizationIndex),
        () if is((60.0, 15.0)) || is((60.0, 30.0)) => Some(Quantity::AbsorptionRatio),
        () => None,
    }
}

const fn concept(quantity: Quantity) -> Concept {
    match quantity {
        Quantity::PolarizationIndex => Concept::PolarizationIndex,
        _ => Concept::AbsorptionRatio,
    }
}

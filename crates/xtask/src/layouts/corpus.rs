//! A folder of files with their truth, as the scorer reads it.

use super::container::{Container, Encoding};
use super::drawing::{self, Desk};
use super::habits::{DateStyle, Habits, TimeStyle};
use super::layout::{self, Circuits, FAMILIES, Family, Layout};
use super::page::Page;
use super::records::{Needs, RECORDS, Record, Scribe};
use super::study::{Dim, Study};
use super::write::{self, Place, Written};
use crate::score::truth::{NotReading, True, Truth};
use anyhow::Context;
use std::io::Write as _;
use std::path::Path;
use windrow_dice::Dice;

/// Writes `files` files below `folder` and returns their truth.
pub(super) fn write(folder: &Path, seed: u64, files: u32, only: Option<&str>) -> anyhow::Result<Truth> {
    let mut truth = Truth { readings: vec![], not_readings: vec![] };
    let mut notes = Vec::new();
    let kinds = FAMILIES.iter().map(|(name, family)| (*name, Kind::Layout(*family)));
    let kinds = kinds.chain(RECORDS.iter().map(|record| (record.name, Kind::Record(record))));
    let kinds: Vec<_> = kinds.filter(|(name, _)| only.is_none_or(|only| only == *name)).collect();
    for (number, (family, kind)) in (0..files).zip(kinds.into_iter().cycle()) {
        let drawn = draw(seed, number, (family, kind))?;
        let note = file(folder, (number, family), drawn, &mut truth)?;
        notes.push(note);
    }
    lines(&folder.join("truth.jsonl"), &truth.readings)?;
    lines(&folder.join("notreadings.jsonl"), &truth.not_readings)?;
    lines::<()>(&folder.join("cellcounts.jsonl"), &[])?;
    std::fs::write(folder.join("layouts.txt"), notes.join("\n"))?;
    Ok(truth)
}

#[derive(Clone, Copy)]
enum Kind {
    Layout(Family),
    Record(&'static Record),
}

/// What one file holds.
struct Drawn {
    container: Container,
    habits: Habits,
    pages: Vec<Page>,
    encoding: Encoding,
    note: String,
}

fn draw(seed: u64, number: u32, (family, kind): (&str, Kind)) -> anyhow::Result<Drawn> {
    let mut dice = Dice::new(seed, u64::from(number) + 1000);
    let needs = match kind {
        Kind::Record(record) => record.needs,
        Kind::Layout(_) if SHEETS.contains(&family) => Needs::Book,
        Kind::Layout(_) => Needs::Nothing,
    };
    let fits = |container: &Container| match needs {
        Needs::Nothing => true,
        Needs::Book => container.is_book(),
        Needs::Marks => *container == Container::Xlsx,
    };
    let containers: Vec<Container> = Container::ALL.into_iter().filter(fits).collect();
    let container = dice.pick(&containers);
    let (habits, mut pages, layout) = match kind {
        Kind::Record(record) => {
            let mut habits = Habits::draw(container, &mut dice)?;
            rare_dates(&mut habits, &mut dice);
            let circuits = Circuits::Both;
            let study = Study::draw(seed ^ (u64::from(number) << 40), number, record.quantities, circuits, &habits);
            let pages = (record.draw)(&Scribe { study: &study, habits: &habits }, &mut dice);
            (habits, pages, String::new())
        }
        Kind::Layout(draw) => laid((seed, number), (family, draw), container, &mut dice)?,
    };
    if habits.numbers_as_text {
        pages.iter_mut().for_each(Page::numbers_as_text);
    }
    let encoding = dice.pick(&Encoding::ALL);
    let note = format!("{} {container:?} {encoding:?} {layout}", habits.words.language);
    Ok(Drawn { container, habits, pages, encoding, note })
}

/// Families of layouts that need sheets.
const SHEETS: [&str; 4] = ["sheet-by-tag", "sheet-by-year", "keyed", "form-per-sheet"];

fn rare_dates(habits: &mut Habits, dice: &mut Dice) {
    if dice.chance(0.15) {
        habits.dates = dice.pick(&DateStyle::RARE);
    }
}

/// The pages of a layout.
fn laid(
    (seed, number): (u64, u32),
    (family, draw): (&str, Family),
    container: Container,
    dice: &mut Dice,
) -> anyhow::Result<(Habits, Vec<Page>, String)> {
    let layout = layout::draw(draw, container, dice);
    let mut habits = Habits::draw(container, dice)?;
    if layout.years {
        habits.dates = DateStyle::Year;
    }
    if habits.times == TimeStyle::Resistance && layout.quantities != ["insulation_resistance"] {
        habits.times = TimeStyle::Named;
    }
    if !layout.years {
        rare_dates(&mut habits, dice);
    }
    if layout.columns.contains(&Dim::Date) && matches!(habits.dates, DateStyle::Serial | DateStyle::Digits) {
        // Nobody heads a column with a bare number of days.
        habits.dates = DateStyle::Month;
    }
    let told = layout.form || layout.circuits != Circuits::ToEarth || layout.blocks.contains(&Dim::Measure);
    let layout = Layout { captioned: layout.captioned || habits.earth.is_empty() && !told, ..layout };
    let style = dice.chance(0.88).then_some(seed ^ u64::from(number));
    let mut pages = pages_of((seed, number), &layout, &habits, style, dice);
    if family == "mixed" {
        let other = layout::draw(layout::winding, container, dice);
        let more = pages_of((seed, number), &other, &habits, style, dice);
        join(&mut pages, more, container, dice);
    }
    let note = format!("{layout:?}");
    Ok((habits, pages, note))
}

/// Writes one file and notes its truth.
fn file(folder: &Path, (number, family): (u32, &str), drawn: Drawn, truth: &mut Truth) -> anyhow::Result<String> {
    let Drawn { container, habits, pages, encoding, note } = drawn;
    let written = write::write(container, &pages)?;
    // A folder each: what one file tells about its hand says nothing about another's.
    let name = format!("{family}/{number:04}/records.{}", container.extension());
    let path = folder.join("files").join(&name);
    if let Some(parent) = path.parent() {
        std::fs::create_dir_all(parent)?;
    }
    let bytes = match std::str::from_utf8(&written.bytes) {
        Ok(text) if matches!(container, Container::Delimited(_) | Container::Fixed) => encoding.encode(text),
        _ => written.bytes.clone(),
    };
    std::fs::write(&path, bytes).with_context(|| format!("writing {}", path.display()))?;
    view(folder, &format!("{family}-{number:04}"), &pages)?;
    let open = open_order(&pages, &habits);
    for page in &pages {
        let sheet = container.is_book().then(|| page.name.clone());
        for (at, told) in &page.truths {
            let mut told = True { file: name.clone(), sheet: sheet.clone(), ..told.clone() };
            (told.cell, told.line, told.column) = place(written.place(page, *at));
            if open && told.expect == "value" && !reads_alike(&told) {
                told.related = dates_of(&told, page, &written, &habits);
                hold_date(&mut told);
            }
            truth.readings.push(told);
        }
        for (at, told) in &page.not_readings {
            let mut told = NotReading { file: name.clone(), sheet: sheet.clone(), ..told.clone() };
            (told.cell, told.line, _) = place(written.place(page, *at));
            truth.not_readings.push(told);
        }
    }
    Ok(format!("{name}: {note}"))
}

/// The file as plain text, for people who look for what went wrong.
fn view(folder: &Path, name: &str, pages: &[Page]) -> anyhow::Result<()> {
    let sheets = pages.iter().map(|page| format!("[{}]\n{}", page.name, write::as_print(page)));
    std::fs::create_dir_all(folder.join("views"))?;
    std::fs::write(folder.join("views").join(format!("{name}.txt")), sheets.collect::<Vec<_>>().join("\n"))?;
    Ok(())
}

fn pages_of(
    (seed, number): (u64, u32),
    layout: &Layout,
    habits: &Habits,
    style: Option<u64>,
    dice: &mut Dice,
) -> Vec<Page> {
    let study = Study::draw(seed ^ (u64::from(number) << 40), number, &layout.quantities, layout.circuits, habits);
    drawing::sheets(&Desk { layout, study: &study, habits, style }, dice)
}

/// Two records of one plant: on sheets of one workbook, or one below the other.
fn join(pages: &mut Vec<Page>, more: Vec<Page>, container: Container, dice: &mut Dice) {
    if container.is_book() && dice.chance(0.5) {
        pages.extend(more.into_iter().map(|page| Page { name: format!("{} 2", page.name), ..page }));
        return;
    }
    for page in more {
        if let Some(first) = pages.first_mut() {
            let below = first.size().0 + dice.between(1, 3);
            first.lay(page, (below, 0));
        }
    }
}

fn place(place: Option<Place>) -> (Option<String>, Option<u32>, Option<u32>) {
    match place {
        Some(Place::Cell(cell)) => (Some(cell), None, None),
        Some(Place::Line(line, column)) => (None, Some(line), Some(column)),
        None => (None, None, None),
    }
}

/// Whether nothing in the file proves the order of day and month.
fn open_order(pages: &[Page], habits: &Habits) -> bool {
    if !habits.dates_as_text || !habits.dates.order_open() {
        return false;
    }
    let days = pages.iter().flat_map(|page| &page.truths).filter_map(|(_, truth)| truth.performed_on.as_deref());
    let mut days = days.filter_map(|date| date.get(8..)?.parse::<u32>().ok());
    !days.any(|day| day > 12)
}

/// Whether the date is the same with day and month swapped.
fn reads_alike(truth: &True) -> bool {
    truth.performed_on.as_deref().is_some_and(|date| date.get(5..7) == date.get(8..10))
}

/// Where the date of a reading is written.
fn dates_of(truth: &True, page: &Page, written: &Written, habits: &Habits) -> Vec<String> {
    let date = truth.performed_on.as_deref().and_then(|date| date.parse().ok());
    let Some(text) = date.map(|date| habits.date_text(date)) else { return Vec::new() };
    let cells = page.cells.iter().filter(|(_, cell)| cell.shown.ends_with(&text));
    let places = cells.filter_map(|(at, _)| match written.place(page, *at)? {
        Place::Cell(cell) => Some(cell),
        Place::Line(line, column) => Some(format!("{line}:{column}")),
    });
    places.collect()
}

fn hold_date(truth: &mut True) {
    "hold".clone_into(&mut truth.expect);
    truth.hold_field = Some("date".to_owned());
    truth.year = truth.performed_on.as_deref().and_then(|date| date.get(..4)?.parse().ok());
    truth.performed_on = None;
    "day and month order: no date of the file settles it".clone_into(&mut truth.why);
}

fn lines<T: serde::Serialize>(path: &Path, rows: &[T]) -> anyhow::Result<()> {
    let mut file = std::io::BufWriter::new(std::fs::File::create(path)?);
    for row in rows {
        serde_json::to_writer(&mut file, row)?;
        file.write_all(b"\n")?;
    }
    Ok(())
}

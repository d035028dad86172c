//! Understanding a grid of cells as a person does: every number gets its attributes from its cell, row, column, block,
//! section, sheet, file and folder, nearest first; several interpretations compete, the best and its margin are kept.
//!
//! A sheet goes through these steps, each a module: [`sense`] (all that each text could mean), [`view`] (upright or turned
//! over), [`cut`] (tables and loose cells), [`mod@column`] (what each column is for), [`loose`] (pairs and captions), [`context`]
//! (which circumstances hold where), [`reader`] (numbers to readings), [`choose`] (which orientation explains more), and
//! [`build`] (tests, marks and holds).
//!
//! This crate must **not** know containers or particular plugins: it asks [`Specialist`]s for their bids.

pub mod build;
pub mod cards;
pub mod choose;
pub mod column;
pub mod context;
mod corner;
pub mod cut;
pub mod dates;
pub mod explain;
pub mod fellows;
pub mod fit;
pub mod format_unit;
pub mod heading;
mod heading_phases;
pub mod hold;
pub mod inline;
pub mod layout;
pub mod legend;
pub mod line;
mod looked_up;
pub mod loose;
pub mod numbered;
mod pair_unit;
mod parallel;
mod places;
pub mod pool;
pub mod prose;
pub mod reader;
pub mod ruling;
pub mod sense;
pub mod specialist;
pub mod stage;
pub mod stated;
pub mod support;
mod told;
mod unfold;
pub mod value;
pub mod view;
mod warmth;
pub mod wrapped;

pub use pool::{Pools, evidence};
pub use specialist::{Attribute, Claim, Region, Shape, Specialist};

use layout::Laid;
use legend::{Expanded, Legend, Values};
use reader::{Around, Names, Reader};
use ruling::Rulings;
use sense::Senses;
use std::collections::BTreeSet;
use view::{Explained, Orientation, View};
use windrow_model::layout::Layout;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_source::{Area, Cell, Grid, Workbook};

/// What is known of a source before it is opened, and around it.
#[derive(Debug, Clone, Copy)]
pub struct Context<'a> {
    /// Path below the imported folder, with `/`.
    pub source_file: &'a str,
    /// Settings of the fleet.
    pub settings: &'a Settings,
    /// Evidence of all files of the same folder, merged; `None` where a file is looked at alone.
    pub folder: Option<&'a Pools>,
}

/// Largest number of rows of a sheet that is also looked at turned over: nobody types that many columns.
const TURNED_ROWS: u32 = 2_000;
/// Most blocks of a sheet for which both orientations are compared.
const TURNED_BLOCKS: usize = 400;

/// Understands a workbook: fills `tests`, `machines`, `cells`, `holds` and `regions` of `into`, whose file fields are set.
/// Never panics on any workbook; every non-empty cell gets exactly one mark, but those of sheets of signals, which get none.
pub fn understand(book: &Workbook, context: &Context<'_>, specialists: &[&dyn Specialist], into: &mut Understood) {
    let mut senses = Senses::default();
    let mut pools = pool::evidence_by(book, &mut senses);
    pools.tags.extend(sheets_of_machines(book));
    pools.places = places::of_book(book);
    pools.has_seasons = has_sheets_of_seasons(book);
    pools.stated = stated::of_book(book);
    pools.numbered = numbered::of_book(book);
    let legend = Legend::of_book(book);
    let around = Surroundings { context, book: &pools, legend: &legend, layout: None, fields: None };
    for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
        let _entered = tracing::info_span!("sheet", sheet = grid.name.as_deref(), cells = grid.cells.len()).entered();
        understand_sheet(grid, around, &mut senses, specialists, into);
    }
    looked_up::settle(book, into);
}

/// What sheets are numbered by that are no machines: pages, tests, weeks, quarters. Common practice, no source.
const NUMBERED_SHEETS: &[&str] = &[
    "PAGE", "SHEET", "TEST", "TAB", "DATA", "LOG", "SEITE", "BLATT", "FEUIL", "HOJA", "KW", "WK", "W", "Q", "S", "V",
    "REV", "VOL",
];

/// Names of sheets, folded, where several sheets of a workbook are named as machines are.
fn sheets_of_machines(book: &Workbook) -> Vec<String> {
    let is_tag = |name: &&str| {
        let digits = name.chars().filter(char::is_ascii_digit).count();
        let letters: String = name.chars().filter(char::is_ascii_alphabetic).collect();
        let is_code = (1..=5).contains(&letters.len()) && letters.chars().all(|c| c.is_ascii_uppercase());
        digits >= 2
            && is_code
            && !NUMBERED_SHEETS.contains(&letters.as_str())
            && windrow_text::tag::likeness(name) >= 0.5
            && windrow_text::date::find_in(name).is_none()
    };
    let tags: Vec<String> = book
        .sheets
        .iter()
        .filter_map(|grid| grid.name.as_deref())
        .filter(is_tag)
        .map(windrow_text::tag::fold)
        .collect();
    if tags.len() >= 2 { tags } else { Vec::new() }
}

/// Whether several sheets of a workbook are named by seasons of two years, and none by a month that is no season.
fn has_sheets_of_seasons(book: &Workbook) -> bool {
    use windrow_text::date;
    let names = || book.sheets.iter().filter_map(|grid| grid.name.as_deref());
    let is_season = |name: &&str| date::years_of_season(name).is_some();
    let is_month = |name: &str| {
        let read = date::read(name);
        !read.is_empty() && read.iter().all(|told| told.date.precision == windrow_model::Precision::Month)
    };
    names().filter(is_season).count() >= 2 && !names().any(|name| is_month(name) && !is_season(&name))
}

fn understand_sheet(
    grid: &Grid,
    around: Surroundings<'_>,
    senses: &mut Senses,
    specialists: &[&dyn Specialist],
    into: &mut Understood,
) {
    let unfolded = unfold::unfold(grid);
    let grid = unfolded.as_ref().map_or(grid, |unfolded| &unfolded.grid);
    let stacked = cards::stack(grid).or_else(|| wrapped::unwrap(grid));
    let grid = stacked.as_ref().unwrap_or(grid);
    let around = Surroundings { fields: unfolded.as_ref().map(|unfolded| &unfolded.explaining), ..around };
    let (layout, notes) = layout::choose(grid, &around.context.settings.layouts);
    into.notes.extend(notes);
    let first = (into.tests.len(), into.regions.len());
    let around = Surroundings { layout, ..around };
    read_sheet(grid, around, senses, &mut |readers, laid| {
        build::build(grid, specialists, readers, into);
        if let Some(layout) = layout {
            layout::credit(grid, layout, laid, into.tests.get_mut(first.0..).unwrap_or_default());
            for region in into.regions.get_mut(first.1..).unwrap_or_default() {
                region.reasons.push(format!("read with the layout {:?}", layout.name));
            }
            into.notes.extend(laid.iter().flat_map(|laid| laid.notes.iter().cloned()));
        }
    });
}

/// Layouts drafted from what is understood of each sheet, equal ones once.
#[must_use]
pub fn draft_layouts(book: &Workbook, context: &Context<'_>) -> Vec<Layout> {
    let mut senses = Senses::default();
    let mut pools = pool::evidence_by(book, &mut senses);
    pools.tags.extend(sheets_of_machines(book));
    pools.places = places::of_book(book);
    pools.has_seasons = has_sheets_of_seasons(book);
    pools.stated = stated::of_book(book);
    pools.numbered = numbered::of_book(book);
    let legend = Legend::of_book(book);
    let around = Surroundings { context, book: &pools, legend: &legend, layout: None, fields: None };
    let mut drafts: Vec<Layout> = Vec::new();
    for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
        let mut draft = Layout::default();
        read_sheet(grid, around, &mut senses, &mut |readers, _| {
            for (number, (reader, areas)) in readers.iter().enumerate() {
                let covers = |block: &context::Block| {
                    let area = reader.view.area(block.rows.0, block.columns.0, block.rows.1, block.columns.1);
                    let within = |areas: &Vec<Area>| areas.iter().any(|own| own.contains(area.top, area.left));
                    areas.as_ref().map_or(number == 0, within)
                };
                let chosen: Vec<bool> = reader.scene.blocks.iter().map(covers).collect();
                layout::draft(reader, &chosen, &mut draft);
            }
        });
        if layout::check(&draft).is_ok() && !drafts.contains(&draft) {
            drafts.push(draft);
        }
    }
    drafts
}

/// Readers of a sheet, each with the areas that it was chosen for.
type Chosen<'s, 'v, 'a> = Vec<(Reader<'s, 'v, 'a>, Option<Vec<Area>>)>;

/// What a sheet is read with.
#[derive(Debug, Clone, Copy)]
struct Surroundings<'a> {
    context: &'a Context<'a>,
    /// Evidence of the workbook.
    book: &'a Pools,
    /// Codes that the workbook explains.
    legend: &'a Legend,
    layout: Option<&'a Layout>,
    /// Cells that name the fields of records, by index.
    fields: Option<&'a BTreeSet<usize>>,
}

/// Reads a sheet in both orientations, with a layout where one fits, and hands over what was chosen.
fn read_sheet(
    grid: &Grid,
    Surroundings { context, book, legend, layout, fields }: Surroundings<'_>,
    senses: &mut Senses,
    done: &mut dyn FnMut(Chosen<'_, '_, '_>, &[&Laid<'_>]),
) {
    let values = Values::read(grid);
    let Expanded { meanings, are_lines, mut explaining } = legend.expanded(grid, &values);
    explaining.extend(fields.into_iter().flatten());
    let sense = |(index, cell): (usize, &Cell)| match meanings.get(&index) {
        Some(meaning) => senses.of_text(meaning),
        None => senses.of(cell),
    };
    let ids: Vec<_> = grid.cells.iter().enumerate().map(sense).collect();
    let mut names = Names::read(grid.name.as_deref(), context.source_file);
    if book.has_seasons {
        names.forget_season();
    }
    names.known_tags.extend(book.tags.iter().chain(context.folder.iter().flat_map(|pools| &pools.tags)).cloned());
    let none = Pools::default();
    let rulings = Rulings::of_sheet(context.settings, context.source_file, grid.name.as_deref());
    let folder = context.folder.unwrap_or(&none);
    let around = Around { book, folder, settings: context.settings, names: &names, rulings: &rulings };
    let explained = Explained { meanings: &meanings, explaining: &explaining, legend };
    let view = View::new(grid, senses, &ids, Orientation::Upright).explained(explained);
    let mut laid = Laid::of(layout);
    let scene = context::scene_with(&view, cut_of(&view, layout), &mut laid);
    let upright = Reader::read(&scene, around);
    let rows = grid.cells.last().map_or(0, |cell| cell.row);
    // A text that tells its readings in sentences is no table turned over.
    let is_told = !scene.passages.is_empty() && !scene.tables.iter().any(context::ReadTable::has_readings);
    let is_upright =
        is_told || are_lines || scene.has_long_list() || scene.is_headed_again() || cut::lowest_names(grid).is_some();
    if is_upright || rows > TURNED_ROWS || scene.blocks.len() > TURNED_BLOCKS {
        done(vec![(upright, None)], &[&laid]);
        return;
    }
    let turned_view = View::new(grid, senses, &ids, Orientation::Turned).explained(explained);
    let mut turned_laid = Laid::of(layout);
    let turned_scene = context::scene_with(&turned_view, cut_of(&turned_view, layout), &mut turned_laid);
    let turned = Reader::read(&turned_scene, around);
    let parts = choose::choose(grid, &upright, &turned);
    let (over, up): (Vec<_>, Vec<_>) = parts.into_iter().partition(|part| part.turned);
    if over.is_empty() {
        done(vec![(upright, None)], &[&laid]);
    } else {
        let turned_areas = over.iter().map(|part| part.area).collect();
        let upright_areas = up.iter().map(|part| part.area).collect();
        done(vec![(upright, Some(upright_areas)), (turned, Some(turned_areas))], &[&laid, &turned_laid]);
    }
}

/// The cut of a view, with the tables of a layout.
fn cut_of(view: &View<'_>, layout: Option<&Layout>) -> cut::Cut {
    let cut = cut::cut(view);
    match layout {
        Some(layout) => layout::shape(view, cut, layout),
        None => cut,
    }
}

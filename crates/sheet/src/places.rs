//! Sheets that are named by places: "Quilmo plant" and "Ribera plant", each in the title of its own sheet, and the titles alike in all else.

use std::collections::{BTreeMap, BTreeSet};
use windrow_source::{Content, Grid, Workbook};
use windrow_text::fold::fold;
use windrow_text::marks;

/// Rows of a sheet in which its title stands.
const TITLE_ROWS: u32 = 6;
/// Fewest letters of a name.
const FEWEST_LETTERS: usize = 4;

/// From this weight on a name tells between what was measured.
const SURE_CIRCUIT: f32 = 0.5;

/// The folded names of such sheets; a name that is a year, a month, a stage or a round of tests is none.
pub(crate) fn of_book(book: &Workbook) -> BTreeSet<String> {
    let mut by_title: BTreeMap<String, BTreeSet<String>> = BTreeMap::new();
    for grid in book.sheets.iter().filter(|grid| !grid.is_signal) {
        let Some(name) = grid.name.as_deref().filter(|name| may_be_place(name)) else { continue };
        let name = fold(name);
        if let Some(rest) = rest_of_title(grid, &name) {
            by_title.entry(rest).or_default().insert(name);
        }
    }
    by_title.into_values().filter(|names| names.len() >= 2).flatten().collect()
}

/// The title that holds the name, without it.
fn rest_of_title(grid: &Grid, name: &str) -> Option<String> {
    let titles =
        grid.cells.iter().take_while(|cell| cell.row < TITLE_ROWS).filter(|cell| cell.content == Content::Text);
    titles.into_iter().find_map(|cell| {
        let text = format!(" {} ", fold(&cell.text));
        let whole = format!(" {name} ");
        text.contains(&whole).then(|| text.replacen(&whole, " ", 1).trim().to_owned())
    })
}

/// Whether a name may be that of a place: no year or season, no stage, round or page, no part, side, speed or state of machines.
pub(crate) fn may_be_place(name: &str) -> bool {
    let folded = fold(name);
    let letters = folded.chars().filter(|c| c.is_alphabetic()).count();
    let is_year = |word: &str| word.len() == 4 && word.bytes().all(|b| b.is_ascii_digit());
    letters >= FEWEST_LETTERS
        && !folded.split(' ').any(is_year)
        // "Autumn", "March", "1st half": periods that lack their year.
        && windrow_text::date::read(&format!("{name} 1999")).is_empty()
        && crate::stage::stage(name).is_none()
        && windrow_text::circuit::read(name).iter().all(|meaning| meaning.weight < SURE_CIRCUIT)
        && !windrow_text::circuit::names_stator(name)
        && !marks::names_campaign(name)
        && !marks::says_it_goes_on(name)
        && !marks::names_no_place(name)
}

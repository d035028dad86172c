//! Which lines share one set of columns.
//!
//! Lines without a blank, ruler or page break between them are a *run*. Runs that fit the same columns share a layout, wherever in
//! the file they stand; runs without a body (titles, headings) take the layout of what follows them on the page.

use crate::lines::{Kind, Line, Span};
use crate::raster::{self, Occupancy};
use windrow_source::shape;

/// Layouts that a run is compared with, latest first.
const COMPARED: usize = 8;
/// Lines above a body that may be its headings.
const HEADING_LINES: usize = 4;

/// How lines of a layout are cut.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Setting {
    /// At gutters.
    Columns(Vec<Span>),
    /// At every blank: columns do not line up, but nearly all lines have this many words.
    Words(usize),
}

impl Setting {
    /// Number of columns.
    pub(crate) fn width(&self) -> usize {
        match self {
            Self::Columns(columns) => columns.len(),
            Self::Words(count) => *count,
        }
    }
}

impl Default for Setting {
    fn default() -> Self {
        Self::Columns(Vec::new())
    }
}

/// One set of columns.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Layout {
    occupancy: Occupancy,
    /// Index of its body lines.
    pub(crate) body: Vec<usize>,
    pub(crate) setting: Setting,
}

/// The layouts of a file, and for each line the one it is set in.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Layouts {
    pub(crate) all: Vec<Layout>,
    pub(crate) of_line: Vec<Option<usize>>,
}

/// Finds the layouts of `lines`.
pub(crate) fn find(lines: &[Line]) -> Layouts {
    let mut layouts = Layouts { all: Vec::new(), of_line: vec![None; lines.len()] };
    for run in runs(lines) {
        let body: Vec<usize> = run.clone().filter(|&at| lines.get(at).is_some_and(|line| line.is_body)).collect();
        if body.is_empty() {
            continue;
        }
        let home = layouts.home(&body, lines);
        for slot in layouts.of_line.get_mut(run).unwrap_or_default() {
            *slot = Some(home);
        }
    }
    lend(&mut layouts.of_line, lines);
    for at in 0..layouts.all.len() {
        let setting = layouts.setting(at, lines);
        if let Some(layout) = layouts.all.get_mut(at) {
            layout.setting = setting;
        }
    }
    layouts
}

impl Layouts {
    /// The layout that the body of a run fits, a new one if none.
    fn home(&mut self, body: &[usize], lines: &[Line]) -> usize {
        let mut occupancy = Occupancy::default();
        body.iter().filter_map(|&at| lines.get(at)).for_each(|line| occupancy.add(line));
        let known = (0..self.all.len()).rev().take(COMPARED);
        let fitting =
            known.into_iter().find(|&at| self.all.get(at).is_some_and(|layout| layout.occupancy.fits(&occupancy)));
        let home = fitting.unwrap_or(self.all.len());
        if home == self.all.len() {
            self.all.push(Layout::default());
        }
        if let Some(layout) = self.all.get_mut(home) {
            layout.occupancy = layout.occupancy.with(&occupancy);
            layout.body.extend_from_slice(body);
        }
        home
    }

    fn setting(&self, at: usize, lines: &[Line]) -> Setting {
        let Some(layout) = self.all.get(at) else { return Setting::default() };
        let take = |indexes: &[usize]| indexes.iter().filter_map(|&index| lines.get(index)).collect::<Vec<&Line>>();
        let above = layout.body.first().map_or(Vec::new(), |&first| above(first, lines));
        let rulers: Vec<usize> =
            above.iter().copied().filter(|&i| lines.get(i).is_some_and(|l| l.kind == Kind::Ruler)).collect();
        let headings: Vec<usize> = above.iter().copied().filter(|&i| lines.get(i).is_some_and(is_heading)).collect();
        let body = take(&layout.body);
        let columns = raster::columns(&layout.occupancy, &body, &take(&headings), &take(&rulers));
        let heading = layout.body.first().and_then(|&first| heading_of(first, lines));
        let stand_apart = heading.is_some_and(|heading| stand_apart(&columns, &body, heading));
        match steady_words(&body).filter(|_| !stand_apart) {
            Some(count) if columns.len() < 3 && columns.len() < count => Setting::Words(count),
            _ => Setting::Columns(columns),
        }
    }
}

/// Whether two columns are told by wide blanks in every line and one word at most over the first: its words are one cell, however
/// steady their number.
fn stand_apart(columns: &[Span], body: &[&Line], heading: &Line) -> bool {
    let [first, _] = columns else { return false };
    let over_first = heading.pieces(1).iter().filter(|word| word.overlaps(*first)).count();
    body.iter().all(|line| line.pieces(2).len() == 2) && over_first <= 1
}

/// The line of text above the body that may head two columns: "A a tierra      435" above "A - B      733" is of the table, though its words
/// do not look so.
fn heading_of(first: usize, lines: &[Line]) -> Option<&Line> {
    let page = lines.get(first).map(|line| line.page);
    let above = (0..first).rev().filter_map(|at| lines.get(at)).take_while(|line| Some(line.page) == page);
    let is_of_table = |line: &&Line| match line.pieces(2).as_slice() {
        [_, value] => shape::of(&line.text(*value)) == shape::Shape::Number,
        _ => false,
    };
    above.filter(|line| line.kind == Kind::Text).find(|line| !is_of_table(line))
}

/// The number of words that nearly all lines have.
fn steady_words(body: &[&Line]) -> Option<usize> {
    let mut counts: Vec<usize> = body.iter().map(|line| line.pieces(1).len()).collect();
    counts.sort_unstable();
    let middle = counts.get(counts.len() / 2).copied()?;
    let same = counts.iter().filter(|count| **count == middle).count();
    (same * 5 >= counts.len() * 4 && middle >= 3).then_some(middle)
}

/// The lines above the body line `first` that may be headings or rulers, on the same page.
fn above(first: usize, lines: &[Line]) -> Vec<usize> {
    let page = lines.get(first).map(|line| line.page);
    let candidates =
        (0..first).rev().take_while(|&at| lines.get(at).is_some_and(|line| Some(line.page) == page && !line.is_body));
    candidates.filter(|&at| lines.get(at).is_some_and(|line| line.kind != Kind::Blank)).take(HEADING_LINES).collect()
}

/// A line of several labels.
fn is_heading(line: &Line) -> bool {
    line.kind == Kind::Text && line.pieces(2).len() >= 3
}

/// Lines of text in a row, on one page.
fn runs(lines: &[Line]) -> Vec<std::ops::Range<usize>> {
    let mut runs: Vec<std::ops::Range<usize>> = Vec::new();
    for (at, line) in lines.iter().enumerate().filter(|(_, line)| line.kind == Kind::Text) {
        let page_before = at.checked_sub(1).and_then(|before| lines.get(before)).map(|before| before.page);
        match runs.last_mut() {
            Some(last) if last.end == at && page_before == Some(line.page) => last.end = at + 1,
            _ => runs.push(at..at + 1),
        }
    }
    runs
}

/// Gives lines without a layout that of the next line of the page that has one, else that of the last one before.
fn lend(of_line: &mut [Option<usize>], lines: &[Line]) {
    let mut next: Option<(u32, usize)> = None;
    for (slot, line) in of_line.iter_mut().zip(lines).rev() {
        match slot {
            Some(layout) => next = Some((line.page, *layout)),
            None => *slot = next.filter(|(page, _)| *page == line.page).map(|(_, layout)| layout),
        }
    }
    let mut last = None;
    for slot in of_line.iter_mut() {
        match slot {
            Some(layout) => last = Some(*layout),
            None => *slot = last,
        }
    }
}

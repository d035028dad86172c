//! Columns from gutters: places that stay blank through many lines.

use windrow_source::shape::{self, Shape};

use crate::lines::{Line, Span};

/// One line in so many may stray into a gutter.
const STRAYS: usize = 50;

/// How often each printed place is written on, over lines of one layout.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub(crate) struct Occupancy {
    counts: Vec<usize>,
    pub(crate) lines: usize,
    /// Pieces of the fullest line, by gaps of two blanks.
    pub(crate) pieces: usize,
}

impl Occupancy {
    /// Adds what `line` is written on.
    pub(crate) fn add(&mut self, line: &Line) {
        self.counts.resize(self.counts.len().max(line.print.len()), 0);
        for (count, c) in self.counts.iter_mut().zip(&line.print) {
            *count += usize::from(!c.is_whitespace());
        }
        self.lines += 1;
        self.pieces = self.pieces.max(line.pieces(2).len());
    }

    /// Both together.
    pub(crate) fn with(&self, other: &Self) -> Self {
        let (mut sum, short) =
            if self.counts.len() >= other.counts.len() { (self.clone(), other) } else { (other.clone(), self) };
        for (count, more) in sum.counts.iter_mut().zip(&short.counts) {
            *count += more;
        }
        sum.lines = self.lines + other.lines;
        sum.pieces = self.pieces.max(other.pieces);
        sum
    }

    /// Stretches written on, at least `gap` blank places apart.
    pub(crate) fn stretches(&self, gap: usize) -> Vec<Span> {
        let strays = self.lines / STRAYS;
        let mut spans: Vec<Span> = Vec::new();
        for (at, _) in self.counts.iter().enumerate().filter(|(_, count)| **count > strays) {
            match spans.last_mut() {
                Some(last) if at < last.end + gap => last.end = at + 1,
                _ => spans.push(Span { start: at, end: at + 1 }),
            }
        }
        spans
    }

    /// Whether lines of the two kinds fit one set of columns: together they leave the gutters of the one with more lines, and
    /// enough of them for the fullest line of the other.
    pub(crate) fn fits(&self, other: &Self) -> bool {
        let joint = self.with(other).stretches(2).len();
        let (more, fewer) = if self.lines >= other.lines { (self, other) } else { (other, self) };
        joint >= more.stretches(2).len() && joint >= fewer.pieces.min(fewer.stretches(2).len())
    }
}

/// The columns of a layout from its body lines, the headings above them and the rulers among them.
///
/// A gutter of two places or more is enough. A gutter of one place may also be the blank between two words, so it needs more: a
/// gap in a ruler, a line with headings on both sides, or numbers on both sides that cannot be one.
pub(crate) fn columns(occupancy: &Occupancy, body: &[&Line], headings: &[&Line], rulers: &[&Line]) -> Vec<Span> {
    let mut columns: Vec<Span> = Vec::new();
    for next in occupancy.stretches(1) {
        match columns.last_mut() {
            Some(last)
                if next.start < last.end + 2 && !is_gutter(*last, next, &Evidence { body, headings, rulers }) =>
            {
                last.end = next.end;
            }
            _ => columns.push(next),
        }
    }
    widened(joined(columns, body, headings), headings)
}

/// Columns as wide as their headings, where a line has one heading for each: groups above are put in by them. A heading over nothing
/// ("Remarks" of a list without any) has a column of its own.
fn widened(mut columns: Vec<Span>, headings: &[&Line]) -> Vec<Span> {
    for pieces in headings.iter().map(|line| line.pieces(2)) {
        if !stand_in_order(&pieces, &columns) {
            let Some(all) = with_empty_columns(&pieces, &columns) else { continue };
            columns = all;
        }
        for (column, head) in columns.iter_mut().zip(pieces) {
            *column = Span { start: column.start.min(head.start), end: column.end.max(head.end) };
        }
        break;
    }
    columns
}

/// `columns`, and one more for each piece over none of them; nothing where a piece stands over two, two over one, or it is not told
/// which of the pieces between two others heads a column that none stands over.
fn with_empty_columns(pieces: &[Span], columns: &[Span]) -> Option<Vec<Span>> {
    if pieces.len() <= columns.len() || columns.len() < 3 {
        return None;
    }
    let owners: Vec<Option<usize>> = columns.iter().map(|column| owner(*column, pieces)).collect::<Option<_>>()?;
    let mut all: Vec<Span> = Vec::new();
    let (mut piece, mut unowned): (usize, Vec<Span>) = (0, Vec::new());
    let ends = owners.iter().zip(columns).map(|(owner, column)| (*owner, Some(*column)));
    for (owner, column) in ends.chain([(Some(pieces.len()), None)]) {
        let Some(owner) = owner else {
            unowned.extend(column);
            continue;
        };
        let between = pieces.get(piece..owner)?;
        match unowned.len() {
            0 => all.extend(between),
            count if count == between.len() => all.append(&mut unowned),
            _ => return None,
        }
        all.extend(column);
        piece = owner + 1;
    }
    Some(all)
}

/// Whether there is a piece for each column, and none stands over another one's column: headings that are wider than what stands
/// below them, or beside it.
pub(crate) fn stand_in_order(wide: &[Span], columns: &[Span]) -> bool {
    let fits = |(at, piece): (usize, &Span)| {
        let over = |(other, column): (usize, &Span)| other != at && column.overlaps(*piece);
        columns.get(at).is_some_and(|own| own.overlaps(*piece)) || !columns.iter().enumerate().any(over)
    };
    wide.len() == columns.len() && columns.len() >= 3 && wide.iter().enumerate().all(fits)
}

/// Numbers stand at the right of their column, words and headings at its left: two stretches that no line writes on both, and
/// that no heading tells apart, are one column.
fn joined(columns: Vec<Span>, body: &[&Line], headings: &[&Line]) -> Vec<Span> {
    let lines: Vec<Vec<Span>> = body.iter().chain(headings).map(|line| line.pieces(2)).collect();
    let are_apart =
        |both: Span| lines.iter().any(|pieces| pieces.iter().filter(|piece| piece.overlaps(both)).count() > 1);
    let mut joined: Vec<Span> = Vec::new();
    for next in columns {
        match joined.last_mut() {
            Some(last) if !are_apart(Span { start: last.start, end: next.end }) => last.end = next.end,
            _ => joined.push(next),
        }
    }
    joined
}

/// The piece over `column`, if any; nothing where there are two.
fn owner(column: Span, pieces: &[Span]) -> Option<Option<usize>> {
    let mut over = (0..pieces.len()).filter(|&at| pieces.get(at).is_some_and(|piece| piece.overlaps(column)));
    match (over.next(), over.next()) {
        (first, None) => Some(first),
        _ => None,
    }
}

struct Evidence<'a> {
    body: &'a [&'a Line],
    headings: &'a [&'a Line],
    rulers: &'a [&'a Line],
}

fn is_gutter(left: Span, right: Span, evidence: &Evidence<'_>) -> bool {
    let gap = left.end;
    let is_ruled = evidence.rulers.iter().any(|ruler| {
        let pieces = ruler.pieces(1);
        pieces.len() >= 3
            && pieces.iter().any(|p| p.overlaps(left))
            && ruler.print.get(gap).is_some_and(|c| c.is_whitespace())
    });
    if is_ruled {
        return true;
    }
    if are_numbers(left, right, evidence.body) {
        return true;
    }
    let tells_apart = |line: &&Line| {
        let words = line.pieces(1);
        let heads = |column: Span| words.iter().any(|word| word.overlaps(column));
        let is_covered = words.iter().any(|word| word.start < gap && gap + 1 < word.end);
        heads(left) && heads(right) && !is_covered
    };
    evidence.headings.iter().any(tells_apart) && has_typed_side(left, right, evidence.body)
}

/// Whether nearly all lines hold numbers on both sides that are not the parts of one date or one number with blanks for thousands.
fn are_numbers(left: Span, right: Span, body: &[&Line]) -> bool {
    let last_word = |line: &&Line| line.text(left).split_whitespace().next_back().map_or(0, str::len);
    let is_date = matches!(right.end - right.start, 2 | 4) && body.iter().all(|line| last_word(line) <= 2);
    let is_thousands =
        left.end - left.start <= 3 && body.iter().map(|line| line.text(right)).all(|text| is_three_digits(&text));
    !is_date
        && !is_thousands
        && share(left, body, |shape| shape == Shape::Number)
        && share(right, body, |shape| shape == Shape::Number)
}

fn is_three_digits(text: &str) -> bool {
    let text = text.trim();
    text.is_empty() || (text.len() == 3 && text.bytes().all(|byte| byte.is_ascii_digit()))
}

fn has_typed_side(left: Span, right: Span, body: &[&Line]) -> bool {
    share(left, body, Shape::is_typed) || share(right, body, Shape::is_typed)
}

fn share(column: Span, body: &[&Line], wanted: fn(Shape) -> bool) -> bool {
    let shapes = body.iter().map(|line| shape::of(&line.text(column))).filter(|shape| *shape != Shape::Blank);
    let (hits, all) = shapes.fold((0, 0), |(hits, all), shape| (hits + usize::from(wanted(shape)), all + 1));
    all > 0 && hits * 10 >= all * 7
}

//! Which mark delimits the fields.

use windrow_source::shape::{self, Shape};

use crate::records::{self, Record};

/// Text looked at, bytes.
const SAMPLE: usize = 64 << 10;
/// A fit that leaves no doubt.
pub(crate) const GOOD: f64 = 0.45;
/// What the same number of fields in every record adds to a fit.
const EVEN_BONUS: f64 = 0.35;
/// A fit below which the text is no table.
const LEAST: f64 = 0.2;

/// The character between fields; always ASCII.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) struct Delimiter(pub(crate) u8);

impl Delimiter {
    /// Name for people.
    pub(crate) fn name(self) -> String {
        match self.0 {
            b',' => "commas".to_owned(),
            b';' => "semicolons".to_owned(),
            b'\t' => "tabs".to_owned(),
            b'|' => "pipes".to_owned(),
            other => format!("{:?}", char::from(other)),
        }
    }
}

/// A delimiter and how well it fits, from 0 to 1.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(crate) struct Fit {
    pub(crate) delimiter: Delimiter,
    pub(crate) score: f64,
}

/// The delimiter that a first line `sep=;` declares.
pub(crate) fn declared(text: &str) -> Option<Delimiter> {
    let line = text.lines().next()?.trim_end_matches(['\r', '"']).trim_start_matches('"');
    let (key, mark) = line.split_at_checked(4)?;
    match mark.as_bytes() {
        [mark] if key.eq_ignore_ascii_case("sep=") && mark.is_ascii() => Some(Delimiter(*mark)),
        _ => None,
    }
}

/// The delimiter that fits best, if any does.
pub(crate) fn choose(text: &str) -> Option<Fit> {
    let sample = sample(text);
    let fit = |delimiter| Fit { delimiter, score: score(&records::all(sample, delimiter), delimiter) };
    let marks = [b';', b'\t', b'|', b','].map(|mark| fit(Delimiter(mark)));
    let best = marks.into_iter().reduce(|best, next| if next.score > best.score { next } else { best })?;
    (best.score >= LEAST).then_some(best)
}

/// The first lines of `text`, whole ones when there is more.
fn sample(text: &str) -> &str {
    let Some(mut end) = (text.len() > SAMPLE).then_some(SAMPLE) else { return text };
    while !text.is_char_boundary(end) {
        end -= 1;
    }
    let head = text.get(..end).unwrap_or(text);
    head.rfind(['\n', '\r']).and_then(|last| head.get(..last)).unwrap_or(head)
}

/// Steadiness of the number of fields, times how much of what was cut is data and not language.
fn score(records: &[Record], delimiter: Delimiter) -> f64 {
    let widths: Vec<usize> = records.iter().map(Record::filled).collect();
    let steady: Vec<bool> = (0..widths.len()).map(|at| is_steady(&widths, at)).collect();
    let rows = steady.iter().filter(|row| **row).count();
    if rows == 0 {
        return 0.0;
    }
    let shapes: Vec<Shape> = records
        .iter()
        .zip(&steady)
        .filter(|(_, steady)| **steady)
        .flat_map(|(record, _)| record.fields.iter().map(|field| field_shape(field, delimiter)))
        .filter(|shape| *shape != Shape::Blank)
        .collect();
    let share = |count: usize, all: usize| f64::from(clamped(count)) / f64::from(clamped(all.max(1)));
    let typed = share(shapes.iter().filter(|shape| shape.is_typed()).count(), shapes.len());
    let prose = share(shapes.iter().filter(|shape| **shape == Shape::Prose).count(), shapes.len());
    let fit = share(rows, records.len()) * (0.2 + 0.8 * typed) * (1.0 - prose);
    // Programs write the same number of fields in every record, blank ones too: no chance mark does that.
    let even = records.len() >= 4 && records::evenness(records) >= records::EVEN;
    if even && fit > 0.0 { (fit + EVEN_BONUS).min(1.0) } else { fit }
}

/// A field with wide blanks inside is a stretch of a print-out, one with semicolons between commas a row of decimal commas: both
/// were cut in the wrong places.
fn field_shape(field: &str, delimiter: Delimiter) -> Shape {
    let has_other = delimiter.0 == b',' && field.contains([';', '\t', '|']);
    if field.contains("   ") || has_other { Shape::Prose } else { shape::of(field) }
}

fn clamped(count: usize) -> u32 {
    u32::try_from(count).unwrap_or(u32::MAX)
}

/// Whether the record has fields, and about as many as one of its neighbours: a row may lack its last remarks.
fn is_steady(widths: &[usize], at: usize) -> bool {
    let Some(&width) = widths.get(at).filter(|width| **width >= 2) else { return false };
    let beside = [at.checked_sub(1), at.checked_add(1)];
    if widths.len() == 1 {
        return width >= 3;
    }
    beside.into_iter().flatten().filter_map(|index| widths.get(index)).any(|&other| {
        let slack = width.max(other) / 4;
        other >= 2 && width.abs_diff(other) <= slack
    })
}

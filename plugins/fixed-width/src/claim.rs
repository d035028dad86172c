//! The bid for a source.

use windrow_source::shape::{self, Shape};
use windrow_source::{Probe, Verdict, encoding};

use crate::layout;
use crate::lines::{self, Kind, Line};

/// Fewest lines of two columns that make a print.
const FEWEST_OF_TWO: usize = 4;

/// Bids by the share of lines that stand in columns.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = encoding::decode(probe.head);
    if !encoding::looks_like_text(&decoded.text) {
        return Verdict::refuse("it is not text");
    }
    if decoded.text.trim_start().starts_with(['<', '{', '[']) {
        return Verdict::refuse("it begins like a marked-up format");
    }
    let lines = lines::all(&decoded.text);
    let texts: Vec<&Line> = lines.iter().filter(|line| line.kind == Kind::Text).collect();
    // Sentences hold commas as fields do.
    let is_prose = decoded.text.lines().filter(|line| line.split_whitespace().count() >= 6).count() >= 3;
    if let Some(mark) = delimiter(&decoded.text).filter(|mark| *mark != ',' || !is_prose || is_steady(&decoded.text)) {
        return Verdict::refuse(format!("{mark:?} delimits its fields"));
    }
    if stands_on_tabs(&decoded.text) {
        return Verdict::refuse("tabs part its fields");
    }
    let layouts = layout::find(&lines);
    let tables = layouts.all.iter().filter(|layout| layout.setting.width() >= 3 && layout.body.len() >= 2);
    let (rows, columns) =
        tables.fold((0, 0), |(rows, columns), layout| (rows + layout.body.len(), columns.max(layout.setting.width())));
    let narrow: usize =
        layouts.all.iter().filter(|layout| layout.setting.width() == 2).map(|layout| layout.body.len()).sum();
    let pairs = texts.iter().filter(|line| is_pair(line)).count();
    let measured = decoded.text.lines().filter(|line| tells_resistance(line)).count();
    match texts.len() {
        all if rows * 3 >= all && rows > 0 => {
            Verdict::new(0.6, format!("{rows} of {all} lines stand in up to {columns} columns"))
        }
        all if rows * 10 >= all && rows > 0 => {
            Verdict::new(0.3, format!("only {rows} of {all} lines stand in columns"))
        }
        all if narrow >= FEWEST_OF_TWO && narrow * 4 >= all => {
            Verdict::new(0.3, format!("{narrow} of {all} lines are two columns"))
        }
        all if pairs >= 3 && pairs * 2 >= all => {
            Verdict::new(0.3, format!("{pairs} of {all} lines are labels with values"))
        }
        _ if measured >= 2 => Verdict::new(0.3, format!("{measured} lines of words tell resistances")),
        _ => Verdict::refuse("its lines do not stand in columns"),
    }
}

/// Whether most lines hold tabs: a print is set with blanks.
fn stands_on_tabs(text: &str) -> bool {
    let lines = || text.lines().filter(|line| !line.trim().is_empty());
    let tabbed = lines().filter(|line| line.trim().contains('\t')).count();
    tabbed >= 3 && tabbed * 3 >= lines().count() * 2
}

/// The mark that stands equally often in most lines of a text that is not set with wide blanks.
fn delimiter(text: &str) -> Option<char> {
    let lines: Vec<&str> = text.lines().filter(|line| !line.trim().is_empty()).collect();
    if are_even(&lines, '\t') {
        return Some('\t');
    }
    let lines: Vec<&str> = lines.into_iter().map(str::trim).collect();
    let spaced =
        lines.iter().filter(|line| line.split("  ").filter(|piece| !piece.trim().is_empty()).count() >= 3).count();
    if spaced * 3 >= lines.len() {
        return None;
    }
    let are_decimal = shape::commas_are_decimal(text);
    [';', '|', '\t', ','].into_iter().filter(|mark| *mark != ',' || !are_decimal).find(|&mark| {
        let counts: Vec<usize> = lines.iter().map(|line| line.matches(mark).count()).collect();
        let steady = |wanted: usize| counts.iter().filter(|count| **count == wanted).count();
        let most = counts.iter().copied().filter(|count| *count >= 2).max_by_key(|count| steady(*count));
        most.is_some_and(|count| steady(count) * 2 >= counts.len())
    })
}

/// Whether most lines hold equally many commas, as no sentences do.
fn is_steady(text: &str) -> bool {
    let counts: Vec<usize> =
        text.lines().filter(|line| !line.trim().is_empty()).map(|line| line.matches(',').count()).collect();
    let most = counts.iter().copied().filter(|count| *count >= 2).max();
    most.is_some_and(|most| counts.iter().filter(|count| **count == most).count() * 5 >= counts.len() * 4)
}

/// Whether nearly all lines hold the mark equally often, blank fields at their ends counted.
fn are_even(lines: &[&str], mark: char) -> bool {
    let counts: Vec<usize> = lines.iter().map(|line| line.matches(mark).count()).collect();
    let Some(first) = counts.first().copied().filter(|count| *count >= 2) else { return false };
    counts.iter().filter(|count| **count == first).count() * 10 >= counts.len() * 9
}

/// Whether a number stands before a unit of resistance ("12,5 Mohms", "340 MEG", "85 kΩ").
fn tells_resistance(line: &str) -> bool {
    let is_number = |word: &str| {
        word.starts_with(|c: char| c.is_ascii_digit()) && word.chars().all(|c| c.is_ascii_digit() || ".,/".contains(c))
    };
    let is_unit = |word: &str| {
        let word = word.trim_matches(|c: char| !c.is_alphanumeric()).to_lowercase();
        word.contains("ohm") || word.contains(['ω', '\u{2126}']) || matches!(word.as_str(), "meg" | "megs")
    };
    let words: Vec<&str> = line.split_whitespace().collect();
    words.windows(2).any(|two| matches!(two, [number, unit] if is_number(number) && is_unit(unit)))
}

/// A label and, after a colon, dots or wide blanks, a value that is no sentence, with a verdict or remark behind it or none.
fn is_pair(line: &Line) -> bool {
    let is_value = |text: &str| matches!(shape::of(text), Shape::Number | Shape::Date | Shape::Code);
    let pieces = line.pieces(2);
    let texts: Vec<String> = pieces.iter().map(|piece| line.text(*piece)).collect();
    match texts.as_slice() {
        [only] => only.split_once(':').is_some_and(|(_, value)| is_value(value)),
        [_, rest @ ..] => rest.iter().any(|text| is_value(text)),
        [] => false,
    }
}

//! Parts of a line that belong to different tables or pairs beside each other.

use crate::line::{self, is_header, is_key_label, is_pair_row, is_value};
use crate::sense::Kind;
use crate::view::{Item, View};
use windrow_text::vocabulary::Concept;

/// Splits a line where the same key labels begin again: tables side by side.
pub(super) fn segments(view: &View<'_>, items: &[Item]) -> Vec<Vec<Item>> {
    if let Some(width) = axis_period(view, items) {
        return items.chunks(width).map(<[Item]>::to_vec).collect();
    }
    if let Some(forms) = said_again(view, items) {
        return forms;
    }
    let mut segments: Vec<Vec<Item>> = vec![Vec::new()];
    for (index, item) in items.iter().enumerate() {
        let current = segments.last().map(Vec::as_slice).unwrap_or_default();
        let first_again = current.first().is_some_and(|first| view.cell(first).text == view.cell(item).text);
        let apart = current.last().is_some_and(|last| item.column > last.right + 1);
        let again_apart = first_again && apart && current.len() >= 2 && line::is_heading(view, item);
        let is_next = is_key_label(view, item) && {
            let concept = view.sense(item).concept();
            let again = current.iter().any(|other| view.sense(other).concept() == concept && is_key_label(view, other));
            let gap = current.last().is_some_and(|last| item.column > last.right + 2);
            let has_values = current.iter().any(|other| is_value(view, other) && !line::is_heading(view, other));
            current.len() >= 2 && (first_again || again && (gap || apart))
                || gap
                    && current.len() >= 2
                    && !has_values
                    && current.iter().any(|other| is_key_label(view, other))
                    && !current.last().is_some_and(|last| is_bridged(view, last, item))
        };
        let is_again = first_again && apart && is_repeated(view, current, &items[index..]);
        let is_of_page = apart && current.len() >= 2 && says_of_page(view, item);
        if is_next || is_of_page || again_apart || is_again || apart && keys_begin_again(view, current, &items[index..])
        {
            segments.push(Vec::new());
        }
        if let Some(last) = segments.last_mut() {
            last.push(*item);
        }
    }
    segments.retain(|segment| !segment.is_empty());
    segments
}

/// "Resistance (Ω) | | | Temp" over "U-V | V-W | W-U | °C": whether the line right below heads every column between two headings: the
/// first is of a group, and nothing parts them.
fn is_bridged(view: &View<'_>, left: &Item, right: &Item) -> bool {
    let below = view.line(view.line_at(left.row + 1));
    let heads = |column: u32| {
        let head = below.iter().find(|item| item.row == left.row + 1 && item.column == column);
        head.is_some_and(|head| view.sense(head).kind == Kind::Text)
    };
    (left.column..right.column).all(heads)
}

/// "Page 2 of 3", "Printed for the records office": what a form or a page says of itself, beside the header of the form before.
fn says_of_page(view: &View<'_>, item: &Item) -> bool {
    let sense = view.sense(item);
    let told = windrow_text::header::read(view.cell(item).text.trim()).concept();
    sense.kind == Kind::Text && sense.words >= 3 && matches!(told, Some(Concept::Page | Concept::OtherDate))
}

/// "Pump | 2007 | 2009 | | Pump | 2007 | 2009": whether what follows an empty column is what was there, cell by cell.
fn is_repeated(view: &View<'_>, current: &[Item], onward: &[Item]) -> bool {
    let text = |item: &Item| view.cell(item).text.trim();
    let begins_with_word = current.first().is_some_and(|first| view.sense(first).kind == Kind::Text);
    let mut pairs = current.iter().zip(onward);
    begins_with_word
        && current.len() >= 3
        && onward.len() >= current.len()
        && pairs.all(|(own, again)| text(own) == text(again))
}

/// The same words in the same order again beyond an empty column, each time over a label of its own: forms side by side, whether or not
/// their words are known. "U | V | W" twice over numbers is two groups of one table.
fn said_again(view: &View<'_>, items: &[Item]) -> Option<Vec<Vec<Item>>> {
    let pieces: Vec<&[Item]> = items.chunk_by(|a, b| b.column <= a.right + 1).collect();
    let text = |item: &Item| view.cell(item).text.trim();
    let (first, others) = pieces.split_first().filter(|(first, others)| first.len() >= 3 && !others.is_empty())?;
    let is_same = |piece: &&[Item]| {
        piece.len() == first.len() && piece.iter().zip(*first).all(|(own, other)| text(own) == text(other))
    };
    let below = view.line(view.line_at(first.first()?.row + 1));
    let is_labelled = |piece: &&[Item]| {
        let label = below.iter().find(|item| piece.first().is_some_and(|head| head.column == item.column));
        label.is_some_and(|label| view.sense(label).kind == Kind::Text && view.sense(label).tag < 0.5)
    };
    let are_words = first.iter().all(|item| view.cell(item).content == windrow_source::Content::Text);
    let are_forms = are_words && others.iter().all(is_same) && pieces.iter().all(is_labelled);
    are_forms.then(|| pieces.into_iter().map(<[Item]>::to_vec).collect())
}

/// Whether what follows an empty column begins with a text and then tells of keys that were told already ("Well | Date | kΩ" beside
/// "Fan | Date | MΩ"): a table of its own, whatever its lines are named by.
fn keys_begin_again(view: &View<'_>, current: &[Item], onward: &[Item]) -> bool {
    let [first, further @ ..] = onward else { return false };
    let mut end = first.right;
    let piece = further.iter().take_while(|item| {
        let joins = item.column <= end + 1;
        end = item.right;
        joins
    });
    let is_told = |item: &Item| {
        let concept = view.sense(item).concept();
        current.iter().any(|other| is_key_label(view, other) && view.sense(other).concept() == concept)
    };
    let is_name = view.sense(first).kind == Kind::Text && !is_value(view, first) && !is_key_label(view, first);
    current.len() >= 2 && is_name && piece.take(2).any(|item| is_key_label(view, item) && is_told(item))
}

/// Number of labels after which a line begins again, where it begins with the label of an axis ("Time", "kV", "Phase") or of machines
/// and no column stands at the left of it: tables side by side without a gap.
fn axis_period(view: &View<'_>, items: &[Item]) -> Option<usize> {
    let first = items.first()?;
    let concept = view.sense(first).concept();
    let is_first_of_tables = matches!(
        concept,
        Some(Concept::Elapsed | Concept::TestVoltage | Concept::Circuit | Concept::Tag | Concept::Description)
    );
    if !is_first_of_tables || items.len() < 4 {
        return None;
    }
    let text = |at: usize| items.get(at).map(|item| view.cell(item).text.as_str());
    let width = (2..=items.len() / 2).find(|width| {
        items.len().is_multiple_of(*width) && (*width..items.len()).all(|at| text(at) == text(at % width))
    })?;
    let below = view.line_at(first.row + 1);
    let is_first = view.line(below).first().is_none_or(|item| item.column >= first.column);
    is_first.then_some(width)
}

/// Splits a line into what is label–value pairs and what is not, where empty columns lie between: the pairs of a block beside the
/// header of another.
pub(super) fn without_pairs_beside(view: &View<'_>, items: &[Item]) -> Vec<Vec<Item>> {
    let pieces: Vec<&[Item]> = items.chunk_by(|a, b| b.column <= a.right + 1 || is_bridged(view, a, b)).collect();
    let are_pairs = |piece: &[Item]| {
        piece.iter().all(|item| view.sense(item).is_pair) || is_pair_row(view, piece) || stands_over_pairs(view, piece)
    };
    let natures: Vec<bool> = pieces.iter().map(|piece| are_pairs(piece)).collect();
    let is_mixed = natures.windows(2).any(|two| two[0] != two[1]);
    if !is_mixed || !pieces.iter().zip(&natures).any(|(piece, pairs)| !pairs && is_header(view, piece)) {
        return vec![items.to_vec()];
    }
    let mut parts: Vec<(bool, Vec<Item>)> = Vec::new();
    for (piece, nature) in pieces.into_iter().zip(natures) {
        match parts.last_mut().filter(|(last, _)| *last == nature) {
            Some((_, part)) => part.extend_from_slice(piece),
            None => parts.push((nature, piece.to_vec())),
        }
    }
    parts.into_iter().map(|(_, part)| part).collect()
}

/// Lines of two cells below a text and its neighbour that make them the first pair of a list, and how many of them must be known pairs.
const LINES_BELOW: (u32, usize) = (3, 2);

/// "Set | DG7" over "Date | 3.4.81" and "Built | 1957": the first line of a list of labels and values, though its label is not known.
fn stands_over_pairs(view: &View<'_>, piece: &[Item]) -> bool {
    let [label, value] = piece else { return false };
    let own = |row: u32| -> Vec<Item> {
        let line = view.line(view.line_at(row)).iter().filter(|item| item.row == row);
        line.filter(|item| (label.column..=value.right).contains(&item.column)).copied().collect()
    };
    let lines: Vec<Vec<Item>> = (1..=LINES_BELOW.0).map(|below| own(label.row + below)).collect();
    view.sense(label).kind == Kind::Text
        && !line::is_heading(view, value)
        && lines.iter().all(|line| line.len() == 2)
        && lines.iter().filter(|line| is_pair_row(view, line)).count() >= LINES_BELOW.1
}

/// Splits a line of groups where the header below it begins again: names of machines over tables side by side. Each part with the
/// first column of its table.
pub(super) fn groups_as_below(view: &View<'_>, items: Vec<Item>, below: &[Item]) -> Vec<(u32, Vec<Item>)> {
    let first = |items: &[Item]| items.first().map_or(0, |item| item.column);
    // "phase to earth, MΩ" over three phases, beside "phase to earth, GΩ" over three of another day.
    let are_wide = items.iter().all(|item| item.right > item.column && !view.sense(item).label.units.is_empty());
    let is_group = items.len() >= 2
        && !items.iter().any(|item| is_key_label(view, item))
        && (are_wide || !is_header(view, &items));
    let headers = if is_group { segments(view, below) } else { Vec::new() };
    if headers.len() < 2 || !headers.iter().all(|header| is_header(view, header)) {
        return vec![(first(&items), items)];
    }
    let starts: Vec<u32> = headers.iter().map(|header| first(header)).collect();
    let table = |item: &Item| starts.iter().rev().find(|start| **start <= item.column).copied();
    let parts = items.chunk_by(|a, b| table(a) == table(b));
    parts.map(|part| (part.first().and_then(&table).unwrap_or_else(|| first(part)), part.to_vec())).collect()
}

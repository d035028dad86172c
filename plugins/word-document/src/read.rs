//! A document to a sheet.

use windrow_source::xml::{Step, walk};
use windrow_source::{Input, Limits, ReadError, Refusal, Workbook};

use crate::block::{Anchor, Block, Words};
use crate::lay::{Layout, Notes};
use crate::package::{Package, REPAIR, is_document, is_numbered};
use crate::walk::blocks;

/// Reads the document as one unnamed sheet: headers of pages, the text and tables in order, footers.
///
/// # Errors
/// [`Refusal::Damaged`] where a part is missing or broken, [`Refusal::TooLarge`] over a limit, [`Refusal::Empty`] without text.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let package = Package::of(input.bytes, limits)?;
    let Some(document) = package.named(is_document).into_iter().next() else {
        return Err(ReadError::new(Refusal::Damaged, "the package has no part with the document", REPAIR));
    };
    let body = blocks(&package.text(&document)?, limits)?;
    let notes = notes(&package, limits)?;
    let mut layout = Layout::new(&notes, limits);
    repeated(&package, "header", &mut layout)?;
    layout.part("", &body)?;
    repeated(&package, "footer", &mut layout)?;
    if layout.count == 0 {
        let found = "a document without text";
        return Err(ReadError::new(
            Refusal::Empty,
            found,
            "if it holds pictures of records, type their figures into a workbook",
        ));
    }
    let Layout { draft, mut budget, mut remarks, .. } = layout;
    let mut grid = draft.finish(&mut budget, &mut remarks)?;
    grid.name = None;
    let struck = grid.cells.iter().filter(|cell| cell.struck.is_some()).count();
    if struck > 0 {
        remarks.plain(format!(
            "{struck} cells have text that was struck through or deleted under tracking; it is kept apart"
        ));
    }
    Ok(Workbook { sheets: vec![grid], notes: remarks.into_lines(), ..Workbook::default() })
}

/// Lays out the headers or footers, those that say the same once.
fn repeated(package: &Package<'_>, kind: &str, layout: &mut Layout<'_>) -> Result<(), ReadError> {
    let mut seen: Vec<Vec<Block>> = Vec::new();
    for (number, part) in (1..).zip(package.named(|name| is_numbered(name, &format!("word/{kind}")))) {
        let blocks = blocks(&package.text(&part)?, layout.limits)?;
        if !seen.contains(&blocks) {
            layout.part(&format!("{kind}{number}:"), &blocks)?;
            seen.push(blocks);
        }
    }
    Ok(())
}

/// Texts of comments, footnotes and endnotes by their numbers.
fn notes(package: &Package<'_>, limits: &Limits) -> Result<Notes, ReadError> {
    let mut notes = Notes::new();
    let kinds = [(Anchor::Comment, "comment"), (Anchor::Footnote, "footnote"), (Anchor::Endnote, "endnote")];
    for (anchor, element) in kinds {
        let part = format!("word/{element}s.xml");
        for name in package.named(|name| name == part) {
            let mut id: Option<String> = None;
            let (mut words, mut is_text) = (Words::default(), false);
            walk(&package.text(&name)?, limits, |step| {
                match step {
                    Step::Open(name, attributes) => {
                        if name == element {
                            settle(&mut notes, anchor, id.take(), &mut words);
                            id = attributes.iter().find(|a| a.name == "id").map(|a| a.value.clone());
                        }
                        if name == "p" && !words.text.is_empty() {
                            words.text.push('\n');
                        }
                        is_text = name == "t";
                    }
                    Step::Text(text) if is_text => words.text.push_str(text),
                    Step::Text(_) => {}
                    Step::Close => is_text = false,
                }
                Ok(())
            })?;
            settle(&mut notes, anchor, id, &mut words);
        }
    }
    Ok(notes)
}

/// Keeps the text of a note that ended.
fn settle(notes: &mut Notes, anchor: Anchor, id: Option<String>, words: &mut Words) {
    let text = std::mem::take(&mut words.text).trim().to_owned();
    if let Some(id) = id.filter(|_| !text.is_empty()) {
        notes.insert((anchor, id), text);
    }
}

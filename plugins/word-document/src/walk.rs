//! A part of the document to blocks.

use windrow_source::xml::{Attribute, Step, walk};
use windrow_source::{Limits, ReadError, Refusal};

use crate::block::{Anchor, Block, Down, Marked, Row, Words};
use crate::symbol;

/// Reads the part `text` as blocks in reading order. A table within a cell follows the table that it stands in.
pub(crate) fn blocks(text: &str, limits: &Limits) -> Result<Vec<Block>, ReadError> {
    let mut walker = Walker::new(limits);
    walk(text, limits, |step| match step {
        Step::Open(name, attributes) => walker.open(name, attributes),
        Step::Text(text) => walker.text(text),
        Step::Close => {
            walker.close();
            Ok(())
        }
    })?;
    Ok(walker.blocks)
}

/// A table being read.
#[derive(Default)]
struct Table {
    number: usize,
    rows: Vec<Row>,
}

/// What is being read, by depth: elements, tables, paragraphs (those of text boxes stand within others).
struct Walker<'a> {
    limits: &'a Limits,
    elements: Vec<String>,
    tables: Vec<Table>,
    /// Tables within cells, finished, that follow the outermost one.
    inner: Vec<Block>,
    paragraphs: Vec<(usize, Words)>,
    blocks: Vec<Block>,
    /// Elements open whose content is deleted, and whose content is shown elsewhere or not at all.
    deleted: usize,
    passed: usize,
    /// Whether the run being read is struck through, and whether its font is Symbol.
    is_struck: bool,
    is_symbol: bool,
    paragraph_count: usize,
    table_count: usize,
}

/// Elements whose content was deleted or moved away under tracking.
const DELETED: [&str; 2] = ["del", "moveFrom"];
/// Elements whose content is told a second time (in a form for older programs), or is no text of the document.
const PASSED: [&str; 4] = ["Fallback", "instrText", "delInstrText", "sdtPr"];

impl<'a> Walker<'a> {
    fn new(limits: &'a Limits) -> Self {
        Self {
            limits,
            elements: Vec::new(),
            tables: Vec::new(),
            inner: Vec::new(),
            paragraphs: Vec::new(),
            blocks: Vec::new(),
            deleted: 0,
            passed: 0,
            is_struck: false,
            is_symbol: false,
            paragraph_count: 0,
            table_count: 0,
        }
    }

    fn open(&mut self, name: &str, attributes: &[Attribute]) -> Result<(), ReadError> {
        self.elements.push(name.to_owned());
        let value = |wanted: &str| attributes.iter().find(|a| a.name == wanted).map(|a| a.value.as_str());
        self.deleted += usize::from(DELETED.contains(&name));
        self.passed += usize::from(PASSED.contains(&name));
        match name {
            "tbl" => {
                self.table_count += 1;
                self.tables.push(Table { number: self.table_count, ..Table::default() });
            }
            "tr" => {
                if let Some(rows) = self.rows() {
                    rows.push(Row::default());
                }
            }
            "tc" => {
                if let Some(row) = self.row() {
                    row.cells.push(Marked::default());
                }
            }
            "gridBefore" => {
                let count = number(value("val"));
                if let Some(row) = self.row() {
                    row.before = count;
                }
            }
            "gridSpan" => {
                let count = number(value("val")).max(1);
                if let Some(cell) = self.cell() {
                    cell.columns = count;
                }
            }
            "vMerge" => {
                let down = if value("val") == Some("restart") { Down::First } else { Down::Goes };
                if let Some(cell) = self.cell() {
                    cell.down = down;
                }
            }
            "p" => {
                // Those in cells are told by their cell.
                self.paragraph_count += usize::from(self.tables.is_empty());
                self.paragraphs.push((self.paragraph_count, Words::default()));
            }
            "r" => (self.is_struck, self.is_symbol) = (false, false),
            "strike" | "dstrike" if self.is_within("r") => self.is_struck = !is_off(value("val")),
            "rFonts" if self.is_within("r") => {
                self.is_symbol = ["ascii", "hAnsi"].iter().any(|kind| value(kind) == Some("Symbol"));
            }
            "tab" if self.is_within("r") && !self.is_within("tabs") => self.push("\t")?,
            "br" | "cr" => self.push("\n")?,
            "noBreakHyphen" => self.push("-")?,
            "sym" => {
                let code = value("char").and_then(|code| u32::from_str_radix(code, 16).ok()).and_then(char::from_u32);
                let is_symbol = value("font") == Some("Symbol");
                let letter = code.map(|letter| if is_symbol { symbol::shown(letter) } else { letter });
                if let Some(letter) = letter {
                    self.push(letter.encode_utf8(&mut [0; 4]))?;
                }
            }
            "commentReference" => self.anchor(Anchor::Comment, value("id")),
            "footnoteReference" => self.anchor(Anchor::Footnote, value("id")),
            "endnoteReference" => self.anchor(Anchor::Endnote, value("id")),
            _ => {}
        }
        Ok(())
    }

    fn text(&mut self, text: &str) -> Result<(), ReadError> {
        match self.elements.last().map(String::as_str) {
            Some("t" | "delText") if self.is_symbol => self.push(&text.chars().map(symbol::shown).collect::<String>()),
            Some("t" | "delText") => self.push(text),
            _ => Ok(()),
        }
    }

    fn close(&mut self) {
        let name = self.elements.pop().unwrap_or_default();
        self.deleted -= usize::from(DELETED.contains(&name.as_str()));
        self.passed -= usize::from(PASSED.contains(&name.as_str()));
        match name.as_str() {
            "p" => self.end_paragraph(),
            "tbl" => self.end_table(),
            _ => {}
        }
    }

    fn end_paragraph(&mut self) {
        let Some((number, words)) = self.paragraphs.pop() else { return };
        match self.cell() {
            Some(cell) => cell.words.append(words),
            None if !words.is_blank() => self.blocks.push(Block::Paragraph(number, words)),
            None => {}
        }
    }

    fn end_table(&mut self) {
        let Some(table) = self.tables.pop() else { return };
        let block = Block::Table(table.number, table.rows);
        if self.tables.is_empty() {
            self.blocks.push(block);
            self.blocks.append(&mut self.inner);
        } else {
            self.inner.push(block);
        }
    }

    /// Adds to the paragraph being read.
    fn push(&mut self, text: &str) -> Result<(), ReadError> {
        let is_gone = self.deleted > 0 || self.is_struck;
        if self.passed > 0 {
            return Ok(());
        }
        let Some((_, words)) = self.paragraphs.last_mut() else { return Ok(()) };
        let target = if is_gone { &mut words.struck } else { &mut words.text };
        target.push_str(text);
        if target.len() > self.limits.cell_text_bytes {
            let found = format!("a paragraph of more than {} bytes", self.limits.cell_text_bytes);
            return Err(ReadError::new(Refusal::TooLarge, found, "check that it holds records"));
        }
        Ok(())
    }

    fn anchor(&mut self, kind: Anchor, id: Option<&str>) {
        if let (Some((_, words)), Some(id), 0) = (self.paragraphs.last_mut(), id, self.passed) {
            words.anchors.push((kind, id.to_owned()));
        }
    }

    fn rows(&mut self) -> Option<&mut Vec<Row>> {
        self.tables.last_mut().map(|table| &mut table.rows)
    }

    fn row(&mut self) -> Option<&mut Row> {
        self.rows()?.last_mut()
    }

    fn cell(&mut self) -> Option<&mut Marked> {
        self.row()?.cells.last_mut()
    }

    fn is_within(&self, name: &str) -> bool {
        self.elements.iter().rev().take_while(|element| *element != "p").any(|element| element == name)
    }
}

fn number(value: Option<&str>) -> u32 {
    value.and_then(|value| value.trim().parse().ok()).unwrap_or(0)
}

/// Whether an attribute of a switch says no; without one it is on.
fn is_off(value: Option<&str>) -> bool {
    matches!(value, Some("0" | "false" | "off" | "none"))
}

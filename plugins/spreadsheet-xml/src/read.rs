//! The document, element by element, to sheets.

use windrow_source::number_format::Epoch;
use windrow_source::xml::{self, Attribute, Step};
use windrow_source::{FEWER_CELLS, Input, Limits, ReadError, Refusal, Workbook};

use crate::parts::{get, is_on};
use crate::sheet::{Format, Sheet};
use crate::styles::{Style, Styles};

/// Reads all worksheets, hidden ones included.
pub(crate) fn read(input: &Input<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let decoded = xml::decode(input.bytes);
    let mut book = Book { limits: limits.clone(), ..Book::default() };
    book.workbook.notes.extend(decoded.note());
    xml::walk(&decoded.text, limits, |step| match step {
        Step::Open(name, attributes) => book.open(name, attributes),
        Step::Text(text) => {
            book.text(text);
            Ok(())
        }
        Step::Close => book.close(),
    })?;
    Ok(book.workbook)
}

/// The workbook so far, and where in the document the walk is.
#[derive(Debug, Default)]
struct Book {
    workbook: Workbook,
    limits: Limits,
    styles: Styles,
    style_id: String,
    epoch: Epoch,
    sheet: Option<Sheet>,
    path: Vec<String>,
    cells: usize,
}

impl Book {
    fn open(&mut self, name: &str, attributes: &[Attribute]) -> Result<(), ReadError> {
        let parent = self.path.last().map_or("", String::as_str);
        match (name, &mut self.sheet) {
            ("Style", None) => self.style(attributes),
            ("NumberFormat", None) => self.current_style().format = get(attributes, "Format").map(str::to_owned),
            ("Font", None) if attributes.iter().any(|attribute| attribute.name == "StrikeThrough") => {
                self.current_style().is_struck = Some(is_on(attributes, "StrikeThrough"));
            }
            ("Date1904", None) => self.epoch = Epoch::Y1904,
            ("Worksheet", None) => self.sheet = Some(Sheet::new(get(attributes, "Name").unwrap_or_default())),
            ("Table", Some(sheet)) if parent == "Worksheet" => sheet.table(attributes),
            ("Column", Some(sheet)) if parent == "Table" => sheet.column(attributes, &self.limits)?,
            ("Row", Some(sheet)) if parent == "Table" => sheet.row(attributes)?,
            ("Cell", Some(sheet)) if parent == "Row" => sheet.open_cell(attributes, &self.limits)?,
            ("Data", Some(sheet)) if parent == "Cell" => sheet.data(get(attributes, "Type").unwrap_or_default()),
            _ => {}
        }
        self.path.push(name.to_owned());
        Ok(())
    }

    fn style(&mut self, attributes: &[Attribute]) {
        get(attributes, "ID").unwrap_or_default().clone_into(&mut self.style_id);
        self.current_style().parent = get(attributes, "Parent").map(str::to_owned);
    }

    fn current_style(&mut self) -> &mut Style {
        self.styles.0.entry(self.style_id.clone()).or_default()
    }

    fn text(&mut self, text: &str) {
        let Some(sheet) = &mut self.sheet else { return };
        let within = |name: &str| self.path.iter().any(|open| open == name);
        if within("Comment") {
            sheet.comment(text);
        } else if within("Data") {
            sheet.say(text, within("S"));
        } else if self.path.last().is_some_and(|name| name == "Visible") {
            sheet.grid.hidden = text.trim().starts_with("SheetHidden") || text.trim().starts_with("SheetVeryHidden");
        }
    }

    fn close(&mut self) -> Result<(), ReadError> {
        let name = self.path.pop().unwrap_or_default();
        let parent = self.path.last().map_or("", String::as_str);
        match (name.as_str(), parent) {
            ("Cell", "Row") => {
                let format = Format { styles: &self.styles, epoch: self.epoch };
                if let Some(sheet) = &mut self.sheet {
                    self.cells += usize::from(sheet.close_cell(&format));
                }
                if self.cells > self.limits.cells {
                    let found = format!("more than {} cells", self.limits.cells);
                    return Err(ReadError::new(Refusal::TooLarge, found, FEWER_CELLS));
                }
            }
            ("Worksheet", _) => self.end_sheet()?,
            _ => {}
        }
        Ok(())
    }

    fn end_sheet(&mut self) -> Result<(), ReadError> {
        let Some(mut sheet) = self.sheet.take() else { return Ok(()) };
        if self.workbook.sheets.len() >= self.limits.sheets {
            let found = format!("more than {} sheets", self.limits.sheets);
            return Err(ReadError::new(Refusal::TooLarge, found, "split it"));
        }
        sheet.grid.finish();
        self.workbook.notes.append(&mut sheet.notes);
        self.workbook.sheets.push(sheet.grid);
        Ok(())
    }
}

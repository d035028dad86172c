//! A file as it was read, and a changed copy of it.

use std::collections::{BTreeMap, BTreeSet};
use std::path::Path;
use windrow_importer::{Registry, Source, read_source, understand_source};
use windrow_model::layout::Layout;
use windrow_model::place::a1;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_model::{Disposition, Text};
use windrow_pipeline::{Rows, rows_of};
use windrow_source::{Limits, Workbook};

/// What all files are read with.
pub(super) struct Bench {
    registry: Registry,
    settings: Settings,
    limits: Limits,
}

/// Sheet and address of a cell of the file as it was.
pub(super) type Key = (Option<Text>, Text);

/// What was found in a file.
#[derive(Debug)]
pub(super) struct Found {
    pub(super) rows: Rows,
    pub(super) held: BTreeSet<Key>,
}

/// A file as it was read. Every cell carries its address, wherever a change moves it.
#[derive(Debug)]
pub(super) struct Base {
    pub(super) book: Workbook,
    pub(super) understood: Understood,
    pub(super) found: Found,
}

/// A changed copy.
#[derive(Debug)]
pub(super) enum Changed {
    /// Cells that moved or say the same in another way; sheets by their new names with their old ones.
    Book { book: Workbook, names: BTreeMap<Option<Text>, Option<Text>> },
    /// The same cells, read with these layouts.
    Layouts(Vec<Layout>),
    /// The same cells, read without the importers that read them.
    Alone,
    /// The first sheet in another container.
    File { name: &'static str, bytes: Vec<u8> },
}

impl Changed {
    /// A changed book whose sheets keep their names.
    pub(super) fn book(book: Workbook) -> Self {
        Self::Book { book, names: BTreeMap::new() }
    }
}

/// A source of which nothing is understood yet.
fn emptied(understood: &Understood) -> Understood {
    Understood {
        tests: vec![],
        waveforms: vec![],
        machines: vec![],
        cells: vec![],
        holds: vec![],
        regions: vec![],
        ..understood.clone()
    }
}

impl Bench {
    pub(super) fn new() -> anyhow::Result<Self> {
        let (settings, limits) = (Settings::default(), Limits::default());
        Ok(Self { registry: windrow_plugins::registry()?, settings, limits })
    }

    /// Reads a file; `None` where there is nothing to compare.
    pub(super) fn read(&self, path: &Path) -> Option<Base> {
        let bytes = std::fs::read(path).ok()?;
        let name = path.file_name()?.to_string_lossy().into_owned();
        let source = Source::alone(&name, &bytes);
        let (_, mut book) = read_source(source, &self.registry, &self.limits).ok()?;
        for cell in book.sheets.iter_mut().flat_map(|sheet| &mut sheet.cells).filter(|cell| !cell.synthetic) {
            cell.address = Some(cell.place());
        }
        let blank = understand_source(Source::alone(&name, &[]), &self.registry, &self.settings, &self.limits);
        let understood = self.understand(&book, blank, &self.settings, &|_| true);
        let found = self.found(understood.clone(), &|key| key);
        (!found.rows.readings.is_empty()).then_some(Base { book, understood, found })
    }

    /// What is found in a changed copy, under the addresses of the file as it was.
    pub(super) fn understand_changed(&self, base: &Base, changed: &Changed) -> Found {
        match changed {
            Changed::Layouts(layouts) => {
                let settings = Settings { layouts: layouts.clone(), ..self.settings.clone() };
                let understood = self.understand(&base.book, emptied(&base.understood), &settings, &|_| true);
                self.found(understood, &|key| key)
            }
            Changed::Alone => {
                let owners: Vec<&str> =
                    base.understood.regions.iter().filter_map(|region| region.importer.as_deref()).collect();
                let others = |id: &str| !owners.contains(&id);
                let understood = self.understand(&base.book, emptied(&base.understood), &self.settings, &others);
                self.found(understood, &|key| key)
            }
            Changed::Book { book, names } => {
                let blank = emptied(&base.understood);
                let understood = self.understand(book, blank, &self.settings, &|_| true);
                self.found(understood, &|(sheet, cell)| (names.get(&sheet).cloned().unwrap_or(sheet), cell))
            }
            Changed::File { name, bytes } => {
                let source = Source::alone(name, bytes);
                let understood = understand_source(source, &self.registry, &self.settings, &self.limits);
                let sheet = base.book.sheets.first();
                let cells = sheet.iter().flat_map(|sheet| &sheet.cells);
                let addresses: BTreeMap<Text, Text> =
                    cells.map(|cell| (a1(cell.row, cell.column), cell.place())).collect();
                let name = sheet.and_then(|sheet| sheet.name.as_deref().map(Text::from));
                self.found(understood, &|(_, cell)| (name.clone(), addresses.get(&cell).cloned().unwrap_or(cell)))
            }
        }
    }

    /// Understands cells, asking the importers that `is_asked`.
    fn understand(
        &self,
        book: &Workbook,
        mut into: Understood,
        settings: &Settings,
        is_asked: &dyn Fn(&str) -> bool,
    ) -> Understood {
        let name = into.source_file.clone();
        let context = windrow_sheet::Context { source_file: &name, settings, folder: None };
        let specialists: Vec<_> = self.registry.specialists().into_iter().filter(|one| is_asked(one.id())).collect();
        windrow_sheet::understand(book, &context, &specialists, &mut into);
        into
    }

    /// Layouts drafted from what is understood of a file.
    pub(super) fn drafts(base: &Base) -> Vec<Layout> {
        let settings = Settings::default();
        let name = &base.understood.source_file;
        let context = windrow_sheet::Context { source_file: name, settings: &settings, folder: None };
        let mut drafts = windrow_sheet::draft_layouts(&base.book, &context);
        for (number, draft) in (1..).zip(&mut drafts) {
            draft.name = format!("draft {number}");
        }
        drafts
    }

    fn found(&self, understood: Understood, original: &dyn Fn(Key) -> Key) -> Found {
        let marks =
            understood.cells.iter().filter(|mark| mark.disposition == Disposition::Held).map(|mark| &mark.place);
        let asked = understood.holds.iter().map(|hold| &hold.place);
        let held = marks.chain(asked).map(|place| original((place.sheet.clone(), place.cell.clone()))).collect();
        let source = windrow_pipeline::Source { origin: String::new(), path: String::new(), understood };
        let mut rows = rows_of(vec![source], &self.settings, &[]);
        for reading in &mut rows.readings {
            let key = (reading.source_sheet.take(), std::mem::take(&mut reading.source_cell));
            (reading.source_sheet, reading.source_cell) = original(key);
        }
        Found { rows, held }
    }
}

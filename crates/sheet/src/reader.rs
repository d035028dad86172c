//! Readings with all their attributes: each number takes what its cell, line, column and block tell, nearest first.

mod across;
mod ask;
mod asked;
mod asset;
mod block;
mod card;
mod cell;
mod circuit;
mod circumstance;
mod computed;
mod conductor;
mod corrected;
mod date;
mod described;
mod deviations;
mod earlier;
mod elapsed;
mod exciter;
mod fellows;
mod fill_down;
mod foreign;
mod half_converted;
mod headed;
mod heed;
mod labelled;
mod labelled_name;
mod left_unread;
mod line;
mod lone;
mod loose;
mod merged;
mod name;
mod name_left_blank;
mod named_dates;
mod numbered;
mod ohms;
mod outline;
mod plausible;
mod power_factor;
mod prose;
mod quantity;
mod ramp;
mod reading;
mod register;
mod remark;
mod ruled;
mod seasons;
mod section_site;
mod stated_order;
mod surroundings;
mod table;
mod temperature;
mod test;
mod thousands;
mod together;
mod twins;
mod two_units;
mod unit;
mod unit_behind;
mod voltage;
mod withdrawn;
mod withstand;
mod witness;
mod yearless;

use crate::context::{Body, Scene};
use crate::hold::Holds;
use crate::pool::{Count, Pools};
use crate::ruling::Rulings;
use crate::value::Marks;
use crate::view::{Item, View};
use std::collections::BTreeMap;
use windrow_model::raw::{Mention, Told, Via};
use windrow_model::settings::Settings;
use windrow_model::{Disposition, Place, Text};
use windrow_text::date::DateMeaning;
use windrow_text::number::Mark;

pub use asset::Names;
pub use test::{Group, Pending};

/// What is known around a sheet.
#[derive(Debug, Clone, Copy)]
pub struct Around<'s> {
    /// Evidence of the file.
    pub book: &'s Pools,
    /// Evidence of the folder.
    pub folder: &'s Pools,
    /// Settings of the fleet.
    pub settings: &'s Settings,
    /// What the names of sheet and file tell.
    pub names: &'s Names,
    /// Rulings of people on cells of the sheet.
    pub rulings: &'s Rulings,
}

/// What becomes of a cell, before targets are known.
#[derive(Debug, Clone, PartialEq)]
pub struct Fate {
    /// Disposition.
    pub disposition: Disposition,
    /// Why.
    pub reason: Option<Text>,
}

/// Why a number under a label that names something else is no reading.
pub(crate) const DISMISSED: &str = "its label names no measured quantity";

impl Fate {
    /// Whether the number was put aside only because its label names no measured quantity.
    #[must_use]
    pub fn is_dismissed(&self) -> bool {
        self.reason.as_deref() == Some(DISMISSED)
    }
}

/// Reads the blocks of one scene.
#[derive(Debug)]
pub struct Reader<'s, 'v, 'a> {
    pub(crate) scene: &'s Scene<'v, 'a>,
    pub(crate) view: &'v View<'a>,
    pub(crate) around: Around<'s>,
    pub(crate) sheet_marks: Marks,
    /// Groups of readings that become tests, in order of their first cells.
    pub groups: Vec<Group>,
    pub(crate) by_key: BTreeMap<String, usize>,
    /// Machines told without a test.
    pub machines: Vec<(Mention, u32)>,
    /// Fates of cells.
    pub fates: Vec<Option<Fate>>,
    /// Block that each cell was read by.
    pub owners: Vec<Option<u32>>,
    /// Questions.
    pub holds: Holds,
    /// Facts of temperature tables and the like, waiting to be joined by machine and date.
    pub(crate) joins: Vec<temperature::Join>,
    /// Lines of the present table that tell a circumstance of others, column by column.
    pub(crate) across: across::Across,
    /// What the lines of the present table tell together.
    together: together::Together,
    /// Dates that a title tells for columns of the present table.
    pub(crate) named_dates: BTreeMap<u32, Told<windrow_model::PartialDate>>,
    /// What the present block tells of the years of its days, once it was asked.
    years: Option<yearless::Years>,
    /// What the sheet explains of the months of seasons, once it was asked for.
    habits: Option<Vec<windrow_text::date::Habit>>,
    /// Whether a note says that ditto marks repeat what stands at their left.
    dittos_repeat_the_left: bool,
    /// Texts that say whether the day or the month comes first.
    stated_orders: Vec<stated_order::Stated>,
    /// Clauses of notes that say of which columns blank cells are as those above them.
    blanks_as_above: Vec<String>,
    /// Whether any title is the name of a part that is no winding.
    titles_name_parts: bool,
    pub(crate) block: usize,
}

impl<'s, 'v, 'a> Reader<'s, 'v, 'a> {
    /// Reads all blocks of a scene.
    #[must_use]
    pub fn read(scene: &'s Scene<'v, 'a>, around: Around<'s>) -> Self {
        let view = scene.view;
        let cells = view.grid.cells.len();
        let mut sheet_marks = Marks::default();
        for item in view.items() {
            sheet_marks.add(view.cell(item), view.sense(item));
        }
        let mut reader = Self {
            scene,
            view,
            around,
            sheet_marks,
            groups: Vec::new(),
            by_key: BTreeMap::new(),
            machines: Vec::new(),
            fates: vec![None; cells],
            owners: vec![None; cells],
            holds: Holds::default(),
            joins: Vec::new(),
            named_dates: BTreeMap::new(),
            across: across::Across::default(),
            together: together::Together::default(),
            years: None,
            habits: None,
            stated_orders: stated_order::all(view),
            dittos_repeat_the_left: cell::dittos_repeat_the_left(scene),
            blanks_as_above: name::blanks_as_above(scene),
            titles_name_parts: foreign::titles_name_parts(scene),
            block: 0,
        };
        for block in 0..scene.blocks.len() {
            reader.block = block;
            match &scene.blocks[block].body {
                Body::Table(table) => reader.read_table(*table),
                Body::Pairs(pairs) => reader.read_pairs(pairs),
                Body::Prose(passage) => {
                    if let Some(passage) = scene.passages.get(*passage) {
                        reader.read_passage(passage);
                    }
                }
            }
        }
        reader.note_results();
        reader.doubt_twins();
        reader.doubt_names_left_unread();
        reader.hear_witnesses();
        reader.note_gaps();
        reader.register_forms();
        reader.finish_loose();

        reader.join();
        reader.note_computed();
        reader.note_card();
        reader
    }

    /// Tells tests that stand beside held numbers of the same block.
    fn note_gaps(&mut self) {
        let mut rows: std::collections::BTreeSet<(usize, u32)> = std::collections::BTreeSet::new();
        for item in self.view.items() {
            let held =
                self.fates[item.cell as usize].as_ref().is_some_and(|fate| fate.disposition == Disposition::Held);
            if let (true, Some(owner)) = (held, self.owners[item.cell as usize]) {
                rows.insert((owner as usize, item.row));
            }
        }
        for group in &mut self.groups {
            let is_form = matches!(self.scene.blocks[group.block].body, Body::Pairs(_));
            group.lacks_some = if is_form {
                rows.range((group.block, 0)..=(group.block, u32::MAX)).next().is_some()
            } else {
                group.pending.iter().any(|pending| rows.contains(&(group.block, pending.row)))
            };
        }
    }

    /// Sets the fate of a cell; what is held stays held, what became a value stays one.
    pub(crate) fn mark(&mut self, item: &Item, disposition: Disposition, reason: Option<&str>) {
        let rank = |disposition: Disposition| match disposition {
            Disposition::Held => 6,
            Disposition::Value => 5,
            Disposition::Derived => 4,
            Disposition::Repeat => 3,
            Disposition::Label => 2,
            Disposition::Decor => 1,
            Disposition::Unread => 0,
        };
        let Some(slot) = self.fates.get_mut(item.cell as usize) else { return };
        if slot.as_ref().is_none_or(|fate| rank(fate.disposition) < rank(disposition)) {
            *slot = Some(Fate { disposition, reason: reason.map(Text::from) });
        }
        if let Some(owner) = self.owners.get_mut(item.cell as usize) {
            *owner = owner.or(u32::try_from(self.block).ok());
        }
    }

    /// An attribute told by a cell.
    pub(crate) fn told<T>(&self, value: T, via: Via, item: &Item) -> Told<T> {
        let cell = self.view.cell(item);
        // A name of the container is no place of the source.
        if cell.synthetic {
            return Told::without_place(value, via, cell.text.clone());
        }
        Told::at(value, via, cell.text.trim(), self.place(item))
    }

    pub(crate) fn place(&self, item: &Item) -> Place {
        Place::new(self.view.grid.name.as_deref(), self.view.cell(item).place())
    }

    /// Evidence on the order of day and month of a date with these meanings, nearest first.
    pub(crate) fn date_levels(&self, column: Count, meanings: &[DateMeaning]) -> [Count; 5] {
        use windrow_model::settings::DateOrder;
        let setting = match self.around.settings.reading.date_order {
            Some(DateOrder::DayFirst) => Count { first: 1, second: 0 },
            Some(DateOrder::MonthFirst) => Count { first: 0, second: 1 },
            None => Count::default(),
        };
        let book = self.around.book.date_order;
        let others = || self.around.folder.order_of_others(meanings);
        let folder = if book == Count::default() { others() } else { Count::default() };
        [column, self.view.pools.date_order, book, folder, setting]
    }

    /// Evidence on the decimal mark, nearest first.
    pub(crate) fn decimal_levels(&self, column: Marks) -> [Option<Mark>; 4] {
        [
            column.decimal(),
            self.sheet_marks.decimal(),
            self.around.book.marks.decimal(),
            self.around.folder.marks.decimal(),
        ]
    }

    /// Whether an open mark between digits must be a thousands mark.
    pub(crate) fn proves_thousands(&self, column: Marks) -> bool {
        !column.are_of_several()
            && [column, self.sheet_marks, self.around.book.marks].iter().any(crate::value::Marks::proves_thousands)
    }
}

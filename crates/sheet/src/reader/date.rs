//! When: from the column's header, the line, the block, a title, the sheet's name.

use super::Reader;
use super::line::Line;
use crate::column::Column;
use crate::context::Found;
use crate::dates::{self, DateTold};
use crate::hold::Hold;
use crate::loose::{Caption, Pair};
use crate::pool::Count;
use crate::sense::Kind;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Disposition, PartialDate, Precision, Question};
use windrow_text::date::{DateMeaning, Order};
use windrow_text::vocabulary::Concept;

/// When a reading was taken, as far as told.
#[derive(Debug, Clone, PartialEq)]
pub(super) enum When {
    /// Not told.
    Untold,
    /// One date.
    Known(Told<PartialDate>),
    /// The order of day and month is open; what is certain, if anything.
    Open(Option<Told<PartialDate>>, Item),
    /// A text that can be no date, or different dates that nothing chooses between.
    Unclear(Item),
}

impl Reader<'_, '_, '_> {
    /// The date told by a cell.
    pub(super) fn date_of(&mut self, item: &Item, via: Via, column: Count) -> When {
        if let Some(date) = self.ruled_date(item) {
            return When::Known(date);
        }
        let cell = self.view.cell(item);
        let mut meanings = dates::meanings(cell, self.view.sense(item));
        if meanings.is_empty() && via == Via::Column {
            meanings = windrow_text::date::find_in(&cell.text).unwrap_or_default();
        }
        if meanings.is_empty() {
            meanings = self.days_in_year(item);
        }
        let looks_like_one = windrow_source::shape::of(&cell.text) == windrow_source::shape::Shape::Date;
        if meanings.is_empty() && (looks_like_one || windrow_text::date::impossible(&cell.text)) {
            self.hold_date(item, Question::Date, Vec::new());
            return When::Unclear(*item);
        }
        self.when(&meanings, item, via, column)
    }

    /// "Delivery, 03.11.2015": the day behind the name of a stage, where no column of dates stands before it.
    pub(super) fn date_by_stage(&mut self, line: &mut Line, item: &Item) {
        let is_dated = line.fields.iter().any(|(concept, _)| *concept == Concept::Date);
        let meanings = windrow_text::date::find_in(&self.view.cell(item).text).unwrap_or_default();
        let is_day = |meaning: &DateMeaning| !meaning.bare_number && meaning.date.precision == Precision::Day;
        if !is_dated && !meanings.is_empty() && meanings.iter().all(is_day) {
            line.when = self.when(&meanings, item, Via::Row, Count::default());
            line.origin.1 = Some(item.cell);
        }
    }

    /// Settles meanings of the date in `item`.
    pub(super) fn when(&mut self, meanings: &[DateMeaning], item: &Item, via: Via, column: Count) -> When {
        let text = self.view.grid.cells.get(item.cell as usize).map(|cell| cell.text.clone()).unwrap_or_default();
        if meanings.is_empty() {
            return When::Untold;
        }
        let levels = self.ruled_order(item).or_else(|| self.stated_order(item, column));
        let levels = levels.map_or_else(|| self.date_levels(column, meanings).to_vec(), |order| vec![order]);
        match dates::settle(meanings, &text, &levels) {
            DateTold::Known(date) => {
                let when = When::Known(self.told(date, via, item));
                self.refined_by_season(when, item)
            }
            DateTold::Impossible => {
                self.hold_date(item, Question::Date, Vec::new());
                When::Unclear(*item)
            }
            // "Night of 11 to 12 May": each reading is asked about, for it was one of the days.
            DateTold::Open(open) if open.iter().all(|meaning| meaning.order == Order::Named) => When::Unclear(*item),
            DateTold::Open(open) => {
                self.hold_date(
                    item,
                    Question::DateOrder,
                    open.iter().map(|meaning| meaning.date.to_string()).collect(),
                );
                When::Open(dates::common(&open).map(|date| self.told(date, via, item)), *item)
            }
        }
    }

    fn hold_date(&mut self, item: &Item, question: Question, choices: Vec<String>) {
        let (cause, context) = match question {
            Question::DateOrder => (
                format!("order of day and month, column {}", item.column),
                "every date of the column, sheet, file and folder can be read both ways".to_owned(),
            ),
            _ => (
                format!("date {}:{}", item.row, item.column),
                "no calendar has this day, or it lies in no plausible year".to_owned(),
            ),
        };
        self.mark(item, Disposition::Held, Some("which date is meant?"));
        self.holds.ask(cause, item.cell, || Hold { question, choices, context, cells: Vec::new() });
    }

    /// Asks when a reading was taken; where the text at `at` tells two days that follow each other, which of them.
    pub(super) fn ask_day(&mut self, item: &Item, at: &Item, column: &Column) {
        let text = self.view.cell(at).text.clone();
        let days = windrow_text::date::find_in(&text).unwrap_or_default();
        if days.len() < 2 || days.iter().any(|meaning| meaning.order != Order::Named) {
            self.ask(item, Question::Date, "date", column, Vec::new());
            return;
        }
        self.mark(item, Disposition::Held, Some("which of two days is not told"));
        self.holds.ask(format!("day of cell {}", at.cell), item.cell, || Hold {
            question: Question::Date,
            choices: days.iter().map(|meaning| meaning.date.to_string()).collect(),
            context: format!("{text:?} names two days: on which of them this was measured is not told"),
            cells: Vec::new(),
        });
    }

    /// Asks about true dates among texts that the sheet could not read as dates: their day and month may be swapped.
    pub(super) fn hold_half_converted(&mut self, item: &Item) {
        self.mark(item, Disposition::Held, Some("day and month may have been swapped when the text was converted"));
        let context = "the texts of this column are month first, and all true dates have a day below 13: the sheet took them for day first";
        self.holds.ask(format!("half converted dates, column {}", item.column), item.cell, || Hold {
            question: Question::Date,
            choices: vec!["as it stands".to_owned(), "swapped".to_owned()],
            context: context.to_owned(),
            cells: Vec::new(),
        });
    }

    /// The date that the block tells.
    pub(super) fn block_date(&mut self) -> When {
        let last = self.scene.blocks.iter().map(|block| block.rows.1).max().unwrap_or(0);
        let tell = |caption: &Caption| {
            let is_below = caption.item.row > last;
            let told = caption.dates.first();
            let told = told.filter(|_| may_date(caption, is_below) || !is_below && self.is_dated_apart(caption));
            told.map(|meaning| meaning.date.to_string())
        };
        let captioned = self.scene.identity_caption(self.block, tell);
        let nearer = matches!(captioned, Found::One(_, Via::Block));
        match self.scene.pair(self.block, Concept::Date) {
            // What stands right above this block comes before what the section told.
            Found::One(_, Via::Section | Via::Sheet) | Found::Many(_) if nearer => {}
            Found::One(index, via) => {
                let scene = self.scene;
                let pair = &scene.loose.pairs[index];
                let meanings = dates::meanings(pair.cell(self.view), pair.sense(self.view));
                if let Some((meanings, above)) = self.repeated_date(pair) {
                    return self.when(&meanings, &above, via, Count::default());
                }
                return if meanings.is_empty() && windrow_text::date::impossible(&pair.cell(self.view).text) {
                    self.hold_date(&pair.value, Question::Date, Vec::new());
                    When::Unclear(pair.value)
                } else {
                    self.when(&meanings, &pair.value, via, Count::default())
                };
            }
            Found::Many(indices) => {
                let item = indices.first().map(|index| self.scene.loose.pairs[*index].value);
                return item.map_or(When::Untold, When::Unclear);
            }
            Found::Nothing => {}
        }
        match captioned {
            Found::One(index, via) => {
                let caption = &self.scene.loose.captions[index];
                let (dates, item) = (caption.dates.clone(), caption.item);
                self.when(&dates, &item, via, Count::default())
            }
            Found::Many(indices) => {
                let item = indices.first().map(|index| self.scene.loose.captions[*index].item);
                item.map_or(When::Untold, When::Unclear)
            }
            Found::Nothing => self.name_date(),
        }
    }

    /// "Date | ditto" in the next of several forms below each other: the date that stands under the same label in the form above.
    fn repeated_date(&self, pair: &Pair) -> Option<(Vec<DateMeaning>, Item)> {
        if pair.sense(self.view).kind != Kind::Ditto || pair.inline.is_some() {
            return None;
        }
        let label = |pair: &Pair| self.view.cell(&pair.label).text.trim();
        let is_above = |other: &&Pair| {
            let is_same = other.inline.is_none() && label(other) == label(pair);
            is_same && other.label.column == pair.label.column && other.label.row < pair.label.row
        };
        let above = self.scene.loose.pairs.iter().filter(is_above);
        let told = above.filter(|other| other.sense(self.view).kind != Kind::Ditto);
        let nearest = told.max_by_key(|other| other.label.row)?;
        let is_date = nearest.heading.concept() == Some(Concept::Date);
        is_date.then(|| (dates::meanings(nearest.cell(self.view), nearest.sense(self.view)), nearest.value))
    }

    /// "Rewound in class H. Tests on completion, 19 September 2013": whether the one sentence of a title that tells a day tells it of tests
    /// and of nothing else.
    fn is_dated_apart(&self, caption: &Caption) -> bool {
        let text = &self.view.cell(&caption.item).text;
        let told = |piece: &&str| windrow_text::date::find_in(piece).is_some();
        let pieces: Vec<&str> = text.split(". ").filter(told).collect();
        let [piece] = pieces.as_slice() else { return false };
        let own = crate::loose::caption(piece, &caption.item);
        let names_test = own.concepts.iter().any(|concept| {
            matches!(concept, Concept::TestKind | Concept::Date) || crate::fit::quantity(*concept).is_some()
        });
        names_test && own.dates == caption.dates && may_date(&own, false)
    }

    fn name_date(&self) -> When {
        let Some((meanings, via, name)) = self.around.names.dates() else { return When::Untold };
        match dates::settle(meanings, name, &self.date_levels(Count::default(), meanings)) {
            DateTold::Known(date) => When::Known(Told::without_place(date, via, name)),
            _ => When::Untold,
        }
    }
}

/// Whether the date in a text may be that of the tests: it explains no sign, and it is not said to be that of something else; below
/// all tables it must say that it is the date of the test, for there stand dates of print, of issue and of what was done next.
fn may_date(caption: &Caption, is_below: bool) -> bool {
    let says = |concept: Concept| caption.concepts.contains(&concept);
    let is_of_else = [Concept::OtherDate, Concept::MadeYear, Concept::Rewound].into_iter().any(says);
    caption.footnote.is_none() && (says(Concept::Date) || !is_below && !is_of_else)
}

//! Circumstances that a line tells more than once, or for some of its readings only.

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::ReadTable;
use crate::cut::BodyLine;
use crate::hold::Hold;
use crate::pool::Count;
use crate::view::Item;
use std::collections::BTreeMap;
use windrow_model::{Disposition, Question};
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Fields that speak of the readings of `column` only: those under the same date or machine ("Winding °C" under 1987), those of
    /// its group, those that it takes turns with.
    pub(super) fn apply_fellows(
        &mut self,
        read: &ReadTable,
        body: &BodyLine,
        column: &Column,
        line: &mut Line,
        counts: &BTreeMap<u32, Count>,
    ) {
        let own: Vec<u32> = read.fellows.of(column.column).collect();
        for field in &read.columns {
            let Role::Field(concept) = field.role else { continue };
            let is_own = own.contains(&field.column) || self.is_near(read, field, column);
            let item = body.items.iter().find(|item| item.column == field.column).filter(|_| is_own);
            if let Some(item) = item {
                let count = counts.get(&field.column).copied().unwrap_or_default();
                self.apply(line, concept, item, &field.heading, count, true);
                line.is_dated_by_group |= concept == Concept::Date;
            }
        }
    }

    /// Whether all columns from one to the other stand under the same date or machine.
    fn is_near(&self, read: &ReadTable, field: &Column, column: &Column) -> bool {
        let (from, to) = (field.column.min(column.column), field.column.max(column.column));
        let mut between = read.columns.iter().filter(|between| (from..=to).contains(&between.column));
        between.all(|between| between.shares_group(column, self.view))
    }

    /// Columns that tell the same circumstance, none nearer to any reading: equal values are one, different ones are asked about.
    pub(super) fn apply_rivals(
        &mut self,
        read: &ReadTable,
        body: &BodyLine,
        line: &mut Line,
        counts: &BTreeMap<u32, Count>,
    ) {
        for (concept, rivals) in read.fellows.rivals() {
            let items: Vec<Item> = body.items.iter().filter(|item| rivals.contains(&item.column)).copied().collect();
            let Some(first) = items.first() else { continue };
            let text = |item: &Item| self.view.cell(item).text.trim();
            if items.iter().all(|item| text(item) == text(first)) {
                for item in &items {
                    let field = read.columns.iter().find(|column| column.column == item.column);
                    let count = counts.get(&item.column).copied().unwrap_or_default();
                    if let Some(field) = field {
                        self.apply(line, *concept, item, &field.heading, count, true);
                    }
                }
                continue;
            }
            if *concept == Concept::Date {
                line.when = When::Unclear(*first);
            }
            // What a title tells of the whole sheet does not settle it either.
            line.fields.push((*concept, *first));
            for item in &items {
                self.hold_rival(item, *concept);
            }
        }
    }

    fn hold_rival(&mut self, item: &Item, concept: Concept) {
        let context = "other columns of the line tell another one, and none stands nearer to any reading";
        self.mark(item, Disposition::Held, Some(context));
        let question = match concept {
            Concept::Date => Question::Date,
            Concept::Elapsed => Question::Elapsed,
            Concept::TestVoltage => Question::Voltage,
            _ => Question::Layout,
        };
        self.holds.ask(format!("which {}, column {}", concept.code(), item.column), item.cell, || Hold {
            question,
            choices: Vec::new(),
            context: context.to_owned(),
            cells: Vec::new(),
        });
    }
}

//! Numbers that words say are not of this winding, or not of this test: a heater's, a cable's, a bearing's, one that was copied from an
//! earlier year.

use super::Reader;
use super::line::Line;
use crate::column::{Column, Role};
use crate::context::{Body, Scene};
use crate::loose::{Caption, sign_key};
use crate::view::{Item, Orientation};
use windrow_model::Disposition;
use windrow_text::figures::{Part, says_taken_over};
use windrow_text::vocabulary::Concept;

const OF_OTHER_PART: &str = "of a part that is no winding";

/// Whether any title is the name of a part that is no winding.
pub(super) fn titles_name_parts(scene: &Scene<'_, '_>) -> bool {
    titles(scene).any(|title| scene.view.sense(title).part == Some(Part::Whole))
}

/// Titles, with those of which a number before them made a value of no table ("4. Space heater").
fn titles<'s>(scene: &'s Scene<'_, '_>) -> impl Iterator<Item = &'s Item> {
    scene.loose.captions.iter().map(|caption| &caption.item).chain(&scene.loose.rest)
}

impl Reader<'_, '_, '_> {
    /// What becomes of a number that is none of this winding or none of this test, and why.
    pub(super) fn foreign(&self, item: &Item, column: &Column, line: &Line) -> Option<(Disposition, &'static str)> {
        if self.is_taken_over(column) {
            return Some((Disposition::Derived, "a note says that its column was taken over from elsewhere"));
        }
        let heads_alone = column.heading.items.len() == 1;
        let of_heading = |item: &Item| match self.view.sense(item).part {
            Some(Part::Whole | Part::Named) => true,
            Some(Part::Cable | Part::Feeder) => heads_alone,
            None => false,
        };
        let mut labels = line.label.iter().flat_map(|label| &label.items);
        let of_label =
            |item: &Item| matches!(self.view.sense(item).part, Some(Part::Whole | Part::Named | Part::Cable));
        let is_foreign = self.view.sense(item).denies_winding
            || column.heading.items.iter().any(of_heading)
            || labels.any(of_label)
            || self.line_is_of_other_part(item)
            || self.stands_under_other_part(item.row);
        is_foreign.then_some((Disposition::Unread, OF_OTHER_PART))
    }

    /// Whether a cell of the table's line names the part ("Part | cable", "Test | Bearing insulation"), or a remark denies the winding.
    fn line_is_of_other_part(&self, item: &Item) -> bool {
        let Some(Body::Table(table)) = self.scene.blocks.get(self.block).map(|block| &block.body) else { return false };
        let Some(read) = self.scene.tables.get(*table) else { return false };
        let is_told = |other: &Item| {
            let sense = self.view.sense(other);
            let role = read.columns.iter().find(|column| column.column == other.column).map(|column| column.role);
            match role {
                Some(Role::Field(Concept::Circuit | Concept::TestKind | Concept::WindingKind)) => {
                    matches!(sense.part, Some(Part::Whole | Part::Named | Part::Cable))
                }
                Some(Role::Unknown) => matches!(sense.part, Some(Part::Whole | Part::Cable)) || sense.denies_winding,
                Some(Role::Field(Concept::Remarks)) => sense.denies_winding,
                _ => false,
            }
        };
        let line = self.view.line(self.view.line_at(item.row));
        line.iter().filter(|other| other.row == item.row).any(is_told) || self.stands_under_other_part(read.table.top())
    }

    /// Whether the nearest title above, alone in its line, names such a part ("4. Space heater").
    fn stands_under_other_part(&self, row: u32) -> bool {
        if !self.titles_name_parts || self.view.orientation != Orientation::Upright {
            return false;
        }
        let last = titles(self.scene).filter(|title| title.row < row).max_by_key(|title| title.row);
        last.is_some_and(|title| {
            // Beside other tables it is the title of one of them only.
            let is_alone = self.view.line(self.view.line_at(title.row)).len() == 1;
            is_alone && self.view.sense(title).part == Some(Part::Whole)
        })
    }

    /// "1998*" over a column, and below "* 1998 not measured, figures copied from 1996".
    fn is_taken_over(&self, column: &Column) -> bool {
        let is_said = |note: &Caption| {
            let Some(sign) = note.footnote.as_deref().map(sign_key).filter(|sign| !sign.is_empty()) else {
                return false;
            };
            let bears = |item: &Item| {
                let text = self.view.cell(item).text.trim_end_matches([')', ']', ' ']);
                text.strip_suffix(sign).is_some_and(|rest| !rest.trim().is_empty() && !rest.ends_with(sign))
            };
            says_taken_over(&self.view.cell(&note.item).text) && column.heading.items.iter().any(bears)
        };
        self.scene.footnotes.iter().any(is_said)
    }
}

//! Lines of a form that look like headings: "Ship | Auk Bay | Tag | BT-MTR" over "kW | 590 | Volts | 660".

use super::header::Cutter;
use crate::line;
use crate::sense::Kind;
use crate::view::Item;
use windrow_text::vocabulary::Concept;

impl Cutter<'_, '_> {
    /// Whether labels and values stand by turns in a line and, in the same columns, in the line below: under headings stand values.
    pub(super) fn is_line_of_turns(&self, at: usize, segment: &[Item]) -> bool {
        let view = self.view;
        let below = if view.row(at + 1) == view.row(at) + 1 { view.line(at + 1) } else { &[] };
        let is_name = |item: &Item| {
            let sense = view.sense(item);
            line::is_value(view, item) || !sense.label.unexplained.is_empty() || !sense.is_label()
        };
        let names = segment.iter().skip(1).step_by(2).filter(|item| is_name(item)).count();
        segment.len() >= 4
            && segment.len().is_multiple_of(2)
            && below.len() >= 4
            && below.iter().zip(segment).all(|(one, other)| one.column == other.column)
            && [segment, below].iter().all(|items| self.has_labels_by_turns(items))
            && names >= 1
            && below.iter().skip(1).step_by(2).any(|item| line::is_value(view, item))
    }

    /// Whether every other cell, from the first on, is the label or unit of one thing that no other of them names.
    fn has_labels_by_turns(&self, items: &[Item]) -> bool {
        let mut known: Vec<(Option<Concept>, &str)> = Vec::new();
        items.iter().step_by(2).all(|item| {
            let (sense, text) = (self.view.sense(item), self.view.cell(item).text.trim());
            let is_label = sense.is_pure_label() && sense.label.unexplained.is_empty() && sense.measure.is_none();
            let concept = sense.concept();
            let is_new = known.iter().all(|(other, name)| *name != text && (concept.is_none() || *other != concept));
            known.push((concept, text));
            is_label && is_new && (concept.is_some() || sense.is_unit_only())
        })
    }

    /// "Phases to earth | | | Between phases" over "U - E | 350 | MΩ | U - V | 520 | MΩ": titles of forms side by side, each over labels with
    /// a value and its unit, and no headings of columns.
    pub(super) fn heads_lines_of_forms(&self, at: usize, segment: &[Item]) -> bool {
        let next = at + 1;
        if segment.len() < 2 || next >= self.view.line_count() || self.view.row(next) > self.view.row(at) + 1 {
            return false;
        }
        let below = self.view.line(next);
        let forms: Vec<&[Item]> = below.chunks(3).collect();
        let is_form = |three: &&[Item]| {
            let [label, value, unit] = *three else { return false };
            let is_named = !self.view.sense(label).circuits.is_empty() && !line::is_value(self.view, label);
            let is_number = matches!(self.view.sense(value).kind, Kind::Number | Kind::Over);
            is_named && is_number && line::names_unit(self.view.sense(unit))
        };
        forms.len() == segment.len()
            && forms.iter().all(is_form)
            && forms
                .iter()
                .zip(segment)
                .all(|(form, title)| form.first().map(|label| label.column) == Some(title.column))
    }
}

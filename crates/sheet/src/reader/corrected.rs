//! Whether the source had corrected a value, and to which temperature.

use super::Reader;
use super::line::Line;
use super::reading::Extra;
use crate::column::Column;
use crate::context::Found;
use crate::fit::speaks_of;
use windrow_model::{Quantity, Reported};
use windrow_text::measure::Condition;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Whether the source had corrected the value, and to which temperature.
    pub(super) fn reported(
        &self,
        quantity: Quantity,
        column: &Column,
        line: &Line,
        extra: &Extra,
    ) -> (Reported, Option<f64>) {
        if let Some(reference) = extra.corrected {
            return (Reported::Corrected, reference);
        }
        for heading in [line.label.as_ref(), Some(&column.heading)].into_iter().flatten() {
            if heading.reference_c.is_some() || heading.concept() == Some(Concept::CorrectedResistance) {
                return (Reported::Corrected, heading.reference_c.as_ref().map(|by| by.value));
            }
        }
        // Where a column says that it is corrected, the others are not.
        let told_by_column = self.scene.tables.iter().flat_map(|read| &read.columns).any(|other| {
            other.heading.reference_c.is_some() || other.heading.concept() == Some(Concept::CorrectedResistance)
        });
        if told_by_column {
            return (Reported::AsRead, None);
        }
        let tell = |caption: &crate::loose::Caption| {
            let speaks = caption.corrected && caption.footnote.is_none() && speaks_of(caption, quantity);
            speaks.then(|| "corrected".to_owned())
        };
        if let Found::One(index, _) = self.scene.caption(self.block, tell) {
            return (
                Reported::Corrected,
                self.scene.loose.captions[index].heading.reference_c.as_ref().map(|by| by.value),
            );
        }
        (Reported::AsRead, None)
    }

    /// Reference temperature if a footnote explains the sign behind a value as "corrected".
    pub(super) fn footnote_corrected(&self, sign: Option<&str>) -> Option<Option<f64>> {
        let caption = self.footnote(sign?)?;
        caption.corrected.then(|| caption.heading.reference_c.as_ref().map(|by| by.value))
    }

    /// Conditions that the footnote of the sign behind a value tells ("* at 500 V").
    pub(super) fn footnote_conditions(&self, sign: Option<&str>) -> Vec<Condition> {
        let caption = sign.and_then(|sign| self.footnote(sign)).filter(|caption| !caption.corrected);
        let text = caption.map(|caption| self.view.cell(&caption.item).text.trim()).unwrap_or_default();
        let meaning = text.strip_prefix(sign.unwrap_or_default()).unwrap_or_default();
        windrow_text::remark::conditions(meaning.trim_start_matches([' ', '=', ':', '-', '–']))
    }

    fn footnote(&self, sign: &str) -> Option<&crate::loose::Caption> {
        self.scene.footnotes.iter().find(|caption| caption.footnote.as_deref() == Some(sign.trim()))
    }
}

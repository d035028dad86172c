//! What becomes of cells outside tables.

use super::Reader;
use windrow_model::Disposition;
use windrow_text::vocabulary::Concept;

impl Reader<'_, '_, '_> {
    /// Marks pairs, captions and the rest.
    pub(super) fn finish_loose(&mut self) {
        let scene = self.scene;
        for item in &scene.absorbed {
            self.mark(item, Disposition::Label, Some("header"));
        }
        for pair in &scene.loose.pairs {
            if pair.is_reading(self.view) {
                continue;
            }
            let disposition = match pair.heading.concept() {
                _ if pair.heading.statistic.is_some() => Disposition::Label,
                Some(
                    Concept::Page
                    | Concept::RowNumber
                    | Concept::Witness
                    | Concept::OtherDate
                    | Concept::OtherPlate
                    | Concept::OtherFigure,
                ) => Disposition::Decor,
                Some(Concept::Limit) => Disposition::Label,
                Some(Concept::CorrectionFactor) => Disposition::Derived,
                Some(_) => Disposition::Value,
                None => Disposition::Unread,
            };
            if pair.label.cell != pair.value.cell {
                self.mark(&pair.label, Disposition::Label, Some("label"));
            }
            if let Some(unit) = &pair.unit {
                self.mark(unit, Disposition::Label, Some("unit"));
            }
            self.mark(
                &pair.value,
                disposition,
                (disposition == Disposition::Unread).then_some("the label before it is not known"),
            );
        }
        for caption in &scene.loose.captions {
            let heading = &caption.heading;
            let tells = !heading.concepts.is_empty()
                || heading.units.is_some()
                || !heading.circuits.is_empty()
                || heading.elapsed_s.is_some()
                || heading.voltage_v.is_some()
                || caption.tag.is_some()
                || !caption.dates.is_empty()
                || caption.ceiling.is_some()
                || caption.footnote.is_some();
            if tells {
                self.mark(&caption.item, Disposition::Label, Some("title or note"));
            } else {
                self.mark(&caption.item, Disposition::Decor, Some("tells nothing about readings"));
            }
        }
        for item in &scene.loose.unfilled {
            self.mark(item, Disposition::Label, Some("label without a value"));
        }
        for item in &scene.loose.rest {
            self.mark(item, Disposition::Unread, Some("stands in no table, and no label says what it is"));
        }
        for item in self.view.items() {
            self.mark(item, Disposition::Unread, Some("not understood"));
        }
    }
}

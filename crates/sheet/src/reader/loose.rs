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
                _ if pair.is_set(self.view) => Disposition::Label,
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
            let told = &self.view.cell(&caption.item).text;
            let ends_range = caption.ceiling.is_some() || windrow_text::explained::end_of_range(told).is_some();
            if !ends_range && tells_resistance(told) {
                self.mark(
                    &caption.item,
                    Disposition::Unread,
                    Some("tells a resistance in words, which nobody has read"),
                );
            } else if tells {
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

/// Whether a text tells a number with a unit of resistance ("Fan B gave 38 Meg at 1 min") that is no limit.
fn tells_resistance(text: &str) -> bool {
    let words: Vec<&str> =
        text.split_whitespace().map(|word| word.trim_matches([',', ';', ':', '.', '(', ')'])).collect();
    let is_limit = || {
        let label = windrow_text::header::read(text);
        label.statistic.is_some() || label.weight(Concept::Limit) > 0.0
    };
    let is_terminal = |two: &&[&str]| {
        let is_number = |word: &str| word.starts_with(|c: char| c.is_ascii_digit());
        matches!(two, [pair, number] if is_number(number) && windrow_text::circuit::read(pair).iter().any(|meaning| meaning.weight >= 0.9))
    };
    // "U-V 0.1482, V-W 0.1484": values behind their terminals.
    let are_listed = words.windows(2).filter(is_terminal).count() >= 2;
    (windrow_text::remark::tells_resistance(text) || are_listed) && !is_limit()
}

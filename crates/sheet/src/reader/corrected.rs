//! Whether the source had corrected a value, and to which temperature.

use super::Reader;
use super::date::When;
use super::line::Line;
use super::reading::Extra;
use crate::column::Column;
use crate::context::{Body, Found};
use crate::fit::speaks_of;
use crate::loose::{self, Caption, sign_key};
use crate::pool::Count;
use crate::view::Item;
use windrow_model::raw::{Told, Via};
use windrow_model::{Quantity, Reported, Text};
use windrow_text::measure::Condition;
use windrow_text::said::{Said, said};
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
            let is_said = heading.concept() == Some(Concept::CorrectedResistance);
            let reference = heading.reference_c.as_ref().map(|by| by.value);
            // "R U-V at 20 °C" below "winding at 20 °C": nothing was corrected.
            if !is_said && reference.is_some() && reference == line.winding.as_ref().map(|told| told.value) {
                return (Reported::AsRead, None);
            }
            if reference.is_some() || is_said {
                return (Reported::Corrected, reference);
            }
        }
        // Nobody corrects a ratio of two resistances of one test: a title on corrected values speaks of those beside it.
        if matches!(quantity, Quantity::PolarizationIndex | Quantity::AbsorptionRatio | Quantity::Unbalance) {
            return (Reported::AsRead, None);
        }
        if let Some(reference) = line.remarks.iter().find_map(reference_of_remark) {
            return (Reported::Corrected, Some(reference));
        }
        // Where a column says that it is corrected, the others of its table are not, nor are those of other tables unless a title of
        // their own says so.
        let tells = |other: &Column| {
            other.heading.reference_c.is_some() || other.heading.concept() == Some(Concept::CorrectedResistance)
        };
        let by_own = match self.scene.blocks[self.block].body {
            Body::Table(table) => self.scene.tables[table].columns.iter().any(tells),
            Body::Pairs(_) | Body::Prose(_) => false,
        };
        if by_own {
            return (Reported::AsRead, None);
        }
        let by_others = self.scene.tables.iter().flat_map(|read| &read.columns).any(tells);
        // "Insulation corrected to 40 °C" over a sheet says nothing of the currents of a table below.
        let is_of_resistance = |caption: &Caption| {
            let has = |concept| caption.concepts.contains(&concept);
            has(Concept::InsulationResistance) && !has(Concept::LeakageCurrent)
        };
        let tell = |caption: &Caption| {
            let is_other = quantity == Quantity::LeakageCurrent && is_of_resistance(caption);
            let speaks = caption.corrected && caption.footnote.is_none() && speaks_of(caption, quantity) && !is_other;
            speaks.then(|| "corrected".to_owned())
        };
        if let Some(told) = self.remark_corrects_all() {
            return (Reported::Corrected, told);
        }
        if let Found::One(index, via) = self.scene.caption(self.block, tell)
            && (via == Via::Block || !by_others)
            && self.column_under(&self.scene.loose.captions[index].item).is_none_or(|under| under == column.column)
        {
            return (
                Reported::Corrected,
                self.scene.loose.captions[index].heading.reference_c.as_ref().map(|by| by.value),
            );
        }
        (Reported::AsRead, None)
    }

    /// The reference temperature of "Note: all values are corrected to 40 °C", told as a remark of the sheet.
    fn remark_corrects_all(&self) -> Option<Option<f64>> {
        let remarks = self.scene.loose.pairs.iter().filter(|pair| pair.heading.concept() == Some(Concept::Remarks));
        let mut sentences = remarks.flat_map(|pair| pair.cell(self.view).text.split(['.', ';']).collect::<Vec<_>>());
        let sentence = sentences.find(|sentence| crate::loose::corrects_all(sentence))?;
        Some(windrow_text::header::read(sentence).reference_c)
    }

    /// The column of the present table that a text right above its header speaks of: "corr. to 25 °C" over the last "Avg".
    fn column_under(&self, item: &Item) -> Option<u32> {
        let Body::Table(table) = self.scene.blocks[self.block].body else { return None };
        let table = &self.scene.tables[table].table;
        let is_right_above = item.row + 1 == table.top() && item.right == item.column && item.column > table.columns.0;
        let mut heads = table.header.first().into_iter().flatten();
        (is_right_above && heads.any(|head| head.column == item.column)).then_some(item.column)
    }

    /// Reference temperature if a footnote explains the sign behind a value as "corrected".
    pub(super) fn footnote_corrected(&self, sign: Option<&str>) -> Option<Option<f64>> {
        let caption = self.footnote(sign?)?;
        caption.corrected.then(|| caption.heading.reference_c.as_ref().map(|by| by.value))
    }

    /// Conditions that the footnote of the sign behind a value tells ("* at 500 V").
    pub(super) fn footnote_conditions(&self, sign: Option<&str>) -> Vec<Condition> {
        let caption = sign.and_then(|sign| self.footnote(sign)).filter(|caption| !caption.corrected);
        let Some(caption) = caption else { return Vec::new() };
        let text = self.text_of_note(caption);
        let meaning = text.strip_prefix(caption.footnote.as_deref().unwrap_or_default()).unwrap_or_default();
        let meaning = meaning.trim_start_matches([' ', '=', ':', '-', '–']);
        let seconds = windrow_text::header::read(meaning).elapsed_s.filter(|_| !meaning.is_empty());
        windrow_text::remark::conditions(meaning).into_iter().chain(seconds.map(Condition::ElapsedS)).collect()
    }

    /// The day that the footnote of the sign behind a value tells of it ("* measured on 15 Nov."); unclear where the note has a day of which
    /// it does not say that it is the test's.
    pub(super) fn footnote_day(&mut self, sign: Option<&str>) -> Option<When> {
        let caption = self.footnote(sign?).filter(|caption| !caption.dates.is_empty())?;
        let (dates, item, text) = (caption.dates.clone(), caption.item, self.text_of_note(caption));
        let folded = windrow_text::fold::fold(&text);
        let tells = |wanted: Said| folded.split(' ').any(|word| said(word).contains(&wanted));
        let is_of_other = [Said::Plan, Said::Earlier, Said::Negation, Said::Event, Said::Bound].into_iter().any(tells);
        if !tells(Said::Measured) || is_of_other {
            return Some(When::Unclear(item));
        }
        Some(self.when(&dates, &item, Via::Block, Count::default()))
    }

    fn footnote(&self, sign: &str) -> Option<&Caption> {
        self.scene.footnotes.iter().find(|caption| caption.footnote.as_deref().map(sign_key) == Some(sign_key(sign)))
    }

    /// What a note says, which may stand in the cell behind its sign.
    fn text_of_note(&self, note: &Caption) -> String {
        let text = self.view.cell(&note.item).text.trim();
        let sign = note.footnote.as_deref().unwrap_or_default();
        match loose::behind_sign(self.view, &note.item) {
            Some(behind) => format!("{text} {behind}"),
            None => loose::note_parts(text).into_iter().find(|part| part.starts_with(sign)).unwrap_or(text).to_owned(),
        }
    }
}

/// "Umgerechnet auf 20 °C" beside a value: to which temperature a remark in its line says that it was corrected, °C. "Entry corrected" may
/// be a slip of the pen that was mended.
fn reference_of_remark(remark: &Told<Text>) -> Option<f64> {
    let is_own = remark.via == Via::Row && !windrow_text::remark::tells_resistance(&remark.value);
    let is_said = || {
        windrow_text::explained::says_corrected(&remark.value)
            && !windrow_text::explained::denies_correction(&remark.value)
    };
    windrow_text::header::read(&remark.value).reference_c.filter(|_| is_own && is_said())
}

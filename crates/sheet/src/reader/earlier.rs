//! Readings of an earlier test that stand beside those of this one: "last year", "previous reading".

use super::Reader;
use super::date::When;
use super::line::Line;
use crate::column::Column;
use windrow_model::PartialDate;
use windrow_model::raw::{Told, Via};
use windrow_text::fold::fold;
use windrow_text::vocabulary::Concept;

/// Words for the year before, folded. Common practice, no source.
const YEAR_BEFORE: &[&str] = &[
    "last year",
    "previous year",
    "prior year",
    "prev year",
    "year before",
    "vorjahr",
    "vorjahreswert",
    "vorjahreswerte",
    "letztes jahr",
    "annee precedente",
    "an dernier",
    "annee derniere",
    "an passe",
    "ano anterior",
    "ano pasado",
];

/// Whether the column or the label of the line says that its numbers are of an earlier test.
pub(super) fn is_earlier(column: &Column, line: &Line) -> bool {
    column.heading.has(Concept::EarlierReading)
        || line.label.as_ref().is_some_and(|label| label.has(Concept::EarlierReading))
}

impl Reader<'_, '_, '_> {
    /// The line of the earlier test: the same machine, of the year before where the heading says so, else of a day that is not told.
    /// What was told of this test (temperatures, remarks, verdicts) holds for this one only.
    pub(super) fn of_earlier(&self, column: &Column, line: &Line) -> Line {
        let heading =
            if column.heading.has(Concept::EarlierReading) { Some(&column.heading) } else { line.label.as_ref() };
        let at = heading.and_then(|heading| heading.items.last().copied());
        let text = heading.map(|heading| fold(&heading.text(self.view))).unwrap_or_default();
        let when = match (&line.when, at) {
            _ if self.named_dates.contains_key(&column.column) => {
                self.named_dates.get(&column.column).cloned().map_or(When::Untold, When::Known)
            }
            (When::Known(told), Some(at)) if YEAR_BEFORE.iter().any(|words| text.contains(words)) => {
                let year = told.value.first.year() - 1;
                PartialDate::year(year).map_or(When::Unclear(at), |date| {
                    When::Known(Told { value: date, ..self.told(date, Via::Column, &at) })
                })
            }
            (_, Some(at)) => When::Unclear(at),
            (when, None) => when.clone(),
        };
        Line {
            when,
            voltage: line.voltage.clone().filter(|told| told.via != Via::Row),
            elapsed: None,
            stage: None,
            round: None,
            winding: None,
            some_temperature: None,
            ambient: None,
            humidity: None,
            dew_point: None,
            outcome: None,
            work_order: None,
            tester: None,
            remarks: Vec::new(),
            ..line.clone()
        }
    }
}

//! When a limit is expected to be met, as a finding tells it. An end that the finding leaves open stays open: none is ever made up.

use crate::Machine;
use crate::plot::axis::{Axis, decimal_year};
use maud::{Markup, PreEscaped, html};
use windrow_model::Finding;

/// Half the height of the mark at an end, pixels.
const END: f64 = 6.0;
/// Years behind the last told day that an open interval is drawn on.
const OPEN: f64 = 2.0;

/// A forecast that can be drawn: days as decimal years.
#[derive(Debug, Clone, Copy)]
pub(crate) struct Outlook<'a> {
    pub(crate) finding: &'a Finding,
    /// What is met, in the unit of the finding.
    pub(crate) limit: f64,
    from: f64,
    middle: Option<f64>,
    to: Option<f64>,
}

impl<'a> Outlook<'a> {
    fn of(finding: &'a Finding) -> Option<Self> {
        Some(Self {
            finding,
            limit: finding.limit?,
            from: decimal_year(finding.forecast_from?),
            middle: finding.forecast_date.map(decimal_year),
            to: finding.forecast_to.map(decimal_year),
        })
    }

    /// Days that an axis must reach.
    pub(crate) fn years(&self) -> impl Iterator<Item = f64> {
        let told = [Some(self.from), self.middle, self.to];
        let last = told.into_iter().flatten().fold(self.from, f64::max);
        told.into_iter().flatten().chain(self.to.is_none().then_some(last + OPEN))
    }

    /// The interval along the limit: a mark at each end that is told, a diamond in the middle, an arrow where the end is open.
    pub(crate) fn drawn(&self, (x, y): (&Axis, &Axis), right: f64) -> Markup {
        let height = y.at(self.limit);
        let start = x.at(self.from);
        let end = self.to.map(|to| x.at(to));
        let words = words(self.finding).unwrap_or_default();
        html! {
            g.forecast {
                (PreEscaped("<title>")) (words) (PreEscaped("</title>"))
                path.span d=(format!("M{start:.1} {height:.1}H{:.1}", end.unwrap_or(right))) {}
                path.end d=(format!("M{start:.1} {:.1}V{:.1}", height - END, height + END)) {}
                @match end {
                    Some(end) => path.end d=(format!("M{end:.1} {:.1}V{:.1}", height - END, height + END)) {},
                    None => path.end d=(format!("M{:.1} {:.1}L{right:.1} {height:.1}L{:.1} {:.1}", right - END, height - END, right - END, height + END)) {},
                }
                @if let Some(middle) = self.middle.map(|middle| x.at(middle)) {
                    path.middle d=(format!("M{middle:.1} {:.1}l{END} {END}l-{END} {END}l-{END} -{END}z", height - END)) {}
                }
            }
        }
    }
}

/// Open findings of a machine that foresee when a limit in `unit` is met.
pub(crate) fn of_machine<'a>(machine: &'a Machine<'_>, unit: &str) -> Vec<Outlook<'a>> {
    let findings = machine.findings.iter().filter(|finding| finding.is_open());
    findings
        .filter(|finding| finding.unit.as_deref() == Some(unit))
        .filter_map(|finding| Outlook::of(finding))
        .collect()
}

/// The forecast of a finding in words; `None` where it foresees nothing.
#[must_use]
pub fn words(finding: &Finding) -> Option<String> {
    let from = finding.forecast_from?;
    let from = match finding.last_seen {
        Some(last) if from <= last => "it may have been met already".to_owned(),
        _ => format!("hardly before {from}"),
    };
    let middle = match finding.forecast_date {
        Some(day) => format!("as likely as not by {day}"),
        None => "the tests tell no date as far as they can see".to_owned(),
    };
    let to = match (finding.forecast_date, finding.forecast_to) {
        (_, Some(day)) => format!(", with nine chances in ten by {day}"),
        (Some(_), None) => ", with no later end that these tests can tell".to_owned(),
        (None, None) => String::new(),
    };
    Some(format!("When the limit is met: {from}; {middle}{to}"))
}

#[cfg(test)]
mod tests {
    use super::{Outlook, words};
    use crate::plot::Scale;
    use crate::plot::axis::Axis;
    use jiff::civil::{Date, date};
    use windrow_model::Finding;

    fn finding(from: Option<Date>, middle: Option<Date>, to: Option<Date>) -> Finding {
        Finding {
            limit: Some(1e8),
            unit: Some("Ohm".into()),
            forecast_from: from,
            forecast_date: middle,
            forecast_to: to,
            last_seen: Some(date(2024, 5, 1)),
            ..crate::tests::data().findings.remove(0)
        }
    }

    fn drawn(finding: &Finding) -> String {
        let outlook = Outlook::of(finding).unwrap();
        let x = Axis::years(outlook.years(), 0.0, 100.0).unwrap();
        let y = Axis::over([1e8, 1e9].into_iter(), Scale::Logarithmic, 100.0, 0.0).unwrap();
        outlook.drawn((&x, &y), 100.0).into_string()
    }

    #[test]
    fn an_end_that_is_not_told_is_an_arrow_and_a_word_and_never_a_day() {
        let (from, middle, to) = (date(2026, 3, 1), date(2031, 7, 1), date(2040, 1, 1));
        let closed = finding(Some(from), Some(middle), Some(to));
        assert_eq!(drawn(&closed).matches("class=\"end\"").count(), 2);
        assert!(drawn(&closed).contains("class=\"middle\"") && !drawn(&closed).contains("L100.0"));
        assert!(words(&closed).unwrap().ends_with(
            "hardly before 2026-03-01; as likely as not by 2031-07-01, with nine chances in ten by 2040-01-01"
        ));
        let open = finding(Some(from), Some(middle), None);
        assert!(drawn(&open).contains("L100.0") && words(&open).unwrap().contains("no later end"));
        let untold = finding(Some(from), None, None);
        assert!(!drawn(&untold).contains("class=\"middle\"") && words(&untold).unwrap().contains("tell no date"));
        let met = finding(Some(date(2024, 5, 1)), Some(middle), None);
        assert!(words(&met).unwrap().contains("may have been met already"));
        assert_eq!(words(&finding(None, None, None)), None);
        assert!(Outlook::of(&finding(None, None, None)).is_none());
    }
}

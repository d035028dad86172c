//! How the newest figures of machines of one kind are spread.

use crate::format::{self, Units};
use crate::plot::Scale;
use crate::plot::distribution::{Distribution, Row, distribution};
use maud::{Markup, html};
use windrow_model::Bound;

/// Machines of one rating class, kind of winding and insulation, with the newest figures of each.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Kind {
    /// What they have in common.
    pub name: String,
    /// One-minute insulation resistances at 40 °C, Ohm.
    pub resistances: Vec<(f64, Bound)>,
    /// Polarization indices.
    pub indices: Vec<(f64, Bound)>,
}

/// What stands in a picture beside the kinds themselves.
#[derive(Debug, Clone, Copy, Default)]
pub struct Beside {
    /// Where the machines of a kind are listed, by its name; a page that stands alone has no such place.
    pub list: Option<fn(&str) -> String>,
    /// The figure of the machine whose page it is.
    pub here: Option<f64>,
}

/// Most kinds that are drawn in a report, those of most machines.
const DRAWN: usize = 12;

/// One-minute insulation resistance at 40 °C, a row a kind.
pub fn resistance<'k>(kinds: impl IntoIterator<Item = &'k Kind>, units: Units, beside: Beside) -> Markup {
    distribution(&Distribution {
        title: format!("One-minute insulation resistance at {}", format::temperature(40.0, units)),
        unit: ("Ohm", "insulation_resistance"),
        scale: Scale::Logarithmic,
        rows: kinds.into_iter().map(|kind| row(kind, &kind.resistances, beside)).collect(),
    })
}

/// Polarization index, a row a kind.
pub fn index<'k>(kinds: impl IntoIterator<Item = &'k Kind>, beside: Beside) -> Markup {
    distribution(&Distribution {
        title: "Polarization index".to_owned(),
        unit: ("1", "polarization_index"),
        scale: Scale::Linear,
        rows: kinds.into_iter().map(|kind| row(kind, &kind.indices, beside)).collect(),
    })
}

fn row<'k>(kind: &'k Kind, values: &'k [(f64, Bound)], beside: Beside) -> Row<'k> {
    Row { name: kind.name.clone(), href: beside.list.map(|list| list(&kind.name)), values, here: beside.here }
}

/// The kinds of a fleet in its report.
pub(crate) fn section(kinds: &[Kind], units: Units) -> Markup {
    let mut drawn: Vec<&Kind> =
        kinds.iter().filter(|kind| !kind.resistances.is_empty() || !kind.indices.is_empty()).collect();
    drawn.sort_by_key(|kind| std::cmp::Reverse(kind.resistances.len().max(kind.indices.len())));
    let more = drawn.len().saturating_sub(DRAWN);
    drawn.truncate(DRAWN);
    html! {
        @if !drawn.is_empty() {
            section #distributions {
                h2 { "Distributions by cohort" }
                p.hint {
                    "Machines of one rating class, kind of winding and insulation; each counts once, by its newest test that tells the figure."
                    @if more > 0 { " " (more) @if more == 1 { " smaller cohort is" } @else { " smaller cohorts are" } " left out here." }
                }
                div.plots {
                    (resistance(drawn.iter().copied(), units, Beside::default()))
                    (index(drawn.iter().copied(), Beside::default()))
                }
            }
        }
    }
}

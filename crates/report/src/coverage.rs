//! What voltage tests proved of a machine's insulation: the voltage ladder and the same in words.

use crate::{Fleet, Machine, plot};
use maud::{Markup, html};
use windrow_model::Coverage;

/// A level that a standard asks, to stand beside the tests.
#[derive(Debug, Clone, PartialEq)]
pub struct LevelLine {
    /// The machine.
    pub asset_id: String,
    /// Crest of the level, V.
    pub crest_v: f64,
    /// The level as the standard tells it, with what it is for.
    pub label: String,
    /// Standard, edition, clause, rule and how it is known.
    pub basis: String,
}

/// Ladder, words and cautions of one machine; nothing for a machine that was never tested.
#[must_use]
pub fn block(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let rows = fleet.coverage_of(&machine.asset.asset_id);
    let Some(first) = rows.first() else { return html! {} };
    html! {
        section.coverage {
            h4 { "What voltage tests proved" }
            (plot::ladder::figure(machine, rows, fleet.levels_of(&machine.asset.asset_id)))
            ul.parts { @for row in rows { (part(row)) } }
            @if let Some(why) = no_stress(rows) { p.hint { (why) } }
            p.hint { b { "Cautions: " } (first.cautions) "." }
        }
    }
}

fn part(row: &Coverage) -> Markup {
    html! {
        li {
            span class={ "standing standing-" (row.standing) } { (standing(&row.standing)) } " "
            @match row.proven_test_id.as_ref().or(row.failed_test_id.as_ref()) {
                Some(test) => a href={ "#t-" (test) } { (row.statement) },
                None => (row.statement),
            }
            @if let Some(basis) = &row.stress_basis { " " span.hint { "Stress of service: " (basis) "." } }
        }
    }
}

/// The standing in words.
fn standing(code: &str) -> &str {
    match code {
        "proven" => "carried the stress of service",
        "below_stress" => "tested below the stress of service",
        "failed" => "failed",
        "untold" => "outcome not told",
        "never_tested" => "never tested",
        "stress_unknown" => "tested; stress of service not known",
        other => other,
    }
}

fn no_stress(rows: &[&Coverage]) -> Option<&'static str> {
    rows.iter().all(|row| row.stress_v.is_none()).then_some(
        "Without a rated voltage that can be true no operating voltage and no level stands beside these tests.",
    )
}

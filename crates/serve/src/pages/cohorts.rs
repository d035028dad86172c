//! What windings of one rating, kind and insulation usually read.

use super::fleet::in_cohort;
use super::frame::{Section, cautions, frame, wide};
use super::{Context, page};
use crate::app::Shared;
use axum::extract::State;
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use windrow_analyze::cohorts::Cohort;
use windrow_report::distributions::{self, Beside};
use windrow_report::format;
use windrow_tasks::cohorts::Kin;

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap) -> Response {
    page(app, &headers, |context| Ok(render(context))).await
}

fn render(context: &Context) -> Markup {
    let all = &context.view.cohorts;
    let (kinds, beside) = (all.iter().map(|kin| &kin.kind), Beside { list: Some(in_cohort), here: None });
    let at = format::temperature(40.0, context.display.units);
    let body = html! {
        p.path { a href="/" { "Fleet" } }
        h1 { "Figures by cohort" }
        (cautions())
        p { "Each machine counts once, by its newest test that tells the figure. A reading at the end of the instrument's range counts as at least that (Kaplan and Meier 1958), so a quantile can lie above the ceilings." }
        div.plots { (distributions::resistance(kinds.clone(), context.display.units, beside)) (distributions::index(kinds, beside)) }
        (wide("Table of cohorts", &table(all, &at)))
    };
    frame(context, "Figures by cohort", Section::Fleet, &body)
}

fn table(all: &[Kin], at: &str) -> Markup {
    html! {
        table {
            thead {
                tr { th colspan="5" scope="colgroup" { "Cohort" } th colspan="5" scope="colgroup" { "One-minute resistance at " (at) } th colspan="3" scope="colgroup" { "Polarization index" } th colspan="2" scope="colgroup" { "Unbalance" } }
                tr {
                    @for name in ["Rating", "Winding", "Insulation", "Machines", "Tests", "Of", "One in ten", "Half", "Nine in ten", "Below minimum", "Of", "Half", "Below minimum", "Half", "Nine in ten"] { th scope="col" { (name) } }
                }
            }
            tbody { @for kin in all { (row(&kin.figures)) } }
        }
    }
}

fn row(cohort: &Cohort) -> Markup {
    let resistance = |value: Option<f64>| match value {
        Some(value) => format::with_unit(value, "Ohm", "insulation_resistance"),
        None if cohort.resistance_machines > 0 => "above the ceilings".to_owned(),
        None => String::new(),
    };
    let percent =
        |value: Option<f64>| value.map(|value| format::with_unit(value, "1", "unbalance")).unwrap_or_default();
    html! {
        tr {
            th scope="row" { (cohort.rating_class) }
            td { (cohort.winding_kind) } td { (cohort.insulation_era) } td.n { (cohort.machines) } td.n { (cohort.tests) }
            td.n { (cohort.resistance_machines) }
            td.n { (resistance(cohort.resistance_q10_ohm)) } td.n { (resistance(cohort.resistance_q50_ohm)) } td.n { (resistance(cohort.resistance_q90_ohm)) }
            td.n { (cohort.minimum_below) " of " (cohort.minimum_machines) }
            td.n { (cohort.index_machines) } td.n { (cohort.index_q50.map(format::number).unwrap_or_default()) } td.n { (cohort.index_below) }
            td.n { (percent(cohort.unbalance_q50)) } td.n { (percent(cohort.unbalance_q90)) }
        }
    }
}

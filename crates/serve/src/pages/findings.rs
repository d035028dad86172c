//! All findings, filtered, a page at a time.

use super::frame::{Section, cautions, frame, wide};
use super::paging::paged;
use super::{Context, page};
use crate::app::Shared;
use crate::params::{Params, segment};
use crate::view::View;
use axum::extract::{RawQuery, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::collections::BTreeSet;
use windrow_model::Finding;
use windrow_report::findings::{LEVELS, badge, beside_its_machine};

/// States to choose, with their words.
const STATES: [(&str, &str); 4] =
    [("", "open"), ("acknowledged", "acknowledged"), ("cleared", "cleared"), ("all", "all")];

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, RawQuery(query): RawQuery) -> Response {
    let params = Params::read(query.unwrap_or_default().as_bytes());
    page(app, &headers, move |context| Ok(render(context, &params))).await
}

fn render(context: &Context, params: &Params) -> Markup {
    let view = &*context.view;
    let found = found(view, params);
    let paged = paged(&found, params);
    let body = html! {
        h1 { "Findings" }
        (cautions())
        (filter(view, params, found.len()))
        @if view.findings.is_empty() { p { "None. Either nothing was found in these records, or they were not judged yet." } }
        @else if found.is_empty() { p { "No finding answers to that. " a href="/findings" { "Show all that are open" } } }
        @else { (wide("Table of findings", &table(view, &paged.shown))) (paged.turn(params)) }
        dl.meanings { @for (level, meaning) in LEVELS { div { dt { (badge(level)) } dd { (meaning) } } } }
    };
    frame(context, "Findings", Section::Findings, &body)
}

fn found<'v>(view: &'v View, params: &Params) -> Vec<&'v Finding> {
    let changed: BTreeSet<&str> = match params.get("changed") {
        Some(_) => view.changed().into_iter().flatten().map(|(finding, _)| finding.finding_id.as_str()).collect(),
        None => BTreeSet::new(),
    };
    let words: Vec<String> = params.raw("q").split_whitespace().map(str::to_lowercase).collect();
    let state = params.get("state").unwrap_or_default();
    let answers = |finding: &&Finding| {
        let is_in_state = match state {
            _ if params.get("changed").is_some() => changed.contains(finding.finding_id.as_str()),
            "all" => true,
            "acknowledged" | "cleared" => finding.state == state,
            _ => finding.is_open(),
        };
        let text = || {
            let tag = finding.asset_id.as_deref().map(|id| view.tag(id)).unwrap_or_default();
            format!("{tag} {} {}", finding.statement, finding.rule).to_lowercase()
        };
        is_in_state
            && params.get("level").is_none_or(|level| finding.level == level)
            && params.get("rule").is_none_or(|rule| finding.rule == rule)
            && (words.is_empty() || words.iter().all(|word| text().contains(word.as_str())))
    };
    view.findings.iter().filter(answers).collect()
}

fn filter(view: &View, params: &Params, count: usize) -> Markup {
    let rules: BTreeSet<&str> = view.findings.iter().map(|finding| finding.rule.as_str()).collect();
    let chosen = |name: &str, value: &str| params.raw(name) == value;
    html! {
        form.filter role="search" action="/findings" {
            label { "Search" input type="search" name="q" value=(params.raw("q")) placeholder="tag or words"; }
            label { "Level" select name="level" {
                option value="" { "any" }
                @for (level, _) in LEVELS { option value=(level) selected[chosen("level", level)] { (level) } }
            } }
            label { "State" select name="state" { @for (code, words) in STATES { option value=(code) selected[chosen("state", code)] { (words) } } } }
            label { "Rule" select name="rule" {
                option value="" { "any" }
                @for rule in rules { option value=(rule) selected[chosen("rule", rule)] { (windrow_report::findings::rule(rule)) } }
            } }
            button { "Find" }
            span.found role="status" { (count) " of " (view.findings.len()) " findings" }
        }
    }
}

fn table(view: &View, findings: &[&Finding]) -> Markup {
    html! {
        table {
            thead { tr {
                th scope="col" { "Level" } th scope="col" { "Machine" } th scope="col" { "What was found" } th scope="col" { "Last seen" }
                th scope="col" { "Basis" } th scope="col" { "State" }
            } }
            tbody { @for finding in findings { (row(view, finding)) } }
        }
    }
}

fn row(view: &View, finding: &Finding) -> Markup {
    html! {
        tr {
            td { (badge(&finding.level)) }
            td { @match finding.asset_id.as_deref() { Some(id) => a.tag href={ "/machines/" (segment(id)) } { (view.tag(id)) }, None => "no machine named" } }
            td {
                a href={ "/findings/" (segment(&finding.finding_id)) } { (beside_its_machine(finding, finding.asset_id.as_deref().map_or("", |id| view.tag(id)))) }
                @if let Some(next) = &finding.next_test { p.hint { "Would settle it: " (next) } }
            }
            td.day { (finding.last_seen.map(|day| day.to_string()).unwrap_or_default()) }
            td.basis { (finding.basis) }
            td { (finding.state) }
        }
    }
}

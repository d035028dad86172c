//! The fleet: its machines, searched, filtered, sorted, a page at a time.

use super::frame::{Section, cautions, frame, wide};
use super::paging::paged;
use super::{Context, page};
use crate::app::Shared;
use crate::params::{Params, link, segment};
use crate::view::{Line, View};
use axum::extract::{RawQuery, State};
use axum::http::HeaderMap;
use axum::response::Response;
use maud::{Markup, html};
use std::cmp::Ordering;
use std::collections::BTreeSet;
use windrow_model::{Asset, Finding};
use windrow_report::distributions::{self, Beside};
use windrow_report::findings::{LEVELS, badge, rule};
use windrow_report::{format, machine};
use windrow_tasks::cohorts::Kin;

/// Columns to sort by, with their headings.
const SORTS: [(&str, &str); 6] = [
    ("level", "most pressing level first"),
    ("tag", "by site and tag"),
    ("tested", "longest without a test first"),
    ("resistance", "lowest resistance first"),
    ("index", "lowest polarization index first"),
    ("tests", "most tests first"),
];

pub(crate) async fn get(State(app): State<Shared>, headers: HeaderMap, RawQuery(query): RawQuery) -> Response {
    let params = Params::read(query.unwrap_or_default().as_bytes());
    page(app, &headers, move |context| Ok(render(context, &params))).await
}

fn render(context: &Context, params: &Params) -> Markup {
    let view = &*context.view;
    let found = found(view, params);
    let paged = paged(&found, params);
    let body = html! {
        h1 { "Fleet" }
        (overview(view))
        (news(view))
        (cautions())
        (filter(view, params, found.len()))
        @if view.assets.is_empty() { p { "No machine yet. Import records: " code { "windrow run PATH --fleet DIR" } "; this page follows." } }
        @else if found.is_empty() { p { "No machine answers to that. " a href="/" { "Show all" } } }
        @else { (wide("Table of machines", &table(context, &paged.shown))) (paged.turn(params)) }
        (spread(context))
        @if view.unassigned > 0 { p.hint { (view.unassigned) " tests name no machine; see the open questions in " a href="/intake" { "Intake" } "." } }
    };
    frame(context, "Fleet", Section::Fleet, &body)
}

/// Counts by level, each a way to its findings.
fn overview(view: &View) -> Markup {
    let counts = &view.levels;
    html! {
        ul.levels aria-label="Open findings by level" {
            @for (level, meaning) in LEVELS {
                li { a href={ "/findings?level=" (level) } title=(meaning) { (badge(level)) b { (counts.get(*level).copied().unwrap_or(0)) } span { (meaning) } } }
            }
        }
        p.hint {
            (view.assets.len()) " machines, " (view.lines.iter().map(|line| line.tests).sum::<usize>()) " tests. "
            @if !view.cohorts.is_empty() { a href="#distributions" { "Distributions by cohort" } " · " }
            a href="/report" { "The whole fleet as one page" }
            ". A machine without a finding is a machine whose records show nothing, not a machine proven good."
        }
    }
}

/// What the newest import changed among the findings.
fn news(view: &View) -> Markup {
    let Some(on) = view.imported_on() else { return html! {} };
    let Some(changed) = view.changed() else {
        return html! { p.hint { "Newest import, " (on) ": nothing earlier is kept to compare its findings with." } };
    };
    html! {
        details.news {
            summary { "Newest import, " (on) ": " (changed.len()) @if changed.len() == 1 { " finding" } @else { " findings" } " changed since the one before" }
            @if changed.is_empty() { p { "No finding was opened, changed or cleared since." } }
            ul { @for (finding, what) in changed.iter().take(20) {
                li { (badge(&finding.level)) " " a href={ "/findings/" (segment(&finding.finding_id)) } { (finding.asset_id.as_deref().map_or("a record", |id| view.tag(id))) ": " (finding.statement) } " " small { (what) } }
            } }
            @if changed.len() > 20 { p { "and " (changed.len() - 20) " more: " a href="/findings?changed=yes" { "show all" } } }
        }
    }
}

/// Where the machines of a cohort are listed.
pub(crate) fn in_cohort(name: &str) -> String {
    link("/", &[("cohort", name)])
}

/// Most cohorts that are drawn here, those of most machines.
const DRAWN: usize = 12;

/// How the newest figures are spread over machines of one kind.
fn spread(context: &Context) -> Markup {
    let mut kin: Vec<&Kin> = context.view.cohorts.iter().collect();
    kin.sort_by_key(|kin| std::cmp::Reverse(kin.figures.machines));
    let more = kin.len().saturating_sub(DRAWN);
    kin.truncate(DRAWN);
    let (kinds, beside) = (kin.iter().map(|kin| &kin.kind), Beside { list: Some(in_cohort), here: None });
    html! {
        @if !kin.is_empty() {
            section #distributions {
                h2 { "Distributions by cohort" }
                div.plots {
                    (distributions::resistance(kinds.clone(), context.display.units, beside))
                    (distributions::index(kinds, beside))
                }
                p.hint {
                    "Machines of one rating class, kind of winding and insulation; a name leads to its machines. "
                    @if more > 0 { (more) @if more == 1 { " smaller cohort is" } @else { " smaller cohorts are" } " left out here. " }
                    a href="/cohorts" { "All figures by cohort" }
                }
            }
        }
    }
}

fn filter(view: &View, params: &Params, count: usize) -> Markup {
    let sites: BTreeSet<&str> = view.assets.iter().filter_map(|asset| asset.site.as_deref()).collect();
    let chosen = |name: &str, value: &str| params.get(name) == Some(value);
    html! {
        form.filter role="search" action="/" {
            label { "Search" input type="search" name="q" value=(params.raw("q")) placeholder="tag, serial number, words"; }
            label { "Level" select name="level" {
                option value="" { "any" }
                @for (level, _) in LEVELS { option value=(level) selected[chosen("level", level)] { (level) } }
                option value="none" selected[chosen("level", "none")] { "no open finding" }
            } }
            label { "Site" select name="site" {
                option value="" { "any" }
                @for site in sites { option value=(site) selected[chosen("site", site)] { (site) } }
            } }
            label { "Cohort" select name="cohort" {
                option value="" { "any" }
                @for name in view.cohorts.iter().map(|kin| &kin.kind.name) { option value=(name) selected[chosen("cohort", name)] { (name) } }
            } }
            label { "Order" select name="sort" { @for (code, words) in SORTS { option value=(code) selected[chosen("sort", code)] { (words) } } } }
            button { "Find" }
            span.found role="status" { (count) " of " (view.assets.len()) " machines" }
        }
    }
}

/// Places of the machines that answer, in the order asked for.
fn found(view: &View, params: &Params) -> Vec<usize> {
    let words: Vec<String> = params.raw("q").split_whitespace().map(str::to_lowercase).collect();
    let (level, site) = (params.get("level"), params.get("site"));
    // One that is not there has no machines.
    let cohort = params.get("cohort").map(|name| view.cohorts.iter().position(|kin| kin.kind.name == name));
    let answers = |(asset, line): &(&Asset, &Line)| {
        words.iter().all(|word| line.words.contains(word.as_str()))
            && level.is_none_or(|level| line.level.as_deref().unwrap_or("none") == level)
            && site.is_none_or(|site| asset.site.as_deref() == Some(site))
            && cohort.is_none_or(|cohort| cohort == Some(line.cohort))
    };
    let pairs = view.assets.iter().zip(&view.lines).enumerate();
    let mut found: Vec<(usize, &Line)> =
        pairs.filter(|(_, pair)| answers(pair)).map(|(index, (_, line))| (index, line)).collect();
    let by = params.get("sort").unwrap_or("level");
    // A stable sort: equals stay by site and tag.
    found.sort_by(|(_, a), (_, b)| compare(a, b, by));
    found.into_iter().map(|(index, _)| index).collect()
}

fn compare(a: &Line, b: &Line, by: &str) -> Ordering {
    let rank = |line: &Line| line.level.as_deref().map_or(usize::MAX, Finding::rank_of);
    let low = |a: &Option<(f64, String)>, b: &Option<(f64, String)>| {
        let value = |figure: &Option<(f64, String)>| figure.as_ref().map_or(f64::INFINITY, |(value, _)| *value);
        value(a).total_cmp(&value(b))
    };
    match by {
        "tag" => Ordering::Equal,
        // Never tested comes first.
        "tested" => a.last_on.cmp(&b.last_on),
        "resistance" => low(&a.resistance, &b.resistance),
        "index" => low(&a.index, &b.index),
        "tests" => b.tests.cmp(&a.tests),
        _ => rank(a).cmp(&rank(b)).then(b.findings.cmp(&a.findings)),
    }
}

fn table(context: &Context, shown: &[usize]) -> Markup {
    let rows =
        shown.iter().filter_map(|index| Some((context.view.assets.get(*index)?, context.view.lines.get(*index)?)));
    html! {
        table.fleet {
            thead { tr {
                th scope="col" { "Machine" } th scope="col" { "Site" } th scope="col" { "Rated" } th scope="col" { "Level, why, and its basis" }
                th scope="col" { "Open findings" } th scope="col" { "One-minute resistance at " (format::temperature(40.0, context.display.units)) } th scope="col" { "Polarization index" }
                th scope="col" { "Last test" } th scope="col" { "Tests" }
            } }
            tbody { @for (asset, line) in rows { (row(context, asset, line)) } }
        }
    }
}

fn row(context: &Context, asset: &Asset, line: &Line) -> Markup {
    html! {
        tr {
            th scope="row" { a.tag href={ "/machines/" (segment(&asset.asset_id)) } { (asset.tag) } @if let Some(text) = &asset.description { " " small { (text) } } }
            td { (asset.site.as_deref().unwrap_or("")) }
            td.rating { (machine::rating(asset, context.display.units)) }
            td.pressing { (pressing(context, line)) }
            td.n { (line.findings) }
            td.n { @if let Some((value, bound)) = &line.resistance { (format::bound_sign(bound)) (format::with_unit(*value, "Ohm", "insulation_resistance")) } }
            td.n { @if let Some((value, bound)) = &line.index { (format::bound_sign(bound)) (format::number(*value)) } }
            td.day { @if line.tests > 0 { (format::partial_date(line.last_on, &line.last_precision)) } @else { "never tested" } }
            td.n { (line.tests) }
        }
    }
}

/// The most pressing level, what found it, and in short what that rests on; all of it stands on the page of the finding.
fn pressing(context: &Context, line: &Line) -> Markup {
    let finding = line.pressing.and_then(|place| context.view.findings.get(place));
    let Some(finding) = finding else { return html! { span.quiet-text { "none open" } } };
    let basis = finding.basis.split([';', '(']).next().unwrap_or_default().trim();
    html! {
        a href={ "/findings/" (segment(&finding.finding_id)) } title=(finding.statement) { (badge(&finding.level)) }
        small { (rule(&finding.rule)) "; " span title=(finding.basis) { (basis) } }
    }
}

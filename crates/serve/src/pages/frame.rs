//! What stands around every page: where one is, what waits, how it is shown.

use super::Context;
use crate::assets::{SCRIPT_AT, STYLE_AT};
use crate::display::{Colours, units_code};
use maud::{DOCTYPE, Markup, html};
use windrow_report::format::Units;

/// Where a page belongs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Section {
    Fleet,
    Findings,
    Intake,
    Query,
    None,
}

const SECTIONS: [(Section, &str, &str); 4] = [
    (Section::Fleet, "/", "Fleet"),
    (Section::Findings, "/findings", "Findings"),
    (Section::Intake, "/intake", "Intake"),
    (Section::Query, "/query", "Query"),
];

/// A whole page.
pub(crate) fn frame(context: &Context, title: &str, section: Section, body: &Markup) -> Markup {
    let refresh = context.work.is_running();
    html! {
        (DOCTYPE)
        html lang="en" data-colours=(context.display.colours.code()) data-working[refresh] {
            head {
                meta charset="utf-8";
                meta name="viewport" content="width=device-width, initial-scale=1";
                title { (title) " – " (context.view.title) " – windrow" }
                link rel="stylesheet" href=(STYLE_AT);
                link rel="icon" href="/assets/mark.svg";
                script src=(SCRIPT_AT) defer {}
            }
            body {
                a.skip href="#main" { "Skip to the content" }
                header.top {
                    p.mark { a href="/" { "windrow" } span.fleet-name { (context.view.title) } }
                    nav aria-label="Parts of the application" {
                        @for (own, href, name) in SECTIONS {
                            a href=(href) aria-current=[(own == section).then_some("page")] { (name) (waiting(context, own)) }
                        }
                    }
                    (display_form(context))
                }
                (status(context))
                main #main tabindex="-1" { (body) }
                footer { "Windrow reads records; it performs no test. Local codes and licensed practice decide. Data as of commit " (context.view.snapshot.commit()) "." }
            }
        }
    }
}

/// How much waits in a section.
fn waiting(context: &Context, section: Section) -> Markup {
    let count = match section {
        Section::Findings => {
            context.view.levels.iter().filter(|(level, _)| level.as_str() != "note").map(|(_, count)| count).sum()
        }
        Section::Intake => context.view.questions.len(),
        _ => 0,
    };
    html! { @if count > 0 { " " span.count { (count) span.quiet { " waiting" } } } }
}

/// The line about answers that wait and work that goes on.
fn status(context: &Context) -> Markup {
    use crate::work::State;
    html! {
        div.status role="status" aria-live="polite" {
            @if context.work.is_running() {
                p.working { (context.work.words()) " " a href="" { "Look again" } }
            } @else if context.pending {
                form.inline method="post" action="/apply" {
                    span { "Answers, settings or layouts have changed since the records were read." }
                    button.primary { "Apply them now" }
                }
            }
            @match &context.work {
                State::Failed(text) => p.failed { (text) },
                State::Done(text) if !context.pending => p { (text) },
                _ => {},
            }
        }
    }
}

fn display_form(context: &Context) -> Markup {
    let option = |name: &str, value: &str, is_on: bool| html! { option value=(value) selected[is_on] { (name) } };
    let (units, colours) = (context.display.units, context.display.colours);
    html! {
        form.display method="post" action="/display" data-sends-itself {
            label { span.quiet { "Units" } select name="units" {
                (option("metric units", units_code(Units::Metric), units == Units::Metric))
                (option("US units", units_code(Units::Us), units == Units::Us))
            } }
            label { span.quiet { "Colours" } select name="colours" {
                (option("system colours", Colours::System.code(), colours == Colours::System))
                (option("light", Colours::Light.code(), colours == Colours::Light))
                (option("dark", Colours::Dark.code(), colours == Colours::Dark))
            } }
            button { "Show" }
        }
    }
}

/// The cautions, at hand wherever a level or a verdict stands.
pub(crate) fn cautions() -> Markup {
    html! {
        details.cautions {
            summary { "Before anyone acts on this page: insulation tests can kill people and break machines" }
            ul { @for text in windrow_criteria::cautions::GENERAL { li { (text) } } }
        }
    }
}

/// A table that may be wider than the page.
pub(crate) fn wide(label: &str, table: &Markup) -> Markup {
    html! { div.wide tabindex="0" role="region" aria-label=(label) { (table) } }
}

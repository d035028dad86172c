//! Charts as SVG; the shape of a mark says what it is, colour only helps.

use super::Scale;
use super::axis::Axis;
use crate::format;
use crate::outlook::{self, Outlook};
use maud::{Markup, PreEscaped, html};
use windrow_model::Bound;

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 240.0;
const LEFT: f64 = 64.0;
const RIGHT: f64 = 18.0;
const TOP: f64 = 14.0;
const BOTTOM: f64 = 28.0;
/// Distance from a line within which a mark disturbs its label.
const CLEAR: f64 = 18.0;

/// A chart ready to draw.
#[derive(Debug)]
pub(crate) struct Chart<'a> {
    pub(crate) title: String,
    /// From values as they are stored to the unit that the title names.
    pub(crate) factor: f64,
    pub(crate) scale: Scale,
    pub(crate) points: Vec<Point>,
    pub(crate) limits: Vec<Limit>,
    /// A value that the axis reaches in any case, so that small differences look small.
    pub(crate) least: Option<f64>,
    /// When a limit is expected to be met.
    pub(crate) outlooks: Vec<Outlook<'a>>,
    /// Why nothing is foreseen, where a reader would look for it.
    pub(crate) silence: Option<String>,
}

/// One reading on a chart.
#[derive(Debug)]
pub(crate) struct Point {
    /// Date as decimal year.
    pub(crate) year: f64,
    /// Value, stored unit.
    pub(crate) value: f64,
    pub(crate) bound: Bound,
    /// Whether the value stands on the common temperature basis.
    pub(crate) on_basis: bool,
    pub(crate) label: String,
    pub(crate) target: String,
}

/// A limit line.
#[derive(Debug)]
pub(crate) struct Limit {
    pub(crate) value: f64,
    pub(crate) label: String,
}

/// The chart as a figure with a caption and a text alternative.
pub(crate) fn figure(chart: &Chart<'_>) -> Markup {
    let limits = chart.limits.iter().map(|limit| limit.value).chain(chart.outlooks.iter().map(|outlook| outlook.limit));
    let values = chart.points.iter().map(|point| point.value).chain(limits).chain(chart.least);
    let years = chart.points.iter().map(|point| point.year);
    let newest = years.clone().fold(f64::NEG_INFINITY, f64::max);
    let (Some(x), Some(y)) = (
        Axis::years(years.chain(chart.outlooks.iter().flat_map(Outlook::years)), LEFT, WIDTH - RIGHT),
        Axis::over(values, chart.scale, HEIGHT - BOTTOM, TOP),
    ) else {
        return html! {};
    };
    html! {
        figure.plot {
            figcaption { (chart.title) }
            svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="group" aria-label={ (chart.title) ", " (chart.points.len()) @if chart.points.len() == 1 { " point" } @else { " points" } } {
                (grid(&x, &y, chart))
                @for limit in &chart.limits { (limit_line(limit, chart, (&x, &y))) }
                @if !chart.outlooks.is_empty() { (last_test(newest, &x)) }
                @for outlook in &chart.outlooks { (outlook.drawn((&x, &y), WIDTH - RIGHT)) }
                @for point in &chart.points { (mark(point, &x, &y)) }
            }
            (legend(chart))
            @for outlook in &chart.outlooks { p.legend { (outlook::words(outlook.finding).unwrap_or_default()) ". " (outlook.finding.statement) } }
            @if let Some(why) = &chart.silence { p.legend { (why) } }
        }
    }
}

/// What lies right of it is no record.
fn last_test(year: f64, x: &Axis) -> Markup {
    let across = px(x.at(year));
    html! {
        g.last-test {
            line x1=(across) x2=(across) y1=(TOP) y2=(HEIGHT - BOTTOM) {}
            text x=(px(x.at(year) + 4.0)) y=(TOP + 8.0) { "last test" }
        }
    }
}

fn grid(x: &Axis, y: &Axis, chart: &Chart<'_>) -> Markup {
    html! {
        g.grid {
            @for value in y.marks() {
                line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(y.at(value))) y2=(px(y.at(value))) {}
                text x=(LEFT - 6.0) y=(px(y.at(value) + 4.0)) text-anchor="end" { (format::number(value * chart.factor)) }
            }
            @for year in x.year_marks() {
                line.tick x1=(px(x.at(year))) x2=(px(x.at(year))) y1=(HEIGHT - BOTTOM) y2=(HEIGHT - BOTTOM + 4.0) {}
                text x=(px(x.at(year))) y=(HEIGHT - 8.0) text-anchor="middle" { (year) }
            }
        }
    }
}

/// The line carries its standard and rule, at the end where fewer marks stand; how it is known is told where the pointer rests and in the
/// findings.
fn limit_line(limit: &Limit, chart: &Chart<'_>, (x, y): (&Axis, &Axis)) -> Markup {
    let height = y.at(limit.value);
    let short = limit.label.split(" (").next().unwrap_or(&limit.label);
    let middle = f64::midpoint(LEFT, WIDTH - RIGHT);
    let near = |point: &&Point| (y.at(point.value) - height).abs() < CLEAR;
    let right = chart.points.iter().filter(near).filter(|point| x.at(point.year) > middle).count();
    let left = chart.points.iter().filter(near).count() - right;
    let is_left = left < right || !chart.outlooks.is_empty();
    let (at, anchor) = if is_left { (LEFT + 4.0, "start") } else { (WIDTH - RIGHT, "end") };
    html! {
        g.limit {
            (PreEscaped("<title>")) (limit.label) (PreEscaped("</title>"))
            line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(height)) y2=(px(height)) {}
            text x=(at) y=(px(height - 4.0)) text-anchor=(anchor) { "minimum: " (short) }
        }
    }
}

fn mark(point: &Point, x: &Axis, y: &Axis) -> Markup {
    let (across, up) = (x.at(point.year), y.at(point.value));
    let class = if point.on_basis { "point" } else { "point off-basis" };
    let path = match point.bound {
        Bound::Exact => format!("M{} {}a3.6 3.6 0 1 0 7.2 0a3.6 3.6 0 1 0 -7.2 0z", px(across - 3.6), px(up)),
        Bound::AtLeast => format!("M{} {}l4.5 7h-9zm0 0v-9", px(across), px(up)),
        Bound::AtMost => format!("M{} {}l4.5 -7h-9zm0 0v9", px(across), px(up)),
    };
    html! { a href=(point.target) aria-label=(point.label) { path class=(class) d=(path) { (PreEscaped("<title>")) (point.label) (PreEscaped("</title>")) } } }
}

fn legend(chart: &Chart<'_>) -> Markup {
    let has = |wanted: Bound| chart.points.iter().any(|point| point.bound == wanted);
    html! {
        p.legend {
            "● reading"
            @if has(Bound::AtLeast) { " · ▲ with stem: at least this, the instrument's ceiling" }
            @if has(Bound::AtMost) { " · ▼ with stem: at most this" }
            @if chart.points.iter().any(|point| !point.on_basis) { " · hollow: as read, no temperature to correct by" }
            @if !chart.outlooks.is_empty() { " · ◇ between ends: when the limit is expected to be met; an arrow: no later end is told" }
            " · select a mark to see its cell"
        }
    }
}

/// A coordinate with one decimal: smaller pages, same picture.
fn px(value: f64) -> String {
    format!("{value:.1}")
}

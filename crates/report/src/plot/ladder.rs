//! The voltage ladder: volts upward, years across; what service asks, what standards ask, and each test at the level it reached.
//!
//! Shape and text say what a mark is; colour only helps. All voltages stand at their crest, so that direct, alternating and surge
//! voltages share one axis.

use super::Scale;
use super::axis::{Axis, decimal_year};
use crate::coverage::LevelLine;
use crate::outlook::{self, Outlook};
use crate::{Machine, format};
use maud::{Markup, PreEscaped, html};
use windrow_model::{Coverage, TestSummary, Text};

const WIDTH: f64 = 940.0;
const HEIGHT: f64 = 380.0;
const LEFT: f64 = 56.0;
const RIGHT: f64 = 330.0;
const TOP: f64 = 16.0;
const BOTTOM: f64 = 28.0;
/// Least distance between the labels of two lines.
const LABEL: f64 = 13.0;

/// What became of the winding in a test.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fate {
    Carried,
    Failed,
    Untold,
}

/// A test on the ladder.
struct Rung<'a> {
    year: f64,
    crest_v: f64,
    is_surge: bool,
    fate: Fate,
    label: String,
    test_id: &'a str,
}

/// A line across the ladder.
struct Line {
    crest_v: f64,
    label: String,
    basis: Text,
    class: &'static str,
}

/// The ladder as a figure with a caption, a legend and a text alternative; nothing without a dated test at a told voltage.
pub(crate) fn figure(machine: &Machine<'_>, coverage: &[&Coverage], levels: &[&LevelLine]) -> Markup {
    let rungs: Vec<Rung<'_>> = machine.summaries.iter().filter_map(|summary| rung(summary)).collect();
    let lines = lines(coverage, levels);
    let outlooks = outlook::of_machine(machine, "V");
    let volts = rungs
        .iter()
        .map(|rung| rung.crest_v)
        .chain(lines.iter().map(|line| line.crest_v))
        .chain(outlooks.iter().map(|outlook| outlook.limit))
        .chain([0.0]);
    let (Some(x), Some(y)) = (
        Axis::years(
            rungs.iter().map(|rung| rung.year).chain(outlooks.iter().flat_map(Outlook::years)),
            LEFT,
            WIDTH - RIGHT,
        ),
        Axis::over(volts, Scale::Linear, HEIGHT - BOTTOM, TOP),
    ) else {
        return html! {};
    };
    let failed = rungs.iter().filter(|rung| rung.fate == Fate::Failed).count();
    html! {
        figure.plot.ladder {
            figcaption { "Voltage ladder: every test at the voltage it reached, beside operating voltage, start and levels (kV crest)" }
            svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="group" aria-label={ "Voltage ladder, " (rungs.len()) " tests, " (failed) " failed; the same in words below" } {
                (grid(&x, &y))
                (across(&lines, &y))
                @for outlook in &outlooks { (outlook.drawn((&x, &y), WIDTH - RIGHT)) }
                @for rung in &rungs { (mark(rung, &x, &y)) }
            }
            p.legend {
                "● direct or alternating voltage, carried · ◆ surge, carried · ✕ failed · hollow: outcome not told · "
                "solid line: what service puts on it · dashed line: level of a standard for a winding in service; no order to test · "
                @if !outlooks.is_empty() { "◇ between ends: when what service puts on it is expected to be met; an arrow: no later end is told · " }
                "select a mark to see its test"
            }
            @for outlook in &outlooks { p.legend { (outlook::words(outlook.finding).unwrap_or_default()) ". " (outlook.finding.statement) } }
        }
    }
}

fn rung(summary: &TestSummary) -> Option<Rung<'_>> {
    let date = summary.performed_on.filter(|_| summary.duplicate_of.is_none())?;
    let volts = summary.max_voltage_v.filter(|volts| volts.is_finite() && *volts > 0.0)?;
    let (crest_v, form) = crest(&summary.kind, volts)?;
    let measures = !matches!(summary.kind.as_str(), "dc_withstand" | "ac_withstand" | "surge");
    let (fate, word) = match summary.withstood {
        Some(true) => (Fate::Carried, "withstood"),
        Some(false) => (Fate::Failed, "failed"),
        None if measures => (Fate::Carried, "carried"),
        None => (Fate::Untold, "outcome not told"),
    };
    let on = format::partial_date(summary.performed_on, &summary.performed_precision);
    let pu = summary.max_voltage_pu.map(|pu| format!(", {pu:.2} pu")).unwrap_or_default();
    Some(Rung {
        year: decimal_year(date),
        crest_v,
        is_surge: summary.kind == "surge",
        fate,
        label: format!(
            "{on}, {}: {} {form}{pu}, {word}",
            format::words(&summary.kind),
            format::with_unit(volts, "V", "voltage")
        ),
        test_id: &summary.test_id,
    })
}

/// Crest of a test's voltage and how it is told; `None` for tests whose voltage proves nothing.
fn crest(kind: &str, volts: f64) -> Option<(f64, &'static str)> {
    use windrow_criteria::stress::Form;
    let form = Form::of(windrow_model::TestKind::from_code(kind)?)?;
    let word = match form {
        Form::Direct => "direct",
        Form::Rms => "rms",
        Form::Peak => "peak",
    };
    Some((form.crest_v(volts), word))
}

fn lines(coverage: &[&Coverage], levels: &[&LevelLine]) -> Vec<Line> {
    let service = coverage.iter().filter_map(|row| {
        let what = match row.insulation.as_str() {
            "ground_wall" => "operating voltage to earth",
            "phase_to_phase" => "operating voltage between phases",
            _ => "start, between turns",
        };
        let crest_v = row.stress_v?;
        let label = format!("{what}: {}", format::with_unit(crest_v, "V", "voltage"));
        Some(Line { crest_v, label, basis: row.stress_basis.clone().unwrap_or_default(), class: "service" })
    });
    let levels = levels.iter().map(|level| Line {
        crest_v: level.crest_v,
        label: level.label.clone(),
        basis: Text::new(&level.basis),
        class: "level-line",
    });
    let mut lines: Vec<Line> = service.chain(levels).collect();
    lines.sort_by(|a, b| b.crest_v.total_cmp(&a.crest_v).then_with(|| a.label.cmp(&b.label)));
    lines
}

fn grid(x: &Axis, y: &Axis) -> Markup {
    html! {
        g.grid {
            @for value in y.marks().into_iter().filter(|value| *value >= 0.0) {
                line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(y.at(value))) y2=(px(y.at(value))) {}
                text x=(LEFT - 6.0) y=(px(y.at(value) + 4.0)) text-anchor="end" { (format::number(value / 1000.0)) }
            }
            @for year in x.year_marks() {
                line.tick x1=(px(x.at(year))) x2=(px(x.at(year))) y1=(HEIGHT - BOTTOM) y2=(HEIGHT - BOTTOM + 4.0) {}
                text x=(px(x.at(year))) y=(HEIGHT - 8.0) text-anchor="middle" { (year) }
            }
        }
    }
}

/// Lines with their labels to the right, moved apart so that none covers another.
fn across(lines: &[Line], y: &Axis) -> Markup {
    let mut label_at = f64::NEG_INFINITY;
    let mut placed: Vec<f64> = Vec::new();
    for line in lines {
        label_at = (y.at(line.crest_v)).max(label_at + LABEL);
        placed.push(label_at);
    }
    // What ran below the picture moves up again, the lowest first.
    let mut lowest = HEIGHT - BOTTOM;
    for at in placed.iter_mut().rev() {
        *at = at.min(lowest);
        lowest = *at - LABEL;
    }
    html! {
        @for (line, label) in lines.iter().zip(placed) {
            @let height = y.at(line.crest_v);
            g class=(line.class) {
                (PreEscaped("<title>")) (line.label) " – " (line.basis) (PreEscaped("</title>"))
                line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(height)) y2=(px(height)) {}
                path d={ "M" (px(WIDTH - RIGHT)) " " (px(height)) "L" (px(WIDTH - RIGHT + 12.0)) " " (px(label)) } {}
                text x=(px(WIDTH - RIGHT + 15.0)) y=(px(label + 4.0)) { (line.label) }
            }
        }
    }
}

fn mark(rung: &Rung<'_>, x: &Axis, y: &Axis) -> Markup {
    let (across, up) = (x.at(rung.year), y.at(rung.crest_v));
    let path = match (rung.fate, rung.is_surge) {
        (Fate::Failed, _) => format!("M{} {}l10 10m0 -10l-10 10", px(across - 5.0), px(up - 5.0)),
        (_, true) => format!("M{} {}l5 5l-5 5l-5 -5z", px(across), px(up - 5.0)),
        (_, false) => format!("M{} {}a4 4 0 1 0 8 0a4 4 0 1 0 -8 0z", px(across - 4.0), px(up)),
    };
    let class = match rung.fate {
        Fate::Carried => "point",
        Fate::Failed => "point broke",
        Fate::Untold => "point off-basis",
    };
    html! {
        a href={ "#t-" (rung.test_id) } aria-label=(rung.label) {
            path class=(class) d=(path) { (PreEscaped("<title>")) (rung.label) (PreEscaped("</title>")) }
            @if rung.fate == Fate::Failed { text.broke x=(px(across + 8.0)) y=(px(up + 4.0)) { "failed" } }
        }
    }
}

/// A coordinate with one decimal: smaller pages, same picture.
fn px(value: f64) -> String {
    format!("{value:.1}")
}

//! Curves of one test each, laid on one another over the years: resistance over time (absorption), current over voltage (steps).
//!
//! A curve is told by its dashes and by the date at its end; the newest is drawn thickest.

use super::Scale;
use super::axis::Axis;
use crate::{Fleet, Machine, format};
use maud::{Markup, PreEscaped, html};
use std::cmp::Ordering;
use windrow_criteria::stress::Form;
use windrow_model::{Bound, Reading, Reported, Test, TestKind};

const WIDTH: f64 = 640.0;
const HEIGHT: f64 = 300.0;
const LEFT: f64 = 64.0;
/// Room for the labels at the ends of the curves: a date, and a circuit of three terminals.
const RIGHT: f64 = 124.0;
const TOP: f64 = 14.0;
const BOTTOM: f64 = 40.0;
/// Most curves in one picture, the newest; more cannot be told apart.
const MOST: usize = 10;
/// Least distance between the labels of two curves.
const LABEL: f64 = 12.0;

/// One test's readings along an axis.
struct Curve {
    date: String,
    circuit: String,
    points: Vec<Point>,
}

/// A reading in a curve.
struct Point {
    at: f64,
    value: f64,
    elapsed_s: Option<f64>,
    label: String,
    bound: Bound,
}

/// A picture of curves: what stands along its axes.
struct Picture {
    title: &'static str,
    across: &'static str,
    across_scale: Scale,
    across_marks: fn(&Axis) -> Vec<(f64, String)>,
    upward_scale: (Scale, f64),
}

/// Insulation resistance as it was read over the time since voltage was applied, a curve a test; nothing without a test of two times or
/// more. What the record had corrected is on another basis and stands in no curve.
#[must_use]
pub(super) fn absorption(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let along = |_: &Test, reading: &Reading| {
        let is_as_read = reading.as_reported == Reported::AsRead.code();
        let seconds = reading.elapsed_s.filter(|_| is_as_read && reading.quantity == "insulation_resistance")?;
        Some((seconds, reading.value, format::elapsed(seconds)))
    };
    let picture = Picture {
        title: "Absorption curves: insulation resistance as read over the time since voltage was applied (MΩ)",
        across: "time since voltage was applied",
        across_scale: Scale::Logarithmic,
        across_marks: times,
        upward_scale: (Scale::Logarithmic, 1e-6),
    };
    figure(&picture, curves(machine, fleet, &along))
}

/// Leakage current over direct voltage, a curve a test; nothing without a test of two voltages or more. Of several readings at one
/// voltage the one after the longest time stands: what current settles to is compared.
#[must_use]
pub(super) fn steps(machine: &Machine<'_>, fleet: &Fleet<'_>) -> Markup {
    let along = |test: &Test, reading: &Reading| {
        let is_direct = TestKind::from_code(&test.kind).and_then(Form::of) == Some(Form::Direct);
        let volts = reading.applied_voltage_v.filter(|_| is_direct && reading.quantity == "leakage_current")?;
        Some((volts, reading.value, format::with_unit(volts, "V", "voltage")))
    };
    let picture = Picture {
        title: "Step-voltage curves: leakage current over direct voltage (µA)",
        across: "kV",
        across_scale: Scale::Linear,
        across_marks: kilovolts,
        upward_scale: (Scale::Linear, 1e6),
    };
    figure(&picture, curves(machine, fleet, &along))
}

/// What a reading is along the axis, its value, and the first in words.
type Along<'a> = &'a dyn Fn(&Test, &Reading) -> Option<(f64, f64, String)>;

/// The curves of the newest tests, oldest first, one for each circuit, and how many older ones are left out.
fn curves(machine: &Machine<'_>, fleet: &Fleet<'_>, along: Along<'_>) -> (Vec<Curve>, usize) {
    let kept = machine.tests.iter().filter(|test| test.duplicate_of.is_none());
    let mut all: Vec<Curve> = kept.flat_map(|test| of_test(test, fleet.readings(&test.test_id), along)).collect();
    let surplus = all.len().saturating_sub(MOST);
    all.drain(..surplus);
    (all, surplus)
}

fn of_test(test: &Test, readings: &[&Reading], along: Along<'_>) -> Vec<Curve> {
    let mut curves: Vec<Curve> = Vec::new();
    for reading in readings {
        let Some((at, value, told)) =
            along(test, reading).filter(|(at, value, _)| *at > 0.0 && *value > 0.0 && value.is_finite())
        else {
            continue;
        };
        let circuit = reading.circuit.as_deref().unwrap_or_default();
        let index = curves.iter().position(|curve| curve.circuit == circuit).unwrap_or_else(|| {
            curves.push(Curve { date: format::date(test), circuit: circuit.to_owned(), points: Vec::new() });
            curves.len() - 1
        });
        let label = format!("{}, {circuit}, {told}: {}", format::date(test), format::reading(reading));
        let bound = Bound::from_code(&reading.bound).unwrap_or(Bound::Exact);
        if let Some(curve) = curves.get_mut(index) {
            curve.points.push(Point { at, value, elapsed_s: reading.elapsed_s, label, bound });
        }
    }
    for curve in &mut curves {
        // Last the longest time, and of equal times what stands last in the record.
        curve.points.sort_by(|a, b| {
            a.at.total_cmp(&b.at).then(a.elapsed_s.partial_cmp(&b.elapsed_s).unwrap_or(Ordering::Equal))
        });
        curve.points.dedup_by(|later, kept| {
            let is_same = later.at.total_cmp(&kept.at).is_eq();
            if is_same {
                std::mem::swap(later, kept);
            }
            is_same
        });
    }
    curves.retain(|curve| curve.points.len() > 1);
    curves
}

fn figure(picture: &Picture, (curves, older): (Vec<Curve>, usize)) -> Markup {
    let points = || curves.iter().flat_map(|curve| &curve.points);
    let (Some(x), Some(y)) = (
        Axis::over(points().map(|point| point.at), picture.across_scale, LEFT, WIDTH - RIGHT),
        Axis::over(points().map(|point| point.value), picture.upward_scale.0, HEIGHT - BOTTOM, TOP),
    ) else {
        return html! {};
    };
    html! {
        figure.plot.curves {
            figcaption { (picture.title) }
            svg viewBox={ "0 0 " (WIDTH) " " (HEIGHT) } role="img" aria-label={ (picture.title) ", " (curves.len()) @if curves.len() == 1 { " curve" } @else { " curves" } "; the readings stand in the tests below" } {
                (grid(&x, &y, picture))
                @for (index, curve) in curves.iter().enumerate() { (drawn(curve, index, (&x, &y), index + 1 == curves.len())) }
                (labels(&curves, &y))
            }
            p.legend { "a curve a test, told by its dashes and the date at its end; the newest is thickest · hollow: a bound, the instrument's end of range" @if older > 0 { " · " (older) @if older == 1 { " older curve is" } @else { " older curves are" } " left out; the readings stand in the tests below" } }
        }
    }
}

fn grid(x: &Axis, y: &Axis, picture: &Picture) -> Markup {
    html! {
        g.grid {
            @for value in y.marks() {
                line x1=(LEFT) x2=(WIDTH - RIGHT) y1=(px(y.at(value))) y2=(px(y.at(value))) {}
                text x=(LEFT - 6.0) y=(px(y.at(value) + 4.0)) text-anchor="end" { (format::number(value * picture.upward_scale.1)) }
            }
            @for (value, told) in (picture.across_marks)(x) {
                line.tick x1=(px(x.at(value))) x2=(px(x.at(value))) y1=(HEIGHT - BOTTOM) y2=(HEIGHT - BOTTOM + 4.0) {}
                text x=(px(x.at(value))) y=(HEIGHT - BOTTOM + 16.0) text-anchor="middle" { (told) }
            }
            text x=(px(f64::midpoint(LEFT, WIDTH - RIGHT))) y=(HEIGHT - 6.0) text-anchor="middle" { (picture.across) }
        }
    }
}

/// Times at which resistance is usually read, as far as the axis reaches.
fn times(axis: &Axis) -> Vec<(f64, String)> {
    const USUAL: [f64; 7] = [15.0, 30.0, 60.0, 180.0, 300.0, 600.0, 1800.0];
    let reaches = |seconds: &f64| (LEFT..=WIDTH - RIGHT).contains(&axis.at(*seconds));
    USUAL.into_iter().filter(reaches).map(|seconds| (seconds, format::elapsed(seconds))).collect()
}

fn kilovolts(axis: &Axis) -> Vec<(f64, String)> {
    axis.marks().into_iter().map(|volts| (volts, format::number(volts / 1000.0))).collect()
}

fn drawn(curve: &Curve, index: usize, (x, y): (&Axis, &Axis), is_newest: bool) -> Markup {
    let line: Vec<String> =
        curve.points.iter().map(|point| format!("{} {}", px(x.at(point.at)), px(y.at(point.value)))).collect();
    let class = if is_newest { "curve newest" } else { "curve" };
    html! {
        path class=(class) stroke-dasharray=(dashes(index, is_newest)) d={ "M" (line.join("L")) } {}
        @for point in &curve.points {
            circle class=(if point.bound == Bound::Exact { "point" } else { "point off-basis" }) cx=(px(x.at(point.at))) cy=(px(y.at(point.value))) r="3" {
                (PreEscaped("<title>")) (point.label) (PreEscaped("</title>"))
            }
        }
    }
}

/// Dates at the ends of the curves, moved apart so that none covers another.
fn labels(curves: &[Curve], y: &Axis) -> Markup {
    let mut ends: Vec<(f64, String)> = curves
        .iter()
        .filter_map(|curve| Some((y.at(curve.points.last()?.value), format!("{} {}", curve.date, curve.circuit))))
        .collect();
    ends.sort_by(|a, b| a.0.total_cmp(&b.0));
    let mut lowest = f64::NEG_INFINITY;
    for (at, _) in &mut ends {
        *at = at.max(lowest + LABEL);
        lowest = *at;
    }
    let surplus = (lowest - (HEIGHT - BOTTOM)).max(0.0);
    html! {
        g.ends {
            @for (at, label) in &ends { text x=(WIDTH - RIGHT + 8.0) y=(px(at - surplus + 4.0)) { (label) } }
        }
    }
}

/// Dashes that tell a curve from its neighbours; the newest is solid.
fn dashes(index: usize, is_newest: bool) -> &'static str {
    const DASHES: [&str; 5] = ["2 3", "6 3", "10 4", "8 3 2 3", "4 2"];
    if is_newest { "none" } else { DASHES.get(index % DASHES.len()).copied().unwrap_or("6 3") }
}

/// A coordinate with one decimal: smaller pages, same picture.
fn px(value: f64) -> String {
    format!("{value:.1}")
}

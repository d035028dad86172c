//! # What it finds
//! Surge waveforms that differ between the phases of one test, or between two tests of the same circuit.
//! # How it is judged
//! `note`, always: no universal limit exists, and the place of the rotor alone makes phases differ. The figures are given, largest
//! difference first; a statement is made only where both waveforms ring and were recorded alike.
//! # References
//! `windrow_statistics::waveform`; with equal capacitance inductance goes with 1/f².

use crate::context::Context;
use crate::features::Wave;
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_model::{Finding, Step};
use windrow_statistics::waveform::{align, damping, difference, on_one_grid, ringing};

/// Smallest difference that is worth a word: what sampling and noise leave between equal windings (common practice, no source).
const WORTH_A_WORD: f64 = 0.05;
/// Applied voltages so near are the same; else the waveforms are scaled by them.
const SAME_VOLTAGE: f64 = 0.05;

/// How two waveforms differ.
struct Differs<'a> {
    a: &'a Wave,
    b: &'a Wave,
    /// Mean of both orders of Σ|a − b|/Σ|a|.
    area: f64,
    energy: f64,
    lag_s: f64,
    correlation: f64,
    /// Frequencies of both, 1/s.
    frequencies: (f64, f64),
    /// Rates of damping of both, 1/s.
    damping: Option<(f64, f64)>,
}

pub(crate) fn find(history: &History<'_>, context: &Context<'_>) -> Vec<Finding> {
    let recorded: Vec<(&Judged<'_>, &[Wave])> = history
        .of_this_winding()
        .iter()
        .filter_map(|judged| Some((*judged, context.waves.get(judged.test.test_id.as_str())?.as_slice())))
        .collect();
    let Some(((newest, waves), before)) = recorded.split_last() else { return Vec::new() };
    let phases = largest(pairs(waves));
    let dates = before.last().and_then(|(judged, earlier)| {
        let same = waves
            .iter()
            .flat_map(|wave| earlier.iter().filter(|other| other.name == wave.name).map(move |other| (other, wave)));
        Some((*judged, largest(same)?))
    });
    let of_phases = phases.map(|differs| {
        let what = format!("between {} and {}", differs.a.name, differs.b.name);
        state(history, newest, ("phases", &what), &differs)
    });
    let of_dates = dates.map(|(judged, differs)| {
        let since = judged.test.performed_on.map_or_else(|| "before".to_owned(), |on| on.to_string());
        let what = format!("of {} between the test of {since} and the newest", differs.b.name);
        state(history, newest, ("dates", &what), &differs)
    });
    of_phases.into_iter().chain(of_dates).collect()
}

fn pairs(waves: &[Wave]) -> impl Iterator<Item = (&Wave, &Wave)> {
    waves
        .iter()
        .enumerate()
        .flat_map(|(index, a)| waves[index + 1..].iter().map(move |b| (a, b)))
        .filter(|(a, b)| a.name != b.name)
}

/// The pair that differs most, if that is worth a word.
fn largest<'a>(pairs: impl Iterator<Item = (&'a Wave, &'a Wave)>) -> Option<Differs<'a>> {
    let differing = pairs.filter_map(|(a, b)| compared(a, b)).filter(|differs| differs.area >= WORTH_A_WORD);
    differing.max_by(|a, b| a.area.total_cmp(&b.area))
}

fn compared<'a>(a: &'a Wave, b: &'a Wave) -> Option<Differs<'a>> {
    if a.unit != b.unit || (a.start_s - b.start_s).abs() > a.sample_interval_s {
        return None;
    }
    let (x, mut y, interval) = on_one_grid((&a.samples, a.sample_interval_s), (&b.samples, b.sample_interval_s))?;
    let told = a.applied_voltage_v.zip(b.applied_voltage_v).filter(|(first, second)| *first > 0.0 && *second > 0.0);
    if let Some(scale) = told.map(|(first, second)| first / second).filter(|scale| (scale - 1.0).abs() > SAME_VOLTAGE) {
        y = y.iter().map(|sample| sample * scale).collect();
    }
    let (one, other, alignment) = (difference(&x, &y)?, difference(&y, &x)?, align(&x, &y)?);
    #[expect(clippy::cast_precision_loss, reason = "lags are far below 2^52")]
    let lag_s = alignment.lag as f64 * interval;
    let frequencies = (ringing(&x, interval)?.frequency, ringing(&y, interval)?.frequency);
    // What does not die away is no ringing: a recorded mains voltage, for one.
    let damping = damping(&x, interval).zip(damping(&y, interval));
    if !damping.is_some_and(|(a, b)| a > 0.0 && b > 0.0) {
        return None;
    }
    Some(Differs {
        a,
        b,
        area: f64::midpoint(one.area, other.area),
        energy: f64::midpoint(one.energy, other.energy),
        lag_s,
        correlation: alignment.correlation,
        frequencies,
        damping,
    })
}

fn state(history: &History<'_>, newest: &Judged<'_>, (part, what): (&str, &str), differs: &Differs<'_>) -> Finding {
    let ratio = differs.frequencies.1 / differs.frequencies.0;
    let damped = differs.damping.map(|(a, b)| format!(", damping {a:.0} and {b:.0} 1/s")).unwrap_or_default();
    let row = Found {
        rule: "waveform_difference",
        level: "note",
        statement: format!(
            "{}: surge waveforms {what} differ by {:.0} % of their area and {:.0} % of their energy: ringing at {:.1} and {:.1} kHz \
             (inductance as 1 to {:.2} at equal capacitance){damped}, best agreement {:.2} at a lag of {:.1} µs. No limit exists that holds \
             for all windings; a rotor that stood elsewhere may explain it.",
            history.tag,
            100.0 * differs.area,
            100.0 * differs.energy,
            differs.frequencies.0 / 1e3,
            differs.frequencies.1 / 1e3,
            1.0 / (ratio * ratio),
            differs.correlation,
            differs.lag_s * 1e6
        ),
        value: Some(differs.area),
        limit: None,
        unit: "1",
        basis: "area and energy of the difference, zero crossings, cross-correlation; no universal limit is claimed"
            .to_owned(),
        cautions: cautions::HIGH_VOLTAGE,
        next_test: "the same surge comparison with the rotor turned, and winding resistance and inductance of all phases",
    };
    let row = finding::of_series(history, &[newest], (part, &[]), row);
    let (a, b) = differs.frequencies;
    let working = vec![
        Step::new(
            "data",
            format!(
                "{} and {}, on one time grid, scaled by the applied voltages where both are told",
                differs.a.name, differs.b.name
            ),
        ),
        Step::new(
            "arithmetic",
            format!(
                "area Σ|a − b|/Σ|a| = {:.3} and energy √(Σ(a − b)²/Σa²) = {:.3}, means of both orders; ringing {a:.0} and {b:.0} Hz, \
                 ln(f_b/f_a) = {:.3}",
                differs.area,
                differs.energy,
                (b / a).ln()
            ),
        ),
        Step::new("look_alike", "the rotor in another position, another instrument or lead"),
    ];
    Finding { working, evidence: vec![differs.a.waveform_id.clone(), differs.b.waveform_id.clone()], ..row }
}

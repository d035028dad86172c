//! # What it finds
//! A figure that the source computed (a ratio, an unbalance, a resistance from voltage and current) and that its own readings do
//! not give.
//! # How it is judged
//! `note`: a statement about the record. Interval arithmetic on the digits as printed, so that rounding is never a finding.
//! # References
//! Definitions: IEEE 43-2013 for the ratios (from memory), `windrow-criteria` for the three unbalances, Ohm's law.

use crate::features::Figure;
use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::printed::Span;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_criteria::unbalance::Definition;
use windrow_model::{Finding, Step};

/// Share by which a resistance and the current beside it may differ: instruments round both (choice of this program, no source).
const FAR: f64 = 0.05;

/// One finding a test at most: the figure that is farthest off would be a matter of taste, so the first is told and the others
/// counted.
pub(crate) fn find<'a>(history: &'a History<'a>) -> impl Iterator<Item = Finding> + 'a {
    history.tests.iter().filter_map(|judged| of_test(history, judged))
}

/// A figure that does not meet its readings.
struct Difference<'a> {
    figure: &'a Figure,
    what: &'static str,
    ours: f64,
    unit: &'static str,
    from: Vec<&'a Figure>,
    hint: &'static str,
}

fn of_test(history: &History<'_>, judged: &Judged<'_>) -> Option<Finding> {
    let computed = judged.reported.iter().filter_map(|figure| difference(figure, judged.figures));
    let beside = judged.figures.iter().filter_map(|figure| beside_its_current(figure, judged.figures));
    let differences: Vec<Difference<'_>> = computed.chain(beside).collect();
    let first = differences.first()?;
    let more = match differences.len() {
        1 => String::new(),
        count => format!(" {} more figures of this test differ.", count - 1),
    };
    let circuit = first.figure.circuit.as_deref().map(|circuit| format!(" of {circuit}")).unwrap_or_default();
    let statement = format!(
        "{}: the source gives {:?} as {}{circuit} ({}), its own readings give {:.4}{}.{more}",
        history.tag,
        first.figure.raw_text,
        first.what,
        first.figure.place,
        shown(first),
        first.hint
    );
    let found = Found {
        rule: "reported_figure_differs",
        level: "note",
        statement,
        value: Some(first.figure.value),
        limit: Some(first.ours),
        unit: first.unit,
        basis: "recomputed from the readings of the same test, rounding of every printed digit allowed for".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "none; look at the record, where a reading or the figure is mistyped",
    };
    let evidence = first.from.iter().filter_map(|figure| figure.reading_id.clone()).collect();
    let working = differences.iter().flat_map(working).collect();
    Some(Finding { evidence, working, ..finding::row_of_record(history, judged, found) })
}

/// What the readings give, beside what was printed.
fn working(difference: &Difference<'_>) -> Vec<Step> {
    let printed = Span::of_computed(difference.figure);
    let mut steps: Vec<Step> = difference
        .from
        .iter()
        .map(|figure| {
            let Span { low, high } = Span::of_reading(figure);
            Step::new("data", format!("{:?} at {} stands for {low:.5e} to {high:.5e}", figure.raw_text, figure.place))
        })
        .collect();
    steps.push(Step::new(
        "arithmetic",
        format!(
            "{} from these: {:.5e}; {:?} as printed stands for {:.5e} to {:.5e}, rounded or cut",
            difference.what, difference.ours, difference.figure.raw_text, printed.low, printed.high
        ),
    ));
    steps
}

/// Our figure in the unit that people write.
fn shown(difference: &Difference<'_>) -> f64 {
    match difference.unit {
        "Ohm" => difference.ours / 1e6,
        _ => difference.ours,
    }
}

fn difference<'a>(figure: &'a Figure, readings: &'a [Figure]) -> Option<Difference<'a>> {
    match figure.quantity.as_str() {
        "polarization_index" => ratio(figure, readings, "polarization index", 600.0, &[60.0]),
        "absorption_ratio" => ratio(figure, readings, "absorption ratio", 60.0, &[30.0, 15.0]),
        "unbalance" => unbalance(figure, readings),
        "insulation_resistance" => ohms_law(figure, readings),
        _ => None,
    }
}

/// The resistance after `late` seconds over that after one of `early`; some divide by 15 s instead of 30 s.
fn ratio<'a>(
    figure: &'a Figure,
    readings: &'a [Figure],
    what: &'static str,
    late: f64,
    early: &[f64],
) -> Option<Difference<'a>> {
    let at = |seconds: f64| {
        readings.iter().find(|reading| {
            reading.quantity == "insulation_resistance"
                && reading.circuit == figure.circuit
                && reading.bound == "exact"
                && reading.elapsed_s.is_some_and(|elapsed| (elapsed - seconds).abs() < 0.5)
        })
    };
    let late = at(late)?;
    let printed = Span::of_computed(figure);
    let mut first = None;
    for early in early.iter().filter_map(|seconds| at(*seconds)) {
        let ours = Span::of_reading(late).over(Span::of_reading(early))?;
        if figure.bound != "exact" || ours.meets(printed) {
            return None;
        }
        let turned = Span::of_reading(early).over(Span::of_reading(late)).is_some_and(|turned| turned.meets(printed));
        let hint = if turned { "; the two readings may be swapped" } else { "" };
        first.get_or_insert(Difference {
            figure,
            what,
            ours: late.value / early.value,
            unit: "1",
            from: vec![late, early],
            hint,
        });
    }
    first
}

/// Any of the three definitions may have been meant.
fn unbalance<'a>(figure: &'a Figure, readings: &'a [Figure]) -> Option<Difference<'a>> {
    let from: Vec<&Figure> = readings.iter().filter(|reading| reading.quantity == "winding_resistance").collect();
    if from.len() != 3 {
        return None;
    }
    let values: Vec<f64> = from.iter().map(|reading| reading.value).collect();
    // The last digit of each reading moves the unbalance by about its share of the mean, at both ends of the spread.
    let relative = |reading: &&Figure| {
        let span = Span::of_reading(reading);
        (span.high - span.low) / reading.value
    };
    let blur = from.iter().map(relative).fold(0.0, f64::max);
    let printed = Span::of_computed(figure);
    for definition in Definition::ALL {
        let ours = definition.of(&values)?;
        if printed.meets(Span { low: ours - blur, high: ours + blur }) {
            return None;
        }
    }
    let ours = Definition::DeviationOverMean.of(&values)?;
    Some(Difference { figure, what: "unbalance", ours, unit: "1", from, hint: " by none of the three definitions" })
}

/// A resistance so far from voltage over current that nothing says that it was computed from them.
fn beside_its_current<'a>(figure: &'a Figure, readings: &'a [Figure]) -> Option<Difference<'a>> {
    if figure.quantity != "insulation_resistance" {
        return None;
    }
    let difference = ohms_law(figure, readings)?;
    let current = difference.from.first()?;
    let same_time = match (figure.elapsed_s, current.elapsed_s) {
        (Some(a), Some(b)) => (a - b).abs() < 0.5,
        _ => true,
    };
    (same_time && (difference.ours / figure.value - 1.0).abs() > FAR).then_some(difference)
}

/// Voltage over the leakage current of the same circuit and voltage.
fn ohms_law<'a>(figure: &'a Figure, readings: &'a [Figure]) -> Option<Difference<'a>> {
    let volts = figure.applied_voltage_v?;
    let same_voltage =
        |reading: &Figure| reading.applied_voltage_v.is_some_and(|other| (other / volts - 1.0).abs() < 1e-6);
    let current = readings.iter().find(|reading| {
        reading.quantity == "leakage_current"
            && reading.circuit == figure.circuit
            && reading.bound == "exact"
            && same_voltage(reading)
    })?;
    let ours = Span { low: volts, high: volts }.over(Span::of_reading(current))?;
    if figure.bound != "exact" || ours.meets(Span::of_computed(figure)) {
        return None;
    }
    let hint = " MΩ from voltage and current";
    let what = "insulation resistance";
    Some(Difference { figure, what, ours: volts / current.value, unit: "Ohm", from: vec![current], hint })
}

//! # What it finds
//! A figure that the source computed (a ratio, an unbalance, a resistance from voltage and current) and that its own readings do
//! not give.
//! # How it is judged
//! `note`: a statement about the record. Interval arithmetic on the digits as printed, so that rounding is never a finding.
//! # References
//! Definitions: IEEE 43-2013 for the ratios (from memory), `windrow-criteria` for the three unbalances, Ohm's law.

use crate::finding::{self, Found};
use crate::judge::Judged;
use crate::loaded::Reading;
use crate::printed::Span;
use crate::series::History;
use windrow_criteria::cautions;
use windrow_criteria::unbalance::Definition;
use windrow_model::{Finding, Quantity, Step};

/// Share by which a resistance and the current beside it may differ: instruments round both (choice of this program, no source).
const FAR: f64 = 0.05;

/// One finding a test at most: the figure that is farthest off would be a matter of taste, so the first is told and the others
/// counted.
pub(crate) fn find<'a>(history: &'a History<'a>) -> impl Iterator<Item = Finding> + 'a {
    history.tests.iter().filter_map(|judged| of_test(history, judged))
}

/// A figure that does not meet its readings.
struct Difference<'a> {
    figure: Reading<'a>,
    what: &'static str,
    ours: f64,
    unit: &'static str,
    from: Vec<Reading<'a>>,
    hint: &'static str,
}

fn of_test(history: &History<'_>, judged: &Judged<'_>) -> Option<Finding> {
    let told = judged.reported().next().is_some();
    // A resistance is held against the current of its test, where that tells both.
    let both = judged.tells(Quantity::InsulationResistance) && judged.tells(Quantity::LeakageCurrent);
    if !told && !both {
        return None;
    }
    let figures: Vec<Reading<'_>> = judged.figures().collect();
    let differing = judged.reported().filter_map(|figure| difference(figure, &figures));
    let beside = figures.iter().filter_map(|figure| beside_its_current(*figure, &figures));
    let differences: Vec<Difference<'_>> = differing.chain(beside).collect();
    let first = differences.first()?;
    let more = match differences.len() {
        1 => String::new(),
        count => format!(" {} more figures of this test differ.", count - 1),
    };
    let circuit = first.figure.circuit().map(|circuit| format!(" of {circuit}")).unwrap_or_default();
    let statement = format!(
        "{}: the source gives {:?} as {}{circuit} ({}), its own readings give {:.4}{}.{more}",
        history.tag,
        first.figure.raw_text(),
        first.what,
        first.figure.place(),
        shown(first),
        first.hint
    );
    let found = Found {
        rule: "reported_figure_differs",
        level: "note",
        statement,
        value: Some(first.figure.value()),
        limit: Some(first.ours),
        unit: first.unit,
        basis: "recomputed from the readings of the same test, rounding of every printed digit allowed for".to_owned(),
        cautions: cautions::GROUND_WALL,
        next_test: "none; look at the record, where a reading or the figure is mistyped",
    };
    let evidence = first.from.iter().filter_map(Reading::reading_id).collect();
    let working = differences.iter().flat_map(working).collect();
    Some(Finding { evidence, working, ..finding::row_of_record(history, judged, found) })
}

/// What the readings give, beside what was printed.
fn working(difference: &Difference<'_>) -> Vec<Step> {
    let printed = computed(difference.figure);
    let mut steps: Vec<Step> = difference
        .from
        .iter()
        .map(|figure| {
            let Span { low, high } = read(*figure);
            Step::new(
                "data",
                format!("{:?} at {} stands for {low:.5e} to {high:.5e}", figure.raw_text(), figure.place()),
            )
        })
        .collect();
    steps.push(Step::new(
        "arithmetic",
        format!(
            "{} from these: {:.5e}; {:?} as printed stands for {:.5e} to {:.5e}, rounded or cut",
            difference.what,
            difference.ours,
            difference.figure.raw_text(),
            printed.low,
            printed.high
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

/// What a reading can have been.
fn read(reading: Reading<'_>) -> Span {
    Span::of_reading(reading.value(), reading.raw_text())
}

/// What a computed figure can have been.
fn computed(figure: Reading<'_>) -> Span {
    Span::of_computed(figure.value(), figure.raw_text())
}

fn difference<'a>(figure: Reading<'a>, readings: &[Reading<'a>]) -> Option<Difference<'a>> {
    match figure.quantity() {
        "polarization_index" => ratio(figure, readings, "polarization index", 600.0, &[60.0]),
        "absorption_ratio" => ratio(figure, readings, "absorption ratio", 60.0, &[30.0, 15.0]),
        "unbalance" => unbalance(figure, readings),
        "insulation_resistance" => ohms_law(figure, readings),
        _ => None,
    }
}

/// The resistance after `late` seconds over that after one of `early`; some divide by 15 s instead of 30 s.
fn ratio<'a>(
    figure: Reading<'a>,
    readings: &[Reading<'a>],
    what: &'static str,
    late: f64,
    early: &[f64],
) -> Option<Difference<'a>> {
    let at = |seconds: f64| {
        readings.iter().copied().find(|reading| {
            reading.quantity() == "insulation_resistance"
                && reading.circuit() == figure.circuit()
                && reading.is_exact()
                && reading.is_at(seconds)
        })
    };
    let late = at(late)?;
    let printed = computed(figure);
    let mut first = None;
    for early in early.iter().filter_map(|seconds| at(*seconds)) {
        let ours = read(late).over(read(early))?;
        if !figure.is_exact() || ours.meets(printed) {
            return None;
        }
        let turned = read(early).over(read(late)).is_some_and(|turned| turned.meets(printed));
        let hint = if turned { "; the two readings may be swapped" } else { "" };
        first.get_or_insert(Difference {
            figure,
            what,
            ours: late.value() / early.value(),
            unit: "1",
            from: vec![late, early],
            hint,
        });
    }
    first
}

/// Any of the three definitions may have been meant.
fn unbalance<'a>(figure: Reading<'a>, readings: &[Reading<'a>]) -> Option<Difference<'a>> {
    let from: Vec<Reading<'_>> = readings.iter().copied().filter(Reading::is_winding_resistance).collect();
    if from.len() != 3 {
        return None;
    }
    let values: Vec<f64> = from.iter().map(Reading::value).collect();
    // The last digit of each reading moves the unbalance by about its share of the mean, at both ends of the spread.
    let relative = |reading: &Reading<'_>| {
        let span = read(*reading);
        (span.high - span.low) / reading.value()
    };
    let blur = from.iter().map(relative).fold(0.0, f64::max);
    let printed = computed(figure);
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
fn beside_its_current<'a>(figure: Reading<'a>, readings: &[Reading<'a>]) -> Option<Difference<'a>> {
    if figure.quantity() != "insulation_resistance" {
        return None;
    }
    let difference = ohms_law(figure, readings)?;
    let current = difference.from.first()?;
    let same_time = figure.elapsed_s().is_none() || current.elapsed_s().is_none_or(|seconds| figure.is_at(seconds));
    (same_time && (difference.ours / figure.value() - 1.0).abs() > FAR).then_some(difference)
}

/// Voltage over the leakage current of the same circuit and voltage.
fn ohms_law<'a>(figure: Reading<'a>, readings: &[Reading<'a>]) -> Option<Difference<'a>> {
    let volts = figure.applied_voltage_v()?;
    let same_voltage =
        |reading: &Reading<'_>| reading.applied_voltage_v().is_some_and(|other| (other / volts - 1.0).abs() < 1e-6);
    let current = readings.iter().copied().find(|reading| {
        reading.quantity() == "leakage_current"
            && reading.circuit() == figure.circuit()
            && reading.is_exact()
            && same_voltage(reading)
    })?;
    let ours = Span { low: volts, high: volts }.over(read(current))?;
    if !figure.is_exact() || ours.meets(computed(figure)) {
        return None;
    }
    let hint = " MΩ from voltage and current";
    let what = "insulation resistance";
    Some(Difference { figure, what, ours: volts / current.value(), unit: "Ohm", from: vec![current], hint })
}

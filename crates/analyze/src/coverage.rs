//! Which part of the insulation of a machine was proven at which voltage and when, and what was never tested.
//!
//! A voltage counts as carried where the record says that the circuit withstood it, or where a measurement at that voltage gave a
//! reading. Withstand and surge tests without an outcome prove nothing; an assumed voltage proves nothing; a test before a rewind
//! proves nothing of the winding after it; a failure takes back what was proven before.

mod words;

use crate::features::{Applied, TestFeatures};
use crate::judge::Judged;
use crate::series::History;
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_criteria::stress::{Form, in_service};
use windrow_criteria::{Insulation, Machine, Missing, facts};
use windrow_model::{Coverage, TestKind, Text};

/// What a test did to a part of the insulation.
#[derive(Debug, Clone)]
pub(crate) struct Trial<'a> {
    pub(crate) test: &'a TestFeatures<'a>,
    kind: TestKind,
    form: Form,
    volts: f64,
    pub(crate) fate: Fate,
}

/// What became of it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Fate {
    Carried,
    Failed,
    Untold,
}

/// The evidence on one part.
#[derive(Debug, Clone, Default)]
struct Evidence<'a> {
    proven: Option<Trial<'a>>,
    failed: Option<Trial<'a>>,
    untold: Option<Trial<'a>>,
}

/// What service asks of one part, V crest with its basis, or why nobody can say.
type Stress = Result<(f64, Text), Missing>;

/// Rows of one machine, one a part of the insulation.
pub(crate) fn of_machine(history: &History<'_>) -> Vec<Coverage> {
    let Some(newest) = history.tests.last() else { return Vec::new() };
    let replaced = replaced_in(newest.test);
    let mut trials: BTreeMap<Insulation, Vec<Trial<'_>>> = BTreeMap::new();
    for judged in &history.tests {
        if !is_of_this_winding(judged.test, replaced) {
            continue;
        }
        for applied in &judged.applied {
            for (insulation, trial) in trials_of(judged, applied) {
                trials.entry(insulation).or_default().push(trial);
            }
        }
    }
    Insulation::INSULATING
        .iter()
        .map(|insulation| {
            let evidence = weigh(trials.remove(insulation).unwrap_or_default());
            row(history, *insulation, &newest.machine, &evidence, replaced)
        })
        .collect()
}

/// Year in which the winding was replaced last.
pub(crate) fn replaced_in(test: &TestFeatures<'_>) -> Option<i32> {
    test.nameplate().rewound_years.iter().copied().max()
}

/// Whether a test surely measured the winding that is in the machine now.
pub(crate) fn is_of_this_winding(test: &TestFeatures<'_>, replaced: Option<i32>) -> bool {
    let Some(replaced) = replaced else { return true };
    let after = matches!(test.stage.as_deref(), Some("new" | "after_rewind" | "before_return"));
    match test.performed_on.map(|date| i32::from(date.year())) {
        Some(year) => year > replaced || year == replaced && after,
        None => false,
    }
}

/// What the voltages of one test did to the parts that they stress.
pub(crate) fn trials_of<'a>(judged: &Judged<'a>, applied: &Applied<'_>) -> Vec<(Insulation, Trial<'a>)> {
    let test = judged.test;
    let Some(kind) = TestKind::from_code(&test.kind) else { return Vec::new() };
    let own = test.test_voltage_v.filter(|_| test.test_voltage_basis != "assumed");
    let (Some(form), Some(volts)) = (Form::of(kind), applied.volts.or(own)) else { return Vec::new() };
    if !(volts.is_finite() && volts > 0.0) {
        return Vec::new();
    }
    let fate = fate(kind, test, applied);
    let insulating = facts::of(kind).stressed(applied.circuit).filter(|part| Insulation::INSULATING.contains(part));
    insulating.map(|part| (part, Trial { test, kind, form, volts, fate })).collect()
}

fn fate(kind: TestKind, test: &TestFeatures<'_>, applied: &Applied<'_>) -> Fate {
    let measures = matches!(
        kind,
        TestKind::InsulationResistance
            | TestKind::DcStep
            | TestKind::DcRamp
            | TestKind::DissipationFactor
            | TestKind::PartialDischarge
    );
    match (applied.broke_down, test.withstood) {
        (true, _) => Fate::Failed,
        (false, Some(false)) if !applied.withstood => Fate::Failed,
        (false, Some(_)) => Fate::Carried,
        (false, None) if measures => Fate::Carried,
        (false, None) => Fate::Untold,
    }
}

/// The newest failure, and the highest voltage carried since, or ever when nothing failed.
fn weigh(trials: Vec<Trial<'_>>) -> Evidence<'_> {
    let day = |trial: &Trial<'_>| trial.test.performed_on;
    let failed = trials.iter().filter(|trial| trial.fate == Fate::Failed).max_by_key(|trial| day(trial)).cloned();
    // A test of the day of the failure, or of no day, may have come before it.
    let since = |trial: &&Trial<'_>| match &failed {
        Some(failed) => day(trial) > day(failed),
        None => true,
    };
    let highest = |fate: Fate| {
        let of_fate = trials.iter().filter(|trial| trial.fate == fate).filter(since);
        of_fate
            .max_by(|a, b| {
                // Among equal voltages the newest test counts.
                a.crest_v().total_cmp(&b.crest_v()).then(day(a).cmp(&day(b)))
            })
            .cloned()
    };
    Evidence { proven: highest(Fate::Carried), untold: highest(Fate::Untold), failed }
}

impl Trial<'_> {
    pub(crate) fn crest_v(&self) -> f64 {
        self.form.crest_v(self.volts)
    }

    fn on(&self) -> Option<Date> {
        self.test.performed_on
    }
}

fn row(
    history: &History<'_>,
    insulation: Insulation,
    machine: &Machine,
    evidence: &Evidence<'_>,
    replaced: Option<i32>,
) -> Coverage {
    let stress = in_service(insulation, machine).and_then(|stress| {
        stress.ok_or_else(|| Missing { field: "insulation", reason: "service puts no voltage on it".to_owned() })
    });
    let standing = standing(evidence, &stress);
    let (proven, failed) = (evidence.proven.as_ref(), evidence.failed.as_ref());
    Coverage {
        asset_id: Text::new(history.asset_id),
        tag: Text::new(history.tag),
        site: history.tests.last().and_then(|judged| judged.test.nameplate().site.clone()),
        insulation: Text::new_static(insulation.code()),
        rated_voltage_v: machine.rated_voltage().ok(),
        proven_v: proven.map(|trial| trial.volts),
        proven_form: proven.map(|trial| Text::new_static(trial.form.code())),
        proven_crest_v: proven.map(Trial::crest_v),
        proven_kind: proven.map(|trial| Text::new_static(trial.kind.code())),
        proven_on: proven.and_then(Trial::on),
        proven_test_id: proven.map(|trial| trial.test.test_id.clone()),
        failed_v: failed.map(|trial| trial.volts),
        failed_kind: failed.map(|trial| Text::new_static(trial.kind.code())),
        failed_on: failed.and_then(Trial::on),
        failed_test_id: failed.map(|trial| trial.test.test_id.clone()),
        untold_v: evidence.untold.as_ref().map(|trial| trial.volts),
        stress_v: stress.as_ref().ok().map(|(volts, _)| *volts),
        stress_basis: stress.as_ref().ok().map(|(_, basis)| basis.clone()),
        since_year: replaced,
        standing: Text::new_static(standing),
        statement: words::statement(insulation, evidence, &stress, replaced).into(),
        cautions: Text::new_static(windrow_criteria::cautions::HIGH_VOLTAGE),
    }
}

/// `proven`, `below_stress`, `failed`, `untold`, `never_tested` or `stress_unknown`.
fn standing(evidence: &Evidence<'_>, stress: &Stress) -> &'static str {
    match (&evidence.proven, stress) {
        (Some(trial), Ok((stress, _))) if trial.crest_v() >= *stress => "proven",
        (Some(_), Ok(_)) => "below_stress",
        (Some(_), Err(_)) => "stress_unknown",
        (None, _) if evidence.failed.is_some() => "failed",
        (None, _) if evidence.untold.is_some() => "untold",
        (None, _) => "never_tested",
    }
}

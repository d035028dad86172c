//! Coverage in plain words.

use super::{Evidence, Stress, Trial};
use windrow_criteria::{Insulation, facts};

/// One sentence or two on one part of the insulation.
pub(super) fn statement(
    insulation: Insulation,
    evidence: &Evidence<'_>,
    stress: &Stress,
    replaced: Option<i32>,
) -> String {
    let mut parts = vec![format!("{}: {}", capital(insulation.words()), found(insulation, evidence))];
    if let Some(trial) = &evidence.proven {
        parts.push(beside(insulation, trial, stress));
    }
    if let (Some(failed), true) = (&evidence.failed, evidence.proven.is_some()) {
        parts.push(format!("It had failed {}.", told(failed)));
    }
    if let Some(year) = replaced {
        parts.push(format!("Tests of the winding before the rewind of {year} do not count."));
    }
    parts.join(" ")
}

fn found(insulation: Insulation, evidence: &Evidence<'_>) -> String {
    match (&evidence.proven, &evidence.failed, &evidence.untold) {
        (Some(trial), _, _) => format!("carried {}.", told(trial)),
        (None, Some(failed), _) => {
            format!("failed {}, and no later test shows that it carries anything.", told(failed))
        }
        (None, None, Some(trial)) => {
            format!("stressed with {}, but the record does not tell the outcome.", told(trial))
        }
        (None, None, None) => format!("never tested in these records. {}", why(insulation)),
    }
}

/// Why other tests do not stand in.
const fn why(insulation: Insulation) -> &'static str {
    match insulation {
        Insulation::TurnToTurn => {
            "Only a surge puts a voltage between turns; a direct-voltage test proves nothing there."
        }
        Insulation::PhaseToPhase => {
            "With all phases together nothing lies between them; it takes one phase against the others, those earthed."
        }
        Insulation::GroundWall | Insulation::Connections => "No test at a told voltage is on record.",
    }
}

/// The proof beside what service asks.
fn beside(insulation: Insulation, trial: &Trial<'_>, stress: &Stress) -> String {
    let (volts, _) = match stress {
        Ok(stress) => stress,
        Err(missing) => return format!("What service asks of it is not known: {missing}."),
    };
    let share = trial.crest_v() / volts;
    let asked = match insulation {
        Insulation::TurnToTurn => "the surge of a start",
        _ => "the crest of the operating voltage",
    };
    if share >= 1.0 {
        return format!("That is {share:.1} times {asked} ({}).", kilovolts(*volts));
    }
    let so = match insulation {
        Insulation::TurnToTurn => "it cannot show what a start would break",
        _ => "service itself stresses it more than any test did",
    };
    format!("That is {:.0} % of {asked} ({}): {so}.", share * 100.0, kilovolts(*volts))
}

/// `5.00 kV DC in an insulation resistance test on 2019-04-01`.
fn told(trial: &Trial<'_>) -> String {
    let on = match (trial.on(), trial.test.performed_precision.as_str()) {
        (Some(date), "year") => format!("in {}", date.year()),
        (Some(date), "month" | "quarter") => format!("in {}-{:02}", date.year(), date.month()),
        (Some(date), _) => format!("on {date}"),
        (None, _) => "on a day not known".to_owned(),
    };
    let form = trial.form.unit().trim_start_matches('V').trim();
    let title = &facts::of(trial.kind).title;
    let name = title.split(',').next().unwrap_or(title).trim_end_matches(" and polarization index");
    format!("{} {form} ({name}) {on}", kilovolts(trial.volts))
}

fn kilovolts(volts: f64) -> String {
    if volts >= 1000.0 { format!("{:.2} kV", volts / 1000.0) } else { format!("{volts:.0} V") }
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map(|first| first.to_uppercase().chain(letters).collect()).unwrap_or_default()
}

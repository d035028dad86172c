//! `windrow fleet`: statistics of the fleet by cohort.

use crate::args::{ListArgs, ListFormat};
use crate::{Ending, output};
use windrow_analyze::cohorts::{Cohort, cohorts};
use windrow_model::{Asset, TestSummary};
use windrow_store::Fleet;

pub(crate) fn run(args: &ListArgs) -> anyhow::Result<Ending> {
    let snapshot = Fleet::open(&args.fleet.fleet)?.snapshot()?;
    let assets: Vec<Asset> = snapshot.rows()?;
    let summaries: Vec<TestSummary> = snapshot.rows()?;
    let all = cohorts(&assets, &summaries);
    match args.format {
        ListFormat::Json => output::data((serde_json::to_string_pretty(&all)? + "\n").as_bytes())?,
        ListFormat::Csv => output::list(&COLUMNS, &all.iter().map(row).collect::<Vec<_>>(), ListFormat::Csv)?,
        ListFormat::Table => {
            output::list(&SHOWN, &all.iter().map(shown).collect::<Vec<_>>(), ListFormat::Table)?;
        }
    }
    if summaries.is_empty() && !assets.is_empty() {
        output::note("these records were not analyzed yet: windrow analyze --fleet DIR");
    } else {
        output::note(
            "each machine by its newest test that tells the figure; the same numbers as SQL: schema/sql/fleet_*.sql",
        );
    }
    Ok(Ending::Clean)
}

const COLUMNS: [&str; 21] = [
    "rating_class",
    "winding_kind",
    "insulation_era",
    "machines",
    "tests",
    "resistance_machines",
    "resistance_at_least",
    "resistance_q10_ohm",
    "resistance_q50_ohm",
    "resistance_q90_ohm",
    "minimum_machines",
    "minimum_below",
    "index_machines",
    "index_q50",
    "index_below",
    "unbalance_machines",
    "unbalance_q50",
    "unbalance_q90",
    "withstood_machines",
    "withstood_q50_pu",
    "failed_machines",
];

fn row(cohort: &Cohort) -> Vec<String> {
    let number = |value: Option<f64>| value.map(|value| value.to_string()).unwrap_or_default();
    vec![
        cohort.rating_class.clone(),
        cohort.winding_kind.clone(),
        cohort.insulation_era.clone(),
        cohort.machines.to_string(),
        cohort.tests.to_string(),
        cohort.resistance_machines.to_string(),
        cohort.resistance_at_least.to_string(),
        number(cohort.resistance_q10_ohm),
        number(cohort.resistance_q50_ohm),
        number(cohort.resistance_q90_ohm),
        cohort.minimum_machines.to_string(),
        cohort.minimum_below.to_string(),
        cohort.index_machines.to_string(),
        number(cohort.index_q50),
        cohort.index_below.to_string(),
        cohort.unbalance_machines.to_string(),
        number(cohort.unbalance_q50),
        number(cohort.unbalance_q90),
        cohort.withstood_machines.to_string(),
        number(cohort.withstood_q50_pu),
        cohort.failed_machines.to_string(),
    ]
}

const SHOWN: [&str; 11] = [
    "rating",
    "winding",
    "insulation",
    "machines",
    "tests",
    "IR at 40 °C, MΩ: 10 % | 50 % | 90 %",
    "at least",
    "below minimum",
    "PI (below its minimum)",
    "unbalance 50 % | 90 %",
    "withstood, p.u. (failed)",
];

fn shown(cohort: &Cohort) -> Vec<String> {
    let told = |count: usize, text: String| if count == 0 { "–".to_owned() } else { text };
    let quantiles = [cohort.resistance_q10_ohm, cohort.resistance_q50_ohm, cohort.resistance_q90_ohm];
    let megohms = quantiles.map(|value| value.map_or("above the ceilings".to_owned(), |ohm| significant(ohm / 1e6)));
    let percent = |value: Option<f64>| value.map_or(String::new(), |value| format!("{:.2} %", value * 100.0));
    let ratio = |value: Option<f64>| value.map_or("above the ceilings".to_owned(), |value| format!("{value:.2}"));
    vec![
        cohort.rating_class.clone(),
        cohort.winding_kind.clone(),
        cohort.insulation_era.clone(),
        cohort.machines.to_string(),
        cohort.tests.to_string(),
        told(cohort.resistance_machines, format!("{} of {}", megohms.join(" | "), cohort.resistance_machines)),
        told(cohort.resistance_machines, cohort.resistance_at_least.to_string()),
        told(cohort.minimum_machines, format!("{} of {}", cohort.minimum_below, cohort.minimum_machines)),
        told(
            cohort.index_machines,
            format!("{} of {} ({})", ratio(cohort.index_q50), cohort.index_machines, cohort.index_below),
        ),
        told(
            cohort.unbalance_machines,
            format!(
                "{} | {} of {}",
                percent(cohort.unbalance_q50),
                percent(cohort.unbalance_q90),
                cohort.unbalance_machines
            ),
        ),
        told(
            cohort.withstood_machines + cohort.failed_machines,
            format!(
                "{} of {} ({})",
                cohort.withstood_q50_pu.map_or("–".to_owned(), |level| format!("{level:.2}")),
                cohort.withstood_machines,
                cohort.failed_machines
            ),
        ),
    ]
}

/// Three significant digits.
fn significant(value: f64) -> String {
    match value {
        value if value >= 100.0 => format!("{value:.0}"),
        value if value >= 10.0 => format!("{value:.1}"),
        value => format!("{value:.2}"),
    }
}

//! Which tests are due by a site's intervals, with what must hold before them and what the standards ask.
//!
//! A plan is no order to test. What it lists comes from the records alone: a test that was made and never recorded is due here.

use crate::nameplate;
use jiff::Span;
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_criteria::{Preference, State, TestFacts, asked, cautions, facts};
use windrow_model::settings::Settings;
use windrow_model::{Asset, TestKind, TestSummary};

/// How a test stands on the day of the plan.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Standing {
    /// Its day has passed.
    Overdue,
    /// No record of such a test of this winding.
    NeverTested,
    /// Its day comes within the time asked for.
    Due,
}

impl Standing {
    /// In words.
    #[must_use]
    pub const fn words(self) -> &'static str {
        match self {
            Self::Overdue => "overdue",
            Self::NeverTested => "never tested",
            Self::Due => "due",
        }
    }
}

/// A test that is due.
#[derive(Debug, Clone, PartialEq)]
pub struct DueTest {
    /// The machine.
    pub asset: Asset,
    /// Kind of test, with what it stresses, cannot see, and what must hold before it.
    pub facts: &'static TestFacts,
    /// Place in the order in which the tests of one machine are made, from 1.
    pub order: usize,
    /// Day of the last such test; the first day of its period where the record is coarser.
    pub last_on: Option<Date>,
    /// Day on which the next is due; the day of the plan where there was none.
    pub due_on: Date,
    /// How it stands.
    pub standing: Standing,
    /// Months between two tests.
    pub months: u16,
    /// What the standards ask, each with its basis, or why nobody can say.
    pub asks: Vec<String>,
    /// What must be said wherever the test is shown.
    pub caution: &'static str,
}

/// Why no plan can be made.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("windrow.toml, [plan.months]: {0:?} is no kind of test; kinds are {1}")]
pub struct UnknownKind(String, String);

/// Tests that are due on `on` or within `within_days` after it, by machine and in the order in which they are made. Machines that are
/// out of service are left out.
///
/// # Errors
/// When the settings name a kind of test that there is none of.
pub fn due(
    assets: &[Asset],
    summaries: &[TestSummary],
    settings: &Settings,
    (on, within_days): (Date, u16),
) -> Result<Vec<DueTest>, UnknownKind> {
    if let Some(unknown) = settings.plan.months.keys().find(|kind| TestKind::from_code(kind).is_none()) {
        let kinds: Vec<&str> = TestKind::ALL.iter().map(|kind| kind.code()).collect();
        return Err(UnknownKind(unknown.clone(), kinds.join(", ")));
    }
    let horizon = on.saturating_add(Span::new().days(i64::from(within_days)));
    let last = last_tests(assets, summaries);
    let mut plan = Vec::new();
    let mut machines: Vec<&Asset> = assets.iter().filter(|asset| asset.in_service != Some(false)).collect();
    machines.sort_by_key(|asset| (&asset.site, &asset.tag, &asset.asset_id));
    for asset in machines {
        let mut order = 0;
        for facts in facts::in_order() {
            let Some(months) = settings.plan.months.get(facts.kind()).copied() else { continue };
            let last_on = last.get(&(asset.asset_id.as_str(), facts.kind())).copied();
            let next = last_on.map_or(on, |last| last.saturating_add(Span::new().months(i64::from(months))));
            if next > horizon {
                continue;
            }
            order += 1;
            plan.push(DueTest {
                asset: asset.clone(),
                facts,
                order,
                last_on,
                due_on: next,
                standing: match last_on {
                    None => Standing::NeverTested,
                    Some(_) if next < on => Standing::Overdue,
                    Some(_) => Standing::Due,
                },
                months,
                asks: asks(asset, facts, settings, on),
                caution: caution(facts),
            });
        }
    }
    Ok(plan)
}

/// Day of the newest test of each kind on the winding that the machine has now.
fn last_tests<'a>(assets: &'a [Asset], summaries: &'a [TestSummary]) -> BTreeMap<(&'a str, &'a str), Date> {
    let replaced: BTreeMap<&str, i32> = assets
        .iter()
        .filter_map(|asset| Some((asset.asset_id.as_str(), asset.rewound_years.iter().copied().max()?)))
        .collect();
    let mut last = BTreeMap::new();
    for summary in summaries {
        let (Some(asset), Some(on)) = (summary.asset_id.as_deref(), summary.performed_on) else { continue };
        if replaced.get(asset).is_some_and(|year| i32::from(on.year()) < *year) {
            continue;
        }
        let newest = last.entry((asset, summary.kind.as_str())).or_insert(on);
        *newest = on.max(*newest);
    }
    last
}

/// What is asked of the winding in service, figure and basis.
fn asks(asset: &Asset, facts: &TestFacts, settings: &Settings, on: Date) -> Vec<String> {
    let machine = nameplate::machine(asset, Some(on), &settings.judging);
    match asked::of(&machine, State::InService, Preference::of(&settings.judging)) {
        Err(missing) => vec![format!("no level: {missing}")],
        Ok(table) => {
            let decided = table.asks.iter().filter(|asks| asks.test.kind() == facts.kind());
            let open = table.undecided.iter().filter(|open| open.test.kind() == facts.kind());
            let open =
                open.map(|open| format!("not decided: the records do not tell the {}", open.field.replace('_', " ")));
            let told = decided.map(|asks| format!("{}; {}", asks.figure(), asks.basis)).chain(open);
            let told: Vec<String> = told.chain(facts.no_limit.clone()).collect();
            if told.is_empty() { vec!["no rule that is known here asks a level".to_owned()] } else { told }
        }
    }
}

fn caution(facts: &TestFacts) -> &'static str {
    match TestKind::from_code(facts.kind()) {
        Some(TestKind::WindingResistance | TestKind::Inductance) => cautions::CONDUCTOR,
        Some(TestKind::InsulationResistance) => cautions::GROUND_WALL,
        _ => cautions::HIGH_VOLTAGE,
    }
}

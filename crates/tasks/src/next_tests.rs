//! The tests that come next, as pages show them.

use jiff::civil::Date;
use windrow_analyze::plan::{DueTest, due};
use windrow_model::settings::Settings;
use windrow_model::{Asset, TestSummary};
use windrow_report::next_tests::{NextTest, Plan};

/// Days ahead that are shown.
const WITHIN: u16 = 365;

/// Tests that are due on `on` or within a year after it, by machine and in the order in which they are made.
///
/// # Errors
/// When the settings name a kind of test that there is none of.
pub fn plan(assets: &[Asset], summaries: &[TestSummary], settings: &Settings, on: Date) -> anyhow::Result<Plan> {
    let tests = due(assets, summaries, settings, (on, WITHIN))?.into_iter().map(shown).collect();
    Ok(Plan { on: Some(on), tests })
}

fn shown(test: DueTest) -> NextTest {
    NextTest {
        asset_id: test.asset.asset_id,
        order: test.order,
        title: test.facts.title.clone(),
        standing: test.standing.words().to_owned(),
        due_on: test.due_on,
        last_on: test.last_on,
        months: test.months,
        asks: test.asks,
        stresses: test.facts.stresses_in_words(),
        cannot_see: test.facts.cannot_see.clone(),
        before: test.facts.before.clone(),
        caution: test.caution.to_owned(),
    }
}

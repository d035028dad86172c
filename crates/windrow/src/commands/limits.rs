//! `windrow limits`: the rules with their sources, or one of them explained.

use super::levels::{known, whose};
use crate::args::LimitsArgs;
use crate::{Ending, output};
use std::fmt::Write;
use windrow_criteria::asked::figure;
use windrow_criteria::{Rule, cautions, rule, rules};
use windrow_tasks::WrongUsage;

pub(crate) fn run(args: &LimitsArgs) -> anyhow::Result<Ending> {
    let Some(id) = &args.id else {
        let rows: Vec<Vec<String>> = rules().iter().map(row).collect();
        output::list(
            &["rule", "about", "figure", "scope", "whose", "standard", "clause", "known"],
            &rows,
            args.format,
        )?;
        return Ok(Ending::Clean);
    };
    let found = rules().iter().find(|rule| rule.id.eq_ignore_ascii_case(id));
    let Some(rule) = found else {
        return Err(WrongUsage(format!("no rule is called {id:?}; `windrow limits` lists them")).into());
    };
    output::data(explained(rule).as_bytes())?;
    Ok(Ending::Clean)
}

fn row(rule: &Rule) -> Vec<String> {
    vec![
        rule.id.clone(),
        rule.subject.words().to_owned(),
        rule.formula.clone(),
        rule.scope.clone(),
        whose(rule.family).to_owned(),
        rule.edition(),
        rule.clause.clone(),
        known(rule.known).to_owned(),
    ]
}

fn explained(rule: &Rule) -> String {
    let mut out = String::new();
    let mut line = |name: &str, text: &str| {
        let _ = writeln!(out, "{name:<10} {text}");
    };
    line("rule", &rule.id);
    line("about", rule.subject.words());
    line("formula", &rule.formula);
    line("for", &rule.scope);
    let states: Vec<&str> = rule.state.iter().map(|state| state.words()).collect();
    if !states.is_empty() {
        line("state", &states.join(", "));
    }
    if let Some(front) = &rule.front {
        line("rise time", front);
    }
    if let Some(seconds) = rule.duration_s {
        line("duration", &format!("{seconds} s"));
    }
    line("whose", whose(rule.family));
    line("source", &format!("{} {}", rule.edition(), rule.clause));
    line("known", &rule.how);
    if let Some(example) = &rule.example {
        let power = example.rated_power_w.map(|watts| format!(", {} kW", watts / 1000.0)).unwrap_or_default();
        let gives = figure(rule, example.gives, example.up_to);
        line("example", &format!("{} V{power}: {gives} ({})", example.rated_voltage_v, example.source));
    }
    let beside: Vec<&str> = rule::on(rule.subject)
        .filter(|other| other.family != rule.family && other.state == rule.state)
        .map(|other| other.id.as_str())
        .collect();
    if !beside.is_empty() {
        line("beside it", &beside.join(", "));
    }
    line("caution", cautions::of(rule.subject));
    out
}

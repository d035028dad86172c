//! What a person needs to know at the end of a run: what was met, what became of it, what waits, and what to do next.

use crate::Ending;
use std::path::Path;
use windrow_model::layout::MISFIT;
use windrow_model::{Disposition, SourceRow};
use windrow_pipeline::News;
use windrow_store::Outcome;
use windrow_tasks::Totals;
use windrow_tasks::import::Imported;
use windrow_tasks::judge::{Found, Judgement};

/// Most files that are listed one by one; the rest is a query away.
const MOST_LISTED: usize = 20;

/// Whether something waits for a person.
pub(crate) fn ending(totals: &Totals) -> Ending {
    let is_open = |status: &str| !matches!(status, "read" | "skipped");
    let open = totals.questions > 0 || totals.sources.iter().any(|source| is_open(&source.status));
    if open { Ending::Open } else { Ending::Clean }
}

/// Files, machines, tests, cells by disposition, holds; last the files that need a look.
pub(crate) fn of_import(imported: &Imported) -> String {
    let totals = &imported.totals;
    let mut lines = vec![
        line("files", &files(&totals.sources)),
        line("this time", &this_time(&imported.news, imported.outcome)),
        line("stored", &stored(totals)),
        line("cells", &cells(totals)),
        line("holds", &holds(totals)),
    ];
    let news = &imported.news;
    lines.extend(listed("changed", &news.changed));
    lines.extend(listed("missing", &news.missing));
    lines.extend(listed("forgotten", &news.forgotten));
    lines.extend(listed("layouts", &misfits(&totals.sources)));
    lines.extend(listed("not read", &with_reasons(&totals.sources, "refused")));
    lines.extend(listed("passed", &with_reasons(&totals.sources, "skipped")));
    lines.join("\n")
}

/// Findings by level, and how many machines had to be looked at anew.
pub(crate) fn of_judgement(judgement: &Judgement) -> String {
    let Judgement { found, looks, damage } = judgement;
    let mut lines = vec![of_findings(*found)];
    let as_before = looks.machines.saturating_sub(looks.anew);
    let forecasts_as_before = looks.forecasts.saturating_sub(looks.forecasts_anew);
    lines.push(match damage {
        None => line("looked at", &format!("{} machines anew, {as_before} as before", looks.anew)),
        Some(damage) => line(
            "looked at",
            &format!(
                "{} machines anew, {as_before} as before: what the analysis before left was damaged ({damage}) and is made again",
                looks.anew
            ),
        ),
    });
    lines.push(line("forecasts", &format!("{} anew, {forecasts_as_before} as before", looks.forecasts_anew)));
    lines.join("\n")
}

fn of_findings(Found { act, plan, watch, note, .. }: Found) -> String {
    line("findings", &format!("{act} act, {plan} plan, {watch} watch, {note} note"))
}

/// Where the page is.
pub(crate) fn of_report(page: &Path) -> String {
    line("report", &page.display().to_string())
}

/// What to do after a whole run.
pub(crate) fn after_run(totals: &Totals, fleet: &Path, page: &Path) -> String {
    let mut steps = vec![format!("open {} in a browser: findings first, then what is open", page.display())];
    steps.extend(open_steps(totals, fleet));
    listing("next", &steps)
}

/// What to do after an import alone.
pub(crate) fn after_import(totals: &Totals, fleet: &Path) -> String {
    let fleet_text = fleet.display();
    let mut steps = vec![
        format!("windrow analyze --fleet {fleet_text}    judges what is stored"),
        format!("windrow report --fleet {fleet_text}     writes it as one page"),
    ];
    steps.extend(open_steps(totals, fleet));
    listing("next", &steps)
}

fn open_steps(totals: &Totals, fleet: &Path) -> Vec<String> {
    let fleet = fleet.display();
    let mut steps = Vec::new();
    if totals.questions > 0 {
        steps.push(format!("windrow holds --fleet {fleet}    shows what waits for your answer"));
    }
    if totals.cells(Disposition::Unread) > 0 {
        steps.push(format!("windrow unread --fleet {fleet}    shows what nothing understood"));
    }
    if totals.sources.iter().filter(|source| source.status == "refused").count() > MOST_LISTED {
        steps.push(format!(
            "windrow query \"SELECT source_file, reason FROM sources WHERE status = 'refused'\" --fleet {fleet}    shows all files not read"
        ));
    }
    steps
}

fn files(sources: &[SourceRow]) -> String {
    let with = |status: &str| sources.iter().filter(|source| source.status == status).count();
    let mut parts = vec![
        format!("{} read", with("read")),
        format!("{} partly read", with("partly read")),
        format!("{} not read", with("refused")),
    ];
    if with("skipped") > 0 {
        parts.push(format!("{} passed over", with("skipped")));
    }
    format!("{} in the fleet: {}", sources.len(), parts.join(", "))
}

fn this_time(news: &News, outcome: Outcome) -> String {
    let counts = [
        (news.new.len(), "new"),
        (news.changed.len(), "changed"),
        (news.unchanged, "unchanged"),
        (news.missing.len(), "missing (what they told is kept)"),
        (news.forgotten.len(), "forgotten"),
        (news.elsewhere, "kept from earlier imports"),
    ];
    let parts: Vec<String> =
        counts.iter().filter(|(count, _)| *count > 0).map(|(count, what)| format!("{count} {what}")).collect();
    let result = match outcome {
        Outcome::Unchanged => "; the tables stay as they are",
        Outcome::Committed => "",
    };
    format!("{}{result}", parts.join(", "))
}

fn stored(totals: &Totals) -> String {
    let at = match totals.sites {
        0 => String::new(),
        1 => " at 1 site".to_owned(),
        sites => format!(" at {sites} sites"),
    };
    let waveforms = match totals.waveforms {
        0 => String::new(),
        many => format!(", {many} waveforms"),
    };
    format!("{} machines{at}, {} tests, {} readings{waveforms}", totals.machines, totals.tests, totals.readings)
}

fn cells(totals: &Totals) -> String {
    let parts: Vec<String> =
        Disposition::ALL.iter().map(|disposition| format!("{} {disposition}", totals.cells(*disposition))).collect();
    format!("{} not empty = {}", totals.all_cells(), parts.join(" + "))
}

fn holds(totals: &Totals) -> String {
    match totals.questions {
        0 => "0 waiting".to_owned(),
        1 => "1 question waits for you: what the records leave open is held, not guessed".to_owned(),
        many => format!("{many} questions wait for you: what the records leave open is held, not guessed"),
    }
}

/// Layouts that almost fit, and what they miss.
fn misfits(sources: &[SourceRow]) -> Vec<String> {
    let told = |source: &SourceRow| {
        let notes: Vec<String> =
            source.reason.iter().flat_map(|reason| reason.split("; ")).map(str::to_owned).collect();
        let own = notes.into_iter().filter(|note| note.starts_with(MISFIT));
        own.map(|note| format!("{}: {note}", source.source_file)).collect::<Vec<_>>()
    };
    sources.iter().flat_map(told).collect()
}

fn with_reasons(sources: &[SourceRow], status: &str) -> Vec<String> {
    let of_status = sources.iter().filter(|source| source.status == status);
    of_status.map(|source| format!("{}: {}", source.source_file, source.reason.as_deref().unwrap_or(""))).collect()
}

/// Names under one heading, if there are any.
fn listed(heading: &str, names: &[String]) -> Option<String> {
    let mut shown: Vec<String> = names.iter().take(MOST_LISTED).cloned().collect();
    if names.len() > MOST_LISTED {
        shown.push(format!("and {} more", names.len() - MOST_LISTED));
    }
    (!shown.is_empty()).then(|| listing(heading, &shown))
}

fn listing(heading: &str, texts: &[String]) -> String {
    let lines: Vec<String> =
        texts.iter().enumerate().map(|(index, text)| line(if index == 0 { heading } else { "" }, text)).collect();
    lines.join("\n")
}

fn line(heading: &str, text: &str) -> String {
    format!("{heading:<10} {text}")
}

//! `windrow feed`: events to other systems, and their answers.

use crate::args::FeedArgs;
use crate::{Ending, output};
use std::fmt::Write;
use std::path::Path;
use windrow_feed::{
    Answers, Asked, Fed, Feed, Preview, Remembered, Report, RuleShare, forget, read_answers, remembered, shares,
};
use windrow_model::Finding;
use windrow_store::Fleet;
use windrow_tasks::judge::judge;
use windrow_tasks::{WrongUsage, clock};

/// Largest file of answers, bytes.
const LARGEST: u64 = 64 << 20;

pub(crate) fn run(args: &FeedArgs) -> anyhow::Result<Ending> {
    let fleet = Fleet::open(&args.fleet.fleet)?;
    if let Some(file) = &args.receive {
        return receive(&fleet, file);
    }
    if args.outcomes {
        output::data(shares_table(&known_shares(&fleet)?).as_bytes())?;
        return Ok(Ending::Clean);
    }
    if args.sinks {
        output::data(sinks_table(&remembered(&fleet)?).as_bytes())?;
        return Ok(Ending::Clean);
    }
    if let Some(sink) = &args.forget {
        let stood = forget(&fleet, sink)?;
        let (waiting, refused) = (stood.waiting, stood.refused.len());
        output::line(&format!(
            "{sink} is forgotten: {waiting} events waited for it, {refused} of those it was sent were refused"
        ));
        return Ok(Ending::Clean);
    }
    let today = clock::today();
    let asked = Asked { on: args.on.unwrap_or(today), today, into: args.into.clone() };
    if args.dry_run {
        return preview(&Feed::preview(fleet, asked)?);
    }
    let feed = Feed::open(fleet, asked)?;
    if let Some(path) = feed.prepared() {
        output::note(&format!("wrote {} with every setting explained, and two templates beside it", path.display()));
    }
    let fed = match &args.replay {
        Some(sink) => Fed { reports: vec![feed.replay(sink)?], notes: Vec::new() },
        None => feed.send()?,
    };
    for note in &fed.notes {
        output::note(note);
    }
    told(&fed.reports)
}

/// Every sink with how it stands, then what each refused.
fn sinks_table(sinks: &[Remembered]) -> String {
    if sinks.is_empty() {
        return "no sink is set up, and none was ever fed\n".to_owned();
    }
    let row = |sink: &Remembered| {
        let standing = match (&sink.gone, sink.is_in_settings) {
            (Some(why), _) => format!("wants nothing more: {why}"),
            (None, true) => "in sinks.toml".to_owned(),
            (None, false) => format!("not in sinks.toml; --forget {:?} forgets it", sink.name),
        };
        let fed = sink.last_fed.clone().unwrap_or_else(|| "never".to_owned());
        vec![sink.name.clone(), fed, sink.waiting.to_string(), sink.refused.len().to_string(), standing]
    };
    let rows: Vec<Vec<String>> = sinks.iter().map(row).collect();
    let mut out = output::table(&["sink", "last fed", "waiting", "refused", "standing"], &rows);
    let refused = sinks.iter().flat_map(|sink| sink.refused.iter().map(|event| (&sink.name, event)));
    let rows: Vec<Vec<String>> = refused
        .map(|(sink, event)| {
            let texts = [sink, &event.number.to_string(), &event.kind, &event.machine, &event.id, &event.reason];
            texts.map(Clone::clone).to_vec()
        })
        .collect();
    if !rows.is_empty() {
        out.push_str("\nrefused, or waiting behind what was; --replay SINK sends it again\n");
        out.push_str(&output::table(&["sink", "number", "kind", "machine", "event", "why"], &rows));
    }
    out
}

/// Prints what would go: its name on standard error, its content on standard output.
fn preview(previews: &[Preview]) -> anyhow::Result<Ending> {
    let mut problems = Vec::new();
    for preview in previews {
        output::note(&format!("{}: {} files or requests", preview.sink, preview.parts.len()));
        for (name, body) in &preview.parts {
            output::note(&format!("{}: {name}, {} bytes", preview.sink, body.len()));
            output::data(body)?;
            if body.last() != Some(&b'\n') {
                output::data(b"\n")?;
            }
        }
        if let Some(notice) = &preview.notice {
            output::note(&format!("{}: {notice}", preview.sink));
        }
        problems.extend(preview.problem.as_ref().map(|problem| format!("{}: {problem}", preview.sink)));
    }
    output::note("nothing was sent or stored");
    failing(&problems)?;
    Ok(Ending::Clean)
}

fn told(reports: &[Report]) -> anyhow::Result<Ending> {
    let mut problems = Vec::new();
    for report in reports {
        let mut line = format!("{}: {} events sent", report.name, report.sent);
        if report.waiting > 0 {
            let _ = write!(line, ", {} wait", report.waiting);
        }
        if report.refused > 0 {
            let _ = write!(
                line,
                ", {} refused or waiting behind one (--sinks shows why, --replay {:?} sends them again)",
                report.refused, report.name
            );
        }
        output::line(&line);
        if let Some(notice) = &report.notice {
            output::note(&format!("{}: {notice}", report.name));
        }
        problems.extend(report.problem.as_ref().map(|problem| format!("{}: {problem}", report.name)));
    }
    failing(&problems)?;
    Ok(if reports.iter().any(|report| report.refused > 0) { Ending::Open } else { Ending::Clean })
}

fn failing(problems: &[String]) -> anyhow::Result<()> {
    anyhow::ensure!(
        problems.is_empty(),
        "not everything could go; it waits in the outbox\n  {}",
        problems.join("\n  ")
    );
    Ok(())
}

fn receive(fleet: &Fleet, file: &Path) -> anyhow::Result<Ending> {
    let cannot = |why: String| WrongUsage(format!("{} {why}", file.display()));
    let size = std::fs::metadata(file).map_err(|error| cannot(format!("cannot be read ({error})")))?.len();
    if size > LARGEST {
        return Err(cannot(format!("has {size} bytes; answers of at most {LARGEST} are read")).into());
    }
    let bytes = std::fs::read(file).map_err(|error| cannot(format!("cannot be read ({error})")))?;
    let findings: Vec<Finding> = fleet.snapshot()?.rows()?;
    let answers = read_answers(&bytes, &findings, &fleet.acknowledgements()?)
        .map_err(|error| WrongUsage(format!("{}: {error}", file.display())))?;
    let Answers { words, known, wrong, unused } = answers;
    let count = words.len();
    if count > 0 {
        fleet.acknowledge_all(words)?;
    }
    // What was known already may have been taken by a run whose judgement failed; judging the same again changes nothing.
    if count + known > 0 {
        judge(fleet.dir())?;
    }
    output::line(&format!("{count} answers taken into {}, {known} known already", fleet.decisions_path().display()));
    if !unused.is_empty() {
        output::note(&format!("columns not used: {}", unused.join(", ")));
    }
    for wrong in &wrong {
        output::note(&format!("{}: {wrong}", file.display()));
    }
    output::data(shares_table(&known_shares(fleet)?).as_bytes())?;
    Ok(if wrong.is_empty() { Ending::Clean } else { Ending::Open })
}

fn known_shares(fleet: &Fleet) -> anyhow::Result<Vec<RuleShare>> {
    let findings: Vec<Finding> = fleet.snapshot()?.rows()?;
    Ok(shares(&findings, &fleet.acknowledgements()?))
}

fn shares_table(shares: &[RuleShare]) -> String {
    if shares.is_empty() {
        return "no outcomes were told yet\n".to_owned();
    }
    let row = |share: &RuleShare| {
        let percent = share.confirmed * 100 / share.told.max(1);
        vec![share.rule.clone(), share.told.to_string(), share.confirmed.to_string(), format!("{percent} %")]
    };
    output::table(&["rule", "outcomes", "confirmed", "share"], &shares.iter().map(row).collect::<Vec<_>>())
}

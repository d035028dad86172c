//! `windrow inspect`: how a file is read, storing nothing.

use crate::args::{InspectArgs, ListFormat};
use crate::{Ending, Workers, output};
use anyhow::{Context as _, bail};
use std::path::{Path, PathBuf};
use windrow_importer::{Hands, Intake, Registry, Source, read_source};
use windrow_model::Disposition;
use windrow_model::layout::Layout;
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_pipeline::understand_all;
use windrow_sheet::{Context, draft_layouts};
use windrow_source::Limits;
use windrow_store::Fleet;
use windrow_tasks::import::pool;

pub(crate) fn run(args: &InspectArgs, workers: &Workers) -> anyhow::Result<Ending> {
    std::fs::File::open(&args.file)
        .with_context(|| format!("{} cannot be read; check the path and the permissions", args.file.display()))?;
    let settings = args
        .fleet
        .as_deref()
        .map(|dir| Fleet::open(dir).and_then(|fleet| fleet.settings()))
        .transpose()?
        .unwrap_or_default();
    let readers = workers.readers(Some(1))?;
    let registry = &*readers.registry;
    let limits = Limits::of(settings.opening);
    let pool = pool(&readers, &limits);
    let intake = Intake { registry, settings: &settings, limits: &limits, hands: Hands::Workers(&pool), recall: None };
    // More than one where the file is an archive or a folder, or belongs to another.
    let files: Vec<PathBuf> = std::iter::once(args.file.clone()).chain(beside(&args.file, registry)).collect();
    let sources: Vec<Understood> =
        understand_all(&files, intake, &mut |_| {}).into_iter().map(|source| source.understood).collect();
    if args.draft_layout {
        return draft(args, &sources, registry, &settings);
    }
    match args.format {
        ListFormat::Json if sources.len() == 1 => json(&sources.first())?,
        ListFormat::Json => json(&sources)?,
        ListFormat::Csv => {
            let rows: Vec<_> = sources.iter().flat_map(cells).collect();
            output::list(&CELL_HEADER, &rows, ListFormat::Csv)?;
        }
        ListFormat::Table => sources.iter().for_each(|understood| output::line(&page(understood))),
    }
    let is_clean = sources.iter().all(|understood| understood.status == SourceStatus::Read);
    Ok(if is_clean { Ending::Clean } else { Ending::Open })
}

/// Prints a layout file as it would read what was understood. A worker has just read the file, so that it can be read here.
fn draft(
    args: &InspectArgs,
    sources: &[Understood],
    registry: &Registry,
    settings: &Settings,
) -> anyhow::Result<Ending> {
    let [understood] = sources else {
        bail!("{} holds several sources; unpack it and name one of them", args.file.display());
    };
    if understood.reader.is_none() || understood.status == SourceStatus::Refused {
        bail!("{}: {}", args.file.display(), understood.reason.clone().unwrap_or_default());
    }
    let bytes = std::fs::read(&args.file)?;
    let source = Source::alone(&understood.source_file, &bytes);
    let (_, book) = read_source(source, registry, &Limits::default())?;
    let context = Context { source_file: &understood.source_file, settings, folder: None };
    let layout = draft_layouts(&book, &context);
    if layout.is_empty() {
        bail!("nothing in {} is told by headings or labels that a layout could name", args.file.display());
    }
    output::line(DRAFT.trim_end());
    output::data(toml::to_string(&Drafts { layout })?.as_bytes())?;
    Ok(Ending::Clean)
}

/// What a drafted file begins with.
const DRAFT: &str = "\
# Drafted from what was understood. Each layout is used on sheets where all of its texts stand (headings, labels, anchors).
# Correct what is wrong, delete what may differ from sheet to sheet, and save it as layouts/NAME.toml in the fleet folder.
# is: a quantity or what a field holds; unit (UCUM), circuit, elapsed_s and voltage_v hold for numbers that tell none themselves.
";

/// A file of layouts.
#[derive(serde::Serialize)]
struct Drafts {
    layout: Vec<Layout>,
}

/// The files that lie beside `file` and belong to it.
fn beside(file: &Path, registry: &Registry) -> Vec<PathBuf> {
    let name = file.file_name().map(|name| name.to_string_lossy().into_owned()).unwrap_or_default();
    let wanted = registry.companions(&name);
    if wanted.is_empty() {
        return Vec::new();
    }
    let folder = file.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or_else(|| Path::new("."));
    let entries = std::fs::read_dir(folder).into_iter().flatten().flatten();
    let is_wanted = |path: &PathBuf| {
        path.is_file() && path.file_name().is_some_and(|name| wanted.contains(&name.to_string_lossy().to_lowercase()))
    };
    let mut found: Vec<PathBuf> = entries.map(|entry| entry.path()).filter(is_wanted).collect();
    found.sort();
    found
}

fn json(value: &impl serde::Serialize) -> anyhow::Result<()> {
    output::data((serde_json::to_string_pretty(value)? + "\n").as_bytes())
}

const CELL_HEADER: [&str; 6] = ["source_file", "sheet", "cell", "text", "disposition", "reason"];

fn cells(understood: &Understood) -> Vec<Vec<String>> {
    understood
        .cells
        .iter()
        .map(|mark| {
            let sheet = mark.place.sheet.as_deref().unwrap_or_default();
            let reason = mark.reason.as_deref().unwrap_or_default();
            vec![
                understood.source_file.clone(),
                sheet.to_owned(),
                mark.place.cell.to_string(),
                mark.raw_text.to_string(),
                mark.disposition.to_string(),
                reason.to_owned(),
            ]
        })
        .collect()
}

/// The file in words: who reads it, region by region, what is asked, what became of the cells.
fn page(understood: &Understood) -> String {
    let mut lines = vec![format!("{} ({} bytes): {}", understood.source_file, understood.bytes, understood.status)];
    lines.extend(understood.reason.iter().map(|reason| format!("  {reason}")));
    lines.extend(understood.reader.iter().map(|reader| format!("  opened by {reader} as {}", understood.media_type)));
    lines.extend(understood.notes.iter().map(|note| format!("  note: {note}")));
    for region in &understood.regions {
        let importer = region.importer.as_deref().unwrap_or("nobody");
        lines.push(format!("  {}: {}, read by {importer} ({:.2})", region.place, region.layout, region.confidence));
        lines.extend(region.reasons.iter().map(|reason| format!("    because {reason}")));
        lines.extend(
            region.runners_up.iter().map(|(id, confidence)| format!("    also claimed by {id} ({confidence:.2})")),
        );
        lines.extend(region.columns.iter().map(|(attribute, places)| format!("    {attribute}: {places}")));
    }
    for hold in &understood.holds {
        lines.push(format!("  asked: {} at {}: {}", hold.question, hold.place, hold.context));
    }
    for disposition in Disposition::ALL {
        let count = understood.cells.iter().filter(|cell| cell.disposition == *disposition).count();
        lines.push(format!("  {disposition:<8} {count} cells"));
    }
    let readings: usize = understood.tests.iter().map(|test| test.readings.len()).sum();
    lines.push(format!(
        "  {} tests, {readings} readings, {} waveforms, {} machines told without a test",
        understood.tests.len(),
        understood.waveforms.len(),
        understood.machines.len()
    ));
    lines.join("\n")
}

//! From the bytes of one source to what it tells: ask the readers, read, understand, and account for every cell.

mod audit;

use crate::registry::Registry;
use std::panic::{AssertUnwindSafe, catch_unwind};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_sheet::{Context, Pools};
use windrow_source::{Input, Limits, Probe, ReadError, ReaderPlugin, Refusal, Verdict, Workbook, members};

/// How far the winner must lead: nearer is a tie, and a tie is a question, not a coin toss.
const LEAD: f64 = 0.2;
/// Bids below this say no more than that nothing contradicts.
const LOWEST_BID: f64 = 0.25;
/// What a claim may look at, in bytes.
const PREVIEW: usize = 64 << 10;

/// One source to be understood.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// Path below the imported folder, with `/`.
    pub source_file: &'a str,
    /// All bytes.
    pub bytes: &'a [u8],
}

/// Understands one source. Never fails and never panics: what could not be read is said in `status` and `reason`.
#[must_use]
pub fn understand_source(source: Source<'_>, registry: &Registry, settings: &Settings, limits: &Limits) -> Understood {
    understand_in_folder(source, None, registry, settings, limits)
}

/// What the cells of one source prove about its folder's habits: order of dates, decimal mark, names of phases and sites.
/// Empty for a source that cannot be read.
#[must_use]
pub fn evidence_of(source: Source<'_>, registry: &Registry, limits: &Limits) -> Pools {
    catch_unwind(AssertUnwindSafe(|| open(source, registry, limits).map(|(_, book)| windrow_sheet::evidence(&book))))
        .ok()
        .and_then(Result::ok)
        .unwrap_or_default()
}

/// Understands one source in the light of what the files of its folder prove together.
#[must_use]
pub fn understand_in_folder(
    source: Source<'_>,
    folder: Option<&Pools>,
    registry: &Registry,
    settings: &Settings,
    limits: &Limits,
) -> Understood {
    let span = tracing::info_span!("source", file = source.source_file, bytes = source.bytes.len());
    let _entered = span.enter();
    let mut understood = blank(source);
    let outcome = catch_unwind(AssertUnwindSafe(|| open(source, registry, limits)))
        .unwrap_or_else(|_| Err(crashed("the reader")));
    match outcome {
        Ok((reader, book)) => {
            understood.reader = Some(reader.id.to_owned());
            reader.reads.first().copied().unwrap_or_default().clone_into(&mut understood.media_type);
            interpret(&book, folder, registry, settings, &mut understood);
        }
        Err(error) => {
            tracing::warn!(%error, "refused");
            understood.status = SourceStatus::Refused;
            understood.reason = Some(error.to_string());
        }
    }
    understood
}

/// Understands the cells, and accounts for every one of them whatever happens.
fn interpret(
    book: &Workbook,
    folder: Option<&Pools>,
    registry: &Registry,
    settings: &Settings,
    understood: &mut Understood,
) {
    let context = Context { source_file: &understood.source_file.clone(), settings, folder };
    let result = catch_unwind(AssertUnwindSafe(|| {
        let mut fresh = understood.clone();
        windrow_sheet::understand(book, &context, &registry.specialists(), &mut fresh);
        fresh
    }));
    match result {
        Ok(fresh) => *understood = fresh,
        Err(_) => understood.notes.push(crashed("the sheet engine").to_string()),
    }
    understood.notes.extend(book.notes.iter().cloned());
    audit::account(book, understood);
    tracing::info!(
        tests = understood.tests.len(),
        holds = understood.holds.len(),
        cells = understood.cells.len(),
        "understood"
    );
}

fn crashed(who: &str) -> ReadError {
    ReadError::new(
        Refusal::Crashed,
        format!("{who} failed on this file, which is our bug"),
        "please report it with the file if you may share it; nothing was stored from it",
    )
}

fn blank(source: Source<'_>) -> Understood {
    Understood {
        source_file: source.source_file.to_owned(),
        blake3: blake3::hash(source.bytes).to_hex().to_string(),
        bytes: source.bytes.len() as u64,
        media_type: String::new(),
        status: SourceStatus::Read,
        reason: None,
        reader: None,
        regions: Vec::new(),
        tests: Vec::new(),
        machines: Vec::new(),
        cells: Vec::new(),
        holds: Vec::new(),
        notes: Vec::new(),
    }
}

/// Chooses the reader by content and reads.
fn open(
    source: Source<'_>,
    registry: &Registry,
    limits: &Limits,
) -> Result<(&'static ReaderPlugin, Workbook), ReadError> {
    let name = source.source_file.rsplit('/').next().unwrap_or(source.source_file);
    if source.bytes.iter().all(|byte| *byte == 0) {
        return Err(ReadError::new(Refusal::Empty, "the file is empty", "look for another copy of it"));
    }
    if source.bytes.len() as u64 > limits.file_bytes {
        let found = format!("the file has {} bytes, more than the limit of {}", source.bytes.len(), limits.file_bytes);
        return Err(ReadError::new(Refusal::TooLarge, found, "split it, or raise the limit"));
    }
    let zip_members = members::of_zip(source.bytes);
    let ole_streams = members::of_compound_file(source.bytes);
    let head = source.bytes.get(..PREVIEW).unwrap_or(source.bytes);
    let probe = Probe { name, head, len: source.bytes.len(), zip_members: &zip_members, ole_streams: &ole_streams };
    let reader = choose(&probe, registry)?;
    let span = tracing::info_span!("read", reader = reader.id);
    let _entered = span.enter();
    let book = (reader.read)(&Input { name, bytes: source.bytes }, limits)?;
    Ok((reader, book))
}

/// The reader that bids most; a near tie is refused with both reasons.
fn choose(probe: &Probe<'_>, registry: &Registry) -> Result<&'static ReaderPlugin, ReadError> {
    let mut bids: Vec<(&'static ReaderPlugin, Verdict)> =
        registry.readers().iter().map(|plugin| (*plugin, (plugin.claim)(probe))).collect();
    bids.sort_by(|a, b| b.1.confidence.total_cmp(&a.1.confidence).then(a.0.id.cmp(b.0.id)));
    let mut bids = bids.into_iter();
    let first = bids.next().filter(|(_, verdict)| verdict.confidence >= LOWEST_BID);
    let Some((winner, verdict)) = first else {
        return Err(members::refusal_by_name(probe));
    };
    if let Some((other, runner_up)) =
        bids.next().filter(|(_, runner_up)| verdict.confidence - runner_up.confidence < LEAD)
    {
        let found = format!(
            "two readers claim it alike: {} ({}) and {} ({})",
            winner.id, verdict.reason, other.id, runner_up.reason
        );
        return Err(ReadError::new(Refusal::Alien, found, "save it again as a workbook"));
    }
    tracing::debug!(reader = winner.id, confidence = verdict.confidence, reason = %verdict.reason, "claimed");
    Ok(winner)
}

#[cfg(test)]
mod tests;

//! From the bytes of one source to what it tells: ask the readers, read, understand, and account for every cell.

mod audit;
mod consolidated;
mod record;

use crate::claim::{self, Choice, Tie};
use crate::registry::Registry;
use crate::tie;
use std::panic::{AssertUnwindSafe, catch_unwind};
use windrow_model::raw::{SourceStatus, Understood};
use windrow_model::settings::Settings;
use windrow_sheet::{Context, Pools};
use windrow_source::{Companion, Input, Limits, Preview, ReadError, ReaderPlugin, Refusal, Workbook, archive, sniff};

/// One source to be understood.
#[derive(Debug, Clone, Copy)]
pub struct Source<'a> {
    /// Path below the imported folder, with `/`.
    pub source_file: &'a str,
    /// All bytes.
    pub bytes: &'a [u8],
    /// The file beside it that belongs to it.
    pub companion: Option<Companion<'a>>,
}

impl<'a> Source<'a> {
    /// A source that is read by itself.
    #[must_use]
    pub const fn alone(source_file: &'a str, bytes: &'a [u8]) -> Self {
        Self { source_file, bytes, companion: None }
    }

    /// What claims may look at.
    #[must_use]
    pub fn preview(&self) -> Preview<'a> {
        Preview::of(self.name(), self.bytes).beside(self.companion)
    }

    /// File name without folders.
    #[must_use]
    pub fn name(&self) -> &'a str {
        self.source_file.rsplit('/').next().unwrap_or(self.source_file)
    }
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
    // What an export wrote says nothing of how people of the folder write.
    let habits =
        |book: &Workbook| if consolidated::is_ours(book) { Pools::default() } else { windrow_sheet::evidence(book) };
    let evidence = || read_source(source, registry, limits).map(|(_, book)| habits(&book));
    catch_unwind(AssertUnwindSafe(evidence)).ok().and_then(Result::ok).unwrap_or_default()
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
    let outcome = catch_unwind(AssertUnwindSafe(|| {
        let preview = source.preview();
        let media_type = sniff::kind(&preview.probe()).map_or("", |kind| kind.media_type);
        media_type.clone_into(&mut understood.media_type);
        open(source, &preview, registry, limits)
    }))
    .unwrap_or_else(|_| Err(crashed("the reader")));
    match outcome {
        Ok((reader, book)) => {
            understood.reader = Some(reader.id.to_owned());
            if understood.media_type.is_empty() {
                reader.reads.first().copied().unwrap_or_default().clone_into(&mut understood.media_type);
            }
            interpret(&book, folder, registry, settings, &mut understood);
        }
        Err(error) => {
            // The summary of the import lists it too: no reason for alarm on the terminal.
            tracing::info!(file = source.source_file, %error, "refused");
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
        if consolidated::is_ours(book) {
            consolidated::understand(book, &mut fresh);
        } else {
            windrow_sheet::understand(book, &context, &registry.specialists(), &mut fresh);
            record::understand(book, settings, &mut fresh);
        }
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

/// A source of which nothing is known yet.
fn blank(source: Source<'_>) -> Understood {
    Understood {
        blake3: blake3::hash(source.bytes).to_hex().to_string(),
        bytes: source.bytes.len() as u64,
        companion_blake3: source.companion.map(|companion| blake3::hash(companion.bytes).to_hex().to_string()),
        ..Understood::blank(source.source_file, SourceStatus::Read)
    }
}

/// A source that could not even be opened: it is listed with its reason like any other.
pub(crate) fn refused(source_file: &str, status: SourceStatus, reason: String) -> Understood {
    Understood { reason: Some(reason), ..Understood::blank(source_file, status) }
}

/// Chooses the reader by content and reads.
///
/// # Errors
/// Why no reader reads it, and what to do.
pub fn read_source(
    source: Source<'_>,
    registry: &Registry,
    limits: &Limits,
) -> Result<(&'static ReaderPlugin, Workbook), ReadError> {
    let preview = source.preview();
    open(source, &preview, registry, limits)
}

fn open(
    source: Source<'_>,
    preview: &Preview<'_>,
    registry: &Registry,
    limits: &Limits,
) -> Result<(&'static ReaderPlugin, Workbook), ReadError> {
    check_size(source.bytes, limits)?;
    let choice = claim::choose(&preview.probe(), registry)?;
    archive::check(source.bytes, limits)?;
    let (reader, mut book) = match choice {
        Choice::Clear(reader) => (reader, read(reader, source, limits)?),
        Choice::Tie(tie) => untie(&tie, source, limits)?,
    };
    book.tell_sheets_apart();
    Ok((reader, book))
}

fn read(reader: &ReaderPlugin, source: Source<'_>, limits: &Limits) -> Result<Workbook, ReadError> {
    let span = tracing::info_span!("read", reader = reader.id);
    let _entered = span.enter();
    (reader.read)(&Input { name: source.name(), bytes: source.bytes, companion: source.companion }, limits)
}

/// Reads with both readers that claim a source alike, and takes what is clearly the better cut.
fn untie(tie: &Tie, source: Source<'_>, limits: &Limits) -> Result<(&'static ReaderPlugin, Workbook), ReadError> {
    let [one, other] = tie.readers.map(|reader| (reader, read(reader, source, limits).ok()));
    let winner = tie::better((one.0, one.1.as_ref()), (other.0, other.1.as_ref())).ok_or_else(|| tie.refusal())?;
    let book = [one, other].into_iter().find(|(reader, _)| reader.id == winner.id).and_then(|(_, book)| book);
    book.map(|book| (winner, book)).ok_or_else(|| tie.refusal())
}

fn check_size(bytes: &[u8], limits: &Limits) -> Result<(), ReadError> {
    if bytes.is_empty() {
        return Err(ReadError::new(Refusal::Empty, "the file is empty", "look for another copy of it"));
    }
    if bytes.iter().all(|byte| *byte == 0) {
        let found = "the file holds nothing but zero bytes, as failing disks and broken copies leave them";
        return Err(ReadError::new(Refusal::Empty, found, "look for another copy of it"));
    }
    if bytes.len() as u64 > limits.file_bytes {
        return Err(too_large(bytes.len() as u64, limits));
    }
    Ok(())
}

/// The refusal of a file of `bytes` bytes.
pub(crate) fn too_large(bytes: u64, limits: &Limits) -> ReadError {
    let found = format!("the file has {bytes} bytes, more than the limit of {}", limits.file_bytes);
    ReadError::new(Refusal::TooLarge, found, "split it, or raise file_mib under [opening] in windrow.toml")
}

#[cfg(test)]
mod tests;

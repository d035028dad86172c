//! The intake of a whole import: every file found is understood by worker processes, in the light of its folder, and handed over
//! in order, so that the number of workers changes nothing. With a memory, what was understood earlier is not opened again.

mod ask;
mod companion;
mod memory;
pub mod names;
mod source;
mod work;

pub use memory::{Memory, Recall};
pub use source::Kept;
pub use work::answer;

use crate::registry::Registry;
use ask::{Asked, Question, ask};
use memory::Memo;
use source::Listed;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_sheet::Pools;
use windrow_source::find::Found;
use windrow_source::schedule::in_order;
use windrow_source::worker::Pool;
use windrow_source::{Limits, ReadError, Refusal};
use work::{Answer, Work};

/// Who does the work.
#[derive(Debug, Clone, Copy)]
pub enum Hands<'a> {
    /// As many threads of this process. A file that brings a process down brings this one down: for tests and developer commands.
    Threads(usize),
    /// Worker processes of this program, which answer with [`answer`].
    Workers(&'a Pool),
}

/// What an intake works with.
#[derive(Debug, Clone, Copy)]
pub struct Intake<'a> {
    /// All plugins.
    pub registry: &'a Registry,
    /// Settings of the fleet.
    pub settings: &'a Settings,
    /// Limits of one source.
    pub limits: &'a Limits,
    /// Who does the work.
    pub hands: Hands<'a>,
    /// What earlier intakes learned; without it every file is opened.
    pub recall: Option<Recall<'a>>,
}

/// What is being done.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Stage {
    /// Looking for what files prove about the habits of their folder, and into archives.
    Looking,
    /// Understanding.
    Understanding,
}

/// How far an intake is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Progress<'a> {
    /// What is being done.
    pub stage: Stage,
    /// The source that has just been done.
    pub source_file: &'a str,
    /// Sources of this stage.
    pub of: usize,
}

/// A source as it was understood, and where it lies.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Folder or file that the import was given.
    pub origin: PathBuf,
    /// The file that it lies in.
    pub path: PathBuf,
    /// Path within that file, when it is an archive.
    pub member: Option<String>,
    /// Whether an earlier import found it and this one was not asked to look there.
    pub is_kept: bool,
    /// Why what was understood of a kept source is not to be had any more; then `understood` says nothing.
    pub lost: Option<ReadError>,
    /// The source, under a name that no other file has: its path below the imported folder, and where two folders hold files of one
    /// such path, the names of the folders that tell them apart.
    pub understood: Understood,
}

/// Understands all that was found and all that is kept from earlier imports, and hands it to `each` sorted by path, the files of an
/// archive in its place. Files are looked at twice: what one leaves open, another of its folder may settle, so that the order of
/// import never matters.
pub fn import(
    found: Vec<Found>,
    kept: Vec<Kept>,
    intake: Intake<'_>,
    progress: &mut dyn FnMut(Progress<'_>),
    each: &mut dyn FnMut(Taken),
) {
    let memo = Memo::of(intake);
    let mut listed: Vec<Listed> = found.into_iter().map(Listed::of_file).collect();
    if memo.is_some() {
        listed = identified(listed, intake.hands);
    }
    listed.extend(kept.into_iter().map(Listed::of_kept));
    listed.sort_by(|a, b| (&a.source_file, &a.origin, &a.path).cmp(&(&b.source_file, &b.origin, &b.path)));
    let mut folders = BTreeMap::new();
    let listed = look(listed, intake, memo.as_ref(), &mut folders, progress);
    // The files of archives are known only now.
    let listed = look(listed, intake, memo.as_ref(), &mut folders, progress);
    let mut listed = without_moved(listed);
    names::tell_apart(&mut listed);
    companion::join(&mut listed, intake.registry);
    let span = tracing::info_span!("understanding", sources = listed.len());
    let _entered = span.enter();
    let work = |file: &Listed| Work::Understand(folders.get(&file.folder()).cloned().map(Box::new));
    let question = Question { wants: Listed::is_open, work: &work };
    ask(&listed, intake, memo.as_ref(), &question, &mut |file, asked| {
        if let (Some(memo), Some(Asked { key: Some(key), .. })) = (&memo, &asked) {
            memo.note_last(file, key);
        }
        progress(Progress { stage: Stage::Understanding, source_file: &file.source_file, of: listed.len() });
        each(taken(file, asked));
    });
}

fn taken(file: &Listed, asked: Option<Asked>) -> Taken {
    let outcome = match asked.map(|asked| (asked.answer, asked.is_last)) {
        Some((Ok(Answer::Understood(mut understood)), is_last)) => {
            if is_last {
                understood.notes.push(GONE.to_owned());
            }
            Ok(*understood)
        }
        Some((Ok(_), _)) => Err(mixed_up()),
        Some((Err(error), _)) => Err(error),
        None => file.not_asked(),
    };
    let lost = outcome.as_ref().err().filter(|_| file.is_kept).cloned();
    let understood = outcome.unwrap_or_else(|error| file.failed_with(&error));
    Taken {
        origin: file.origin.clone(),
        path: file.path.clone(),
        member: file.member.clone(),
        is_kept: file.is_kept,
        lost,
        understood: Understood { source_file: file.name.clone(), ..understood },
    }
}

/// Leaves out what lies elsewhere by now: the same bytes under the same path below another folder, and no file where it was.
fn without_moved(listed: Vec<Listed>) -> Vec<Listed> {
    let identity = |file: &Listed| file.content.clone().map(|content| (file.source_file.clone(), content));
    let here: BTreeSet<(String, String)> = listed.iter().filter(|file| !file.is_kept).filter_map(identity).collect();
    let has_moved = |file: &Listed| {
        file.is_kept && identity(file).is_some_and(|identity| here.contains(&identity)) && !file.path.exists()
    };
    listed.into_iter().filter(|file| !has_moved(file)).collect()
}

/// Said of a source that could not be understood anew.
const GONE: &str = "the file can no longer be read; what it told when it was last read is kept, though it would be read anew by \
                    now (other settings, another program or other files beside it)";

/// The files with the hashes of their bytes.
fn identified(listed: Vec<Listed>, hands: Hands<'_>) -> Vec<Listed> {
    let threads = match hands {
        Hands::Threads(threads) => threads,
        Hands::Workers(pool) => pool.workers(),
    };
    let mut identified = Vec::with_capacity(listed.len());
    let hash = |index: usize| {
        let file = listed.get(index).filter(|file| file.obstacle.is_none())?;
        file.fingerprint().map(|(_, hash)| hash)
    };
    in_order(listed.len(), threads, &hash, &mut |index, content| {
        identified.extend(listed.get(index).map(|file| Listed { content, ..file.clone() }));
    });
    identified
}

/// Collects the evidence of every source not looked at yet, and puts the files of archives in the place of the archives.
fn look(
    listed: Vec<Listed>,
    intake: Intake<'_>,
    memo: Option<&Memo<'_>>,
    folders: &mut BTreeMap<String, Pools>,
    progress: &mut dyn FnMut(Progress<'_>),
) -> Vec<Listed> {
    let (pending, of) = (listed.iter().filter(|file| file.is_pending()).count(), listed.len());
    if pending == 0 {
        return listed;
    }
    let span = tracing::info_span!("looking", sources = pending);
    let _entered = span.enter();
    let mut next = Vec::with_capacity(listed.len());
    let question = Question { wants: Listed::is_pending, work: &|_| Work::Look };
    ask(&listed, intake, memo, &question, &mut |file, asked| {
        let looked_by = asked.as_ref().and_then(|asked| asked.key.clone());
        let seen = Listed { looked_at: true, looked_by, ..file.clone() };
        match asked.map(|asked| asked.answer) {
            None => next.push(file.clone()),
            Some(Ok(Answer::Evidence(pools))) => {
                folders.entry(file.folder()).or_default().merge(&pools);
                next.push(seen);
            }
            Some(Ok(Answer::Archive(members))) => {
                next.extend(members.into_iter().map(|member| file.member(member)));
            }
            Some(Ok(Answer::Understood(_))) => next.push(Listed { failed: Some(mixed_up()), ..seen }),
            // It would fail again, and an endless one would cost its time twice.
            Some(Err(error)) => next.push(Listed { failed: Some(error), ..seen }),
        }
        progress(Progress { stage: Stage::Looking, source_file: &file.source_file, of });
    });
    next
}

fn mixed_up() -> ReadError {
    let found = "the answer about this file is about something else, which is our bug";
    ReadError::new(Refusal::Crashed, found, "run the import again, and report it")
}

#[cfg(test)]
mod tests;

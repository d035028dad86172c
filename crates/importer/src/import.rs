//! The intake of a whole import: every file found is understood by worker processes, in the light of its folder, and handed over
//! in order, so that the number of workers changes nothing and memory is bounded by whoever takes the results.

mod source;
mod work;

pub use work::answer;

use crate::registry::Registry;
use source::Listed;
use std::collections::BTreeMap;
use windrow_model::raw::Understood;
use windrow_model::settings::Settings;
use windrow_sheet::Pools;
use windrow_source::find::Found;
use windrow_source::schedule::in_order;
use windrow_source::worker::Pool;
use windrow_source::{Limits, ReadError, Refusal};
use work::{Answer, Request, Work};

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

/// A source as it was understood, and the folder or file that the import was given.
#[derive(Debug, Clone, PartialEq)]
pub struct Taken {
    /// Folder or file that the import was given.
    pub origin: String,
    /// The source.
    pub understood: Understood,
}

/// Understands all that was found, and hands it to `each` sorted as it was found, the files of an archive in its place. Files are
/// looked at twice: what one leaves open, another of its folder may settle, so that the order of import never matters.
pub fn import(
    found: Vec<Found>,
    intake: Intake<'_>,
    progress: &mut dyn FnMut(Progress<'_>),
    each: &mut dyn FnMut(Taken),
) {
    let mut folders = BTreeMap::new();
    let listed = found.into_iter().map(Listed::of_file).collect();
    let listed = look(listed, intake, &mut folders, progress);
    // The files of archives are known only now.
    let listed = look(listed, intake, &mut folders, progress);
    let span = tracing::info_span!("understanding", sources = listed.len());
    let _entered = span.enter();
    let work = |file: &Listed| Work::Understand(folders.get(file.folder()).cloned());
    ask(&listed, intake, &Question { wants: Listed::is_open, work: &work }, &mut |file, answer| {
        let understood = match answer {
            Some(Ok(Answer::Understood(understood))) => *understood,
            Some(Ok(_)) => file.failed_with(&mixed_up()),
            Some(Err(error)) => file.failed_with(&error),
            None => file.not_asked(),
        };
        progress(Progress { stage: Stage::Understanding, source_file: &file.source_file, of: listed.len() });
        each(Taken { origin: file.origin.display().to_string(), understood });
    });
}

/// Collects the evidence of every source not looked at yet, and puts the files of archives in the place of the archives.
fn look(
    listed: Vec<Listed>,
    intake: Intake<'_>,
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
    ask(&listed, intake, &question, &mut |file, answer| {
        let seen = Listed { looked_at: true, ..file.clone() };
        match answer {
            None => next.push(file.clone()),
            Some(Ok(Answer::Evidence(pools))) => {
                folders.entry(file.folder().to_owned()).or_default().merge(&pools);
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

/// What is asked, and about which sources.
struct Question<'a> {
    wants: fn(&Listed) -> bool,
    work: &'a (dyn Fn(&Listed) -> Work + Sync),
}

/// What came of asking about a source; `None` where nothing was asked.
type Asked = Option<Result<Answer, ReadError>>;

/// Asks about every source that the question wants; the others get `None`. All come in order.
fn ask(listed: &[Listed], intake: Intake<'_>, question: &Question<'_>, each: &mut dyn FnMut(&Listed, Asked)) {
    let asked: Vec<&Listed> = listed.iter().filter(|file| (question.wants)(file)).collect();
    let request = |index: usize| {
        let file: &Listed = asked.get(index)?;
        Some(Request {
            source_file: file.source_file.clone(),
            lies: file.lies.clone(),
            work: (question.work)(file),
            settings: intake.settings.clone(),
            limits: intake.limits.clone(),
        })
    };
    let mut rest = listed.iter();
    let mut take = |answer: Result<Answer, ReadError>| {
        for file in rest.by_ref() {
            if (question.wants)(file) {
                return each(file, Some(answer));
            }
            each(file, None);
        }
    };
    match intake.hands {
        Hands::Threads(threads) => {
            let run =
                |index: usize| request(index).map_or_else(|| Err(mixed_up()), |request| request.run(intake.registry));
            in_order(asked.len(), threads, &run, &mut |_, answer| take(answer));
        }
        Hands::Workers(pool) => {
            let bytes = |index: usize| request(index).map(|request| request.to_bytes()).unwrap_or_default();
            pool.ask_all(asked.len(), &bytes, &mut |_, answer| take(answer.and_then(|bytes| Answer::of_bytes(&bytes))));
        }
    }
    for file in rest {
        each(file, None);
    }
}

fn mixed_up() -> ReadError {
    let found = "the answer about this file is about something else, which is our bug";
    ReadError::new(Refusal::Crashed, found, "run the import again, and report it")
}

#[cfg(test)]
mod tests;

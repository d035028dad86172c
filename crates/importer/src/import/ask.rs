//! Asking about many sources: what is remembered is not asked again, and all answers come in order.

use super::memory::Memo;
use super::names::settings_of;
use super::source::Listed;
use super::work::{Answer, Reply, Request, Work};
use super::{Hands, Intake, mixed_up};
use windrow_source::ReadError;
use windrow_source::schedule::in_order;

/// What is asked, and about which sources.
pub(super) struct Question<'a> {
    pub(super) wants: fn(&Listed) -> bool,
    pub(super) work: &'a (dyn Fn(&Listed) -> Work + Sync),
}

/// What came of asking about a source.
pub(super) struct Asked {
    /// The answer, or why there is none.
    pub(super) answer: Result<Answer, ReadError>,
    /// The key that the answer is remembered by, if it is.
    pub(super) key: Option<String>,
    /// Whether it is the last answer about a file that is gone, given to a question that is not quite this one.
    pub(super) is_last: bool,
}

/// Asks about every source that the question wants; the others get `None`. All come in order.
pub(super) fn ask(
    listed: &[Listed],
    intake: Intake<'_>,
    memo: Option<&Memo<'_>>,
    question: &Question<'_>,
    each: &mut dyn FnMut(&Listed, Option<Asked>),
) {
    let known: Vec<Option<Known>> =
        listed.iter().map(|file| (question.wants)(file).then(|| Known::of(file, memo, question))).collect();
    let is_asked = |(_, known): &(&Listed, &Option<Known>)| known.as_ref().is_some_and(|known| known.answer.is_none());
    let asked: Vec<&Listed> = listed.iter().zip(&known).filter(is_asked).map(|(file, _)| file).collect();
    let request = |index: usize| {
        let file: &Listed = asked.get(index)?;
        let work = (question.work)(file);
        Some(Request {
            source_file: file.source_file.clone(),
            location: file.location.clone(),
            companion: file.companion.clone(),
            settings: settings_of(file, &work, intake.settings),
            work,
            limits: intake.limits.clone(),
        })
    };
    let mut turn = Turn { rest: listed.iter().zip(known).collect::<Vec<_>>().into_iter(), memo, question, each };
    turn.go_on(None);
    match intake.hands {
        Hands::Threads(threads) => {
            let run =
                |index: usize| request(index).map_or_else(|| Err(mixed_up()), |request| request.run(intake.registry));
            in_order(asked.len(), threads, &run, &mut |_, reply| turn.go_on(Some(reply)));
        }
        Hands::Workers(pool) => {
            let bytes = |index: usize| request(index).map(|request| request.to_bytes()).unwrap_or_default();
            pool.ask_all(asked.len(), &bytes, &mut |_, reply| {
                turn.go_on(Some(reply.and_then(|bytes| Reply::of_bytes(&bytes))));
            });
        }
    }
}

/// What is remembered of a source that the question wants.
struct Known {
    key: Option<String>,
    answer: Option<Answer>,
}

impl Known {
    fn of(file: &Listed, memo: Option<&Memo<'_>>, question: &Question<'_>) -> Self {
        let Some(memo) = memo else { return Self { key: None, answer: None } };
        let key = memo.key(file, &(question.work)(file));
        let answer = key.as_deref().and_then(|key| memo.answer(key));
        Self { key, answer }
    }
}

/// Hands answers out, source by source.
struct Turn<'a, 'b> {
    rest: std::vec::IntoIter<(&'a Listed, Option<Known>)>,
    memo: Option<&'a Memo<'a>>,
    question: &'a Question<'a>,
    each: &'b mut dyn FnMut(&Listed, Option<Asked>),
}

impl Turn<'_, '_> {
    /// Hands out all that can be with one more reply from outside.
    fn go_on(&mut self, mut reply: Option<Result<Reply, ReadError>>) {
        while let Some((_, known)) = self.rest.as_slice().first() {
            if known.as_ref().is_some_and(|known| known.answer.is_none()) && reply.is_none() {
                return;
            }
            let Some((file, known)) = self.rest.next() else { return };
            let asked = known.map(|known| match known.answer {
                Some(answer) => Asked { answer: Ok(answer), key: known.key, is_last: false },
                None => self.asked(file, known.key, reply.take().unwrap_or_else(|| Err(mixed_up()))),
            });
            (self.each)(file, asked);
        }
    }

    fn asked(&self, file: &Listed, key: Option<String>, reply: Result<Reply, ReadError>) -> Asked {
        match reply {
            Ok(reply) => {
                // Bytes that have changed since the file was found are not what the key says.
                let key = key.filter(|_| file.content.as_ref() == Some(&reply.content));
                if let (Some(memo), Some(key)) = (self.memo, &key) {
                    memo.keep(key, &reply.answer);
                }
                Asked { answer: Ok(reply.answer), key, is_last: false }
            }
            Err(error) => {
                let last = self.memo.filter(|_| file.is_kept);
                match last.and_then(|memo| memo.last(file, &(self.question.work)(file))) {
                    Some((key, answer)) => Asked { answer: Ok(answer), key: Some(key), is_last: true },
                    None => Asked { answer: Err(error), key: None, is_last: false },
                }
            }
        }
    }
}

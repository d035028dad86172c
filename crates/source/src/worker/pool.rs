//! As many workers as asked for, each replaced when it dies.

use super::Program;
use super::process::{Death, Log, Process};
use crate::error::{ReadError, Refusal};
use crate::limits::Limits;
use crate::schedule::in_order;
use std::process::ExitStatus;
use std::sync::{Arc, Mutex, PoisonError};

/// What workers may cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Terms {
    /// Workers at a time; at least one is used.
    pub workers: usize,
    /// Time for one request, seconds.
    pub seconds: u64,
    /// Address space of a worker beyond that of the program itself, bytes.
    pub memory_bytes: u64,
}

impl Terms {
    /// As many workers as `workers` says, within the limits of one source.
    #[must_use]
    pub const fn new(workers: usize, limits: &Limits) -> Self {
        Self { workers, seconds: limits.seconds, memory_bytes: limits.memory_bytes }
    }
}

/// Workers that live over many requests.
pub struct Pool {
    program: Program,
    terms: Terms,
    log: Log,
    idle: Mutex<Vec<Process>>,
}

impl std::fmt::Debug for Pool {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Pool").field("program", &self.program).field("terms", &self.terms).finish_non_exhaustive()
    }
}

impl Pool {
    /// Workers of `program`; each line that one logs is handed to `log`. None is started before there is work.
    pub fn new(program: &Program, terms: Terms, log: impl Fn(&str) + Send + Sync + 'static) -> Self {
        Self { program: program.clone(), terms, log: Arc::new(log), idle: Mutex::new(Vec::new()) }
    }

    /// Workers at a time.
    #[must_use]
    pub const fn workers(&self) -> usize {
        self.terms.workers
    }

    /// Asks the requests `0..count`, and hands the answers to `each` in the order of their numbers. A request whose worker dies or
    /// stalls is answered by a [`Refusal::Crashed`] that says what happened; the others are none the worse.
    pub fn ask_all(
        &self,
        count: usize,
        request: &(dyn Fn(usize) -> Vec<u8> + Sync),
        each: &mut dyn FnMut(usize, Result<Vec<u8>, ReadError>),
    ) {
        in_order(count, self.terms.workers, &|index| self.ask(&request(index)), each);
    }

    fn ask(&self, request: &[u8]) -> Result<Vec<u8>, ReadError> {
        let idle = self.idle.lock().unwrap_or_else(PoisonError::into_inner).pop();
        let mut process = match idle {
            Some(process) => process,
            None => Process::start(&self.program, &self.terms, &self.log).map_err(|error| {
                crashed(format!("no process can be started to read it ({error})"), "run the import again")
            })?,
        };
        let answer = process.ask(request, self.terms.seconds).map_err(|death| self.explain(death))?;
        self.idle.lock().unwrap_or_else(PoisonError::into_inner).push(process);
        Ok(answer)
    }

    fn explain(&self, death: Death) -> ReadError {
        let error = match death {
            Death::Time => {
                let found = format!("reading it took longer than the limit of {} s", self.terms.seconds);
                crashed(found, "split it, or raise seconds under [opening] in windrow.toml")
            }
            Death::Ended { status, last_lines } => self.explain_end(status, &last_lines),
        };
        tracing::warn!(%error, "a worker was replaced");
        error
    }

    fn explain_end(&self, status: Option<ExitStatus>, last_lines: &str) -> ReadError {
        // What the runtime of the language writes before it aborts; there is no other way to learn it.
        if last_lines.contains("memory allocation of") || last_lines.contains("out of memory") {
            let found = format!("reading it needs more memory than the limit of {} MiB", self.terms.memory_bytes >> 20);
            return crashed(
                found,
                "split it, save it again with another program, or raise memory_mib under [opening] in windrow.toml",
            );
        }
        if last_lines.contains("overflowed its stack") {
            return crashed("reading it went too deep, which is our bug".to_owned(), REPORT);
        }
        let how = status.map_or_else(|| "for an unknown reason".to_owned(), |status| format!("with {status}"));
        crashed(format!("the process that read it ended {how}"), REPORT)
    }
}

const REPORT: &str = "save it again with another program, and report it with the file if you may share it";

fn crashed(found: String, advice: &str) -> ReadError {
    ReadError::new(Refusal::Crashed, found, advice)
}

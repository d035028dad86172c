//! Worker processes: old files abort parsers (a workbook of 5 KB can ask for gigabytes, and a failed allocation cannot be
//! caught), so they are read in processes of their own. One that dies costs one file, with a reason, and is replaced.
//!
//! A worker is this same program, started with a private first argument and then the same arguments. `main` asks [`role`] first:
//!
//! ```no_run
//! use windrow_source::worker::{Role, role};
//! let (role, arguments) = role(std::env::args_os());
//! match role {
//!     // Install the log, to standard error, as `arguments` say; then serve.
//!     Role::Worker(worker) => worker.serve(&mut |request| request.to_vec()),
//!     // Only with this `Program` can a `Pool` be made: a program that does not ask for its role never starts itself.
//!     Role::Program(program) => { let _ = (program, arguments); std::process::ExitCode::SUCCESS }
//! };
//! ```
//!
//! Requests and answers are bytes, each behind its length in eight bytes, least first; what they mean is up to the caller.
//! What a worker logs goes to its standard error, line by line, and from there unchanged to the log of the program: with the same
//! arguments both have the same filter and form. Panics are logged like any event.

mod frame;
mod memory;
mod pool;
mod process;
mod serve;

pub use memory::limit as limit_memory;
pub use pool::{Pool, Terms};
pub use serve::Worker;

use std::ffi::OsString;
use std::path::PathBuf;

/// First argument of a worker; the second is its address space in bytes.
const MARK: &str = "--windrow-worker";

/// This program, as it is started again for workers.
#[derive(Debug, Clone)]
pub struct Program {
    path: PathBuf,
    arguments: Vec<OsString>,
}

/// What this process is.
#[derive(Debug)]
pub enum Role {
    /// Started by a person.
    Program(Program),
    /// Started by a [`Pool`].
    Worker(Worker),
}

/// Tells from the arguments of the process what it is, and the arguments as a person gave them, program name included.
pub fn role(arguments: impl IntoIterator<Item = OsString>) -> (Role, Vec<OsString>) {
    let mut arguments: Vec<OsString> = arguments.into_iter().collect();
    let memory = arguments.get(2).and_then(|text| text.to_str()).and_then(|text| text.parse().ok());
    match memory {
        Some(memory_bytes) if arguments.get(1).is_some_and(|first| first == MARK) => {
            arguments.drain(1..3);
            (Role::Worker(Worker { memory_bytes }), arguments)
        }
        _ => {
            // Where the system does not tell, the name that the program was called by is the best there is.
            let called = arguments.first().map(PathBuf::from).unwrap_or_default();
            let path = std::env::current_exe().unwrap_or(called);
            let program = Program { path, arguments: arguments.iter().skip(1).cloned().collect() };
            (Role::Program(program), arguments)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{MARK, Role, role};
    use std::ffi::OsString;

    fn arguments(texts: &[&str]) -> Vec<OsString> {
        texts.iter().map(OsString::from).collect()
    }

    #[test]
    fn a_worker_gets_the_arguments_of_its_program() {
        let (worker, rest) = role(arguments(&["windrow", MARK, "1024", "import", "records"]));
        assert!(matches!(worker, Role::Worker(_)));
        assert_eq!(rest, arguments(&["windrow", "import", "records"]));
    }

    #[test]
    fn a_person_is_no_worker() {
        for texts in [&["windrow"][..], &["windrow", "import", MARK], &["windrow", MARK], &["windrow", MARK, "much"]] {
            assert!(matches!(role(arguments(texts)), (Role::Program(_), rest) if rest == arguments(texts)));
        }
    }
}

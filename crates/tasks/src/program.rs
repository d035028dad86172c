//! The build that is running.

use std::fs::Metadata;
use std::io;
use std::time::UNIX_EPOCH;

/// What tells this build from every other: what one understood or worked out is no answer of another. `None` where nothing tells it, as when
/// the program was replaced while it runs: nothing may be recalled or kept then, for the version alone is that of many builds.
pub(crate) fn told() -> Option<String> {
    let told = mark(std::env::current_exe().and_then(|program| program.metadata()));
    if told.is_none() {
        tracing::info!(
            "the file of the running program cannot be looked at; all is worked out anew and nothing is kept"
        );
    }
    told
}

fn mark(file: io::Result<Metadata>) -> Option<String> {
    let metadata = file.ok()?;
    let since = metadata.modified().ok()?.duration_since(UNIX_EPOCH).ok()?;
    Some(format!("{} {} {}", env!("CARGO_PKG_VERSION"), metadata.len(), since.as_nanos()))
}

#[cfg(test)]
mod tests {
    use super::{mark, told};
    use std::io;

    #[test]
    fn a_program_whose_file_is_gone_has_no_mark() {
        assert!(told().is_some_and(|mark| mark.len() > env!("CARGO_PKG_VERSION").len() + 4));
        assert_eq!(mark(Err(io::ErrorKind::NotFound.into())), None);
    }
}

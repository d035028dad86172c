//! The address space of a worker.

/// Lets this process grow by no more than `bytes` from now on. Where the system cannot, that is logged: the time limit then still
/// holds.
#[cfg(unix)]
pub fn limit(bytes: u64) {
    use nix::sys::resource::{Resource, getrlimit, setrlimit};
    let result = getrlimit(Resource::RLIMIT_AS).and_then(|(_, hard)| {
        // The program itself counts too: with its libraries it may take more than a source.
        let limit = taken().saturating_add(bytes).min(hard);
        setrlimit(Resource::RLIMIT_AS, limit, limit)
    });
    if let Err(error) = result {
        tracing::warn!(%error, "the memory of this worker cannot be limited");
    }
}

/// Address space in use, bytes; 0 where the system does not tell.
#[cfg(unix)]
fn taken() -> u64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap_or_default();
    let line = status.lines().find_map(|line| line.strip_prefix("VmSize:")).unwrap_or_default();
    let kibibytes: u64 = line.split_whitespace().next().and_then(|number| number.parse().ok()).unwrap_or(0);
    kibibytes.saturating_mul(1024)
}

#[cfg(not(unix))]
pub fn limit(_bytes: u64) {
    tracing::warn!("the memory of workers cannot be limited on this system");
}

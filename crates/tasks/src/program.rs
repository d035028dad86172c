//! The build that is running.

/// What tells this build from every other: what one understood or worked out is no answer of another.
pub(crate) fn told() -> String {
    let built = || {
        let metadata = std::env::current_exe().ok()?.metadata().ok()?;
        let since = metadata.modified().ok()?.duration_since(std::time::UNIX_EPOCH).ok()?;
        Some(format!("{} {}", metadata.len(), since.as_nanos()))
    };
    format!("{} {}", env!("CARGO_PKG_VERSION"), built().unwrap_or_default())
}

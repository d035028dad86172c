//! Secrets in files that nobody else may read.

use std::fs;
use std::io::{self, Write};
use std::path::Path;

/// The text of the secret file `path`, without blanks around it.
///
/// # Errors
/// When it cannot be read, or others than its owner may.
pub fn read(path: &Path) -> io::Result<String> {
    let metadata = fs::metadata(path)?;
    if is_open_to_others(&metadata) {
        return Err(io::Error::new(
            io::ErrorKind::PermissionDenied,
            format!("{} may be read by others than its owner: chmod 600 it", path.display()),
        ));
    }
    Ok(fs::read_to_string(path)?.trim().to_owned())
}

/// Writes `text` to the new file `path`, for its owner alone.
///
/// # Errors
/// What the file system says; a file that stands there already is not replaced.
pub fn write_new(path: &Path, text: &str) -> io::Result<()> {
    let mut options = fs::OpenOptions::new();
    options.write(true).create_new(true);
    #[cfg(unix)]
    std::os::unix::fs::OpenOptionsExt::mode(&mut options, 0o600);
    let mut file = options.open(path)?;
    file.write_all(text.as_bytes())?;
    file.sync_all()
}

#[cfg(unix)]
fn is_open_to_others(metadata: &fs::Metadata) -> bool {
    std::os::unix::fs::PermissionsExt::mode(&metadata.permissions()) & 0o077 != 0
}

/// Other systems have no such bits; there the folder's rights decide.
#[cfg(not(unix))]
fn is_open_to_others(_: &fs::Metadata) -> bool {
    false
}

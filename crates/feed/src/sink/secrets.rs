//! Secrets of a sink: from an environment variable or a file that only its owner may read. They are never printed.

use std::path::{Path, PathBuf};
use windrow_export::secret;

/// The secret named `what`; `None` where the sink tells neither variable nor file.
pub(super) fn find(
    what: &str,
    variable: Option<&str>,
    file: Option<&PathBuf>,
    fleet: &Path,
) -> Result<Option<String>, String> {
    match (variable, file) {
        (None, None) => Ok(None),
        (Some(_), Some(_)) => Err(format!("the {what} stands in a variable and in a file: name one of them")),
        (Some(variable), None) => match std::env::var(variable) {
            Ok(secret) if !secret.trim().is_empty() => Ok(Some(secret.trim().to_owned())),
            _ => Err(format!("the environment variable {variable} with the {what} is empty or not set")),
        },
        (None, Some(file)) => {
            let path = fleet.join(file);
            let secret =
                secret::read(&path).map_err(|error| format!("the file {} with the {what}: {error}", path.display()))?;
            if secret.is_empty() {
                Err(format!("the file {} with the {what} is empty", path.display()))
            } else {
                Ok(Some(secret))
            }
        }
    }
}

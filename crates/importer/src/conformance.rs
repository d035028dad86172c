//! What every plugin is held to, with no list of exceptions. `tests/conformance` runs it over all plugins, and each plugin over
//! itself; DEVELOPERS.md says what a plugin's folder holds.

mod bless;
mod case;
mod damage;
mod folder;
mod golden;
mod matrix;
mod outcome;
mod steady;

pub use bless::{Blessing, Loss, bless};
pub use case::{Case, Expect, cases_of};
pub use damage::{answer, damaged};
pub use matrix::unclaimed;

use crate::registry::{Registry, RegistryError};
use std::path::Path;

/// Everything that is wrong, a sentence each.
#[derive(Clone, PartialEq, Eq, Default)]
pub struct Complaints(Vec<String>);

impl Complaints {
    /// Nothing is wrong.
    #[must_use]
    pub const fn none() -> Self {
        Self(Vec::new())
    }

    /// What is wrong, a sentence each.
    #[must_use]
    pub fn all(&self) -> &[String] {
        &self.0
    }

    /// `Ok` if nothing is wrong.
    pub fn into_result(self) -> Result<(), Self> {
        if self.0.is_empty() { Ok(()) } else { Err(self) }
    }

    fn add(&mut self, complaint: impl Into<String>) {
        self.0.push(complaint.into());
    }

    fn extend(&mut self, others: Self) {
        self.0.extend(others.0);
    }
}

impl std::fmt::Display for Complaints {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        self.0.iter().try_for_each(|complaint| write!(f, "\n  {complaint}"))
    }
}

/// Tests print errors by `Debug`: a list is read more easily than a struct.
impl std::fmt::Debug for Complaints {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        std::fmt::Display::fmt(self, f)
    }
}

impl std::error::Error for Complaints {}

impl From<RegistryError> for Complaints {
    fn from(error: RegistryError) -> Self {
        Self(vec![error.to_string()])
    }
}

/// Holds one plugin to everything that can be seen from its own folder, among all plugins of `registry`. Damaging its samples is
/// left to `tests/conformance`, which does it in worker processes.
///
/// # Errors
/// Everything that is wrong.
pub fn check(plugin: &Path, registry: &Registry) -> Result<(), Complaints> {
    let mut complaints = folder::check(plugin, registry);
    match cases_of(plugin) {
        Err(error) => complaints.add(error),
        Ok(cases) => {
            complaints.extend(folder::check_cases(plugin, &cases, registry));
            for case in &cases {
                complaints.extend(matrix::check(case, registry));
                complaints.extend(outcome::check(case, registry));
                complaints.extend(steady::check(case, registry));
            }
            complaints.extend(steady::check_order(&cases, registry));
        }
    }
    complaints.into_result()
}

/// The folders of plugins below `plugins` by id, the list of all of them left out.
///
/// # Errors
/// When the folder cannot be read.
pub fn folders(plugins: &Path) -> std::io::Result<Vec<std::path::PathBuf>> {
    let mut folders = Vec::new();
    for entry in std::fs::read_dir(plugins)? {
        let path = entry?.path();
        if path.join("Cargo.toml").is_file() && path.file_name().is_some_and(|name| name != "all") {
            folders.push(path);
        }
    }
    folders.sort();
    Ok(folders)
}

/// Registered ids are the folders, both ways: a plugin crate that nothing names is silently not linked.
#[must_use]
pub fn ids_are_folders(folders: &[std::path::PathBuf], registry: &Registry) -> Complaints {
    let mut complaints = Complaints::none();
    let names: Vec<String> = folders.iter().map(|folder| case::file_name(folder)).collect();
    let ids = registry.ids();
    for name in names.iter().filter(|name| !ids.contains(&name.as_str())) {
        complaints.add(format!(
            "plugins/{name} is not linked in: name it twice in plugins/all, as a dependency and in `use … as _`"
        ));
    }
    for id in ids.iter().filter(|id| !names.iter().any(|name| name == *id)) {
        complaints.add(format!("a plugin registers itself as {id:?}, and there is no folder plugins/{id}"));
    }
    complaints
}

#[cfg(test)]
mod tests;

//! Importer plugins, the registry of all plugins, and the engine that asks them.
//!
//! This crate must **not** know particular plugins: it is handed a registry by `plugins/all`, the only place that lists
//! them.

pub mod claim;
pub mod conformance;
pub mod descriptor;
pub mod engine;
pub mod import;
pub mod registry;
mod tie;

pub use descriptor::ImporterPlugin;
pub use engine::{Source, evidence_of, read_source, understand_in_folder, understand_source};
pub use import::names;
pub use import::{Hands, Intake, Kept, Memory, Progress, Recall, Stage, Taken, answer, import};
pub use registry::{Registry, RegistryError};

//! Importer plugins, the registry of all plugins, and the engine that asks them.
//!
//! This crate must **not** know particular plugins: it is handed a registry by `plugins/all`, the only place that lists
//! them.

pub mod descriptor;
pub mod engine;
pub mod registry;

pub use descriptor::ImporterPlugin;
pub use engine::{Source, evidence_of, understand_in_folder, understand_source};
pub use registry::{Registry, RegistryError};

//! All plugins that are linked in, in a fixed order.

use crate::descriptor::ImporterPlugin;
use windrow_sheet::Specialist;
use windrow_source::ReaderPlugin;
use windrow_source::reader::companions_of;

/// Plugins by id. Only `plugins/all` makes one for programs: a plugin crate that nothing names is silently not linked.
#[derive(Debug, Default)]
pub struct Registry {
    readers: Vec<&'static ReaderPlugin>,
    importers: Vec<&'static ImporterPlugin>,
}

/// Two plugins with one id.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("two plugins are registered as {id:?}; each needs an id of its own, the name of its folder")]
pub struct RegistryError {
    /// The id.
    pub id: String,
}

impl Registry {
    /// The plugins that are linked into this program, sorted by id.
    ///
    /// # Errors
    /// When two plugins share an id.
    pub fn of_linked() -> Result<Self, RegistryError> {
        let mut readers: Vec<&'static ReaderPlugin> = inventory::iter::<ReaderPlugin>.into_iter().collect();
        let mut importers: Vec<&'static ImporterPlugin> = inventory::iter::<ImporterPlugin>.into_iter().collect();
        readers.sort_by_key(|plugin| plugin.id);
        importers.sort_by_key(|plugin| plugin.id);
        let registry = Self { readers, importers };
        let ids = registry.ids();
        match ids.windows(2).find(|pair| pair[0] == pair[1]) {
            Some(pair) => Err(RegistryError { id: pair[0].to_owned() }),
            None => Ok(registry),
        }
    }

    /// Reader plugins, by id.
    #[must_use]
    pub fn readers(&self) -> &[&'static ReaderPlugin] {
        &self.readers
    }

    /// Importer plugins, by id.
    #[must_use]
    pub fn importers(&self) -> &[&'static ImporterPlugin] {
        &self.importers
    }

    /// Importer plugins as the sheet engine asks them.
    #[must_use]
    pub fn specialists(&self) -> Vec<&dyn Specialist> {
        self.importers.iter().map(|plugin| *plugin as &dyn Specialist).collect()
    }

    /// Names, lower case, that a file would have that belongs to a file named `name`.
    #[must_use]
    pub fn companions(&self, name: &str) -> Vec<String> {
        self.readers.iter().flat_map(|plugin| companions_of(name, plugin.companions)).collect()
    }

    /// Ids of all plugins, sorted.
    #[must_use]
    pub fn ids(&self) -> Vec<&'static str> {
        let mut ids: Vec<&str> =
            self.readers.iter().map(|plugin| plugin.id).chain(self.importers.iter().map(|plugin| plugin.id)).collect();
        ids.sort_unstable();
        ids
    }
}

//! Files that are read together with the one beside them: samples with the configuration that tells what they are.
//!
//! They are looked for among the files of the import and of the fleet, never beside them on the disk: what is stored is a
//! function of what was imported.

use super::source::{Companion, Listed};
use crate::registry::Registry;
use std::collections::BTreeMap;

/// Tells each file of the one that belongs to it: of the same folder or archive, by name in any case. Of several that differ in
/// the case of their names only, the first in the order of names is taken.
pub(super) fn join(listed: &mut [Listed], registry: &Registry) {
    let mut named: BTreeMap<(String, String), Companion> = BTreeMap::new();
    for file in listed.iter().filter(|file| file.is_open()) {
        let companion =
            Companion { name: file.file_name(), location: file.location.clone(), content: file.content.clone() };
        named.entry((file.folder(), companion.name.to_lowercase())).or_insert(companion);
    }
    for file in listed.iter_mut().filter(|file| file.is_open()) {
        let wanted = registry.companions(&file.file_name());
        file.companion = wanted.into_iter().find_map(|name| named.get(&(file.folder(), name)).cloned());
    }
}

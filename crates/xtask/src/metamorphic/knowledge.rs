//! The same file with other knowledge about it.

use super::book::{Base, Bench, Changed};

/// With the layouts that are drafted from what was understood: they must say the same again.
pub(super) fn drafted(base: &Base) -> Option<Changed> {
    let drafts = Bench::drafts(base);
    (!drafts.is_empty()).then_some(Changed::Layouts(drafts))
}

/// Without the importers that read it: what the engine alone makes of a layout that it has no specialist for.
pub(super) fn alone(base: &Base) -> Option<Changed> {
    base.understood.regions.iter().any(|region| region.importer.is_some()).then_some(Changed::Alone)
}

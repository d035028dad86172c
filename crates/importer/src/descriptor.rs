//! The importer plugin: one family of layouts each.

use windrow_sheet::{Claim, Region, Specialist};
use windrow_source::Maturity;

/// An importer plugin, registered with `inventory::submit!`.
#[derive(Debug)]
pub struct ImporterPlugin {
    /// Id: the folder under `plugins/`, kebab case.
    pub id: &'static str,
    /// Name for people.
    pub title: &'static str,
    /// One sentence.
    pub summary: &'static str,
    /// Version of the plugin.
    pub version: &'static str,
    /// Program version that first had it.
    pub since: &'static str,
    /// How far it can be relied on.
    pub maturity: Maturity,
    /// Layouts it reads, in words.
    pub reads: &'static [&'static str],
    /// Bids for a region; looks at structure, not at value ranges.
    pub claim: fn(&Region) -> Claim,
}

inventory::collect!(ImporterPlugin);

impl Specialist for ImporterPlugin {
    fn id(&self) -> &str {
        self.id
    }

    fn version(&self) -> &str {
        self.version
    }

    fn claim(&self, region: &Region) -> Claim {
        (self.claim)(region)
    }
}

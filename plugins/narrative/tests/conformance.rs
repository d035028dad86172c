//! What every plugin is held to, for a fast loop over this one; `tests/conformance` does it for all.

use windrow_importer::conformance::{Complaints, check};
use windrow_plugin_narrative as _;

#[test]
fn conforms() -> Result<(), Complaints> {
    check(env!("CARGO_MANIFEST_DIR").as_ref(), &windrow_plugins::registry()?)
}

//! Links every plugin in; the only place that lists them.

use windrow_plugin_comtrade as _;
use windrow_plugin_cross_tab as _;
use windrow_plugin_data_interchange as _;
use windrow_plugin_dbase as _;
use windrow_plugin_delimited_text as _;
use windrow_plugin_fixed_width as _;
use windrow_plugin_form as _;
use windrow_plugin_html_table as _;
use windrow_plugin_machine_register as _;
use windrow_plugin_narrative as _;
use windrow_plugin_row_log as _;
use windrow_plugin_spreadsheet_xml as _;
use windrow_plugin_step_series as _;
use windrow_plugin_surge_table as _;
use windrow_plugin_symbolic_link as _;
use windrow_plugin_timed_series as _;
use windrow_plugin_winding_resistance as _;
use windrow_plugin_wk1_sheet as _;
use windrow_plugin_word_document as _;
use windrow_plugin_workbook as _;
use windrow_plugin_workbook_legacy as _;
use windrow_plugin_xml_records as _;

use windrow_importer::{Registry, RegistryError};

/// All plugins.
///
/// # Errors
/// When two plugins share an id.
pub fn registry() -> Result<Registry, RegistryError> {
    Registry::of_linked()
}

#[cfg(test)]
mod tests {
    use std::path::Path;

    /// A plugin crate that nothing names is silently not linked: folders and registered ids must be the same, both ways.
    #[test]
    fn every_folder_is_a_registered_plugin() {
        let plugins = Path::new(env!("CARGO_MANIFEST_DIR")).join("..");
        let mut folders: Vec<String> = std::fs::read_dir(plugins)
            .unwrap()
            .map(|entry| entry.unwrap())
            .filter(|entry| entry.path().join("Cargo.toml").exists())
            .map(|entry| entry.file_name().to_string_lossy().into_owned())
            .filter(|name| name != "all")
            .collect();
        folders.sort();
        assert_eq!(super::registry().unwrap().ids(), folders);
    }
}

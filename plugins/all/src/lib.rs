//! Links every plugin in; the only place that lists them.

use windrow_plugin_delimited_text as _;
use windrow_plugin_fixed_width as _;
use windrow_plugin_html_table as _;
use windrow_plugin_workbook as _;

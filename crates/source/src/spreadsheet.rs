//! What readers of spreadsheets share, whatever the container: cells made from stored values and styles, text struck through,
//! merged areas, what is hidden, remarks for people, and a budget for all of it.

pub mod budget;
pub mod draft;
pub mod formula;
pub mod hidden;
pub mod iso;
mod merges;
pub mod remarks;
pub mod struck;
pub mod style;

/// What to do about a damaged workbook.
pub const REPAIR: &str =
    "open it in a spreadsheet program, let it be repaired and save a copy, or restore it from a backup";
/// What to do about a workbook over a limit.
pub const SPLIT: &str =
    "split it into smaller workbooks; the number of cells may be raised by cells under [opening] in windrow.toml";

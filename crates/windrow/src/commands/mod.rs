//! One file a command.

pub(crate) mod acknowledge;
pub(crate) mod analyze;
pub(crate) mod assets;
pub(crate) mod completions;
pub(crate) mod decide;
pub(crate) mod explain;
pub(crate) mod export;
pub(crate) mod feed;
pub(crate) mod fleet;
pub(crate) mod holds;
pub(crate) mod import;
pub(crate) mod inspect;
pub(crate) mod levels;
pub(crate) mod limits;
pub(crate) mod plan;
pub(crate) mod plugins;
pub(crate) mod query;
pub(crate) mod report;
pub(crate) mod run;
pub(crate) mod serve;
pub(crate) mod unread;

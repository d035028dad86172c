//! The Delta tables below `store/`: opening, creating, replacing what a table holds.

use crate::durable::{self, DurableFolder, Place};
use crate::error::{Error, Result};
use crate::pages::{self, Pages, groups};
use crate::spread::Spread;
use crate::stats;
use deltalake_core::kernel::transaction::{CommitBuilder, CommitProperties};
use deltalake_core::kernel::{Action, Add, ArrayType, DataType, StructField, StructType, Transaction, Version};
use deltalake_core::logstore::{LogStoreRef, StorageConfig, default_logstore};
use deltalake_core::operations::create::CreateBuilder;
use deltalake_core::protocol::{DeltaOperation, SaveMode};
use deltalake_core::{DeltaTable, DeltaTableError, TableProperty};
use object_store::prefix::PrefixStore;
use polars::prelude::{DataFrame, PolarsResult};
use rayon::prelude::*;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use std::time::UNIX_EPOCH;
use tokio::runtime::Runtime;
use url::Url;
use windrow_model::table::{Column, ColumnType, TableInfo};

/// Name under which commits are recorded in the tables' logs.
const APPLICATION: &str = "windrow";

/// Rows of one row group: some three megabytes of readings, so that readers can skip and share out work. To look up the readings of one
/// machine the engine decodes the derivations of whole groups: with four times as many rows that took three times as long, with a quarter
/// the file grew by a twentieth.
pub(crate) const ROW_GROUP: usize = 1 << 15;

/// Commits after which a table's log is summed up, so that opening it stays quick.
const CHECKPOINT_EVERY: &str = "20";

/// The Delta tables in one folder.
#[derive(Debug)]
pub(crate) struct Delta {
    folder: PathBuf,
    store: String,
    files: Arc<DurableFolder>,
    runtime: Runtime,
}

/// A data file, as a table's log describes it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) struct DataFile {
    /// Name within the table's folder: a hash of its bytes, so that equal rows have equal files.
    pub(crate) name: String,
    /// Size in bytes.
    pub(crate) bytes: i64,
    /// Statistics as JSON.
    pub(crate) stats: Option<String>,
}

/// A table as it stands at one version.
pub(crate) struct OpenTable {
    table: DeltaTable,
    name: String,
}

impl Delta {
    /// The tables below `store` in the folder `fleet`, which must exist.
    pub(crate) fn new(fleet: &Path, store: &str) -> Result<Self> {
        let files = DurableFolder::new(fleet);
        let files =
            files.map_err(|error| Error::new(format!("could not open {}", fleet.display())).caused_by(error))?;
        // The library wants a runtime of several threads; one worker beside the caller is enough for small logs.
        let runtime = tokio::runtime::Builder::new_multi_thread().worker_threads(1).build();
        let runtime = runtime.map_err(|error| Error::new("no threads could be started").caused_by(error))?;
        Ok(Self { folder: fleet.join(store), store: store.to_owned(), files: Arc::new(files), runtime })
    }

    /// The log of a table. Its address stands below the fleet folder and not at the root of the disk, so that no letter of
    /// that folder's own name can be mistaken for an escape, and the log does not tell where the fleet once was.
    fn log_of(&self, table: &str) -> Result<LogStoreRef> {
        let prefix = format!("{}/{table}", self.store);
        let address = Url::parse(&format!("fleet:///{prefix}/"))
            .map_err(|error| Error::new(format!("{table} is no name for a table")).caused_by(error))?;
        let files = Arc::new(PrefixStore::new(self.files.clone(), prefix));
        Ok(default_logstore(files, self.files.clone(), &address, &StorageConfig::default()))
    }

    /// Folder of `table`.
    pub(crate) fn folder_of(&self, table: &str) -> PathBuf {
        self.folder.join(table)
    }

    /// The newest version of `table`; `None` if there is no such table.
    pub(crate) fn newest(&self, table: &str) -> Result<Option<OpenTable>> {
        self.open(table, None)
    }

    /// `table` as it was at `version`.
    pub(crate) fn at(&self, table: &str, version: Version) -> Result<Option<OpenTable>> {
        self.open(table, Some(version))
    }

    fn open(&self, name: &str, version: Option<Version>) -> Result<Option<OpenTable>> {
        let folder = self.folder_of(name);
        if !folder.join("_delta_log").is_dir() {
            return Ok(None);
        }
        let mut table = DeltaTable::new(self.log_of(name)?);
        let opened = self.runtime.block_on(async {
            match version {
                Some(version) => table.load_version(version).await,
                None => table.load().await,
            }
        });
        match opened {
            Ok(()) => Ok(Some(OpenTable { table, name: name.to_owned() })),
            // The folder of the log stands, and its first entry was never written.
            Err(DeltaTableError::NotATable(_)) => Ok(None),
            Err(error) => {
                Err(Error::new(format!("the table in {} could not be opened", folder.display())).caused_by(error))
            }
        }
    }

    /// Creates the empty table `info`.
    pub(crate) fn create(&self, info: &TableInfo) -> Result<OpenTable> {
        let folder = self.folder_of(info.name);
        durable::create_folder(&folder).map_err(|error| Error::io("create the folder", &folder, error))?;
        let log = self.log_of(info.name)?;
        let fields = info.columns.iter().map(field).collect::<Result<Vec<_>>>()?;
        let created = self.runtime.block_on(async {
            CreateBuilder::new()
                .with_log_store(log)
                .with_table_name(info.name)
                .with_comment(one_line(info.doc))
                .with_columns(fields)
                .with_configuration_property(TableProperty::CheckpointInterval, Some(CHECKPOINT_EVERY))
                .with_commit_properties(properties())
                .await
        });
        let table = created.map_err(|error| Error::refused(&folder, error))?;
        Ok(OpenTable { table, name: info.name.to_owned() })
    }

    /// Writes the bytes of a data file of `table`, durably; no reader sees it before a commit names it.
    pub(crate) fn write_bytes(&self, table: &str, bytes: &[u8], stats: String) -> Result<DataFile> {
        let name = name_of(&blake3::hash(bytes));
        let path = self.folder_of(table).join(&name);
        // Files are named by their bytes: what stands there whole is what would be written.
        if !std::fs::read(&path).is_ok_and(|there| there == bytes) {
            durable::write(&path, [bytes], Place::Replace).map_err(|error| Error::io("write", &path, error))?;
        }
        let size = i64::try_from(bytes.len()).unwrap_or(i64::MAX);
        Ok(DataFile { name, bytes: size, stats: Some(stats) })
    }

    /// Makes `file` all that the table holds, in one commit on top of the version that was opened; refused when another
    /// program has committed meanwhile.
    pub(crate) fn replace(&self, open: &OpenTable, file: Option<&DataFile>, commit: i64) -> Result<Version> {
        let folder = self.folder_of(&open.name);
        let mut actions = Vec::new();
        for view in open.views(&folder)? {
            actions.push(Action::Remove(view.remove_action(true)));
        }
        if let Some(file) = file {
            actions.push(Action::Add(add_action(&folder, file)?));
        }
        let operation = DeltaOperation::Write { mode: SaveMode::Overwrite, partition_by: None, predicate: None };
        let properties = properties().with_application_transaction(Transaction::new(APPLICATION, commit));
        let done = self.runtime.block_on(async {
            let state = open.table.snapshot()?;
            CommitBuilder::from(properties)
                .with_actions(actions)
                .build(Some(state), open.table.log_store(), operation)
                .await
        });
        done.map(|commit| commit.version()).map_err(|error| Error::refused(&folder, error))
    }
}

/// The name of a data file by the hash of its bytes.
pub(crate) fn name_of(hash: &blake3::Hash) -> String {
    format!("part-{}.parquet", hash.to_hex())
}

/// `frame` as the bytes of a data file of `table`; no rows need no file.
pub(crate) fn encoded(table: &str, frame: &mut DataFrame) -> Result<Option<Spread>> {
    if frame.height() == 0 {
        return Ok(None);
    }
    frame.rechunk_mut();
    let (frame, groups) = (&*frame, groups(frame.height()));
    let encode = || {
        let columns = frame.columns().par_iter().map(|column| Pages::of(column, &groups));
        columns.collect::<PolarsResult<_>>().and_then(|columns| pages::file(columns, &groups, frame.schema()))
    };
    let (bytes, stats) = rayon::join(encode, || stats::of(frame));
    let bytes =
        bytes.map_err(|error| Error::new(format!("the rows of {table} could not be encoded")).caused_by(error))?;
    Ok(Some(Spread { bytes, stats, rows: frame.height() }))
}

impl OpenTable {
    /// The version that was opened.
    pub(crate) fn version(&self) -> Version {
        self.table.version().unwrap_or_default()
    }

    /// The data files of that version.
    pub(crate) fn files(&self) -> Result<Vec<DataFile>> {
        let views = self.views(Path::new(&self.name))?;
        Ok(views
            .map(|view| DataFile { name: view.path().into_owned(), bytes: view.size(), stats: view.stats() })
            .collect())
    }

    fn views(&self, folder: &Path) -> Result<impl Iterator<Item = deltalake_core::kernel::LogicalFileView> + '_> {
        let data = self.table.snapshot().and_then(|state| state.snapshot().try_log_data());
        let data = data.map_err(|error| {
            Error::new(format!("the log of the table in {} could not be read", folder.display())).caused_by(error)
        })?;
        Ok(data.into_iter())
    }
}

fn add_action(folder: &Path, file: &DataFile) -> Result<Add> {
    let path = folder.join(&file.name);
    let modified = path.metadata().and_then(|metadata| metadata.modified());
    let modified = modified.map_err(|error| Error::io("look at", &path, error))?;
    let since = modified.duration_since(UNIX_EPOCH).unwrap_or_default();
    Ok(Add {
        path: file.name.clone(),
        size: file.bytes,
        modification_time: i64::try_from(since.as_millis()).unwrap_or(i64::MAX),
        data_change: true,
        stats: file.stats.clone(),
        ..Add::default()
    })
}

/// Every commit stands on the version that was read, or is refused: the library's own retries let two overwrites through.
/// Expired log entries stay, because readers may be bound to an older version.
fn properties() -> CommitProperties {
    CommitProperties::default().with_max_retries(0).with_cleanup_expired_logs(Some(false))
}

fn one_line(doc: &str) -> String {
    doc.split_whitespace().collect::<Vec<_>>().join(" ")
}

fn field(column: &Column) -> Result<StructField> {
    let list = |inner: DataType| DataType::from(ArrayType::new(inner, false));
    let kind = match column.kind {
        ColumnType::Text => DataType::STRING,
        ColumnType::Double => DataType::DOUBLE,
        ColumnType::Int => DataType::INTEGER,
        ColumnType::Long => DataType::LONG,
        ColumnType::Bool => DataType::BOOLEAN,
        ColumnType::Date => DataType::DATE,
        ColumnType::TextList => list(DataType::STRING),
        ColumnType::IntList => list(DataType::INTEGER),
        ColumnType::FloatList => list(DataType::FLOAT),
        ColumnType::StepList => {
            let text = |name: &str| StructField::not_null(name, DataType::STRING);
            let pair = StructType::try_new([text("step"), text("detail")]);
            list(pair.map_err(|error| Error::new("no type for steps; please report this").caused_by(error))?.into())
        }
    };
    Ok(StructField::new(column.name, kind, column.nullable))
}

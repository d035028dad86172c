//! Passing over every cell with calamine, doing nothing else.

use anyhow::{Context, bail};
use calamine::{Reader, Xlsx, open_workbook};
use std::fs::File;
use std::io::BufReader;
use std::path::{Path, PathBuf};
use std::sync::Mutex;

/// Reads all workbooks below `folder` on all cores: `values`, or `full` with styles, formulas and merges.
pub(super) fn read_all(pass: &str, folder: &Path) -> anyhow::Result<()> {
    let read = match pass {
        "values" => values,
        "full" => full,
        other => bail!("unknown pass {other:?}"),
    };
    let mut files: Vec<PathBuf> =
        std::fs::read_dir(folder)?.map(|entry| entry.map(|entry| entry.path())).collect::<Result<_, _>>()?;
    files.sort();
    let queue = Mutex::new(files);
    let cores = std::thread::available_parallelism()?.get();
    let cells = std::thread::scope(|scope| {
        let workers: Vec<_> = (0..cores).map(|_| scope.spawn(|| drain(&queue, read))).collect();
        workers
            .into_iter()
            .map(|worker| worker.join().unwrap_or_else(|_| bail!("a reader thread failed")))
            .sum::<anyhow::Result<usize>>()
    })?;
    println!("{cells} cells");
    Ok(())
}

fn drain(queue: &Mutex<Vec<PathBuf>>, read: fn(&Path) -> anyhow::Result<usize>) -> anyhow::Result<usize> {
    let mut cells = 0;
    loop {
        let next = queue.lock().map_err(|_| anyhow::anyhow!("a reader thread failed"))?.pop();
        let Some(path) = next else { return Ok(cells) };
        cells += read(&path).with_context(|| path.display().to_string())?;
    }
}

fn open(path: &Path) -> anyhow::Result<Xlsx<BufReader<File>>> {
    Ok(open_workbook(path)?)
}

fn values(path: &Path) -> anyhow::Result<usize> {
    let mut book = open(path)?;
    let mut cells = 0;
    for name in book.sheet_names() {
        let mut reader = book.worksheet_cells_reader(&name)?;
        while reader.next_cell()?.is_some() {
            cells += 1;
        }
    }
    Ok(cells)
}

fn full(path: &Path) -> anyhow::Result<usize> {
    let mut book = open(path)?;
    let mut cells = 0;
    for name in book.sheet_names() {
        let mut reader = book.worksheet_cells_reader(&name)?;
        while reader.next_cell_with_style_id()?.is_some() {
            cells += 1;
        }
        drop(reader);
        let mut reader = book.worksheet_cells_reader(&name)?;
        while reader.next_formula()?.is_some() {}
        drop(reader);
        let _ = book.merge_cells_by_sheet_name(&name)?;
    }
    Ok(cells)
}

//! A table that came in packed parts, written as one file in order without ever being there as a whole: first what it is sorted by, then
//! one column after the other, last one group of rows after the other.

use crate::delta::ROW_GROUP;
use crate::gathered::{packed, unpacked};
use crate::stats::Stats;
use polars::prelude::*;
use std::ops::Range;

/// Column of the places that rows had in the parts.
const PLACE: &str = "place before";

/// The bytes of a data file, with what the log says of it.
pub(crate) struct Spread {
    pub(crate) bytes: Vec<u8>,
    pub(crate) stats: String,
    pub(crate) rows: usize,
}

/// The rows of `parts`, sorted by `keys`, with the columns of `schema`; `None` where rows share all keys, so that these do not tell their order.
pub(crate) fn written(parts: &[Vec<u8>], keys: &[PlSmallStr], schema: &Schema) -> PolarsResult<Option<Spread>> {
    let Some(places) = places(parts, keys)? else { return Ok(None) };
    let groups = groups(places.len());
    let (mut stats, mut columns) = (Stats::default(), vec![Vec::new(); groups.len()]);
    for name in schema.iter_names() {
        let mut column = columns_of(parts, std::slice::from_ref(name))?;
        column.rechunk_mut();
        let column = column.column(name)?.take(&places)?;
        stats.add(&column);
        for (rows, packed_columns) in groups.iter().zip(&mut columns) {
            let slice = column.slice(i64::try_from(rows.start).unwrap_or(i64::MAX), rows.len());
            packed_columns.push(packed(&mut slice.into_frame())?);
        }
    }
    let mut bytes = Vec::new();
    let writer = ParquetWriter::new(&mut bytes).with_compression(ParquetCompression::Zstd(None));
    let mut writer = writer.with_row_group_size(Some(ROW_GROUP)).batched(schema)?;
    for (rows, packed_columns) in groups.iter().zip(columns) {
        let mut group = Vec::with_capacity(packed_columns.len());
        for column in &packed_columns {
            group.extend(unpacked(column, None)?.into_columns());
        }
        let mut group = DataFrame::new(rows.len(), group)?;
        group.rechunk_mut();
        writer.write_batch(&group)?;
    }
    writer.finish()?;
    drop(writer);
    Ok(Some(Spread { bytes, stats: stats.told(places.len()), rows: places.len() }))
}

/// Some columns of all parts.
fn columns_of(parts: &[Vec<u8>], names: &[PlSmallStr]) -> PolarsResult<DataFrame> {
    let mut parts = parts.iter().map(|part| unpacked(part, Some(names)));
    let mut all = parts.next().transpose()?.unwrap_or_default();
    for part in parts {
        all.vstack_mut_owned(part?)?;
    }
    Ok(all)
}

/// Where the rows stood, in their order; `None` where two share all keys.
fn places(parts: &[Vec<u8>], keys: &[PlSmallStr]) -> PolarsResult<Option<IdxCa>> {
    let by = || keys.iter().cloned().map(col).collect::<Vec<Expr>>();
    let options = SortMultipleOptions::default().with_maintain_order(true);
    let sorted = columns_of(parts, keys)?.lazy().with_row_index(PLACE, None).sort_by_exprs(by(), options);
    let same = by().into_iter().map(|key| key.clone().eq_missing(key.shift(lit(1)))).reduce(Expr::and);
    let Some(same) = same else { return Ok(None) };
    let sorted = sorted.with_column(same.alias("same")).select([col(PLACE), col("same")]).collect()?;
    let is_shared = sorted.column("same")?.bool()?.any();
    Ok(if is_shared { None } else { Some(sorted.column(PLACE)?.idx()?.clone()) })
}

/// Rows of each group: as even as the writer of whole tables makes them.
fn groups(rows: usize) -> Vec<Range<usize>> {
    let count = (rows / ROW_GROUP).max(1);
    let size = rows / count;
    (0..count).map(|group| group * size..if group + 1 == count { rows } else { (group + 1) * size }).collect()
}

//! Columns as the pages of a data file, each made by itself: threads share the work, and what is packed needs no packing again.

use crate::delta::ROW_GROUP;
use polars::prelude::*;
use polars_parquet::write::{
    CompressedPage, Encoding, ParquetType, Version, WriteOptions, array_to_columns, compress, get_dtype_encoding,
    to_parquet_type,
};
use rayon::prelude::*;
use std::ops::Range;

/// Rows of each group: as even as the writer of whole tables makes them.
pub(crate) fn groups(rows: usize) -> Vec<Range<usize>> {
    let count = (rows / ROW_GROUP).max(1);
    let size = rows / count;
    (0..count).map(|group| group * size..if group + 1 == count { rows } else { (group + 1) * size }).collect()
}

/// Pages of one column in one group of rows; of lists of pairs there are two columns in the file.
type Chunk = Vec<Vec<CompressedPage>>;

/// A column, group by group.
pub(crate) struct Pages(Vec<Chunk>);

impl Pages {
    /// Of a column in one piece.
    pub(crate) fn of(column: &Column, groups: &[Range<usize>]) -> PolarsResult<Self> {
        let field = column.field().to_arrow(CompatLevel::newest());
        let (kind, encoding) = (to_parquet_type(&field)?, get_dtype_encoding(&field.dtype));
        let chunk = |rows: &Range<usize>| {
            let some = column.slice(i64::try_from(rows.start).unwrap_or(i64::MAX), rows.len());
            chunk(&some, kind.clone(), &encoding)
        };
        Ok(Self(groups.par_iter().map(chunk).collect::<PolarsResult<_>>()?))
    }
}

fn chunk(column: &Column, kind: ParquetType, encoding: &[Encoding]) -> PolarsResult<Chunk> {
    let options = WriteOptions {
        statistics: StatisticsOptions::default(),
        version: Version::V1,
        compression: ParquetCompression::Zstd(None).into(),
        data_page_size: None,
    };
    let array = column.as_materialized_series().rechunk().to_arrow(0, CompatLevel::newest());
    let leaves = array_to_columns(array, kind, options, encoding)?.into_iter();
    let packed = |page| Ok(compress(page?, Vec::new(), options.compression)?);
    leaves.map(|pages| pages.map(packed).collect()).collect()
}

/// The bytes of a file of columns with this schema.
pub(crate) fn file(columns: Vec<Pages>, groups: &[Range<usize>], schema: &Schema) -> PolarsResult<Vec<u8>> {
    let mut columns: Vec<_> = columns.into_iter().map(|pages| pages.0.into_iter()).collect();
    let mut bytes = Vec::new();
    let writer = ParquetWriter::new(&mut bytes).with_compression(ParquetCompression::Zstd(None));
    let mut writer = writer.batched(schema)?;
    for rows in groups {
        let group: Vec<Vec<CompressedPage>> = columns.iter_mut().filter_map(Iterator::next).flatten().collect();
        writer.write_row_group(u64::try_from(rows.len()).unwrap_or(u64::MAX), &group)?;
    }
    writer.finish()?;
    drop(writer);
    Ok(bytes)
}

#[cfg(test)]
mod tests {
    use super::groups;

    #[test]
    fn groups_hold_all_rows() {
        for rows in [1, 262_143, 262_144, 600_000, 1_950_000] {
            let groups = groups(rows);
            assert_eq!(groups.first().map(|group| group.start), Some(0));
            assert_eq!(groups.last().map(|group| group.end), Some(rows));
            assert!(groups.windows(2).all(|pair| pair[0].end == pair[1].start), "{rows}");
        }
    }
}

//! A table that came in packed parts, written as one file in order: first what it is sorted by, then column by column, last one group of rows
//! after the other. It is never there as a whole.

use crate::delta::ROW_GROUP;
use crate::gathered::{packed, unpacked};
use crate::order;
use crate::stats;
use polars::prelude::*;
use rayon::prelude::*;
use std::ops::Range;

/// Columns that are put in order at once.
const AT_ONCE: usize = 2;

/// Column of the places that rows had in the parts.
const PLACE: &str = "place before";

/// The bytes of a data file, with what the log says of it.
#[derive(Debug)]
pub(crate) struct Spread {
    pub(crate) bytes: Vec<u8>,
    pub(crate) stats: String,
    pub(crate) rows: usize,
}

/// The rows of `parts`, sorted by `keys`, with the columns of `schema`; `None` where rows share all keys, so that these do not tell their order.
pub(crate) fn written(parts: &[Vec<u8>], keys: &[PlSmallStr], schema: &Schema) -> PolarsResult<Option<Spread>> {
    let Some(places) = places(parts, keys)? else { return Ok(None) };
    let groups = groups(places.len());
    let names: Vec<PlSmallStr> = schema.iter_names().cloned().collect();
    // Few columns at a time, for each is there several times on its way.
    let some = |names: &[PlSmallStr]| -> PolarsResult<Vec<_>> {
        names.par_iter().map(|name| column_of(parts, name, (&places, &groups))).collect()
    };
    let columns: Vec<Vec<(Vec<Held>, stats::Told)>> = names.chunks(AT_ONCE).map(some).collect::<PolarsResult<_>>()?;
    let (columns, told): (Vec<Vec<Held>>, Vec<stats::Told>) = columns.into_iter().flatten().unzip();
    let stats = stats::of_columns(told, places.len());
    let bytes = encoded(columns, &groups, schema)?;
    Ok(Some(Spread { bytes, stats, rows: places.len() }))
}

/// The bytes of a file of columns, each in so many groups; while one group is written, the next is unpacked.
fn encoded(columns: Vec<Vec<Held>>, groups: &[Range<usize>], schema: &Schema) -> PolarsResult<Vec<u8>> {
    let mut columns: Vec<_> = columns.into_iter().map(Vec::into_iter).collect();
    let mut groups = groups.iter();
    let mut unpacked = || -> PolarsResult<Option<DataFrame>> {
        let Some(rows) = groups.next() else { return Ok(None) };
        let held: Vec<Held> = columns.iter_mut().filter_map(Iterator::next).collect();
        let group = held.into_par_iter().map(Held::column).collect::<PolarsResult<_>>()?;
        let mut group = DataFrame::new(rows.len(), group)?;
        group.rechunk_mut();
        Ok(Some(group))
    };
    let mut bytes = Vec::new();
    let writer = ParquetWriter::new(&mut bytes).with_compression(ParquetCompression::Zstd(None));
    let mut writer = writer.with_row_group_size(Some(ROW_GROUP)).batched(schema)?;
    let mut next = unpacked()?;
    while let Some(group) = next {
        let (written, following) = rayon::join(|| writer.write_batch(&group), &mut unpacked);
        written?;
        next = following?;
    }
    writer.finish()?;
    drop(writer);
    Ok(bytes)
}

/// A column in its order, group by group, and what the log says of it.
fn column_of(
    parts: &[Vec<u8>],
    name: &PlSmallStr,
    (places, groups): (&IdxCa, &[Range<usize>]),
) -> PolarsResult<(Vec<Held>, stats::Told)> {
    let mut column = columns_of(parts, std::slice::from_ref(name))?;
    column.rechunk_mut();
    let column = column.column(name)?.take(places)?;
    let (held, told) = rayon::join(
        || groups.par_iter().map(|rows| Held::of(&column, rows)).collect::<PolarsResult<_>>(),
        || stats::Told::of(&column),
    );
    Ok((held?, told))
}

/// A column of one group of rows, until it is written.
enum Held {
    /// Texts, of which few are distinct, and what few rows tell: that takes a tenth of the room when packed.
    Packed(Vec<u8>),
    /// Numbers that most rows tell, which packing would hardly make smaller.
    Plain(Column),
}

impl Held {
    fn of(column: &Column, rows: &Range<usize>) -> PolarsResult<Self> {
        let slice = column.slice(i64::try_from(rows.start).unwrap_or(i64::MAX), rows.len());
        let is_number = !matches!(column.dtype(), DataType::String | DataType::List(_));
        // Of the whole column, for its slices share its room.
        if is_number && 2 * column.null_count() < column.len() {
            return Ok(Self::Plain(slice));
        }
        Ok(Self::Packed(packed(&mut slice.into_frame())?))
    }

    fn column(self) -> PolarsResult<Column> {
        match self {
            Self::Packed(bytes) => Ok(unpacked(&bytes, None)?.into_columns().pop().unwrap_or_default()),
            Self::Plain(column) => Ok(column),
        }
    }
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
    let sorted = sorted.collect()?;
    let places = sorted.column(PLACE)?.idx()?.clone();
    Ok(order::is_told(sorted.lazy(), keys)?.then_some(places))
}

/// Rows of each group: as even as the writer of whole tables makes them.
pub(crate) fn groups(rows: usize) -> Vec<Range<usize>> {
    let count = (rows / ROW_GROUP).max(1);
    let size = rows / count;
    (0..count).map(|group| group * size..if group + 1 == count { rows } else { (group + 1) * size }).collect()
}

#[cfg(test)]
mod tests {
    use super::groups;
    use crate::coverage_rows::{Row, row};
    use crate::gathered::{Gathered, unpacked};
    use crate::{frame, order};
    use windrow_model::table::Table;

    #[test]
    fn packed_parts_become_the_file_that_the_whole_table_would() {
        const ROWS: u32 = 100_000;
        let numbers: Vec<u32> = (0..ROWS).collect();
        let mut gathered = Gathered::packed_from(0);
        numbers.chunks(1000).for_each(|some| gathered.push(some.iter().copied().map(row).collect()));
        let spread = gathered.spread().unwrap().unwrap();
        let whole = frame::from_rows(numbers.into_iter().map(row).collect()).unwrap();
        let sorted = order::sorted(Row::NAME, whole).unwrap();
        assert!(unpacked(&spread.bytes, None).unwrap().equals_missing(&sorted));
        assert_eq!(spread.stats, crate::stats::of(&sorted));
        assert_eq!(spread.rows, sorted.height());
    }

    #[test]
    fn rows_that_share_what_tells_the_order_are_sorted_as_a_whole() {
        let mut gathered = Gathered::packed_from(0);
        for _ in 0..2 {
            gathered.push((0..50_000).map(row).collect());
        }
        assert!(gathered.spread().unwrap().is_none());
        assert_eq!(gathered.into_frame().unwrap().height(), 100_000);
    }

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

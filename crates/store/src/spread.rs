//! A table that came in packed parts, written as one file in order: first what it is sorted by, then column by column to the pages of the
//! file. It is never there as a whole.

use crate::gathered::unpacked;
use crate::order;
use crate::pages::{self, Pages, groups};
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
    // Few columns at a time, for each is there as a whole on its way to its pages.
    let some = |names: &[PlSmallStr]| -> PolarsResult<Vec<_>> {
        names.par_iter().map(|name| column_of(parts, name, (&places, &groups))).collect()
    };
    let columns: Vec<Vec<(Pages, stats::Told)>> = names.chunks(AT_ONCE).map(some).collect::<PolarsResult<_>>()?;
    let (columns, told): (Vec<Pages>, Vec<stats::Told>) = columns.into_iter().flatten().unzip();
    let bytes = pages::file(columns, &groups, schema)?;
    Ok(Some(Spread { bytes, stats: stats::of_columns(told, places.len()), rows: places.len() }))
}

/// A column in its order as pages, and what the log says of it.
fn column_of(
    parts: &[Vec<u8>],
    name: &PlSmallStr,
    (places, groups): (&IdxCa, &[Range<usize>]),
) -> PolarsResult<(Pages, stats::Told)> {
    let mut column = columns_of(parts, std::slice::from_ref(name))?;
    column.rechunk_mut();
    let column = column.column(name)?.take(places)?;
    let (pages, told) = rayon::join(|| Pages::of(&column, groups), || stats::Told::of(&column));
    Ok((pages?, told))
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

#[cfg(test)]
mod tests {
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
}

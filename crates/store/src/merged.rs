//! Rows that stand in order in a table already, with a few new ones put between them: they are read, merged and written one group after the
//! other, and need neither be packed nor sorted again.

use crate::delta::ROW_GROUP;
use crate::order;
use crate::pages::groups;
use crate::spread::Spread;
use crate::stats::{Ends, of_columns};
use polars::io::parquet::write::BatchedWriter;
use polars::prelude::*;
use std::collections::HashSet;
use std::fmt;
use std::sync::Arc;
use windrow_model::Text;

/// Rows that are read at once: a group of the file.
const ROWS: u32 = 1 << 15;
const _: () = assert!(ROWS as usize == ROW_GROUP);

/// Columns by which both tables are sorted first; rows of one machine share them and stand together.
const MACHINE: [&str; 3] = ["site", "tag", "asset_id"];

/// The rows of some machines in a table that stands.
#[derive(Clone)]
pub(crate) struct Before {
    pub(crate) table: LazyFrame,
    pub(crate) machines: Arc<HashSet<Text>>,
    /// How many rows these are.
    pub(crate) rows: usize,
}

impl fmt::Debug for Before {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        formatter.debug_struct("Before").field("rows", &self.rows).finish_non_exhaustive()
    }
}

impl Before {
    /// Gives some columns of the rows to `take`, group by group; while one is taken, the next is read.
    pub(crate) fn each(
        &self,
        columns: &[Expr],
        mut take: impl FnMut(DataFrame) -> PolarsResult<()> + Send,
    ) -> PolarsResult<()> {
        let read = |group: u32| some_of(&self.table, (i64::from(group) * i64::from(ROWS), columns), &self.machines);
        let mut next = Some(read(0)?);
        for group in 1.. {
            let Some((seen, rows)) = next else { break };
            let following = || (seen == ROWS as usize).then(|| read(group)).transpose();
            let (taken, following) = rayon::join(|| take(rows), following);
            taken?;
            next = following?;
        }
        Ok(())
    }
}

/// How many rows stand from a place on, and those of them that are of these machines.
fn some_of(
    table: &LazyFrame,
    (offset, columns): (i64, &[Expr]),
    machines: &HashSet<Text>,
) -> PolarsResult<(usize, DataFrame)> {
    let some = table.clone().slice(offset, ROWS).select(columns).collect()?;
    let is_of_them = |id: Option<&str>| Some(id.is_some_and(|id| machines.contains(id)));
    let wanted: BooleanChunked = some.column("asset_id")?.str()?.iter().map(is_of_them).collect();
    let read = some.height();
    Ok((read, if wanted.all() { some } else { some.filter(&wanted)? }))
}

/// The rows before and the new ones, which are of other machines, as one file in the order that `keys` tell; `None` where they do not tell it.
pub(crate) fn written(before: &Before, new: DataFrame, keys: &[PlSmallStr]) -> PolarsResult<Option<Spread>> {
    if !keys.iter().map(PlSmallStr::as_str).take(MACHINE.len()).eq(MACHINE) {
        return Ok(None);
    }
    let (mut bytes, rows) = (Vec::new(), before.rows + new.height());
    let schema = new.schema().clone();
    let writer = ParquetWriter::new(&mut bytes).with_compression(ParquetCompression::Zstd(None));
    let mut merge = Merge {
        pending: new.slice(0, 0),
        new,
        next: 0,
        groups: groups(rows).into_iter().map(|group| group.len()).collect::<Vec<_>>().into_iter(),
        keys,
        last: None,
        is_told: true,
        ends: schema.iter_names().cloned().map(Ends::of).collect(),
        writer: writer.with_row_group_size(Some(ROW_GROUP)).batched(&schema)?,
    };
    before.each(&[all().as_expr()], |rows| if merge.is_told { merge.add(rows) } else { Ok(()) })?;
    merge.finish()?;
    let Merge { is_told, ends, writer, .. } = merge;
    drop(writer);
    let stats = of_columns(ends.into_iter().map(Ends::told), rows);
    Ok(is_told.then_some(Spread { bytes, stats, rows }))
}

/// A table on its way to a file.
struct Merge<'a> {
    new: DataFrame,
    /// The first new row that is not among the others yet.
    next: usize,
    /// Rows in order that are not written yet.
    pending: DataFrame,
    /// Rows of each group that is not written yet.
    groups: std::vec::IntoIter<usize>,
    keys: &'a [PlSmallStr],
    /// What the last row that was written is sorted by.
    last: Option<DataFrame>,
    /// Whether the keys tell the order so far.
    is_told: bool,
    ends: Vec<Ends>,
    writer: BatchedWriter<&'a mut Vec<u8>>,
}

impl Merge<'_> {
    /// Adds rows of before, with the new ones that stand before or between them, and writes the groups that are full.
    fn add(&mut self, mut old: DataFrame) -> PolarsResult<()> {
        old.rechunk_mut();
        let mut begin = 0;
        while self.next < self.new.height() {
            let (theirs, ours) = (Machines::of(&old)?, Machines::of(&self.new)?);
            let key = ours.at(self.next);
            let place = theirs.first_from(begin, |other| other >= key);
            if place == old.height() {
                break;
            }
            let following = theirs.at(place);
            let end = ours.first_from(self.next, |other| other >= following);
            if end == self.next {
                // Of one machine there are rows of both kinds.
                self.is_told = false;
                return Ok(());
            }
            let new = rows(&self.new, self.next, end);
            self.pending.vstack_mut_owned(rows(&old, begin, place))?;
            self.pending.vstack_mut_owned(new)?;
            (begin, self.next) = (place, end);
        }
        let height = old.height();
        self.pending.vstack_mut_owned(rows(&old, begin, height))?;
        self.write()
    }

    /// Writes the groups that are full.
    fn write(&mut self) -> PolarsResult<()> {
        while let Some(size) = self.groups.as_slice().first().copied().filter(|size| *size <= self.pending.height()) {
            self.groups.next();
            let (mut group, rest) = self.pending.split_at(i64::try_from(size).unwrap_or(i64::MAX));
            self.pending = rest;
            group.rechunk_mut();
            self.is_told = self.is_told && self.tells_order(&group)?;
            for (ends, column) in self.ends.iter_mut().zip(group.columns()) {
                ends.add(column)?;
            }
            self.writer.write_batch(&group)?;
        }
        Ok(())
    }

    /// Whether no row of the group shares all keys with the one before it.
    fn tells_order(&mut self, group: &DataFrame) -> PolarsResult<bool> {
        let keys = group.select(self.keys.iter().cloned())?;
        let mut all = self.last.replace(keys.tail(Some(1))).unwrap_or_else(|| keys.slice(0, 0));
        all.vstack_mut_owned(keys)?;
        order::is_told(all.lazy(), self.keys)
    }

    /// Writes the rest.
    fn finish(&mut self) -> PolarsResult<()> {
        let height = self.new.height();
        let rest = rows(&self.new, self.next, height);
        self.pending.vstack_mut_owned(rest)?;
        self.write()?;
        self.writer.finish()?;
        Ok(())
    }
}

/// The rows of a frame from one place up to another.
fn rows(frame: &DataFrame, begin: usize, end: usize) -> DataFrame {
    frame.slice(i64::try_from(begin).unwrap_or(i64::MAX), end.saturating_sub(begin))
}

/// What tells the machine of each row.
struct Machines<'a>([&'a StringChunked; 3], usize);

impl<'a> Machines<'a> {
    fn of(frame: &'a DataFrame) -> PolarsResult<Self> {
        let [site, tag, asset_id] = MACHINE.map(|name| frame.column(name).and_then(Column::str));
        Ok(Self([site?, tag?, asset_id?], frame.height()))
    }

    /// In the order of the table: what is not told comes first.
    fn at(&self, row: usize) -> [Option<&'a str>; 3] {
        self.0.map(|column| column.get(row))
    }

    /// The first row from a place on for which `is_behind` holds, as for all behind it.
    fn first_from(&self, begin: usize, is_behind: impl Fn([Option<&'a str>; 3]) -> bool) -> usize {
        let (mut low, mut high) = (begin, self.1);
        while low < high {
            let middle = usize::midpoint(low, high);
            if is_behind(self.at(middle)) { high = middle } else { low = middle + 1 }
        }
        low
    }
}

#[cfg(test)]
mod tests {
    use super::{Before, written};
    use crate::coverage_rows::{Row, row};
    use crate::gathered::Gathered;
    use crate::{delta, frame, order};
    use polars::prelude::IntoLazy;
    use std::collections::HashSet;
    use std::sync::Arc;
    use windrow_model::Text;
    use windrow_model::table::{Table, TableInfo};

    #[test]
    fn rows_of_before_and_new_ones_become_the_file_that_all_of_them_would() {
        let keys = order::telling(&TableInfo::of::<Row>()).unwrap();
        let sorted = |rows: Vec<Row>| order::sorted(Row::NAME, frame::from_rows(rows).unwrap()).unwrap();
        for count in [300, 40_000, 100_000] {
            let mut all = sorted((0..count).map(row).collect());
            let whole = delta::encoded(Row::NAME, &mut all).unwrap().unwrap();
            let mut gathered = Gathered::packed_from(0);
            gathered.push((0..count).map(row).collect());
            // Few rows are not packed.
            assert!(gathered.spread().unwrap().is_none_or(|spread| spread.bytes == whole.bytes), "{count}");
            // No machine is new, single ones, the first and the last in order, and most.
            for is_new in
                [|_| false, |number| number % 3000 < 3, |number| number % 12 > 2, |_| true] as [fn(u32) -> bool; 4]
            {
                let kept: Vec<Row> = (0..count).filter(|number| !is_new(*number)).map(row).collect();
                let machines: HashSet<Text> = kept.iter().map(|row| Text::new(&row.asset_id)).collect();
                // The table of before holds other rows of the machines that are new now.
                let other = |number| Row { text: None, ..row(number) };
                let there = (0..count).map(|number| if is_new(number) { other(number) } else { row(number) }).collect();
                let before = Before { table: sorted(there).lazy(), machines: Arc::new(machines), rows: kept.len() };
                let new = sorted((0..count).filter(|number| is_new(*number)).map(row).collect());
                let merged = written(&before, new, &keys).unwrap().unwrap();
                assert!(merged.bytes == whole.bytes && merged.stats == whole.stats, "{count}");
                assert_eq!(merged.rows, whole.rows);
            }
        }
    }

    #[test]
    fn rows_that_share_what_tells_the_order_are_not_merged() {
        let keys = order::telling(&TableInfo::of::<Row>()).unwrap();
        let twice: Vec<Row> = [0, 0, 1].map(row).into();
        let sorted = order::sorted(Row::NAME, frame::from_rows(twice).unwrap()).unwrap();
        let machines = HashSet::from([Text::new(&row(0).asset_id)]);
        let before = Before { table: sorted.clone().lazy(), machines: Arc::new(machines), rows: 3 };
        assert!(written(&before, sorted.slice(0, 0), &keys).unwrap().is_none());
        // Nor are new rows of a machine that has some already.
        assert!(written(&before, sorted.slice(0, 1), &keys).unwrap().is_none());
    }
}

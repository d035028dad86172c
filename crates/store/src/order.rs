//! The order in which rows are stored: by where they come from, so that equal input gives equal bytes and neighbours in the
//! source stay neighbours in the file.

use crate::error::{Error, Result};
use polars::prelude::*;
use polars_arrow::array::{Array, ListArray};
use polars_arrow::offset::Offsets;
use rayon::prelude::*;
use windrow_model::table::TableInfo;

/// What rows are sorted by first, per table; every other plain column follows, in stored order.
const LEADING: &[(&str, &[&str])] = &[
    ("assets", &["site", "tag", "asset_id"]),
    ("tests", &["source_file", "source_sheet", "source_cell"]),
    ("readings", &["source_file", "source_sheet", "test_id", "seq"]),
    ("reported_figures", &["source_file", "source_sheet", "source_cell"]),
    ("waveforms", &["source_file", "source_sheet", "source_cell"]),
    ("cells", &["source_file", "source_sheet", "source_cell"]),
    ("holds", &["source_file", "source_sheet", "source_cell"]),
    ("sources", &["source_file"]),
    ("imports", &["started_at"]),
    ("test_summary", &["site", "tag", "asset_id", "performed_on"]),
    ("findings", &["asset_id", "rule", "test_id"]),
    ("coverage", &["site", "tag", "asset_id", "insulation"]),
];

/// A place such as `C14`, by which rows are sorted by row, then column.
const CELL: &str = "source_cell";
const CELL_ROW: &str = "cell row";
const CELL_COLUMN: &str = "cell column";

/// Column of the places that rows had before.
const PLACE: &str = "place before";

/// Sorts the rows of `table`; rows that differ in lists only keep their order.
pub(crate) fn sorted(table: &str, frame: DataFrame) -> Result<DataFrame> {
    let keys = keys(table, &frame);
    in_order(frame, keys).map_err(|error| {
        Error::new(format!("the rows of {table} could not be sorted; please report this")).caused_by(error)
    })
}

/// One column after the other, one a thread at a time, is put in order and let go as it was: a large table is never there twice.
fn in_order(frame: DataFrame, keys: Vec<PlSmallStr>) -> PolarsResult<DataFrame> {
    let mut keyed = frame.clone();
    with_cell_keys(&mut keyed)?;
    let options = SortMultipleOptions::default().with_maintain_order(true);
    let by: Vec<Expr> = keys.into_iter().map(col).collect();
    let places = keyed.lazy().with_row_index(PLACE, None).select([col(PLACE).sort_by(by, options)]).collect()?;
    let places = places.column(PLACE)?.idx()?.clone();
    let columns = frame.into_columns().into_par_iter().with_max_len(1);
    let columns: PolarsResult<Vec<Column>> = columns.map(|column| taken(column, &places)).collect();
    DataFrame::new(places.len(), columns?)
}

/// The rows of a column at some places. Of lists the members are taken all at once: list by list, which is how the library does it, that took
/// more time than all other columns together.
fn taken(column: Column, places: &IdxCa) -> PolarsResult<Column> {
    let column = column.rechunk();
    let lists = column.list().ok().filter(|lists| lists.null_count() == 0);
    let Some(lists) = lists.and_then(|lists| lists.downcast_iter().next()) else { return column.take(places) };
    let ranges = || places.iter().flatten().map(|place| lists.offsets().start_end(place as usize));
    let members = ranges().flat_map(|(begin, end)| begin..end).map(|member| {
        IdxSize::try_from(member).map_err(|_| polars_err!(ComputeError: "lists have more members than can be counted"))
    });
    let members = members.collect::<PolarsResult<Vec<IdxSize>>>()?;
    let all = Series::from_arrow(column.name().clone(), lists.values().clone())?;
    let members = all.take(&IdxCa::from_vec(PlSmallStr::EMPTY, members))?.rechunk().to_arrow(0, CompatLevel::newest());
    let offsets = Offsets::<i64>::try_from_lengths(ranges().map(|(begin, end)| end - begin))?;
    let lists = ListArray::try_new(lists.dtype().clone(), offsets.into(), members, None)?;
    Ok(Series::from_arrow(column.name().clone(), lists.boxed())?.into_column())
}

/// Columns of a table that mostly tell the order of its rows by themselves: those that come first, and one more. `None` where rows are
/// sorted by the places of cells.
pub(crate) fn telling(table: &TableInfo) -> Option<Vec<PlSmallStr>> {
    let (_, leading) = LEADING.iter().find(|(name, _)| *name == table.name)?;
    let next = table.columns.iter().map(|column| column.name).find(|name| !leading.contains(name));
    (!leading.contains(&CELL)).then(|| leading.iter().copied().chain(next).map(PlSmallStr::from).collect())
}

/// Whether no row of a sorted table shares all of these columns with the one before it.
pub(crate) fn is_told(sorted: LazyFrame, keys: &[PlSmallStr]) -> PolarsResult<bool> {
    let keys = keys.iter().cloned().map(col);
    let same = keys.map(|key| key.clone().eq_missing(key.shift(lit(1)))).reduce(Expr::and);
    let Some(same) = same else { return Ok(false) };
    Ok(!sorted.select([same.alias("same")]).collect()?.column("same")?.bool()?.any())
}

fn keys(table: &str, frame: &DataFrame) -> Vec<PlSmallStr> {
    let leading = LEADING.iter().find(|(name, _)| *name == table).map_or(&[][..], |(_, keys)| keys);
    let mut keys: Vec<PlSmallStr> = Vec::new();
    for key in leading {
        if *key == CELL {
            keys.extend([CELL_ROW.into(), CELL_COLUMN.into()]);
        }
        keys.push((*key).into());
    }
    let plain = frame.columns().iter().filter(|column| !matches!(column.dtype(), DataType::List(_)));
    for column in plain {
        if !keys.contains(column.name()) {
            keys.push(column.name().clone());
        }
    }
    keys
}

fn with_cell_keys(frame: &mut DataFrame) -> PolarsResult<()> {
    let Ok(cells) = frame.column(CELL) else { return Ok(()) };
    let places: Vec<Option<(u64, u64)>> = cells.str()?.iter().map(|cell| cell.and_then(row_and_column)).collect();
    let part = |name: &str, part: fn((u64, u64)) -> u64| {
        Column::new(name.into(), places.iter().map(|place| place.map(part)).collect::<Vec<Option<u64>>>())
    };
    let (rows, columns) = (part(CELL_ROW, |place| place.0), part(CELL_COLUMN, |place| place.1));
    frame.with_column(rows)?;
    frame.with_column(columns)?;
    Ok(())
}

/// Row and column of `C14`, `B4:B20` (its first cell) or `12:30` (line and column).
fn row_and_column(cell: &str) -> Option<(u64, u64)> {
    if let Some((line, column)) = cell.split_once(':')
        && let (Ok(line), Ok(column)) = (line.parse(), column.parse())
    {
        return Some((line, column));
    }
    let first = cell.split(':').next()?;
    let digits = first.find(|letter: char| letter.is_ascii_digit())?;
    let (letters, row) = first.split_at_checked(digits)?;
    let column = letters.bytes().try_fold(0_u64, |column, letter| {
        letter.is_ascii_uppercase().then(|| column.saturating_mul(26).saturating_add(u64::from(letter - b'A') + 1))
    })?;
    Some((row.parse().ok()?, column))
}

#[cfg(test)]
mod tests {
    use super::{LEADING, row_and_column, sorted};
    use polars::prelude::*;
    use windrow_model::table::TABLES;

    #[test]
    fn every_table_has_an_order_by_columns_that_it_has() {
        for table in TABLES {
            let (_, keys) = LEADING.iter().find(|(name, _)| *name == table.name).unwrap();
            for key in *keys {
                assert!(table.columns.iter().any(|column| column.name == *key), "{} has no {key}", table.name);
            }
        }
        assert_eq!(LEADING.len(), TABLES.len());
    }

    #[test]
    fn cells_stand_as_on_the_sheet_and_other_places_by_their_text() {
        let frame = df!(
            "source_file" => ["a", "a", "a", "a", "a", "a"],
            "source_sheet" => [Some("s"), Some("s"), Some("s"), Some("s"), None, None],
            "source_cell" => [Some("B2"), Some("A10"), Some("AA2"), Some("A2"), Some("2:1"), Some("/r/x[2]")],
        );
        let sorted = sorted("cells", frame.unwrap()).unwrap();
        let cells: Vec<_> = sorted.column("source_cell").unwrap().str().unwrap().iter().flatten().collect();
        assert_eq!(cells, ["/r/x[2]", "2:1", "A2", "B2", "AA2", "A10"]);
        assert_eq!(sorted.width(), 3);
    }

    #[test]
    fn lists_go_with_their_rows() {
        let list = |members: &[&str]| Series::new("".into(), members);
        let lists = Column::new("texts".into(), [list(&["x", "y"]), list(&[]), list(&["a text longer than a view"])]);
        let some = Column::new("some".into(), [Some(list(&["x"])), None, Some(list(&["z"]))]);
        let numbers = df!("number" => [3, 1, 2]).unwrap();
        let sorted = sorted("unnamed", numbers.hstack(&[lists, some]).unwrap()).unwrap();
        let members = |series: Series| series.str().unwrap().iter().flatten().map(str::to_owned).collect::<Vec<_>>();
        let list_of = |name: &str, row| sorted.column(name).unwrap().list().unwrap().get_as_series(row);
        let told = |name: &str| [0, 1, 2].map(|row| list_of(name, row).map(members));
        let expected = |rows: [Option<&[&str]>; 3]| {
            rows.map(|row| row.map(|row| row.iter().copied().map(str::to_owned).collect()))
        };
        assert_eq!(told("texts"), expected([Some(&[]), Some(&["a text longer than a view"]), Some(&["x", "y"])]));
        assert_eq!(told("some"), expected([None, Some(&["z"]), Some(&["x"])]));
    }

    #[test]
    fn places_are_read_as_row_and_column() {
        assert_eq!(row_and_column("C14"), Some((14, 3)));
        assert_eq!(row_and_column("B4:B20"), Some((4, 2)));
        assert_eq!(row_and_column("12:30"), Some((12, 30)));
        assert_eq!(row_and_column("/root/test[2]"), None);
        assert_eq!(row_and_column(""), None);
        assert_eq!(row_and_column("\u{c4}1"), None);
    }
}

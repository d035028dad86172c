//! # What it finds
//! Dates whose day and month are swapped: a sheet that runs in time only the other way round, or one date that lies between its
//! neighbours only the other way round.
//! # How it is judged
//! `note`. A sheet: from six dates of which none has a day above 12, out of order as written and wholly in order swapped (by chance one in
//! 6! = 720). One date: in a sheet that otherwise runs in time, by at least the 30 days that no late entry explains.
//! # References
//! inversions of date order (Knuth, The Art of Computer Programming 3, section 5.1.1); 36 % of dates mean another day when swapped.

use super::found::{Doubt, evidence, key, note, place};
use super::proposal::{entries, entry};
use super::sheets::BySheet;
use crate::loaded::{Loaded, SheetName, Test};
use jiff::civil::Date;
use std::collections::BTreeMap;
use windrow_model::place::read_a1;
use windrow_model::{Finding, Question, Step};

const FEWEST: usize = 6;
/// Days by which a date must lie outside its neighbours: entries of a week are made in any order.
const OUT_OF_ORDER_DAYS: i32 = 30;
/// Share of neighbours that may be out of order in a sheet that runs in time.
const SHARE: f64 = 0.1;

/// A test with its place and day.
struct Dated<'a> {
    test: Test<'a>,
    index: usize,
    day: Date,
}

/// Findings by sheet, then by test.
pub(crate) fn find(records: &Loaded) -> Vec<Finding> {
    let mut sheets: BySheet<BTreeMap<(u32, u32), Dated<'_>>> = BySheet::default();
    for test in records.tests() {
        if let (Some(day), Some(at)) = (test.day(), read_a1(test.cell())) {
            sheets.of(test).entry(at).or_insert(Dated { test, index: test.place, day });
        }
    }
    sheets.in_order(records).flat_map(|(sheet, rows)| of_sheet(sheet, &one_a_row(rows), records)).collect()
}

/// The first dated test of each row: several machines of one row share its date.
fn one_a_row(rows: BTreeMap<(u32, u32), Dated<'_>>) -> Vec<Dated<'_>> {
    let mut firsts: BTreeMap<u32, Dated<'_>> = BTreeMap::new();
    for ((row, _), dated) in rows {
        firsts.entry(row).or_insert(dated);
    }
    firsts.into_values().collect()
}

/// The date with day and month swapped, if that is another date.
fn swapped(date: Date) -> Option<Date> {
    Date::new(date.year(), date.day(), date.month()).ok().filter(|other| *other != date)
}

fn of_sheet(sheet: &SheetName, dated: &[Dated<'_>], records: &Loaded) -> Vec<Finding> {
    if dated.len() < FEWEST {
        return Vec::new();
    }
    if let Some(whole) = whole(sheet, dated) {
        return vec![whole];
    }
    let inversions = inversions(&dated.iter().map(|dated| dated.day).collect::<Vec<_>>());
    #[expect(clippy::cast_precision_loss, reason = "counts of dates")]
    let runs_in_time = inversions as f64 <= SHARE * dated.len() as f64 + 1.0;
    if !runs_in_time {
        return Vec::new();
    }
    dated.windows(3).filter_map(|three| single(sheet, three, records)).collect()
}

/// Neighbours that stand in the wrong order.
fn inversions(days: &[Date]) -> usize {
    days.windows(2).filter(|pair| pair[1] < pair[0]).count()
}

fn whole(sheet: &SheetName, dated: &[Dated<'_>]) -> Option<Finding> {
    let written: Vec<Date> = dated.iter().map(|dated| dated.day).collect();
    // A day above 12 shows the order of the column.
    let other: Option<Vec<Date>> =
        written.iter().map(|day| Date::new(day.year(), day.day(), day.month()).ok()).collect();
    let other = other?;
    let (as_written, as_swapped) = (inversions(&written), inversions(&other));
    if as_written < 2 || as_swapped > 0 {
        return None;
    }
    let shown = |days: &[Date]| days.iter().take(8).map(Date::to_string).collect::<Vec<_>>().join(", ");
    let first = dated.first()?;
    Some(note(Doubt {
        rule: "day_month_swapped",
        key: key(sheet),
        statement: format!("{}: its {} dates run in time only with day and month swapped.", place(sheet), dated.len()),
        #[expect(clippy::cast_precision_loss, reason = "counts of dates")]
        value: Some(as_written as f64),
        limit: Some(0.0),
        unit: "1",
        basis: "neighbours out of order, as written and with day and month swapped; all days are 12 or less".to_owned(),
        working: vec![
            Step::new("data", format!("as written: {}", shown(&written))),
            Step::new(
                "arithmetic",
                format!(
                    "out of order: {as_written} of {} neighbours as written, {as_swapped} swapped",
                    dated.len() - 1
                ),
            ),
            Step::new("look_alike", "a sheet that was not kept in order of time"),
        ],
        // Which order was read is known from the settings and the file only; the other one is what is asked for.
        proposal: Some(format!(
            "# day-first or month-first, whichever {} was not read by (windrow inspect shows it)\n{}",
            first.test.sheet().0,
            entry(Question::DateOrder, "day-first", sheet, None)
        )),
        evidence: dated.iter().map(|dated| dated.test.test_id().to_string()).collect(),
        seen: written.iter().max().copied(),
        ..Doubt::default()
    }))
}

fn single(sheet: &SheetName, three: &[Dated<'_>], records: &Loaded) -> Option<Finding> {
    let [before, here, after] = three else { return None };
    let other = swapped(here.day)?;
    let between = before.day <= other && other <= after.day;
    let days = |from: Date, to: Date| to.since(from).map_or(0, |span| span.get_days());
    let outside = days(here.day, before.day).max(days(after.day, here.day));
    if before.day > after.day || !between || outside < OUT_OF_ORDER_DAYS {
        return None;
    }
    let cells = records.resistances_of(here.index);
    let answer = other.to_string();
    let proposals: Vec<String> =
        cells.clone().map(|record| entry(Question::Date, &answer, sheet, Some(&record.cell()))).collect();
    Some(note(Doubt {
        rule: "day_month_swapped",
        key: vec![here.test.test_id().to_string()],
        asset_id: here.test.asset_id().map(windrow_model::Text::new).clone(),
        test_id: Some(here.test.test_id().clone()),
        statement: format!(
            "{}: the date {} at {}, cell {}, stands between {} and {}; {other}, with day and month swapped, would fit.",
            here.test.tag(),
            here.day,
            place(sheet),
            here.test.cell(),
            before.day,
            after.day
        ),
        value: Some(f64::from(outside)),
        limit: Some(f64::from(OUT_OF_ORDER_DAYS)),
        unit: "d",
        basis:
            "the date as written lies outside its neighbours in a sheet that runs in time, the swapped one between them"
                .to_owned(),
        working: vec![
            Step::new("data", format!("rows in order: {}, {}, {}", before.day, here.day, after.day)),
            Step::new(
                "arithmetic",
                format!("{outside} days outside as written; {} ≤ {other} ≤ {} swapped", before.day, after.day),
            ),
            Step::new("look_alike", "a test entered late, or out of order"),
        ],
        proposal: entries(proposals),
        evidence: evidence(cells),
        seen: Some(here.day),
        ..Doubt::default()
    }))
}

#[cfg(test)]
mod tests {
    use crate::records::fixture::Records;
    use crate::records::fixture::{megohms, test};

    fn find(records: &Records) -> Vec<windrow_model::Finding> {
        super::find(&records.loaded())
    }

    fn records(days: &[&str]) -> Records {
        let mut records = Records::default();
        for (row, day) in days.iter().enumerate() {
            let mut test = test("M1", day, "S");
            test.cell = format!("A{}", row + 2).into();
            records.tests.push(test);
            let reading = megohms(&records, "850");
            records.readings.push(reading);
        }
        records
    }

    /// 5 February, 3 April, 7 May, 2 July, 6 September, 11 October, each with day and month swapped.
    #[test]
    fn a_sheet_that_runs_in_time_only_swapped_is_told() {
        let found =
            find(&records(&["2001-05-02", "2001-03-04", "2001-07-05", "2001-02-07", "2001-06-09", "2001-11-10"]));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].statement.contains("only with day and month swapped"));
        assert!(found[0].proposal.as_deref().unwrap().contains("date_order"));
    }

    #[test]
    fn one_date_that_fits_its_neighbours_only_swapped_is_told_with_the_date_that_fits() {
        let days = ["2001-01-20", "2001-02-14", "2001-05-03", "2001-03-28", "2001-04-20", "2001-06-09", "2001-07-18"];
        let found = find(&records(&days));
        assert_eq!(found.len(), 1, "{found:#?}");
        assert!(found[0].proposal.as_deref().unwrap().contains("answer = \"2001-03-05\""), "{:?}", found[0].proposal);
        assert!(found[0].proposal.as_deref().unwrap().contains("cells = \"C4\""));
    }

    #[test]
    fn late_entries_and_sheets_without_an_order_are_left_alone() {
        let late = ["2001-01-20", "2001-02-14", "2001-03-12", "2001-03-11", "2001-04-20", "2001-06-09"];
        assert!(find(&records(&late)).is_empty(), "a day late");
        let wild = ["2001-11-20", "2001-02-14", "2001-05-03", "2001-03-28", "2001-12-20", "2001-06-09", "2001-01-18"];
        assert!(find(&records(&wild)).is_empty(), "no order of time at all");
        assert!(
            find(&records(&["2001-01-20", "2001-02-20", "2001-03-20", "2001-04-20", "2001-05-20", "2001-06-20"]))
                .is_empty()
        );
    }
}

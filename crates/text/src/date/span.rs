//! Spans of days ("11 to 12 December 1978", "03.-05.05.2003"): tests of which no more is told than the period.

use super::{DateMeaning, Order, read_one, yearless};
use crate::fold::fold;
use crate::marks::is_kind;
use windrow_model::{PartialDate, Precision};

/// Longest text read as a span, in bytes.
const LONGEST: usize = 60;
/// Fewest digits of a span ("Mai/Juni 2003").
const FEWEST_DIGITS: usize = 4;
/// Marks between the two ends of a span.
const MARKS: [char; 7] = ['-', '–', '—', '/', '+', '&', '~'];

/// What a span of days tells: of two days that follow each other, as of a night, both, for it was one of them; of more the shortest
/// calendar period that holds them, for each order of the last. Empty where only several years hold them and for two whole dates that
/// an "and" joins, `None` where `text` is no span of days or months.
pub(super) fn read(text: &str) -> Option<Vec<DateMeaning>> {
    let text = without_lead(text.trim());
    if text.len() > LONGEST || text.bytes().filter(u8::is_ascii_digit).count() < FEWEST_DIGITS {
        return None;
    }
    if are_two_dates(text) {
        return Some(Vec::new());
    }
    splits(text).find_map(|(left, right)| between(left, right))
}

/// "12 Jan 1971 and 14 Jan 1971": two tests, and no period.
fn are_two_dates(text: &str) -> bool {
    cuts(text, "span_and").any(|(left, right)| !read_one(left).is_empty() && !read_one(right).is_empty())
}

/// Whether a span in a sentence could as well be a number and a date: "Line 4 - 16 Jun 1992", "Pumps 2 and 3, 12 May 2016".
pub(super) fn is_parted(piece: &str, before: &str) -> bool {
    let is_number = |text: &str| text.trim().bytes().all(|b| b.is_ascii_digit());
    let begins_with_day =
        |text: &str| text.split([' ', '.']).next().is_some_and(|word| word.len() <= 2 && is_number(word));
    if piece.split(", ").skip(1).any(begins_with_day) {
        return true;
    }
    let is_apart =
        [" - ", " – ", " — "].iter().any(|mark| piece.split_once(mark).is_some_and(|(first, _)| is_number(first)));
    let folded = fold(before.rsplit(char::is_whitespace).find(|word| !word.is_empty()).unwrap_or_default());
    let is_led = folded.is_empty()
        || before.trim_end().ends_with([',', ':', ';', '('])
        || ["span_lead", "campaign", "measured_on"].iter().any(|kind| is_kind(folded.trim(), kind));
    is_apart && !is_led
}

/// "from the", "night of": what stands before a span and says nothing of its days.
fn without_lead(text: &str) -> &str {
    let mut rest = text;
    while let Some((word, behind)) = rest.split_once(' ') {
        if !is_kind(fold(word).trim(), "span_lead") {
            break;
        }
        rest = behind.trim_start();
    }
    rest
}

/// Every way to cut a text at a mark or word that stands between two days.
fn splits(text: &str) -> impl Iterator<Item = (&str, &str)> {
    let at_mark = text.char_indices().filter(|(_, c)| MARKS.contains(c));
    let marks = at_mark.filter_map(|(at, c)| Some((text.get(..at)?, text.get(at + c.len_utf8()..)?)));
    marks.chain(cuts(text, "span_between")).chain(cuts(text, "span_and"))
}

/// Every way to cut a text at a word of a kind between blanks.
fn cuts<'t>(text: &'t str, kind: &'static str) -> impl Iterator<Item = (&'t str, &'t str)> {
    let blanks = text.match_indices(' ').map(|(at, _)| at);
    blanks.filter_map(move |at| {
        let (left, rest) = (text.get(..at)?, text.get(at + 1..)?);
        let (word, right) = rest.split_once(' ')?;
        is_kind(fold(word).trim(), kind).then_some((left, right))
    })
}

fn between(left: &str, right: &str) -> Option<Vec<DateMeaning>> {
    let (left, right) = (without_lead(left.trim()), without_lead(right.trim()));
    if !left.contains(|c: char| c.is_alphanumeric()) {
        return None;
    }
    let ends = ends(left, right);
    let mut periods = Vec::new();
    let mut is_span = false;
    for end in ends {
        for start in starts(left, &end) {
            is_span = true;
            if start.precision == Precision::Day && start.first.tomorrow().ok() == Some(end.date.first) {
                let either = [start, end.date].map(|date| DateMeaning { date, order: Order::Named, ..end.clone() });
                periods.extend(either);
                continue;
            }
            let last = end.date.last().unwrap_or(end.date.first);
            let period = PartialDate::covering(start.first, last);
            periods.extend(period.map(|date| DateMeaning { date, ..end.clone() }));
        }
    }
    periods.dedup();
    is_span.then_some(periods)
}

/// Last days that a span could have; of "May 3 - 5, 2003" the month stands before the first.
fn ends(left: &str, right: &str) -> Vec<DateMeaning> {
    let mut ends = read_one(right);
    let (month, _) = left.split_once(' ').unwrap_or_default();
    if right.starts_with(|c: char| c.is_ascii_digit()) && month.chars().all(char::is_alphabetic) && !month.is_empty() {
        ends.extend(read_one(&format!("{month} {right}")));
    }
    ends.retain(|end| matches!(end.date.precision, Precision::Day | Precision::Month) && !end.bare_number);
    ends
}

/// First days that a span with this end could have.
fn starts(left: &str, end: &DateMeaning) -> Vec<PartialDate> {
    let year = end.date.first.year();
    if let Some(day) = day_of_month(left) {
        // Before the month no day stands alone.
        let is_led = end.date.precision == Precision::Day && matches!(end.order, Order::DayFirst | Order::Named);
        return if is_led { days_before(day, end) } else { Vec::new() };
    }
    let mut starts = read_one(left);
    starts.retain(|start| !start.bare_number);
    if end.date.precision == Precision::Day {
        starts.extend([year, year.saturating_sub(1)].iter().flat_map(|year| yearless::in_year(left, *year)));
    } else {
        starts.extend(read_one(&format!("{left} {year}")));
    }
    let is_like = |start: &DateMeaning| {
        let agree = start.order == end.order || start.order == Order::Named || end.order == Order::Named;
        agree && start.date.precision == end.date.precision && start.date.first < end.date.first
    };
    // The latest that lies before the end: "28.12. - 3.1.2004" begins in the year before.
    starts.retain(is_like);
    let latest = starts.iter().map(|start| start.date).max();
    latest.into_iter().collect()
}

/// The day of that number before the end, in its month or the one before.
fn days_before(day: i8, end: &DateMeaning) -> Vec<PartialDate> {
    let last = end.date.first;
    let in_month = |date: jiff::civil::Date| PartialDate::day(date.year(), date.month(), day);
    let earlier = last.first_of_month().yesterday().ok();
    let start = if day < last.day() { in_month(last) } else { earlier.and_then(in_month) };
    start.into_iter().collect()
}

/// "3", "03." and "1er" alone.
fn day_of_month(text: &str) -> Option<i8> {
    let digits = text.get(..text.bytes().take_while(u8::is_ascii_digit).count())?;
    let tail = fold(text.get(digits.len()..)?);
    let is_ordinal = matches!(tail.trim(), "" | "." | "st" | "nd" | "rd" | "th" | "er" | "°" | "º" | "o");
    let day = (digits.len() <= 2 && is_ordinal).then(|| digits.parse().ok())??;
    (1..=31).contains(&day).then_some(day)
}

//! Which mark is the decimal one: every way in which digit groups and marks make a number.

use super::{Mark, NumberMeaning};

/// Most groups of digits in one number.
const MOST_GROUPS: usize = 8;

/// Digit groups and the marks between them: `1.234,5` is `["1", "234", "5"]` with point and comma.
struct Groups<'a> {
    digits: Vec<&'a str>,
    marks: Vec<Mark>,
}

/// Every meaning of digits with marks, times ten to `power`.
pub(super) fn meanings(body: &str, power: i16) -> Vec<NumberMeaning> {
    let Some(groups) = split(body) else { return Vec::new() };
    candidates(&groups)
        .into_iter()
        .filter_map(|(thousands, decimal)| build(&groups, thousands, decimal, power))
        .collect()
}

fn split(body: &str) -> Option<Groups<'_>> {
    let mut groups = Groups { digits: Vec::new(), marks: Vec::new() };
    let mut start = 0;
    for (at, c) in body.char_indices() {
        if c.is_ascii_digit() {
            continue;
        }
        groups.digits.push(body.get(start..at)?);
        groups.marks.push(Mark::from_char(c)?);
        start = at + c.len_utf8();
    }
    groups.digits.push(body.get(start..)?);
    let any_digit = groups.digits.iter().any(|group| !group.is_empty());
    let inner_empty = groups.digits.iter().skip(1).rev().skip(1).any(|group| group.is_empty());
    (any_digit && !inner_empty && groups.digits.len() <= MOST_GROUPS).then_some(groups)
}

/// Pairs of (thousands mark, decimal mark) under which the groups are well formed.
fn candidates(groups: &Groups<'_>) -> Vec<(Option<Mark>, Option<Mark>)> {
    let Some((&last, earlier)) = groups.marks.split_last() else { return vec![(None, None)] };
    let can_be_decimal = matches!(last, Mark::Point | Mark::Comma);
    let mut out = Vec::new();
    let Some(&first) = earlier.first() else {
        if can_be_decimal {
            out.push((None, Some(last)));
        }
        if grouped(&groups.digits) {
            out.push((Some(last), None));
        }
        return out;
    };
    let uniform = earlier.iter().all(|mark| *mark == first);
    if uniform && first == last && grouped(&groups.digits) {
        out.push((Some(first), None));
    }
    let whole = groups.digits.len() - 1;
    let whole = groups.digits.get(..whole).unwrap_or_default();
    if uniform && first != last && can_be_decimal && grouped(whole) {
        out.push((Some(first), Some(last)));
    }
    out
}

/// Whether digit groups are those of thousands (`1 234 567`) or of the Indian style (`12,34,567`).
fn grouped(digits: &[&str]) -> bool {
    let [first, middle @ .., last] = digits else { return false };
    let head = !first.is_empty() && !first.starts_with('0');
    let by_three = first.len() <= 3 && middle.iter().all(|group| group.len() == 3);
    let indian = first.len() <= 2 && !middle.is_empty() && middle.iter().all(|group| group.len() == 2);
    head && last.len() == 3 && (by_three || indian)
}

fn build(groups: &Groups<'_>, thousands: Option<Mark>, decimal: Option<Mark>, power: i16) -> Option<NumberMeaning> {
    let (whole, fraction) = match (decimal, groups.digits.split_last()) {
        (Some(_), Some((last, whole))) => (whole.concat(), *last),
        _ => (groups.digits.concat(), ""),
    };
    // The standard library rounds correctly; arithmetic on parts would not.
    let value: f64 = format!(
        "{}.{}e{power}",
        if whole.is_empty() { "0" } else { &whole },
        if fraction.is_empty() { "0" } else { fraction }
    )
    .parse()
    .ok()?;
    // A mark with nothing behind it is a full stop and no evidence for a decimal mark.
    let decimal = decimal.filter(|_| !fraction.is_empty());
    value.is_finite().then(|| NumberMeaning {
        value,
        decimal,
        thousands,
        decimals: u8::try_from(fraction.len()).unwrap_or(u8::MAX),
    })
}

//! Finding the number, its bound, its unit and what follows within one piece of text.

use super::{Measure, Part, condition};
use crate::circuit;
use crate::fold::fold;
use crate::marks::is_kind;
use crate::number;
use crate::unit;
use windrow_model::Bound;

/// Longest number as written, in characters.
const LONGEST_NUMBER: usize = 26;

/// Digits with question marks, blanks left open or letters among them: which were meant is unsure.
pub(super) fn doubtful(text: &str) -> Option<Measure> {
    let (head, rest) = text.split_once(' ').unwrap_or((text, ""));
    let digits = head.chars().filter(char::is_ascii_digit).count();
    let marks = head.chars().filter(|c| matches!(c, '?' | '_' | 'O' | 'o' | 'l' | 'I' | 'S' | '[' | ']')).count();
    let others = head.chars().any(|c| {
        !c.is_ascii_digit()
            && !matches!(c, '?' | '_' | 'O' | 'o' | 'l' | 'I' | 'S' | '[' | ']' | '.' | ',' | '>' | '<' | '~')
    });
    let inside = head.starts_with(|c: char| c.is_ascii_digit() || matches!(c, '?' | '>' | '<' | '~' | '['));
    if digits == 0 || marks == 0 || others || !inside {
        return None;
    }
    let guess: String = head
        .chars()
        .filter_map(|c| match c {
            'O' | 'o' | '?' | '_' => Some('0'),
            'l' | 'I' => Some('1'),
            'S' => Some('5'),
            '[' | ']' | '>' | '<' | '~' => None,
            c => Some(c),
        })
        .collect();
    let numbers = number::read(&guess);
    if numbers.is_empty() {
        return None;
    }
    let (units, unit_text, _) = unit_at(rest);
    let part = Part {
        numbers,
        bound: Bound::Exact,
        units,
        unit_text,
        approximate: false,
        label: String::new(),
        conditions: Vec::new(),
    };
    Some(Measure { parts: vec![part], range: false, doubtful: true, footnote: None, remark: None })
}

/// One value with bound, unit, footnote, conditions and remark; `None` if the text does not begin with one.
pub(super) fn one(text: &str) -> Option<Measure> {
    let (lead, rest) = lead(text.trim());
    let mut part = number_and_unit_after(rest, lead)?;
    let mut tail = part.1;
    let mut footnote = None;
    if let Some(sign) = footnote_sign(tail) {
        footnote = Some(sign.to_owned());
        tail = tail[sign.len()..].trim();
    }
    (part.0.bound, tail) = trailing_bound(part.0.bound, tail);
    if part.0.units.is_empty() {
        let (units, unit_text, after) = unit_at(tail);
        part.0.units = units;
        part.0.unit_text = unit_text;
        tail = after;
        if let Some(sign) = footnote_sign(tail).filter(|_| footnote.is_none()) {
            footnote = Some(sign.to_owned());
            tail = tail[sign.len()..].trim();
        }
    }
    (part.0.bound, tail) = trailing_bound(part.0.bound, tail);
    if let Some(conditions) = condition::read(tail) {
        part.0.conditions = conditions;
        return Some(Measure { parts: vec![part.0], range: false, doubtful: false, footnote, remark: None });
    }
    let remark = tail.trim_matches([' ', ',', ';', ':', '(', ')', '-']);
    // "63.8 MΩ?", "640 (?)": whoever copied it was not sure.
    if !remark.is_empty() && remark.chars().all(|c| c == '?') {
        return Some(Measure { parts: vec![part.0], range: false, doubtful: true, footnote, remark: None });
    }
    // Digits in what is left are another value, a date or a tag: not one measure.
    let has_digits = remark.chars().any(|c| c.is_ascii_digit()) && !names_sensor(&part.0, tail);
    if has_digits || remark.split_whitespace().count() > 6 {
        return None;
    }
    // A letter glued to the number that is no unit makes it a code.
    if !remark.is_empty() && part.2 && part.0.units.is_empty() {
        return None;
    }
    let remark = (!remark.is_empty()).then(|| remark.to_owned());
    Some(Measure { parts: vec![part.0], range: false, doubtful: false, footnote, remark })
}

/// "34 °C (RTD 3)": behind a temperature, in brackets, which sensor told it.
fn names_sensor(part: &Part, tail: &str) -> bool {
    let is_warmth = part
        .units
        .first()
        .is_some_and(|best| best.weight >= 0.8 && best.unit.dimension == windrow_model::Dimension::Temperature);
    let inside = tail.trim().strip_prefix('(').and_then(|inside| inside.strip_suffix(')'));
    is_warmth && inside.is_some_and(|inside| inside.starts_with(char::is_alphabetic) && !inside.contains(['(', '°']))
}

/// A value with its unit only.
pub(super) fn number_and_unit(text: &str) -> Option<Part> {
    let (mut part, rest, _) = number_and_unit_after(text.trim(), (Bound::Exact, false))?;
    let (units, unit_text, after) = unit_at(rest);
    part.units = units;
    part.unit_text = unit_text;
    after.trim().is_empty().then_some(part)
}

/// The value at the beginning of a text and the bytes that it takes.
pub(super) fn begin(text: &str) -> Option<(Part, usize)> {
    let text = text.trim_end();
    let (lead, rest) = lead(text);
    let is_number = |c: char| c.is_ascii_digit() || matches!(c, '.' | ',' | '½' | '¼' | '¾');
    if !rest.starts_with(is_number) {
        return None;
    }
    let (mut part, behind, glued) = number_and_unit_after(rest, lead)?;
    let (units, unit_text, after) = unit_at(behind);
    // "2B" is no number.
    if units.is_empty() && glued {
        return None;
    }
    let mut left = if units.is_empty() { behind } else { after };
    part.units = units;
    part.unit_text = unit_text;
    // "2000+ MΩ", "2000 MΩ+"
    if let Some(more) = left.strip_prefix('+') {
        (part.bound, left) = (Bound::AtLeast, more);
        if part.units.is_empty() {
            let (units, unit_text, after) = unit_at(left);
            (part.units, part.unit_text) = (units, unit_text);
            left = after;
        }
    }
    let length = text.len() - left.len();
    let taken = text.get(..length)?.trim_end().len();
    Some((part, taken))
}

/// A short label and a value: `"U 850"`, `"1 min: 620"`.
pub(super) fn labelled(text: &str) -> Option<Measure> {
    let at = text.find(|c: char| c.is_whitespace() || matches!(c, ':' | '='))?;
    let label = text[..at].trim_matches([':', '=', ' ']);
    if circuit::read(label).is_empty() || label.len() > 6 {
        return None;
    }
    let mut measure = one(text[at..].trim_start_matches([':', '=', ' ']))?;
    label.clone_into(&mut measure.parts[0].label);
    Some(measure)
}

/// Labels and values set apart: "U=12,5 V=13" and "U>500, V>500" as words in turn. A comma between digits parts nothing.
fn apart(text: &str) -> String {
    let mut out = String::with_capacity(text.len() + 8);
    let mut before: Option<char> = None;
    let mut signs = text.chars().peekable();
    while let Some(c) = signs.next() {
        let is_digit = |c: Option<char>| c.is_some_and(|c| c.is_ascii_digit());
        match c {
            '=' | ':' => out.push(' '),
            ',' if !(is_digit(before) && is_digit(signs.peek().copied())) => out.push(' '),
            '>' | '<' | '≥' | '≤' => {
                if before.is_some_and(char::is_alphanumeric) {
                    out.push(' ');
                }
                out.push(c);
                // "> 500" is one word.
                while signs.next_if(|next| *next == ' ').is_some() {}
            }
            _ => out.push(c),
        }
        before = Some(c);
    }
    out
}

/// Labels and values in turn without separators: `"A 850 B 900 C 870"`.
pub(super) fn labelled_run(text: &str) -> Option<Measure> {
    let apart = apart(text);
    let words: Vec<&str> = apart.split_whitespace().collect();
    let trailing = words.len() % 2;
    let pairs = words.chunks_exact(2);
    if !(2..=3).contains(&pairs.len()) || trailing == 1 && unit::read(words.last()?, None).is_empty() {
        return None;
    }
    let mut parts = Vec::new();
    for pair in pairs {
        if circuit::read(pair[0]).is_empty() {
            return None;
        }
        let mut measure = one(pair[1])?;
        pair[0].clone_into(&mut measure.parts[0].label);
        if trailing == 1 {
            let last = words.last()?;
            measure.parts[0].units = unit::read(last, None);
            (*last).clone_into(&mut measure.parts[0].unit_text);
        }
        parts.append(&mut measure.parts);
    }
    Some(Measure { parts, range: false, doubtful: false, footnote: None, remark: None })
}

/// Bound and approximation told before the number, and the rest.
fn lead(text: &str) -> ((Bound, bool), &str) {
    let (mut bound, mut approximate) = (Bound::Exact, false);
    let mut rest = text;
    loop {
        let before = rest.len();
        for (sign, to) in [
            (">=", Bound::AtLeast),
            ("=>", Bound::AtLeast),
            ("≥", Bound::AtLeast),
            (">", Bound::AtLeast),
            ("<=", Bound::AtMost),
            ("≤", Bound::AtMost),
            ("<", Bound::AtMost),
        ] {
            if let Some(after) = rest.strip_prefix(sign) {
                bound = to;
                rest = after.trim_start();
            }
        }
        if let Some(after) = rest.strip_prefix(['~', '≈']) {
            approximate = true;
            rest = after.trim_start();
        }
        // "C-51" is a tag: what is joined to the digits by a hyphen is no word before them.
        let hyphened = |at: &usize| {
            rest.get(..*at)
                .is_some_and(|head| head.ends_with(['-', '/', '.']) && head.len() <= 2 && !head.ends_with('.'))
        };
        if let Some(at) = rest.find(|c: char| c.is_ascii_digit()).filter(|at| *at > 0 && !hyphened(at)) {
            let words = fold(&rest[..at]);
            if is_kind(&words, "atleast") {
                (bound, rest) = (Bound::AtLeast, &rest[at..]);
            } else if is_kind(&words, "atmost") {
                (bound, rest) = (Bound::AtMost, &rest[at..]);
            } else if is_kind(&words, "approx") {
                (approximate, rest) = (true, &rest[at..]);
            }
        }
        if rest.len() == before {
            break;
        }
    }
    if let Some(after) =
        rest.strip_prefix('+').filter(|after| after.starts_with(|c: char| c.is_ascii_digit()) && after.len() >= 3)
    {
        (bound, rest) = (Bound::AtLeast, after);
    }
    ((bound, approximate), rest)
}

/// `2000+`, `2000>`, `2000 up`, `2000 or better` after number or unit.
fn trailing_bound(bound: Bound, tail: &str) -> (Bound, &str) {
    let tail = tail.trim();
    for sign in ["+", ">", "↑"] {
        if let Some(after) = tail.strip_prefix(sign) {
            return (Bound::AtLeast, after.trim());
        }
    }
    match fold(tail).as_str() {
        "plus" | "up" | "or better" | "or more" | "and over" | "and up" | "oder mehr" | "ou plus" | "o mas" => {
            (Bound::AtLeast, "")
        }
        _ => (bound, tail),
    }
}

fn footnote_sign(tail: &str) -> Option<&str> {
    let trimmed = tail.trim_start();
    if trimmed.len() != tail.len() && !trimmed.starts_with(['*', '†', '‡', '(']) {
        return None;
    }
    for sign in ["***", "**", "*", "†", "‡", "#", "¹", "²", "³"] {
        if trimmed.starts_with(sign) {
            let offset = tail.len() - trimmed.len();
            return tail.get(..offset + sign.len());
        }
    }
    let inner = trimmed.strip_prefix('(')?.split_once(')')?.0;
    let is_note = inner.len() <= 2
        && !inner.is_empty()
        && inner.chars().all(char::is_alphanumeric)
        && unit::read(inner, None).is_empty();
    is_note.then(|| tail.get(..tail.len() - trimmed.len() + inner.len() + 2)).flatten()
}

/// The longest number at the beginning, what follows, and whether a letter is glued to it.
fn number_and_unit_after(text: &str, (bound, approximate): (Bound, bool)) -> Option<(Part, &str, bool)> {
    let ends: Vec<usize> = text.char_indices().map(|(at, c)| at + c.len_utf8()).take(LONGEST_NUMBER).collect();
    for end in ends.into_iter().rev() {
        let (head, rest) = text.split_at(end);
        if head.ends_with(|c: char| c.is_whitespace()) || rest.starts_with(|c: char| c.is_ascii_digit()) {
            continue;
        }
        // A number ends where a sign of another kind of text begins: a clock, a date, a tag.
        if rest.starts_with([':', '_'])
            || rest.starts_with(['-', '/', '.', ',']) && rest[1..].starts_with(|c: char| c.is_alphanumeric())
        {
            continue;
        }
        let numbers = number::read(head);
        if !numbers.is_empty() {
            let glued = rest.starts_with(char::is_alphabetic);
            let part = Part {
                numbers,
                bound,
                units: Vec::new(),
                unit_text: String::new(),
                approximate,
                label: String::new(),
                conditions: Vec::new(),
            };
            return Some((part, rest.trim(), glued));
        }
    }
    None
}

/// The unit at the beginning of `text`: meanings, as written, and what follows.
fn unit_at(text: &str) -> (Vec<unit::UnitMeaning>, String, &str) {
    let text = text.trim();
    let mut ends: Vec<usize> = text
        .char_indices()
        .filter(|(_, c)| {
            c.is_whitespace()
                || matches!(c, ',' | ';' | '@' | '*' | '(' | '+' | '>' | '?' | '†' | '‡' | '¹' | '²' | '³')
        })
        .map(|(at, _)| at)
        .collect();
    ends.push(text.len());
    for end in ends.iter().take(4).rev() {
        let head = &text[..*end];
        // "63.8 MΩ?" is a doubt behind a whole unit; "64 M?" has lost its omega.
        let is_doubted = head
            .strip_suffix('?')
            .is_some_and(|unit| unit.trim().chars().count() > 1 && !unit::read(unit.trim(), None).is_empty());
        if is_doubted {
            continue;
        }
        let meanings = unit::read(head, None);
        if !meanings.is_empty() {
            return (meanings, head.trim().to_owned(), text[*end..].trim());
        }
    }
    (Vec::new(), String::new(), text)
}

//! Field names of databases and elements of XML in words.

use crate::fold::fold;
use crate::vocabulary::{self, Concept};
use std::borrow::Cow;

/// Field names of databases and elements of XML in words: `MOHM_1MIN`, `winding-temperature`, `testVoltage`.
pub(super) fn words(text: &str) -> String {
    // "kV" and "mmHg" are units, not names in two parts.
    if text.len() <= 4 && !crate::unit::read(text, None).is_empty() {
        return text.to_owned();
    }
    if let Some(timed) = timed_name(text).or_else(|| time_name(text)) {
        return timed;
    }
    if let Some(parted) = glued(text).or_else(|| winding_degrees(text)) {
        return parted;
    }
    let joined = join_terminals(text);
    let is_alone = !joined.trim().contains(' ');
    let split = |word| if is_alone || is_long_name(word) { split_humps(word) } else { Cow::Borrowed(word) };
    joined.split_inclusive(' ').map(split).collect()
}

/// "isolementCorrige" among other words: too long for a unit such as "kOhm".
fn is_long_name(word: &str) -> bool {
    let name = word.trim_matches(|c: char| !c.is_alphanumeric());
    let begins =
        name.chars().take_while(|c| c.is_lowercase()).count().max(name.find(|c: char| c.is_lowercase()).unwrap_or(0));
    name.chars().count() >= 10 && begins >= 3
}

/// A name in the words that its underscores and capitals part; units such as "kOhm" stay whole.
fn split_humps(word: &str) -> Cow<'_, str> {
    let is_unit = |text: &str| !crate::unit::read(text.trim_matches(|c: char| !c.is_alphanumeric()), None).is_empty();
    // "UoM", "RefNo": short for a known word as it stands.
    let is_short_for_one = || word.chars().all(char::is_alphabetic) && !vocabulary::hits(&[&fold(word)]).is_empty();
    if is_unit(word) || is_short_for_one() {
        return Cow::Borrowed(word);
    }
    let in_parts = word.contains('_');
    // `RISO_L1_5000V`, `RW_L1L2`: a terminal or two are no word with a number.
    let names_terminal = |part: &str| crate::circuit::read(part).iter().any(|meaning| meaning.weight >= 0.5);
    let is_whole = |part: &str| part.len() > 1 && in_parts && (is_unit(part) || names_terminal(part));
    let part = |part: &str| if is_whole(part) { part.to_owned() } else { humps(part, in_parts) };
    Cow::Owned(word.split('_').map(part).collect::<Vec<_>>().join(" "))
}

/// A name in the words that its capitals part, and a number behind it parted too where the name has several words.
fn humps(word: &str, in_parts: bool) -> String {
    let mut out = String::with_capacity(word.len() + 4);
    let mut previous = ' ';
    for c in word.chars() {
        let hump = previous.is_lowercase() && c.is_uppercase();
        // `IR_10`, `isolementCorrige40C`.
        let count = (in_parts || out.contains(' ')) && previous.is_alphabetic() && c.is_ascii_digit();
        if hump || count {
            out.push(' ');
        }
        out.push(c);
        previous = c;
    }
    out
}

/// `MEG_U_E`, `IR_U_V`: two letters that are a circuit together are joined as one, `MEG_U-E`.
fn join_terminals(text: &str) -> String {
    let mut parts: Vec<String> = Vec::new();
    for part in text.split('_') {
        if let Some(last) = parts.last_mut()
            && last.chars().count() == 1
            && part.chars().count() == 1
        {
            let joined = format!("{last}-{part}");
            if !crate::circuit::read(&joined).is_empty() {
                *last = joined;
                continue;
            }
        }
        parts.push(part.to_owned());
    }
    parts.join("_")
}

/// "r10min", "IR60s": field names of a resistance at a time.
fn timed_name(text: &str) -> Option<String> {
    let lower = text.to_ascii_lowercase();
    let rest = ["riso", "ir", "r"].iter().find_map(|name| lower.strip_prefix(name))?;
    let digits = rest.trim_start_matches(|c: char| c.is_ascii_digit());
    let number = rest.get(..rest.len() - digits.len()).filter(|number| !number.is_empty())?;
    matches!(digits, "min" | "m" | "s" | "sec")
        .then(|| format!("IR {number} {}", if digits == "m" { "min" } else { digits }))
}

/// `t_s`, `t_min`: the field name of a time with its unit, in small letters, which no pair of phases is written in.
fn time_name(text: &str) -> Option<String> {
    let unit = text.strip_prefix("t_")?;
    matches!(unit, "s" | "sec" | "seg" | "sek" | "min").then(|| format!("time ({unit})"))
}

/// Shortest word that a name without any gap is parted at; shorter ones are taken where [`SHORT`] lists them.
const LEAST: usize = 3;
/// Short words of names without gaps.
const SHORT: [&str; 8] = ["ir", "pi", "kv", "no", "nr", "id", "c", "f"];

/// `WDGC`, `TEMPF`: a short word for a winding or temperature with the letter of its unit.
fn winding_degrees(text: &str) -> Option<String> {
    let stem = text.strip_suffix(['C', 'F'])?;
    let is_short = (3..=5).contains(&stem.len()) && text.bytes().all(|byte| byte.is_ascii_uppercase());
    let folded = fold(stem);
    let names_winding = crate::marks::is_kind(&folded, "winding");
    let names_temperature = vocabulary::hits(&[&folded]).iter().any(is_temperature);
    let letter = text.get(stem.len()..)?;
    let is_whole = vocabulary::hits(&[&fold(text)]).is_empty();
    (is_short && is_whole && (names_winding || names_temperature)).then(|| {
        let temperature = if names_temperature { "" } else { "TEMP " };
        format!("{stem} {temperature}{letter}")
    })
}

/// `TESTVOLTS`, `WDGTEMPC`, `IR10MINMEG`: a name of ten letters or so without any gap, in words that labels are made of. Numbers part
/// words. A name that any word of it leaves unexplained stays whole.
fn glued(text: &str) -> Option<String> {
    let is_plain = |test: fn(&u8) -> bool| text.bytes().all(|byte| test(&byte) || byte.is_ascii_digit());
    let is_name = (6..=16).contains(&text.len())
        && text.starts_with(|c: char| c.is_ascii_alphabetic())
        && (is_plain(u8::is_ascii_uppercase) || is_plain(u8::is_ascii_lowercase));
    // "lowest" is not made of "low" and "est".
    let is_whole = || {
        !vocabulary::hits(&[&fold(text)]).is_empty()
            || !crate::unit::read(text, None).is_empty()
            || crate::marks::statistic(text).is_some()
    };
    if !is_name || is_whole() {
        return None;
    }
    let mut words = Vec::new();
    for run in text.as_bytes().chunk_by(|a, b| a.is_ascii_digit() == b.is_ascii_digit()) {
        let run = std::str::from_utf8(run).ok()?;
        if run.starts_with(|c: char| c.is_ascii_digit()) {
            words.push(run.to_owned());
        } else {
            words.extend(parted(run)?);
        }
    }
    let is_long = |word: &String| word.len() >= LEAST && !word.starts_with(|c: char| c.is_ascii_digit());
    let is_degree = |two: &[String]| {
        !matches!(two[1].to_ascii_lowercase().as_str(), "c" | "f")
            || vocabulary::hits(&[&fold(&two[0])]).iter().any(is_temperature)
    };
    // `MINMEGOHM` is a limit; `TEMPMAXC` may be of anything.
    let is_standing = |word: &String| names_standing(&word.to_ascii_lowercase());
    let is_known = !words.iter().any(is_standing) || words.iter().any(|word| names_resistance(word));
    let is_parted = words.len() >= 2 && words.iter().any(is_long) && words.windows(2).all(is_degree);
    (is_parted && is_known).then(|| words.join(" "))
}

/// Whether a folded word says that a value is the least, the most or an earlier one.
fn names_standing(word: &str) -> bool {
    ["least", "most", "earlier_value"].iter().any(|kind| crate::marks::is_kind(word, kind))
}

fn names_resistance(word: &str) -> bool {
    let mut units = crate::unit::read(word, None).into_iter();
    let mut hits = vocabulary::hits(&[&fold(word)]).into_iter();
    units.any(|meaning| meaning.unit.dimension == windrow_model::Dimension::Resistance)
        || hits.any(|hit| hit.concept == Concept::InsulationResistance)
}

fn is_temperature(hit: &vocabulary::Hit) -> bool {
    matches!(hit.concept, Concept::Temperature | Concept::WindingTemperature | Concept::AmbientTemperature)
}

/// The fewest known words that `run` is made of.
fn parted(run: &str) -> Option<Vec<String>> {
    let lower = run.to_ascii_lowercase();
    let is_word = |word: &str| {
        SHORT.contains(&word)
            || word.len() >= LEAST
                && (vocabulary::is_part(word) || names_standing(word) || !crate::unit::read(word, None).is_empty())
    };
    // The fewest words that make the letters up to each place, by where the last of them begins.
    let mut best: Vec<Option<(usize, usize)>> = vec![None; lower.len() + 1];
    *best.first_mut()? = Some((0, 0));
    for to in 1..=lower.len() {
        let reach = |from: usize| {
            let (count, _) = (*best.get(from)?)?;
            is_word(lower.get(from..to)?).then_some((count + 1, from))
        };
        let found = (0..to).filter_map(reach).min();
        *best.get_mut(to)? = found;
    }
    let mut words = Vec::new();
    let mut to = lower.len();
    while to > 0 {
        let (_, from) = (*best.get(to)?)?;
        words.push(run.get(from..to)?.to_owned());
        to = from;
    }
    words.reverse();
    Some(words)
}

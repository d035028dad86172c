//! Explanations that say only what changes against the one before: "idem à 10 mn, MΩ".

use crate::circuit;
use crate::fold::fold;
use crate::header::{self, Label};
use crate::marks::is_kind;

/// Longest words of "the same as before", counted.
const LONGEST: usize = 3;

/// What a text says that begins with a word for "the same": all that the text before it says, but for what it tells anew itself. `None`
/// where it begins with none, or where what it tells anew cannot be told from the rest.
///
/// ```
/// use windrow_text::retold::in_full;
/// let full = in_full("Insulation resistance at 1 min, MΩ, windings to earth", "same at 10 min, GΩ").unwrap();
/// assert_eq!(full, "Insulation resistance, windings to earth, at 10 min, GΩ");
/// ```
#[must_use]
pub fn in_full(before: &str, text: &str) -> Option<String> {
    let anew = behind_same(text)?;
    let own = header::read(anew);
    if !own.concepts.is_empty() || !own.unexplained.is_empty() {
        return None;
    }
    let mut kept: Vec<String> = Vec::new();
    for clause in before.split(',').map(str::trim).filter(|clause| !clause.is_empty()) {
        let told = header::read(clause);
        if !is_told_anew(&told, &own) {
            kept.push(clause.to_owned());
            continue;
        }
        let without = if told.elapsed_s.is_some() { header::without_time(clause) } else { clause.to_owned() };
        let left = header::read(&without);
        if !is_told_anew(&left, &own) {
            kept.push(without.split_whitespace().collect::<Vec<_>>().join(" "));
        } else if !left.concepts.is_empty() || !left.unexplained.is_empty() {
            return None;
        }
    }
    kept.retain(|clause| !clause.is_empty());
    kept.push(anew.to_owned());
    Some(kept.join(", "))
}

/// What stands behind "idem", "same as above but", if a text begins so and goes on.
fn behind_same(text: &str) -> Option<&str> {
    let text = text.trim();
    let ends = text.char_indices().filter(|(_, c)| c.is_whitespace() || *c == ',').map(|(at, _)| at);
    let is_same = |end: &usize| text.get(..*end).is_some_and(|lead| is_kind(&fold(lead), "ditto"));
    let end = ends.take(LONGEST).filter(is_same).last()?;
    let rest = text.get(end..)?.trim_start_matches([',', ' ', ':']);
    let rest = ["but ", "aber ", "mais ", "pero "].iter().find_map(|but| rest.strip_prefix(but)).unwrap_or(rest).trim();
    (!rest.is_empty()).then_some(rest)
}

/// Whether a clause tells what the text tells anew.
fn is_told_anew(clause: &Label, own: &Label) -> bool {
    clause.elapsed_s.is_some() && own.elapsed_s.is_some()
        || clause.voltage_v.is_some() && own.voltage_v.is_some()
        || !clause.units.is_empty() && !own.units.is_empty()
        || !clause.circuits.is_empty() && !own.circuits.is_empty()
}

/// The explanation that two or more codes share ("RUV / RVW / RWU: resistance between terminals"), for each of them with the terminals that
/// it alone names. `None` where the explanation leaves nothing open, or the codes differ in no terminals.
#[must_use]
pub fn of_each(codes: &[&str], meaning: &str) -> Option<Vec<String>> {
    let told = header::read(meaning);
    let is_sure = |circuits: &[circuit::CircuitMeaning]| circuits.iter().any(|meaning| meaning.weight >= 0.5);
    if codes.len() < 2 || is_sure(&told.circuits) {
        return None;
    }
    let first: Vec<char> = codes.first()?.chars().collect();
    let shared =
        (0..first.len()).take_while(|at| codes.iter().all(|code| code.chars().nth(*at) == first.get(*at).copied()));
    let shared = shared.count();
    let (lead, rest) = meaning.split_once(',').unwrap_or((meaning, ""));
    let of_code = |code: &&str| {
        let own: String = code.chars().skip(shared).filter(|c| !matches!(c, '-' | '_')).collect();
        let terminals = match own.chars().collect::<Vec<_>>().as_slice() {
            [a, b] if a.is_alphabetic() && b.is_alphabetic() => format!("{a}-{b}"),
            _ => own,
        };
        if !is_sure(&circuit::read(&terminals)) {
            return None;
        }
        let whole = [format!("{} {terminals}", lead.trim()), rest.trim().to_owned()];
        Some(whole.into_iter().filter(|part| !part.is_empty()).collect::<Vec<_>>().join(", "))
    };
    codes.iter().map(of_code).collect()
}

#[cfg(test)]
mod tests {
    use super::{in_full, of_each};

    #[test]
    fn what_is_the_same_but_for_something_says_all_that_stood_before() {
        for (before, text, full) in [
            ("Isolationswiderstand nach 1 min, MΩ", "dito nach 10 min", Some("Isolationswiderstand, MΩ, nach 10 min")),
            ("IR 1 min, 500 V, MΩ", "same, 1000 V", Some("IR 1 min, MΩ, 1000 V")),
            ("bearing temperature", "idem", None),
            ("insulation at 500 V 1 min", "same, 1000 V", None),
            ("Isolement 1 mn, MΩ", "résistance des enroulements, mΩ", None),
            ("Isolement 1 mn, MΩ", "idem palier côté turbine", None),
        ] {
            assert_eq!(in_full(before, text).as_deref(), full, "{before} | {text}");
        }
    }

    #[test]
    fn codes_with_one_explanation_name_their_own_terminals() {
        let each = of_each(&["WUV", "WVW", "WWU"], "winding resistance, mΩ");
        let each = each.unwrap_or_default();
        assert_eq!(each, ["winding resistance U-V, mΩ", "winding resistance V-W, mΩ", "winding resistance W-U, mΩ"]);
        assert_eq!(of_each(&["T1A", "T2B"], "temperature"), None);
        assert_eq!(of_each(&["RUV", "RVW"], "resistance U-V"), None, "what is told already");
    }
}

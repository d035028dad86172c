//! "R (U/V/W) Ω": what a heading says beside the phases that its cells list.

use crate::heading::{SEPARATORS, compact_list, three_phases};

/// The text of a heading without the list of three phases in it.
pub(crate) fn without_phases(text: &str) -> Option<String> {
    let compact = compact_list(text);
    let list = compact.split(SEPARATORS).find(|word| three_phases(word).is_some())?;
    Some(compact.replacen(list, " ", 1).replace("( )", " ").trim().to_owned())
}

#[cfg(test)]
mod tests {
    use super::without_phases;

    #[test]
    fn what_stands_beside_a_list_of_phases_is_kept() {
        assert_eq!(without_phases("R (U/V/W) Ω").as_deref(), Some("R   Ω"));
        assert_eq!(without_phases("A / B / C").as_deref(), Some(""));
        assert_eq!(without_phases("Isolt. U, V, W (MOhm)").as_deref(), Some("Isolt.   (MOhm)"));
        assert_eq!(without_phases("R (U) Ω"), None);
    }
}

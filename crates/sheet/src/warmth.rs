//! Words for a place beside degrees: the temperature of the winding, or of what surrounds it.

use windrow_text::header;
use windrow_text::vocabulary::Concept;

/// Longest label that is looked at, in words.
const MOST_WORDS: usize = 3;

/// Which temperature a label tells that names only a place ("Wicklung", "Raum", "devanado"), where its values are degrees.
pub(crate) fn of_place(label: &str) -> Option<Concept> {
    let label = label.trim().trim_end_matches([':', '=']);
    if label.is_empty() || label.split_whitespace().count() > MOST_WORDS || label.contains(|c: char| c.is_ascii_digit())
    {
        return None;
    }
    // "Motor temp" may be that of its winding; "Motor" beside degrees is not said to be.
    if header::read(label).concept() == Some(Concept::Tag) {
        return None;
    }
    let told = header::read(&format!("{label} temp"));
    told.concept().filter(|concept| matches!(concept, Concept::WindingTemperature | Concept::AmbientTemperature))
}

#[cfg(test)]
mod tests {
    use super::of_place;
    use windrow_text::vocabulary::Concept;

    /// Common practice, no source.
    #[test]
    fn a_place_says_whose_temperature_it_is() {
        for label in ["Wicklung", "Dev.", "devanado", "Bobinage", "Wdg", "winding:"] {
            assert_eq!(of_place(label), Some(Concept::WindingTemperature), "{label}");
        }
        for label in ["Raum", "Air", "Umgebung"] {
            assert_eq!(of_place(label), Some(Concept::AmbientTemperature), "{label}");
        }
        for label in ["Motor", "Lager", "Bearing", "Öl", "Winding 2", "Oil"] {
            assert_eq!(of_place(label), None, "{label}");
        }
    }
}

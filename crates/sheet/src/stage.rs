//! Words that say when in the life of a winding a test was made.

use windrow_model::Stage;
use windrow_text::fold::fold;

/// Phrases of stages, folded. Common practice, no source.
const STAGES: [(Stage, &[&str]); 6] = [
    (
        Stage::AsFound,
        &[
            "as found",
            "as received",
            "before cleaning",
            "before drying",
            "vor reinigung",
            "avant nettoyage",
            "antes de limpieza",
            "wie angeliefert",
            "anlieferung",
            "a la reception",
            "como se recibio",
            "before repair",
            "incoming",
        ],
    ),
    (
        Stage::BeforeReturn,
        &[
            "before return",
            "as left",
            "after repair",
            "outgoing",
            "nach reparatur",
            "vor auslieferung",
            "apres reparation",
            "avant retour",
            "despues de reparacion",
            "final",
        ],
    ),
    (Stage::AfterCleaning, &["after cleaning", "nach reinigung", "apres nettoyage", "despues de limpieza", "cleaned"]),
    (
        Stage::AfterDrying,
        &[
            "after drying",
            "after bake",
            "after baking",
            "nach trocknung",
            "apres sechage",
            "apres etuvage",
            "despues de secado",
            "dried",
        ],
    ),
    (
        Stage::AfterRewind,
        &[
            "after rewind",
            "after rewinding",
            "nach neuwicklung",
            "apres rebobinage",
            "despues de rebobinado",
            "rewound",
        ],
    ),
    (
        Stage::New,
        &[
            "new winding",
            "when new",
            "commissioning",
            "inbetriebnahme",
            "acceptance",
            "mise en service",
            "puesta en marcha",
            "factory",
        ],
    ),
];

/// The stage that a text names.
#[must_use]
pub fn stage(text: &str) -> Option<Stage> {
    if text.len() > 60 {
        return None;
    }
    let folded = fold(text);
    let names = |phrase: &&&str| {
        folded.strip_prefix(**phrase).is_some_and(|rest| rest.is_empty() || rest.starts_with(' '))
            || folded.ends_with(**phrase) && folded[..folded.len() - phrase.len()].ends_with(' ')
    };
    STAGES.iter().find(|(_, phrases)| phrases.iter().any(|phrase| names(&phrase))).map(|(stage, _)| *stage)
}

#[cfg(test)]
mod tests {
    use super::stage;
    use windrow_model::Stage;

    #[test]
    fn stages_in_headers_and_remarks() {
        assert_eq!(stage("As received MΩ"), Some(Stage::AsFound));
        assert_eq!(stage("Before return MΩ"), Some(Stage::BeforeReturn));
        assert_eq!(stage("nach Reinigung"), Some(Stage::AfterCleaning));
        assert_eq!(stage("Remarks"), None);
    }
}

//! Codes of failure modes, ISO 14224:2016; see `data/failure_modes.toml` for how each is known.

use serde::Deserialize;
use std::sync::LazyLock;

/// A code; its meaning and how it is known are for readers of the file.
#[derive(Debug, Deserialize)]
struct Mode {
    code: String,
}

#[derive(Debug, Default, Deserialize)]
#[serde(deny_unknown_fields)]
struct Modes {
    mode: Vec<Mode>,
}

static MODES: LazyLock<Modes> =
    LazyLock::new(|| toml::from_str(include_str!("../data/failure_modes.toml")).unwrap_or_default());

/// The code as it is written in the standard, if it is one.
pub(crate) fn known(code: &str) -> Option<&'static str> {
    MODES.mode.iter().map(|mode| mode.code.as_str()).find(|known| known.eq_ignore_ascii_case(code))
}

/// All codes, apart by a comma.
pub(crate) fn all() -> String {
    MODES.mode.iter().map(|mode| mode.code.as_str()).collect::<Vec<_>>().join(", ")
}

#[cfg(test)]
mod tests {
    use super::known;

    #[test]
    fn every_code_has_three_letters_a_meaning_and_how_it_is_known() {
        let file: toml::Table = include_str!("../data/failure_modes.toml").parse().unwrap();
        let modes = file["mode"].as_array().unwrap();
        assert!(modes.len() > 20);
        for mode in modes {
            let classes = mode["classes"].as_array().unwrap();
            assert!(mode["code"].as_str().unwrap().len() == 3 && !mode["means"].as_str().unwrap().is_empty(), "{mode}");
            assert!(classes.iter().all(|class| ["EM", "EG"].contains(&class.as_str().unwrap())), "{mode}");
            assert!(["cited", "memory"].contains(&mode["known"].as_str().unwrap()), "{mode}");
        }
        assert_eq!((known("brd"), known("XXX")), (Some("BRD"), None));
    }
}

//! The vocabulary of the invented records.

use anyhow::Context;
use std::collections::BTreeMap;
use windrow_dice::Dice;

const FILE: &str = include_str!("words.toml");

/// Languages in which records are written; English twice as often as another.
const LANGUAGES: [&str; 5] = ["en", "en", "de", "fr", "es"];

/// The words of one language.
#[derive(Debug, Clone)]
pub(crate) struct Words {
    pub(crate) language: &'static str,
    lists: BTreeMap<String, Vec<String>>,
}

impl Words {
    /// The words of a language drawn.
    pub(super) fn draw(dice: &mut Dice) -> anyhow::Result<Self> {
        let language = dice.pick(&LANGUAGES);
        let mut all: BTreeMap<String, BTreeMap<String, Vec<String>>> = toml::from_str(FILE).context("words.toml")?;
        Ok(Self { language, lists: all.remove(language).with_context(|| format!("words.toml has no {language}"))? })
    }

    /// The words of every language.
    pub(crate) fn all() -> anyhow::Result<Vec<Self>> {
        let all: BTreeMap<String, BTreeMap<String, Vec<String>>> = toml::from_str(FILE).context("words.toml")?;
        let named = |(language, lists): (String, _)| {
            let language = LANGUAGES.into_iter().find(|known| *known == language)?;
            Some(Self { language, lists })
        };
        Ok(all.into_iter().filter_map(named).collect())
    }

    /// All words for a thing.
    pub(crate) fn list(&self, thing: &str) -> &[String] {
        self.lists.get(thing).map_or(&[], Vec::as_slice)
    }

    /// One word for a thing; the name of the thing where the vocabulary has none, so that a gap is seen.
    pub(super) fn pick(&self, thing: &str, dice: &mut Dice) -> String {
        let list = self.list(thing);
        if list.is_empty() { thing.to_owned() } else { dice.pick(list) }
    }
}

//! Invented machines of two invented mills.

use crate::{MentionIn, resolve};
use proptest::prelude::*;
use windrow_model::raw::{Mention, Told, Via};

fn mention(tag: &str, site: &str, serial: &str) -> Mention {
    let told = |text: &str| (!text.is_empty()).then(|| Told::without_place(text.to_owned(), Via::Row, text));
    Mention { tag: told(tag), site: told(site), serial: told(serial), ..Mention::default() }
}

fn ids(mentions: &[Mention]) -> Vec<Option<String>> {
    let inputs: Vec<MentionIn<'_>> = mentions.iter().map(|mention| MentionIn { source_file: "f", mention }).collect();
    resolve(&inputs).asset_of
}

#[test]
fn spellings_of_one_tag_at_one_site_are_one_machine() {
    let found = ids(&[
        mention("P-101A", "Oak Mill", ""),
        mention("p 101 a", "OAK MILL", ""),
        mention("P-101A", "Elm Mill", ""),
    ]);
    assert_eq!(found[0], found[1]);
    assert_ne!(found[0], found[2], "short tags recur from site to site");
}

#[test]
fn a_tag_without_a_site_joins_only_if_one_machine_answers() {
    let found = ids(&[
        mention("P-7", "Oak Mill", ""),
        mention("P-8", "Oak Mill", ""),
        mention("P-8", "Elm Mill", ""),
        mention("P-7", "", ""),
        mention("P-8", "", ""),
    ]);
    assert_eq!(found[3], found[0]);
    assert_eq!(found[4], None, "two machines answer to P-8");
}

#[test]
fn a_serial_number_finds_the_machine_of_the_register() {
    let found = ids(&[
        mention("P-7", "Oak Mill", "58554-5801"),
        mention("", "", "58554 5801"),
        mention("", "", "11111-2222"),
        mention("", "", ""),
    ]);
    assert_eq!(found[1], found[0]);
    assert!(found[2].is_some() && found[2] != found[0]);
    assert_eq!(found[3], None, "nobody named");
}

#[test]
fn a_sites_code_before_the_tag_is_learned_from_the_records() {
    let found = ids(&[
        mention("OAK-P-1", "Oak Mill", ""),
        mention("OAK-F-2", "Oak Mill", ""),
        mention("OAK-C-3", "Oak Mill", ""),
        mention("P-1", "Oak Mill", ""),
        mention("oak/P1", "", ""),
    ]);
    assert_eq!(found[3], found[0]);
    assert_eq!(found[4], found[0]);
}

fn some_mentions() -> impl Strategy<Value = Vec<Mention>> {
    let one = (0_usize..4, 0_usize..3, 0_usize..4).prop_map(|(tag, site, serial)| {
        mention(
            ["P-1", "p1", "F-2", ""][tag],
            ["Oak Mill", "Elm Mill", ""][site],
            ["S-10001", "", "", "S-10002"][serial],
        )
    });
    proptest::collection::vec(one, 1..12)
}

proptest! {
    #[test]
    fn order_changes_nothing(mentions in some_mentions()) {
        let forward = ids(&mentions);
        let reversed: Vec<Mention> = mentions.iter().rev().cloned().collect();
        let mut backward = ids(&reversed);
        backward.reverse();
        prop_assert_eq!(forward, backward);
    }
}

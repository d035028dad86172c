//! Readings that were put to a machine they are not of.

use super::truth::True;
use std::collections::BTreeMap;

/// A true reading with its true machine and the machine of the import that its test was put to.
pub(super) struct Put<'t> {
    pub(super) truth: &'t True,
    pub(super) asset: &'t str,
    pub(super) id: &'t str,
}

/// Those that stray: their machine of the import is, within the file, that of more readings of another machine, or more readings of their
/// machine on the same sheet were put to another one. That one machine has two names in two files is no stray: putting those together is
/// asked about. Nor is it that machines of one name in two files are put together: files of a corpus are of plants of their own that their
/// texts do not always name, which B-cubed judges.
pub(super) fn strays<'p, 't>(puts: &'p [Put<'t>]) -> impl Iterator<Item = &'p Put<'t>> {
    let of_file = |put: &Put<'t>| (put.truth.file.as_str(), put.id);
    let owners = majority(puts, of_file, |put| put.asset);
    let of_sheet = |put: &Put<'t>| (put.truth.file.as_str(), put.truth.sheet.as_deref(), put.asset);
    let ids = majority(puts, of_sheet, |put| put.id);
    puts.iter()
        .filter(move |put| owners.get(&of_file(put)) != Some(&put.asset) || ids.get(&of_sheet(put)) != Some(&put.id))
}

/// Whether the machine that a reading was put to is called otherwise than its own: spelling (`windrow_text::tag::fold`) does not count. Two
/// machines of one name, at two stations of a sheet perhaps, may be one for all that the sheet tells.
pub(super) fn is_named_otherwise(put: &Put<'_>, tag: &str) -> bool {
    let own = put.truth.tag.as_deref().unwrap_or(put.asset);
    windrow_text::tag::fold(own) != windrow_text::tag::fold(tag)
}

/// For each key the value that most have; of two equal counts the first by name.
fn majority<'t, K: Ord, V: Ord + Copy>(
    puts: &[Put<'t>],
    key: impl Fn(&Put<'t>) -> K,
    value: impl Fn(&Put<'t>) -> V,
) -> BTreeMap<K, V> {
    let mut counts: BTreeMap<K, BTreeMap<V, usize>> = BTreeMap::new();
    for put in puts {
        *counts.entry(key(put)).or_default().entry(value(put)).or_default() += 1;
    }
    let most =
        |counts: BTreeMap<V, usize>| counts.into_iter().rev().max_by_key(|(_, count)| *count).map(|(value, _)| value);
    counts.into_iter().filter_map(|(key, counts)| Some((key, most(counts)?))).collect()
}

#[cfg(test)]
mod tests {
    use super::{Put, is_named_otherwise, strays};
    use crate::score::truth::True;

    #[test]
    fn the_few_that_were_put_elsewhere_stray() {
        let truth = True { file: "records.csv".to_owned(), ..True::default() };
        let put = |asset, id| Put { truth: &truth, asset, id };
        // Three readings of one machine, one of them put to a machine of its own; two of another, one put to the first.
        let puts = [put("A1", "x"), put("A1", "x"), put("A1", "y"), put("A2", "z"), put("A2", "z"), put("A2", "x")];
        let found: Vec<(&str, &str)> = strays(&puts).map(|put| (put.asset, put.id)).collect();
        assert_eq!(found, [("A1", "y"), ("A2", "x")]);
    }

    #[test]
    fn one_name_in_two_files_is_no_stray_and_spelling_no_other_name() {
        let truth =
            |file: &str, tag: &str| True { file: file.to_owned(), tag: Some(tag.to_owned()), ..True::default() };
        let (here, there) = (truth("a.csv", "P-01"), truth("b.csv", "P-1"));
        let puts = [Put { truth: &here, asset: "A1", id: "x" }, Put { truth: &there, asset: "A2", id: "x" }];
        assert_eq!(strays(&puts).count(), 0);
        assert!(!is_named_otherwise(&puts[0], "P 1") && is_named_otherwise(&puts[0], "P-2"));
    }
}

//! Something of each group of readings or tests, in the order in which groups are met.

use foldhash::fast::FixedState;
use std::collections::HashMap;
use std::hash::Hash;

/// Something of each group, by its key. Neighbours are mostly of one group, so that the one of the call before is asked first.
#[derive(Debug)]
pub(super) struct Grouped<K, T> {
    all: Vec<(K, T)>,
    places: HashMap<K, usize, FixedState>,
    /// Place of the group that was asked for last.
    last: usize,
}

impl<K, T> Default for Grouped<K, T> {
    fn default() -> Self {
        Self { all: Vec::new(), places: HashMap::default(), last: 0 }
    }
}

impl<K: Copy + Eq + Hash, T> Grouped<K, T> {
    /// What there is of a group; `new` makes it where the group is met first.
    pub(super) fn of(&mut self, key: K, new: impl FnOnce() -> T) -> &mut T {
        if self.all.get(self.last).is_none_or(|(known, _)| *known != key) {
            self.last = *self.places.entry(key).or_insert_with(|| {
                self.all.push((key, new()));
                self.all.len() - 1
            });
        }
        &mut self.all[self.last].1
    }
}

impl<K, T> IntoIterator for Grouped<K, T> {
    type Item = (K, T);
    type IntoIter = std::vec::IntoIter<(K, T)>;

    fn into_iter(self) -> Self::IntoIter {
        self.all.into_iter()
    }
}

#[cfg(test)]
mod tests {
    use super::Grouped;

    #[test]
    fn each_group_keeps_its_own_whatever_is_asked_before() {
        let mut counts: Grouped<char, usize> = Grouped::default();
        for letter in "banana".chars() {
            *counts.of(letter, || 0) += 1;
        }
        assert_eq!(counts.into_iter().collect::<Vec<_>>(), [('b', 1), ('a', 3), ('n', 2)]);
    }
}

//! Which position a machine stood at before, and whose name a tag was on a day.

use crate::keys::Position;
use crate::positions::Positions;
use crate::ruling::Move;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Moves by position.
#[derive(Debug, Default)]
pub(crate) struct Moves {
    /// When machines came to a position, and from where.
    came: BTreeMap<Position, Vec<(Date, Position)>>,
    /// When they left it.
    left: BTreeMap<Position, Vec<Date>>,
    count: usize,
}

/// Where a machine is known from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Origin {
    /// It stood at this position on this day, and nothing is known of a move before.
    At(Position, Option<Date>),
    /// What came to the position after its machine had left on this day.
    After(Position, Date),
    /// The position's machine changed, and the record has no day.
    Undated,
}

impl Moves {
    pub(crate) fn of(moves: &BTreeSet<Move>, positions: &Positions) -> Self {
        let home = |position: &Position| positions.home(position).unwrap_or_else(|| position.clone());
        let mut all = Self { count: moves.len(), ..Self::default() };
        for Move { from, to, on } in moves {
            let (from, to) = (home(from), home(to));
            all.left.entry(from.clone()).or_default().push(*on);
            all.came.entry(to).or_default().push((*on, from));
        }
        all
    }

    /// Where the machine comes from that stood at `home` on a day.
    pub(crate) fn origin(&self, home: Position, on: Option<Date>) -> Origin {
        let (mut at, mut day) = (home, on);
        // Each step goes back in time over one move.
        for _ in 0..=self.count {
            let (came, left) = (self.came.get(&at), self.left.get(&at));
            if came.is_none() && left.is_none() {
                break;
            }
            let Some(on) = day else { return Origin::Undated };
            let came = came.into_iter().flatten().filter(|(when, _)| *when <= on).max();
            let left = left.into_iter().flatten().filter(|when| **when <= on).max();
            match (came, left) {
                (Some((when, from)), left) if left.is_none_or(|left| when >= left) => {
                    day = Some(when.yesterday().unwrap_or(*when));
                    at = from.clone();
                }
                (_, Some(left)) => return Origin::After(at, *left),
                _ => break,
            }
        }
        Origin::At(at, day)
    }
}

#[cfg(test)]
mod tests {
    use super::{Moves, Origin};
    use crate::keys::Position;
    use jiff::civil::{Date, date};

    fn place(tag: &str) -> Position {
        (None, tag.to_owned())
    }

    fn day(year: i16) -> Date {
        date(year, 6, 1)
    }

    fn moves(all: &[(&str, &str, i16)]) -> Moves {
        let mut moves = Moves { count: all.len(), ..Moves::default() };
        for (from, to, year) in all {
            moves.left.entry(place(from)).or_default().push(day(*year));
            moves.came.entry(place(to)).or_default().push((day(*year), place(from)));
        }
        moves
    }

    fn at(moves: &Moves, tag: &str, year: i16) -> (String, bool) {
        match moves.origin(place(tag), Some(day(year))) {
            Origin::At((_, tag), _) => (tag, false),
            Origin::After((_, tag), _) => (tag, true),
            Origin::Undated => panic!("dated"),
        }
    }

    #[test]
    fn a_machine_that_moved_twice_is_followed_back() {
        let moves = moves(&[("A", "B", 1990), ("B", "C", 2000)]);
        assert_eq!(at(&moves, "C", 2005), ("A".to_owned(), false));
        assert_eq!(at(&moves, "B", 1995), ("A".to_owned(), false));
        assert_eq!(at(&moves, "B", 1985), ("B".to_owned(), false));
        assert_eq!(at(&moves, "A", 1995), ("A".to_owned(), true), "another one");
        assert_eq!(moves.origin(place("C"), None), Origin::Undated);
    }

    #[test]
    fn two_that_swapped_are_told_apart_by_the_day() {
        let moves = moves(&[("A", "B", 2000), ("B", "A", 2000)]);
        assert_eq!(at(&moves, "A", 1999), ("A".to_owned(), false));
        assert_eq!(at(&moves, "A", 2001), ("B".to_owned(), false));
        assert_eq!(at(&moves, "B", 2001), ("A".to_owned(), false));
    }
}

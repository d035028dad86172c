//! Who stood where, and when: a motor that moves keeps its serial number, a position keeps its tag.

use crate::keys::Position;
use jiff::civil::Date;
use std::collections::{BTreeMap, BTreeSet};

/// Who a record of a position without a serial number is about.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(crate) enum Occupant {
    /// The machine with this serial number.
    Machine(String),
    /// No serial number was ever told there.
    Unnumbered,
    /// Any of these could be meant.
    Open(Vec<String>),
}

/// Most serial numbers of a position that are compared with each other.
const MOST: usize = 50;

/// Serial numbers seen at positions.
#[derive(Debug, Default)]
pub(crate) struct Stand {
    at: BTreeMap<Position, Vec<(Option<Date>, String)>>,
    of: BTreeMap<String, Vec<(Option<Date>, Position)>>,
}

impl Stand {
    pub(crate) fn add(&mut self, position: &Position, serial: &str, on: Option<Date>) {
        self.at.entry(position.clone()).or_default().push((on, serial.to_owned()));
        self.of.entry(serial.to_owned()).or_default().push((on, position.clone()));
    }

    /// Sorts what was added.
    pub(crate) fn done(mut self) -> Self {
        for seen in self.at.values_mut() {
            seen.sort();
            seen.dedup();
        }
        for seen in self.of.values_mut() {
            seen.sort();
            seen.dedup();
        }
        self
    }

    /// Who stood at `position` on a day.
    pub(crate) fn occupant(&self, position: &Position, on: Option<Date>) -> Occupant {
        let Some(seen) = self.at.get(position) else { return Occupant::Unnumbered };
        let mut all: Vec<String> = seen.iter().map(|(_, serial)| serial.clone()).collect();
        all.sort();
        all.dedup();
        if let [only] = all.as_slice()
            && self.elsewhere(only, position).next().is_none()
        {
            return Occupant::Machine(only.clone());
        }
        let Some(on) = on else { return Occupant::Open(all) };
        let dated = || seen.iter().filter_map(|(day, serial)| Some(((*day)?, serial)));
        let before = dated().filter(|(day, _)| *day <= on).max();
        let after = dated().filter(|(day, _)| *day >= on).min();
        // An undated telling of another machine may mean any day that no two sightings enclose.
        let unsettled = |one: &String| seen.iter().any(|(day, serial)| day.is_none() && serial != one);
        let stood = match (before, after) {
            (Some((from, one)), Some((to, other))) if one == other => {
                self.stayed(one, position, from, to).then_some(one)
            }
            (Some((from, one)), None) => {
                (!unsettled(one) && self.stayed(one, position, from, Date::MAX)).then_some(one)
            }
            (None, Some((to, one))) => (!unsettled(one) && self.stayed(one, position, Date::MIN, to)).then_some(one),
            _ => None,
        };
        stood.map_or(Occupant::Open(all), |serial| Occupant::Machine(serial.clone()))
    }

    /// Serial numbers of one position that are one slip apart.
    pub(crate) fn neighbours(&self) -> BTreeSet<(String, String)> {
        let mut found = BTreeSet::new();
        for seen in self.at.values() {
            let all: Vec<&String> =
                seen.iter().map(|(_, serial)| serial).collect::<BTreeSet<_>>().into_iter().collect();
            for (index, a) in all.iter().enumerate().take(MOST) {
                let near = all.iter().skip(index + 1).take(MOST).filter(|b| strsim::osa_distance(a, b) == 1);
                found.extend(near.map(|b| ((*a).clone(), (*b).clone())));
            }
        }
        found
    }

    /// Whether a machine was seen nowhere else between two days.
    fn stayed(&self, serial: &str, position: &Position, from: Date, to: Date) -> bool {
        self.elsewhere(serial, position).all(|day| day.is_some_and(|day| day < from || day > to))
    }

    fn elsewhere<'s>(&'s self, serial: &str, position: &'s Position) -> impl Iterator<Item = Option<Date>> + 's {
        let seen = self.of.get(serial).map_or(&[][..], Vec::as_slice);
        seen.iter().filter(move |(_, other)| other != position).map(|(day, _)| *day)
    }
}

#[cfg(test)]
mod tests {
    use super::{Occupant, Stand};
    use crate::keys::Position;
    use jiff::civil::{Date, date};

    fn place(tag: &str) -> Position {
        (Some("oak mill".to_owned()), tag.to_owned())
    }

    fn year(year: i16) -> Date {
        date(year, 6, 1)
    }

    #[test]
    fn a_motor_that_moved_is_known_by_the_day() {
        let mut stand = Stand::default();
        stand.add(&place("P1"), "S1", Some(year(2000)));
        stand.add(&place("P1"), "S1", Some(year(2005)));
        stand.add(&place("P7"), "S1", Some(year(2010)));
        let stand = stand.done();
        let at = |tag: &str, on| stand.occupant(&place(tag), on);
        let open = Occupant::Open(vec!["S1".to_owned()]);
        assert_eq!(at("P1", Some(year(2003))), Occupant::Machine("S1".to_owned()));
        assert_eq!(at("P1", Some(year(2012))), open, "it stood at P-7 by then");
        assert_eq!(at("P7", Some(year(2015))), Occupant::Machine("S1".to_owned()));
        assert_eq!(at("P7", Some(year(2003))), open, "it stood at P-1 then");
        assert_eq!(at("P1", None), open);
        assert_eq!(at("P9", Some(year(2003))), Occupant::Unnumbered);
    }

    #[test]
    fn between_two_motors_of_one_position_nobody_is_sure() {
        let mut stand = Stand::default();
        stand.add(&place("P1"), "S1", Some(year(2000)));
        stand.add(&place("P1"), "S2", Some(year(2010)));
        let stand = stand.done();
        let at = |on| stand.occupant(&place("P1"), on);
        assert_eq!(at(Some(year(1999))), Occupant::Machine("S1".to_owned()));
        assert_eq!(at(Some(year(2005))), Occupant::Open(vec!["S1".to_owned(), "S2".to_owned()]));
        assert_eq!(at(Some(year(2011))), Occupant::Machine("S2".to_owned()));
    }
}

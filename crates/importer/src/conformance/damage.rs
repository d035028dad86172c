//! Samples cut anywhere and with bytes changed: refused or held, never a panic, never a hang, memory bounded. Done in worker
//! processes under the limits of an import, so that one that fails does not end the test.

use super::Complaints;
use super::case::Case;
use crate::engine::{Source, understand_source};
use crate::registry::Registry;
use windrow_model::settings::Settings;
use windrow_source::Limits;
use windrow_source::worker::Pool;

/// Damages done to each sample; every fourth is a cut, the others change bytes.
const DAMAGES: usize = 32;
/// Bytes changed at a time, at most.
const MOST_BYTES: u64 = 4;

/// Holds all samples to surviving damage. The workers of `pool` answer with [`answer`].
#[must_use]
pub fn damaged(cases: &[Case], pool: &Pool) -> Complaints {
    let mut complaints = Complaints::none();
    let request = |index: usize| {
        cases.get(index / DAMAGES).map(|case| spoiled(case.bytes(), index % DAMAGES)).unwrap_or_default()
    };
    pool.ask_all(cases.len() * DAMAGES, &request, &mut |index, answer| {
        let Some(case) = cases.get(index / DAMAGES) else { return };
        let number = index % DAMAGES;
        match answer {
            Ok(bug) if bug.is_empty() => {}
            Ok(bug) => complaints.add(format!("{}, damage {number}: {}", case.name(), String::from_utf8_lossy(&bug))),
            Err(error) => complaints.add(format!("{}, damage {number}: {error}", case.name())),
        }
    });
    complaints
}

/// Understands a damaged sample in a worker; the answer is empty, or tells the bug that showed.
#[must_use]
pub fn answer(request: &[u8], registry: &Registry) -> Vec<u8> {
    let source = Source::alone("damaged", request);
    let understood = understand_source(source, registry, &Settings::default(), &Limits::default());
    let mut said = understood.reason.iter().chain(&understood.notes);
    said.find(|text| text.contains("our bug")).map(|bug| bug.clone().into_bytes()).unwrap_or_default()
}

/// The bytes with damage number `number`: the same each time.
fn spoiled(bytes: &[u8], number: usize) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    // Another sequence for each number and length; a fixed multiplier keeps neighbours apart (Knuth's, from memory).
    let mut chance = Chance((number as u64 + 1).wrapping_mul(6_364_136_223_846_793_005) ^ bytes.len() as u64);
    if bytes.is_empty() {
        return bytes;
    }
    if number.is_multiple_of(4) {
        bytes.truncate(chance.below(bytes.len()));
        return bytes;
    }
    for _ in 0..=chance.next() % MOST_BYTES {
        let (at, value) = (chance.below(bytes.len()), chance.next().to_le_bytes()[0]);
        if let Some(byte) = bytes.get_mut(at) {
            *byte = value;
        }
    }
    bytes
}

/// Numbers that look like chance and are the same each time (xorshift, Marsaglia 2003).
struct Chance(u64);

impl Chance {
    fn next(&mut self) -> u64 {
        self.0 ^= self.0 << 13;
        self.0 ^= self.0 >> 7;
        self.0 ^= self.0 << 17;
        self.0
    }

    fn below(&mut self, end: usize) -> usize {
        usize::try_from(self.next() % (end as u64).max(1)).unwrap_or(0)
    }
}

#[cfg(test)]
mod tests {
    use super::{DAMAGES, spoiled};

    #[test]
    fn damage_is_the_same_each_time_and_another_each_number() {
        let bytes: Vec<u8> = (0..200).collect();
        let all: Vec<Vec<u8>> = (0..DAMAGES).map(|number| spoiled(&bytes, number)).collect();
        assert_eq!(all, (0..DAMAGES).map(|number| spoiled(&bytes, number)).collect::<Vec<_>>());
        let mut different = all.clone();
        different.sort();
        different.dedup();
        assert!(different.len() > DAMAGES - 4, "two cuts may fall on one place");
        assert!(all.iter().all(|spoiled| *spoiled != bytes));
        assert!(spoiled(b"", 1).is_empty());
    }
}

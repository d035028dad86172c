//! Numbers put in order digit by digit: histograms of millions of numbers are counted from sorted ones, and these have few digits in which they
//! differ.

/// Bits of one digit: so few that their counts stay in the nearest cache.
const DIGIT: u32 = 11;
const VALUES: usize = 1 << DIGIT;
/// Fewer numbers are sorted by comparing them.
const FEW: usize = 1 << 9;

/// Sorts numbers.
pub(crate) fn sort(keys: &mut Vec<u64>) {
    if keys.len() < FEW {
        keys.sort_unstable();
        return;
    }
    let (any, all) = keys.iter().fold((0, u64::MAX), |(any, all), key| (any | key, all & key));
    let differing = any ^ all;
    let mut other = Vec::new();
    for shift in (0..u64::BITS).step_by(DIGIT as usize).filter(|shift| digit(differing, *shift) > 0) {
        other.resize(keys.len(), 0);
        by_digit(keys, &mut other, shift);
        std::mem::swap(keys, &mut other);
    }
}

/// Copies numbers in the order of one digit; those that share it keep their order.
fn by_digit(keys: &[u64], sorted: &mut [u64], shift: u32) {
    let mut places = [0_usize; VALUES];
    for key in keys {
        places[digit(*key, shift)] += 1;
    }
    let mut next = 0;
    for place in &mut places {
        next += std::mem::replace(place, next);
    }
    for key in keys {
        let place = &mut places[digit(*key, shift)];
        if let Some(entry) = sorted.get_mut(*place) {
            *entry = *key;
        }
        *place += 1;
    }
}

#[expect(clippy::cast_possible_truncation, reason = "eleven bits")]
fn digit(key: u64, shift: u32) -> usize {
    (key >> shift) as usize & (VALUES - 1)
}

#[cfg(test)]
mod tests {
    use super::{FEW, sort};

    #[test]
    fn numbers_of_any_size_come_in_order() {
        let spread = |n: u64, bits: u32| n.wrapping_mul(0x9e37_79b9_7f4a_7c15) >> (64 - bits);
        for (count, bits) in [(0, 64), (7, 64), (FEW - 1, 30), (FEW, 30), (5000, 1), (5000, 22), (5000, 43), (5000, 64)]
        {
            let mut keys: Vec<u64> = (0..).take(count).map(|n| spread(n, bits).wrapping_add(1 << 20)).collect();
            let mut expected = keys.clone();
            expected.sort_unstable();
            sort(&mut keys);
            assert_eq!(keys, expected, "{count} of {bits} bits");
        }
    }
}

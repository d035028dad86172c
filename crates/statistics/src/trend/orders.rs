//! Exact distribution of S over every order of the values.
//!
//! Values are dealt to the dates from the earliest on. Where all dates are known apart, what a value adds to S depends only on which
//! values came before it, not on their order: counting over the 2ⁿ sets replaces counting over the n! orders.

use super::{Point, compare, order};

/// Two-sided exact p of |`s`|: share of the orders of (value, bound) over the dates whose |S| is as large. For up to 8 points.
pub(super) fn p_value(points: &[Point], s: i64) -> f64 {
    let counts = if dates_apart(points) { by_sets(points) } else { by_orders(points) };
    let limit = s.unsigned_abs();
    let (mut extreme, mut total) = (0_u64, 0_u64);
    for (score, count) in &counts {
        total += count;
        extreme += if score.unsigned_abs() >= limit { *count } else { 0 };
    }
    #[expect(clippy::cast_precision_loss, reason = "at most 8! orders")]
    let share = extreme as f64 / total as f64;
    share
}

fn dates_apart(points: &[Point]) -> bool {
    points.iter().enumerate().all(|(index, a)| points[index + 1..].iter().all(|b| order(*a, *b) != 0))
}

/// What value `a` standing later than value `b` adds to S.
fn steps(points: &[Point]) -> Vec<Vec<i64>> {
    points.iter().map(|a| points.iter().map(|b| i64::from(compare(*a, *b, 0.0))).collect()).collect()
}

/// Counts of S over all orders, as pairs of S and count.
fn by_sets(points: &[Point]) -> Vec<(i64, u64)> {
    let (count, steps) = (points.len(), steps(points));
    let reach = count * count.saturating_sub(1) / 2;
    let width = 2 * reach + 1;
    let full = (1_usize << count) - 1;
    let mut table = vec![0_u64; (full + 1) * width];
    table[reach] = 1;
    for set in 0..full {
        for value in (0..count).filter(|value| set & (1 << value) == 0) {
            let added: i64 = (0..count).filter(|other| set & (1 << other) != 0).map(|other| steps[value][other]).sum();
            let next = set | (1 << value);
            for index in 0..width {
                let ways = table[set * width + index];
                if ways > 0 {
                    table[next * width + index.saturating_add_signed(isize::try_from(added).unwrap_or(0))] += ways;
                }
            }
        }
    }
    let middle = i64::try_from(reach).unwrap_or(0);
    (0_i64..).zip(&table[full * width..]).map(|(index, ways)| (index - middle, *ways)).collect()
}

/// The same where some dates have no order, by Heap's algorithm over all orders.
fn by_orders(points: &[Point]) -> Vec<(i64, u64)> {
    let (count, steps) = (points.len(), steps(points));
    let pairs: Vec<(usize, usize)> = (0..count)
        .flat_map(|i| (0..count).map(move |j| (i, j)))
        .filter(|(i, j)| order(points[*i], points[*j]) > 0)
        .collect();
    let score = |values: &[usize]| pairs.iter().map(|(i, j)| steps[values[*i]][values[*j]]).sum::<i64>();
    let mut values: Vec<usize> = (0..count).collect();
    let mut counters = vec![0_usize; count];
    let mut found = std::collections::BTreeMap::from([(score(&values), 1_u64)]);
    let mut index = 0;
    while index < count {
        if counters[index] < index {
            let other = if index % 2 == 0 { 0 } else { counters[index] };
            values.swap(other, index);
            *found.entry(score(&values)).or_insert(0) += 1;
            counters[index] += 1;
            index = 0;
        } else {
            counters[index] = 0;
            index += 1;
        }
    }
    found.into_iter().collect()
}

#[cfg(test)]
mod tests {
    use super::{by_orders, by_sets};
    use crate::trend::Point;
    use windrow_model::Bound;

    #[test]
    fn both_ways_of_counting_agree() {
        let bounds = [Bound::Exact, Bound::AtLeast, Bound::Exact, Bound::Exact, Bound::AtMost, Bound::Exact];
        let points: Vec<Point> = [3.0, 3.0, 2.0, 2.0, 1.0, 4.0]
            .into_iter()
            .zip(bounds)
            .zip(0_u8..)
            .map(|((y, bound), year)| Point { t: f64::from(year), blur: 0.0, y, bound })
            .collect();
        let told = |counts: Vec<(i64, u64)>| counts.into_iter().filter(|(_, count)| *count > 0).collect::<Vec<_>>();
        assert_eq!(told(by_sets(&points)), told(by_orders(&points)));
        assert_eq!(by_sets(&points).iter().map(|(_, count)| count).sum::<u64>(), 720);
    }
}

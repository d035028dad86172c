//! Numbers of the fleet model as people write them.

use crate::finding::megohms;

/// A factor: 1.4, 3.2, 30.
pub(super) fn factor(decades: f64) -> String {
    let factor = 10_f64.powf(decades.abs());
    if factor < 10.0 { format!("{factor:.1}") } else { format!("{factor:.0}") }
}

/// Megohms of a logarithm.
pub(super) fn resistance(decades: f64) -> String {
    megohms(10_f64.powf(decades) * 1e6)
}

/// A chance or a rate.
pub(super) fn small(p: f64) -> String {
    if p < 1e-4 { format!("{p:.0e}") } else { format!("{p:.4}") }
}

/// `one reading`, `2 readings`.
pub(super) fn counted(count: usize, one: &str, many: &str) -> String {
    if count == 1 { format!("one {one}") } else { format!("{count} {many}") }
}

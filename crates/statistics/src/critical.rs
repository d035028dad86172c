//! What a statistic exceeds by chance, by the number of values: critical values that simulations gave, kept as text in `data/`
//! (`cargo run --release -p windrow-statistics --example critical_values` writes them again).

/// Critical values of one statistic for one number of values.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Critical {
    /// Number of values.
    pub count: usize,
    /// Exceeded in 5 % of what has nothing to show.
    pub five: f64,
    /// Exceeded in 1 %.
    pub one: f64,
}

/// Rows of a table, comma-separated; lines with `#` and the heading are skipped. A row that is none is left out; tests hold every
/// table complete.
pub(crate) fn table(text: &str) -> Vec<Critical> {
    let row = |line: &str| {
        let mut cells = line.split(',').map(str::trim);
        let count = cells.next()?.parse().ok()?;
        let mut number = || cells.next()?.parse().ok();
        Some(Critical { count, five: number()?, one: number()? })
    };
    text.lines().filter(|line| !line.starts_with('#')).filter_map(row).collect()
}

/// The row for `count` values; that of the largest number simulated for more, `None` for fewer than the least.
pub(crate) fn of(table: &[Critical], count: usize) -> Option<Critical> {
    table.iter().rfind(|row| row.count <= count).copied()
}

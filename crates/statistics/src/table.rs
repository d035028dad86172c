//! Numbers that simulations gave, kept as text beside the code: comma-separated, lines with `#` and the heading are skipped.

/// Rows of `WIDTH` numbers. A row that is none is left out; tests hold every table complete.
pub(crate) fn rows<const WIDTH: usize>(text: &str) -> impl Iterator<Item = [f64; WIDTH]> {
    text.lines().filter(|line| !line.starts_with('#')).filter_map(|line| {
        let numbers: Vec<f64> = line.split(',').filter_map(|cell| cell.trim().parse().ok()).collect();
        numbers.try_into().ok()
    })
}

/// A count that the table writes as a number.
#[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "tables hold small counts")]
pub(crate) fn whole(number: f64) -> usize {
    number as usize
}

//! Rows of the word lists under `data/`: one a line, fields split at commas without quoting, `#` begins a comment line.

/// Fields of every row but the heading, in order; rows with fewer than `N` fields are left out (a test finds them).
pub(crate) fn rows<const N: usize>(text: &'static str) -> impl Iterator<Item = [&'static str; N]> {
    lines(text).filter_map(|line| {
        let mut fields = line.splitn(N, ',').map(str::trim);
        let mut row = [""; N];
        for slot in &mut row {
            *slot = fields.next()?;
        }
        Some(row)
    })
}

/// Lines that must be rows.
pub(crate) fn lines(text: &'static str) -> impl Iterator<Item = &'static str> {
    text.lines().filter(|line| !line.trim().is_empty() && !line.starts_with('#')).skip(1)
}

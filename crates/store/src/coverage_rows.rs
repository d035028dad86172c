//! Rows for tests of tables in the order of coverage.

windrow_model::table! {
    /// What tells the order of coverage, and two columns more.
    pub struct Row in "coverage" {
        /// Site.
        site: Option<String>,
        /// Tag.
        tag: String,
        /// Machine.
        asset_id: String,
        /// Part.
        insulation: String,
        /// A number.
        number: Option<f64>,
        /// A text.
        text: Option<String>,
    }
}

/// Three rows of each machine; machines of seven sites and of none, out of order.
pub(crate) fn row(number: u32) -> Row {
    let machine = number / 3 * 7919 % 40_009;
    Row {
        site: (!machine.is_multiple_of(8)).then(|| format!("site {}", machine % 8)),
        tag: format!("P-{}", machine % 100),
        asset_id: format!("m{machine}"),
        insulation: ["ground_wall", "phase_to_phase", "turn_to_turn"][number as usize % 3].into(),
        number: (!machine.is_multiple_of(5)).then(|| f64::from(number) * 0.1),
        text: (!machine.is_multiple_of(3)).then(|| format!("some text of a kind that stands often {}", machine % 50)),
    }
}

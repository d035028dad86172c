//! Whether a formula refers to other cells, by its parsed expression ([MS-XLS] 2.5.198, from memory).

/// Whether an expression of Excel 97 or later holds a reference to a cell or an area. One with a token that is not known refers to nothing
/// for all that is told.
pub(crate) fn refer_to_cells(expression: &[u8]) -> bool {
    let mut rest = expression;
    while let Some((token, operands)) = rest.split_first() {
        // Operands come in three classes, told by two bits.
        let kind = if *token >= 0x40 { (token & 0x1F) | 0x20 } else { *token };
        let length = match kind {
            // Shared and array formulas, references and areas, in this sheet or another.
            0x01 | 0x02 | 0x24 | 0x25 | 0x2C | 0x2D | 0x3A | 0x3B => return true,
            0x03..=0x16 => 0,
            0x17 => match operands {
                [length, flags, ..] => 2 + usize::from(*length) * if flags & 1 == 0 { 1 } else { 2 },
                _ => return false,
            },
            0x19 => match operands {
                [flags, low, high, ..] if flags & 0x04 != 0 => {
                    3 + (usize::from(u16::from_le_bytes([*low, *high])) + 1) * 2
                }
                _ => 3,
            },
            0x1C | 0x1D => 1,
            0x1E | 0x21 => 2,
            0x1F => 8,
            0x20 => 7,
            0x22 => 3,
            0x23 => 4,
            0x26..=0x28 => 6,
            0x29 => 2,
            _ => return false,
        };
        rest = operands.get(length..).unwrap_or_default();
    }
    false
}

#[cfg(test)]
mod tests {
    use super::refer_to_cells;

    /// Put together by hand: `=B2*2`, `=450*1000`, `="B2"`.
    #[test]
    fn a_reference_is_found_among_constants() {
        assert!(refer_to_cells(&[0x44, 1, 0, 1, 0xC0, 0x1E, 2, 0, 0x05]));
        assert!(refer_to_cells(&[0x1E, 2, 0, 0x5A, 0, 0, 1, 0, 1, 0, 0x05]));
        assert!(!refer_to_cells(&[0x1E, 0xC2, 1, 0x1E, 0xE8, 3, 0x05]));
        assert!(!refer_to_cells(&[0x17, 2, 0, b'B', b'2']));
        assert!(!refer_to_cells(&[0x17, 200, 1]));
    }
}

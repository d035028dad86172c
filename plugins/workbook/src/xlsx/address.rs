//! Addresses as worksheets write them: `C14`, `B2:D4`.

use windrow_source::Area;

/// Row and column of an address, zero-based; dollar signs are passed over.
pub(crate) fn place(text: &str) -> Option<(u32, u32)> {
    let (mut row, mut column) = (0_u32, 0_u32);
    for byte in text.bytes() {
        match byte {
            b'$' => {}
            b'0'..=b'9' => row = row.checked_mul(10)?.checked_add(u32::from(byte - b'0'))?,
            letter if letter.is_ascii_alphabetic() && row == 0 => {
                column = column.checked_mul(26)?.checked_add(u32::from(letter.to_ascii_uppercase() - b'A') + 1)?;
            }
            _ => return None,
        }
    }
    Some((row.checked_sub(1)?, column.checked_sub(1)?))
}

/// An area; a single address is an area of one cell.
pub(crate) fn area(text: &str) -> Option<Area> {
    let (first, last) = text.split_once(':').unwrap_or((text, text));
    let ((top, left), (bottom, right)) = (place(first)?, place(last)?);
    Some(Area { top: top.min(bottom), left: left.min(right), bottom: top.max(bottom), right: left.max(right) })
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn addresses_count_from_zero() {
        assert_eq!(place("A1"), Some((0, 0)));
        assert_eq!(place("$AB$12"), Some((11, 27)));
        assert_eq!(place("XFD1048576"), Some((1_048_575, 16_383)));
        for wrong in ["", "A", "7", "A0", "1A", "A-1", "Ä1", "A99999999999", "AAAAAAAAAAAA1"] {
            assert_eq!(place(wrong), None, "{wrong}");
        }
    }

    #[test]
    fn areas_are_turned_upright() {
        assert_eq!(area("D4:B2"), Some(Area { top: 1, left: 1, bottom: 3, right: 3 }));
        assert_eq!(area("B2"), Some(Area { top: 1, left: 1, bottom: 1, right: 1 }));
    }
}

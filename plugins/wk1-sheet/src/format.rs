//! Number formats: a byte a cell.

/// The format code of spreadsheets that a format byte stands for; `default` where the byte tells that of the worksheet. `None` for the
/// general format. The numbers are those of the published description of the format.
pub(crate) fn code(byte: u8, default: u8) -> Option<String> {
    let byte = if is_default(byte) { default } else { byte };
    let digits = usize::from(byte & 0x0F);
    let decimals = if digits > 0 { format!(".{}", "0".repeat(digits)) } else { String::new() };
    let special = match byte >> 4 & 0x07 {
        0 => return Some(format!("0{decimals}")),
        1 => return Some(format!("0{decimals}E+00")),
        // The sign of the currency stands in the settings of the program, not in the file.
        2 | 4 => return Some(format!("#,##0{decimals}")),
        3 => return Some(format!("0{decimals}%")),
        7 => digits,
        _ => return None,
    };
    let code = match special {
        2 => "dd-mmm-yy",
        3 => "dd-mmm",
        4 => "mmm-yy",
        6 => ";;;",
        7 => "hh:mm:ss AM/PM",
        8 => "hh:mm AM/PM",
        // The order of day and month in these two stands in the settings of the program; the number of the day is what counts.
        9 => "mm/dd/yy",
        10 => "mm/dd",
        11 => "hh:mm:ss",
        12 => "hh:mm",
        _ => return None,
    };
    Some(code.to_owned())
}

/// Whether a format byte tells that of the worksheet; its highest bit is for protection.
fn is_default(byte: u8) -> bool {
    byte & 0x7F == 0x7F
}

#[cfg(test)]
mod tests {
    use super::code;

    #[test]
    fn bytes_are_codes() {
        for (byte, expected) in [
            (0x02, Some("0.00")),
            (0x80, Some("0")),
            (0x11, Some("0.0E+00")),
            (0x31, Some("0.0%")),
            (0x41, Some("#,##0.0")),
            (0x71, None),
            (0xF2, Some("dd-mmm-yy")),
            (0x76, Some(";;;")),
            (0xFF, Some("0.0")),
        ] {
            assert_eq!(code(byte, 0x01).as_deref(), expected, "{byte:#x}");
        }
        assert_eq!(code(0xFF, 0xFF), None, "a default that is the default");
    }
}

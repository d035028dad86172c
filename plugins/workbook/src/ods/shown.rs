//! What the shown text of a number adds to it, where no style says so: the unit in `5.2 MΩ` beside the value 5.2.

/// A format code with the text around the number in `text`; `None` if there is none, or if the number shown is not `value` as
/// rounded: then who knows what the rest means.
pub(crate) fn code(text: &str, value: f64) -> Option<String> {
    let is_digit = |c: char| c.is_ascii_digit();
    let text = text.trim();
    let first = text.find(is_digit)?;
    let last = text.rfind(is_digit)? + 1;
    let (before, digits, after) = (text.get(..first)?, text.get(first..last)?, text.get(last..)?);
    let before = before.trim_end_matches(['-', '−', '+', '.', ',']);
    if before.trim().is_empty() && after.trim().is_empty() {
        return None;
    }
    let decimals = digits.rsplit(['.', ',']).next().filter(|tail| tail.len() < digits.len()).map_or(0, str::len);
    let shown: f64 = digits.replace(',', ".").parse().ok()?;
    let unit_of_last_place = 10_f64.powi(-i32::try_from(decimals).ok()?);
    if (shown - value.abs()).abs() > unit_of_last_place * 0.500_001 {
        return None;
    }
    let quoted = |text: &str| if text.is_empty() { String::new() } else { format!("\"{}\"", text.replace('"', "''")) };
    let places = if decimals == 0 { "0".to_owned() } else { format!("0.{}", "0".repeat(decimals)) };
    Some(format!("{}{places}{}", quoted(before), quoted(after)))
}

#[cfg(test)]
mod tests {
    use super::code;

    #[test]
    fn text_around_the_number_becomes_a_format() {
        assert_eq!(code("5.2 MΩ", 5.2).as_deref(), Some("0.0\" MΩ\""));
        assert_eq!(code("5,25 GΩ", 5.2479).as_deref(), Some("0.00\" GΩ\""));
        assert_eq!(code("-12 °C", -12.0).as_deref(), Some("0\" °C\""));
        assert_eq!(code("R 5", 5.0).as_deref(), Some("\"R \"0"));
    }

    #[test]
    fn nothing_is_made_of_a_plain_or_another_number() {
        for (text, value) in
            [("5.2", 5.2), ("", 5.2), ("7.5 %", 0.075), ("5.2 G", 5200.0), ("1.234,5 MΩ", 1234.5), ("n/a", 3.0)]
        {
            assert_eq!(code(text, value), None, "{text}");
        }
    }
}

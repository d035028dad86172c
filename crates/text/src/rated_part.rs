//! Voltages told as parts of the rated one: "0,2 Un", "60 % UN".

/// How the rated voltage is written for short, without blanks and signs. Common practice, no source.
const RATED: [&str; 8] = ["un", "ur", "unom", "unenn", "vn", "vr", "u0", "uo"];
/// Longest text that is such a part, in bytes.
const LONGEST: usize = 16;

/// Whether a text tells a voltage as a part of the rated one, and so no number of volts.
///
/// ```
/// use windrow_text::rated_part::is_rated_part;
/// assert!(is_rated_part("0,2 Un") && is_rated_part("1.0 x UN") && is_rated_part("60 % U_N") && is_rated_part("0.4·Ur"));
/// assert!(!is_rated_part("0,2 kV") && !is_rated_part("2 un") && !is_rated_part("Un") && !is_rated_part("11 U"));
/// ```
#[must_use]
pub fn is_rated_part(text: &str) -> bool {
    let text = text.trim();
    let end = text.find(|c: char| !(c.is_ascii_digit() || matches!(c, '.' | ','))).unwrap_or(text.len());
    let (number, rest) = text.split_at(end);
    let Ok(number) = number.replace(',', ".").parse::<f64>() else { return false };
    let is_sign = |c: char| c.is_whitespace() || matches!(c, '%' | 'x' | '×' | '·' | '*' | '_');
    let name: String = rest.to_lowercase().chars().filter(|c| !is_sign(*c)).collect();
    let is_written = rest.contains(['U', 'V']);
    text.len() <= LONGEST && number > 0.0 && is_written && RATED.contains(&name.as_str())
}

//! How right a text looks: units, degrees, months and words speak for a decoding, odd neighbours against it.

use std::collections::BTreeSet;

/// Accented words of test records, one a line, lower case: German, French, Spanish, Portuguese, Swedish, Polish.
const WORDS: &str = include_str!("words.txt");
/// Distinct words looked at.
const SAMPLE_WORDS: usize = 4_000;
/// Bytes of one word looked at.
const WORD_BYTES: usize = 64;

/// The distinct words of `bytes` that are not plain ASCII, one a line. Each counts once: a word that stands in every row is one
/// piece of evidence.
pub(super) fn sample(bytes: &[u8]) -> Vec<u8> {
    let mut words = BTreeSet::new();
    // No trailing byte of Shift-JIS is among the marks split at.
    for word in bytes.split(|byte| byte.is_ascii_whitespace() || matches!(byte, b',' | b';' | b'"')) {
        if !word.is_ascii() && words.len() < SAMPLE_WORDS {
            words.insert(word.get(..WORD_BYTES).unwrap_or(word));
        }
    }
    words.into_iter().collect::<Vec<_>>().join(&b'\n')
}

/// Points for the decoded words of a [`sample`].
pub(super) fn score(text: &str) -> f64 {
    let known: BTreeSet<&str> = WORDS.lines().collect();
    text.lines().map(|word| word_points(word, &known)).sum()
}

fn word_points(word: &str, known: &BTreeSet<&str>) -> f64 {
    let letters: Vec<char> = word.chars().collect();
    let each: f64 = (0..letters.len()).map(|at| char_points(&Neighbours::at(&letters, at))).sum();
    let is_known = word
        .split(|c: char| !c.is_alphabetic())
        .any(|part| !part.is_ascii() && known.contains(part.to_lowercase().as_str()));
    each + if is_known { 4.0 } else { 0.0 }
}

/// A character and those beside it; a blank at the ends of the word.
struct Neighbours {
    before: char,
    here: char,
    after: char,
}

impl Neighbours {
    fn at(letters: &[char], at: usize) -> Self {
        let get = |index: Option<usize>| index.and_then(|i| letters.get(i)).copied().unwrap_or(' ');
        Self { before: get(at.checked_sub(1)), here: get(Some(at)), after: get(at.checked_add(1)) }
    }

    fn in_word(&self) -> bool {
        self.before.is_alphabetic() && self.after.is_alphabetic()
    }

    fn beside_letter(&self) -> bool {
        self.before.is_alphabetic() || self.after.is_alphabetic()
    }

    fn beside_digit(&self) -> bool {
        self.before.is_ascii_digit() || self.after.is_ascii_digit()
    }
}

fn char_points(n: &Neighbours) -> f64 {
    match n.here {
        c if c.is_ascii() => 0.0,
        '\u{FFFD}' | '\u{80}'..='\u{9F}' | '\u{E000}'..='\u{F8FF}' => -5.0,
        'Ω' | '\u{2126}' => ohm(n),
        'µ' | 'μ' => micro(n),
        '°' | 'º' | '℃' | '℉' => degree(n),
        '±' | '≥' | '≤' | '≈' => {
            // A relation stands before its number or between two: "525≤" relates to nothing.
            if n.beside_letter() || n.before.is_ascii_digit() && !n.after.is_ascii_digit() { -2.0 } else { 2.0 }
        }
        '∞' => {
            if n.beside_letter() {
                -2.0
            } else {
                1.5
            }
        }
        // "mm²", and the sign of a footnote behind a value: "525²".
        '²' | '³' | '¹' => {
            if n.before.is_alphanumeric() && !n.after.is_alphanumeric() {
                1.0
            } else {
                -2.0
            }
        }
        'δ' | 'α' | 'θ' | 'Δ' | 'Σ' | 'φ' => {
            if n.beside_letter() {
                -2.0
            } else {
                1.0
            }
        }
        '½' | '¼' | '¾' | '×' => {
            if n.beside_letter() {
                -2.0
            } else {
                0.5
            }
        }
        '’' | '‘' | '´' => {
            if n.in_word() {
                1.0
            } else {
                0.2
            }
        }
        '–' | '—' | '“' | '”' | '„' | '…' | '•' | '€' | '«' | '»' | '§' | '\u{A0}' => {
            if n.in_word() { -2.0 } else { 0.5 }
        }
        '─'..='▟' => line_drawing(n),
        c if is_east_asian(c) => {
            if is_east_asian(n.before) || is_east_asian(n.after) {
                0.6
            } else {
                -2.0
            }
        }
        '\u{FF61}'..='\u{FF9F}' => -1.0,
        c if c.is_alphabetic() => letter(n),
        _ => {
            if n.in_word() {
                -3.0
            } else {
                -1.0
            }
        }
    }
}

fn ohm(n: &Neighbours) -> f64 {
    let prefixed = matches!(n.before, 'k' | 'K' | 'M' | 'G' | 'T' | 'm' | 'µ' | 'μ');
    let ends = !n.after.is_alphabetic() || matches!(n.after, 'm' | 'c');
    match (prefixed, n.before.is_alphabetic()) {
        (true, _) if ends => 4.0,
        (false, false) if ends => 2.0,
        _ => -3.0,
    }
}

fn micro(n: &Neighbours) -> f64 {
    match n.after {
        'A' | 'V' | 'F' | 'S' | 's' | 'm' | 'W' | 'J' | 'C' | 'H' | 'g' | 'Ω' if !n.before.is_alphabetic() => 3.0,
        c if c.is_alphabetic() || n.before.is_alphabetic() => -2.0,
        _ => 0.5,
    }
}

fn degree(n: &Neighbours) -> f64 {
    let of_number = matches!(n.before, 'n' | 'N');
    match n.after {
        'C' | 'F' | 'K' if !n.before.is_alphabetic() => 3.0,
        c if !c.is_alphabetic() && (of_number || !n.before.is_alphabetic()) => 1.0,
        _ => -2.0,
    }
}

/// Frames of DOS print-outs: `─` in a row, `│` alone; seldom glued to a word.
fn line_drawing(n: &Neighbours) -> f64 {
    // A frame keeps clear of what it frames, but for a rule that stands on both sides of it ("│12│").
    let touches_digit = n.before.is_ascii_digit() != n.after.is_ascii_digit() && !matches!(n.here, '│' | '║');
    if n.beside_letter() || touches_digit {
        -2.0
    } else if n.before == n.here || n.after == n.here {
        0.5
    } else {
        0.3
    }
}

fn letter(n: &Neighbours) -> f64 {
    if n.beside_digit() || (n.before == n.here && n.after == n.here) {
        return -3.0;
    }
    if n.here.is_uppercase() && n.before.is_lowercase() {
        return -3.0;
    }
    let among_capitals = n.before.is_uppercase() && n.after.is_uppercase();
    if n.here.is_lowercase() && among_capitals && n.here != 'ß' {
        return -1.5;
    }
    match n.here {
        'à' | 'á' if !n.beside_letter() => 0.5,
        _ if !n.beside_letter() => -1.0,
        'ä' | 'ö' | 'ü' | 'ß' | 'Ä' | 'Ö' | 'Ü' | 'é' | 'è' | 'ê' | 'à' | 'ç' | 'ñ' | 'í' | 'ó' | 'ú' | 'á' | 'î'
        | 'ô' | 'â' | 'û' | 'ù' | 'É' | 'È' | 'À' | 'Ç' | 'Ñ' | 'Ó' | 'Í' | 'Á' | 'Ú' | 'å' | 'ø' | 'æ' | 'Å' | 'Ø'
        | 'ã' | 'õ' | 'œ' | 'ï' | 'ë' => 1.0,
        'ą' | 'ć' | 'ę' | 'ł' | 'ń' | 'ś' | 'ź' | 'ż' | 'č' | 'ď' | 'ě' | 'ň' | 'ř' | 'š' | 'ť' | 'ů' | 'ž' | 'ő'
        | 'ű' | 'Ł' | 'Ś' | 'Ż' | 'Č' | 'Š' | 'Ž' => 0.6,
        c if c.is_alphabetic() && (c as u32) < 0x250 => -0.5,
        _ => -2.0,
    }
}

fn is_east_asian(c: char) -> bool {
    matches!(c, '\u{3000}'..='\u{30FF}' | '\u{4E00}'..='\u{9FFF}')
}

//! What answers of a server mean, and how long to wait before asking again.

use jiff::Timestamp;
use jiff::fmt::rfc2822::DateTimeParser;

/// Longest time that is waited within a run; longer ones are kept for the next.
pub(super) const PATIENCE_S: i64 = 60;
/// Longest pause between two attempts, milliseconds, where the server names none.
const LONGEST_PAUSE_MS: u64 = 30_000;

/// What follows from a status code (RFC 9110, and the Standard Webhooks specification for 410).
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Meaning {
    Taken,
    /// This content will never be taken.
    Refused,
    /// Try again.
    Again,
    /// Address, rights or certificates are wrong: a person must look.
    Setup,
    /// The receiver wants nothing more.
    Gone,
}

pub(super) fn meaning(status: u16) -> Meaning {
    match status {
        200..=299 => Meaning::Taken,
        410 => Meaning::Gone,
        408 | 425 | 429 | 500..=599 => Meaning::Again,
        // Redirections are not followed: events go where the settings say, nowhere else.
        300..=399 | 401 | 403..=405 | 407 => Meaning::Setup,
        _ => Meaning::Refused,
    }
}

/// Seconds of a header `Retry-After`: a number, or a date.
pub(super) fn retry_after(header: &str, now: Timestamp) -> Option<i64> {
    let header = header.trim();
    if let Ok(seconds) = header.parse::<i64>() {
        return (seconds >= 0).then_some(seconds);
    }
    let at = DateTimeParser::new().parse_timestamp(header).ok()?;
    Some((at.as_second() - now.as_second()).max(0))
}

/// Milliseconds before attempt number `attempt` + 1: doubled each time, and drawn evenly below that (full jitter), so that many senders
/// do not come back at once. `chance` is evenly drawn.
pub(super) fn pause_ms(first: u64, attempt: u32, chance: u64) -> u64 {
    let longest = first.saturating_mul(1_u64.checked_shl(attempt).unwrap_or(u64::MAX)).min(LONGEST_PAUSE_MS);
    chance % longest.saturating_add(1)
}

/// A part of what a server said that does no harm to a terminal or a log.
pub(super) fn shown(text: &str) -> String {
    const MOST: usize = 200;
    let plain = text.chars().map(|letter| if letter.is_control() { ' ' } else { letter });
    plain.take(MOST).collect::<String>().trim().to_owned()
}

#[cfg(test)]
mod tests {
    use super::{Meaning, meaning, pause_ms, retry_after, shown};
    use jiff::Timestamp;

    #[test]
    fn a_time_to_wait_is_a_number_or_a_date() {
        // The example of RFC 9110, section 10.2.3.
        let now: Timestamp = "1999-12-31T23:59:00Z".parse().unwrap();
        assert_eq!(retry_after("Fri, 31 Dec 1999 23:59:59 GMT", now), Some(59));
        assert_eq!(retry_after("120", now), Some(120));
        assert_eq!(retry_after("Thu, 30 Dec 1999 23:59:59 GMT", now), Some(0));
        assert_eq!(retry_after("-5", now), None);
        assert_eq!(retry_after("soon", now), None);
    }

    #[test]
    fn pauses_double_and_end_somewhere() {
        // What is drawn is taken up to the longest pause of the attempt, and begins anew behind it.
        let is_longest = |attempt: u32, longest: u64| {
            [longest, longest + 1].map(|chance| pause_ms(500, attempt, chance)) == [longest, 0]
        };
        for (attempt, longest) in (0..).zip([500, 1000, 2000, 4000, 8000, 16_000]) {
            assert!(is_longest(attempt, longest), "{attempt}");
        }
        assert!((6..200).all(|attempt| is_longest(attempt, 30_000)));
        assert_eq!(pause_ms(0, 9, 77), 0);
    }

    #[test]
    fn only_content_that_is_refused_is_set_aside() {
        assert_eq!([400, 409, 413, 422].map(meaning), [Meaning::Refused; 4]);
        assert_eq!([408, 429, 500, 503].map(meaning), [Meaning::Again; 4]);
        assert_eq!([301, 401, 403, 404].map(meaning), [Meaning::Setup; 4]);
        assert_eq!((meaning(204), meaning(410)), (Meaning::Taken, Meaning::Gone));
    }

    #[test]
    fn a_server_cannot_write_to_the_terminal() {
        assert_eq!(shown("\u{1b}[31mred\r\nline"), "[31mred  line");
    }
}

//! Times of day, and what looks like them.

/// A text such as `10:30` or `0:01:30`, whose meaning (time of day, minutes and seconds, hours and minutes) the neighbours
/// decide.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Clock {
    /// Number before the first colon.
    pub first: u32,
    /// Number before or after the second colon.
    pub second: u32,
    /// Number after the second colon, with its decimals; `None` if there is none.
    pub third: Option<f64>,
    /// 12 was added or not by `a.m.`/`p.m.`; `None` if neither stands.
    pub afternoon: Option<bool>,
}

impl Clock {
    /// Seconds if this is a time of day or a duration with hours.
    #[must_use]
    pub fn as_hours_s(self) -> f64 {
        let shift = match self.afternoon {
            Some(true) if self.first < 12 => 12,
            Some(false) if self.first == 12 => -12,
            _ => 0,
        };
        (f64::from(self.first) + f64::from(shift)) * 3600.0 + f64::from(self.second) * 60.0 + self.third.unwrap_or(0.0)
    }

    /// Seconds if the first number is minutes; `None` if three numbers or a.m./p.m. stand.
    #[must_use]
    pub fn as_minutes_s(self) -> Option<f64> {
        (self.third.is_none() && self.afternoon.is_none())
            .then(|| f64::from(self.first) * 60.0 + f64::from(self.second))
    }
}

/// Reads all of `text` as numbers with colons (`10:30`, `1:00`, `00:10:00`, `2:30 pm`, `14h30`).
#[must_use]
pub fn clock(text: &str) -> Option<Clock> {
    let text = text.trim();
    if text.len() > 16 || !text.starts_with(|c: char| c.is_ascii_digit()) {
        return None;
    }
    let (body, afternoon) = half_of_day(text);
    let mut numbers = body.trim_end_matches(" h").trim_end_matches(" Uhr").split([':', 'h']);
    let (first, second, third) = (numbers.next()?, numbers.next()?, numbers.next());
    let both = two_digits(first).zip(two_digits(second).filter(|minutes| *minutes < 60 && second.len() == 2));
    let (first, second) = both?;
    let third = match third {
        Some(seconds) if seconds.starts_with(|c: char| c.is_ascii_digit()) => {
            Some(seconds.replace(',', ".").parse::<f64>().ok().filter(|s| *s < 60.0)?)
        }
        Some(_) => return None,
        None => None,
    };
    numbers.next().is_none().then_some(Clock { first, second, third, afternoon })
}

fn half_of_day(text: &str) -> (&str, Option<bool>) {
    for (ending, afternoon) in
        [("am", false), ("pm", true), ("AM", false), ("PM", true), ("a.m.", false), ("p.m.", true)]
    {
        if let Some(body) = text.strip_suffix(ending) {
            return (body.trim_end(), Some(afternoon));
        }
    }
    (text, None)
}

fn two_digits(text: &str) -> Option<u32> {
    if (1..=2).contains(&text.len()) && text.bytes().all(|b| b.is_ascii_digit()) { text.parse().ok() } else { None }
}

/// A date without the time of day that stands before or after it.
pub(super) fn without_time(text: &str) -> &str {
    if let Some(colon) = text.find(':') {
        return without_colon_time(text, colon);
    }
    match text.rsplit_once(' ') {
        Some((date, last)) if is_hour(last) => date.trim_end_matches([' ', ',']),
        _ => text,
    }
}

fn without_colon_time(text: &str, colon: usize) -> &str {
    let (front, tail) = text.split_at_checked(colon).unwrap_or((text, ""));
    let date = front.trim_end_matches(|c: char| c.is_ascii_digit());
    let hour = front.len() - date.len();
    let rest_is_time = tail.chars().all(|c| {
        c.is_ascii_digit() || matches!(c, ':' | '.' | ',' | '+' | '-' | ' ' | 'Z' | 'z') || "amphAMPHuUr".contains(c)
    });
    if (1..=2).contains(&hour) && rest_is_time && date.ends_with([' ', 'T', 't', ',', '_']) {
        return date.trim_end_matches([' ', 'T', 't', ',', '_']);
    }
    // The time may stand first: "10:30 14/3/87".
    match text.split_once(' ') {
        Some((first, date)) if clock(first).is_some() => date.trim_start(),
        _ => text,
    }
}

/// `14h30`, `10h`, `2pm`, `1030hrs`.
fn is_hour(text: &str) -> bool {
    let digits = text.bytes().take_while(u8::is_ascii_digit).count();
    let ending = text.get(digits..).unwrap_or_default();
    match digits {
        1 | 2 => {
            matches!(ending, "h" | "am" | "pm" | "AM" | "PM")
                || (ending.starts_with('h') && two_digits(ending.get(1..).unwrap_or_default()).is_some())
        }
        4 => matches!(ending, "h" | "hrs" | "hr" | "H"),
        _ => false,
    }
}

#[cfg(test)]
mod tests {
    use super::{clock, without_time};

    #[test]
    fn reads_clock_times() {
        for (text, hours_s, minutes_s) in [
            ("1:00", 3600.0, Some(60.0)),
            ("10:00", 36000.0, Some(600.0)),
            ("00:10:00", 600.0, None),
            ("0:30", 1800.0, Some(30.0)),
            ("2:30 pm", 52200.0, None),
            ("12:05 AM", 300.0, None),
            ("14h30", 52200.0, Some(870.0)),
            ("0:01:30,5", 90.5, None),
        ] {
            let found = clock(text).map(|clock| (clock.as_hours_s(), clock.as_minutes_s()));
            assert_eq!(found, Some((hours_s, minutes_s)), "{text:?}");
        }
        for text in
            ["", "10", "10:3", "10:75", "a:30", "10:30:", "1:2:3:4", "10:30:75", "P:10", ":", "::", "14h", "2000:10"]
        {
            assert_eq!(clock(text), None, "{text:?}");
        }
    }

    #[test]
    fn drops_the_time_of_day() {
        for (text, date) in [
            ("1987-03-14T10:22:05Z", "1987-03-14"),
            ("1987-03-14T10:22:05.123+01:00", "1987-03-14"),
            ("14/3/87 10:30", "14/3/87"),
            ("3/14/87 10:30:00 PM", "3/14/87"),
            ("14.3.1987, 10:30 Uhr", "14.3.1987"),
            ("14/03/1987 14h30", "14/03/1987"),
            ("14 Mar 87 1030hrs", "14 Mar 87"),
            ("10:30 14/3/87", "14/3/87"),
            ("14 Mar 87", "14 Mar 87"),
            ("Date: 14", "Date: 14"),
        ] {
            assert_eq!(without_time(text), date, "{text:?}");
        }
    }
}

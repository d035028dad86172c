//! A plan as a calendar of RFC 5545: one all-day event a test.

use jiff::civil::Date;
use windrow_analyze::plan::{DueTest, Standing};
use windrow_model::id::row_id;

/// Most octets of a line before it is folded (RFC 5545 section 3.1).
const LONGEST: usize = 75;

/// The calendar of `plan` as made on the day `on`. Same plan, same bytes: the stamp is the day of the plan, not the clock.
pub(crate) fn write(plan: &[DueTest], on: Date) -> String {
    let mut out = String::new();
    for text in
        ["BEGIN:VCALENDAR", "VERSION:2.0", "PRODID:-//Windrow//Plan of insulation tests//EN", "CALSCALE:GREGORIAN"]
    {
        line(&mut out, text);
    }
    for test in plan {
        event(&mut out, test, on);
    }
    line(&mut out, "END:VCALENDAR");
    out
}

fn event(out: &mut String, test: &DueTest, on: Date) {
    // What is overdue or was never tested stands on the day of the plan: nobody looks for work in the past.
    let day = test.due_on.max(on);
    let id = row_id("plan", &[&test.asset.asset_id, test.facts.kind()]);
    let place = test.asset.site.as_deref().map(|site| format!(", {site}")).unwrap_or_default();
    let standing = if test.standing == Standing::Due { String::new() } else { format!(" ({})", test.standing.words()) };
    line(out, "BEGIN:VEVENT");
    line(out, &format!("UID:{id}@windrow"));
    line(out, &format!("DTSTAMP:{}T000000Z", basic(on)));
    line(out, &format!("DTSTART;VALUE=DATE:{}", basic(day)));
    line(out, &format!("SUMMARY:{}", text(&format!("{}{place}: {}{standing}", test.asset.tag, test.facts.title))));
    line(out, &format!("DESCRIPTION:{}", text(&description(test))));
    line(out, "TRANSP:TRANSPARENT");
    line(out, "END:VEVENT");
}

fn description(test: &DueTest) -> String {
    let last = test.last_on.map_or_else(|| "never recorded".to_owned(), |date| date.to_string());
    format!(
        "Last: {last}. Interval: {} months.\nBefore: {}.\nAsks: {}.\nCannot see: {}.\nCautions: {}. {}",
        test.months,
        test.facts.before,
        test.asks.join("; "),
        test.facts.cannot_see,
        test.caution,
        windrow_criteria::cautions::GENERAL[0]
    )
}

/// A date in the basic form of ISO 8601.
fn basic(date: Date) -> String {
    format!("{:04}{:02}{:02}", date.year(), date.month(), date.day())
}

/// Escapes of the value type TEXT (RFC 5545 section 3.3.11).
fn text(text: &str) -> String {
    text.replace('\\', "\\\\").replace(';', "\\;").replace(',', "\\,").replace("\r\n", "\\n").replace('\n', "\\n")
}

/// A content line, folded after at most 75 octets, never within a character (RFC 5545 section 3.1).
fn line(out: &mut String, text: &str) {
    let mut used = 0;
    for letter in text.chars() {
        if used + letter.len_utf8() > LONGEST {
            out.push_str("\r\n ");
            used = 1;
        }
        out.push(letter);
        used += letter.len_utf8();
    }
    out.push_str("\r\n");
}

#[cfg(test)]
mod tests {
    use super::{LONGEST, line, text};

    /// RFC 5545 section 3.3.11: the example of the value type TEXT.
    #[test]
    fn text_is_escaped_as_in_the_example_of_the_standard() {
        let told = text("Project XYZ Final Review\nConference Room - 3B\nCome Prepared.");
        assert_eq!(told, "Project XYZ Final Review\\nConference Room - 3B\\nCome Prepared.");
        assert_eq!(text("a,b;c\\d"), "a\\,b\\;c\\\\d");
    }

    /// RFC 5545 section 3.1: no line is longer than 75 octets, a fold is a line break and one blank, and unfolding gives the text.
    #[test]
    fn long_lines_are_folded_between_characters() {
        let long = format!("DESCRIPTION:{}", "5 MΩ µA – ".repeat(40));
        let mut out = String::new();
        line(&mut out, &long);
        assert!(out.ends_with("\r\n") && out.split("\r\n").all(|line| line.len() <= LONGEST));
        assert_eq!(out.replace("\r\n ", "").trim_end_matches("\r\n"), long);
    }
}

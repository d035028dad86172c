//! The bid for a source.

use windrow_source::{Probe, Verdict, encoding};

/// Elements that an HTML file, or a piece of one, may begin with.
const FIRST: [&str; 16] = [
    "html", "head", "body", "table", "meta", "title", "style", "div", "center", "font", "p", "h1", "h2", "h3", "span",
    "link",
];

/// Bids for text whose first element is one of HTML and which has a table.
pub(crate) fn claim(probe: &Probe<'_>) -> Verdict {
    let decoded = encoding::decode(probe.head);
    if !encoding::looks_like_text(&decoded.text) {
        return Verdict::refuse("it is not text");
    }
    let Some(first) = first_element(&decoded.text) else { return Verdict::refuse("it does not begin with an element") };
    if !FIRST.contains(&first.as_str()) {
        return Verdict::refuse(format!("it begins with <{first}>, which is none of HTML"));
    }
    if decoded.text.to_ascii_lowercase().contains("<table") {
        Verdict::new(0.9, format!("HTML that begins with <{first}> and has a table"))
    } else if probe.len > probe.head.len() {
        Verdict::new(0.3, format!("HTML that begins with <{first}>; a table may follow"))
    } else {
        Verdict::refuse("HTML without a table")
    }
}

/// Name of the first element, in lower case, after declarations and comments.
fn first_element(text: &str) -> Option<String> {
    let mut rest = text.trim_start_matches(|c: char| c.is_whitespace() || c == '\u{FEFF}');
    while rest.starts_with("<!") || rest.starts_with("<?") {
        let end = if rest.starts_with("<!--") { "-->" } else { ">" };
        let (_, after) = rest.split_once(end)?;
        rest = after.trim_start();
    }
    let name = rest.strip_prefix('<')?;
    let end = name.find(|c: char| !c.is_ascii_alphanumeric()).unwrap_or(name.len());
    name.get(..end).filter(|name| !name.is_empty()).map(str::to_ascii_lowercase)
}

//! What a query string or a form tells, without ever failing: a name may be missing or stand several times.

use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, PercentEncode, utf8_percent_encode};

/// Names and values, in order.
#[derive(Debug, Clone, Default)]
pub(crate) struct Params(Vec<(String, String)>);

impl Params {
    /// Reads `application/x-www-form-urlencoded` text.
    pub(crate) fn read(encoded: &[u8]) -> Self {
        Self(form_urlencoded::parse(encoded).into_owned().collect())
    }

    /// Names and values as they are.
    pub(crate) const fn of(pairs: Vec<(String, String)>) -> Self {
        Self(pairs)
    }

    /// The first value of `name` that is not blank, without blanks around it.
    pub(crate) fn get(&self, name: &str) -> Option<&str> {
        self.all(name).map(str::trim).find(|value| !value.is_empty())
    }

    /// The first value of `name`, as it stands; empty without one.
    pub(crate) fn raw(&self, name: &str) -> &str {
        self.all(name).next().unwrap_or_default()
    }

    /// The first value of `name` with its blanks, for names of files and sheets; `None` where it is empty or missing.
    pub(crate) fn exact(&self, name: &str) -> Option<&str> {
        Some(self.raw(name)).filter(|value| !value.is_empty())
    }

    /// Every name, in order.
    pub(crate) fn names(&self) -> impl Iterator<Item = &str> {
        self.0.iter().map(|(name, _)| name.as_str())
    }

    /// Every value of `name`.
    pub(crate) fn all<'p>(&'p self, name: &str) -> impl Iterator<Item = &'p str> {
        self.0.iter().filter(move |(key, _)| key == name).map(|(_, value)| value.as_str())
    }

    /// A whole number; `None` where it is none.
    pub(crate) fn number(&self, name: &str) -> Option<usize> {
        self.get(name)?.parse().ok()
    }

    /// The same with `name` set to `value`, as a query string; an empty value takes it out.
    pub(crate) fn with(&self, changes: &[(&str, &str)]) -> String {
        let kept =
            self.0.iter().filter(|(key, value)| !value.is_empty() && changes.iter().all(|(name, _)| name != key));
        let changed = changes.iter().filter(|(_, value)| !value.is_empty());
        let pairs = kept.map(|(key, value)| (key.as_str(), value.as_str())).chain(changed.copied());
        link("", &pairs.collect::<Vec<_>>())
    }
}

/// `path` with a query string; values that are empty are left out.
pub(crate) fn link(path: &str, pairs: &[(&str, &str)]) -> String {
    let mut query = form_urlencoded::Serializer::new(String::new());
    for (name, value) in pairs.iter().filter(|(_, value)| !value.is_empty()) {
        query.append_pair(name, value);
    }
    format!("{path}?{}", query.finish())
}

/// What a segment of a path keeps as it is: the unreserved characters of RFC 3986, section 2.3.
const UNRESERVED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'-').remove(b'_').remove(b'.').remove(b'~');

/// One segment of a path, encoded.
pub(crate) fn segment(text: &str) -> PercentEncode<'_> {
    utf8_percent_encode(text, UNRESERVED)
}

#[cfg(test)]
mod tests {
    use super::{Params, segment};

    #[test]
    fn names_may_be_missing_or_repeated() {
        let params = Params::read(b"a=1&a=2&b=+&c=%CE%A9&d");
        assert_eq!((params.get("a"), params.get("b"), params.get("c")), (Some("1"), None, Some("Ω")));
        assert_eq!(params.all("a").collect::<Vec<_>>(), ["1", "2"]);
        assert_eq!(params.number("c"), None);
        assert_eq!(params.with(&[("a", "x y"), ("c", "")]), "?b=+&a=x+y");
        assert_eq!(segment("a/b ?~").to_string(), "a%2Fb%20%3F~");
    }
}

//! What a mention tells of who it is.

use crate::ruling::Named;
use windrow_model::Text;
use windrow_model::raw::{Mention, Told, Via};
use windrow_text::naming::{earlier, is_nobody};
use windrow_text::{fold, tag};

/// A position: folded site, if told, and folded tag.
pub(crate) type Position = (Option<String>, String);

/// Digits and length from which a serial number names a machine wherever it stands; shorter ones recur.
const SERIAL_LIKE: f32 = 0.2;

/// What decides who a mention is, folded.
#[derive(Debug, Clone, Default, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Keys {
    pub(crate) site: Option<String>,
    pub(crate) tag: Option<String>,
    pub(crate) serial: Option<String>,
    /// The tag as written, without what is told beside it.
    pub(crate) written: Option<String>,
    /// Earlier tags of the same position, as written.
    pub(crate) earlier: Vec<String>,
    /// What a person ruled the nameplate to tell, among machines that share the name.
    pub(crate) label: Option<String>,
}

impl Keys {
    pub(crate) fn of(mention: &Mention) -> Self {
        let told = |told: &Option<Told<Text>>| told.as_ref().map(|told| told.value.trim().to_owned());
        let mut keys = Self {
            site: mention.site.as_ref().and_then(|told| folded(&told.value)),
            serial: told(&mention.serial).and_then(|text| serial(&text)),
            ..Self::default()
        };
        match &mention.tag {
            Some(told) if told.via == Via::Decision => keys = Named::read(&told.value).keys(keys),
            Some(told) => keys.take_tag(&told.value),
            None => {}
        }
        keys.earlier.extend(mention.other_tags.iter().map(|told| told.value.to_string()));
        if let Some((_, old)) = mention.description.as_ref().and_then(|told| earlier(&told.value)) {
            keys.earlier.push(old.to_owned());
        }
        keys
    }

    fn take_tag(&mut self, text: &str) {
        let now = match earlier(text) {
            Some((now, old)) => {
                self.earlier.push(old.to_owned());
                if now.is_empty() { old } else { now }
            }
            None => text.trim(),
        };
        self.tag = Some(tag::fold(now)).filter(|tag| !tag.is_empty() && !is_nobody(now));
        self.written = self.tag.is_some().then(|| now.to_owned());
    }

    /// The position, if a tag is told.
    pub(crate) fn position(&self) -> Option<Position> {
        Some((self.site.clone(), self.tag.clone()?))
    }
}

pub(crate) fn folded(text: &str) -> Option<String> {
    Some(fold::fold(text)).filter(|text| !text.is_empty())
}

/// A serial number without separators, O read as 0 and I as 1; `None` if it is too short to name a machine.
pub(crate) fn serial(text: &str) -> Option<String> {
    let is_serial = tag::serial_likeness(text) >= SERIAL_LIKE && !is_nobody(text);
    is_serial.then(|| skeleton(&tag::fold(text)))
}

/// A folded text with the letters that are written for digits read as digits.
pub(crate) fn skeleton(text: &str) -> String {
    text.chars()
        .map(|c| match c {
            'O' => '0',
            'I' => '1',
            other => other,
        })
        .collect()
}

/// Whether `text` has an O or I between digits: a slip of the typist, for no tag is made so.
pub(crate) fn has_slip(text: &str) -> bool {
    let chars: Vec<char> = text.chars().collect();
    chars.windows(3).any(|three| matches!(three, [a, 'O' | 'I', b] if a.is_ascii_digit() && b.is_ascii_digit()))
}

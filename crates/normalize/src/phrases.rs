//! Which place told an attribute, in words. What a header tells, it tells of every reading below it: that is put into words once.

use std::collections::HashMap;
use std::fmt::{Display, Write as _};
use windrow_model::raw::{Told, Via};
use windrow_model::{Place, Text};

/// The words used so far in one source.
#[derive(Debug, Default)]
pub(crate) struct Phrases {
    known: HashMap<(String, Via, Option<Place>, Text), Text>,
}

impl Phrases {
    /// `shown`, and what told it.
    pub(crate) fn of<T>(&mut self, shown: &dyn Display, told: &Told<T>) -> Text {
        let shown = shown.to_string();
        // What a line tells, hardly more than that line needs.
        if matches!(told.via, Via::Cell | Via::Row) {
            return phrase(shown, told);
        }
        let key = (shown, told.via, told.place.clone(), told.text.clone());
        self.known.entry(key).or_insert_with_key(|(shown, ..)| phrase(shown.clone(), told)).clone()
    }
}

fn phrase<T>(mut shown: String, told: &Told<T>) -> Text {
    // Writing to a string cannot fail.
    let _ = match &told.place {
        Some(place) => write!(shown, ", told by {:?} ({}, {place})", told.text, told.via),
        None if told.via == Via::Assumed => write!(shown, ", assumed: {}", told.text),
        None => write!(shown, ", told by the {}: {:?}", told.via, told.text),
    };
    shown.into()
}

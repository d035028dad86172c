//! An event as CloudEvents 1.0 writes it (Cloud Native Computing Foundation, cloudevents/spec 1.0.2, JSON format).

use serde::Serialize;
use serde_json::{Map, Value, json};
use windrow_model::id::row_id;

windrow_model::coded_enum! {
    /// What happened.
    pub enum Kind {
        /// A machine is told for the first time.
        AssetAdded = "asset.added",
        /// Its nameplate, name or place is told otherwise.
        AssetChanged = "asset.changed",
        /// It turned out to be another machine, which goes on with its tests.
        AssetMerged = "asset.merged",
        /// The records no longer tell it.
        AssetWithdrawn = "asset.withdrawn",
        /// A test is told for the first time.
        TestRecorded = "test.recorded",
        /// It is read otherwise than it was told.
        TestCorrected = "test.corrected",
        /// The records no longer tell it, or it turned out to be a copy of another.
        TestWithdrawn = "test.withdrawn",
        /// A finding is open, for the first time or again.
        FindingOpened = "finding.opened",
        /// Its level, state or test changed.
        FindingChanged = "finding.changed",
        /// The records no longer show it.
        FindingCleared = "finding.cleared",
        /// A test comes due, or its day has passed.
        TestDue = "test.due",
    }
}

impl Kind {
    /// Name of the schema of its data, in `schema/events/`.
    #[must_use]
    pub const fn schema(self) -> &'static str {
        match self {
            Self::AssetAdded | Self::AssetChanged | Self::AssetMerged | Self::AssetWithdrawn => "asset",
            Self::TestRecorded | Self::TestCorrected | Self::TestWithdrawn => "test",
            Self::FindingOpened | Self::FindingChanged | Self::FindingCleared => "finding",
            Self::TestDue => "due",
        }
    }
}

/// Order of events about nothing that is known to belong to a machine.
pub(crate) const NO_ASSET: &str = "unassigned";

/// An event before it has its place in the sequence of its machine.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Draft {
    pub(crate) kind: Kind,
    /// The machine in whose sequence it stands.
    pub(crate) asset: String,
    /// What it is about: `findings/ID`.
    pub(crate) subject: String,
    /// Hash of what is told.
    pub(crate) digest: String,
    pub(crate) data: Value,
}

/// A CloudEvent.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Event {
    specversion: &'static str,
    /// The same for the same content at the same place of the sequence, whoever derives it.
    pub id: String,
    source: String,
    #[serde(rename = "type")]
    kind: String,
    subject: String,
    time: String,
    datacontenttype: &'static str,
    dataschema: String,
    /// Place in the sequence of the machine, from 1, with leading zeros so that it sorts as text.
    sequence: String,
    /// The machine.
    partitionkey: String,
    data: Value,
}

impl Event {
    /// `draft` as number `sequence` of its machine, from the fleet `source`, as of `time`.
    pub(crate) fn of(draft: Draft, sequence: i64, source: &str, time: &str) -> Self {
        let number = sequence.to_string();
        let id = row_id("events", &[source, &draft.asset, &number, draft.kind.code(), &draft.subject, &draft.digest]);
        Self {
            specversion: "1.0",
            id: id.to_string(),
            source: source.to_owned(),
            kind: format!("windrow.{}", draft.kind),
            subject: draft.subject,
            time: time.to_owned(),
            datacontenttype: "application/json",
            dataschema: format!("urn:windrow:schema:event:{}:1", draft.kind.schema()),
            sequence: format!("{sequence:010}"),
            partitionkey: draft.asset,
            data: draft.data,
        }
    }
}

/// `row` as a JSON object without the fields in `without`.
pub(crate) fn object(row: &impl Serialize, without: &[&str]) -> Map<String, Value> {
    let mut fields = match serde_json::to_value(row) {
        Ok(Value::Object(fields)) => fields,
        // Rows are structures.
        Ok(other) => Map::from_iter([("value".to_owned(), other)]),
        Err(_) => Map::new(),
    };
    for name in without {
        fields.remove(*name);
    }
    fields
}

/// The command that shows what a finding rests on.
pub(crate) fn explain(id: &str, fleet: &str) -> Value {
    let short: String = id.chars().take(8).collect();
    json!(format!("windrow explain {short} --fleet {fleet}"))
}

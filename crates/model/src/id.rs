//! Row ids: `UUIDv5` over natural keys, so that the same input gives the same ids on every machine and in every order.

use crate::{Text, ToText};
use uuid::Uuid;

/// Namespace of all Windrow ids (a fixed random UUID; changing it is a schema break).
const NAMESPACE: Uuid = Uuid::from_u128(0x6d1f_0c52_9a7e_4f0b_8e35_27c9_b1d4_70aa);

/// Id of the row of `table` whose natural key is `parts`, in order.
///
/// Parts are joined by a control character that no source text contains, so `["a", "bc"]` and `["ab", "c"]` differ.
#[must_use]
pub fn row_id(table: &str, parts: &[&str]) -> Text {
    let mut key = String::from(table);
    for part in parts {
        key.push('\u{1f}');
        key.push_str(part);
    }
    Uuid::new_v5(&NAMESPACE, key.as_bytes()).to_smolstr()
}

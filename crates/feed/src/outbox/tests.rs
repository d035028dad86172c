//! A disk that is full.

use super::Outbox;
use crate::error::Error;
use crate::event::{Draft, Kind};
use serde_json::json;

#[test]
fn what_does_not_fit_on_the_disk_is_an_error_and_nothing_of_it_is_there() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("outbox.sqlite");
    let mut outbox = Outbox::open(&path).unwrap();
    let pages: i64 = outbox.database.query_row("PRAGMA page_count", [], |row| row.get(0)).unwrap();
    // SQLite says the same (SQLITE_FULL) when the disk has no room for another page.
    outbox.database.pragma_update(None, "max_page_count", pages + 20).unwrap();
    let mut fill = |count: usize| {
        outbox.change(|ledger| {
            (0..count).try_for_each(|number| {
                let (asset, subject) = ("M".to_owned(), format!("tests/{number}"));
                let data = json!({ "text": "x".repeat(1000) });
                ledger.add(
                    Draft { kind: Kind::TestRecorded, asset, subject, digest: String::new(), data },
                    "urn:x",
                    "2026-11-29",
                )
            })
        })
    };
    fill(5).unwrap();
    let error = fill(200).unwrap_err();
    assert!(matches!(&error, Error::Outbox { .. }), "{error:?}");
    assert!(error.to_string().contains("outbox.sqlite") && error.to_string().contains("nothing is lost"), "{error}");
    assert!(std::error::Error::source(&error).unwrap().to_string().contains("full"), "{error:?}");
    drop(outbox);
    let outbox = Outbox::open(&path).unwrap();
    assert_eq!(outbox.after(0, None, 1000).unwrap().len(), 5, "whole or not at all");
}

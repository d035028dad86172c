//! What `keep_days` drops, who is told, and sinks that are forgotten.

use super::server::{Mood, Server};
use super::{DRIED, GOOD, LOW, LOWER, configure, events, feed, keep, kinds};
use crate::{folder, on};
use rusqlite::Connection;
use std::fs;
use std::path::Path;

/// As if the events told so far were of an import of long ago, and every sink had been fed then.
fn years_pass(fleet: &Path) {
    let outbox = Connection::open(fleet.join("feed/outbox.sqlite")).unwrap();
    outbox.execute("UPDATE events SET body = json_set(body, '$.time', '2020-01-01T00:00:00Z')", []).unwrap();
    outbox.execute("UPDATE feeds SET day = '2020-01-02'", []).unwrap();
}

fn count(fleet: &Path) -> i64 {
    let outbox = Connection::open(fleet.join("feed/outbox.sqlite")).unwrap();
    outbox.query_row("SELECT count(*) FROM events", [], |row| row.get(0)).unwrap()
}

#[test]
fn a_folder_fed_once_holds_nothing_back_for_ever_and_who_comes_later_gets_what_stands() {
    let folder = folder();
    let (once, later) = (folder.path().join("once"), folder.path().join("later"));
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    configure(&fleet, "keep_days = 400\n[[sink]]\nname = \"a\"\nto = \"folder\"\npath = \"a\"\n");
    feed(&fleet, &["--into", once.to_str().unwrap()]);
    keep(folder.path(), &[GOOD, LOW, LOWER]);
    feed(&fleet, &[]);
    keep(folder.path(), &[GOOD, LOW, LOWER, DRIED]);
    feed(&fleet, &[]);
    let all = count(&fleet);
    let name = format!("into {}", once.display());
    let shown = on(&fleet, "feed", &["--sinks"]).out;
    let line = shown.lines().find(|line| line.starts_with(&name)).unwrap();
    assert!(line.contains("not in sinks.toml; --forget"), "{shown}");
    assert_eq!(count(&fleet), all, "it holds them back, for it was fed today");

    years_pass(&fleet);
    let said = feed(&fleet, &[]);
    assert!(said.status == Some(0) && said.err.contains(&format!("{name} is forgotten")), "{}", said.err);
    let left = count(&fleet);
    assert!(left < all, "{left} of {all}");
    let said = feed(&fleet, &["--dry-run", "--into", later.to_str().unwrap()]);
    assert!(said.err.contains("it is new: it gets all that stands"), "{}", said.err);
    let said = feed(&fleet, &["--into", later.to_str().unwrap()]);
    let missing = format!("not the {} older events", all - left);
    assert!(said.status == Some(0) && said.err.contains(&missing), "{}", said.err);
    let told = events(&later);
    let told = kinds(&told);
    assert_eq!(told.iter().filter(|kind| **kind == "test.recorded").count(), 4, "{told:?}");
    assert!(told.contains(&"asset.added") && told.contains(&"test.due"), "{told:?}");
    let said = feed(&fleet, &["--into", later.to_str().unwrap()]);
    assert!(!said.err.contains("older events"), "told once: {}", said.err);
    // The one that was forgotten begins anew, and is told what that means.
    let said = feed(&fleet, &["--into", once.to_str().unwrap()]);
    assert!(said.err.contains("2020-01-02") && said.err.contains("it begins anew"), "{}", said.err);
}

#[test]
fn a_sink_is_forgotten_where_somebody_asks_and_never_one_of_the_settings() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    assert!(on(&fleet, "feed", &["--sinks"]).out.contains("no sink is set up"));
    let out = folder.path().join("out");
    configure(&fleet, "[[sink]]\nname = \"a\"\nto = \"folder\"\npath = \"a\"\n");
    feed(&fleet, &["--into", out.to_str().unwrap()]);
    let said = on(&fleet, "feed", &["--forget", "a"]);
    assert!(said.status == Some(2) && said.err.contains("sinks.toml: take it out there first"), "{}", said.err);
    let name = format!("into {}", out.display());
    let said = on(&fleet, "feed", &["--forget", "nonesuch"]);
    assert!(said.status == Some(2) && said.err.contains("\"nonesuch\"") && said.err.contains(&name), "{}", said.err);
    let first = events(&out);
    fs::remove_dir_all(&out).unwrap();
    let said = on(&fleet, "feed", &["--forget", &name]);
    assert!(said.status == Some(0) && said.out.contains("is forgotten: 0 events waited"), "{}{}", said.out, said.err);
    assert!(!on(&fleet, "feed", &["--sinks"]).out.contains(&name));
    feed(&fleet, &["--into", out.to_str().unwrap()]);
    assert_eq!(events(&out), first, "everything again, under the same ids");
}

#[test]
fn what_a_sink_refused_is_listed_with_the_reason() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let server = Server::start(Mood::Stubborn(422));
    configure(&fleet, &format!("[[sink]]\nname = \"m\"\nto = \"http\"\npause_ms = 1\nurl = \"{}\"\n", server.url));
    assert_eq!(feed(&fleet, &[]).status, Some(1));
    let said = on(&fleet, "feed", &["--sinks"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let line = |what: &str| said.out.lines().find(|line| line.contains(what)).unwrap_or_default().to_owned();
    assert!(line("asset.added").contains("answered 422 why?"), "{}", said.out);
    assert!(line("test.recorded").contains("waits behind event number 1"), "{}", said.out);
}

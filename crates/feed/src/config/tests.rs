//! What settings are understood, and which are refused with the reason.

use super::parse;
use std::path::Path;

fn refused(text: &str) -> String {
    parse(Path::new("plant"), text).unwrap_err().to_string()
}

#[test]
fn what_is_wrong_is_told_with_its_line_or_sink() {
    let message = refused("[[sink]]\nname = \"a\"\nto = \"folder\"\nsecret = \"x\"\n");
    assert!(message.contains("plant/feed/sinks.toml: line 4") && message.contains("secret_env"), "{message}");
    assert!(refused("[[sink]]\nname = \"a\"\nto = \"file\"\npath = \"out\"\n").contains("template"));
    assert!(refused("[[sink]]\nname = \"a\"\nto = \"http\"\n").contains("url"));
    let twice = "[[sink]]\nname = \"a\"\nto = \"folder\"\npath = \"o\"\n";
    assert!(refused(&format!("{twice}{twice}")).contains("two sinks"));
}

#[test]
fn a_sink_gets_the_kinds_that_it_names() {
    let text = "[[sink]]\nname = \"a\"\nto = \"folder\"\npath = \"o\"\nevents = [\"finding\", \"test.due\"]\n";
    let sink = &parse(Path::new("x"), text).unwrap().sinks[0];
    assert!(sink.wants("finding.opened") && sink.wants("test.due"));
    assert!(!sink.wants("test.recorded") && !sink.wants("asset.added"));
}

#[test]
fn kinds_may_be_named_as_types_and_those_that_do_not_exist_are_refused() {
    let of = |events: &str| format!("[[sink]]\nname = \"a\"\nto = \"folder\"\npath = \"o\"\nevents = [{events}]\n");
    for written in ["finding", "finding.*", "windrow.finding", "windrow.finding.*"] {
        let sink = &parse(Path::new("x"), &of(&format!("{written:?}"))).unwrap().sinks[0];
        assert!(sink.wants("finding.opened") && !sink.wants("test.due"), "{written}");
    }
    for written in ["findings", "Finding", "windrow.finding.reopened", "windrow"] {
        let message = refused(&of(&format!("\"test.due\", {written:?}")));
        assert!(message.contains(&format!("{written:?}")) && message.contains("finding.opened"), "{message}");
    }
}

#[test]
fn two_sinks_never_write_into_one_folder() {
    let sinks = |a: &str, b: &str| {
        let sink = |name: &str, path: &str| format!("[[sink]]\nname = {name:?}\nto = \"folder\"\npath = {path:?}\n");
        sink("a", a) + &sink("b", b)
    };
    for same in ["out", "./out/", "out/."] {
        let message = refused(&sinks("out", same));
        assert!(
            message.contains("\"a\"") && message.contains("\"b\"") && message.contains("folder of its own"),
            "{message}"
        );
    }
    assert!(parse(Path::new("x"), &sinks("out", "out2")).is_ok());
}

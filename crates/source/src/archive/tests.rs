use super::{Member, check, is_plain, member, members};
use crate::error::Refusal;
use crate::find::Obstacle;
use crate::limits::Limits;
use crate::members::Preview;
use proptest::prelude::*;
use std::io::{Cursor, Write};
use zip::write::SimpleFileOptions;

fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in files {
        writer.start_file(*name, SimpleFileOptions::default()).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn listed(bytes: &[u8], limits: &Limits) -> Vec<Member> {
    members(Cursor::new(bytes), bytes.len() as u64, limits).unwrap()
}

/// Where the archive declares how large member number 0 is: in its central directory, 24 bytes into the first record.
fn declare(bytes: &mut [u8], size: u32) {
    let directory = bytes.windows(4).position(|part| part == b"PK\x01\x02").unwrap();
    bytes[directory + 24..directory + 28].copy_from_slice(&size.to_le_bytes());
}

#[test]
fn members_are_listed_in_order_and_read() {
    let bytes = zipped(&[("b/log.csv", b"two"), ("a.csv", b"one"), ("b/", b"")]);
    let found = listed(&bytes, &Limits::default());
    assert_eq!(found.iter().map(|member| member.name.as_str()).collect::<Vec<_>>(), ["a.csv", "b/log.csv"]);
    let read = |at: usize| member(Cursor::new(&bytes), 1, found[at].index, &Limits::default()).unwrap();
    assert_eq!((read(0), read(1)), (b"one".to_vec(), b"two".to_vec()));
    assert!(is_plain(&Preview::of("x.zip", &bytes).probe()));
}

#[test]
fn a_package_is_one_document_and_no_archive() {
    for part in ["xl/workbook.xml", "word/document.xml", "[Content_Types].xml"] {
        let bytes = zipped(&[(part, b"<x/>")]);
        assert!(!is_plain(&Preview::of("x.zip", &bytes).probe()), "{part}");
    }
}

#[test]
fn paths_that_lead_out_are_barred() {
    for name in ["../up.csv", "a/../../up.csv", "/etc/up.csv", "C:\\up.csv", "..\\up.csv", "\\up.csv"] {
        let found = listed(&zipped(&[(name, b"x"), ("good.csv", b"y")]), &Limits::default());
        let bad = found.iter().find(|member| member.name.contains("up.csv")).unwrap();
        assert!(matches!(&bad.obstacle, Some(Obstacle::Barred(why)) if why.contains("leads out")), "{name}");
        assert!(found.iter().any(|member| member.name == "good.csv" && member.obstacle.is_none()));
    }
}

#[test]
fn what_is_no_record_is_passed_in_archives_too() {
    let found =
        listed(&zipped(&[("__MACOSX/._log.csv", b"x"), ("log.csv", b"y"), ("a/.DS_Store", b"z")]), &Limits::default());
    let passed = found.iter().filter(|member| matches!(member.obstacle, Some(Obstacle::Passed(_)))).count();
    assert_eq!((found.len(), passed), (3, 2));
}

#[test]
fn a_bomb_is_refused_by_what_it_declares() {
    let mut bytes = zipped(&[("zeros", &vec![0; 1 << 20])]);
    declare(&mut bytes, 400 << 20);
    let refused = |limits: &Limits| {
        let error = members(Cursor::new(&bytes), bytes.len() as u64, limits).unwrap_err();
        assert_eq!(error.refusal, Refusal::TooLarge);
        error.to_string()
    };
    assert!(check(&bytes, &Limits::default()).is_err());
    assert!(refused(&Limits::default()).contains("member zeros unpacks to 419430400 bytes"));
    let wide = Limits { member_bytes: 500 << 20, ..Limits::default() };
    assert!(refused(&wide).contains("more than 100 times as many"));
    assert!(refused(&Limits { inflated_bytes: 300 << 20, ..wide.clone() }).contains("the limit is 314572800"));
    assert!(refused(&Limits { members: 0, ..wide }).contains("it has 1 members, the limit is 0"));
}

#[test]
fn a_bomb_that_declares_little_is_stopped_while_it_inflates() {
    let mut bytes = zipped(&[("zeros", &vec![0; 1 << 20])]);
    declare(&mut bytes, 10);
    let limits = Limits { member_bytes: 1000, ..Limits::default() };
    let error = member(Cursor::new(&bytes), bytes.len() as u64, 0, &limits).unwrap_err();
    assert!(matches!(error.refusal, Refusal::Damaged | Refusal::TooLarge), "{error}");
}

#[test]
fn two_files_of_one_name_are_not_made_one() {
    let mut bytes = zipped(&[("a.csv", b"one"), ("b.csv", b"two")]);
    for at in 0..bytes.len() {
        if bytes[at..].starts_with(b"b.csv") {
            bytes[at] = b'a';
        }
    }
    let error = members(Cursor::new(&bytes), bytes.len() as u64, &Limits::default()).unwrap_err();
    assert!(error.to_string().contains("two files of one name"), "{error}");
}

proptest! {
    #[test]
    fn no_bytes_make_it_panic(cut in 0_usize..200, at in 0_usize..200, byte in any::<u8>()) {
        let mut bytes = zipped(&[("a.csv", b"one, two, three"), ("b/c.csv", b"four, five, six")]);
        let place = at % bytes.len();
        bytes[place] = byte;
        bytes.truncate(bytes.len() - cut % bytes.len());
        let _ = check(&bytes, &Limits::default());
        let _ = members(Cursor::new(&bytes), bytes.len() as u64, &Limits::default());
        let _ = member(Cursor::new(&bytes), bytes.len() as u64, 0, &Limits::default());
    }
}

//! Packages that are broken, locked, or ask for more than they hold.

use std::fmt::Write;

use windrow_source::{Limits, Refusal};

use super::{package, parts, read, read_within, sample_bytes, sample_with, sheet_of};

/// Checks kind and words of a refusal.
fn refused(bytes: &[u8], limits: &Limits, refusal: Refusal, words: &str) {
    let error = read_within(bytes, limits).expect_err(words);
    assert_eq!(error.refusal, refusal, "{error}");
    assert!(error.found.contains(words), "{error}");
    assert!(!error.advice.is_empty());
}

#[test]
fn broken_packages_are_refused_whole_and_name_the_part() {
    let limits = Limits::default();
    refused(&sample_bytes("broken-sheet.xlsx"), &limits, Refusal::Damaged, "xl/worksheets/sheet1.xml");
    refused(&sample_bytes("cut-short.xlsx"), &limits, Refusal::Damaged, "cut short");
    refused(&[], &limits, Refusal::Empty, "no bytes");
    let mut without = parts(&sample_bytes("far-corner.xlsx"));
    without.retain(|(name, _)| name != "xl/worksheets/sheet1.xml");
    refused(&package(&without), &limits, Refusal::Damaged, "xl/worksheets/sheet1.xml is missing");
}

#[test]
fn cells_that_point_nowhere_are_refused_with_their_address() {
    let limits = Limits::default();
    let lost = sheet_of("<row><c r=\"B2\" t=\"s\"><v>7</v></c></row>");
    refused(&lost, &limits, Refusal::Damaged, "cell B2: there is no shared string \"7\"");
    refused(&sheet_of("<row><c r=\"2B\"><v>7</v></c></row>"), &limits, Refusal::Damaged, "\"2B\" is no address");
    refused(&sheet_of("<row><c r=\"XFE1\"><v>7</v></c></row>"), &limits, Refusal::TooLarge, "XFE1");
}

#[test]
fn passwords_are_told_from_damage() {
    for name in ["locked.xlsx", "locked-ods.ods"] {
        refused(&sample_bytes(name), &Limits::default(), Refusal::Encrypted, "password-protected");
    }
}

#[test]
fn document_types_are_refused_before_an_entity_can_grow() {
    let laughs = "<!DOCTYPE x [<!ENTITY a \"ha\"><!ENTITY b \"&a;&a;\">]><worksheet><sheetData/></worksheet>";
    let bytes = sample_with("far-corner.xlsx", "xl/worksheets/sheet1.xml", laughs);
    refused(&bytes, &Limits::default(), Refusal::Damaged, "document type");
    let entity = sheet_of("<row><c t=\"inlineStr\"><is><t>&b;</t></is></c></row>");
    refused(&entity, &Limits::default(), Refusal::Damaged, "\"b\", which nothing defines");
}

#[test]
fn elements_nested_without_end_are_refused() {
    let deep = sheet_of(&format!("{}{}", "<a>".repeat(300), "</a>".repeat(300)));
    refused(&deep, &Limits::default(), Refusal::Damaged, "nested too deep");
}

#[test]
fn declared_sizes_are_checked_before_anything_is_unpacked() {
    let bytes = sample_bytes("motor-log.xlsx");
    let tight = |change: fn(&mut Limits)| {
        let mut limits = Limits::default();
        change(&mut limits);
        limits
    };
    refused(&bytes, &tight(|limits| limits.inflated_bytes = 4_000), Refusal::TooLarge, "the package unpacks to");
    refused(&bytes, &tight(|limits| limits.member_bytes = 1_000), Refusal::TooLarge, "unpacks to");
    refused(&bytes, &tight(|limits| limits.members = 3), Refusal::TooLarge, "members");
    refused(&with_declared_size(&bytes, 40 << 20), &Limits::default(), Refusal::TooLarge, "more than 100 times");
}

#[test]
fn a_part_that_unpacks_past_its_declared_size_is_damage() {
    let bytes = with_declared_size(&sample_bytes("far-corner.xlsx"), 20);
    assert_eq!(read(&bytes).expect_err("it lies").refusal, Refusal::Damaged);
}

/// The package with another declared size on every member, in the central directory.
fn with_declared_size(bytes: &[u8], size: u32) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for at in 0..bytes.len() - 46 {
        if bytes[at..].starts_with(b"PK\x01\x02") {
            bytes[at + 24..at + 28].copy_from_slice(&size.to_le_bytes());
        }
    }
    bytes
}

#[test]
fn a_long_text_told_by_many_cells_counts_as_often_as_it_is_told() {
    let limits = Limits { memory_bytes: 16 << 20, ..Limits::default() };
    let mut rows = String::new();
    for _ in 0..50 {
        rows.push_str("<row><c t=\"s\"><v>0</v></c></row>");
    }
    let mut parts = parts(&sample_bytes("motor-log.xlsx"));
    for (name, content) in &mut parts {
        match name.as_str() {
            "xl/sharedStrings.xml" => {
                *content = format!("<sst><si><t>{}</t></si></sst>", "a".repeat(1 << 20)).into_bytes();
            }
            "xl/worksheets/sheet1.xml" => *content = format!("<worksheet>{rows}</worksheet>").into_bytes(),
            _ => {}
        }
    }
    refused(&package(&parts), &limits, Refusal::TooLarge, "bytes in its cells");
    let short = Limits { cell_text_bytes: 1_000, ..Limits::default() };
    refused(&package(&parts), &short, Refusal::TooLarge, "a text of more than 1000 bytes");
}

#[test]
fn repeated_cells_are_counted_before_they_are_made() {
    let mut text = String::from("<document><table name=\"T\">");
    write!(text, "<table-row number-rows-repeated=\"90000\"><table-cell value-type=\"float\" value=\"1\" ").unwrap();
    text.push_str("number-columns-repeated=\"1024\"/></table-row></table></document>");
    let bytes = sample_with("annual-round.ods", "content.xml", &text);
    refused(&bytes, &Limits::default(), Refusal::TooLarge, "cells");
}

#[test]
fn a_package_cut_anywhere_is_refused() {
    for name in ["motor-log.xlsx", "rewinds.xlsb", "annual-round.ods"] {
        let bytes = sample_bytes(name);
        for end in 0..bytes.len() {
            assert!(read(&bytes[..end]).is_err(), "{name} cut at {end}");
        }
    }
}

#[test]
fn flipped_bits_end_in_cells_or_in_an_error() {
    for name in ["motor-log.xlsx", "calendar-1904.xlsm", "rewinds.xlsb", "annual-round.ods"] {
        let bytes = sample_bytes(name);
        for at in 0..bytes.len() {
            let mut flipped = bytes.clone();
            flipped[at] ^= 1 << (at % 8);
            drop(read(&flipped));
        }
    }
}

#[test]
fn flipped_bits_inside_the_parts_end_in_cells_or_in_an_error() {
    let limits = Limits { memory_bytes: 64 << 20, ..Limits::default() };
    for name in ["motor-log.xlsx", "rewinds.xlsb", "annual-round.ods"] {
        let whole = parts(&sample_bytes(name));
        for part in 0..whole.len() {
            for at in (0..whole[part].1.len()).step_by(3) {
                let mut flipped = whole.clone();
                flipped[part].1[at] ^= 1 << (at % 7);
                drop(read_within(&package(&flipped), &limits));
            }
        }
    }
}

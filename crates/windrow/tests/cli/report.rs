//! The page.

use crate::{demo, folder, on};
use std::fs;

#[test]
fn the_page_needs_no_network() {
    let (fleet, said) = demo();
    let page = fleet.join("report.html");
    assert!(said.out.contains(page.to_str().unwrap()), "the summary says where it is: {}", said.out);
    let html = fs::read_to_string(page).unwrap().to_lowercase();
    // What makes a browser fetch something, by the HTML and CSS standards.
    for reference in [
        "src=",
        "srcset=",
        "<link",
        "<iframe",
        "<object",
        "<embed",
        "@import",
        "url(",
        "xlink:href",
        "http-equiv=\"refresh\"",
    ] {
        assert!(!html.contains(reference), "{reference}");
    }
    let outside = html.split("href=\"").skip(1).find(|rest| !rest.starts_with('#'));
    assert_eq!(outside.map(|rest| rest.chars().take(60).collect::<String>()), None, "links stay on the page");
    assert!(html.contains("local codes"), "the cautions are on it");
}

#[test]
fn the_page_goes_where_it_is_sent() {
    let (fleet, _) = demo();
    let folder = folder();
    let out = folder.path().join("elsewhere.html");
    let said = on(fleet, "report", &["--out", out.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert_eq!(fs::read(&out).unwrap(), fs::read(fleet.join("report.html")).unwrap(), "the same page");
    let said = on(fleet, "report", &["--out", folder.path().join("no/such/folder.html").to_str().unwrap()]);
    assert_eq!(said.status, Some(3));
    assert!(said.err.contains("no/such/folder.html"), "{}", said.err);
}

#[test]
fn one_machine_has_a_page_of_its_own() {
    let (fleet, _) = demo();
    let folder = folder();
    let out = folder.path().join("pump.html");
    let said = on(fleet, "report", &["--machine", "LQ-VP-311", "--out", out.to_str().unwrap()]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let page = fs::read_to_string(out).unwrap();
    assert!(page.contains("LQ-VP-311") && page.contains("For whoever decides") && page.contains("local codes"));
    assert_eq!(page.matches("<section class=\"machine\"").count(), 1, "no other machine");
    let said = on(fleet, "report", &["--machine", "none", "--out", folder.path().join("n.html").to_str().unwrap()]);
    assert!(said.status == Some(3) && said.err.contains("no machine is called"), "{}", said.err);
}

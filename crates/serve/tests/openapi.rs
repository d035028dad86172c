//! The description of the interface that is kept in `schema/` is the one that the program gives.

use std::path::Path;

const KEPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/../../schema/openapi.json");

#[test]
fn the_kept_description_is_that_of_the_program() {
    let mut now = serde_json::to_string_pretty(&windrow_serve::openapi()).unwrap();
    now.push('\n');
    if std::env::var_os("WINDROW_BLESS").is_some() {
        std::fs::write(KEPT, &now).unwrap();
    }
    let kept = std::fs::read_to_string(Path::new(KEPT)).unwrap_or_default();
    assert!(
        kept == now,
        "schema/openapi.json is not what the program gives: WINDROW_BLESS=1 cargo test -p windrow-serve --test openapi writes it"
    );
}

#[test]
fn every_reference_of_the_description_leads_somewhere() {
    let description = windrow_serve::openapi();
    let text = description.to_string();
    let names: Vec<&str> =
        text.split("#/components/schemas/").skip(1).filter_map(|rest| rest.split('"').next()).collect();
    assert!(names.len() > 20, "{}", names.len());
    for name in names {
        assert!(description["components"]["schemas"][name].is_object(), "{name}");
    }
}

use proptest::prelude::*;

use super::*;

fn steps(text: &str) -> Result<Vec<String>, String> {
    let mut steps = Vec::new();
    let done = walk(text, &Limits::default(), |step| {
        steps.push(match step {
            Step::Open(name, attributes) => {
                let told: Vec<String> = attributes.iter().map(|a| format!(" {}={}", a.name, a.value)).collect();
                format!("<{name}{}>", told.concat())
            }
            Step::Text(text) => text.to_owned(),
            Step::Close => "/".to_owned(),
        });
        Ok(())
    });
    done.map(|()| steps).map_err(|error| error.to_string())
}

#[test]
fn names_lose_prefixes_and_texts_come_whole() {
    let text = "<r:log xmlns:r='urn:x' xmlns='urn:y' r:at=\"3 &lt; 4\">5 &#956;A &amp; <!-- note --><![CDATA[<6>]]><e/></r:log>";
    assert_eq!(steps(text).unwrap(), ["<log at=3 < 4>", "5 μA & <6>", "<e>", "/", "/"]);
}

#[test]
fn what_is_hostile_or_broken_is_refused_with_its_reason() {
    let bomb = "<!DOCTYPE l [<!ENTITY a \"aaaa\"><!ENTITY b \"&a;&a;\">]><l>&b;</l>";
    let deep = "<a>".repeat(300);
    for (text, words) in [
        (bomb, "document type"),
        (deep.as_str(), "256 deep"),
        ("<a>&b;</a>", "&b;"),
        ("<a><b>1</b>", "<a> is never closed"),
        ("<a>\n<b>\n</a>", "broken in line 3"),
        ("<a b=1/>", "broken attribute in <a>"),
        ("no element", "without an element"),
    ] {
        let error = steps(text).unwrap_err();
        assert!(error.contains(words), "{error}");
    }
}

#[test]
fn declarations_of_encodings_are_obeyed() {
    let text = b"<?xml version='1.0' encoding = 'ISO-8859-1'?><a>Pr\xFCfung</a>";
    assert!(decode(text).text.contains("Prüfung"));
    assert_eq!(decode(b"<?xml version=\"1.0\" encoding=\"IBM850\"?><a>\x81</a>").encoding, Encoding::Oem(850));
}

#[test]
fn the_root_is_known_from_a_cut_head() {
    let root = root("\u{FEFF}<?xml version='1.0'?>\n<!-- x -->\n<r:log xmlns:r='urn:x'><r:ent").unwrap();
    assert_eq!((root.name.as_str(), root.namespaces), ("log", vec!["urn:x".to_owned()]));
    assert_eq!(super::root("Tag;MOhm"), None);
}

proptest! {
    #[test]
    fn no_text_makes_it_panic(text in "(<[a-c/!?]|>|[a-c =\"'&;\\]\\[-]|<!\\[CDATA\\[|&#x1;|\\PC){0,60}") {
        let _ = steps(&text);
        let _ = root(&text);
    }
}

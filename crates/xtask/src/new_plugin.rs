//! `new-plugin`: a plugin folder that builds, and the two lines that link it in. What is still missing is said by its own test.

use anyhow::{Context, bail};
use std::fs;
use std::path::Path;

/// Files of a new plugin, by kind; `NAME` and `NAME_` stand for its name in kebab and snake case.
struct Kind {
    name: &'static str,
    files: &'static [(&'static str, &'static str)],
}

const KINDS: [Kind; 2] = [
    Kind {
        name: "reader",
        files: &[
            ("Cargo.toml", include_str!("new_plugin/reader/Cargo.toml.txt")),
            ("README.md", include_str!("new_plugin/README.md.txt")),
            ("src/lib.rs", include_str!("new_plugin/reader/lib.rs.txt")),
            ("src/claim.rs", include_str!("new_plugin/reader/claim.rs.txt")),
            ("src/read.rs", include_str!("new_plugin/reader/read.rs.txt")),
            ("tests/conformance.rs", include_str!("new_plugin/conformance.rs.txt")),
        ],
    },
    Kind {
        name: "importer",
        files: &[
            ("Cargo.toml", include_str!("new_plugin/importer/Cargo.toml.txt")),
            ("README.md", include_str!("new_plugin/README.md.txt")),
            ("src/lib.rs", include_str!("new_plugin/importer/lib.rs.txt")),
            ("src/claim.rs", include_str!("new_plugin/importer/claim.rs.txt")),
            ("tests/conformance.rs", include_str!("new_plugin/conformance.rs.txt")),
        ],
    },
];

/// Writes the folder `plugins/NAME` and the two lines in `plugins/all`.
pub(crate) fn run(root: &Path, arguments: &[&str]) -> anyhow::Result<()> {
    let [name, "--kind", kind] = arguments else { bail!("usage: cargo xtask new-plugin NAME --kind reader|importer") };
    let Some(kind) = KINDS.iter().find(|known| known.name == *kind) else {
        bail!("there is no kind {kind:?}; plugins are readers (bytes to cells) or importers (layouts)")
    };
    if !name.split('-').all(is_word) {
        bail!(
            "{name:?} is not kebab case: small letters and digits with single dashes, named by layout, such as \"row-log\""
        );
    }
    let folder = root.join("plugins").join(name);
    if folder.exists() {
        bail!("plugins/{name} is there already");
    }
    for (file, template) in kind.files {
        let path = folder.join(file);
        fs::create_dir_all(path.parent().unwrap_or(&folder))?;
        let text = template.replace("NAME_", &name.replace('-', "_")).replace("NAME", name);
        fs::write(&path, text).with_context(|| path.display().to_string())?;
    }
    fs::create_dir_all(folder.join("samples"))?;
    let all = root.join("plugins/all");
    add_line(
        &all.join("Cargo.toml"),
        "windrow-plugin-",
        &format!("windrow-plugin-{name} = {{ path = \"../{name}\" }}"),
    )?;
    let snake = name.replace('-', "_");
    add_line(&all.join("src/lib.rs"), "use windrow_plugin_", &format!("use windrow_plugin_{snake} as _;"))?;
    println!(
        "wrote plugins/{name} and linked it in; next: samples, then `cargo test -p windrow-plugin-{name}` says what is missing"
    );
    Ok(())
}

fn is_word(word: &str) -> bool {
    !word.is_empty() && word.bytes().all(|byte| byte.is_ascii_lowercase() || byte.is_ascii_digit())
}

/// Adds `line` among the lines that begin with `prefix`, and sorts these.
fn add_line(path: &Path, prefix: &str, line: &str) -> anyhow::Result<()> {
    let text = fs::read_to_string(path).with_context(|| path.display().to_string())?;
    let lines: Vec<&str> = text.lines().collect();
    let Some(first) = lines.iter().position(|line| line.starts_with(prefix)) else {
        bail!("{} lists no plugin to stand beside", path.display())
    };
    let mut listed: Vec<&str> = lines.iter().copied().filter(|line| line.starts_with(prefix)).chain([line]).collect();
    listed.sort_unstable();
    let before = lines.iter().take(first).copied();
    let after = lines.iter().skip(first).copied().filter(|line| !line.starts_with(prefix));
    let text: Vec<&str> = before.chain(listed).chain(after).collect();
    fs::write(path, text.join("\n") + "\n").with_context(|| path.display().to_string())
}

#[cfg(test)]
mod tests {
    use super::run;
    use std::fs;

    fn workspace() -> tempfile::TempDir {
        let root = tempfile::tempdir().unwrap();
        let all = root.path().join("plugins/all");
        fs::create_dir_all(all.join("src")).unwrap();
        let manifest = "[dependencies]\nwindrow-importer = 1\nwindrow-plugin-workbook = 1\n\n[lints]\n";
        fs::write(all.join("Cargo.toml"), manifest).unwrap();
        let code = "//! All.\n\nuse windrow_plugin_workbook as _;\nuse windrow_plugin_dbase as _;\n\nuse other;\n";
        fs::write(all.join("src/lib.rs"), code).unwrap();
        root
    }

    #[test]
    fn a_new_plugin_is_named_everywhere_and_linked_in() {
        for kind in ["reader", "importer"] {
            let root = workspace();
            run(root.path(), &["round-sheet", "--kind", kind]).unwrap();
            let read = |file: &str| fs::read_to_string(root.path().join("plugins").join(file)).unwrap();
            assert!(read("round-sheet/Cargo.toml").contains("name = \"windrow-plugin-round-sheet\""));
            assert!(read("round-sheet/src/lib.rs").contains("id: \"round-sheet\""));
            assert!(read("round-sheet/tests/conformance.rs").contains("use windrow_plugin_round_sheet as _;"));
            let manifest = read("all/Cargo.toml");
            assert!(manifest.contains(
                "windrow-plugin-round-sheet = { path = \"../round-sheet\" }\nwindrow-plugin-workbook = 1\n\n[lints]\n"
            ));
            assert_eq!(
                read("all/src/lib.rs"),
                "//! All.\n\nuse windrow_plugin_dbase as _;\nuse windrow_plugin_round_sheet as _;\nuse windrow_plugin_workbook as _;\n\nuse other;\n"
            );
        }
    }

    #[test]
    fn names_and_kinds_that_cannot_be_are_refused() {
        let root = workspace();
        for name in ["Round", "round_sheet", "-round", "round--sheet", "../out", ""] {
            assert!(run(root.path(), &[name, "--kind", "reader"]).unwrap_err().to_string().contains("kebab case"));
        }
        assert!(run(root.path(), &["round", "--kind", "writer"]).is_err());
        assert!(run(root.path(), &["round"]).unwrap_err().to_string().contains("usage"));
        run(root.path(), &["round", "--kind", "reader"]).unwrap();
        assert!(run(root.path(), &["round", "--kind", "reader"]).unwrap_err().to_string().contains("there already"));
    }
}

//! `layouts/*.toml`: what people tell of sheets that look alike; the program only reads them.

use crate::error::{Error, Result};
use crate::settings::place;
use serde::Deserialize;
use std::fs;
use std::io;
use std::path::{Path, PathBuf};
use windrow_model::layout::Layout;

#[derive(Debug, Default, Deserialize)]
#[serde(default, deny_unknown_fields)]
struct File {
    layout: Vec<Layout>,
}

/// Reads the layouts of the folder at `folder`, by name of their files; a missing folder means none.
pub(crate) fn load(folder: &Path) -> Result<Vec<Layout>> {
    let entries = match fs::read_dir(folder) {
        Ok(entries) => entries,
        Err(error) if error.kind() == io::ErrorKind::NotFound => return Ok(Vec::new()),
        Err(error) => return Err(Error::io("list", folder, error)),
    };
    let mut paths: Vec<PathBuf> = Vec::new();
    for entry in entries {
        let path = entry.map_err(|error| Error::io("list", folder, error))?.path();
        if path.extension().is_some_and(|extension| extension == "toml") {
            paths.push(path);
        }
    }
    paths.sort();
    let mut layouts = Vec::new();
    for path in paths {
        let text = fs::read_to_string(&path).map_err(|error| Error::io("read", &path, error))?;
        layouts.extend(named(&path, parse(&path, &text)?));
    }
    Ok(layouts)
}

fn parse(path: &Path, text: &str) -> Result<Vec<Layout>> {
    let file: File = toml::from_str(text).map_err(|error| {
        let place = error.span().map_or_else(String::new, |span| place(text, span.start));
        let message = error.message().trim().replace('\n', "; ");
        Error::settings(format!("{}{place}: {message}; correct the layout, or move the file away", path.display()))
    })?;
    Ok(file.layout)
}

/// Layouts without a name are called by their file, numbered where there are several.
fn named(path: &Path, layouts: Vec<Layout>) -> Vec<Layout> {
    let stem = path.file_stem().map(|stem| stem.to_string_lossy().into_owned()).unwrap_or_default();
    let several = layouts.len() > 1;
    let name = |(number, mut layout): (usize, Layout)| {
        if layout.name.is_empty() {
            layout.name = if several { format!("{stem} {number}") } else { stem.clone() };
        }
        layout
    };
    (1..).zip(layouts).map(name).collect()
}

#[cfg(test)]
mod tests {
    use super::load;
    use std::fs;

    #[test]
    fn layouts_are_named_by_their_files_and_others_are_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        assert_eq!(load(&folder.path().join("none")).unwrap(), []);
        let write = |name: &str, text: &str| fs::write(folder.path().join(name), text).unwrap();
        write("b.toml", "[[layout]]\nanchors = [\"x\"]\n[[layout]]\nname = \"own\"\n");
        write("a.toml", "[[layout]]\n[[layout.field]]\nlabel = \"Pvm\"\nis = \"date\"\n");
        write("notes.txt", "not a layout");
        let names: Vec<String> = load(folder.path()).unwrap().into_iter().map(|layout| layout.name).collect();
        assert_eq!(names, ["a", "b 1", "own"]);
    }

    #[test]
    fn a_wrong_line_is_refused_with_its_file_and_place() {
        let folder = tempfile::tempdir().unwrap();
        fs::write(folder.path().join("a.toml"), "[[layout]]\nanchor = [\"x\"]\n").unwrap();
        let message = load(folder.path()).unwrap_err().to_string();
        assert!(message.contains("a.toml, line 2") && message.contains("anchors"), "{message}");
    }
}

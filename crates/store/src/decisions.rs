//! `decisions.toml`: rulings and acknowledgements of people, readable and diffable; the program adds to it, and takes out what is
//! taken back.

use crate::durable::{self, Place};
use crate::error::{Error, Result};
use crate::settings::place;
use serde::{Deserialize, Serialize};
use std::fs;
use std::io;
use std::path::Path;
use toml_edit::{ArrayOfTables, DocumentMut, Item, RawString, Table};
use windrow_model::{Acknowledgement, Decision};

/// What a new file begins with.
const HEAD: &str =
    "# Rulings on what the records leave open: written by `windrow decide` or by hand, applied by the next import.
# A ruling is taken back by deleting it, and so is an acknowledgement of a finding.
";

#[derive(Debug, Default, Serialize, Deserialize)]
#[serde(default, deny_unknown_fields)]
pub(crate) struct File {
    /// Rulings on what the records leave open.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) decision: Vec<Decision>,
    /// Words on findings.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub(crate) acknowledgement: Vec<Acknowledgement>,
}

/// Reads the file at `path`; a missing file means nothing was ruled.
pub(crate) fn load(path: &Path) -> Result<File> {
    match fs::read_to_string(path) {
        Ok(text) => parse(path, &text),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(File::default()),
        Err(error) => Err(Error::io("read", path, error)),
    }
}

fn parse(path: &Path, text: &str) -> Result<File> {
    toml::from_str(text).map_err(|error| {
        let place = error.span().map_or_else(String::new, |span| place(text, span.start));
        let message = error.message().trim().replace('\n', "; ");
        Error::settings(format!("{}{place}: {message}; correct or delete the ruling", path.display()))
    })
}

/// Adds to the end of the file; what stands there stays as it is.
pub(crate) fn append(path: &Path, more: &File) -> Result<()> {
    let mut text = text_of(path)?;
    // A file that is broken already is not made longer.
    parse(path, &text)?;
    let added = toml::to_string(more)
        .map_err(|error| Error::new("the ruling could not be written down; please report this").caused_by(error))?;
    if !text.ends_with('\n') {
        text.push('\n');
    }
    text.push('\n');
    text.push_str(&added);
    durable::write(path, [text.as_bytes()], Place::Replace).map_err(|error| Error::io("write", path, error))
}

/// Takes the ruling out that is equal to `ruling`, the last one where several are; everything else stays as it is written.
/// Returns whether there was one.
pub(crate) fn remove(path: &Path, ruling: &Decision) -> Result<bool> {
    let text = text_of(path)?;
    let file = parse(path, &text)?;
    let Some(index) = file.decision.iter().rposition(|stands| stands == ruling) else { return Ok(false) };
    let strange = |error| Error::settings(format!("{} could not be edited", path.display())).caused_by(error);
    let mut document: DocumentMut = text.parse().map_err(strange)?;
    let Some(rulings) = document.get_mut("decision").and_then(Item::as_array_of_tables_mut) else {
        return Err(Error::settings(format!(
            "{}: this ruling stands in another form than [[decision]]; take it out by hand",
            path.display()
        )));
    };
    let taken = rulings.get(index).map(|table| (prefix(table), table.position()));
    rulings.remove(index);
    if let Some((above, position)) = taken {
        keep(&mut document, &above, position);
    }
    let written = document.to_string();
    durable::write(path, [written.as_bytes()], Place::Replace).map_err(|error| Error::io("write", path, error))?;
    Ok(true)
}

/// What stands between a table and what is before it: blanks and comments.
fn prefix(table: &Table) -> String {
    table.decor().prefix().and_then(RawString::as_str).unwrap_or_default().to_owned()
}

/// Keeps the comments that stood above a ruling which is gone: above what followed it, or at the end.
fn keep(document: &mut DocumentMut, above: &str, position: Option<isize>) {
    if above.trim().is_empty() {
        return;
    }
    let lists = document.iter_mut().filter_map(|(_, item)| item.as_array_of_tables_mut());
    let after = lists.flat_map(ArrayOfTables::iter_mut).filter(|table| table.position() > position);
    if let Some(next) = after.min_by_key(|table| table.position()) {
        let own = prefix(next);
        next.decor_mut().set_prefix(format!("{above}{own}"));
        return;
    }
    let end = document.trailing().as_str().unwrap_or_default().to_owned();
    document.set_trailing(format!("{above}{end}"));
}

/// The text of the file, or what a new one begins with.
fn text_of(path: &Path) -> Result<String> {
    match fs::read_to_string(path) {
        Ok(text) => Ok(text),
        Err(error) if error.kind() == io::ErrorKind::NotFound => Ok(HEAD.to_owned()),
        Err(error) => Err(Error::io("read", path, error)),
    }
}

#[cfg(test)]
mod tests {
    use super::{File, HEAD, append, load, remove};
    use std::fs;
    use windrow_model::{Acknowledgement, Decision, Question, Word};

    fn ruling(answer: &str) -> Decision {
        Decision {
            question: Question::Unit,
            answer: answer.to_owned(),
            file: Some("east/log \"old\".xlsx".to_owned()),
            sheet: Some("1998".to_owned()),
            cells: Some("B2:B9".to_owned()),
            text: None,
            by: Some("an engineer".to_owned()),
            on: None,
            why: None,
        }
    }

    fn rulings(answers: &[&str]) -> File {
        File { decision: answers.iter().map(|answer| ruling(answer)).collect(), ..File::default() }
    }

    #[test]
    fn what_is_added_is_read_again_and_what_stood_there_stays() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("decisions.toml");
        assert_eq!(load(&path).unwrap().decision, []);
        append(&path, &rulings(&["MOhm"])).unwrap();
        let first = fs::read_to_string(&path).unwrap() + "# a comment of mine";
        fs::write(&path, &first).unwrap();
        append(&path, &rulings(&["GOhm", "kOhm"])).unwrap();
        assert_eq!(load(&path).unwrap().decision, [ruling("MOhm"), ruling("GOhm"), ruling("kOhm")]);
        assert!(fs::read_to_string(&path).unwrap().starts_with(&first));
    }

    #[test]
    fn a_ruling_is_taken_out_and_the_rest_stays_as_it_is_written() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("decisions.toml");
        let read = || fs::read_to_string(&path).unwrap();
        append(&path, &rulings(&["MOhm"])).unwrap();
        let first = read();
        fs::write(&path, first.clone() + "# a comment of mine\n").unwrap();
        let kept = read();
        append(&path, &rulings(&["GOhm"])).unwrap();
        fs::write(&path, read() + "# below it\n").unwrap();
        append(&path, &rulings(&["kOhm"])).unwrap();
        let last = read().split_once("# below it\n").unwrap().1.to_owned();
        assert!(remove(&path, &ruling("GOhm")).unwrap());
        assert_eq!(read(), format!("{kept}\n# below it\n{last}"), "what is around it stays, letter by letter");
        assert!(!remove(&path, &ruling("GOhm")).unwrap(), "it is gone already");
        assert_eq!(load(&path).unwrap().decision, [ruling("MOhm"), ruling("kOhm")]);
        assert!(remove(&path, &ruling("MOhm")).unwrap());
        assert_eq!(read(), format!("{HEAD}\n# a comment of mine\n\n# below it\n{last}"));
        assert!(remove(&path, &ruling("kOhm")).unwrap());
        assert_eq!(
            read(),
            format!("{HEAD}\n# a comment of mine\n\n# below it\n\n"),
            "the head of the file and every comment"
        );
        assert_eq!(load(&path).unwrap().decision, []);
    }

    #[test]
    fn acknowledgements_stand_beside_rulings() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("decisions.toml");
        let word = Acknowledgement {
            finding: "0c1d".to_owned(),
            word: Word::Acknowledged,
            level: "plan".to_owned(),
            reason: "\"rewind\" ordered".to_owned(),
            by: None,
            on: Some("2026-11-28".to_owned()),
            work_order: None,
            outcome: None,
            failure_mode: None,
        };
        append(&path, &rulings(&["MOhm"])).unwrap();
        append(&path, &File { acknowledgement: vec![word.clone()], ..File::default() }).unwrap();
        append(&path, &rulings(&["GOhm"])).unwrap();
        let file = load(&path).unwrap();
        assert_eq!((file.decision.len(), file.acknowledgement), (2, vec![word]));
    }

    #[test]
    fn a_broken_file_is_refused_with_its_line_and_left_alone() {
        let folder = tempfile::tempdir().unwrap();
        let path = folder.path().join("decisions.toml");
        let text = "[[decision]]\nquestion = \"units\"\nanswer = \"MOhm\"\n";
        fs::write(&path, text).unwrap();
        let message = append(&path, &rulings(&["MOhm"])).unwrap_err().to_string();
        assert!(message.contains("line 2"), "{message}");
        assert_eq!(fs::read_to_string(&path).unwrap(), text);
    }
}

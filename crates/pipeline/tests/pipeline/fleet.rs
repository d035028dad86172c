//! Records on a disk, and a fleet of rows in memory.

use std::collections::BTreeMap;
use std::fs;
use std::io::{Cursor, Write};
use std::path::PathBuf;
use std::sync::Mutex;
use windrow_importer::{Hands, Intake, Memory, Recall};
use windrow_model::settings::Settings;
use windrow_model::{Decision, Hold, Question};
use windrow_pipeline::{Missing, News, Order, Refused, Rows, Union, rows_of, take_in};
use windrow_source::Limits;

/// Invented records in a folder of their own.
pub(crate) struct Records(tempfile::TempDir);

impl Records {
    /// Files by name and text.
    pub(crate) fn of(files: &[(&str, &str)]) -> Self {
        let records = Self(tempfile::tempdir().unwrap());
        for (name, text) in files {
            records.write(name, text);
        }
        records
    }

    /// Three folders; two of their files have one name, and one file leaves its dates to the others of its folder.
    pub(crate) fn scattered() -> Self {
        let records = Self::of(&[]);
        records.write("north/log.csv", "Motor,Date,IR MOhm\nN-1,2001-02-03,410\nN-2,2001-02-03,380\n");
        records.write("north/pumps/new.csv", "Motor,Date,IR MOhm\nN-1,2004-02-03,350\n");
        records.write("north/pumps/old.csv", "Motor,Date,IR MOhm\nN-1,1999-02-03,450\nN-3,1999-02-03,90\n");
        records.write("south/log.csv", "Motor,Date,IR MOhm\nS-1,25/03/2001,510\nS-2,26/03/2001,520\n");
        records.write("south/round.csv", "Motor,Date,IR MOhm\nS-1,03/04/2001,505\n");
        records.write("east/log.csv", "Motor,Date,IR MOhm\nE-9,2003-05-06,600\nS-1,2003-05-06,480\n");
        let mut zip = zip::ZipWriter::new(Cursor::new(Vec::new()));
        for (name, text) in [
            ("a/round.csv", "Motor,Date,IR MOhm\nS-7,2002-01-02,33\n"),
            ("b.csv", "Motor,Date,IR MOhm\nS-8,2002-01-02,44\n"),
        ] {
            zip.start_file(name, zip::write::SimpleFileOptions::default()).unwrap();
            zip.write_all(text.as_bytes()).unwrap();
        }
        fs::write(records.0.path().join("south/more.zip"), zip.finish().unwrap().into_inner()).unwrap();
        records
    }

    pub(crate) fn paths(&self, names: &[&str]) -> Vec<PathBuf> {
        names.iter().map(|name| self.0.path().join(name)).collect()
    }

    pub(crate) fn folder(&self, name: &str) -> PathBuf {
        let folder = self.0.path().join(name);
        fs::create_dir_all(&folder).unwrap();
        folder
    }

    pub(crate) fn write(&self, name: &str, text: &str) {
        let path = self.0.path().join(name);
        fs::create_dir_all(path.parent().unwrap()).unwrap();
        fs::write(path, text).unwrap();
    }

    pub(crate) fn remove(&self, name: &str) {
        fs::remove_file(self.0.path().join(name)).unwrap();
    }

    pub(crate) fn rename(&self, from: &str, to: &str) {
        fs::rename(self.0.path().join(from), self.0.path().join(to)).unwrap();
    }
}

/// A memory that counts and can be made to forget.
#[derive(Debug, Default)]
pub(crate) struct Drawer(Mutex<(BTreeMap<String, Vec<u8>>, usize)>);

impl Drawer {
    pub(crate) fn puts(&self) -> usize {
        self.0.lock().unwrap().1
    }

    pub(crate) fn clear(&self) {
        self.0.lock().unwrap().0.clear();
    }
}

impl Memory for Drawer {
    fn get(&self, key: &str) -> Option<Vec<u8>> {
        self.0.lock().unwrap().0.get(key).cloned()
    }

    fn put(&self, key: &str, bytes: &[u8]) {
        let mut drawer = self.0.lock().unwrap();
        drawer.0.insert(key.to_owned(), bytes.to_owned());
        drawer.1 += 1;
    }
}

/// A fleet that is kept in memory.
#[derive(Default)]
pub(crate) struct Shelf {
    pub(crate) rows: Rows,
    pub(crate) memory: Drawer,
    pub(crate) program: String,
    pub(crate) settings: Settings,
}

/// What an import gave.
#[derive(Debug)]
pub(crate) struct Imported {
    pub(crate) rows: Rows,
    pub(crate) news: News,
}

impl Shelf {
    pub(crate) fn import(&mut self, paths: &[PathBuf], missing: Missing, threads: usize) -> Result<Imported, Refused> {
        let registry = windrow_plugins::registry().unwrap();
        let (settings, limits) = (self.settings.clone(), Limits::default());
        let intake = Intake {
            registry: &registry,
            settings: &settings,
            limits: &limits,
            hands: Hands::Threads(threads),
            recall: Some(Recall { memory: &self.memory, program: &self.program }),
        };
        let order = Order { paths, earlier: &self.rows.sources, missing };
        let union = take_in(order, intake, &mut |_| {})?;
        let Union { sources, news } = union;
        self.rows = rows_of(sources, &settings, &[]);
        Ok(Imported { rows: self.rows.clone(), news })
    }

    /// Loses the entry that stands at `percent` of the drawer.
    pub(crate) fn forget(&self, percent: u8) {
        let mut drawer = self.memory.0.lock().unwrap();
        let index = drawer.0.len() * usize::from(percent) / 100;
        let key = drawer.0.keys().nth(index).cloned();
        key.and_then(|key| drawer.0.remove(&key));
    }
}

/// Open questions of one code.
pub(crate) fn asked(rows: &Rows, question: Question) -> Vec<&Hold> {
    rows.holds.iter().filter(|hold| hold.question == question.code()).collect()
}

/// A ruling that answers a question.
pub(crate) fn answer(hold: &Hold, answer: &str) -> Decision {
    Decision {
        question: Question::from_code(&hold.question).unwrap(),
        answer: answer.to_owned(),
        file: Some(hold.source_file.to_string()),
        sheet: hold.source_sheet.as_deref().map(str::to_owned),
        cells: hold.source_cell.as_deref().map(str::to_owned),
        text: Some(hold.raw_text.to_string()).filter(|text| !text.is_empty()),
        by: None,
        on: None,
        why: None,
    }
}

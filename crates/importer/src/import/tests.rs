//! Whole imports with a reader made for the test, in threads of this process; `tests/workers.rs` does the same in workers.

use super::work::{Reply, Request, Work};
use super::{Hands, Intake, Memory, Recall, Stage, Taken, answer, import};
use crate::Registry;
use crate::import::source::Location;
use std::collections::BTreeMap;
use std::io::{Cursor, Write};
use std::path::Path;
use std::sync::Mutex;
use windrow_model::raw::SourceStatus;
use windrow_model::settings::Settings;
use windrow_source::Limits;
use windrow_source::find::below;

fn zipped(files: &[(&str, &[u8])]) -> Vec<u8> {
    let mut writer = zip::ZipWriter::new(Cursor::new(Vec::new()));
    for (name, content) in files {
        writer.start_file(*name, zip::write::SimpleFileOptions::default()).unwrap();
        writer.write_all(content).unwrap();
    }
    writer.finish().unwrap().into_inner()
}

fn taken(folder: &Path, threads: usize, limits: &Limits) -> Vec<Taken> {
    let registry = Registry::of_linked().unwrap();
    let intake = Intake {
        registry: &registry,
        settings: &Settings::default(),
        limits,
        hands: Hands::Threads(threads),
        recall: None,
    };
    let (mut all, mut told) = (Vec::new(), 0);
    import(
        below(&[folder.to_path_buf()]),
        Vec::new(),
        intake,
        &mut |progress| told += usize::from(progress.stage == Stage::Understanding),
        &mut |taken| all.push(taken),
    );
    assert_eq!(told, all.len());
    all
}

fn of<'a>(all: &'a [Taken], source_file: &str) -> &'a windrow_model::raw::Understood {
    &all.iter().find(|taken| taken.understood.source_file == source_file).unwrap().understood
}

#[test]
fn everything_found_is_handed_over_in_order_whatever_becomes_of_it() {
    let folder = tempfile::tempdir().unwrap();
    for (name, bytes) in
        [("b.bin", &b"CELLS"[..]), ("a.bin", b"CELLS!"), ("c.pdf", b"%PDF-1.7"), ("~$b.xlsx", b"x"), ("d.bin", b"")]
    {
        std::fs::write(folder.path().join(name), bytes).unwrap();
    }
    let all = taken(folder.path(), 1, &Limits::default());
    let names: Vec<&str> = all.iter().map(|taken| taken.understood.source_file.as_str()).collect();
    assert_eq!(names, ["a.bin", "b.bin", "c.pdf", "d.bin", "~$b.xlsx"]);
    let status: Vec<SourceStatus> = all.iter().map(|taken| taken.understood.status).collect();
    assert_eq!(status[0], SourceStatus::Refused);
    assert_eq!(status[1], SourceStatus::Read);
    assert_eq!(status[2..], [SourceStatus::Refused, SourceStatus::Refused, SourceStatus::Skipped]);
    assert!(all.iter().all(|taken| taken.understood.reader.is_some() || taken.understood.reason.is_some()));
    assert_eq!(all, taken(folder.path(), 3, &Limits::default()), "the number of threads changes nothing");
}

#[test]
fn files_of_an_archive_are_sources_in_its_place() {
    let folder = tempfile::tempdir().unwrap();
    let inner = zipped(&[("deep.bin", b"CELLS")]);
    let archive =
        zipped(&[("2004/log.bin", b"CELLS"), ("../up.bin", b"CELLS"), ("inner.zip", &inner), ("x/._log", b"x")]);
    std::fs::write(folder.path().join("b.zip"), archive).unwrap();
    std::fs::write(folder.path().join("c.bin"), "CELLS").unwrap();
    std::fs::write(folder.path().join("a.zip"), zipped(&[("only/", b"")])).unwrap();
    let all = taken(folder.path(), 2, &Limits::default());
    let names: Vec<&str> = all.iter().map(|taken| taken.understood.source_file.as_str()).collect();
    let within = ["b.zip/../up.bin", "b.zip/2004/log.bin", "b.zip/inner.zip", "b.zip/x/._log"];
    assert_eq!(names, [&["a.zip"][..], &within, &["c.bin"]].concat());
    assert_eq!(of(&all, "b.zip/2004/log.bin").reader.as_deref(), Some("of-the-test"));
    assert_eq!(of(&all, "b.zip/2004/log.bin").blake3, blake3::hash(b"CELLS").to_hex().to_string());
    assert!(of(&all, "b.zip/../up.bin").reason.as_ref().unwrap().contains("leads out"));
    assert!(of(&all, "b.zip/inner.zip").reason.as_ref().unwrap().contains("no archive within an archive"));
    assert!(of(&all, "a.zip").reason.as_ref().unwrap().contains("holds no file"));
}

#[test]
fn limits_are_met_before_anything_is_read() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.bin"), "CELLS and more").unwrap();
    std::fs::write(folder.path().join("b.zip"), zipped(&[("x.bin", b"CELLS"), ("y.bin", b"CELLS")])).unwrap();
    let all = taken(folder.path(), 1, &Limits { file_bytes: 10, ..Limits::default() });
    assert!(of(&all, "a.bin").reason.as_ref().unwrap().contains("more than the limit of 10"));
    assert_eq!(of(&all, "a.bin").bytes, 14, "what is known of it is kept");
    let all = taken(folder.path(), 1, &Limits { members: 1, ..Limits::default() });
    assert!(of(&all, "b.zip").reason.as_ref().unwrap().contains("2 members, the limit is 1"));
}

#[test]
fn what_goes_through_the_pipe_is_what_comes_without_it() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("a.bin");
    std::fs::write(&path, "CELLS").unwrap();
    let registry = Registry::of_linked().unwrap();
    let mut request = Request {
        source_file: "a.bin".to_owned(),
        location: Location::File(path.into_os_string()),
        companion: None,
        work: Work::Look,
        settings: Settings::default(),
        limits: Limits::default(),
    };
    for work in [Work::Look, Work::Understand(None), Work::Understand(Some(Box::default()))] {
        request.work = work;
        let through = Reply::of_bytes(&answer(&request.to_bytes(), &registry));
        assert_eq!(through, request.run(&registry));
    }
    assert!(Reply::of_bytes(&answer(b"rubbish", &registry)).unwrap_err().to_string().contains("our bug"));
    assert!(Reply::of_bytes(b"\x07rubbish").unwrap_err().to_string().contains("our bug"));
}

/// A memory that lives as long as the test.
#[derive(Debug, Default)]
struct Drawer(Mutex<BTreeMap<String, Vec<u8>>>);

impl Memory for Drawer {
    fn get(&self, key: &str) -> Option<Vec<u8>> {
        self.0.lock().unwrap().get(key).cloned()
    }

    fn put(&self, key: &str, bytes: &[u8]) {
        self.0.lock().unwrap().insert(key.to_owned(), bytes.to_owned());
    }
}

/// Kinds of the answers that `memory` holds, each with how many there are.
fn kinds(memory: &Drawer) -> BTreeMap<String, usize> {
    let mut kinds = BTreeMap::new();
    for key in memory.0.lock().unwrap().keys() {
        *kinds.entry(key.split('-').next().unwrap().to_owned()).or_default() += 1;
    }
    kinds
}

#[test]
fn an_answer_is_kept_under_everything_that_it_depends_on() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.bin"), "CELLS").unwrap();
    std::fs::write(folder.path().join("b.bin"), "CELLS").unwrap();
    let registry = Registry::of_linked().unwrap();
    let memory = Drawer::default();
    let run = |program: &str, settings: &Settings, limits: &Limits| {
        let recall = Some(Recall { memory: &memory, program });
        let intake = Intake { registry: &registry, settings, limits, hands: Hands::Threads(2), recall };
        let mut all = Vec::new();
        import(below(&[folder.path().to_path_buf()]), Vec::new(), intake, &mut |_| {}, &mut |taken| all.push(taken));
        all
    };
    let mut settings = Settings::default();
    let first = run("1", &settings, &Limits::default());
    let once = BTreeMap::from([("last".to_owned(), 2), ("look".to_owned(), 2), ("read".to_owned(), 2)]);
    assert_eq!(kinds(&memory), once, "names differ, and names tell sites and tags");
    assert_eq!(run("1", &settings, &Limits::default()), first);
    assert_eq!(kinds(&memory), once, "the same again needs nothing new");
    run("2", &settings, &Limits::default());
    assert_eq!(kinds(&memory)["read"], 4, "another program");
    run("1", &settings, &Limits { cells: 7, ..Limits::default() });
    assert_eq!(kinds(&memory)["read"], 6, "other limits");
    settings.reading.insulation_unit = Some("MOhm".to_owned());
    run("1", &settings, &Limits::default());
    assert_eq!(kinds(&memory)["read"], 8, "other settings");
    std::fs::write(folder.path().join("a.bin"), "CELLS of another day").unwrap();
    let changed = run("1", &settings, &Limits::default());
    assert_eq!(kinds(&memory)["read"], 9, "other bytes of one of two");
    assert_eq!(of(&changed, "a.bin").blake3, blake3::hash(b"CELLS of another day").to_hex().to_string());
}

#[test]
fn what_failed_for_reasons_that_pass_is_tried_again() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.bin"), "CELLS and more").unwrap();
    let registry = Registry::of_linked().unwrap();
    let (memory, settings) = (Drawer::default(), Settings::default());
    let limits = Limits { file_bytes: 10, ..Limits::default() };
    let recall = Some(Recall { memory: &memory, program: "1" });
    let intake = Intake { registry: &registry, settings: &settings, limits: &limits, hands: Hands::Threads(1), recall };
    import(below(&[folder.path().to_path_buf()]), Vec::new(), intake, &mut |_| {}, &mut |_| {});
    assert!(kinds(&memory).is_empty(), "no answer, nothing to remember");
}

#[test]
fn a_file_is_read_with_the_one_that_belongs_to_it_in_folders_and_archives() {
    let folder = tempfile::tempdir().unwrap();
    let write = |name: &str, bytes: &[u8]| std::fs::write(folder.path().join(name), bytes).unwrap();
    std::fs::create_dir(folder.path().join("other")).unwrap();
    for (name, bytes) in
        [("a.bin", &b"CELLS"[..]), ("A.TWIN", b"CELLS of A"), ("b.bin", b"CELLS"), ("other/b.twin", b"CELLS")]
    {
        write(name, bytes);
    }
    write("z.zip", &zipped(&[("run/c.bin", b"CELLS"), ("run/C.twin", b"CELLS of c"), ("d.twin", b"CELLS")]));
    let all = taken(folder.path(), 2, &Limits::default());
    let notes = |file: &str| of(&all, file).notes.join("; ");
    assert_eq!(notes("a.bin"), "beside A.TWIN of 10 bytes");
    assert_eq!(notes("A.TWIN"), "beside a.bin of 5 bytes");
    assert_eq!(notes("z.zip/run/c.bin"), "beside C.twin of 10 bytes");
    let alone = ["b.bin", "other/b.twin", "z.zip/d.twin"].map(notes);
    assert_eq!(alone, [""; 3], "another folder is another record");
}

#[test]
fn what_is_remembered_of_a_file_is_forgotten_when_the_one_beside_it_changes() {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("a.bin"), "CELLS").unwrap();
    let registry = Registry::of_linked().unwrap();
    let (memory, settings, limits) = (Drawer::default(), Settings::default(), Limits::default());
    let recall = Some(Recall { memory: &memory, program: "1" });
    let intake = Intake { registry: &registry, settings: &settings, limits: &limits, hands: Hands::Threads(1), recall };
    let run = || {
        let mut all = Vec::new();
        import(below(&[folder.path().to_path_buf()]), Vec::new(), intake, &mut |_| {}, &mut |taken| all.push(taken));
        of(&all, "a.bin").notes.join("; ")
    };
    assert_eq!(run(), "");
    std::fs::write(folder.path().join("a.twin"), "CELLS 1").unwrap();
    assert_eq!(run(), "beside a.twin of 7 bytes");
    std::fs::write(folder.path().join("a.twin"), "CELLS 1234").unwrap();
    assert_eq!(run(), "beside a.twin of 10 bytes");
    assert_eq!(run(), "beside a.twin of 10 bytes");
}

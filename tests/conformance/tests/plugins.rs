//! Holds every plugin that `plugins/all` links in, and every folder below `plugins/`, to the conformance kit. There is no list of
//! exceptions; the id of a plugin behind `cargo test -p windrow-conformance` runs what is about it.
//!
//! Damaged samples are read by worker processes, and those are this program: it needs a `main` of its own.

use libtest_mimic::{Arguments, Failed, Trial};
use std::path::Path;
use std::process::ExitCode;
use windrow_importer::Registry;
use windrow_importer::conformance::{self, Complaints};
use windrow_source::Limits;
use windrow_source::worker::{Pool, Program, Role, Terms, Worker, role};

fn main() -> ExitCode {
    let (role, arguments) = role(std::env::args_os());
    let program = match role {
        Role::Worker(worker) => return serve(worker),
        Role::Program(program) => program,
    };
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("../..");
    match trials(&root, &program) {
        Ok(trials) => libtest_mimic::run(&Arguments::from_iter(arguments), trials).exit_code(),
        Err(error) => fail(&error),
    }
}

/// Answers for damaged samples until the pool closes the pipe.
fn serve(worker: Worker) -> ExitCode {
    match windrow_plugins::registry() {
        Ok(registry) => worker.serve(&mut |request| conformance::answer(request, &registry)),
        Err(error) => fail(&error.to_string()),
    }
}

#[expect(clippy::print_stderr, reason = "a test program")]
fn fail(error: &str) -> ExitCode {
    eprintln!("{error}");
    ExitCode::FAILURE
}

/// Two trials for each folder below `plugins/`, and what concerns them all.
fn trials(root: &Path, program: &Program) -> Result<Vec<Trial>, String> {
    let plugins = root.join("plugins");
    let folders = conformance::folders(&plugins).map_err(|error| format!("{}: {error}", plugins.display()))?;
    let mut trials: Vec<Trial> = folders.iter().flat_map(|folder| trials_of(folder, program)).collect();
    trials.push(trial("registered ids are the folders", move |registry| {
        conformance::ids_are_folders(&folders, registry).into_result()?;
        Ok(())
    }));
    let unclaimed = root.join("samples/unclaimed");
    trials.push(trial("what is nobody's stays nobody's", move |registry| {
        conformance::unclaimed(&unclaimed, registry)?.into_result()?;
        Ok(())
    }));
    Ok(trials)
}

fn trials_of(folder: &Path, program: &Program) -> [Trial; 2] {
    let id = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let (of_check, of_damage, program) = (folder.to_path_buf(), folder.to_path_buf(), program.clone());
    [
        trial(&format!("{id} conforms"), move |registry| Ok(conformance::check(&of_check, registry)?)),
        trial(&format!("{id} survives damage"), move |_| Ok(damage(&of_damage, &program)?.into_result()?)),
    ]
}

fn trial(name: &str, test: impl FnOnce(&Registry) -> Result<(), Failed> + Send + 'static) -> Trial {
    Trial::test(name, move || test(&windrow_plugins::registry()?))
}

/// Reads the damaged samples of one plugin under the limits of an import. One worker a plugin: trials run side by side as it is.
fn damage(folder: &Path, program: &Program) -> Result<Complaints, String> {
    let pool = Pool::new(program, Terms::new(1, &Limits::default()), tell);
    Ok(conformance::damaged(&conformance::cases_of(folder)?, &pool))
}

/// What a worker logs is where it panicked.
#[expect(clippy::print_stderr, reason = "a test program")]
fn tell(line: &str) {
    eprintln!("{line}");
}

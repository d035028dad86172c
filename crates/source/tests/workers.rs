//! Workers that misbehave in every way, one request each. This test is its own worker: it needs a `main` of its own.
#![expect(clippy::unwrap_used, clippy::panic, reason = "helpers of tests fail by panicking")]

use libtest_mimic::{Arguments, Trial};
use std::hint::black_box;
use std::process::ExitCode;
use std::sync::{Arc, Mutex};
use windrow_source::worker::{Pool, Program, Role, Terms, role};
use windrow_source::{ReadError, Refusal};

/// Address space of a worker in these tests beyond that of the program.
const MEMORY: u64 = 256 << 20;

fn main() -> ExitCode {
    let (role, arguments) = role(std::env::args_os());
    match role {
        Role::Worker(worker) => worker.serve(&mut answer),
        Role::Program(program) => {
            let trial = |name: &str, test: fn(&Program)| {
                let program = program.clone();
                Trial::test(name, move || {
                    test(&program);
                    Ok(())
                })
            };
            let trials = vec![
                trial("answers_come_in_the_order_of_the_requests", in_order),
                trial("a_worker_lives_over_many_requests", lives),
                trial("more_memory_than_the_limit_costs_one_request", memory),
                trial("an_abort_costs_one_request", abort),
                trial("a_bottomless_recursion_costs_one_request", recursion),
                trial("an_endless_loop_costs_one_request", endless),
                trial("a_worker_that_leaves_costs_one_request", leaves),
                trial("rubbish_on_the_pipe_costs_one_request", rubbish),
                trial("a_panic_is_logged_and_costs_one_request", panics),
                trial("what_a_worker_logs_reaches_the_log", logs),
            ];
            libtest_mimic::run(&Arguments::from_iter(arguments), trials).exit_code()
        }
    }
}

/// What the worker does: requests are its orders.
#[expect(clippy::exit, clippy::print_stderr, reason = "a worker that misbehaves")]
fn answer(request: &[u8]) -> Vec<u8> {
    match request {
        b"allocate" => black_box(vec![1_u8; 1 << 30]),
        b"abort" => std::process::abort(),
        b"recurse" => vec![u8::try_from(deep(black_box(1)) % 2).unwrap()],
        b"loop" => loop {
            std::thread::yield_now();
        },
        b"leave" => std::process::exit(7),
        b"panic" => panic!("a reader with a bug"),
        b"log" => {
            eprintln!("a line of the log");
            Vec::new()
        }
        b"rubbish" => {
            use std::io::Write;
            std::io::stdout().write_all(&[0xff; 64]).unwrap();
            Vec::new()
        }
        b"who" => std::process::id().to_string().into_bytes(),
        other => other.iter().rev().copied().collect(),
    }
}

#[expect(unconditional_recursion, reason = "that is the test")]
fn deep(depth: u64) -> u64 {
    black_box([depth; 64]);
    deep(depth + 1) + black_box(depth)
}

fn ask(program: &Program, workers: usize, requests: &[&[u8]]) -> Vec<Result<Vec<u8>, ReadError>> {
    ask_and_log(program, workers, requests, |_| {})
}

fn ask_and_log(
    program: &Program,
    workers: usize,
    requests: &[&[u8]],
    log: impl Fn(&str) + Send + Sync + 'static,
) -> Vec<Result<Vec<u8>, ReadError>> {
    // Time enough that only the endless loop meets the limit, however busy the machine is.
    let seconds = if requests.contains(&&b"loop"[..]) { 1 } else { 120 };
    let pool = Pool::new(program, Terms { workers, seconds, memory_bytes: MEMORY }, log);
    let mut answers = Vec::new();
    pool.ask_all(requests.len(), &|index| requests[index].to_vec(), &mut |index, answer| {
        assert_eq!(index, answers.len());
        answers.push(answer);
    });
    answers
}

/// The order costs its own request, says why, and the one behind it is answered.
fn costs_one(program: &Program, order: &[u8], why: &str) {
    let answers = ask(program, 1, &[b"ab", order, b"cd"]);
    assert_eq!(answers[0].as_deref(), Ok(&b"ba"[..]));
    assert_eq!(answers[2].as_deref(), Ok(&b"dc"[..]));
    let error = answers[1].as_ref().unwrap_err();
    assert_eq!(error.refusal, Refusal::Crashed);
    assert!(error.to_string().contains(why), "{error}");
}

fn in_order(program: &Program) {
    let requests: Vec<String> = (0..100).map(|number| format!("{number:03}")).collect();
    let requests: Vec<&[u8]> = requests.iter().map(String::as_bytes).collect();
    let expected: Vec<Vec<u8>> = requests.iter().map(|text| text.iter().rev().copied().collect()).collect();
    for workers in [1, 3] {
        let answers: Vec<Vec<u8>> = ask(program, workers, &requests).into_iter().map(Result::unwrap).collect();
        assert_eq!(answers, expected);
    }
}

fn lives(program: &Program) {
    let answers = ask(program, 1, &[b"who", b"who", b"abort", b"who", b"who"]);
    let who = |index: usize| answers[index].as_ref().unwrap();
    assert_eq!(who(0), who(1));
    assert_ne!(who(1), who(3));
    assert_eq!(who(3), who(4));
}

fn memory(program: &Program) {
    if cfg!(target_os = "linux") {
        costs_one(program, b"allocate", "more memory than the limit of 256 MiB");
    }
}

fn abort(program: &Program) {
    costs_one(program, b"abort", "the process that read it ended with signal");
}

fn recursion(program: &Program) {
    costs_one(program, b"recurse", "went too deep");
}

fn endless(program: &Program) {
    costs_one(program, b"loop", "longer than the limit of 1 s");
}

fn leaves(program: &Program) {
    costs_one(program, b"leave", "ended with exit status: 7");
}

fn rubbish(program: &Program) {
    let answers = ask(program, 1, &[b"rubbish", b"ab"]);
    assert_eq!(answers[0].as_ref().unwrap_err().refusal, Refusal::Crashed);
    assert_eq!(answers[1].as_deref(), Ok(&b"ba"[..]));
}

fn panics(program: &Program) {
    costs_one(program, b"panic", "the process that read it ended");
}

fn logs(program: &Program) {
    let lines = Arc::new(Mutex::new(Vec::new()));
    let kept = Arc::clone(&lines);
    let answers = ask_and_log(program, 1, &[b"log"], move |line| kept.lock().unwrap().push(line.to_owned()));
    assert!(answers[0].is_ok());
    // The pool is gone here, and with it every line has been passed on.
    assert_eq!(*lines.lock().unwrap(), ["a line of the log"]);
}

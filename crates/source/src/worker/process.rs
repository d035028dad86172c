//! One worker process as its program sees it.

use super::pool::Terms;
use super::{MARK, Program, frame};
use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Read, Result};
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;
use std::time::Duration;

/// Lines of standard error kept to tell why a worker died.
const LAST_LINES: usize = 8;
/// Longest line of standard error that is kept or passed on, bytes.
const LONGEST_LINE: u64 = 64 << 10;

/// Where the log lines of workers go.
pub(super) type Log = Arc<dyn Fn(&str) + Send + Sync>;

/// Why there is no answer.
#[derive(Debug)]
pub(super) enum Death {
    /// It took longer than it may, and was ended.
    Time,
    /// It ended by itself.
    Ended {
        /// How.
        status: Option<ExitStatus>,
        /// What it wrote last to standard error.
        last_lines: String,
    },
}

/// A running worker. Dropping it ends it.
#[derive(Debug)]
pub(super) struct Process {
    child: Child,
    requests: Option<ChildStdin>,
    answers: Receiver<Vec<u8>>,
    last_lines: Arc<Mutex<VecDeque<String>>>,
    listener: Option<JoinHandle<()>>,
}

impl Process {
    /// Starts a worker.
    pub(super) fn start(program: &Program, terms: &Terms, log: &Log) -> Result<Self> {
        let mut child = Command::new(&program.path)
            .arg(MARK)
            .arg(terms.memory_bytes.to_string())
            .args(&program.arguments)
            // One arena: the allocator would else set aside address space for each thread, which counts against the limit.
            .env("MALLOC_ARENA_MAX", "1")
            // A trace behind the last words of a process that has run out of memory would bury them.
            .env("RUST_BACKTRACE", "0")
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let (sender, answers) = channel();
        let (requests, out, err) = (child.stdin.take(), child.stdout.take(), child.stderr.take());
        let most = terms.memory_bytes;
        std::thread::spawn(move || {
            let Some(mut out) = out.map(BufReader::new) else { return };
            while let Ok(Some(answer)) = frame::read(&mut out, most) {
                if sender.send(answer).is_err() {
                    return;
                }
            }
        });
        let last_lines = Arc::new(Mutex::new(VecDeque::new()));
        let (kept, log) = (Arc::clone(&last_lines), Arc::clone(log));
        let listener = std::thread::spawn(move || {
            if let Some(err) = err {
                listen(err, &kept, &*log);
            }
        });
        Ok(Self { child, requests, answers, last_lines, listener: Some(listener) })
    }

    /// Asks and waits for the answer, but no longer than `seconds`. After a death it cannot be asked again.
    pub(super) fn ask(&mut self, request: &[u8], seconds: u64) -> std::result::Result<Vec<u8>, Death> {
        let sent = self.requests.as_mut().is_some_and(|requests| frame::write(requests, request).is_ok());
        if !sent {
            return Err(self.ended());
        }
        match self.answers.recv_timeout(Duration::from_secs(seconds)) {
            Ok(answer) => Ok(answer),
            Err(RecvTimeoutError::Timeout) => Err(Death::Time),
            Err(RecvTimeoutError::Disconnected) => Err(self.ended()),
        }
    }

    fn ended(&mut self) -> Death {
        let status = self.stop();
        let lines = self.last_lines.lock().unwrap_or_else(PoisonError::into_inner);
        Death::Ended { status, last_lines: lines.iter().map(String::as_str).collect::<Vec<_>>().join("\n") }
    }

    /// Ends it; all that it logged has been passed on then.
    fn stop(&mut self) -> Option<ExitStatus> {
        self.requests = None;
        // One that has died already keeps its own status; one that sent rubbish or still computes gets this one.
        let _ = self.child.kill();
        let status = self.child.wait().ok();
        if let Some(listener) = self.listener.take() {
            let _ = listener.join();
        }
        status
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        self.stop();
    }
}

fn listen(err: impl Read, kept: &Mutex<VecDeque<String>>, log: &dyn Fn(&str)) {
    let mut err = BufReader::new(err);
    let mut line = Vec::new();
    loop {
        line.clear();
        match err.by_ref().take(LONGEST_LINE).read_until(b'\n', &mut line) {
            Ok(0) | Err(_) => return,
            Ok(_) => {}
        }
        let text = String::from_utf8_lossy(&line);
        let text = text.trim_end();
        if text.is_empty() {
            continue;
        }
        log(text);
        let mut kept = kept.lock().unwrap_or_else(PoisonError::into_inner);
        if kept.len() == LAST_LINES {
            kept.pop_front();
        }
        kept.push_back(text.to_owned());
    }
}

//! The life of a worker: a request, an answer, until nobody asks any more.

use super::{frame, memory};
use std::io::{stdin, stdout};
use std::process::ExitCode;
use std::sync::mpsc::{SyncSender, sync_channel};

/// This process as a worker.
#[derive(Debug)]
pub struct Worker {
    pub(super) memory_bytes: u64,
}

impl Worker {
    /// Answers requests under the memory limit until the program that started it ends or has no more. `answer` may panic, run out
    /// of memory or never return: that costs the request only.
    pub fn serve(self, answer: &mut dyn FnMut(&[u8]) -> Vec<u8>) -> ExitCode {
        std::panic::set_hook(Box::new(|panic| tracing::error!(%panic, "a bug of ours")));
        let (sender, requests) = sync_channel(1);
        let feeder = std::thread::Builder::new().name("requests".to_owned()).spawn(move || feed(&sender));
        if let Err(error) = feeder {
            tracing::error!(%error, "a worker cannot start its thread");
            return ExitCode::FAILURE;
        }
        memory::limit(self.memory_bytes);
        for request in requests {
            let answer = answer(&request);
            if frame::write(&mut stdout().lock(), &answer).is_err() {
                return ExitCode::FAILURE;
            }
        }
        ExitCode::SUCCESS
    }
}

/// Takes requests from standard input. When the program that asks is gone, a worker that still computes ends at once: nobody would
/// ever end it.
fn feed(requests: &SyncSender<Vec<u8>>) {
    let mut input = stdin().lock();
    while let Ok(Some(request)) = frame::read(&mut input, u64::MAX) {
        if requests.send(request).is_err() {
            break;
        }
    }
    #[expect(clippy::exit, reason = "the other thread may be in a computation that never ends")]
    std::process::exit(0);
}

//! Progress: a bar on a terminal, a plain line now and then elsewhere.

use indicatif::{ProgressBar, ProgressStyle};
use std::io::IsTerminal;

/// Progress over a known number of files.
pub(crate) struct Progress {
    bar: Option<ProgressBar>,
    total: usize,
    done: usize,
    told: usize,
}

impl Progress {
    /// Begins counting `total` files.
    pub(crate) fn begin(total: usize) -> Self {
        let bar = std::io::stderr().is_terminal().then(|| {
            let bar = ProgressBar::new(total as u64);
            if let Ok(style) = ProgressStyle::with_template("{pos}/{len} files [{bar:30}] {wide_msg}") {
                bar.set_style(style.progress_chars("=> "));
            }
            bar
        });
        Self { bar, total, done: 0, told: 0 }
    }

    /// One more file is done.
    pub(crate) fn file_done(&mut self, name: &str) {
        self.done += 1;
        if let Some(bar) = &self.bar {
            bar.set_message(name.to_owned());
            bar.inc(1);
        } else if self.is_worth_a_line() {
            self.told = self.done;
            crate::output::note(&format!("read {} of {} files", self.done, self.total));
        }
    }

    /// Ten lines at most, so that a log of a scheduled run stays readable.
    fn is_worth_a_line(&self) -> bool {
        self.done == self.total || (self.done - self.told) * 10 >= self.total
    }

    /// Ends the bar.
    pub(crate) fn end(self) {
        if let Some(bar) = self.bar {
            bar.finish_and_clear();
        }
    }
}

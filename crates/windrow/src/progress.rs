//! Progress: a bar on a terminal, a plain line now and then elsewhere.

use indicatif::{ProgressBar, ProgressStyle};
use std::io::IsTerminal;
use windrow_importer::Stage;

/// Progress over the sources of an import, stage by stage.
#[derive(Default)]
pub(crate) struct Progress {
    stage: Option<Stage>,
    bar: Option<ProgressBar>,
    done: usize,
    told: usize,
}

impl Progress {
    /// One more source is done.
    pub(crate) fn tell(&mut self, progress: windrow_importer::Progress<'_>) {
        if self.stage != Some(progress.stage) {
            self.begin(progress.stage, progress.of);
        }
        self.done += 1;
        if let Some(bar) = &self.bar {
            bar.set_message(progress.source_file.to_owned());
            bar.inc(1);
        } else if progress.stage == Stage::Understanding && self.is_worth_a_line(progress.of) {
            self.told = self.done;
            crate::output::note(&format!("read {} of {} files", self.done, progress.of));
        }
    }

    fn begin(&mut self, stage: Stage, of: usize) {
        self.end();
        let doing = match stage {
            Stage::Looking => "looked at",
            Stage::Understanding => "read",
        };
        self.bar = std::io::stderr().is_terminal().then(|| {
            let bar = ProgressBar::new(of as u64);
            if let Ok(style) =
                ProgressStyle::with_template(&format!("{doing} {{pos}}/{{len}} files [{{bar:30}}] {{wide_msg}}"))
            {
                bar.set_style(style.progress_chars("=> "));
            }
            bar
        });
        (self.stage, self.done, self.told) = (Some(stage), 0, 0);
    }

    /// Ten lines at most, so that a log of a scheduled run stays readable.
    fn is_worth_a_line(&self, of: usize) -> bool {
        self.done == of || (self.done - self.told) * 10 >= of
    }

    /// Ends the bar.
    pub(crate) fn end(&mut self) {
        if let Some(bar) = self.bar.take() {
            bar.finish_and_clear();
        }
    }
}

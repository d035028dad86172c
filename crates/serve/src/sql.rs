//! SQL of people: answered by a process of its own, under limits of rows, time and memory. It ends when nobody waits for it any
//! more, so that leaving the page or ending the connection is the way to cancel.

use crate::trouble::Trouble;
use std::path::{Path, PathBuf};
use std::process::Stdio;
use std::time::Duration;
use tokio::io::AsyncReadExt;
use tokio::process::{Child, Command};
use tokio::sync::Semaphore;
use tokio::time::timeout;

/// What one statement may cost.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Limits {
    /// Rows shown on a page.
    pub shown_rows: u32,
    /// Rows of a file that is taken away.
    pub file_rows: u32,
    /// Seconds.
    pub seconds: u64,
    /// Memory, MiB.
    pub memory_mib: u32,
    /// Size of the answer, MiB.
    pub answer_mib: u64,
}

impl Default for Limits {
    fn default() -> Self {
        Self { shown_rows: 1000, file_rows: 1_000_000, seconds: 30, memory_mib: 2048, answer_mib: 256 }
    }
}

/// Statements answered at one time; further ones wait.
const AT_ONCE: usize = 2;
/// Longest statement, bytes: it is handed on as an argument of a process.
const LONGEST: usize = 64 << 10;

/// What answers SQL.
#[derive(Debug)]
pub(crate) struct Sql {
    program: PathBuf,
    pub(crate) limits: Limits,
    turns: Semaphore,
}

/// Form of an answer.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Form {
    Csv,
    Json,
    Parquet,
}

impl Form {
    /// The form of a code.
    pub(crate) fn of(code: &str) -> Option<Self> {
        [Self::Csv, Self::Json, Self::Parquet].into_iter().find(|form| form.code() == code)
    }

    /// Its code, and the end of a file's name.
    pub(crate) const fn code(self) -> &'static str {
        match self {
            Self::Csv => "csv",
            Self::Json => "json",
            Self::Parquet => "parquet",
        }
    }

    /// Its media type.
    pub(crate) const fn media_type(self) -> &'static str {
        match self {
            Self::Csv => "text/csv; charset=utf-8",
            Self::Json => "application/json",
            Self::Parquet => "application/vnd.apache.parquet",
        }
    }
}

impl Sql {
    pub(crate) fn new(program: PathBuf, limits: Limits) -> Self {
        Self { program, limits, turns: Semaphore::new(AT_ONCE) }
    }

    /// Statements that are being answered.
    pub(crate) fn running(&self) -> usize {
        AT_ONCE.saturating_sub(self.turns.available_permits())
    }

    /// The answer to one statement over the newest snapshot of `fleet`, with no more than its first `rows` rows.
    ///
    /// # Errors
    /// [`Trouble::Wrong`] when the statement is at fault or would write, [`Trouble::TooMuch`] when it runs away.
    pub(crate) async fn answer(
        &self,
        fleet: &Path,
        statement: &str,
        (form, rows): (Form, u32),
    ) -> Result<Vec<u8>, Trouble> {
        if statement.trim().is_empty() {
            return Err(Trouble::Wrong("The SQL is empty; try \"SHOW TABLES\".".to_owned()));
        }
        if statement.len() > LONGEST || statement.contains('\0') {
            return Err(Trouble::Wrong(format!(
                "The SQL is longer than {} KiB, or holds a character that no SQL has.",
                LONGEST >> 10
            )));
        }
        let seconds = Duration::from_secs(self.limits.seconds);
        // Waiting for others is no fault of the statement: its time begins with its turn.
        let Ok(_turn) = timeout(seconds, self.turns.acquire()).await else {
            return Err(Trouble::Busy(format!(
                "Other statements are being answered, and none of them ended within {} s; nothing is wrong with this one. Ask again later.",
                self.limits.seconds
            )));
        };
        let answered = async {
            let child = self.start(fleet, statement, (form, rows)).map_err(|error| Trouble::Broken(error.into()))?;
            self.wait(child).await
        };
        timeout(seconds, answered).await.unwrap_or_else(|_| {
            Err(Trouble::TooMuch(format!(
                "The statement was ended after {} s. Ask for less: fewer rows by WHERE, or a join with a condition.",
                self.limits.seconds
            )))
        })
    }

    fn start(&self, fleet: &Path, statement: &str, (form, rows): (Form, u32)) -> std::io::Result<Child> {
        Command::new(&self.program)
            .arg("query")
            .arg("--fleet")
            .arg(fleet)
            .args(["--format", form.code(), "--first", &rows.to_string()])
            .args(["--memory-mib", &self.limits.memory_mib.to_string()])
            .args(["--", statement])
            .env("MALLOC_ARENA_MAX", "1")
            .env("RUST_BACKTRACE", "0")
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            // Whoever stops waiting ends it.
            .kill_on_drop(true)
            .spawn()
    }

    async fn wait(&self, mut child: Child) -> Result<Vec<u8>, Trouble> {
        let broken = |error: std::io::Error| Trouble::Broken(error.into());
        let most = self.limits.answer_mib << 20;
        let (mut answer, mut said) = (Vec::new(), Vec::new());
        let out = child.stdout.take();
        let err = child.stderr.take();
        let read_answer = async {
            if let Some(out) = out {
                out.take(most + 1).read_to_end(&mut answer).await?;
            }
            Ok(())
        };
        let read_said = async {
            if let Some(err) = err {
                err.take(64 << 10).read_to_end(&mut said).await?;
            }
            Ok(())
        };
        tokio::try_join!(read_answer, read_said).map_err(broken)?;
        if answer.len() as u64 > most {
            return Err(Trouble::TooMuch(format!(
                "The answer is larger than {} MiB; ask for less.",
                self.limits.answer_mib
            )));
        }
        let status = child.wait().await.map_err(broken)?;
        let said = String::from_utf8_lossy(&said);
        let said = said.trim().trim_start_matches("windrow: ");
        match status.code() {
            Some(0) => Ok(answer),
            Some(2) => Err(Trouble::Wrong(said.to_owned())),
            Some(3) => Err(Trouble::Broken(anyhow::anyhow!("{said}"))),
            // No code: the system ended it, as it does when no memory is left.
            _ => Err(Trouble::TooMuch(format!(
                "The statement needed more than {} MiB of memory, or its engine gave up. Ask for less: fewer rows by WHERE, or a join with a condition.",
                self.limits.memory_mib
            ))),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::{AT_ONCE, Form, Limits, Sql};
    use crate::trouble::Trouble;
    use std::path::Path;

    #[tokio::test]
    async fn a_statement_whose_turn_does_not_come_waits_no_longer_than_it_may_take() {
        let sql = Sql::new("none".into(), Limits { seconds: 0, ..Limits::default() });
        let _others = sql.turns.acquire_many(AT_ONCE.try_into().unwrap()).await.unwrap();
        let told = sql.answer(Path::new("none"), "SHOW TABLES", (Form::Csv, 1)).await;
        assert!(matches!(&told, Err(Trouble::Busy(text)) if text.contains("later")), "{told:?}");
    }
}

//! The web application over the demo records, asked as browsers and programs ask.

mod answers;
mod outcomes;
mod refused;
mod shown;

use crate::{folder, on, program};
use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::path::{Path, PathBuf};
use std::process::{Child, Stdio};

/// The application; dropping it ends it.
struct Application {
    child: Child,
    host: String,
}

/// What it answered.
#[derive(Debug)]
struct Answer {
    status: u16,
    head: String,
    body: String,
}

impl Answer {
    /// The value of a header; empty without one.
    fn header(&self, name: &str) -> &str {
        let lines = self.head.lines().filter_map(|line| line.split_once(": "));
        lines.into_iter().find(|(own, _)| own.eq_ignore_ascii_case(name)).map(|(_, value)| value).unwrap_or_default()
    }
}

impl Application {
    fn over(fleet: &Path, more: &[&str]) -> Self {
        let mut child = program()
            .args(["serve", "--port", "0", "--fleet", fleet.to_str().unwrap()])
            .args(more)
            .stdout(Stdio::piped())
            .spawn()
            .unwrap();
        let mut line = String::new();
        BufReader::new(child.stdout.take().unwrap()).read_line(&mut line).unwrap();
        let url = line.split_whitespace().find(|word| word.starts_with("http://")).unwrap();
        let host = url.trim_start_matches("http://").split('/').next().unwrap().to_owned();
        Self { child, host }
    }

    /// Sends a request as it stands, and takes the answer.
    fn send(&self, request: &str) -> Answer {
        let mut stream = TcpStream::connect(&self.host).unwrap();
        stream.write_all(request.as_bytes()).unwrap();
        let mut bytes = Vec::new();
        stream.read_to_end(&mut bytes).unwrap();
        let text = String::from_utf8_lossy(&bytes).into_owned();
        let (head, body) = text.split_once("\r\n\r\n").unwrap();
        let status = head.split_whitespace().nth(1).unwrap().parse().unwrap();
        Answer { status, head: head.to_owned(), body: body.to_owned() }
    }

    fn get(&self, path: &str) -> Answer {
        self.send(&format!("GET {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\n\r\n", self.host))
    }

    /// Sends a form as a page of the application does.
    fn form(&self, path: &str, form: &str) -> Answer {
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nHost: {0}\r\nOrigin: http://{0}\r\nConnection: close\r\nContent-Type: \
             application/x-www-form-urlencoded\r\nContent-Length: {1}\r\n\r\n{form}",
            self.host,
            form.len()
        ))
    }

    /// Sends JSON as a program does.
    fn json(&self, path: &str, body: &str) -> Answer {
        self.send(&format!(
            "POST {path} HTTP/1.1\r\nHost: {}\r\nConnection: close\r\nContent-Type: application/json\r\nContent-Length: {}\r\n\r\n{body}",
            self.host,
            body.len()
        ))
    }

    /// What a program reads.
    fn read(&self, path: &str) -> serde_json::Value {
        let answer = self.get(path);
        assert_eq!(answer.status, 200, "{path}: {}", answer.body);
        serde_json::from_str(&answer.body).unwrap()
    }
}

impl Drop for Application {
    fn drop(&mut self) {
        self.child.kill().unwrap();
        self.child.wait().unwrap();
    }
}

/// The fleet of the demo records, for tests that only look.
fn demo() -> &'static Path {
    &crate::demo().0
}

/// A fleet of its own for a test that changes it, in a folder that goes with the test.
fn fleet_of(records: &Path) -> (tempfile::TempDir, PathBuf) {
    let folder = folder();
    let fleet = folder.path().join("plant");
    read_into(&fleet, records);
    (folder, fleet)
}

fn read_into(fleet: &Path, records: &Path) {
    let said = on(fleet, "run", &[records.to_str().unwrap()]);
    assert!(said.status.is_some_and(|status| status < 2), "{}", said.err);
}

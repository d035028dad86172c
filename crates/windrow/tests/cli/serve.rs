//! The web application over the demo records, asked as browsers and programs ask.

mod outcomes;

use crate::{SAMPLES, folder, on, program};
use std::fs;
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

#[test]
fn what_does_not_exist_is_said_to_be_missing() {
    let application = Application::over(demo(), &[]);
    for path in [
        "/machines/none",
        "/findings/none",
        "/questions/none",
        "/readings/none",
        "/tests/none",
        "/intake/source?file=none",
        "/intake/source?file=../decisions.toml",
        "/no/such/page",
        "/assets/../windrow.toml",
        "/windrow.toml",
        "/store/schema_version",
    ] {
        let answer = application.get(path);
        assert_eq!(answer.status, 404, "{path}");
        assert!(answer.body.contains("There is no"), "{path}: {}", answer.body);
    }
    for path in [
        "/api/v1/machines/none",
        "/api/v1/findings/none",
        "/api/v1/readings/none",
        "/api/v1/cells?file=none",
        "/api/v1/none",
    ] {
        let answer = application.get(path);
        assert_eq!(answer.status, 404, "{path}");
        assert!(answer.body.contains("\"not_found\""), "{path}: {}", answer.body);
    }
}

#[test]
fn other_hosts_and_other_sites_are_refused() {
    let application = Application::over(demo(), &[]);
    let named = application.send("GET / HTTP/1.1\r\nHost: evil.example\r\nConnection: close\r\n\r\n");
    assert_eq!(named.status, 403, "{}", named.body);
    let before = fs::read(demo().join("decisions.toml")).ok();
    let crossing = application.send(&format!(
        "POST /apply HTTP/1.1\r\nHost: {}\r\nOrigin: http://evil.example\r\nConnection: close\r\nContent-Length: 0\r\n\r\n",
        application.host
    ));
    assert_eq!(crossing.status, 403, "{}", crossing.body);
    assert_eq!(fs::read(demo().join("decisions.toml")).ok(), before);
    assert_eq!(application.read("/api/v1/work")["state"], "idle", "nothing was begun");
}

#[test]
fn a_page_lets_no_script_run_but_its_own_and_no_other_site_frame_it() {
    let answer = Application::over(demo(), &[]).get("/");
    let policy = answer.header("content-security-policy");
    assert!(policy.contains("default-src 'none'") && policy.contains("script-src 'self'"), "{policy}");
    assert!(policy.contains("frame-ancestors 'none'") && !policy.contains("unsafe"), "{policy}");
    assert_eq!(answer.header("x-content-type-options"), "nosniff");
    assert!(!answer.body.contains("style=") && !answer.body.contains("onclick"), "nothing inline");
}

#[test]
fn a_token_that_is_wanted_opens_pages_once_it_was_shown() {
    let application = Application::over(demo(), &["--token", "c0ffee"]);
    assert_eq!(application.get("/").status, 401);
    assert_eq!(application.get("/?token=wrong").status, 401);
    let shown = application.get("/?token=c0ffee");
    assert_eq!((shown.status, shown.header("location")), (303, "/"), "it leaves the address");
    let cookie = shown.header("set-cookie");
    assert!(cookie.contains("HttpOnly") && cookie.contains("SameSite=Strict"), "{cookie}");
    let with = format!(
        "GET / HTTP/1.1\r\nHost: {}\r\nCookie: {}\r\nConnection: close\r\n\r\n",
        application.host,
        cookie.split(';').next().unwrap()
    );
    assert_eq!(application.send(&with).status, 200);
}

#[test]
fn text_of_cells_is_text() {
    let records = folder();
    let hostile = "<script>alert(1)</script>";
    let table = format!("Motor,Date,IR 1 min (MΩ),Remarks\nP-1 {hostile},2001-05-04,100,{hostile}\n");
    fs::write(records.path().join("log <img src=x>.csv"), table).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    let mut pages = vec!["/".to_owned(), "/intake".to_owned(), "/findings".to_owned()];
    let sources = application.read("/api/v1/sources");
    let file = sources["sources"][0]["source_file"]
        .as_str()
        .unwrap()
        .replace(' ', "%20")
        .replace('<', "%3C")
        .replace('>', "%3E")
        .replace('=', "%3D");
    pages.push(format!("/intake/source?file={file}&at=D2"));
    for machine in application.read("/api/v1/machines")["machines"].as_array().unwrap() {
        pages.push(format!("/machines/{}", machine["asset_id"].as_str().unwrap()));
    }
    assert!(pages.len() > 4, "a machine");
    for page in pages {
        let answer = application.get(&page);
        assert_eq!(answer.status, 200, "{page}");
        assert!(!answer.body.contains("<script>alert") && !answer.body.contains("<img src=x"), "{page}");
    }
    assert!(
        application.get(&format!("/intake/source?file={file}&at=D2")).body.contains("&lt;script&gt;alert"),
        "the text is shown"
    );
}

#[test]
fn sql_that_writes_is_refused_and_sql_that_runs_away_is_ended() {
    let application = Application::over(demo(), &["--query-seconds", "20", "--query-mib", "192"]);
    for sql in ["DROP TABLE readings", "DELETE FROM readings", "CREATE TABLE t AS SELECT 1", "SELECT 1; SELECT 2", ""] {
        let answer = application.json("/api/v1/query", &serde_json::json!({ "sql": sql }).to_string());
        assert_eq!(answer.status, 400, "{sql}: {}", answer.body);
    }
    let runaway = "SELECT count(*) AS n FROM cells a CROSS JOIN cells b CROSS JOIN cells c";
    let answer = application.json("/api/v1/query", &serde_json::json!({ "sql": runaway }).to_string());
    assert_eq!(answer.status, 422, "{}", answer.body);
    assert!(answer.body.contains("MiB") || answer.body.contains("ended after"), "{}", answer.body);
    let page = application.form("/query", "sql=SELECT+count(*)+AS+n+FROM+readings");
    assert!(page.status == 200 && page.body.contains("1 row"), "it still answers");
    assert_eq!(application.read("/api/v1/work")["queries"], 0, "nothing of it is left");
}

#[test]
fn an_answer_is_a_file_in_each_form_and_rows_are_limited() {
    let application = Application::over(demo(), &[]);
    let sql = "sql=SELECT+tag+FROM+assets+ORDER+BY+tag";
    let csv = application.form("/query/file", &format!("{sql}&form=csv"));
    assert!(csv.header("content-disposition").contains("answer.csv") && csv.body.starts_with("tag\n"), "{}", csv.body);
    assert!(application.form("/query/file", &format!("{sql}&form=parquet")).body.starts_with("PAR1"));
    let json: serde_json::Value =
        serde_json::from_str(&application.form("/query/file", &format!("{sql}&form=json")).body).unwrap();
    assert_eq!(json.as_array().map(Vec::len), Some(csv.body.lines().count() - 1));
    let two = application.json("/api/v1/query", "{\"sql\": \"SELECT tag FROM assets ORDER BY tag\", \"rows\": 2}");
    assert_eq!(serde_json::from_str::<serde_json::Value>(&two.body).unwrap().as_array().map(Vec::len), Some(2));
}

#[test]
fn of_two_answers_to_one_question_the_second_is_told_the_first() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let question = application.read("/api/v1/questions")["questions"][0].clone();
    let (id, seen) = (question["holds"][0]["hold_id"].as_str().unwrap(), question["seen"].as_str().unwrap());
    let body = |by: &str| serde_json::json!({ "answer": "no reading", "seen": seen, "by": by }).to_string();
    let path = format!("/api/v1/questions/{id}/answer");
    let first = application.json(&path, &body("first engineer"));
    assert_eq!(first.status, 200, "{}", first.body);
    let second = application.json(&path, &body("second engineer"));
    assert_eq!(second.status, 409, "{}", second.body);
    assert!(second.body.contains("first engineer"), "{}", second.body);
    let written = fs::read_to_string(fleet.join("decisions.toml")).unwrap();
    assert!(written.contains("first engineer") && !written.contains("second engineer"));
    // Taken back, it can be answered anew; taken back twice is told.
    let ruling = application.read("/api/v1/decisions")["decisions"][0]["ruling"].as_str().unwrap().to_owned();
    let back = serde_json::json!({ "ruling": ruling }).to_string();
    assert_eq!(application.json("/api/v1/decisions/take-back", &back).status, 200);
    assert_eq!(application.json("/api/v1/decisions/take-back", &back).status, 409);
    assert_eq!(application.json(&path, &body("second engineer")).status, 200);
}

#[test]
fn an_answer_of_another_form_is_refused_and_nothing_is_written() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let question = application.read("/api/v1/questions")["questions"][0].clone();
    let id = question["holds"][0]["hold_id"].as_str().unwrap();
    let body = serde_json::json!({ "answer": "perhaps", "seen": question["seen"] }).to_string();
    let answer = application.json(&format!("/api/v1/questions/{id}/answer"), &body);
    assert_eq!(answer.status, 400, "{}", answer.body);
    assert!(!fleet.join("decisions.toml").exists());
}

#[test]
fn a_fleet_that_changes_underneath_is_seen_as_it_is_then() {
    let records = folder();
    let row = |tag: &str| format!("Motor,Date,IR 1 min (MΩ)\n{tag},2001-05-04,100\n");
    fs::write(records.path().join("a.csv"), row("P-1")).unwrap();
    let (_folder, fleet) = fleet_of(records.path());
    let application = Application::over(&fleet, &[]);
    assert_eq!(application.read("/api/v1/machines")["total"], 1);
    fs::write(records.path().join("b.csv"), row("P-2")).unwrap();
    read_into(&fleet, records.path());
    assert_eq!(application.read("/api/v1/machines")["total"], 2);
    assert!(application.get("/").body.contains("P-2"));
}

#[test]
fn of_two_words_on_a_finding_the_second_is_told_the_first() {
    let (_folder, fleet) = fleet_of(Path::new(SAMPLES));
    let application = Application::over(&fleet, &[]);
    let finding = application.read("/api/v1/findings")["findings"][0].clone();
    let path = format!("/findings/{}/word", finding["finding_id"].as_str().unwrap());
    let form = format!("word=acknowledged&level={}&reason=rewind+ordered&by=first", finding["level"].as_str().unwrap());
    assert_eq!(application.form(&path, &form).status, 303);
    let second = application.form(&path, &form.replace("first", "second"));
    assert_eq!(second.status, 409, "{}", second.body);
    assert!(second.body.contains("rewind ordered"), "it tells what was said: {}", second.body);
    let states = on(&fleet, "query", &["SELECT state FROM findings WHERE state = 'acknowledged'", "--format", "csv"]);
    assert_eq!(states.out.lines().count(), 2, "one is acknowledged, as the command line sees it");
    let without = application.form(&path, "word=taken_back&reason=+");
    assert_eq!(without.status, 400, "a reason is needed");
}

//! Who may ask what, and what is refused.

use super::{Application, demo, fleet_of};
use crate::{SAMPLES, on, program};
use std::fs;
use std::path::Path;

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
    let application = Application::over(demo(), &["--token", "c0ffee-c0ffee-c0ffee"]);
    assert_eq!(application.get("/").status, 401);
    assert_eq!(application.get("/?token=wrong").status, 401);
    let shown = application.get("/?token=c0ffee-c0ffee-c0ffee");
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
fn a_token_that_anyone_guesses_opens_no_door() {
    for token in ["", " ", "c0ffee", "sixteen letters!", "semicolon;in;the;cookie"] {
        let said = on(demo(), "serve", &["--port", "0", "--token", token]);
        assert!(said.status == Some(2) && said.err.contains("16"), "{token:?}: {:?} {}", said.status, said.err);
    }
    let mut program = program();
    program.args(["serve", "--port", "0", "--fleet", demo().to_str().unwrap()]).env("WINDROW_TOKEN", "");
    let said = program.output().unwrap();
    assert_eq!(said.status.code(), Some(2), "{}", String::from_utf8_lossy(&said.stderr));
}

#[test]
fn sql_that_writes_is_refused_and_sql_that_runs_away_is_ended() {
    let application = Application::over(demo(), &["--query-seconds", "20", "--query-mib", "192"]);
    for sql in ["DROP TABLE readings", "DELETE FROM readings", "CREATE TABLE t AS SELECT 1", "SELECT 1; SELECT 2", ""] {
        let answer = application.json("/api/v1/query", &serde_json::json!({ "sql": sql }).to_string());
        assert_eq!(answer.status, 400, "{sql}: {}", answer.body);
    }
    let (_other, fleet) = fleet_of(Path::new(SAMPLES));
    let table = format!("read_parquet('{}/store/assets/*.parquet')", fleet.display());
    for sql in [
        format!("SELECT tag FROM {table}"),
        format!("WITH a AS (SELECT tag FROM {table}) SELECT tag FROM a"),
        format!("SELECT a.tag FROM assets a JOIN {table} b ON a.tag = b.tag"),
    ] {
        let answer = application.json("/api/v1/query", &serde_json::json!({ "sql": sql }).to_string());
        assert_eq!(answer.status, 400, "{sql}: {}", answer.body);
        assert!(answer.body.contains("only the tables of the fleet"), "{sql}: {}", answer.body);
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
fn a_name_that_an_operation_does_not_know_is_refused_with_those_it_knows() {
    let application = Application::over(demo(), &[]);
    for (path, known) in [
        ("/api/v1/findings?levle=act", "level, state, limit, offset"),
        ("/api/v1/findings?level=act&level=plan", "tell it once"),
        ("/api/v1/decisions?limit=3", "takes none"),
    ] {
        let answer = application.get(path);
        assert!(answer.status == 400 && answer.body.contains(known), "{path}: {} {}", answer.status, answer.body);
    }
    let body = serde_json::json!({ "answer": "no reading", "seen": "", "hold": ["x"] }).to_string();
    let answer = application.json("/api/v1/questions/none/answer", &body);
    assert!(answer.status == 400 && answer.body.contains("answer, seen, holds, why, by"), "{}", answer.body);
    let answer = application.json("/api/v1/apply?now=yes", "{}");
    assert!(answer.status == 400 && answer.body.contains("takes none"), "{}", answer.body);
    assert_eq!(application.read("/api/v1/work")["state"], "idle", "nothing was begun");
}

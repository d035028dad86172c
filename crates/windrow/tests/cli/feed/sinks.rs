//! Sinks that are full, wrong, refusing or hostile: each says what and where, nothing is lost, and the others go on.

use super::server::{Mood, Server};
use super::{DRIED, GOOD, LOW, configure, events, feed, finding, keep};
use crate::{folder, on, program};
use std::fs;

#[test]
fn requests_are_signed_and_secrets_stand_nowhere() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let server = Server::start(Mood::Kind);
    configure(
        &fleet,
        &format!(
            "[[sink]]\nname = \"m\"\nto = \"http\"\nurl = \"{}\"\nsecret_env = \"TEST_SECRET\"\ntoken_file = \"feed/token\"\n",
            server.url
        ),
    );
    let (secret, token) = ("whsec_MfKQ9r8GKYqrTwjUPD8ILPZIo2LaLaSw", "a-token-of-the-test");
    fs::write(fleet.join("feed/token"), token).unwrap();
    #[cfg(unix)]
    {
        use std::os::unix::fs::PermissionsExt;
        fs::set_permissions(fleet.join("feed/token"), fs::Permissions::from_mode(0o644)).unwrap();
        let said = feed(&fleet, &[]);
        assert!(said.status == Some(3) && said.err.contains("TEST_SECRET"), "{}", said.err);
        let mut open = program();
        open.args(["feed", "--fleet", fleet.to_str().unwrap()]).env("TEST_SECRET", secret);
        let said: crate::Said = open.output().unwrap().into();
        assert!(said.status == Some(3) && said.err.contains("chmod 600"), "{}", said.err);
        fs::set_permissions(fleet.join("feed/token"), fs::Permissions::from_mode(0o600)).unwrap();
    }
    let mut command = program();
    command.args(["feed", "--log", "trace", "--fleet", fleet.to_str().unwrap()]).env("TEST_SECRET", secret);
    let said: crate::Said = command.output().unwrap().into();
    assert_eq!(said.status, Some(0), "{}", said.err);
    server.held(|held| {
        assert_eq!(held.headers["content-type"], "application/cloudevents+json; charset=utf-8");
        assert_eq!(held.headers["authorization"], format!("Bearer {token}"));
        assert!(held.headers["webhook-signature"].starts_with("v1,"));
        assert!(held.body.contains(&format!("\"id\":\"{}\"", held.headers["webhook-id"])), "{}", held.body);
    });
    let outbox = String::from_utf8_lossy(&fs::read(fleet.join("feed/outbox.sqlite")).unwrap()).into_owned();
    for text in [said.out, said.err, outbox] {
        assert!(!text.contains(token) && !text.contains("MfKQ9r8GKYqr"), "a secret is told");
    }
}

#[test]
fn templates_write_what_another_system_imports() {
    let folder = folder();
    let evil = "\"=cmd, \"\"x\"\"\",400,1995,2003-02-03,40,2.1\n";
    let fleet = keep(folder.path(), &[GOOD, LOW, evil]);
    feed(&fleet, &[]);
    configure(
        &fleet,
        "[[sink]]\nname = \"c\"\nto = \"file\"\npath = \"csv\"\ntemplate = \"work_requests.csv\"\nevents = [\"finding\"]\n\
         [[sink]]\nname = \"x\"\nto = \"file\"\npath = \"xml\"\ntemplate = \"notifications.xml\"\n",
    );
    let said = feed(&fleet, &[]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let only = |name: &str| {
        let files: Vec<_> = fs::read_dir(fleet.join(name)).unwrap().map(|entry| entry.unwrap().path()).collect();
        assert_eq!(files.len(), 1);
        fs::read_to_string(&files[0]).unwrap()
    };
    let (csv, xml) = (only("csv"), only("xml"));
    let lines: Vec<&str> = csv.lines().collect();
    assert_eq!(lines[0], "request_id,action,state,machine,functional_location,priority,short_text,caution,evidence");
    assert!(lines.iter().any(|line| line.starts_with(&format!("{},OPEN,open,", finding(&fleet)))), "{csv}");
    assert!(csv.contains(",\"'=cmd, \"\"x\"\"\","), "guarded and quoted: {csv}");
    assert!(xml.contains("<notifications>") && xml.contains("<caution>"), "{xml}");
    assert!(xml.contains("=cmd, &quot;x&quot;<") && !xml.contains("\"x\"<"), "{xml}");
}

#[test]
fn work_is_asked_for_once_and_never_again_when_it_is_done() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    feed(&fleet, &[]);
    let sink = "[[sink]]\nname = \"c\"\nto = \"file\"\npath = \"csv\"\ntemplate = \"work_requests.csv\"\nevents = [\"windrow.finding.*\"]\n";
    configure(&fleet, sink);
    let mut seen = Vec::new();
    let mut actions = |id: &str| {
        assert_eq!(feed(&fleet, &[]).status, Some(0));
        let mut files: Vec<_> = fs::read_dir(fleet.join("csv")).unwrap().map(|entry| entry.unwrap().path()).collect();
        files.retain(|file| !seen.contains(file));
        let text: String = files.iter().map(|file| fs::read_to_string(file).unwrap()).collect();
        seen.extend(files);
        let of = |line: &str| line.strip_prefix(id)?.split(',').nth(1).map(str::to_owned);
        text.lines().filter_map(of).collect::<Vec<String>>()
    };
    let id = finding(&fleet);
    assert_eq!(actions(&id), ["OPEN"]);
    let answers = folder.path().join("answers.csv");
    fs::write(&answers, format!("finding_id,outcome\n{id},repaired\n")).unwrap();
    assert_eq!(on(&fleet, "feed", &["--receive", answers.to_str().unwrap()]).status, Some(0));
    assert_eq!(actions(&id), ["UPDATE"], "nothing asks for the work again");
    keep(folder.path(), &[GOOD, LOW, DRIED]);
    assert_eq!(actions(&id), ["CLOSE"]);
}

#[test]
fn what_is_not_encrypted_goes_through_no_proxy() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let (server, proxy) = (Server::start(Mood::Kind), Server::start(Mood::Kind));
    configure(&fleet, &format!("[[sink]]\nname = \"m\"\nto = \"http\"\nurl = \"{}\"\n", server.url));
    let mut command = program();
    command.args(["feed", "--fleet", fleet.to_str().unwrap()]);
    for name in ["NO_PROXY", "no_proxy", "REQUEST_METHOD"] {
        command.env_remove(name);
    }
    for name in ["HTTP_PROXY", "http_proxy", "ALL_PROXY", "all_proxy"] {
        command.env(name, &proxy.url);
    }
    let said: crate::Said = command.output().unwrap().into();
    assert_eq!(said.status, Some(0), "{}", said.err);
    assert_eq!(proxy.held(|held| held.requests), 0);
    assert!(server.held(|held| held.requests) > 0);
}

#[test]
fn a_sink_that_is_wrong_says_so_and_the_others_go_on() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    feed(&fleet, &[]);
    fs::write(
        fleet.join("feed/templates/wrong.csv"),
        "id\n{% for event in events %}\n{{ event.data.nonesuch }}\n{% endfor %}",
    )
    .unwrap();
    // A port that nobody listens at: it was given to a listener that is gone.
    let closed = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap();
    let sinks = format!(
        "[[sink]]\nname = \"wrong template\"\nto = \"file\"\npath = \"a\"\ntemplate = \"wrong.csv\"\n\
         [[sink]]\nname = \"nobody\"\nto = \"http\"\nurl = \"http://{closed}/\"\nattempts = 2\npause_ms = 1\n\
         [[sink]]\nname = \"plain\"\nto = \"http\"\nurl = \"http://example.org/\"\n\
         [[sink]]\nname = \"full\"\nto = \"folder\"\npath = \"b\"\nbatch = 2\nmost_files = 1\n\
         [[sink]]\nname = \"rare\"\nto = \"file\"\npath = \"d\"\ntemplate = \"missing.csv\"\nevents = [\"asset.merged\"]\n\
         [[sink]]\nname = \"good\"\nto = \"folder\"\npath = \"c\"\n"
    );
    configure(&fleet, &sinks);
    let said = feed(&fleet, &[]);
    assert_eq!(said.status, Some(3), "{}{}", said.out, said.err);
    assert!(said.out.contains("rare: 0 events sent\n"), "nothing waits that it did not ask for: {}", said.out);
    for what in [
        "wrong template: the template wrong.csv, line 3, at .data.nonesuch: undefined value",
        "nobody: http://127.0.0.1",
        "plain: http://example.org/ is not encrypted",
        "holds 1 files already",
    ] {
        assert!(said.err.contains(what), "{what} is not in {}", said.err);
    }
    assert!(!fleet.join("a").exists(), "nothing is half sent");
    let all = events(&fleet.join("c")).len();
    assert!(said.out.contains(&format!("good: {all} events sent")), "{}", said.out);
    assert!(said.out.contains("full: 2 events sent"), "{}", said.out);

    // The other side takes its files, the template is mended: what waited goes, and nothing is missing.
    let mut seen = 2;
    while seen < all {
        fs::remove_dir_all(fleet.join("b")).unwrap();
        feed(&fleet, &[]);
        seen += events(&fleet.join("b")).len();
    }
    assert_eq!(seen, all);
    fs::write(fleet.join("feed/templates/wrong.csv"), "id\n{% for event in events %}\n{{ event.id }}\n{% endfor %}")
        .unwrap();
    feed(&fleet, &[]);
    let text = fs::read_dir(fleet.join("a")).unwrap().map(|entry| fs::read_to_string(entry.unwrap().path()).unwrap());
    assert_eq!(text.collect::<String>().lines().count(), all + 1);
}

#[test]
fn what_is_refused_is_kept_with_its_machine_behind_it_and_can_go_later() {
    let folder = folder();
    let fleet = keep(folder.path(), &[GOOD, LOW]);
    let server = Server::start(Mood::Stubborn(422));
    let sink = |url: &str| {
        format!("[[sink]]\nname = \"m\"\nto = \"http\"\nmode = \"batched\"\npause_ms = 1\nurl = \"{url}\"\n")
    };
    configure(&fleet, &sink(&server.url));
    let said = feed(&fleet, &[]);
    assert_eq!(said.status, Some(1), "{}", said.err);
    assert!(
        said.out.contains("m: 0 events sent") && said.out.contains("refused or waiting behind one"),
        "{}",
        said.out
    );
    let refused = server.held(|held| held.requests);
    // Once as a batch, then the first event of each machine alone; the rest of a machine waits behind it.
    assert_eq!(refused, 2, "one machine: the batch, and its first event");

    let kind = Server::start(Mood::Kind);
    configure(&fleet, &sink(&kind.url));
    let said = feed(&fleet, &["--replay", "m"]);
    assert_eq!(said.status, Some(0), "{}", said.err);
    let out = folder.path().join("out");
    feed(&fleet, &["--into", out.to_str().unwrap()]);
    kind.held(|held| {
        assert!(held.wrong.is_empty(), "{:?}", held.wrong);
        assert_eq!(held.bodies.len(), events(&out).len());
    });
    let said = feed(&fleet, &["--replay", "nonesuch"]);
    assert!(said.status == Some(2) && said.err.contains("\"nonesuch\""), "{}", said.err);
}

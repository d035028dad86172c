//! How fast the fleet page answers: 10,000 simulated machines, 20 clients on loopback, each asking as soon as it was answered.

use crate::application::Application;
use anyhow::{Context, ensure};
use std::io::{BufRead, BufReader, Write};
use std::net::TcpStream;
use std::path::Path;
use std::time::{Duration, Instant};

const CLIENTS: usize = 20;
const REQUESTS: usize = 100;
/// What the 95th percentile must stay under, ms.
const MOST_MS: u128 = 200;
/// Pages asked for: the first, one far behind, one that is searched and sorted.
const PAGES: [&str; 3] = ["/", "/?sort=tag&page=120", "/?q=1&sort=resistance"];

/// Prints the times of each page; fails where the 95th percentile of the first is above its bar.
pub(crate) fn run(program: &Path, fleet: &Path) -> anyhow::Result<()> {
    let application = Application::start(program, fleet)?;
    let host = application.url.trim_start_matches("http://").to_owned();
    let begun = Instant::now();
    ask(&host, "/", 1)?;
    println!("first answer, which reads the fleet: {} ms", begun.elapsed().as_millis());
    println!("{CLIENTS} clients, {REQUESTS} requests each");
    println!("{:<28} {:>7} {:>7} {:>7} {:>9}", "page", "p50 ms", "p95 ms", "max ms", "answers/s");
    for page in PAGES {
        let begun = Instant::now();
        let mut times = all(&host, page)?;
        let seconds = begun.elapsed().as_secs_f64();
        times.sort();
        let at = |share: usize| times.get(times.len().saturating_sub(1) * share / 100).map_or(0, Duration::as_millis);
        let rate = f64::from(u32::try_from(times.len())?) / seconds;
        println!("{page:<28} {:>7} {:>7} {:>7} {rate:>9.0}", at(50), at(95), at(100));
        ensure!(page != "/" || at(95) < MOST_MS, "the 95th percentile of {page} is not under {MOST_MS} ms");
    }
    machines(&host)
}

/// Prints how long the pages of single machines take, one after the other: the first reads where the rows of machines stand.
fn machines(host: &str) -> anyhow::Result<()> {
    let (_, list) = answer(&mut Connection::to(host)?, "/?sort=tests")?;
    let addresses = list.split("href=\"").filter_map(|rest| rest.split('"').next());
    let mut addresses: Vec<&str> = addresses.filter(|address| address.starts_with("/machines/")).collect();
    addresses.dedup();
    let mut connection = Connection::to(host)?;
    let mut times: Vec<Duration> = Vec::new();
    for address in &addresses {
        times.push(answer(&mut connection, address)?.0);
    }
    let first = times.first().map_or(0, Duration::as_millis);
    times.sort();
    let at = |share: usize| times.get(times.len().saturating_sub(1) * share / 100).map_or(0, Duration::as_millis);
    println!(
        "{} machines, one after the other: the first {first} ms, p50 {} ms, p95 {} ms",
        times.len(),
        at(50),
        at(95)
    );
    Ok(())
}

fn all(host: &str, page: &str) -> anyhow::Result<Vec<Duration>> {
    std::thread::scope(|scope| {
        let clients: Vec<_> = (0..CLIENTS).map(|_| scope.spawn(|| ask(host, page, REQUESTS))).collect();
        let mut times = Vec::new();
        for client in clients {
            times.extend(client.join().map_err(|_| anyhow::anyhow!("a client panicked"))??);
        }
        Ok(times)
    })
}

/// Asks so often over one connection; the time of each answer, body included.
fn ask(host: &str, page: &str, requests: usize) -> anyhow::Result<Vec<Duration>> {
    let mut connection = Connection::to(host)?;
    (0..requests).map(|_| Ok(answer(&mut connection, page)?.0)).collect()
}

/// A connection that is kept.
struct Connection {
    host: String,
    stream: TcpStream,
    reader: BufReader<TcpStream>,
}

impl Connection {
    fn to(host: &str) -> anyhow::Result<Self> {
        let stream = TcpStream::connect(host)?;
        stream.set_nodelay(true)?;
        let reader = BufReader::new(stream.try_clone()?);
        Ok(Self { host: host.to_owned(), stream, reader })
    }
}

/// Time and body of one answer.
fn answer(connection: &mut Connection, page: &str) -> anyhow::Result<(Duration, String)> {
    let begun = Instant::now();
    let request = format!("GET {page} HTTP/1.1\r\nHost: {}\r\n\r\n", connection.host);
    connection.stream.write_all(request.as_bytes())?;
    let body = body(&mut connection.reader)?;
    Ok((begun.elapsed(), String::from_utf8(body)?))
}

/// Reads one answer to its end.
fn body(reader: &mut impl BufRead) -> anyhow::Result<Vec<u8>> {
    let mut length = 0;
    let mut line = String::new();
    reader.read_line(&mut line)?;
    ensure!(line.contains(" 200 "), "the page was not answered: {line}");
    loop {
        line.clear();
        reader.read_line(&mut line)?;
        if line.trim().is_empty() {
            break;
        }
        if let Some(told) = line.to_lowercase().strip_prefix("content-length:") {
            length = told.trim().parse().context("the length of an answer is no number")?;
        }
    }
    let mut body = vec![0; length];
    reader.read_exact(&mut body)?;
    Ok(body)
}

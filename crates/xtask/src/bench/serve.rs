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
    let mut stream = TcpStream::connect(host)?;
    stream.set_nodelay(true)?;
    let mut reader = BufReader::new(stream.try_clone()?);
    let request = format!("GET {page} HTTP/1.1\r\nHost: {host}\r\n\r\n");
    let mut times = Vec::new();
    for _ in 0..requests {
        let begun = Instant::now();
        stream.write_all(request.as_bytes())?;
        body(&mut reader)?;
        times.push(begun.elapsed());
    }
    Ok(times)
}

/// Reads one answer to its end.
fn body(reader: &mut impl BufRead) -> anyhow::Result<()> {
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
    Ok(reader.read_exact(&mut body)?)
}

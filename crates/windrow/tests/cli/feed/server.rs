//! A receiver of events that fails as receivers do: it answers 429, 500 and 410, stalls, and cuts connections before and after it has
//! taken what was sent. What it does is drawn from a seed.

use serde_json::Value;
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::net::{TcpListener, TcpStream};
use std::sync::{Arc, Condvar, Mutex};
use windrow_dice::Dice;

/// What a receiver holds.
#[derive(Debug, Default)]
pub(super) struct Held {
    /// Bodies by id.
    pub(super) bodies: BTreeMap<String, String>,
    /// Last place in the sequence of each machine.
    pub(super) last: BTreeMap<String, i64>,
    /// What must never happen.
    pub(super) wrong: Vec<String>,
    /// Requests so far.
    pub(super) requests: usize,
    /// Events that came again.
    pub(super) repeated: usize,
    /// Headers of the last request.
    pub(super) headers: BTreeMap<String, String>,
    /// Body of the last request.
    pub(super) body: String,
}

/// What it does with a request.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Fault {
    Answer(u16),
    /// Takes it, and cuts the connection before it says so.
    TakeAndCut,
    Cut,
    /// Says nothing until the sender gives up.
    Stall,
}

/// The chances of faults.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Mood {
    /// Takes everything.
    Kind,
    /// Draws from this seed.
    Moody(u64),
    /// Answers this always.
    Stubborn(u16),
}

/// A receiver on this machine.
#[derive(Clone)]
pub(super) struct Server {
    pub(super) url: String,
    shared: Arc<(Mutex<Held>, Condvar)>,
}

impl Server {
    pub(super) fn start(mood: Mood) -> Self {
        let listener = TcpListener::bind("127.0.0.1:0").unwrap();
        let url = format!("http://{}/events", listener.local_addr().unwrap());
        let server = Self { url, shared: Arc::default() };
        let (inner, dice) =
            (server.clone(), Arc::new(Mutex::new(Dice::new(if let Mood::Moody(seed) = mood { seed } else { 0 }, 1))));
        std::thread::spawn(move || {
            for stream in listener.incoming().flatten() {
                let (server, dice) = (inner.clone(), Arc::clone(&dice));
                std::thread::spawn(move || server.serve(&stream, mood, &dice));
            }
        });
        server
    }

    pub(super) fn held<T>(&self, look: impl FnOnce(&Held) -> T) -> T {
        look(&self.shared.0.lock().unwrap())
    }

    /// Waits until `count` requests have come, or `ended` says that none will.
    pub(super) fn wait_for(&self, count: usize, mut ended: impl FnMut() -> bool) {
        let (held, news) = &*self.shared;
        let mut held = held.lock().unwrap();
        while held.requests < count && !ended() {
            held = news.wait_timeout(held, std::time::Duration::from_millis(20)).unwrap().0;
        }
    }

    fn serve(&self, stream: &TcpStream, mood: Mood, dice: &Mutex<Dice>) {
        let mut reader = BufReader::new(stream);
        while let Some((headers, body)) = request(&mut reader) {
            let fault = match mood {
                Mood::Kind => Fault::Answer(204),
                Mood::Stubborn(status) => Fault::Answer(status),
                Mood::Moody(_) => draw(&mut dice.lock().unwrap()),
            };
            if matches!(fault, Fault::Answer(200..=299) | Fault::TakeAndCut) {
                self.take(headers, body);
            }
            {
                let mut held = self.shared.0.lock().unwrap();
                held.requests += 1;
            }
            self.shared.1.notify_all();
            match fault {
                Fault::Answer(status) => {
                    let head = format!("HTTP/1.1 {status} x\r\nretry-after: 0\r\ncontent-length: 4\r\n\r\nwhy?");
                    let head = if status == 204 { "HTTP/1.1 204 No Content\r\n\r\n".to_owned() } else { head };
                    if (&*stream).write_all(head.as_bytes()).is_err() {
                        return;
                    }
                }
                Fault::TakeAndCut | Fault::Cut => return,
                // Ends when the sender closes.
                Fault::Stall => {
                    let _ = (&*stream).read(&mut [0]);
                    return;
                }
            }
        }
    }

    fn take(&self, headers: BTreeMap<String, String>, body: String) {
        let mut held = self.shared.0.lock().unwrap();
        let events = match serde_json::from_str::<Value>(&body) {
            Ok(Value::Array(events)) => events,
            Ok(event) => vec![event],
            Err(error) => {
                held.wrong.push(format!("no JSON: {error}"));
                Vec::new()
            }
        };
        for event in events {
            held.note(&event);
        }
        (held.headers, held.body) = (headers, body);
    }
}

impl Held {
    fn note(&mut self, event: &Value) {
        let text = |name: &str| event[name].as_str().unwrap_or_default().to_owned();
        let (id, asset, sequence) = (text("id"), text("partitionkey"), text("sequence").parse::<i64>().unwrap_or(-1));
        let body = event.to_string();
        match self.bodies.get(&id) {
            Some(before) if *before == body => self.repeated += 1,
            Some(_) => self.wrong.push(format!("{id} came with two contents")),
            None => {
                let last = self.last.entry(asset.clone()).or_default();
                if sequence != *last + 1 {
                    self.wrong.push(format!("{asset}: {sequence} came after {last}"));
                }
                *last = sequence;
                self.bodies.insert(id, body);
            }
        }
    }
}

fn draw(dice: &mut Dice) -> Fault {
    match dice.between(0, 99) {
        0..=5 => Fault::Answer(500),
        6..=10 => Fault::Answer(429),
        11 => Fault::Answer(410),
        12..=16 => Fault::Cut,
        17..=21 => Fault::TakeAndCut,
        22 => Fault::Stall,
        _ => Fault::Answer(204),
    }
}

/// One request; `None` when the connection ends.
fn request(reader: &mut impl BufRead) -> Option<(BTreeMap<String, String>, String)> {
    let mut headers = BTreeMap::new();
    let mut line = String::new();
    reader.read_line(&mut line).ok().filter(|length| *length > 0)?;
    loop {
        line.clear();
        reader.read_line(&mut line).ok().filter(|length| *length > 0)?;
        match line.trim_end().split_once(": ") {
            Some((name, value)) => headers.insert(name.to_lowercase(), value.to_owned()),
            None => break,
        };
    }
    let length = headers.get("content-length").and_then(|length| length.parse().ok()).unwrap_or(0);
    let mut body = vec![0; length];
    reader.read_exact(&mut body).ok()?;
    Some((headers, String::from_utf8_lossy(&body).into_owned()))
}

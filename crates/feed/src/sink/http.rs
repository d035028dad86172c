//! Requests to a server: CloudEvents over HTTP, signed by the Standard Webhooks specification, over TLS by rustls.

use super::answer::{Meaning, PATIENCE_S, meaning, pause_ms, retry_after, shown};
use super::{Rendered, Sink, Verdict, message_id, secrets};
use crate::config::{Mode, SinkConfig};
use crate::outbox::Stored;
use crate::signature::Key;
use jiff::Timestamp;
use reqwest::{Certificate, Client, Response, redirect};
use std::error::Error as _;
use std::path::Path;
use std::time::Duration;
use tokio::runtime::Runtime;
use url::{Host, Url};

const BATCH: usize = 100;
const ATTEMPTS: u32 = 5;
const TIMEOUT_S: u64 = 30;
const PAUSE_MS: u64 = 500;
/// Most that is read of an answer: its reason is for people.
const MOST_READ: usize = 4096;

/// A server.
pub(super) struct Http {
    url: Url,
    /// The address as it may be told: a query may hold a secret.
    told: String,
    mode: Mode,
    most: usize,
    attempts: u32,
    pause_ms: u64,
    key: Option<Key>,
    token: Option<String>,
    client: Client,
    runtime: Runtime,
}

impl Http {
    /// Checks address and secrets; sends nothing.
    pub(super) fn of(config: &SinkConfig, fleet: &Path) -> Result<Self, String> {
        let url = address(config.url.as_deref().unwrap_or_default())?;
        let secret = secrets::find("secret", config.secret_env.as_deref(), config.secret_file.as_ref(), fleet)?;
        let key = match secret {
            Some(secret) => Some(Key::of(&secret).ok_or("the secret is no whsec_ and base64 behind it")?),
            None => None,
        };
        let token = secrets::find("token", config.token_env.as_deref(), config.token_file.as_ref(), fleet)?;
        let timeout = Duration::from_secs(config.timeout_s.unwrap_or(TIMEOUT_S).max(1));
        let mut builder = Client::builder()
            .timeout(timeout)
            .connect_timeout(timeout)
            .redirect(redirect::Policy::none())
            .user_agent(concat!("windrow/", env!("CARGO_PKG_VERSION")));
        if url.scheme() == "http" {
            // What is not encrypted stays on this machine; a proxy would carry it elsewhere.
            builder = builder.no_proxy();
        }
        if let Some(file) = &config.certificates {
            builder = builder.tls_certs_merge(certificates(&fleet.join(file))?);
        }
        let runtime = tokio::runtime::Builder::new_current_thread().enable_all().build();
        Ok(Self {
            told: told(&url),
            url,
            mode: config.mode,
            most: if config.mode == Mode::Batched { config.batch.unwrap_or(BATCH).max(1) } else { 1 },
            attempts: config.attempts.unwrap_or(ATTEMPTS).max(1),
            pause_ms: config.pause_ms.unwrap_or(PAUSE_MS),
            key,
            token,
            client: builder.build().map_err(|error| format!("the client could not be set up: {}", chain(&error)))?,
            runtime: runtime.map_err(|error| format!("the system gives no events of sockets: {error}"))?,
        })
    }

    /// One attempt: the answer, or why there was none.
    fn ask(&self, id: &str, body: &[u8]) -> Result<(u16, Option<i64>, String), String> {
        let media_type = match self.mode {
            Mode::Structured => "application/cloudevents+json; charset=utf-8",
            Mode::Batched => "application/cloudevents-batch+json; charset=utf-8",
        };
        let seconds = Timestamp::now().as_second();
        let mut request = self
            .client
            .post(self.url.clone())
            .header("content-type", media_type)
            .header("webhook-id", id)
            .header("webhook-timestamp", seconds.to_string());
        if let Some(key) = &self.key {
            request = request.header("webhook-signature", key.sign(id, seconds, body));
        }
        if let Some(token) = &self.token {
            request = request.bearer_auth(token);
        }
        self.runtime.block_on(async {
            let answer = request.body(body.to_vec()).send().await.map_err(|error| chain(&error))?;
            let status = answer.status().as_u16();
            let header = answer.headers().get("retry-after").and_then(|header| header.to_str().ok());
            let wait = header.and_then(|header| retry_after(header, Timestamp::now()));
            let said = if meaning(status) == Meaning::Taken { String::new() } else { beginning(answer).await };
            Ok((status, wait, said))
        })
    }

    fn wait(&self, milliseconds: u64) {
        self.runtime.block_on(async { tokio::time::sleep(Duration::from_millis(milliseconds)).await });
    }
}

impl Sink for Http {
    fn most(&self) -> usize {
        self.most
    }

    fn render(&self, batch: &[Stored]) -> Result<Rendered, String> {
        let bodies: Vec<&str> = batch.iter().map(|event| event.body.as_str()).collect();
        let body = match self.mode {
            Mode::Structured => bodies.concat(),
            Mode::Batched => format!("[{}]", bodies.join(",")),
        };
        Ok(Rendered { name: format!("POST {}", self.told), body: body.into_bytes() })
    }

    fn send(&mut self, batch: &[Stored]) -> Verdict {
        let rendered = match self.render(batch) {
            Ok(rendered) => rendered,
            Err(why) => return Verdict::Refused(why),
        };
        let id = message_id(batch);
        let mut why = String::new();
        for attempt in 0..self.attempts {
            let wait = match self.ask(&id, &rendered.body) {
                Ok((status, wait, said)) => {
                    let told = format!("{} answered {status} {}", self.told, shown(&said)).trim_end().to_owned();
                    match meaning(status) {
                        Meaning::Taken => return Verdict::Taken,
                        Meaning::Refused => return Verdict::Refused(told),
                        Meaning::Gone => return Verdict::Gone(told),
                        Meaning::Setup => {
                            return Verdict::Later(
                                format!("{told}; correct address, rights or token in sinks.toml"),
                                None,
                            );
                        }
                        Meaning::Again => why = told,
                    }
                    wait
                }
                Err(told) => {
                    why = format!("{}: {told}", self.told);
                    None
                }
            };
            tracing::info!(sink = self.told, attempt, why, "an attempt failed");
            if wait.is_some_and(|seconds| seconds > PATIENCE_S) {
                return Verdict::Later(why, wait);
            }
            if attempt + 1 < self.attempts {
                let told = wait.and_then(|seconds| u64::try_from(seconds).ok()).map_or(0, |seconds| seconds * 1000);
                self.wait(told.saturating_add(pause_ms(self.pause_ms, attempt, chance())));
            }
        }
        Verdict::Later(format!("{why}; {} attempts failed, feed again to go on", self.attempts), None)
    }
}

/// The address, if events may go there: encrypted, or to this machine.
fn address(text: &str) -> Result<Url, String> {
    // The text is not told: it may hold a secret.
    let url = Url::parse(text).map_err(|error| format!("the url is no address: {error}"))?;
    let is_here = match url.host() {
        Some(Host::Domain(name)) => name == "localhost",
        Some(Host::Ipv4(address)) => address.is_loopback(),
        Some(Host::Ipv6(address)) => address.is_loopback(),
        None => false,
    };
    if !url.username().is_empty() || url.password().is_some() {
        return Err(
            "the url holds a user or password: secrets stand in secret_env, secret_file, token_env or token_file"
                .to_owned(),
        );
    }
    match url.scheme() {
        "https" => Ok(url),
        "http" if is_here => Ok(url),
        "http" => Err(format!("{} is not encrypted: https is needed for any other machine than this", told(&url))),
        other => Err(format!("{other}: is no way to send events; https:// is")),
    }
}

/// An address without its query, which some receivers take a token in.
fn told(url: &Url) -> String {
    let mut shown = url.clone();
    shown.set_fragment(None);
    shown.set_query(url.query().map(|_| "…"));
    // The mark stands as it is meant, not as an address writes it.
    shown.to_string().replace("%E2%80%A6", "…")
}

fn certificates(path: &Path) -> Result<Vec<Certificate>, String> {
    let bytes =
        std::fs::read(path).map_err(|error| format!("could not read the certificates {}: {error}", path.display()))?;
    let found = Certificate::from_pem_bundle(&bytes).unwrap_or_default();
    if found.is_empty() {
        return Err(format!("{} holds no certificate in PEM", path.display()));
    }
    Ok(found)
}

/// The beginning of an answer's text; a hostile server is not read to its end.
async fn beginning(mut answer: Response) -> String {
    let mut bytes = Vec::new();
    while bytes.len() < MOST_READ
        && let Ok(Some(chunk)) = answer.chunk().await
    {
        bytes.extend_from_slice(&chunk);
    }
    String::from_utf8_lossy(&bytes).into_owned()
}

/// An error with all that caused it, which says whether name, connection or certificate was the matter. The address is told elsewhere.
fn chain(error: &reqwest::Error) -> String {
    let mut told = Vec::new();
    let mut cause = error.source();
    while let Some(error) = cause {
        let text = error.to_string();
        if !told.contains(&text) {
            told.push(text);
        }
        cause = error.source();
    }
    if error.is_timeout() {
        told.insert(0, "no answer within the time that is allowed (timeout_s)".to_owned());
    }
    if told.is_empty() { "the request failed".to_owned() } else { shown(&told.join(": ")) }
}

fn chance() -> u64 {
    getrandom::u64().unwrap_or_default()
}

#[cfg(test)]
mod tests;

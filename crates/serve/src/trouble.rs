//! What can stand in the way of an answer, for pages and for programs.

use axum::http::StatusCode;
use windrow_tasks::WrongUsage;
use windrow_tasks::decide::WrongAnswer;

/// Why there is no answer.
#[derive(Debug)]
pub(crate) enum Trouble {
    /// There is no such thing.
    NotFound(String),
    /// What was asked makes no sense.
    Wrong(String),
    /// Another person was quicker: what stands now.
    Meanwhile(String),
    /// It cost more than one request may.
    TooMuch(String),
    /// Others are served first, and it took too long.
    Busy(String),
    /// The fleet, the disk, or a bug of ours.
    Broken(anyhow::Error),
}

impl Trouble {
    /// Status of HTTP.
    pub(crate) const fn status(&self) -> StatusCode {
        match self {
            Self::NotFound(_) => StatusCode::NOT_FOUND,
            Self::Wrong(_) => StatusCode::BAD_REQUEST,
            Self::Meanwhile(_) => StatusCode::CONFLICT,
            Self::TooMuch(_) => StatusCode::UNPROCESSABLE_ENTITY,
            Self::Busy(_) | Self::Broken(_) => StatusCode::SERVICE_UNAVAILABLE,
        }
    }

    /// Code for programs.
    pub(crate) const fn code(&self) -> &'static str {
        match self {
            Self::NotFound(_) => "not_found",
            Self::Wrong(_) => "wrong_request",
            Self::Meanwhile(_) => "changed_meanwhile",
            Self::TooMuch(_) => "too_much",
            Self::Busy(_) => "busy",
            Self::Broken(_) => "fleet_unavailable",
        }
    }

    /// What was wrong and what to do.
    pub(crate) fn message(&self) -> String {
        match self {
            Self::NotFound(text)
            | Self::Wrong(text)
            | Self::Meanwhile(text)
            | Self::TooMuch(text)
            | Self::Busy(text) => text.clone(),
            Self::Broken(error) => {
                tracing::warn!(error = format!("{error:#}"), "a request could not be answered");
                format!("The fleet could not be read or changed: {error:#}")
            }
        }
    }

    /// A thing that is looked for by its id and is not there.
    pub(crate) fn no(what: &str, id: &str) -> Self {
        let id: String = id.chars().take(80).collect();
        Self::NotFound(format!(
            "There is no {what} {id:?} in this fleet. It may have gone with a newer import; look for it in the lists."
        ))
    }
}

impl From<anyhow::Error> for Trouble {
    fn from(error: anyhow::Error) -> Self {
        let is_asking = error.is::<WrongUsage>() || error.is::<WrongAnswer>();
        let is_query = error.downcast_ref::<windrow_store::Error>().is_some_and(windrow_store::Error::is_query);
        if is_asking || is_query { Self::Wrong(format!("{error:#}")) } else { Self::Broken(error) }
    }
}

impl From<windrow_store::Error> for Trouble {
    fn from(error: windrow_store::Error) -> Self {
        anyhow::Error::new(error).into()
    }
}

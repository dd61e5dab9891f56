//! Everything that can go wrong with a request, told once: as a problem document (RFC 9457) to
//! programs, as a page with a way on to people.
//!
//! Handlers return `Result<_, Problem>`. [`crate::web::finish`] decides which of the two the
//! reader gets and adds the request's number.

use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use utoipa::ToSchema;

use super::error_page::{Kept, Way};
use super::kinds::Kind;
use crate::store::{self, StoreError};

/// One fault in what was sent.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, ToSchema)]
pub struct Fault {
    /// Where: a JSON Pointer (RFC 6901) into the body; empty for the whole of it.
    #[schema(example = "/eyepieces/3/focal_length_mm")]
    pub pointer: String,
    /// What is wrong and what to do, in one sentence.
    pub detail: String,
}

impl Fault {
    /// A fault at this place.
    pub fn at(pointer: impl Into<String>, detail: impl Into<String>) -> Self {
        Self { pointer: pointer.into(), detail: detail.into() }
    }
}

/// A refusal or failure, with what its reader can do about it.
#[derive(Clone, Debug)]
pub struct Problem {
    parts: Box<Parts>,
}

#[derive(Clone, Debug)]
struct Parts {
    kind: Kind,
    detail: String,
    next: Option<String>,
    errors: Vec<Fault>,
    ways: Vec<Way>,
    kept: Vec<Kept>,
    retry_after: Option<u64>,
    more: serde_json::Map<String, serde_json::Value>,
}

/// The document that programs get, `application/problem+json`.
#[derive(Debug, Serialize, ToSchema)]
pub struct ProblemDocument {
    /// Address of a page that explains this kind of problem.
    #[serde(rename = "type")]
    #[schema(example = "/problems/out-of-range")]
    pub kind: String,
    /// The kind in a few words.
    pub title: &'static str,
    /// The HTTP status.
    pub status: u16,
    /// What happened this time, in one sentence.
    pub detail: String,
    /// What to do next, in one sentence.
    pub next: String,
    /// Single faults in what was sent.
    #[serde(skip_serializing_if = "Vec::is_empty")]
    pub errors: Vec<Fault>,
    /// The request's number, to quote to whoever runs the service.
    #[serde(skip_serializing_if = "Option::is_none")]
    pub id: Option<String>,
    /// What this kind of problem tells besides (RFC 9457, section 3.2).
    #[serde(flatten)]
    #[schema(ignore)]
    pub more: serde_json::Map<String, serde_json::Value>,
}

impl Problem {
    /// A problem of this kind; `detail` says in one sentence what happened this time.
    pub fn new(kind: Kind, detail: impl Into<String>) -> Self {
        Self {
            parts: Box::new(Parts {
                kind,
                detail: detail.into(),
                next: None,
                errors: Vec::new(),
                ways: Vec::new(),
                kept: Vec::new(),
                retry_after: None,
                more: serde_json::Map::new(),
            }),
        }
    }

    /// What was sent can't be read at all: 400.
    pub fn malformed(detail: impl Into<String>) -> Self {
        Self::new(Kind::Malformed, detail)
    }

    /// What was sent can be read, but these values can't be used: 422.
    pub fn out_of_range(errors: Vec<Fault>) -> Self {
        let detail = match errors.as_slice() {
            [only] => only.detail.clone(),
            many => format!("{} values can't be used as they are.", many.len()),
        };
        let mut problem = Self::new(Kind::OutOfRange, detail);
        problem.parts.errors = errors;
        problem
    }

    /// Not there, or not this caller's to see: 404.
    pub fn not_found(detail: impl Into<String>) -> Self {
        Self::new(Kind::NotFound, detail)
    }

    /// Signed in, but not allowed to do this: 403.
    pub fn not_yours(detail: impl Into<String>) -> Self {
        Self::new(Kind::NotYours, detail)
    }

    /// It clashes with something that is already there: 409.
    pub fn conflict(detail: impl Into<String>) -> Self {
        Self::new(Kind::Conflict, detail)
    }

    /// Asked too often; may ask again after so many seconds: 429.
    pub fn too_many(detail: impl Into<String>, retry_after_seconds: u64) -> Self {
        let mut problem = Self::new(Kind::TooMany, detail);
        problem.parts.retry_after = Some(retry_after_seconds);
        problem
    }

    /// The service is busy; may ask again soon: 503.
    pub fn busy() -> Self {
        let mut problem = Self::new(Kind::Busy, "Too many people are asking at this moment.");
        problem.parts.retry_after = Some(2);
        problem
    }

    /// Our fault: 500, or what the database's refusal makes of it: 503 for a lock, 507 for a disk that
    /// takes nothing. The fault goes to the log under the request's number, never to the reader.
    pub fn internal(fault: &(dyn std::error::Error + 'static)) -> Self {
        let refused = store::Fault::within(fault);
        if refused == Some(store::Fault::Busy) {
            tracing::warn!(%fault, "the database was busy");
            return Self::busy();
        }
        let room = "There is no room left where the club’s records are kept, so nothing of this was \
                    stored.";
        let disk = "The disk that keeps the club’s records takes nothing at the moment, so nothing \
                    of this was stored.";
        match refused {
            Some(store::Fault::Full) => Self::not_stored(fault, room),
            Some(store::Fault::ReadOnly | store::Fault::Disk) => Self::not_stored(fault, disk),
            Some(store::Fault::Corrupt) => Self::damaged(fault),
            _ => Self::broken(fault),
        }
    }

    /// Our fault where no error tells of it: 500.
    pub fn broken(fault: &(dyn std::fmt::Display + '_)) -> Self {
        tracing::error!(%fault, "a request failed");
        Self::new(Kind::Internal, "Something broke on our side, and it is not your fault.")
    }

    /// The disk refused; may be tried again in a minute: 507.
    fn not_stored(fault: &dyn std::error::Error, detail: &str) -> Self {
        tracing::error!(%fault, "a request was not stored");
        let mut problem = Self::new(Kind::NotStored, detail);
        problem.parts.retry_after = Some(60);
        problem
    }

    fn damaged(fault: &dyn std::error::Error) -> Self {
        tracing::error!(%fault, "a part of the database can't be read");
        let detail = "A part of the club’s records can’t be read, and it is not your fault.";
        Self::new(Kind::Internal, detail).next(
            "Tell whoever looks after the service, with the number below: the records are put right \
             from a copy.",
        )
    }

    /// What a bare status means, where a library answered with nothing more.
    pub(crate) fn of_status(status: StatusCode, path: &str) -> Self {
        let kind = Kind::of_status(status);
        let detail = match kind {
            Kind::NotFound => format!("Nothing lives at {path}."),
            _ => kind.meaning().to_owned(),
        };
        Self::new(kind, detail)
    }

    /// Says what to do next, where the kind's own advice is too general.
    #[must_use]
    pub fn next(mut self, sentence: impl Into<String>) -> Self {
        self.parts.next = Some(sentence.into());
        self
    }

    /// Tells programs something besides, under a name of its own.
    #[must_use]
    pub fn also(mut self, name: &str, value: serde_json::Value) -> Self {
        self.parts.more.insert(name.to_owned(), value);
        self
    }

    /// Adds a link that leads on; shown on pages only.
    #[must_use]
    pub fn way(mut self, label: impl Into<String>, address: impl Into<String>) -> Self {
        self.parts.ways.push(Way::new(label, address));
        self
    }

    /// Keeps something that was typed; shown on pages only. Never a password.
    #[must_use]
    pub fn keeping(mut self, label: impl Into<String>, value: impl Into<String>) -> Self {
        self.parts.kept.push(Kept { label: label.into(), value: value.into() });
        self
    }

    /// Adds a fault.
    #[must_use]
    pub fn with(mut self, fault: Fault) -> Self {
        self.parts.errors.push(fault);
        self
    }

    /// Its kind.
    #[must_use]
    pub fn kind(&self) -> Kind {
        self.parts.kind
    }

    /// Its HTTP status.
    #[must_use]
    pub fn status(&self) -> StatusCode {
        self.parts.kind.status()
    }

    /// What happened, in one sentence.
    #[must_use]
    pub fn detail(&self) -> &str {
        &self.parts.detail
    }

    /// What to do next, in one sentence.
    #[must_use]
    pub fn next_step(&self) -> &str {
        self.parts.next.as_deref().unwrap_or(self.parts.kind.advice())
    }

    /// Single faults.
    #[must_use]
    pub fn errors(&self) -> &[Fault] {
        &self.parts.errors
    }

    /// Links that lead on.
    #[must_use]
    pub fn ways(&self) -> &[Way] {
        &self.parts.ways
    }

    /// What was typed.
    #[must_use]
    pub fn kept(&self) -> &[Kept] {
        &self.parts.kept
    }

    /// The document for programs.
    #[must_use]
    pub fn document(&self, id: Option<String>) -> ProblemDocument {
        ProblemDocument {
            kind: self.parts.kind.address(),
            title: self.parts.kind.title(),
            status: self.status().as_u16(),
            detail: self.parts.detail.clone(),
            next: self.next_step().to_owned(),
            errors: self.parts.errors.clone(),
            id,
            more: self.parts.more.clone(),
        }
    }

    /// The answer to a program, with the request's number where there is one.
    pub(crate) fn as_json(&self, id: Option<String>) -> Response {
        let body = serde_json::to_vec(&self.document(id)).unwrap_or_default();
        let mut response =
            (self.status(), [(header::CONTENT_TYPE, "application/problem+json")], body)
                .into_response();
        self.add_headers(&mut response);
        response
    }

    /// Adds the headers that the status asks for.
    pub(crate) fn add_headers(&self, response: &mut Response) {
        if let Some(seconds) = self.parts.retry_after {
            response.headers_mut().insert(header::RETRY_AFTER, HeaderValue::from(seconds));
        }
        if self.parts.kind == Kind::SignInNeeded {
            let challenge = HeaderValue::from_static("Bearer realm=\"Borrowed Light\"");
            response.headers_mut().insert(header::WWW_AUTHENTICATE, challenge);
        }
    }
}

impl IntoResponse for Problem {
    fn into_response(self) -> Response {
        let mut response = self.as_json(None);
        response.extensions_mut().insert(self);
        response
    }
}

impl From<StoreError> for Problem {
    fn from(error: StoreError) -> Self {
        Self::internal(&error)
    }
}

impl From<sqlx::Error> for Problem {
    fn from(error: sqlx::Error) -> Self {
        Self::internal(&error)
    }
}

impl From<super::secret::NoRandomness> for Problem {
    fn from(error: super::secret::NoRandomness) -> Self {
        Self::internal(&error)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_document_names_its_kind_and_every_fault() {
        let problem = Problem::out_of_range(vec![
            Fault::at("/a", "A is too large."),
            Fault::at("/b", "B is too small."),
        ]);
        let document = serde_json::to_value(problem.document(Some("7c".into()))).unwrap();
        assert_eq!(document["type"], "/problems/out-of-range");
        assert_eq!(document["status"], 422);
        assert_eq!(document["errors"][1]["pointer"], "/b");
        assert_eq!(document["id"], "7c");
        assert_eq!(document["detail"], "2 values can't be used as they are.");
    }

    #[test]
    fn a_pool_that_is_used_up_is_busy_and_not_broken() {
        assert_eq!(Problem::from(sqlx::Error::PoolTimedOut).status(), 503);
        assert_eq!(Problem::from(sqlx::Error::RowNotFound).status(), 500);
    }

    #[test]
    fn our_own_faults_are_not_shown() {
        let problem = Problem::broken(&"no such table: item in /var/club.sqlite");
        let document = serde_json::to_string(&problem.document(None)).unwrap();
        assert!(!document.contains("table") && !document.contains("sqlite"));
    }
}

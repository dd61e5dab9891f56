//! What requests that change something share: `If-Match`, `Idempotency-Key`, bodies that may be
//! left out.

use axum::body::Bytes;
use axum::extract::{FromRequest, Request};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Serialize;
use serde::de::DeserializeOwned;
use serde_json::Value;

use super::once::{Kept, Key, Known, keep, known};
use crate::people::access::Account;
use crate::store::WriteTx;
use crate::web::body::{DEFAULT_LIMIT, Json, JsonText, read_at_most};
use crate::web::clock::Clock;
use crate::web::kinds::Kind;
use crate::web::problem::{Fault, Problem};

/// A body that may be left out, with its bytes.
#[derive(Debug, Clone)]
pub struct OptionalJson<T>(pub T, pub Bytes);

impl<S: Send + Sync, T: DeserializeOwned + Default> FromRequest<S> for OptionalJson<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        if request.headers().contains_key(header::CONTENT_TYPE) {
            let JsonText(body) = JsonText::from_request(request, state).await?;
            if body.is_empty() {
                return Ok(Self(T::default(), body));
            }
            return Ok(Self(Json::parse(&body)?, body));
        }
        let body = read_at_most(request.into_body(), DEFAULT_LIMIT).await?;
        if body.is_empty() {
            return Ok(Self(T::default(), body));
        }
        Err(Problem::new(Kind::UnsupportedMedia, "This address reads JSON only."))
    }
}

/// Refuses a change that does not say which version it is based on, or is based on an old one.
///
/// # Errors
/// 428 and 412.
pub fn must_match(headers: &HeaderMap, present: &str) -> Result<(), Problem> {
    if !headers.contains_key(header::IF_MATCH) {
        let says = "This change doesn't say which version it is based on.";
        return Err(Problem::new(Kind::ConditionNeeded, says));
    }
    must_match_if_sent(headers, present)
}

/// Refuses a change that is based on an old version; one that does not say is let through, because
/// the step itself asks how things stand.
///
/// # Errors
/// 412.
pub fn must_match_if_sent(headers: &HeaderMap, present: &str) -> Result<(), Problem> {
    let mut sent = headers.get_all(header::IF_MATCH).iter().peekable();
    if sent.peek().is_none() {
        return Ok(());
    }
    let matches = sent
        .filter_map(|value| value.to_str().ok())
        .any(|value| value.split(',').map(str::trim).any(|tag| tag == "*" || tag == present));
    if matches {
        Ok(())
    } else {
        Err(Problem::new(Kind::Stale, "It was changed since you read it."))
    }
}

/// Where the answer to this request is kept, if it came with a key.
#[derive(Debug, Clone)]
pub struct Keyed(Option<(Key, i64)>);

impl Keyed {
    /// Without a key.
    pub const fn none() -> Self {
        Self(None)
    }

    /// Keeps the answer.
    ///
    /// # Errors
    /// The database refused.
    pub async fn keep(
        &self,
        tx: &mut WriteTx,
        status: StatusCode,
        etag: &str,
        answer: &impl Serialize,
    ) -> Result<(), Problem> {
        let Some((key, now)) = &self.0 else { return Ok(()) };
        let body = serde_json::to_value(answer).map_err(|error| Problem::internal(&error))?;
        let answer = serde_json::json!({ "etag": etag, "body": body }).to_string();
        Ok(keep(tx, key, &Kept { status: status.as_u16(), answer }, *now).await?)
    }
}

/// Looks the request's key up: `Ok` where there is something to do, `Err` with the answer that was
/// given before.
///
/// # Errors
/// 400 for a key that is none, 422 for a key that came with another request.
pub async fn begin(
    tx: &mut WriteTx,
    clock: &Clock,
    account: &Account,
    headers: &HeaderMap,
    address: &str,
    body: &[u8],
) -> Result<Result<Keyed, Response>, Problem> {
    let Some(sent) = headers.get("idempotency-key") else { return Ok(Ok(Keyed::none())) };
    let key = sent.to_str().ok().and_then(|text| Key::new(account.id, text, address, body));
    let Some(key) = key else {
        return Err(Problem::malformed("The Idempotency-Key can't be used.")
            .next("Send 1 to 200 printable characters, a new key for each new request."));
    };
    let now = clock.seconds();
    match known(tx, &key, now).await? {
        Known::Nothing => Ok(Ok(Keyed(Some((key, now))))),
        Known::Same(kept) => Ok(Err(given(&kept))),
        Known::Another => {
            let says = "This Idempotency-Key came with another request before: use a new one.";
            Err(Problem::out_of_range(vec![Fault::at("", says)]))
        }
    }
}

fn given(kept: &Kept) -> Response {
    let told: Value = serde_json::from_str(&kept.answer).unwrap_or_default();
    let status = StatusCode::from_u16(kept.status).unwrap_or(StatusCode::OK);
    let etag = told["etag"].as_str().unwrap_or_default().to_owned();
    (status, [(header::ETAG, etag)], Json(told["body"].clone())).into_response()
}

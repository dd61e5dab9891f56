//! Reading what was sent: [`Json`], [`Form`], [`Path`] and [`Query`], with refusals that name the
//! place and say what to do.

use axum::body::{Body, Bytes};
use axum::extract::{FromRequest, FromRequestParts, Request};
use axum::http::request::Parts;
use axum::http::{HeaderMap, header};
use axum::response::{IntoResponse, Response};
use http_body_util::BodyExt as _;
use serde::Serialize;
use serde::de::{DeserializeOwned, IgnoredAny};

use super::json_fault;
use super::kinds::Kind;
use super::problem::Problem;
use super::whole::plainly_written;

/// What a route takes where it doesn't say otherwise: 64 kB.
pub const DEFAULT_LIMIT: usize = 64 * 1024;

/// The largest body a route takes, in bytes; put on the route by the table of addresses.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct BodyLimit(pub usize);

/// A JSON body, read strictly; as an answer, written as JSON.
///
/// Refusals: 415 for another content type, 413 for too much, 400 for what is no JSON, 422 with a
/// JSON Pointer for values of the wrong type, missing or unknown fields.
#[derive(Clone, Copy, Debug)]
pub struct Json<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Json<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let JsonText(bytes) = JsonText::from_request(request, state).await?;
        Self::parse(&bytes).map(Self)
    }
}

impl<T: DeserializeOwned> Json<T> {
    /// Reads a text that was taken as it is.
    ///
    /// # Errors
    /// 400 for what is no JSON, 422 with a pointer for a value that can't be used.
    pub fn parse(bytes: &[u8]) -> Result<T, Problem> {
        let read = Self::read(bytes);
        // Only what was refused is worth a second look at how its whole numbers are written.
        if !read.as_ref().is_err_and(|refused| refused.kind() == Kind::OutOfRange) {
            return read;
        }
        // The first look ended at that value; the rest is no JSON perhaps, and must not become it.
        serde_json::from_slice::<IgnoredAny>(bytes)
            .map_err(|error| json_fault::malformed(&error))?;
        plainly_written(bytes).map_or(read, |plain| Self::read(&plain))
    }

    fn read(bytes: &[u8]) -> Result<T, Problem> {
        let mut reader = serde_json::Deserializer::from_slice(bytes);
        let value = serde_path_to_error::deserialize(&mut reader)
            .map_err(|error| json_fault::problem(&error))?;
        reader.end().map_err(|error| json_fault::malformed(&error))?;
        Ok(value)
    }
}

impl<T: Serialize> IntoResponse for Json<T> {
    fn into_response(self) -> Response {
        match serde_json::to_vec(&self.0) {
            Ok(body) => ([(header::CONTENT_TYPE, "application/json")], body).into_response(),
            Err(error) => Problem::internal(&error).into_response(),
        }
    }
}

/// The bytes of a JSON body, not read yet: for handlers that tell every fault at once, or read away
/// from the threads that serve connections.
///
/// Refusals: 415 for another content type, 413 for too much.
#[derive(Clone, Debug)]
pub struct JsonText(pub Bytes);

impl<S: Send + Sync> FromRequest<S> for JsonText {
    type Rejection = Problem;

    async fn from_request(request: Request, _: &S) -> Result<Self, Problem> {
        if !is_json(request.headers()) {
            return Err(Problem::new(Kind::UnsupportedMedia, "This address reads JSON only."));
        }
        let limit = limit_of(request.extensions());
        Ok(Self(read_at_most(request.into_body(), limit).await?))
    }
}

fn is_json(headers: &HeaderMap) -> bool {
    let kind = headers.get(header::CONTENT_TYPE).and_then(|value| value.to_str().ok());
    let essence = kind.unwrap_or("").split(';').next().unwrap_or("").trim();
    essence.eq_ignore_ascii_case("application/json")
}

/// A form's fields. Give every field a default and check it yourself, so that the page can keep
/// what was typed.
#[derive(Clone, Copy, Debug)]
pub struct Form<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequest<S> for Form<T> {
    type Rejection = Problem;

    async fn from_request(request: Request, state: &S) -> Result<Self, Problem> {
        let limit = limit_of(request.extensions());
        let (parts, body) = request.into_parts();
        let bytes = read_at_most(body, limit).await?;
        let request = Request::from_parts(parts, Body::from(bytes));
        match axum::Form::<T>::from_request(request, state).await {
            Ok(axum::Form(value)) => Ok(Self(value)),
            Err(refused) if refused.status() == Kind::UnsupportedMedia.status() => {
                Err(Problem::new(Kind::UnsupportedMedia, "This address reads forms only."))
            }
            Err(_) => Err(Problem::malformed("The form that was sent can't be read.")
                .next("Go back to the page and send its form again.")),
        }
    }
}

/// Parts of the path. What can't be one, such as a word for a number, is simply not there: 404.
#[derive(Clone, Copy, Debug)]
pub struct Path<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned + Send> FromRequestParts<S> for Path<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        match axum::extract::Path::<T>::from_request_parts(parts, state).await {
            Ok(axum::extract::Path(value)) => Ok(Self(value)),
            Err(_) => Err(Problem::not_found(format!("Nothing lives at {}.", parts.uri.path()))),
        }
    }
}

/// What stands after the question mark.
#[derive(Clone, Copy, Debug)]
pub struct Query<T>(pub T);

impl<S: Send + Sync, T: DeserializeOwned> FromRequestParts<S> for Query<T> {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Problem> {
        match axum::extract::Query::<T>::from_request_parts(parts, state).await {
            Ok(axum::extract::Query(value)) => Ok(Self(value)),
            Err(_) => {
                Err(Problem::malformed("What stands after the ? in the address can't be read."))
            }
        }
    }
}

fn limit_of(extensions: &axum::http::Extensions) -> usize {
    extensions.get::<BodyLimit>().map_or(DEFAULT_LIMIT, |limit| limit.0)
}

/// Reads a body of at most `limit` bytes.
///
/// # Errors
/// 413 when there is more, 400 when the connection breaks off.
pub(crate) async fn read_at_most(body: Body, limit: usize) -> Result<Bytes, Problem> {
    let limited = http_body_util::Limited::new(body, limit);
    match limited.collect().await {
        Ok(collected) => Ok(collected.to_bytes()),
        Err(error) if error.is::<http_body_util::LengthLimitError>() => {
            let most = if limit >= 1024 * 1024 {
                format!("{} MB", limit / (1024 * 1024))
            } else {
                format!("{} kB", limit / 1024)
            };
            Err(Problem::new(
                Kind::TooLarge,
                format!("More was sent than this address takes: at most {most}."),
            ))
        }
        Err(_) => Err(Problem::malformed("What was sent broke off before its end.")),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Piece {
        #[allow(dead_code)]
        mass_g: f64,
    }

    #[derive(Debug, serde::Deserialize)]
    #[serde(deny_unknown_fields)]
    struct Pieces {
        #[allow(dead_code)]
        pieces: Vec<Piece>,
    }

    async fn read(kind: &str, body: impl Into<Body>) -> Result<Pieces, Problem> {
        let request =
            Request::post("/").header(header::CONTENT_TYPE, kind).body(body.into()).unwrap();
        Json::from_request(request, &()).await.map(|Json(value)| value)
    }

    async fn refused(body: &str) -> (u16, String, String) {
        let problem = read("application/json", body.to_owned()).await.unwrap_err();
        let first = problem.errors().first().cloned();
        let (pointer, detail) = first.map(|f| (f.pointer, f.detail)).unwrap_or_default();
        (problem.status().as_u16(), pointer, detail)
    }

    #[tokio::test]
    async fn what_is_no_json_is_malformed() {
        for body in ["", "{", "{\"pieces\": [}", "{\"pieces\": []} x", "{\"pieces\": NaN}"] {
            assert_eq!(refused(body).await.0, 400, "{body:?}");
        }
    }

    #[tokio::test]
    async fn a_wrong_value_is_named_by_its_pointer() {
        let (status, pointer, detail) =
            refused(r#"{"pieces": [{"mass_g": 1}, {"mass_g": "a"}]}"#).await;
        assert_eq!((status, pointer.as_str()), (422, "/pieces/1/mass_g"));
        assert_eq!(detail, "This must be a number, but it is text.");
        let (status, pointer, _) = refused(r#"{"pieces": [{"mass_g": 1e999}]}"#).await;
        assert_eq!((status, pointer.as_str()), (422, "/pieces/0/mass_g"));
        let (status, pointer, _) = refused(r#"{"pieces": [{"mass_g": null}]}"#).await;
        assert_eq!((status, pointer.as_str()), (422, "/pieces/0/mass_g"));
    }

    #[test]
    fn a_whole_number_may_be_written_with_a_point() {
        let read = |text: &str| Json::<Vec<i64>>::parse(text.as_bytes());
        assert_eq!(read("[320.0, 1e3, 7]").unwrap(), [320, 1000, 7]);
        let refused = read("[320.0, 0.5]").unwrap_err();
        assert_eq!((refused.status().as_u16(), &*refused.errors()[0].pointer), (422, "/1"));
        assert_eq!(read("[-0, -0.0]").unwrap(), [0, 0]);
    }

    #[test]
    fn what_is_no_json_is_none_behind_a_value_that_can_not_be_used() {
        let read = |text: &str| Json::<Vec<i64>>::parse(text.as_bytes());
        for text in [
            "[320.0",
            "[320.0, 1.]",
            "[320.0, 01.0]",
            "[320.0, -.0]",
            "[320.0, 1.e3]",
            "[\"a\", x]",
        ] {
            assert_eq!(read(text).unwrap_err().status(), 400, "{text}");
        }
    }

    #[tokio::test]
    async fn missing_and_unknown_fields_are_named() {
        let (status, pointer, detail) = refused(r#"{"pieces": [{}]}"#).await;
        assert_eq!((status, pointer.as_str()), (422, "/pieces/0/mass_g"));
        assert_eq!(detail, "`mass_g` is missing.");
        let (status, pointer, detail) =
            refused(r#"{"pieces": [{"mass_g": 1, "mass/kg": 2}]}"#).await;
        assert_eq!((status, pointer.as_str()), (422, "/pieces/0/mass~1kg"));
        assert_eq!(detail, "There is no field `mass/kg` here; the only one is `mass_g`.");
    }

    #[tokio::test]
    async fn another_content_type_is_refused_and_so_is_too_much() {
        let form = read("application/x-www-form-urlencoded", "{}").await.unwrap_err();
        assert_eq!(form.status(), 415);
        let large = read("application/json; charset=utf-8", "[".repeat(DEFAULT_LIMIT + 1)).await;
        assert_eq!(large.unwrap_err().status(), 413);
    }
}

//! `POST /scheme`: remembers in which colours a reader wants the pages.

use axum::extract::State;
use axum::http::{HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::body::Form;
use super::frame::Scheme;
use super::problem::{Fault, Problem};
use super::site::{Site, local_path};

/// The form of `POST /scheme`.
#[derive(Debug, Deserialize)]
#[serde(default)]
#[derive(Default)]
pub struct SchemeForm {
    scheme: String,
    #[serde(rename = "return")]
    back: String,
}

/// Handler of `POST /scheme`: sets the cookie and leads back.
///
/// # Errors
/// 422 for a scheme that there isn't.
pub async fn choose(
    State(site): State<Site>,
    Form(form): Form<SchemeForm>,
) -> Result<Response, Problem> {
    let scheme = Scheme::parse(&form.scheme).ok_or_else(|| {
        let words = Scheme::CHOICES.map(Scheme::as_str).join(", ");
        Problem::out_of_range(vec![Fault::at(
            "/scheme",
            format!("There are no colours of that name: choose one of {words}."),
        )])
    })?;
    let mut response = Redirect::to(local_path(&form.back)).into_response();
    // Made of our own words only.
    if let Ok(value) = HeaderValue::from_str(&site.scheme_cookie(scheme)) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    Ok(response)
}

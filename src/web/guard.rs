//! The guard against requests that another site makes in the reader's name.
//!
//! Browsers say with `Sec-Fetch-Site` or `Origin` where a request comes from; where a client says
//! neither, the form must carry the token that its page was given. Programs use bearer tokens and
//! no cookies, so there is nothing under `/api/` that another site could misuse.

use axum::body::Body;
use axum::extract::{Request, State};
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::body::{DEFAULT_LIMIT, read_at_most};
use super::kinds::Kind;
use super::problem::Problem;
use super::secret::form_token_holds;
use super::site::Site;
use super::visit::seed;

/// Where a request says it comes from.
#[derive(Debug, PartialEq, Eq)]
enum Comes {
    FromHere,
    FromElsewhere,
    /// Neither header is there.
    Unsaid,
}

fn comes(site: &Site, headers: &HeaderMap) -> Comes {
    if let Some(said) = headers.get("sec-fetch-site") {
        let here = said == "same-origin" || said == "none";
        return if here { Comes::FromHere } else { Comes::FromElsewhere };
    }
    match headers.get(header::ORIGIN) {
        None => Comes::Unsaid,
        Some(origin) if origin.to_str().is_ok_and(|text| site.is_own_origin(text, headers)) => {
            Comes::FromHere
        }
        Some(_) => Comes::FromElsewhere,
    }
}

/// Middleware: lets through what is safe, what comes from here and what carries our token.
pub async fn guard(State(site): State<Site>, request: Request, next: Next) -> Response {
    let safe = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    if safe || request.uri().path().starts_with("/api/") {
        return next.run(request).await;
    }
    match comes(&site, request.headers()) {
        Comes::FromHere => next.run(request).await,
        Comes::FromElsewhere => refusal("This form was sent from another site.").into_response(),
        Comes::Unsaid => match with_token(&site, request).await {
            Ok(request) => next.run(request).await,
            Err(problem) => problem.into_response(),
        },
    }
}

fn refusal(detail: &str) -> Problem {
    Problem::new(Kind::NotYours, detail)
        .next("Open the page here afresh and send its form from there.")
}

/// Reads the form, checks its token and puts the request together again.
async fn with_token(site: &Site, request: Request) -> Result<Request, Problem> {
    let unsigned = || refusal("This form doesn't carry the mark that its page was given.");
    let (parts, body) = request.into_parts();
    let is_form = parts
        .headers
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"application/x-www-form-urlencoded"));
    let seed = seed(site, &parts.headers).ok_or_else(unsigned)?;
    if !is_form {
        return Err(unsigned());
    }
    let bytes = read_at_most(body, DEFAULT_LIMIT).await?;
    // Tokens are plain hexadecimal digits, so nothing in them is ever percent-encoded.
    let token = bytes
        .split(|byte| *byte == b'&')
        .find_map(|pair| pair.strip_prefix(b"form_token="))
        .and_then(|token| std::str::from_utf8(token).ok())
        .ok_or_else(unsigned)?;
    if !form_token_holds(seed, token) {
        return Err(unsigned());
    }
    Ok(Request::from_parts(parts, Body::from(bytes)))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::{HeaderName, HeaderValue};

    fn told(pairs: &[(&'static str, &'static str)]) -> Comes {
        let headers = pairs
            .iter()
            .map(|(name, value)| (HeaderName::from_static(name), HeaderValue::from_static(value)))
            .collect();
        comes(&Site::new("Club"), &headers)
    }

    #[test]
    fn what_the_browser_says_of_the_site_counts_first() {
        let own = ("origin", "http://club.local");
        let host = ("host", "club.local");
        assert_eq!(told(&[("sec-fetch-site", "same-origin")]), Comes::FromHere);
        assert_eq!(told(&[("sec-fetch-site", "none")]), Comes::FromHere);
        assert_eq!(told(&[("sec-fetch-site", "same-site"), host, own]), Comes::FromElsewhere);
        assert_eq!(told(&[("sec-fetch-site", "cross-site"), host, own]), Comes::FromElsewhere);
    }

    #[test]
    fn an_origin_counts_where_the_site_is_not_told() {
        let host = ("host", "club.local");
        assert_eq!(told(&[host, ("origin", "http://club.local")]), Comes::FromHere);
        assert_eq!(told(&[host, ("origin", "http://other.example")]), Comes::FromElsewhere);
        assert_eq!(told(&[host, ("origin", "null")]), Comes::FromElsewhere);
        assert_eq!(told(&[host]), Comes::Unsaid);
    }
}

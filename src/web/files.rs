//! The files under `static/`, carried inside the binary, compressed when it was built.
//!
//! A page names a file through [`address`], which adds a hash of its content; such an address may
//! be kept for ever. Asked without the hash, a file is checked again each time.

use axum::extract::{RawQuery, Request};
use axum::http::{HeaderMap, HeaderValue, StatusCode, header};
use axum::response::{IntoResponse, Response};

use super::body::Path;
use super::problem::Problem;

/// A file as it was when the binary was built.
struct File {
    name: &'static str,
    kind: &'static str,
    hash: &'static str,
    plain: &'static [u8],
    brotli: Option<&'static [u8]>,
    gzip: Option<&'static [u8]>,
}

// The table `FILES`, sorted by name.
include!(concat!(env!("OUT_DIR"), "/files.rs"));

fn find(name: &str) -> Option<&'static File> {
    let place = FILES.binary_search_by(|file| file.name.cmp(name)).ok()?;
    FILES.get(place)
}

/// The address of a file, with its hash.
///
/// ```
/// use borrowed_light::web::files::address;
///
/// assert!(address("borrowed-light.css").starts_with("/static/borrowed-light.css?v="));
/// ```
#[must_use]
pub fn address(name: &str) -> String {
    match find(name) {
        Some(file) => format!("/static/{name}?v={}", file.hash),
        None => format!("/static/{name}"),
    }
}

/// Handler of `GET /static/{*name}`.
///
/// # Errors
/// 404 for a name that isn't there.
pub async fn get(
    Path(name): Path<String>,
    RawQuery(query): RawQuery,
    request: Request,
) -> Result<Response, Problem> {
    let file = find(&name)
        .ok_or_else(|| Problem::not_found(format!("There is no file /static/{name}.")))?;
    let version = query.as_deref().and_then(|query| query.strip_prefix("v="));
    Ok(answer(file, version == Some(file.hash), request.headers()))
}

fn answer(file: &'static File, forever: bool, asked: &HeaderMap) -> Response {
    let (encoding, bytes) = best(file, asked);
    // Each encoding is a representation of its own (RFC 9110, section 8.8.3).
    let tag = format!("\"{}{}\"", file.hash, encoding.map(|e| format!("-{e}")).unwrap_or_default());
    let known = asked.get(header::IF_NONE_MATCH).and_then(|value| value.to_str().ok()).is_some_and(
        |tags| tags == "*" || tags.split(',').any(|one| one.trim().trim_start_matches("W/") == tag),
    );
    let mut response = if known {
        StatusCode::NOT_MODIFIED.into_response()
    } else {
        ([(header::CONTENT_TYPE, file.kind)], bytes).into_response()
    };
    let headers = response.headers_mut();
    let caching = if forever { "public, max-age=31536000, immutable" } else { "no-cache" };
    headers.insert(header::CACHE_CONTROL, HeaderValue::from_static(caching));
    headers.insert(header::VARY, HeaderValue::from_static("accept-encoding"));
    if let Ok(tag) = HeaderValue::from_str(&tag) {
        headers.insert(header::ETAG, tag);
    }
    if let (Some(encoding), false) = (encoding, known) {
        headers.insert(header::CONTENT_ENCODING, HeaderValue::from_static(encoding));
    }
    response
}

/// The smallest form that the client reads.
fn best(file: &'static File, asked: &HeaderMap) -> (Option<&'static str>, &'static [u8]) {
    let accepts = |coding: &str| {
        asked
            .get_all(header::ACCEPT_ENCODING)
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(','))
            .any(|one| {
                let mut parts = one.split(';').map(str::trim);
                let named = parts.next().is_some_and(|name| name.eq_ignore_ascii_case(coding));
                named
                    && !parts.any(|weight| matches!(weight, "q=0" | "q=0.0" | "q=0.00" | "q=0.000"))
            })
    };
    match (file.brotli, file.gzip) {
        (Some(bytes), _) if accepts("br") => (Some("br"), bytes),
        (_, Some(bytes)) if accepts("gzip") => (Some("gzip"), bytes),
        _ => (None, file.plain),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn accepting(value: &'static str) -> HeaderMap {
        HeaderMap::from_iter([(header::ACCEPT_ENCODING, HeaderValue::from_static(value))])
    }

    fn styles() -> &'static File {
        find("borrowed-light.css").unwrap()
    }

    #[test]
    fn the_smallest_form_that_is_accepted_is_sent() {
        assert_eq!(best(styles(), &accepting("gzip, deflate, br")).0, Some("br"));
        assert_eq!(best(styles(), &accepting("gzip;q=0.5, br;q=0")).0, Some("gzip"));
        assert_eq!(best(styles(), &HeaderMap::new()).0, None);
        assert!(best(styles(), &accepting("br")).1.len() < styles().plain.len() / 2);
    }

    #[test]
    fn a_hashed_address_is_kept_for_ever_and_a_bare_one_is_asked_about() {
        let forever = answer(styles(), true, &HeaderMap::new());
        assert_eq!(forever.headers()["cache-control"], "public, max-age=31536000, immutable");
        let bare = answer(styles(), false, &HeaderMap::new());
        assert_eq!(bare.headers()["cache-control"], "no-cache");
        let mut again = accepting("br");
        again.insert(
            header::IF_NONE_MATCH,
            answer(styles(), false, &again).headers()["etag"].clone(),
        );
        assert_eq!(answer(styles(), false, &again).status(), StatusCode::NOT_MODIFIED);
    }

    #[test]
    fn the_style_sheet_names_its_fonts_by_their_hash() {
        let text = std::str::from_utf8(styles().plain).unwrap();
        let font = address("fonts/atkinson-hyperlegible-next-latin.woff2");
        assert!(font.contains("?v="));
        assert!(text.contains(font.trim_start_matches("/static/")), "{font} is not in the styles");
    }

    #[test]
    fn every_file_is_found_by_its_name() {
        assert!(
            FILES.iter().all(|file| find(file.name).is_some_and(|found| found.hash == file.hash))
        );
        assert!(find("../Cargo.toml").is_none());
    }
}

//! The API's description of itself, OpenAPI 3.1, gathered from the table of addresses.

use std::sync::LazyLock;

use axum::http::header;
use axum::response::IntoResponse;
use utoipa::openapi::security::{HttpAuthScheme, HttpBuilder, SecurityScheme};
use utoipa::openapi::{OpenApi, SecurityRequirement};
use utoipa::{Modify, OpenApi as _};

use super::table;
use crate::web::problem::ProblemDocument;
use crate::web::refusals::NoToken;

/// What the document says before any address is added.
#[derive(utoipa::OpenApi)]
#[openapi(
    info(
        title = "Borrowed Light",
        description = "A club's telescopes and eyepieces, lent well: which kit suits this observer, on these nights, and why.\n\nNumbers carry their unit in their name and full double precision. Refusals are `application/problem+json` (RFC 9457); faults in what was sent are named by JSON Pointers (RFC 6901).",
        license(name = "MIT OR Apache-2.0", identifier = "MIT OR Apache-2.0"),
        contact(),
    ),
    components(schemas(ProblemDocument)),
    modifiers(&BearerTokens),
)]
struct Opening;

/// Every address asks for a bearer token.
struct BearerTokens;

impl Modify for BearerTokens {
    fn modify(&self, document: &mut OpenApi) {
        let scheme = HttpBuilder::new()
            .scheme(HttpAuthScheme::Bearer)
            .description(Some("A personal access token, limited to its owner's rights."))
            .build();
        document
            .components
            .get_or_insert_default()
            .add_security_scheme("token", SecurityScheme::Http(scheme));
        document.security = Some(vec![SecurityRequirement::new("token", Vec::<String>::new())]);
    }
}

/// The whole document.
#[must_use]
pub fn document() -> OpenApi {
    let mut document = Opening::openapi();
    for route in table() {
        route.describe(&mut document);
    }
    document
}

/// The API's description of itself.
#[utoipa::path(
    get,
    path = "/api/v1/openapi.json",
    tag = "about",
    responses(
        (status = 200, description = "An OpenAPI 3.1 document", content_type = "application/json"),
        NoToken,
    )
)]
pub async fn openapi() -> impl IntoResponse {
    // Made once: it can't change while the program runs.
    static TEXT: LazyLock<String> = LazyLock::new(|| document().to_json().unwrap_or_default());
    ([(header::CONTENT_TYPE, "application/json")], TEXT.as_str())
}

//! The last hand on every answer: refusals become pages for people and documents for programs.

use std::any::Any;

use axum::extract::Request;
use axum::http::{HeaderMap, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Response};

use super::error_page::{ErrorPage, Way};
use super::kinds::Kind;
use super::problem::Problem;
use super::request_id::{RequestId, pass_route_on};
use super::resend::{Noted, noting};
use super::visit::{Visit, is_html};

/// Middleware: gives every refusal its face and the request's number.
pub async fn finish(request: Request, next: Next) -> Response {
    let path = request.uri().path().to_owned();
    let page = wants_page(&path, request.headers());
    let id = request.extensions().get::<RequestId>().map(ToString::to_string);
    let visit = request.extensions().get::<Visit>().cloned().unwrap_or_default();
    let (request, noted) = noting(request);
    let mut response = next.run(request).await;
    let status = response.status();
    let problem = match response.extensions_mut().remove::<Problem>() {
        Some(problem) => problem,
        // A handler's own page, such as a form with its slips, stands as it is.
        None if !is_refusal(&response) => return response,
        None => Problem::of_status(status, &path),
    };
    let id = (problem.kind() == Kind::Internal).then_some(id).flatten();
    let mut faced =
        if page { as_page(&problem, &visit, id, &noted, &path) } else { problem.as_json(id) };
    pass_route_on(&response, &mut faced);
    // What was said beside the status, such as Allow or the end of the connection, stays true.
    for name in [header::ALLOW, header::CONNECTION, header::SET_COOKIE] {
        for value in response.headers().get_all(&name) {
            faced.headers_mut().append(&name, value.clone());
        }
    }
    faced
}

fn is_refusal(response: &Response) -> bool {
    let status = response.status();
    (status.is_client_error() || status.is_server_error()) && !is_html(response)
}

/// Programs get documents: everything under `/api/`, and whoever asks for JSON and not for HTML.
fn wants_page(path: &str, headers: &HeaderMap) -> bool {
    if path.starts_with("/api/") {
        return false;
    }
    let accept = headers.get(header::ACCEPT).and_then(|value| value.to_str().ok()).unwrap_or("");
    accept.contains("text/html") || !accept.contains("json")
}

fn as_page(
    problem: &Problem,
    visit: &Visit,
    id: Option<String>,
    noted: &Noted,
    path: &str,
) -> Response {
    let frame = visit.frame(problem.kind().title());
    let mut ways = problem.ways().to_vec();
    if ways.is_empty() && problem.kind() != Kind::WrongHost {
        ways.push(match (problem.kind(), frame.person.is_some()) {
            (Kind::SignInNeeded, _) | (_, false) => Way::new("Sign in", "/sign-in"),
            _ => Way::new("Find a kit", "/"),
        });
    }
    let (typed, again) = noted.told(problem.kind(), path);
    let kept = if problem.kept().is_empty() { typed } else { problem.kept().to_vec() };
    let several = problem.errors().len() > 1;
    let page = ErrorPage {
        frame,
        status: problem.status().as_u16(),
        sentence: problem.detail().to_owned(),
        next: page_advice(problem),
        ways,
        details: problem.errors().iter().filter(|_| several).map(|f| f.detail.clone()).collect(),
        kept,
        again,
        id,
    };
    let mut response = (problem.status(), page).into_response();
    problem.add_headers(&mut response);
    response
}

/// The kinds' own advice is written for programs in some cases; people get other words.
fn page_advice(problem: &Problem) -> String {
    let said = problem.next_step();
    if said != problem.kind().advice() {
        return said.to_owned();
    }
    match problem.kind() {
        Kind::SignInNeeded => "Sign in, and you will be back here.",
        Kind::MethodNotAllowed => "Go back to the page and use its buttons.",
        Kind::UnsupportedMedia => "Go back to the page and send its form again.",
        Kind::ConditionNeeded => "Open the page afresh, then make your change again.",
        _ => said,
    }
    .to_owned()
}

/// Turns a panic into our fault, telling nothing of it to the reader.
pub(crate) fn of_panic(panic: &(dyn Any + Send)) -> Response {
    let words = panic
        .downcast_ref::<&str>()
        .map(ToString::to_string)
        .or_else(|| panic.downcast_ref::<String>().cloned())
        .unwrap_or_else(|| "a panic without words".to_owned());
    Problem::broken(&words).into_response()
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn accept(value: &'static str) -> HeaderMap {
        HeaderMap::from_iter([(header::ACCEPT, HeaderValue::from_static(value))])
    }

    async fn faced(path: &str, handler: axum::routing::MethodRouter) -> (u16, String) {
        use http_body_util::BodyExt as _;
        use tower::ServiceExt as _;
        let app = axum::Router::new()
            .route(path, handler)
            .layer(tower_http::catch_panic::CatchPanicLayer::custom(
                |panic: Box<dyn Any + Send>| of_panic(&*panic),
            ))
            .layer(axum::middleware::from_fn(finish))
            .layer(axum::middleware::from_fn(crate::web::request_id::number));
        let request = Request::get(path).body(axum::body::Body::empty()).unwrap();
        let response = app.oneshot(request).await.unwrap();
        let status = response.status().as_u16();
        let id = response.headers()["x-request-id"].to_str().unwrap().to_owned();
        let body = response.into_body().collect().await.unwrap().to_bytes();
        let text = String::from_utf8(body.to_vec()).unwrap();
        assert!(status != 500 || text.contains(&id), "no number in {text}");
        (status, text)
    }

    #[tokio::test]
    async fn a_panic_is_our_fault_with_a_number_and_without_its_words() {
        async fn broken() {
            panic!("the key is under the mat");
        }
        for path in ["/page", "/api/v1/page"] {
            let (status, text) = faced(path, axum::routing::get(broken)).await;
            assert_eq!(status, 500);
            assert!(!text.contains("mat"), "{text}");
        }
    }

    #[tokio::test]
    async fn a_bare_refusal_of_a_library_gets_a_face_and_a_page_of_our_own_keeps_its_own() {
        use axum::http::StatusCode;
        use axum::response::Html;
        let bare = axum::routing::get(async || (StatusCode::CONFLICT, "not told"));
        let (status, text) = faced("/page", bare).await;
        assert!(status == 409 && text.contains("It clashes") && !text.contains("not told"));
        let own = axum::routing::get(async || (StatusCode::CONFLICT, Html("<p>ours</p>")));
        assert_eq!(faced("/page", own).await, (409, "<p>ours</p>".to_owned()));
    }

    #[test]
    fn people_get_pages_and_programs_get_documents() {
        assert!(wants_page("/kits", &accept("text/html,application/xhtml+xml,*/*;q=0.8")));
        assert!(wants_page("/kits", &HeaderMap::new()));
        assert!(!wants_page("/kits", &accept("application/json")));
        assert!(!wants_page("/api/v1/kits/solve", &accept("text/html")));
    }
}

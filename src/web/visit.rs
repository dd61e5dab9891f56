//! One visit of a page: what its frame needs to know before the page itself is made.

use std::convert::Infallible;
use std::sync::{Arc, OnceLock};

use axum::extract::{FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::Response;

use super::frame::{Frame, Place, Scheme};
use super::secret::{Secret, form_token};
use super::site::{Site, cookie};

/// What is known of a visit: colours, club, way back, who it is once that is found out.
///
/// Handlers take it as an argument and ask it for a [`Frame`].
#[derive(Clone, Debug, Default)]
pub struct Visit {
    scheme: Scheme,
    club: Arc<str>,
    return_path: Arc<str>,
    seed: Option<Arc<str>>,
    person: Arc<OnceLock<Person>>,
}

/// What the frame shows of whoever is signed in.
#[derive(Debug)]
struct Person {
    name: String,
    places: Vec<Place>,
}

impl Visit {
    fn of(site: &Site, request: &Request) -> Self {
        let headers = request.headers();
        let path = request.uri().path_and_query().map_or("/", |path| path.as_str());
        let goes_back = matches!(*request.method(), Method::GET | Method::HEAD);
        Self {
            scheme: Scheme::from_cookie(cookie(headers, Scheme::COOKIE)),
            club: Arc::clone(&site.club),
            return_path: if goes_back { path.into() } else { "/".into() },
            seed: seed(site, headers).map(Into::into),
            person: Arc::default(),
        }
    }

    /// Says who it is and where they may go, for every frame made from now on, error pages
    /// included.
    pub fn recognise(&self, name: &str, places: Vec<Place>) {
        // A visit has one person; the first to say so is right.
        let _ = self.person.set(Person { name: name.to_owned(), places });
    }

    /// The frame of a page with this title.
    #[must_use]
    pub fn frame(&self, title: impl Into<String>) -> Frame {
        let mut frame =
            Frame::new(title, self.scheme).club(&*self.club).returning_to(&*self.return_path);
        if let Some(Person { name, places }) = self.person.get() {
            frame = frame.signed_in(name).offering(places.clone());
        }
        // Without a token the page's forms still pass by the headers that browsers send.
        if let Some(token) = self.seed.as_ref().and_then(|seed| form_token(seed).ok()) {
            frame = frame.form_token(token);
        }
        frame
    }
}

impl<S: Send + Sync> FromRequestParts<S> for Visit {
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Infallible> {
        Ok(parts.extensions.get::<Self>().cloned().unwrap_or_default())
    }
}

/// What a visitor's form tokens are bound to: the session, or the visitor cookie before it.
pub(crate) fn seed<'a>(site: &Site, headers: &'a axum::http::HeaderMap) -> Option<&'a str> {
    cookie(headers, site.session_cookie())
        .or_else(|| cookie(headers, site.visitor_cookie()))
        .filter(|value| value.len() >= 32)
}

/// Middleware: makes the [`Visit`], and gives newcomers to a page the cookie that their forms'
/// tokens are bound to.
pub async fn begin(State(site): State<Site>, mut request: Request, next: Next) -> Response {
    let mut visit = Visit::of(&site, &request);
    let mut newcomer = None;
    if visit.seed.is_none()
        && !request.uri().path().starts_with("/api/")
        && let Ok(secret) = Secret::random()
    {
        visit.seed = Some(secret.reveal().into());
        newcomer = Some(site.set_cookie(site.visitor_cookie(), secret.reveal(), None));
    }
    request.extensions_mut().insert(visit);
    let mut response = next.run(request).await;
    if let Some(line) = newcomer
        && is_html(&response)
        && let Ok(value) = HeaderValue::from_str(&line)
    {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    response
}

/// Whether an answer is a page.
pub(crate) fn is_html(response: &Response) -> bool {
    response
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"))
}

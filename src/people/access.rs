//! Who gets through to a handler. The table of addresses gives each address one [`Access`], and
//! nothing is reached without it.

use axum::extract::{FromRef, FromRequestParts, Request, State};
use axum::http::request::Parts;
use axum::http::{HeaderMap, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};

use super::member::MemberId;
use super::places::places_for;
use super::rights::{Deed, Roles};
use super::session::{self, SessionFacts};
use super::token;
use crate::audit::{Actor, Means};
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::kinds::Kind;
use crate::web::problem::Problem;
use crate::web::server::Peer;
use crate::web::site::{Site, cookie, local_path};
use crate::web::visit::Visit;

/// What a token may be used for.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Scope {
    /// To read and to ask.
    Read,
    /// To change things too.
    Write,
}

impl Scope {
    /// The word in the database.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Read => "read",
            Self::Write => "write",
        }
    }
}

/// What an address asks of whoever calls it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Access {
    /// Nothing.
    Open,
    /// A session whose roles may do this; without one the reader is led to the sign-in page.
    Page(Deed),
    /// A bearer token of this scope whose owner may do this.
    Api(Deed, Scope),
}

/// Somebody with an account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Account {
    /// Its number.
    pub id: i64,
    /// The person's name.
    pub name: String,
    /// The member it belongs to, if it belongs to one.
    pub member: Option<MemberId>,
    /// What the person is to the club.
    pub roles: Roles,
}

impl Account {
    /// Whether this person may ask on behalf of that member: oneself always, others as staff.
    #[must_use]
    pub fn may_ask_for(&self, member: MemberId) -> bool {
        self.member == Some(member) || self.roles.may(Deed::AskForMember)
    }

    /// Refuses a person who may not ask on behalf of that member.
    ///
    /// # Errors
    /// 404: whether the member exists is not told either.
    pub fn must_be_able_to_ask_for(&self, member: MemberId) -> Result<(), Problem> {
        if self.may_ask_for(member) {
            return Ok(());
        }
        Err(Problem::not_found("There is no such member, or you can't ask on their behalf.")
            .next("Ask for yourself, or ask the quartermaster."))
    }
}

/// The person behind a page request. As a handler's argument it is there on every address whose
/// access is [`Access::Page`].
#[derive(Clone, Debug)]
pub struct SignedIn {
    /// Who it is.
    pub account: Account,
    /// The session that the browser has shown.
    pub session: SessionFacts,
    /// For making the page's frame.
    pub visit: Visit,
    actor: Actor,
}

impl SignedIn {
    /// The same for the audit log.
    #[must_use]
    pub fn actor(&self) -> &Actor {
        &self.actor
    }
}

/// The person behind a bearer token. As a handler's argument it is there on every address whose
/// access is [`Access::Api`].
#[derive(Clone, Debug)]
pub struct ApiCaller {
    /// Whose token it is.
    pub account: Account,
    /// What the token may be used for.
    pub scope: Scope,
    actor: Actor,
}

impl ApiCaller {
    /// The same for the audit log.
    #[must_use]
    pub fn actor(&self) -> &Actor {
        &self.actor
    }
}

impl<S: Send + Sync> FromRequestParts<S> for SignedIn {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        parts.extensions.get::<Self>().cloned().ok_or_else(nobody)
    }
}

impl<S: Send + Sync> FromRequestParts<S> for ApiCaller {
    type Rejection = Problem;

    async fn from_request_parts(parts: &mut Parts, _: &S) -> Result<Self, Problem> {
        parts.extensions.get::<Self>().cloned().ok_or_else(nobody)
    }
}

fn nobody() -> Problem {
    Problem::new(Kind::SignInNeeded, "Nobody has signed in.")
}

/// What [`check`] works with.
#[derive(Clone, Debug)]
pub struct Gate {
    access: Access,
    store: Store,
    clock: Clock,
    site: Site,
}

impl Gate {
    /// A gate of this kind, from the application's state.
    pub fn of<S>(access: Access, state: &S) -> Self
    where
        Store: FromRef<S>,
        Clock: FromRef<S>,
        Site: FromRef<S>,
    {
        Self {
            access,
            store: Store::from_ref(state),
            clock: Clock::from_ref(state),
            site: Site::from_ref(state),
        }
    }

    fn actor(&self, account: i64, means: Means, request: &Request) -> Actor {
        let peer = request.extensions().get::<Peer>();
        let address = peer.map(|Peer(peer)| self.site.client(*peer, request.headers()));
        Actor::account(&self.clock, account, means, address)
    }
}

/// Middleware of every address: finds out who asks and lets through whoever may.
pub async fn check(State(gate): State<Gate>, mut request: Request, next: Next) -> Response {
    let outcome = match gate.access {
        Access::Open => Ok(()),
        Access::Page(deed) => admit_person(&gate, deed, &mut request).await,
        Access::Api(deed, scope) => admit_program(&gate, deed, scope, &mut request).await,
    };
    match outcome {
        Ok(()) => next.run(request).await,
        Err(refused) => refused,
    }
}

async fn admit_person(gate: &Gate, deed: Deed, request: &mut Request) -> Result<(), Response> {
    let found = match cookie(request.headers(), gate.site.session_cookie()) {
        Some(id) => session::find(&gate.store, &gate.clock, id).await,
        None => Ok(None),
    };
    let (account, session) = match found {
        Ok(Some(found)) => found,
        Ok(None) => return Err(to_sign_in(request)),
        Err(error) => return Err(Problem::from(error).into_response()),
    };
    let visit = request.extensions().get::<Visit>().cloned().unwrap_or_default();
    visit.recognise(&account.name, places_for(&account.roles));
    if !account.roles.may(deed) {
        return Err(not_allowed().into_response());
    }
    if gate.site.asks_staff_for_codes()
        && account.roles.need_codes()
        && !session.has_second_factor
        && deed != Deed::SecureAccount
    {
        return Err(Redirect::to("/account/second-factor").into_response());
    }
    let actor = gate.actor(account.id, Means::Page, request);
    request.extensions_mut().insert(SignedIn { account, session, visit, actor });
    Ok(())
}

fn not_allowed() -> Problem {
    Problem::not_yours("You are signed in, but this is not yours to do.")
}

/// Leads to the sign-in page and from there back to where the reader wanted to go.
fn to_sign_in(request: &Request) -> Response {
    let next = match *request.method() {
        Method::GET | Method::HEAD => request.uri().path_and_query().map(ToString::to_string),
        // A form can't be sent again by itself; the page it stands on is the way back.
        _ => form_page(request.headers()),
    };
    let next = next.as_deref().map_or("/", local_path);
    if next == "/" {
        return Redirect::to("/sign-in").into_response();
    }
    let query = sign_in_query(next);
    Redirect::to(&format!("/sign-in?{query}")).into_response()
}

/// `next=…`, percent-encoded.
fn sign_in_query(next: &str) -> String {
    use std::fmt::Write as _;
    next.bytes().fold(String::from("next="), |mut query, byte| {
        if byte.is_ascii_alphanumeric() || b"/-._~".contains(&byte) {
            query.push(char::from(byte));
        } else {
            // Writing to a String cannot fail.
            let _ = write!(query, "%{byte:02X}");
        }
        query
    })
}

/// The path of the page that a form was sent from, as the browser tells it.
fn form_page(headers: &HeaderMap) -> Option<String> {
    let page: axum::http::Uri = headers.get(header::REFERER)?.to_str().ok()?.parse().ok()?;
    page.path_and_query().map(ToString::to_string)
}

async fn admit_program(
    gate: &Gate,
    deed: Deed,
    scope: Scope,
    request: &mut Request,
) -> Result<(), Response> {
    let Some(text) = bearer(request.headers()) else {
        return Err(Problem::new(Kind::SignInNeeded, "No access token was sent.").into_response());
    };
    let (account, granted) = match token::find(&gate.store, &gate.clock, text).await {
        Ok(Some(found)) => found,
        Ok(None) => {
            let refused = "This access token is not known, has expired or was revoked.";
            return Err(Problem::new(Kind::SignInNeeded, refused).into_response());
        }
        Err(error) => return Err(Problem::from(error).into_response()),
    };
    if !account.roles.may(deed) {
        return Err(not_allowed().into_response());
    }
    if granted < scope {
        return Err(Problem::not_yours("This access token may only read.")
            .next("Make a token that may also write, and send that.")
            .into_response());
    }
    let actor = gate.actor(account.id, Means::Program, request);
    request.extensions_mut().insert(ApiCaller { account, scope: granted, actor });
    Ok(())
}

fn bearer(headers: &HeaderMap) -> Option<&str> {
    let (scheme, token) = headers.get(header::AUTHORIZATION)?.to_str().ok()?.split_once(' ')?;
    scheme.eq_ignore_ascii_case("bearer").then(|| token.trim())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::people::rights::Role;
    use axum::body::Body;
    use axum::http::HeaderValue;

    fn location(request: &Request) -> String {
        to_sign_in(request).headers()["location"].to_str().unwrap().to_owned()
    }

    #[test]
    fn sign_in_leads_back_to_where_one_wanted_to_go() {
        let page = Request::get("/telescopes/3?of=a b".replace(' ', "%20")).body(Body::empty());
        assert_eq!(location(&page.unwrap()), "/sign-in?next=/telescopes/3%3Fof%3Da%2520b");
        let form = Request::post("/kits")
            .header("referer", "http://club.local/telescopes")
            .body(Body::empty());
        assert_eq!(location(&form.unwrap()), "/sign-in?next=/telescopes");
        let start = Request::get("/").body(Body::empty());
        assert_eq!(location(&start.unwrap()), "/sign-in");
    }

    #[test]
    fn a_bearer_token_is_read_whatever_the_case_of_its_scheme() {
        let with = |value| {
            HeaderMap::from_iter([(header::AUTHORIZATION, HeaderValue::from_static(value))])
        };
        assert_eq!(bearer(&with("bearer abc")), Some("abc"));
        assert_eq!(bearer(&with("Basic abc")), None);
        assert_eq!(bearer(&HeaderMap::new()), None);
    }

    #[test]
    fn a_member_asks_for_no_other_member() {
        let account =
            |roles| Account { id: 1, name: "Ines".into(), member: Some(MemberId(7)), roles };
        let member = account(Roles::of([Role::Member]));
        assert!(member.may_ask_for(MemberId(7)));
        assert_eq!(member.must_be_able_to_ask_for(MemberId(8)).unwrap_err().status(), 404);
        assert!(account(Roles::of([Role::Quartermaster])).may_ask_for(MemberId(8)));
        assert!(!account(Roles::of([Role::Outreach])).may_ask_for(MemberId(8)));
    }
}

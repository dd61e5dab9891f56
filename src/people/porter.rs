//! Who stands at the door, and letting them in: one way for passwords, links and codes.

use std::convert::Infallible;
use std::net::{IpAddr, Ipv4Addr};

use axum::extract::{FromRef, FromRequestParts};
use axum::http::request::Parts;
use axum::http::{HeaderMap, HeaderValue, header};
use axum::response::{IntoResponse, Redirect, Response};

use super::password::Hasher;
use super::rights::Roles;
use super::second::{Standing, half, standing};
use super::session;
use crate::audit::{Actor, Means, Subject, note};
use crate::post::Post;
use crate::store::{Store, WriteTx};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::server::Peer;
use crate::web::site::{Site, cookie};

/// Where a request comes from, as far as its sender's own list of sessions shows it.
#[derive(Clone, Debug)]
pub(super) struct Caller {
    /// The whole address, for the brake on guessing.
    pub(super) address: IpAddr,
    /// The kind of browser, as it describes itself.
    pub(super) browser: String,
    /// The session that the browser has now.
    pub(super) session: Option<String>,
    /// The half sign-in that the browser has now.
    pub(super) half: Option<String>,
}

/// What a door needs to let somebody in.
#[derive(Clone, Debug)]
pub struct Porter {
    pub(super) store: Store,
    pub(super) clock: Clock,
    pub(super) site: Site,
    pub(super) hasher: Hasher,
    pub(super) post: Post,
    pub(super) caller: Caller,
}

impl<S> FromRequestParts<S> for Porter
where
    S: Send + Sync,
    Store: FromRef<S>,
    Clock: FromRef<S>,
    Site: FromRef<S>,
    Hasher: FromRef<S>,
    Post: FromRef<S>,
{
    type Rejection = Infallible;

    async fn from_request_parts(parts: &mut Parts, state: &S) -> Result<Self, Infallible> {
        let site = Site::from_ref(state);
        let peer = parts.extensions.get::<Peer>().map(|Peer(address)| *address);
        let headers = &parts.headers;
        let own = |name| cookie(headers, name).map(ToOwned::to_owned);
        let caller = Caller {
            address: site.client(peer.unwrap_or(IpAddr::V4(Ipv4Addr::UNSPECIFIED)), headers),
            browser: browser(headers),
            session: own(site.session_cookie()),
            half: own(half::cookie_name(&site)),
        };
        Ok(Self {
            store: Store::from_ref(state),
            clock: Clock::from_ref(state),
            site,
            hasher: Hasher::from_ref(state),
            post: Post::from_ref(state),
            caller,
        })
    }
}

impl Porter {
    /// Somebody known, for the audit log.
    pub(super) fn actor(&self, account: i64, means: Means) -> Actor {
        Actor::account(&self.clock, account, means, Some(self.caller.address))
    }

    /// Somebody of whom only the address is known, for the audit log.
    pub(super) fn stranger(&self) -> Actor {
        Actor::visitor(&self.clock, Means::Page, Some(self.caller.address))
    }

    /// Lets somebody in whose first factor is proven: to where they wanted to go, or to the door
    /// that asks for the second factor. Commits what was written on the way here.
    pub(super) async fn welcome(
        &self,
        mut tx: WriteTx,
        account: i64,
        roles: &Roles,
        means: Means,
        next: &str,
    ) -> Result<Response, Problem> {
        if let Standing::With { .. } = standing(&mut tx, account).await? {
            let token = Secret::random()?;
            let line = half::begin(&mut tx, &self.clock, &self.site, account, next, &token).await?;
            tx.commit().await?;
            return Ok(with_cookie(Redirect::to("/sign-in/code").into_response(), &line));
        }
        self.let_in(tx, account, roles, means, next).await
    }

    /// Lets somebody in who has proven all that is asked of them.
    pub(super) async fn let_in(
        &self,
        mut tx: WriteTx,
        account: i64,
        roles: &Roles,
        means: Means,
        next: &str,
    ) -> Result<Response, Problem> {
        super::account::forget_failures(&mut tx, account).await?;
        half::end_all(&mut tx, account).await?;
        let line = self.open_session(&mut tx, account, roles).await?;
        let who = self.actor(account, means);
        note(&mut tx, &who, "signed in", Subject::of("account", account), "").await?;
        tx.commit().await?;
        tracing::info!(account, "signed in");
        let mut response = with_cookie(Redirect::to(next).into_response(), &line);
        if self.caller.half.is_some() {
            let over = self.site.set_cookie(half::cookie_name(&self.site), "", Some(0));
            response = with_cookie(response, &over);
        }
        Ok(response)
    }

    /// Begins a session in place of the browser's former one and gives the cookie's line.
    pub(super) async fn open_session(
        &self,
        tx: &mut WriteTx,
        account: i64,
        roles: &Roles,
    ) -> Result<String, Problem> {
        let id = Secret::random()?;
        let new = session::New {
            account,
            roles,
            former: self.caller.session.as_deref(),
            place: &shortened(self.caller.address),
            browser: &self.caller.browser,
        };
        session::begin(tx, &self.clock, &id, &new).await?;
        let seconds = session::lasts(roles).as_secs();
        Ok(self.site.set_cookie(self.site.session_cookie(), id.reveal(), Some(seconds)))
    }
}

/// Sets a cookie with an answer.
pub(super) fn with_cookie(mut response: Response, line: &str) -> Response {
    // A cookie's line is made of our own names and hexadecimal digits.
    if let Ok(value) = HeaderValue::from_str(line) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
    response
}

/// An address without its end: enough to tell home from elsewhere, too little to find somebody.
fn shortened(address: IpAddr) -> String {
    match address {
        IpAddr::V4(address) => {
            let [a, b, c, _] = address.octets();
            format!("{a}.{b}.{c}.*")
        }
        IpAddr::V6(address) => {
            let [a, b, c, ..] = address.segments();
            format!("{a:x}:{b:x}:{c:x}:*")
        }
    }
}

/// The kind of browser in its own words, such as `Phone (Linux, Android 14)`.
fn browser(headers: &HeaderMap) -> String {
    let said = headers.get(header::USER_AGENT).and_then(|value| value.to_str().ok()).unwrap_or("");
    // Browsers on phones say so (RFC 9110, section 10.1.5, leaves the words to common practice).
    let kind = if said.contains("Mobi") { "Phone" } else { "Computer" };
    let inside = said.split(['(', ')']).nth(1).unwrap_or("");
    let system: Vec<&str> =
        inside.split(';').map(str::trim).filter(|part| !part.is_empty()).take(2).collect();
    let words =
        if system.is_empty() { kind.to_owned() } else { format!("{kind} ({})", system.join(", ")) };
    words.chars().filter(|c| !c.is_control()).take(60).collect()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn an_address_is_shown_without_its_end() {
        assert_eq!(shortened("192.0.2.77".parse().unwrap()), "192.0.2.*");
        assert_eq!(shortened("2001:db8:7:1::9".parse().unwrap()), "2001:db8:7:*");
    }

    #[test]
    fn a_browser_is_described_in_its_own_words_and_few_of_them() {
        let of = |text: &str| {
            let value = HeaderValue::from_str(text).unwrap();
            browser(&HeaderMap::from_iter([(header::USER_AGENT, value)]))
        };
        assert_eq!(
            of("Any/5.0 (Linux; Android 14; K) Engine/1 Mobile"),
            "Phone (Linux, Android 14)"
        );
        assert_eq!(of("Any/5.0 (X11; Linux x86_64) Engine/1"), "Computer (X11, Linux x86_64)");
        assert_eq!(of("script"), "Computer");
        assert_eq!(browser(&HeaderMap::new()), "Computer");
        assert_eq!(of(&format!("x ({})", "y".repeat(500))).chars().count(), 60);
    }
}

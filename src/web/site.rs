//! What the web side must know about this installation, and the cookies that follow from it.

use std::net::IpAddr;
use std::sync::Arc;

use axum::http::{HeaderMap, header};

use super::frame::Scheme;

/// Where the service stands: its public address, the proxies before it and the club's name.
#[derive(Clone, Debug, Default)]
pub struct Site {
    /// The club's name, for page frames; empty when not known.
    pub club: Arc<str>,
    /// The address that browsers use, such as `https://lend.example.org`, if it was given.
    public: Option<Arc<str>>,
    /// The address it listens on, for links where no public one was given.
    here: Option<Arc<str>>,
    /// Proxies whose `X-Forwarded-For` is believed.
    proxies: Arc<[IpAddr]>,
    /// Whether who looks after the club must have a second factor.
    codes: Codes,
}

/// Whether who looks after the club must have a second factor.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
enum Codes {
    /// Everybody may have one.
    #[default]
    Offered,
    /// Nothing else can be done before it is set up.
    Demanded,
}

/// A public address that can't be used.
#[derive(Debug, thiserror::Error)]
#[error(
    "“{0}” is not a public address: write the scheme and the host alone, such as https://lend.example.org"
)]
pub struct BadPublicAddress(String);

impl Site {
    /// A site for this club, reached directly over plain HTTP.
    #[must_use]
    pub fn new(club: impl Into<Arc<str>>) -> Self {
        Self { club: club.into(), ..Self::default() }
    }

    /// Gives the public address: scheme and host, with a port where it is not the usual one.
    ///
    /// # Errors
    /// Another scheme than `http` or `https`, or a path after the host.
    pub fn at(mut self, address: &str) -> Result<Self, BadPublicAddress> {
        let bad = || BadPublicAddress(address.to_owned());
        let uri: axum::http::Uri = address.parse().map_err(|_| bad())?;
        let plain = matches!(uri.scheme_str(), Some("http" | "https"))
            && uri.path() == "/"
            && uri.query().is_none();
        if !plain {
            return Err(bad());
        }
        self.public = Some(address.trim_end_matches('/').to_ascii_lowercase().into());
        Ok(self)
    }

    /// Says where the service listens, such as `http://127.0.0.1:8420`.
    #[must_use]
    pub fn listening_at(mut self, address: &str) -> Self {
        self.here = Some(address.trim_end_matches('/').into());
        self
    }

    /// Asks whoever looks after the club for a second factor.
    #[must_use]
    pub fn asking_staff_for_codes(mut self) -> Self {
        self.codes = Codes::Demanded;
        self
    }

    /// Whether it asks whoever looks after the club for a second factor.
    #[must_use]
    pub fn asks_staff_for_codes(&self) -> bool {
        self.codes == Codes::Demanded
    }

    /// A link to one of our pages that works outside of them, as in a letter. It never leans on
    /// what a request says of the host, which a stranger can choose.
    #[must_use]
    pub fn link(&self, path: &str) -> String {
        let base = self.public.as_deref().or(self.here.as_deref()).unwrap_or_default();
        format!("{base}{path}")
    }

    /// Names the proxies whose `X-Forwarded-For` is believed.
    #[must_use]
    pub fn behind(mut self, proxies: Vec<IpAddr>) -> Self {
        self.proxies = proxies.into();
        self
    }

    /// Whether browsers reach the service over TLS.
    #[must_use]
    pub fn is_secure(&self) -> bool {
        self.public.as_ref().is_some_and(|address| address.starts_with("https://"))
    }

    /// Whether a request's `Origin` is the service itself.
    #[must_use]
    pub fn is_own_origin(&self, origin: &str, headers: &HeaderMap) -> bool {
        let origin = origin.to_ascii_lowercase();
        if let Some(public) = &self.public {
            return *origin == **public;
        }
        let host = headers.get(header::HOST).and_then(|host| host.to_str().ok());
        let authority = origin.strip_prefix("http://").or_else(|| origin.strip_prefix("https://"));
        matches!((authority, host), (Some(one), Some(other)) if one.eq_ignore_ascii_case(other))
    }

    /// The client's own address: the peer's, or what trusted proxies say of it.
    #[must_use]
    pub fn client(&self, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
        if !self.proxies.contains(&peer) {
            return peer;
        }
        let chain: Vec<IpAddr> = headers
            .get_all("x-forwarded-for")
            .iter()
            .filter_map(|value| value.to_str().ok())
            .flat_map(|value| value.split(','))
            .filter_map(|hop| hop.trim().parse().ok())
            .collect();
        // The last hop that isn't one of our proxies is the one that a proxy of ours has seen.
        chain.into_iter().rev().find(|hop| !self.proxies.contains(hop)).unwrap_or(peer)
    }

    /// Name of the cookie that carries the session.
    #[must_use]
    pub fn session_cookie(&self) -> &'static str {
        if self.is_secure() { "__Host-borrowed-light" } else { "borrowed-light" }
    }

    /// Name of the cookie that tells visitors apart who have not signed in; their forms' tokens
    /// are bound to it.
    #[must_use]
    pub fn visitor_cookie(&self) -> &'static str {
        if self.is_secure() { "__Host-visitor" } else { "visitor" }
    }

    /// A `Set-Cookie` value for a cookie that ends with the browser, or after `max_age` seconds.
    #[must_use]
    pub fn set_cookie(&self, name: &str, value: &str, max_age: Option<i64>) -> String {
        let secure = if self.is_secure() { "; Secure" } else { "" };
        let age = max_age.map(|seconds| format!("; Max-Age={seconds}")).unwrap_or_default();
        format!("{name}={value}; Path=/; HttpOnly; SameSite=Lax{secure}{age}")
    }

    /// The `Set-Cookie` value that remembers a colour scheme for a year.
    #[must_use]
    pub fn scheme_cookie(&self, scheme: Scheme) -> String {
        self.set_cookie(Scheme::COOKIE, scheme.as_str(), Some(365 * 86_400))
    }
}

/// The value of a cookie.
#[must_use]
pub fn cookie<'a>(headers: &'a HeaderMap, name: &str) -> Option<&'a str> {
    headers
        .get_all(header::COOKIE)
        .iter()
        .filter_map(|line| line.to_str().ok())
        .flat_map(|line| line.split(';'))
        .filter_map(|pair| pair.trim().split_once('='))
        .find_map(|(key, value)| (key == name).then_some(value))
}

/// A path on this service that a redirect may lead to; anything else becomes `/`.
///
/// Refused are other hosts in all their spellings: `//host`, `/\host`, control characters.
///
/// ```
/// use borrowed_light::web::site::local_path;
///
/// assert_eq!(local_path("/kits?telescope=3"), "/kits?telescope=3");
/// assert_eq!(local_path("//elsewhere.example"), "/");
/// assert_eq!(local_path("https://elsewhere.example"), "/");
/// ```
#[must_use]
pub fn local_path(path: &str) -> &str {
    let second = path.as_bytes().get(1).copied();
    let fine = path.starts_with('/')
        && path.len() <= 2_000
        && !matches!(second, Some(b'/' | b'\\'))
        && path.bytes().all(|byte| byte.is_ascii_graphic() && byte != b'\\');
    if fine { path } else { "/" }
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::HeaderValue;

    fn headers(name: &'static str, value: &'static str) -> HeaderMap {
        HeaderMap::from_iter([(name.parse().unwrap(), HeaderValue::from_static(value))])
    }

    #[test]
    fn redirects_stay_on_this_service() {
        for away in ["//a.example", "/\\a.example", "http://a", "javascript:x", "", "/a\nb", "/a b"]
        {
            assert_eq!(local_path(away), "/", "{away:?}");
        }
        assert_eq!(local_path("/telescopes/3?of=%2F"), "/telescopes/3?of=%2F");
    }

    #[test]
    fn an_origin_is_our_own_by_public_address_or_by_host() {
        let host = headers("host", "club.local:8420");
        let direct = Site::new("Club");
        assert!(direct.is_own_origin("http://club.local:8420", &host));
        assert!(!direct.is_own_origin("http://club.local:8421", &host));
        assert!(!direct.is_own_origin("null", &host));
        let public = Site::new("Club").at("https://Lend.example.org/").unwrap();
        assert!(public.is_own_origin("https://lend.example.org", &host));
        assert!(!public.is_own_origin("http://club.local:8420", &host));
        assert!(Site::new("Club").at("ftp://lend.example.org").is_err());
        assert!(Site::new("Club").at("https://lend.example.org/shelf").is_err());
    }

    #[test]
    fn only_trusted_proxies_are_believed_about_the_client() {
        let proxy: IpAddr = "10.0.0.2".parse().unwrap();
        let stranger: IpAddr = "203.0.113.9".parse().unwrap();
        let told = headers("x-forwarded-for", "198.51.100.7, 203.0.113.9, 10.0.0.2");
        let site = Site::new("Club").behind(vec![proxy]);
        assert_eq!(site.client(proxy, &told), stranger);
        assert_eq!(site.client(stranger, &told), stranger);
        assert_eq!(site.client(proxy, &HeaderMap::new()), proxy);
    }

    #[test]
    fn cookies_are_strict_behind_tls_and_named_otherwise_without() {
        let plain = Site::new("Club");
        let secure = Site::new("Club").at("https://lend.example.org").unwrap();
        assert!(!plain.set_cookie(plain.session_cookie(), "x", None).contains("Secure"));
        let strict = secure.set_cookie(secure.session_cookie(), "x", Some(60));
        assert_eq!(
            strict,
            "__Host-borrowed-light=x; Path=/; HttpOnly; SameSite=Lax; Secure; Max-Age=60"
        );
    }

    #[test]
    fn a_cookie_is_found_among_others_by_its_whole_name() {
        let many = headers("cookie", "notscheme=a; scheme=red; other=b");
        assert_eq!(cookie(&many, "scheme"), Some("red"));
        assert_eq!(cookie(&many, "chem"), None);
    }
}

//! Whose pages these are: the member behind an account.

use axum::http::HeaderMap;

use crate::people::MemberId;
use crate::people::access::Account;
use crate::web::kinds::Kind;
use crate::web::problem::Problem;

/// The member this account belongs to.
///
/// # Errors
/// 404 for an account of nobody on the list of members.
pub fn own_member(account: &Account) -> Result<MemberId, Problem> {
    account.member.ok_or_else(|| {
        Problem::not_found("Your account belongs to nobody on the club's list of members, so there is nothing kept here.")
            .next("Ask an administrator to put you on the list, if you borrow things too.")
            .way("Find a kit", "/")
    })
}

/// The entity tag of these versions, strong.
#[must_use]
pub fn etag(versions: &[i64]) -> String {
    let parts: Vec<String> = versions.iter().map(ToString::to_string).collect();
    format!("\"{}\"", parts.join("."))
}

/// Refuses a change that was not made to what is there now (RFC 9110, section 13.1.1; RFC 6585,
/// section 3).
///
/// # Errors
/// 428 without an `If-Match`, 412 where none of its tags is the present one.
pub fn must_match(headers: &HeaderMap, present: &str) -> Result<(), Problem> {
    let mut lines = headers.get_all(axum::http::header::IF_MATCH).iter().peekable();
    if lines.peek().is_none() {
        return Err(Problem::new(
            Kind::ConditionNeeded,
            "This change doesn't say what it is based on.",
        ));
    }
    let tags = lines.filter_map(|line| line.to_str().ok()).flat_map(|line| line.split(','));
    let holds = tags.map(str::trim).any(|tag| tag == "*" || tag == present);
    if holds {
        return Ok(());
    }
    Err(Problem::new(Kind::Stale, "It was changed since you read it."))
}

#[cfg(test)]
mod tests {
    use super::*;
    use axum::http::{HeaderValue, header};

    fn told(values: &[&'static str]) -> Result<(), u16> {
        let headers: HeaderMap =
            values.iter().map(|v| (header::IF_MATCH, HeaderValue::from_static(v))).collect();
        must_match(&headers, "\"2.7\"").map_err(|problem| problem.status().as_u16())
    }

    #[test]
    fn a_change_names_the_version_it_was_made_to() {
        assert_eq!(etag(&[2, 7]), "\"2.7\"");
        assert_eq!(told(&["\"2.7\""]), Ok(()));
        assert_eq!(told(&["\"1.1\", \"2.7\""]), Ok(()));
        assert_eq!(told(&["*"]), Ok(()));
        assert_eq!(told(&["\"2.6\""]), Err(412));
        assert_eq!(told(&["W/\"2.7\""]), Err(412), "a weak tag promises too little");
        assert_eq!(told(&[]), Err(428));
    }
}

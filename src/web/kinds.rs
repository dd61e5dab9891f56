//! The kinds of problem, each with its status, its words and its page under `/problems/`.

use axum::http::StatusCode;

/// A kind of problem.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Kind {
    /// 400: it can't be read.
    Malformed,
    /// 401: nobody has signed in.
    SignInNeeded,
    /// 403: signed in, but not allowed.
    NotYours,
    /// 404: not there, or not yours to see.
    NotFound,
    /// 405: the address knows other methods.
    MethodNotAllowed,
    /// 408: the request took too long to arrive or to answer.
    TooSlow,
    /// 409: it clashes with what is there.
    Conflict,
    /// 412: it changed since it was read.
    Stale,
    /// 413: more than this address takes.
    TooLarge,
    /// 415: a form of content that this address doesn't read.
    UnsupportedMedia,
    /// 421: no club lives under this name.
    WrongHost,
    /// 422: readable, but values can't be used.
    OutOfRange,
    /// 428: a change must say what it is based on.
    ConditionNeeded,
    /// 429: asked too often.
    TooMany,
    /// 500: our fault.
    Internal,
    /// 503: busy for the moment.
    Busy,
    /// 507: the disk takes nothing.
    NotStored,
}

/// Everything that is fixed about a kind.
struct Words {
    status: StatusCode,
    slug: &'static str,
    title: &'static str,
    meaning: &'static str,
    advice: &'static str,
}

impl Kind {
    /// Every kind, by status.
    pub const ALL: [Kind; 17] = [
        Kind::Malformed,
        Kind::SignInNeeded,
        Kind::NotYours,
        Kind::NotFound,
        Kind::MethodNotAllowed,
        Kind::TooSlow,
        Kind::Conflict,
        Kind::Stale,
        Kind::TooLarge,
        Kind::UnsupportedMedia,
        Kind::WrongHost,
        Kind::OutOfRange,
        Kind::ConditionNeeded,
        Kind::TooMany,
        Kind::Internal,
        Kind::Busy,
        Kind::NotStored,
    ];

    fn words(self) -> Words {
        let of =
            |status, slug, title, meaning, advice| Words { status, slug, title, meaning, advice };
        match self {
            Self::Malformed => of(
                StatusCode::BAD_REQUEST,
                "malformed",
                "Not readable",
                "What was sent can't be read.",
                "Check how it is written, and send it again.",
            ),
            Self::SignInNeeded => of(
                StatusCode::UNAUTHORIZED,
                "sign-in-needed",
                "Please sign in",
                "This needs to know who is asking.",
                "Sign in, or send a personal access token as `Authorization: Bearer TOKEN`.",
            ),
            Self::NotYours => of(
                StatusCode::FORBIDDEN,
                "not-allowed",
                "Not yours to do",
                "You are signed in, but this is not yours to do.",
                "Ask the quartermaster to do it, or to give you the right.",
            ),
            Self::NotFound => of(
                StatusCode::NOT_FOUND,
                "not-found",
                "No such page",
                "It isn't there, or isn't yours to see.",
                "Check the address, or go back to the start.",
            ),
            Self::MethodNotAllowed => of(
                StatusCode::METHOD_NOT_ALLOWED,
                "method-not-allowed",
                "Not in this way",
                "This address doesn't take that kind of request.",
                "The answer's Allow header names the kinds it takes.",
            ),
            Self::TooSlow => of(
                StatusCode::REQUEST_TIMEOUT,
                "too-slow",
                "It took too long",
                "The request took too long and was given up.",
                "Try again; if it stays slow, send less at once.",
            ),
            Self::Conflict => of(
                StatusCode::CONFLICT,
                "conflict",
                "It clashes",
                "It clashes with something that is already there.",
                "Look at what is there, change your choice and send it again.",
            ),
            Self::Stale => of(
                StatusCode::PRECONDITION_FAILED,
                "changed-meanwhile",
                "It changed meanwhile",
                "Somebody changed it since you read it.",
                "Read it afresh, then make your change again.",
            ),
            Self::TooLarge => of(
                StatusCode::PAYLOAD_TOO_LARGE,
                "too-large",
                "Too much at once",
                "More was sent than this address takes.",
                "Send less at once.",
            ),
            Self::UnsupportedMedia => of(
                StatusCode::UNSUPPORTED_MEDIA_TYPE,
                "unsupported-content",
                "Not in this form",
                "This address doesn't read that form of content.",
                "Send JSON with `Content-Type: application/json`.",
            ),
            Self::WrongHost => of(
                StatusCode::MISDIRECTED_REQUEST,
                "no-club",
                "No club here",
                "No club lives under this name.",
                "Check the address; whoever runs the server can tell which names it knows.",
            ),
            Self::OutOfRange => of(
                StatusCode::UNPROCESSABLE_ENTITY,
                "out-of-range",
                "Some values can't be used",
                "It can be read, but some values can't be used.",
                "Correct the values that are named, and send it again.",
            ),
            Self::ConditionNeeded => of(
                StatusCode::PRECONDITION_REQUIRED,
                "condition-needed",
                "Say what you saw",
                "A change must say which version it is based on.",
                "Read it first, then send its ETag in `If-Match`.",
            ),
            Self::TooMany => of(
                StatusCode::TOO_MANY_REQUESTS,
                "too-many",
                "Too many tries",
                "That was tried too often in a short time.",
                "Wait a little, then try again.",
            ),
            Self::Internal => of(
                StatusCode::INTERNAL_SERVER_ERROR,
                "our-fault",
                "Something broke on our side",
                "Something broke on our side, and it is not your fault.",
                "Try once more in a minute; if it stays, tell whoever runs the service the number of this request.",
            ),
            Self::Busy => of(
                StatusCode::SERVICE_UNAVAILABLE,
                "busy",
                "Busy for a moment",
                "Too many people are asking at this moment.",
                "Try again in a few seconds.",
            ),
            Self::NotStored => of(
                StatusCode::INSUFFICIENT_STORAGE,
                "not-stored",
                "Not stored",
                "The disk that keeps the club’s records takes nothing at the moment.",
                "Tell whoever looks after the service, and send it again later: what was stored before is safe.",
            ),
        }
    }

    /// The kind that stands for a bare status.
    #[must_use]
    pub fn of_status(status: StatusCode) -> Self {
        let exact = Self::ALL.into_iter().find(|kind| kind.status() == status);
        exact.unwrap_or(if status.is_server_error() { Self::Internal } else { Self::Malformed })
    }

    /// The kind whose page has this name.
    #[must_use]
    pub fn parse(slug: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.words().slug == slug)
    }

    /// The HTTP status.
    #[must_use]
    pub fn status(self) -> StatusCode {
        self.words().status
    }

    /// Address of the page that explains it; the `type` of the problem document.
    #[must_use]
    pub fn address(self) -> String {
        format!("/problems/{}", self.words().slug)
    }

    /// The kind in a few words.
    #[must_use]
    pub fn title(self) -> &'static str {
        self.words().title
    }

    /// What it means in general, in one sentence.
    #[must_use]
    pub fn meaning(self) -> &'static str {
        self.words().meaning
    }

    /// What to do about it in general, in one sentence.
    #[must_use]
    pub fn advice(self) -> &'static str {
        self.words().advice
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_has_a_status_and_an_address_of_its_own() {
        for kind in Kind::ALL {
            assert_eq!(Kind::of_status(kind.status()), kind);
            let slug = kind.address().trim_start_matches("/problems/").to_owned();
            assert_eq!(Kind::parse(&slug), Some(kind));
        }
    }
}

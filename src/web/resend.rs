//! What somebody had typed when the service could not take it: shown again, and ready to be sent
//! again with one button, so that a full disk or a busy moment costs nobody their words.

use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};

use axum::body::{Body, Bytes};
use axum::extract::Request;
use axum::http::{Method, header};
use hyper::body::{Body as HttpBody, Frame, SizeHint};

use super::error_page::Kept;
use super::format::sentence_case;
use super::kinds::Kind;

/// A longer form is not kept: its page has a file or a table to be chosen again.
const MOST: usize = 64 * 1024;

/// Parts of the names of fields that are never written into a page again.
const SECRET: [&str; 5] = ["password", "phrase", "code", "secret", "token"];

/// Fields that nobody typed: marks of the page the form stood on.
const MARKS: [&str; 5] = ["form_token", "once", "version", "mark", "back"];

/// The kinds after which the same form may well be taken.
const PASSING: [Kind; 4] = [Kind::Busy, Kind::NotStored, Kind::Internal, Kind::TooSlow];

/// A form to be sent once more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Again {
    /// The path it goes to.
    pub action: String,
    /// Every field, as it was sent.
    pub fields: Vec<(String, String)>,
}

/// What a form's body held as far as it was read.
#[derive(Clone, Default)]
pub(super) struct Noted(Arc<Mutex<Vec<u8>>>);

struct Noting {
    body: Body,
    noted: Noted,
}

impl HttpBody for Noting {
    type Data = Bytes;
    type Error = axum::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, axum::Error>>> {
        let polled = Pin::new(&mut self.body).poll_frame(context);
        if let Poll::Ready(Some(Ok(frame))) = &polled
            && let Some(data) = frame.data_ref()
        {
            self.noted.add(data);
        }
        polled
    }

    fn is_end_stream(&self) -> bool {
        self.body.is_end_stream()
    }

    fn size_hint(&self) -> SizeHint {
        self.body.size_hint()
    }
}

impl Noted {
    fn add(&self, data: &[u8]) {
        let mut noted = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        // One byte too many marks it as too long.
        let room = (MOST + 1).saturating_sub(noted.len());
        noted.extend_from_slice(data.get(..room.min(data.len())).unwrap_or_default());
    }

    /// Every field, where the whole form was read.
    fn fields(&self) -> Vec<(String, String)> {
        let noted = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        if noted.len() > MOST {
            return Vec::new();
        }
        form_urlencoded::parse(&noted).into_owned().collect()
    }

    /// What was typed, with labels, and the form to send again; neither where it would not help.
    pub(super) fn told(&self, kind: Kind, path: &str) -> (Vec<Kept>, Option<Again>) {
        if !PASSING.contains(&kind) {
            return (Vec::new(), None);
        }
        let fields = self.fields();
        let is_mark = |name: &str| MARKS.contains(&name);
        let is_secret = |name: &str| !is_mark(name) && SECRET.iter().any(|s| name.contains(s));
        let kept = fields
            .iter()
            .filter(|(name, value)| !value.is_empty() && !is_mark(name) && !is_secret(name))
            .map(|(name, value)| Kept {
                label: sentence_case(&name.replace(['_', '-', '.'], " ")),
                value: value.clone(),
            })
            .collect();
        let whole = !fields.is_empty() && !fields.iter().any(|(name, _)| is_secret(name));
        (kept, whole.then(|| Again { action: path.to_owned(), fields }))
    }
}

/// Notes a form's fields while its handler reads them; other requests pass as they are.
pub(super) fn noting(request: Request) -> (Request, Noted) {
    let noted = Noted::default();
    let is_form = request
        .headers()
        .get(header::CONTENT_TYPE)
        .is_some_and(|kind| kind.as_bytes().starts_with(b"application/x-www-form-urlencoded"));
    if request.method() != Method::POST || !is_form {
        return (request, noted);
    }
    let with = noted.clone();
    (request.map(|body| Body::new(Noting { body, noted: with })), noted)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn noted(form: &str) -> Noted {
        let noted = Noted::default();
        noted.add(form.as_bytes());
        noted
    }

    #[test]
    fn what_was_typed_comes_back_with_a_form_that_sends_all_of_it() {
        let form = noted("form_token=1f&once=77&first_night=2026-06-05&note=Two+%26+more&empty=");
        let (kept, again) = form.told(Kind::NotStored, "/reserve");
        let told: Vec<_> = kept.iter().map(|k| (k.label.as_str(), k.value.as_str())).collect();
        assert_eq!(told, [("First night", "2026-06-05"), ("Note", "Two & more")]);
        let again = again.unwrap();
        assert_eq!((again.action.as_str(), again.fields.len()), ("/reserve", 5));
    }

    #[test]
    fn a_secret_is_neither_shown_nor_sent_again() {
        let form = noted("email=ada%40example.org&password=the+first+evening+star");
        let (kept, again) = form.told(Kind::Busy, "/sign-in");
        assert_eq!(kept.len(), 1);
        assert!(again.is_none());
        assert!(!format!("{kept:?}").contains("evening"));
    }

    #[test]
    fn a_refusal_that_stays_a_refusal_offers_nothing_and_neither_does_a_long_form() {
        let form = noted("note=a");
        assert_eq!(form.told(Kind::Conflict, "/reserve"), (Vec::new(), None));
        let long = noted(&format!("note={}", "a".repeat(MOST)));
        assert_eq!(long.told(Kind::Busy, "/reserve"), (Vec::new(), None));
    }
}

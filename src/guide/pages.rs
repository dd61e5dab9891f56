//! The chapters. Their text is in `templates/guide/`, their pictures are taken by `tests/run pictures`.

use askama::Template;
use askama_web::WebTemplate;

use crate::people::access::SignedIn;
use crate::web::frame::{Frame, Place};

/// What there is to read.
#[derive(Template, WebTemplate)]
#[template(path = "guide/contents.html")]
pub struct ContentsPage {
    frame: Frame,
}

/// For whoever borrows.
#[derive(Template, WebTemplate)]
#[template(path = "guide/borrowing.html")]
pub struct BorrowingPage {
    frame: Frame,
}

/// For whoever looks after the shelf.
#[derive(Template, WebTemplate)]
#[template(path = "guide/desk.html")]
pub struct DeskPage {
    frame: Frame,
}

/// For whoever prepares public nights.
#[derive(Template, WebTemplate)]
#[template(path = "guide/public_nights.html")]
pub struct PublicNightsPage {
    frame: Frame,
}

/// For whoever keeps the machine.
#[derive(Template, WebTemplate)]
#[template(path = "guide/keeping.html")]
pub struct KeepingPage {
    frame: Frame,
}

/// For whoever keeps the machine, when it does not do as it should.
#[derive(Template, WebTemplate)]
#[template(path = "guide/trouble.html")]
pub struct TroublePage {
    frame: Frame,
}

fn frame(signed_in: &SignedIn, title: &str) -> Frame {
    signed_in.visit.frame(title).at(Place::Help)
}

/// `GET /help`
pub async fn contents(signed_in: SignedIn) -> ContentsPage {
    ContentsPage { frame: frame(&signed_in, "Help") }
}

/// `GET /help/borrowing`
pub async fn borrowing(signed_in: SignedIn) -> BorrowingPage {
    BorrowingPage { frame: frame(&signed_in, "Borrowing, step by step") }
}

/// `GET /help/desk`
pub async fn desk(signed_in: SignedIn) -> DeskPage {
    DeskPage { frame: frame(&signed_in, "The quartermaster’s work") }
}

/// `GET /help/public-nights`
pub async fn public_nights(signed_in: SignedIn) -> PublicNightsPage {
    PublicNightsPage { frame: frame(&signed_in, "Preparing a public night") }
}

/// `GET /help/keeping`
pub async fn keeping(signed_in: SignedIn) -> KeepingPage {
    KeepingPage { frame: frame(&signed_in, "Keeping it running") }
}

/// `GET /help/trouble`
pub async fn trouble(signed_in: SignedIn) -> TroublePage {
    TroublePage { frame: frame(&signed_in, "When something breaks") }
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    /// Every chapter.
    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let frame = |title| frame(title, scheme).at(Place::Help);
        vec![
            Sample::of("help", &ContentsPage { frame: frame("Help") }),
            Sample::of("help-borrowing", &BorrowingPage { frame: frame("Borrowing") }),
            Sample::of("help-desk", &DeskPage { frame: frame("The quartermaster’s work") }),
            Sample::of("help-public-nights", &PublicNightsPage { frame: frame("Public nights") }),
            Sample::of("help-keeping", &KeepingPage { frame: frame("Keeping it running") }),
            Sample::of("help-trouble", &TroublePage { frame: frame("When something breaks") }),
        ]
    }
}

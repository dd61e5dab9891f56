//! The pages of the post room.

use askama::Template;
use askama_web::WebTemplate;

use super::desk::State;
use super::letter::Part;
use crate::profile::section::Section;
use crate::web::frame::Frame;

/// A letter as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct LetterRow {
    /// What it is about.
    pub subject: String,
    /// What it says.
    pub parts: Vec<Part>,
    /// When it was written.
    pub written: String,
    /// Whether it went out as mail too.
    pub state: State,
}

/// `/account/letters`: everything the club has written to somebody.
#[derive(Template, WebTemplate)]
#[template(path = "post/letters.html")]
pub struct LettersPage {
    /// The frame.
    pub frame: Frame,
    /// Where the row of links stands.
    pub section: Section,
    /// Good news to show once.
    pub notice: Option<&'static str>,
    /// The letters, the newest first.
    pub letters: Vec<LetterRow>,
    /// Whether the club can send mail.
    pub mail: bool,
    /// Whether only essential letters are wanted by mail.
    pub quiet: bool,
    /// Whether the reader looks after the post.
    pub keeps_post: bool,
}

/// A letter that needs a decision.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TroubleRow {
    /// Its number.
    pub id: i64,
    /// What it is about.
    pub subject: String,
    /// Whom it is for.
    pub reader: String,
    /// When it was written.
    pub written: String,
    /// Whether it was refused or its fate is unclear.
    pub state: State,
    /// Why, in the mail server's words.
    pub reason: String,
}

/// `/post`: the mail server, and letters that need a decision.
#[derive(Template, WebTemplate)]
#[template(path = "post/desk.html")]
pub struct PostPage {
    /// The frame.
    pub frame: Frame,
    /// What came of the last deed.
    pub notice: Option<String>,
    /// What went wrong with the trial.
    pub failed: Option<String>,
    /// Where the mail server is; none where there is none.
    pub place: Option<String>,
    /// How the way there is protected.
    pub protection: &'static str,
    /// The address that letters come from.
    pub from: String,
    /// What the mail server can't do at present.
    pub trouble: Option<String>,
    /// Letters that wait, in words.
    pub waiting: String,
    /// Letters that were taken, in words.
    pub sent: String,
    /// Letters that need a decision, the newest first.
    pub troubled: Vec<TroubleRow>,
}

/// Both in their usual and their rare states.
#[cfg(test)]
pub(crate) mod samples {
    use super::{LetterRow, LettersPage, PostPage, TroubleRow};
    use crate::gallery::{Sample, frame};
    use crate::post::{Letter, State};
    use crate::profile::section::Section;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let row = |subject: &str, state| LetterRow {
            subject: subject.into(),
            parts: Letter::about(subject)
                .says("The Orchard 8-inch and two eyepieces are due back on Sunday, 7 June.")
                .lists(["T-007 The Orchard 8-inch", "\"><script>alert(1)</script>"])
                .leads_to("See your loan", "/telescopes")
                .parts,
            written: "Fri 5 June 2026, 19:40".into(),
            state,
        };
        let letters = |letters, mail, quiet: bool| LettersPage {
            frame: frame("Letters", scheme),
            section: Section::Letters,
            notice: quiet.then_some("Saved: only the letters that others wait on are mailed."),
            letters,
            mail,
            quiet,
            keeps_post: quiet,
        };
        let trouble = |id, state| TroubleRow {
            id,
            subject: "Your loan is due on Sunday".into(),
            reader: "Ines Aldous".into(),
            written: "Fri 5 June 2026, 19:40".into(),
            state,
            reason: "permanent error (550): no such mailbox here".into(),
        };
        let post = |place: Option<&str>, troubled| PostPage {
            frame: frame("Post", scheme),
            notice: None,
            failed: None,
            place: place.map(Into::into),
            protection: "protected from the first byte",
            from: "Windmill Hill <lend@example.org>".into(),
            trouble: None,
            waiting: "3 letters".into(),
            sent: "41 letters".into(),
            troubled,
        };
        let there = Some("mail.example.org, port 465");
        vec![
            Sample::of("letters-empty", &letters(vec![], false, false)),
            Sample::of(
                "letters",
                &letters(
                    vec![
                        row("Your loan is due on Sunday", State::Sent),
                        row("A hint", State::Kept),
                    ],
                    true,
                    true,
                ),
            ),
            Sample::of("post", &post(there, vec![])),
            Sample::of("post-without-mail", &post(None, vec![])),
            Sample::of(
                "post-in-trouble",
                &PostPage {
                    trouble: Some("Connection error: connection refused".into()),
                    failed: Some("Connection error: connection refused".into()),
                    ..post(there, vec![trouble(7, State::Unclear), trouble(6, State::Refused)])
                },
            ),
        ]
    }
}

//! The pages of one's own data.

use askama::Template;
use askama_web::WebTemplate;

use super::section::Section;
use crate::web::frame::Frame;

/// A kind of thing that is kept.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TableRow {
    /// The table's name, as in the file's.
    pub name: &'static str,
    /// The same in plain words.
    pub label: String,
    /// What it is about.
    pub about: &'static str,
    /// "3 rows".
    pub count: String,
}

/// `/account/data`
#[derive(Template, WebTemplate)]
#[template(path = "profile/data.html")]
pub struct DataPage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// All that is kept.
    pub tables: Vec<TableRow>,
}

/// `/account/data/erase`
#[derive(Template, WebTemplate)]
#[template(path = "profile/erase.html")]
pub struct ErasePage {
    /// The frame.
    pub frame: Frame,
    /// Where this page stands among those about oneself.
    pub section: Section,
    /// Why it can't be done yet.
    pub obstacles: Vec<String>,
    /// "2 reservations" that would be cancelled; may be empty.
    pub to_cancel: String,
    /// What is wrong with the password.
    pub password_error: Option<String>,
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let row = |name, about| TableRow { name, label: name.into(), about, count: "1 row".into() };
        let tables = vec![row("member", "you on the club's list"), row("eyes", "what you said")];
        let data = DataPage { frame: frame("My data", scheme), section: Section::Data, tables };
        let erase = |obstacles: Vec<String>, error: Option<&str>| ErasePage {
            frame: frame("Erase my account", scheme),
            section: Section::Data,
            obstacles,
            to_cancel: "2 reservations".into(),
            password_error: error.map(Into::into),
        };
        let obstacle = "You have things of the club for Friday 5 June 2026: bring them back first.";
        vec![
            Sample::of("data", &data),
            Sample::of("erase", &erase(Vec::new(), None)),
            Sample::of("erase-wrong", &erase(Vec::new(), Some("That is not your password."))),
            Sample::of("erase-blocked", &erase(vec![obstacle.into()], None)),
        ]
    }
}

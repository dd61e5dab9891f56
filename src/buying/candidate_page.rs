//! The pages of the list of candidates.

use askama::Template;
use askama_web::WebTemplate;

use super::candidate::COLUMNS;
use crate::optics::{BarlowKind, OpticalClass};
use crate::sheet::Preview;
use crate::web::field::{Choice, Field, Slip};
use crate::web::frame::Frame;

/// A candidate on the page.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Shown {
    /// Its number.
    pub id: i64,
    /// What the club calls it.
    pub name: String,
    /// Its figures.
    pub figures: String,
    /// "119.50, used, at most 2".
    pub price: String,
}

/// `/buying/candidates`
#[derive(Template, WebTemplate)]
#[template(path = "buying/candidates.html")]
pub struct CandidatesPage {
    /// The frame.
    pub frame: Frame,
    /// Good news, or what changed meanwhile.
    pub notice: Option<String>,
    /// The list.
    pub list: Vec<Shown>,
    /// The form's fields, in the order of the table's columns.
    pub fields: Vec<Field>,
    /// What is wrong with the form.
    pub slips: Vec<Slip>,
    /// The table as it was sent.
    pub table: String,
    /// What is wrong with it.
    pub faults: Vec<String>,
    /// One sentence above the faults.
    pub refused: Option<String>,
    /// What it would do.
    pub preview: Option<Preview>,
    /// The mark of that preview, sent back with the order to do it.
    pub seen: String,
}

impl CandidatesPage {
    fn field(&self, column: &str) -> Field {
        let at = COLUMNS.iter().position(|one| *one == column);
        at.and_then(|at| self.fields.get(at)).cloned().unwrap_or_default()
    }

    fn value(&self, column: &str) -> String {
        self.field(column).value
    }

    /// The first line of a table, with its end.
    fn head() -> String {
        format!("{}\n", COLUMNS.join(","))
    }

    fn pieces() -> Vec<Choice> {
        vec![
            Choice::new("eyepiece", "Eyepiece"),
            Choice::new("barlow", "Barlow"),
            Choice::new("corrector", "Coma corrector"),
        ]
    }

    fn conditions() -> Vec<Choice> {
        vec![Choice::new("new", "New"), Choice::new("used", "Used")]
    }

    fn barrels() -> Vec<Choice> {
        ["24.5", "31.75", "50.8"].map(|mm| Choice::new(mm, format!("{mm} mm"))).into()
    }

    fn classes() -> Vec<Choice> {
        let words = |class: &OpticalClass| class.as_str().replace('_', " ");
        OpticalClass::ALL.iter().map(|one| Choice::new(one.as_str(), words(one))).collect()
    }

    fn kinds() -> Vec<Choice> {
        BarlowKind::ALL.iter().map(|one| Choice::new(one.as_str(), one.as_str())).collect()
    }
}

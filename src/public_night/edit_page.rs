//! `/public-nights/new` and `/public-nights/{id}/edit`: the form of a public night.

use askama::Template;
use askama_web::WebTemplate;

use super::form::{Choices, NightForm};
use super::night_page::Refusal;
use crate::web::field::Choice;
use crate::web::frame::Frame;

/// The form.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/edit.html")]
pub struct EditPage {
    /// The frame.
    pub frame: Frame,
    /// The form.
    pub form: NightForm,
    /// Where it is sent.
    pub action: String,
    /// Where the way back leads.
    pub back: String,
    /// The version that the reader saw; none for something new.
    pub version: Option<i64>,
    /// The sites to choose from.
    pub sites: Vec<Choice>,
    /// What stands in the way, whatever is typed.
    pub refusal: Option<Refusal>,
}

impl EditPage {
    /// Whether putting the plan away would help.
    #[must_use]
    pub fn can_put_away(&self) -> bool {
        self.refusal.as_ref().is_some_and(|refusal| refusal.put_away.is_some())
    }

    /// What can be chosen.
    #[must_use]
    pub fn purposes(&self) -> Vec<Choice> {
        Choices::purposes()
    }

    /// What can be chosen.
    #[must_use]
    pub fn settings(&self) -> Vec<Choice> {
        Choices::settings()
    }

    /// What can be chosen.
    #[must_use]
    pub fn powers(&self) -> Vec<Choice> {
        Choices::powers()
    }

    /// What can be chosen.
    #[must_use]
    pub fn lightings(&self) -> Vec<Choice> {
        Choices::lightings()
    }
}

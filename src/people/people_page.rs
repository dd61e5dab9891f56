//! The pages of those who look after people.

use askama::Template;
use askama_web::WebTemplate;

use super::rights::Role;
use super::roster::Show;
use crate::web::field::{Field, Slip, slips};
use crate::web::frame::Frame;

/// A person of the list.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct PersonRow {
    /// The person's page.
    pub page: String,
    /// The name.
    pub name: String,
    /// Number and e-mail address, as far as there are.
    pub more: String,
    /// "Quartermaster, administrator", "has left": what is worth knowing at a glance.
    pub marks: Vec<String>,
}

/// `/people`
#[derive(Template, WebTemplate)]
#[template(path = "people/people.html")]
pub struct PeoplePage {
    /// The frame.
    pub frame: Frame,
    /// Counts in a sentence.
    pub tally: String,
    /// What is looked for.
    pub q: Field,
    /// Whom to show.
    pub show: Show,
    /// The people, by name.
    pub people: Vec<PersonRow>,
    /// The address of the next page.
    pub more: Option<String>,
    /// The way to invitations by mail, in words; none where nobody waits for one.
    pub letters: Option<String>,
    /// Those who asked to join, in words; none where nobody waits.
    pub waiting: Option<String>,
    /// Whether the reader looks after accounts, and not only after members' links.
    pub manages: bool,
}

/// A role with its box.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RoleBox {
    /// Which.
    pub role: Role,
    /// Whether it is ticked.
    pub ticked: bool,
}

impl RoleBox {
    /// All roles, these ticked.
    #[must_use]
    pub fn all(ticked: impl Fn(Role) -> bool) -> Vec<Self> {
        Role::ALL.into_iter().map(|role| Self { role, ticked: ticked(role) }).collect()
    }
}

/// What may be done with an account.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct AccountPart {
    /// Its number.
    pub id: i64,
    /// The address for signing in.
    pub email: String,
    /// Whether it is switched off.
    pub disabled: bool,
    /// Whether a password has been chosen.
    pub has_password: bool,
    /// Sessions and tokens, in a sentence.
    pub in_use: String,
    /// Whether there are sessions to end.
    pub sessions: bool,
    /// Its roles.
    pub roles: Vec<RoleBox>,
    /// Whether the reader may make a link for it.
    pub may_open: bool,
    /// Whether it is the reader's own.
    pub own: bool,
}

/// `/people/{id}` and `/people/members/{id}`
#[derive(Template, WebTemplate)]
#[template(path = "people/person.html")]
pub struct PersonPage {
    /// The frame.
    pub frame: Frame,
    /// What the club's list says, label and value.
    pub facts: Vec<(&'static str, String)>,
    /// The member's number in the database, for those who have no account but could have one.
    pub invitable: Option<i64>,
    /// The account.
    pub account: Option<AccountPart>,
    /// Good news to show once.
    pub notice: Option<String>,
    /// Whether the reader looks after accounts.
    pub manages: bool,
    /// Whether the club has a mail server.
    pub mail: bool,
    /// The reader's own password, asked for before roles change.
    pub password: Field,
}

impl PersonPage {
    fn slips(&self) -> Vec<Slip> {
        slips([("password", &self.password)])
    }
}

/// A link, shown this once.
#[derive(Template, WebTemplate)]
#[template(path = "people/link.html")]
pub struct LinkPage {
    /// The frame.
    pub frame: Frame,
    /// Whose it is.
    pub name: String,
    /// The address they sign in with.
    pub email: String,
    /// The whole link.
    pub link: String,
    /// Until when it holds, in words.
    pub until: String,
    /// What it is for.
    pub purpose: &'static str,
    /// The way back.
    pub back: String,
}

/// `/people/invite`
#[derive(Template, WebTemplate)]
#[template(path = "people/invite.html")]
pub struct InvitePage {
    /// The frame.
    pub frame: Frame,
    /// The person's name.
    pub name: Field,
    /// The address for signing in.
    pub email: Field,
    /// The roles; nothing for readers who may invite members only.
    pub roles: Vec<RoleBox>,
    /// Whether the club has a mail server.
    pub mail: bool,
}

impl InvitePage {
    fn slips(&self) -> Vec<Slip> {
        slips([("name", &self.name), ("email", &self.email)])
    }
}

#[cfg(test)]
#[path = "people_samples.rs"]
pub(crate) mod samples;

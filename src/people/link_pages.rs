//! Links that open an account: shown to be handed over, or sent by mail.

use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::access::SignedIn;
use super::invite::{self, Invitation};
use super::invite_letters;
use super::manage::{self, may_open, no_such_person};
use super::people_page::LinkPage;
use super::people_pages::not_oneself;
use super::porter::Porter;
use super::setup;
use crate::web::body::{Form, Path};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::Secret;

/// How a link gets to its owner.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct By {
    by: String,
}

impl By {
    /// As the button that was pressed says.
    pub(super) fn word(by: &str) -> Self {
        Self { by: by.to_owned() }
    }

    /// Sends an invitation that is in the database, or shows it to be handed over.
    pub(super) fn hand_over(&self, porter: &Porter, who: &SignedIn, made: &Invitation) -> Response {
        let letter = (self.by == "mail" && porter.post.is_open())
            .then(|| invite_letters::letter(&porter.site, &porter.clock, made))
            .flatten();
        let Some(letter) = letter else {
            return link_page(porter, who, made, "Invitation", "to choose a password")
                .into_response();
        };
        porter.post.carry(letter);
        Redirect::to(&format!("/people/{}?done=sent", made.account)).into_response()
    }
}

pub(super) fn link_page(
    porter: &Porter,
    who: &SignedIn,
    made: &Invitation,
    title: &str,
    purpose: &'static str,
) -> LinkPage {
    let until = Timestamp::from_second(made.until).unwrap_or_default();
    let until = until.to_zoned_datetime(porter.clock.zone().clone());
    LinkPage {
        frame: who
            .visit
            .frame(format!("{title} for {}", made.name))
            .at(Place::People)
            .returning_to("/people"),
        name: made.name.clone(),
        email: made.email.clone(),
        link: porter.site.link(&format!("/setup/{}", made.link.reveal())),
        until: format!("{}, {}", format::night(until.date()), until.strftime("%H:%M")),
        purpose,
        back: format!("/people/{}", made.account),
    }
}

pub(super) fn not_yours_to_open() -> Problem {
    Problem::not_yours("This account may do more than borrow, so its link is an administrator’s.")
        .next("Ask an administrator to make the link.")
        .way("People", "/people")
}

/// `POST /people/{id}/link`: an invitation once more, or a link for a new password.
///
/// # Errors
/// 403 for an account that may do more than borrow unless the reader looks after accounts, 404
/// without such an account or one that is switched off.
pub async fn link(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(by): Form<By>,
) -> Result<Response, Problem> {
    not_oneself(&who, id)?;
    let (store, clock) = (&porter.store, &porter.clock);
    let account = manage::account(store, clock.seconds(), id).await?;
    let account = account.filter(|account| !account.disabled).ok_or_else(no_such_person)?;
    let mut tx = store.write().await?;
    let standing = manage::standing(&mut tx, id).await?;
    if standing.disabled {
        return Err(no_such_person());
    }
    if !may_open(&who.account, &standing.roles) {
        return Err(not_yours_to_open());
    }
    let link = Secret::random()?;
    let again = !account.has_password;
    let until = if again {
        setup::invite(&mut tx, clock, id, &link).await?
    } else {
        setup::reset(&mut tx, clock, id, &link).await?
    };
    let deed = if again { "invitation made" } else { "password link made" };
    invite::note_link(&mut tx, who.actor(), deed, id).await?;
    tx.commit().await?;
    let made = Invitation { account: id, name: account.name, email: account.email, link, until };
    if again {
        return Ok(by.hand_over(&porter, &who, &made));
    }
    Ok(link_page(&porter, &who, &made, "Link", "to choose a new password").into_response())
}

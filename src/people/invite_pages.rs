//! `/people/invite`: somebody new, or somebody of the club's list, gets an account.

use std::collections::BTreeMap;

use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

use super::access::SignedIn;
use super::invite;
use super::link_pages::{By, not_yours_to_open};
use super::manage::no_such_person;
use super::member::{Email, MemberId};
use super::people_page::{InvitePage, RoleBox};
use super::people_pages::ticked;
use super::porter::Porter;
use super::rights::{Deed, Role, Roles};
use crate::sheet::Name;
use crate::web::body::{Form, Path};
use crate::web::field::Field;
use crate::web::frame::Place;
use crate::web::problem::Problem;

/// `POST /people/members/{id}/invite`: an account and a link for somebody of the club's list.
///
/// # Errors
/// 404 without such a member, 409 where they can't have an account.
pub async fn invite_member(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(by): Form<By>,
) -> Result<Response, Problem> {
    let mut tx = porter.store.write().await?;
    let member = super::member(&mut tx, MemberId(id)).await?.ok_or_else(no_such_person)?;
    let made = invite::invite_member(&mut tx, &porter.clock, who.actor(), &member).await?;
    tx.commit().await?;
    Ok(by.hand_over(&porter, &who, &made))
}

/// `GET /people/invite`
pub async fn invite_form(porter: Porter, who: SignedIn) -> InvitePage {
    invite_page(&porter, &who, &Roles::of([Role::Member]))
}

fn invite_page(porter: &Porter, who: &SignedIn, ticked: &Roles) -> InvitePage {
    let manages = who.account.roles.may(Deed::ManageAccounts);
    InvitePage {
        frame: who.visit.frame("Invite somebody").at(Place::People).returning_to("/people/invite"),
        name: Field::default(),
        email: Field::default(),
        mail: porter.post.is_open(),
        roles: if manages { RoleBox::all(|role| ticked.include(role)) } else { Vec::new() },
    }
}

/// `POST /people/invite`
///
/// # Errors
/// 403 for roles that are not the reader's to give, or the database could not answer.
pub async fn invite_somebody(
    porter: Porter,
    who: SignedIn,
    Form(form): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    let typed = |name: &str| form.get(name).map_or("", |text| text.trim());
    let ticked = ticked(&form);
    let manages = who.account.roles.may(Deed::ManageAccounts);
    let mut roles = Roles::of([Role::Member]);
    if manages {
        roles = ticked.clone();
    } else if ticked.iter().any(|role| role != Role::Member) {
        return Err(not_yours_to_open());
    }
    let mut page = invite_page(&porter, &who, &ticked);
    page.name = Field::of(typed("name"));
    page.email = Field::of(typed("email"));
    let email = Email::new(typed("email")).map_err(|why| page.email.refuse(why.to_string()));
    let name = match typed("name") {
        "" => Ok(None),
        text => Name::new(text).map(Some).map_err(|why| page.name.refuse(why.to_string())),
    };
    let refused = |page: InvitePage| Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    let (Ok(email), Ok(name)) = (email, name) else { return refused(page) };
    let mut tx = porter.store.write().await?;
    let name = name.as_ref().map(Name::as_str);
    let clock = &porter.clock;
    match invite::invite_newcomer(&mut tx, clock, who.actor(), &email, name, &roles).await? {
        Ok(made) => {
            tx.commit().await?;
            Ok(By::word(typed("by")).hand_over(&porter, &who, &made))
        }
        Err(why) => {
            page.email.refuse(why);
            refused(page)
        }
    }
}

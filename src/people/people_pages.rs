//! `/people`: the list, and each person.

use std::collections::BTreeMap;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::access::SignedIn;
use super::invite_letters;
use super::manage::{self, AccountFacts, may_open, no_such_person};
use super::member::{MemberId, MemberRecord, MemberState};
use super::people_page::{AccountPart, PeoplePage, PersonPage, PersonRow, RoleBox};
use super::porter::Porter;
use super::proof::Proof;
use super::rights::{Deed, Role, Roles};
use super::roster::{self, Listed, Show};
use crate::post::Post;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// What stands after the question mark of `/people`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    q: String,
    show: String,
    after: String,
}

/// `GET /people`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(post): State<Post>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<PeoplePage, Problem> {
    let show = Show::parse(&asked.show);
    let (people, more) = roster::list(&store, &asked.q, show, &asked.after).await?;
    let more = people.last().filter(|_| more).map(|last| {
        let after = last.key.word();
        let query = pairs([("q", &*asked.q), ("show", show.as_str()), ("after", &after)]);
        format!("/people?{query}")
    });
    let tally = roster::tally(&store).await?;
    let manages = who.account.roles.may(Deed::ManageAccounts);
    let count = |number: i64| usize::try_from(number).unwrap_or_default();
    let letters = if post.is_open() {
        let mut conn = store.reader().acquire().await?;
        invite_letters::how_many(&mut conn, clock.seconds()).await?
    } else {
        0
    };
    Ok(PeoplePage {
        frame: who.visit.frame("People").at(Place::People),
        tally: format!(
            "{} on the club’s list. {} can sign in.",
            format::sentence_case(&format::count(count(tally.members), "member", "members")),
            format::sentence_case(&format::count(count(tally.can_sign_in), "person", "people")),
        ),
        q: Field::of(&asked.q),
        show,
        people: people.into_iter().map(row).collect(),
        more,
        letters: (letters > 0)
            .then(|| format!("Invite {} by mail", format::count(letters, "member", "members"))),
        waiting: (manages && tally.waiting > 0).then(|| {
            let people = format::count(count(tally.waiting), "person asks", "people ask");
            format!("{} to join", format::sentence_case(&people))
        }),
        manages,
    })
}

fn row(person: Listed) -> PersonRow {
    let mut marks: Vec<String> = person
        .roles
        .iter()
        .filter(|role| *role != Role::Member)
        .map(|role| role.label().to_owned())
        .collect();
    if person.left {
        marks.push("Has left".into());
    }
    if person.disabled {
        marks.push("Switched off".into());
    } else if !person.can_sign_in && !person.left {
        marks.push("Can’t sign in yet".into());
    }
    let more: Vec<String> = [person.number, person.email].into_iter().flatten().collect();
    PersonRow { page: person.key.page(), name: person.name, more: more.join(", "), marks }
}

/// What a deed leads back with: `/people/3?done=roles`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

impl Told {
    fn notice(&self) -> Option<String> {
        let says = match self.done.as_str() {
            "roles" => "The roles were changed.",
            "same" => "These are the roles they had already.",
            "off" => "The account is switched off.",
            "on" => "The account is switched on again.",
            "out" => "They are signed out everywhere.",
            "sent" => "The invitation is on its way. It works once, within seven days.",
            _ => return None,
        };
        Some(says.into())
    }
}

/// `GET /people/{id}`: somebody with an account.
///
/// # Errors
/// 404 without such an account, or the database could not be read.
pub async fn one(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(told): Query<Told>,
) -> Result<PersonPage, Problem> {
    Ok(PersonPage { notice: told.notice(), ..of_account(&porter, &who, id).await? })
}

async fn of_account(porter: &Porter, who: &SignedIn, id: i64) -> Result<PersonPage, Problem> {
    let account = manage::account(&porter.store, porter.clock.seconds(), id)
        .await?
        .ok_or_else(no_such_person)?;
    let member = match account.member {
        Some(id) => member(&porter.store, id).await?,
        None => None,
    };
    Ok(person_page(porter, who, member.as_ref(), Some(account)))
}

/// `GET /people/members/{id}`: a member; leads on to their account where there is one.
///
/// # Errors
/// 404 without such a member, or the database could not be read.
pub async fn one_member(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    if let Some(account) = manage::account_of_member(&porter.store, id).await? {
        return Ok(Redirect::to(&format!("/people/{account}")).into_response());
    }
    let member = member(&porter.store, id).await?.ok_or_else(no_such_person)?;
    Ok(person_page(&porter, &who, Some(&member), None).into_response())
}

async fn member(store: &Store, id: i64) -> Result<Option<MemberRecord>, Problem> {
    let mut conn = store.reader().acquire().await?;
    Ok(super::member(&mut conn, MemberId(id)).await?)
}

fn day(clock: &Clock, seconds: i64) -> String {
    let instant = Timestamp::from_second(seconds).unwrap_or_default();
    format::night(instant.to_zoned_datetime(clock.zone().clone()).date())
}

fn person_page(
    porter: &Porter,
    who: &SignedIn,
    member: Option<&MemberRecord>,
    account: Option<AccountFacts>,
) -> PersonPage {
    let name = account.as_ref().map(|account| account.name.clone());
    let name = name.or(member.map(|member| member.facts.name.as_str().to_owned()));
    let mut facts = Vec::new();
    if let Some(MemberRecord { facts: listed, .. }) = member {
        facts.push(("Member number", listed.number.to_string()));
        if let Some(email) = &listed.email {
            facts.push(("E-mail address in the club’s list", email.to_string()));
        }
        if let Some(joined) = listed.joined {
            facts.push(("Joined", format::night(joined)));
        }
        if listed.state == MemberState::Left {
            facts.push(("Membership", "Has left".into()));
        }
    }
    if let Some(account) = &account {
        facts.push(("Account since", day(&porter.clock, account.created_at)));
    }
    let invitable = member
        .filter(|member| member.facts.email.is_some() && member.facts.state == MemberState::Active)
        .map(|member| member.id.0);
    PersonPage {
        frame: who.visit.frame(name.unwrap_or_default()).at(Place::People),
        facts,
        invitable,
        account: account.map(|account| part(&porter.clock, who, account)),
        notice: None,
        manages: who.account.roles.may(Deed::ManageAccounts),
        mail: porter.post.is_open(),
        password: Field::default(),
    }
}

fn part(clock: &Clock, who: &SignedIn, account: AccountFacts) -> AccountPart {
    let count = |number: i64| usize::try_from(number).unwrap_or_default();
    let mut in_use = match account.last_seen_at.filter(|_| account.sessions > 0) {
        Some(seen) => format!(
            "Signed in on {}, the last time on {}.",
            format::count(count(account.sessions), "device", "devices"),
            day(clock, seen)
        ),
        None => "Not signed in anywhere.".to_owned(),
    };
    if account.tokens > 0 {
        let tokens = format::count(count(account.tokens), "access token", "access tokens");
        in_use = format!("{in_use} Has {tokens}.");
    }
    AccountPart {
        may_open: may_open(&who.account, &account.roles),
        own: account.id == who.account.id,
        id: account.id,
        email: account.email,
        disabled: account.disabled,
        has_password: account.has_password,
        in_use,
        sessions: account.sessions > 0,
        roles: RoleBox::all(|role| account.roles.include(role)),
    }
}

/// Nobody changes their own roles or switches themselves off: that takes two people.
pub(super) fn not_oneself(who: &SignedIn, id: i64) -> Result<(), Problem> {
    if who.account.id == id {
        return Err(Problem::not_yours("This is your own account.")
            .next("Ask another administrator to do it.")
            .way("People", "/people"));
    }
    Ok(())
}

/// The ticked boxes of a form with one box for each role.
pub(super) fn ticked(form: &BTreeMap<String, String>) -> Roles {
    Roles::of(Role::ALL.into_iter().filter(|role| form.contains_key(role.as_str())))
}

/// `POST /people/{id}/roles`
///
/// # Errors
/// 403 for one's own account, 404 without such an account, 409 for the last administrator, 429 when
/// the reader's own password was guessed at too often.
pub async fn set_roles(
    porter: Porter,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(form): Form<BTreeMap<String, String>>,
) -> Result<Response, Problem> {
    not_oneself(&who, id)?;
    let wanted = ticked(&form);
    let password = form.get("password").map_or("", String::as_str);
    if let Proof::Wrong(why) = porter.prove(&who, password).await? {
        let mut page = of_account(&porter, &who, id).await?;
        page.password.refuse(why);
        if let Some(account) = &mut page.account {
            account.roles = RoleBox::all(|role| wanted.include(role));
        }
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let mut tx = porter.store.write().await?;
    let changed = manage::set_roles(&mut tx, who.actor(), id, &wanted).await?;
    tx.commit().await?;
    let done = if changed { "roles" } else { "same" };
    Ok(Redirect::to(&format!("/people/{id}?done={done}")).into_response())
}

/// `POST /people/{id}/disable`
///
/// # Errors
/// As [`set_roles`].
pub async fn disable(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    not_oneself(&who, id)?;
    let mut tx = store.write().await?;
    manage::disable(&mut tx, who.actor(), clock.seconds(), id).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/people/{id}?done=off")))
}

/// `POST /people/{id}/enable`
///
/// # Errors
/// 403 for one's own account, 404 without such an account.
pub async fn enable(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    not_oneself(&who, id)?;
    let mut tx = store.write().await?;
    manage::enable(&mut tx, who.actor(), id).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/people/{id}?done=on")))
}

/// `POST /people/{id}/sessions/end`
///
/// # Errors
/// 403 for one's own account, 404 without such an account.
pub async fn end_sessions(
    State(store): State<Store>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Redirect, Problem> {
    not_oneself(&who, id)?;
    let mut tx = store.write().await?;
    manage::end_sessions(&mut tx, who.actor(), id).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/people/{id}?done=out")))
}

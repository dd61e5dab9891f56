//! Who helps at a public night, and which telescopes each can run; and its public address.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};

use super::keeping::keep;
use super::model::{Helper, NightId, PublicNight};
use super::night_page::{HelperPage, Runs};
use super::night_pages::{Sent, lead_act, not_there, page, refused, text, version};
use super::runs;
use super::shown::helper_names;
use super::store;
use crate::audit::{self, Subject};
use crate::people::access::SignedIn;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::site::Site;

/// Most helpers of one night.
pub const MOST_HELPERS: usize = 40;

/// The longest first name.
const LONGEST_NAME: usize = 40;

/// A helper as a form or program gives one: a member's number, or a guest's first name.
pub(super) async fn helper(
    tx: &mut WriteTx,
    night: &PublicNight,
    member: Option<MemberId>,
    first_name: &str,
) -> Result<Result<Helper, String>, Problem> {
    let no = |says: &str| Ok(Err(says.to_owned()));
    if night.helpers.len() >= MOST_HELPERS {
        return no("Forty helpers are the most.");
    }
    let first_name = first_name.trim();
    let number = (1..=99)
        .find(|number| night.helpers.iter().all(|helper| helper.number != *number))
        .unwrap_or(99);
    if let Some(id) = member {
        let found = people::member(tx, id).await.map_err(|error| Problem::internal(&error))?;
        if !found.is_some_and(|found| found.facts.state == MemberState::Active) {
            return no("There is no such member.");
        }
        if night.helpers.iter().any(|helper| helper.member == member) {
            return no("This member is on the list already.");
        }
        return Ok(Ok(Helper {
            number,
            member,
            first_name: String::new(),
            ticked: std::collections::BTreeSet::new(),
        }));
    }
    if first_name.is_empty() {
        return no("Choose a member, or write a first name.");
    }
    if first_name.chars().count() > LONGEST_NAME || first_name.chars().any(char::is_control) {
        return no("Write a first name of at most 40 letters.");
    }
    Ok(Ok(Helper {
        number,
        member: None,
        first_name: first_name.to_owned(),
        ticked: std::collections::BTreeSet::new(),
    }))
}

/// `POST /public-nights/{id}/helpers`
///
/// # Errors
/// 404 where there is no such night.
pub async fn add(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = store::night(&mut tx, NightId(id)).await?;
    let member = text(&sent, "member").parse().ok().map(MemberId);
    match helper(&mut tx, &night, member, text(&sent, "first_name")).await? {
        Ok(helper) => night.helpers.push(helper),
        Err(why) => {
            drop(tx);
            let mut page = page((&db, &clock, &site), &who, &night).await?;
            page.member = Field::of(text(&sent, "member"));
            page.first_name = Field::refused(text(&sent, "first_name"), why);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    }
    match keep(&mut tx, &clock, night, &act).await {
        Ok(_) => {
            let subject = Subject::of("public night", id);
            audit::note(&mut tx, who.actor(), "public night's helper added", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/public-nights/{id}?done=saved#helpers")).into_response())
        }
        Err(why) => {
            drop(tx);
            refused((&db, &clock, &site), &who, NightId(id), why, None).await
        }
    }
}

/// `GET /public-nights/{id}/helpers/{number}`
///
/// # Errors
/// 404 where there is no such night or helper.
pub async fn form(
    State(db): State<Store>,
    who: SignedIn,
    Path((id, number)): Path<(i64, i64)>,
) -> Result<HelperPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let helper = night.helpers.iter().find(|helper| helper.number == number);
    let helper = helper.ok_or_else(not_there)?;
    let names = helper_names(&mut conn, &night.helpers).await?;
    let shelf = shelf::shelf_in_service(&mut conn).await.map_err(|e| Problem::internal(&e))?;
    // Without ticks: what is known besides.
    let mut plain = night.clone();
    plain.helpers.iter_mut().for_each(|helper| helper.ticked.clear());
    let known = runs::of_helpers(&mut conn, &plain, &shelf).await?;
    let known = known.get(&number).cloned().unwrap_or_default();
    let name = names.get(&number).cloned().unwrap_or_default();
    Ok(HelperPage {
        frame: who
            .visit
            .frame(name)
            .at(Place::PublicNights)
            .returning_to(format!("/public-nights/{id}/helpers/{number}")),
        back: format!("/public-nights/{id}"),
        night: night.occasion.name.to_string(),
        number,
        version: night.version,
        member: helper.member.is_some(),
        telescopes: shelf
            .telescopes
            .iter()
            .map(|scope| Runs {
                id: scope.id.0,
                tag: scope.facts.tag.to_string(),
                name: scope.facts.name.to_string(),
                ticked: helper.ticked.contains(&scope.id),
                known: known.contains(&scope.id),
            })
            .collect(),
    })
}

/// `POST /public-nights/{id}/helpers/{number}`: the ticks, or taken off the list.
///
/// # Errors
/// 404 where there is no such night or helper.
pub async fn save(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path((id, number)): Path<(i64, i64)>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = store::night(&mut tx, NightId(id)).await?;
    night.version = version(&sent);
    let at = night.helpers.iter().position(|helper| helper.number == number);
    let at = at.ok_or_else(not_there)?;
    if text(&sent, "remove").is_empty() {
        let shelf = shelf::shelf(&mut tx).await.map_err(|error| Problem::internal(&error))?;
        night.helpers[at].ticked = sent
            .keys()
            .filter_map(|name| name.strip_prefix("runs-")?.parse().ok().map(ItemId))
            .filter(|item| shelf.telescopes.iter().any(|scope| scope.id == *item))
            .collect();
    } else {
        night.helpers.remove(at);
        for station in &mut night.stations {
            station.helper = station.helper.filter(|helper| *helper != number);
        }
    }
    match keep(&mut tx, &clock, night, &act).await {
        Ok(_) => {
            let subject = Subject::of("public night", id);
            audit::note(&mut tx, who.actor(), "public night's helper changed", subject, "").await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/public-nights/{id}?done=saved#helpers")).into_response())
        }
        Err(why) => {
            drop(tx);
            refused((&db, &clock, &site), &who, NightId(id), why, None).await
        }
    }
}

/// `POST /public-nights/{id}/public`: a new public address, or none.
///
/// The address can be read, and its end can't be guessed; a new one ends the old one.
///
/// # Errors
/// 404 where there is no such night.
pub async fn public(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(sent): Form<Sent>,
) -> Result<Response, Problem> {
    let act = lead_act(&who.account, &clock)?;
    let mut tx = db.write().await?;
    let mut night = store::night(&mut tx, NightId(id)).await?;
    night.version = version(&sent);
    let on = text(&sent, "public") == "on";
    night.slug = if on { Some(slug(&night)?) } else { None };
    match keep(&mut tx, &clock, night, &act).await {
        Ok(_) => {
            let (deed, done) = if on {
                ("public page opened", "public")
            } else {
                ("public page closed", "private")
            };
            audit::note(&mut tx, who.actor(), deed, Subject::of("public night", id), "").await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/public-nights/{id}?done={done}#share")).into_response())
        }
        Err(why) => {
            drop(tx);
            refused((&db, &clock, &site), &who, NightId(id), why, None).await
        }
    }
}

/// `moon-over-the-school-2026-11-20-3f9a…`: words to read, and 64 random bits.
pub(super) fn slug(night: &PublicNight) -> Result<String, Problem> {
    let mut words = String::new();
    for letter in night.occasion.name.as_str().chars().flat_map(char::to_lowercase) {
        if letter.is_ascii_alphanumeric() {
            words.push(letter);
        } else if !words.is_empty() && !words.ends_with('-') {
            words.push('-');
        }
        if words.len() >= 40 {
            break;
        }
    }
    let words = words.trim_matches('-');
    let secret = Secret::random()?;
    let end: String = secret.reveal().chars().take(16).collect();
    let date = night.occasion.date;
    Ok(if words.is_empty() { format!("{date}-{end}") } else { format!("{words}-{date}-{end}") })
}

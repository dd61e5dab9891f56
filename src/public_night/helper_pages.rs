//! Who helps at a public night, and which telescopes each can run; and its public address.

use std::collections::BTreeSet;

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};

use super::keeping::keep;
use super::model::{Helper, NightId, PublicNight};
use super::night_page::{HelperPage, Runs};
use super::night_pages::{Did, Sent, Told, lead_act, not_there, page, settle, text, version};
use super::runs;
use super::shown::helper_names;
use super::store;
use crate::people::access::SignedIn;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId, Kind};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
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
            ticked: BTreeSet::new(),
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
        ticked: BTreeSet::new(),
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
    let added = match helper(&mut tx, &night, member, text(&sent, "first_name")).await? {
        Ok(helper) => helper,
        Err(why) => {
            drop(tx);
            let mut page = page((&db, &clock, &site), &who, &night).await?;
            page.member = Field::of(text(&sent, "member"));
            page.first_name = Field::refused(text(&sent, "first_name"), why);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    let scopes = shelf::ids_in_service(&mut tx, Kind::Telescope).await;
    let scopes = scopes.map_err(|error| Problem::internal(&error))?;
    let runs = runs::of_helpers(&mut tx, std::slice::from_ref(&added), &scopes).await?;
    // No station can be given to somebody who runs nothing, so what they run is asked at once.
    let idle = runs.values().all(Vec::is_empty) && !scopes.is_empty();
    let then = match added.number {
        number if idle => format!("/helpers/{number}?done=added"),
        _ => "?done=saved#helpers".to_owned(),
    };
    night.helpers.push(added);
    let outcome = keep(&mut tx, &clock, night, &act).await;
    let did = Did::the("public night's helper added", then);
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
}

/// `GET /public-nights/{id}/helpers/{number}`
///
/// # Errors
/// 404 where there is no such night or helper.
pub async fn form(
    State(db): State<Store>,
    who: SignedIn,
    Path((id, number)): Path<(i64, i64)>,
    Query(told): Query<Told>,
) -> Result<HelperPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = store::night(&mut conn, NightId(id)).await?;
    let helper = night.helpers.iter().find(|helper| helper.number == number);
    let helper = helper.ok_or_else(not_there)?;
    let names = helper_names(&mut conn, &night.helpers).await?;
    let telescopes = shelf::telescopes_in_service(&mut conn).await;
    let telescopes = telescopes.map_err(|error| Problem::internal(&error))?;
    let scopes: Vec<ItemId> = telescopes.iter().map(|one| one.id).collect();
    // Without ticks: what is known besides.
    let plain = Helper { ticked: BTreeSet::new(), ..helper.clone() };
    let known = runs::of_helpers(&mut conn, &[plain], &scopes).await?;
    let known = known.get(&number).cloned().unwrap_or_default();
    let name = names.get(&number).cloned().unwrap_or_default();
    let notice = (told.done == "added").then(|| {
        format!("{name} is on the list, and needs a telescope to run: tick what they can.")
    });
    Ok(HelperPage {
        notice,
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
        telescopes: telescopes
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
        let ticked = sent.keys().filter_map(|name| name.strip_prefix("runs-")?.parse().ok());
        let ticked: Vec<ItemId> = ticked.map(ItemId).collect();
        let ticked = shelf::names(&mut tx, &ticked).await;
        let ticked = ticked.map_err(|error| Problem::internal(&error))?.into_iter();
        night.helpers[at].ticked =
            ticked.filter(|one| one.kind == Kind::Telescope).map(|one| one.id).collect();
    } else {
        night.helpers.remove(at);
        for station in &mut night.stations {
            station.helper = station.helper.filter(|helper| *helper != number);
        }
    }
    let outcome = keep(&mut tx, &clock, night, &act).await;
    let did = Did::the("public night's helper changed", "?done=saved#helpers");
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
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
    let outcome = keep(&mut tx, &clock, night, &act).await;
    let did = if on {
        Did::the("public page opened", "?done=public#share")
    } else {
        Did::the("public page closed", "?done=private#share")
    };
    settle((&db, &clock, &site), &who, id, (tx, outcome), did).await
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

//! The list of public nights, one of them, and what becomes of it.

use std::collections::{BTreeMap, BTreeSet};

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::keeping::{NotKept, shut};
use super::list_page::{NightRow, NightsPage};
use super::model::{NightId, NightState, PublicNight};
use super::night_page::{NightPage, Refusal, Reserved};
use super::shown::{crowd, hours_of, show};
use super::store::{self, Listed, NightError};
use crate::audit::{self, Subject};
use crate::lending::cautions::{Caution, Topic, about};
use crate::lending::door::{desk_act, may_see, tonight};
use crate::lending::machine::Hat;
use crate::lending::reading::whole;
use crate::lending::{Act, Doer};
use crate::observing::sites::{self, KeptSite};
use crate::people;
use crate::people::access::{Account, SignedIn};
use crate::people::rights::Deed;
use crate::store::{Store, WriteTx};
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::{Fault, Problem};
use crate::web::site::Site;

/// Most public nights of one list.
const MOST: i64 = 200;

pub(super) fn not_there() -> Problem {
    Problem::not_found("There is no such public night, or it isn't announced yet.")
        .next("Look at the public nights there are.")
        .way("Public nights", "/public-nights")
}

impl From<NightError> for Problem {
    fn from(error: NightError) -> Self {
        match error {
            NightError::NotThere => not_there(),
            NightError::Stale => Self::new(crate::web::kinds::Kind::Stale, error.to_string())
                .next("Look at it as it stands now, then do it again."),
            NightError::Database(error) => error.into(),
            NightError::Unreadable(_) => Self::internal(&error),
        }
    }
}

impl From<NotKept> for Problem {
    fn from(refused: NotKept) -> Self {
        let says = refused.to_string();
        match refused {
            NotKept::Failed(error) => error.into(),
            NotKept::Site(error) => error.into(),
            NotKept::Shelf(error) => Self::internal(&error),
            NotKept::Pieces(error) => error.into(),
            NotKept::Sun(shut) => shut
                .iter()
                .map(|one| {
                    Fault::at(format!("/stations/{}", one.station().max(1) - 1), one.to_string())
                })
                .fold(Self::conflict(says), Self::with)
                .next("Give every telescope its own filter, an attendant and a finder that is capped or removed; or choose hours without the Sun. Nobody can switch this off."),
            NotKept::Muddled(_)
            | NotKept::WrongPiece(..)
            | NotKept::AlreadyOut
            | NotKept::NoPieces
            | NotKept::NoNights(_) => Self::conflict(says),
        }
    }
}

/// Whether this person prepares public nights.
pub(super) fn keeps(account: &Account) -> bool {
    account.roles.may(Deed::KeepPublicNights)
}

/// An act of whoever prepares public nights, now.
pub(super) fn lead_act(account: &Account, clock: &Clock) -> Result<Act, Problem> {
    if account.roles.may(Deed::RunDesk) {
        return desk_act(account, clock);
    }
    Ok(Act {
        doer: Doer { account: Some(account.id), hat: Hat::Lead },
        at: clock.seconds(),
        tonight: tonight(clock)?,
        reason: String::new(),
    })
}

/// The public night, where this person may see it.
pub(super) async fn visible(
    conn: &mut SqliteConnection,
    account: &Account,
    id: i64,
) -> Result<PublicNight, Problem> {
    let night = store::night(conn, NightId(id)).await?;
    let seen = night.state != NightState::Draft || keeps(account);
    if seen { Ok(night) } else { Err(not_there()) }
}

/// What stands after the question mark.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    pub(super) done: String,
}

/// `GET /public-nights`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(db): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<NightsPage, Problem> {
    let mut tx = db.reader().begin().await?;
    let today = clock.today();
    let keeps = keeps(&who.account);
    let sites = sites::sites(&mut tx).await?;
    let mut all = store::listed(&mut tx, MOST).await?;
    all.retain(|night| keeps || night.state != NightState::Draft);
    let to_come = |night: &Listed| {
        night.occasion.last_day() >= today
            && matches!(night.state, NightState::Draft | NightState::Announced)
    };
    // Only plans that somebody may still use can be shut, and only these are read.
    let mut plans = Vec::new();
    for night in all.iter().filter(|night| to_come(night) && night.stations > 0) {
        plans.push(store::night(&mut tx, night.id).await?);
    }
    let shut = shut(&mut tx, &plans, &sites, today).await?;
    let shut: BTreeSet<NightId> =
        plans.iter().zip(shut).filter(|(_, shut)| *shut).map(|(plan, _)| plan.id).collect();
    let (mut ahead, mut over) = (Vec::new(), Vec::new());
    for night in &all {
        let row = row(night, &sites, shut.contains(&night.id));
        if to_come(night) { ahead.push(row) } else { over.push(row) }
    }
    ahead.reverse();
    let frame = who.visit.frame("Public nights").at(Place::PublicNights);
    Ok(NightsPage { frame: frame.returning_to("/public-nights"), ahead, over, keeps })
}

fn row(night: &Listed, sites: &[KeptSite], shut: bool) -> NightRow {
    let occasion = &night.occasion;
    let site = sites.iter().find(|kept| Some(kept.id) == occasion.site);
    NightRow {
        name: occasion.name.to_string(),
        address: format!("/public-nights/{}", night.id),
        when: format!("{}, {}", format::night(occasion.date), hours_of(occasion)),
        site: site.map_or_else(|| "No place chosen".to_owned(), |kept| kept.site.name.to_string()),
        crowd: crowd(occasion),
        state: night.state.label(),
        solar: occasion.purpose == super::model::Purpose::Solar,
        stations: format::count(night.stations, "station", "stations"),
        shut,
    }
}

/// The cautions of a public night.
pub(super) fn cautions(in_the_sun: bool) -> Vec<&'static Caution> {
    let mut topics = vec![Topic::Children, Topic::DarkFields, Topic::Lifting, Topic::Lasers];
    if in_the_sun {
        topics.insert(0, Topic::Sun);
    }
    topics.into_iter().map(about).collect()
}

pub(super) async fn page(
    (db, clock, site): (&Store, &Clock, &Site),
    who: &SignedIn,
    night: &PublicNight,
) -> Result<NightPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let keeps = keeps(&who.account);
    let shown = show(&mut conn, night, clock.today()).await?;
    let reserved = match night.reservation {
        None => None,
        Some(id) => whole(&mut conn, id).await?.map(|kept| {
            let desk = who.account.roles.may(Deed::RunDesk);
            let path = if desk { "/desk" } else { "/mine" };
            let seen = may_see(&who.account, kept.member);
            Reserved {
                stands: kept.state.words(),
                address: seen.then(|| format!("{path}/{id}")),
                holds: kept.state.keeps_nights(),
            }
        }),
    };
    let mut members = Vec::new();
    if keeps {
        let all = people::members(&mut conn).await.map_err(|error| Problem::internal(&error))?;
        members = all
            .into_iter()
            .filter(|member| member.facts.state == people::MemberState::Active)
            .map(|member| Choice::new(member.id.0.to_string(), member.facts.name.to_string()))
            .collect();
        members.sort_by(|a, b| a.label.cmp(&b.label));
    }
    let frame = who.visit.frame(shown.name.clone()).at(Place::PublicNights);
    Ok(NightPage {
        frame: frame.returning_to(shown.address()),
        cautions: cautions(shown.in_the_sun),
        night: shown,
        keeps,
        notice: None,
        refusal: None,
        reserved,
        members,
        member: Field::default(),
        first_name: Field::default(),
        public: night.slug.as_ref().map(|slug| site.link(&format!("/visit/{slug}"))),
    })
}

/// `GET /public-nights/{id}`
///
/// # Errors
/// 404 where it is not there or not theirs to see.
pub async fn one(
    State(db): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(told): Query<Told>,
) -> Result<NightPage, Problem> {
    let mut conn = db.reader().acquire().await?;
    let night = visible(&mut conn, &who.account, id).await?;
    drop(conn);
    let notice = match told.done.as_str() {
        "saved" => Some("Saved."),
        "planned" => Some("Planned afresh."),
        "put-away" => Some("Saved, and the plan is put away."),
        "reserved" => Some("Every piece of the plan is reserved."),
        "released" => Some("The pieces are free again."),
        "announced" => Some("Announced: members see it now."),
        "public" => Some("The public page has a new address."),
        "private" => Some("The public page is gone: its address leads nowhere any more."),
        _ => None,
    };
    Ok(NightPage { notice, ..page((&db, &clock, &site), &who, &night).await? })
}

/// What a form did to a public night.
pub(super) struct Did {
    /// The deed, as the log has it.
    pub(super) deed: &'static str,
    /// What the log says of it besides.
    pub(super) detail: String,
    /// What follows the night's address on the page that is shown then: `?done=saved#helpers`.
    pub(super) then: String,
    /// The step to take again with the plan put away, where the gate before the Sun refuses it.
    pub(super) again: Option<&'static str>,
}

impl Did {
    /// A deed that the log needs no more words for.
    pub(super) fn the(deed: &'static str, then: impl Into<String>) -> Self {
        Self { deed, detail: String::new(), then: then.into(), again: None }
    }
}

/// Notes what was kept, writes it down and leads on; or shows what is in the way.
pub(super) async fn settle(
    state: (&Store, &Clock, &Site),
    who: &SignedIn,
    id: i64,
    (mut tx, outcome): (WriteTx, Result<PublicNight, NotKept>),
    did: Did,
) -> Result<Response, Problem> {
    if let Err(why) = outcome {
        drop(tx);
        return refused(state, who, NightId(id), why, did.again).await;
    }
    let subject = Subject::of("public night", id);
    audit::note(&mut tx, who.actor(), did.deed, subject, &did.detail).await?;
    tx.commit().await?;
    Ok(Redirect::to(&format!("/public-nights/{id}{}", did.then)).into_response())
}

/// What is in the way, on the night's page.
pub(super) async fn refused(
    state: (&Store, &Clock, &Site),
    who: &SignedIn,
    id: NightId,
    why: NotKept,
    put_away: Option<&'static str>,
) -> Result<Response, Problem> {
    let (status, says, put_away) = match &why {
        NotKept::Sun(shut) => {
            (StatusCode::CONFLICT, shut.iter().map(ToString::to_string).collect(), put_away)
        }
        NotKept::Failed(NightError::Stale) => (
            StatusCode::CONFLICT,
            vec![
                "This was changed meanwhile: look at it as it stands now, then do it again."
                    .to_owned(),
            ],
            None,
        ),
        NotKept::Pieces(crate::lending::NotReserved::Failed(_))
        | NotKept::Failed(_)
        | NotKept::Site(_)
        | NotKept::Shelf(_) => return Err(why.into()),
        other => (StatusCode::CONFLICT, vec![other.to_string()], None),
    };
    let mut conn = state.0.reader().acquire().await?;
    let night = store::night(&mut conn, id).await?;
    drop(conn);
    let mut page = page(state, who, &night).await?;
    page.refusal = Some(Refusal { says, put_away, way: None });
    Ok((status, page).into_response())
}

/// The fields of the small forms.
pub(super) type Sent = BTreeMap<String, String>;

pub(super) fn text<'a>(sent: &'a Sent, name: &str) -> &'a str {
    sent.get(name).map(|text| text.trim()).unwrap_or_default()
}

/// The version that the reader of a form saw.
pub(super) fn version(sent: &Sent) -> i64 {
    text(sent, "version").parse().unwrap_or(0)
}

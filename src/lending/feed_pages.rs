//! `/mine/calendar`: the secret address of one's calendar; `/calendar/{file}`: what is found there.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;

use super::door::tonight;
use super::feed::Feed;
use super::feed_store::{self, Address, FeedKind};
use crate::audit::{Subject, note};
use crate::people::access::{Account, SignedIn};
use crate::people::account;
use crate::people::rights::Deed;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::site::Site;

/// One calendar that somebody may have an address for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Calendar {
    /// As forms name it.
    pub kind: &'static str,
    /// "Your loans".
    pub title: &'static str,
    /// What stands in it.
    pub says: &'static str,
    /// When its address was made and last used; none without one.
    pub stands: Option<String>,
}

/// The page of addresses.
#[derive(Template, WebTemplate)]
#[template(path = "lending/feeds.html")]
pub struct FeedsPage {
    /// The frame.
    pub frame: Frame,
    /// Good news to show once.
    pub notice: Option<&'static str>,
    /// The address that was just made, shown once.
    pub fresh: Option<String>,
    /// The calendars.
    pub calendars: Vec<Calendar>,
}

fn may_have(account: &Account, kind: FeedKind) -> bool {
    match kind {
        FeedKind::Mine => account.member.is_some(),
        FeedKind::Club => account.roles.may(Deed::RunDesk),
    }
}

fn stands(address: &Address, clock: &Clock) -> String {
    let made = Timestamp::from_second(address.created_at).unwrap_or_default();
    let made = format::night(made.to_zoned_datetime(clock.zone().clone()).date());
    let used = address.last_used_on.as_deref().and_then(|day| day.parse().ok()).map_or_else(
        || "not fetched yet".to_owned(),
        |night: super::Night| format!("last fetched on {}", format::night(night.evening())),
    );
    format!("There is an address, made on {made} and {used}.")
}

async fn page(store: &Store, clock: &Clock, who: &SignedIn) -> Result<FeedsPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let all = feed_store::addresses(&mut conn, who.account.id).await?;
    let calendar = |kind: FeedKind| Calendar {
        kind: kind.as_str(),
        title: match kind {
            FeedKind::Mine => "Your loans",
            FeedKind::Club => "Everything the club lends",
        },
        says: match kind {
            FeedKind::Mine => {
                "Your reservations and loans, and the days on which to bring things back."
            }
            FeedKind::Club => {
                "Every reservation and loan by its tags, the nights without lending and what is kept back. No names."
            }
        },
        stands: all.iter().find(|one| one.kind == kind).map(|one| stands(one, clock)),
    };
    let calendars = [FeedKind::Mine, FeedKind::Club]
        .into_iter()
        .filter(|kind| may_have(&who.account, *kind))
        .map(calendar)
        .collect();
    Ok(FeedsPage {
        frame: who.visit.frame("In your calendar").at(Place::Mine).returning_to("/mine/calendar"),
        notice: None,
        fresh: None,
        calendars,
    })
}

/// What the address says was just done.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

/// `GET /mine/calendar`
///
/// # Errors
/// The database could not answer.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<FeedsPage, Problem> {
    let notice =
        (told.done == "revoked").then_some("The address is taken back: it leads nowhere any more.");
    Ok(FeedsPage { notice, ..page(&store, &clock, &who).await? })
}

/// The forms of the page.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    kind: String,
}

fn kind_of(typed: &Typed, account: &Account) -> Result<FeedKind, Problem> {
    let kind = FeedKind::parse(&typed.kind)
        .ok_or_else(|| Problem::malformed("There is no such calendar: go back and try again."))?;
    if may_have(account, kind) {
        Ok(kind)
    } else {
        Err(Problem::not_yours("This calendar is for whoever runs the desk."))
    }
}

/// `POST /mine/calendar`: makes an address and shows it once.
///
/// # Errors
/// 403 for a calendar that is not theirs.
pub async fn make(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let kind = kind_of(&typed, &who.account)?;
    let secret = Secret::random()?;
    let mut tx = store.write().await?;
    feed_store::make(&mut tx, who.account.id, kind, &secret, clock.seconds()).await?;
    let subject = Subject::of("account", who.account.id);
    note(&mut tx, who.actor(), "calendar address made", subject, kind.as_str()).await?;
    tx.commit().await?;
    let mut page = page(&store, &clock, &who).await?;
    page.fresh = Some(site.link(&format!("/calendar/{}.ics", secret.reveal())));
    Ok(([(header::CACHE_CONTROL, "no-store")], page).into_response())
}

/// `POST /mine/calendar/revoke`
///
/// # Errors
/// 403 for a calendar that is not theirs.
pub async fn revoke(
    State(store): State<Store>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Redirect, Problem> {
    let kind = kind_of(&typed, &who.account)?;
    let mut tx = store.write().await?;
    feed_store::revoke(&mut tx, who.account.id, kind).await?;
    let subject = Subject::of("account", who.account.id);
    note(&mut tx, who.actor(), "calendar address taken back", subject, kind.as_str()).await?;
    tx.commit().await?;
    Ok(Redirect::to("/mine/calendar?done=revoked"))
}

fn no_such_calendar() -> Problem {
    Problem::not_found("No calendar is found under this address: it was taken back, or never made.")
        .next("Sign in and make a new one.")
        .way("In your calendar", "/mine/calendar")
}

/// `GET /calendar/{file}`: a feed, for whoever has its address.
///
/// # Errors
/// 404 where the address leads nowhere, or its owner may not see this any more.
pub async fn get(
    State(store): State<Store>,
    State(clock): State<Clock>,
    State(site): State<Site>,
    Path(file): Path<String>,
) -> Result<Response, Problem> {
    let tonight = tonight(&clock)?;
    let secret = file.strip_suffix(".ics").ok_or_else(no_such_calendar)?;
    let (id, kind) =
        feed_store::find(&store, secret, tonight).await?.ok_or_else(no_such_calendar)?;
    let mut conn = store.reader().acquire().await?;
    let owner = account::living(&mut conn, id).await?;
    let owner = owner.filter(|owner| may_have(owner, kind)).ok_or_else(no_such_calendar)?;
    let club = site.club.to_string();
    let (name, entries) = match (kind, owner.member) {
        (FeedKind::Mine, Some(member)) => {
            (format!("{club}: your loans"), feed_store::of_member(&mut conn, member, &site).await?)
        }
        _ => (format!("{club}: lending"), feed_store::of_club(&mut conn, &site, tonight).await?),
    };
    let feed = Feed { name, club, now: clock.now(), entries };
    let headers = [
        (header::CONTENT_TYPE, "text/calendar; charset=utf-8"),
        (header::CACHE_CONTROL, "private, no-store"),
    ];
    Ok((StatusCode::OK, headers, feed.written()).into_response())
}

/// The page with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |fresh: Option<&str>| FeedsPage {
            frame: frame("In your calendar", scheme).at(Place::Mine),
            notice: fresh.is_none().then_some("The address is taken back."),
            fresh: fresh.map(Into::into),
            calendars: vec![
                Calendar {
                    kind: "mine",
                    title: "Your loans",
                    says: "Your reservations and loans.",
                    stands: fresh
                        .map(|_| "There is an address, made on Friday 5 June 2026.".into()),
                },
                Calendar {
                    kind: "club",
                    title: "Everything the club lends",
                    says: "Every reservation and loan by its tags.",
                    stands: None,
                },
            ],
        };
        let address = "https://lend.example.org/calendar/0123456789abcdef0123456789abcdef0123456789abcdef0123456789abcdef.ics";
        vec![Sample::of("feeds", &page(None)), Sample::of("feeds-fresh", &page(Some(address)))]
    }
}

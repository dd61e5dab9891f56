//! The plan's addresses.

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use jiff::civil::Date;
use serde::Deserialize;

use super::super::sites::{self, KeptSite, SiteId};
use super::kit::PlanKit;
use super::page::{PlanPage, SiteChoice, Way};
use super::shown::{self, Ask, NightShown};
use crate::choosing::desk;
use crate::eye::Observer;
use crate::kit::{Question, Usage};
use crate::lending::door::{no_such_reservation, visible};
use crate::lending::machine::LineState;
use crate::lending::reading::Whole;
use crate::lending::{Night, Nights, ReservationId};
use crate::people::access::SignedIn;
use crate::people::{self, MemberId};
use crate::profile::{self, OwnCase};
use crate::shelf::{self, ItemId};
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// Nights on one page: more would be long to load and to read.
const NIGHTS_ON_A_PAGE: usize = 3;

/// Most pieces of a kit that an address names.
const MOST_PIECES: usize = 24;

/// What the address of a reservation's plan says.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AskedOfReservation {
    site: String,
    night: String,
}

/// What the address of a kit's plan says.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct AskedOfKit {
    member: String,
    from: String,
    to: String,
    items: String,
    site: String,
    night: String,
}

/// A plan to be worked out, whoever asked for it.
struct Wanted {
    place: Place,
    title: String,
    back: Way,
    path: String,
    /// What the address says besides the site and the night.
    said: Vec<(&'static str, String)>,
    nights: Nights,
    first: Option<Date>,
    site: Option<SiteId>,
    observer: Observer,
    kit: Option<PlanKit>,
}

/// `GET /mine/{id}/plan`
///
/// # Errors
/// 404 where it is not there or somebody else's.
pub async fn of_reservation(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(asked): Query<AskedOfReservation>,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = visible(&mut conn, &who.account, ReservationId(id)).await?;
    // Whoever runs the desk has no business with others' evenings.
    if who.account.member != Some(whole.member) {
        return Err(no_such_reservation());
    }
    let (observer, kit) = eyes_and_kit(&mut conn, &clock, &whole).await?;
    drop(conn);
    let wanted = Wanted {
        place: Place::Mine,
        title: "What to look at".into(),
        back: Way { address: format!("/mine/{id}"), label: "The reservation".into() },
        path: format!("/mine/{id}/plan"),
        said: Vec::new(),
        nights: whole.nights,
        first: asked.night.parse().ok(),
        site: asked.site.trim().parse().ok().map(SiteId).or(whole.site),
        observer,
        kit,
    };
    answer(&store, &clock, &who, wanted).await
}

/// Who looks, and through what, on the nights of a reservation.
async fn eyes_and_kit(
    conn: &mut sqlx::SqliteConnection,
    clock: &Clock,
    whole: &Whole,
) -> Result<(Observer, Option<PlanKit>), Problem> {
    let eyes = people::member_eye(conn, whole.member).await?;
    let own = profile::own_case(conn, whole.member).await?;
    let pieces: Vec<ItemId> = [LineState::Planned, LineState::Out, LineState::Returned]
        .into_iter()
        .flat_map(|state| whole.items(state))
        .collect();
    let mut shelf = shelf::shelf(conn).await?;
    shelf.retain(|item| pieces.contains(&item));
    Ok((eyes.observer(clock.today().year()), PlanKit::of(&shelf, &own)))
}

/// The first nights of a reservation from tonight on, for the card that is taken along; none where
/// there is no telescope or the club has no site. The caller has asked whether they may see it.
///
/// # Errors
/// The database could not answer.
pub async fn for_the_card(
    store: &Store,
    clock: &Clock,
    whole: &Whole,
) -> Result<(Option<String>, Vec<NightShown>), Problem> {
    let mut conn = store.reader().acquire().await?;
    let (observer, kit) = eyes_and_kit(&mut conn, clock, whole).await?;
    let site = sites::site_or_usual(&mut conn, whole.site).await?;
    drop(conn);
    let (Some(kit), Some(kept)) = (kit, site) else { return Ok((None, Vec::new())) };
    let evenings: Vec<Date> = whole.nights.iter().map(Night::evening).collect();
    let start = first_shown(&evenings, None, clock.today());
    let end = (start + NIGHTS_ON_A_PAGE).min(evenings.len());
    let place = kept.site.name.to_string();
    let ask = Ask {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        kit,
        site: kept.site,
        evenings: evenings[start..end].to_vec(),
    };
    let nights = desk::off_thread(move || shown::nights(&ask)).await?;
    Ok((Some(place), nights))
}

/// `GET /plan`: for a kit that is not reserved yet. Without a member it is for anyone.
///
/// # Errors
/// 404 where the member is not this account's to ask for, 422 where the address makes no sense.
pub async fn of_kit(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<AskedOfKit>,
) -> Result<Response, Problem> {
    let ask_again =
        |says: String| Problem::out_of_range(Vec::new()).next(says).way("Ask for a kit", "/");
    let nights = Nights::parse(asked.from.trim(), asked.to.trim())
        .map_err(|why| ask_again(why.to_string()))?;
    let pieces: Vec<ItemId> = asked
        .items
        .split(',')
        .take(MOST_PIECES)
        .filter_map(|id| id.trim().parse().ok())
        .map(ItemId)
        .collect();
    let mut conn = store.reader().acquire().await?;
    let (observer, own) = if asked.member.is_empty() {
        (Observer::anyone(), OwnCase::default())
    } else {
        let member = asked.member.parse().map(MemberId);
        let member = member.map_err(|_| Problem::not_found("There is no such member."))?;
        who.account.must_be_able_to_ask_for(member)?;
        let Some(record) = people::member(&mut conn, member).await? else {
            return Err(Problem::not_found("There is no such member.").way("Ask again", "/"));
        };
        let eyes = people::member_eye(&mut conn, record.id).await?;
        (eyes.observer(clock.today().year()), profile::own_case(&mut conn, record.id).await?)
    };
    // A telescope comes first; one of their own has a number below zero.
    let mut own = own;
    if let Some(first) = pieces.first().filter(|first| first.0 < 0) {
        own.telescopes.retain(|one| -one.id == first.0);
    }
    let mut shelf = shelf::shelf_in_service(&mut conn).await?;
    shelf.retain(|item| pieces.contains(&item));
    drop(conn);
    let said = vec![
        ("member", asked.member.clone()),
        ("from", nights.first().to_string()),
        ("to", nights.last().to_string()),
        ("items", pieces.iter().map(ToString::to_string).collect::<Vec<_>>().join(",")),
    ];
    let wanted = Wanted {
        place: Place::Kits,
        title: "What to look at".into(),
        back: Way { address: "/".into(), label: "Ask for a kit".into() },
        path: "/plan".into(),
        said,
        nights,
        first: asked.night.parse().ok(),
        site: asked.site.trim().parse().ok().map(SiteId),
        observer,
        kit: PlanKit::of(&shelf, &own),
    };
    answer(&store, &clock, &who, wanted).await
}

async fn answer(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    wanted: Wanted,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let all = sites::sites(&mut conn).await?;
    drop(conn);
    // The usual one comes first.
    let kept = all.iter().find(|one| Some(one.id) == wanted.site).or_else(|| all.first());
    let choice = SiteChoice {
        path: wanted.path.clone(),
        hidden: wanted.said.clone(),
        site: Field::of(kept.map_or_else(String::new, |one| one.id.to_string())),
        sites: all.iter().map(site_choice).collect(),
    };
    let evenings: Vec<Date> = wanted.nights.iter().map(Night::evening).collect();
    let start = first_shown(&evenings, wanted.first, clock.today());
    let end = (start + NIGHTS_ON_A_PAGE).min(evenings.len());
    let (asked, obstacle, nights) = match (&wanted.kit, kept) {
        (None, _) => (
            "A plan needs a telescope.".to_owned(),
            Some("There is no telescope among these pieces, and none in your own case: add one to get a plan.".to_owned()),
            Vec::new(),
        ),
        (Some(kit), None) => (
            format!("With {}.", kit.telescope_name),
            Some("The club has not said yet where it observes. A quartermaster can enter the place under Sites; then there is a plan.".to_owned()),
            Vec::new(),
        ),
        (Some(kit), Some(kept)) => {
            let observer = wanted.observer;
            let question = Question { observer, seeing: None, usage: Usage::Night, tonight: None };
            let ask = Ask {
                question,
                kit: kit.clone(),
                site: kept.site.clone(),
                evenings: evenings[start..end].to_vec(),
            };
            let nights = desk::off_thread(move || shown::nights(&ask)).await?;
            let (site, sky) = (&kept.site.name, kept.site.sky.in_words());
            (format!("With {}, at {site}, under {sky}.", kit.telescope_name), None, nights)
        }
    };
    let page = PlanPage {
        frame: who.visit.frame(wanted.title.clone()).at(wanted.place).returning_to(address(
            &wanted,
            kept,
            evenings.get(start).copied(),
        )),
        back: wanted.back.clone(),
        asked,
        choice,
        obstacle,
        nights,
        others: others(&wanted, kept, &evenings, (start, end)),
    };
    Ok(([(header::CACHE_CONTROL, "no-store")], page).into_response())
}

fn site_choice(kept: &KeptSite) -> Choice {
    let site = &kept.site;
    Choice::new(kept.id.to_string(), format!("{}, {}", site.name, site.sky.in_words()))
}

/// The night to begin with: the one asked for, or tonight, or the first.
fn first_shown(evenings: &[Date], asked: Option<Date>, today: Date) -> usize {
    let at = |date: Date| evenings.iter().position(|evening| *evening == date);
    asked.and_then(at).or_else(|| at(today)).unwrap_or(0)
}

fn address(wanted: &Wanted, kept: Option<&KeptSite>, night: Option<Date>) -> String {
    let site = kept.map_or_else(String::new, |one| one.id.to_string());
    let night = night.map_or_else(String::new, |date| date.to_string());
    let said = wanted.said.iter().map(|(name, value)| (*name, value.as_str()));
    let all: Vec<(&str, &str)> = said
        .chain([("site", site.as_str()), ("night", night.as_str())])
        .filter(|(_, value)| !value.is_empty())
        .collect();
    if all.is_empty() {
        return wanted.path.clone();
    }
    format!("{}?{}", wanted.path, pairs(all))
}

/// The ways to the nights before and after those shown.
fn others(
    wanted: &Wanted,
    kept: Option<&KeptSite>,
    evenings: &[Date],
    (start, end): (usize, usize),
) -> Vec<Way> {
    let way = |at: usize, label: &str| {
        evenings.get(at).map(|date| Way {
            address: address(wanted, kept, Some(*date)),
            label: label.to_owned(),
        })
    };
    let earlier =
        (start > 0).then(|| way(start.saturating_sub(NIGHTS_ON_A_PAGE), "Earlier nights"));
    let later = (end < evenings.len()).then(|| way(end, "Later nights"));
    earlier.into_iter().chain(later).flatten().collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use jiff::civil::date;

    #[test]
    fn a_plan_begins_tonight_where_tonight_is_among_its_nights() {
        let evenings: Vec<Date> = (5..=12).map(|day| date(2026, 6, day)).collect();
        assert_eq!(first_shown(&evenings, None, date(2026, 6, 1)), 0);
        assert_eq!(first_shown(&evenings, None, date(2026, 6, 8)), 3);
        assert_eq!(first_shown(&evenings, Some(date(2026, 6, 11)), date(2026, 6, 8)), 6);
        assert_eq!(first_shown(&evenings, Some(date(2027, 1, 1)), date(2026, 6, 30)), 0);
    }
}

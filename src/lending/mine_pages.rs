//! One of my reservations or loans, and what I do with it.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::booking::{cancel as cancel_it, change as change_it};
use super::cautions::Caution;
use super::door::{act, no_such_reservation, tonight, visible};
use super::handing::extend as extend_it;
use super::machine::LineState;
use super::model::{NotReserved, ReservationId, ReservationState};
use super::night::{Night, Nights};
use super::reading::Whole;
use super::risk_letters::settle;
use super::shown::{ReservationShown, cautions_of};
use super::swap_pages::{RiskShown, risks_of};
use crate::observing::sites;
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// One of my reservations.
#[derive(Template, WebTemplate)]
#[template(path = "lending/mine_one.html")]
pub struct MineOnePage {
    /// The frame.
    pub frame: Frame,
    /// The reservation.
    pub one: ReservationShown,
    /// Where it is to be used, once the club has entered its sites.
    pub site: Option<String>,
    /// What has just been done.
    pub notice: Option<String>,
    /// What stands in the way of a change.
    pub refusal: Option<String>,
    /// The first night, to be changed.
    pub from: Field,
    /// The last night, to be changed or extended.
    pub to: Field,
    /// Its pieces that are at risk.
    pub risks: Vec<RiskShown>,
    /// What to take care of.
    pub cautions: Vec<&'static Caution>,
}

/// What the address says was just done.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

impl Told {
    fn notice(&self, state: ReservationState) -> Option<String> {
        let says = match self.done.as_str() {
            "reserved" if state == ReservationState::Requested => {
                "The pieces are kept for you. A quartermaster has to agree before it is settled."
            }
            "reserved" => "It is yours: everything is reserved.",
            "changed" => "It is changed.",
            "signed" => "You have signed for it. The hand-over takes a minute now.",
            "missing" => "It is noted, and the quartermaster is told.",
            "extended" => "You may keep it for longer.",
            "cancelled" => "It is cancelled, and the nights are free again.",
            _ => return None,
        };
        Some(says.into())
    }
}

fn page(who: &SignedIn, whole: &Whole, tonight: Night) -> MineOnePage {
    let one = ReservationShown::of(whole, tonight);
    MineOnePage {
        frame: who
            .visit
            .frame(&*one.title)
            .at(Place::Mine)
            .returning_to(format!("/mine/{}", whole.id)),
        site: None,
        notice: None,
        refusal: None,
        from: Field::of(&*one.first),
        to: Field::of(&*one.last),
        risks: Vec::new(),
        cautions: cautions_of(whole),
        one,
    }
}

async fn mine(
    conn: &mut sqlx::SqliteConnection,
    who: &SignedIn,
    id: i64,
) -> Result<Whole, Problem> {
    let whole = visible(conn, &who.account, ReservationId(id)).await?;
    // Whoever runs the desk sees others' at the desk.
    if who.account.member == Some(whole.member) { Ok(whole) } else { Err(no_such_reservation()) }
}

/// `GET /mine/{id}`
///
/// # Errors
/// 404 where it is not there or somebody else's.
pub async fn one(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(told): Query<Told>,
) -> Result<MineOnePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = mine(&mut conn, &who, id).await?;
    let site = sites::site_or_usual(&mut conn, whole.site).await?;
    let site = site.map(|kept| kept.site.name.to_string());
    drop(conn);
    let notice = told.notice(whole.state);
    let risks = risks_of(&store, &clock, &who.account, &whole).await?;
    Ok(MineOnePage { site, notice, risks, ..page(&who, &whole, tonight(&clock)?) })
}

/// What the forms of the page carry.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    from: String,
    to: String,
}

/// The page with what stands in the way, everything typed still there.
async fn refused(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    whole: &Whole,
    typed: &Typed,
    why: NotReserved,
) -> Result<Response, Problem> {
    if let NotReserved::Failed(error) = why {
        return Err(error.into());
    }
    let mut conn = store.reader().acquire().await?;
    let now = mine(&mut conn, who, whole.id.0).await?;
    let mut page = page(who, &now, tonight(clock)?);
    page.refusal = Some(why.to_string());
    if !typed.from.is_empty() {
        page.from.value.clone_from(&typed.from);
    }
    if !typed.to.is_empty() {
        page.to.value.clone_from(&typed.to);
    }
    Ok((StatusCode::CONFLICT, page).into_response())
}

fn unreadable(
    who: &SignedIn,
    whole: &Whole,
    typed: &Typed,
    clock: &Clock,
) -> Result<Response, Problem> {
    let mut page = page(who, whole, tonight(clock)?);
    page.from.value.clone_from(&typed.from);
    page.to.value.clone_from(&typed.to);
    for field in [&mut page.from, &mut page.to] {
        if let Err(why) = field.value.trim().parse::<Night>() {
            field.error = Some(why.to_string());
        }
    }
    if page.from.error.is_none() && page.to.error.is_none() {
        page.to.error = Nights::parse(&typed.from, &typed.to).err().map(|why| why.to_string());
    }
    Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
}

fn done(id: i64, what: &str) -> Response {
    Redirect::to(&format!("/mine/{id}?done={what}")).into_response()
}

/// `POST /mine/{id}/cancel`
///
/// # Errors
/// 404 where it is not there or somebody else's.
pub async fn cancel(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = mine(&mut tx, &who, id).await?;
    if whole.state == ReservationState::Cancelled {
        return Ok(done(id, "cancelled"));
    }
    let act = act(&who.account, whole.member, &clock)?;
    match cancel_it(&mut tx, whole.id, &act).await {
        Ok(()) => {
            settle(&mut tx, &clock, act.tonight).await?;
            tx.commit().await?;
            Ok(done(id, "cancelled"))
        }
        Err(why) => {
            drop(tx);
            refused(&store, &clock, &who, &whole, &Typed::default(), why).await
        }
    }
}

/// `POST /mine/{id}/change`: other nights for the same pieces.
///
/// # Errors
/// 404 where it is not there or somebody else's.
pub async fn change(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = mine(&mut tx, &who, id).await?;
    let Ok(nights) = Nights::parse(typed.from.trim(), typed.to.trim()) else {
        return unreadable(&who, &whole, &typed, &clock);
    };
    let act = act(&who.account, whole.member, &clock)?;
    let items = whole.items(LineState::Planned);
    match change_it(&mut tx, whole.id, &items, nights, &act).await {
        Ok(_) => {
            settle(&mut tx, &clock, act.tonight).await?;
            tx.commit().await?;
            Ok(done(id, "changed"))
        }
        Err(why) => {
            drop(tx);
            refused(&store, &clock, &who, &whole, &typed, why).await
        }
    }
}

/// `POST /mine/{id}/extend`
///
/// # Errors
/// 404 where it is not there or somebody else's.
pub async fn extend(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let mut tx = store.write().await?;
    let whole = mine(&mut tx, &who, id).await?;
    let Ok(last) = typed.to.trim().parse() else {
        let from = whole.nights.first().to_string();
        return unreadable(&who, &whole, &Typed { from, ..typed }, &clock);
    };
    let act = act(&who.account, whole.member, &clock)?;
    match extend_it(&mut tx, whole.id, last, &act).await {
        Ok(_) => {
            tx.commit().await?;
            Ok(done(id, "extended"))
        }
        Err(why) => {
            drop(tx);
            refused(&store, &clock, &who, &whole, &typed, why).await
        }
    }
}

/// Pages of one's own.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::lending::cautions;
    use crate::lending::shown::sample;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        use ReservationState::{Confirmed, Out, Requested};
        let one = |state, standing: &str, refusal: Option<&str>| MineOnePage {
            frame: frame("Orchard 8-inch", scheme).at(Place::Mine),
            one: sample(state, standing, false),
            site: Some("Windmill Hill <b>".into()),
            notice: refusal.is_none().then(|| "It is yours: everything is reserved.".into()),
            refusal: refusal.map(Into::into),
            from: Field::of("2026-06-05"),
            to: Field::of("2026-06-07"),
            risks: if state == Confirmed { RiskShown::samples() } else { Vec::new() },
            cautions: cautions::ALL.iter().take(4).collect(),
        };
        let taken = "T-007 is taken on 2026-06-08: choose other nights or other items.";
        vec![
            Sample::of("mine-reserved", &one(Confirmed, "Confirmed", None)),
            Sample::of("mine-requested", &one(Requested, "Waiting for approval", Some(taken))),
            Sample::of("mine-out", &one(Out, "Out, due back on Monday 8 June", None)),
        ]
    }
}

//! The quartermaster's desk: what goes out, comes back, waits or is late.

use std::collections::BTreeMap;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::booking::{needs_guardian, why_approval};
use super::cautions::{self, Caution};
use super::desk_forms::{add_sets, hand_over_of, pieces_of, text, with_lacking};
use super::door::{desk_act, note, tonight, visible};
use super::handing::{hand_over as hand_over_it, report_missing, take_back, undo_return};
use super::keeping::{Act, take_step};
use super::letters::{News, tell};
use super::machine::{Event, EventKind, LineState};
use super::model::{NotReserved, ReservationId, ReservationState};
use super::reading::{Whole, going_on, noted_back, whole};
use super::risk::at_risk;
use super::risk_letters::settle;
use super::rules_store::item_rules;
use super::shown::{ReservationShown, cautions_of};
use super::signature::{Way, signature};
use super::swap_pages::{RiskShown, SwapShown, risks_of, swap_of};
use super::waiting_pages::instant;
use crate::people::access::SignedIn;
use crate::people::{self, MemberId, PeopleError};
use crate::shelf::photo_form::PhotoForm;
use crate::shelf::{self, Hand, ItemId, Occasion};
use crate::store::{Store, WriteTx};
use crate::web::body::{Form, Path, Query};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// The desk, today.
#[derive(Template, WebTemplate)]
#[template(path = "lending/desk.html")]
pub struct DeskPage {
    /// The frame.
    pub frame: Frame,
    /// "Friday 5 June 2026".
    pub today: String,
    /// May not come off as promised: what, and what is wrong with it.
    pub at_risk: Vec<(ReservationShown, Vec<String>)>,
    /// Should have been back.
    pub overdue: Vec<ReservationShown>,
    /// To be fetched tonight, or should have been.
    pub going_out: Vec<ReservationShown>,
    /// Due back after tonight or this morning.
    pub coming_back: Vec<ReservationShown>,
    /// Waiting for a quartermaster's word.
    pub waiting: Vec<ReservationShown>,
    /// Out for longer.
    pub away: Vec<ReservationShown>,
}

/// `GET /desk`
///
/// # Errors
/// The database could not answer.
pub async fn desk(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
) -> Result<DeskPage, Problem> {
    let tonight = tonight(&clock)?;
    let mut conn = store.reader().acquire().await?;
    let mut page = DeskPage {
        frame: who.visit.frame("The desk").at(Place::Desk),
        today: format::night(tonight.evening()),
        at_risk: Vec::new(),
        overdue: Vec::new(),
        going_out: Vec::new(),
        coming_back: Vec::new(),
        waiting: Vec::new(),
        away: Vec::new(),
    };
    for whole in going_on(&mut conn, tonight).await? {
        let mut shown = ReservationShown::of(&whole, tonight);
        shown.member = name_of(&mut conn, whole.member).await?;
        let list = match whole.state {
            ReservationState::Requested => &mut page.waiting,
            ReservationState::Out if whole.is_overdue(tonight) => &mut page.overdue,
            ReservationState::Out if whole.nights.last() == tonight => &mut page.coming_back,
            ReservationState::Out => &mut page.away,
            _ => &mut page.going_out,
        };
        list.push(shown);
    }
    let mut risks: BTreeMap<ReservationId, Vec<String>> = BTreeMap::new();
    for risk in at_risk(&mut conn, tonight).await? {
        risks.entry(risk.reservation).or_default().push(risk.says());
    }
    for (id, says) in risks {
        let Some(whole) = whole(&mut conn, id).await? else { continue };
        let mut shown = ReservationShown::of(&whole, tonight);
        shown.member = name_of(&mut conn, whole.member).await?;
        page.at_risk.push((shown, says));
    }
    Ok(page)
}

async fn name_of(conn: &mut sqlx::SqliteConnection, member: MemberId) -> Result<String, Problem> {
    let record = people::member(conn, member).await?.ok_or(PeopleError::NotThere)?;
    Ok(record.facts.name.to_string())
}

/// One reservation at the desk.
#[derive(Template, WebTemplate)]
#[template(path = "lending/desk_one.html")]
pub struct DeskOnePage {
    /// The frame.
    pub frame: Frame,
    /// The reservation.
    pub one: ReservationShown,
    /// What stands in the way.
    pub refusal: Option<String>,
    /// Its pieces that are at risk.
    pub risks: Vec<RiskShown>,
    /// The piece that is to be swapped, where one was named.
    pub swap: Option<SwapShown>,
    /// Why a quartermaster has to agree, while they have to.
    pub why: Vec<&'static str>,
    /// The cautions to be acknowledged.
    pub cautions: Vec<&'static Caution>,
    /// Whether a guardian has to answer for the borrower; the one on record.
    pub guardian: Option<String>,
    /// Whether the borrower is whoever sits at the desk.
    pub to_self: bool,
    /// What was noted at the hand-over.
    pub signed: Option<String>,
    /// What the borrower signed before on a page of their own, where that holds.
    pub signed_before: Option<String>,
    /// What was drawn: the path, and whose it is.
    pub drawn: Option<(String, String)>,
    /// Good news to show once.
    pub notice: Option<&'static str>,
    /// What was typed into the signature.
    pub typed_name: String,
}

pub(super) async fn page(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    id: i64,
) -> Result<DeskOnePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = visible(&mut conn, &who.account, ReservationId(id)).await?;
    let mut one = ReservationShown::of(&whole, tonight(clock)?);
    one.member = name_of(&mut conn, whole.member).await?;
    add_sets(&mut conn, &mut one.pieces).await?;
    let back = noted_back(&mut conn, whole.id).await?;
    for piece in &mut one.pieces {
        if let Some(seen) = back.get(&ItemId(piece.id)) {
            format!("{} “{seen}”", piece.note).trim_start().clone_into(&mut piece.note);
        }
    }
    // It asks for readers of its own: whoever holds one meanwhile may wait for itself.
    drop(conn);
    let risks = risks_of(store, clock, &who.account, &whole).await?;
    let mut conn = store.reader().acquire().await?;
    let ids: Vec<ItemId> = whole.lines.iter().map(|line| line.item.id).collect();
    let first = whole.nights.first();
    let guardian = if needs_guardian(&mut conn, whole.member, &ids, first).await? {
        let known = people::guardian::guardian(&mut conn, whole.member).await?;
        Some(known.map(|guardian| guardian.name).unwrap_or_default())
    } else {
        None
    };
    let why = if whole.state == ReservationState::Requested {
        let rules = item_rules(&mut conn, &ids).await?;
        why_approval(&mut conn, whole.member, &rules, (whole.nights, tonight(clock)?)).await?
    } else {
        Vec::new()
    };
    let signed = whole.loan.as_ref().map(|loan| {
        let note = if loan.note.is_empty() {
            String::new()
        } else {
            format!(" Noted then: “{}”", loan.note)
        };
        format!(
            "Signed by {}, who was shown version {} of the cautions.{note}",
            loan.signed_name, loan.cautions_version
        )
    });
    let known = signature(&mut conn, whole.id).await?;
    let planned = whole.items(LineState::Planned);
    let before = known
        .as_ref()
        .filter(|known| !planned.is_empty() && known.way == Way::Link && known.holds_for(&planned));
    let signed_before = before.map(|known| {
        format!(
            "{} read the cautions and signed on {}.",
            known.name,
            instant(known.signed_at, clock)
        )
    });
    let drawn = known
        .filter(|known| {
            !known.strokes.is_empty() && (whole.loan.is_some() || known.holds_for(&planned))
        })
        .map(|known| (known.strokes.path(), known.name));
    Ok(DeskOnePage {
        frame: who.visit.frame(&*one.title).at(Place::Desk).returning_to(format!("/desk/{id}")),
        refusal: None,
        risks,
        swap: None,
        why,
        cautions: cautions_of(&whole),
        guardian,
        to_self: who.account.member == Some(whole.member),
        signed,
        signed_before,
        drawn,
        notice: None,
        typed_name: String::new(),
        one,
    })
}

/// `GET /desk/{id}`
///
/// # Errors
/// 404 where there is no such reservation.
pub async fn one(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(asked): Query<Asked>,
) -> Result<DeskOnePage, Problem> {
    let mut page = page(&store, &clock, &who, id).await?;
    if !asked.asked.is_empty() {
        page.notice = Some("A letter with the way to the page is on its way to the borrower.");
    }
    if let Some(item) = asked.swap {
        let mut conn = store.reader().acquire().await?;
        let whole = visible(&mut conn, &who.account, ReservationId(id)).await?;
        drop(conn);
        page.swap = swap_of(&store, &clock, &who.account, &whole, ItemId(item)).await?;
    }
    Ok(page)
}

/// What the address of one reservation may say.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    swap: Option<i64>,
    asked: String,
}

/// What a form of the desk carries.
type Typed = Form<BTreeMap<String, String>>;

/// Begins a step at the desk.
async fn begin(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    id: i64,
) -> Result<(WriteTx, Whole, Act), Problem> {
    let mut tx = store.write().await?;
    let whole = visible(&mut tx, &who.account, ReservationId(id)).await?;
    Ok((tx, whole, desk_act(&who.account, clock)?))
}

/// Ends it: on with the desk, or back to the page with what stands in the way.
async fn end<T>(
    (store, clock, who): (&Store, &Clock, &SignedIn),
    mut tx: WriteTx,
    (whole, deed): (&Whole, &'static str),
    outcome: Result<T, NotReserved>,
    typed: &BTreeMap<String, String>,
) -> Result<Response, Problem> {
    let id = whole.id.0;
    match outcome {
        Ok(_) => {
            let doer = (&who.account, who.actor());
            note(&mut tx, doer, whole.member, deed, whole.id).await?;
            settle(&mut tx, clock, tonight(clock)?).await?;
            tx.commit().await?;
            Ok(Redirect::to(&format!("/desk/{id}")).into_response())
        }
        Err(NotReserved::Failed(error)) => Err(error.into()),
        Err(why) => {
            drop(tx);
            let mut page = page(store, clock, who, id).await?;
            page.refusal = Some(why.to_string());
            page.typed_name = text(typed, "signed_name");
            Ok((StatusCode::CONFLICT, page).into_response())
        }
    }
}

/// `POST /desk/{id}/hand-over`
///
/// # Errors
/// 404 where there is no such reservation.
pub async fn hand_over(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Typed,
) -> Result<Response, Problem> {
    let (mut tx, whole, act) = begin(&store, &clock, &who, id).await?;
    let mut what = hand_over_of(&typed, &whole);
    let sets = shelf::set_parts(&mut tx, &what.items).await?;
    what.note = with_lacking(what.note, &typed, &sets);
    what.to_self = who.account.member == Some(whole.member);
    let outcome = hand_over_it(&mut tx, whole.id, &what, &act).await;
    end((&store, &clock, &who), tx, (&whole, "reservation handed over"), outcome, &typed).await
}

/// `POST /desk/{id}/return`: each piece with its condition, or still out.
///
/// # Errors
/// 404 where there is no such reservation.
pub async fn bring_back(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    mut form: PhotoForm,
) -> Result<Response, Problem> {
    let typed = std::mem::take(&mut form.fields);
    if let Some(wrong) = form.wrong {
        let mut page = page(&store, &clock, &who, id).await?;
        page.refusal = Some(format!("{wrong} Nothing was taken back yet."));
        return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let (mut tx, whole, act) = begin(&store, &clock, &who, id).await?;
    let pieces = pieces_of(&typed, &whole);
    let mut outcome = Ok(());
    if !pieces.missing.is_empty() {
        outcome = report_missing(&mut tx, whole.id, &pieces.missing, &act).await.map(|_| ());
    }
    if outcome.is_ok() && (!pieces.back.is_empty() || pieces.missing.is_empty()) {
        outcome = take_back(&mut tx, whole.id, &pieces.back, &act).await.map(|_| ());
    }
    let hand = Hand::of(who.account.id, clock.seconds());
    for item in pieces.back.iter().map(|piece| piece.item).filter(|_| outcome.is_ok()) {
        let pictures = form.of_field(&format!("photo_{item}"));
        let place = (Occasion::Return, None);
        if !shelf::add_photos(&mut tx, hand, item, place, &pictures).await? {
            // A return is never stopped by photos.
            tracing::warn!(%item, "no room for more photos of this piece");
        }
    }
    end((&store, &clock, &who), tx, (&whole, "loan taken back"), outcome, &typed).await
}

/// `POST /desk/{id}/step`: approve, decline, lay out, cancel, note that nobody came, take a return
/// back.
///
/// # Errors
/// 404 where there is no such reservation or no such step.
pub async fn step(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Form(typed): Typed,
) -> Result<Response, Problem> {
    let (mut tx, whole, mut act) = begin(&store, &clock, &who, id).await?;
    act.reason = text(&typed, "reason");
    let (kind, deed) = match text(&typed, "step").as_str() {
        "approve" => (EventKind::Approve, "reservation approved"),
        "decline" => (EventKind::Decline, "reservation declined"),
        "prepare" => (EventKind::Prepare, "reservation laid out"),
        "cancel" => (EventKind::Cancel, "reservation cancelled"),
        "no_show" => (EventKind::NoShow, "reservation not fetched"),
        "undo" => {
            let outcome = undo_return(&mut tx, whole.id, &act).await;
            let done = (&whole, "return taken back");
            return end((&store, &clock, &who), tx, done, outcome, &typed).await;
        }
        _ => return Err(Problem::malformed("The desk knows no such step.")),
    };
    let mut outcome = take_step(&mut tx, whole.id, &Event::whole(kind), &act).await.map(|_| ());
    let news = match kind {
        EventKind::Approve => Some(News::Approved),
        EventKind::Decline => Some(News::Declined),
        _ => None,
    };
    if let (true, Some(news)) = (outcome.is_ok(), news) {
        outcome = tell(&mut tx, &clock, whole.id, news).await.map_err(NotReserved::from);
    }
    end((&store, &clock, &who), tx, (&whole, deed), outcome, &typed).await
}

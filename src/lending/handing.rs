//! From the store to the borrower and back.

use super::booking::{check_sun, checked_items, header, needs_guardian};
use super::cautions;
pub use super::condition::Condition;
use super::custody::in_custody;
pub use super::custody::{item_in_custody, member_has_custody};
use super::keeping::{Act, take_step};
use super::machine::{Event, EventKind, LineState, Standing};
use super::model::{LendingError, NotReserved, Origin, ReservationId};
use super::night::{Night, Nights};
use super::rules_store::rules;
use super::signature::{Signature, Strokes, Way, put_signature, signature};
use super::story::{standing, story};
use super::wait_list::somebody_waits;
use crate::people::MemberId;
use crate::shelf::{self, ItemId, ItemState, id_list};
use crate::store::{Fault, WriteTx};

/// Names one loan in the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct LoanId(pub i64);

/// What a hand-over notes.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct HandOver {
    /// What is taken along; what is not named stays in store and is free again.
    pub items: Vec<ItemId>,
    /// The name the borrower, or their guardian, signed with.
    pub signed_name: String,
    /// The version of the cautions that was acknowledged.
    pub cautions_version: u32,
    /// Who answers for a borrower who is or may be under age.
    pub guardian: Option<String>,
    /// Who stood by, where somebody gives something out to themself.
    pub witness: Option<String>,
    /// Anything worth noting.
    pub note: String,
    /// Whether the borrower is whoever hands over.
    pub to_self: bool,
    /// What was drawn as a signature; may be empty.
    pub strokes: Strokes,
}

/// Gives a reservation's items out. Fetched early, the nights before are taken along where they
/// are free. On an error, drop the transaction.
///
/// # Errors
/// [`NotReserved`].
pub async fn hand_over(
    tx: &mut WriteTx,
    id: ReservationId,
    what: &HandOver,
    act: &Act,
) -> Result<LoanId, NotReserved> {
    let head = header(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let before = standing(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let mut event = Event::of(EventKind::HandOver, &what.items);
    if act.tonight < before.nights.first()
        && let Ok(nights) = Nights::new(act.tonight, before.nights.last())
    {
        event = event.on(nights);
    }
    // Whether the step may be taken at all comes before what it needs.
    let (_, after) = take_step(tx, id, &event, act).await?;
    if act.tonight > before.nights.last() {
        return Err(NotReserved::Incomplete(
            "The nights of this reservation are over: make a new one for the nights to come.",
        ));
    }
    let (what, signed) = with_signature(tx, id, what).await?;
    let what = &what;
    check_paper(tx, head.member, what, after.nights.first()).await?;
    let taken = after.items(LineState::Out);
    checked_items(tx, &taken, Origin::Asked).await?;
    if head.daylight {
        check_sun(tx, &taken, after.nights.last(), act.tonight).await?;
    }
    let still_out = in_custody(tx, &taken).await?;
    if !still_out.is_empty() {
        return Err(NotReserved::StillOut(still_out));
    }
    let loan = write_loan(tx, id, what, act).await.map_err(LendingError::from)?;
    if !signed {
        let signature = Signature {
            name: what.signed_name.trim().chars().take(120).collect(),
            guardian: what.guardian.clone(),
            strokes: what.strokes.clone(),
            way: Way::Desk,
            items: taken.clone(),
            cautions_version: what.cautions_version,
            signed_at: act.at,
        };
        put_signature(tx, id, &signature).await?;
    }
    let ids = id_list(&taken);
    let written = sqlx::query!(
        "INSERT INTO custody (loan_id, item_id, member_id, handed_at)
         SELECT ?, value, ?, ? FROM json_each(?)",
        loan.0,
        head.member.0,
        act.at,
        ids
    )
    .execute(&mut **tx)
    .await;
    match written {
        Ok(_) => Ok(loan),
        Err(error) if Fault::is_taken(&error, "custody.item_id") => {
            Err(NotReserved::StillOut(in_custody(tx, &taken).await?))
        }
        Err(error) => Err(LendingError::from(error).into()),
    }
}

/// The hand-over with what the borrower signed before on a page of their own, where that holds and
/// nothing else was signed at the desk; and whether it does.
async fn with_signature(
    tx: &mut WriteTx,
    id: ReservationId,
    what: &HandOver,
) -> Result<(HandOver, bool), LendingError> {
    let mut what = what.clone();
    if !what.signed_name.trim().is_empty() {
        return Ok((what, false));
    }
    let Some(known) = signature(tx, id).await?.filter(|known| known.holds_for(&what.items)) else {
        return Ok((what, false));
    };
    what.signed_name = known.name;
    what.cautions_version = known.cautions_version;
    what.guardian = what.guardian.or(known.guardian);
    Ok((what, true))
}

async fn check_paper(
    tx: &mut WriteTx,
    member: MemberId,
    what: &HandOver,
    first: Night,
) -> Result<(), NotReserved> {
    let said = |text: &Option<String>| text.as_ref().is_some_and(|name| !name.trim().is_empty());
    if what.signed_name.trim().is_empty() {
        return Err(NotReserved::Incomplete(
            "The borrower has not signed: write down the name they signed with.",
        ));
    }
    if what.cautions_version != cautions::VERSION {
        return Err(NotReserved::Incomplete(
            "The cautions have not been acknowledged as they stand: show them to the borrower and tick them.",
        ));
    }
    if what.to_self && !said(&what.witness) {
        return Err(NotReserved::Incomplete(
            "Nobody hands over to themself alone: name a second person who stood by.",
        ));
    }
    if !said(&what.guardian) && needs_guardian(tx, member, &what.items, first).await? {
        return Err(NotReserved::Incomplete(
            "The borrower may be under eighteen: name the guardian who answers for the loan.",
        ));
    }
    Ok(())
}

async fn write_loan(
    tx: &mut WriteTx,
    id: ReservationId,
    what: &HandOver,
    act: &Act,
) -> sqlx::Result<LoanId> {
    let short = |text: &str| text.trim().chars().take(120).collect::<String>();
    let some = |text: &Option<String>| text.as_deref().map(short).filter(|text| !text.is_empty());
    let (signed, guardian, witness) =
        (short(&what.signed_name), some(&what.guardian), some(&what.witness));
    let note: String = what.note.trim().chars().take(1000).collect();
    let version = i64::from(what.cautions_version);
    let loan = sqlx::query_scalar!(
        "INSERT INTO loan (reservation_id, handed_at, handed_by, signed_name, guardian, witness,
                           cautions_version, note)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        id.0,
        act.at,
        act.doer.account,
        signed,
        guardian,
        witness,
        version,
        note
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(LoanId(loan))
}

/// One piece that comes back.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Back {
    /// The piece.
    pub item: ItemId,
    /// In what condition.
    pub condition: Condition,
    /// What was seen; may be empty.
    pub note: String,
}

/// Takes pieces back. What is not in good condition leaves service. On an error, drop the
/// transaction.
///
/// # Errors
/// [`NotReserved`].
pub async fn take_back(
    tx: &mut WriteTx,
    id: ReservationId,
    pieces: &[Back],
    act: &Act,
) -> Result<Standing, NotReserved> {
    let mut items: Vec<ItemId> = pieces.iter().map(|piece| piece.item).collect();
    items.sort_unstable();
    items.dedup();
    let (_, after) = take_step(tx, id, &Event::of(EventKind::Return, &items), act).await?;
    for piece in pieces {
        end_custody(tx, piece, act).await?;
    }
    Ok(after)
}

async fn end_custody(tx: &mut WriteTx, piece: &Back, act: &Act) -> Result<(), LendingError> {
    let condition = piece.condition.as_str();
    let note: String = piece.note.trim().chars().take(1000).collect();
    sqlx::query!(
        "UPDATE custody SET returned_at = max(?, handed_at), received_by = ?, condition = ?, note = ?
         WHERE item_id = ? AND returned_at IS NULL",
        act.at,
        act.doer.account,
        condition,
        note,
        piece.item.0
    )
    .execute(&mut **tx)
    .await?;
    if let Some(state) = piece.condition.state() {
        shelf::put_state(tx, act.hand(), piece.item, state).await?;
    }
    Ok(())
}

/// Notes that pieces on loan are missing; they leave service.
///
/// # Errors
/// [`NotReserved`].
pub async fn report_missing(
    tx: &mut WriteTx,
    id: ReservationId,
    items: &[ItemId],
    act: &Act,
) -> Result<Standing, NotReserved> {
    let (_, after) = take_step(tx, id, &Event::of(EventKind::Missing, items), act).await?;
    for item in items {
        shelf::put_state(tx, act.hand(), *item, ItemState::Missing)
            .await
            .map_err(LendingError::from)?;
    }
    Ok(after)
}

/// Notes that a missing piece was found: it is back, and is looked over before it goes out again.
///
/// # Errors
/// [`NotReserved`].
pub async fn note_found(
    tx: &mut WriteTx,
    id: ReservationId,
    piece: &Back,
    act: &Act,
) -> Result<Standing, NotReserved> {
    let event = Event::of(EventKind::Found, &[piece.item]);
    let (_, after) = take_step(tx, id, &event, act).await?;
    let looked_over = ItemState::NeedsInspection;
    shelf::put_state(tx, act.hand(), piece.item, looked_over).await.map_err(LendingError::from)?;
    end_custody(tx, piece, act).await?;
    Ok(after)
}

/// Keeps a loan for longer, until the night `last`.
///
/// # Errors
/// [`NotReserved`].
pub async fn extend(
    tx: &mut WriteTx,
    id: ReservationId,
    last: Night,
    act: &Act,
) -> Result<Standing, NotReserved> {
    let before = standing(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let head = header(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let nights = Nights::new(before.nights.first(), last)
        .map_err(|_| NotReserved::Forbidden(super::machine::Forbidden::NotLonger))?;
    let (_, after) = take_step(tx, id, &Event::whole(EventKind::Extend).on(nights), act).await?;
    let rules = rules(tx, act.tonight).await?;
    let mut broken = rules.broken_by_nights(nights, nights.first());
    if act.doer.hat == super::machine::Hat::Quartermaster {
        broken.clear();
    } else if before.nights.last() < act.tonight {
        broken.push(super::rules::Broken::Overdue);
    } else if let Some(next) = before.nights.last().next()
        && let Ok(more) = Nights::new(next, last)
    {
        let names = shelf::names(tx, &after.items(LineState::Out)).await;
        let names = names.map_err(LendingError::from)?;
        if somebody_waits(tx, head.member, &names, more).await? {
            broken.push(super::rules::Broken::OthersWait);
        }
    }
    if !broken.is_empty() {
        return Err(NotReserved::Rules(broken));
    }
    if head.daylight {
        check_sun(tx, &after.items(LineState::Out), last, act.tonight).await?;
    }
    Ok(after)
}

/// For how long after a return it can be taken back, in seconds.
const UNDO_SECONDS: i64 = 24 * 3600;

/// Takes the last return back, within a day: the pieces are out again, if nobody has them since.
///
/// # Errors
/// [`NotReserved`].
pub async fn undo_return(
    tx: &mut WriteTx,
    id: ReservationId,
    act: &Act,
) -> Result<Standing, NotReserved> {
    let told = story(tx, id).await?;
    let last = told.last().filter(|told| {
        told.event.kind == EventKind::Return && act.at.saturating_sub(told.at) <= UNDO_SECONDS
    });
    let Some(last) = last else {
        return Err(NotReserved::Incomplete(
            "Only a return of the last 24 hours can be taken back: hand the pieces over anew.",
        ));
    };
    let (_, after) = take_step(tx, id, &Event::of(EventKind::Undo, &last.event.items), act).await?;
    let ids = id_list(&last.event.items);
    let opened = sqlx::query!(
        "UPDATE custody SET returned_at = NULL, received_by = NULL, condition = NULL
         WHERE item_id IN (SELECT value FROM json_each(?))
           AND loan_id = (SELECT id FROM loan WHERE reservation_id = ?)",
        ids,
        id.0
    )
    .execute(&mut **tx)
    .await;
    match opened {
        Ok(_) => Ok(after),
        Err(error) if Fault::is_taken(&error, "custody.item_id") => {
            Err(NotReserved::StillOut(in_custody(tx, &last.event.items).await?))
        }
        Err(error) => Err(LendingError::from(error).into()),
    }
}

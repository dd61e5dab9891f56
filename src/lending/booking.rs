//! Promising: asking, changing and cancelling, all or nothing.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use sqlx::SqliteConnection;

use super::keeping::{Act, take_step, write_first};
use super::limits::{UNRELIABLE, cents, having, kept_for_outreach, let_down};
use super::machine::{Event, EventKind, Hat, LineState, Standing as Stands, step};
use super::model::{
    LendingError, NotInService, NotReserved, Origin, ReservationId, ReservationState, Wish,
};
use super::night::{Night, Nights};
use super::reading::{Line, Whole};
use super::rules::{Broken, ItemRule, Request, Rules};
use super::rules_store::{item_rules, rules, rules_for, trained};
use super::store::clashes_of;
use super::story::{Doer, standing};
use super::sun::{SunDays, unfiltered};
use super::waiting::end_all;
use crate::people::guardian::Standing;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId, ItemName, ItemState, Kind};
use crate::store::WriteTx;

/// No reservation at all, where one is to be left out.
pub(super) const NONE: ReservationId = ReservationId(-1);

/// Grants a wish: all items for all nights, or nothing. Commit to make it last. Gives the
/// reservation as it now stands, without reading it again.
///
/// # Errors
/// [`NotReserved`] says what stands in the way; nothing was written then.
pub async fn reserve(tx: &mut WriteTx, wish: &Wish) -> Result<Whole, NotReserved> {
    let items = checked_items(tx, &wish.items, wish.origin).await?;
    check_member(tx, wish).await?;
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let asked = Asked { member: wish.member, nights: wish.nights, items: &items, except: NONE };
    let (rules, item_rules) = rules_for(tx, &ids, wish.tonight).await?;
    let clashes = clashes_of(tx, &items, wish.nights, &item_rules, NONE).await?;
    if !clashes.is_empty() {
        return Err(NotReserved::Clashes(clashes));
    }
    let mut kind = EventKind::Book;
    match wish.origin {
        Origin::Asked => {
            check_rules(tx, &asked, (&rules, &item_rules), wish.tonight, wish.doer).await?;
            if needs_approval(tx, &asked, &item_rules, (wish.tonight, wish.doer)).await? {
                kind = EventKind::Request;
            }
        }
        Origin::PublicNight { ahead_nights } => {
            let rules = Rules { ahead_nights, ..rules.clone() };
            let mut broken = rules.broken_by_nights(wish.nights, wish.tonight);
            broken.retain(|broken| !matches!(broken, Broken::TooLong { .. }));
            if !broken.is_empty() {
                return Err(NotReserved::Rules(broken));
            }
        }
        Origin::Recorded => {}
    }
    if wish.daylight {
        sun_gate(tx, &ids, wish.nights.last(), wish.tonight, rules.light_test_months).await?;
    }
    let event = Event::of(kind, &ids).on(wish.nights);
    let standing = step(None, &event, wish.doer.hat)?;
    // The write lock is held since before the look, so nobody can have come between; if the
    // primary key objects all the same, the error goes up and the caller's transaction with it.
    let (id, version) = write_first(tx, wish, &standing, &event, &item_rules).await?;
    let mut lines: Vec<Line> = items
        .into_iter()
        .map(|item| Line { item, state: LineState::Planned, condition: None })
        .collect();
    lines.sort_by_key(|line| (line.item.kind, line.item.id));
    Ok(Whole {
        id,
        member: wish.member,
        state: standing.state,
        nights: standing.nights,
        daylight: wish.daylight,
        site: wish.site,
        version,
        created_at: wish.asked_at.as_second(),
        lines,
        loan: None,
    })
}

/// Who wants what, for the rules.
struct Asked<'a> {
    member: MemberId,
    nights: Nights,
    items: &'a [ItemName],
    except: ReservationId,
}

/// The items by number, each once.
///
/// # Errors
/// [`NotReserved`] where some are not there, or cannot be lent now.
pub(super) async fn checked_items(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    origin: Origin,
) -> Result<Vec<ItemName>, NotReserved> {
    let mut wanted = items.to_vec();
    wanted.sort_unstable();
    wanted.dedup();
    match wanted.len() {
        0 => return Err(NotReserved::NoItems),
        count if count > Wish::MOST_ITEMS => return Err(NotReserved::TooManyItems(count)),
        _ => {}
    }
    let found = shelf::names(conn, &wanted).await.map_err(LendingError::from)?;
    if found.len() < wanted.len() {
        let there: HashSet<ItemId> = found.iter().map(|item| item.id).collect();
        wanted.retain(|id| !there.contains(id));
        return Err(NotReserved::NoSuchItems(wanted));
    }
    if origin != Origin::Recorded {
        let idle: Vec<NotInService> = found
            .iter()
            .filter(|item| item.state != ItemState::InService)
            .map(|item| NotInService { item: item.id, tag: item.tag.clone(), state: item.state })
            .collect();
        if !idle.is_empty() {
            return Err(NotReserved::NotInService(idle));
        }
    }
    Ok(found)
}

async fn check_member(tx: &mut WriteTx, wish: &Wish) -> Result<(), NotReserved> {
    let member = people::member(tx, wish.member).await.map_err(LendingError::from)?;
    match (member.map(|member| member.facts.state), wish.origin) {
        (None, _) => Err(NotReserved::NoSuchMember),
        (Some(MemberState::Active), _) | (Some(_), Origin::Recorded) => Ok(()),
        (Some(_), Origin::Asked | Origin::PublicNight { .. }) => Err(NotReserved::MemberLeft),
    }
}

async fn check_rules(
    tx: &mut WriteTx,
    asked: &Asked<'_>,
    (rules, item_rules): (&Rules, &BTreeMap<ItemId, ItemRule>),
    tonight: Night,
    doer: Doer,
) -> Result<(), NotReserved> {
    let broken = if doer.hat == Hat::Quartermaster {
        // Whoever runs the desk may stretch what binds members, but not the calendar.
        let bends = |broken: &Broken| matches!(broken, Broken::TooLong { .. });
        let mut broken = rules.broken_by_nights(asked.nights, tonight);
        broken.retain(|broken| !bends(broken));
        broken
    } else {
        let items: Vec<_> = asked.items.iter().map(|item| (item.id, item.tag.clone())).collect();
        let ids: Vec<ItemId> = asked.items.iter().map(|item| item.id).collect();
        let telescopes = asked.items.iter().filter(|item| item.kind == Kind::Telescope).count();
        let telescopes = i64::try_from(telescopes).unwrap_or(i64::MAX);
        let shown = if item_rules.values().any(|rule| rule.needs_training) {
            trained(tx, asked.member, &ids).await?
        } else {
            BTreeSet::new()
        };
        let request = Request {
            nights: asked.nights,
            items: &items,
            tonight,
            having: having(tx, asked.member, asked.except, (asked.nights, tonight), rules).await?,
            adds_one: asked.except == NONE,
            telescopes,
            cents: if rules.worth_at_once.is_some() { cents(tx, &ids).await? } else { 0 },
            outreach: if doer.hat == Hat::Lead {
                Vec::new()
            } else {
                kept_for_outreach(tx, rules, telescopes, asked.nights, asked.except).await?
            },
            trained: &shown,
        };
        rules.broken(&request, item_rules)
    };
    if broken.is_empty() { Ok(()) } else { Err(NotReserved::Rules(broken)) }
}

/// Why a quartermaster has to agree, one sentence each; none where nobody has to.
///
/// # Errors
/// The database could not answer.
pub(super) async fn why_approval(
    conn: &mut SqliteConnection,
    member: MemberId,
    item_rules: &BTreeMap<ItemId, ItemRule>,
    (nights, tonight): (Nights, Night),
) -> Result<Vec<&'static str>, LendingError> {
    let mut why = Vec::new();
    if item_rules.values().any(|rule| rule.needs_approval) {
        why.push("The club wants to be asked for one of the pieces.");
    }
    match people::guardian::standing(conn, member, nights.first().evening()).await? {
        Standing::Minor { .. } => why.push("The borrower is or may be under eighteen."),
        Standing::AgeNotKnown if item_rules.values().any(|rule| rule.asks_age) => {
            why.push("One of the pieces asks for age, and the borrower's is not known.");
        }
        _ => {}
    }
    if let_down(conn, member, tonight).await? >= UNRELIABLE {
        why.push(
            "Three reservations or more in the past year were not fetched, or cancelled on the day.",
        );
    }
    Ok(why)
}

async fn needs_approval(
    tx: &mut WriteTx,
    asked: &Asked<'_>,
    item_rules: &BTreeMap<ItemId, ItemRule>,
    (tonight, doer): (Night, Doer),
) -> Result<bool, NotReserved> {
    if doer.hat == Hat::Quartermaster {
        return Ok(false);
    }
    let why = why_approval(tx, asked.member, item_rules, (asked.nights, tonight)).await?;
    Ok(!why.is_empty())
}

/// Whether a guardian has to answer for these pieces: for whoever is or may be under eighteen, and
/// for whoever gave no age where a piece asks for it.
///
/// # Errors
/// The database could not answer.
pub(super) async fn needs_guardian(
    conn: &mut SqliteConnection,
    member: MemberId,
    items: &[ItemId],
    night: Night,
) -> Result<bool, LendingError> {
    Ok(match people::guardian::standing(conn, member, night.evening()).await? {
        Standing::Minor { .. } => true,
        Standing::AgeNotKnown => item_rules(conn, items).await?.values().any(|rule| rule.asks_age),
        Standing::Adult => false,
    })
}

/// The gate before the Sun, for whoever asks.
///
/// # Errors
/// [`NotReserved::Sun`] while it is shut.
pub(super) async fn check_sun(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    last: Night,
    tonight: Night,
) -> Result<(), NotReserved> {
    let light_test_months = rules(conn, tonight).await?.light_test_months;
    sun_gate(conn, items, last, tonight, light_test_months).await
}

async fn sun_gate(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    last: Night,
    tonight: Night,
    light_test_months: i32,
) -> Result<(), NotReserved> {
    let days = SunDays { today: tonight.evening(), last: last.morning(), light_test_months };
    let shelf = shelf::shelf(conn).await.map_err(LendingError::from)?;
    let shut = unfiltered(&shelf, items, days);
    if shut.is_empty() { Ok(()) } else { Err(NotReserved::Sun(shut)) }
}

/// Whose a reservation is, its version and whether it is for the day.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Header {
    /// Whose.
    pub member: MemberId,
    /// Counts the changes.
    pub version: i64,
    /// Whether anything is to be used while the Sun is up.
    pub daylight: bool,
}

/// The header of a reservation; `None` where there is none of this number.
///
/// # Errors
/// The database could not answer.
pub async fn header(
    conn: &mut SqliteConnection,
    id: ReservationId,
) -> Result<Option<Header>, LendingError> {
    let row =
        sqlx::query!("SELECT member_id, version, daylight FROM reservation WHERE id = ?", id.0)
            .fetch_optional(conn)
            .await?;
    Ok(row.map(|row| Header {
        member: MemberId(row.member_id),
        version: row.version,
        daylight: row.daylight != 0,
    }))
}

/// Gives a reservation other nights or other items, under the same rules as a new one. On an
/// error, drop the transaction.
///
/// # Errors
/// [`NotReserved`].
pub async fn change(
    tx: &mut WriteTx,
    id: ReservationId,
    items: &[ItemId],
    nights: Nights,
    act: &Act,
) -> Result<Stands, NotReserved> {
    let header = header(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let before = standing(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let names = checked_items(tx, items, Origin::Asked).await?;
    let ids: Vec<ItemId> = names.iter().map(|item| item.id).collect();
    let (rules, item_rules) = rules_for(tx, &ids, act.tonight).await?;
    let asked = Asked { member: header.member, nights, items: &names, except: id };
    let event = Event::of(EventKind::Change, &ids).on(nights);
    step(Some(&before), &event, act.doer.hat)?;
    if act.doer.hat != Hat::Quartermaster && act.tonight > before.nights.first() {
        return Err(NotReserved::Incomplete(
            "The first night is over: ask the quartermaster to change this reservation.",
        ));
    }
    check_rules(tx, &asked, (&rules, &item_rules), act.tonight, act.doer).await?;
    if before.state == ReservationState::Confirmed
        && needs_approval(tx, &asked, &item_rules, (act.tonight, act.doer)).await?
    {
        return Err(NotReserved::Incomplete(
            "This change needs a quartermaster's approval: ask the quartermaster to make it, or make a new reservation.",
        ));
    }
    if header.daylight {
        sun_gate(tx, &ids, nights.last(), act.tonight, rules.light_test_months).await?;
    }
    Ok(take_step(tx, id, &event, act).await?.1)
}

/// Cancels a reservation: its nights are free again, its items and dates stay readable.
///
/// # Errors
/// [`NotReserved`]; nothing was written then.
pub async fn cancel(tx: &mut WriteTx, id: ReservationId, act: &Act) -> Result<(), NotReserved> {
    take_step(tx, id, &Event::whole(EventKind::Cancel), act).await?;
    Ok(())
}

/// Cancels every reservation of a member that is not handed over yet, for one who leaves. Answers
/// how many there were.
///
/// # Errors
/// The database refused; then drop the transaction.
pub async fn cancel_future(
    tx: &mut WriteTx,
    member: MemberId,
    act: &Act,
) -> Result<usize, NotReserved> {
    let ids = sqlx::query_scalar!(
        "SELECT id FROM reservation
         WHERE member_id = ? AND state IN ('requested', 'confirmed', 'ready') ORDER BY id",
        member.0
    )
    .fetch_all(&mut **tx)
    .await
    .map_err(LendingError::from)?;
    for id in &ids {
        cancel(tx, ReservationId(*id), act).await?;
    }
    end_all(tx, member).await?;
    Ok(ids.len())
}

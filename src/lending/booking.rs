//! Promising: asking, changing and cancelling, all or nothing.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use sqlx::SqliteConnection;

use super::keeping::{Act, keep_nights, take_step, write_lines, write_story};
use super::limits::{UNRELIABLE, cents, having, kept_for_outreach, let_down};
use super::machine::{Event, EventKind, Hat, Standing as Stands, step};
use super::model::{
    LendingError, NotInService, NotReserved, Origin, ReservationId, ReservationState, Wish,
};
use super::night::{Night, Nights};
use super::rules::{Broken, ItemRule, Request, Rules};
use super::rules_store::{item_rules, rules, trained};
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

/// Grants a wish: all items for all nights, or nothing. Commit to make it last.
///
/// # Errors
/// [`NotReserved`] says what stands in the way; nothing was written then.
pub async fn reserve(tx: &mut WriteTx, wish: &Wish) -> Result<ReservationId, NotReserved> {
    let items = checked_items(tx, &wish.items, wish.origin).await?;
    check_member(tx, wish).await?;
    let ids: Vec<ItemId> = items.iter().map(|item| item.id).collect();
    let asked = Asked { member: wish.member, nights: wish.nights, items: &items, except: NONE };
    let item_rules = item_rules(tx, &ids).await?;
    let clashes = clashes_of(tx, &items, wish.nights, &item_rules, NONE).await?;
    if !clashes.is_empty() {
        return Err(NotReserved::Clashes(clashes));
    }
    let mut kind = EventKind::Book;
    match wish.origin {
        Origin::Asked => {
            check_rules(tx, &asked, &item_rules, wish.tonight, wish.doer).await?;
            if needs_approval(tx, &asked, &item_rules, (wish.tonight, wish.doer)).await? {
                kind = EventKind::Request;
            }
        }
        Origin::PublicNight { ahead_nights } => {
            let rules = Rules { ahead_nights, ..rules(tx, wish.tonight).await? };
            let mut broken = rules.broken_by_nights(wish.nights, wish.tonight);
            broken.retain(|broken| !matches!(broken, Broken::TooLong { .. }));
            if !broken.is_empty() {
                return Err(NotReserved::Rules(broken));
            }
        }
        Origin::Recorded => {}
    }
    if wish.daylight {
        check_sun(tx, &ids, wish.nights.last(), wish.tonight).await?;
    }
    let event = Event::of(kind, &ids).on(wish.nights);
    let standing = step(None, &event, wish.doer.hat)?;
    // The write lock is held since before the look, so nobody can have come between; if the
    // primary key objects all the same, the error goes up and the caller's transaction with it.
    let id = write_header(tx, wish, &standing).await.map_err(LendingError::from)?;
    let act = Act {
        doer: wish.doer,
        at: wish.asked_at.as_second(),
        tonight: wish.tonight,
        reason: String::new(),
    };
    write_lines(tx, id, None, &standing).await?;
    keep_nights(tx, id, &ids, wish.nights, &item_rules).await?;
    write_story(tx, id, None, standing.state, &event, &act).await?;
    Ok(id)
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
    item_rules: &BTreeMap<ItemId, ItemRule>,
    tonight: Night,
    doer: Doer,
) -> Result<(), NotReserved> {
    let rules = rules(tx, tonight).await?;
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
            having: having(tx, asked.member, asked.except, (asked.nights, tonight), &rules).await?,
            adds_one: asked.except == NONE,
            telescopes,
            cents: if rules.worth_at_once.is_some() { cents(tx, &ids).await? } else { 0 },
            outreach: if doer.hat == Hat::Lead {
                Vec::new()
            } else {
                kept_for_outreach(tx, &rules, telescopes, asked.nights, asked.except).await?
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
    let days = SunDays { today: tonight.evening(), last: last.morning(), light_test_months };
    let shelf = shelf::shelf(conn).await.map_err(LendingError::from)?;
    let shut = unfiltered(&shelf, items, days);
    if shut.is_empty() { Ok(()) } else { Err(NotReserved::Sun(shut)) }
}

async fn write_header(
    tx: &mut WriteTx,
    wish: &Wish,
    standing: &Stands,
) -> sqlx::Result<ReservationId> {
    let (first, last) = (wish.nights.first().to_string(), wish.nights.last().to_string());
    let state = standing.state.as_str();
    let asked_at = wish.asked_at.as_second();
    let (outreach, site) = (wish.doer.hat == Hat::Lead, wish.site.map(|site| site.0));
    let id = sqlx::query_scalar!(
        "INSERT INTO reservation
            (member_id, first_night, last_night, state, created_at, daylight, outreach, site_id)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        wish.member.0,
        first,
        last,
        state,
        asked_at,
        wish.daylight,
        outreach,
        site
    )
    .fetch_one(&mut **tx)
    .await?;
    Ok(ReservationId(id))
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
    let rules = item_rules(tx, &ids).await?;
    let asked = Asked { member: header.member, nights, items: &names, except: id };
    let event = Event::of(EventKind::Change, &ids).on(nights);
    step(Some(&before), &event, act.doer.hat)?;
    if act.doer.hat != Hat::Quartermaster && act.tonight > before.nights.first() {
        return Err(NotReserved::Incomplete(
            "The first night is over: ask the quartermaster to change this reservation.",
        ));
    }
    check_rules(tx, &asked, &rules, act.tonight, act.doer).await?;
    if before.state == ReservationState::Confirmed
        && needs_approval(tx, &asked, &rules, (act.tonight, act.doer)).await?
    {
        return Err(NotReserved::Incomplete(
            "This change needs a quartermaster's approval: ask the quartermaster to make it, or make a new reservation.",
        ));
    }
    if header.daylight {
        check_sun(tx, &ids, nights.last(), act.tonight).await?;
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

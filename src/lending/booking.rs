//! Promising: asking, changing and cancelling, all or nothing.

use std::collections::{BTreeMap, BTreeSet, HashSet};

use sqlx::SqliteConnection;

use super::keeping::{Act, take_step, write_lines, write_nights, write_story};
use super::machine::{Event, EventKind, Hat, Standing, step};
use super::model::{
    LendingError, NotInService, NotReserved, Origin, ReservationId, ReservationState, Wish,
};
use super::night::{Night, Nights};
use super::rules::{Broken, ItemRule, Request, Rules};
use super::rules_store::{having, item_rules, rules, trained};
use super::store::{clashes_of, taken_by_item};
use super::story::{Doer, standing};
use super::sun::{SunDays, unfiltered};
use super::waiting::end_all;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId, ItemName, ItemState};
use crate::store::WriteTx;

/// No reservation at all, where one is to be left out.
const NONE: ReservationId = ReservationId(-1);

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
            if needs_approval(tx, &asked, &item_rules, wish.doer).await? {
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
    write_nights(tx, id, None, &standing, wish.tonight).await?;
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
        let request = Request {
            nights: asked.nights,
            items: &items,
            tonight,
            having: having(tx, asked.member, asked.except, tonight).await?,
            adds_one: asked.except == NONE,
            trained: &trained(tx, asked.member, &ids).await?,
        };
        rules.broken(&request, item_rules)
    };
    if broken.is_empty() { Ok(()) } else { Err(NotReserved::Rules(broken)) }
}

/// Whether a quartermaster has to agree: for chosen pieces, and always for those who are or may be
/// under age.
async fn needs_approval(
    tx: &mut WriteTx,
    asked: &Asked<'_>,
    item_rules: &BTreeMap<ItemId, ItemRule>,
    doer: Doer,
) -> Result<bool, NotReserved> {
    if doer.hat == Hat::Quartermaster {
        return Ok(false);
    }
    if item_rules.values().any(|rule| rule.needs_approval) {
        return Ok(true);
    }
    Ok(may_be_minor(tx, asked.member, asked.nights.first()).await?)
}

/// Whether somebody is or may be under eighteen on a night.
///
/// # Errors
/// The database could not answer.
pub(super) async fn may_be_minor(
    conn: &mut SqliteConnection,
    member: MemberId,
    night: Night,
) -> Result<bool, LendingError> {
    Ok(people::guardian::standing(conn, member, night.evening()).await?.is_minor())
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
    standing: &Standing,
) -> sqlx::Result<ReservationId> {
    let (first, last) = (wish.nights.first().to_string(), wish.nights.last().to_string());
    let state = standing.state.as_str();
    let asked_at = wish.asked_at.as_second();
    let id = sqlx::query_scalar!(
        "INSERT INTO reservation (member_id, first_night, last_night, state, created_at, daylight)
         VALUES (?, ?, ?, ?, ?, ?) RETURNING id AS \"id!\"",
        wish.member.0,
        first,
        last,
        state,
        asked_at,
        wish.daylight
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
) -> Result<Standing, NotReserved> {
    let header = header(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let before = standing(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let names = checked_items(tx, items, Origin::Asked).await?;
    let ids: Vec<ItemId> = names.iter().map(|item| item.id).collect();
    let rules = item_rules(tx, &ids).await?;
    let asked = Asked { member: header.member, nights, items: &names, except: id };
    let event = Event::of(EventKind::Change, &ids).on(nights);
    step(Some(&before), &event, act.doer.hat)?;
    check_rules(tx, &asked, &rules, act.tonight, act.doer).await?;
    if before.state == ReservationState::Confirmed
        && needs_approval(tx, &asked, &rules, act.doer).await?
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

/// The nearest stretches, as long as `nights`, on which all these items are free and the club
/// lends; at most three.
///
/// # Errors
/// The database could not answer.
pub async fn openings(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
    tonight: Night,
) -> Result<Vec<Nights>, LendingError> {
    let rules: Rules = rules(conn, tonight).await?;
    // Nights to look after the pieces come on top, and 366 are the most of one look.
    let until = tonight.later(rules.ahead_nights.min(Nights::LONGEST - 4)).unwrap_or(tonight);
    let Ok(looked_at) = Nights::new(tonight, until) else { return Ok(Vec::new()) };
    let taken = spoken_for(conn, items, looked_at).await?;
    let mut found = rules.openings(nights, tonight, &taken, 3);
    found.retain(|stretch| stretch.last() <= until);
    Ok(found)
}

/// The nights in the range on which these items can't all be had: taken, or so shortly before
/// somebody else's that there would be no time to look after them.
///
/// # Errors
/// The database could not answer.
pub(super) async fn spoken_for(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<BTreeSet<Night>, LendingError> {
    let each = spoken_for_each(conn, items, nights).await?;
    Ok(each.into_iter().map(|(_, night)| night).collect())
}

/// The same, item by item.
///
/// # Errors
/// The database could not answer.
pub async fn spoken_for_each(
    conn: &mut SqliteConnection,
    items: &[ItemId],
    nights: Nights,
) -> Result<Vec<(ItemId, Night)>, LendingError> {
    let care = item_rules(conn, items).await?;
    let longest = care.values().map(|rule| rule.turnaround_nights).max().unwrap_or(0);
    let until = nights.last().later(longest).unwrap_or(nights.last());
    let Ok(looked_at) = Nights::new(nights.first(), until) else { return Ok(Vec::new()) };
    let mut taken = Vec::new();
    for (item, night) in taken_by_item(conn, items, looked_at).await? {
        let before = care.get(&item).map_or(0, |rule| rule.turnaround_nights);
        taken.extend((0..=before).filter_map(|nights| Some((item, night.later(-nights)?))));
    }
    Ok(taken)
}

/// The nights among these on which the club lends nothing.
///
/// # Errors
/// The database could not answer.
pub async fn closed_on(
    conn: &mut SqliteConnection,
    nights: Nights,
) -> Result<Vec<Night>, LendingError> {
    let rules = rules(conn, nights.first()).await?;
    Ok(rules.closed.range(nights.first()..=nights.last()).map(|(night, _)| *night).collect())
}

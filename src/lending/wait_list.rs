//! The waiting list as it stands.

use sqlx::SqliteConnection;

use super::model::{LendingError, stored_night};
use super::night::Nights;
use crate::people::MemberId;
use crate::shelf::{ItemId, ItemName, Kind};

/// Names one place on the waiting list.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct PlaceId(pub i64);

/// What somebody waits for.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Wanted {
    /// All of these pieces.
    Pieces(Vec<ItemId>),
    /// Any piece of a kind; of eyepieces, Barlows and filters any that is much like this one.
    Any(Kind, Option<ItemId>),
}

/// Whether one may wait for any of a kind. Accessories have too little in common.
#[must_use]
pub fn can_wait_for_any(kind: Kind) -> bool {
    kind != Kind::Accessory
}

impl Wanted {
    /// Any piece that would do in place of this one: any telescope, or what is much like it.
    #[must_use]
    pub fn any_like(item: &ItemName) -> Option<Self> {
        let like = (item.kind != Kind::Telescope).then_some(item.id);
        can_wait_for_any(item.kind).then_some(Self::Any(item.kind, like))
    }
}

/// A place on the waiting list that is not over.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Place {
    /// Its number.
    pub id: PlaceId,
    /// Who waits.
    pub member: MemberId,
    /// For what.
    pub wanted: Wanted,
    /// For which nights.
    pub nights: Nights,
    /// Whether anything is to be used while the Sun is up.
    pub daylight: bool,
    /// What is held for them, and until when in seconds since 1970; none while they wait.
    pub offer: Option<(Vec<ItemId>, i64)>,
}

/// Every place that is not over, those who came first first.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn places(conn: &mut SqliteConnection) -> Result<Vec<Place>, LendingError> {
    let rows = sqlx::query!(
        "SELECT place.id AS \"id!\", place.member_id, place.kind, place.first_night,
                place.last_night, place.daylight, place.offered_until,
                (SELECT json_group_array(item_id) FROM wait_place_item
                 WHERE place_id = place.id) AS \"items!: String\",
                (SELECT json_group_array(DISTINCT kept.item_id) FROM item_night AS kept
                 WHERE kept.kind = 'offer' AND kept.holder_id = place.id) AS \"held!: String\"
         FROM wait_place AS place WHERE place.state IN ('waiting', 'offered')
         ORDER BY place.asked_at, place.id"
    )
    .fetch_all(conn)
    .await?;
    let mut all = Vec::new();
    for row in rows {
        let unreadable = |why: String| {
            LendingError::unreadable(format!("Place {} of the waiting list", row.id), why)
        };
        let list = |text: &str| {
            let ids: Vec<i64> =
                serde_json::from_str(text).map_err(|why| unreadable(why.to_string()))?;
            let mut ids: Vec<ItemId> = ids.into_iter().map(ItemId).collect();
            ids.sort_unstable();
            Ok::<_, LendingError>(ids)
        };
        let nights = Nights::new(stored_night(&row.first_night)?, stored_night(&row.last_night)?)
            .map_err(|why| unreadable(why.to_string()))?;
        let items = list(&row.items)?;
        let wanted = match row.kind.as_deref() {
            Some(kind) => Wanted::Any(
                Kind::parse(kind).ok_or_else(|| unreadable("its kind is not known.".into()))?,
                items.first().copied(),
            ),
            None => Wanted::Pieces(items),
        };
        all.push(Place {
            id: PlaceId(row.id),
            member: MemberId(row.member_id),
            wanted,
            nights,
            daylight: row.daylight != 0,
            offer: match row.offered_until {
                Some(until) => Some((list(&row.held)?, until)),
                None => None,
            },
        });
    }
    Ok(all)
}

/// A place that a member has or had, as it is kept.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct PlaceKept {
    /// Its number.
    pub id: i64,
    /// Any of this kind; none where the pieces are named.
    pub kind: Option<String>,
    /// The pieces.
    pub items: Vec<ItemId>,
    /// The first night.
    pub first_night: String,
    /// The last night.
    pub last_night: String,
    /// `waiting`, `offered`, `taken`, `declined`, `expired` or `withdrawn`.
    pub state: String,
    /// When it was asked for, seconds since 1970.
    pub asked_at: i64,
}

/// Every place that a member has or had.
///
/// # Errors
/// The database could not answer.
pub async fn kept_of(
    conn: &mut SqliteConnection,
    member: MemberId,
) -> Result<Vec<PlaceKept>, LendingError> {
    let rows = sqlx::query!(
        "SELECT place.id AS \"id!\", place.kind, place.first_night, place.last_night, place.state,
                place.asked_at,
                (SELECT json_group_array(item_id) FROM wait_place_item
                 WHERE place_id = place.id) AS \"items!: String\"
         FROM wait_place AS place WHERE place.member_id = ? ORDER BY place.id",
        member.0
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| PlaceKept {
            id: row.id,
            kind: row.kind,
            items: serde_json::from_str::<Vec<i64>>(&row.items)
                .unwrap_or_default()
                .into_iter()
                .map(ItemId)
                .collect(),
            first_night: row.first_night,
            last_night: row.last_night,
            state: row.state,
            asked_at: row.asked_at,
        })
        .collect())
}

/// Whether anybody else waits for one of these pieces, or for any of its kind, on these nights.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn somebody_waits(
    conn: &mut SqliteConnection,
    member: MemberId,
    items: &[ItemName],
    nights: Nights,
) -> Result<bool, LendingError> {
    let wants = |place: &Place| match &place.wanted {
        Wanted::Any(kind, _) => items.iter().any(|item| item.kind == *kind),
        Wanted::Pieces(ids) => items.iter().any(|item| ids.contains(&item.id)),
    };
    Ok(places(conn).await?.iter().any(|place| {
        place.member != member
            && place.nights.first() <= nights.last()
            && nights.first() <= place.nights.last()
            && wants(place)
    }))
}

/// How many of these places come before one of them and may take the same.
pub fn before(all: &[Place], one: &Place) -> usize {
    let meets = |other: &Place| {
        let nights =
            other.nights.first() <= one.nights.last() && one.nights.first() <= other.nights.last();
        let pieces = match (&other.wanted, &one.wanted) {
            (Wanted::Any(a, _), Wanted::Any(b, _)) => a == b,
            (Wanted::Pieces(a), Wanted::Pieces(b)) => a.iter().any(|item| b.contains(item)),
            _ => false,
        };
        nights && pieces
    };
    all.iter().take_while(|other| other.id != one.id).filter(|other| meets(other)).count()
}

/// One sentence for each offer whose nights are not held, and each night held for no offer.
///
/// # Errors
/// The database could not answer.
pub(super) async fn faults(conn: &mut SqliteConnection) -> Result<Vec<String>, LendingError> {
    let stray = sqlx::query!(
        "SELECT kept.item_id, kept.night FROM item_night AS kept
         WHERE kept.kind = 'offer' AND NOT EXISTS (
             SELECT 1 FROM wait_place WHERE id = kept.holder_id AND state = 'offered')"
    )
    .fetch_all(&mut *conn)
    .await?;
    let short = sqlx::query_scalar!(
        "SELECT place.id AS \"id!\" FROM wait_place AS place WHERE place.state = 'offered'
         AND (SELECT count(*) FROM item_night AS kept
              WHERE kept.kind = 'offer' AND kept.holder_id = place.id)
             < (julianday(place.last_night) - julianday(place.first_night) + 1)
               * max(1, (SELECT count(*) FROM wait_place_item WHERE place_id = place.id))"
    )
    .fetch_all(conn)
    .await?;
    let stray = stray
        .into_iter()
        .map(|row| format!("Item {} is held on {} for no offer.", row.item_id, row.night));
    let short = short.into_iter().map(|id| {
        format!("Place {id} of the waiting list has an offer whose nights are not all held.")
    });
    Ok(stray.chain(short).collect())
}

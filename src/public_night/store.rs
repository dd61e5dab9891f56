//! Public nights in the database. What is written has been let through the gate before the Sun.

use std::collections::BTreeMap;

use jiff::civil::{Date, Time};
use sqlx::SqliteConnection;

use super::gate::Cleared;
use super::model::{
    Lighting, NightId, NightState, Occasion, Power, Priority, PublicNight, Purpose, Setting,
};
use super::{helper_store, station_store};
use crate::lending::ReservationId;
use crate::observing::sites::SiteId;
use crate::sheet::{Name, Notes};
use crate::store::WriteTx;

/// Why public nights could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum NightError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The stored row makes no sense.
    #[error("A public night can't be read from the database: {0}")]
    Unreadable(String),
    /// There is none of this number.
    #[error("There is no such public night.")]
    NotThere,
    /// Somebody else changed it meanwhile.
    #[error("This public night was changed meanwhile.")]
    Stale,
}

pub(super) fn unreadable(why: impl std::fmt::Display) -> NightError {
    NightError::Unreadable(why.to_string())
}

struct Row {
    id: i64,
    name: String,
    on_date: String,
    starts: String,
    ends: String,
    site_id: Option<i64>,
    setting: String,
    kind: String,
    visitors: i64,
    children: i64,
    wheelchairs: i64,
    stations: i64,
    power: String,
    lighting: String,
    rain_date: Option<String>,
    notes: String,
    state: String,
    slug: Option<String>,
    reservation_id: Option<i64>,
    told: String,
    version: i64,
}

fn word<T>(read: Option<T>, what: &str) -> Result<T, NightError> {
    read.ok_or_else(|| unreadable(format!("its {what} is not known")))
}

impl Row {
    fn occasion(&self) -> Result<Occasion, NightError> {
        let date = |text: &str| text.parse::<Date>().map_err(unreadable);
        let time = |text: &str| text.parse::<Time>().map_err(unreadable);
        let count = |number: i64| u32::try_from(number).map_err(unreadable);
        Ok(Occasion {
            name: Name::new(&self.name).map_err(unreadable)?,
            date: date(&self.on_date)?,
            starts: time(&self.starts)?,
            ends: time(&self.ends)?,
            site: self.site_id.map(SiteId),
            setting: word(Setting::parse(&self.setting), "setting")?,
            purpose: word(Purpose::parse(&self.kind), "kind")?,
            visitors: count(self.visitors)?,
            children: count(self.children)?,
            wheelchairs: count(self.wheelchairs)?,
            stations: u8::try_from(self.stations).map_err(unreadable)?,
            power: word(Power::parse(&self.power), "power")?,
            lighting: word(Lighting::parse(&self.lighting), "lighting")?,
            rain_date: self.rain_date.as_deref().map(date).transpose()?,
            notes: Notes::new(&self.notes).map_err(unreadable)?,
        })
    }

    async fn whole(self, conn: &mut SqliteConnection) -> Result<PublicNight, NightError> {
        let occasion = self.occasion()?;
        let id = NightId(self.id);
        Ok(PublicNight {
            id,
            version: self.version,
            state: word(NightState::parse(&self.state), "state")?,
            reservation: self.reservation_id.map(ReservationId),
            helpers: helper_store::helpers(conn, id).await?,
            stations: station_store::stations(conn, id, occasion.slots()).await?,
            told: serde_json::from_str(&self.told).map_err(unreadable)?,
            slug: self.slug,
            occasion,
        })
    }
}

/// Gives the ways of finding public nights. The statements differ in their tails only.
macro_rules! nights_query {
    ($tail:literal $(, $arg:expr)*) => {
        sqlx::query_as!(
            Row,
            "SELECT id AS \"id!\", name, on_date, starts, ends, site_id, setting, kind, visitors,
                    children, wheelchairs, stations, power, lighting, rain_date, notes, state, slug,
                    reservation_id, told, version
             FROM public_night " + $tail
            $(, $arg)*
        )
    };
}

/// The public night of this number.
///
/// # Errors
/// There is none, the database could not answer, or a row makes no sense.
pub async fn night(conn: &mut SqliteConnection, id: NightId) -> Result<PublicNight, NightError> {
    let row = nights_query!("WHERE id = ?", id.0).fetch_optional(&mut *conn).await?;
    row.ok_or(NightError::NotThere)?.whole(conn).await
}

/// The announced public night behind this public address, if there is one.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn behind(
    conn: &mut SqliteConnection,
    slug: &str,
) -> Result<Option<PublicNight>, NightError> {
    let row = nights_query!("WHERE slug = ? AND state <> 'draft'", slug)
        .fetch_optional(&mut *conn)
        .await?;
    match row {
        Some(row) => Ok(Some(row.whole(conn).await?)),
        None => Ok(None),
    }
}

/// A public night as a list tells of it.
#[derive(Debug, Clone, PartialEq)]
pub struct Listed {
    /// Its number.
    pub id: NightId,
    /// How far it has come.
    pub state: NightState,
    /// When, where and for whom.
    pub occasion: Occasion,
    /// How many stations stand in its plan.
    pub stations: usize,
}

/// Public nights without their plans, the latest first; at most so many.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn listed(conn: &mut SqliteConnection, most: i64) -> Result<Vec<Listed>, NightError> {
    let rows =
        nights_query!("ORDER BY on_date DESC, id DESC LIMIT ?", most).fetch_all(&mut *conn).await?;
    let ids: Vec<i64> = rows.iter().map(|row| row.id).collect();
    let ids = serde_json::to_string(&ids).map_err(unreadable)?;
    let planned: BTreeMap<i64, usize> = station_store::how_many(conn, &ids).await?;
    rows.into_iter()
        .map(|row| {
            Ok(Listed {
                id: NightId(row.id),
                state: word(NightState::parse(&row.state), "state")?,
                occasion: row.occasion()?,
                stations: planned.get(&row.id).copied().unwrap_or_default(),
            })
        })
        .collect()
}

/// Public nights, the latest first; at most so many.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn nights(
    conn: &mut SqliteConnection,
    most: i64,
) -> Result<Vec<PublicNight>, NightError> {
    let rows =
        nights_query!("ORDER BY on_date DESC, id DESC LIMIT ?", most).fetch_all(&mut *conn).await?;
    whole_of(conn, rows).await
}

/// Public nights at a site that are still to come or were today.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn ahead_at(
    conn: &mut SqliteConnection,
    site: SiteId,
    today: Date,
) -> Result<Vec<PublicNight>, NightError> {
    let today = today.to_string();
    let rows = nights_query!(
        "WHERE site_id = ?1 AND on_date >= ?2 AND state IN ('draft', 'announced')
         ORDER BY on_date, id",
        site.0,
        today
    )
    .fetch_all(&mut *conn)
    .await?;
    whole_of(conn, rows).await
}

async fn whole_of(
    conn: &mut SqliteConnection,
    rows: Vec<Row>,
) -> Result<Vec<PublicNight>, NightError> {
    let mut all = Vec::new();
    for row in rows {
        all.push(row.whole(conn).await?);
    }
    Ok(all)
}

/// Adds a public night without helpers and stations, as a draft.
///
/// # Errors
/// The database refused.
pub async fn add(tx: &mut WriteTx, occasion: &Occasion, now: i64) -> Result<NightId, NightError> {
    // Everything but the name is written by the one statement that changes it, so that the two
    // can't differ.
    let date = occasion.date.to_string();
    let name = occasion.name.as_str();
    let id = sqlx::query_scalar!(
        "INSERT INTO public_night (name, on_date, starts, ends, setting, kind, visitors, children,
                                   wheelchairs, stations, power, lighting, created_at)
         VALUES (?, ?, '20:00', '22:00', 'outdoors', 'evening', 0, 0, 0, 1, 'none', 'dark', ?)
         RETURNING id AS \"id!\"",
        name,
        date,
        now
    )
    .fetch_one(&mut **tx)
    .await?;
    put_occasion(tx, NightId(id), occasion).await?;
    Ok(NightId(id))
}

async fn put_occasion(
    tx: &mut WriteTx,
    id: NightId,
    occasion: &Occasion,
) -> Result<(), NightError> {
    let clock = |time: Time| time.strftime("%H:%M").to_string();
    let (name, date) = (occasion.name.as_str(), occasion.date.to_string());
    let (starts, ends) = (clock(occasion.starts), clock(occasion.ends));
    let site = occasion.site.map(|site| site.0);
    let (setting, kind) = (occasion.setting.as_str(), occasion.purpose.as_str());
    let (power, lighting) = (occasion.power.as_str(), occasion.lighting.as_str());
    let rain = occasion.rain_date.map(|date| date.to_string());
    let notes = occasion.notes.as_str();
    sqlx::query!(
        "UPDATE public_night
         SET name = ?2, on_date = ?3, starts = ?4, ends = ?5, site_id = ?6, setting = ?7, kind = ?8,
             visitors = ?9, children = ?10, wheelchairs = ?11, stations = ?12, power = ?13,
             lighting = ?14, rain_date = ?15, notes = ?16
         WHERE id = ?1",
        id.0,
        name,
        date,
        starts,
        ends,
        site,
        setting,
        kind,
        occasion.visitors,
        occasion.children,
        occasion.wheelchairs,
        occasion.stations,
        power,
        lighting,
        rain,
        notes
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

/// Writes all of a public night whose reader saw its version, with the gate's leave.
///
/// # Errors
/// It was changed meanwhile, or the database refused; then drop the transaction.
pub async fn put(tx: &mut WriteTx, night: &PublicNight, _: Cleared) -> Result<(), NightError> {
    let told = serde_json::to_string(&night.told).map_err(unreadable)?;
    let (state, reservation) = (night.state.as_str(), night.reservation.map(|one| one.0));
    let done = sqlx::query!(
        "UPDATE public_night SET state = ?, slug = ?, reservation_id = ?, told = ?,
                version = version + 1
         WHERE id = ? AND version = ?",
        state,
        night.slug,
        reservation,
        told,
        night.id.0,
        night.version
    )
    .execute(&mut **tx)
    .await?;
    if done.rows_affected() != 1 {
        return Err(NightError::Stale);
    }
    // Stations go before and come after, so that the last line before the Sun sees either the old
    // night or the new one, never half of each.
    station_store::clear(tx, night.id).await?;
    put_occasion(tx, night.id, &night.occasion).await?;
    helper_store::put(tx, night).await?;
    station_store::put(tx, night.id, &night.stations).await
}

/// What the club lets a public night come before.
///
/// # Errors
/// The database could not answer.
pub async fn priority(conn: &mut SqliteConnection) -> Result<Priority, NightError> {
    let row = sqlx::query!(
        "SELECT ahead_nights, before_requests, version FROM public_night_rule WHERE id = 1"
    )
    .fetch_one(conn)
    .await?;
    Ok(Priority {
        ahead_nights: i32::try_from(row.ahead_nights).map_err(unreadable)?,
        before_requests: row.before_requests != 0,
        version: row.version,
    })
}

/// Says what the club lets a public night come before, where it stands as it was read; answers
/// whether it did.
///
/// # Errors
/// The database refused.
pub async fn put_priority(tx: &mut WriteTx, priority: &Priority) -> Result<bool, NightError> {
    let done = sqlx::query!(
        "UPDATE public_night_rule SET ahead_nights = ?, before_requests = ?, version = version + 1
         WHERE id = 1 AND version = ?",
        priority.ahead_nights,
        priority.before_requests,
        priority.version
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() == 1)
}

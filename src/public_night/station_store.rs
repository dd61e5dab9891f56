//! The stations of a public night in the database.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::aim::Aim;
use super::model::{Finder, NightId, Part, Station};
use super::store::{NightError, unreadable};
use crate::shelf::ItemId;
use crate::store::WriteTx;

/// The stations of a night, by number, with so many half hours.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub(super) async fn stations(
    conn: &mut SqliteConnection,
    night: NightId,
    slots: usize,
) -> Result<Vec<Station>, NightError> {
    let rows = sqlx::query!(
        "SELECT number AS \"number!\", helper, finder, by_hand, why FROM public_night_station
         WHERE night_id = ? ORDER BY number",
        night.0
    )
    .fetch_all(&mut *conn)
    .await?;
    let pieces = sqlx::query!(
        "SELECT number, item_id, part FROM public_night_piece WHERE night_id = ?",
        night.0
    )
    .fetch_all(&mut *conn)
    .await?;
    let aims = sqlx::query!(
        "SELECT number, slot, target FROM public_night_aim WHERE night_id = ?",
        night.0
    )
    .fetch_all(conn)
    .await?;
    let mut parts: BTreeMap<(i64, Part), ItemId> = BTreeMap::new();
    for piece in pieces {
        let part = Part::parse(&piece.part).ok_or_else(|| unreadable("a part of a station"))?;
        parts.insert((piece.number, part), ItemId(piece.item_id));
    }
    rows.into_iter()
        .map(|row| {
            let part = |part: Part| parts.get(&(row.number, part)).copied();
            let telescope = part(Part::Telescope)
                .ok_or_else(|| unreadable(format!("station {} has no telescope", row.number)))?;
            let mut shown: Vec<Option<Aim>> = vec![None; slots];
            for aim in aims.iter().filter(|aim| aim.number == row.number) {
                let slot = usize::try_from(aim.slot).map_err(unreadable)?;
                // What an earlier version of the objects' table had and this one lacks is left out.
                if let (Some(place), Ok(read)) = (shown.get_mut(slot), aim.target.parse()) {
                    *place = Some(read);
                }
            }
            Ok(Station {
                number: row.number,
                telescope,
                eyepiece: part(Part::Eyepiece),
                spare: part(Part::Spare),
                filter: part(Part::Filter),
                helper: row.helper,
                finder: Finder::parse(&row.finder).ok_or_else(|| unreadable("a finder"))?,
                aims: shown,
                why: serde_json::from_str(&row.why).map_err(unreadable)?,
                by_hand: row.by_hand != 0,
            })
        })
        .collect()
}

/// How many stations these nights have, given as a JSON list of numbers; nights without any are left
/// out.
///
/// # Errors
/// The database could not answer.
pub(super) async fn how_many(
    conn: &mut SqliteConnection,
    nights: &str,
) -> Result<BTreeMap<i64, usize>, NightError> {
    let rows = sqlx::query!(
        "SELECT night_id AS \"night_id!\", count(*) AS \"stations!: i64\" FROM public_night_station
         WHERE night_id IN (SELECT value FROM json_each(?)) GROUP BY night_id",
        nights
    )
    .fetch_all(conn)
    .await?;
    let count = |number: i64| usize::try_from(number).unwrap_or_default();
    Ok(rows.into_iter().map(|row| (row.night_id, count(row.stations))).collect())
}

/// Takes every station of a night away. What they show goes first: the last line before the Sun
/// keeps a filter where the Sun is shown.
pub(super) async fn clear(tx: &mut WriteTx, night: NightId) -> Result<(), NightError> {
    sqlx::query!("DELETE FROM public_night_aim WHERE night_id = ?", night.0)
        .execute(&mut **tx)
        .await?;
    sqlx::query!("DELETE FROM public_night_station WHERE night_id = ?", night.0)
        .execute(&mut **tx)
        .await?;
    Ok(())
}

/// Writes the stations of a night that has none.
pub(super) async fn put(
    tx: &mut WriteTx,
    night: NightId,
    stations: &[Station],
) -> Result<(), NightError> {
    for station in stations {
        let (finder, by_hand) = (station.finder.as_str(), i64::from(station.by_hand));
        let why = serde_json::to_string(&station.why).map_err(unreadable)?;
        sqlx::query!(
            "INSERT INTO public_night_station (night_id, number, helper, finder, by_hand, why)
             VALUES (?, ?, ?, ?, ?, ?)",
            night.0,
            station.number,
            station.helper,
            finder,
            by_hand,
            why
        )
        .execute(&mut **tx)
        .await?;
        for (part, item) in station.pieces() {
            let part = part.as_str();
            sqlx::query!(
                "INSERT INTO public_night_piece (night_id, item_id, number, part)
                 VALUES (?, ?, ?, ?)",
                night.0,
                item.0,
                station.number,
                part
            )
            .execute(&mut **tx)
            .await?;
        }
        for (slot, aim) in station.aims.iter().enumerate() {
            let Some(aim) = aim else { continue };
            let (slot, target) = (i64::try_from(slot).map_err(unreadable)?, aim.code());
            sqlx::query!(
                "INSERT INTO public_night_aim (night_id, number, slot, target) VALUES (?, ?, ?, ?)",
                night.0,
                station.number,
                slot,
                target
            )
            .execute(&mut **tx)
            .await?;
        }
    }
    Ok(())
}

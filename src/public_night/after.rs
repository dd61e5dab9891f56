//! Looking back on a public night: what was counted, and what that says about the next. Pure, but
//! for its rows at the end.

use std::collections::BTreeMap;

use sqlx::SqliteConnection;

use super::model::{NightId, PublicNight};
use super::store::{NightError, unreadable};
use crate::shelf::ItemId;
use crate::store::WriteTx;
use crate::web::format;

/// Waiting longer than this is long for a family, minutes (common practice, no source).
const LONG_WAIT_MIN: f64 = 15.0;

/// What was noted after a public night.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Afterwards {
    /// How many came.
    pub visitors: u32,
    /// How many looked, station by station.
    pub counted: BTreeMap<i64, u32>,
    /// The longest wait that somebody noticed, minutes.
    pub longest_wait_min: Option<u32>,
    /// What worked.
    pub worked: String,
    /// What would be better.
    pub better: String,
    /// What broke, with what was seen.
    pub broke: BTreeMap<ItemId, String>,
}

/// What the night says about the next one; each sentence from its figures.
#[must_use]
pub fn suggestions(night: &PublicNight, after: &Afterwards) -> Vec<String> {
    let mut says = Vec::new();
    let expected = night.occasion.visitors;
    let came = after.visitors;
    if expected > 0 && came > 0 {
        let share = f64::from(came) / f64::from(expected);
        if share >= 1.25 {
            says.push(format!(
                "{came} came where {expected} were expected: plan the next for {came}."
            ));
        } else if share <= 0.75 {
            says.push(format!(
                "{came} came where {expected} were expected: fewer stations and helpers would have done, or tell more people earlier."
            ));
        }
    }
    if let Some(wait) = after.longest_wait_min.map(f64::from).filter(|wait| *wait > LONG_WAIT_MIN) {
        let stations = night.stations.len().max(1);
        // With the same crowd, the wait is shared by all stations.
        let needed = (stations as f64 * wait / LONG_WAIT_MIN).ceil() as usize;
        says.push(format!(
            "The longest wait was {wait:.0} minutes with {}: for a quarter of an hour at most, the same crowd needs {}.",
            format::count(stations, "station", "stations"),
            format::count(needed.max(stations + 1), "station", "stations"),
        ));
    }
    let counted: Vec<u32> = after.counted.values().copied().collect();
    let sum: u32 = counted.iter().sum();
    if counted.len() >= 2 && sum > 0 {
        let fair = f64::from(sum) / counted.len() as f64;
        for (number, looks) in &after.counted {
            if f64::from(*looks) < fair / 2.0 {
                says.push(format!(
                    "Station {number} was looked through {looks} times, less than half of its share: stand it nearer to the way in, or let it show something brighter."
                ));
            } else if f64::from(*looks) > fair * 1.75 {
                says.push(format!(
                    "Station {number} drew {looks} looks, far more than its share: give what it showed two stations."
                ));
            }
        }
    }
    if sum > 0 && came > 0 {
        let each = f64::from(sum) / f64::from(came);
        if each < 1.0 {
            says.push(format!(
                "There were {sum} looks for {came} visitors, so some saw nothing: more stations, or a longer evening."
            ));
        }
    }
    for item in after.broke.keys() {
        if night.stations.iter().any(|one| one.telescope == *item) {
            says.push("A telescope broke: keep one set in reserve in a car.".to_owned());
            break;
        }
    }
    if says.is_empty() && came > 0 {
        says.push("Nothing stands out: do it like this again.".to_owned());
    }
    says
}

/// What was noted after a night; none where nothing was.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn afterwards(
    conn: &mut SqliteConnection,
    night: NightId,
) -> Result<Option<Afterwards>, NightError> {
    let row = sqlx::query!(
        "SELECT visitors, longest_wait_min, worked, better FROM public_night_after
         WHERE night_id = ?",
        night.0
    )
    .fetch_optional(&mut *conn)
    .await?;
    let Some(row) = row else { return Ok(None) };
    let counts =
        sqlx::query!("SELECT number, visitors FROM public_night_count WHERE night_id = ?", night.0)
            .fetch_all(&mut *conn)
            .await?;
    let broke =
        sqlx::query!("SELECT item_id, finding FROM public_night_broke WHERE night_id = ?", night.0)
            .fetch_all(conn)
            .await?;
    let small = |number: i64| u32::try_from(number).map_err(unreadable);
    Ok(Some(Afterwards {
        visitors: small(row.visitors)?,
        counted: counts
            .into_iter()
            .map(|one| Ok((one.number, small(one.visitors)?)))
            .collect::<Result<_, NightError>>()?,
        longest_wait_min: row.longest_wait_min.map(small).transpose()?,
        worked: row.worked,
        better: row.better,
        broke: broke.into_iter().map(|one| (ItemId(one.item_id), one.finding)).collect(),
    }))
}

/// Writes down what was noted, in place of what was noted before. What broke stays noted.
///
/// # Errors
/// The database refused.
pub async fn put(
    tx: &mut WriteTx,
    night: NightId,
    after: &Afterwards,
    now: i64,
) -> Result<(), NightError> {
    let (worked, better) = (&*after.worked, &*after.better);
    sqlx::query!(
        "INSERT INTO public_night_after
            (night_id, visitors, longest_wait_min, worked, better, written_at)
         VALUES (?, ?, ?, ?, ?, ?)
         ON CONFLICT (night_id) DO UPDATE SET visitors = excluded.visitors,
            longest_wait_min = excluded.longest_wait_min, worked = excluded.worked,
            better = excluded.better, written_at = excluded.written_at",
        night.0,
        after.visitors,
        after.longest_wait_min,
        worked,
        better,
        now
    )
    .execute(&mut **tx)
    .await?;
    sqlx::query!("DELETE FROM public_night_count WHERE night_id = ?", night.0)
        .execute(&mut **tx)
        .await?;
    for (number, visitors) in &after.counted {
        sqlx::query!(
            "INSERT INTO public_night_count (night_id, number, visitors) VALUES (?, ?, ?)",
            night.0,
            number,
            visitors
        )
        .execute(&mut **tx)
        .await?;
    }
    for (item, finding) in &after.broke {
        sqlx::query!(
            "INSERT INTO public_night_broke (night_id, item_id, finding) VALUES (?, ?, ?)
             ON CONFLICT (night_id, item_id) DO UPDATE SET finding = excluded.finding",
            night.0,
            item.0,
            finding
        )
        .execute(&mut **tx)
        .await?;
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::public_night::model::{Occasion, Station};

    fn night(expected: u32, stations: i64) -> PublicNight {
        let mut night = crate::public_night::model::sample();
        night.occasion = Occasion { visitors: expected, ..night.occasion };
        night.stations = (1..=stations).map(|at| Station::with(at, ItemId(at))).collect();
        night
    }

    fn after(visitors: u32, wait: Option<u32>, counted: &[u32]) -> Afterwards {
        let counted = (1..).zip(counted.iter().copied()).collect();
        Afterwards { visitors, longest_wait_min: wait, counted, ..Afterwards::default() }
    }

    #[test]
    fn each_suggestion_comes_from_its_figures() {
        let says = |night: &PublicNight, after: &Afterwards| suggestions(night, after).join(" ");
        let fine = says(&night(90, 3), &after(92, Some(9), &[70, 65, 72]));
        assert_eq!(fine, "Nothing stands out: do it like this again.");
        let crowd = says(&night(90, 3), &after(150, Some(30), &[70, 65, 72]));
        assert!(
            crowd.contains("150 came where 90") && crowd.contains("needs six stations"),
            "{crowd}"
        );
        let few = says(&night(90, 3), &after(40, None, &[]));
        assert!(few.contains("fewer stations"), "{few}");
        let uneven = says(&night(90, 3), &after(90, None, &[150, 90, 20]));
        assert!(uneven.contains("Station 3") && !uneven.contains("Station 2"), "{uneven}");
        let drawn = says(&night(90, 3), &after(90, None, &[200, 60, 60]));
        assert!(drawn.contains("Station 1 drew 200"), "{drawn}");
        let hungry = says(&night(90, 3), &after(90, None, &[25, 20, 22]));
        assert!(hungry.contains("67 looks for 90 visitors"), "{hungry}");
    }
}

//! Places where the club observes.

use sqlx::SqliteConnection;

use crate::club::Zone;
use crate::optics::quantity::{no_hint, quantity};
use crate::sheet::Name;
use crate::sky::{Height, Latitude, Longitude, Site};
use crate::store::WriteTx;

quantity! {
    /// Brightness of the moonless zenith, 14–22.5 V magnitudes per square arcsecond: 18 over a
    /// town, 21.5 far from all light.
    SkyBrightness, mag, "sky brightness", "magnitudes per square arcsecond", 14.0..=22.5, no_hint
}

/// A place where the club observes.
#[derive(Debug, Clone, PartialEq)]
pub struct ObservingSite {
    /// What it is called.
    pub name: Name,
    /// Where it is.
    pub place: Site,
    /// Whose clocks count there.
    pub zone: Zone,
    /// How dark it is.
    pub sky: SkyBrightness,
}

/// Why sites could not be read.
#[derive(Debug, thiserror::Error)]
pub enum SiteError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The stored row makes no sense.
    #[error("An observing site can't be read from the database: {0}")]
    Unreadable(String),
}

fn unreadable(why: impl std::fmt::Display) -> SiteError {
    SiteError::Unreadable(why.to_string())
}

/// The site where the club usually observes, once somebody has entered it.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn main_site(conn: &mut SqliteConnection) -> Result<Option<ObservingSite>, SiteError> {
    let row = sqlx::query!(
        "SELECT name, latitude_deg, longitude_deg, height_m, time_zone, sky_brightness
         FROM site WHERE is_main = 1"
    )
    .fetch_optional(conn)
    .await?;
    row.map(|row| {
        Ok(ObservingSite {
            name: Name::new(&row.name).map_err(unreadable)?,
            place: Site {
                latitude: Latitude::new(row.latitude_deg).map_err(unreadable)?,
                longitude: Longitude::new(row.longitude_deg).map_err(unreadable)?,
                height: Height::new(row.height_m).map_err(unreadable)?,
            },
            zone: Zone::new(&row.time_zone).map_err(unreadable)?,
            sky: SkyBrightness::new(row.sky_brightness).map_err(unreadable)?,
        })
    })
    .transpose()
}

/// Whether a site is where the club usually observes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Usually {
    /// It is.
    Here,
    /// It is one of the others.
    Elsewhere,
}

/// Adds a site.
///
/// # Errors
/// The database refused: there is one of this name, or another main site.
pub async fn add_site(
    tx: &mut WriteTx,
    site: &ObservingSite,
    usually: Usually,
) -> Result<(), SiteError> {
    let (name, zone) = (site.name.as_str(), site.zone.name());
    let (latitude, longitude) = (site.place.latitude.deg(), site.place.longitude.deg());
    let (height, sky) = (site.place.height.m(), site.sky.mag());
    let is_main = i64::from(usually == Usually::Here);
    sqlx::query!(
        "INSERT INTO site
             (name, latitude_deg, longitude_deg, height_m, time_zone, sky_brightness, is_main)
         VALUES (?, ?, ?, ?, ?, ?, ?)",
        name,
        latitude,
        longitude,
        height,
        zone,
        sky,
        is_main
    )
    .execute(&mut **tx)
    .await?;
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    fn meadow(name: &str) -> ObservingSite {
        ObservingSite {
            name: Name::new(name).unwrap(),
            place: Site {
                latitude: Latitude::new(52.31).unwrap(),
                longitude: Longitude::new(-2.12).unwrap(),
                height: Height::new(110.0).unwrap(),
            },
            zone: Zone::new("Europe/London").unwrap(),
            sky: SkyBrightness::new(20.6).unwrap(),
        }
    }

    #[tokio::test]
    async fn the_main_site_comes_back_as_it_was_written_and_there_is_only_one() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        add_site(&mut tx, &meadow("The far field"), Usually::Elsewhere).await.unwrap();
        assert_eq!(main_site(&mut tx).await.unwrap(), None);
        add_site(&mut tx, &meadow("The meadow"), Usually::Here).await.unwrap();
        assert_eq!(main_site(&mut tx).await.unwrap(), Some(meadow("The meadow")));
        assert!(add_site(&mut tx, &meadow("Another"), Usually::Here).await.is_err());
        assert!(add_site(&mut tx, &meadow("The meadow"), Usually::Elsewhere).await.is_err());
    }
}

//! The club's sites in the database.

use sqlx::SqliteConnection;

pub use super::site::{KeptSite, ObservingSite, SiteId, SkyBrightness, Usually};
use crate::club::Zone;
use crate::optics::Seeing;
use crate::sheet::Name;
use crate::sky::{Height, Horizon, Latitude, Longitude, Site, Skyline};
use crate::store::{Fault, WriteTx};

/// Degrees from one direction of the skyline to the next.
const STEP_DEG: i64 = 45;

/// Most sites of one club.
pub const MOST_SITES: usize = 40;

/// Why sites could not be read or written.
#[derive(Debug, thiserror::Error)]
pub enum SiteError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The stored row makes no sense.
    #[error("An observing site can't be read from the database: {0}")]
    Unreadable(String),
    /// There is no such site.
    #[error("There is no such observing site.")]
    NotThere,
    /// Somebody else changed it meanwhile.
    #[error("This site was changed meanwhile.")]
    Stale,
    /// Another site has this name.
    #[error("Another site has this name already: choose a name that tells them apart.")]
    NameTaken,
    /// There are as many as a club may have.
    #[error("There are {MOST_SITES} sites already: remove one that nobody uses.")]
    Full,
    /// The usual site stays while there are others.
    #[error("The club usually observes here: say so of another site first, then remove this one.")]
    IsUsual,
}

fn unreadable(why: impl std::fmt::Display) -> SiteError {
    SiteError::Unreadable(why.to_string())
}

fn refused(error: sqlx::Error) -> SiteError {
    if Fault::is_taken(&error, "site.name") { SiteError::NameTaken } else { error.into() }
}

struct SiteRow {
    id: i64,
    name: String,
    latitude_deg: f64,
    longitude_deg: f64,
    height_m: f64,
    time_zone: String,
    sky_brightness: f64,
    seeing_arcsec: Option<f64>,
    is_main: i64,
    version: i64,
}

impl SiteRow {
    fn kept(self, horizon: Horizon) -> Result<KeptSite, SiteError> {
        Ok(KeptSite {
            id: SiteId(self.id),
            version: self.version,
            usually: if self.is_main == 1 { Usually::Here } else { Usually::Elsewhere },
            site: ObservingSite {
                name: Name::new(&self.name).map_err(unreadable)?,
                place: Site {
                    latitude: Latitude::new(self.latitude_deg).map_err(unreadable)?,
                    longitude: Longitude::new(self.longitude_deg).map_err(unreadable)?,
                    height: Height::new(self.height_m).map_err(unreadable)?,
                },
                zone: Zone::new(&self.time_zone).map_err(unreadable)?,
                sky: SkyBrightness::new(self.sky_brightness).map_err(unreadable)?,
                seeing: self.seeing_arcsec.map(Seeing::new).transpose().map_err(unreadable)?,
                horizon,
            },
        })
    }
}

/// Every site, the usual one first, then by name.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn sites(conn: &mut SqliteConnection) -> Result<Vec<KeptSite>, SiteError> {
    let rows = sqlx::query_as!(
        SiteRow,
        "SELECT id, name, latitude_deg, longitude_deg, height_m, time_zone, sky_brightness,
                seeing_arcsec, is_main, version
         FROM site ORDER BY is_main DESC, name"
    )
    .fetch_all(&mut *conn)
    .await?;
    let skylines =
        sqlx::query!("SELECT site_id, azimuth_deg, altitude_deg FROM site_horizon").fetch_all(conn);
    let skylines = skylines.await?;
    rows.into_iter()
        .map(|row| {
            let of_it = skylines.iter().filter(|one| one.site_id == row.id);
            let mut around = [Skyline::known(0.0); 8];
            for one in of_it {
                let at = usize::try_from(one.azimuth_deg / STEP_DEG).map_err(unreadable)?;
                let place = around.get_mut(at).ok_or_else(|| unreadable("a direction"))?;
                *place = Skyline::new(one.altitude_deg).map_err(unreadable)?;
            }
            row.kept(Horizon::new(around))
        })
        .collect()
}

/// The site of this number.
///
/// # Errors
/// There is none, the database could not answer, or a row makes no sense.
pub async fn site(conn: &mut SqliteConnection, id: SiteId) -> Result<KeptSite, SiteError> {
    sites(conn).await?.into_iter().find(|one| one.id == id).ok_or(SiteError::NotThere)
}

/// The site of this number, and without a number, or where it is gone, the usual one, once somebody
/// has entered it.
///
/// # Errors
/// The database could not answer, or a row makes no sense.
pub async fn site_or_usual(
    conn: &mut SqliteConnection,
    id: Option<SiteId>,
) -> Result<Option<KeptSite>, SiteError> {
    let all = sites(conn).await?;
    let wanted = all.iter().find(|one| Some(one.id) == id);
    let usual = all.iter().find(|one| one.usually == Usually::Here);
    Ok(wanted.or(usual).cloned())
}

/// The site where the club usually observes, once somebody has entered it.
///
/// # Errors
/// The database could not answer, or the row makes no sense.
pub async fn main_site(conn: &mut SqliteConnection) -> Result<Option<ObservingSite>, SiteError> {
    Ok(site_or_usual(conn, None).await?.map(|kept| kept.site))
}

/// Adds a site. The first one is the usual one, whatever is said.
///
/// # Errors
/// There is one of this name, there are too many, or the database refused.
pub async fn add_site(
    tx: &mut WriteTx,
    site: &ObservingSite,
    usually: Usually,
) -> Result<SiteId, SiteError> {
    let there = sites(tx).await?;
    if there.len() >= MOST_SITES {
        return Err(SiteError::Full);
    }
    let usual = usually == Usually::Here || there.is_empty();
    if usual {
        nowhere_usually(tx).await?;
    }
    let (name, zone) = (site.name.as_str(), site.zone.name());
    let (latitude, longitude) = (site.place.latitude.deg(), site.place.longitude.deg());
    let (height, sky) = (site.place.height.m(), site.sky.mag());
    let seeing = site.seeing.map(Seeing::arcsec);
    let is_main = i64::from(usual);
    let id = sqlx::query_scalar!(
        "INSERT INTO site (name, latitude_deg, longitude_deg, height_m, time_zone, sky_brightness,
                           seeing_arcsec, is_main)
         VALUES (?, ?, ?, ?, ?, ?, ?, ?) RETURNING id",
        name,
        latitude,
        longitude,
        height,
        zone,
        sky,
        seeing,
        is_main
    )
    .fetch_one(&mut **tx)
    .await
    .map_err(refused)?;
    put_skyline(tx, id, &site.horizon).await?;
    Ok(SiteId(id))
}

/// Changes a site of which the reader saw this version. The usual site stays it until another one
/// becomes it.
///
/// # Errors
/// There is none, it was changed meanwhile, another one has its name, or the database refused.
pub async fn change_site(
    tx: &mut WriteTx,
    (id, version): (SiteId, i64),
    site: &ObservingSite,
    usually: Usually,
) -> Result<(), SiteError> {
    let now = self::site(tx, id).await?;
    if now.version != version {
        return Err(SiteError::Stale);
    }
    if usually == Usually::Here {
        nowhere_usually(tx).await?;
    }
    let (name, zone) = (site.name.as_str(), site.zone.name());
    let (latitude, longitude) = (site.place.latitude.deg(), site.place.longitude.deg());
    let (height, sky) = (site.place.height.m(), site.sky.mag());
    let seeing = site.seeing.map(Seeing::arcsec);
    let is_main = i64::from(usually == Usually::Here || now.usually == Usually::Here);
    sqlx::query!(
        "UPDATE site
         SET name = ?2, latitude_deg = ?3, longitude_deg = ?4, height_m = ?5, time_zone = ?6,
             sky_brightness = ?7, seeing_arcsec = ?8, is_main = ?9, version = version + 1
         WHERE id = ?1",
        id.0,
        name,
        latitude,
        longitude,
        height,
        zone,
        sky,
        seeing,
        is_main
    )
    .execute(&mut **tx)
    .await
    .map_err(refused)?;
    put_skyline(tx, id.0, &site.horizon).await
}

/// Removes a site; the usual one only as the last.
///
/// # Errors
/// There is none, it is the usual one of several, or the database refused.
pub async fn remove_site(tx: &mut WriteTx, id: SiteId) -> Result<(), SiteError> {
    let all = sites(tx).await?;
    let one = all.iter().find(|one| one.id == id).ok_or(SiteError::NotThere)?;
    if one.usually == Usually::Here && all.len() > 1 {
        return Err(SiteError::IsUsual);
    }
    sqlx::query!("DELETE FROM site WHERE id = ?", id.0).execute(&mut **tx).await?;
    Ok(())
}

async fn nowhere_usually(tx: &mut WriteTx) -> Result<(), SiteError> {
    sqlx::query!("UPDATE site SET is_main = 0, version = version + 1 WHERE is_main = 1")
        .execute(&mut **tx)
        .await?;
    Ok(())
}

async fn put_skyline(tx: &mut WriteTx, id: i64, horizon: &Horizon) -> Result<(), SiteError> {
    sqlx::query!("DELETE FROM site_horizon WHERE site_id = ?", id).execute(&mut **tx).await?;
    for (azimuth, altitude) in (0_i64..).step_by(45).zip(horizon.around_deg()) {
        if altitude > 0.0 {
            sqlx::query!(
                "INSERT INTO site_horizon (site_id, azimuth_deg, altitude_deg) VALUES (?, ?, ?)",
                id,
                azimuth,
                altitude
            )
            .execute(&mut **tx)
            .await?;
        }
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::store::Store;

    fn meadow(name: &str) -> ObservingSite {
        let trees = [0.0, 5.0, 12.5, 0.0, 30.0, 0.0, 0.0, 80.0];
        ObservingSite {
            name: Name::new(name).unwrap(),
            place: Site {
                latitude: Latitude::new(52.31).unwrap(),
                longitude: Longitude::new(-2.12).unwrap(),
                height: Height::new(110.0).unwrap(),
            },
            zone: Zone::new("Europe/London").unwrap(),
            sky: SkyBrightness::new(20.6).unwrap(),
            horizon: Horizon::new(trees.map(|deg| Skyline::new(deg).unwrap())),
            seeing: Some(Seeing::new(2.5).unwrap()),
        }
    }

    async fn usual(tx: &mut WriteTx) -> Vec<String> {
        let all = sites(tx).await.unwrap();
        let usual = all.iter().filter(|one| one.usually == Usually::Here);
        usual.map(|one| one.site.name.to_string()).collect()
    }

    #[tokio::test]
    async fn a_site_comes_back_as_it_was_written_and_one_of_them_is_the_usual_one() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        assert_eq!(main_site(&mut tx).await.unwrap(), None);
        let far = add_site(&mut tx, &meadow("The far field"), Usually::Elsewhere).await.unwrap();
        assert_eq!(main_site(&mut tx).await.unwrap(), Some(meadow("The far field")));
        let near = add_site(&mut tx, &meadow("The meadow"), Usually::Here).await.unwrap();
        assert_eq!(usual(&mut tx).await, ["The meadow"]);
        let twice = add_site(&mut tx, &meadow("The meadow"), Usually::Elsewhere).await;
        assert!(matches!(twice, Err(SiteError::NameTaken)), "{twice:?}");

        let kept = site(&mut tx, far).await.unwrap();
        let place = (far, kept.version);
        let other =
            ObservingSite { horizon: Horizon::LEVEL, seeing: None, ..meadow("The farther field") };
        change_site(&mut tx, place, &other, Usually::Here).await.unwrap();
        assert_eq!(usual(&mut tx).await, ["The farther field"]);
        assert_eq!(site(&mut tx, far).await.unwrap().site, other);
        let late = change_site(&mut tx, place, &other, Usually::Here).await;
        assert!(matches!(late, Err(SiteError::Stale)), "{late:?}");

        let refused = remove_site(&mut tx, far).await;
        assert!(matches!(refused, Err(SiteError::IsUsual)), "{refused:?}");
        remove_site(&mut tx, near).await.unwrap();
        remove_site(&mut tx, far).await.unwrap();
        assert_eq!(main_site(&mut tx).await.unwrap(), None);
    }

    #[tokio::test]
    async fn the_database_says_the_same_of_a_skyline_and_of_the_air_as_the_types() {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let id = add_site(&mut tx, &meadow("The meadow"), Usually::Here).await.unwrap();
        for (altitude, fits) in [(0.0, true), (80.0, true), (80.1, false), (-0.1, false)] {
            assert_eq!(Skyline::new(altitude).is_ok(), fits, "{altitude}");
            let kept = sqlx::query("UPDATE site_horizon SET altitude_deg = ? WHERE site_id = ?")
                .bind(altitude)
                .bind(id.0)
                .execute(&mut *tx)
                .await;
            assert_eq!(kept.is_ok(), fits, "{altitude}");
        }
        for (seeing, fits) in [(0.2, true), (15.0, true), (0.19, false), (15.1, false)] {
            assert_eq!(Seeing::new(seeing).is_ok(), fits, "{seeing}");
            let kept = sqlx::query("UPDATE site SET seeing_arcsec = ?").bind(seeing);
            assert_eq!(kept.execute(&mut *tx).await.is_ok(), fits, "{seeing}");
        }
    }
}

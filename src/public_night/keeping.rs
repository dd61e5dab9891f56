//! The one way by which a public night is changed: it is looked at whole, the gate before the Sun
//! gives leave, everything is written, and the reservation of its pieces follows.

use jiff::civil::Date;
use sqlx::SqliteConnection;

use super::gate::{Case, Cleared, Shut, judge};
use super::hours::{Hours, Sunlight};
use super::model::{Muddle, NightState, Part, PublicNight};
use super::store::{self, NightError};
use crate::lending::machine::LineState;
use crate::lending::reading::whole;
use crate::lending::rules_store::rules;
use crate::lending::{
    self, Act, LendingError, Night, Nights, NotReserved, Origin, ReservationId, Wish, make_room,
};
use crate::observing::sites::{self, KeptSite, ObservingSite, SiteError};
use crate::people::MemberId;
use crate::shelf::{self, ItemId, Shelf, ShelfError};
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// Why a public night was not changed. Nothing of it was stored then.
#[derive(Debug, thiserror::Error)]
pub enum NotKept {
    /// Its stations don't go together.
    #[error("{}", sentences(.0))]
    Muddled(Vec<Muddle>),
    /// A piece can't play that part.
    #[error("Station {0} names something as its {1} that is no {2} on the shelf.")]
    WrongPiece(i64, &'static str, &'static str),
    /// The gate before the Sun is shut.
    #[error("{}", sentences(.0))]
    Sun(Vec<Shut>),
    /// Its pieces can't be reserved so.
    #[error(transparent)]
    Pieces(#[from] NotReserved),
    /// Its pieces are with somebody, so the plan can't have others.
    #[error(
        "The pieces of this night are handed over already: take them back first, or keep to them."
    )]
    AlreadyOut,
    /// There is nothing to reserve yet.
    #[error("There is nothing to reserve yet: make a plan first, or put a station in by hand.")]
    NoPieces,
    /// Its dates make no nights.
    #[error("{0}")]
    NoNights(String),
    /// The rooms behind it could not answer.
    #[error(transparent)]
    Failed(#[from] NightError),
    /// The sites could not answer.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// The shelf could not answer.
    #[error(transparent)]
    Shelf(#[from] ShelfError),
}

impl From<LendingError> for NotKept {
    fn from(error: LendingError) -> Self {
        Self::Pieces(error.into())
    }
}

fn sentences<T: std::fmt::Display>(parts: &[T]) -> String {
    parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(" ")
}

/// What surrounds a public night, read afresh each time.
#[derive(Debug)]
pub struct Around {
    /// Its site; none where it is gone.
    pub site: Option<ObservingSite>,
    /// Its hours.
    pub hours: Option<Hours>,
    /// The Sun in these hours.
    pub sun: Sunlight,
    /// The shelf.
    pub shelf: Shelf,
    /// Today.
    pub today: Date,
    /// How long a light test counts, months.
    pub light_test_months: i32,
}

impl Around {
    /// The telescopes on the shelf.
    #[must_use]
    pub fn scopes(&self) -> Vec<ItemId> {
        self.shelf.telescopes.iter().map(|one| one.id).collect()
    }

    /// The case that the gate looks at.
    #[must_use]
    pub fn case<'a>(&'a self, night: &'a PublicNight) -> Case<'a> {
        Case {
            night,
            hours: self.hours.as_ref(),
            sun: &self.sun,
            shelf: &self.shelf,
            today: self.today,
            light_test_months: self.light_test_months,
        }
    }
}

/// Reads what surrounds a public night.
///
/// # Errors
/// The database could not answer.
pub async fn around(
    conn: &mut SqliteConnection,
    night: &PublicNight,
    today: Date,
) -> Result<Around, NotKept> {
    let site = match night.occasion.site {
        None => None,
        Some(id) => match sites::site(conn, id).await {
            Ok(kept) => Some(kept.site),
            Err(SiteError::NotThere) => None,
            Err(other) => return Err(other.into()),
        },
    };
    let (hours, sun) = Sunlight::of(&night.occasion, site.as_ref());
    let tonight = Night::new(today).map_err(|why| NotKept::NoNights(why.to_string()))?;
    Ok(Around {
        site,
        hours,
        sun,
        shelf: shelf::shelf(conn).await?,
        today,
        light_test_months: rules(conn, tonight).await?.light_test_months,
    })
}

/// Whether the gate before the Sun is shut for each of these nights, in their order; reads of the
/// shelf only what stands in their plans.
///
/// # Errors
/// The database could not answer.
pub async fn shut(
    conn: &mut SqliteConnection,
    nights: &[PublicNight],
    sites: &[KeptSite],
    today: Date,
) -> Result<Vec<bool>, NotKept> {
    let stations = || nights.iter().flat_map(|night| &night.stations);
    let telescopes: Vec<ItemId> = stations().map(|station| station.telescope).collect();
    let filters: Vec<ItemId> = stations().filter_map(|station| station.filter).collect();
    let planned = Shelf {
        telescopes: shelf::these_telescopes(conn, &telescopes).await?,
        filters: shelf::these_filters(conn, &filters).await?,
        ..Shelf::default()
    };
    let tonight = Night::new(today).map_err(|why| NotKept::NoNights(why.to_string()))?;
    let light_test_months = rules(conn, tonight).await?.light_test_months;
    Ok(nights
        .iter()
        .map(|night| {
            let site = sites.iter().find(|kept| Some(kept.id) == night.occasion.site);
            let (hours, sun) = Sunlight::of(&night.occasion, site.map(|kept| &kept.site));
            let case = Case {
                night,
                hours: hours.as_ref(),
                sun: &sun,
                shelf: &planned,
                today,
                light_test_months,
            };
            judge(&case).is_err()
        })
        .collect())
}

/// The nights on which a public night needs its pieces.
///
/// # Errors
/// A sentence, where the calendar ends.
pub fn nights_of(night: &PublicNight) -> Result<Nights, NotKept> {
    let says = |why: &dyn std::fmt::Display| NotKept::NoNights(why.to_string());
    let (first, last) = night.occasion.evenings();
    let first = Night::new(first).map_err(|why| says(&why))?;
    let last = Night::new(last).map_err(|why| says(&why))?;
    Nights::new(first, last).map_err(|why| says(&why))
}

/// Writes a public night as it is to be. Pages, programs, imports, the planner, a changed date and
/// a moved site all end here.
///
/// # Errors
/// [`NotKept`]; then drop the transaction.
pub async fn keep(
    tx: &mut WriteTx,
    clock: &Clock,
    mut night: PublicNight,
    act: &Act,
) -> Result<PublicNight, NotKept> {
    let slots = night.occasion.slots();
    for station in &mut night.stations {
        station.aims.resize(slots, None);
    }
    let muddles = night.muddles();
    if !muddles.is_empty() {
        return Err(NotKept::Muddled(muddles));
    }
    let around = around(tx, &night, clock.today()).await?;
    check_parts(&night, &around.shelf)?;
    let cleared = look(&night, &around)?;
    let in_the_sun = around.case(&night).in_the_sun();
    follow(tx, clock, &mut night, in_the_sun, act).await?;
    store::put(tx, &night, cleared).await?;
    Ok(store::night(tx, night.id).await?)
}

/// The gate's word.
fn look(night: &PublicNight, around: &Around) -> Result<Cleared, NotKept> {
    judge(&around.case(night)).map_err(NotKept::Sun)
}

/// Whether every piece can play its part.
fn check_parts(night: &PublicNight, shelf: &Shelf) -> Result<(), NotKept> {
    for station in &night.stations {
        for (part, item) in station.pieces() {
            let (there, role, kind) = match part {
                Part::Telescope => {
                    (shelf.telescopes.iter().any(|one| one.id == item), "telescope", "telescope")
                }
                Part::Eyepiece => {
                    (shelf.eyepieces.iter().any(|one| one.id == item), "eyepiece", "eyepiece")
                }
                Part::Spare => {
                    (shelf.eyepieces.iter().any(|one| one.id == item), "spare", "eyepiece")
                }
                Part::Filter => {
                    (shelf.filters.iter().any(|one| one.id == item), "front filter", "filter")
                }
            };
            if !there {
                return Err(NotKept::WrongPiece(station.number, role, kind));
            }
        }
    }
    Ok(())
}

/// Lets the reservation follow the plan: other pieces, other nights, or for use by day.
async fn follow(
    tx: &mut WriteTx,
    clock: &Clock,
    night: &mut PublicNight,
    in_the_sun: bool,
    act: &Act,
) -> Result<(), NotKept> {
    let Some(id) = night.reservation else { return Ok(()) };
    let Some(kept) = whole(tx, id).await? else {
        night.reservation = None;
        return Ok(());
    };
    let wanted = night.pieces();
    let nights = nights_of(night)?;
    let over = night.state == NightState::Cancelled || wanted.is_empty();
    let mut has: Vec<ItemId> = kept.lines.iter().map(|line| line.item.id).collect();
    has.sort_unstable();
    let same = has == wanted && kept.nights == nights && kept.daylight == in_the_sun;
    if !kept.state.keeps_nights() {
        return Ok(());
    }
    if !kept.items(LineState::Out).is_empty() {
        let as_handed_over = has == wanted && kept.nights == nights;
        let sound = kept.daylight || !in_the_sun;
        return if as_handed_over && sound { Ok(()) } else { Err(NotKept::AlreadyOut) };
    }
    if same && !over {
        return Ok(());
    }
    lending::cancel(tx, id, act).await?;
    night.reservation = None;
    if !over {
        let made = book(tx, clock, night, kept.member, in_the_sun, act).await?;
        night.reservation = Some(made);
    }
    Ok(())
}

/// Takes every station away, so that nothing of the plan can be used.
pub fn put_away(night: &mut PublicNight) {
    night.stations.clear();
    night.told.clear();
}

/// Gives the pieces back that are reserved for a public night.
///
/// # Errors
/// [`NotKept`]; then drop the transaction.
pub async fn release(
    tx: &mut WriteTx,
    clock: &Clock,
    mut night: PublicNight,
    act: &Act,
) -> Result<PublicNight, NotKept> {
    if let Some(id) = night.reservation.take() {
        let kept = whole(tx, id).await?;
        if kept.is_some_and(|kept| kept.state.keeps_nights()) {
            lending::cancel(tx, id, act).await?;
        }
    }
    keep(tx, clock, night, act).await
}

/// Reserves the pieces of a public night: all of them for all its nights, or none.
///
/// # Errors
/// [`NotKept`]; then drop the transaction.
pub async fn reserve(
    tx: &mut WriteTx,
    clock: &Clock,
    mut night: PublicNight,
    member: MemberId,
    act: &Act,
) -> Result<PublicNight, NotKept> {
    let around = around(tx, &night, clock.today()).await?;
    let cleared = look(&night, &around)?;
    let in_the_sun = around.case(&night).in_the_sun();
    if let Some(id) = night.reservation.take() {
        let kept = whole(tx, id).await?;
        if kept.is_some_and(|kept| kept.state.keeps_nights()) {
            night.reservation = Some(id);
            return keep(tx, clock, night, act).await;
        }
    }
    night.reservation = Some(book(tx, clock, &night, member, in_the_sun, act).await?);
    store::put(tx, &night, cleared).await?;
    Ok(store::night(tx, night.id).await?)
}

async fn book(
    tx: &mut WriteTx,
    clock: &Clock,
    night: &PublicNight,
    member: MemberId,
    in_the_sun: bool,
    act: &Act,
) -> Result<ReservationId, NotKept> {
    let items = night.pieces();
    if items.is_empty() {
        return Err(NotKept::NoPieces);
    }
    let nights = nights_of(night)?;
    let priority = store::priority(tx).await?;
    if priority.before_requests {
        make_room(tx, clock, &items, nights, act).await?;
    }
    let wish = Wish {
        member,
        items,
        nights,
        origin: Origin::PublicNight { ahead_nights: priority.ahead_nights },
        asked_at: clock.now(),
        tonight: act.tonight,
        daylight: in_the_sun,
        site: night.occasion.site,
        doer: act.doer,
    };
    Ok(lending::reserve(tx, &wish).await?.id)
}

/// What stands against a site being as it would be written: public nights ahead whose telescopes
/// would stand in the Sun there. Asked in the transaction that moves or removes the site.
///
/// # Errors
/// The database could not answer.
pub async fn moved_into_the_sun(
    tx: &mut WriteTx,
    site: sites::SiteId,
    today: Date,
) -> Result<Vec<(String, Vec<Shut>)>, NotKept> {
    let mut found = Vec::new();
    for night in store::ahead_at(tx, site, today).await? {
        let around = around(tx, &night, today).await?;
        if let Err(shut) = judge(&around.case(&night)) {
            found.push((night.occasion.name.to_string(), shut));
        }
    }
    Ok(found)
}

/// What public nights are still to take place at a site.
///
/// # Errors
/// The database could not answer.
pub async fn planned_at(
    conn: &mut SqliteConnection,
    site: sites::SiteId,
    today: Date,
) -> Result<Vec<String>, NotKept> {
    let all = store::ahead_at(conn, site, today).await?;
    Ok(all.into_iter().map(|night| night.occasion.name.to_string()).collect())
}

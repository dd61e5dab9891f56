//! Reservations: what somebody has asked for, and what stands in the way.

use std::fmt;

use jiff::Timestamp;

use super::machine::Forbidden;
use super::night::{Night, Nights};
use super::rules::Broken;
use super::story::Doer;
use super::sun::Unfiltered;
use crate::observing::sites::SiteId;
use crate::people::MemberId;
use crate::shelf::{AssetTag, ItemId, ItemState};

/// Names one reservation in the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct ReservationId(pub i64);

impl fmt::Display for ReservationId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

/// How far a reservation has come. That it is overdue or at risk is worked out, never stored.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum ReservationState {
    /// Asked for; a quartermaster is to approve it.
    Requested,
    /// The items are promised.
    Confirmed,
    /// Laid out for the borrower.
    Ready,
    /// A quartermaster said no, or nobody answered in time.
    Declined,
    /// Nothing is promised any more.
    Cancelled,
    /// Nobody came to fetch it.
    NoShow,
    /// With the borrower.
    Out,
    /// Everything is back, or known to be missing.
    Closed,
}

impl ReservationState {
    /// Every state.
    pub const ALL: [Self; 8] = [
        Self::Requested,
        Self::Confirmed,
        Self::Ready,
        Self::Declined,
        Self::Cancelled,
        Self::NoShow,
        Self::Out,
        Self::Closed,
    ];

    /// The name on the wire and in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Requested => "requested",
            Self::Confirmed => "confirmed",
            Self::Ready => "ready",
            Self::Declined => "declined",
            Self::Cancelled => "cancelled",
            Self::NoShow => "no_show",
            Self::Out => "out",
            Self::Closed => "closed",
        }
    }

    /// The state as the end of "This reservation is …".
    pub const fn words(self) -> &'static str {
        match self {
            Self::Requested => "waiting for approval",
            Self::Confirmed => "confirmed",
            Self::Ready => "laid out",
            Self::Declined => "declined",
            Self::Cancelled => "cancelled",
            Self::NoShow => "over, because nobody fetched it",
            Self::Out => "out on loan",
            Self::Closed => "finished",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }

    /// Whether its items' nights are kept for it.
    pub const fn keeps_nights(self) -> bool {
        matches!(self, Self::Requested | Self::Confirmed | Self::Ready | Self::Out)
    }
}

/// Where a wish to reserve comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Origin {
    /// Somebody asks now: the items must be in service and the member active.
    Asked,
    /// A public night asks: the calendar and the closed nights count, but not the limits that
    /// members have for themselves.
    PublicNight {
        /// How far ahead the club lets a public night reserve, in nights.
        ahead_nights: i32,
    },
    /// It is copied from the club's records, which may tell of things and people since gone.
    Recorded,
}

/// A wish to reserve, not granted yet.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Wish {
    /// For whom.
    pub member: MemberId,
    /// What; an item named twice counts once.
    pub items: Vec<ItemId>,
    /// When.
    pub nights: Nights,
    /// Where the wish comes from.
    pub origin: Origin,
    /// The instant of asking.
    pub asked_at: Timestamp,
    /// Tonight, by the club's date.
    pub tonight: Night,
    /// Whether anything is to be used while the Sun is up.
    pub daylight: bool,
    /// Where it is to be used; none for where the club usually observes.
    pub site: Option<SiteId>,
    /// Who asks.
    pub doer: Doer,
}

impl Wish {
    /// The most items in one reservation.
    pub const MOST_ITEMS: usize = 100;
}

/// A reservation as the database has it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Reservation {
    /// Its number.
    pub id: ReservationId,
    /// Whose it is.
    pub member: MemberId,
    /// The nights it covers.
    pub nights: Nights,
    /// How far it has come.
    pub state: ReservationState,
    /// The items, by number.
    pub items: Vec<ItemId>,
}

/// A stretch of nights for which an item is promised. Never says to whom.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Promise {
    /// The item.
    pub item: ItemId,
    /// The promised nights, as far as they lie in the stretch that was asked about.
    pub nights: Nights,
    /// The reservation, for those who may see it; none where the club itself keeps the night.
    pub reservation: Option<ReservationId>,
}

/// An item that cannot be had on some of the wanted nights. Never says whose it is then.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Clash {
    /// The item.
    pub item: ItemId,
    /// The code on its label.
    pub tag: AssetTag,
    /// Which of the wanted nights are taken.
    pub taken: Vec<Nights>,
}

impl fmt::Display for Clash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} is taken on {}", self.tag, joined(&self.taken, " and "))
    }
}

fn joined<T: fmt::Display>(parts: &[T], between: &str) -> String {
    parts.iter().map(ToString::to_string).collect::<Vec<_>>().join(between)
}

/// Why a wish was not granted. Nothing of it was stored then.
#[derive(Debug, thiserror::Error)]
pub enum NotReserved {
    /// No item was named.
    #[error("Nothing was chosen: name at least one item.")]
    NoItems,
    /// More items than one reservation takes.
    #[error("That is {0} items, and 100 is the most: please make two reservations.")]
    TooManyItems(usize),
    /// There is no such member.
    #[error("There is no such member.")]
    NoSuchMember,
    /// The member has left the club.
    #[error("This member has left the club and can't borrow.")]
    MemberLeft,
    /// Some items are not on the shelf at all.
    #[error("There is no item with the number {}.", joined(.0, " or "))]
    NoSuchItems(Vec<ItemId>),
    /// Some items can't be lent now.
    #[error("{}: choose another.", joined(.0, "; "))]
    NotInService(Vec<NotInService>),
    /// Some items are taken on some of the nights.
    #[error("{}: choose other nights or other items.", joined(.0, "; "))]
    Clashes(Vec<Clash>),
    /// Rules of the club stand in the way.
    #[error("{}", joined(.0, " "))]
    Rules(Vec<Broken>),
    /// The gate before the Sun is shut.
    #[error("{}", joined(.0, " "))]
    Sun(Vec<Unfiltered>),
    /// The reservation does not stand where this step begins.
    #[error(transparent)]
    Forbidden(#[from] Forbidden),
    /// Something is still with somebody.
    #[error("{} still with a borrower: take it back first, or leave it out.", are(.0))]
    StillOut(Vec<AssetTag>),
    /// What a hand-over must have is not there.
    #[error("{0}")]
    Incomplete(&'static str),
    /// The database could not answer.
    #[error(transparent)]
    Failed(#[from] LendingError),
}

impl NotReserved {
    /// Whether the same pieces could be had on other nights: nothing but nights stands in the way.
    pub fn nights_help(&self) -> bool {
        match self {
            Self::Clashes(_) => true,
            Self::Rules(broken) => broken.iter().all(Broken::is_about_nights),
            _ => false,
        }
    }
}

fn are(tags: &[AssetTag]) -> String {
    format!("{} {}", joined(tags, " and "), if tags.len() == 1 { "is" } else { "are" })
}

/// An item that cannot be lent, and why.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct NotInService {
    /// The item.
    pub item: ItemId,
    /// The code on its label.
    pub tag: AssetTag,
    /// Its state.
    pub state: ItemState,
}

impl fmt::Display for NotInService {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{} {}", self.tag, self.state.words())
    }
}

/// Why the calendar could not answer.
#[derive(Debug, thiserror::Error)]
pub enum LendingError {
    /// The database answered with an error.
    #[error("the database could not answer: {0}")]
    Database(#[from] sqlx::Error),
    /// The store could not begin or finish.
    #[error(transparent)]
    Store(#[from] crate::store::StoreError),
    /// The shelf could not answer.
    #[error(transparent)]
    Shelf(#[from] crate::shelf::ShelfError),
    /// The members' list could not answer.
    #[error(transparent)]
    People(#[from] crate::people::PeopleError),
    /// A stored row makes no sense.
    #[error("{0} can't be read from the database: {1}")]
    Unreadable(String, String),
    /// A table could not be written out.
    #[error("the table could not be written: {0}")]
    Output(#[from] std::io::Error),
    /// There is no such reservation.
    #[error("There is no such reservation.")]
    NoSuchReservation,
}

impl LendingError {
    pub(super) fn unreadable(what: impl fmt::Display, why: impl fmt::Display) -> Self {
        Self::Unreadable(what.to_string(), why.to_string())
    }
}

/// Reads a night that the database keeps.
pub(super) fn stored_night(text: &str) -> Result<Night, LendingError> {
    text.parse().map_err(|why| LendingError::unreadable(format!("The night {text}"), why))
}

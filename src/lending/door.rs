//! What every door to lending shares: who acts in what part, whose reservation it is to see, and
//! the problem that a refusal stands for.

use serde_json::{Value, json};
use sqlx::SqliteConnection;

use super::keeping::Act;
use super::machine::{Forbidden, Hat};
use super::model::{LendingError, NotReserved, ReservationId};
use super::night::{Night, Nights};
use super::openings::openings;
use super::reading::{Whole, whole};
use super::rules::Broken;
use super::story::Doer;
use crate::audit::{self, Actor, Subject};
use crate::observing::sites::{self, SiteError, SiteId};
use crate::people::MemberId;
use crate::people::access::Account;
use crate::people::rights::{Deed, Role};
use crate::shelf::ItemId;
use crate::store::WriteTx;
use crate::web::clock::Clock;
use crate::web::kinds::Kind;
use crate::web::problem::{Fault, Problem};

/// Tonight at the club.
///
/// # Errors
/// The clock stands outside the club's calendar.
pub fn tonight(clock: &Clock) -> Result<Night, Problem> {
    Night::new(clock.today()).map_err(|fault| Problem::internal(&fault))
}

/// In what part this person acts on a member's reservation.
pub fn hat(account: &Account, member: MemberId) -> Hat {
    if account.member == Some(member) {
        if account.roles.include(Role::Outreach) { Hat::Lead } else { Hat::Owner }
    } else if account.roles.may(Deed::RunDesk) {
        Hat::Quartermaster
    } else {
        Hat::Stranger
    }
}

/// An act of this person on a member's reservation, now.
///
/// # Errors
/// The clock stands outside the club's calendar.
pub fn act(account: &Account, member: MemberId, clock: &Clock) -> Result<Act, Problem> {
    acting(account, hat(account, member), clock)
}

/// An act of this person at the desk, now.
///
/// # Errors
/// The clock stands outside the club's calendar.
pub fn desk_act(account: &Account, clock: &Clock) -> Result<Act, Problem> {
    let runs = account.roles.may(Deed::RunDesk);
    acting(account, if runs { Hat::Quartermaster } else { Hat::Stranger }, clock)
}

fn acting(account: &Account, hat: Hat, clock: &Clock) -> Result<Act, Problem> {
    Ok(Act {
        doer: Doer { account: Some(account.id), hat },
        at: clock.seconds(),
        tonight: tonight(clock)?,
        reason: String::new(),
    })
}

/// Whether this person may see a member's reservations.
pub fn may_see(account: &Account, member: MemberId) -> bool {
    account.member == Some(member) || account.roles.may(Deed::RunDesk)
}

/// A reservation that this person may see.
///
/// # Errors
/// 404 where it is not there or not theirs to see.
pub async fn visible(
    conn: &mut SqliteConnection,
    account: &Account,
    id: ReservationId,
) -> Result<Whole, Problem> {
    let found = whole(conn, id).await?;
    found.filter(|whole| may_see(account, whole.member)).ok_or_else(no_such_reservation)
}

/// Notes in the audit log what somebody does to another's reservation.
///
/// # Errors
/// The database refused.
pub async fn note(
    tx: &mut WriteTx,
    (account, actor): (&Account, &Actor),
    member: MemberId,
    deed: &'static str,
    id: ReservationId,
) -> Result<(), Problem> {
    if account.member != Some(member) {
        audit::note(tx, actor, deed, Subject::of("reservation", id.0), "").await?;
    }
    Ok(())
}

/// The site of this number, where one is named.
///
/// # Errors
/// 422 where the club has no such site.
pub async fn known_site(
    conn: &mut SqliteConnection,
    site: Option<i64>,
) -> Result<Option<SiteId>, Problem> {
    let Some(id) = site.map(SiteId) else { return Ok(None) };
    match sites::site(conn, id).await {
        Ok(kept) => Ok(Some(kept.id)),
        Err(SiteError::NotThere) => {
            let says = "The club has no observing site with this number.";
            Err(Problem::out_of_range(vec![Fault::at("/site", says)]))
        }
        Err(error) => Err(Problem::internal(&error)),
    }
}

/// There is no such reservation, or it is somebody else's.
pub fn no_such_reservation() -> Problem {
    Problem::not_found("There is no such reservation, or it isn't yours to see.")
        .next("Look at your own reservations and loans.")
        .way("My loans", "/mine")
}

impl From<LendingError> for Problem {
    fn from(error: LendingError) -> Self {
        match error {
            LendingError::NoSuchReservation => no_such_reservation(),
            LendingError::Store(error) => error.into(),
            other => Self::internal(&other),
        }
    }
}

impl From<NotReserved> for Problem {
    fn from(refused: NotReserved) -> Self {
        let says = refused.to_string();
        let fault = |pointer: &str| Self::out_of_range(vec![Fault::at(pointer, says.clone())]);
        match refused {
            NotReserved::Failed(error) => error.into(),
            NotReserved::NoItems
            | NotReserved::TooManyItems(_)
            | NotReserved::NoSuchItems(_)
            | NotReserved::Forbidden(Forbidden::NotInIt(_) | Forbidden::Nothing(_)) => {
                fault("/items")
            }
            NotReserved::NoSuchMember => fault("/member"),
            NotReserved::Rules(broken) => of_rules(&broken),
            NotReserved::Clashes(clashes) => {
                let faults = clashes.iter().map(|clash| Fault::at("/items", clash.to_string()));
                let told: Vec<Value> = clashes
                    .iter()
                    .map(|clash| {
                        let nights: Vec<Value> =
                            clash.taken.iter().copied().map(told_nights).collect();
                        json!({
                            "item": clash.item.0,
                            "asset_tag": clash.tag.as_str(),
                            "nights": nights,
                        })
                    })
                    .collect();
                faults
                    .fold(Self::conflict(says.clone()), Self::with)
                    .also("clashes", Value::Array(told))
                    .next("Choose other nights, or other items.")
            }
            NotReserved::Forbidden(Forbidden::NotYours(_)) => Self::not_yours(says),
            NotReserved::Forbidden(Forbidden::NotLonger) => fault("/last_night"),
            NotReserved::Sun(_) => Self::conflict(says).next(
                "Add the filter, or borrow it for the night only. Nobody can switch this off.",
            ),
            NotReserved::MemberLeft
            | NotReserved::NotInService(_)
            | NotReserved::Forbidden(_)
            | NotReserved::StillOut(_)
            | NotReserved::Incomplete(_) => {
                Self::conflict(says).next("Look at how it stands, and go on from there.")
            }
        }
    }
}

fn told_nights(nights: Nights) -> Value {
    json!({ "first_night": nights.first().to_string(), "last_night": nights.last().to_string() })
}

fn of_rules(broken: &[Broken]) -> Problem {
    let pointer = |broken: &Broken| match broken {
        Broken::Past { .. } | Broken::ClubClosed { .. } => "/first_night",
        Broken::TooLong { .. } | Broken::TooFarAhead { .. } => "/last_night",
        _ => "/items",
    };
    let dates_alone = broken.iter().all(|rule| {
        matches!(rule, Broken::Past { .. } | Broken::TooLong { .. } | Broken::TooFarAhead { .. })
    });
    let says: Vec<String> = broken.iter().map(ToString::to_string).collect();
    let rules: Vec<Value> = broken.iter().map(|rule| Value::from(rule.rule())).collect();
    let kind = if dates_alone { Kind::OutOfRange } else { Kind::Conflict };
    broken
        .iter()
        .fold(Problem::new(kind, says.join(" ")), |problem, rule| {
            problem.with(Fault::at(pointer(rule), rule.to_string()))
        })
        .also("rules", Value::Array(rules))
        .next("Choose within the club's rules, or ask the quartermaster.")
}

/// A refusal as a problem, with the nearest nights on which it would work where other nights help.
pub async fn with_openings(
    conn: &mut SqliteConnection,
    refused: NotReserved,
    items: &[ItemId],
    nights: Nights,
    tonight: Night,
) -> Problem {
    let nights_help = refused.nights_help();
    let problem = Problem::from(refused);
    if !nights_help {
        return problem;
    }
    match openings(conn, items, nights, tonight).await {
        Ok(found) if found.is_empty() => problem,
        Ok(found) => {
            let words: Vec<String> = found
                .iter()
                .map(|n| crate::web::format::nights(n.first().evening(), n.last().evening()))
                .collect();
            problem
                .also("next_nights", Value::Array(found.iter().copied().map(told_nights).collect()))
                .next(format!("It would work on {}.", words.join(", or ")))
        }
        Err(error) => error.into(),
    }
}

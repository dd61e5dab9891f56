//! The invented demo club: its files are carried in the binary and moved to the present, its
//! people get accounts that anybody who starts it can use.

mod buying;
mod dates;
mod lending;
mod phrase;
mod public_nights;
mod shelf;

use jiff::civil::Date;
use serde::Serialize;

use crate::club::exchange::{ExchangeError, Table, import_into};
use crate::club::{Club, ClubError, NoSuchZone, Zone, put_club};
use crate::observing::sites::{ObservingSite, SiteError, SkyBrightness, Usually, add_site};
use crate::optics::Seeing;
use crate::people::access::Scope;
use crate::people::account::{self, AccountError, NewAccount};
use crate::people::password::{Hasher, Password};
use crate::people::rights::{Role, Roles};
use crate::people::{MemberNumber, PeopleError, member_by_number, token};
use crate::sheet::{Name, NotTaken};
use crate::sky::{Height, Horizon, Latitude, Longitude, Site, Skyline};
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::secret::{NoRandomness, Secret};

pub use dates::{Shift, reference_friday};
pub use phrase::pass_phrase;

/// The club's name.
pub const CLUB: &str = "Windmill Hill Astronomers";
/// The club's time zone.
pub const ZONE: &str = "Europe/London";

/// The files, in the order in which they refer to each other.
const FILES: [(Table, &str); 7] = [
    (Table::Telescopes, include_str!("../demo-data/telescopes.csv")),
    (Table::Eyepieces, include_str!("../demo-data/eyepieces.csv")),
    (Table::Barlows, include_str!("../demo-data/barlows.csv")),
    (Table::Filters, include_str!("../demo-data/filters.csv")),
    (Table::Accessories, include_str!("../demo-data/accessories.csv")),
    (Table::Members, include_str!("../demo-data/members.csv")),
    (Table::Reservations, include_str!("../demo-data/reservations.csv")),
];

/// Who can sign in: eyes of many kinds among the members, and one of each role.
const PEOPLE: [(&str, Role); 10] = [
    ("M-102", Role::Member), // keeps glasses on, some astigmatism
    ("M-105", Role::Member), // young, no glasses, a measured pupil
    ("M-104", Role::Member), // over eighty, keeps glasses on
    ("M-109", Role::Member), // wants more eye relief than most
    ("M-115", Role::Member), // strong astigmatism
    ("M-124", Role::Member), // glasses stay on, and a floor of 22 mm
    ("M-130", Role::Member), // birth year not known
    ("M-101", Role::Quartermaster),
    ("M-103", Role::Outreach),
    ("M-116", Role::Admin),
];

/// Why the demo club could not be set up.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// A file of the demo club can't be taken in.
    #[error("the demo club's {table} can't be taken in: {why}")]
    File {
        /// Which.
        table: &'static str,
        /// The first fault.
        why: String,
    },
    /// A file is no CSV.
    #[error("a file of the demo club is no CSV: {0}")]
    Csv(#[from] csv::Error),
    /// A date can't be read or moved.
    #[error("a date of the demo club can't be moved: {0}")]
    Date(String),
    /// Somebody who should sign in is not among the members, or has no e-mail address.
    #[error("the demo club's {0} can't have an account: no such member, or no e-mail address")]
    Nobody(&'static str),
    /// The database could not be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The club's row could not be written.
    #[error(transparent)]
    Club(#[from] ClubError),
    /// The members' list could not answer.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// An account could not be made.
    #[error(transparent)]
    Account(#[from] AccountError),
    /// A site could not be written.
    #[error(transparent)]
    Site(#[from] SiteError),
    /// The desk's work could not be done.
    #[error("the demo club's desk could not do its work: {0}")]
    Desk(String),
    /// No randomness for passwords and tokens.
    #[error(transparent)]
    Randomness(#[from] NoRandomness),
    /// The time zone is not known.
    #[error(transparent)]
    Zone(#[from] NoSuchZone),
    /// The pass phrase could not be hashed.
    #[error("the pass phrase could not be kept: {0}")]
    Hash(String),
}

impl From<Problem> for DemoError {
    fn from(problem: Problem) -> Self {
        Self::Hash(problem.detail().to_owned())
    }
}

/// One ready sign-in.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Access {
    /// `member`, `quartermaster`, `outreach` or `admin`.
    pub role: &'static str,
    /// Whose it is.
    pub name: String,
    /// The number of the member in the API.
    pub member: i64,
    /// The address to sign in with.
    pub email: String,
    /// The password; the same for all of them, made up afresh for each demo.
    pub password: String,
    /// A bearer token for the API.
    pub token: String,
}

/// Fills an empty database with the demo club and gives the ready sign-ins.
///
/// # Errors
/// The database is not empty, or could not be used.
pub async fn fill(store: &Store, clock: &Clock) -> Result<Vec<Access>, DemoError> {
    let shift = Shift::to_the_present(clock.today())?;
    let phrase = pass_phrase()?;
    let hash = hashed(&phrase).await?;
    let mut tx = store.write().await?;
    let name = Name::new(CLUB).map_err(|error| DemoError::Date(error.to_string()))?;
    put_club(&mut tx, &Club { name, zone: Zone::new(ZONE)? }).await?;
    for (site, usually) in sites()? {
        add_site(&mut tx, &site, usually).await?;
    }
    for (table, text) in FILES {
        let moved = shift.apply(text)?;
        take_in(&mut tx, clock, table, &moved).await?;
    }
    shelf::furnish(&mut tx, clock).await?;
    let mut all = Vec::new();
    for (number, role) in PEOPLE {
        all.push(give_access(&mut tx, clock, number, role, &phrase, &hash).await?);
    }
    lending::enliven(&mut tx, clock, shift.friday()?).await?;
    public_nights::prepare(&mut tx, clock, shift.friday()?).await?;
    buying::stock_up(&mut tx).await?;
    tx.commit().await?;
    Ok(all)
}

/// Where the demo club observes: a hill beside its town, and a darker field an hour away.
fn sites() -> Result<[(ObservingSite, Usually); 2], SiteError> {
    let odd = |why: &dyn std::fmt::Display| SiteError::Unreadable(why.to_string());
    let site = |name: &str, place: [f64; 3], sky: f64, seeing: f64, trees: [f64; 8]| {
        let [latitude, longitude, height] = place;
        let mut around = [Skyline::known(0.0); 8];
        for (side, deg) in around.iter_mut().zip(trees) {
            *side = Skyline::new(deg).map_err(|why| odd(&why))?;
        }
        Ok::<_, SiteError>(ObservingSite {
            name: Name::new(name).map_err(|why| odd(&why))?,
            place: Site {
                latitude: Latitude::new(latitude).map_err(|why| odd(&why))?,
                longitude: Longitude::new(longitude).map_err(|why| odd(&why))?,
                height: Height::new(height).map_err(|why| odd(&why))?,
            },
            zone: Zone::new(ZONE).map_err(|why| odd(&why))?,
            sky: SkyBrightness::new(sky).map_err(|why| odd(&why))?,
            horizon: Horizon::new(around),
            seeing: Some(Seeing::new(seeing).map_err(|why| odd(&why))?),
        })
    };
    // The town lies in the north-east, the mill in the west, a wood behind the meadow.
    let hill = [2.0, 9.0, 6.0, 3.0, 2.0, 4.0, 14.0, 5.0];
    let wood = [24.0, 18.0, 4.0, 3.0, 3.0, 4.0, 6.0, 20.0];
    Ok([
        (site("Windmill Hill", [52.31, -2.12, 110.0], 20.0, 2.5, hill)?, Usually::Here),
        (site("Long Meadow", [52.2, -3.1, 320.0], 21.6, 2.0, wood)?, Usually::Elsewhere),
    ])
}

async fn hashed(phrase: &str) -> Result<String, DemoError> {
    let password =
        Password::choose(phrase, &[CLUB]).map_err(|weak| DemoError::Hash(weak.to_string()))?;
    Ok(Hasher::default().turn().await?.hash(password).await?)
}

async fn take_in(
    tx: &mut WriteTx,
    clock: &Clock,
    table: Table,
    bytes: &[u8],
) -> Result<(), DemoError> {
    let refused = |why: String| DemoError::File { table: table.as_str(), why };
    match import_into(tx, table, bytes, clock.now()).await {
        Ok(_) => Ok(()),
        Err(NotTaken::Refused(list)) => {
            Err(refused(list.faults.first().map(ToString::to_string).unwrap_or_default()))
        }
        Err(NotTaken::Failed(ExchangeError::Store(error))) => Err(error.into()),
        Err(NotTaken::Failed(error)) => Err(refused(error.to_string())),
    }
}

async fn give_access(
    tx: &mut WriteTx,
    clock: &Clock,
    number: &'static str,
    role: Role,
    phrase: &str,
    hash: &str,
) -> Result<Access, DemoError> {
    let nobody = || DemoError::Nobody(number);
    let member = MemberNumber::new(number).map_err(|_| nobody())?;
    let member = member_by_number(tx, &member).await?.ok_or_else(nobody)?;
    let email = member.facts.email.as_ref().ok_or_else(nobody)?;
    let name = member.facts.name.as_str();
    let roles = Roles::of([Role::Member, role]);
    let new = NewAccount { member: Some(member.id), name, email, roles: &roles };
    let id = account::add(tx, clock, &new).await?;
    account::set_password(tx, id, hash).await?;
    let token = Secret::random()?;
    token::add(tx, clock, id, "demo", &token, Scope::Write).await?;
    Ok(Access {
        role: role.as_str(),
        name: name.to_owned(),
        member: member.id.0,
        email: email.as_str().to_owned(),
        password: phrase.to_owned(),
        token: token.reveal().to_owned(),
    })
}

/// What `demo-access.json` holds.
#[derive(Clone, Debug, Serialize)]
pub struct AccessFile<'a> {
    /// The service's address.
    pub base_url: &'a str,
    /// The date the club's calendar stands at.
    pub today: Date,
    /// Every ready sign-in.
    pub accounts: &'a [Access],
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::club::check::faults;
    use jiff::civil::date;
    use jiff::tz::TimeZone;

    async fn filled(today: Date) -> (tempfile::TempDir, Store, Vec<Access>) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::system(TimeZone::UTC).set_to(today);
        let access = fill(&store, &clock).await.unwrap();
        (folder, store, access)
    }

    #[tokio::test]
    async fn the_demo_club_is_taken_in_whole_and_without_faults() {
        for today in [date(2026, 6, 5), date(2024, 2, 29), date(2031, 12, 31)] {
            let (_folder, store, access) = filled(today).await;
            assert_eq!(faults(&store).await.unwrap(), Vec::<String>::new());
            assert_eq!(access.len(), PEOPLE.len());
        }
    }

    #[tokio::test]
    async fn a_database_that_holds_a_club_already_is_left_as_it_is() {
        let (_folder, store, _) = filled(date(2026, 6, 5)).await;
        let nights = async || {
            let mut conn = store.reader().acquire().await.unwrap();
            format!("{:?}", crate::lending::reservations(&mut conn).await.unwrap())
        };
        let before = nights().await;
        let clock = Clock::system(TimeZone::UTC).set_to(date(2026, 7, 1));
        assert!(fill(&store, &clock).await.is_err());
        assert_eq!(nights().await, before);
    }

    #[tokio::test]
    async fn past_loans_say_what_is_hard_to_get_and_how_evenings_differ() {
        for today in [date(2026, 6, 5), date(2026, 6, 9), date(2031, 12, 31)] {
            let (_folder, store, _) = filled(today).await;
            let clock = Clock::system(TimeZone::UTC).set_to(today);
            let facts = crate::buying::facts::facts(&store, &clock, 40_000).await.unwrap();
            assert!(facts.weekends >= 25, "{today}: {} weekends", facts.weekends);
            let often = facts.busy.iter().filter(|one| one.weekends * 3 >= facts.weekends).count();
            let waited = facts.busy.iter().filter(|one| one.waiting > 0).count();
            assert!(often >= 3 && waited >= 2, "{today}: {:?}", facts.busy);
            let away: Vec<usize> = facts.evenings.iter().map(|one| one.scene.away.len()).collect();
            assert!(away.len() == 3 && away[0] < away[2], "{today}: {away:?}");
            let told = facts.mark();
            assert_ne!(told, crate::buying::facts::Facts { budget: 1, ..facts.clone() }.mark());
            let later = facts.today.tomorrow().unwrap();
            assert_eq!(told, crate::buying::facts::Facts { today: later, ..facts }.mark());
        }
    }

    #[tokio::test]
    async fn every_role_can_sign_in_and_several_members_can() {
        let (_folder, _store, access) = filled(date(2026, 6, 5)).await;
        let count = |role| access.iter().filter(|one| one.role == role).count();
        assert!(count("member") >= 3);
        for role in ["quartermaster", "outreach", "admin"] {
            assert_eq!(count(role), 1, "{role}");
        }
        let mut tokens: Vec<&str> = access.iter().map(|one| one.token.as_str()).collect();
        tokens.sort_unstable();
        tokens.dedup();
        assert_eq!(tokens.len(), access.len());
    }
}

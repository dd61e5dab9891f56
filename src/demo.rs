//! The invented demo club, moved to today.
//!
//! Its files are in `demo-data/`, written as of a Friday; every date moves by the same number of
//! whole weeks and every birth year by whole years, so that the demo is always fresh.

use std::collections::HashMap;

use jiff::Span;
use jiff::civil::{Date, Weekday, date};
use jiff::tz::TimeZone;

use crate::club::exchange::{self, ExchangeError, Table};
use crate::club::{self, Club, ClubError, NoSuchZone, Zone};
use crate::people::access::Scope;
use crate::people::account::{self, AccountError, NewAccount};
use crate::people::password::{Hasher, Password};
use crate::people::rights::{Role, Roles};
use crate::people::{self, MemberRecord, PeopleError, token};
use crate::sheet::{Name, NotTaken};
use crate::store::{Store, StoreError};
use crate::web::clock::Clock;
use crate::web::secret::{NoRandomness, Secret};

/// The Friday as of which the files are written.
const WRITTEN_ON: Date = date(2026, 6, 5);

/// What the demo club is called.
pub const CLUB_NAME: &str = "Windmill Hill Astronomers";

/// Where its nights begin and end.
pub const TIME_ZONE: &str = "Europe/London";

/// The password of every demo account: no secret, since it stands in the source.
pub const PASSWORD: &str = "two eyepieces and a moon";

const FILES: [(Table, &str); 6] = [
    (Table::Telescopes, include_str!("../demo-data/telescopes.csv")),
    (Table::Eyepieces, include_str!("../demo-data/eyepieces.csv")),
    (Table::Barlows, include_str!("../demo-data/barlows.csv")),
    (Table::Filters, include_str!("../demo-data/filters.csv")),
    (Table::Members, include_str!("../demo-data/members.csv")),
    (Table::Reservations, include_str!("../demo-data/reservations.csv")),
];

/// Columns that hold a date.
const DATES: [&str; 4] = ["last_light_test", "joined", "first_night", "last_night"];

/// Who can sign in: member's number and what else they are.
const PEOPLE: [(&str, Role); 8] = [
    ("M-102", Role::Member),
    ("M-103", Role::Member),
    ("M-101", Role::Member),
    ("M-108", Role::Member),
    ("M-124", Role::Member),
    ("M-106", Role::Quartermaster),
    ("M-109", Role::Outreach),
    ("M-105", Role::Admin),
];

/// A ready sign-in.
#[derive(Debug, Clone)]
pub struct DemoAccount {
    /// Its role beyond that of a member.
    pub role: Role,
    /// The person's name.
    pub name: String,
    /// The address to sign in with.
    pub email: String,
    /// A personal access token for the API.
    pub token: String,
}

/// Why the demo club could not be set up.
#[derive(Debug, thiserror::Error)]
pub enum DemoError {
    /// The database could not be used.
    #[error(transparent)]
    Store(#[from] StoreError),
    /// The club could not be stored.
    #[error(transparent)]
    Club(#[from] ClubError),
    /// The zone is not known.
    #[error(transparent)]
    Zone(#[from] NoSuchZone),
    /// A file did not come in.
    #[error("the demo club's {table} can't be used: {fault}")]
    File {
        /// Which file.
        table: &'static str,
        /// What is wrong with it.
        fault: NotTaken<ExchangeError>,
    },
    /// A file is no table, or holds a date that can't be moved.
    #[error("the demo club's {table} can't be moved to today: {fault}")]
    Moving {
        /// Which file.
        table: &'static str,
        /// What is wrong with it.
        fault: String,
    },
    /// The members could not be read.
    #[error(transparent)]
    People(#[from] PeopleError),
    /// An account could not be made.
    #[error(transparent)]
    Account(#[from] AccountError),
    /// There is no member for a sign-in.
    #[error("the demo club has no member {0} with an e-mail address")]
    NoSuchPerson(&'static str),
    /// The password was refused, or could not be hashed.
    #[error("the demo password can't be used: {0}")]
    Password(String),
    /// The system gives no random numbers.
    #[error(transparent)]
    NoRandomness(#[from] NoRandomness),
    /// The club's name can't be one.
    #[error("the demo club's name can't be used: {0}")]
    Name(String),
}

impl From<sqlx::Error> for DemoError {
    fn from(error: sqlx::Error) -> Self {
        Self::Store(error.into())
    }
}

/// The zone of the demo club.
///
/// # Errors
/// The zone is not in the time zone database that was built in.
pub fn time_zone() -> Result<TimeZone, NoSuchZone> {
    Ok(Zone::new(TIME_ZONE)?.rules().clone())
}

/// Fills an empty database with the demo club as of `clock`'s today, in one transaction, and gives
/// the accounts to sign in with.
///
/// # Errors
/// The database is not empty or can't be used, or a file is wrong.
pub async fn fill(store: &Store, clock: &Clock) -> Result<Vec<DemoAccount>, DemoError> {
    let today = clock.today();
    let mut tx = store.write().await?;
    let name = Name::new(CLUB_NAME).map_err(|error| DemoError::Name(error.to_string()))?;
    club::put_club(&mut tx, &Club { name, zone: Zone::new(TIME_ZONE)? }).await?;
    for (table, text) in FILES {
        let bytes = moved(text, today)
            .map_err(|fault| DemoError::Moving { table: table.as_str(), fault })?;
        exchange::import_into(&mut tx, table, &bytes, clock.now())
            .await
            .map_err(|fault| DemoError::File { table: table.as_str(), fault })?;
    }
    let accounts = accounts(&mut tx, clock).await?;
    tx.commit().await?;
    Ok(accounts)
}

async fn accounts(
    tx: &mut crate::store::WriteTx,
    clock: &Clock,
) -> Result<Vec<DemoAccount>, DemoError> {
    // One hash for all: the password is known to everyone anyway, and hashing is slow on purpose.
    let password = Password::choose(PASSWORD, &[CLUB_NAME])
        .map_err(|weak| DemoError::Password(weak.to_string()))?;
    let told = |problem: crate::web::problem::Problem| DemoError::Password(problem.detail().into());
    let turn = Hasher::default().turn().await.map_err(told)?;
    let hash = turn.hash(password).await.map_err(told)?;
    let members: HashMap<String, MemberRecord> = people::members(tx)
        .await?
        .into_iter()
        .map(|member| (member.facts.number.to_string(), member))
        .collect();
    let mut accounts = Vec::new();
    for (number, role) in PEOPLE {
        let member = members.get(number).ok_or(DemoError::NoSuchPerson(number))?;
        let email = member.facts.email.as_ref().ok_or(DemoError::NoSuchPerson(number))?;
        let name = member.facts.name.to_string();
        let roles = Roles::of([Role::Member, role]);
        let new = NewAccount { member: Some(member.id), name: &name, email, roles: &roles };
        let id = account::add(tx, clock, &new).await?;
        account::set_password(tx, id, &hash).await?;
        let secret = Secret::random()?;
        token::add(tx, clock, id, "demo", &secret, Scope::Write).await?;
        accounts.push(DemoAccount {
            role,
            name,
            email: email.to_string(),
            token: secret.reveal().to_owned(),
        });
    }
    Ok(accounts)
}

/// The Friday on or after a day.
fn friday_from(today: Date) -> Result<Date, jiff::Error> {
    let days = today.weekday().until(Weekday::Friday);
    today.checked_add(Span::new().days(i64::from(days)))
}

/// A file with its dates moved to the weekend that comes and its birth years to this year.
fn moved(text: &str, today: Date) -> Result<Vec<u8>, String> {
    let say = |error: &dyn std::fmt::Display| error.to_string();
    let friday = friday_from(today).map_err(|error| say(&error))?;
    let days = WRITTEN_ON.until(friday).map_err(|error| say(&error))?.get_days();
    let years = i64::from(friday.year() - WRITTEN_ON.year());
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    let header = reader.headers().map_err(|error| say(&error))?.clone();
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(&header).map_err(|error| say(&error))?;
    for record in reader.records() {
        let record = record.map_err(|error| say(&error))?;
        for (column, cell) in header.iter().zip(&record) {
            let cell = match (column, cell) {
                (_, "") => String::new(),
                (column, cell) if DATES.contains(&column) => {
                    let date: Date = cell.parse().map_err(|error: jiff::Error| say(&error))?;
                    let moved = date.checked_add(Span::new().days(days));
                    moved.map_err(|error| say(&error))?.to_string()
                }
                ("birth_year", cell) => {
                    let year: i64 =
                        cell.parse().map_err(|error: std::num::ParseIntError| say(&error))?;
                    (year + years).to_string()
                }
                (_, cell) => cell.to_owned(),
            };
            writer.write_field(cell).map_err(|error| say(&error))?;
        }
        writer.write_record(None::<&[u8]>).map_err(|error| say(&error))?;
    }
    writer.into_inner().map_err(|error| say(&error))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::lending;

    async fn club_on(today: Date) -> (tempfile::TempDir, Store, Vec<DemoAccount>) {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::system(TimeZone::UTC).pinned_to(today);
        let accounts = fill(&store, &clock).await.unwrap();
        (folder, store, accounts)
    }

    #[test]
    fn nights_keep_their_day_of_the_week_and_people_their_age() {
        // A Tuesday five years on; its Friday is 7 November 2031.
        let text = "joined,birth_year,name\n1999-05-14,1970,\"a, b\"\n,,c\n";
        let moved = String::from_utf8(moved(text, date(2031, 11, 4)).unwrap()).unwrap();
        let days = WRITTEN_ON.until(date(2031, 11, 7)).unwrap().get_days();
        let joined = date(1999, 5, 14).checked_add(Span::new().days(days)).unwrap();
        assert_eq!(moved, format!("joined,birth_year,name\n{joined},1975,\"a, b\"\n,,c\n"));
        assert_eq!(days % 7, 0);
    }

    #[tokio::test]
    async fn the_demo_club_comes_in_whole_on_any_day_of_the_week() {
        for today in [date(2026, 6, 5), date(2026, 6, 6), date(2028, 2, 29)] {
            let (_folder, store, accounts) = club_on(today).await;
            assert_eq!(accounts.len(), PEOPLE.len());
            assert!(accounts.iter().filter(|one| one.role == Role::Member).count() > 3);
            let mut conn = store.reader().acquire().await.unwrap();
            let shelf = crate::shelf::shelf(&mut conn).await.unwrap();
            assert!(shelf.telescopes.len() >= 14 && shelf.eyepieces.len() >= 70);
            assert!(people::members(&mut conn).await.unwrap().len() >= 45);
            assert!(!lending::reservations(&mut conn).await.unwrap().is_empty());
        }
    }

    #[tokio::test]
    async fn a_database_that_holds_a_club_already_is_left_as_it_is() {
        let (_folder, store, _) = club_on(date(2026, 6, 5)).await;
        let clock = Clock::system(TimeZone::UTC).pinned_to(date(2026, 7, 1));
        assert!(fill(&store, &clock).await.is_err());
    }
}

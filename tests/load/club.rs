//! Clubs of every size: the demo club, more pieces in a club's proportions, and loans of many years.

use borrowed_light::demo::{self, Access};
use borrowed_light::kit::ShelfTelescope;
use borrowed_light::people::rights::{Role, Roles};
use borrowed_light::people::session::{self, New};
use borrowed_light::people::{Email, account};
use borrowed_light::sheet::{Name, Notes};
use borrowed_light::shelf::{
    self, AssetTag, Draft, Facts, Hand, Heights, ItemState, Tabular, TelescopeFigures,
};
use borrowed_light::store::{Store, WriteTx};
use borrowed_light::web::clock::Clock;
use borrowed_light::web::secret::Secret;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use crate::shelves::OwnShelf;

/// The date at the club.
pub fn today() -> Date {
    Clock::system(TimeZone::UTC).today()
}

/// A filled data folder and who can sign in.
pub struct Club {
    pub folder: tempfile::TempDir,
    pub people: Vec<Access>,
    /// Sessions, as the browser's cookie has them.
    pub member: String,
    pub quartermaster: String,
    /// One of the many pieces that were added: its tag and its number.
    pub eyepiece: (String, i64),
    /// The number of the first of them, and how many they are.
    pub added: (i64, i64),
}

impl Club {
    pub fn person(&self, role: &str) -> &Access {
        self.people.iter().find(|one| one.role == role).unwrap()
    }

    pub async fn store(&self) -> Store {
        Store::open(&self.folder.path().join("club.sqlite")).await.unwrap()
    }

    /// A club with so many pieces and so many loans that are over.
    pub async fn with(pieces: usize, loans: i64) -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::system(TimeZone::UTC);
        let people = demo::fill(&store, &clock).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let there: i64 =
            sqlx::query_scalar("SELECT count(*) FROM item").fetch_one(&mut *tx).await.unwrap();
        let more = pieces.saturating_sub(usize::try_from(there).unwrap());
        put_more(&mut tx, more.max(10)).await;
        let eyepiece: (String, i64) = sqlx::query_as(
            "SELECT asset_tag, id FROM item WHERE kind = 'eyepiece' ORDER BY id DESC LIMIT 1",
        )
        .fetch_one(&mut *tx)
        .await
        .unwrap();
        let added: (i64, i64) =
            sqlx::query_as("SELECT min(id), count(*) FROM item WHERE asset_tag LIKE 'X-%'")
                .fetch_one(&mut *tx)
                .await
                .unwrap();
        loosen(&mut tx).await;
        put_loans(&mut tx, loans, added.0).await;
        enrol(&mut tx).await;
        let member = sign_in(&mut tx, &clock, &people, "member").await;
        let quartermaster = sign_in(&mut tx, &clock, &people, "quartermaster").await;
        tx.commit().await.unwrap();
        store.close().await;
        Self { folder, people, member, quartermaster, eyepiece, added }
    }
}

async fn put_more(tx: &mut WriteTx, more: usize) {
    let shelf = OwnShelf::club(more, 11);
    let mut number = 0;
    let mut next = |name: &str| {
        number += 1;
        Facts {
            tag: AssetTag::new(&format!("X-{number:06}")).unwrap(),
            name: Name::new(name).unwrap(),
            state: ItemState::InService,
            acquired: None,
            notes: Notes::default(),
        }
    };
    for ShelfTelescope { spec, .. } in shelf.telescopes {
        let figures = TelescopeFigures {
            optics: spec,
            mount: None,
            total_mass: None,
            heaviest_part: None,
            eyepiece_height: Heights::default(),
            helpers: None,
            tube: None,
        };
        put(tx, next("Club telescope"), figures).await;
    }
    for eyepiece in shelf.eyepieces {
        put(tx, next("Club eyepiece"), eyepiece).await;
    }
    for barlow in shelf.barlows {
        put(tx, next("Club Barlow"), barlow).await;
    }
}

async fn put<T: Tabular>(tx: &mut WriteTx, facts: Facts, figures: T) {
    shelf::add(tx, Hand::of_nobody(0), &Draft { facts, figures }).await.unwrap();
}

/// Rules that let one program write as fast as it can.
async fn loosen(tx: &mut WriteTx) {
    sqlx::query(
        "UPDATE lending_rule SET open_reservations = 50, items_at_once = 50, ahead_nights = 366",
    )
    .execute(&mut **tx)
    .await
    .unwrap();
}

/// Loans that are over: two nights each, spread over members and the pieces that were added.
async fn put_loans(tx: &mut WriteTx, loans: i64, first: i64) {
    sqlx::query(
        "CREATE TABLE wanted (n INTEGER PRIMARY KEY, item INTEGER, member INTEGER, first TEXT,
                              last TEXT) STRICT",
    )
    .execute(&mut **tx)
    .await
    .unwrap();
    sqlx::query(
        "WITH RECURSIVE counted (n) AS (
             SELECT 0 UNION ALL SELECT n + 1 FROM counted WHERE n + 1 < ?1),
         size (items, members) AS (
             SELECT (SELECT max(id) FROM item) - ?2 + 1, (SELECT count(*) FROM member))
         INSERT INTO wanted
         SELECT n, ?2 + n % items, 1 + n % members,
                date('now', '-' || (10 + 2 * (n / items)) || ' days'),
                date('now', '-' || (9 + 2 * (n / items)) || ' days')
         FROM counted, size WHERE ?1 > 0",
    )
    .bind(loans)
    .bind(first)
    .execute(&mut **tx)
    .await
    .unwrap();
    for statement in [
        "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         SELECT 1000000 + n, member, first, last, 'closed', 0 FROM wanted",
        "INSERT INTO reservation_item (reservation_id, item_id, state)
         SELECT 1000000 + n, item, 'returned' FROM wanted",
        "INSERT INTO item_night (item_id, night, kind, reservation_id)
         SELECT item, first, 'plan', 1000000 + n FROM wanted
         UNION ALL SELECT item, last, 'plan', 1000000 + n FROM wanted",
        "INSERT INTO loan (id, reservation_id, handed_at, signed_name, cautions_version)
         SELECT 1000000 + n, 1000000 + n, unixepoch(first), 'Ines', 1 FROM wanted",
        "INSERT INTO custody (loan_id, item_id, member_id, handed_at, returned_at, condition)
         SELECT 1000000 + n, item, member, unixepoch(first), unixepoch(last), 'good' FROM wanted",
        "INSERT INTO lending_event (reservation_id, at, kind, items, first_night, last_night, to_state)
         SELECT 1000000 + n, 0, 'book', '[' || item || ']', first, last, 'closed' FROM wanted",
        "DROP TABLE wanted",
        "ANALYZE",
    ] {
        sqlx::query(statement).execute(&mut **tx).await.unwrap();
    }
}

/// A second factor for who looks after the club, which `serve` asks for.
async fn enrol(tx: &mut WriteTx) {
    sqlx::query(
        "INSERT INTO second_factor (account_id, secret, made_at, confirmed_at)
         SELECT id, randomblob(20), 0, 0 FROM account WHERE true
         ON CONFLICT DO NOTHING",
    )
    .execute(&mut **tx)
    .await
    .unwrap();
}

/// Begins a session and gives the cookie.
async fn sign_in(tx: &mut WriteTx, clock: &Clock, people: &[Access], role: &str) -> String {
    let email = people.iter().find(|one| one.role == role).unwrap().email.as_str();
    let account = account::by_email(tx, &Email::new(email).unwrap()).await.unwrap().unwrap();
    let roles = Roles::of([Role::Member, Role::parse(role).unwrap()]);
    let id = Secret::random().unwrap();
    let new = New { account, roles: &roles, former: None, place: "127.0.0", browser: "load" };
    session::begin(tx, clock, &id, &new).await.unwrap();
    format!("borrowed-light={}", id.reveal())
}

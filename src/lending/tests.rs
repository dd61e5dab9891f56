//! The calendar against a real database.

use jiff::Timestamp;
use sqlx::SqliteConnection;
use tempfile::TempDir;

use super::reading::whole;
use super::*;
use crate::people::{self, MemberFacts, MemberId, MemberNumber, MemberState};
use crate::sheet::{Name, Notes};
use crate::shelf::{self, AssetTag, Draft, Facts, ItemId, ItemState};
use crate::store::{Store, WriteTx};

struct Club {
    _folder: TempDir,
    store: Store,
}

impl Club {
    async fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        Self { _folder: folder, store }
    }

    async fn write(&self) -> WriteTx {
        self.store.write().await.unwrap()
    }
}

async fn add_barlow(tx: &mut WriteTx, tag: &str, state: ItemState) -> ItemId {
    let facts = Facts {
        tag: AssetTag::new(tag).unwrap(),
        name: Name::new("2× Barlow").unwrap(),
        state,
        acquired: None,
        notes: Notes::default(),
    };
    let figures = crate::optics::Barlow::new(crate::optics::BarlowFactor::new(2.0).unwrap());
    shelf::add(tx, shelf::Hand::of_nobody(0), &Draft { facts, figures }).await.unwrap()
}

async fn add_member(tx: &mut WriteTx, number: &str, state: MemberState) -> MemberId {
    let facts = MemberFacts {
        number: MemberNumber::new(number).unwrap(),
        name: Name::new("Ines Aldous").unwrap(),
        email: None,
        joined: None,
        state,
    };
    people::add_member(tx, &facts).await.unwrap()
}

fn nights(first: &str, last: &str) -> Nights {
    Nights::parse(first, last).unwrap()
}

fn wish(member: MemberId, items: &[ItemId], nights: Nights) -> Wish {
    let asked_at = Timestamp::UNIX_EPOCH;
    let tonight = "2026-06-01".parse().unwrap();
    let (items, origin) = (items.to_vec(), Origin::Asked);
    Wish {
        member,
        items,
        nights,
        origin,
        asked_at,
        tonight,
        daylight: false,
        site: None,
        doer: OWNER,
    }
}

/// The member, through a page.
const OWNER: Doer = Doer { account: Some(1), hat: machine::Hat::Owner };

fn act() -> Act {
    Act { doer: OWNER, at: 0, tonight: "2026-06-01".parse().unwrap(), reason: String::new() }
}

async fn count(conn: &mut SqliteConnection, table: &str) -> i64 {
    let sql = format!("SELECT count(*) FROM {table}");
    sqlx::query_scalar(sqlx::AssertSqlSafe(sql)).fetch_one(conn).await.unwrap()
}

#[tokio::test]
async fn what_is_reserved_is_not_free_and_its_neighbours_are() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let one = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    let two = add_barlow(&mut tx, "B-2", ItemState::InService).await;
    let broken = add_barlow(&mut tx, "B-3", ItemState::InRepair).await;
    reserve(&mut tx, &wish(member, &[one], nights("2026-06-05", "2026-06-07"))).await.unwrap();
    for (first, last, expected) in [
        ("2026-06-03", "2026-06-04", vec![one, two]),
        ("2026-06-04", "2026-06-05", vec![two]),
        ("2026-06-06", "2026-06-06", vec![two]),
        ("2026-06-07", "2026-06-09", vec![two]),
        ("2026-06-08", "2026-06-09", vec![one, two]),
        ("2026-01-01", "2026-12-31", vec![two]),
    ] {
        let free = free_on(&mut tx, nights(first, last)).await.unwrap();
        assert_eq!(free.ids(), expected, "{first} to {last}");
    }
    let asked = [one, two, broken];
    let free = free_items(&mut tx, &asked, nights("2026-06-05", "2026-06-05")).await.unwrap();
    assert_eq!(free, [two, broken].into());
}

#[tokio::test]
async fn a_clash_names_items_and_nights_and_leaves_nothing_behind() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let one = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    let two = add_barlow(&mut tx, "B-2", ItemState::InService).await;
    reserve(&mut tx, &wish(member, &[one], nights("2026-06-05", "2026-06-06"))).await.unwrap();
    reserve(&mut tx, &wish(member, &[one], nights("2026-06-09", "2026-06-09"))).await.unwrap();
    let refused = reserve(&mut tx, &wish(member, &[two, one], nights("2026-06-06", "2026-06-10")))
        .await
        .unwrap_err();
    assert_eq!(
        refused.to_string(),
        "B-1 is taken on 2026-06-06 and 2026-06-09: choose other nights or other items."
    );
    assert_eq!(count(&mut tx, "reservation").await, 2);
    assert_eq!(count(&mut tx, "reservation_item").await, 2);
    assert_eq!(count(&mut tx, "item_night").await, 3);
    let whole = nights("2026-06-06", "2026-06-10");
    let found: Vec<(ItemId, Nights)> = promises(&mut tx, &[one, two], whole)
        .await
        .unwrap()
        .into_iter()
        .map(|promise| (promise.item, promise.nights))
        .collect();
    let expected =
        [(one, nights("2026-06-06", "2026-06-06")), (one, nights("2026-06-09", "2026-06-09"))];
    assert_eq!(found, expected);
}

#[tokio::test]
async fn the_database_itself_refuses_a_second_promise_for_one_night() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let one = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    let first = nights("2026-06-05", "2026-06-05");
    let id = reserve(&mut tx, &wish(member, &[one], first)).await.unwrap().id;
    let error = sqlx::query(
        "INSERT INTO item_night (item_id, night, reservation_id) VALUES (?, '2026-06-05', ?)",
    )
    .bind(one.0)
    .bind(id.0)
    .execute(&mut *tx)
    .await
    .unwrap_err();
    assert!(crate::store::Fault::is_taken(&error, "item_night.item_id"));
}

#[tokio::test]
async fn a_cancelled_reservation_frees_its_nights_and_stays_readable() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let one = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    let weekend = nights("2026-06-05", "2026-06-07");
    let id = reserve(&mut tx, &wish(member, &[one, one], weekend)).await.unwrap().id;
    cancel(&mut tx, id, &act()).await.unwrap();
    let again = cancel(&mut tx, id, &act()).await.unwrap_err();
    assert_eq!(again.to_string(), "This reservation is cancelled and can't be cancelled.");
    reserve(&mut tx, &wish(member, &[one], weekend)).await.unwrap();
    let all = reservations(&mut tx).await.unwrap();
    assert_eq!(all.len(), 2);
    assert_eq!(all[0].state, ReservationState::Cancelled);
    assert_eq!((all[0].items.as_slice(), all[0].nights), ([one].as_slice(), weekend));
    assert!(matches!(
        cancel(&mut tx, ReservationId(99), &act()).await,
        Err(NotReserved::Failed(LendingError::NoSuchReservation))
    ));
}

#[tokio::test]
async fn what_cannot_be_lent_is_refused_with_its_reason() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let gone = add_member(&mut tx, "M-2", MemberState::Left).await;
    let good = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    let broken = add_barlow(&mut tx, "B-2", ItemState::InRepair).await;
    let lost = add_barlow(&mut tx, "B-3", ItemState::Missing).await;
    let weekend = nights("2026-06-05", "2026-06-07");
    let stranger = MemberId(77);
    let many: Vec<ItemId> = (1..=101).map(ItemId).collect();
    let cases: [(MemberId, &[ItemId], &str); 6] = [
        (member, &[], "Nothing was chosen: name at least one item."),
        (member, &many, "That is 101 items, and 100 is the most: please make two reservations."),
        (member, &[good, broken, lost], "B-2 is in repair; B-3 is missing: choose another."),
        (member, &[good, ItemId(98), ItemId(99)], "There is no item with the number 98 or 99."),
        (gone, &[good], "This member has left the club and can't borrow."),
        (stranger, &[good], "There is no such member."),
    ];
    for (who, what, says) in cases {
        let refused = reserve(&mut tx, &wish(who, what, weekend)).await.unwrap_err();
        assert_eq!(refused.to_string(), says);
    }
    assert_eq!(count(&mut tx, "reservation").await, 0);
    let recorded = Wish { origin: Origin::Recorded, ..wish(gone, &[good, broken], weekend) };
    assert!(reserve(&mut tx, &recorded).await.is_ok());
}

#[tokio::test(flavor = "multi_thread")]
async fn of_many_who_ask_at_once_one_gets_it() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let one = add_barlow(&mut tx, "B-1", ItemState::InService).await;
    tx.commit().await.unwrap();
    let weekend = nights("2026-06-05", "2026-06-07");
    let asking: Vec<_> = (0..32)
        .map(|_| {
            let store = club.store.clone();
            tokio::spawn(async move {
                let mut tx = store.write().await.unwrap();
                let outcome = reserve(&mut tx, &wish(member, &[one], weekend)).await;
                tx.commit().await.unwrap();
                outcome
            })
        })
        .collect();
    let mut granted = 0;
    for asked in asking {
        match asked.await.unwrap() {
            Ok(_) => granted += 1,
            Err(NotReserved::Clashes(_)) => {}
            Err(other) => panic!("{other}"),
        }
    }
    assert_eq!(granted, 1);
    let mut tx = club.write().await;
    assert_eq!(count(&mut tx, "item_night").await, 3);
}

/// A small generator of even numbers without a pattern; the same ones on every run.
struct Dice(u64);

impl Dice {
    fn below(&mut self, sides: u64) -> u64 {
        // Constants of Knuth's MMIX generator; the high bits are the good ones. From memory.
        self.0 =
            self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) % sides
    }

    fn nights(&mut self) -> Nights {
        let start: Night = "2026-06-01".parse().unwrap();
        let first = start.later(i32::try_from(self.below(60)).unwrap()).unwrap();
        let last = first.later(i32::try_from(self.below(6)).unwrap()).unwrap();
        Nights::new(first, last).unwrap()
    }
}

#[tokio::test]
async fn the_calendar_agrees_with_a_naive_one() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    let member = add_member(&mut tx, "M-1", MemberState::Active).await;
    let mut items = Vec::new();
    for n in 0..8 {
        items.push(add_barlow(&mut tx, &format!("B-{n}"), ItemState::InService).await);
    }
    let mut dice = Dice(7);
    let mut granted: Vec<(ReservationId, Vec<ItemId>, Nights)> = Vec::new();
    let (mut refusals, mut cancellations) = (0, 0);
    let meets = |one: Nights, two: Nights| one.iter().any(|night| two.contains(night));
    for _ in 0..400 {
        if dice.below(4) == 0 && !granted.is_empty() {
            let place = usize::try_from(dice.below(granted.len() as u64)).unwrap();
            cancel(&mut tx, granted.swap_remove(place).0, &act()).await.unwrap();
            cancellations += 1;
            continue;
        }
        let nights = dice.nights();
        let taken = |item: ItemId| {
            granted.iter().any(|(_, theirs, when)| theirs.contains(&item) && meets(*when, nights))
        };
        let free = free_items(&mut tx, &items, nights).await.unwrap();
        let expected = items.iter().copied().filter(|item| !taken(*item)).collect();
        assert_eq!(free, expected, "{nights}");
        let wanted: Vec<ItemId> = items.iter().copied().filter(|_| dice.below(4) == 0).collect();
        match reserve(&mut tx, &wish(member, &wanted, nights)).await {
            Ok(made) => {
                assert!(!wanted.iter().any(|item| taken(*item)), "{nights}");
                granted.push((made.id, wanted, nights));
                // What is answered without reading is what would be read.
                assert_eq!(whole(&mut tx, made.id).await.unwrap(), Some(made));
            }
            Err(NotReserved::NoItems) => assert!(wanted.is_empty()),
            Err(NotReserved::Clashes(clashes)) => {
                refusals += 1;
                let named: Vec<ItemId> = clashes.iter().map(|clash| clash.item).collect();
                let clashing: Vec<ItemId> =
                    wanted.into_iter().filter(|item| taken(*item)).collect();
                assert_eq!(named, clashing, "{nights}");
            }
            Err(other) => panic!("{other}"),
        }
    }
    assert!(granted.len() > 20 && refusals > 20 && cancellations > 20);
    assert_eq!(check::faults(&mut tx).await.unwrap(), Vec::<String>::new());
}

#[tokio::test]
async fn no_question_about_nights_reads_the_whole_calendar() {
    let club = Club::open().await;
    let mut tx = club.write().await;
    for sql in [store::FREE_PLAN, store::PROMISES_PLAN, store::CLASH_PLAN] {
        let explain = format!("EXPLAIN QUERY PLAN {sql}");
        let steps: Vec<(i64, i64, i64, String)> = sqlx::query_as(sqlx::AssertSqlSafe(explain))
            .bind("[1,2]")
            .bind("2026-06-05")
            .bind("2026-06-07")
            .bind(-1)
            .fetch_all(&mut *tx)
            .await
            .unwrap();
        let plan: Vec<String> = steps.into_iter().map(|step| step.3).collect();
        let by_key = "SEARCH taken USING PRIMARY KEY (item_id=? AND night>? AND night<?)";
        assert!(plan.iter().any(|step| step == by_key), "{plan:#?}");
        assert!(!plan.iter().any(|step| step.starts_with("SCAN taken")), "{plan:#?}");
    }
}

//! The running sums of use, against a recount after every deed.

use sqlx::SqliteConnection;
use tempfile::TempDir;

use super::of_piece::use_recounted;
use crate::sheet::{Name, Notes};
use crate::shelf::{
    self, After, AssetTag, Draft, Facts, Hand, ItemState, Use, all_used, count_used, most_used,
};
use crate::store::{Store, WriteTx};

const A_DAY_S: i64 = 86_400;

async fn open() -> (TempDir, Store) {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    (folder, store)
}

/// Pieces 1 to `count`, of which those at `retired` are no longer lent, and a hundred loans that
/// custody can hang on.
async fn furnish(tx: &mut WriteTx, count: usize, retired: &[usize]) {
    for at in 1..=count {
        let state = if retired.contains(&at) { ItemState::Retired } else { ItemState::InService };
        let facts = Facts {
            tag: AssetTag::new(&format!("b-{at:03}")).unwrap(),
            name: Name::new("2× Barlow").unwrap(),
            state,
            acquired: None,
            notes: Notes::default(),
        };
        let figures = crate::optics::Barlow::new(crate::optics::BarlowFactor::new(2.0).unwrap());
        shelf::add(tx, Hand::of_nobody(0), &Draft { facts, figures }).await.unwrap();
    }
    sqlx::raw_sql(
        "INSERT INTO member (id, member_number, name) VALUES (1, 'M-1', 'Ines');
         WITH RECURSIVE n (n) AS (SELECT 1 UNION ALL SELECT n + 1 FROM n WHERE n < 100)
         INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
         SELECT n, 1, '2026-06-05', '2026-06-05', 'closed', 0 FROM n;
         INSERT INTO loan (id, reservation_id, handed_at, signed_name, cautions_version)
         SELECT id, id, 0, 'Ines', 1 FROM reservation",
    )
    .execute(&mut **tx)
    .await
    .unwrap();
}

async fn hand_out(tx: &mut WriteTx, loan: i64, item: i64, at: i64) {
    sqlx::query("INSERT INTO custody (loan_id, item_id, member_id, handed_at) VALUES (?, ?, 1, ?)")
        .bind(loan)
        .bind(item)
        .bind(at)
        .execute(&mut **tx)
        .await
        .unwrap();
}

async fn bring_back(tx: &mut WriteTx, item: i64, at: i64) {
    sqlx::query(
        "UPDATE custody SET returned_at = ?, condition = 'good'
         WHERE item_id = ? AND returned_at IS NULL",
    )
    .bind(at)
    .bind(item)
    .execute(&mut **tx)
    .await
    .unwrap();
}

/// The sums of a piece, once they are what a recount of everything says.
async fn sums(conn: &mut SqliteConnection, tag: &str) -> Use {
    let counted = use_recounted(conn).await.unwrap();
    let written = shelf::written_use(conn).await.unwrap();
    for piece in &written {
        let counted = counted.get(&piece.item).copied().unwrap_or_default();
        assert_eq!(piece.used, counted, "{}", piece.tag);
    }
    written.into_iter().find(|piece| piece.tag == tag).unwrap().used
}

#[tokio::test]
async fn the_sums_follow_every_deed_and_whatever_is_put_right_by_hand() {
    let (_folder, store) = open().await;
    let mut tx = store.write().await.unwrap();
    furnish(&mut tx, 3, &[]).await;
    let used = |times, nights, last_seen| Use { times, nights, last_seen };
    assert_eq!(sums(&mut tx, "b-001").await, used(0, 0, None));
    hand_out(&mut tx, 1, 1, 1000).await;
    assert_eq!(sums(&mut tx, "b-001").await, used(1, 0, Some(1000)), "nights come at the end");
    // An hour counts as a night, two and a half days as three.
    bring_back(&mut tx, 1, 4600).await;
    assert_eq!(sums(&mut tx, "b-001").await, used(1, 1, Some(4600)));
    hand_out(&mut tx, 2, 1, 10_000).await;
    let back = 10_000 + 5 * A_DAY_S / 2;
    bring_back(&mut tx, 1, back).await;
    assert_eq!(sums(&mut tx, "b-001").await, used(2, 4, Some(back)));
    for undo in [
        "UPDATE custody SET returned_at = NULL, condition = NULL WHERE loan_id = 2",
        "UPDATE custody SET handed_at = handed_at - 86400 WHERE loan_id = 2",
        "UPDATE custody SET item_id = 2 WHERE loan_id = 2",
        "UPDATE custody SET returned_at = 900000, condition = 'dirty' WHERE loan_id = 2",
        "UPDATE custody SET returned_at = 800000, note = 'Later' WHERE loan_id = 2",
        "UPDATE custody SET note = 'Dew' WHERE loan_id = 1",
        "INSERT INTO custody (loan_id, item_id, member_id, handed_at, returned_at, condition)
         VALUES (3, 3, 1, 5000, 5000, 'good')",
        "DELETE FROM custody WHERE loan_id = 1",
    ] {
        sqlx::query(undo).execute(&mut *tx).await.unwrap();
        sums(&mut tx, "b-001").await;
    }
    assert_eq!(sums(&mut tx, "b-001").await, used(0, 0, None));
    assert_eq!(sums(&mut tx, "b-002").await, used(1, 10, Some(800_000)));
    assert_eq!(sums(&mut tx, "b-003").await, used(1, 1, Some(5000)));
    // Bad sample: a sum that is off by one is told from the recount.
    sqlx::query("UPDATE item SET nights_out = nights_out + 1 WHERE id = 2")
        .execute(&mut *tx)
        .await
        .unwrap();
    let counted = use_recounted(&mut tx).await.unwrap();
    let written = shelf::written_use(&mut tx).await.unwrap();
    let off = written
        .iter()
        .filter(|piece| counted.get(&piece.item).copied().unwrap_or_default() != piece.used);
    let off: Vec<&str> = off.map(|piece| piece.tag.as_str()).collect();
    assert_eq!(off, ["b-002"]);
}

#[tokio::test]
async fn a_piece_that_cannot_be_read_hides_no_sum_of_another() {
    let (_folder, store) = open().await;
    let mut tx = store.write().await.unwrap();
    furnish(&mut tx, 2, &[]).await;
    let told = async |tx: &mut WriteTx| {
        let faults = super::check::faults(tx).await.unwrap();
        faults.into_iter().filter(|fault| fault.starts_with("The use of ")).collect::<Vec<_>>()
    };
    sqlx::raw_sql(
        "PRAGMA ignore_check_constraints = ON;
         UPDATE item SET state = 'lost in space' WHERE id = 1;
         PRAGMA ignore_check_constraints = OFF",
    )
    .execute(&mut *tx)
    .await
    .unwrap();
    assert_eq!(told(&mut tx).await, Vec::<String>::new());
    sqlx::query("UPDATE item SET nights_out = 1, times_out = 12 WHERE id = 2")
        .execute(&mut *tx)
        .await
        .unwrap();
    assert_eq!(
        told(&mut tx).await,
        [
            "The use of b-002 is written down as 12 loans, one night, last seen never; counted anew it \
          is no loans, no nights, last seen never."
        ]
    );
}

#[tokio::test]
async fn the_list_of_use_is_paged_in_one_order_whatever_is_out_just_now() {
    let (_folder, store) = open().await;
    let mut tx = store.write().await.unwrap();
    furnish(&mut tx, 40, &[7, 8]).await;
    let now = 60 * A_DAY_S;
    // Loans of one to five nights, and three pieces that are out, one of them no longer lent.
    for loan in 1..=30 {
        let item = 1 + loan % 20;
        hand_out(&mut tx, loan, item, loan * A_DAY_S).await;
        bring_back(&mut tx, item, (loan + 1 + loan % 5) * A_DAY_S).await;
    }
    for (loan, item, days) in [(31, 3, 4), (32, 8, 9), (33, 35, 1)] {
        hand_out(&mut tx, loan, item, now - days * A_DAY_S).await;
    }
    let all = all_used(&mut tx, now).await.unwrap();
    assert_eq!(all.len(), 38, "retired pieces are left out");
    assert!(all.is_sorted_by(|one, two| {
        (two.used.nights, &one.item.tag) < (one.used.nights, &two.item.tag)
            || one.used.nights > two.used.nights
    }));
    let of = |tag: &str| all.iter().find(|one| one.item.tag.as_str() == tag).unwrap().used;
    assert_eq!(of("b-035"), Use { times: 1, nights: 1, last_seen: Some(now - A_DAY_S) });
    assert_eq!(of("b-040"), Use::default());
    for size in [1, 3, 7, 50] {
        let (mut paged, mut after) = (Vec::new(), None);
        loop {
            let page = most_used(&mut tx, now, after.as_ref(), size).await.unwrap();
            assert!(page.len() <= size);
            let Some(last) = page.last() else { break };
            after = Some(After { nights: last.used.nights, tag: last.item.tag.clone() });
            paged.extend(page);
        }
        assert_eq!(paged, all, "{size} on a page");
    }
    let counted = count_used(&mut tx).await.unwrap();
    let never = all.iter().filter(|one| one.used.times == 0).count();
    assert_eq!((counted.pieces, counted.never), (38, never));
}

//! Is everything in the database as it should be?

use sqlx::SqliteConnection;

use super::store::{ClubError, club};
use crate::lending::{self, LendingError};
use crate::people::{self, PeopleError};
use crate::shelf::{self, ShelfError};
use crate::store::{Fault, Store, StoreError, check};

/// Looks the whole database over, as it stands at one moment: the file itself, rows that point
/// nowhere, figures out of range, and promises that do not hold. One line for each fault; none when
/// all is well.
///
/// # Errors
/// The database could not be asked at all. A damaged file is a fault, not an error.
pub async fn faults(store: &Store) -> Result<Vec<String>, StoreError> {
    let mut tx = store.reader().begin().await?;
    let mut found = Vec::new();
    match look(&mut tx, &mut found).await {
        Ok(()) => Ok(found),
        Err(error) if Fault::of(&error) == Some(Fault::Corrupt) => {
            found.push(format!("The database file is damaged: {error}."));
            Ok(found)
        }
        Err(error) => Err(error.into()),
    }
}

async fn look(conn: &mut SqliteConnection, found: &mut Vec<String>) -> Result<(), sqlx::Error> {
    found.extend(check::faults(conn).await?);
    match club(conn).await {
        Ok(_) => {}
        Err(ClubError::Database(error)) => return Err(error),
        Err(error @ ClubError::Unreadable(_)) => found.push(error.to_string()),
    }
    match shelf::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(ShelfError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    match people::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(PeopleError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    match lending::check::faults(conn).await {
        Ok(faults) => found.extend(faults),
        Err(LendingError::Database(error)) => return Err(error),
        Err(error) => found.push(error.to_string()),
    }
    Ok(())
}

#[cfg(test)]
mod tests {
    use std::path::PathBuf;

    use jiff::Timestamp;
    use sqlx::{ConnectOptions, SqliteConnection};
    use tempfile::TempDir;

    use super::faults;
    use crate::club::exchange::{Mode, Table, import};
    use crate::store::Store;

    struct House {
        _folder: TempDir,
        path: PathBuf,
    }

    impl House {
        async fn furnished() -> Self {
            let folder = tempfile::tempdir().unwrap();
            let path = folder.path().join("club.sqlite");
            let store = Store::open(&path).await.unwrap();
            for (table, text) in [
                (Table::Telescopes, include_str!("../../demo-data/telescopes.csv")),
                (Table::Eyepieces, include_str!("../../demo-data/eyepieces.csv")),
                (Table::Barlows, include_str!("../../demo-data/barlows.csv")),
                (Table::Filters, include_str!("../../demo-data/filters.csv")),
                (Table::Accessories, include_str!("../../demo-data/accessories.csv")),
                (Table::Members, include_str!("../../demo-data/members.csv")),
                (Table::Reservations, include_str!("../../demo-data/reservations.csv")),
            ] {
                let now = Timestamp::UNIX_EPOCH;
                import(&store, table, text.as_bytes(), now, Mode::Keep).await.unwrap();
            }
            store.close().await;
            Self { _folder: folder, path }
        }

        /// Spoils the database the way a careless hand could, past every rule, and asks for faults.
        async fn faults_after(&self, spoil: &'static str) -> Vec<String> {
            let mut loose: SqliteConnection = sqlx::sqlite::SqliteConnectOptions::new()
                .filename(&self.path)
                .foreign_keys(false)
                .pragma("ignore_check_constraints", "ON")
                .connect()
                .await
                .unwrap();
            sqlx::raw_sql(spoil).execute(&mut loose).await.unwrap();
            sqlx::Connection::close(loose).await.unwrap();
            let store = Store::open(&self.path).await.unwrap();
            let found = faults(&store).await.unwrap();
            store.close().await;
            found
        }
    }

    async fn finds(spoil: &'static str, expected: &[&str]) {
        let faults = House::furnished().await.faults_after(spoil).await;
        for words in expected {
            assert!(faults.iter().any(|fault| fault.contains(words)), "{words}: {faults:#?}");
        }
        assert!(!expected.is_empty() || faults.is_empty(), "{faults:#?}");
    }

    #[tokio::test]
    async fn a_sound_club_has_no_faults() {
        finds("SELECT 1", &[]).await;
    }

    #[tokio::test]
    async fn an_item_promised_twice_is_found() {
        finds(
            "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
             VALUES (900, 1, '2026-06-07', '2026-06-09', 'confirmed', 0);
             INSERT INTO reservation_item (reservation_id, item_id) SELECT 900, id FROM item WHERE asset_tag = 'T-001';
             INSERT INTO item_night (item_id, night, reservation_id) SELECT id, night, 900 FROM item,
                 (SELECT '2026-06-08' AS night UNION SELECT '2026-06-09') WHERE asset_tag = 'T-001'",
            &[
                "T-001 is promised twice from 2026-06-07 to 2026-06-07, by reservations 12 and 900.",
                "Reservation 900 lacks T-001 on 1 of its nights.",
            ],
        )
        .await;
    }

    #[tokio::test]
    async fn nights_kept_for_nobody_are_found() {
        finds(
            "UPDATE reservation SET state = 'cancelled' WHERE id = 12",
            &["T-001 is kept on 2026-06-01 for reservation 12, which does not ask for it."],
        )
        .await;
        finds(
            "INSERT INTO item_night (item_id, night, reservation_id) SELECT id, '2026-09-01', 12 FROM item WHERE asset_tag = 'T-001'",
            &["T-001 is kept on 2026-09-01 for reservation 12, which does not ask for it."],
        )
        .await;
        finds(
            "INSERT INTO item_night (item_id, night, reservation_id) SELECT id, '2026-06-02', 12 FROM item WHERE asset_tag = 'T-023'",
            &[
                "T-023 is kept on 2026-06-02 for reservation 12, which does not ask for it.",
                "Row of table item_night points at a missing row of reservation_item.",
            ],
        )
        .await;
    }

    #[tokio::test]
    async fn reservations_without_items_or_sense_are_found() {
        finds(
            "INSERT INTO reservation (id, member_id, first_night, last_night, state, created_at)
             VALUES (900, 1, '2026-08-07', '2026-08-09', 'confirmed', 0)",
            &["Reservation 900 has no items."],
        )
        .await;
        finds(
            "UPDATE reservation SET last_night = '2026-05-30' WHERE id = 12",
            &["Reservation 12 can't be read from the database: The last night (2026-05-30) comes before"],
        )
        .await;
    }

    #[tokio::test]
    async fn a_sum_of_use_that_its_loans_do_not_come_to_is_found() {
        finds(
            "UPDATE item SET nights_out = 7, last_seen = 5 WHERE asset_tag = 'T-001';
             UPDATE item SET times_out = 2 WHERE asset_tag = 'E-001'",
            &[
                "The use of T-001 is written down as no loans, seven nights, last seen 5; counted anew it is no loans, no nights, last seen never.",
                "The use of E-001 is written down as two loans, no nights, last seen never;",
            ],
        )
        .await;
        // And the other way round: a loan that no sum was told of.
        finds(
            "DROP TRIGGER custody_use_begins;
             INSERT INTO loan (id, reservation_id, handed_at, signed_name, cautions_version)
             VALUES (900, 12, 0, 'Ines', 1);
             INSERT INTO custody (loan_id, item_id, member_id, handed_at, returned_at, condition)
             SELECT 900, id, 1, 0, 200000, 'good' FROM item WHERE asset_tag = 'T-001'",
            &["The use of T-001 is written down as no loans, no nights, last seen never; counted anew it is one loan, two nights, last seen 200000."],
        )
        .await;
    }

    #[tokio::test]
    async fn figures_out_of_range_are_found() {
        finds(
            "UPDATE telescope SET aperture_mm = 8 WHERE item_id = 1;
             UPDATE eyepiece SET field_stop_mm = 40, barrel_mm = 31.75
                 WHERE item_id = (SELECT id FROM item WHERE asset_tag = 'E-001');
             UPDATE barlow SET factor = 60
                 WHERE item_id = (SELECT id FROM item WHERE asset_tag = 'B-01');
             UPDATE filter SET barrel_mm = 31.75
                 WHERE item_id = (SELECT id FROM item WHERE asset_tag = 'F-01');
             DELETE FROM eyepiece WHERE item_id = (SELECT id FROM item WHERE asset_tag = 'E-002')",
            &[
                "Item T-001 can't be read from the database: The aperture must be between",
                "Item E-001 can't be read from the database: A field stop of 40 mm",
                "Item B-01 can't be read from the database: The Barlow factor must be between",
                "Item F-01 can't be read from the database: A full-aperture solar filter goes",
                "Item E-002 has none of the figures that its kind (eyepiece) needs.",
                "The database file fails its own check: CHECK constraint failed",
            ],
        )
        .await;
    }

    #[tokio::test]
    async fn a_member_out_of_range_is_found_without_telling_their_figures() {
        let faults = House::furnished()
            .await
            .faults_after(
                "UPDATE member_eye SET sphere_d = -77.25 WHERE member_id = 2;
                 UPDATE member SET state = 'asleep' WHERE id = 3;
                 INSERT OR REPLACE INTO club VALUES (1, 'Windmill Hill', 'Mars/Olympus')",
            )
            .await;
        let all = faults.join("\n");
        assert!(all.contains("Member 2 can't be read from the database: the sphere is wrong."));
        assert!(all.contains("Member 3 can't be read from the database: the state is wrong."));
        assert!(all.contains("The club's settings can't be read"));
        assert!(!all.contains("77.25"), "{all}");
    }
}

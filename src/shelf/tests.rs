//! The shelf's tables: what the database itself refuses, and how changes are told apart.

use sqlx::sqlite::SqliteConnection;
use tempfile::TempDir;

use super::*;
use crate::optics::{
    Aperture, ApparentField, Barlow, BarlowFactor, Barrel, EyeRelief, EyepieceFocalLength,
    FieldStop, Mass, Obstruction, TelescopeFocalLength, Travel,
};
use crate::sheet::{Name, Notes};
use crate::store::{Fault, Store, WriteTx};

struct House {
    _folder: TempDir,
    store: Store,
}

impl House {
    async fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        Self { _folder: folder, store }
    }

    async fn write(&self) -> WriteTx {
        self.store.write().await.unwrap()
    }
}

fn barlow(tag: &str) -> Draft<Barlow> {
    let facts = Facts {
        tag: AssetTag::new(tag).unwrap(),
        name: Name::new("2× Barlow").unwrap(),
        state: ItemState::InService,
        acquired: AcquiredYear::new(2009).ok(),
        notes: Notes::default(),
    };
    Draft { facts, figures: Barlow::new(BarlowFactor::new(2.0).unwrap()) }
}

/// What the database says to a row, each with its figures in place of the usual ones.
async fn refusal(
    conn: &mut SqliteConnection,
    table: &str,
    column: &str,
    value: &str,
) -> Option<Fault> {
    let usual = |table: &str| -> Vec<(&str, &str)> {
        match table {
            "telescope" => {
                vec![("layout", "'newtonian'"), ("aperture_mm", "200"), ("focal_length_mm", "1200")]
            }
            "eyepiece" => vec![("focal_length_mm", "25")],
            "barlow" => vec![("factor", "2")],
            "filter" => vec![("kind", "'moon'")],
            _ => vec![],
        }
    };
    let mut cells = usual(table);
    let mut item = vec![("kind", "'telescope'"), ("asset_tag", "'X-1'"), ("name", "'X'")];
    let kind = format!("'{table}'");
    let target = if table == "item" { &mut item } else { &mut cells };
    target.retain(|cell| cell.0 != column);
    target.push((column, value));
    if table != "item" {
        item[0].1 = &kind;
    }
    sqlx::raw_sql("SAVEPOINT try").execute(&mut *conn).await.unwrap();
    let mut sql = insert("item", &item);
    if table != "item" {
        cells.push(("item_id", "last_insert_rowid()"));
        sql = format!("{sql}; {}", insert(table, &cells));
    }
    let outcome = sqlx::raw_sql(sqlx::AssertSqlSafe(sql)).execute(&mut *conn).await;
    sqlx::raw_sql("ROLLBACK TO try; RELEASE try").execute(&mut *conn).await.unwrap();
    outcome.err().map(|error| Fault::of(&error).unwrap_or_else(|| panic!("{error}")))
}

fn insert(table: &str, cells: &[(&str, &str)]) -> String {
    let names: Vec<&str> = cells.iter().map(|cell| cell.0).collect();
    let values: Vec<&str> = cells.iter().map(|cell| cell.1).collect();
    format!("INSERT INTO {table} ({}) VALUES ({})", names.join(", "), values.join(", "))
}

#[tokio::test]
async fn the_database_draws_its_ranges_where_the_optics_do() {
    let house = House::open().await;
    let mut tx = house.write().await;
    macro_rules! range {
        ($quantity:ty) => {
            (<$quantity>::LOW, <$quantity>::HIGH)
        };
    }
    let ranges = [
        ("telescope", "aperture_mm", range!(Aperture)),
        ("telescope", "focal_length_mm", range!(TelescopeFocalLength)),
        ("telescope", "central_obstruction_mm", range!(Obstruction)),
        ("telescope", "tube_outer_diameter_mm", (TubeDiameters::LOW_MM, TubeDiameters::HIGH_MM)),
        ("telescope", "focuser_travel_mm", range!(Travel)),
        ("telescope", "balance_limit_g", range!(Mass)),
        ("telescope", "heaviest_part_mass_g", range!(Mass)),
        ("telescope", "eyepiece_height_min_mm", (0.0, Heights::HIGH_MM)),
        ("telescope", "eyepiece_height_max_mm", (0.0, Heights::HIGH_MM)),
        ("telescope", "helpers", (0.0, f64::from(Helpers::HIGH))),
        ("item", "mass_g", range!(Mass)),
        ("item", "acquired_year", (f64::from(AcquiredYear::LOW), f64::from(AcquiredYear::HIGH))),
        ("eyepiece", "focal_length_mm", range!(EyepieceFocalLength)),
        ("eyepiece", "apparent_field_deg", range!(ApparentField)),
        ("eyepiece", "field_stop_mm", range!(FieldStop)),
        ("eyepiece", "eye_relief_mm", range!(EyeRelief)),
        ("eyepiece", "usable_eye_relief_mm", range!(EyeRelief)),
        ("barlow", "factor", range!(BarlowFactor)),
        ("filter", "fits_outer_diameter_min_mm", (TubeDiameters::LOW_MM, TubeDiameters::HIGH_MM)),
        ("filter", "fits_outer_diameter_max_mm", (TubeDiameters::LOW_MM, TubeDiameters::HIGH_MM)),
    ];
    for (table, column, (low, high)) in ranges {
        let whole = matches!(column, "helpers" | "acquired_year");
        let step = if whole { 1.0 } else { 1e-3 };
        for inside in [low, high] {
            // A telescope at the end of one range needs another partner to be a telescope.
            if table == "telescope"
                && matches!(column, "aperture_mm" | "focal_length_mm" | "central_obstruction_mm")
            {
                continue;
            }
            let found = refusal(&mut tx, table, column, &inside.to_string()).await;
            assert_eq!(found, None, "{table}.{column} = {inside}");
        }
        for outside in [low - step, high + step] {
            let found = refusal(&mut tx, table, column, &outside.to_string()).await;
            assert!(
                matches!(found, Some(Fault::Check(_))),
                "{table}.{column} = {outside}: {found:?}"
            );
        }
    }
}

#[tokio::test]
async fn the_database_accepts_telescopes_at_both_ends_of_their_ranges() {
    let house = House::open().await;
    let mut tx = house.write().await;
    for (tag, aperture, focal, obstruction) in [
        ("T-1", Aperture::LOW, TelescopeFocalLength::LOW, 0.0),
        ("T-2", Aperture::HIGH, TelescopeFocalLength::HIGH, Obstruction::HIGH),
    ] {
        let sql = format!(
            "INSERT INTO item (kind, asset_tag, name) VALUES ('telescope', '{tag}', 'x');
             INSERT INTO telescope (item_id, layout, aperture_mm, focal_length_mm, central_obstruction_mm)
             VALUES (last_insert_rowid(), 'other', {aperture}, {focal}, {obstruction})"
        );
        sqlx::raw_sql(sqlx::AssertSqlSafe(sql)).execute(&mut *tx).await.unwrap();
    }
    assert_eq!(telescopes(&mut tx).await.unwrap().len(), 2);
}

#[tokio::test]
async fn the_database_refuses_what_the_types_refuse() {
    let house = House::open().await;
    let mut tx = house.write().await;
    let long = format!("'{}'", "x".repeat(121));
    let cases = [
        ("item", "kind", "'camera'", "item_kind"),
        ("item", "asset_tag", "''", "item_asset_tag"),
        ("item", "asset_tag", "'T 1'", "item_asset_tag"),
        ("item", "asset_tag", "'=1'", "item_asset_tag"),
        ("item", "asset_tag", "'T-1234567890123456789012345'", "item_asset_tag"),
        ("item", "name", "'  '", "item_name"),
        ("item", "name", long.as_str(), "item_name"),
        ("item", "state", "'lent'", "item_state"),
        ("item", "version", "0", "item_version"),
        ("item", "notes", "hex(zeroblob(1001))", "item_notes"),
        ("telescope", "layout", "'spyglass'", "telescope_layout"),
        ("telescope", "mount", "'camel'", "telescope_mount"),
        ("telescope", "tracking", "2", "telescope_tracking"),
        ("telescope", "focuser_barrel_mm", "31.7", "telescope_focuser_barrel"),
        ("telescope", "central_obstruction_mm", "200", "telescope_obstruction"),
        ("telescope", "focal_length_mm", "199", "telescope_focal_ratio"),
        ("telescope", "focal_length_mm", "20001", "telescope_focal_ratio"),
        ("telescope", "item_kind", "'eyepiece'", "telescope_kind"),
        ("eyepiece", "barrel_mm", "25", "eyepiece_barrel"),
        ("eyepiece", "optical_class", "'fancy'", "eyepiece_optical_class"),
        ("barlow", "barrel_mm", "25", "barlow_barrel"),
        ("barlow", "kind", "'fancy'", "barlow_kind"),
        ("filter", "kind", "'solar_eyepiece'", "filter_kind"),
        ("filter", "barrel_mm", "25", "filter_barrel"),
        ("filter", "last_light_test", "'2026-02-30'", "filter_last_light_test"),
        ("filter", "last_light_test", "'now'", "filter_last_light_test"),
        ("filter", "damaged", "2", "filter_damaged"),
    ];
    for (table, column, value, check) in cases {
        let found = refusal(&mut tx, table, column, value).await;
        assert_eq!(found, Some(Fault::Check(check.into())), "{table}.{column} = {value}");
    }
    let unknown = refusal(&mut tx, "filter", "fits_telescope_id", "77").await;
    // The reference is looked at when the statement ends.
    assert_eq!(unknown, Some(Fault::Reference));
    let text = refusal(&mut tx, "eyepiece", "focal_length_mm", "'long'").await;
    assert_eq!(text, Some(Fault::WrongType));
}

#[tokio::test]
async fn the_database_refuses_facts_that_disagree() {
    let house = House::open().await;
    let mut tx = house.write().await;
    let pairs = [
        (
            "telescope",
            "layout, aperture_mm, focal_length_mm, central_obstruction_mm",
            "'refractor', 80, 480, 20",
            "telescope_refractor_is_clear",
        ),
        (
            "telescope",
            "layout, aperture_mm, focal_length_mm, eyepiece_height_min_mm, eyepiece_height_max_mm",
            "'other', 80, 480, 2, 1",
            "telescope_eyepiece_heights",
        ),
        (
            "eyepiece",
            "focal_length_mm, field_stop_mm, barrel_mm",
            "30, 23.01, 24.5",
            "eyepiece_field_stop_fits_barrel",
        ),
        (
            "eyepiece",
            "focal_length_mm, field_stop_mm, barrel_mm",
            "30, 27.51, 31.75",
            "eyepiece_field_stop_fits_barrel",
        ),
        (
            "eyepiece",
            "focal_length_mm, field_stop_mm, barrel_mm",
            "30, 46.51, 50.8",
            "eyepiece_field_stop_fits_barrel",
        ),
        ("filter", "kind, barrel_mm", "'solar_full_aperture', 31.75", "filter_solar_goes_in_front"),
        (
            "filter",
            "kind, fits_outer_diameter_min_mm, fits_outer_diameter_max_mm",
            "'moon', 30, 29",
            "filter_fits",
        ),
    ];
    for (table, columns, values, check) in pairs {
        let sql = format!(
            "INSERT INTO item (kind, asset_tag, name) VALUES ('{table}', 'X-1', 'x');
             INSERT INTO {table} (item_id, {columns}) VALUES (last_insert_rowid(), {values})"
        );
        sqlx::raw_sql("SAVEPOINT try").execute(&mut *tx).await.unwrap();
        let error = sqlx::raw_sql(sqlx::AssertSqlSafe(sql)).execute(&mut *tx).await.unwrap_err();
        sqlx::raw_sql("ROLLBACK TO try; RELEASE try").execute(&mut *tx).await.unwrap();
        assert_eq!(Fault::of(&error), Some(Fault::Check(check.into())), "{values}");
    }
    let stops = Barrel::ALL.map(Barrel::largest_field_stop);
    for (barrel, stop) in Barrel::ALL.map(Barrel::mm).into_iter().zip(stops) {
        let sql = format!(
            "INSERT INTO item (kind, asset_tag, name) VALUES ('eyepiece', 'E-{barrel}', 'x');
             INSERT INTO eyepiece (item_id, focal_length_mm, field_stop_mm, barrel_mm)
             VALUES (last_insert_rowid(), 30, {stop}, {barrel})"
        );
        sqlx::raw_sql(sqlx::AssertSqlSafe(sql)).execute(&mut *tx).await.unwrap();
    }
}

#[tokio::test]
async fn figures_hang_only_on_an_item_of_their_kind() {
    let house = House::open().await;
    let mut tx = house.write().await;
    let id = add(&mut tx, Hand::of_nobody(0), &barlow("B-1")).await.unwrap();
    let error = sqlx::query("INSERT INTO eyepiece (item_id, focal_length_mm) VALUES (?, 25)")
        .bind(id.0)
        .execute(&mut *tx)
        .await
        .unwrap_err();
    assert_eq!(Fault::of(&error), Some(Fault::Reference));
}

#[tokio::test]
async fn a_change_needs_the_version_it_is_based_on() {
    let house = House::open().await;
    let mut tx = house.write().await;
    let draft = barlow("B-1");
    let id = add(&mut tx, Hand::of_nobody(0), &draft).await.unwrap();
    let other = add(&mut tx, Hand::of_nobody(0), &barlow("B-2")).await.unwrap();
    assert!(matches!(
        add(&mut tx, Hand::of_nobody(0), &barlow("b-1")).await,
        Err(ShelfError::TagTaken(_))
    ));
    let mut changed = draft.clone();
    changed.figures.factor = BarlowFactor::new(2.5).unwrap();
    assert_eq!(replace(&mut tx, Hand::of_nobody(0), id, 1, &changed).await.unwrap(), 2);
    assert!(matches!(
        replace(&mut tx, Hand::of_nobody(0), id, 1, &changed).await,
        Err(ShelfError::Stale)
    ));
    let missing = replace(&mut tx, Hand::of_nobody(0), ItemId(99), 1, &changed).await;
    assert!(matches!(missing, Err(ShelfError::NotThere)));
    let taken = replace(&mut tx, Hand::of_nobody(0), other, 1, &changed).await;
    assert!(matches!(taken, Err(ShelfError::TagTaken(_))));
    let stored = super::barlow(&mut tx, id).await.unwrap().unwrap();
    assert_eq!((stored.version, stored.figures), (2, changed.figures));
    assert!(eyepiece(&mut tx, id).await.unwrap().is_none(), "a Barlow is no eyepiece");
}

#[tokio::test]
async fn one_item_is_found_by_its_key() {
    let house = House::open().await;
    let mut tx = house.write().await;
    let plan: Vec<(i64, i64, i64, String)> = sqlx::query_as(
        "EXPLAIN QUERY PLAN SELECT i.id FROM filter f JOIN item i ON i.id = f.item_id
         LEFT JOIN item telescope ON telescope.id = f.fits_telescope_id WHERE i.id = ?",
    )
    .bind(1)
    .fetch_all(&mut *tx)
    .await
    .unwrap();
    assert!(plan.iter().all(|step| step.3.starts_with("SEARCH")), "{plan:#?}");
    let plan: Vec<(i64, i64, i64, String)> =
        sqlx::query_as("EXPLAIN QUERY PLAN SELECT 1 FROM filter WHERE fits_telescope_id = ?")
            .bind(1)
            .fetch_all(&mut *tx)
            .await
            .unwrap();
    assert!(plan[0].3.contains("filter_by_telescope"), "{plan:#?}");
}

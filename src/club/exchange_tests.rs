//! Files coming in and going out, against a real database.

use std::fmt::Write;

use jiff::Timestamp;
use tempfile::TempDir;

use super::check;
use super::exchange::{ExchangeError, Eyes, Mode, Table, export, import, import_into};
use crate::lending::RESERVATION_COLUMNS;
use crate::optics::{Barlow, Eyepiece};
use crate::people::MEMBER_COLUMNS;
use crate::sheet::{NotTaken, Refused, Taken};
use crate::shelf::{self, AccessoryFigures, FilterFigures, Tabular, TelescopeFigures};
use crate::store::Store;

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

    /// The demo club, all of it.
    async fn furnished() -> Self {
        let house = Self::open().await;
        for (table, text) in DEMO {
            house.import(table, text).await.unwrap();
        }
        house
    }

    async fn import(&self, table: Table, text: &str) -> Result<Taken, NotTaken<ExchangeError>> {
        import(&self.store, table, text.as_bytes(), Timestamp::UNIX_EPOCH, Mode::Keep).await
    }

    async fn refused(&self, table: Table, text: &str) -> Refused {
        match self.import(table, text).await {
            Err(NotTaken::Refused(refused)) => refused,
            other => panic!("{other:?}"),
        }
    }

    async fn says(&self, table: Table, text: &str) -> Vec<String> {
        self.refused(table, text).await.faults.iter().map(ToString::to_string).collect()
    }

    async fn export(&self, table: Table) -> String {
        String::from_utf8(export(&self.store, table, Eyes::Include).await.unwrap()).unwrap()
    }
}

const DEMO: [(Table, &str); 7] = [
    (Table::Telescopes, include_str!("../../demo-data/telescopes.csv")),
    (Table::Eyepieces, include_str!("../../demo-data/eyepieces.csv")),
    (Table::Barlows, include_str!("../../demo-data/barlows.csv")),
    (Table::Filters, include_str!("../../demo-data/filters.csv")),
    (Table::Accessories, include_str!("../../demo-data/accessories.csv")),
    (Table::Members, include_str!("../../demo-data/members.csv")),
    (Table::Reservations, include_str!("../../demo-data/reservations.csv")),
];

const EYEPIECES: &str = "asset_tag,name,focal_length_mm,apparent_field_deg,field_stop_mm,\
    eye_relief_mm,usable_eye_relief_mm,barrel_mm,optical_class,mass_g,acquired_year,state,notes\n";
const TELESCOPES: &str = "asset_tag,name,layout,aperture_mm,focal_length_mm,\
    central_obstruction_mm,tube_outer_diameter_mm,focuser_barrel_mm,focuser_travel_mm,balance_limit_g,mount,tracking,\
    total_mass_g,heaviest_part_mass_g,eyepiece_height_min_mm,eyepiece_height_max_mm,helpers,\
    acquired_year,state,notes\n";
const BARLOWS: &str = "asset_tag,name,factor,barrel_mm,kind,mass_g,acquired_year,state,notes\n";
const FILTERS: &str = "asset_tag,name,kind,barrel_mm,fits_telescope,fits_outer_diameter_min_mm,\
    fits_outer_diameter_max_mm,last_light_test,damaged,mass_g,acquired_year,state,notes\n";
const MEMBERS: &str = "member_number,name,email,birth_year,glasses,sphere_d,cylinder_d,\
    measured_pupil_mm,relief_floor_mm,joined,state\n";
const RESERVATIONS: &str = "member_number,first_night,last_night,asset_tags\n";

fn added(count: usize) -> Taken {
    Taken { added: count, ..Taken::default() }
}

#[tokio::test]
async fn the_demo_club_comes_in_goes_out_and_comes_in_again_unchanged() {
    let house = House::furnished().await;
    let fresh = House::open().await;
    for (table, text) in DEMO {
        let rows = text.lines().count() - 1;
        let again = house.import(table, text).await.unwrap();
        assert_eq!(again, Taken { unchanged: rows, ..Taken::default() }, "{}", table.as_str());
        let out = house.export(table).await;
        assert_eq!(out.lines().next(), text.lines().next(), "{}", table.as_str());
        assert_eq!(fresh.import(table, &out).await.unwrap(), added(rows), "{}", table.as_str());
        assert_eq!(fresh.export(table).await, out, "{}", table.as_str());
    }
    assert_eq!(check::faults(&house.store).await.unwrap(), Vec::<String>::new());
    assert_eq!(check::faults(&fresh.store).await.unwrap(), Vec::<String>::new());
}

#[test]
fn the_readme_names_the_columns_as_they_are() {
    let readme = include_str!("../../README.md");
    let members = format!(
        "{}; and, all or none of them, {}",
        MEMBER_COLUMNS.needed.join(", "),
        MEMBER_COLUMNS.together.join(", ")
    );
    let columns = [
        (Table::Telescopes, TelescopeFigures::COLUMNS.join(", ")),
        (Table::Eyepieces, Eyepiece::COLUMNS.join(", ")),
        (Table::Barlows, Barlow::COLUMNS.join(", ")),
        (Table::Filters, FilterFigures::COLUMNS.join(", ")),
        (Table::Accessories, AccessoryFigures::COLUMNS.join(", ")),
        (Table::Papers, shelf::PAPER_COLUMNS.join(", ")),
        (Table::Upkeep, shelf::UPKEEP_COLUMNS.join(", ")),
        (Table::Inspections, shelf::INSPECTION_COLUMNS.join(", ")),
        (Table::Members, members),
        (Table::Reservations, RESERVATION_COLUMNS.join(", ")),
    ];
    for (table, columns) in columns {
        let line = format!("| `{}` | {columns}", table.as_str());
        assert!(readme.contains(&line), "{line}");
    }
}

#[tokio::test]
async fn an_export_says_word_for_word_what_the_import_said() {
    let house = House::furnished().await;
    for (table, text) in DEMO {
        let mut expected: Vec<&str> = text.lines().collect();
        let out = house.export(table).await;
        let mut lines: Vec<&str> = out.split_terminator("\r\n").collect();
        // Reservations that begin on the same night, and their tags, have no order of their own.
        if table == Table::Reservations {
            continue;
        }
        expected.sort_unstable();
        lines.sort_unstable();
        assert_eq!(lines, expected, "{}", table.as_str());
    }
}

#[tokio::test]
async fn one_bad_cell_in_the_last_row_leaves_everything_as_it_was() {
    let house = House::furnished().await;
    let before = house.export(Table::Eyepieces).await;
    let text = format!(
        "{EYEPIECES}E-001,changed,3.3,,,,,31.75,,,,,\nE-900,new,25,50,,,,31.75,,,,,\nE-901,too long,3000,50,,,,31.75,,,,,\n"
    );
    let refused = house.refused(Table::Eyepieces, &text).await;
    assert_eq!(refused.faults.len(), 1);
    let fault = &refused.faults[0];
    assert_eq!((fault.line, fault.column), (Some(4), Some("focal_length_mm")));
    assert!(fault.says.contains("between 1.5 and 100 mm, but 3000 was given"), "{}", fault.says);
    assert_eq!(house.export(Table::Eyepieces).await, before);
}

#[tokio::test]
async fn a_refused_file_leaves_the_rest_of_its_transaction_alone() {
    let house = House::open().await;
    let now = Timestamp::UNIX_EPOCH;
    let mut tx = house.store.write().await.unwrap();
    let good = format!("{BARLOWS}B-1,2x,2,31.75,,,,,\n");
    import_into(&mut tx, Table::Barlows, good.as_bytes(), now).await.unwrap();
    let people = format!("{MEMBERS}M-1,Ines Aldous,,,,,,,,,\n");
    import_into(&mut tx, Table::Members, people.as_bytes(), now).await.unwrap();
    // The first row is written before the second is found to clash with it.
    let clash =
        format!("{RESERVATIONS}M-1,2026-06-05,2026-06-07,B-1\nM-1,2026-06-07,2026-06-08,B-1\n");
    let refused = import_into(&mut tx, Table::Reservations, clash.as_bytes(), now).await;
    assert!(matches!(refused, Err(NotTaken::Refused(_))));
    tx.commit().await.unwrap();
    assert_eq!(house.export(Table::Reservations).await.lines().count(), 1);
    assert_eq!(house.export(Table::Barlows).await.lines().count(), 2);
    assert_eq!(check::faults(&house.store).await.unwrap(), Vec::<String>::new());
}

#[tokio::test]
async fn a_rehearsal_says_what_would_happen_and_keeps_nothing() {
    let house = House::open().await;
    let text = format!("{BARLOWS}B-1,2x,2,31.75,,,,,\n");
    let now = Timestamp::UNIX_EPOCH;
    let taken = import(&house.store, Table::Barlows, text.as_bytes(), now, Mode::DryRun).await;
    assert_eq!(taken.unwrap(), added(1));
    assert_eq!(house.export(Table::Barlows).await.lines().count(), 1);
}

#[tokio::test]
async fn a_known_tag_changes_its_item_and_keeps_its_number() {
    let house = House::open().await;
    let text = format!("{BARLOWS}B-1,2x,2,31.75,,,,,\nB-2,3x,3,,,,,,\n");
    house.import(Table::Barlows, &text).await.unwrap();
    let text = format!(
        "{BARLOWS}b-1,2.5x,2.5,31.75,plain,120,2009,in_repair,lens rattles\nB-2,3x,3,,,,,,\n"
    );
    let taken = house.import(Table::Barlows, &text).await.unwrap();
    assert_eq!(taken, Taken { added: 0, changed: 1, dropped: 0, unchanged: 1 });
    let mut tx = house.store.reader().begin().await.unwrap();
    let barlows = shelf::barlows(&mut tx).await.unwrap();
    let seen: Vec<(i64, i64, &str, f64)> = barlows
        .iter()
        .map(|b| (b.id.0, b.version, b.facts.tag.as_str(), b.figures.factor.times()))
        .collect();
    assert_eq!(seen, [(1, 2, "b-1", 2.5), (2, 1, "B-2", 3.0)]);
}

#[tokio::test]
async fn figures_that_cannot_be_true_are_named_by_cell() {
    let house = House::open().await;
    let text = format!(
        "{TELESCOPES}T-1,Inches,newtonian,8,1200,,,1.25,,,,,,,,,,,,\n\
         T-2,Blocked,newtonian,200,1000,200,,,,,,,,,,,,,,\n\
         T-3,Odd,refractor,80,480,20,,,,,,maybe,,,900,800,-1,20111,lent,\n"
    );
    assert_eq!(
        house.says(Table::Telescopes, &text).await,
        [
            "line 2, aperture_mm: The aperture must be between 30 and 3000 mm, but 8 was given. 8 inches is 203.2 mm: is that what you meant?",
            "line 2, focuser_barrel_mm: A barrel must be 24.5, 31.75 or 50.8 mm wide, but 1.25 was given. 1.25 inches is 31.75 mm: is that what you meant?",
            "line 3, central_obstruction_mm: The central obstruction (200 mm) must be smaller than the aperture (200 mm): please check both.",
            "line 4, acquired_year: The year must be between 1600 and 2200, but 20111 was given.",
            "line 4, state: “lent” is not one of these: in_service, needs_inspection, in_repair, missing, retired.",
            "line 4, helpers: The number of helpers must be between 0 and 20, but -1 was given.",
            "line 4, eyepiece_height_min_mm: The eyepiece's lowest place (900 mm) is above its highest (800 mm): please check both.",
            "line 4, tracking: “maybe” is not one of these: yes, no.",
            "line 4, central_obstruction_mm: A refractor has no central obstruction, but 20 mm was given: leave it empty or choose another layout.",
        ]
    );
    let text = format!("{EYEPIECES}E-1,wide,40,70,40,,,31.75,,,,,\n");
    assert_eq!(
        house.says(Table::Eyepieces, &text).await,
        [
            "line 2, field_stop_mm: A field stop of 40 mm does not fit in a 31.75 mm barrel, which holds at most 27.5 mm: please check both."
        ]
    );
}

#[tokio::test]
async fn no_solar_filter_for_the_eyepiece_end_comes_in() {
    let house = House::open().await;
    let text = format!("{FILTERS}F-1,Sun,solar_full_aperture,31.75,,,,,,,,,\n");
    let says = house.says(Table::Filters, &text).await;
    assert!(
        says[0].contains("line 2, barrel_mm: A full-aperture solar filter goes over the front")
    );
}

#[tokio::test]
async fn tags_belong_to_one_item_of_one_kind() {
    let house = House::furnished().await;
    let text = format!("{BARLOWS}T-001,2x,2,,,,,,\nB-77,2x,2,,,,,,\nb-77,2x,2,,,,,,\n");
    assert_eq!(
        house.says(Table::Barlows, &text).await,
        [
            "line 2, asset_tag: T-001 is a telescope on the shelf: choose a tag that is free.",
            "line 4, asset_tag: b-77 is on line 3 already: give each item a tag of its own.",
        ]
    );
    let text = format!("{FILTERS}F-90,Sun,solar_full_aperture,,E-001,,,,,,,,\n");
    assert_eq!(
        house.says(Table::Filters, &text).await,
        [
            "line 2, fits_telescope: There is no telescope with the tag E-001: give the tag of one on the shelf."
        ]
    );
}

#[tokio::test]
async fn members_share_no_number_and_no_address() {
    let house = House::open().await;
    let text = format!("{MEMBERS}M-1,Ines,ines@example.org,,,,,,,,\nM-2,Abel,,,,,,,,,\n");
    house.import(Table::Members, &text).await.unwrap();
    let text = format!(
        "{MEMBERS}M-2,Abel,INES@example.org,,,,,,,,\nM-3,Berit,b@example.org,1850,,,,,,,\n\
         M-4,Cai,B@example.org,,,,,,,,\nm-4,Dai,,,,,,,,,\n"
    );
    let bad = house.says(Table::Members, &text).await;
    assert_eq!(
        bad,
        [
            "line 3, birth_year: The birth year must be between 1900 and 2100, written with four digits."
        ]
    );
    assert_eq!(
        house.says(Table::Members, &text.replace("1850", "1950")).await,
        [
            "line 2, email: Another member has this e-mail address: give each member one of their own.",
            "line 4, email: This address is on line 3 already: give each member their own.",
            "line 5, member_number: m-4 is on line 4 already: give each member a number of their own.",
        ]
    );
    // Both are on the list, and neither order of writing would do.
    let text = format!("{MEMBERS}M-1,Ines,,,,,,,,,\nM-2,Abel,ines@example.org,,,,,,,,\n");
    assert_eq!(
        house.import(Table::Members, &text).await.unwrap(),
        Taken { changed: 2, ..Taken::default() }
    );
    let text = format!("{MEMBERS}M-1,Ines,ines@example.org,,,,,,,,\nM-2,Abel,,,,,,,,,\n");
    let says = house.says(Table::Members, &text).await;
    assert!(says[0].starts_with("line 2, email: Another member has this"), "{says:?}");
}

#[tokio::test]
async fn eyes_leave_the_house_only_when_asked_for_and_survive_a_file_without_them() {
    let house = House::furnished().await;
    let with = house.export(Table::Members).await;
    let without = export(&house.store, Table::Members, Eyes::LeaveOut).await.unwrap();
    let without = String::from_utf8(without).unwrap();
    assert!(without.starts_with("member_number,name,email,joined,state\r\n"));
    for secret in ["birth_year", "1958", "keeps_on", "takes_off", "-2.25"] {
        assert!(with.contains(secret), "{secret}");
        assert!(!without.contains(secret), "{secret}");
    }
    let taken = house.import(Table::Members, &without).await.unwrap();
    assert_eq!((taken.added, taken.changed), (0, 0));
    let renamed = without.replacen("Ottilie Marchbanks", "Ottilie Marchbanks-Vance", 1);
    assert_eq!(house.import(Table::Members, &renamed).await.unwrap().changed, 1);
    let again = house.export(Table::Members).await;
    assert_eq!(again, with.replacen("Ottilie Marchbanks", "Ottilie Marchbanks-Vance", 1));
}

#[tokio::test]
async fn reservations_name_what_is_there_and_clash_with_nothing() {
    let house = House::furnished().await;
    let text = format!(
        "{RESERVATIONS}M-999,2026-08-01,2026-08-02,T-001 T-999\n\
         M-101,2026-08-03,2026-08-01,T-001\n"
    );
    let says = house.says(Table::Reservations, &text).await;
    assert_eq!(
        says,
        [
            "line 3, last_night: The last night (2026-08-01) comes before the first (2026-08-03): please swap them."
        ]
    );
    let text = format!(
        "{RESERVATIONS}M-999,2026-08-01,2026-08-02,T-001 T-999\n\
         M-101,2026-06-07,2026-06-08,T-001 E-001\nM-101,2026-08-01,2026-08-02,E-001\n\
         M-102,2026-08-02,2026-08-02,e-001\nM-102,2026-08-05,2027-08-06,E-002\nM-102,,2027-08-06,\n"
    );
    let says = house.says(Table::Reservations, &text).await;
    assert_eq!(
        says,
        [
            "line 6, last_night: That is 367 nights, and 366 is the most: please choose fewer.",
            "line 7, first_night: This cell must not be empty.",
            "line 7, asset_tags: This cell must not be empty.",
        ]
    );
    let text: String = text.split_inclusive('\n').take(5).collect();
    assert_eq!(
        house.says(Table::Reservations, &text).await,
        [
            "line 2, member_number: There is no member with the number M-999.",
            "line 2, asset_tags: There is no item with the tag T-999.",
            "line 3, asset_tags: T-001 is taken on 2026-06-07: choose other nights or other items.",
            "line 5, asset_tags: E-001 is taken on 2026-08-02: choose other nights or other items.",
        ]
    );
}

#[tokio::test]
async fn ten_thousand_rows_come_in_and_go_out() {
    let house = House::open().await;
    let mut text = EYEPIECES.to_owned();
    for n in 0..10_000 {
        let mm = 4 + n % 40;
        writeln!(text, "E-{n},\"{n}, a good one\",{mm},52,,15,,31.75,four_element,120,2011,,")
            .unwrap();
    }
    assert_eq!(house.import(Table::Eyepieces, &text).await.unwrap(), added(10_000));
    let out = house.export(Table::Eyepieces).await;
    assert_eq!(out.lines().count(), 10_001);
    let again = house.import(Table::Eyepieces, &out).await.unwrap();
    assert_eq!(again, Taken { unchanged: 10_000, ..Taken::default() });
}

#[tokio::test]
async fn cells_that_a_spreadsheet_would_run_go_out_guarded_and_come_back_whole() {
    let house = House::open().await;
    let text = format!("{BARLOWS}B-1,=HYPERLINK(1),2,,,,,,@SUM(A1)\nB-2,'=quoted,2,,,,,,'plain\n");
    house.import(Table::Barlows, &text).await.unwrap();
    let out = house.export(Table::Barlows).await;
    assert!(out.contains("B-1,'=HYPERLINK(1),2,"), "{out}");
    assert!(out.contains(",'@SUM(A1)\r\n"), "{out}");
    assert!(out.contains("B-2,'=quoted,2,,,,,in_service,'plain\r\n"), "{out}");
    let again = house.import(Table::Barlows, &out).await.unwrap();
    assert_eq!(again, Taken { unchanged: 2, ..Taken::default() });
}

//! Who may know whom. Reads the source and fails where a wall of the house is broken:
//! `optics` ← `eye` ← `kit` ← features ← `app`; `store` and `web` know no feature; the core knows
//! no server, database, template, clock or chance; a feature's tables are its own.
#![allow(clippy::unwrap_used)] // helpers of tests

#[path = "walls/references.rs"]
mod references;
#[path = "walls/tables.rs"]
mod tables;
#[path = "walls/tokens.rs"]
mod tokens;

use std::fs;
use std::path::{Path, PathBuf};

/// The rooms of the pure core, each with the rooms it stands on.
const CORE: [(&str, &[&str]); 4] = [
    ("optics", &[]),
    ("eye", &["optics"]),
    ("sky", &["optics"]),
    ("kit", &["optics", "eye", "sky"]),
];

/// Rooms that serve every feature and know none.
const GROUND: [(&str, &[&str]); 3] = [("sheet", &[]), ("store", &[]), ("web", &["store"])];

/// Rooms of the features: they use the core, the ground and each other's public functions.
const FEATURES: [&str; 12] = [
    "audit",
    "people",
    "profile",
    "shelf",
    "lending",
    "public_night",
    "buying",
    "club",
    "choosing",
    "post",
    "observing",
    "guide",
];

/// Where the rooms are wired together; nobody below may look up to them.
const TOP: [&str; 5] = ["app", "commands", "demo", "main", "lib"];

/// Files at the top that exist for tests only; the compiler keeps them out of the product.
const TESTS_ONLY: [&str; 1] = ["gallery"];

/// Crates the core may use: they neither reach out nor guess.
const PURE_CRATES: [&str; 8] =
    ["std", "core", "alloc", "serde", "thiserror", "proptest", "sofars", "vsop87"];

/// Corners of the standard library that reach out: clock, files, network, surroundings.
const IMPURE_STD: [&str; 7] =
    ["std::time", "std::fs", "std::net", "std::env", "std::process", "std::os", "std::io"];

/// Each table and the room whose SQL may name it.
const TABLES: &[(&str, &str)] = &[
    ("club", "club"),
    ("site", "observing"),
    ("site_horizon", "observing"),
    ("item", "shelf"),
    ("telescope", "shelf"),
    ("eyepiece", "shelf"),
    ("barlow", "shelf"),
    ("filter", "shelf"),
    ("accessory", "shelf"),
    ("item_text", "shelf"),
    ("item_change", "shelf"),
    ("inspection", "shelf"),
    ("upkeep", "shelf"),
    ("item_paper", "shelf"),
    ("set_part", "shelf"),
    ("stock_count", "shelf"),
    ("stock_seen", "shelf"),
    ("stock_line", "shelf"),
    ("photo", "shelf"),
    ("photo_file", "shelf"),
    ("member", "people"),
    ("member_eye", "people"),
    ("guardian", "people"),
    ("adult_proof", "people"),
    ("own_telescope", "profile"),
    ("own_eyepiece", "profile"),
    ("account", "people"),
    ("account_role", "people"),
    ("session", "people"),
    ("access_token", "people"),
    ("setup_link", "people"),
    ("joining", "people"),
    ("join_request", "people"),
    ("sign_in_failure", "people"),
    ("audit", "audit"),
    ("second_factor", "people"),
    ("recovery_code", "people"),
    ("half_sign_in", "people"),
    ("mail_link", "people"),
    ("letter", "post"),
    ("letter_quiet", "post"),
    ("reservation", "lending"),
    ("reservation_item", "lending"),
    ("item_night", "lending"),
    ("loan", "lending"),
    ("custody", "lending"),
    ("lending_event", "lending"),
    ("kept_answer", "lending"),
    ("lending_rule", "lending"),
    ("item_rule", "lending"),
    ("item_training", "lending"),
    ("closed_night", "lending"),
    ("club_block", "lending"),
    ("calendar_feed", "lending"),
    ("wait_place", "lending"),
    ("wait_place_item", "lending"),
    ("signature", "lending"),
    ("public_night", "public_night"),
    ("public_night_helper", "public_night"),
    ("public_night_may_run", "public_night"),
    ("public_night_station", "public_night"),
    ("public_night_piece", "public_night"),
    ("public_night_aim", "public_night"),
    ("public_night_after", "public_night"),
    ("public_night_count", "public_night"),
    ("public_night_broke", "public_night"),
    ("public_night_rule", "public_night"),
    ("purchase_candidate", "buying"),
    ("purchase_sale", "buying"),
    ("purchase_job", "buying"),
    ("purchase_point", "buying"),
];

struct File {
    path: String,
    source: String,
}

impl File {
    /// The module this file is: `src/optics/mod.rs` is `["optics"]`.
    fn module(&self) -> Vec<String> {
        let trimmed = self.path.trim_start_matches("src/").trim_end_matches(".rs");
        trimmed.split('/').filter(|part| *part != "mod").map(String::from).collect()
    }

    fn room(&self) -> String {
        self.module().into_iter().next().unwrap_or_default()
    }
}

/// Whether code of one room may name another.
fn may_know(room: &str, other: &str) -> bool {
    if room == other || TESTS_ONLY.contains(&other) {
        return true;
    }
    let stands_on = CORE.iter().chain(&GROUND).find(|(name, _)| *name == room);
    if let Some((_, below)) = stands_on {
        return below.contains(&other);
    }
    if FEATURES.contains(&room) {
        return !TOP.contains(&other);
    }
    TOP.contains(&room) || TESTS_ONLY.contains(&room)
}

/// Modules in files of their own that are compiled for tests only: they may prepare other rooms'
/// rows.
fn test_modules(files: &[File]) -> Vec<Vec<String>> {
    let mut modules = Vec::new();
    for file in files {
        for name in tables::test_modules(&tokens::cut(&file.source)) {
            let mut module = file.module();
            module.retain(|part| part != "lib");
            module.push(name);
            modules.push(module);
        }
    }
    modules
}

/// Every broken wall in these files, one sentence each.
fn faults(files: &[File], dependencies: &[String], tables: &[(&str, &str)]) -> Vec<String> {
    let rooms: Vec<&str> = CORE
        .iter()
        .chain(&GROUND)
        .map(|(name, _)| *name)
        .chain(FEATURES)
        .chain(TOP)
        .chain(TESTS_ONLY)
        .collect();
    let outsiders: Vec<String> =
        dependencies.iter().cloned().chain(["std", "core", "alloc"].map(String::from)).collect();
    let known: Vec<String> = tables.iter().map(|(table, _)| (*table).into()).collect();
    let test_only = test_modules(files);
    let mut faults = Vec::new();
    for file in files {
        let (path, room) = (&file.path, file.room());
        if !rooms.contains(&room.as_str()) {
            faults.push(format!(
                "{path}: `{room}` is no known room; give it a place in tests/walls.rs"
            ));
            continue;
        }
        let cut = tokens::cut(&file.source);
        let found = references::read(&cut, &file.module(), &outsiders);
        for other in found.rooms.iter().filter(|other| rooms.contains(&other.as_str())) {
            if !may_know(&room, other) {
                faults.push(format!("{path}: `{room}` may not know `{other}`"));
            }
        }
        if CORE.iter().any(|(name, _)| *name == room) {
            for name in &found.outside {
                let outcast = !name.contains("::") && !PURE_CRATES.contains(&name.as_str());
                if outcast || IMPURE_STD.contains(&name.as_str()) {
                    faults.push(format!("{path}: the core may not use `{name}`"));
                }
            }
        }
        if test_only.iter().any(|module| file.module().starts_with(module)) {
            continue;
        }
        for table in tables::in_code(&cut, &known) {
            let owner = tables.iter().find(|(name, _)| *name == table).map(|(_, owner)| *owner);
            if owner != Some(room.as_str()) {
                let owner = owner.unwrap_or("nobody");
                faults.push(format!("{path}: the table `{table}` belongs to `{owner}`"));
            }
        }
    }
    faults
}

fn house() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

fn collect(folder: &Path, ending: &str, found: &mut Vec<PathBuf>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        if path.is_dir() {
            collect(&path, ending, found);
        } else if path.extension().is_some_and(|e| e == ending) {
            found.push(path);
        }
    }
}

fn sources() -> Vec<File> {
    let mut paths = Vec::new();
    collect(&house().join("src"), "rs", &mut paths);
    paths.sort();
    paths
        .into_iter()
        .map(|path| File {
            source: fs::read_to_string(&path).unwrap(),
            path: path.strip_prefix(house()).unwrap().to_str().unwrap().replace('\\', "/"),
        })
        .collect()
}

/// Names of the crates in `Cargo.toml`, as code writes them.
fn dependencies() -> Vec<String> {
    let manifest = fs::read_to_string(house().join("Cargo.toml")).unwrap();
    let mut names = Vec::new();
    let mut inside = false;
    for line in manifest.lines() {
        if line.starts_with('[') {
            inside = line.ends_with("dependencies]");
        } else if inside && let Some((name, _)) = line.split_once('=') {
            names.push(name.trim().replace('-', "_"));
        }
    }
    names
}

#[test]
fn the_walls_of_the_house_stand() {
    let files = sources();
    assert!(files.len() > 20, "only {} source files found", files.len());
    assert!(dependencies().contains(&"axum".to_owned()), "Cargo.toml was not understood");
    let faults = faults(&files, &dependencies(), TABLES);
    assert!(faults.is_empty(), "{} broken walls:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_table_of_the_migrations_has_an_owner_and_every_owner_a_table() {
    let mut paths = Vec::new();
    collect(&house().join("migrations"), "sql", &mut paths);
    let made: Vec<String> =
        paths.iter().flat_map(|path| tables::made_by(&fs::read_to_string(path).unwrap())).collect();
    assert!(made.contains(&"club".to_owned()), "the migrations were not understood");
    // A table that is made anew bears that name only until it takes the old one's place.
    let orphans: Vec<&String> = made
        .iter()
        .filter(|name| TABLES.iter().all(|(table, _)| table != &name.trim_end_matches("_anew")))
        .collect();
    assert!(orphans.is_empty(), "give these tables an owner in tests/walls.rs: {orphans:?}");
    let gone: Vec<&str> = TABLES
        .iter()
        .map(|(table, _)| *table)
        .filter(|table| made.iter().all(|name| name != table))
        .collect();
    assert!(gone.is_empty(), "no migration makes these tables of tests/walls.rs: {gone:?}");
}

#[test]
fn each_kind_of_broken_wall_is_found_in_a_bad_sample() {
    let tables = [("member", "people"), ("item", "shelf")];
    for (path, source, fault) in [
        ("src/optics/view.rs", "use crate::eye::Pupil;", "`optics` may not know `eye`"),
        ("src/eye/pupil.rs", "use crate::kit::Solver;", "`eye` may not know `kit`"),
        ("src/kit/solve.rs", "use crate::{optics, shelf::model};", "`kit` may not know `shelf`"),
        ("src/kit/solve.rs", "use crate::store::Store;", "`kit` may not know `store`"),
        ("src/kit/solve.rs", "fn f() { std::time::Instant::now(); }", "may not use `std::time`"),
        ("src/kit/solve.rs", "use rand::Rng;", "may not use `rand`"),
        ("src/eye/mod.rs", "use jiff::Zoned;", "may not use `jiff`"),
        ("src/optics/mod.rs", "#[derive(sqlx::FromRow)] struct A;", "may not use `sqlx`"),
        ("src/store/open.rs", "use super::super::shelf;", "`store` may not know `shelf`"),
        ("src/web/frame.rs", "use crate::people::account;", "`web` may not know `people`"),
        ("src/shelf/pages.rs", "use crate::app::State;", "`shelf` may not know `app`"),
        ("src/shelf/store.rs", "query!(\"SELECT id FROM member\")", "`member` belongs to `people`"),
        ("src/demo.rs", "query(\"DELETE FROM item\")", "`item` belongs to `shelf`"),
        ("src/shelf/tests.rs", "query(\"DELETE FROM member\")", "`member` belongs to `people`"),
        ("src/cellar/mod.rs", "", "`cellar` is no known room"),
    ] {
        let file = File { path: path.into(), source: source.into() };
        let outside = ["rand", "jiff", "sqlx"].map(String::from);
        let found = faults(&[file], &outside, &tables);
        assert!(found.len() == 1 && found[0].contains(fault), "{path}: {source}: {found:?}");
    }
}

#[test]
fn good_samples_pass() {
    let tables = [("member", "people"), ("item", "shelf")];
    for (path, source) in [
        ("src/kit/solve.rs", "use crate::optics::View; use crate::eye::Pupil; use std::fmt;"),
        ("src/choosing/pages.rs", "use crate::{kit, people::member, shelf::store, web::frame};"),
        ("src/shelf/store.rs", "query!(\"SELECT id FROM item\")"),
        ("src/app.rs", "use crate::choosing::pages;"),
        ("src/web/mod.rs", "use crate::store::Store; use axum::Router;"),
    ] {
        let file = File { path: path.into(), source: source.into() };
        let found = faults(&[file], &["axum".into()], &tables);
        assert!(found.is_empty(), "{path}: {source}: {found:?}");
    }
}

#[test]
fn a_module_compiled_for_tests_only_may_prepare_other_rooms_rows() {
    let file = |path: &str, source: &str| File { path: path.into(), source: source.into() };
    let mut files = vec![
        file("src/shelf/mod.rs", "#[cfg(test)]\nmod tests;"),
        file("src/shelf/tests.rs", "query(\"DELETE FROM member\")"),
    ];
    let tables = [("member", "people")];
    assert_eq!(faults(&files, &[], &tables), Vec::<String>::new());
    files[0] = file("src/shelf/mod.rs", "mod tests;");
    assert_eq!(faults(&files, &[], &tables).len(), 1);
}

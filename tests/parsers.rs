//! Files that came in damaged: real tables and real pictures with bytes changed, cut out, doubled or cut
//! off, thousands of each. Whatever they are, they are read or refused with words, and nothing breaks.
#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]

#[path = "shelves/mod.rs"]
mod shelves;

use std::io::Cursor;

use borrowed_light::club::check::faults;
use borrowed_light::club::exchange::{Mode, Table, import};
use borrowed_light::demo;
use borrowed_light::sheet::NotTaken;
use borrowed_light::shelf::{Picture, read_picture};
use borrowed_light::store::Store;
use borrowed_light::web::clock::Clock;
use image::{ImageFormat, Rgb, RgbImage};
use jiff::tz::TimeZone;
use shelves::Rolls;

/// Bytes with one to eight things done to them.
fn damaged(bytes: &[u8], rolls: &mut Rolls) -> Vec<u8> {
    let mut bytes = bytes.to_vec();
    for _ in 0..=rolls.below(8) {
        if bytes.is_empty() {
            break;
        }
        let at = rolls.below(bytes.len());
        let end = (at + 1 + rolls.below(40)).min(bytes.len());
        match rolls.below(7) {
            0 => bytes[at] = rolls.next() as u8,
            1 => bytes[at] ^= 1 << rolls.below(8),
            2 => drop(bytes.drain(at..end)),
            3 => {
                let again = bytes[at..end].to_vec();
                bytes.splice(at..at, again);
            }
            4 => bytes.truncate(at),
            5 => bytes[at] = rolls.of(b"\0\",;\n\r\t'=+-@\xff\xfe"),
            _ => {
                let other = rolls.below(bytes.len());
                bytes.swap(at, other);
            }
        }
    }
    bytes
}

/// The demo club's own tables, each with the name it is imported under.
fn tables() -> Vec<(Table, Vec<u8>)> {
    [
        (Table::Telescopes, "telescopes"),
        (Table::Eyepieces, "eyepieces"),
        (Table::Barlows, "barlows"),
        (Table::Filters, "filters"),
        (Table::Accessories, "accessories"),
        (Table::Members, "members"),
        (Table::Reservations, "reservations"),
    ]
    .map(|(table, name)| {
        let file = format!("{}/demo-data/{name}.csv", env!("CARGO_MANIFEST_DIR"));
        (table, std::fs::read(file).unwrap())
    })
    .to_vec()
}

#[tokio::test]
async fn damaged_tables_are_taken_whole_or_not_at_all() {
    let folder = tempfile::tempdir().unwrap();
    let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
    let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
    demo::fill(&store, &clock).await.unwrap();
    let mut rolls = Rolls::new(3_141);
    let (mut taken, mut refused) = (0, 0);
    for (table, sound) in tables() {
        for _ in 0..300 {
            let bytes = damaged(&sound, &mut rolls);
            match import(&store, table, &bytes, clock.now(), Mode::DryRun).await {
                Ok(_) => taken += 1,
                Err(NotTaken::Refused(list)) => {
                    assert!(!list.faults.is_empty(), "refused without a word");
                    refused += 1;
                }
                Err(NotTaken::Failed(error)) => panic!("{}: {error}", table.as_str()),
            }
        }
    }
    // Some damage is none: a changed letter in a name.
    assert!(taken > 0 && refused > 500, "{taken} taken, {refused} refused");
    assert_eq!(faults(&store).await.unwrap(), Vec::<String>::new());
}

/// A picture with something to see, as a file of this kind.
fn picture(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    RgbImage::from_fn(64, 48, |x, y| Rgb([(4 * x) as u8, (5 * y) as u8, (x * y) as u8]))
        .write_to(&mut bytes, format)
        .unwrap();
    bytes.into_inner()
}

#[test]
fn damaged_pictures_are_painted_anew_or_refused() {
    let mut rolls = Rolls::new(2_718);
    let (mut read, mut refused) = (0, 0);
    for format in [ImageFormat::Jpeg, ImageFormat::Png, ImageFormat::WebP] {
        let sound = picture(format);
        for _ in 0..600 {
            match read_picture(&damaged(&sound, &mut rolls)) {
                Ok(Picture { large, small, .. }) => {
                    // Whatever came in, a JPEG of our own goes out.
                    assert!(large.starts_with(b"\xff\xd8") && small.starts_with(b"\xff\xd8"));
                    read += 1;
                }
                Err(why) => {
                    assert!(!why.to_string().is_empty());
                    refused += 1;
                }
            }
        }
    }
    assert!(read > 0 && refused > 500, "{read} read, {refused} refused");
}

//! The life of the demo club's shelf: where things live, what they are worth, what leaves with
//! them, what has been seen and what has to be done.

use jiff::ToSpan as _;
use jiff::civil::Date;

use super::DemoError;
use crate::people::{MemberNumber, member_by_number};
use crate::shelf::care::{Round, add_upkeep, note_inspection};
use crate::shelf::{
    AssetTag, Hand, ItemState, Papers, ShelfError, Worth, count, put_papers, tagged,
};
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// Tag, place, value and the member who lends it, where it isn't the club's.
const PLACES: [(&str, &str, &str, &str); 16] = [
    ("T-001", "Back wall, floor", "480", ""),
    ("T-004", "Cupboard 1, top", "390", ""),
    ("T-007", "Cupboard 1, middle", "520", ""),
    ("T-009", "Cupboard 2, top", "410", ""),
    ("T-012", "Trolley", "1350", ""),
    ("T-013", "Trolley", "2100", "M-103"),
    ("T-015", "Back wall, floor", "560", ""),
    ("T-017", "Mill, ground floor", "2400", "M-101"),
    ("E-001", "Case A, row 1", "85", ""),
    ("E-012", "Case A, row 2", "140", ""),
    ("E-031", "Case B, row 1", "230", ""),
    ("E-041", "Case B, row 3", "390.50", "M-103"),
    ("B-01", "Case A, lid", "45", ""),
    ("F-01", "With the Heron", "95", ""),
    ("A-05", "Case C", "210", ""),
    ("A-07", "Charging shelf", "120", ""),
];

/// What always leaves with a telescope.
const SETS: [(&str, &[&str]); 4] = [
    ("T-001", &["Rocker box", "Straight finder", "Dust cap", "Collimation cap"]),
    ("T-004", &["Tripod", "Red-dot finder", "Mirror diagonal", "Dust cap"]),
    ("T-007", &["Tripod", "Finder, capped by day", "Dust cap"]),
    ("T-015", &["Rocker box", "Straight finder", "Mirror cover", "Collimation tool", "Shroud"]),
];

/// Tag, what is to be done, months, loans, and how many days ago it was last done.
type Rounds = [(&'static str, &'static str, Option<i64>, Option<i64>, i64); 6];
const ROUNDS: Rounds = [
    ("T-001", "Collimate it", None, Some(5), 20),
    ("T-015", "Collimate it", Some(3), Some(5), 100),
    ("T-016", "Clean the main mirror", Some(24), None, 400),
    ("T-017", "Check the wheels and the brake", Some(6), None, 120),
    ("A-07", "Charge it", Some(1), None, 12),
    ("A-08", "Charge it", Some(1), None, 45),
];

/// Tag, how many days ago, what was seen, how it was left.
const FINDINGS: [(&str, i64, &str, ItemState); 5] = [
    ("F-06", 9, "Pinholes near the rim. Not for the Sun any more.", ItemState::NeedsInspection),
    ("A-03", 16, "The prism rattles when it is shaken.", ItemState::NeedsInspection),
    ("A-09", 40, "One cell is swollen. Not to be charged.", ItemState::InRepair),
    ("T-001", 20, "Bearing pads replaced, moves smoothly again.", ItemState::InService),
    ("E-012", 33, "Cleaned; a small scratch near the edge does not show.", ItemState::InService),
];

/// Writes all of it, as if it had happened before today.
///
/// # Errors
/// The database refused, or something names a piece that is not there.
pub(super) async fn furnish(tx: &mut WriteTx, clock: &Clock) -> Result<(), DemoError> {
    let (today, hand) = (clock.today(), Hand::of_nobody(clock.seconds()));
    for (tag, place, value, lender) in PLACES {
        let owner = match MemberNumber::new(lender) {
            Ok(number) => member_by_number(tx, &number).await?.map(|member| member.id),
            Err(_) => None,
        };
        let value = Worth::parse(value).map_err(|why| odd(tag, &why))?;
        let papers = Papers { owner, place: place.into(), value: Some(value), ..Papers::default() };
        let parts = SETS.iter().find(|(of, _)| *of == tag).map_or(&[][..], |(_, parts)| parts);
        let parts: Vec<String> = parts.iter().map(ToString::to_string).collect();
        let item = piece(tx, tag).await?;
        // As it was taken in a moment ago.
        put_papers(tx, hand, (item.id, item.kind, 1), &papers, &parts).await.map_err(refused)?;
    }
    for (tag, what, months, loans, days) in ROUNDS {
        let round = Round::new(months, loans).map_err(|why| odd(tag, &why))?;
        let item = piece(tx, tag).await?;
        let done = ago(today, days);
        add_upkeep(tx, item.id, what, round, done).await.map_err(refused)?;
    }
    for (tag, days, finding, state) in FINDINGS {
        let item = piece(tx, tag).await?;
        let seen = (ago(today, days), finding, state);
        note_inspection(tx, hand, item.id, seen).await.map_err(refused)?;
    }
    take_stock(tx, hand).await.map_err(refused)
}

/// The record of a count in which two pieces were not found.
async fn take_stock(tx: &mut WriteTx, hand: Hand) -> Result<(), ShelfError> {
    const NOT_SEEN: [&str; 2] = ["E-022", "F-16"];
    count::start(tx, hand).await?;
    let Some(going) = count::under_way(tx).await? else { return Ok(()) };
    for (item, _) in count::standing(tx, going.id).await? {
        if !NOT_SEEN.contains(&item.tag.as_str()) && item.state != ItemState::Missing {
            count::see(tx, hand, going.id, item.id).await?;
        }
    }
    let lines = count::standing(tx, going.id).await?;
    count::end(tx, hand, going.id, "Ottilie Marchbanks", &lines).await?;
    Ok(())
}

fn ago(today: Date, days: i64) -> Date {
    today.saturating_sub(days.days())
}

fn odd(tag: &str, why: &dyn std::fmt::Display) -> DemoError {
    DemoError::File { table: "shelf", why: format!("{tag}: {why}") }
}

#[expect(clippy::needless_pass_by_value, reason = "it stands where errors are mapped")]
fn refused(error: ShelfError) -> DemoError {
    DemoError::File { table: "shelf", why: error.to_string() }
}

async fn piece(tx: &mut WriteTx, tag: &'static str) -> Result<crate::shelf::ItemName, DemoError> {
    let wanted = AssetTag::new(tag).map_err(|why| odd(tag, &why))?;
    let found = tagged(tx, &wanted).await.map_err(refused)?;
    found.ok_or_else(|| odd(tag, &"no piece bears this tag"))
}

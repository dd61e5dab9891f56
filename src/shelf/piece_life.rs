//! A piece's life as its page tells it: outings, inspections and changes, the latest first.

use std::collections::HashMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use sqlx::SqliteConnection;

use super::asked::{label, shown};
use super::care::inspections;
use super::history::{Change, changes};
use super::item::Kind;
use super::page::{Moment, PhotoShown};
use super::photos::{Occasion, Photo, Size};
use super::picture::SMALL_PX;
use super::store::ItemName;
use crate::lending::of_piece::{Outing, outings};
use crate::people::access::Account;
use crate::people::names;
use crate::people::rights::Deed;
use crate::web::problem::Problem;

/// How many outings, inspections and changes a page tells of.
const MOST_MOMENTS: i64 = 100;

/// Papers that are nobody else's business, neither as they are nor as they were.
const FOR_THE_DESK: [&str; 5] = ["owner", "custodian", "value", "serial", "bought_on"];

/// Everything that happened to a piece, as far as this reader may know.
///
/// # Errors
/// The database could not be read.
pub(super) async fn life(
    conn: &mut SqliteConnection,
    account: &Account,
    (item, photos): (&ItemName, &[Photo]),
    zone: &TimeZone,
) -> Result<Vec<Moment>, Problem> {
    let desk = account.roles.may(Deed::RunDesk);
    let mut changes = changes(conn, item.id, 0, MOST_MOMENTS).await?;
    changes.retain(|one| desk || !FOR_THE_DESK.contains(&one.field.as_str()));
    let outings = outings(conn, item.id, MOST_MOMENTS).await?;
    let seen = inspections(conn, item.id, MOST_MOMENTS).await?;
    let (mut accounts, mut members) = (HashMap::new(), HashMap::new());
    if desk {
        accounts = {
            let hands = changes.iter().filter_map(|one| one.by);
            let eyes = seen.iter().filter_map(|one| one.noted_by);
            names::of_accounts(conn, hands.chain(eyes)).await?
        };
        let eyes = seen.iter().filter_map(|one| one.noted_by_member);
        members = names::of_members(conn, outings.iter().map(|one| one.member).chain(eyes)).await?;
    }
    let mut all = Vec::new();
    for outing in &outings {
        let who = members.get(&outing.member).cloned().unwrap_or_default();
        all.extend(told(outing, &who, desk, zone));
    }
    for seen in seen {
        let by = seen.noted_by.and_then(|id| accounts.get(&id));
        let by = by.or_else(|| members.get(&seen.noted_by_member?));
        all.push(Moment {
            day: seen.day.strftime("%-d %B %Y").to_string(),
            what: if desk {
                format!("Looked over: “{}”", seen.finding)
            } else {
                "Looked over".to_owned()
            },
            who: by.cloned().unwrap_or_default(),
            changes: Vec::new(),
            photos: shown_photos(
                photos.iter().filter(|photo| photo.inspection == Some(seen.id)),
                item,
                zone,
            ),
            at: seen.noted_at,
        });
    }
    for of_version in changes.chunk_by(|a, b| a.version == b.version) {
        all.push(edit(item.kind, of_version, &accounts, zone));
    }
    all.sort_by_key(|moment| std::cmp::Reverse(moment.at));
    Ok(all)
}

fn day(at: i64, zone: &TimeZone) -> String {
    Timestamp::from_second(at).map_or_else(
        |_| String::new(),
        |at| at.to_zoned_datetime(zone.clone()).strftime("%-d %B %Y").to_string(),
    )
}

/// Photos as a page shows them.
pub(super) fn shown_photos<'a>(
    photos: impl IntoIterator<Item = &'a Photo>,
    item: &ItemName,
    zone: &TimeZone,
) -> Vec<PhotoShown> {
    let shown = photos.into_iter().map(|photo| {
        let (width, height) = photo.size_px;
        let share = |side: i64| (side * i64::from(SMALL_PX) / width.max(height).max(1)).max(1);
        let fits = width.max(height) <= i64::from(SMALL_PX);
        let day = day(photo.added_at, zone);
        let says = match photo.occasion {
            Occasion::Shelf => day,
            Occasion::Inspection => format!("{day}, when it was looked over"),
            Occasion::Return => format!("{day}, when it came back"),
        };
        PhotoShown {
            id: photo.id,
            small: photo.address(Size::Small),
            large: photo.address(Size::Large),
            width: if fits { width } else { share(width) },
            height: if fits { height } else { share(height) },
            alt: format!("{} {}, {says}", item.tag, item.name),
            says,
        }
    });
    shown.collect()
}

fn told(outing: &Outing, who: &str, desk: bool, zone: &TimeZone) -> Vec<Moment> {
    let moment = |at: i64, what: String| Moment {
        day: day(at, zone),
        what,
        who: who.to_owned(),
        changes: Vec::new(),
        photos: Vec::new(),
        at,
    };
    let mut all = vec![moment(outing.handed_at, "Went out".into())];
    if let (Some(at), Some(condition)) = (outing.returned_at, outing.condition) {
        let how = condition.came_back();
        // What was noted may speak of the borrower.
        let note = if desk && !outing.note.is_empty() {
            format!(": “{}”", outing.note)
        } else {
            String::new()
        };
        all.push(moment(at, format!("{how}{note}")));
    }
    all
}

fn edit(
    kind: Kind,
    changes: &[Change],
    accounts: &HashMap<i64, String>,
    zone: &TimeZone,
) -> Moment {
    let first = changes.first();
    let at = first.map_or(0, |one| one.at);
    let by = first.and_then(|one| one.by).and_then(|id| accounts.get(&id));
    let added = changes.iter().any(|one| one.version == 1 && one.field == "asset_tag");
    let value = |column: &str, value: &Option<String>| match value {
        None => "nothing".to_owned(),
        Some(value) => shown(kind, column, value),
    };
    let lines = changes.iter().map(|one| {
        (label(kind, &one.field), value(&one.field, &one.before), value(&one.field, &one.after))
    });
    Moment {
        day: day(at, zone),
        what: if added { "Came to the shelf".into() } else { "Was changed".into() },
        who: by.cloned().unwrap_or_default(),
        changes: if added { Vec::new() } else { lines.collect() },
        photos: Vec::new(),
        at,
    }
}

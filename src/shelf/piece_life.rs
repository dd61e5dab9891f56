//! A piece's life as its page tells it: outings, inspections and changes, the latest first.

use std::collections::HashMap;

use jiff::Timestamp;
use jiff::tz::TimeZone;
use sqlx::SqliteConnection;

use super::asked::{label, shown};
use super::care::noted_before;
use super::history::{Change, changes_before};
use super::item::Kind;
use super::page::{Moment, PhotoShown};
use super::photos::{Occasion, Photo, Size};
use super::picture::SMALL_PX;
use super::store::ItemName;
use crate::lending::of_piece::{Outing, Outings, outings};
use crate::people::access::Account;
use crate::people::names;
use crate::people::rights::Deed;
use crate::web::problem::Problem;

/// Papers that are nobody else's business, neither as they are nor as they were.
const FOR_THE_DESK: [&str; 5] = ["owner", "custodian", "value", "serial", "bought_on"];

/// A stretch of a piece's life, the latest first.
#[derive(Debug)]
pub(super) struct Life {
    pub(super) moments: Vec<Moment>,
    /// The outing that it is on, where that began before the stretch's end.
    pub(super) outing_now: Option<Outing>,
    /// Before which instant the rest lies; none where this is all.
    pub(super) earlier: Option<i64>,
}

/// What happened to a piece before an instant, seconds since 1970, as far as this reader may know:
/// about `most` moments, and more only where more fall into one second.
///
/// # Errors
/// The database could not be read.
pub(super) async fn life(
    conn: &mut SqliteConnection,
    account: &Account,
    (item, photos, inspected): (&ItemName, &[Photo], bool),
    zone: &TimeZone,
    (before, most): (i64, usize),
) -> Result<Life, Problem> {
    let desk = account.roles.may(Deed::RunDesk);
    // One more of each shows whether that is all.
    let each = i64::try_from(most).unwrap_or(i64::MAX).saturating_add(1);
    let hidden: &[&str] = if desk { &[] } else { &FOR_THE_DESK };
    let changes = changes_before(conn, item.id, before, each, hidden).await?;
    let Outings { latest: outings, now } = outings(conn, item.id, before, each).await?;
    let seen =
        if inspected { noted_before(conn, item.id, before, each).await? } else { Vec::new() };
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
    let mut floor = Floor { each, at: None };
    floor.of(outings.iter().map(|one| one.handed_at));
    floor.of(seen.iter().map(|one| one.noted_at));
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
    let one = |a: &Change, b: &Change| (a.at, a.version) == (b.at, b.version);
    let versions: Vec<&[Change]> = changes.chunk_by(one).collect();
    floor.of(versions.iter().filter_map(|version| version.first()).map(|one| one.at));
    all.extend(versions.into_iter().map(|version| edit(item.kind, version, &accounts, zone)));
    // An outing that began before the instant may have ended after it.
    all.retain(|moment| moment.at < before);
    let (moments, earlier) = cut(all, floor.at, most);
    Ok(Life { moments, outing_now: now, earlier })
}

/// How far back all of what was asked for is at hand: where one kind of moments gave as many as were
/// asked, those from its earliest on, whose second is whole.
struct Floor {
    each: i64,
    at: Option<i64>,
}

impl Floor {
    fn of(&mut self, instants: impl Iterator<Item = i64>) {
        let (mut many, mut earliest) = (0_i64, i64::MAX);
        for at in instants {
            many += 1;
            earliest = earliest.min(at);
        }
        if many >= self.each {
            self.at = self.at.max(Some(earliest));
        }
    }
}

/// The latest of these moments, and before which instant the rest lies. Moments of one second stay
/// together, so that the next stretch begins where this one ends.
fn cut(mut all: Vec<Moment>, floor: Option<i64>, most: usize) -> (Vec<Moment>, Option<i64>) {
    all.sort_by_key(|moment| std::cmp::Reverse(moment.at));
    let from = |at: i64| all.partition_point(|moment| moment.at >= at);
    let after = |at: i64| all.partition_point(|moment| moment.at > at);
    let mut kept = floor.map_or(all.len(), from);
    if let Some(first_left) = all.get(most).filter(|_| kept > most) {
        kept = match after(first_left.at) {
            0 => from(first_left.at),
            fewer => fewer,
        };
    }
    let is_all = kept == all.len() && floor.is_none();
    all.truncate(kept);
    let earlier = if is_all { None } else { all.last().map(|moment| moment.at) };
    (all, earlier)
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

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    fn moments(instants: &[i64]) -> Vec<Moment> {
        let moment = |&at: &i64| Moment {
            day: String::new(),
            what: String::new(),
            who: String::new(),
            changes: Vec::new(),
            photos: Vec::new(),
            at,
        };
        instants.iter().map(moment).collect()
    }

    proptest! {
        /// Three kinds of moments, each read `most + 1` at a time and to the end of that second, as the
        /// database gives them.
        #[test]
        fn stretch_by_stretch_every_moment_is_told_once(
            kinds in proptest::collection::vec(proptest::collection::vec(0_i64..60, 0..40), 3),
            crowd in 0_usize..30,
            most in 4_usize..12,
        ) {
            let each = most + 1;
            // In one second, there may be more of one kind than are read at a time.
            let kinds: Vec<Vec<i64>> = kinds.into_iter().map(|mut kind| {
                kind.extend(std::iter::repeat_n(30, crowd));
                kind.sort_unstable_by_key(|at| std::cmp::Reverse(*at));
                kind
            }).collect();
            let mut expected: Vec<i64> = kinds.concat();
            expected.sort_unstable_by_key(|at| std::cmp::Reverse(*at));
            let (mut told, mut before) = (Vec::new(), Some(i64::MAX));
            while let Some(end) = before {
                let mut floor = Floor { each: i64::try_from(each).unwrap(), at: None };
                let mut all = Vec::new();
                for kind in &kinds {
                    let rest = kind.partition_point(|at| *at >= end);
                    let last = kind.get(rest + each - 1).copied().unwrap_or_default();
                    let read: Vec<i64> =
                        kind[rest..].iter().copied().take_while(|at| *at >= last).collect();
                    floor.of(read.iter().copied());
                    all.extend(moments(&read));
                }
                let (stretch, earlier) = cut(all, floor.at, most);
                prop_assert!(earlier.is_none_or(|earlier| earlier < end));
                told.extend(stretch.iter().map(|moment| moment.at));
                before = earlier;
            }
            prop_assert_eq!(told, expected);
        }
    }
}

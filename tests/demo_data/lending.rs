//! What must be true of the reservations.

use std::collections::{BTreeMap, BTreeSet};

use jiff::civil::{Date, date};

use super::files::{Club, Row};
use super::people;
use super::shelf::too_few;

/// The Friday as of which the files are written.
pub const REFERENCE: Date = date(2026, 6, 5);

/// Whole days after the reference Friday; negative before it.
pub fn days_from_reference(day: Date) -> i32 {
    day.duration_since(REFERENCE).as_hours() as i32 / 24
}

/// The nights of a reservation as days from the reference; empty when they are not in order.
fn nights(row: &Row) -> std::ops::Range<i32> {
    match (row.date("first_night"), row.date("last_night")) {
        (Some(first), Some(last)) => days_from_reference(first)..days_from_reference(last) + 1,
        _ => 0..0,
    }
}

fn tags(row: &Row) -> impl Iterator<Item = &str> {
    row.text("asset_tags").split(' ')
}

/// Things promised twice for one night.
pub fn clash_faults(club: &Club) -> Vec<String> {
    let mut taken = BTreeSet::new();
    let mut faults = Vec::new();
    for row in &club.reservations {
        for tag in tags(row) {
            for night in nights(row) {
                if !taken.insert((tag, night)) {
                    faults.push(row.fault(format_args!("{tag} is promised twice, night {night}")));
                }
            }
        }
    }
    faults
}

/// Reservations that the desk would refuse.
pub fn reservation_faults(club: &Club) -> Vec<String> {
    let items: BTreeMap<&str, &Row> =
        club.items().map(|row| (row.text("asset_tag"), row)).collect();
    let members: BTreeMap<&str, &Row> =
        club.members.iter().map(|row| (row.text("member_number"), row)).collect();
    let mut faults = Vec::new();
    for row in &club.reservations {
        match members.get(row.text("member_number")) {
            None => faults.push(row.fault("no such member")),
            Some(member) => {
                if member.text("state") != "active" {
                    faults.push(row.fault("the member has left"));
                }
                if people::age(member).is_some_and(|age| age < 19.0) {
                    faults.push(row.fault("the member may not be of age"));
                }
            }
        }
        let nights = nights(row);
        if nights.is_empty() || nights.len() > 366 {
            faults.push(row.fault("the nights are not in order, or too many"));
        }
        if nights.start < -182 || nights.end > 38 {
            faults.push(
                row.fault("not in the half-year before the reference weekend or five weeks after"),
            );
        }
        for tag in tags(row) {
            match items.get(tag) {
                None => faults.push(row.fault(format_args!("no such thing as {tag:?}"))),
                Some(item) if !item.in_service() => {
                    faults.push(row.fault(format_args!("{tag} is not in service")));
                }
                Some(_) => {}
            }
        }
    }
    faults
}

/// Reservations whose pieces do not go together.
pub fn barrel_faults(club: &Club) -> Vec<String> {
    let width = |rows: &[Row], column: &str, tag: &str| {
        rows.iter().find(|row| row.text("asset_tag") == tag).and_then(|row| row.number(column))
    };
    let mut faults = Vec::new();
    for row in &club.reservations {
        let Some(focuser) =
            tags(row).find_map(|tag| width(&club.telescopes, "focuser_barrel_mm", tag))
        else {
            faults.push(row.fault("no telescope to look through"));
            continue;
        };
        for tag in tags(row) {
            let barrel = width(&club.eyepieces, "barrel_mm", tag)
                .or_else(|| width(&club.barlows, "barrel_mm", tag))
                .or_else(|| width(&club.filters, "barrel_mm", tag));
            if barrel.is_some_and(|barrel| barrel > focuser) {
                faults.push(row.fault(format_args!("{tag} does not go into {focuser} mm")));
            }
            let fits = club.filters.iter().find(|filter| filter.text("asset_tag") == tag);
            let fits = fits.map_or("", |filter| filter.text("fits_telescope"));
            if !fits.is_empty() && !tags(row).any(|other| other == fits) {
                faults.push(row.fault(format_args!("{tag} was made for {fits}")));
            }
        }
    }
    faults
}

/// A reference weekend, or one after it, on which too much or too little is left.
pub fn weekend_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    for friday in [0, 7, 14, 21, 28, 35] {
        let taken: BTreeSet<&str> = club
            .reservations
            .iter()
            .filter(|row| nights(row).any(|night| (friday..=friday + 2).contains(&night)))
            .flat_map(tags)
            .collect();
        let free = |rows: &[Row]| {
            let left = |row: &&Row| row.in_service() && !taken.contains(row.text("asset_tag"));
            rows.iter().filter(left).count()
        };
        let out =
            club.telescopes.iter().filter(|row| taken.contains(row.text("asset_tag"))).count();
        let when = |what: &str| format!("{what}, weekend {friday} days after");
        faults.extend(too_few(&when("telescopes taken"), out, if friday == 0 { 6 } else { 1 }));
        faults.extend(too_few(&when("telescopes free"), free(&club.telescopes), 10));
        faults.extend(too_few(&when("eyepieces free"), free(&club.eyepieces), 50));
        faults.extend(too_few(&when("Barlows free"), free(&club.barlows), 5));
    }
    faults
}

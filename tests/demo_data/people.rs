//! What must be true of the members.

use std::collections::BTreeSet;

use super::files::{Club, Row};
use super::shelf::too_few;

/// The year as of which the files are written.
pub const YEAR: f64 = 2026.0;

/// How old a member becomes in the year of writing.
pub fn age(row: &Row) -> Option<f64> {
    row.number("birth_year").map(|year| YEAR - year)
}

/// Members that cannot be, and kinds of members of whom there is none.
pub fn member_faults(club: &Club) -> Vec<String> {
    let mut faults = Vec::new();
    let mut numbers = BTreeSet::new();
    for row in &club.members {
        if !numbers.insert(row.text("member_number")) || row.text("name").is_empty() {
            faults.push(row.fault("number used twice, or no name"));
        }
        faults.extend(row.other_than("glasses", &["none", "takes_off", "keeps_on", ""]));
        faults.extend(row.other_than("state", &["active", "left"]));
        faults.extend(row.outside("sphere_d", -15.0..=15.0));
        faults.extend(row.outside("cylinder_d", -6.0..=0.0));
        faults.extend(row.outside("measured_pupil_mm", 3.5..=9.0));
        faults.extend(row.outside("relief_floor_mm", 6.0..=25.0));
        if age(row).is_some_and(|age| !(9.0..=84.0).contains(&age)) {
            faults.push(row.fault("not between 9 and 84 years old"));
        }
        for column in ["sphere_d", "cylinder_d"] {
            if row.number(column).is_some_and(|dioptres| (dioptres * 4.0).fract() != 0.0) {
                faults.push(row.fault(format_args!("{column} is not in quarters")));
            }
        }
        match (row.date("joined"), row.number("birth_year")) {
            (Some(joined), _) if joined > super::lending::REFERENCE => {
                faults.push(row.fault("joins only later"));
            }
            (Some(joined), Some(born)) if f64::from(joined.year()) < born + 5.0 => {
                faults.push(row.fault("joined before school"));
            }
            (Some(_), _) => {}
            (None, _) => faults.push(row.fault("no joining date")),
        }
    }
    let has = |row: &&Row, column: &str| !row.text(column).is_empty();
    for glasses in ["none", "takes_off", "keeps_on"] {
        let ours: Vec<&Row> =
            club.members.iter().filter(|row| row.text("glasses") == glasses).collect();
        let count = |wanted: &dyn Fn(&&Row) -> bool| ours.iter().filter(|row| wanted(row)).count();
        let bare = count(&|row| !has(row, "sphere_d") && !has(row, "cylinder_d"));
        let pupil = count(&|row| has(row, "measured_pupil_mm"));
        faults.extend(too_few(&format!("{glasses} members"), ours.len(), 10));
        faults.extend(too_few(&format!("{glasses} members, prescription unknown"), bare, 1));
        faults.extend(too_few(&format!("{glasses} members, pupil measured"), pupil, 2));
        if glasses != "none" {
            let both = count(&|row| has(row, "sphere_d") && has(row, "cylinder_d"));
            let sphere = count(&|row| has(row, "sphere_d") && !has(row, "cylinder_d"));
            let cylinder = count(&|row| !has(row, "sphere_d") && has(row, "cylinder_d"));
            let high = count(&|row| row.number("cylinder_d").is_some_and(|d| d <= -2.0));
            faults.extend(too_few(&format!("{glasses} members, both figures"), both, 3));
            faults.extend(too_few(&format!("{glasses} members, sphere alone"), sphere, 1));
            faults.extend(too_few(&format!("{glasses} members, cylinder alone"), cylinder, 1));
            faults.extend(too_few(&format!("{glasses} members, high cylinder"), high, 2));
        }
    }
    let aged = |wanted: &dyn Fn(f64) -> bool| {
        club.members.iter().filter(|row| age(row).is_some_and(wanted)).count()
    };
    let unknown = club.members.iter().filter(|row| age(row).is_none()).count();
    let floors = club.members.iter().filter(|row| has(row, "relief_floor_mm")).count();
    faults.extend(too_few("members of 9", aged(&|age| age < 10.0), 1));
    faults.extend(too_few("members of 84", aged(&|age| age > 83.0), 1));
    faults.extend(too_few("children", aged(&|age| age < 16.0), 4));
    faults.extend(too_few("members of 75 and over", aged(&|age| age >= 75.0), 5));
    faults.extend(too_few("members of unknown age", unknown, 2));
    faults.extend(too_few("members with a relief floor of their own", floors, 5));
    faults
}

/// Addresses that could reach somebody, or reach two.
pub fn address_faults(club: &Club) -> Vec<String> {
    // Reserved for examples by RFC 2606, section 3.
    const RESERVED: [&str; 3] = ["example.org", "example.com", "example.net"];
    let mut faults = Vec::new();
    let mut seen = BTreeSet::new();
    for row in &club.members {
        let address = row.text("email");
        if address.is_empty() {
            continue;
        }
        match address.split_once('@') {
            Some((name, domain)) if !name.is_empty() && RESERVED.contains(&domain) => {}
            _ => faults.push(row.fault(format_args!("{address} is not under a reserved domain"))),
        }
        if !seen.insert(address.to_lowercase()) {
            faults.push(row.fault(format_args!("{address} belongs to two members")));
        }
    }
    faults
}

//! Each check finds its fault in a spoilt copy of the club, so a faultless club means something.

use super::files::{Club, Row};
use super::{lending, people, shelf, words};

type Check = fn(&Club) -> Vec<String>;

/// Spoils a copy of the club and expects the check to say so.
fn finds(check: Check, what: &str, spoil: impl FnOnce(&mut Club)) {
    let mut club = Club::read();
    assert!(check(&club).is_empty());
    spoil(&mut club);
    assert!(!check(&club).is_empty(), "nobody noticed: {what}");
}

/// The row with this tag or number.
fn row<'a>(rows: &'a mut [Row], column: &str, name: &str) -> &'a mut Row {
    rows.iter_mut()
        .find(|row| row.text(column) == name)
        .unwrap_or_else(|| panic!("no {name}: choose another row to spoil"))
}

#[test]
fn a_club_too_small_is_noticed() {
    finds(shelf::size_faults, "few eyepieces", |club| club.eyepieces.truncate(75));
    finds(shelf::size_faults, "no narrow focuser", |club| {
        club.telescopes.retain(|row| row.text("focuser_barrel_mm") != "24.5");
    });
    finds(shelf::size_faults, "nothing unknown", |club| {
        club.eyepieces.retain(|row| !row.text("mass_g").is_empty());
    });
    finds(shelf::twin_faults, "no twins", |club| {
        for (grams, row) in club.eyepieces.iter_mut().enumerate() {
            row.spoil("mass_g", &grams.to_string());
        }
    });
    finds(shelf::twin_faults, "too many twins", |club| {
        club.eyepieces = vec![club.eyepieces[0].clone(); 5];
    });
}

#[test]
fn a_tag_used_twice_or_of_another_form_is_noticed() {
    for tag in ["E-002", "T-002", "E-", "E-1234", "E-0x"] {
        finds(shelf::tag_faults, tag, |club| club.eyepieces[0].spoil("asset_tag", tag));
    }
    finds(shelf::tag_faults, "state", |club| club.barlows[0].spoil("state", "lost"));
}

#[test]
fn an_impossible_telescope_is_noticed() {
    for (tag, column, text) in [
        ("T-001", "central_obstruction_mm", "203"),
        ("T-004", "central_obstruction_mm", "20"),
        ("T-001", "focuser_barrel_mm", "2"),
        ("T-001", "aperture_mm", "8"),
        ("T-001", "focal_length_mm", "120"),
        ("T-001", "focal_length_mm", ""),
        ("T-001", "heaviest_part_mass_g", "19801"),
        ("T-017", "helpers", "0"),
        ("T-001", "eyepiece_height_min_mm", "1300"),
        ("T-001", "tracking", "maybe"),
        ("T-018", "central_obstruction_mm", "30"),
    ] {
        finds(shelf::telescope_faults, column, |club| {
            row(&mut club.telescopes, "asset_tag", tag).spoil(column, text);
        });
    }
}

#[test]
fn an_impossible_eyepiece_is_noticed() {
    for (tag, column, text) in [
        ("E-036", "field_stop_mm", "27.6"),
        ("E-036", "barrel_mm", "24.5"),
        ("E-011", "field_stop_mm", "15"),
        ("E-011", "name", "25 mm wide-field"),
        ("E-011", "focal_length_mm", "3000"),
        ("E-001", "usable_eye_relief_mm", "20"),
        ("E-050", "eye_relief_mm", "25"),
        ("E-011", "optical_class", "zoom"),
        ("E-011", "mass_g", "0"),
    ] {
        finds(shelf::eyepiece_faults, column, |club| {
            row(&mut club.eyepieces, "asset_tag", tag).spoil(column, text);
        });
    }
}

#[test]
fn an_impossible_barlow_or_filter_is_noticed() {
    for (column, text) in [("factor", "0.5"), ("factor", ""), ("barrel_mm", ""), ("kind", "odd")] {
        finds(shelf::barlow_faults, column, |club| club.barlows[0].spoil(column, text));
    }
    for (tag, column, text) in [
        ("F-01", "fits_telescope", "T-999"),
        ("F-01", "fits_outer_diameter_min_mm", "70"),
        ("F-01", "last_light_test", ""),
        ("F-01", "last_light_test", "2026-06-06"),
        ("F-01", "barrel_mm", "31.75"),
        ("F-01", "damaged", "yes"),
        ("F-05", "last_light_test", "2026-01-01"),
        ("F-06", "damaged", "no"),
        ("F-08", "fits_telescope", "T-001"),
        ("F-08", "kind", "dark"),
    ] {
        finds(shelf::filter_faults, column, |club| {
            row(&mut club.filters, "asset_tag", tag).spoil(column, text);
        });
    }
}

#[test]
fn an_impossible_member_is_noticed() {
    for (column, text) in [
        ("member_number", "M-102"),
        ("birth_year", "2018"),
        ("birth_year", "1941"),
        ("glasses", "sometimes"),
        ("cylinder_d", "1"),
        ("sphere_d", "1.3"),
        ("measured_pupil_mm", "12"),
        ("joined", ""),
        ("joined", "2026-06-06"),
        ("joined", "1958-06-06"),
        ("state", "away"),
    ] {
        finds(people::member_faults, column, |club| club.members[0].spoil(column, text));
    }
    finds(people::member_faults, "nobody keeps glasses on", |club| {
        club.members.retain(|row| row.text("glasses") != "keeps_on");
    });
    for address in ["ann@club.org", "ann@example.org.uk", "example.org", "@example.org"] {
        finds(people::address_faults, address, |club| club.members[0].spoil("email", address));
    }
    finds(people::address_faults, "shared", |club| {
        club.members[0].spoil("email", "Adaeze@example.com".to_lowercase().as_str());
    });
}

#[test]
fn a_reservation_the_desk_would_refuse_is_noticed() {
    finds(lending::clash_faults, "promised twice", |club| {
        let again = club.reservations[0].clone();
        club.reservations.push(again);
    });
    finds(lending::clash_faults, "twice in one reservation", |club| {
        club.reservations[0].spoil("asset_tags", "T-007 E-012 E-012");
    });
    for (column, text) in [
        ("member_number", "M-999"),
        ("member_number", "M-120"),
        ("member_number", "M-152"),
        ("last_night", "2026-04-30"),
        ("first_night", "2025-04-30"),
        ("last_night", "2026-12-24"),
        ("asset_tags", "T-007 E-999"),
        ("asset_tags", "T-021"),
        ("asset_tags", "T-007  E-012"),
    ] {
        finds(lending::reservation_faults, text, |club| club.reservations[0].spoil(column, text));
    }
    for pieces in ["T-005 E-001", "T-003 B-06", "T-003 F-12", "E-001", "T-007 F-01"] {
        finds(lending::barrel_faults, pieces, |club| {
            club.reservations[0].spoil("asset_tags", pieces);
        });
    }
    finds(lending::weekend_faults, "a quiet weekend", |club| club.reservations.truncate(11));
    finds(lending::weekend_faults, "an empty cupboard", |club| club.telescopes.truncate(12));
}

#[test]
fn words_that_point_at_the_real_world_are_noticed() {
    for text in [
        "the Marvel™",
        "see www.example.org",
        "ask ann@example.org",
        "an 8QX, nearly new",
        "the QRS",
        "two  spaces",
        "=1+1",
        "-good",
        "tab\there",
    ] {
        finds(words::word_faults, text, |club| club.telescopes[0].spoil("notes", text));
    }
}

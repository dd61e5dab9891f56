//! The demo club's files agree with themselves, with each other and with what glass can do.
//!
//! Every check is a function from the files to a list of faults. The club must have none, and the
//! last tests spoil a copy to see that each check can find one.

#[path = "demo_data/files.rs"]
mod files;
#[path = "demo_data/lending.rs"]
mod lending;
#[path = "demo_data/people.rs"]
mod people;
#[path = "demo_data/shelf.rs"]
mod shelf;
#[path = "demo_data/spoilt.rs"]
mod spoilt;
#[path = "demo_data/words.rs"]
mod words;

use files::Club;

fn assert_faultless(faults: &[String]) {
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn the_club_is_big_enough_to_be_real() {
    assert_faultless(&shelf::size_faults(&Club::read()));
}

#[test]
fn no_two_things_share_a_tag_and_every_tag_has_the_clubs_own_form() {
    assert_faultless(&shelf::tag_faults(&Club::read()));
}

#[test]
fn every_telescope_is_possible() {
    assert_faultless(&shelf::telescope_faults(&Club::read()));
}

#[test]
fn every_eyepiece_is_possible_and_its_field_stop_fits_its_barrel() {
    assert_faultless(&shelf::eyepiece_faults(&Club::read()));
}

#[test]
fn every_barlow_is_possible() {
    assert_faultless(&shelf::barlow_faults(&Club::read()));
}

#[test]
fn every_filter_is_possible_and_some_are_not_fit_for_the_sun() {
    assert_faultless(&shelf::filter_faults(&Club::read()));
}

#[test]
fn some_eyepieces_are_twins_in_every_figure() {
    assert_faultless(&shelf::twin_faults(&Club::read()));
}

#[test]
fn members_are_9_to_84_years_old_with_every_use_of_glasses() {
    assert_faultless(&people::member_faults(&Club::read()));
}

#[test]
fn nobody_has_an_address_that_could_be_real() {
    assert_faultless(&people::address_faults(&Club::read()));
}

#[test]
fn nothing_is_promised_twice_for_one_night() {
    assert_faultless(&lending::clash_faults(&Club::read()));
}

#[test]
fn every_reservation_is_by_a_grown_member_for_things_in_service() {
    assert_faultless(&lending::reservation_faults(&Club::read()));
}

#[test]
fn every_reserved_eyepiece_goes_into_the_telescope_it_was_reserved_with() {
    assert_faultless(&lending::barrel_faults(&Club::read()));
}

#[test]
fn the_reference_weekend_is_busy_but_not_empty() {
    assert_faultless(&lending::weekend_faults(&Club::read()));
}

#[test]
fn nothing_bears_a_mark_an_address_or_a_model_number() {
    assert_faultless(&words::word_faults(&Club::read()));
}

//! The service through its front door: a whole application on a temporary database, asked as a
//! browser or a program would ask. Laid out as the addresses are.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "what a test cannot unwrap has failed it"
)]

mod anything;
mod attacks;
mod audit;
#[path = "../shelves/bodies.rs"]
mod bodies;
mod browser;
mod buying;
mod care;
mod choosing_api;
mod client;
mod clock_jumps;
mod doors;
mod doors_account;
mod doors_codes;
mod doors_letters;
mod every_address;
mod invite_letters;
mod lending_api;
mod lending_calendar;
mod lending_feeds;
mod lending_gates;
mod lending_limits;
mod lending_pages;
mod lending_risk;
mod lending_rules;
mod lending_sign;
mod lending_waiting;
mod lending_young;
#[path = "../mail/mod.rs"]
mod mail;
mod my_data;
mod my_eyes;
mod my_gear;
mod my_kits;
mod my_tokens;
mod people;
mod plans;
mod post_desk;
mod public_nights;
mod public_nights_club;
mod public_nights_plan;
mod public_nights_sun;
mod serving;
mod setup;
mod shelf_api;
mod shelf_care;
mod shelf_correctors;
mod shelf_count;
mod shelf_doubts;
mod shelf_large;
mod shelf_life;
mod shelf_pages;
mod shelf_photos;
mod shelf_stock;
#[path = "../shelves/mod.rs"]
mod shelves;
mod sites;
mod sky_api;
mod small_pages;
mod solar_filters;
mod static_files;
mod tokens;

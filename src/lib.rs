//! Borrowed Light: a club lends its telescopes and eyepieces, well.
//!
//! The house has a pure core and one room per feature:
//!
//! * [`optics`] – what glass does: powers, fields, limits. Knows nobody else.
//! * [`eye`] – what the observer's eye does with it. Stands on `optics`.
//! * [`sky`] – Sun, Moon, planets and objects over a place. Stands on `optics`.
//! * [`kit`] – rules, worth and the proven choice. Stands on `optics`, `eye` and `sky`.
//! * [`store`] – the SQLite file: opening, writing, checking. Knows no feature.
//! * [`sheet`] – tables of text, as people edit them. Knows no feature.
//! * [`web`] – the server, sign-in guards, problems, page frame. Knows no feature.
//! * [`audit`] – who did what to which record, noted by every feature, read by administrators.
//! * [`people`], [`profile`], [`shelf`], [`lending`], [`club`], [`choosing`] – the features: each has its
//!   model, its SQL, its pages and its API, and uses another's public functions, never its tables.
//! * [`buying`] – what the club could buy or sell, and what helps most.
//! * [`observing`] – the sky over the club's sites, for pages and programs.
//! * [`guide`] – help, chapter by chapter.
//! * [`public_night`] – public nights: stations, what each shows, everything to print.
//! * [`post`] – letters to members: written down with their reason, sent by a worker.
//! * [`app`] – the one table of addresses, the state and the wiring.
//! * [`demo`] – the invented demo club.
//!
//! The core imports no web framework, database, template engine, clock or random source;
//! `tests/walls.rs` reads the `use` lines and fails when a wall is broken.

pub mod app;
pub mod audit;
pub mod buying;
pub mod choosing;
pub mod club;
pub mod commands;
pub mod demo;
pub mod eye;
#[cfg(test)]
mod gallery;
pub mod guide;
pub mod kit;
pub mod lending;
pub mod observing;
pub mod optics;
pub mod people;
pub mod post;
pub mod profile;
pub mod public_night;
pub mod sheet;
pub mod shelf;
pub mod sky;
pub mod store;
pub mod web;

//! The commands of the binary as a shell meets them: what they print, and their exit status.
#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]

#[path = "commands/clubs.rs"]
mod clubs;
#[path = "commands/damaged.rs"]
mod damaged;
#[path = "commands/failing.rs"]
mod failing;
#[path = "commands/keeping.rs"]
mod keeping;
#[path = "commands/lending_race.rs"]
mod lending_race;
#[path = "commands/lending_synced.rs"]
mod lending_synced;
#[path = "commands/migrating.rs"]
mod migrating;
#[path = "commands/process.rs"]
mod process;
#[path = "commands/reports.rs"]
mod reports;
#[path = "commands/schemas.rs"]
mod schemas;
#[path = "commands/serving.rs"]
mod serving;
#[path = "commands/slow.rs"]
mod slow;
#[path = "commands/tables.rs"]
mod tables;
#[path = "commands/tls.rs"]
mod tls;
#[path = "commands/trouble.rs"]
mod trouble;
#[path = "commands/unit.rs"]
mod unit;

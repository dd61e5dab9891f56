//! The commands of the binary as a shell meets them: what they print, and their exit status.
#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]

#[path = "commands/keeping.rs"]
mod keeping;
#[path = "commands/lending_race.rs"]
mod lending_race;
#[path = "commands/lending_synced.rs"]
mod lending_synced;
#[path = "commands/process.rs"]
mod process;
#[path = "commands/reports.rs"]
mod reports;
#[path = "commands/serving.rs"]
mod serving;
#[path = "commands/tables.rs"]
mod tables;
#[path = "commands/unit.rs"]
mod unit;

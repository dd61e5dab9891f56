//! What each command of the binary does.
//!
//! Exit status: 0 done, 1 the answer is "no" or faults were found, 2 wrong use. Errors go to
//! standard error in one sentence.

mod account;
mod club;
mod clubs;
mod demo;
mod keeping;
mod kits;
mod mail;
mod running;
mod serve;
mod tables;
mod tending;
mod tls;
mod unit;

use std::process::ExitCode;

use clap::{CommandFactory as _, FromArgMatches as _, Parser, Subcommand};
use tracing::level_filters::LevelFilter;

pub use running::{Failure, Running};

/// Borrowed Light: a club lends its telescopes and eyepieces, well.
#[derive(Debug, Parser)]
#[command(name = "borrowed-light", version, about, max_term_width = 100)]
pub struct CommandLine {
    #[command(subcommand)]
    command: Command,
}

#[derive(Debug, Subcommand)]
enum Command {
    /// Look at an invented club, on a fresh database.
    Demo(demo::Options),
    /// Serve your club from a folder, made on the first start.
    Serve(Box<serve::Options>),
    /// Ask which kits suit an observer on some nights.
    Kits(kits::Options),
    /// Take a table in from a CSV file: all of it or nothing.
    Import(tables::ImportOptions),
    /// Write a table out as CSV.
    Export(tables::ExportOptions),
    /// Copy the database to a new file, also while the server runs, and check the copy.
    Backup(keeping::Options),
    /// Check a copy and put it in the place of the database; what was there is kept.
    Restore(keeping::Options),
    /// Look for faults in the database.
    Check(tables::Data),
    /// Print a systemd unit that serves your club with as few rights as it needs.
    Unit(unit::Options),
    /// Say what the club is called and in which time zone its nights are.
    Club(club::Options),
    /// Say who can sign in.
    #[command(subcommand)]
    Account(account::Deed),
}

impl CommandLine {
    /// Reads the command line; ends the process where it only asks for help, or is wrong.
    #[must_use]
    pub fn read() -> Self {
        let matches = without_values(Self::command()).get_matches();
        Self::from_arg_matches(&matches).unwrap_or_else(|error| error.exit())
    }

    /// Whether the command serves until it is stopped.
    #[must_use]
    pub fn runs_for_long(&self) -> bool {
        matches!(self.command, Command::Demo(_) | Command::Serve(_))
    }

    /// What is logged unless `BORROWED_LIGHT_LOG` says otherwise.
    #[must_use]
    pub fn usual_log(&self) -> LevelFilter {
        match self.command {
            Command::Serve(_) => LevelFilter::INFO,
            _ => LevelFilter::WARN,
        }
    }
}

/// The command with a help that names variables and not what they hold: it may be nobody's business.
fn without_values(command: clap::Command) -> clap::Command {
    command.mut_args(|option| option.hide_env_values(true)).mut_subcommands(without_values)
}

/// Runs what the command line says.
pub async fn run(line: CommandLine) -> ExitCode {
    let outcome = match line.command {
        Command::Demo(options) => demo::run(options).await,
        Command::Serve(options) => serve::run(*options).await,
        Command::Kits(options) => kits::run(options).await,
        Command::Import(options) => tables::run_import(options).await,
        Command::Export(options) => tables::run_export(options).await,
        Command::Backup(options) => keeping::run_backup(options).await,
        Command::Restore(options) => keeping::run_restore(options).await,
        Command::Check(options) => tables::run_check(options).await,
        Command::Unit(options) => unit::run(options),
        Command::Club(options) => club::run(options).await,
        Command::Account(deed) => account::run(deed).await,
    };
    match outcome {
        Ok(code) => code,
        Err(failure) => {
            eprintln!("borrowed-light: {failure}");
            failure.exit_code()
        }
    }
}

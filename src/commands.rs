//! What each command of the binary does.
//!
//! Exit status: 0 done, 1 the answer is "no" or faults were found, 2 wrong use. Errors go to
//! standard error in one sentence.

mod running;
mod serve;

use std::process::ExitCode;

use clap::{Parser, Subcommand};

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
    /// Serve your club from a folder, made on the first start.
    Serve(serve::Options),
}

impl CommandLine {
    /// What is logged unless `BORROWED_LIGHT_LOG` says otherwise.
    #[must_use]
    pub fn usual_log(&self) -> &'static str {
        match self.command {
            Command::Serve(_) => "info",
        }
    }
}

/// Runs what the command line says.
pub async fn run(line: CommandLine) -> ExitCode {
    let outcome = match line.command {
        Command::Serve(options) => serve::run(options).await,
    };
    match outcome {
        Ok(code) => code,
        Err(failure) => {
            eprintln!("borrowed-light: {failure}");
            failure.exit_code()
        }
    }
}

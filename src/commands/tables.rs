//! `import`, `export` and `check`: the club's tables, in, out, and looked over.

use std::io::Write as _;
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;

use super::running::{Failure, open_existing, open_or_create};
use crate::club::check;
use crate::club::exchange::{self, Eyes, Mode, Table};
use crate::sheet::NotTaken;

fn table(word: &str) -> Result<Table, String> {
    Table::parse(word).ok_or_else(|| {
        let known: Vec<&str> = Table::ALL.iter().map(|table| table.as_str()).collect();
        format!("choose one of {}", known.join(", "))
    })
}

/// Options of `import`.
#[derive(Debug, Args)]
pub struct Import {
    /// What the file holds: telescopes, eyepieces, barlows, filters, members or reservations.
    #[arg(value_parser = table)]
    kind: Table,
    /// The file: CSV (RFC 4180), UTF-8, with a header row.
    file: PathBuf,
    /// Say what would happen, and keep nothing.
    #[arg(long)]
    dry_run: bool,
    /// Folder of the club's data, made where it is missing.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    data: PathBuf,
}

/// Runs `import`: status 1 where the file was refused, with a line for each fault.
///
/// # Errors
/// The file can't be read, or the database can't be used.
pub async fn import(options: Import) -> Result<ExitCode, Failure> {
    let bytes = std::fs::read(&options.file).map_err(|error| {
        Failure::WrongUse(format!("{} can't be read: {error}", options.file.display()))
    })?;
    let store = open_or_create(&options.data).await?;
    let mode = if options.dry_run { Mode::DryRun } else { Mode::Keep };
    let taken = exchange::import(&store, options.kind, &bytes, jiff::Timestamp::now(), mode).await;
    store.close().await;
    match taken {
        Ok(taken) => {
            let would = if options.dry_run { "would be " } else { "" };
            println!("{} {would}added, {} {would}changed", taken.added, taken.changed);
            Ok(ExitCode::SUCCESS)
        }
        Err(NotTaken::Refused(refused)) => {
            eprintln!("{refused}");
            Ok(ExitCode::FAILURE)
        }
        Err(NotTaken::Failed(error)) => Err(Failure::Failed(error.to_string())),
    }
}

/// Options of `export`.
#[derive(Debug, Args)]
pub struct Export {
    /// What to write: telescopes, eyepieces, barlows, filters, members or reservations.
    #[arg(value_parser = table)]
    kind: Table,
    /// Write the members' birth years, glasses and prescriptions too.
    #[arg(long)]
    with_eyes: bool,
    /// Folder of the club's data.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    data: PathBuf,
}

/// Runs `export`, to standard output.
///
/// # Errors
/// The folder holds no club, or the output can't be written.
pub async fn export(options: Export) -> Result<ExitCode, Failure> {
    let store = open_existing(&options.data).await?;
    let eyes = if options.with_eyes { Eyes::Include } else { Eyes::LeaveOut };
    let text = exchange::export(&store, options.kind, eyes).await;
    store.close().await;
    let text = text.map_err(|error| Failure::Failed(error.to_string()))?;
    std::io::stdout()
        .write_all(&text)
        .map_err(|error| Failure::Failed(format!("the table can't be written: {error}")))?;
    Ok(ExitCode::SUCCESS)
}

/// Options of `check`.
#[derive(Debug, Args)]
pub struct Check {
    /// Folder of the club's data.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    data: PathBuf,
}

/// Runs `check`: a line for each fault, and status 1 if there is any.
///
/// # Errors
/// The folder holds no club, or the database can't be used.
pub async fn check(options: Check) -> Result<ExitCode, Failure> {
    let store = open_existing(&options.data).await?;
    let faults = check::faults(&store).await;
    store.close().await;
    let faults = faults?;
    for fault in &faults {
        println!("{fault}");
    }
    Ok(if faults.is_empty() {
        println!("All is well.");
        ExitCode::SUCCESS
    } else {
        ExitCode::FAILURE
    })
}

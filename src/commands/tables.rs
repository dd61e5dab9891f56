//! `import`, `export` and `check`: the club's tables and whether all is well.

use std::fs::File;
use std::io::{Read as _, Write as _};
use std::path::{Path, PathBuf};
use std::process::ExitCode;

use clap::Args;
use jiff::Timestamp;

use super::running::{Failure, open_existing};
use crate::audit::{Actor, Subject, note};
use crate::club::check::faults;
use crate::club::exchange::{ExchangeError, Eyes, Mode, Table, export, import};
use crate::sheet::{MOST_BYTES, NotTaken};
use crate::store::Store;

/// The folder that a command works on.
#[derive(Debug, Args)]
pub struct Data {
    /// Folder of the club's data.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    pub data: PathBuf,
}

/// Options of `import`.
#[derive(Debug, Args)]
pub struct ImportOptions {
    /// Which table the file holds.
    #[arg(value_parser = read_table)]
    kind: Table,
    /// The file: CSV (RFC 4180), UTF-8, with a header row.
    file: PathBuf,
    /// Only say what would happen.
    #[arg(long)]
    dry_run: bool,
    #[command(flatten)]
    data: Data,
}

/// Options of `export`.
#[derive(Debug, Args)]
pub struct ExportOptions {
    /// Which table.
    #[arg(value_parser = read_table)]
    kind: Table,
    /// With the members' birth years, glasses and prescriptions, which are nobody's business
    /// otherwise.
    #[arg(long)]
    with_eyes: bool,
    #[command(flatten)]
    data: Data,
}

fn read_table(word: &str) -> Result<Table, String> {
    Table::parse(word).ok_or_else(|| {
        let known: Vec<&str> = Table::ALL.iter().map(|table| table.as_str()).collect();
        format!("there is no such table; choose one of {}", known.join(", "))
    })
}

fn failed(error: ExchangeError) -> Failure {
    match error {
        ExchangeError::Store(error) => error.into(),
        other => Failure::Failed(other.to_string()),
    }
}

/// As much of a file as a table may have, and one byte more where there is more, so that a file of
/// any size is refused for it and never read whole.
fn read_some(path: &Path) -> std::io::Result<Vec<u8>> {
    let mut bytes = Vec::new();
    File::open(path)?.take(MOST_BYTES as u64 + 1).read_to_end(&mut bytes)?;
    Ok(bytes)
}

/// Runs `import`. Every bad cell gets a line of its own on standard error.
///
/// # Errors
/// The file can't be read or taken in.
pub async fn run_import(options: ImportOptions) -> Result<ExitCode, Failure> {
    let bytes = read_some(&options.file).map_err(|error| {
        Failure::WrongUse(format!("{} can't be read: {error}", options.file.display()))
    })?;
    let store = open_existing(&options.data.data).await?;
    let mode = if options.dry_run { Mode::DryRun } else { Mode::Keep };
    let outcome = import(&store, options.kind, &bytes, Timestamp::now(), mode).await;
    store.close().await;
    match outcome {
        Ok(taken) => {
            let how =
                if options.dry_run { " (nothing was stored: this was a dry run)" } else { "" };
            println!("{}: {taken}{how}", options.kind.as_str());
            Ok(ExitCode::SUCCESS)
        }
        Err(NotTaken::Refused(refused)) => {
            for fault in &refused.faults {
                eprintln!("{}: {fault}", options.file.display());
            }
            if refused.more > 0 {
                eprintln!("{}: … and {} more", options.file.display(), refused.more);
            }
            Err(Failure::Failed(refused.to_string()))
        }
        Err(NotTaken::Failed(error)) => Err(failed(error)),
    }
}

/// Runs `export`: the table goes to standard output.
///
/// # Errors
/// The table can't be read or written.
pub async fn run_export(options: ExportOptions) -> Result<ExitCode, Failure> {
    let store = open_existing(&options.data.data).await?;
    let eyes = if options.with_eyes { Eyes::Include } else { Eyes::LeaveOut };
    let outcome = export(&store, options.kind, eyes).await;
    let noted = note_export(&store, options.kind, eyes).await;
    store.close().await;
    let bytes = outcome.map_err(failed)?;
    // Nothing goes out that the audit log does not know of.
    noted?;
    let written = std::io::stdout().lock().write_all(&bytes);
    written.map_err(|error| Failure::Failed(format!("the table can't be written: {error}")))?;
    Ok(ExitCode::SUCCESS)
}

async fn note_export(store: &Store, table: Table, eyes: Eyes) -> Result<(), Failure> {
    let with = if eyes == Eyes::Include { ", with what is known of eyes" } else { "" };
    let detail = format!("{}{with}", table.as_str());
    let mut tx = store.write().await?;
    let who = Actor::command_at(Timestamp::now());
    note(&mut tx, &who, "table exported", Subject::NONE, &detail).await?;
    tx.commit().await?;
    Ok(())
}

/// Runs `check`: a line for each fault on standard output.
///
/// # Errors
/// The database can't be opened.
pub async fn run_check(options: Data) -> Result<ExitCode, Failure> {
    let store = open_existing(&options.data).await?;
    let outcome = faults(&store).await;
    store.close().await;
    let found = outcome?;
    for fault in &found {
        println!("{fault}");
    }
    if found.is_empty() {
        println!("All is well.");
        return Ok(ExitCode::SUCCESS);
    }
    Ok(ExitCode::FAILURE)
}

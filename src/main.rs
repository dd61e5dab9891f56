//! The command line: thin.

use std::os::unix::process::CommandExt as _;
use std::process::ExitCode;

use borrowed_light::commands::{CommandLine, run};
use tracing_subscriber::filter::Targets;
use tracing_subscriber::layer::SubscriberExt as _;
use tracing_subscriber::util::SubscriberInitExt as _;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

/// The allocator's own switch against keeping freed memory in arenas.
const NO_ARENAS: &str = "MIMALLOC_DISALLOW_ARENA_ALLOC";

fn main() -> ExitCode {
    let line = CommandLine::read();
    if line.runs_for_long() {
        give_memory_back();
    }
    // Such as `warn,borrowed_light=debug`.
    let wanted = std::env::var("BORROWED_LIGHT_LOG").ok();
    let wanted = wanted.filter(|words| !words.is_empty()).and_then(|words| words.parse().ok());
    let targets = wanted.unwrap_or_else(|| Targets::new().with_default(line.usual_log()));
    // A log that can't be written, as on a full disk, is not complained about where it is written:
    // that would end the request that is told of it.
    let lines = tracing_subscriber::fmt::layer()
        .json()
        .with_writer(std::io::stderr)
        .log_internal_errors(false);
    tracing_subscriber::registry().with(lines).with(targets).init();
    begin(line)
}

#[tokio::main]
async fn begin(line: CommandLine) -> ExitCode {
    run(line).await
}

/// Begins the program again with the allocator's arenas switched off, in the same process.
///
/// Each password takes 19 MiB for a moment. Measured after fifty sign-ins at once: 72 MB resident
/// with arenas, 18 MB without, at the same speed. The allocator reads its switches before `main`,
/// so they can't be set any later. Whoever sets the switch themselves is heard.
fn give_memory_back() {
    if std::env::var_os(NO_ARENAS).is_some() {
        return;
    }
    if let Ok(own) = std::env::current_exe() {
        // Comes back only where it failed; then the arenas stay, and nothing else is lost.
        let _failed = std::process::Command::new(own)
            .args(std::env::args_os().skip(1))
            .env(NO_ARENAS, "1")
            .exec();
    }
}

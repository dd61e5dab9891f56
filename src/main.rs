//! The command line: thin.

use std::process::ExitCode;

use borrowed_light::commands::{CommandLine, run};
use clap::Parser as _;
use tracing_subscriber::EnvFilter;

#[global_allocator]
static ALLOCATOR: mimalloc::MiMalloc = mimalloc::MiMalloc;

#[tokio::main]
async fn main() -> ExitCode {
    let line = CommandLine::parse();
    let filter = EnvFilter::try_from_env("BORROWED_LIGHT_LOG")
        .unwrap_or_else(|_| EnvFilter::new(line.usual_log()));
    tracing_subscriber::fmt().json().with_env_filter(filter).with_writer(std::io::stderr).init();
    run(line).await
}

//! `serve`: the real thing.

use std::net::{IpAddr, SocketAddr};
use std::path::PathBuf;
use std::process::ExitCode;

use clap::Args;
use jiff::tz::TimeZone;

use super::running::{Failure, Running, open_or_create};
use crate::app::AppState;
use crate::web::clock::Clock;
use crate::web::site::Site;

/// Options of `serve`.
#[derive(Debug, Args)]
pub struct Options {
    /// Folder of the club's data, made on the first start.
    #[arg(long, env = "BORROWED_LIGHT_DATA", default_value = "borrowed-light-data")]
    data: PathBuf,
    /// Address and port to listen on.
    #[arg(long, env = "BORROWED_LIGHT_LISTEN", default_value = "127.0.0.1:8420")]
    listen: SocketAddr,
    /// The address that browsers use, such as <https://lend.example.org>, where a proxy stands in
    /// front.
    #[arg(long, env = "BORROWED_LIGHT_PUBLIC_URL")]
    public_url: Option<String>,
    /// Address of a proxy whose word on the client's address is believed; may be given again.
    #[arg(long, env = "BORROWED_LIGHT_TRUSTED_PROXY", value_delimiter = ',')]
    trusted_proxy: Vec<IpAddr>,
}

/// Runs `serve`.
///
/// # Errors
/// The data can't be used, or the address is taken.
pub async fn run(options: Options) -> Result<ExitCode, Failure> {
    let mut site = Site::new("").behind(options.trusted_proxy);
    if let Some(address) = options.public_url {
        site = site.at(&address).map_err(|error| Failure::WrongUse(error.to_string()))?;
    }
    let store = open_or_create(&options.data).await?;
    let running = Running::listen(options.listen).await?;
    println!("Borrowed Light listens on http://{}", running.address());
    let clock = Clock::system(TimeZone::system());
    running.until_stopped(AppState::new(store, clock, site)).await?;
    Ok(ExitCode::SUCCESS)
}

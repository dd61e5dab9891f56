//! Options for TLS by the service itself.

use std::path::PathBuf;
use std::time::Duration;

use clap::Args;
use tokio::signal::unix::{SignalKind, signal};

use super::running::Failure;
use crate::web::tls::Tls;

/// How often it is looked whether the certificate was renewed.
const LOOK_EVERY: Duration = Duration::from_secs(30);

/// Options for TLS without a proxy.
#[derive(Debug, Args)]
#[command(next_help_heading = "TLS (without them, a proxy in front speaks it)")]
pub struct TlsOptions {
    /// File with the certificate and those between it and its authority, in PEM form; read again
    /// when it changes, or on SIGHUP. With several clubs it must name all their hosts.
    #[arg(long, env = "BORROWED_LIGHT_TLS_CERT", value_name = "FILE", requires = "tls_key")]
    tls_cert: Option<PathBuf>,
    /// File with the certificate's private key, in PEM form.
    #[arg(long, env = "BORROWED_LIGHT_TLS_KEY", value_name = "FILE", requires = "tls_cert")]
    tls_key: Option<PathBuf>,
}

impl TlsOptions {
    /// The certificate, if one was named; `public` is the address that browsers use.
    ///
    /// # Errors
    /// It can't be used, or the address is not one with `https`.
    pub fn pair(&self, public: Option<&str>) -> Result<Option<Tls>, Failure> {
        let (Some(certificate), Some(key)) = (&self.tls_cert, &self.tls_key) else {
            return Ok(None);
        };
        if !public.is_some_and(|address| address.to_ascii_lowercase().starts_with("https://")) {
            return Err(Failure::WrongUse(
                "with a certificate, say which address it is for: --public-url \
                 https://lend.example.org"
                    .into(),
            ));
        }
        // What is in the files may be better in a moment, as when both are being renewed.
        let tls = Tls::read(certificate, key);
        tls.map(Some).map_err(|error| Failure::Failed(error.to_string()))
    }
}

/// Looks now and then, and on SIGHUP, whether the certificate was renewed. Ends with the server.
///
/// # Errors
/// The system doesn't let us listen to signals.
pub fn keep_fresh(tls: Tls) -> Result<(), Failure> {
    let mut hangup = signal(SignalKind::hangup())
        .map_err(|error| Failure::Failed(format!("can't listen to signals: {error}")))?;
    let mut look = tokio::time::interval(LOOK_EVERY);
    tokio::spawn(async move {
        // What stands in the way is said once, not twice a minute.
        let mut last = None;
        loop {
            tokio::select! {
                _ = look.tick() => {}
                _ = hangup.recv() => {}
            }
            let trouble = match tls.read_again() {
                Ok(changed) => {
                    if changed {
                        tracing::info!("the certificate was renewed");
                    }
                    None
                }
                Err(error) => Some(error.to_string()),
            };
            if let Some(error) = trouble.as_ref().filter(|_| trouble != last) {
                tracing::error!(%error, "the certificate was not renewed; the old one goes on");
            }
            last = trouble;
        }
    });
    Ok(())
}

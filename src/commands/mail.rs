//! Options that say where letters are handed over.

use std::path::PathBuf;

use clap::{Args, ValueEnum};

use super::running::Failure;
use crate::post::{MailServer, Tls};

/// Options for mail, the same for every command that serves.
#[derive(Debug, Args)]
#[command(next_help_heading = "Mail (without a server, letters are read on the members' pages)")]
pub struct MailOptions {
    /// Name of the mail server that takes our letters, such as mail.example.org.
    #[arg(
        long = "smtp-server",
        env = "BORROWED_LIGHT_SMTP_SERVER",
        value_name = "NAME",
        requires = "from"
    )]
    server: Option<String>,
    /// Its port; without it, the usual one: 465 for implicit, 587 for starttls, 25 for none.
    #[arg(long = "smtp-port", env = "BORROWED_LIGHT_SMTP_PORT", value_name = "PORT")]
    port: Option<u16>,
    /// How the way to it is protected.
    #[arg(
        long = "smtp-tls",
        env = "BORROWED_LIGHT_SMTP_TLS",
        value_name = "KIND",
        default_value = "implicit"
    )]
    tls: Protection,
    /// The user it knows us by, if it asks; the pass phrase is read from a file, or from the
    /// variable `BORROWED_LIGHT_SMTP_PASSPHRASE`.
    #[arg(long = "smtp-user", env = "BORROWED_LIGHT_SMTP_USER", value_name = "USER")]
    user: Option<String>,
    /// File whose first line is the pass phrase.
    #[arg(
        long = "smtp-passphrase-file",
        env = "BORROWED_LIGHT_SMTP_PASSPHRASE_FILE",
        value_name = "FILE"
    )]
    passphrase_file: Option<PathBuf>,
    /// The address letters come from: lend@example.org, or "Our club <lend@example.org>". With
    /// several clubs, a file named sender in a club's folder gives that club its own.
    #[arg(long = "smtp-from", env = "BORROWED_LIGHT_SMTP_FROM", value_name = "ADDRESS")]
    from: Option<String>,
    /// File with a certificate authority of your own (PEM), where the server's is not a public one.
    #[arg(
        long = "smtp-authority-file",
        env = "BORROWED_LIGHT_SMTP_AUTHORITY_FILE",
        value_name = "FILE"
    )]
    authority_file: Option<PathBuf>,
}

#[derive(Clone, Copy, Debug, ValueEnum)]
enum Protection {
    /// From the first byte.
    Implicit,
    /// After a greeting in the clear.
    Starttls,
    /// Not at all, for a server on this machine.
    None,
}

impl From<Protection> for Tls {
    fn from(kind: Protection) -> Self {
        match kind {
            Protection::Implicit => Self::Implicit,
            Protection::Starttls => Self::StartTls,
            Protection::None => Self::Plain,
        }
    }
}

impl MailOptions {
    /// The mail server, if one was named.
    ///
    /// # Errors
    /// Something about it can't be used, or a file that it names.
    pub fn server(&self) -> Result<Option<MailServer>, Failure> {
        let (Some(host), Some(from)) = (&self.server, &self.from) else {
            return Ok(None);
        };
        let wrong = |error: &dyn std::fmt::Display| Failure::WrongUse(error.to_string());
        let tls = Tls::from(self.tls);
        let port = self.port.unwrap_or(tls.usual_port());
        let mut server = MailServer::new(host, port, tls, from).map_err(|error| wrong(&error))?;
        if let Some(user) = &self.user {
            let phrase = self.phrase()?;
            server = server.with_login(user, &phrase).map_err(|error| wrong(&error))?;
        }
        if let Some(path) = &self.authority_file {
            let pem = std::fs::read(path).map_err(|error| {
                Failure::Failed(format!(
                    "the certificate {} can't be read: {error}; give another one with \
                     --smtp-authority-file",
                    path.display()
                ))
            })?;
            server = server.trusting(&pem).map_err(|error| Failure::Failed(error.to_string()))?;
        }
        Ok(Some(server))
    }

    /// The pass phrase. It is no option, because options are seen by everybody on the machine.
    fn phrase(&self) -> Result<String, Failure> {
        if let Some(path) = &self.passphrase_file {
            let text = std::fs::read_to_string(path).map_err(|error| {
                Failure::Failed(format!(
                    "the pass phrase file {} can't be read: {error}; give another one with \
                     --smtp-passphrase-file",
                    path.display()
                ))
            })?;
            return Ok(text.lines().next().unwrap_or_default().to_owned());
        }
        std::env::var("BORROWED_LIGHT_SMTP_PASSPHRASE").map_err(|_| {
            Failure::WrongUse(
                "a user for the mail server needs a pass phrase: put it into a file and name that \
                 with --smtp-passphrase-file"
                    .into(),
            )
        })
    }
}

//! The club's mail server: where it is, and handing one letter over.

use std::fmt;
use std::future::Future;
use std::time::Duration;

use lettre::Address;
use lettre::message::Mailbox;
use lettre::transport::smtp::Error;
use lettre::transport::smtp::authentication::{Credentials, Mechanism};
use lettre::transport::smtp::client::{AsyncSmtpConnection, Certificate, TlsParameters};
use lettre::transport::smtp::commands::{Data, Mail, Rcpt};
use lettre::transport::smtp::extension::ClientId;

use super::envelope::Sealed;

/// How long a mail server may take for one step; it may look names up meanwhile.
const STEP: Duration = Duration::from_mins(1);
/// How long it may take to say that it has a letter; it may look for viruses meanwhile. RFC 5321,
/// section 4.5.3.2.6 allows ten minutes; later it counts as unclear.
const LAST_STEP: Duration = Duration::from_mins(5);

/// How the way to the mail server is protected.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Tls {
    /// From the first byte (RFC 8314), usually on port 465.
    Implicit,
    /// After a greeting in the clear, usually on port 587; refused where the server can't.
    StartTls,
    /// Not at all: for a server on the same machine.
    Plain,
}

impl Tls {
    /// The port that is usual for it.
    #[must_use]
    pub fn usual_port(self) -> u16 {
        match self {
            Self::Implicit => 465,
            Self::StartTls => 587,
            Self::Plain => 25,
        }
    }
}

/// A setting of the mail server that can't be used.
#[derive(Clone, Debug, PartialEq, Eq, thiserror::Error)]
pub enum BadMailSettings {
    /// The address that letters come from.
    #[error(
        "“{0}” is no address that letters can come from: write it like lend@example.org, or with a name before it in front of <lend@example.org>"
    )]
    From(String),
    /// A pass phrase would travel unprotected.
    #[error(
        "a pass phrase for the mail server would travel unprotected: choose implicit or starttls, or a server on this machine"
    )]
    Unprotected,
    /// The certificate can't be read.
    #[error("the mail server's certificate can't be read: {0}")]
    Certificate(String),
}

/// Where and how mail is handed over.
#[derive(Clone)]
pub struct MailServer {
    host: String,
    port: u16,
    tls: Tls,
    login: Option<Credentials>,
    authority: Option<Certificate>,
    from: Mailbox,
}

impl fmt::Debug for MailServer {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("MailServer").field("host", &self.host).field("port", &self.port).finish()
    }
}

impl MailServer {
    /// A mail server at this host, and the address that letters come from.
    ///
    /// # Errors
    /// The address can't be one.
    pub fn new(host: &str, port: u16, tls: Tls, from: &str) -> Result<Self, BadMailSettings> {
        let from = from.parse().map_err(|_| BadMailSettings::From(from.to_owned()))?;
        Ok(Self { host: host.to_owned(), port, tls, login: None, authority: None, from })
    }

    /// The same server for letters that come from another address.
    ///
    /// # Errors
    /// The address can't be one.
    pub fn sending_as(self, from: &str) -> Result<Self, BadMailSettings> {
        let from = from.parse().map_err(|_| BadMailSettings::From(from.to_owned()))?;
        Ok(Self { from, ..self })
    }

    /// Gives the user and pass phrase that the server asks for.
    ///
    /// # Errors
    /// They would travel unprotected to another machine.
    pub fn with_login(mut self, user: &str, phrase: &str) -> Result<Self, BadMailSettings> {
        let near = ["localhost", "127.0.0.1", "::1"].contains(&self.host.as_str());
        if self.tls == Tls::Plain && !near {
            return Err(BadMailSettings::Unprotected);
        }
        self.login = Some(Credentials::new(user.to_owned(), phrase.to_owned()));
        Ok(self)
    }

    /// Trusts a certificate authority of one's own, in PEM.
    ///
    /// # Errors
    /// It can't be read.
    pub fn trusting(mut self, pem: &[u8]) -> Result<Self, BadMailSettings> {
        let read = Certificate::from_pem(pem);
        self.authority =
            Some(read.map_err(|fault| BadMailSettings::Certificate(fault.to_string()))?);
        Ok(self)
    }

    /// The address that letters come from.
    #[must_use]
    pub fn from(&self) -> String {
        self.from.to_string()
    }

    pub(super) fn mailbox(&self) -> &Mailbox {
        &self.from
    }

    /// Where it is, in words: `mail.example.org, port 465`.
    #[must_use]
    pub fn place(&self) -> String {
        format!("{}, port {}", self.host, self.port)
    }

    /// How the way there is protected.
    #[must_use]
    pub fn tls(&self) -> Tls {
        self.tls
    }

    /// Opens a line to the server and signs in.
    pub(super) async fn call(&self) -> Result<Line, String> {
        in_time(STEP, self.connect())
            .await
            .unwrap_or_else(|| Err(too_slow()))
            .map(|connection| Line { connection, from: self.from.email.clone() })
    }

    async fn connect(&self) -> Result<AsyncSmtpConnection, String> {
        let hello = ClientId::Domain(self.from.email.domain().to_owned());
        let secured = match self.tls {
            Tls::Plain => None,
            Tls::Implicit | Tls::StartTls => {
                Some(self.protection().map_err(|error| words(&error))?)
            }
        };
        let (first, later) =
            if self.tls == Tls::Implicit { (secured, None) } else { (None, secured) };
        let place = (self.host.as_str(), self.port);
        let mut connection =
            AsyncSmtpConnection::connect_tokio1(place, Some(STEP), &hello, first, None)
                .await
                .map_err(|error| words(&error))?;
        if let Some(protection) = later {
            connection.starttls(protection, &hello).await.map_err(|error| words(&error))?;
        }
        if let Some(login) = &self.login {
            connection
                .auth(&[Mechanism::Plain, Mechanism::Login], login)
                .await
                .map_err(|error| format!("The sign-in was refused: {}", words(&error)))?;
        }
        Ok(connection)
    }

    fn protection(&self) -> Result<TlsParameters, Error> {
        let mut builder = TlsParameters::builder(self.host.clone());
        if let Some(authority) = &self.authority {
            builder = builder.add_root_certificate(authority.clone());
        }
        builder.build()
    }
}

/// What became of a letter that was handed over, or was to be.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// The server took it.
    Sent,
    /// The server does not take this letter at present.
    NotNow(String),
    /// The server will never take this letter.
    Refused(String),
    /// The letter was handed over, but the answer stayed out.
    Unclear(String),
    /// The server could not be talked to; the letter was not handed over.
    Unreachable(String),
}

impl Outcome {
    /// The same in words of our own, where the server's may quote what nobody here may read.
    pub(super) fn in_our_words(self, ours: &str) -> Self {
        let ours = ours.to_owned();
        match self {
            Self::Sent => Self::Sent,
            Self::NotNow(_) => Self::NotNow(ours),
            Self::Refused(_) => Self::Refused(ours),
            Self::Unclear(_) => Self::Unclear(ours),
            Self::Unreachable(_) => Self::Unreachable(ours),
        }
    }
}

/// A line to the mail server, for one letter after the other.
pub(super) struct Line {
    connection: AsyncSmtpConnection,
    from: Address,
}

impl Line {
    /// Hands one letter over. After any outcome but [`Outcome::Sent`] the line is of no more use.
    pub(super) async fn hand_over(&mut self, letter: &Sealed) -> Outcome {
        let outcome = self.steps(letter).await;
        if outcome != Outcome::Sent {
            // Politeness only: whatever comes of it changes nothing.
            let _ = in_time(Duration::from_secs(2), self.connection.abort()).await;
        }
        outcome
    }

    /// Ends the line.
    pub(super) async fn hang_up(mut self) {
        let _ = in_time(Duration::from_secs(2), self.connection.quit()).await;
    }

    async fn steps(&mut self, letter: &Sealed) -> Outcome {
        let connection = &mut self.connection;
        // What goes wrong with the sender goes wrong with every letter.
        let opening = connection.command(Mail::new(Some(self.from.clone()), vec![]));
        match in_time(STEP, opening).await {
            Some(Ok(_)) => {}
            Some(Err(error)) => return Outcome::Unreachable(words(&error)),
            None => return Outcome::Unreachable(too_slow()),
        }
        let reader = connection.command(Rcpt::new(letter.to.clone(), vec![]));
        if let Some(outcome) = before_the_letter(in_time(STEP, reader).await) {
            return outcome;
        }
        if let Some(outcome) = before_the_letter(in_time(STEP, connection.command(Data)).await) {
            return outcome;
        }
        match in_time(LAST_STEP, connection.message(&letter.bytes)).await {
            Some(Ok(_)) => Outcome::Sent,
            Some(Err(error)) if error.is_permanent() => Outcome::Refused(words(&error)),
            Some(Err(error)) if error.is_transient() => Outcome::NotNow(words(&error)),
            Some(Err(error)) => Outcome::Unclear(words(&error)),
            None => Outcome::Unclear(too_slow()),
        }
    }
}

/// What an answer means as long as nothing of the letter itself was said; nothing if all is well.
fn before_the_letter<T>(answer: Option<Result<T, Error>>) -> Option<Outcome> {
    match answer {
        Some(Ok(_)) => None,
        Some(Err(error)) if error.is_permanent() => Some(Outcome::Refused(words(&error))),
        Some(Err(error)) if error.is_transient() => Some(Outcome::NotNow(words(&error))),
        Some(Err(error)) => Some(Outcome::Unreachable(words(&error))),
        None => Some(Outcome::Unreachable(too_slow())),
    }
}

fn too_slow() -> String {
    "The mail server did not answer in time.".to_owned()
}

/// An error with what lies behind it, in one line.
fn words(error: &Error) -> String {
    use std::error::Error as _;
    let mut text = error.to_string();
    let mut behind = error.source();
    while let Some(cause) = behind {
        let said = cause.to_string();
        if !text.contains(&said) {
            text = format!("{text}: {said}");
        }
        behind = cause.source();
    }
    text
}

async fn in_time<T>(limit: Duration, work: impl Future<Output = T>) -> Option<T> {
    tokio::time::timeout(limit, work).await.ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_pass_phrase_never_travels_unprotected() {
        let at = |host, tls| {
            MailServer::new(host, 25, tls, "lend@example.org").unwrap().with_login("lend", "secret")
        };
        assert_eq!(at("mail.example.org", Tls::Plain).unwrap_err(), BadMailSettings::Unprotected);
        assert!(at("127.0.0.1", Tls::Plain).is_ok());
        assert!(at("mail.example.org", Tls::StartTls).is_ok());
        let shown = format!("{:?}", at("mail.example.org", Tls::Implicit).unwrap());
        assert!(!shown.contains("secret") && !shown.contains("lend"), "{shown}");
    }

    #[test]
    fn letters_come_from_an_address() {
        for from in ["", "lend", "a@b\r\nBcc: c@d"] {
            assert!(MailServer::new("localhost", 25, Tls::Plain, from).is_err(), "{from:?}");
        }
        let named = MailServer::new("localhost", 25, Tls::Plain, "Windmill Hill <l@example.org>");
        assert!(named.unwrap().from().contains("l@example.org"));
    }
}

//! Who does something, and to what.

use std::net::IpAddr;

use jiff::Timestamp;

use crate::web::clock::Clock;

/// How somebody comes in.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Means {
    /// From a page, signed in or at the door.
    Page,
    /// With an access token.
    Program,
    /// With a one-time link.
    Link,
    /// From the command line on the server.
    Command,
    /// Nobody: the service by itself.
    Service,
}

impl Means {
    /// All of them.
    pub const ALL: [Means; 5] =
        [Means::Page, Means::Program, Means::Link, Means::Command, Means::Service];

    /// The word in the database.
    #[must_use]
    pub fn as_str(self) -> &'static str {
        match self {
            Self::Page => "page",
            Self::Program => "program",
            Self::Link => "link",
            Self::Command => "command",
            Self::Service => "service",
        }
    }

    /// Reads the word.
    #[must_use]
    pub fn parse(word: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|means| means.as_str() == word)
    }

    /// The words after a name: "with an access token".
    #[must_use]
    pub fn says(self) -> &'static str {
        match self {
            Self::Page => "",
            Self::Program => "with an access token",
            Self::Link => "with a one-time link",
            Self::Command => "on the command line",
            Self::Service => "by itself",
        }
    }
}

/// Who does something: when, how and from where. A name is not part of it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Actor {
    /// The instant, in seconds since 1970.
    pub(super) at: i64,
    /// The account, where it is known whose deed it is.
    pub(super) account: Option<i64>,
    /// How.
    pub(super) means: Means,
    /// From where; none from the machine itself.
    pub(super) address: Option<IpAddr>,
}

impl Actor {
    /// Somebody with an account.
    #[must_use]
    pub fn account(clock: &Clock, account: i64, means: Means, address: Option<IpAddr>) -> Self {
        Self { at: clock.seconds(), account: Some(account), means, address }
    }

    /// Somebody of whom nothing is known but where they are, as before signing in.
    #[must_use]
    pub fn visitor(clock: &Clock, means: Means, address: Option<IpAddr>) -> Self {
        Self { at: clock.seconds(), account: None, means, address }
    }

    /// Whoever sits at the server's command line.
    #[must_use]
    pub fn command(clock: &Clock) -> Self {
        Self { at: clock.seconds(), account: None, means: Means::Command, address: None }
    }

    /// The same at a known instant.
    #[must_use]
    pub fn command_at(now: Timestamp) -> Self {
        Self { at: now.as_second(), account: None, means: Means::Command, address: None }
    }

    /// The service itself, as in its daily chores.
    #[must_use]
    pub fn service(clock: &Clock) -> Self {
        Self { at: clock.seconds(), account: None, means: Means::Service, address: None }
    }
}

/// The record that something is done to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Subject {
    /// What kind of record: `account`, `member`, `item`, `reservation`, `loan` …
    pub(super) kind: Option<&'static str>,
    /// Its number.
    pub(super) id: Option<i64>,
}

impl Subject {
    /// Nothing in particular.
    pub const NONE: Self = Self { kind: None, id: None };

    /// A record of this kind: lower-case letters, usually its table's name.
    #[must_use]
    pub fn of(kind: &'static str, id: i64) -> Self {
        Self { kind: Some(kind), id: Some(id) }
    }

    /// All records of this kind, as after an import.
    #[must_use]
    pub fn all(kind: &'static str) -> Self {
        Self { kind: Some(kind), id: None }
    }
}

//! What every handler can ask for.

use std::time::Duration;

use axum::extract::FromRef;

use crate::people::password::Hasher;
use crate::post::{MailServer, Post, Worker};
use crate::store::{Copies, Store};
use crate::web::clock::Clock;
use crate::web::site::Site;

/// The state behind all handlers. A handler takes the part it needs: `State(store): State<Store>`.
#[derive(Clone, Debug, FromRef)]
pub struct AppState {
    /// The database.
    pub store: Store,
    /// The time.
    pub clock: Clock,
    /// Where the service stands.
    pub site: Site,
    /// Makes and checks password hashes.
    pub hasher: Hasher,
    /// The way to the mail server.
    pub post: Post,
    /// The copies of the database that are made by themselves.
    pub copies: Copies,
    /// How long a request may take, its body included.
    #[from_ref(skip)]
    pub longest: Duration,
}

/// How long a request may take where nothing else is said, its body included.
const LONGEST: Duration = Duration::from_mins(1);

impl AppState {
    /// The state of a service on this database.
    #[must_use]
    pub fn new(store: Store, clock: Clock, site: Site) -> Self {
        Self {
            store,
            clock,
            site,
            hasher: Hasher::default(),
            post: Post::default(),
            copies: Copies::default(),
            longest: LONGEST,
        }
    }

    /// The same with copies of the database in a folder.
    #[must_use]
    pub fn with_copies(self, copies: Copies) -> Self {
        Self { copies, ..self }
    }

    /// The same with another limit of time for a request.
    #[must_use]
    pub fn with_longest(self, longest: Duration) -> Self {
        Self { longest, ..self }
    }

    /// The same with a mail server, and the worker that must run for letters to be sent.
    #[must_use]
    pub fn with_mail(self, server: MailServer) -> (Self, Worker) {
        let Self { store, clock, site, .. } = self.clone();
        let (post, worker) = Post::open(store, clock, site, server);
        (Self { post, ..self }, worker)
    }
}

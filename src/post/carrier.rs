//! The way into the post room for pages: whether there is mail, and letters that carry a secret.

use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::sync::mpsc;

use super::envelope::seal;
use super::faces::Opening;
use super::letter::Letter;
use super::server::{MailServer, Outcome};
use super::worker::Worker;
use crate::people::Email;
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::secret::Secret;
use crate::web::site::Site;

/// So many letters with a secret may wait; later ones are dropped and asked for again.
const MOST_CARRIED: usize = 64;
/// How long somebody who tries the mail server out is kept waiting.
const TRIAL: Duration = Duration::from_secs(20);

/// A letter that carries a secret, such as a link that signs in.
///
/// It never touches the disk: the database holds the hash of its secret only, and a letter that is
/// lost with the process is asked for again.
#[derive(Clone, Debug)]
pub struct Carried {
    /// Where it goes.
    pub to: Email,
    /// Whom it greets.
    pub name: String,
    /// What it says.
    pub letter: Letter,
    /// When its secret is of no more use, in seconds since 1970.
    pub not_after: i64,
}

/// The post room as pages see it. Clones share it.
#[derive(Clone, Debug, Default)]
pub struct Post {
    open: Option<Arc<Open>>,
}

#[derive(Debug)]
struct Open {
    server: MailServer,
    carried: mpsc::Sender<Carried>,
    trouble: Arc<Mutex<Option<String>>>,
}

impl Post {
    /// Opens the post room and gives the worker that must run for letters to be sent.
    #[must_use]
    pub fn open(store: Store, clock: Clock, site: Site, server: MailServer) -> (Self, Worker) {
        let (sender, receiver) = mpsc::channel(MOST_CARRIED);
        let trouble = Arc::default();
        let open = Open { server: server.clone(), carried: sender, trouble: Arc::clone(&trouble) };
        let worker = Worker::new(store, clock, site, server, receiver, trouble);
        (Self { open: Some(Arc::new(open)) }, worker)
    }

    /// The mail server, if the club has one.
    #[must_use]
    pub fn server(&self) -> Option<&MailServer> {
        self.open.as_deref().map(|open| &open.server)
    }

    /// Whether letters can be sent as mail.
    #[must_use]
    pub fn is_open(&self) -> bool {
        self.open.is_some()
    }

    /// What the mail server can't do at present, in words.
    #[must_use]
    pub fn trouble(&self) -> Option<String> {
        let open = self.open.as_deref()?;
        open.trouble.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// How many letters with secrets the worker can take at present.
    #[must_use]
    pub fn room(&self) -> usize {
        self.open.as_deref().map_or(0, |open| open.carried.capacity())
    }

    /// Gives a letter with a secret to the worker and waits for nothing, so that its caller takes
    /// as long whether or not there was somebody to write to.
    pub fn carry(&self, letter: Carried) {
        let Some(open) = &self.open else { return };
        if open.carried.try_send(letter).is_err() {
            tracing::warn!("a letter with a link was dropped: too many wait to be sent");
        }
    }

    /// Sends a letter at once, to try the mail server out.
    pub async fn try_out(&self, site: &Site, clock: &Clock, to: &Email, name: &str) -> Outcome {
        let Some(server) = self.server() else {
            return Outcome::Unreachable("No mail server is set up.".into());
        };
        let letter = Letter::about("A letter to try the mail server out")
            .says("If you can read this, the club's mail server takes our letters.");
        let opening = Opening { name, site, quieter: None };
        let Ok(id) = Secret::random() else {
            return Outcome::Unreachable("The system gave no random numbers.".into());
        };
        let id = id.reveal().chars().take(24).collect::<String>();
        let sealed = match seal(server.mailbox(), to, &letter, &opening, &id, clock.outside()) {
            Ok(sealed) => sealed,
            Err(why) => return Outcome::Refused(why),
        };
        let trial = async {
            let mut line = match server.call().await {
                Ok(line) => line,
                Err(why) => return Outcome::Unreachable(why),
            };
            let outcome = line.hand_over(&sealed).await;
            if outcome == Outcome::Sent {
                line.hang_up().await;
            }
            outcome
        };
        tokio::time::timeout(TRIAL, trial)
            .await
            .unwrap_or_else(|_| Outcome::Unclear("The mail server did not answer in time.".into()))
    }
}

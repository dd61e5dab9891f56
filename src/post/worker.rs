//! The worker that sends what is due, one letter after the other.

use std::collections::VecDeque;
use std::future::Future;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::Duration;

use tokio::sync::mpsc;
use tokio::time::MissedTickBehavior;

use super::carrier::Carried;
use super::desk::is_quiet;
use super::envelope::{Sealed, seal};
use super::faces::Opening;
use super::letter::{Reader, Weight};
use super::outbox::{self, Due};
use super::server::{Line, MailServer, Outcome};
use crate::people::{Addressee, addressee_of_account, addressee_of_guardian, addressee_of_member};
use crate::store::{Store, StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{hash, hex};
use crate::web::site::Site;

/// How often it looks for letters whose time has come.
const LOOKS_EVERY: Duration = Duration::from_secs(5);
/// So many letters in one round; then it looks whether it should stop.
const MOST_AT_ONCE: usize = 50;
/// Seconds until a letter is tried again for the first time; each further try waits twice as long.
const FIRST_WAIT: i64 = 60;
/// The longest wait for one letter, in seconds.
const LONGEST_WAIT: i64 = 6 * 3600;
/// Seconds until an unreachable server is called again, and the most it comes to.
const FIRST_REST: i64 = 10;
const LONGEST_REST: i64 = 900;
/// Where fewer letters can be chosen.
const QUIETER: &str = "/account/letters";

/// What a round came to.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Round {
    /// Letters that the mail server took.
    pub sent: usize,
    /// Letters that are not to be sent and stay on their reader's page.
    pub kept: usize,
    /// Letters to be tried again later.
    pub put_back: usize,
    /// Letters that the mail server will not take.
    pub refused: usize,
    /// Letters of which nobody knows whether they arrived.
    pub unclear: usize,
}

/// Sends letters. There is one for each database.
#[derive(Debug)]
pub struct Worker {
    store: Store,
    clock: Clock,
    site: Site,
    server: MailServer,
    incoming: mpsc::Receiver<Carried>,
    carried: VecDeque<Carried>,
    trouble: Arc<Mutex<Option<String>>>,
    rests_until: i64,
    rest: i64,
    /// The time of the last round.
    seen: i64,
}

/// What happens to a letter before any server is called.
enum Fate {
    Send(Box<Sealed>),
    Keep(&'static str),
    Refuse(String),
}

impl Worker {
    pub(super) fn new(
        store: Store,
        clock: Clock,
        site: Site,
        server: MailServer,
        incoming: mpsc::Receiver<Carried>,
        trouble: Arc<Mutex<Option<String>>>,
    ) -> Self {
        let carried = VecDeque::new();
        let (rests_until, rest, seen) = (0, FIRST_REST, i64::MAX);
        Self { store, clock, site, server, incoming, carried, trouble, rests_until, rest, seen }
    }

    /// Sends what is due until told to stop; the letter that is under way is finished first.
    pub async fn run(mut self, stop: impl Future<Output = ()>) {
        let mut ticker = tokio::time::interval(LOOKS_EVERY);
        ticker.set_missed_tick_behavior(MissedTickBehavior::Delay);
        tokio::pin!(stop);
        loop {
            tokio::select! {
                () = &mut stop => return,
                _ = ticker.tick() => {}
                Some(letter) = self.incoming.recv() => self.carried.push_back(letter),
            }
            match self.round().await {
                Ok(round) if round != Round::default() => {
                    tracing::info!(
                        sent = round.sent,
                        put_back = round.put_back,
                        refused = round.refused,
                        unclear = round.unclear,
                        "post"
                    );
                }
                Ok(_) => {}
                Err(error) => tracing::error!(%error, "the post room can't read its letters"),
            }
        }
    }

    /// Sends what is due now.
    ///
    /// # Errors
    /// The database could not answer. A letter that was being handed over becomes unclear.
    pub async fn round(&mut self) -> Result<Round, StoreError> {
        let mut round = Round::default();
        while let Ok(letter) = self.incoming.try_recv() {
            self.carried.push_back(letter);
        }
        self.heed_the_clock().await?;
        if self.clock.seconds() < self.rests_until {
            return Ok(round);
        }
        let mut line = None;
        self.send_carried(&mut line).await;
        if self.clock.seconds() >= self.rests_until {
            self.send_due(&mut line, &mut round).await?;
        }
        if let Some(line) = line {
            line.hang_up().await;
        }
        Ok(round)
    }

    /// After a clock was set back, what waits for a time of the wrong clock would wait for as long
    /// as that was wrong by.
    async fn heed_the_clock(&mut self) -> Result<(), StoreError> {
        let (now, seen) = (self.clock.seconds(), self.seen);
        self.seen = now;
        if now >= seen {
            return Ok(());
        }
        self.rests_until = 0;
        let mut tx = self.store.write().await?;
        let brought = outbox::bring_forward(&mut tx, now, now + LONGEST_WAIT).await?;
        if brought > 0 {
            tx.commit().await?;
            tracing::info!(brought, "letters that waited for the time of a wrong clock are due");
        }
        Ok(())
    }

    async fn send_due(
        &mut self,
        line: &mut Option<Line>,
        round: &mut Round,
    ) -> Result<(), StoreError> {
        let mut conn = self.store.reader().acquire().await?;
        if !outbox::something_to_do(&mut conn, self.clock.seconds()).await? {
            return Ok(());
        }
        drop(conn);
        let mut tx = self.store.write().await?;
        let left = outbox::note_left_behind(&mut tx, self.clock.seconds()).await?;
        tx.commit().await?;
        round.unclear += usize::try_from(left).unwrap_or(usize::MAX);
        for _ in 0..MOST_AT_ONCE {
            let now = self.clock.seconds();
            let mut tx = self.store.write().await?;
            let Some(due) = outbox::next_due(&mut tx, now).await? else { return Ok(()) };
            let sealed = match self.fate(&mut tx, &due, now).await? {
                Fate::Send(sealed) => sealed,
                Fate::Keep(why) => {
                    outbox::settle(&mut tx, due.id, "kept", Some(why), now).await?;
                    tx.commit().await?;
                    round.kept += 1;
                    continue;
                }
                Fate::Refuse(why) => {
                    let why = if is_told(due.to) { why } else { UNTOLD.to_owned() };
                    outbox::settle(&mut tx, due.id, "refused", Some(&why), now).await?;
                    tx.commit().await?;
                    round.refused += 1;
                    continue;
                }
            };
            // On disk before the first word to the server: should the process end now, nobody
            // sends it a second time.
            outbox::begin_sending(&mut tx, due.id).await?;
            tx.commit().await?;
            let outcome = self.hand_over(line, &sealed, is_told(due.to)).await;
            let reached = !matches!(outcome, Outcome::Unreachable(_));
            self.note(&due, outcome, round).await?;
            if !reached {
                return Ok(());
            }
        }
        Ok(())
    }

    /// What is to happen with a letter, as things stand now.
    async fn fate(&self, tx: &mut WriteTx, due: &Due, now: i64) -> Result<Fate, StoreError> {
        if now > due.not_after {
            return Ok(Fate::Keep("It could not be sent in time."));
        }
        let found = match due.to {
            Reader::Member(id) => addressee_of_member(tx, id).await?,
            Reader::Account(id) => addressee_of_account(tx, id).await?,
            Reader::Guardian(id) => addressee_of_guardian(tx, id).await?,
        };
        let Some(Addressee { name, email: Some(email), account }) = found else {
            return Ok(Fate::Keep("There is no address to send it to."));
        };
        if due.weight == Weight::Useful
            && let Some(account) = account
            && is_quiet(tx, account).await?
        {
            return Ok(Fate::Keep("They asked for essential letters only."));
        }
        let quieter = (due.weight == Weight::Useful && account.is_some()).then_some(QUIETER);
        let opening = Opening { name: &name, site: &self.site, quieter };
        let id = format!("letter-{}-{}", due.id, short_hash(&due.key));
        let at = self.clock.now();
        Ok(match seal(self.server.mailbox(), &email, &due.letter, &opening, &id, at) {
            Ok(sealed) => Fate::Send(Box::new(sealed)),
            Err(why) => Fate::Refuse(why),
        })
    }

    /// Hands a letter over on the line that is open, or on a fresh one. Where the server's words
    /// about it are not to be told, they are forgotten at once.
    async fn hand_over(
        &mut self,
        line: &mut Option<Line>,
        sealed: &Sealed,
        is_told: bool,
    ) -> Outcome {
        let mut open = match line.take() {
            Some(open) => open,
            None => match self.server.call().await {
                Ok(open) => open,
                Err(why) => {
                    self.take_a_rest(&why);
                    return Outcome::Unreachable(why);
                }
            },
        };
        let said = open.hand_over(sealed).await;
        let outcome = if is_told { said } else { said.in_our_words(UNTOLD) };
        match &outcome {
            Outcome::Sent => *line = Some(open),
            Outcome::Unreachable(why) => {
                self.take_a_rest(why);
                return outcome;
            }
            _ => {}
        }
        self.rest = FIRST_REST;
        *self.trouble.lock().unwrap_or_else(PoisonError::into_inner) = None;
        outcome
    }

    fn take_a_rest(&mut self, why: &str) {
        tracing::warn!(why, "the mail server can't be reached; letters wait");
        self.rests_until = self.clock.seconds() + self.rest;
        self.rest = (self.rest * 2).min(LONGEST_REST);
        *self.trouble.lock().unwrap_or_else(PoisonError::into_inner) = Some(why.to_owned());
    }

    /// Writes down what became of a letter.
    async fn note(&self, due: &Due, outcome: Outcome, round: &mut Round) -> Result<(), StoreError> {
        let now = self.clock.seconds();
        let mut tx = self.store.write().await?;
        match outcome {
            Outcome::Sent => {
                outbox::settle(&mut tx, due.id, "sent", None, now).await?;
                round.sent += 1;
            }
            Outcome::NotNow(why) => {
                let next = now + wait_after(due.attempts);
                outbox::put_back(&mut tx, due.id, next, 1, &why).await?;
                round.put_back += 1;
            }
            Outcome::Refused(why) => {
                tracing::warn!(letter = due.id, "the mail server refused a letter");
                outbox::settle(&mut tx, due.id, "refused", Some(&why), now).await?;
                round.refused += 1;
            }
            Outcome::Unclear(why) => {
                tracing::warn!(letter = due.id, "nobody knows whether a letter arrived");
                outbox::settle(&mut tx, due.id, "unclear", Some(&why), now).await?;
                round.unclear += 1;
            }
            // The letter itself was not tried.
            Outcome::Unreachable(why) => {
                outbox::put_back(&mut tx, due.id, now, 0, &why).await?;
                round.put_back += 1;
            }
        }
        tx.commit().await
    }

    /// Sends letters with a secret. What can't be sent now waits as long as its secret holds.
    async fn send_carried(&mut self, line: &mut Option<Line>) {
        for _ in 0..self.carried.len() {
            let Some(letter) = self.carried.pop_front() else { return };
            if self.clock.seconds() > letter.not_after {
                continue;
            }
            let Ok(id) = crate::web::secret::Secret::random() else { return };
            let opening = Opening { name: &letter.name, site: &self.site, quieter: None };
            let id = short_hash(id.reveal());
            let at = self.clock.now();
            let sealed = seal(self.server.mailbox(), &letter.to, &letter.letter, &opening, &id, at);
            let Ok(sealed) = sealed else { continue };
            match self.hand_over(line, &sealed, true).await {
                Outcome::Sent => {}
                Outcome::NotNow(_) => self.carried.push_back(letter),
                Outcome::Unreachable(_) => {
                    self.carried.push_front(letter);
                    return;
                }
                // Sent twice, its link would still work once only; but the reader asks again.
                Outcome::Refused(_) | Outcome::Unclear(_) => {
                    tracing::warn!("a letter with a link was not taken");
                }
            }
        }
    }
}

/// What stands in place of a mail server's words about a guardian's letter: they often quote the
/// address, which is for nobody who looks after the post.
const UNTOLD: &str =
    "The mail server did not take it; its words may name the address and are not kept.";

/// Whether those who look after the post may read what is said about this reader's letter.
fn is_told(to: Reader) -> bool {
    !matches!(to, Reader::Guardian(_))
}

fn short_hash(text: &str) -> String {
    hex(&hash(text)).chars().take(16).collect()
}

/// Seconds to wait after so many tries before.
fn wait_after(attempts: i64) -> i64 {
    let doublings = u32::try_from(attempts.max(0)).unwrap_or(u32::MAX).min(20);
    (FIRST_WAIT << doublings).min(LONGEST_WAIT)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn each_try_waits_twice_as_long_up_to_six_hours() {
        let waits: Vec<i64> = (0..11).map(wait_after).collect();
        assert_eq!(waits, [60, 120, 240, 480, 960, 1920, 3840, 7680, 15_360, 21_600, 21_600]);
        assert_eq!(wait_after(i64::MAX), 21_600);
    }
}

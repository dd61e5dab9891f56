//! A brake on guessing: after five failures in a row the next try must wait, and each further
//! failure doubles the wait, up to a quarter of an hour.
//!
//! Counted by account name and by client address, in the database, so that a restart forgets
//! nothing. Names that don't exist are counted like those that do. Nobody is ever locked out for
//! good (OWASP ASVS 5.0, 6.3.1; NIST SP 800-63B-4, section 3.2.2).

use std::net::IpAddr;

use sqlx::SqliteConnection;

use crate::store::{StoreError, WriteTx};
use crate::web::secret::hash;

/// Failures that cost nothing.
const FREE: i64 = 5;
/// The longest wait, in seconds.
const LONGEST: i64 = 15 * 60;
/// After a day without failure all is forgotten.
const REMEMBERED: i64 = 86_400;

/// Who tries to sign in: the name they gave, and where they are.
#[derive(Clone, Debug)]
pub struct Attempt {
    name: Vec<u8>,
    address: Vec<u8>,
}

/// Seconds to wait, by what was counted.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Waits {
    /// Because of what was tried under this name.
    pub name: u64,
    /// Because of what was tried from this address.
    pub address: u64,
}

impl Waits {
    fn longer(self) -> u64 {
        self.name.max(self.address)
    }
}

impl Attempt {
    /// An attempt under this name from this address.
    #[must_use]
    pub fn of(email: &str, address: IpAddr) -> Self {
        Self::at("", &email.trim().to_lowercase(), address)
    }

    /// An attempt at an account's second factor.
    #[must_use]
    pub fn at_code(account: i64, address: IpAddr) -> Self {
        Self::at("code ", &account.to_string(), address)
    }

    /// A wish for a letter with a link. Each counts as a failure, so that nobody's mailbox is
    /// filled.
    #[must_use]
    pub fn at_letter(email: &str, address: IpAddr) -> Self {
        Self::at("letter ", &email.trim().to_lowercase(), address)
    }

    /// A wish to join the club. Counted by the address alone, so that nobody turns others away.
    #[must_use]
    pub fn at_join(address: IpAddr) -> Self {
        Self::at("join ", &address.to_string(), address)
    }

    fn at(door: &str, name: &str, address: IpAddr) -> Self {
        let place = match address {
            IpAddr::V4(address) => address.to_string(),
            // One customer commonly has a whole /64 (RFC 6177), so its lower half tells nothing.
            IpAddr::V6(address) => {
                let [a, b, c, d, ..] = address.segments();
                format!("{a:x}:{b:x}:{c:x}:{d:x}::/64")
            }
        };
        Self {
            name: hash(&format!("{door}account {name}")),
            address: hash(&format!("{door}address {place}")),
        }
    }

    /// Seconds to wait before this attempt may be made; nought if it may be made now.
    ///
    /// # Errors
    /// The database could not answer.
    pub async fn wait(&self, conn: &mut SqliteConnection, now: i64) -> Result<u64, StoreError> {
        Ok(self.waits(conn, now).await?.longer())
    }

    /// The same for name and address apart.
    ///
    /// # Errors
    /// The database could not answer.
    pub async fn waits(&self, conn: &mut SqliteConnection, now: i64) -> Result<Waits, StoreError> {
        let rows = sqlx::query!(
            "SELECT subject_hash, failures, last_at FROM sign_in_failure
             WHERE subject_hash IN (?1, ?2)",
            self.name,
            self.address
        )
        .fetch_all(conn)
        .await?;
        let mut waits = Waits::default();
        for row in rows {
            let seconds = left(row.failures, now - row.last_at);
            if row.subject_hash == self.name {
                waits.name = seconds;
            } else {
                waits.address = seconds;
            }
        }
        Ok(waits)
    }

    /// Counts a failure.
    ///
    /// # Errors
    /// The database could not answer.
    pub async fn failed(&self, tx: &mut WriteTx, now: i64) -> Result<(), StoreError> {
        let forgotten = now - REMEMBERED;
        sqlx::query!("DELETE FROM sign_in_failure WHERE last_at < ?1", forgotten)
            .execute(&mut **tx)
            .await?;
        for subject in [&self.name, &self.address] {
            sqlx::query!(
                "INSERT INTO sign_in_failure (subject_hash, failures, last_at) VALUES (?1, 1, ?2)
                 ON CONFLICT (subject_hash) DO UPDATE
                 SET failures = failures + 1, last_at = excluded.last_at",
                subject,
                now
            )
            .execute(&mut **tx)
            .await?;
        }
        Ok(())
    }

    /// Forgets the name's failures after a success. The address keeps its own, so that nobody
    /// buys further guesses at others by signing in between.
    ///
    /// # Errors
    /// The database could not answer.
    pub async fn succeeded(&self, tx: &mut WriteTx) -> Result<(), StoreError> {
        sqlx::query!("DELETE FROM sign_in_failure WHERE subject_hash = ?1", self.name)
            .execute(&mut **tx)
            .await?;
        Ok(())
    }
}

/// Seconds still to wait, so many failures and so many seconds after the last of them. One that lies
/// ahead was counted under a wrong clock: it would keep its owner out for as long as that was wrong
/// by, and the next failure is counted under the right one.
fn left(failures: i64, since: i64) -> u64 {
    if failures < FREE || !(0..REMEMBERED).contains(&since) {
        return 0;
    }
    let doublings = u32::try_from(failures - FREE).unwrap_or(u32::MAX);
    let delay = 1_i64.checked_shl(doublings).filter(|_| doublings < 62).unwrap_or(LONGEST);
    u64::try_from(delay.min(LONGEST) - since).unwrap_or(0)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn five_failures_are_free_and_then_the_wait_doubles_to_a_quarter_of_an_hour() {
        let waits: Vec<u64> = (0..20).map(|failures| left(failures, 0)).collect();
        assert_eq!(waits[..10], [0, 0, 0, 0, 0, 1, 2, 4, 8, 16]);
        assert_eq!(waits[14], 512);
        assert_eq!(waits[15..], [900; 5]);
        assert_eq!(left(i64::MAX, 0), 900);
    }

    #[test]
    fn waiting_helps_and_a_clock_set_back_does_not_hurt() {
        assert_eq!(left(8, 3), 5);
        assert_eq!(left(8, 8), 0);
        assert_eq!(left(8, -1_000_000), 0);
        assert_eq!(left(40, REMEMBERED), 0);
    }

    #[test]
    fn the_same_name_and_the_same_network_count_together() {
        let one = Attempt::of(" Ines@Example.org", "2001:db8:1:2::1".parse().unwrap());
        let other = Attempt::of("ines@example.org", "2001:db8:1:2:ffff::9".parse().unwrap());
        assert_eq!((&one.name, &one.address), (&other.name, &other.address));
        let far = Attempt::of("ines@example.org", "2001:db8:1:3::1".parse().unwrap());
        assert_ne!(one.address, far.address);
    }
}

//! Passwords: what makes one good enough, and how it is kept.
//!
//! Length is the only rule of form (NIST SP 800-63B-4, section 3.1.1.2; OWASP ASVS 5.0, 6.2):
//! no signs wanted, nothing expires. Kept as Argon2id with 19,456 KiB, 2 passes and 1 lane, one of
//! the equal choices of the OWASP password storage cheat sheet.

use std::sync::Arc;

use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher as _, PasswordVerifier as _};
use argon2::{Algorithm, Argon2, Params, Version};
use tokio::sync::{OwnedSemaphorePermit, Semaphore};
use unicode_normalization::UnicodeNormalization as _;

use super::common::is_common;
use crate::web::problem::Problem;

/// Fewest characters (Unicode code points) where the password is the only factor.
pub const FEWEST: usize = 15;
/// Most bytes; more would only cost time.
pub const MOST_BYTES: usize = 256;

/// Each hash takes 19 MiB while it is made; so many may be made at once.
const AT_ONCE: usize = 2;
/// So many may wait for their turn; later ones are asked to come back.
const WAITING: usize = 64;

/// Why a password won't do.
#[derive(Clone, Copy, Debug, PartialEq, Eq, thiserror::Error)]
pub enum Weak {
    /// Too few characters.
    #[error("That is too short: use at least {FEWEST} characters, such as four or five words.")]
    Short,
    /// Too many bytes.
    #[error("That is too long: use at most {MOST_BYTES} bytes.")]
    Long,
    /// One of the first that are guessed.
    #[error("That is one of the first that people guess: choose another.")]
    Common,
    /// Little more than one short piece repeated.
    #[error("That is the same few characters over and over: choose something less regular.")]
    Repeats,
    /// The club's, the service's or the person's own name.
    #[error("That is a name or address that everybody knows: choose another.")]
    Known,
}

/// A password that will do, in the form that is hashed (Unicode NFKC).
#[derive(Clone)]
pub struct Password(String);

impl std::fmt::Debug for Password {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Password(…)")
    }
}

impl Password {
    /// Checks a chosen password. `known` are names and addresses that it must not be.
    ///
    /// # Errors
    /// The reason why it won't do.
    pub fn choose(text: &str, known: &[&str]) -> Result<Self, Weak> {
        let normal = normal(text);
        if normal.len() > MOST_BYTES || text.len() > MOST_BYTES {
            return Err(Weak::Long);
        }
        if normal.chars().count() < FEWEST {
            return Err(Weak::Short);
        }
        let bare = bare(&normal);
        if known.iter().chain(&["Borrowed Light"]).any(|name| bare == self::bare(name)) {
            return Err(Weak::Known);
        }
        if is_common(&bare) {
            return Err(Weak::Common);
        }
        if repeats(&bare) {
            return Err(Weak::Repeats);
        }
        Ok(Self(normal))
    }
}

/// The form that is hashed.
fn normal(text: &str) -> String {
    text.nfkc().collect()
}

/// Lower case without spaces, for comparing with what is known.
fn bare(text: &str) -> String {
    text.chars().filter(|c| !c.is_whitespace()).flat_map(char::to_lowercase).collect()
}

/// Whether it is one piece of at most five characters over and over, the last maybe cut off.
fn repeats(text: &str) -> bool {
    let letters: Vec<char> = text.chars().collect();
    (1..=5).any(|period| {
        letters.iter().zip(letters.iter().skip(period)).all(|(one, later)| one == later)
    })
}

/// Makes and checks hashes, a few at a time and off the threads that answer requests.
#[derive(Clone, Debug)]
pub struct Hasher {
    turns: Arc<Semaphore>,
    queue: Arc<Semaphore>,
}

/// A turn at the hasher. While it is held, at most one other sign-in is being decided.
#[derive(Debug)]
pub struct Turn {
    _place: OwnedSemaphorePermit,
}

impl Default for Hasher {
    fn default() -> Self {
        Self {
            turns: Arc::new(Semaphore::new(AT_ONCE)),
            queue: Arc::new(Semaphore::new(AT_ONCE + WAITING)),
        }
    }
}

/// Nobody's hash: checking against it takes as long as against somebody's.
const NOBODY: &str = "$argon2id$v=19$m=19456,t=2,p=1$\
    bm9ib2R5J3Mgc2FsdCE$bm9ib2R5IGhhcyB0aGlzIHBhc3N3b3JkIGF0IGFsbCE";

fn argon2() -> Result<Argon2<'static>, Problem> {
    let params = Params::new(19_456, 2, 1, None).map_err(|error| Problem::internal(&error))?;
    Ok(Argon2::new(Algorithm::Argon2id, Version::V0x13, params))
}

impl Hasher {
    /// Waits for a turn.
    ///
    /// # Errors
    /// Too many wait already.
    pub async fn turn(&self) -> Result<Turn, Problem> {
        let _waiting = Arc::clone(&self.queue).try_acquire_owned().map_err(|_| Problem::busy())?;
        let place = Arc::clone(&self.turns).acquire_owned().await;
        Ok(Turn { _place: place.map_err(|error| Problem::internal(&error))? })
    }
}

impl Turn {
    /// Hashes a password, as a PHC string.
    ///
    /// # Errors
    /// The operating system gave no randomness or no memory.
    pub async fn hash(&self, password: Password) -> Result<String, Problem> {
        off_thread(move || {
            let hash: PasswordHash = argon2()?
                .hash_password(password.0.as_bytes())
                .map_err(|error| Problem::internal(&error))?;
            Ok(hash.to_string())
        })
        .await
    }

    /// Whether a text is the password behind a hash. Without a hash the answer is no, and takes
    /// as long.
    ///
    /// # Errors
    /// No memory.
    pub async fn verify(&self, text: String, hash: Option<String>) -> Result<bool, Problem> {
        off_thread(move || {
            let stored = hash.as_deref().unwrap_or(NOBODY);
            let stored = PasswordHash::new(stored).map_err(|error| Problem::internal(&error))?;
            let holds = argon2()?.verify_password(normal(&text).as_bytes(), &stored).is_ok();
            Ok(holds && hash.is_some())
        })
        .await
    }
}

/// Whether a stored hash was made with other parameters than today's, and should be made anew
/// when its password is next seen.
#[must_use]
pub fn is_outdated(hash: &str) -> bool {
    !hash.starts_with("$argon2id$v=19$m=19456,t=2,p=1$")
}

/// A password that was just found to be right, to be hashed anew whatever its length.
#[must_use]
pub fn proven(text: &str) -> Password {
    Password(normal(text))
}

async fn off_thread<T: Send + 'static>(
    work: impl FnOnce() -> Result<T, Problem> + Send + 'static,
) -> Result<T, Problem> {
    tokio::task::spawn_blocking(work).await.unwrap_or_else(|error| Err(Problem::internal(&error)))
}

#[cfg(test)]
mod tests {
    use super::*;

    fn weak(text: &str) -> Option<Weak> {
        Password::choose(text, &["Windmill Hill Astronomers", "ines@example.org"]).err()
    }

    #[test]
    fn length_is_counted_in_characters_and_capped_in_bytes() {
        assert_eq!(weak("fourteen chars"), Some(Weak::Short));
        assert_eq!(weak("fifteen chars !"), None);
        // 15 characters, 30 bytes.
        assert_eq!(weak("øæåéüñßþðçêîôûà"), None);
        assert_eq!(weak(&"tangled wires ".repeat(19)), Some(Weak::Long));
        assert_eq!(weak(&format!("{}x", "abcdefghijkl mnopqrs".repeat(12))), None);
    }

    #[test]
    fn what_everybody_would_guess_is_refused() {
        assert_eq!(weak("Password Password"), Some(Weak::Common));
        assert_eq!(weak("bluebluebluebluebl"), Some(Weak::Repeats));
        assert_eq!(weak("aaaaaaaaaaaaaaaa"), Some(Weak::Repeats));
        assert_eq!(weak("WINDMILL HILL astronomers"), Some(Weak::Known));
        assert_eq!(weak("ines@example.org"), Some(Weak::Known));
        assert_eq!(weak("borrowed  light"), Some(Weak::Known));
    }

    #[tokio::test]
    async fn only_the_password_itself_opens_its_hash() {
        let turn = Hasher::default().turn().await.unwrap();
        // A ligature and its letters are the same password (NFKC).
        let chosen = Password::choose("the ﬁrst evening star", &[]).unwrap();
        let hash = turn.hash(chosen).await.unwrap();
        assert!(!is_outdated(&hash), "{hash}");
        let verify = async |text: &str| turn.verify(text.into(), Some(hash.clone())).await.unwrap();
        assert!(verify("the first evening star").await);
        assert!(!verify("the first evening star ").await);
        assert!(!verify("").await);
    }

    #[tokio::test]
    async fn nobodys_hash_is_checked_in_full_and_opens_to_nothing() {
        assert!(!is_outdated(NOBODY));
        assert!(PasswordHash::new(NOBODY).is_ok());
        let turn = Hasher::default().turn().await.unwrap();
        assert!(!turn.verify("the first evening star".into(), None).await.unwrap());
    }

    #[tokio::test]
    async fn when_too_many_wait_the_next_is_asked_to_come_back() {
        let hasher = Hasher::default();
        let _held = [hasher.turn().await.unwrap(), hasher.turn().await.unwrap()];
        let mut waiting: Vec<_> = (0..AT_ONCE + WAITING).map(|_| Box::pin(hasher.turn())).collect();
        for turn in &mut waiting {
            assert!(futures_poll_once(turn).await.is_none());
        }
        assert_eq!(hasher.turn().await.unwrap_err().status(), 503);
    }

    async fn futures_poll_once<F: Future + Unpin>(future: &mut F) -> Option<F::Output> {
        use std::task::Poll;
        std::future::poll_fn(|context| {
            Poll::Ready(match std::pin::Pin::new(&mut *future).poll(context) {
                Poll::Ready(output) => Some(output),
                Poll::Pending => None,
            })
        })
        .await
    }
}

//! A form's own id: sent twice, it is done once, without any script.

use super::once::{Kept, Key, Known, keep, known};
use crate::store::WriteTx;
use crate::web::clock::Clock;
use crate::web::problem::Problem;
use crate::web::secret::{hex, random_bytes};

/// A new id for a form.
///
/// # Errors
/// The operating system gave no random numbers.
pub fn fresh() -> Result<String, Problem> {
    let bytes = random_bytes::<16>().map_err(|fault| Problem::internal(&fault))?;
    Ok(hex(&bytes))
}

/// Under what the outcome of a form is kept.
#[derive(Debug, Clone)]
pub struct FormKey(Option<(Key, i64)>);

impl FormKey {
    /// Looks a form's id up: `Ok` where there is something to do, `Err` with the page that it led
    /// to before. A form without an id is done each time.
    ///
    /// # Errors
    /// The database could not answer.
    pub async fn begin(
        tx: &mut WriteTx,
        clock: &Clock,
        account: i64,
        once: &str,
    ) -> Result<Result<Self, String>, Problem> {
        let key = Key::new(account, &format!("form {once}"), "form", b"");
        let Some(key) = key.filter(|_| !once.is_empty()) else { return Ok(Ok(Self(None))) };
        let now = clock.seconds();
        match known(tx, &key, now).await? {
            Known::Same(kept) => Ok(Err(kept.answer)),
            Known::Nothing | Known::Another => Ok(Ok(Self(Some((key, now))))),
        }
    }

    /// Keeps where it led.
    ///
    /// # Errors
    /// The database refused.
    pub async fn keep(&self, tx: &mut WriteTx, place: &str) -> Result<(), Problem> {
        let Some((key, now)) = &self.0 else { return Ok(()) };
        Ok(keep(tx, key, &Kept { status: 303, answer: place.to_owned() }, *now).await?)
    }
}

//! Codes on paper: ten, each good once.
//!
//! 120 random bits each, so a plain hash is enough (OWASP ASVS 5.0, 6.5.2: from 112 bits on).

use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::secret::{NoRandomness, hash, random_bytes};

/// How many are handed out.
pub(super) const HANDED_OUT: usize = 10;
/// Letters and digits that are not mistaken for each other; 32, so five bits each.
const LETTERS: &[u8; 32] = b"0123456789abcdefghjkmnpqrstvwxyz";
/// Characters of a code.
const LENGTH: usize = 24;

/// One code, shown once.
#[derive(Clone)]
pub struct RecoveryCode(String);

impl std::fmt::Debug for RecoveryCode {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("RecoveryCode(…)")
    }
}

impl RecoveryCode {
    fn random() -> Result<Self, NoRandomness> {
        let bytes = random_bytes::<LENGTH>()?;
        // 256 is a multiple of 32: every letter is as likely.
        Ok(Self(bytes.iter().map(|byte| char::from(LETTERS[usize::from(byte % 32)])).collect()))
    }

    /// As it is written on paper, in groups of four.
    #[must_use]
    pub fn written(&self) -> String {
        let groups: Vec<&str> =
            (0..LENGTH).step_by(4).filter_map(|at| self.0.get(at..at + 4)).collect();
        groups.join("-")
    }
}

/// What was typed, without what people put between: and `o` for nought, `i` and `l` for one.
fn plain(typed: &str) -> String {
    typed
        .chars()
        .filter(char::is_ascii_alphanumeric)
        .map(|c| match c.to_ascii_lowercase() {
            'o' => '0',
            'i' | 'l' => '1',
            other => other,
        })
        .collect()
}

fn hash_of(account: i64, plain: &str) -> Vec<u8> {
    hash(&format!("recovery code of {account}: {plain}"))
}

/// Makes fresh codes in place of all earlier ones.
///
/// # Errors
/// No randomness, or the database could not answer.
pub(in crate::people) async fn renew(
    tx: &mut WriteTx,
    account: i64,
) -> Result<Vec<RecoveryCode>, RenewError> {
    sqlx::query!("DELETE FROM recovery_code WHERE account_id = ?1", account)
        .execute(&mut **tx)
        .await
        .map_err(StoreError::from)?;
    let mut codes = Vec::with_capacity(HANDED_OUT);
    for _ in 0..HANDED_OUT {
        let code = RecoveryCode::random()?;
        let hash = hash_of(account, &code.0);
        sqlx::query!(
            "INSERT INTO recovery_code (account_id, code_hash) VALUES (?1, ?2)",
            account,
            hash
        )
        .execute(&mut **tx)
        .await
        .map_err(StoreError::from)?;
        codes.push(code);
    }
    Ok(codes)
}

/// Why no fresh codes were made.
#[derive(Debug, thiserror::Error)]
pub(in crate::people) enum RenewError {
    /// The operating system gave no random bytes.
    #[error(transparent)]
    Randomness(#[from] NoRandomness),
    /// The database could not answer.
    #[error(transparent)]
    Store(#[from] StoreError),
}

impl From<RenewError> for crate::web::problem::Problem {
    fn from(error: RenewError) -> Self {
        match error {
            RenewError::Randomness(error) => error.into(),
            RenewError::Store(error) => error.into(),
        }
    }
}

/// Uses a code up. Says whether it held: of two who try at once, one is told no.
pub(super) async fn use_up(
    tx: &mut WriteTx,
    clock: &Clock,
    account: i64,
    typed: &str,
) -> Result<bool, StoreError> {
    let (hash, now) = (hash_of(account, &plain(typed)), clock.seconds());
    let done = sqlx::query!(
        "UPDATE recovery_code SET used_at = ?3
         WHERE account_id = ?1 AND code_hash = ?2 AND used_at IS NULL",
        account,
        hash,
        now
    )
    .execute(&mut **tx)
    .await?;
    Ok(done.rows_affected() == 1)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_code_is_read_however_it_is_typed() {
        let code = RecoveryCode::random().unwrap();
        let written = code.written();
        assert_eq!(written.len(), 29);
        assert_eq!(plain(&written), code.0);
        assert_eq!(plain(&format!(" {} ", written.to_uppercase().replace('-', " "))), code.0);
        assert_eq!(plain("OIl-o"), "0110");
    }

    #[test]
    fn codes_are_long_enough_for_a_plain_hash_and_differ() {
        let codes: Vec<String> = (0..50).map(|_| RecoveryCode::random().unwrap().0).collect();
        for code in &codes {
            assert!(code.len() * 5 >= 112 && code.bytes().all(|byte| LETTERS.contains(&byte)));
        }
        let all: std::collections::HashSet<&String> = codes.iter().collect();
        assert_eq!(all.len(), codes.len());
        // Over 1,200 letters none of the 32 stays away, unless the choice is lopsided.
        let used: std::collections::HashSet<u8> = codes.iter().flat_map(|c| c.bytes()).collect();
        assert_eq!(used.len(), 32);
    }
}

//! Random secrets: session ids, tokens and one-time links. Only their hashes are stored.

use std::fmt::Write as _;

use sha2::{Digest, Sha256};

/// The operating system gave no random bytes.
#[derive(Debug, thiserror::Error)]
#[error("the operating system gave no random numbers: {0}")]
pub struct NoRandomness(#[from] getrandom::Error);

/// A secret of 256 random bits, shown once. Its `Debug` says nothing.
#[derive(Clone)]
pub struct Secret(String);

impl Secret {
    /// A fresh secret: 64 hexadecimal digits.
    ///
    /// # Errors
    /// The operating system gave no random bytes.
    pub fn random() -> Result<Self, NoRandomness> {
        Ok(Self(hex(&random_bytes::<32>()?)))
    }

    /// The text to hand out.
    #[must_use]
    pub fn reveal(&self) -> &str {
        &self.0
    }

    /// What to store in its place.
    #[must_use]
    pub fn hash(&self) -> Vec<u8> {
        hash(&self.0)
    }
}

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret(…)")
    }
}

/// SHA-256 of a secret's text. Enough for 256 random bits; passwords need a slow hash instead.
#[must_use]
pub fn hash(text: &str) -> Vec<u8> {
    Sha256::digest(text.as_bytes()).to_vec()
}

/// Random bytes from the operating system.
///
/// # Errors
/// The operating system gave none.
pub fn random_bytes<const N: usize>() -> Result<[u8; N], NoRandomness> {
    let mut bytes = [0; N];
    getrandom::fill(&mut bytes)?;
    Ok(bytes)
}

/// Bytes as lower-case hexadecimal digits.
#[must_use]
pub fn hex(bytes: &[u8]) -> String {
    bytes.iter().fold(String::with_capacity(bytes.len() * 2), |mut text, byte| {
        // Writing to a String cannot fail.
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// Compares without telling by its duration where the difference lies.
#[must_use]
pub fn same(one: &[u8], other: &[u8]) -> bool {
    one.len() == other.len() && one.iter().zip(other).fold(0, |diff, (a, b)| diff | (a ^ b)) == 0
}

/// A token for a page's forms, bound to the visitor's cookie: `nonce` and hash side by side.
///
/// Each page gets another one, so that compression never sees the same secret twice.
///
/// # Errors
/// The operating system gave no random bytes.
pub fn form_token(seed: &str) -> Result<String, NoRandomness> {
    Ok(form_token_with(seed, &hex(&random_bytes::<8>()?)))
}

fn form_token_with(seed: &str, nonce: &str) -> String {
    format!("{nonce}{}", hex(&hash(&format!("form token\n{nonce}\n{seed}"))))
}

/// Whether a form's token was made for this visitor.
#[must_use]
pub fn form_token_holds(seed: &str, token: &str) -> bool {
    token
        .get(..16)
        .is_some_and(|nonce| same(form_token_with(seed, nonce).as_bytes(), token.as_bytes()))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn secrets_differ_and_do_not_leak_into_logs() {
        let (one, other) = (Secret::random().unwrap(), Secret::random().unwrap());
        assert_ne!(one.reveal(), other.reveal());
        assert_eq!(one.reveal().len(), 64);
        assert!(!format!("{one:?}").contains(one.reveal()));
    }

    #[test]
    fn a_form_token_holds_for_its_own_visitor_only() {
        let token = form_token("visitor").unwrap();
        assert!(form_token_holds("visitor", &token));
        assert!(!form_token_holds("another", &token));
        assert!(!form_token_holds("visitor", &token[..79]));
        assert!(!form_token_holds("visitor", ""));
        assert!(!form_token_holds("visitor", "ééééééééééé"));
        assert_ne!(token, form_token("visitor").unwrap());
    }
}

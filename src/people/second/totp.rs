//! Codes that go with the time (RFC 6238, on top of RFC 4226): SHA-1, six digits, 30 seconds,
//! which is what every app can do.

use hmac::{Hmac, KeyInit as _, Mac as _};
use sha1::Sha1;

use super::base32;
use crate::web::secret::{NoRandomness, random_bytes, same};

/// Seconds that a code lives (RFC 6238, section 5.2).
pub(super) const STEP: i64 = 30;
/// Steps that a phone's clock may be off, to either side (RFC 6238, section 6).
const OFF: i64 = 1;
/// Digits of a code.
pub(super) const DIGITS: usize = 6;

/// What a person's app and we share: 160 random bits, as RFC 4226 recommends in section 4.
#[derive(Clone)]
pub struct Secret([u8; 20]);

impl std::fmt::Debug for Secret {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.write_str("Secret(…)")
    }
}

impl Secret {
    /// A fresh one.
    ///
    /// # Errors
    /// The operating system gave no random bytes.
    pub fn random() -> Result<Self, NoRandomness> {
        Ok(Self(random_bytes()?))
    }

    /// As the database keeps it.
    #[must_use]
    pub fn bytes(&self) -> &[u8] {
        &self.0
    }

    /// Reads what the database kept; `None` when it is not whole.
    #[must_use]
    pub fn read(bytes: &[u8]) -> Option<Self> {
        bytes.try_into().ok().map(Self)
    }

    /// To be typed into an app, in groups of four.
    #[must_use]
    pub fn typed(&self) -> String {
        let text = base32::encode(&self.0);
        let groups: Vec<&str> =
            (0..text.len()).step_by(4).filter_map(|at| text.get(at..at + 4)).collect();
        groups.join(" ")
    }

    /// The address that apps read from a picture. The form is common practice, no source; SHA-1,
    /// six digits and half a minute are what apps take when nothing is said.
    #[must_use]
    pub fn address(&self, club: &str, email: &str) -> String {
        let issuer = escaped(if club.is_empty() { "Borrowed Light" } else { club });
        format!(
            "otpauth://totp/{issuer}:{}?secret={}&issuer={issuer}",
            escaped(email),
            base32::encode(&self.0)
        )
    }

    /// The code at an instant, in seconds since 1970.
    #[must_use]
    pub fn code_at(&self, seconds: i64) -> String {
        let truncated = truncated(&self.0, seconds.div_euclid(STEP));
        format!("{:06}", truncated % 1_000_000)
    }

    /// The time step of a code that holds at this instant and was made after `last`; `None` for a
    /// wrong code and for one that was seen before.
    pub(super) fn step_of(&self, code: &str, seconds: i64, last: i64) -> Option<i64> {
        let now = seconds.div_euclid(STEP);
        // A step that lies ahead was taken under a wrong clock, and would refuse every code until
        // then.
        let last = if last > now + OFF { i64::MIN } else { last };
        let mut found = None;
        // All are compared, so that the time it takes tells nothing.
        for step in now - OFF..=now + OFF {
            if same(self.code_at(step * STEP).as_bytes(), code.as_bytes()) && step > last {
                found = Some(step);
            }
        }
        found
    }
}

/// Dynamic truncation (RFC 4226, section 5.3).
fn truncated(secret: &[u8], counter: i64) -> u32 {
    // A key of any length is one that HMAC takes.
    let Ok(mut mac) = Hmac::<Sha1>::new_from_slice(secret) else { return 0 };
    mac.update(&counter.to_be_bytes());
    let hash = mac.finalize().into_bytes();
    let offset = usize::from(hash[19] & 0xf);
    let word = [hash[offset] & 0x7f, hash[offset + 1], hash[offset + 2], hash[offset + 3]];
    u32::from_be_bytes(word)
}

/// Percent-encoded, for a part of an address (RFC 3986, section 2.3).
fn escaped(text: &str) -> String {
    use std::fmt::Write as _;
    text.bytes().fold(String::new(), |mut out, byte| {
        if byte.is_ascii_alphanumeric() || b"-._~".contains(&byte) {
            out.push(char::from(byte));
        } else {
            // Writing to a String cannot fail.
            let _ = write!(out, "%{byte:02X}");
        }
        out
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The shared secret of both RFCs.
    fn rfc() -> Secret {
        Secret(*b"12345678901234567890")
    }

    #[test]
    fn the_vectors_of_rfc_6238_appendix_b_hold() {
        // The table shows eight digits; ours are the last six of them (SHA-1 rows).
        for (seconds, code) in [
            (59, "94287082"),
            (1_111_111_109, "07081804"),
            (1_111_111_111, "14050471"),
            (1_234_567_890, "89005924"),
            (2_000_000_000, "69279037"),
            (20_000_000_000, "65353130"),
        ] {
            assert_eq!(rfc().code_at(seconds), code[2..], "{seconds}");
            let all = truncated(&rfc().0, seconds / STEP) % 100_000_000;
            assert_eq!(format!("{all:08}"), code, "{seconds}");
        }
    }

    #[test]
    fn the_vectors_of_rfc_4226_appendix_d_hold() {
        let codes = [
            "755224", "287082", "359152", "969429", "338314", "254676", "287922", "162583",
            "399871", "520489",
        ];
        for (counter, code) in (0..).zip(codes) {
            assert_eq!(rfc().code_at(counter * STEP), code);
        }
    }

    #[test]
    fn a_clock_may_be_half_a_minute_off_and_no_more() {
        let now = 1_111_111_111;
        for (off, taken) in [(-60, false), (-30, true), (0, true), (30, true), (60, false)] {
            let code = rfc().code_at(now + off);
            assert_eq!(rfc().step_of(&code, now, 0).is_some(), taken, "{off}");
        }
    }

    #[test]
    fn no_code_is_taken_twice_nor_an_older_one_after_it() {
        let now = 1_111_111_111;
        let step = rfc().step_of(&rfc().code_at(now), now, 0).unwrap();
        assert_eq!(rfc().step_of(&rfc().code_at(now), now, step), None);
        assert_eq!(rfc().step_of(&rfc().code_at(now - STEP), now, step), None);
        assert_eq!(rfc().step_of(&rfc().code_at(now + STEP), now, step), Some(step + 1));
        let years_on = step + 10_000_000;
        assert_eq!(rfc().step_of(&rfc().code_at(now), now, years_on), Some(step), "clock set back");
    }

    #[test]
    fn what_is_no_code_is_not_taken() {
        for text in ["", "94287", "0094287082", "٩٤٢٨٧٠", "abcdef"] {
            assert_eq!(rfc().step_of(text, 59, 0), None, "{text:?}");
        }
    }

    #[test]
    fn an_app_can_read_the_secret_and_a_log_cannot() {
        assert_eq!(rfc().typed(), "GEZD GNBV GY3T QOJQ GEZD GNBV GY3T QOJQ");
        let address = rfc().address("Windmill Hill & Co", "ines@example.org");
        assert_eq!(
            address,
            "otpauth://totp/Windmill%20Hill%20%26%20Co:ines%40example.org?\
             secret=GEZDGNBVGY3TQOJQGEZDGNBVGY3TQOJQ&issuer=Windmill%20Hill%20%26%20Co"
        );
        assert_eq!(format!("{:?}", rfc()), "Secret(…)");
    }
}

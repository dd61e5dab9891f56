//! A letter as mail: headers, plain text and HTML (RFC 5322, RFC 2046).

use std::time::{Duration, SystemTime};

use jiff::Timestamp;
use lettre::message::header::{HeaderName, HeaderValue};
use lettre::message::{Mailbox, MultiPart};
use lettre::{Address, Message};

use super::faces::{Opening, html, plain};
use super::letter::Letter;
use crate::people::Email;

/// A letter ready to be handed over.
#[derive(Debug)]
pub(super) struct Sealed {
    pub(super) to: Address,
    pub(super) bytes: Vec<u8>,
}

/// Seals a letter. `id` stays the same however often it is tried, so that a reader's mailbox can
/// tell a second copy.
///
/// # Errors
/// The reason why it can't become mail.
pub(super) fn seal(
    from: &Mailbox,
    to: &Email,
    letter: &Letter,
    opening: &Opening<'_>,
    id: &str,
    at: Timestamp,
) -> Result<Sealed, String> {
    letter.check().map_err(|fault| fault.to_string())?;
    let to: Address =
        to.as_str().parse().map_err(|_| "No mail can be sent to this address.".to_owned())?;
    let name = opening.name.chars().filter(|c| !c.is_control()).collect();
    let parts = MultiPart::alternative_plain_html(
        plain(letter, opening).map_err(|fault| fault.to_string())?,
        html(letter, opening).map_err(|fault| fault.to_string())?,
    );
    // Keeps answering machines quiet (RFC 3834, section 5).
    let by_itself = HeaderValue::new(
        HeaderName::new_from_ascii_str("Auto-Submitted"),
        "auto-generated".to_owned(),
    );
    let since = Duration::from_secs(u64::try_from(at.as_second()).unwrap_or(0));
    let message = Message::builder()
        .from(from.clone())
        .to(Mailbox::new(Some(name), to.clone()))
        .subject(letter.subject.clone())
        .date(SystemTime::UNIX_EPOCH + since)
        .message_id(Some(format!("<{id}@{}>", from.email.domain())))
        .raw_header(by_itself)
        .multipart(parts)
        .map_err(|fault| fault.to_string())?;
    Ok(Sealed { to, bytes: message.formatted() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::web::site::Site;

    fn sealed(subject: &str, name: &str) -> Result<String, String> {
        let from: Mailbox = "Windmill Hill <lend@example.org>".parse().unwrap();
        let to = Email::new("ines@example.org").unwrap();
        let site = Site::new("Windmill Hill Astronomers");
        let opening = Opening { name, site: &site, quieter: None };
        let letter = Letter::about(subject).says("Über den Dächern: 25 mm.");
        let at = Timestamp::from_second(1_780_660_800).unwrap();
        let sealed = seal(&from, &to, &letter, &opening, "letter-7", at)?;
        Ok(String::from_utf8(sealed.bytes).unwrap())
    }

    #[test]
    fn a_letter_is_plain_mail_that_every_server_takes() {
        let mail = sealed("Fällig am Sonntag", "Ines Aldous").unwrap();
        assert!(mail.is_ascii(), "no server needs to know 8BITMIME");
        for line in [
            "Message-ID: <letter-7@example.org>\r\n",
            "Auto-Submitted: auto-generated\r\n",
            "Date: Fri, 05 Jun 2026 12:00:00 +0000\r\n",
            "To: \"Ines Aldous\" <ines@example.org>\r\n",
            "Content-Type: multipart/alternative;",
            "Content-Type: text/plain; charset=utf-8\r\n",
            "Content-Type: text/html; charset=utf-8\r\n",
        ] {
            assert!(mail.contains(line), "{line}\n{mail}");
        }
        assert!(mail.contains("Subject: =?utf-8?"), "{mail}");
        // RFC 5322, section 2.1.1.
        assert!(mail.lines().all(|line| line.len() <= 998));
    }

    #[test]
    fn nobody_writes_headers_by_a_name_or_a_subject() {
        let mail = sealed("Due", "Ines\r\nBcc: everybody@example.org").unwrap();
        let head = mail.split("\r\n\r\n").next().unwrap();
        assert!(head.contains("ines@example.org") && !head.contains("\nBcc"), "{head}");
        assert!(sealed("Due\r\nBcc: everybody@example.org", "Ines").is_err());
    }
}

//! A member, and apart from that what is known of a member's eyes.

use std::fmt;

use jiff::civil::Date;

use crate::eye::{Glasses, Observer, Prescription, Viewers};
use crate::optics::{Age, Cylinder, EyeRelief, OutOfRange, PupilDiameter, Sphere};
use crate::sheet::{Name, code};

/// Names one member in the database.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct MemberId(pub i64);

impl fmt::Display for MemberId {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.fmt(f)
    }
}

code! {
    /// The number on a membership card, such as `M-101`. Upper and lower case are the same.
    MemberNumber, "member number"
}

/// Whether somebody is still a member.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum MemberState {
    /// May borrow.
    Active,
    /// Has left; what they borrowed stays readable.
    Left,
}

impl MemberState {
    /// Both states.
    pub const ALL: [Self; 2] = [Self::Active, Self::Left];

    /// The name on the wire, in files and in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Active => "active",
            Self::Left => "left",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }
}

/// What the club's list says of a member. Nothing about age or eyes: see [`EyeRecord`].
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MemberFacts {
    /// The number on the card.
    pub number: MemberNumber,
    /// The name.
    pub name: Name,
    /// The address for mail, if there is one.
    pub email: Option<Email>,
    /// The day they joined, when known.
    pub joined: Option<Date>,
    /// Whether they are still a member.
    pub state: MemberState,
}

/// A member as the database has them.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct MemberRecord {
    /// Their number in the database.
    pub id: MemberId,
    /// Counts the changes from 1; serves as ETag.
    pub version: i64,
    /// What the club's list says.
    pub facts: MemberFacts,
}

/// An address for mail. Only its outline is checked: that it works is known when mail arrives.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub struct Email(String);

impl Email {
    /// Checks the outline: one @ with something on both sides, no spaces or control characters,
    /// at most 254 bytes (RFC 5321, section 4.5.3.1.3, less the angle brackets).
    ///
    /// # Errors
    /// [`NotAnEmail`] otherwise.
    pub fn new(text: &str) -> Result<Self, NotAnEmail> {
        let outline = match text.split_once('@') {
            Some((name, domain)) => !name.is_empty() && !domain.is_empty() && !domain.contains('@'),
            None => false,
        };
        let plain = !text.chars().any(|c| c.is_whitespace() || c.is_control());
        if outline && plain && text.len() <= 254 {
            Ok(Self(text.to_owned()))
        } else {
            Err(NotAnEmail)
        }
    }

    /// The address as it was written.
    pub fn as_str(&self) -> &str {
        &self.0
    }
}

impl fmt::Display for Email {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(&self.0)
    }
}

/// A text that is no mail address.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("This is not an e-mail address: write it like name@example.org.")]
pub struct NotAnEmail;

/// The year somebody was born in, 1900–2100.
///
/// Private: it has no `Debug`, so that no log can show it by accident.
#[derive(Clone, Copy, PartialEq, Eq)]
pub struct BirthYear(i16);

impl BirthYear {
    /// The earliest year accepted.
    pub const LOW: i16 = 1900;
    /// The latest year accepted.
    pub const HIGH: i16 = 2100;

    /// Checks a year.
    ///
    /// # Errors
    /// [`NotABirthYear`] outside 1900–2100.
    pub fn new(year: i64) -> Result<Self, NotABirthYear> {
        i16::try_from(year)
            .ok()
            .filter(|year| (Self::LOW..=Self::HIGH).contains(year))
            .map(Self)
            .ok_or(NotABirthYear)
    }

    /// The year.
    pub const fn year(self) -> i16 {
        self.0
    }
}

/// A year outside 1900–2100. Says nothing of the year given, which may be a real one mistyped.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("The birth year must be between 1900 and 2100, written with four digits.")]
pub struct NotABirthYear;

/// A cylinder with the sign the optician wrote, −10 to 10 dioptres.
///
/// The sign only says which way the prescription is written; it is kept so that the paper can be
/// compared with the record. Private: no `Debug`.
#[derive(Clone, Copy, PartialEq)]
pub struct WrittenCylinder {
    signed: f64,
    strength: Cylinder,
}

impl WrittenCylinder {
    /// Checks a cylinder of either sign.
    ///
    /// # Errors
    /// [`OutOfRange`] when it is stronger than 10 dioptres.
    pub fn new(signed: f64) -> Result<Self, OutOfRange> {
        Ok(Self { signed: signed + 0.0, strength: Cylinder::new(signed)? })
    }

    /// As it was written, dioptres.
    pub const fn dioptres(self) -> f64 {
        self.signed
    }

    /// What the optics count.
    pub const fn strength(self) -> Cylinder {
        self.strength
    }
}

/// What is known of a member's age and eyes. Sensitive: only loaded for one member at a time, by
/// `member_eye`, for that member or for staff who may; never in a list.
///
/// `Debug` shows nothing of it.
#[derive(Clone, Copy, PartialEq, Default)]
pub struct EyeRecord {
    /// The year of birth, when known.
    pub birth_year: Option<BirthYear>,
    /// What they do with glasses at the eyepiece, when known.
    pub glasses: Option<Glasses>,
    /// The observing eye's near- or far-sight, when known.
    pub sphere: Option<Sphere>,
    /// The observing eye's astigmatism, when known.
    pub cylinder: Option<WrittenCylinder>,
    /// The dark-adapted pupil, if somebody measured it.
    pub measured_pupil: Option<PupilDiameter>,
    /// The smallest eye relief they accept, if they set one.
    pub relief_floor: Option<EyeRelief>,
}

impl EyeRecord {
    /// The prescription as the optics count it.
    pub fn prescription(&self) -> Prescription {
        let cylinder = self.cylinder.map(WrittenCylinder::strength);
        Prescription { sphere: self.sphere, cylinder }
    }

    /// This member at the eyepiece, as old as they become in this year.
    pub fn observer(&self, this_year: i16) -> Observer {
        let age = self.birth_year.map(|birth| f64::from(this_year) - f64::from(birth.year()));
        let viewers = match age.map(Age::new) {
            Some(Ok(age)) => Viewers::Person { age },
            // An age outside 4–120 is a slip of the pen, and no better than none.
            Some(Err(_)) | None => Viewers::AgeNotKnown,
        };
        Observer {
            viewers,
            glasses: self.glasses.unwrap_or(Glasses::NotKnown),
            prescription: self.prescription(),
            measured_pupil: self.measured_pupil,
            relief_floor: self.relief_floor,
        }
    }
}

impl fmt::Debug for EyeRecord {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.debug_struct("EyeRecord").finish_non_exhaustive()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn debug_shows_nothing_of_an_eye_record() {
        let record = EyeRecord {
            birth_year: BirthYear::new(1958).ok(),
            sphere: Sphere::new(-2.25).ok(),
            ..EyeRecord::default()
        };
        assert_eq!(format!("{record:?}"), "EyeRecord { .. }");
    }

    #[test]
    fn a_member_grows_older_and_what_is_not_known_stays_not_known() {
        let eye = EyeRecord { birth_year: BirthYear::new(1971).ok(), ..EyeRecord::default() };
        let observer = eye.observer(2026);
        assert_eq!(observer.viewers, Viewers::Person { age: Age::new(55.0).unwrap() });
        assert_eq!(observer.glasses, Glasses::NotKnown);
        assert_eq!(eye.observer(1972).viewers, Viewers::AgeNotKnown);
        assert_eq!(EyeRecord::default().observer(2026).viewers, Viewers::AgeNotKnown);
    }

    #[test]
    fn an_address_needs_both_sides_of_one_at_sign() {
        for good in ["a@b", "noor.elbakri@example.com", "o'neil+club@example.org"] {
            assert!(Email::new(good).is_ok(), "{good}");
        }
        for bad in ["", "a", "@b", "a@", "a@b@c", "a b@c", "a@b\r\nBcc: x@y"] {
            assert!(Email::new(bad).is_err(), "{bad}");
        }
    }

    #[test]
    fn a_cylinder_keeps_the_sign_it_was_written_with() {
        let written = WrittenCylinder::new(-1.25).unwrap();
        assert!((written.dioptres() + 1.25).abs() < f64::EPSILON);
        assert!((written.strength().dioptres() - 1.25).abs() < f64::EPSILON);
        assert!(WrittenCylinder::new(10.25).is_err());
    }
}

//! What a station points at. Pure.

use std::fmt;
use std::str::FromStr;

use crate::sky::Body;
use crate::sky::catalogue::{self, Object};
use crate::sky::tonight::Target;

/// Something that a station points at.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Aim {
    /// The Sun. Reading one is no leave to show it: the gate decides.
    Sun,
    /// Anything else.
    Night(Target),
}

impl Aim {
    /// How the database and programs name it: `moon`, `M 13`.
    #[must_use]
    pub fn code(self) -> &'static str {
        match self {
            Self::Sun => Body::Sun.id(),
            Self::Night(Target::Body(body)) => body.id(),
            Self::Night(Target::Object(object)) => object.short_name(),
        }
    }

    /// What people call it.
    #[must_use]
    pub fn name(self) -> String {
        match self {
            Self::Sun => "The Sun".to_owned(),
            Self::Night(Target::Body(Body::Moon)) => "The Moon".to_owned(),
            Self::Night(target) => target.full_name(),
        }
    }

    /// The object among the stars, where it is one.
    #[must_use]
    pub fn object(self) -> Option<&'static Object> {
        match self {
            Self::Night(Target::Object(object)) => Some(object),
            _ => None,
        }
    }

    /// The body, where it is one.
    #[must_use]
    pub fn body(self) -> Option<Body> {
        match self {
            Self::Sun => Some(Body::Sun),
            Self::Night(Target::Body(body)) => Some(body),
            Self::Night(Target::Object(_)) => None,
        }
    }
}

impl From<Target> for Aim {
    fn from(target: Target) -> Self {
        match target {
            Target::Body(Body::Sun) => Self::Sun,
            other => Self::Night(other),
        }
    }
}

impl fmt::Display for Aim {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.code())
    }
}

/// A name that nothing in the sky has here.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
#[error("Nothing in the sky here is called “{0}”: write moon, a planet, or a name such as M 13.")]
pub struct NoSuchAim(pub String);

impl FromStr for Aim {
    type Err = NoSuchAim;

    fn from_str(text: &str) -> Result<Self, NoSuchAim> {
        let name = text.trim();
        let bare = name.strip_prefix("the ").or_else(|| name.strip_prefix("The ")).unwrap_or(name);
        if let Ok(body) = bare.parse::<Body>() {
            return Ok(Target::Body(body).into());
        }
        let object = catalogue::find(name).or_else(|| {
            catalogue::objects().iter().find(|object| object.full_name().eq_ignore_ascii_case(name))
        });
        object
            .map(|object| Self::Night(Target::Object(object)))
            .ok_or_else(|| NoSuchAim(text.chars().take(60).collect()))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_spelling_of_the_sun_is_the_sun() {
        for text in ["sun", "Sun", "SUN", " the Sun ", "The sun"] {
            assert_eq!(text.parse::<Aim>(), Ok(Aim::Sun), "{text}");
        }
        assert_eq!(Aim::from(Target::Body(Body::Sun)), Aim::Sun);
    }

    #[test]
    fn every_object_comes_back_from_its_code_and_from_its_name() {
        for object in catalogue::objects() {
            let aim = Aim::Night(Target::Object(object));
            assert_eq!(aim.code().parse::<Aim>().map(Aim::code), Ok(aim.code()));
        }
        for text in ["moon", "Jupiter", "m13", "NGC 869"] {
            let aim: Aim = text.parse().unwrap();
            assert_eq!(aim.name().parse::<Aim>(), Ok(aim), "{text}");
        }
        assert!("a lamp post".parse::<Aim>().is_err());
    }
}

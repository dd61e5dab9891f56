//! A Barlow's specification.

use super::{BarlowFactor, Barrel, Mass};

/// How a Barlow sends the light on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum BarlowKind {
    /// A diverging lens; it tends to lengthen the eye relief of long eyepieces, which is never
    /// counted on here.
    Plain,
    /// A second group makes the beams parallel again, so the eye relief stays as it is.
    Telecentric,
}

impl BarlowKind {
    /// Both kinds.
    pub const ALL: [Self; 2] = [Self::Plain, Self::Telecentric];

    /// The name on the wire and in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Plain => "plain",
            Self::Telecentric => "telecentric",
        }
    }

    /// Reads a wire name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }
}

/// A lens that goes before the eyepiece and lengthens the telescope's focal length.
///
/// No two of its facts can disagree, so it is made by filling it in.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Barlow {
    /// How many times the focal length grows.
    pub factor: BarlowFactor,
    /// The barrel that goes into the focuser, and the width of eyepiece it takes; when known.
    pub barrel: Option<Barrel>,
    /// How it sends the light on, when known.
    pub kind: Option<BarlowKind>,
    /// The mass, when known.
    pub mass: Option<Mass>,
}

impl Barlow {
    /// A Barlow of which only the factor is known.
    pub const fn new(factor: BarlowFactor) -> Self {
        Self { factor, barrel: None, kind: None, mass: None }
    }

    /// A value that is equal (and hashes alike) for Barlows that no rule can tell apart.
    #[must_use]
    pub const fn fold_key(&self) -> Self {
        *self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn every_kind_reads_back_its_own_name() {
        for kind in BarlowKind::ALL {
            assert_eq!(BarlowKind::parse(kind.as_str()), Some(kind));
        }
        assert_eq!(BarlowKind::parse(""), None);
    }

    #[test]
    fn a_barlow_must_lengthen() {
        assert!(BarlowFactor::new(1.0).is_err());
        assert!(BarlowFactor::new(1.01).is_ok());
    }
}

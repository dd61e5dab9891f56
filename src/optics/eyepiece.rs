//! An eyepiece's specification.

use super::{
    ApparentField, Barrel, EyeRelief, EyepieceFocalLength, FieldStop, Mass, quantity::plain,
};

/// Eyepieces by how they are built, which decides how fast a telescope they bear.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum OpticalClass {
    /// Two simple lenses.
    TwoLens,
    /// Three elements.
    ThreeElement,
    /// Four elements, symmetrical or orthoscopic.
    FourElement,
    /// Five or more elements for a wide field.
    WideField,
}

impl OpticalClass {
    /// Every class, simplest first.
    pub const ALL: [Self; 4] =
        [Self::TwoLens, Self::ThreeElement, Self::FourElement, Self::WideField];

    /// The name on the wire and in files.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::TwoLens => "two_lens",
            Self::ThreeElement => "three_element",
            Self::FourElement => "four_element",
            Self::WideField => "wide_field",
        }
    }

    /// Reads a wire name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|class| class.as_str() == name)
    }

    /// The fastest focal ratio (the smallest number after "f/") at which the class still shows
    /// clean stars toward the edge; common practice, no source.
    pub const fn fastest_focal_ratio(self) -> f64 {
        match self {
            Self::TwoLens => 10.0,
            Self::ThreeElement => 7.0,
            Self::FourElement => 5.5,
            Self::WideField => 5.0,
        }
    }
}

/// The facts from which an [`Eyepiece`] is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct EyepieceSpec {
    /// The focal length.
    pub focal_length: EyepieceFocalLength,
    /// The apparent field, when known.
    pub apparent_field: Option<ApparentField>,
    /// The field stop's diameter, when known.
    pub field_stop: Option<FieldStop>,
    /// The eye relief the maker states, when known.
    pub eye_relief: Option<EyeRelief>,
    /// The eye relief somebody measured from the rim the eye meets; counts before the claim.
    pub usable_relief: Option<EyeRelief>,
    /// The barrel, when known.
    pub barrel: Option<Barrel>,
    /// How it is built, when known.
    pub class: Option<OpticalClass>,
    /// The mass, when known.
    pub mass: Option<Mass>,
}

impl EyepieceSpec {
    /// A specification of which only the focal length is known.
    pub const fn new(focal_length: EyepieceFocalLength) -> Self {
        Self {
            focal_length,
            apparent_field: None,
            field_stop: None,
            eye_relief: None,
            usable_relief: None,
            barrel: None,
            class: None,
            mass: None,
        }
    }
}

/// Why an eyepiece's facts cannot be true together.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
pub enum EyepieceError {
    /// The field stop does not fit inside the barrel.
    #[error(
        "A field stop of {} mm does not fit in a {} mm barrel, which holds at most {} mm: please check both.",
        plain(.field_stop.mm()), plain(.barrel.mm()), plain(.barrel.largest_field_stop())
    )]
    FieldStopWiderThanBarrel {
        /// The field stop given.
        field_stop: FieldStop,
        /// The barrel given.
        barrel: Barrel,
    },
}

/// An eyepiece whose facts agree with one another.
///
/// Two eyepieces are equal when every fact is, so an eyepiece serves as its own folding key.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Eyepiece {
    focal_length: EyepieceFocalLength,
    apparent_field: Option<ApparentField>,
    field_stop: Option<FieldStop>,
    eye_relief: Option<EyeRelief>,
    usable_relief: Option<EyeRelief>,
    barrel: Option<Barrel>,
    class: Option<OpticalClass>,
    mass: Option<Mass>,
}

impl Eyepiece {
    /// Checks that the facts agree with one another.
    ///
    /// # Errors
    /// [`EyepieceError`] when the field stop is wider than its barrel can hold.
    pub fn new(spec: EyepieceSpec) -> Result<Self, EyepieceError> {
        if let (Some(field_stop), Some(barrel)) = (spec.field_stop, spec.barrel)
            && field_stop.mm() > barrel.largest_field_stop()
        {
            return Err(EyepieceError::FieldStopWiderThanBarrel { field_stop, barrel });
        }
        let EyepieceSpec {
            focal_length,
            apparent_field,
            field_stop,
            eye_relief,
            usable_relief,
            barrel,
            class,
            mass,
        } = spec;
        Ok(Self {
            focal_length,
            apparent_field,
            field_stop,
            eye_relief,
            usable_relief,
            barrel,
            class,
            mass,
        })
    }

    /// The facts, for changing one and checking again.
    pub const fn spec(&self) -> EyepieceSpec {
        EyepieceSpec {
            focal_length: self.focal_length,
            apparent_field: self.apparent_field,
            field_stop: self.field_stop,
            eye_relief: self.eye_relief,
            usable_relief: self.usable_relief,
            barrel: self.barrel,
            class: self.class,
            mass: self.mass,
        }
    }

    /// The focal length.
    pub const fn focal_length(&self) -> EyepieceFocalLength {
        self.focal_length
    }

    /// The apparent field.
    pub const fn apparent_field(&self) -> Option<ApparentField> {
        self.apparent_field
    }

    /// The field stop's diameter.
    pub const fn field_stop(&self) -> Option<FieldStop> {
        self.field_stop
    }

    /// The eye relief the maker states.
    pub const fn eye_relief(&self) -> Option<EyeRelief> {
        self.eye_relief
    }

    /// The eye relief somebody measured.
    pub const fn usable_relief(&self) -> Option<EyeRelief> {
        self.usable_relief
    }

    /// The eye relief that counts: measured beats claimed.
    pub fn relief(&self) -> Option<EyeRelief> {
        self.usable_relief.or(self.eye_relief)
    }

    /// The barrel.
    pub const fn barrel(&self) -> Option<Barrel> {
        self.barrel
    }

    /// How it is built.
    pub const fn class(&self) -> Option<OpticalClass> {
        self.class
    }

    /// The mass.
    pub const fn mass(&self) -> Option<Mass> {
        self.mass
    }

    /// A value that is equal (and hashes alike) for eyepieces that no rule can tell apart.
    #[must_use]
    pub const fn fold_key(&self) -> Self {
        *self
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spec() -> EyepieceSpec {
        EyepieceSpec::new(EyepieceFocalLength::new(24.0).unwrap())
    }

    #[test]
    fn a_field_stop_must_fit_its_barrel() {
        for barrel in Barrel::ALL {
            let with = |mm: f64| {
                Eyepiece::new(EyepieceSpec {
                    field_stop: Some(FieldStop::new(mm).unwrap()),
                    barrel: Some(barrel),
                    ..spec()
                })
            };
            assert!(with(barrel.largest_field_stop()).is_ok());
            assert!(with(barrel.largest_field_stop() + 0.1).is_err());
        }
        let refused = Eyepiece::new(EyepieceSpec {
            field_stop: Some(FieldStop::new(42.0).unwrap()),
            barrel: Some(Barrel::Standard),
            ..spec()
        });
        assert_eq!(
            refused.unwrap_err().to_string(),
            "A field stop of 42 mm does not fit in a 31.75 mm barrel, which holds at most 27.5 mm: \
             please check both."
        );
    }

    #[test]
    fn a_measured_relief_beats_the_claim() {
        let relief = |mm| Some(EyeRelief::new(mm).unwrap());
        let both = EyepieceSpec { eye_relief: relief(20.0), usable_relief: relief(15.5), ..spec() };
        assert_eq!(Eyepiece::new(both).unwrap().relief(), relief(15.5));
        let claim = EyepieceSpec { eye_relief: relief(20.0), ..spec() };
        assert_eq!(Eyepiece::new(claim).unwrap().relief(), relief(20.0));
        assert_eq!(Eyepiece::new(spec()).unwrap().relief(), None);
    }

    #[test]
    fn equal_specifications_fold_and_others_do_not() {
        let plain = Eyepiece::new(spec()).unwrap();
        let heavy = EyepieceSpec { mass: Some(Mass::new(400.0).unwrap()), ..spec() };
        assert_eq!(plain.fold_key(), Eyepiece::new(spec()).unwrap().fold_key());
        assert_ne!(plain.fold_key(), Eyepiece::new(heavy).unwrap().fold_key());
        assert_eq!(Eyepiece::new(heavy).unwrap().spec(), heavy);
    }

    #[test]
    fn every_class_reads_back_its_name_and_better_classes_bear_faster_telescopes() {
        for class in OpticalClass::ALL {
            assert_eq!(OpticalClass::parse(class.as_str()), Some(class));
        }
        assert!(
            OpticalClass::ALL.map(OpticalClass::fastest_focal_ratio).is_sorted_by(|a, b| a > b)
        );
    }
}

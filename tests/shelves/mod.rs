//! Random shelves for tests and benchmarks: reproducible, and shaped like a club's.
#![allow(dead_code, missing_docs, clippy::unwrap_used)]

use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::{Fitted, Question, Shelf, ShelfTelescope, SunFilter, Usage};
use borrowed_light::optics::{
    Age, Aperture, ApparentField, Barlow, BarlowFactor, BarlowKind, Barrel, ComaCorrector,
    CorrectorFactor, Cylinder, EyeRelief, Eyepiece, EyepieceFocalLength, EyepieceSpec, FieldStop,
    Layout, Mass, Obstruction, OpticalClass, Seeing, Telescope, TelescopeFocalLength,
    TelescopeSpec, Tracking,
};

/// A generator small enough to read: xorshift64*.
pub struct Rolls(u64);

impl Rolls {
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1)
    }

    pub fn next(&mut self) -> u64 {
        self.0 ^= self.0 >> 12;
        self.0 ^= self.0 << 25;
        self.0 ^= self.0 >> 27;
        self.0.wrapping_mul(0x2545_F491_4F6C_DD1D)
    }

    pub fn below(&mut self, end: usize) -> usize {
        (self.next() % end as u64) as usize
    }

    pub fn of<T: Copy>(&mut self, list: &[T]) -> T {
        list[self.below(list.len())]
    }

    pub fn chance(&mut self, per_cent: usize) -> bool {
        self.below(100) < per_cent
    }

    pub fn between(&mut self, low: f64, high: f64) -> f64 {
        low + (high - low) * (self.next() >> 11) as f64 / (1_u64 << 53) as f64
    }
}

/// An owned shelf.
#[derive(Debug, Clone, Default)]
pub struct OwnShelf {
    pub telescopes: Vec<ShelfTelescope>,
    pub eyepieces: Vec<Eyepiece>,
    pub barlows: Vec<Barlow>,
}

impl OwnShelf {
    pub fn view(&self) -> Shelf<'_> {
        Shelf { telescopes: &self.telescopes, eyepieces: &self.eyepieces, barlows: &self.barlows }
    }

    /// A shelf in a club's proportions: of `items` pieces, one in ten a telescope and one in ten a
    /// Barlow. Specifications are on the grid in which such things are made.
    pub fn club(items: usize, seed: u64) -> Self {
        let mut rolls = Rolls::new(seed);
        let telescopes = (items / 10).max(1);
        let barlows = items / 10;
        Self::mixed(&mut rolls, telescopes, items - telescopes - barlows, barlows)
    }

    /// The same with up to two coma correctors, which go into whatever they fit.
    pub fn with_correctors(mut self, rolls: &mut Rolls) -> Self {
        for _ in 0..=rolls.below(2) {
            let corrector = ComaCorrector {
                factor: CorrectorFactor::new(rolls.of(&[0.75, 1.0, 1.1, 1.15])).ok(),
                barrel: Some(rolls.of(&[Barrel::Standard, Barrel::Wide])),
                mass: rolls.chance(70).then(|| Mass::new(rolls.of(&[150.0, 430.0])).unwrap()),
            };
            let copies = 1 + rolls.below(2);
            for telescope in 0..self.telescopes.len() {
                let one = &self.telescopes[telescope];
                if let Some(spec) = one.spec.with_corrector(&corrector) {
                    let fitted = Some(Fitted { telescope, copies, mass: corrector.mass });
                    self.telescopes.push(ShelfTelescope { spec, fitted, ..one.clone() });
                }
            }
        }
        self
    }

    pub fn mixed(rolls: &mut Rolls, telescopes: usize, eyepieces: usize, barlows: usize) -> Self {
        Self {
            telescopes: (0..telescopes).map(|_| telescope(rolls)).collect(),
            eyepieces: (0..eyepieces).map(|_| eyepiece(rolls)).collect(),
            barlows: (0..barlows).map(|_| barlow(rolls)).collect(),
        }
    }
}

fn round_to(value: f64, step: f64) -> f64 {
    (value / step).round() * step
}

pub fn telescope(rolls: &mut Rolls) -> ShelfTelescope {
    let kind = rolls.below(10);
    let (layout, apertures, ratios, obstruction): (_, &[f64], &[f64], f64) = match kind {
        0..=2 => (
            Layout::Refractor,
            &[60.0, 70.0, 80.0, 90.0, 102.0, 120.0],
            &[5.0, 6.0, 7.5, 10.0, 11.0],
            0.0,
        ),
        3..=7 => (
            Layout::Newtonian,
            &[114.0, 130.0, 150.0, 203.2, 254.0, 304.8, 355.6, 406.4],
            &[4.5, 4.7, 5.0, 5.9, 6.0, 8.0],
            0.25,
        ),
        8 => (Layout::MaksutovCassegrain, &[90.0, 102.0, 127.0, 150.0], &[12.0, 13.9, 15.0], 0.33),
        _ => (Layout::SchmidtCassegrain, &[127.0, 203.2, 235.0, 279.4], &[10.0], 0.35),
    };
    let aperture = rolls.of(apertures);
    let focal_length = round_to(aperture * rolls.of(ratios), 5.0);
    let mut spec = TelescopeSpec::new(
        layout,
        Aperture::new(aperture).unwrap(),
        TelescopeFocalLength::new(focal_length).unwrap(),
    );
    if layout != Layout::Refractor && !rolls.chance(5) {
        let share = obstruction + rolls.between(-0.04, 0.04);
        spec.obstruction = Some(Obstruction::new(round_to(aperture * share, 1.0)).unwrap());
    }
    spec.focuser = if rolls.chance(4) {
        None
    } else if aperture > 140.0 && rolls.chance(70) {
        Some(Barrel::Wide)
    } else if rolls.chance(8) {
        Some(Barrel::Narrow)
    } else {
        Some(Barrel::Standard)
    };
    spec.balance_limit =
        rolls.chance(50).then(|| Mass::new(rolls.of(&[250.0, 400.0, 600.0, 900.0])).unwrap());
    spec.tracking = rolls.of(&[None, Some(Tracking::Tracks), Some(Tracking::StandsStill)]);
    let sun_filter = if rolls.chance(30) { SunFilter::Verified } else { SunFilter::Missing };
    ShelfTelescope::plain(Telescope::new(spec).unwrap(), sun_filter)
}

pub fn eyepiece(rolls: &mut Rolls) -> Eyepiece {
    let class = rolls.of(&[
        OpticalClass::TwoLens,
        OpticalClass::ThreeElement,
        OpticalClass::FourElement,
        OpticalClass::FourElement,
        OpticalClass::WideField,
        OpticalClass::WideField,
        OpticalClass::WideField,
    ]);
    let (fields, shortest, longest): (&[f64], f64, f64) = match class {
        OpticalClass::TwoLens => (&[30.0, 36.0, 40.0], 4.0, 25.0),
        OpticalClass::ThreeElement => (&[40.0, 42.0, 45.0], 6.0, 30.0),
        OpticalClass::FourElement => (&[42.0, 45.0, 50.0, 52.0], 4.0, 40.0),
        OpticalClass::WideField => (&[60.0, 65.0, 68.0, 70.0, 76.0, 82.0, 100.0], 3.0, 38.0),
    };
    // Makers step focal lengths evenly on a log axis, in whole or half millimetres.
    let focal_length = round_to(rolls.between(shortest.ln(), longest.ln()).exp(), 0.5);
    let field = rolls.of(fields);
    let stop = focal_length * field.to_radians();
    let barrel = if class == OpticalClass::TwoLens && rolls.chance(50) {
        Barrel::Narrow
    } else if stop > 27.0 {
        Barrel::Wide
    } else {
        Barrel::Standard
    };
    let mut spec = EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap());
    spec.apparent_field = (!rolls.chance(4)).then(|| ApparentField::new(field).unwrap());
    spec.field_stop = (rolls.chance(40) && stop <= barrel.largest_field_stop())
        .then(|| FieldStop::new(round_to(stop, 0.1)).unwrap());
    let relief = match class {
        OpticalClass::WideField => {
            rolls.of(&[8.0, 10.0, 12.0, 13.0, 15.0, 16.0, 18.0, 20.0, 20.0, 22.0])
        }
        _ => round_to((focal_length * rolls.between(0.4, 0.8)).min(30.0), 1.0),
    };
    spec.eye_relief = (!rolls.chance(5)).then(|| EyeRelief::new(relief).unwrap());
    spec.barrel = (!rolls.chance(2)).then_some(barrel);
    spec.class = (!rolls.chance(5)).then_some(class);
    let mass = if class == OpticalClass::WideField {
        120.0 + 8.0 * field.min(focal_length * 3.0)
    } else {
        60.0 + focal_length * 2.0
    };
    spec.mass = (!rolls.chance(10)).then(|| Mass::new(round_to(mass, 10.0)).unwrap());
    Eyepiece::new(spec).unwrap()
}

pub fn barlow(rolls: &mut Rolls) -> Barlow {
    let mut barlow = Barlow::new(
        BarlowFactor::new(rolls.of(&[1.5, 1.8, 2.0, 2.0, 2.0, 2.25, 2.5, 3.0, 5.0])).unwrap(),
    );
    barlow.barrel =
        Some(rolls.of(&[Barrel::Standard, Barrel::Standard, Barrel::Standard, Barrel::Wide]));
    barlow.kind = rolls.of(&[None, Some(BarlowKind::Plain), Some(BarlowKind::Telecentric)]);
    barlow.mass =
        (!rolls.chance(10)).then(|| Mass::new(round_to(rolls.between(80.0, 320.0), 20.0)).unwrap());
    barlow
}

pub fn question(rolls: &mut Rolls) -> Question {
    let glasses = rolls.of(&[Glasses::None, Glasses::TakesOff, Glasses::KeepsOn, Glasses::KeepsOn]);
    let mut observer = if rolls.chance(8) {
        Observer::anyone()
    } else {
        Observer::person(Age::new(round_to(rolls.between(9.0, 84.0), 1.0)).unwrap(), glasses)
    };
    if rolls.chance(30) {
        let cylinder = rolls.of(&[0.0, 0.25, 0.5, 0.75, 1.0, 1.5, 2.0, 3.0]);
        observer.prescription.cylinder = Some(Cylinder::new(cylinder).unwrap());
    }
    if rolls.chance(15) {
        let floor = rolls.of(&[6.0, 8.0, 10.0, 14.0, 17.0]);
        observer.relief_floor = Some(EyeRelief::new(floor).unwrap());
    }
    Question {
        observer,
        seeing: rolls
            .chance(40)
            .then(|| Seeing::new(rolls.of(&[0.8, 1.5, 2.0, 3.0, 4.0])).unwrap()),
        usage: if rolls.chance(5) { rolls.of(&[Usage::Day, Usage::Sun]) } else { Usage::Night },
        tonight: None,
    }
}

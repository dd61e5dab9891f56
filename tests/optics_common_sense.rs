//! What must hold for every telescope, eyepiece and eye, whatever the numbers.

#![allow(clippy::unwrap_used, reason = "a test may stop at the first surprise")]

use borrowed_light::{
    eye::{Glasses, Light, Observer, Prescription, PupilRange, ReliefLimits, dark_pupil},
    optics::{
        Age, Aperture, ApparentField, Barlow, BarlowFactor, Barrel, Cylinder, Eyepiece,
        EyepieceFocalLength, EyepieceSpec, FieldStop, Layout, Obstruction, PupilDiameter, Seeing,
        Telescope, TelescopeFocalLength, TelescopeSpec, View, largest_true_field,
        limits::{ApparentBlur, PowerPerInch, power_ceiling, seeing_limited_power},
    },
};
use proptest::prelude::*;

prop_compose! {
    fn any_telescope()(
        aperture in 30.0..1000.0_f64,
        ratio in 2.0..20.0_f64,
        share in 0.0..0.6_f64,
    ) -> Telescope {
        Telescope::new(TelescopeSpec {
            obstruction: Obstruction::new(aperture * share).ok(),
            ..TelescopeSpec::new(
                Layout::Other,
                Aperture::new(aperture).unwrap(),
                TelescopeFocalLength::new((aperture * ratio).max(100.0)).unwrap(),
            )
        })
        .unwrap()
    }
}

prop_compose! {
    fn any_eyepiece()(
        focal_length in 1.5..100.0_f64,
        apparent in 15.0..130.0_f64,
        stop in prop::option::of(1.0..46.5_f64),
    ) -> Eyepiece {
        Eyepiece::new(EyepieceSpec {
            apparent_field: ApparentField::new(apparent).ok(),
            field_stop: stop.and_then(|mm| FieldStop::new(mm).ok()),
            barrel: Some(Barrel::Wide),
            ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
        })
        .unwrap()
    }
}

fn pupil(mm: f64) -> borrowed_light::eye::Pupil {
    PupilRange::measured(PupilDiameter::new(mm).unwrap()).typical
}

fn loss(telescope: &Telescope, view: &View, mm: f64) -> f64 {
    let obstruction = telescope.obstruction_ratio().unwrap();
    Light::at(telescope.aperture(), view.exit_pupil(), pupil(mm), obstruction).loss()
}

proptest! {
    #[test]
    fn power_times_exit_pupil_is_the_aperture(t in any_telescope(), e in any_eyepiece()) {
        let view = View::of(&t, &e, None);
        let product = view.magnification().times() * view.exit_pupil().mm();
        prop_assert!((product / t.aperture().mm() - 1.0).abs() < 1e-12);
        let by_ratio = e.focal_length().mm() / t.focal_ratio().number();
        prop_assert!((by_ratio / view.exit_pupil().mm() - 1.0).abs() < 1e-12);
    }

    #[test]
    fn a_barlow_gives_more_power_and_less_field(
        t in any_telescope(), e in any_eyepiece(), factor in 1.01..6.0_f64,
    ) {
        let plain = View::of(&t, &e, None);
        let barlow = Barlow::new(BarlowFactor::new(factor).unwrap());
        let longer = View::of(&t, &e, Some(&barlow));
        prop_assert!(longer.magnification() > plain.magnification());
        prop_assert!(longer.exit_pupil() < plain.exit_pupil());
        prop_assert!(longer.true_field().unwrap().deg() < plain.true_field().unwrap().deg());
        prop_assert!(longer.drift_time_on_equator() < plain.drift_time_on_equator());
    }

    #[test]
    fn no_field_stop_shows_more_than_its_barrel_can(t in any_telescope(), e in any_eyepiece()) {
        prop_assume!(e.field_stop().is_some());
        let field = View::of(&t, &e, None).true_field().unwrap();
        prop_assert!(field.deg() <= largest_true_field(&t, None, Barrel::Wide).deg());
    }

    #[test]
    fn an_older_eye_never_opens_wider(young in 4.0..120.0_f64, years in 0.0..100.0_f64) {
        let old = (young + years).min(120.0);
        let (young, old) =
            (dark_pupil(Age::new(young).unwrap()), dark_pupil(Age::new(old).unwrap()));
        prop_assert!(old.typical <= young.typical);
        prop_assert!(old.low <= young.low && old.high <= young.high);
        prop_assert!(old.low <= old.typical && old.typical <= old.high);
    }

    #[test]
    fn a_wider_pupil_never_loses_more_light(
        t in any_telescope(), e in any_eyepiece(), mm in 1.0..10.0_f64, more in 0.0..9.0_f64,
    ) {
        let view = View::of(&t, &e, None);
        let (narrow, wide) = (loss(&t, &view, mm), loss(&t, &view, (mm + more).min(10.0)));
        prop_assert!((0.0..=1.0).contains(&narrow) && (0.0..=1.0).contains(&wide));
        prop_assert!(wide <= narrow + 1e-12);
    }

    #[test]
    fn a_longer_eyepiece_never_loses_less_light(
        t in any_telescope(), f in 1.5..50.0_f64, longer in 1.0..2.0_f64, mm in 1.0..10.0_f64,
    ) {
        let view = |f| {
            let spec = EyepieceSpec::new(EyepieceFocalLength::new(f).unwrap());
            View::of(&t, &Eyepiece::new(spec).unwrap(), None)
        };
        prop_assert!(loss(&t, &view(f), mm) <= loss(&t, &view(f * longer), mm) + 1e-12);
    }

    #[test]
    fn better_seeing_and_more_aperture_never_lower_the_ceiling(
        seeing in 0.2..15.0_f64, aperture in 30.0..3000.0_f64, share in 0.0..1.0_f64,
    ) {
        let limit = |s: f64| {
            seeing_limited_power(Seeing::new(s).unwrap(), ApparentBlur::COMFORTABLE)
        };
        prop_assert!(limit(0.2 + (seeing - 0.2) * share) >= limit(seeing));
        let ceiling =
            |d: f64| power_ceiling(Aperture::new(d).unwrap(), PowerPerInch::MOST_NIGHTS);
        prop_assert!(ceiling(30.0 + (aperture - 30.0) * share) <= ceiling(aperture));
    }

    #[test]
    fn a_narrower_beam_and_a_weaker_cylinder_never_need_more_relief(
        t in any_telescope(), e in any_eyepiece(), factor in 1.01..6.0_f64,
        cylinder in 0.0..10.0_f64, share in 0.0..1.0_f64,
    ) {
        let limits = ReliefLimits::default();
        let observer = |cylinder: f64| Observer {
            prescription: Prescription { sphere: None, cylinder: Cylinder::new(cylinder).ok() },
            ..Observer::person(Age::new(40.0).unwrap(), Glasses::KeepsOn)
        };
        let barlow = Barlow::new(BarlowFactor::new(factor).unwrap());
        let wide = View::of(&t, &e, None).exit_pupil();
        let narrow = View::of(&t, &e, Some(&barlow)).exit_pupil();
        let most = observer(cylinder).relief_needed(wide, &limits);
        for less in [
            observer(cylinder).relief_needed(narrow, &limits),
            observer(cylinder * share).relief_needed(wide, &limits),
        ] {
            prop_assert!(less.comfortable <= most.comfortable && less.floor <= most.floor);
        }
        prop_assert!(most.floor <= most.comfortable);
    }

    #[test]
    fn nothing_but_numbers_in_range_gets_in(given in any::<f64>()) {
        match Aperture::new(given) {
            Ok(aperture) => prop_assert!((30.0..=3000.0).contains(&aperture.mm())),
            Err(refused) => {
                prop_assert!(!(30.0..=3000.0).contains(&given));
                prop_assert!(refused.to_string().starts_with("The aperture must be"));
            }
        }
    }
}

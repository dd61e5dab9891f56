//! What a view shows: limiting magnitudes, pairs and planets against published rules, and plans that
//! make sense on any night.
#![allow(clippy::unwrap_used)] // helpers of tests

use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::plan::{Air, KitGlass, Stop, admissible, everything, stops};
use borrowed_light::kit::sight::{Detail, Fit, Lamps, Moment, Split, sight};
use borrowed_light::kit::{Bench, Question, Settings, SunFilter, Usage};
use borrowed_light::optics::{
    Age, Aperture, ApparentField, Barrel, EyeRelief, Eyepiece, EyepieceFocalLength, EyepieceSpec,
    Layout, Seeing, Telescope, TelescopeFocalLength, TelescopeSpec,
};
use borrowed_light::sky::seeing_limit::{self, TYPICAL_OBSERVER};
use borrowed_light::sky::tonight::{Showing, Target, showing};
use borrowed_light::sky::{
    Body, Height, Horizon, Instant, Latitude, Longitude, Night, Site, Skyline,
};

const DARK: Air = Air { zenith: 21.4, seeing_arcsec: 2.0 };

/// Noon of 2026-10-10 (new Moon) and of 2026-10-26 (full).
const NEW_MOON: f64 = 1_791_633_600.0;
const FULL_MOON: f64 = 1_793_016_000.0;

fn night(latitude: f64, noon: f64) -> Night {
    let site = Site {
        latitude: Latitude::new(latitude).unwrap(),
        longitude: Longitude::new(-2.0).unwrap(),
        height: Height::new(100.0).unwrap(),
    };
    Night::after(Instant::from_unix_seconds(noon).unwrap(), site)
}

fn telescope(aperture: f64, focal_length: f64) -> Telescope {
    Telescope::new(TelescopeSpec {
        focuser: Some(Barrel::Wide),
        ..TelescopeSpec::new(
            Layout::Refractor,
            Aperture::new(aperture).unwrap(),
            TelescopeFocalLength::new(focal_length).unwrap(),
        )
    })
    .unwrap()
}

fn eyepiece(focal_length: f64) -> Eyepiece {
    Eyepiece::new(EyepieceSpec {
        barrel: Some(Barrel::Standard),
        apparent_field: Some(ApparentField::new(60.0).unwrap()),
        eye_relief: Some(EyeRelief::new(18.0).unwrap()),
        ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
    })
    .unwrap()
}

/// The views of a telescope with these eyepieces, for somebody of thirty without glasses.
fn views(aperture: f64, focal_length: f64, eyepieces: &[f64]) -> Vec<KitGlass> {
    let telescope = telescope(aperture, focal_length);
    let question = Question {
        observer: Observer::person(Age::new(30.0).unwrap(), Glasses::None),
        seeing: Seeing::new(2.0).ok(),
        usage: Usage::Night,
        tonight: None,
    };
    let settings = Settings::default();
    let bench = Bench::new(&telescope, SunFilter::Missing, &question, &settings);
    let glass: Vec<Eyepiece> = eyepieces.iter().map(|mm| eyepiece(*mm)).collect();
    admissible(&bench, &telescope, &glass, &[])
}

fn find(night: &Night, name: &str) -> Showing {
    showing(night).into_iter().find(|one| one.target.name() == name).unwrap()
}

fn moment(night: &Night, showing: &Showing, air: Air) -> Moment {
    Moment::best(night, &Lamps::of(night), showing, air.zenith, air.seeing_arcsec)
}

/// m = 5.5 + 2.5 log₁₀ D + 2.5 log₁₀ γ for visual telescopes, D in cm, γ the power: "Limiting
/// Magnitude of a Telescope" in the Great Soviet Encyclopedia (1979), after Maksutov 1946. Its sky is
/// not told; under a good country sky we lie within three tenths of it where the beam is 1–4 mm.
#[test]
fn the_faintest_star_is_the_published_one() {
    let mut worst: f64 = 0.0;
    for aperture_mm in [60.0, 100.0, 150.0, 200.0, 300.0] {
        for beam_mm in [1.0, 1.5, 2.0, 3.0, 4.0] {
            let power: f64 = aperture_mm / beam_mm;
            let published = 5.5 + 2.5 * f64::log10(aperture_mm / 10.0) + 2.5 * power.log10();
            let view = seeing_limit::Eyepiece {
                effective_aperture_mm: aperture_mm,
                exit_pupil_mm: beam_mm,
                eye_pupil_mm: 7.0,
                magnification: power,
                transmission: 0.85,
                observer: TYPICAL_OBSERVER,
            };
            let off = view.faintest_star(21.0, 0.25) - published;
            println!("{aperture_mm} mm at {power:.0}×: {published:.2}, we {off:+.2}");
            worst = worst.max(off.abs());
        }
    }
    assert!(worst < 0.3, "{worst}");
}

/// Dawes: 116 / D arcseconds. 100 mm part 1.16″ in perfect air, and no pair under half the seeing.
#[test]
fn pairs_part_by_telescope_air_and_power() {
    let night = night(52.0, NEW_MOON);
    let gamma = find(&night, "gam And");
    let split = |aperture: f64, eyepiece: f64, seeing_arcsec: f64| {
        let views = views(aperture, 1200.0, &[eyepiece]);
        let moment = moment(&night, &gamma, Air { seeing_arcsec, ..DARK });
        match sight(&views[0].glass, &gamma, &moment).detail {
            Detail::Pair { split, looks_arcsec } => (split, looks_arcsec),
            other => panic!("{other:?}"),
        }
    };
    // 9.6 arcseconds apart.
    let (parted, looks) = split(100.0, 12.0, 2.0);
    assert_eq!(parted, Split::Yes);
    assert!((looks - 960.0).abs() < 1e-6, "{looks}");
    assert_eq!(split(100.0, 60.0, 2.0).0, Split::NeedsPower);
    assert_eq!(split(100.0, 12.0, 12.0).0, Split::InSteadyMoments);
    assert_eq!(split(100.0, 12.0, 15.0).0, Split::InSteadyMoments);
    assert_eq!(split(100.0, 12.0, 19.3).0, Split::No);
}

#[test]
fn a_large_thing_fits_where_the_field_is_wide_and_drifts_as_its_declination_says() {
    let night = night(52.0, NEW_MOON);
    let pleiades = find(&night, "M 45");
    let moment = moment(&night, &pleiades, DARK);
    let [wide, narrow] = [32.0, 6.0].map(|mm| {
        let views = views(100.0, 500.0, &[mm]);
        sight(&views[0].glass, &pleiades, &moment)
    });
    assert_eq!((wide.fit, narrow.fit), (Fit::WithAir, Fit::TooLarge));
    assert!(narrow.share_of_field.unwrap() > 2.0);
    // 60° at 15.6× are 3.84°; at 24.2° north the sky turns by 15.041″ · cos 24.2° a second.
    let expected = 3.84 * 3600.0 / (15.041_067 * moment.direction.dec_deg.to_radians().cos());
    assert!((wide.drift_s.unwrap() - expected).abs() < 1.0, "{wide:?}");
    assert!((moment.direction.dec_deg - 24.2).abs() < 0.2);
}

#[test]
fn the_moon_and_the_town_take_galaxies_away_and_leave_the_moon_itself() {
    let views = views(150.0, 750.0, &[25.0, 15.0, 10.0, 6.0]);
    let galaxies = |noon: f64, zenith: f64| {
        let air = Air { zenith, ..DARK };
        let all = everything(&night(52.0, noon), &views, air);
        all.iter().filter(|stop| is_galaxy(stop) && stop.sight.margin > Some(0.0)).count()
    };
    let (dark, moonlit) = (galaxies(NEW_MOON, 21.4), galaxies(FULL_MOON, 21.4));
    let town = galaxies(NEW_MOON, 18.0);
    assert!(dark > 3 * moonlit, "{dark} {moonlit}");
    assert!(dark > 4 * town, "{dark} {town}");
    let plan = stops(&night(52.0, FULL_MOON), &views, DARK, 8);
    assert!(plan.iter().any(|stop| stop.showing.target == Target::Body(Body::Moon)));
}

fn is_galaxy(stop: &Stop) -> bool {
    use borrowed_light::sky::catalogue::Kind;
    matches!(stop.showing.target, Target::Object(one) if one.kind == Kind::Galaxy)
}

#[test]
fn a_plan_keeps_its_order_its_windows_and_the_gate_before_the_sun() {
    let glass = views(200.0, 1000.0, &[32.0, 20.0, 12.0, 8.0, 5.0]);
    let trees = Horizon::new([18.0; 8].map(|deg| Skyline::new(deg).unwrap()));
    for latitude in [-60.0, -33.0, 0.0, 52.0, 69.0, 85.0] {
        for week in 0..12 {
            let noon = NEW_MOON + f64::from(week) * 30.0 * 86_400.0;
            let night = night(latitude, noon).behind(trees);
            let plan = stops(&night, &glass, DARK, 8);
            assert!(plan.len() <= 8);
            let at = |stop: &Stop| stop.showing.best;
            assert!(plan.windows(2).all(|two| at(&two[0]) <= at(&two[1])));
            for stop in &plan {
                assert_ne!(stop.showing.target, Target::Body(Body::Sun));
                assert!(stop.view < glass.len());
                assert!((0.0..=1.0).contains(&stop.sight.worth));
                let (from, to) = (stop.window.from, stop.window.to);
                let best = at(stop);
                // The best moment is one of samples four minutes apart.
                assert!(best.since(from) > -300.0 && to.since(best) > -300.0, "{latitude} {week}");
                assert!(stop.moment.direction.altitude_deg > 17.0, "{stop:?}");
            }
        }
    }
}

#[test]
fn without_eyepieces_there_is_nothing_to_plan() {
    assert!(stops(&night(52.0, NEW_MOON), &[], DARK, 8).is_empty());
}

#[test]
fn a_few_minutes_of_darkness_are_not_waited_for() {
    let long = |night: &Night| night.stretches(false).iter().map(|one| one.seconds()).sum::<f64>();
    // 23 October 2026: the Moon sets twenty minutes before the twilight begins.
    let moonlit = night(52.2, 1_792_756_800.0);
    let dark: f64 = moonlit.dark.iter().map(|one| one.seconds()).sum();
    assert!(dark > 0.0 && dark < 3_600.0, "{dark}");
    assert!(long(&moonlit) > 8.0 * 3_600.0, "{}", long(&moonlit));
    let dark = night(52.2, NEW_MOON);
    assert!((long(&dark) - dark.dark.iter().map(|one| one.seconds()).sum::<f64>()).abs() < 1e-6);
}

/// The plan leaves out views that can't win before it asks the sky about them.
#[test]
fn what_is_left_out_early_would_not_have_won() {
    let views = views(203.2, 1219.0, &[32.0, 25.0, 17.0, 12.0, 8.0, 6.0, 4.0]);
    let air = Air { zenith: 20.5, seeing_arcsec: 2.0 };
    let mut told = 0;
    for noon in [1_791_547_200.0, 1_792_843_200.0, 1_781_870_400.0] {
        let night = night(52.0, noon);
        for stop in everything(&night, &views, air) {
            let all = views.iter().enumerate().map(|(at, view)| {
                let sight = sight(&view.glass, &stop.showing, &stop.moment);
                (at, sight.worth * view.ease)
            });
            let best = all.reduce(|best, one| if one.1 > best.1 { one } else { best }).unwrap();
            assert_eq!(stop.view, best.0, "{}", stop.showing.target.name());
            let worth = stop.sight.worth * views[stop.view].ease;
            assert!((worth - best.1).abs() < 1e-15, "{}", stop.showing.target.name());
            told += 1;
        }
    }
    assert!(told > 2000, "{told}");
}

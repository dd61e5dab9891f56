//! What a public night may show, and what it never shows.

use super::super::look::Showable;
use super::*;
use crate::optics::testing::newtonian;
use crate::optics::{ApparentField, Barrel, EyeRelief, EyepieceFocalLength, EyepieceSpec};
use crate::sky::{Height, Horizon, Instant, Latitude, Longitude, Site, Skyline};

const HALF_HOUR_S: f64 = 1_800.0;

fn site() -> Site {
    Site {
        latitude: Latitude::new(52.5).unwrap(),
        longitude: Longitude::new(8.0).unwrap(),
        height: Height::new(50.0).unwrap(),
    }
}

/// Noon UTC of 2026-08-14: new Moon was on the 12th.
fn night() -> Night {
    Night::after(Instant::from_unix_seconds(1_786_708_800.0).unwrap(), site())
}

/// So many half hours from this many hours after the night's noon.
fn slots(night: &Night, after_hours: f64, count: u32) -> Vec<Stretch> {
    let begin = night.whole.from.later(after_hours * 3_600.0);
    (0..count)
        .map(|at| {
            let from = begin.later(f64::from(at) * HALF_HOUR_S);
            Stretch { from, to: from.later(HALF_HOUR_S) }
        })
        .collect()
}

fn telescope(aperture_mm: f64, focal_length_mm: f64, sun_filter: SunFilter) -> StationTelescope {
    StationTelescope {
        optics: Telescope::new(crate::optics::TelescopeSpec {
            obstruction: crate::optics::Obstruction::new(aperture_mm / 4.0).ok(),
            focuser: Some(Barrel::Wide),
            tracking: Some(Tracking::StandsStill),
            ..newtonian(aperture_mm, focal_length_mm)
        })
        .unwrap(),
        sun_filter,
        places: Some(Places { lowest_mm: 700.0, highest_mm: 1_500.0 }),
    }
}

fn evening<'a>(night: &'a Night, slots: &'a [Stretch], show: Show) -> Evening<'a> {
    Evening {
        night,
        air: Air { zenith: 21.0, seeing_arcsec: 2.0 },
        slots,
        show,
        children: true,
        stations: 2,
        one_seated: false,
    }
}

fn shelf() -> Vec<Eyepiece> {
    [(30.0, 68.0), (24.0, 65.0), (18.0, 60.0), (12.0, 60.0), (9.0, 60.0)]
        .map(|(focal_length, field)| {
            Eyepiece::new(EyepieceSpec {
                apparent_field: ApparentField::new(field).ok(),
                eye_relief: EyeRelief::new(20.0).ok(),
                barrel: Some(Barrel::Standard),
                ..EyepieceSpec::new(EyepieceFocalLength::new(focal_length).unwrap())
            })
            .unwrap()
        })
        .to_vec()
}

fn everybody(telescopes: usize) -> Vec<Helper> {
    vec![Helper { may_run: vec![true; telescopes] }; telescopes]
}

#[test]
fn a_dark_night_is_planned_and_every_look_keeps_the_rules() {
    let night = night();
    let slots = slots(&night, 10.5, 5);
    let telescopes = [
        telescope(203.0, 1219.0, SunFilter::Missing),
        telescope(130.0, 650.0, SunFilter::Missing),
        telescope(254.0, 1200.0, SunFilter::Missing),
    ];
    let shelf = shelf();
    let evening = evening(&night, &slots, Show::Sky);
    let prepared = prepare(evening, &telescopes, &shelf, everybody(3), &Settings::default());
    prepared.problem.check().unwrap();
    let plan = super::super::choose(&prepared.problem, &|| false);
    assert_eq!(plan.stations.len(), 2);
    let mut shown = 0;
    for station in &plan.stations {
        for (slot, target) in station.targets.iter().enumerate() {
            let Some(target) = *target else { continue };
            shown += 1;
            let look = prepared.look(station.telescope, station.eyepiece, slot, target).unwrap();
            assert!(look.altitude_deg >= tonight::LOWEST_DEG);
            assert!(look.facts.exit_pupil_mm > 0.8, "{look:?}");
            assert!(look.facts.eye_relief_mm.unwrap() >= 16.0);
            assert!(look.drift_s.is_some_and(|drift| drift > 60.0), "{look:?}");
            assert!(look.sight.unwrap().margin.is_none_or(|over| over > 0.0));
            assert!((0.0..=1.0).contains(&look.worth));
        }
    }
    assert!(shown >= 8, "{plan:?}");
}

#[test]
fn nothing_is_shown_by_day_and_the_sun_never_among_the_stars() {
    let night = night();
    // From early afternoon on: the Sun is up until about seven hours after noon.
    let slots = slots(&night, 2.0, 20);
    let telescopes = [telescope(203.0, 1219.0, SunFilter::Verified)];
    let shelf = shelf();
    let evening = evening(&night, &slots, Show::Sky);
    let prepared = prepare(evening, &telescopes, &shelf, everybody(1), &Settings::default());
    let sun = night.track(Body::Sun);
    for target in &prepared.targets {
        assert!(!matches!(target.showable, Showable::Sun));
        for (slot, open) in slots.iter().zip(&target.open) {
            let up = sun.altitude_deg(slot.from) > BRIGHT_UNTIL_DEG;
            assert!(!(*open && up), "{}", target.showable.name());
        }
    }
    // The check can fail: later half hours are open.
    assert!(prepared.targets.iter().any(|one| one.open.iter().any(|open| *open)));
}

#[test]
fn the_sun_needs_a_verified_filter_at_each_telescope() {
    let night = night();
    let slots = slots(&night, 1.0, 4);
    let telescopes = [
        telescope(203.0, 1219.0, SunFilter::Missing),
        telescope(130.0, 650.0, SunFilter::Verified),
    ];
    let shelf = shelf();
    let evening = evening(&night, &slots, Show::Sun);
    let prepared = prepare(evening, &telescopes, &shelf, everybody(2), &Settings::default());
    let plan = super::super::choose(&prepared.problem, &|| false);
    let standing: Vec<usize> = plan.stations.iter().map(|one| one.telescope).collect();
    assert_eq!(standing, [1]);
    assert!(prepared.problem.telescopes[0].views.is_empty());
    assert!(prepared.look(0, 0, 0, 0).is_none());
}

#[test]
fn what_the_roof_hides_is_not_shown() {
    let open = night();
    let slots = slots(&open, 10.5, 4);
    let around = [Skyline::new(55.0).unwrap(); 8];
    let behind = night().behind(Horizon::new(around));
    let telescopes = [telescope(203.0, 1219.0, SunFilter::Missing)];
    let shelf = shelf();
    // How many looks go through the roof.
    let through = |night: &Night| {
        let evening = evening(night, &slots, Show::Sky);
        let prepared = prepare(evening, &telescopes, &shelf, everybody(1), &Settings::default());
        let looks = prepared.targets.iter().flat_map(|one| one.stands.iter().zip(&one.open));
        looks
            .filter(|(at, open)| {
                **open && at.altitude_deg < behind.horizon.altitude_deg(at.azimuth_deg)
            })
            .count()
    };
    assert_eq!(through(&behind), 0);
    assert!(through(&open) > 0);
}

#[test]
fn a_telescope_that_follows_is_never_worse() {
    let night = night();
    let slots = slots(&night, 10.5, 3);
    let still = telescope(203.0, 1219.0, SunFilter::Missing);
    let spec =
        crate::optics::TelescopeSpec { tracking: Some(Tracking::Tracks), ..still.optics.spec() };
    let follows = StationTelescope { optics: Telescope::new(spec).unwrap(), ..still };
    let telescopes = [still, follows];
    let shelf = shelf();
    let evening = evening(&night, &slots, Show::Sky);
    let prepared = prepare(evening, &telescopes, &shelf, everybody(2), &Settings::default());
    let [one, two] = &prepared.problem.telescopes[..] else { panic!("two telescopes") };
    let mut better = 0;
    for (still, follows) in one.views.iter().zip(&two.views) {
        for (a, b) in still.worths.iter().zip(&follows.worths) {
            assert!(b >= a);
            better += usize::from(b > a);
        }
    }
    assert!(better > 0);
}

#[test]
fn neighbours_are_one_target_and_the_moon_may_stand_lower_than_what_is_faint() {
    let night = night();
    let slots = slots(&night, 10.5, 3);
    let evening = evening(&night, &slots, Show::Sky);
    let prepared = prepare(evening, &[], &[], Vec::new(), &Settings::default());
    for (at, one) in prepared.targets.iter().enumerate() {
        for other in &prepared.targets[at + 1..] {
            assert!(one.stands[0].apart_deg(&other.stands[0]) >= ONE_TARGET_DEG);
        }
        let Showable::Sky(showing) = one.showable else { panic!("the Sun at night") };
        let lowest =
            if showing.target.is_bright() { tonight::LOWEST_DEG } else { LOWEST_FOR_VISITORS_DEG };
        for (stands, open) in one.stands.iter().zip(&one.open) {
            assert!(!open || stands.altitude_deg >= lowest, "{}", one.showable.name());
        }
    }
}

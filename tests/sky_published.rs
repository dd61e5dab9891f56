//! The sky against an outside library on an observatory's ephemeris, and against printed almanacs.
#![allow(clippy::unwrap_used)] // helpers of tests

use borrowed_light::sky::{
    Body, Frame, Height, Instant, Latitude, Longitude, Night, Nothing, Site, sighting,
};

fn site(latitude: f64, longitude: f64, height: f64) -> Site {
    Site {
        latitude: Latitude::new(latitude).unwrap(),
        longitude: Longitude::new(longitude).unwrap(),
        height: Height::new(height).unwrap(),
    }
}

fn instant(unix: f64) -> Instant {
    Instant::from_unix_seconds(unix).unwrap()
}

/// The angle between two directions, arcminutes.
fn apart(a: (f64, f64), b: (f64, f64)) -> f64 {
    let vector = |(longitude, latitude): (f64, f64)| {
        let (sin_lon, cos_lon) = longitude.to_radians().sin_cos();
        let (sin_lat, cos_lat) = latitude.to_radians().sin_cos();
        [cos_lat * cos_lon, cos_lat * sin_lon, sin_lat]
    };
    let (a, b) = (vector(a), vector(b));
    let chord: f64 = a.iter().zip(b).map(|(x, y)| (x - y).powi(2)).sum::<f64>().sqrt();
    2.0 * (chord / 2.0).asin().to_degrees() * 60.0
}

/// Rows of `tests/outside/sky_reference.csv`: apparent topocentric places by skyfield 1.55 on the
/// ephemeris DE440 of the Jet Propulsion Laboratory, 1950–2100, sites and instants at random.
#[test]
fn places_lie_within_an_eighth_of_an_arcminute_of_the_observatories() {
    let table = include_str!("outside/sky_reference.csv");
    let mut rows = 0;
    for line in table.lines().skip(1) {
        let cells: Vec<&str> = line.split(',').collect();
        let number = |at: usize| cells[at].parse::<f64>().unwrap();
        let body: Body = cells[4].parse().unwrap();
        let frame = Frame::at(instant(number(3)));
        let seen = sighting(&frame, site(number(0), number(1), number(2)), body).direction;
        let place = apart((seen.ra_deg, seen.dec_deg), (number(5), number(6)));
        let horizon = apart((seen.azimuth_deg, seen.altitude_deg), (number(8), number(7)));
        assert!(place < 0.125, "{line}: {place}′");
        assert!(horizon < 0.16, "{line}: {horizon}′ over the horizon");
        rows += 1;
    }
    assert_eq!(rows, 72);
}

/// The Astronomical Almanac's instants of the Moon's phases in 2024 (from memory, to the minute):
/// full on 2024-01-25 17:54 UTC, new on 2024-01-11 11:57.
#[test]
fn the_moon_is_full_and_new_when_the_almanac_says() {
    let middle = site(0.0, 0.0, 0.0);
    let lit = |unix: f64| {
        sighting(&Frame::at(instant(unix)), middle, Body::Moon).illuminated_fraction.unwrap()
    };
    let (full, new) = (1_706_205_240.0, 1_704_974_220.0);
    assert!(lit(full) > 0.997 && lit(full - 86_400.0) < lit(full), "{}", lit(full));
    assert!(lit(new) < 0.004 && lit(new + 86_400.0) > lit(new), "{}", lit(new));
}

#[test]
fn a_northern_summer_has_no_darkness_and_says_why() {
    // Noon of 2026-06-20 at 60° north, and at 70°, where the Sun stays up.
    let noon = instant(1_781_956_800.0);
    let white = Night::after(noon, site(60.0, 10.0, 0.0));
    assert!(white.sun.set.is_ok() && white.sun.dusk[1].is_err() && white.dark.is_empty());
    assert!(matches!(white.sun.dusk[2], Err(Nothing::StaysAbove(low)) if low > -18.0));
    let midnight_sun = Night::after(noon, site(70.0, 10.0, 0.0));
    assert!(matches!(midnight_sun.sun.set, Err(Nothing::StaysAbove(low)) if low > 0.0));
    assert!(midnight_sun.stretches(true).is_empty() && midnight_sun.stretches(false).is_empty());
}

#[test]
fn a_polar_night_is_one_long_darkness() {
    // Noon of 2026-12-21 at 85° north.
    let night = Night::after(instant(1_797_854_400.0), site(85.0, 0.0, 0.0));
    assert!(matches!(night.sun.rise, Err(Nothing::StaysBelow(high)) if high < -18.0));
    assert_eq!(night.deep.len(), 1);
    assert!((night.deep[0].seconds() - night.whole.seconds()).abs() < 1.0);
}

#[test]
fn a_night_runs_from_noon_to_noon_wherever_it_is() {
    for longitude in [-180.0, -179.9, -90.0, 0.0, 90.0, 179.9, 180.0] {
        for latitude in [-90.0, -45.0, 0.0, 45.0, 90.0] {
            let night = Night::after(instant(1_772_366_400.0), site(latitude, longitude, 0.0));
            let hours = night.whole.seconds() / 3600.0;
            assert!((23.9..24.1).contains(&hours), "{latitude} {longitude}: {hours} h");
            assert!(night.whole.contains(night.sun.lowest));
        }
    }
}

//! The form of an observing site, from what was typed to a site, nothing lost on the way.

use serde::Deserialize;

use super::coordinate;
use super::site::{ObservingSite, SkyBrightness, Usually};
use crate::club::Zone;
use crate::optics::{OutOfRange, Seeing};
use crate::sheet::Name;
use crate::sky::{Height, Horizon, Latitude, Longitude, Site, Skyline};
use crate::web::field::{Field, Slip, number, slips};

/// The form's fields as they arrive; every one may be missing.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
#[allow(missing_docs)]
pub struct Typed {
    pub name: String,
    pub latitude: String,
    pub longitude: String,
    pub height: String,
    pub time_zone: String,
    pub sky_brightness: String,
    pub seeing: String,
    pub north: String,
    pub north_east: String,
    pub east: String,
    pub south_east: String,
    pub south: String,
    pub south_west: String,
    pub west: String,
    pub north_west: String,
    pub usual: String,
    pub version: i64,
}

/// A direction of the skyline in the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Side {
    /// Its name in the form.
    pub id: &'static str,
    /// What the reader sees.
    pub label: &'static str,
    /// What was typed.
    pub field: Field,
}

/// The form as a page shows it: everything as it was typed.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct SiteForm {
    /// What it is called.
    pub name: Field,
    /// Degrees north.
    pub latitude: Field,
    /// Degrees east.
    pub longitude: Field,
    /// Metres; empty is sea level.
    pub height: Field,
    /// A name of the tz database.
    pub time_zone: Field,
    /// Magnitudes per square arcsecond.
    pub sky_brightness: Field,
    /// Arcseconds; may stay empty.
    pub seeing: Field,
    /// The skyline from north through east, degrees; empty is open.
    pub sides: Vec<Side>,
    /// Whether the club usually observes there.
    pub usual: bool,
}

const SIDES: [(&str, &str); 8] = [
    ("north", "North"),
    ("north_east", "North-east"),
    ("east", "East"),
    ("south_east", "South-east"),
    ("south", "South"),
    ("south_west", "South-west"),
    ("west", "West"),
    ("north_west", "North-west"),
];

impl SiteForm {
    /// The form as it was sent.
    #[must_use]
    pub fn typed(typed: &Typed) -> Self {
        let around = [
            &typed.north,
            &typed.north_east,
            &typed.east,
            &typed.south_east,
            &typed.south,
            &typed.south_west,
            &typed.west,
            &typed.north_west,
        ];
        Self {
            name: Field::of(&*typed.name),
            latitude: Field::of(&*typed.latitude),
            longitude: Field::of(&*typed.longitude),
            height: Field::of(&*typed.height),
            time_zone: Field::of(&*typed.time_zone),
            sky_brightness: Field::of(&*typed.sky_brightness),
            seeing: Field::of(&*typed.seeing),
            sides: SIDES
                .into_iter()
                .zip(around)
                .map(|((id, label), value)| Side { id, label, field: Field::of(&**value) })
                .collect(),
            usual: !typed.usual.is_empty(),
        }
    }

    /// A form for a new site in this zone.
    #[must_use]
    pub fn fresh(zone: &str) -> Self {
        Self::typed(&Typed { time_zone: zone.to_owned(), ..Typed::default() })
    }

    /// The form that shows this site.
    #[must_use]
    pub fn of(site: &ObservingSite, usually: Usually) -> Self {
        let around = site.horizon.around_deg();
        let open = |deg: f64| if deg > 0.0 { deg.to_string() } else { String::new() };
        let mut form = Self::typed(&Typed {
            name: site.name.to_string(),
            latitude: site.place.latitude.deg().to_string(),
            longitude: site.place.longitude.deg().to_string(),
            height: site.place.height.m().to_string(),
            time_zone: site.zone.name().to_owned(),
            sky_brightness: site.sky.mag().to_string(),
            seeing: site.seeing.map_or_else(String::new, |one| one.arcsec().to_string()),
            ..Typed::default()
        });
        for (side, deg) in form.sides.iter_mut().zip(around) {
            side.field.value = open(deg);
        }
        form.usual = usually == Usually::Here;
        form
    }

    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        let first = [
            ("name", &self.name),
            ("latitude", &self.latitude),
            ("longitude", &self.longitude),
            ("height", &self.height),
            ("time_zone", &self.time_zone),
            ("sky_brightness", &self.sky_brightness),
            ("seeing", &self.seeing),
        ];
        slips(first.into_iter().chain(self.sides.iter().map(|side| (side.id, &side.field))))
    }

    /// Whether it is to be the usual one.
    #[must_use]
    pub fn usually(&self) -> Usually {
        if self.usual { Usually::Here } else { Usually::Elsewhere }
    }

    /// Reads the site; refused fields are marked. `None` where at least one is.
    pub fn check(&mut self) -> Option<ObservingSite> {
        let name = Name::new(&self.name.value);
        let name = name.map_err(|why| self.name.refuse(why.to_string())).ok();
        let latitude = angle(&mut self.latitude, "52.31 or 52 18 36 N", Latitude::new);
        let longitude = angle(&mut self.longitude, "-2.12 or 2 7 12 W", Longitude::new);
        let height = match number(&mut self.height, Height::new) {
            None if self.height.error.is_none() => Height::new(0.0).ok(),
            height => height,
        };
        let zone = Zone::new(self.time_zone.value.trim());
        let zone = zone.map_err(|why| self.time_zone.refuse(why.to_string())).ok();
        if self.sky_brightness.value.trim().is_empty() {
            self.sky_brightness.refuse("Write how dark the sky is: a guess from the list will do.");
        }
        let sky = number(&mut self.sky_brightness, SkyBrightness::new);
        let seeing = number(&mut self.seeing, Seeing::new);
        let mut around = [Skyline::known(0.0); 8];
        for (place, side) in around.iter_mut().zip(&mut self.sides) {
            if let Some(read) = number(&mut side.field, Skyline::new) {
                *place = read;
            }
        }
        if !self.slips().is_empty() {
            return None;
        }
        let place = Site { latitude: latitude?, longitude: longitude?, height: height? };
        let horizon = Horizon::new(around);
        Some(ObservingSite { name: name?, place, zone: zone?, sky: sky?, horizon, seeing })
    }
}

fn angle<T>(
    field: &mut Field,
    example: &str,
    make: impl Fn(f64) -> Result<T, OutOfRange>,
) -> Option<T> {
    let Some(deg) = coordinate::degrees(&field.value) else {
        field.refuse(format!("Write degrees, like {example}."));
        return None;
    };
    make(deg).map_err(|why| field.refuse(why.to_string())).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn filled() -> Typed {
        Typed {
            name: "Long Meadow".into(),
            latitude: "52 12 0 N".into(),
            longitude: "3 6 W".into(),
            time_zone: "europe/london".into(),
            sky_brightness: "21,6".into(),
            east: "12".into(),
            ..Typed::default()
        }
    }

    #[test]
    fn few_fields_are_enough_and_a_site_comes_back_into_its_form() {
        let site = SiteForm::typed(&filled()).check().unwrap();
        assert!((site.place.longitude.deg() + 3.1).abs() < 1e-9);
        assert!(site.place.height.m().abs() < 1e-12 && site.seeing.is_none());
        assert!((site.horizon.altitude_deg(90.0) - 12.0).abs() < 1e-12);
        let mut again = SiteForm::of(&site, Usually::Here);
        assert!(again.usual);
        assert_eq!(again.check(), Some(site));
    }

    #[test]
    fn every_wrong_field_is_named_and_keeps_what_was_typed() {
        let mut form = SiteForm::typed(&Typed {
            name: " ".into(),
            latitude: "far north".into(),
            longitude: "200".into(),
            height: "high".into(),
            time_zone: "Mars".into(),
            sky_brightness: String::new(),
            seeing: "99".into(),
            north: "90".into(),
            ..Typed::default()
        });
        assert_eq!(form.check(), None);
        let fields: Vec<String> = form.slips().into_iter().map(|slip| slip.field).collect();
        assert_eq!(
            fields,
            [
                "name",
                "latitude",
                "longitude",
                "height",
                "time_zone",
                "sky_brightness",
                "seeing",
                "north"
            ]
        );
        assert_eq!(form.latitude.value, "far north");
    }
}

//! Places and instants as programs send them.

use jiff::civil::Date;
use jiff::tz::{AmbiguousOffset, TimeZone};
use jiff::{Timestamp, ZonedDateTime};
use serde::Deserialize;
use utoipa::ToSchema;

use crate::optics::OutOfRange;
use crate::sky::{Height, Instant, Latitude, Longitude, Site};
use crate::web::problem::Fault;

/// A place on the Earth.
#[derive(Debug, Clone, PartialEq, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
#[schema(as = PlaceBody)]
pub struct PlaceBody {
    /// Degrees north of the equator.
    #[schema(minimum = -90, maximum = 90, example = 52.66)]
    pub latitude_deg: f64,
    /// Degrees east of Greenwich.
    #[schema(minimum = -180, maximum = 180, example = -8.63)]
    pub longitude_deg: f64,
    /// Metres above sea level; 0 where it is not given.
    #[serde(default)]
    #[schema(minimum = -500, maximum = 9000, example = 60)]
    pub height_m: f64,
    /// The zone by its name in the tz database; needed for nights only.
    #[serde(default)]
    #[schema(example = "Europe/Dublin")]
    pub time_zone: Option<String>,
}

/// The checked place, or every fault in it.
pub(super) fn site(body: &PlaceBody, faults: &mut Vec<Fault>) -> Option<Site> {
    let latitude = kept(Latitude::new(body.latitude_deg), "/site/latitude_deg", faults);
    let longitude = kept(Longitude::new(body.longitude_deg), "/site/longitude_deg", faults);
    let height = kept(Height::new(body.height_m), "/site/height_m", faults);
    Some(Site { latitude: latitude?, longitude: longitude?, height: height? })
}

fn kept<T>(read: Result<T, OutOfRange>, pointer: &str, faults: &mut Vec<Fault>) -> Option<T> {
    read.map_err(|why| faults.push(Fault::at(pointer, why.to_string()))).ok()
}

/// The checked zone.
pub(super) fn zone(body: &PlaceBody, faults: &mut Vec<Fault>) -> Option<TimeZone> {
    let pointer = "/site/time_zone";
    let Some(name) = &body.time_zone else {
        let missing = "This field is missing: a night begins and ends by a clock.";
        faults.push(Fault::at(pointer, missing));
        return None;
    };
    match crate::club::Zone::new(name) {
        Ok(zone) => Some(zone.rules().clone()),
        Err(why) => {
            faults.push(Fault::at(pointer, why.to_string()));
            None
        }
    }
}

/// The instant that a timestamp is.
///
/// # Errors
/// A sentence, where the sky is not known then.
pub fn instant(timestamp: Timestamp) -> Result<Instant, String> {
    let seconds = timestamp.as_second() as f64 + f64::from(timestamp.subsec_nanosecond()) * 1e-9;
    Instant::from_unix_seconds(seconds).map_err(|why| why.to_string())
}

/// The civil noon of a date in a zone.
///
/// # Errors
/// A sentence, where the calendar left that noon out or the sky is not known then.
pub fn noon(date: Date, zone: &TimeZone) -> Result<Instant, String> {
    let noon = zone.to_ambiguous_zoned_datetime(date.at(12, 0, 0, 0));
    if matches!(noon.offset(), AmbiguousOffset::Gap { .. }) {
        return Err(format!(
            "{date} was left out of the calendar in that zone: choose another night."
        ));
    }
    let noon = noon.compatible().map_err(|_| "That date is out of range.".to_owned())?;
    instant(noon.timestamp())
}

/// An instant on the clocks of a zone, to the millisecond.
#[must_use]
pub fn on_clocks(instant: Instant, zone: &TimeZone) -> Option<ZonedDateTime> {
    let milliseconds = (instant.unix_seconds() * 1000.0).round() as i64;
    Some(Timestamp::from_millisecond(milliseconds).ok()?.to_zoned_datetime(zone.clone()))
}

/// An instant as RFC 3339 with the zone's offset.
#[must_use]
pub fn written(instant: Instant, zone: &TimeZone) -> Option<String> {
    let zoned = on_clocks(instant, zone)?;
    Some(zoned.timestamp().display_with_offset(zoned.offset()).to_string())
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_noon_that_the_calendar_left_out_is_no_night() {
        let samoa = TimeZone::get("Pacific/Apia").unwrap();
        let left_out = noon(jiff::civil::date(2011, 12, 30), &samoa);
        assert!(left_out.unwrap_err().contains("left out"));
        assert!(noon(jiff::civil::date(2011, 12, 31), &samoa).is_ok());
    }

    #[test]
    fn instants_are_written_with_the_offset_of_the_night() {
        let dublin = TimeZone::get("Europe/Dublin").unwrap();
        let instant = Instant::from_unix_seconds(1_780_700_000.25).unwrap();
        assert_eq!(written(instant, &dublin).unwrap(), "2026-06-05T23:53:20.25+01:00");
    }
}

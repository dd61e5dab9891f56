//! The hours of a public night under its sky: half hours, and where the Sun stands. Pure.

use jiff::ZonedDateTime;
use jiff::civil::Date;
use jiff::tz::TimeZone;

use super::aim::Aim;
use super::model::Occasion;
use crate::observing::place::{instant, noon, on_clocks};
use crate::observing::sites::ObservingSite;
use crate::sky::{Body, Direction, Frame, Instant, Night, Site, Stretch, sighting};

/// Between two looks at the Sun, s.
const STEP_S: f64 = 300.0;

/// The Sun's upper edge shows while its centre stands above this, degrees: the almanacs' value.
const EDGE_DEG: f64 = -50.0 / 60.0;

/// So much lower the Sun still counts as up, degrees: over hills and through odd air it shows some
/// minutes longer than almanacs say (our own choice, on the safe side).
pub const MARGIN_DEG: f64 = 1.0;

/// No faster does anything in the sky change its height, degrees a second: the Earth turns by 15.04°
/// an hour, and a little is in reserve.
const FASTEST_DEG_S: f64 = 15.5 / 3600.0;

/// The hours of a public night, as instants.
#[derive(Debug, Clone, PartialEq)]
pub struct Hours {
    /// From the first visitor to the last.
    pub whole: Stretch,
    /// The half hours.
    pub slots: Vec<Stretch>,
    /// The site's clocks.
    pub zone: TimeZone,
}

impl Hours {
    /// The hours of an occasion by these clocks.
    ///
    /// # Errors
    /// A sentence, where the sky is not known then.
    pub fn of(occasion: &Occasion, zone: &TimeZone) -> Result<Self, String> {
        let at = |date: Date, time: jiff::civil::Time| {
            let zoned = zone.to_ambiguous_zoned_datetime(date.to_datetime(time));
            let zoned = zoned.compatible().map_err(|_| "That date is out of range.".to_owned())?;
            instant(zoned.timestamp())
        };
        let from = at(occasion.date, occasion.starts)?;
        let to = at(occasion.last_day(), occasion.ends)?;
        let slot_s = Occasion::SLOT_MIN as f64 * 60.0;
        let mut slots = Vec::new();
        let mut begin = from;
        while begin < to && slots.len() < 24 {
            let end = begin.later(slot_s);
            slots.push(Stretch { from: begin, to: if end < to { end } else { to } });
            begin = end;
        }
        Ok(Self { whole: Stretch { from, to }, slots, zone: zone.clone() })
    }

    /// The beginning of each half hour as the clock shows it: `18:30`.
    #[must_use]
    pub fn labels(&self) -> Vec<String> {
        self.slots.iter().map(|slot| self.clock(slot.from)).collect()
    }

    /// An instant as the clock shows it, to the minute.
    #[must_use]
    pub fn clock(&self, instant: Instant) -> String {
        let shown = on_clocks(instant.later(30.0), &self.zone);
        shown.map_or_else(String::new, |zoned: ZonedDateTime| zoned.strftime("%H:%M").to_string())
    }
}

/// Where the Sun stands during a public night.
#[derive(Debug, Clone, PartialEq)]
pub enum Sunlight {
    /// It is down all the while.
    Down,
    /// It is up, or so low that it counts as up, in these parts.
    Up(Vec<Stretch>),
    /// Nobody knows: there is no site, or no such sky.
    NotKnown,
}

impl Sunlight {
    /// Over a site in these hours.
    #[must_use]
    pub fn over(hours: &Hours, site: Site) -> Self {
        // So far down, it can't be up at any of the next looks, which are left out.
        Self::looked_at(hours, site, |below_deg| (below_deg / FASTEST_DEG_S / STEP_S).floor())
    }

    /// The same, where so many looks from one to the next are enough while the Sun is so many degrees
    /// too low; one at least.
    fn looked_at(hours: &Hours, site: Site, looks: impl Fn(f64) -> f64) -> Self {
        let above = |at: Instant| {
            let altitude = sighting(&Frame::at(at), site, Body::Sun).direction.altitude_deg;
            altitude - (EDGE_DEG - MARGIN_DEG)
        };
        let mut parts: Vec<Stretch> = Vec::new();
        let mut last = None;
        let mut at = hours.whole.from;
        loop {
            let height = above(at);
            let now = height > 0.0;
            match (now, last, parts.last_mut()) {
                (_, Some(true), Some(part)) => part.to = at,
                // It came up since the last look: count the whole step.
                (true, Some(false), _) => parts.push(Stretch { from: at.later(-STEP_S), to: at }),
                (true, _, _) => parts.push(Stretch { from: at, to: at }),
                (false, _, _) => {}
            }
            last = Some(now);
            if at >= hours.whole.to {
                break;
            }
            let next = at.later(STEP_S * looks(-height).max(1.0));
            at = if next < hours.whole.to { next } else { hours.whole.to };
        }
        if parts.is_empty() { Self::Down } else { Self::Up(parts) }
    }

    /// Over the kept site of an occasion, with its hours.
    #[must_use]
    pub fn of(occasion: &Occasion, site: Option<&ObservingSite>) -> (Option<Hours>, Self) {
        let Some(site) = site else { return (None, Self::NotKnown) };
        match Hours::of(occasion, site.zone.rules()) {
            Ok(hours) => {
                let sun = Self::over(&hours, site.place);
                (Some(hours), sun)
            }
            Err(_) => (None, Self::NotKnown),
        }
    }

    /// Whether the Sun is or may be up at any time.
    #[must_use]
    pub fn is_a_danger(&self) -> bool {
        *self != Self::Down
    }

    /// Whether the Sun can be shown in the whole of a half hour.
    #[must_use]
    pub fn fills(&self, slot: Stretch) -> bool {
        match self {
            Self::Up(parts) => {
                parts.iter().any(|part| part.from <= slot.from && slot.to <= part.to)
            }
            Self::Down | Self::NotKnown => false,
        }
    }
}

/// The night to which an instant of an occasion belongs, behind the site's skyline.
///
/// # Errors
/// A sentence, where the sky is not known then.
pub fn sky_of(occasion: &Occasion, site: &ObservingSite) -> Result<Night, String> {
    let noon = noon(occasion.evenings().0, site.zone.rules())?;
    Ok(Night::after(noon, site.place).behind(site.horizon))
}

/// Where something stands at an instant.
#[must_use]
pub fn stands(aim: Aim, at: Instant, site: Site) -> Direction {
    let frame = Frame::at(at);
    match (aim.body(), aim.object()) {
        (Some(body), _) => sighting(&frame, site, body).direction,
        (None, Some(object)) => {
            Direction::of_star(&frame, site, at, frame.star(object.ra_deg, object.dec_deg))
        }
        // An aim is a body or an object.
        (None, None) => sighting(&frame, site, Body::Moon).direction,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::{Height, Latitude, Longitude};

    /// Where the Sun is found up, as seconds after the first visitor.
    fn parts(hours: &Hours, sun: &Sunlight) -> Vec<(i64, i64)> {
        let after = |at: Instant| at.since(hours.whole.from).round() as i64;
        match sun {
            Sunlight::Up(parts) => {
                parts.iter().map(|part| (after(part.from), after(part.to))).collect()
            }
            Sunlight::Down | Sunlight::NotKnown => Vec::new(),
        }
    }

    #[test]
    fn looks_that_are_left_out_while_the_sun_is_far_down_change_nothing() {
        let (mut down, mut rises, mut missed) = (0, 0, 0);
        for latitude in [-68.0, 0.0, 52.4] {
            let site = Site {
                latitude: Latitude::new(latitude).unwrap(),
                longitude: Longitude::new(0.0).unwrap(),
                height: Height::new(0.0).unwrap(),
            };
            for month in 0..12 {
                // From 10 at night until 7 in the morning.
                let from = 1_780_000_000.0 + f64::from(month) * 30.5 * 86_400.0;
                let from = Instant::from_unix_seconds(from - from % 86_400.0 + 79_200.0).unwrap();
                let whole = Stretch { from, to: from.later(9.0 * 3600.0) };
                let hours = Hours { whole, slots: Vec::new(), zone: TimeZone::UTC };
                let every = Sunlight::looked_at(&hours, site, |_| 1.0);
                let found = Sunlight::over(&hours, site);
                assert_eq!(parts(&hours, &found), parts(&hours, &every), "{latitude} {month}");
                down += usize::from(found == Sunlight::Down);
                rises += usize::from(parts(&hours, &found).iter().any(|part| part.0 > 0));
                let rare = Sunlight::looked_at(&hours, site, |_| 200.0);
                missed += usize::from(parts(&hours, &rare) != parts(&hours, &found));
            }
        }
        assert!(down > 3 && rises > 3, "{down} {rises}");
        // Bad sample: whoever looks too rarely misses the dawn.
        assert!(missed > 3, "{missed}");
    }
}

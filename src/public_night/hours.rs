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
        let up = |at: Instant| {
            let altitude = sighting(&Frame::at(at), site, Body::Sun).direction.altitude_deg;
            altitude > EDGE_DEG - MARGIN_DEG
        };
        let mut parts: Vec<Stretch> = Vec::new();
        let mut last = None;
        let mut at = hours.whole.from;
        loop {
            let now = up(at);
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
            let next = at.later(STEP_S);
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

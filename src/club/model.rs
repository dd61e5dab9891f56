//! The club's name and time zone.

use jiff::tz::TimeZone;

use crate::sheet::Name;

/// The club as its settings describe it.
#[derive(Debug, Clone, PartialEq)]
pub struct Club {
    /// What it is called.
    pub name: Name,
    /// The zone in which its nights begin and end.
    pub zone: Zone,
}

/// A time zone by its name in the tz database, such as `Europe/Dublin`.
#[derive(Debug, Clone, PartialEq)]
pub struct Zone {
    name: String,
    rules: TimeZone,
}

/// A name that no time zone has.
#[derive(Debug, Clone, Copy, PartialEq, Eq, thiserror::Error)]
#[error("This time zone is not known: give its name from the tz database, such as Europe/Dublin.")]
pub struct NoSuchZone;

impl Zone {
    /// Looks the zone up.
    ///
    /// # Errors
    /// [`NoSuchZone`] when the tz database does not have it.
    pub fn new(name: &str) -> Result<Self, NoSuchZone> {
        let rules = TimeZone::get(name).map_err(|_| NoSuchZone)?;
        // The database's own spelling, whatever case was typed.
        let name = rules.iana_name().unwrap_or(name).to_owned();
        Ok(Self { name, rules })
    }

    /// The name in the tz database.
    pub fn name(&self) -> &str {
        &self.name
    }

    /// Its rules.
    pub fn rules(&self) -> &TimeZone {
        &self.rules
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_zone_is_known_by_its_name_in_the_tz_database() {
        assert_eq!(Zone::new("europe/dublin").unwrap().name(), "Europe/Dublin");
        assert_eq!(Zone::new("UTC").unwrap().rules(), &TimeZone::UTC);
        for name in ["", "Europe", "Mars/Olympus", "../../etc/passwd", "+01:00"] {
            assert_eq!(Zone::new(name), Err(NoSuchZone), "{name}");
        }
    }
}

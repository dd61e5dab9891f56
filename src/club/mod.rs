//! The club itself: its name, zone, calendar and settings.

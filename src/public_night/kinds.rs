//! The words of a public night: what it is for, how it stands, what plays which part.

use crate::shelf::named;

named! {
    /// What it is for.
    Purpose {
        /// The night sky.
        Evening = "evening",
        /// The Sun, or anything else by day.
        Solar = "solar",
    }
}

impl Purpose {
    /// As a form offers it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Evening => "An evening under the night sky",
            Self::Solar => "By day, for the Sun",
        }
    }
}

named! {
    /// Where people stand.
    Setting {
        /// Under the sky.
        Outdoors = "outdoors",
        /// In a hall.
        Indoors = "indoors",
    }
}

impl Setting {
    /// As a form offers it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Outdoors => "Outdoors",
            Self::Indoors => "Indoors",
        }
    }
}

named! {
    /// What there is for mounts that turn by themselves.
    Power {
        /// Nothing.
        Nothing = "none",
        /// What the club brings.
        Packs = "packs",
        /// A socket.
        Mains = "mains",
    }
}

impl Power {
    /// As a form offers it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Nothing => "None",
            Self::Packs => "Power packs",
            Self::Mains => "Mains within reach",
        }
    }
}

named! {
    /// How light it is where people walk.
    Lighting {
        /// Nothing but red torches.
        Dark = "dark",
        /// Lamps that can be dimmed or switched off.
        Dimmed = "dimmed",
        /// Street lamps.
        Lit = "lit",
    }
}

impl Lighting {
    /// As a form offers it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Dark => "Dark, red torches only",
            Self::Dimmed => "Lamps that can be switched off",
            Self::Lit => "Lit all the time",
        }
    }
}

named! {
    /// How far a public night has come.
    NightState {
        /// Only those who prepare it see it.
        Draft = "draft",
        /// Members see it, and so does everybody where it has a public page.
        Announced = "announced",
        /// It does not take place.
        Cancelled = "cancelled",
        /// It took place.
        Held = "held",
    }
}

impl NightState {
    /// As a page says it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Draft => "Draft",
            Self::Announced => "Announced",
            Self::Cancelled => "Cancelled",
            Self::Held => "Held",
        }
    }
}

named! {
    /// What was done with a finder before it meets the Sun.
    Finder {
        /// Nothing yet.
        Open = "open",
        /// Its front is capped.
        Capped = "capped",
        /// It is off the telescope, or there is none.
        Removed = "removed",
    }
}

impl Finder {
    /// As a form offers it.
    pub const fn label(self) -> &'static str {
        match self {
            Self::Open => "Nothing done yet",
            Self::Capped => "Capped",
            Self::Removed => "Removed, or there is none",
        }
    }
}

named! {
    /// The part that a piece plays at a station.
    Part {
        /// The telescope.
        Telescope = "telescope",
        /// The eyepiece in it.
        Eyepiece = "eyepiece",
        /// The eyepiece in reserve.
        Spare = "spare",
        /// The front filter.
        Filter = "filter",
    }
}

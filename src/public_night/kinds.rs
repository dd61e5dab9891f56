//! The words of a public night: what it is for, how it stands, what plays which part.

use crate::shelf::named;

named! {
    /// What it is for.
    Purpose {
        /// The night sky.
        Evening = "evening" => "An evening under the night sky",
        /// The Sun, or anything else by day.
        Solar = "solar" => "By day, for the Sun",
    }
    /// As a form offers it.
    label
}

named! {
    /// Where people stand.
    Setting {
        /// Under the sky.
        Outdoors = "outdoors" => "Outdoors",
        /// In a hall.
        Indoors = "indoors" => "Indoors",
    }
    /// As a form offers it.
    label
}

named! {
    /// What there is for mounts that turn by themselves.
    Power {
        /// Nothing.
        Nothing = "none" => "None",
        /// What the club brings.
        Packs = "packs" => "Power packs",
        /// A socket.
        Mains = "mains" => "Mains within reach",
    }
    /// As a form offers it.
    label
}

named! {
    /// How light it is where people walk.
    Lighting {
        /// Nothing but red torches.
        Dark = "dark" => "Dark, red torches only",
        /// Lamps that can be dimmed or switched off.
        Dimmed = "dimmed" => "Lamps that can be switched off",
        /// Street lamps.
        Lit = "lit" => "Lit all the time",
    }
    /// As a form offers it.
    label
}

named! {
    /// How far a public night has come.
    NightState {
        /// Only those who prepare it see it.
        Draft = "draft" => "Draft",
        /// Members see it, and so does everybody where it has a public page.
        Announced = "announced" => "Announced",
        /// It does not take place.
        Cancelled = "cancelled" => "Cancelled",
        /// It took place.
        Held = "held" => "Held",
    }
    /// As a page says it.
    label
}

named! {
    /// What was done with a finder before it meets the Sun.
    Finder {
        /// Nothing yet.
        Open = "open" => "Nothing done yet",
        /// Its front is capped.
        Capped = "capped" => "Capped",
        /// It is off the telescope, or there is none.
        Removed = "removed" => "Removed, or there is none",
    }
    /// As a form offers it.
    label
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

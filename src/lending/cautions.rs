//! What a borrower must know so that nobody is hurt: one text, in one place, with a version.
//!
//! Pages show it, loan sheets quote it, and a hand-over stores the [`VERSION`] that was
//! acknowledged. Wherever local rules or a qualified person say more, they come first.

/// Goes up whenever a word of the cautions changes.
pub const VERSION: u32 = 1;

/// The sentence that stands above all cautions.
pub const FIRST: &str = "These are reminders, not training. Local law, the club's own rules and \
    qualified people come first, and whoever is unsure asks before going on.";

/// What a caution is about.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
pub enum Topic {
    /// Looking at or near the Sun.
    Sun,
    /// Children at a telescope.
    Children,
    /// Heavy parts.
    Lifting,
    /// Laser pointers.
    Lasers,
    /// Batteries and power packs.
    PowerPacks,
    /// Being out in the dark.
    DarkFields,
}

impl Topic {
    /// The topic's name in an address: `/help/cautions#sun`.
    #[must_use]
    pub fn anchor(self) -> &'static str {
        match self {
            Self::Sun => "sun",
            Self::Children => "children",
            Self::Lifting => "lifting",
            Self::Lasers => "lasers",
            Self::PowerPacks => "power-packs",
            Self::DarkFields => "dark-fields",
        }
    }
}

/// One caution.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Caution {
    /// What it is about.
    pub topic: Topic,
    /// Its heading.
    pub heading: &'static str,
    /// The one sentence for a kit list or a loan sheet.
    pub short: &'static str,
    /// What to do and not to do.
    pub rules: &'static [&'static str],
    /// Where more is said, or what a standard does and does not cover.
    pub source: Option<&'static str>,
}

/// Every caution, the gravest first.
pub const ALL: [Caution; 6] = [
    Caution {
        topic: Topic::Sun,
        heading: "The Sun",
        short: "Never point a telescope at or near the Sun without a sound full-aperture filter \
            on its front: one glance can blind for life.",
        rules: &[
            "Never look at the Sun, even for a moment, through a telescope or finder without a \
                full-aperture filter over its front that is made for it.",
            "Never use a filter that sits at the eyepiece end: the heat can crack it while someone looks.",
            "Before every use, look the filter over for scratches, pinholes and loose edges, and fix it \
                so that neither wind nor a child can take it off. If in doubt, don't.",
            "Cap or remove every finder, and keep the telescope pointing away until the filter is on.",
            "Never leave the telescope alone in daylight, not even for a minute.",
            "The club lends for the daytime Sun only with a filter that is recorded as fitting, tested \
                lately and undamaged. Nobody can switch that off.",
        ],
        source: Some(
            "ISO 12312-2:2015 is about looking at the Sun without magnification; it says nothing \
                about filters for telescopes, so its mark on a viewer makes no telescope safe.",
        ),
    },
    Caution {
        topic: Topic::Children,
        heading: "Children",
        short: "An adult stays at every telescope that children use.",
        rules: &[
            "An adult stays at every telescope that children use, by night and above all by day.",
            "A steady step or a seat beats being held up; keep small hands off tripod legs and counterweights.",
            "Follow the club's own rules for looking after children and for who may do it.",
        ],
        source: None,
    },
    Caution {
        topic: Topic::Lifting,
        heading: "Lifting and carrying",
        short: "Lift the heavy parts with as many helpers as the loan sheet names.",
        rules: &[
            "The loan sheet says how much the heaviest part weighs and how many helpers the club asks for: \
                wait for them.",
            "Take it apart as far as it goes, clear the way first, and carry nothing over cables or wet steps.",
            "Local rules for lifting and carrying come first, and so does your own back.",
        ],
        source: None,
    },
    Caution {
        topic: Topic::Lasers,
        heading: "Laser pointers",
        short: "Laser pointers only where club and law allow, and never towards aircraft, vehicles or people.",
        rules: &[
            "Borrow and use one only where the club allows it and local law does too.",
            "Never point it at or near aircraft, vehicles, people or animals, nor at anything that mirrors.",
            "It stays in the hand of an adult who knows the rules, never in a child's.",
        ],
        source: None,
    },
    Caution {
        topic: Topic::PowerPacks,
        heading: "Power packs",
        short: "Charge power packs watched, on something that can't burn, and keep them dry.",
        rules: &[
            "Charge with the charger that came with the pack, where someone would notice, on a surface that \
                can't burn.",
            "Don't use, charge or send a pack that is swollen, wet, dropped or hot: put it outside, and tell \
                the quartermaster.",
            "In a car, fix it, cover its poles and follow the carrier's rules.",
        ],
        source: None,
    },
    Caution {
        topic: Topic::DarkFields,
        heading: "Dark fields",
        short: "Tell someone where you are, and walk the ground by daylight first.",
        rules: &[
            "Walk the ground in daylight: holes, wire, water, animals, and where the cars will come in.",
            "Use red light, kept low; mark tripod legs and cables.",
            "Tell someone where you are and when you'll be back, dress for two seasons colder, and ask \
                whoever owns the field.",
        ],
        source: None,
    },
];

/// The caution about one topic.
#[must_use]
pub fn about(topic: Topic) -> &'static Caution {
    // Every topic has its caution, as a test makes sure; the Sun is the one never to be without.
    ALL.iter().find(|caution| caution.topic == topic).unwrap_or(&ALL[0])
}

#[cfg(test)]
mod tests {
    use super::*;
    use sha2::{Digest, Sha256};

    #[test]
    fn every_topic_has_its_own_caution() {
        for topic in [
            Topic::Sun,
            Topic::Children,
            Topic::Lifting,
            Topic::Lasers,
            Topic::PowerPacks,
            Topic::DarkFields,
        ] {
            assert_eq!(about(topic).topic, topic);
        }
    }

    #[test]
    fn a_changed_word_needs_a_new_version() {
        let mut lines = vec![VERSION.to_string(), FIRST.to_owned()];
        for caution in ALL {
            lines.extend([caution.heading, caution.short].map(str::to_owned));
            lines.extend(caution.rules.iter().copied().map(str::to_owned));
            lines.extend(caution.source.map(str::to_owned));
        }
        let digest = Sha256::digest(lines.join("\n").as_bytes());
        let print = digest.iter().take(8).fold(0_u64, |sum, byte| sum << 8 | u64::from(*byte));
        assert_eq!(
            print, 17_420_268_107_450_869_821,
            "the cautions changed: raise VERSION, then write this fingerprint here"
        );
    }

    #[test]
    fn the_sun_comes_first_and_its_gate_has_no_exceptions() {
        assert_eq!(ALL[0].topic, Topic::Sun);
        let rules = ALL[0].rules.join(" ");
        assert!(rules.contains("full-aperture") && rules.contains("Nobody can switch that off"));
        assert!(ALL[0].source.is_some_and(|source| source.contains("ISO 12312-2:2015")));
    }
}

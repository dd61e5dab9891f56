//! The kit that a plan is for: figures with the names that people know them by.

use crate::kit::plan::{KitGlass, admissible};
use crate::kit::{Bench, Question, Settings, SunFilter};
use crate::optics::{Barlow, Eyepiece, Telescope, Tracking};
use crate::profile::OwnCase;
use crate::shelf::Shelf;
use crate::web::format;

/// The kit that a plan is for.
#[derive(Clone, Debug)]
pub struct PlanKit {
    /// What the telescope is called.
    pub telescope_name: String,
    /// Its optics.
    pub telescope: Telescope,
    /// What the eyepieces are called.
    pub eyepiece_names: Vec<String>,
    /// Their figures.
    pub eyepieces: Vec<Eyepiece>,
    /// What the Barlows are called.
    pub barlow_names: Vec<String>,
    /// Their figures.
    pub barlows: Vec<Barlow>,
}

impl PlanKit {
    /// The first telescope of a shelf that holds the kit's pieces only, or else the observer's own,
    /// with all eyepieces of both; `None` where there is no telescope.
    #[must_use]
    pub fn of(pieces: &Shelf, own: &OwnCase) -> Option<Self> {
        let lent = pieces.telescopes.first().map(|item| {
            let (name, optics) = (item.facts.name.to_string(), item.figures.optics);
            // Whoever takes a corrector along means to use it.
            let fitted = pieces.correctors.iter().find_map(|one| {
                let corrected = optics.with_corrector(&one.figures.corrector()?)?;
                Some((format!("{name} with {}", one.facts.name), corrected))
            });
            fitted.unwrap_or((name, optics))
        });
        let own_telescope =
            || own.telescopes.first().map(|one| (one.name.to_string(), one.figures));
        let (telescope_name, telescope) = lent.or_else(own_telescope)?;
        let lent = pieces.eyepieces.iter().map(|item| (item.facts.name.to_string(), item.figures));
        let owned = own.eyepieces.iter().map(|one| (format!("{} (own)", one.name), one.figures));
        let (eyepiece_names, eyepieces) = lent.chain(owned).unzip();
        let (barlow_names, barlows) = pieces
            .barlows
            .iter()
            .map(|item| {
                let factor = format::factor(item.figures.factor.times());
                (format!("the {factor} Barlow"), item.figures)
            })
            .unzip();
        Some(Self { telescope_name, telescope, eyepiece_names, eyepieces, barlow_names, barlows })
    }

    /// The views that the rules admit for these eyes, weakest first.
    #[must_use]
    pub fn views(&self, question: &Question, settings: &Settings) -> Vec<KitGlass> {
        // Plans are for nights; the Sun is never among the stops.
        let bench = Bench::new(&self.telescope, SunFilter::Missing, question, settings);
        admissible(&bench, &self.telescope, &self.eyepieces, &self.barlows)
    }

    /// Whether the mount follows the sky.
    #[must_use]
    pub fn tracks(&self) -> bool {
        self.telescope.tracking() == Some(Tracking::Tracks)
    }

    /// A view in words: "25 mm four-element with the 2× Barlow, 98×".
    #[must_use]
    pub fn view_in_words(&self, view: &KitGlass) -> String {
        let eyepiece = self.eyepiece_names.get(view.eyepiece).map_or("", String::as_str);
        let barlow = view
            .barlow
            .and_then(|at| self.barlow_names.get(at))
            .map_or_else(String::new, |name| format!(" with {name}"));
        format!("{eyepiece}{barlow}, {}", format::power(view.glass.facts.magnification))
    }
}

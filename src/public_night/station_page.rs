//! `/public-nights/{id}/stations/{number}`: a station by hand.

use askama::Template;
use askama_web::WebTemplate;

use crate::web::field::{Choice, Field, Slip, slips};
use crate::web::frame::Frame;

/// What a station shows in one half hour, as the form asks it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SlotField {
    /// Its name in the form.
    pub id: String,
    /// "18:30 to 19:00".
    pub label: String,
    /// What was chosen or typed.
    pub field: Field,
    /// What can be chosen.
    pub options: Vec<Choice>,
}

/// The form of a station.
#[derive(Template, WebTemplate)]
#[template(path = "public_night/station.html")]
pub struct StationPage {
    /// The frame.
    pub frame: Frame,
    /// The night's page.
    pub back: String,
    /// What the night is called.
    pub night: String,
    /// Where the form is sent.
    pub action: String,
    /// The version that the reader saw.
    pub version: i64,
    /// Whether the station is there already.
    pub there: bool,
    /// Whether it stands in the Sun.
    pub in_the_sun: bool,
    /// The telescope.
    pub telescope: Field,
    /// The telescopes in service; none where they are too many to choose from, and the field holds
    /// a tag or name. So with the others.
    pub telescopes: Option<Vec<Choice>>,
    /// The eyepiece.
    pub eyepiece: Field,
    /// The one in reserve.
    pub spare: Field,
    /// The eyepieces in service.
    pub eyepieces: Option<Vec<Choice>>,
    /// The front filter.
    pub filter: Field,
    /// The full-aperture filters.
    pub filters: Option<Vec<Choice>>,
    /// Who attends it.
    pub helper: Field,
    /// The night's helpers.
    pub helpers: Vec<Choice>,
    /// What was done with the finder.
    pub finder: Field,
    /// What can be done with it.
    pub finders: Vec<Choice>,
    /// The half hours.
    pub slots: Vec<SlotField>,
    /// What stands in the way.
    pub refusals: Vec<String>,
}

impl StationPage {
    /// What is wrong with it.
    #[must_use]
    pub fn slips(&self) -> Vec<Slip> {
        let id = |options: &Option<Vec<Choice>>, chosen, called| {
            if options.is_some() { chosen } else { called }
        };
        let pieces = [
            (id(&self.telescopes, "telescope", "telescope_called"), &self.telescope),
            (id(&self.eyepieces, "eyepiece", "eyepiece_called"), &self.eyepiece),
            (id(&self.eyepieces, "spare", "spare_called"), &self.spare),
            (id(&self.filters, "filter", "filter_called"), &self.filter),
        ];
        slips(pieces.into_iter().chain(self.slots.iter().map(|slot| (&*slot.id, &slot.field))))
    }
}

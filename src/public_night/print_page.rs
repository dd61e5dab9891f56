//! What is printed for a public night.

use askama::Template;
use askama_web::WebTemplate;

use super::shown::{NightShown, PieceShown};
use crate::lending::cautions::Caution;
use crate::web::frame::Frame;

/// One line of the run sheet: what a station does in a half hour.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct RunLine {
    /// The station's number.
    pub number: i64,
    /// The telescope's tag.
    pub tag: String,
    /// Who attends it.
    pub helper: String,
    /// What it shows.
    pub shows: String,
    /// Where that stands.
    pub place: String,
    /// Whether it turns to something else now.
    pub turns: bool,
}

/// `/public-nights/{id}/run-sheet`
#[derive(Template, WebTemplate)]
#[template(path = "public_night/run_sheet.html")]
pub struct RunSheetPage {
    /// The frame.
    pub frame: Frame,
    /// The night.
    pub night: NightShown,
    /// Each half hour with its lines.
    pub half_hours: Vec<(String, Vec<RunLine>)>,
    /// What everybody must know so that nobody is hurt.
    pub cautions: Vec<&'static Caution>,
}

/// A card that stands beside a telescope.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct StopCard {
    /// The station's number.
    pub number: i64,
    /// What it shows.
    pub name: String,
    /// When: "18:00 to 19:30".
    pub when: String,
    /// What to look for.
    pub look: String,
    /// How far it is.
    pub far: String,
    /// What the telescope is called, and its power.
    pub through: String,
    /// Who needs a step or a chair.
    pub reach: String,
    /// Whether it is about the Sun.
    pub sun: bool,
}

/// `/public-nights/{id}/cards`
#[derive(Template, WebTemplate)]
#[template(path = "public_night/cards.html")]
pub struct CardsPage {
    /// The frame.
    pub frame: Frame,
    /// The night.
    pub night: NightShown,
    /// The cards.
    pub cards: Vec<StopCard>,
}

/// What goes into one vehicle.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Load {
    /// Its number.
    pub number: usize,
    /// How heavy all of it is, as far as known.
    pub mass: String,
    /// The stations, each with its pieces.
    pub stations: Vec<(i64, Vec<PieceShown>)>,
    /// Who has to help lifting.
    pub lifting: Vec<String>,
}

/// `/public-nights/{id}/packing`
#[derive(Template, WebTemplate)]
#[template(path = "public_night/packing.html")]
pub struct PackingPage {
    /// The frame.
    pub frame: Frame,
    /// The night.
    pub night: NightShown,
    /// How many vehicles.
    pub vehicles: usize,
    /// The loads.
    pub loads: Vec<Load>,
    /// What comes along for all stations.
    pub besides: Vec<&'static str>,
}

/// A telescope to be looked over before it meets the Sun.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Inspected {
    /// The station's number.
    pub number: i64,
    /// The telescope.
    pub telescope: PieceShown,
    /// Its filter, with what is known of its light test.
    pub filter: String,
    /// What was done with the finder.
    pub finder: &'static str,
    /// Who attends it.
    pub attendant: String,
}

/// `/public-nights/{id}/inspection`
#[derive(Template, WebTemplate)]
#[template(path = "public_night/inspection.html")]
pub struct InspectionPage {
    /// The frame.
    pub frame: Frame,
    /// The night.
    pub night: NightShown,
    /// The telescopes.
    pub telescopes: Vec<Inspected>,
    /// The caution about the Sun.
    pub caution: &'static Caution,
}

//! The whole body of a wish for the best kits.

use std::collections::HashSet;

use super::cells::{Cell, one_of, whole};
use super::correctors::{CorrectorIn, MOST_CORRECTORS, fit};
use super::forms::{Filled, List, form};
use super::observers::ObserverIn;
use super::pieces::{BarlowIn, EyepieceIn, Id, Piece, TelescopeIn};
use super::read::{Sink, Slot};
use crate::kit::solve::MOST_EYEPIECES;
use crate::kit::{Question, ShelfTelescope, Wanted};
use crate::optics::{Barlow, Eyepiece};

/// Most pieces of all kinds in one request.
pub const MOST_PIECES: usize = 25_000;

/// Most numbers in a matrix.
pub const MOST_MATRIX_NUMBERS: usize = 5_000_000;

/// Eyepieces in a kit where the caller does not say how many.
const USUAL_EYEPIECES: usize = 5;

/// Kits in an answer where the caller does not say how many.
const USUAL_LIMIT: usize = 5;

/// What an answer explains beyond the kits.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Explain {
    /// The kits and their views.
    #[default]
    Kits,
    /// Also why each other eyepiece was left out.
    Reasons,
    /// Also the whole problem, for an outside solver.
    Matrix,
}

/// Pieces of one kind in the order of their ids.
#[derive(Debug, Clone, PartialEq)]
pub struct Rack<T> {
    /// What the caller calls them.
    pub ids: Vec<Id>,
    /// What they are, at the same positions.
    pub specs: Vec<T>,
}

impl<T> Rack<T> {
    /// Sorts by id: ties go to the earlier piece, and so the answer does not depend on the order
    /// in which the pieces were sent.
    fn sorted(mut pieces: Vec<(Id, T)>) -> Self {
        pieces.sort_by(|a, b| a.0.cmp(&b.0));
        let (ids, specs) = pieces.into_iter().unzip();
        Self { ids, specs }
    }
}

/// Asks for the best kits.
#[derive(Debug, Clone, PartialEq)]
pub struct SolveRequest {
    /// Who looks, under which sky, for what.
    pub question: Question,
    /// Telescopes to choose from.
    pub telescopes: Rack<ShelfTelescope>,
    /// The corrector in each of them, where one is; may be shorter.
    pub correctors: Vec<Option<Id>>,
    /// Eyepieces to choose from.
    pub eyepieces: Rack<Eyepiece>,
    /// Barlows to choose from.
    pub barlows: Rack<Barlow>,
    /// How large a kit may be and how many are wanted.
    pub wanted: Wanted,
    /// What the answer explains.
    pub explain: Explain,
}

form! {
    /// The fields of a solve request.
    SOLVE_FIELDS;
    SolveForm is "the body" {
        observer: Slot<ObserverIn>,
        telescopes: Slot<List<TelescopeIn, MOST_PIECES>>,
        eyepieces: Slot<List<EyepieceIn, MOST_PIECES>>,
        barlows: Slot<List<BarlowIn, MOST_PIECES>>,
        correctors: Slot<List<CorrectorIn, MOST_CORRECTORS>>,
        max_eyepieces: Option<Cell>,
        max_barlows: Option<Cell>,
        limit: Option<Cell>,
        explain: Option<Cell>,
    }
}

/// The wire names of [`Explain`] beyond the default.
pub const EXPLAINS: [&str; 2] = ["reasons", "matrix"];

impl Filled for SolveRequest {
    type Form = SolveForm;

    fn filled(form: SolveForm, sink: &mut Sink) -> Option<Self> {
        let observer = form.observer.needed("observer", "the body", sink);
        let telescopes = form.telescopes.needed("telescopes", "the body", sink);
        let eyepieces = form.eyepieces.needed("eyepieces", "the body", sink);
        let (barlows, correctors) = (form.barlows.or_default(), form.correctors.or_default());
        let explain = explain(form.explain.as_ref(), sink);
        let max_eyepieces =
            whole(form.max_eyepieces.as_ref(), "max_eyepieces", 1, MOST_EYEPIECES, sink);
        let max_barlows = whole(form.max_barlows.as_ref(), "max_barlows", 0, 1, sink);
        let limit = whole(form.limit.as_ref(), "limit", 1, MOST_PIECES, sink);
        let wanted = Wanted {
            max_eyepieces: max_eyepieces.unwrap_or(USUAL_EYEPIECES),
            barlow: max_barlows != Some(0),
            limit: limit.unwrap_or(USUAL_LIMIT),
        };
        let (Some(observer), Some(telescopes), Some(eyepieces), Some(barlows), Some(correctors)) =
            (observer, telescopes, eyepieces, barlows, correctors)
        else {
            return None;
        };
        if correctors.count > MOST_CORRECTORS {
            let detail = format!(
                "At most {MOST_CORRECTORS} correctors go into one request, but {} were given: send those that differ.",
                correctors.count
            );
            sink.fault_at("correctors", detail);
        }
        let (eyepiece_count, barlow_count) =
            (eyepieces.count, if wanted.barlow { barlows.count } else { 0 });
        let count = telescopes.count + eyepieces.count + barlows.count;
        // Each telescope stands once more with each corrector.
        let laid = telescopes.count.saturating_mul(1 + correctors.count);
        let fits = laid <= MOST_PIECES && correctors.count <= MOST_CORRECTORS;
        if laid > MOST_PIECES && telescopes.count <= MOST_PIECES {
            sink.fault_at("correctors", format!(
                "A telescope counts once more with each corrector, and {laid} come of it: at most {MOST_PIECES} may, so send fewer telescopes or fewer correctors."
            ));
        }
        if count > MOST_PIECES {
            sink.fault(format!(
                "At most {MOST_PIECES} telescopes, eyepieces and Barlows go into one request, but {count} were given: send fewer."
            ));
        }
        let mut names = HashSet::new();
        let mut across = (explain == Explain::Matrix).then_some(&mut names);
        let telescopes = with_own_ids("telescopes", telescopes.items, &mut across, sink);
        let eyepieces = with_own_ids("eyepieces", eyepieces.items, &mut across, sink);
        let barlows = with_own_ids("barlows", barlows.items, &mut across, sink);
        let correctors = with_own_ids("correctors", correctors.items, &mut across, sink);
        let mut telescopes = Rack::sorted(telescopes);
        let correctors = if fits { Rack::sorted(correctors) } else { Rack::sorted(Vec::new()) };
        let fitted = fit(&mut telescopes, &correctors);
        let size = matrix_size(&observer.0, telescopes.specs.len(), eyepiece_count, barlow_count);
        if explain == Explain::Matrix && size > MOST_MATRIX_NUMBERS {
            let detail = format!(
                "The matrix could have up to {size} numbers, and {MOST_MATRIX_NUMBERS} is the most that is sent: send fewer pieces, or leave `explain` out."
            );
            sink.fault_at("explain", detail);
        }
        Some(Self {
            question: observer.0,
            telescopes,
            correctors: fitted,
            eyepieces: Rack::sorted(eyepieces),
            barlows: Rack::sorted(barlows),
            wanted,
            explain,
        })
    }
}

/// The most numbers that a matrix of so many pieces can have: one for each purpose and view.
fn matrix_size(question: &Question, telescopes: usize, eyepieces: usize, barlows: usize) -> usize {
    let mix = question.mix();
    let purposes = mix.iter().filter(|purpose| purpose.weight > 0).count();
    telescopes.saturating_mul(eyepieces).saturating_mul(1 + barlows).saturating_mul(purposes)
}

/// Sees to it that every piece has an id of its own. `across` holds all ids as they stand in the
/// one object of costs, where a matrix is wanted.
pub(super) fn with_own_ids<T>(
    list: &'static str,
    pieces: Vec<(usize, Piece<T>)>,
    across: &mut Option<&mut HashSet<String>>,
    sink: &mut Sink,
) -> Vec<(Id, T)> {
    let mut seen = HashSet::new();
    let mut checked = Vec::with_capacity(pieces.len());
    for (at, Piece { id, spec }) in pieces {
        let id = match id {
            Slot::Read(id) => id,
            Slot::Missing => {
                sink.fault_in(list, at, "id", "This field is missing: every piece needs an id.");
                continue;
            }
            Slot::Faulty => continue,
        };
        if !seen.insert(id.clone()) {
            let detail = "Another piece of this list has the same id: give each its own.";
            sink.fault_in(list, at, "id", detail);
        } else if across.as_mut().is_some_and(|names| !names.insert(id.to_string())) {
            let detail = "A piece of another list has the same id. With `explain` set to \"matrix\" all costs stand in one object, so give each piece its own.";
            sink.fault_in(list, at, "id", detail);
        }
        checked.push((id, spec));
    }
    checked
}

pub(super) fn explain(cell: Option<&Cell>, sink: &mut Sink) -> Explain {
    match cell {
        None | Some(Cell::Null) => Explain::Kits,
        Some(Cell::Text(word)) if word == "reasons" => Explain::Reasons,
        Some(Cell::Text(word)) if word == "matrix" => Explain::Matrix,
        Some(_) => {
            sink.fault_at("explain", one_of(&EXPLAINS));
            Explain::Kits
        }
    }
}

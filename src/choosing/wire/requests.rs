//! Whole bodies of the two stateless questions.

use std::collections::HashSet;

use serde::de::{Deserializer, MapAccess};

use super::cells::{Cell, cell, one_of, whole};
use super::forms::{Form, List, fill};
use super::observers::ObserverIn;
use super::pieces::{BarlowIn, EyepieceIn, Id, Piece, TelescopeIn};
use super::read::{Element, OrNull, Sink, Slot, nested};
use crate::kit::solve::MOST_EYEPIECES;
use crate::kit::{Question, ShelfTelescope, Wanted};
use crate::optics::{Barlow, Eyepiece};

/// Most pieces of all kinds in one request.
pub const MOST_PIECES: usize = 25_000;

/// Most cases in one evaluation.
pub const MOST_CASES: usize = 1_000;

/// Most numbers in a matrix.
pub const MOST_MATRIX_NUMBERS: usize = 5_000_000;

/// Eyepieces in a kit where the caller does not say how many.
const USUAL_EYEPIECES: usize = 5;

/// Kits in an answer where the caller does not say how many.
const USUAL_LIMIT: usize = 5;

/// One view to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct Case {
    /// The telescope.
    pub telescope: ShelfTelescope,
    /// The eyepiece.
    pub eyepiece: Eyepiece,
    /// The Barlow, if one is used.
    pub barlow: Option<Barlow>,
}

/// The fields of a case.
pub const CASE_FIELDS: [&str; 3] = ["telescope", "eyepiece", "barlow"];

#[derive(Debug, Default)]
struct CaseForm {
    telescope: Slot<TelescopeIn>,
    eyepiece: Slot<EyepieceIn>,
    barlow: Slot<OrNull<BarlowIn>>,
}

impl Form for CaseForm {
    fn name(&self) -> &'static str {
        "a case"
    }

    fn fields(&self) -> &'static [&'static str] {
        &CASE_FIELDS
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        match field {
            0 => self.telescope = nested(sink, map)?,
            1 => self.eyepiece = nested(sink, map)?,
            _ => self.barlow = nested(sink, map)?,
        }
        Ok(())
    }
}

impl Element for Case {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = CaseForm::default();
        if !fill(&mut form, sink, deserializer)? {
            return Ok(None);
        }
        let telescope = form.telescope.needed("telescope", "a case", sink);
        let eyepiece = form.eyepiece.needed("eyepiece", "a case", sink);
        let barlow = match form.barlow {
            Slot::Missing | Slot::Read(OrNull(None)) => None,
            Slot::Read(OrNull(Some(barlow))) => Some(barlow.spec),
            Slot::Faulty => return Ok(None),
        };
        let (Some(telescope), Some(eyepiece)) = (telescope, eyepiece) else { return Ok(None) };
        Ok(Some(Self { telescope: telescope.spec, eyepiece: eyepiece.spec, barlow }))
    }
}

/// Asks for views to be judged.
#[derive(Debug, Clone, PartialEq)]
pub struct EvaluateRequest {
    /// Who looks, under which sky, for what.
    pub question: Question,
    /// The views.
    pub cases: Vec<Case>,
}

/// The fields of an evaluation.
pub const EVALUATE_FIELDS: [&str; 2] = ["observer", "cases"];

#[derive(Debug, Default)]
struct EvaluateForm {
    observer: Slot<ObserverIn>,
    cases: Slot<List<Case, MOST_CASES>>,
}

impl Form for EvaluateForm {
    fn name(&self) -> &'static str {
        "the body"
    }

    fn fields(&self) -> &'static [&'static str] {
        &EVALUATE_FIELDS
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        match field {
            0 => self.observer = nested(sink, map)?,
            _ => self.cases = nested(sink, map)?,
        }
        Ok(())
    }
}

impl Element for EvaluateRequest {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = EvaluateForm::default();
        if !fill(&mut form, sink, deserializer)? {
            return Ok(None);
        }
        let observer = form.observer.needed("observer", "the body", sink);
        let cases = form.cases.needed("cases", "the body", sink);
        let (Some(observer), Some(cases)) = (observer, cases) else { return Ok(None) };
        if cases.count > MOST_CASES {
            let detail = format!(
                "At most {MOST_CASES} cases go into one request, but {} were given: send them in several.",
                cases.count
            );
            sink.fault_at("cases", detail);
        }
        Ok(Some(Self {
            question: observer.0,
            cases: cases.items.into_iter().map(|(_, case)| case).collect(),
        }))
    }
}

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

/// The fields of a solve request.
pub const SOLVE_FIELDS: [&str; 8] = [
    "observer",
    "telescopes",
    "eyepieces",
    "barlows",
    "max_eyepieces",
    "max_barlows",
    "limit",
    "explain",
];

/// The wire names of [`Explain`] beyond the default.
pub const EXPLAINS: [&str; 2] = ["reasons", "matrix"];

#[derive(Debug, Default)]
struct SolveForm {
    observer: Slot<ObserverIn>,
    telescopes: Slot<List<TelescopeIn, MOST_PIECES>>,
    eyepieces: Slot<List<EyepieceIn, MOST_PIECES>>,
    barlows: Slot<List<BarlowIn, MOST_PIECES>>,
    max_eyepieces: Option<Cell>,
    max_barlows: Option<Cell>,
    limit: Option<Cell>,
    explain: Option<Cell>,
}

impl Form for SolveForm {
    fn name(&self) -> &'static str {
        "the body"
    }

    fn fields(&self) -> &'static [&'static str] {
        &SOLVE_FIELDS
    }

    fn take<'de, A: MapAccess<'de>>(
        &mut self,
        field: usize,
        sink: &mut Sink,
        map: &mut A,
    ) -> Result<(), A::Error> {
        match field {
            0 => self.observer = nested(sink, map)?,
            1 => self.telescopes = nested(sink, map)?,
            2 => self.eyepieces = nested(sink, map)?,
            3 => self.barlows = nested(sink, map)?,
            4 => self.max_eyepieces = Some(cell(map)?),
            5 => self.max_barlows = Some(cell(map)?),
            6 => self.limit = Some(cell(map)?),
            _ => self.explain = Some(cell(map)?),
        }
        Ok(())
    }
}

impl Element for SolveRequest {
    fn read<'de, D: Deserializer<'de>>(
        sink: &mut Sink,
        deserializer: D,
    ) -> Result<Option<Self>, D::Error> {
        let mut form = SolveForm::default();
        if !fill(&mut form, sink, deserializer)? {
            return Ok(None);
        }
        let observer = form.observer.needed("observer", "the body", sink);
        let telescopes = form.telescopes.needed("telescopes", "the body", sink);
        let eyepieces = form.eyepieces.needed("eyepieces", "the body", sink);
        let barlows = match form.barlows {
            Slot::Missing => Some(List::default()),
            Slot::Faulty => None,
            Slot::Read(barlows) => Some(barlows),
        };
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
        let (Some(observer), Some(telescopes), Some(eyepieces), Some(barlows)) =
            (observer, telescopes, eyepieces, barlows)
        else {
            return Ok(None);
        };
        let count = telescopes.count + eyepieces.count + barlows.count;
        if count > MOST_PIECES {
            sink.fault(format!(
                "At most {MOST_PIECES} telescopes, eyepieces and Barlows go into one request, but {count} were given: send fewer."
            ));
        }
        let size = matrix_size(
            &observer.0,
            telescopes.count,
            eyepieces.count,
            if wanted.barlow { barlows.count } else { 0 },
        );
        if explain == Explain::Matrix && size > MOST_MATRIX_NUMBERS {
            let detail = format!(
                "The matrix could have up to {size} numbers, and {MOST_MATRIX_NUMBERS} is the most that is sent: send fewer pieces, or leave `explain` out."
            );
            sink.fault_at("explain", detail);
        }
        let mut names = HashSet::new();
        let mut across = (explain == Explain::Matrix).then_some(&mut names);
        let telescopes = with_own_ids("telescopes", telescopes.items, &mut across, sink);
        let eyepieces = with_own_ids("eyepieces", eyepieces.items, &mut across, sink);
        let barlows = with_own_ids("barlows", barlows.items, &mut across, sink);
        Ok(Some(Self {
            question: observer.0,
            telescopes: Rack::sorted(telescopes),
            correctors: Vec::new(),
            eyepieces: Rack::sorted(eyepieces),
            barlows: Rack::sorted(barlows),
            wanted,
            explain,
        }))
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

//! The joint choice of stations over HTTP, for programs that bring their own worths.

use axum::response::IntoResponse;
use serde::{Deserialize, Serialize};
use utoipa::ToSchema;

use crate::choosing::desk;
use crate::kit::stations::{
    self, Candidate, Costs, Helper, Plan, ProblemError, Proof, Spot, View, WORTH_UNITS,
};
use crate::web::body::Json;
use crate::web::problem::{Fault, Problem, ProblemDocument};
use crate::web::refusals::NoToken;

/// Largest body of a request: 8 MB.
pub const SOLVE_LIMIT: usize = 8 * 1024 * 1024;

/// The most of each that one request may have.
const MOST: Sizes = Sizes { stations: 40, slots: 48, eyepieces: 1_000, pieces: 200 };

struct Sizes {
    stations: usize,
    slots: usize,
    eyepieces: usize,
    /// Telescopes, and helpers.
    pieces: usize,
}

/// A public night as a problem: who may run what, and what each view is worth when.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct StationsBody {
    /// How many stations are wanted, at most 40.
    #[schema(maximum = 40)]
    stations: usize,
    /// How many half hours there are, at most 48.
    #[schema(maximum = 48)]
    slots: usize,
    /// How many targets there are, at most 64.
    #[schema(maximum = 64)]
    targets: usize,
    /// How many eyepieces there are, at most 1,000.
    #[schema(maximum = 1000)]
    eyepieces: usize,
    /// At most 200 helpers.
    #[schema(max_items = 200)]
    helpers: Vec<HelperBody>,
    /// At most 200 telescopes.
    #[schema(max_items = 200)]
    telescopes: Vec<TelescopeBody>,
    /// What a turn to another target costs, in units of 2⁻¹⁴.
    #[schema(maximum = 16384)]
    change_cost: u32,
    /// What each pair of stations at the same target costs in a half hour, in units of 2⁻¹⁴.
    #[schema(maximum = 16384)]
    crowding_cost: u32,
    /// Whether one station must be within reach of somebody who sits.
    #[serde(default)]
    one_seated: bool,
}

/// Somebody who runs a station.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct HelperBody {
    /// By telescope.
    may_run: Vec<bool>,
}

/// A telescope.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct TelescopeBody {
    /// What it shows through which eyepiece.
    views: Vec<ViewBody>,
    /// Whether somebody who sits reaches it, by half hour and target.
    seated: Vec<Vec<bool>>,
}

/// A telescope with an eyepiece.
#[derive(Debug, Deserialize, ToSchema)]
#[serde(deny_unknown_fields)]
pub struct ViewBody {
    /// Which eyepiece.
    eyepiece: usize,
    /// Worth by half hour and target, whole numbers of 2⁻¹⁴; 0 where it is not to be shown.
    worths: Vec<Vec<u32>>,
}

/// The best stations.
#[derive(Debug, Serialize, ToSchema)]
pub struct StationsAnswer {
    /// At most as many as were wanted.
    stations: Vec<StationAnswer>,
    /// What they are worth together, in units of 2⁻¹⁴.
    value: i64,
    /// The station that somebody who sits can use: its place in `stations`.
    seated: Option<usize>,
    /// Whether no other choice is better.
    proven_optimal: bool,
    /// How much better another could be at most, where that is not proven.
    #[serde(skip_serializing_if = "Option::is_none")]
    gap: Option<i64>,
}

/// One station.
#[derive(Debug, Serialize, ToSchema)]
pub struct StationAnswer {
    /// Which telescope.
    telescope: usize,
    /// Which eyepiece.
    eyepiece: usize,
    /// A spare from what is left.
    spare: Option<usize>,
    /// Which helper.
    helper: usize,
    /// Which target, by half hour; null where it rests.
    targets: Vec<Option<usize>>,
}

/// Chooses stations for a public night together, with the proof that no other choice is better:
/// telescopes, eyepieces and helpers stand at one station each, and stations share the sky.
///
/// Nothing is stored. Where two seconds are not enough for the proof, `proven_optimal` is false and
/// `gap` says how much better another choice could be at most.
///
/// # Errors
/// 400 for what is not JSON, 413 for more than 8 MB, 422 with a pointer for what can't be used, 503
/// when too many ask at once.
#[utoipa::path(
    post,
    path = "/api/v1/stations/solve",
    tag = "public nights",
    request_body(content = StationsBody, content_type = "application/json"),
    responses(
        (status = 200, description = "The best stations", body = StationsAnswer, content_type = "application/json"),
        (status = 400, description = "Not JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 413, description = "More than 8 MB", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 415, description = "Another content type than JSON", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 422, description = "Fields that can't be used, each with its pointer", body = ProblemDocument, content_type = "application/problem+json"),
        (status = 503, description = "Too many ask at once; try again soon", body = ProblemDocument, content_type = "application/problem+json"),
        NoToken,
    )
)]
pub async fn solve(Json(body): Json<StationsBody>) -> Result<impl IntoResponse, Problem> {
    let problem = read(body)?;
    let answer = desk::search(move |budget, _| {
        let plan = stations::choose(&problem, budget.search);
        let spares = stations::choose_spares(&problem, &plan);
        told(plan, spares)
    })
    .await?;
    Ok(Json(answer))
}

fn told(plan: Plan, spares: Vec<Option<usize>>) -> StationsAnswer {
    let gap = match plan.proof {
        Proof::Optimal => None,
        Proof::BudgetSpent { gap } => Some(gap),
    };
    StationsAnswer {
        stations: plan
            .stations
            .into_iter()
            .zip(spares)
            .map(|(one, spare)| StationAnswer {
                telescope: one.telescope,
                eyepiece: one.eyepiece,
                spare,
                helper: one.helper,
                targets: one.targets,
            })
            .collect(),
        value: plan.value,
        seated: plan.seated,
        proven_optimal: gap.is_none(),
        gap,
    }
}

fn read(body: StationsBody) -> Result<stations::Problem, Problem> {
    let mut faults = Vec::new();
    let mut at_most = |name: &str, given: usize, most: usize| {
        if given > most {
            let says = format!("At most {most} are taken, but {given} were given.");
            faults.push(Fault::at(format!("/{name}"), says));
        }
    };
    at_most("stations", body.stations, MOST.stations);
    at_most("slots", body.slots, MOST.slots);
    at_most("targets", body.targets, stations::MOST_TARGETS);
    at_most("eyepieces", body.eyepieces, MOST.eyepieces);
    at_most("helpers", body.helpers.len(), MOST.pieces);
    at_most("telescopes", body.telescopes.len(), MOST.pieces);
    for (name, cost) in [("change_cost", body.change_cost), ("crowding_cost", body.crowding_cost)] {
        if cost > WORTH_UNITS {
            let says = format!("A cost is at most {WORTH_UNITS}, but {cost} was given.");
            faults.push(Fault::at(format!("/{name}"), says));
        }
    }
    if !faults.is_empty() {
        return Err(Problem::out_of_range(faults));
    }
    // A grid is sent as rows and kept as one list, so its shape is looked at before it is lost.
    let size = (body.slots, body.targets);
    for (at, telescope) in body.telescopes.iter().enumerate() {
        let place = format!("/telescopes/{at}");
        grid(&mut faults, &format!("{place}/seated"), &telescope.seated, size);
        for (number, view) in telescope.views.iter().enumerate() {
            grid(&mut faults, &format!("{place}/views/{number}/worths"), &view.worths, size);
        }
    }
    let problem = stations::Problem {
        stations: body.stations,
        slots: body.slots,
        targets: body.targets,
        eyepieces: body.eyepieces,
        helpers: body.helpers.into_iter().map(|one| Helper { may_run: one.may_run }).collect(),
        telescopes: body.telescopes.into_iter().map(candidate).collect(),
        costs: Costs { change: body.change_cost, crowding: body.crowding_cost },
        one_seated: body.one_seated,
    };
    for (spot, fault) in problem.faults() {
        let is_shape = matches!(fault, ProblemError::Length { .. });
        // Of a grid's length it was told row by row.
        if !(is_shape && matches!(spot, Spot::Seated(_) | Spot::Worths(..))) {
            faults.push(Fault::at(pointer(spot), fault.to_string()));
        }
    }
    if faults.is_empty() {
        return Ok(problem);
    }
    faults.truncate(100);
    Err(Problem::out_of_range(faults))
}

/// Where a place of the problem stands in the body.
fn pointer(spot: Spot) -> String {
    match spot {
        Spot::Targets => "/targets".to_owned(),
        Spot::MayRun(helper) => format!("/helpers/{helper}/may_run"),
        Spot::Seated(telescope) => format!("/telescopes/{telescope}/seated"),
        Spot::Eyepiece(telescope, view) => format!("/telescopes/{telescope}/views/{view}/eyepiece"),
        Spot::Worths(telescope, view) => format!("/telescopes/{telescope}/views/{view}/worths"),
    }
}

fn candidate(body: TelescopeBody) -> Candidate {
    let view = |one: ViewBody| View { eyepiece: one.eyepiece, worths: one.worths.concat() };
    Candidate { views: body.views.into_iter().map(view).collect(), seated: body.seated.concat() }
}

fn as_long(faults: &mut Vec<Fault>, pointer: &str, given: usize, wanted: usize) {
    if given != wanted {
        let says = format!("{wanted} entries are wanted, but {given} were given.");
        faults.push(Fault::at(pointer, says));
    }
}

/// A list for each half hour with an entry for each target.
fn grid<T>(faults: &mut Vec<Fault>, pointer: &str, rows: &[Vec<T>], size: (usize, usize)) {
    as_long(faults, pointer, rows.len(), size.0);
    for (slot, row) in rows.iter().enumerate() {
        as_long(faults, &format!("{pointer}/{slot}"), row.len(), size.1);
    }
}

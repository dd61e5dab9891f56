//! A chosen plan in words: why each station, what stays at home, how sure it is. Pure.

use crate::kit::stations::evening::Prepared;
use crate::kit::stations::look::Look;
use crate::kit::stations::{LeftOut, Plan, Problem, Proof, Station, WORTH_UNITS, left_out};
use crate::shelf::EyepieceRecord;
use crate::web::format;

/// So many telescopes that stay at home are told of.
const TOLD: usize = 6;

/// The share of a drift in which a target stands well, and what one visit takes: how many look
/// before the helper nudges. The queue counts with the same.
const GOOD_DRIFT: f64 = 0.7;
const VISIT_S: f64 = 45.0;

/// Why a station was chosen so, one sentence each.
pub(super) fn reasons(
    prepared: &Prepared<'_>,
    station: &Station,
    eyepiece: &EyepieceRecord,
    helper: &str,
    seated: bool,
) -> Vec<String> {
    let looks: Vec<Look> = station
        .targets
        .iter()
        .enumerate()
        .filter_map(|(slot, target)| {
            prepared.look(station.telescope, station.eyepiece, slot, (*target)?)
        })
        .collect();
    let mut says = Vec::new();
    if let Some(look) = looks.first() {
        let facts = look.facts;
        let field = facts
            .true_field_deg
            .map_or_else(String::new, |deg| format!(" and a field of {}", format::field(deg)));
        says.push(format!(
            "{} gives {}, a beam of {}{field}.",
            eyepiece.facts.tag,
            format::power(facts.magnification),
            format::exit_pupil(facts.exit_pupil_mm)
        ));
        if let Some(relief) = facts.eye_relief_mm {
            let glasses = if relief >= facts.eye_relief_needed_mm {
                "glasses stay on"
            } else {
                "a little tight with glasses"
            };
            says.push(format!("Its eye relief is {}: {glasses}.", format::millimetres(relief)));
        }
        says.push(follows(&looks));
    }
    if seated {
        says.push("Chosen to be within reach of a wheelchair.".to_owned());
    }
    if !helper.is_empty() {
        says.push(format!("{helper} can run it."));
    }
    says
}

fn follows(looks: &[Look]) -> String {
    if looks.iter().all(|look| look.tracks) {
        return "Its mount follows the sky, so nobody has to nudge it.".to_owned();
    }
    let shortest = looks.iter().filter_map(|look| look.drift_s).min_by(f64::total_cmp);
    match shortest {
        Some(drift) => {
            let visitors = ((GOOD_DRIFT * drift / VISIT_S).floor() as usize).max(1);
            format!(
                "What it shows drifts through the field in {} or longer: nudge it after every {}.",
                format::duration(drift),
                if visitors == 1 {
                    "visitor".to_owned()
                } else {
                    format::count(visitors, "visitor", "visitors")
                }
            )
        }
        None => "How long things stay in its field is not known.".to_owned(),
    }
}

/// What is to be said of the whole plan.
pub(super) fn told(problem: &Problem, plan: &Plan, tags: &[String], wanted: usize) -> Vec<String> {
    let mut says = Vec::new();
    says.push(match plan.proof {
        Proof::Optimal => {
            "Chosen together and proven: no other choice of telescopes, eyepieces, helpers and targets is worth more.".to_owned()
        }
        Proof::BudgetSpent { gap } => format!(
            "Chosen together; the time ended before the proof, and another plan may be better by at most {:.2} of a perfect half hour.",
            gap as f64 / f64::from(WORTH_UNITS)
        ),
    });
    let made = plan.stations.len();
    if made < wanted {
        says.push(format!(
            "{} wanted, and only {} can be run with these helpers, eyepieces and hours.",
            format::sentence_case(&format::count(wanted, "station is", "stations are")),
            format::count(made, "station", "stations")
        ));
    }
    if problem.one_seated && plan.seated.is_none() {
        says.push(
            "No telescope on the shelf is known to be within reach of a wheelchair in these hours."
                .to_owned(),
        );
    }
    let mut nobody = Vec::new();
    let mut nothing = Vec::new();
    let mut others = Vec::new();
    let mut left = Vec::new();
    for (at, why) in left_out(problem, plan) {
        let Some(tag) = tags.get(at) else { continue };
        match why {
            LeftOut::NobodyRunsIt => nobody.push(tag.clone()),
            LeftOut::ShowsNothing => nothing.push(tag.clone()),
            LeftOut::Others { loses } => others.push((loses, tag.clone())),
            LeftOut::NothingLeft => left.push(tag.clone()),
        }
    }
    others.sort();
    for (loses, tag) in others.iter().take(TOLD) {
        says.push(if *loses == 0 {
            format!("{tag} stays at home: others do as well.")
        } else {
            format!(
                "{tag} stays at home: in another's place the plan would lose {:.2} of a perfect half hour.",
                *loses as f64 / f64::from(WORTH_UNITS)
            )
        });
    }
    for (tags, why) in [
        (nobody, "nobody on the list can run it"),
        (nothing, "no free eyepiece shows visitors anything in it"),
        (left, "its helper or its eyepieces stand elsewhere"),
    ] {
        if !tags.is_empty() {
            says.push(format!("At home, because {why}: {}.", format::list(&tags)));
        }
    }
    says
}

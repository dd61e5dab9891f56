//! `/telescopes/{id}/nights`: on which nights a kit with this telescope can be had that suits.

use std::collections::BTreeSet;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;

use super::ask_form::USUAL_EYEPIECES;
use super::desk;
use super::nights::{Asked, marks};
use super::telescope_pages::{ANYONE, for_whom};
use crate::lending::calendar::{MONTHS, Mark, Month, Sheet};
use crate::lending::calendar_pages::{Standing, marks as club_marks};
use crate::lending::door::tonight;
use crate::lending::rules_store::rules;
use crate::lending::{Night, Nights, SunDays, spoken_for_each};
use crate::people::access::SignedIn;
use crate::shelf;
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// The nights of a telescope's kits.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/nights.html")]
pub struct NightsPage {
    /// The frame.
    pub frame: Frame,
    /// The telescope's tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// Its page.
    pub path: String,
    /// "For Ines Aldous".
    pub for_whom: String,
    /// What to do next.
    pub says: String,
    /// The months.
    pub months: Vec<Month>,
    /// The page before.
    pub earlier: Option<String>,
    /// The page after.
    pub later: Option<String>,
}

/// What the address says.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Wanted {
    r#for: String,
    first: String,
    month: String,
}

/// `GET /telescopes/{id}/nights`
///
/// # Errors
/// 404 for a telescope that can't be borrowed, or a member that is not theirs to ask for.
pub async fn look(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
    Query(wanted): Query<Wanted>,
) -> Result<Response, Problem> {
    let tonight = tonight(&clock)?;
    let (observer, whose) = for_whom(&store, &clock, &who.account, &wanted.r#for).await?;
    let mut conn = store.reader().acquire().await?;
    let all = shelf::shelf_in_service(&mut conn).await?;
    let Some(telescope) = all.telescopes.iter().find(|item| item.id.0 == id) else {
        return Err(Problem::not_found("The club lends no such telescope now.")
            .next("Choose one from the list.")
            .way("All telescopes", "/telescopes"));
    };
    let (item, tag) = (telescope.id, telescope.facts.tag.to_string());
    let name = telescope.facts.name.to_string();
    let rules = rules(&mut conn, tonight).await?;
    let standing = Standing::of(&wanted.month, tonight, rules.ahead_nights);
    let nights = standing
        .nights()
        .ok_or_else(|| Problem::not_found("The club's calendar does not reach there."))?;
    let taken = spoken_for_each(&mut conn, &all.ids(), nights).await?;
    drop(conn);
    let mut known = club_marks(nights, &rules, tonight, &BTreeSet::new());
    let open: BTreeSet<Night> =
        known.iter().filter(|(_, mark)| **mark == Mark::Free).map(|(night, _)| *night).collect();
    let asked = Asked {
        question: whose.question,
        own: whose.own,
        telescope: item,
        max_eyepieces: USUAL_EYEPIECES,
        shelf: all,
        taken,
        days: SunDays {
            today: tonight.evening(),
            last: nights.last().morning(),
            light_test_months: rules.light_test_months,
        },
    };
    known.extend(desk::search(move |budget, _| marks(&asked, &open, &budget)).await?);

    let month = standing.from.strftime("%Y-%m").to_string();
    let here = format!("/telescopes/{id}/nights?for={observer}");
    let first = |night: Night| format!("{here}&month={month}&first={night}");
    let asks = if observer == ANYONE {
        "who=anyone".to_owned()
    } else {
        format!("who=member&member={observer}")
    };
    let last = |nights: Nights| {
        let (first, last) = (nights.first(), nights.last());
        format!("/kits?{asks}&from={first}&to={last}&telescope={id}&eyepieces={USUAL_EYEPIECES}")
    };
    let sheet = Sheet {
        marks: &known,
        chosen: wanted.first.parse().ok(),
        longest: rules.longest_nights,
        first: &first,
        last: &last,
    };
    let turn = |month: Option<String>| month.map(|month| format!("{here}&month={month}"));
    let page = NightsPage {
        frame: who.visit.frame(format!("Nights with {name}")).at(Place::Telescopes),
        tag,
        name,
        path: format!("/telescopes/{id}"),
        for_whom: format!("For {}", whose.name),
        says: sheet.says(),
        months: sheet.months(standing.from, MONTHS),
        earlier: turn(standing.earlier),
        later: turn(standing.later),
    };
    Ok(([(header::CACHE_CONTROL, "no-store")], page).into_response())
}

/// The page with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::lending::calendar_pages::samples::months;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let (says, months) = months(Some("2026-06-17"));
        let page = NightsPage {
            frame: frame("Nights with Orchard 8-inch", scheme).at(Place::Telescopes),
            tag: "T-007".into(),
            name: "Orchard 8-inch <script>alert(1)</script>".into(),
            path: "/telescopes/7".into(),
            for_whom: "For Ines Aldous".into(),
            says,
            months,
            earlier: None,
            later: Some("/telescopes/7/nights?for=7&month=2026-09".into()),
        };
        vec![Sample::of("telescope-nights", &page)]
    }
}

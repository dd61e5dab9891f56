//! My reservations and loans on one page, and page by page what is over.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use serde::Deserialize;

use super::door::tonight;
use super::model::{ReservationId, ReservationState};
use super::night::Night;
use super::reading::{Whole, over, under_way};
use super::shown::ReservationShown;
use super::waiting_pages::{self, PlaceShown};
use crate::people::access::SignedIn;
use crate::people::rights::Deed;
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// My reservations and loans on one page.
#[derive(Template, WebTemplate)]
#[template(path = "lending/mine.html")]
pub struct MinePage {
    /// The frame.
    pub frame: Frame,
    /// What I have.
    pub out: Vec<ReservationShown>,
    /// What I shall have.
    pub coming: Vec<ReservationShown>,
    /// What is over, the latest first.
    pub over: Vec<ReservationShown>,
    /// The address of what was over before that.
    pub earlier: Option<String>,
    /// Whether this is such a page, with what is over and nothing else.
    pub only_over: bool,
    /// What I wait for.
    pub waiting: Vec<PlaceShown>,
    /// What has just been done.
    pub notice: Option<&'static str>,
    /// Whether the way to the desk is shown.
    pub runs_desk: bool,
}

/// As much of what is over as one page shows.
const A_PAGE: usize = 20;

/// What stands after the question mark of `/mine`.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    done: String,
    /// The first night of the last reservation on the page before.
    first: String,
    /// Its number.
    below: String,
}

impl Asked {
    /// What the page begins after; whatever is none is the beginning.
    fn after(&self) -> Option<(Night, ReservationId)> {
        Some((self.first.parse().ok()?, ReservationId(self.below.parse().ok()?)))
    }

    fn notice(&self) -> Option<&'static str> {
        match self.done.as_str() {
            "waiting" => {
                Some("You are on the waiting list. A letter tells you when it is held for you.")
            }
            "left" => Some("You wait for it no more."),
            _ => None,
        }
    }
}

/// `GET /mine`
///
/// # Errors
/// The database could not answer.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<MinePage, Problem> {
    let tonight = tonight(&clock)?;
    let after = asked.after();
    let (mut going_on, mut past, mut waiting) = (Vec::new(), Vec::new(), Vec::new());
    if let Some(member) = who.account.member {
        let mut tx = store.reader().begin().await?;
        if after.is_none() {
            going_on = under_way(&mut tx, member, tonight).await?;
            waiting = waiting_pages::shown(&mut tx, member, &clock).await?;
        }
        past = over(&mut tx, member, tonight, after, A_PAGE + 1).await?;
    }
    let goes_on = past.len() > A_PAGE;
    past.truncate(A_PAGE);
    let earlier = past.last().filter(|_| goes_on);
    let (out, coming): (Vec<Whole>, Vec<Whole>) =
        going_on.into_iter().partition(|whole| whole.state == ReservationState::Out);
    let shown = |all: &[Whole]| -> Vec<ReservationShown> {
        all.iter().map(|one| ReservationShown::of(one, tonight)).collect()
    };
    Ok(MinePage {
        frame: who.visit.frame("My loans").at(Place::Mine),
        out: shown(&out),
        coming: shown(&coming),
        earlier: earlier
            .map(|last| format!("/mine?first={}&below={}", last.nights.first(), last.id)),
        over: shown(&past),
        only_over: after.is_some(),
        waiting,
        notice: asked.notice(),
        runs_desk: who.account.roles.may(Deed::RunDesk),
    })
}

/// The page in its states.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::lending::shown::sample;
    use crate::web::frame::Scheme;

    fn places() -> Vec<PlaceShown> {
        let place = |offered, standing: &str| PlaceShown {
            id: 3,
            title: "Orchard 8-inch <script>alert(1)</script>".into(),
            nights: "Friday 5 to Sunday 7 June 2026".into(),
            standing: standing.into(),
            tags: vec!["T-007".into()],
            offered,
        };
        vec![
            place(true, "Held for you until Saturday 6 June 2026, 14:00."),
            PlaceShown { tags: Vec::new(), ..place(false, "Two people before you.") },
        ]
    }

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        use ReservationState::{Closed, Confirmed, Out};
        let list = |full: bool| MinePage {
            frame: frame("My loans", scheme).at(Place::Mine),
            out: if full {
                vec![sample(Out, "Overdue: was due back on Monday 8 June", true)]
            } else {
                Vec::new()
            },
            coming: if full { vec![sample(Confirmed, "Confirmed", false)] } else { Vec::new() },
            over: if full { vec![sample(Closed, "Finished", false)] } else { Vec::new() },
            earlier: full.then(|| "/mine?first=2026-06-05&below=12".into()),
            only_over: false,
            waiting: if full { places() } else { Vec::new() },
            notice: full.then_some("You are on the waiting list."),
            runs_desk: full,
        };
        let older = MinePage {
            over: vec![sample(Closed, "Finished", false)],
            only_over: true,
            ..list(false)
        };
        vec![
            Sample::of("mine", &list(true)),
            Sample::of("mine-older", &older),
            Sample::of("mine-empty", &list(false)),
        ]
    }
}

//! `/mine/{id}/card`: the kit card for the field: each view in the order of use, what it is for, and
//! what to take care of.

use std::sync::Arc;

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};

use super::answer_page::ViewRow;
use super::card_pdf;
use super::club_shelf::ClubShelf;
use super::pages::{Whose, member_question};
use super::present::Presenter;
use super::search::{Ask, AskedEyes, Found};
use super::wording::{cautions_for, corrected_in_words, reasons, summary};
use crate::kit::explain::Subject;
use crate::kit::solve::Solver;
use crate::kit::{Kit, Proof, Settings, Usage};
use crate::lending::cautions::Caution;
use crate::lending::door::{no_such_reservation, visible};
use crate::lending::reading::Whole;
use crate::lending::rules_store::rules;
use crate::lending::{ReservationId, SunDays, cautions_of};
use crate::observing::plan::NightShown;
use crate::observing::plan::pages::for_the_card;
use crate::people::access::SignedIn;
use crate::shelf::{self, ItemId};
use crate::store::Store;
use crate::web::body::Path;
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::mark::Reason;
use crate::web::problem::Problem;

/// One view on the card.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardView {
    /// The eyepiece's tag.
    pub tag: String,
    /// Its figures and words.
    pub row: ViewRow,
}

/// A view that is better left alone.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Avoid {
    /// "E-002 4 mm with the 2× Barlow".
    pub what: String,
    /// Why.
    pub reasons: Vec<Reason>,
}

/// One telescope of the reservation with what goes into it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct CardKit {
    /// The telescope's tag.
    pub tag: String,
    /// Its name.
    pub name: String,
    /// What it is.
    pub summary: String,
    /// The views, weakest first: find with the first, go on from there.
    pub views: Vec<CardView>,
    /// Views that no rule allows.
    pub avoid: Vec<Avoid>,
    /// What this telescope asks for.
    pub cautions: Vec<String>,
}

/// The card.
#[derive(Template, WebTemplate)]
#[template(path = "choosing/card.html")]
pub struct CardPage {
    /// The frame.
    pub frame: Frame,
    /// The reservation's number.
    pub id: i64,
    /// The nights.
    pub nights: String,
    /// "Saturday 6 June 2026".
    pub due: String,
    /// For use by day.
    pub daylight: bool,
    /// The telescopes.
    pub kits: Vec<CardKit>,
    /// Everything that was taken along: tag and name.
    pub pieces: Vec<(String, String)>,
    /// Where the nights are planned for, if that is known.
    pub site: Option<String>,
    /// What to look at, night by night.
    pub plan: Vec<NightShown>,
    /// What to take care of.
    pub cautions: Vec<&'static Caution>,
}

/// `GET /mine/{id}/card`
///
/// # Errors
/// 404 where the reservation is not there or somebody else's.
pub async fn card(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let page = page(&store, &clock, &who, id).await?;
    Ok(([(header::CACHE_CONTROL, "no-store")], page).into_response())
}

/// `GET /mine/{id}/card.pdf`: the same on paper.
///
/// # Errors
/// 404 where the reservation is not there or somebody else's.
pub async fn pdf(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(id): Path<i64>,
) -> Result<Response, Problem> {
    let page = page(&store, &clock, &who, id).await?;
    let headers = [
        (header::CACHE_CONTROL, "no-store"),
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"kit-card.pdf\""),
    ];
    Ok((headers, card_pdf::card(&page)).into_response())
}

async fn page(store: &Store, clock: &Clock, who: &SignedIn, id: i64) -> Result<CardPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let whole = visible(&mut conn, &who.account, ReservationId(id)).await?;
    if who.account.member != Some(whole.member) {
        return Err(no_such_reservation());
    }
    let mut shelf = shelf::shelf(&mut conn).await?;
    let months = rules(&mut conn, whole.nights.first()).await?.light_test_months;
    drop(conn);
    let whose = member_question(store, clock, &who.account, whole.member.0, None).await?;
    let ids: Vec<ItemId> = whole.lines.iter().map(|line| line.item.id).collect();
    shelf.retain(|id| ids.contains(&id));
    let days = SunDays {
        today: clock.today(),
        last: whole.nights.last().morning(),
        light_test_months: months,
    };
    let (first, last) = (whole.nights.first(), whole.nights.last());
    let pieces = whole.lines.iter();
    let (site, plan) = for_the_card(store, clock, &whole).await?;
    Ok(CardPage {
        frame: who.visit.frame("Kit card").at(Place::Mine).returning_to(format!("/mine/{id}/card")),
        id,
        nights: format::nights(first.evening(), last.evening()),
        due: format::night(last.morning()),
        daylight: whole.daylight,
        kits: kits(&ClubShelf::of(shelf, days), whose, &whole),
        pieces: pieces.map(|line| (line.item.tag.to_string(), line.item.name.clone())).collect(),
        site,
        plan,
        cautions: cautions_of(&whole),
    })
}

/// Every telescope among the pieces with all the eyepieces among them.
fn kits(shelf: &ClubShelf, whose: Whose, whole: &Whole) -> Vec<CardKit> {
    let mut question = whose.question;
    question.usage = Usage::Night;
    let ask = Ask {
        question,
        nights: whole.nights,
        site: None,
        telescope: None,
        eyes: AskedEyes::Member(whole.member.0),
        max_eyepieces: shelf.eyepieces.len(),
        limit: 1,
        own: whose.own,
        telling: whose.telling,
    };
    let settings = Settings::default();
    let solver = Solver::new(shelf.figures(), &ask.question, &settings);
    let found = Found {
        shelf: Arc::new(shelf.clone()),
        kits: Vec::new(),
        proof: Proof::Optimal,
        useless: Vec::new(),
        obstacle: None,
        before: None,
        sky: None,
    };
    let presenter = Presenter::new(&found, &ask, &whose.name);
    (0..shelf.telescopes.len())
        .map(|telescope| {
            let kit = Kit {
                telescope,
                eyepieces: (0..shelf.eyepieces.len()).collect(),
                barlow: (!shelf.barlows.is_empty()).then_some(0),
                value: 0.0,
            };
            let story = solver.story(&kit);
            let item = &shelf.telescopes[telescope];
            let (bench, filter) = presenter.bench(telescope);
            let with = shelf.corrector(telescope);
            let avoid = story.forbidden.iter().map(|view| {
                let (eyepiece, barlow) = presenter.specs(view);
                let facts = &shelf.eyepieces[view.eyepiece].facts;
                let with = barlow.map_or_else(String::new, |one| {
                    format!(" with the {} Barlow", format::factor(one.factor.times()))
                });
                let subject = Subject { bench: &bench, eyepiece, barlow };
                Avoid {
                    what: format!("{} {}{with}", facts.tag, facts.name),
                    reasons: reasons(view, subject, ask.telling),
                }
            });
            CardKit {
                tag: item.facts.tag.to_string(),
                name: match with {
                    Some(corrector) => format!("{} with {}", item.facts.name, corrector.facts.name),
                    None => item.facts.name.to_string(),
                },
                summary: match with {
                    Some(_) => corrected_in_words(bench.telescope()),
                    None => summary(item),
                },
                avoid: avoid.collect(),
                views: story
                    .views
                    .iter()
                    .map(|view| CardView {
                        tag: shelf.eyepieces[view.eyepiece].facts.tag.to_string(),
                        row: presenter.view(view, &bench),
                    })
                    .collect(),
                cautions: cautions_for(item, filter),
            }
        })
        .collect()
}

/// The card with sample values.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::lending::cautions;
    use crate::observing::plan::StopShown;
    use crate::web::frame::Scheme;
    use crate::web::mark::Mark;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let reason = |mark| Reason {
            mark,
            text: "The beam is thinner than 0.7 mm: dim, and every floater shows.".into(),
        };
        let view = |power: &str, mark, reasons| CardView {
            tag: "E-031".into(),
            row: ViewRow {
                power: power.into(),
                step: None,
                eyepiece: "25 mm <script>alert(1)</script>".into(),
                barlow: (power != "49×").then(|| "with the 2× Barlow".into()),
                exit_pupil: "4.2 mm".into(),
                true_field: "1.07°".into(),
                drift: Some("4 min 15 s".into()),
                good_for: "finding and sweeping".into(),
                mark,
                reasons,
            },
        };
        let kit = CardKit {
            tag: "T-007".into(),
            name: "Orchard 8-inch".into(),
            summary: "203 mm reflector on a rocker, f/6".into(),
            views: vec![
                view("49×", Mark::Suits, Vec::new()),
                view("98×", Mark::Compromise, vec![reason(Mark::Compromise)]),
            ],
            avoid: vec![Avoid {
                what: "E-002 4 mm with the 2× Barlow".into(),
                reasons: vec![reason(Mark::Unsuitable)],
            }],
            cautions: vec!["The heaviest part weighs 10.9 kg.".into()],
        };
        let night = || NightShown {
            id: "night-2026-06-05".into(),
            title: "Friday 5 June 2026".into(),
            darkness: "Dark from 23:40 to 02:10.".into(),
            pictures: Vec::new(),
            picture_words: String::new(),
            stops: vec![StopShown {
                name: "Great Globular (M 13)".into(),
                kind: "globular cluster".into(),
                why: "",
                when: "best at 00:40, 68° high in the south <b>".into(),
                through: "10 mm wide field, 122×".into(),
                shows: Vec::new(),
                field: None,
                field_words: "0.57° of sky".into(),
            }],
        };
        let page = |kits: Vec<CardKit>| CardPage {
            frame: frame("Kit card", scheme).at(Place::Mine),
            id: 41,
            nights: "Friday 5 to Sunday 7 June 2026".into(),
            due: "Monday 8 June 2026".into(),
            daylight: kits.is_empty(),
            kits,
            pieces: vec![("T-007".into(), "Orchard 8-inch".into())],
            site: Some("Windmill Hill".into()),
            plan: vec![night()],
            cautions: cautions::ALL.iter().take(3).collect(),
        };
        vec![
            Sample::of("kit-card", &page(vec![kit])),
            Sample::of("kit-card-no-telescope", &page(Vec::new())),
        ]
    }
}

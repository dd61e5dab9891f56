//! The list of telescopes, and one telescope with every eyepiece for one observer.

use axum::extract::State;
use axum::http::header;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::club_shelf::ClubShelf;
use super::discreet::Telling;
use super::pages::{Whose, member_question};
use super::telescope_page::{
    EyepieceRow, Fact, Opening, TelescopeCard, TelescopePage, TelescopesPage,
};
use super::wording::{cautions_for, corrected_in_words, reasons, summary};
use crate::eye::Observer;
use crate::kit::explain::Subject;
use crate::kit::{Bench, Question, Settings, Solver, Usage};
use crate::lending::SunDays;
use crate::lending::door::tonight;
use crate::lending::rules_store::rules;
use crate::optics::{self, Barrel, Telescope, Tracking};
use crate::people::access::{Account, SignedIn};
use crate::people::rights::Deed;
use crate::people::{self, MemberState};
use crate::shelf::{self, ItemState, TelescopeRecord};
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Choice;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// Stands for anyone in the choice of an observer.
pub(super) const ANYONE: &str = "anyone";

/// Telescopes on one page of the list.
const A_PAGE: usize = 100;

/// What stands after the question mark of `/telescopes`: the last tag of the page before.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Behind {
    after: String,
}

/// `GET /telescopes`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    signed_in: SignedIn,
    Query(Behind { after }): Query<Behind>,
) -> Result<TelescopesPage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let mut all = shelf::telescopes_after(&mut conn, &after, A_PAGE + 1).await?;
    let goes_on = all.len() > A_PAGE;
    all.truncate(A_PAGE);
    let last = all.last().filter(|_| goes_on);
    Ok(TelescopesPage {
        frame: signed_in.visit.frame("Telescopes").at(Place::Telescopes),
        more: last
            .map(|last| format!("/telescopes?{}", pairs([("after", last.facts.tag.as_str())]))),
        first_page: after.is_empty(),
        telescopes: all.iter().map(card).collect(),
    })
}

fn card(item: &TelescopeRecord) -> TelescopeCard {
    let helpers = item.figures.helpers.map_or(0, |helpers| usize::from(helpers.count()));
    let mut notes = Vec::new();
    if helpers > 0 {
        notes.push(format!("Bring {} to carry it", format::count(helpers, "helper", "helpers")));
    }
    if item.figures.optics.focuser() == Some(Barrel::Narrow) {
        notes.push("Takes old narrow eyepieces only".to_owned());
    }
    TelescopeCard {
        address: format!("/telescopes/{}", item.id),
        tag: item.facts.tag.to_string(),
        name: item.facts.name.to_string(),
        summary: summary(item),
        note: notes.join(". "),
        out_of_service: out_of_service(item.facts.state),
        opening: opening(&item.figures.optics),
    }
}

fn out_of_service(state: ItemState) -> Option<String> {
    (state != ItemState::InService).then(|| format::sentence_case(state.words()))
}

fn opening(optics: &Telescope) -> Opening {
    Opening {
        aperture_mm: optics.aperture().mm(),
        obstruction_mm: optics.obstruction().map(optics::Obstruction::mm).filter(|mm| *mm > 0.0),
    }
}

/// Whom the eyepieces are judged for.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct For {
    r#for: String,
}

/// `GET /telescopes/{id}`
///
/// # Errors
/// 404 for a telescope that is not there, or a member that is not theirs to ask for.
pub async fn one(
    State(store): State<Store>,
    State(clock): State<Clock>,
    signed_in: SignedIn,
    Path(id): Path<i64>,
    Query(For { r#for: wanted }): Query<For>,
) -> Result<Response, Problem> {
    let account = &signed_in.account;
    let mut conn = store.reader().acquire().await?;
    let all = shelf::shelf(&mut conn).await?;
    let light_test_months = rules(&mut conn, tonight(&clock)?).await?.light_test_months;
    let observers = observers(&mut conn, account).await?;
    drop(conn);
    let (observer, whose) = for_whom(&store, &clock, account, &wanted).await?;
    let today = clock.today();
    let shelf = ClubShelf::of(all, SunDays { today, last: today, light_test_months });
    let Some(at) = shelf.telescopes.iter().position(|item| item.id.0 == id) else {
        return Err(Problem::not_found("The club has no such telescope.")
            .next("Choose one from the list.")
            .way("All telescopes", "/telescopes"));
    };
    let item = &shelf.telescopes[at];
    let filter = shelf.figures().telescopes[at].sun_filter;
    let page = TelescopePage {
        frame: signed_in.visit.frame(item.facts.name.to_string()).at(Place::Telescopes),
        tag: item.facts.tag.to_string(),
        summary: summary(item),
        note: item.facts.notes.to_string(),
        out_of_service: out_of_service(item.facts.state),
        opening: opening(&item.figures.optics),
        facts: facts(item).into_iter().chain(corrected(&shelf, at)).collect(),
        cautions: cautions_for(item, filter),
        path: format!("/telescopes/{id}"),
        observers,
        observer,
        for_whom: format!("For {}", whose.name),
        ask_address: format!("/?telescope={id}"),
        nights_address: format!("/telescopes/{id}/nights"),
        eyepieces: rows(&shelf, at, &whose.question, whose.telling),
    };
    Ok(([(header::CACHE_CONTROL, "no-store")], page).into_response())
}

/// For whose eyes an account may have things judged: anyone, and who they may ask for.
///
/// # Errors
/// The database could not be read.
pub async fn observers(
    conn: &mut SqliteConnection,
    account: &Account,
) -> Result<Vec<Choice>, Problem> {
    let mut observers = Vec::new();
    if account.roles.may(Deed::AskForMember) {
        let members = people::members(conn).await?;
        let active = members.iter().filter(|one| one.facts.state == MemberState::Active);
        observers
            .extend(active.map(|one| Choice::new(one.id.to_string(), one.facts.name.to_string())));
        observers.sort_by(|a, b| a.label.cmp(&b.label));
    } else if let Some(member) = account.member {
        observers.push(Choice::new(member.to_string(), account.name.clone()));
    }
    observers.insert(0, Choice::new(ANYONE, "Anyone, first time at an eyepiece"));
    Ok(observers)
}

/// Whom a telescope is judged for, as an address or the account says: "anyone" or a member's
/// number, and their eyes.
///
/// # Errors
/// 404 for a member that is not there or not theirs to ask for.
pub async fn for_whom(
    store: &Store,
    clock: &Clock,
    account: &Account,
    wanted: &str,
) -> Result<(String, Whose), Problem> {
    let observer = match (wanted, account.member) {
        ("", Some(member)) => member.to_string(),
        ("", None) => ANYONE.to_owned(),
        (chosen, _) => chosen.to_owned(),
    };
    let whose = if observer == ANYONE {
        let observer = Observer::anyone();
        let question = Question { observer, seeing: None, usage: Usage::Night, tonight: None };
        Whose::nobodys("anyone, first time at an eyepiece", question)
    } else {
        let member =
            observer.parse().map_err(|_| Problem::not_found("There is no such member."))?;
        member_question(store, clock, account, member, None).await?
    };
    Ok((observer, whose))
}

fn rows(
    shelf: &ClubShelf,
    telescope: usize,
    question: &Question,
    telling: Telling,
) -> Vec<EyepieceRow> {
    let settings = Settings::default();
    let solver = Solver::new(shelf.figures(), question, &settings);
    let one = &shelf.figures().telescopes[telescope];
    let bench = Bench::new(&one.spec, one.sun_filter, question, &settings);
    let mut rows: Vec<(f64, EyepieceRow)> = shelf
        .eyepieces
        .iter()
        .enumerate()
        .map(|(at, item)| {
            let view = solver.view(telescope, at, None);
            let subject = Subject { bench: &bench, eyepiece: &item.figures, barlow: None };
            let facts = &view.facts;
            let row = EyepieceRow {
                tag: item.facts.tag.to_string(),
                name: item.facts.name.to_string(),
                power: format::power(facts.magnification),
                exit_pupil: format::exit_pupil(facts.exit_pupil_mm),
                true_field: facts.true_field_deg.map_or_else(|| "not known".into(), format::field),
                mark: view.assessment.verdict().into(),
                reasons: reasons(&view, subject, telling),
                out_of_service: out_of_service(item.facts.state),
            };
            (facts.magnification, row)
        })
        .collect();
    rows.sort_by(|a, b| a.0.total_cmp(&b.0).then_with(|| a.1.tag.cmp(&b.1.tag)));
    rows.into_iter().map(|(_, row)| row).collect()
}

/// What each coma corrector that fits makes of the telescope.
fn corrected(shelf: &ClubShelf, telescope: usize) -> Vec<Fact> {
    (0..shelf.telescopes.len())
        .filter(|at| shelf.itself(*at) == telescope)
        .filter_map(|at| {
            let record = shelf.corrector(at)?;
            Some(Fact {
                label: format!("With {}", record.facts.tag),
                value: record.facts.name.to_string(),
                meaning: corrected_in_words(&shelf.figures().telescopes[at].spec),
            })
        })
        .collect()
}

fn facts(item: &TelescopeRecord) -> Vec<Fact> {
    let figures = &item.figures;
    let optics = &figures.optics;
    let aperture = optics.aperture();
    // How much more light than a wide-open eye: the areas' ratio.
    let light = (aperture.mm() / 7.0).powi(2);
    let rayleigh =
        optics::limits::rayleigh_limit(aperture, optics::limits::Wavelength::GREEN).arcsec();
    let not_known = || "not known".to_owned();
    let fact =
        |label: &str, value: String, meaning: String| Fact { label: label.into(), value, meaning };
    let mm = format::millimetres;
    let obstruction = match optics.obstruction() {
        _ if optics.layout().is_unobstructed() => ("none".to_owned(), String::new()),
        Some(one) => {
            (mm(one.mm()), format!("{} of the width", format::per_cent(one.mm() / aperture.mm())))
        }
        None => (not_known(), "so the service can't be sure of the widest beams".to_owned()),
    };
    let focuser = optics.focuser().map_or_else(
        || (not_known(), "so the service can't be sure what goes in".to_owned()),
        |barrel| {
            let takes = match barrel {
                Barrel::Wide => "takes wide and standard eyepieces",
                Barrel::Standard => "takes standard eyepieces",
                Barrel::Narrow => "takes old narrow eyepieces only",
            };
            (mm(barrel.mm()), takes.to_owned())
        },
    );
    let height = match (figures.eyepiece_height.min_mm(), figures.eyepiece_height.max_mm()) {
        (Some(low), Some(high)) => format!("{:.0} to {:.0} cm", low / 10.0, high / 10.0),
        (Some(one), None) | (None, Some(one)) => format!("about {:.0} cm", one / 10.0),
        (None, None) => not_known(),
    };
    let mount = match optics.tracking() {
        Some(Tracking::Tracks) => "follows the sky",
        Some(Tracking::StandsStill) => "is moved by hand",
        None => "not known",
    };
    vec![
        fact(
            "Aperture",
            mm(aperture.mm()),
            format!("gathers about {light:.0} times the light of a wide-open eye"),
        ),
        fact(
            "Focal length",
            mm(optics.focal_length().mm()),
            format::focal_ratio(optics.focal_ratio().number()),
        ),
        fact(
            "Finest detail",
            format!("{rayleigh:.2} arcseconds"),
            "when the air is perfectly steady".into(),
        ),
        fact("Central obstruction", obstruction.0, obstruction.1),
        fact("Focuser", focuser.0, focuser.1),
        fact("Mount", mount.into(), String::new()),
        fact("Eyepiece height", height, "above the ground".into()),
        fact(
            "Mass",
            figures.total_mass.map_or_else(not_known, |mass| format::mass(mass.g())),
            figures.heaviest_part.map_or_else(String::new, |mass| {
                format!("the heaviest part {}", format::mass(mass.g()))
            }),
        ),
    ]
}

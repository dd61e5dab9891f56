//! The pages of the main question: ask, answer, telescopes.

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::answer_page::AnswerPage;
use super::ask_form::{Checked, Eyes, Typed};
use super::ask_page::{AskForm, AskPage, Who};
use super::discreet::Telling;
use super::present::Presenter;
use super::reading_page::ReadingPage;
use super::search::{self, Ask, AskedEyes, SearchError};
use crate::eye::Observer;
use crate::kit::{Question, Usage};
use crate::lending::cautions_page::CautionsPage;
use crate::observing::sites::SiteId;
use crate::observing::{outlook, sites};
use crate::optics::Seeing;
use crate::people::access::{Account, SignedIn};
use crate::people::rights::Deed;
use crate::people::{self, MemberId, MemberState, PeopleError};
use crate::profile::{self, OwnCase};
use crate::shelf::{self, ItemId, ItemState, Kind, ShelfError};
use crate::store::Store;
use crate::web::body::{Form, Query};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;

/// How many telescopes' kits an answer page shows.
const KITS_SHOWN: usize = 4;

impl From<SearchError> for Problem {
    fn from(error: SearchError) -> Self {
        match error {
            SearchError::Unfinished(unfinished) => unfinished.into(),
            other => Self::internal(&other),
        }
    }
}

impl From<ShelfError> for Problem {
    fn from(error: ShelfError) -> Self {
        Self::internal(&error)
    }
}

impl From<PeopleError> for Problem {
    fn from(error: PeopleError) -> Self {
        Self::internal(&error)
    }
}

/// What the address of the first page may say.
#[derive(Debug, Default, Deserialize)]
#[serde(default)]
pub struct Start {
    telescope: Option<i64>,
}

/// `GET /`
///
/// # Errors
/// The database could not be read.
pub async fn ask(
    State(store): State<Store>,
    State(clock): State<Clock>,
    signed_in: SignedIn,
    Query(start): Query<Start>,
) -> Result<Response, Problem> {
    let today = clock.today();
    let typed = Typed::fresh(start.telescope, today);
    let mut form = typed.form(today);
    furnish(&store, &signed_in.account, &mut form).await?;
    if form.me.is_none() && form.members.is_empty() {
        form.who = Who::Anyone;
    }
    ask_page(&store, &signed_in, form, StatusCode::OK).await
}

/// `POST /kits`
///
/// # Errors
/// The database could not be read, or the member is not theirs to ask for.
pub async fn asked(
    State(store): State<Store>,
    State(clock): State<Clock>,
    signed_in: SignedIn,
    Form(mut typed): Form<Typed>,
) -> Result<Response, Problem> {
    let today = clock.today();
    let called = name_telescope(&store, &mut typed).await?;
    let mut form = AskForm { telescope_called: called, ..typed.form(today) };
    match typed.check(&mut form, today) {
        Ok(checked) if !typed.describes_a_person() => {
            Ok(Redirect::to(&typed.address(checked.nights)).into_response())
        }
        Ok(checked) => answer(&store, &clock, &signed_in, form, checked).await,
        Err(_) => {
            furnish(&store, &signed_in.account, &mut form).await?;
            ask_page(&store, &signed_in, form, StatusCode::UNPROCESSABLE_ENTITY).await
        }
    }
}

/// `GET /kits`
///
/// # Errors
/// The database could not be read, or the member is not theirs to ask for.
pub async fn kits(
    State(store): State<Store>,
    State(clock): State<Clock>,
    signed_in: SignedIn,
    Query(mut typed): Query<Typed>,
) -> Result<Response, Problem> {
    // What describes a person belongs in no address, so such an address is not answered.
    if typed.describes_a_person() {
        return Ok(Redirect::to("/").into_response());
    }
    let today = clock.today();
    let called = name_telescope(&store, &mut typed).await?;
    let mut form = AskForm { telescope_called: called, ..typed.form(today) };
    if let Ok(checked) = typed.check(&mut form, today) {
        return answer(&store, &clock, &signed_in, form, checked).await;
    }
    furnish(&store, &signed_in.account, &mut form).await?;
    ask_page(&store, &signed_in, form, StatusCode::UNPROCESSABLE_ENTITY).await
}

/// `GET /help/reading`
pub async fn reading(signed_in: SignedIn) -> ReadingPage {
    ReadingPage { frame: signed_in.visit.frame("How to read an answer").at(Place::Help) }
}

/// `GET /help/cautions`
pub async fn cautions(signed_in: SignedIn) -> CautionsPage {
    CautionsPage { frame: signed_in.visit.frame("Cautions").at(Place::Help) }
}

async fn ask_page(
    store: &Store,
    signed_in: &SignedIn,
    form: AskForm,
    status: StatusCode,
) -> Result<Response, Problem> {
    let mut conn = store.reader().acquire().await?;
    let kinds = [Kind::Telescope, Kind::Eyepiece, Kind::Barlow];
    let [telescopes, eyepieces, barlows] = shelf::how_many_in_service(&mut conn, kinds).await?;
    let page = AskPage {
        frame: signed_in.visit.frame("Find a kit").at(Place::Kits).returning_to("/"),
        form,
        shelf: format!(
            "On the shelf: {}, {} and {}.",
            format::count(telescopes, "telescope", "telescopes"),
            format::count(eyepieces, "eyepiece", "eyepieces"),
            format::count(barlows, "Barlow", "Barlows"),
        ),
    };
    Ok((status, private(page)).into_response())
}

/// Looks up the telescope that was typed, where there are too many to choose from, and makes it the
/// choice; gives the field back where it names none that can be lent.
async fn name_telescope(store: &Store, typed: &mut Typed) -> Result<Option<Field>, Problem> {
    let words = typed.telescope_called().to_owned();
    if words.is_empty() {
        return Ok(None);
    }
    let mut conn = store.reader().acquire().await?;
    let refused = match shelf::one_called(&mut conn, Kind::Telescope, &words).await? {
        Ok(item) if item.state == ItemState::InService => {
            typed.choose_telescope(item.id.0);
            return Ok(None);
        }
        Ok(item) => {
            format!("{} {}: name another telescope, or none.", item.tag, item.state.words())
        }
        Err(why) => why.to_string(),
    };
    Ok(Some(Field::refused(words, refused)))
}

/// Answers to a person stay out of shared caches.
fn private(page: impl IntoResponse) -> impl IntoResponse {
    ([(header::CACHE_CONTROL, "no-store")], page)
}

/// Fills in whom and what one may choose.
async fn furnish(store: &Store, account: &Account, form: &mut AskForm) -> Result<(), Problem> {
    let mut conn = store.reader().acquire().await?;
    form.me = account.member.map(|id| Choice::new(id.to_string(), account.name.clone()));
    if account.roles.may(Deed::AskForMember) {
        form.members = people::members(&mut conn)
            .await?
            .into_iter()
            .filter(|member| member.facts.state == MemberState::Active)
            .map(|member| Choice::new(member.id.to_string(), member.facts.name.to_string()))
            .collect();
        form.members.sort_by(|a, b| a.label.cmp(&b.label));
    }
    if form.member.value.is_empty()
        && let Some(me) = &form.me
    {
        form.member.value.clone_from(&me.value);
    }
    form.sites = sites::sites(&mut conn)
        .await?
        .into_iter()
        .map(|kept| {
            let site = kept.site;
            Choice::new(kept.id.to_string(), format!("{}, {}", site.name, site.sky.in_words()))
        })
        .collect();
    if let (true, Some(usual)) = (form.site.value.is_empty(), form.sites.first()) {
        form.site.value.clone_from(&usual.value);
    }
    match shelf::telescopes_to_choose(&mut conn).await? {
        Some(all) => {
            form.telescopes = all
                .into_iter()
                .filter(|item| item.state == ItemState::InService)
                .map(|item| Choice::new(item.id.to_string(), format!("{} {}", item.tag, item.name)))
                .collect();
        }
        None if form.telescope_called.is_none() => {
            let chosen = form.telescope.value.parse().map(ItemId);
            let named = shelf::names(&mut conn, &Vec::from_iter(chosen)).await?;
            let tag = named.first().map(|item| Field::of(item.tag.as_str()));
            form.telescope_called = Some(tag.unwrap_or_default());
        }
        None => {}
    }
    Ok(())
}

/// Whose eyes, in the words of a sentence, and the question about them.
pub struct Whose {
    /// "Ines Aldous", "these eyes".
    pub name: String,
    /// The question about them.
    pub question: Question,
    /// What they own.
    pub own: OwnCase,
    /// How an answer speaks of them to whoever asks.
    pub telling: Telling,
}

impl Whose {
    /// Eyes of nobody on the list.
    pub(super) fn nobodys(name: &str, question: Question) -> Self {
        Self { name: name.into(), question, own: OwnCase::default(), telling: Telling::Plainly }
    }
}

/// Looks up a member's eyes, where this account may ask for them.
///
/// # Errors
/// 404 where the member is not there or not this account's to ask for.
pub(super) async fn member_question(
    store: &Store,
    clock: &Clock,
    account: &Account,
    member: i64,
    seeing: Option<Seeing>,
) -> Result<Whose, Problem> {
    account.must_be_able_to_ask_for(MemberId(member))?;
    let mut conn = store.reader().acquire().await?;
    let Some(record) = people::member(&mut conn, MemberId(member)).await? else {
        return Err(Problem::not_found("There is no such member.")
            .next("Choose one from the list.")
            .way("Ask again", "/"));
    };
    let eyes = people::member_eye(&mut conn, record.id).await?;
    let observer: Observer = eyes.observer(clock.today().year());
    let own = profile::own_case(&mut conn, record.id).await?;
    Ok(Whose {
        name: record.facts.name.to_string(),
        question: Question { observer, seeing, usage: Usage::Night, tonight: None },
        own,
        telling: if account.member == Some(record.id) {
            Telling::Plainly
        } else {
            Telling::Discreetly
        },
    })
}

async fn answer(
    store: &Store,
    clock: &Clock,
    signed_in: &SignedIn,
    mut form: AskForm,
    checked: Checked,
) -> Result<Response, Problem> {
    let eyes = match (&checked.eyes, form.who) {
        (Eyes::Member(id), _) => AskedEyes::Member(*id),
        (Eyes::Asked(_), Who::Anyone) => AskedEyes::Anyone,
        (Eyes::Asked(_), _) => AskedEyes::Described,
    };
    let whose = match checked.eyes {
        Eyes::Member(id) => {
            member_question(store, clock, &signed_in.account, id, checked.seeing).await?
        }
        Eyes::Asked(question) => {
            let name = match form.who {
                Who::Anyone => "anyone who comes",
                _ => "these eyes",
            };
            Whose::nobodys(name, *question)
        }
    };
    let ask = Ask {
        question: whose.question,
        nights: checked.nights,
        site: checked.site.map(SiteId),
        telescope: checked.telescope.map(ItemId),
        max_eyepieces: checked.max_eyepieces,
        limit: KITS_SHOWN,
        own: whose.own,
        telling: whose.telling,
        eyes,
    };
    let found = search::search(store, &ask).await?;
    furnish(store, &signed_in.account, &mut form).await?;
    let nights = format::nights(ask.nights.first().evening(), ask.nights.last().evening());
    let presenter = Presenter::new(&found, &ask, &whose.name);
    let mut frame = signed_in.visit.frame("Your kit").at(Place::Kits);
    if form.who == Who::Described {
        frame = frame.returning_to("/");
    }
    let sky = found.sky.as_ref().map_or_else(Vec::new, |sky| outlook::words(&sky.outlook));
    let closed = presenter.closed();
    let page = AnswerPage {
        sky,
        sky_change: presenter.changed_by_sky(),
        next_nights: if closed.is_some() { presenter.next_nights() } else { Vec::new() },
        closed,
        frame,
        headline: presenter.headline(),
        asked: match &found.sky {
            Some(sky) => format!("For {}, {nights}, at {}.", whose.name, sky.site.name),
            None => format!("For {}, {nights}.", whose.name),
        },
        outcome: presenter.outcome(),
        left_out: presenter.left_out(),
        proof: presenter.proof(),
        form,
    };
    Ok(private(page).into_response())
}

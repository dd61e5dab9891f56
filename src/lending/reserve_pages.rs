//! Reserving on a page: look it over, tap once.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Redirect, Response};
use serde::Deserialize;

use super::api_answer::tell_of;
use super::booking::reserve as reserve_it;
use super::door::{act, known_site, may_see, note, tonight};
use super::form_once::{FormKey, fresh};
use super::model::{LendingError, NotReserved, Origin, Wish};
use super::night::Nights;
use super::openings::openings;
use super::wait_list::Wanted;
use crate::observing::sites;
use crate::people::access::{Account, SignedIn};
use crate::people::rights::Deed;
use crate::people::{self, MemberId, MemberState};
use crate::shelf::{self, ItemId, ItemName};
use crate::store::Store;
use crate::web::body::{Form, Query};
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;

/// Other nights that would work.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Opening {
    /// "Friday 12 to Sunday 14 June 2026".
    pub label: String,
    /// The page with these nights filled in.
    pub address: String,
}

/// The page on which one reserves.
#[derive(Template, WebTemplate)]
#[template(path = "lending/reserve.html")]
pub struct ReservePage {
    /// The frame.
    pub frame: Frame,
    /// The pieces: tag and name.
    pub pieces: Vec<(String, String)>,
    /// Their numbers, as the form carries them.
    pub items: String,
    /// The first night.
    pub from: Field,
    /// The last night.
    pub to: Field,
    /// Whom a quartermaster may choose; empty for everybody else.
    pub members: Vec<Choice>,
    /// The chosen one.
    pub member: String,
    /// Where it is to be used: the club's sites, the usual one first.
    pub sites: Vec<Choice>,
    /// The chosen one.
    pub site: String,
    /// Whether anything is to be used by day.
    pub daylight: bool,
    /// This form's own id.
    pub once: String,
    /// What stands in the way.
    pub refusal: Option<String>,
    /// When it would work.
    pub openings: Vec<Opening>,
    /// The nights to wait for, where that may help.
    pub wait: Option<(String, String)>,
    /// What one may wait for in place of a piece that is taken: its number, and what it is called.
    pub likes: Vec<(i64, String)>,
}

/// What the form and its address carry.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Typed {
    items: String,
    from: String,
    to: String,
    member: String,
    daylight: String,
    site: String,
    once: String,
}

impl Typed {
    fn ids(&self) -> Vec<ItemId> {
        let numbers = self.items.split([',', ' ']).filter_map(|part| part.parse().ok());
        let mut ids: Vec<ItemId> = numbers.map(ItemId).collect();
        ids.sort_unstable();
        ids.dedup();
        ids.truncate(Wish::MOST_ITEMS + 1);
        ids
    }

    fn address(&self, nights: Nights) -> String {
        let ids: Vec<String> = self.ids().iter().map(ToString::to_string).collect();
        let (items, first, last) = (ids.join(","), nights.first(), nights.last());
        let site = match self.site.trim().parse::<i64>() {
            Ok(site) => format!("&site={site}"),
            Err(_) => String::new(),
        };
        format!("/reserve?items={items}&from={first}&to={last}{site}")
    }
}

async fn page(store: &Store, who: &SignedIn, typed: &Typed) -> Result<ReservePage, Problem> {
    let mut conn = store.reader().acquire().await?;
    let ids = typed.ids();
    let names: Vec<ItemName> = shelf::names(&mut conn, &ids).await.map_err(LendingError::from)?;
    if names.is_empty() {
        return Err(Problem::not_found("Nothing is chosen that the club lends.")
            .next("Find a kit, or look at the telescopes, and reserve from there.")
            .way("Find a kit", "/")
            .way("Telescopes", "/telescopes"));
    }
    let account: &Account = &who.account;
    let mut members = Vec::new();
    if account.roles.may(Deed::RunDesk) {
        members = people::members(&mut conn)
            .await?
            .into_iter()
            .filter(|member| member.facts.state == MemberState::Active)
            .map(|member| Choice::new(member.id.to_string(), member.facts.name.to_string()))
            .collect();
    }
    let sites: Vec<Choice> = sites::sites(&mut conn)
        .await
        .map_err(|error| Problem::internal(&error))?
        .into_iter()
        .map(|kept| Choice::new(kept.id.to_string(), kept.site.name.to_string()))
        .collect();
    let me = account.member.map(|id| id.to_string()).unwrap_or_default();
    let ids: Vec<String> = names.iter().map(|item| item.id.to_string()).collect();
    let mut pieces: Vec<&ItemName> = names.iter().collect();
    pieces.sort_by_key(|item| (item.kind, item.id));
    Ok(ReservePage {
        frame: who.visit.frame("Reserve").at(Place::Kits),
        pieces: pieces.iter().map(|item| (item.tag.to_string(), item.name.clone())).collect(),
        items: ids.join(","),
        from: Field::of(&*typed.from),
        to: Field::of(&*typed.to),
        members,
        member: if typed.member.is_empty() { me } else { typed.member.clone() },
        site: sites
            .iter()
            .find(|site| site.value == typed.site.trim())
            .or_else(|| sites.first())
            .map_or_else(String::new, |site| site.value.clone()),
        sites,
        daylight: !typed.daylight.is_empty(),
        once: fresh()?,
        refusal: None,
        openings: Vec::new(),
        wait: None,
        likes: Vec::new(),
    })
}

/// `GET /reserve`: what is about to be reserved.
///
/// # Errors
/// 404 where nothing of the club's is named.
pub async fn form(
    State(store): State<Store>,
    who: SignedIn,
    Query(typed): Query<Typed>,
) -> Result<ReservePage, Problem> {
    page(&store, &who, &typed).await
}

/// `POST /reserve`
///
/// # Errors
/// The database could not answer, or the member is not theirs to reserve for.
pub async fn reserve(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Form(typed): Form<Typed>,
) -> Result<Response, Problem> {
    let first = typed.from.trim().parse();
    let last = typed.to.trim().parse();
    let nights = match (first, last) {
        (Ok(first), Ok(last)) => Nights::new(first, last)
            .map_err(|why| Slip { to: Some(why.to_string()), ..Slip::default() }),
        (first, last) => Err(Slip {
            from: first.err().map(|why: super::NotANight| why.to_string()),
            to: last.err().map(|why: super::NotANight| why.to_string()),
            ..Slip::default()
        }),
    };
    let nights = match nights {
        Ok(nights) => nights,
        Err(slip) => return refused(&store, &who, &typed, slip).await,
    };
    let account = &who.account;
    let chosen = typed.member.trim().parse().ok().map(MemberId).or(account.member);
    let member = chosen.filter(|member| may_see(account, *member)).ok_or_else(|| {
        Problem::not_found("There is no such member, or you can't reserve for them.")
            .next("Reserve for yourself, or ask the quartermaster.")
    })?;
    let act = act(account, member, &clock)?;
    let ids = typed.ids();
    let mut tx = store.write_together().await?;
    let site = known_site(&mut tx, typed.site.trim().parse().ok()).await?;
    let key = match FormKey::begin(&mut tx, &clock, account.id, &typed.once).await? {
        Ok(key) => key,
        Err(done) => {
            tx.let_settle().await?;
            return Ok(Redirect::to(&done).into_response());
        }
    };
    let wish = Wish {
        member,
        items: ids.clone(),
        nights,
        origin: Origin::Asked,
        asked_at: clock.now(),
        tonight: act.tonight,
        daylight: !typed.daylight.is_empty(),
        site,
        doer: act.doer,
    };
    match reserve_it(&mut tx, &wish).await {
        Ok(made) => {
            let id = made.id;
            let desk = account.member != Some(member);
            let place =
                if desk { format!("/desk/{id}") } else { format!("/mine/{id}?done=reserved") };
            note(&mut tx, (account, who.actor()), member, "reservation made", id).await?;
            tell_of(&mut tx, &clock, &made).await?;
            key.keep(&mut tx, &place).await?;
            tx.commit().await?;
            Ok(Redirect::to(&place).into_response())
        }
        Err(NotReserved::Failed(error)) => Err(error.into()),
        Err(why) => {
            // Where the refusal was found: what is told of other nights belongs to the same moment.
            let found = if why.nights_help() {
                openings(&mut tx, &ids, nights, tonight(&clock)?).await?
            } else {
                Vec::new()
            };
            drop(tx);
            let openings: Vec<Opening> = found
                .into_iter()
                .filter(|opening| *opening != nights)
                .map(|opening| Opening {
                    label: format::nights(opening.first().evening(), opening.last().evening()),
                    address: typed.address(opening),
                })
                .collect();
            let own = account.member == Some(member);
            let wait = (own && matches!(why, NotReserved::Clashes(_)))
                .then(|| (nights.first().to_string(), nights.last().to_string()));
            let likes = if wait.is_some() { likes(&store, &why).await? } else { Vec::new() };
            let slip =
                Slip { likes, refusal: Some(why.to_string()), openings, wait, ..Slip::default() };
            refused(&store, &who, &typed, slip).await
        }
    }
}

/// What is wrong with a form, or stands in its way.
#[derive(Debug, Default)]
struct Slip {
    from: Option<String>,
    to: Option<String>,
    refusal: Option<String>,
    openings: Vec<Opening>,
    wait: Option<(String, String)>,
    likes: Vec<(i64, String)>,
}

/// How many pieces are offered to be waited for in place of others.
const MOST_LIKES: usize = 4;

/// What would do in place of the pieces that clash.
async fn likes(store: &Store, why: &NotReserved) -> Result<Vec<(i64, String)>, Problem> {
    let NotReserved::Clashes(clashes) = why else { return Ok(Vec::new()) };
    let ids: Vec<ItemId> = clashes.iter().map(|clash| clash.item).collect();
    let mut conn = store.reader().acquire().await?;
    let names = shelf::names(&mut conn, &ids).await.map_err(LendingError::from)?;
    let mut found: Vec<(i64, String)> = names
        .iter()
        .filter_map(|item| {
            let label = match Wanted::any_like(item)? {
                Wanted::Any(kind, Some(_)) => format!("any {} like {}", kind.word(), item.tag),
                _ => format!("any {}", item.kind.word()),
            };
            Some((item.id.0, label))
        })
        .collect();
    found.truncate(MOST_LIKES);
    Ok(found)
}

/// The form again, with everything that was typed.
async fn refused(
    store: &Store,
    who: &SignedIn,
    typed: &Typed,
    slip: Slip,
) -> Result<Response, Problem> {
    let mut page = page(store, who, typed).await?;
    page.frame = page.frame.returning_to("/mine");
    page.from.error = slip.from;
    page.to.error = slip.to;
    let clashes = slip.refusal.is_some();
    page.refusal = slip.refusal;
    page.openings = slip.openings;
    page.wait = slip.wait;
    page.likes = slip.likes;
    let status = if clashes { StatusCode::CONFLICT } else { StatusCode::UNPROCESSABLE_ENTITY };
    Ok((status, page).into_response())
}

/// The page of reserving.
#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, frame};
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = |refusal: Option<&str>| ReservePage {
            frame: frame("Reserve", scheme).at(Place::Kits),
            pieces: vec![
                ("T-007".into(), "Orchard 8-inch".into()),
                ("E-031".into(), "25 mm <script>alert(1)</script>".into()),
            ],
            items: "7,31".into(),
            from: Field::of("2026-06-05"),
            to: Field::of("2026-06-07"),
            members: vec![Choice::new("7", "Ines Aldous"), Choice::new("8", "Noor El-Bakri")],
            member: "7".into(),
            sites: vec![Choice::new("1", "Windmill Hill"), Choice::new("2", "Moor <b>end</b>")],
            site: "2".into(),
            daylight: false,
            once: "0123".into(),
            refusal: refusal.map(Into::into),
            wait: refusal.map(|_| ("2026-06-05".into(), "2026-06-07".into())),
            likes: vec![(7, "any telescope".into()), (31, "any eyepiece like E-031".into())],
            openings: vec![Opening {
                label: "Friday 12 to Sunday 14 June 2026".into(),
                address: "/reserve?items=7,31&from=2026-06-12&to=2026-06-14".into(),
            }],
        };
        let taken = "T-007 is taken on 2026-06-06: choose other nights or other items.";
        vec![Sample::of("reserve", &page(None)), Sample::of("reserve-refused", &page(Some(taken)))]
    }
}

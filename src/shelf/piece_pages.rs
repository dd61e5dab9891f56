//! `/shelf/{tag}`: everything about one piece, and what to do with it next.

use std::collections::HashMap;

use axum::extract::State;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::asked::{asked, label, shown};
use super::belongings;
use super::care::upkeep;
use super::count;
use super::doubts::Doubtful;
use super::finding::tagged;
use super::item::{AssetTag, ItemId, ItemState, Kind};
use super::kinds::for_kind;
use super::page::{CarePart, LifePage, PhotosPart, PiecePage, UpkeepRow, Way};
use super::papers::{papers, set_parts};
use super::photos::photos;
use super::piece_coming::{coming, promises, with_replacements};
use super::piece_life::{life, shown_photos};
use super::standing::Tonight;
use super::store::{self, ItemName, ShelfError};
use super::table::{Tabular, cells_of};
use crate::lending::Night;
use crate::lending::door::tonight;
use crate::people::access::{Account, SignedIn};
use crate::people::rights::Deed;
use crate::people::{MemberId, names};
use crate::shelf::FilterKind;
use crate::store::Store;
use crate::web::body::{Path, Query};
use crate::web::clock::Clock;
use crate::web::field::Field;
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;

impl AssetTag {
    /// The address of the page of the piece that bears it.
    pub fn page(&self) -> String {
        // Of all that a tag may hold only the stroke means something in an address.
        format!("/shelf/{}", self.as_str().replace('/', "%2F"))
    }
}

/// How many moments of its life a piece's own page tells.
const MOMENTS: usize = 12;

/// How many moments a page of its whole life tells.
const MOMENTS_AT_LENGTH: usize = 100;

/// The piece with this tag.
///
/// # Errors
/// 404 where there is none.
pub(super) async fn named(conn: &mut SqliteConnection, tag: &str) -> Result<ItemName, Problem> {
    let found = match AssetTag::new(tag) {
        Ok(tag) => tagged(conn, &tag).await?,
        Err(_) => None,
    };
    found.ok_or_else(no_such_tag)
}

fn no_such_tag() -> Problem {
    Problem::not_found("Nothing on the shelf bears this tag.")
        .next("Look at the label again, or find the piece by its name.")
        .way("The shelf", "/shelf")
}

/// What a deed leads back with: `/shelf/E-012?done=saved`.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    done: String,
}

impl Told {
    fn notice(&self) -> Option<String> {
        let says = match self.done.as_str() {
            "saved" => "Saved.",
            "noted" => "Noted.",
            "condition" => {
                "Noted. Reservations that count on it stay, and stand under its coming nights."
            }
            "photos" => "The photos are kept.",
            "photo-gone" => "The photo is gone.",
            "added" => "It is on the shelf. Put its label on.",
            _ => return None,
        };
        Some(says.into())
    }
}

/// `GET /shelf/{tag}`
///
/// # Errors
/// 404 where nothing bears this tag, or the database could not be read.
pub async fn one(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    Query(told): Query<Told>,
) -> Result<PiecePage, Problem> {
    page_of(&store, &clock, &who, &tag, &told).await
}

/// The page of a piece as it is now.
///
/// # Errors
/// 404 where nothing bears this tag, or the database could not be read.
pub(super) async fn page_of(
    store: &Store,
    clock: &Clock,
    who: &SignedIn,
    tag: &str,
    told: &Told,
) -> Result<PiecePage, Problem> {
    let night = tonight(clock)?;
    let account = &who.account;
    // What changes between two of its questions stands in the life that the next look tells.
    let mut conn = store.reader().acquire().await?;
    let (item, there) = belongings::of(&mut conn, tag).await?.ok_or_else(no_such_tag)?;
    let pictures = if there.photos { photos(&mut conn, &[item.id]).await? } else { Vec::new() };
    let told_of = (&item, &*pictures, there.inspections);
    let life = life(&mut conn, account, told_of, clock.zone(), (i64::MAX, MOMENTS)).await?;
    let promises = promises(&mut conn, &item, night).await?;
    let hands = life.outing_now.as_ref().and_then(|outing| outing.hands(item.id));
    let calendar = Tonight::of_one(hands, &promises, night);
    let (summary, mut facts, notes, doubts) =
        for_kind!(item.kind, T => figures::<T>(&mut conn, &item).await?);
    if there.papers {
        facts.extend(paper_facts(&mut conn, account, &item).await?);
    }
    let set = if there.set { set_parts(&mut conn, &[item.id]).await? } else { Vec::new() };
    let keeper = account.roles.may(Deed::KeepShelf);
    let coming = coming(&mut conn, account, &item, promises).await?;
    let care =
        if keeper { Some(care_part(&mut conn, clock, &item, coming.len()).await?) } else { None };
    let mut page = PiecePage {
        frame: who.visit.frame(&*item.name).at(Place::Shelf).returning_to(item.tag.page()),
        tag: item.tag.to_string(),
        kind: format::sentence_case(item.kind.word()),
        summary,
        standing: calendar.standing(item.id, item.state, night),
        with: with_whom(&mut conn, account, &calendar, &item).await?,
        notice: told.notice(),
        doubts: if keeper { doubts } else { Vec::new() },
        ways: ways(account, &calendar, &item, night),
        work: if keeper { work(&item) } else { Vec::new() },
        facts,
        notes,
        photos: PhotosPart {
            page: if keeper { item.tag.page() } else { String::new() },
            all: shown_photos(&pictures, &item, clock.zone()),
            wrong: None,
        },
        set: set.into_iter().map(|(_, what)| what).collect(),
        to_count: keeper && to_count(&mut conn, item.id).await?,
        coming: Vec::new(),
        care,
        life: life.moments,
        whole_life: life.earlier.map(|_| format!("{}/life", item.tag.page())),
    };
    // Not while a search is made.
    drop(conn);
    page.coming = with_replacements((store, clock), account, &item, coming).await?;
    Ok(page)
}

/// `?before=` of a life's page.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Earlier {
    before: String,
}

/// `GET /shelf/{tag}/life`: all that happened to a piece, stretch by stretch.
///
/// # Errors
/// 404 where nothing bears this tag, or the database could not be read.
pub async fn whole_life(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Path(tag): Path<String>,
    Query(asked): Query<Earlier>,
) -> Result<LifePage, Problem> {
    let mut tx = store.reader().begin().await?;
    let item = named(&mut tx, &tag).await?;
    let pictures = photos(&mut tx, &[item.id]).await?;
    // What is no instant is now.
    let before = asked.before.parse().ok();
    let stretch = (before.unwrap_or(i64::MAX), MOMENTS_AT_LENGTH);
    let life = life(&mut tx, &who.account, (&item, &pictures, true), clock.zone(), stretch).await?;
    let page = item.tag.page();
    Ok(LifePage {
        frame: who.visit.frame(format!("The life of {}", item.tag)).at(Place::Shelf),
        name: item.name.clone(),
        life: life.moments,
        earlier: life.earlier.map(|before| format!("{page}/life?before={before}")),
        from_now: before.is_none(),
        page,
    })
}

type Figures = (String, Vec<(String, String)>, String, Vec<String>);

async fn figures<T: Tabular + Doubtful>(
    conn: &mut SqliteConnection,
    item: &ItemName,
) -> Result<Figures, Problem> {
    let record = T::this(conn, item.id).await?.ok_or(ShelfError::NotThere)?;
    let cells: HashMap<&str, String> = cells_of(&record.facts, &record.figures)
        .into_iter()
        .map(|(column, cell)| (column, cell.plain()))
        .collect();
    let facts = asked(T::KIND)
        .iter()
        .filter(|one| !matches!(one.column, "asset_tag" | "name" | "notes"))
        .filter_map(|one| {
            let value = cells.get(one.column).filter(|value| !value.is_empty())?;
            Some((one.label.to_owned(), shown(T::KIND, one.column, value)))
        })
        .collect();
    let doubts = record.figures.doubts().into_iter().map(|doubt| doubt.says).collect();
    let summary = format::sentence_case(&record.figures.summary());
    Ok((summary, facts, record.facts.notes.to_string(), doubts))
}

/// What the papers say: where it lives and who gave it to everybody, the rest to the desk.
async fn paper_facts(
    conn: &mut SqliteConnection,
    account: &Account,
    item: &ItemName,
) -> Result<Vec<(String, String)>, Problem> {
    let papers = papers(conn, item.id).await?;
    let mut told = vec!["place", "donor"];
    let mut members = HashMap::new();
    if account.roles.may(Deed::RunDesk) {
        told = vec!["place", "owner", "custodian", "value", "donor", "serial", "bought_on"];
        members = names::of_members(conn, papers.owner.into_iter().chain(papers.custodian)).await?;
    }
    let named = |id: Option<MemberId>| {
        let name = id.map(|id| members.get(&id).cloned().unwrap_or_default());
        name.map(|name| if name.is_empty() { "a former member".to_owned() } else { name })
    };
    let fields: HashMap<&str, String> = papers.fields().into_iter().collect();
    let facts = told.into_iter().filter_map(|field| {
        let value = match field {
            "owner" => named(papers.owner),
            "custodian" => named(papers.custodian),
            _ => fields.get(field).cloned(),
        };
        Some((label(item.kind, field), value.filter(|value| !value.is_empty())?))
    });
    Ok(facts.collect())
}

/// Who has it: told to the desk and to whoever it is.
async fn with_whom(
    conn: &mut SqliteConnection,
    account: &Account,
    calendar: &Tonight,
    item: &ItemName,
) -> Result<String, Problem> {
    let Some(hands) = calendar.hands(item.id) else { return Ok(String::new()) };
    if account.member == Some(hands.member) {
        return Ok("You have it.".into());
    }
    if !account.roles.may(Deed::RunDesk) {
        return Ok(String::new());
    }
    let names = names::of_members(conn, [hands.member]).await?;
    Ok(names.get(&hands.member).map_or_else(String::new, |name| format!("{name} has it.")))
}

fn ways(account: &Account, calendar: &Tonight, item: &ItemName, night: Night) -> Vec<Way> {
    let mut ways = Vec::new();
    let mut way = |label: &str, address: String| {
        let first = ways.is_empty();
        ways.push(Way { label: label.into(), address, first });
    };
    let desk = account.roles.may(Deed::RunDesk);
    match calendar.hands(item.id) {
        Some(hands) if desk => way("Take it back", format!("/desk/{}", hands.reservation)),
        Some(hands) if account.member == Some(hands.member) => {
            way("Look at my loan", format!("/mine/{}", hands.reservation));
        }
        _ => {}
    }
    if let Some(reservation) = calendar.wanted_by(item.id).filter(|_| desk) {
        way("Hand it over", format!("/desk/{reservation}"));
    }
    if item.state == ItemState::InService {
        let (id, from) = (item.id, night);
        if item.kind == Kind::Telescope {
            way("Find a kit with it", format!("/?telescope={id}"));
        }
        way("Reserve it", format!("/reserve?items={id}&from={from}&to={from}"));
    }
    if item.kind == Kind::Telescope {
        way("Every eyepiece in it", format!("/telescopes/{}", item.id));
    }
    ways
}

/// What whoever looks after the shelf may do with it.
fn work(item: &ItemName) -> Vec<Way> {
    let (page, kind, tag) = (item.tag.page(), item.kind.as_str(), item.tag.as_str());
    let like = crate::web::query::pairs([("like", tag)]);
    let way = |label: &str, address: String| Way { label: label.into(), address, first: false };
    vec![
        way("Change what is written", format!("{page}/edit")),
        way("Owner, value, place", format!("{page}/papers")),
        way("Another one like it", format!("/stock/new/{kind}?{like}")),
    ]
}

/// Whether stock is being taken and the piece was not seen yet.
async fn to_count(conn: &mut SqliteConnection, item: ItemId) -> Result<bool, Problem> {
    let Some(going) = count::under_way(conn).await? else { return Ok(false) };
    Ok(!count::seen(conn, going.id).await?.contains(&item))
}

async fn care_part(
    conn: &mut SqliteConnection,
    clock: &Clock,
    item: &ItemName,
    coming: usize,
) -> Result<CarePart, Problem> {
    let today = clock.today();
    let solar = item.kind == Kind::Filter
        && store::filter(conn, item.id)
            .await?
            .is_some_and(|filter| filter.figures.kind == FilterKind::SolarFullAperture);
    let upkeep = upkeep(conn, Some(item.id), clock.zone()).await?;
    let counts = format::count(coming, "reservation counts", "reservations count");
    Ok(CarePart {
        page: item.tag.page(),
        counts: if coming == 0 {
            String::new()
        } else {
            format!("{} on it.", format::sentence_case(&counts))
        },
        upkeep: upkeep
            .into_iter()
            .map(|one| UpkeepRow {
                id: one.id,
                says: one.says(today),
                due: one.is_due(today),
                what: one.what,
            })
            .collect(),
        chosen: item.state.as_str().to_owned(),
        finding: Field::default(),
        day: Field::of(today.to_string()),
        photo_wrong: None,
        solar,
        open: false,
        what: Field::default(),
        months: Field::default(),
        loans: Field::default(),
        upkeep_open: false,
    })
}

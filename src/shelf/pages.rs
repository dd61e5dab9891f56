//! `/shelf`: finding a piece.

use axum::extract::State;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::browse::browse_for;
use super::choosing_one::{one_called, telescopes_to_choose};
use super::described::{choices, described};
use super::finding::{Order, Wanted};
use super::item::{AssetTag, ItemId, ItemState, Kind};
use super::page::{PieceRow, ShelfPage};
use super::standing::{self, Standing};
use super::store::{self, ItemName};
use super::suiting::Eyes;
use crate::choosing::telescope_pages::{for_whom, observers};
use crate::lending::Nights;
use crate::lending::door::tonight;
use crate::people::access::SignedIn;
use crate::people::rights::Deed;
use crate::store::Store;
use crate::web::body::Query;
use crate::web::clock::Clock;
use crate::web::field::{Choice, Field};
use crate::web::format;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::query::pairs;

/// Pieces on one page.
const A_PAGE: usize = 50;

/// What stands after the question mark of `/shelf`. Whatever is no choice of ours counts as none.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    q: String,
    kind: String,
    condition: String,
    from: String,
    to: String,
    fits: String,
    fits_called: String,
    suits: String,
    order: String,
    after: String,
    key: String,
}

impl Asked {
    fn wanted(&self) -> Wanted {
        let but_retired = || {
            let all = ItemState::ALL.iter().copied();
            all.filter(|state| *state != ItemState::Retired).collect()
        };
        Wanted {
            words: self.q.clone(),
            kind: Kind::parse(&self.kind),
            states: match ItemState::parse(&self.condition) {
                Some(state) => vec![state],
                None if self.condition == "all" => Vec::new(),
                None => but_retired(),
            },
            fits: self.fits.parse().ok().map(ItemId),
            order: Order::parse(&self.order).unwrap_or_default(),
            after: AssetTag::new(&self.after).ok(),
            after_key: self.key.clone(),
        }
    }

    /// The nights on which pieces must be free; one alone is that night.
    fn nights(&self) -> Result<Option<Nights>, String> {
        let (from, to) = (self.from.trim(), self.to.trim());
        match (from, to) {
            ("", "") => Ok(None),
            ("", one) | (one, "") => Nights::parse(one, one).map(Some),
            (from, to) => Nights::parse(from, to).map(Some),
        }
        .map_err(|why| why.to_string())
    }

    fn page(&self, after: &AssetTag, key: &str) -> String {
        let query = pairs([
            ("q", &*self.q),
            ("kind", &*self.kind),
            ("condition", &*self.condition),
            ("from", &*self.from),
            ("to", &*self.to),
            ("fits", &*self.fits),
            ("suits", &*self.suits),
            ("order", &*self.order),
            ("after", after.as_str()),
            ("key", key),
        ]);
        format!("/shelf?{query}")
    }
}

/// `GET /shelf`
///
/// # Errors
/// The database could not be read.
pub async fn list(
    State(store): State<Store>,
    State(clock): State<Clock>,
    who: SignedIn,
    Query(mut asked): Query<Asked>,
) -> Result<Response, Problem> {
    let night = tonight(&clock)?;
    let whose = match asked.suits.as_str() {
        "" => None,
        wanted => Some(if let Some(eyes) = described(wanted) {
            eyes
        } else {
            let (_, whose) = for_whom(&store, &clock, &who.account, wanted).await?;
            (whose.name, whose.question)
        }),
    };
    let mut tx = store.reader().begin().await?;
    let telescopes = telescopes_to_choose(&mut tx).await?;
    let fits_called = name_telescope(&mut tx, &mut asked, telescopes.as_deref()).await?;
    let wanted = asked.wanted();
    let eyes = match &whose {
        None => None,
        Some((_, question)) => Some(Eyes::at(&mut tx, question.clone(), wanted.fits).await?),
    };
    let (nights, wrong) = match asked.nights() {
        Ok(nights) => (nights, None),
        Err(why) => (None, Some(why)),
    };
    let found = browse_for(&mut tx, wanted, nights, eyes.as_ref(), A_PAGE).await?;
    let ids: Vec<ItemId> = found.items.iter().map(|item| item.id).collect();
    let calendar = standing::tonight(&mut tx, &ids, night).await?;
    let mut lines = standing::summaries(&mut tx, &found.items).await?;
    let pieces: Vec<PieceRow> = found
        .items
        .iter()
        .map(|item| PieceRow {
            address: item.tag.page(),
            tag: item.tag.to_string(),
            name: item.name.clone(),
            summary: lines.remove(&item.id).unwrap_or_default(),
            standing: match nights {
                // Whoever asked for other nights does not care where it is tonight.
                Some(_) => Standing { words: "Free then".into(), alarming: false },
                None => calendar.standing(item.id, item.state, night),
            },
        })
        .collect();
    let says = says(
        pieces.len(),
        found.next.is_some(),
        &asked,
        nights,
        whose.as_ref().map(|(name, _)| &**name),
    );
    let mut observers = observers(&mut tx, &who.account).await?;
    // Nobody's eyes in particular come before the members'.
    observers.splice(1..1, choices());
    let refused = wrong.is_some() || fits_called.error.is_some();
    let status = if refused { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    let mut from = Field::of(&*asked.from);
    if let Some(why) = wrong {
        from.refuse(why);
    }
    let page = ShelfPage {
        frame: who.visit.frame("The shelf").at(Place::Shelf),
        q: Field::of(&*asked.q),
        narrowed: [
            &asked.kind,
            &asked.condition,
            &asked.from,
            &asked.to,
            &asked.fits,
            &fits_called.value,
            &asked.suits,
            &asked.order,
        ]
        .iter()
        .any(|one| !one.is_empty()),
        more: found.next.map(|tag| asked.page(&tag, &found.next_key)),
        kind: asked.kind,
        condition: asked.condition,
        from,
        to: Field::of(asked.to),
        fits: asked.fits,
        telescopes: telescopes.map(|all| {
            all.iter().map(|one| Choice::new(one.id.to_string(), one.name.clone())).collect()
        }),
        fits_called,
        suits: asked.suits,
        observers,
        order: asked.order,
        pieces,
        says,
        keeper: who.account.roles.may(Deed::KeepShelf),
    };
    Ok((status, page).into_response())
}

/// The telescope that pieces must fit, as a field to be typed in where there are too many to choose
/// from; what was typed there becomes the choice.
async fn name_telescope(
    conn: &mut SqliteConnection,
    asked: &mut Asked,
    choices: Option<&[ItemName]>,
) -> Result<Field, Problem> {
    let typed = asked.fits_called.trim().to_owned();
    if !typed.is_empty() {
        asked.fits.clear();
        return Ok(match one_called(conn, Kind::Telescope, &typed).await? {
            Ok(item) => {
                asked.fits = item.id.to_string();
                Field::of(typed)
            }
            Err(why) if choices.is_none() => Field::refused(typed, why.to_string()),
            // Nobody typed it into our form, which has a list.
            Err(_) => Field::default(),
        });
    }
    match asked.fits.parse() {
        Ok(id) if choices.is_none() => {
            let named = store::names(conn, &[ItemId(id)]).await?;
            Ok(named.first().map_or_else(Field::default, |item| Field::of(item.tag.as_str())))
        }
        _ => Ok(Field::default()),
    }
}

fn says(
    count: usize,
    more: bool,
    asked: &Asked,
    nights: Option<Nights>,
    whose: Option<&str>,
) -> String {
    let free = nights.map_or_else(String::new, |nights| {
        format!(", free on {}", format::nights(nights.first().evening(), nights.last().evening()))
    });
    let free = match whose {
        Some(whose) => format!("{free}, fit for {whose}"),
        None => free,
    };
    match (count, more) {
        (0, _) if asked.q.trim().is_empty() => {
            format!("Nothing on the shelf is like that{free}.")
        }
        (0, _) => {
            format!("Nothing is called that{free}. Try fewer words, or only their beginnings.")
        }
        (count, true) => format!("The first {count}{free}."),
        (count, false) => {
            format!("{}{free}.", format::sentence_case(&format::count(count, "piece", "pieces")))
        }
    }
}

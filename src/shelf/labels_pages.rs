//! `/stock/labels`: sheets of labels to print.

use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::finding::{Wanted, find, tagged};
use super::item::{AssetTag, ItemState, Kind};
use super::labels::{Label, Sheet, print};
use super::stock_page::LabelsPage;
use super::store::ItemName;
use crate::people::access::SignedIn;
use crate::store::Store;
use crate::web::body::Query;
use crate::web::field::Field;
use crate::web::frame::Place;
use crate::web::problem::Problem;
use crate::web::site::Site;

/// The most labels of one file.
const MOST: usize = 2000;

/// What stands after the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Asked {
    tags: String,
    kind: String,
    sheet: String,
    skip: String,
}

fn page(who: &SignedIn, tags: Field, kind: &str) -> LabelsPage {
    let frame = who.visit.frame("Labels").at(Place::Shelf).returning_to("/stock/labels");
    LabelsPage { frame, tags, kind: kind.to_owned() }
}

/// `GET /stock/labels`
pub async fn form(who: SignedIn, Query(asked): Query<Asked>) -> LabelsPage {
    page(&who, Field::of(asked.tags), &asked.kind)
}

/// `GET /stock/labels.pdf`
///
/// # Errors
/// The database could not be read. What can't be printed is said on the form's page.
pub async fn pdf(
    State(store): State<Store>,
    State(site): State<Site>,
    who: SignedIn,
    Query(asked): Query<Asked>,
) -> Result<Response, Problem> {
    let mut tx = store.reader().begin().await?;
    let pieces = match wanted(&mut tx, &asked).await? {
        Ok(pieces) => pieces,
        Err(why) => {
            let page = page(&who, Field::refused(&*asked.tags, why), &asked.kind);
            return Ok((StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
        }
    };
    drop(tx);
    let labels: Vec<Label> = pieces
        .into_iter()
        .map(|item| Label {
            address: site.link(&item.tag.page()),
            tag: item.tag.to_string(),
            name: item.name,
        })
        .collect();
    let skip = asked.skip.trim().parse::<usize>().unwrap_or(1).saturating_sub(1);
    let (sheet, club) = (Sheet::named(&asked.sheet), site.club.to_string());
    // Two thousand codes take a while: not on a thread that serves others.
    let bytes = tokio::task::spawn_blocking(move || print(sheet, &club, &labels, skip))
        .await
        .map_err(|why| Problem::internal(&why))?;
    let headers = [
        (header::CONTENT_TYPE, "application/pdf"),
        (header::CONTENT_DISPOSITION, "inline; filename=\"labels.pdf\""),
        (header::CACHE_CONTROL, "no-store"),
    ];
    Ok((headers, bytes).into_response())
}

async fn wanted(
    conn: &mut SqliteConnection,
    asked: &Asked,
) -> Result<Result<Vec<ItemName>, String>, Problem> {
    let mut pieces = Vec::new();
    for word in asked.tags.split([' ', ',', ';', '\n', '\r', '\t']).filter(|word| !word.is_empty())
    {
        let found = match AssetTag::new(word) {
            Ok(tag) => tagged(conn, &tag).await?,
            Err(_) => None,
        };
        match found {
            Some(item) => pieces.push(item),
            None => return Ok(Err(format!("Nothing on the shelf bears the tag {word}."))),
        }
        if pieces.len() > MOST {
            return Ok(Err(format!("That is more than {MOST} labels: print them in parts.")));
        }
    }
    if pieces.is_empty() {
        let but_retired = ItemState::ALL.iter().copied();
        let states = but_retired.filter(|state| *state != ItemState::Retired).collect();
        let wanted = Wanted { kind: Kind::parse(&asked.kind), states, ..Wanted::default() };
        pieces = find(conn, &wanted, MOST + 1).await?;
    }
    match pieces.len() {
        0 => Ok(Err("There is nothing of this kind on the shelf yet.".to_owned())),
        many if many > MOST => {
            Ok(Err(format!("That is more than {MOST} labels: choose a kind, or write the tags.")))
        }
        _ => Ok(Ok(pieces)),
    }
}

//! The nights for which a piece is spoken for, and what would do instead where it can't go out.

use std::collections::HashMap;

use sqlx::SqliteConnection;

use super::item::ItemState;
use super::page::{Coming, Instead};
use super::store::ItemName;
use crate::choosing::replacement;
use crate::lending::of_piece::borrowers;
use crate::lending::reading::{Whole, whole};
use crate::lending::{self, Night, Nights, Promise};
use crate::people::access::Account;
use crate::people::names;
use crate::people::rights::Deed;
use crate::store::Store;
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::problem::Problem;

/// How far the coming nights are told.
const NIGHTS_AHEAD: i32 = 365;

/// For how many reservations a replacement is looked for: each is a search of its own.
const MOST_REPLACED: usize = 5;

/// The promises of the year to come.
pub(super) async fn promises(
    conn: &mut SqliteConnection,
    item: &ItemName,
    night: Night,
) -> Result<Vec<Promise>, Problem> {
    let until = night.later(NIGHTS_AHEAD).unwrap_or(night);
    let ahead = Nights::new(night, until).map_err(|why| Problem::internal(&why))?;
    Ok(lending::promises(conn, &[item.id], ahead).await?)
}

/// These promises as the page tells them; with each reservation that a broken piece was promised to
/// and this reader may know of, that.
pub(super) async fn coming(
    conn: &mut SqliteConnection,
    account: &Account,
    item: &ItemName,
    promises: Vec<Promise>,
) -> Result<Vec<(Coming, Option<Whole>)>, Problem> {
    let desk = account.roles.may(Deed::RunDesk);
    let ids = promises.iter().filter_map(|one| one.reservation);
    let borrowers = borrowers(conn, ids).await?;
    let names = if desk && !borrowers.is_empty() {
        names::of_members(conn, borrowers.values().copied()).await?
    } else {
        HashMap::new()
    };
    let mut all = Vec::new();
    for promise in promises {
        let (first, last) = (promise.nights.first(), promise.nights.last());
        let mut one = Coming {
            nights: format::nights(first.evening(), last.evening()),
            who: String::new(),
            address: None,
            instead: None,
        };
        let mut broken = None;
        match promise.reservation {
            None => one.who = "Kept by the club".into(),
            Some(id) => {
                let member = borrowers.get(&id);
                if member.is_some() && account.member.as_ref() == member {
                    one.who = "You".into();
                    one.address = Some(format!("/mine/{id}"));
                } else if desk {
                    one.who = member.and_then(|id| names.get(id)).cloned().unwrap_or_default();
                    one.address = Some(format!("/desk/{id}"));
                }
                if desk && item.state != ItemState::InService {
                    broken = whole(conn, id).await?;
                }
            }
        }
        all.push((one, broken));
    }
    Ok(all)
}

/// Puts the best replacement beside each reservation that counts on a piece out of service, the
/// next ones first; for the desk, which can give it with one tap.
pub(super) async fn with_replacements(
    (store, clock): (&Store, &Clock),
    account: &Account,
    item: &ItemName,
    coming: Vec<(Coming, Option<Whole>)>,
) -> Result<Vec<Coming>, Problem> {
    let mut looked = 0;
    let mut all = Vec::with_capacity(coming.len());
    for (mut one, whole) in coming {
        if let Some(whole) = whole.filter(|_| looked < MOST_REPLACED) {
            looked += 1;
            let best = replacement::best(store, clock, account, &whole, item.id, &[]).await?;
            one.instead =
                Some(Instead { swap: format!("/desk/{}/swap", whole.id), item: item.id.0, best });
        }
        all.push(one);
    }
    Ok(all)
}

//! The nights for which a piece is spoken for, and what would do instead where it can't go out.

use sqlx::SqliteConnection;

use super::item::ItemState;
use super::page::{Coming, Instead};
use super::store::ItemName;
use crate::choosing::replacement;
use crate::lending::reading::{Whole, whole};
use crate::lending::{self, Night, Nights};
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

/// The promises of the year to come; with each reservation that this reader may know of, that.
pub(super) async fn coming(
    conn: &mut SqliteConnection,
    account: &Account,
    item: &ItemName,
    night: Night,
) -> Result<Vec<(Coming, Option<Whole>)>, Problem> {
    let until = night.later(NIGHTS_AHEAD).unwrap_or(night);
    let ahead = Nights::new(night, until).map_err(|why| Problem::internal(&why))?;
    let promises = lending::promises(conn, &[item.id], ahead).await?;
    let desk = account.roles.may(Deed::RunDesk);
    let mut all = Vec::new();
    for promise in promises {
        let (first, last) = (promise.nights.first(), promise.nights.last());
        let mut one = Coming {
            nights: format::nights(first.evening(), last.evening()),
            who: String::new(),
            address: None,
            instead: None,
        };
        let mut known = None;
        match promise.reservation {
            None => one.who = "Kept by the club".into(),
            Some(id) => {
                let found = whole(conn, id).await?;
                known = found.filter(|w| desk || account.member == Some(w.member));
                if let Some(whole) = &known {
                    if account.member == Some(whole.member) {
                        one.who = "You".into();
                        one.address = Some(format!("/mine/{id}"));
                    } else {
                        let names = names::of_members(conn, [whole.member]).await?;
                        one.who = names.get(&whole.member).cloned().unwrap_or_default();
                        one.address = Some(format!("/desk/{id}"));
                    }
                }
            }
        }
        all.push((one, known));
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
    let broken = item.state != ItemState::InService && account.roles.may(Deed::RunDesk);
    let mut looked = 0;
    let mut all = Vec::with_capacity(coming.len());
    for (mut one, whole) in coming {
        if let Some(whole) = whole.filter(|_| broken && looked < MOST_REPLACED) {
            looked += 1;
            let best = replacement::best(store, clock, account, &whole, item.id, &[]).await?;
            one.instead =
                Some(Instead { swap: format!("/desk/{}/swap", whole.id), item: item.id.0, best });
        }
        all.push(one);
    }
    Ok(all)
}

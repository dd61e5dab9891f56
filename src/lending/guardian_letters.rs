//! What a young member's guardian is told of a loan, beside the member.

use jiff::ToSpan;

use super::letters::{News, pieces, send};
use super::model::LendingError;
use super::reading::Whole;
use crate::people::guardian::{Standing, standing};
use crate::people::{self, PeopleError};
use crate::post::{Letter, Message, Reader};
use crate::store::WriteTx;
use crate::web::clock::Clock;
use crate::web::format;

/// Writes to the guardian of a young borrower what is due or overdue, where an address is written
/// down. Of anything else the borrower alone is told.
///
/// # Errors
/// The database refused.
pub(super) async fn tell_guardian(
    tx: &mut WriteTx,
    clock: &Clock,
    whole: &Whole,
    news: News,
) -> Result<(), LendingError> {
    if !matches!(news, News::Due | News::Overdue(_)) {
        return Ok(());
    }
    let Standing::Minor { guardian: Some(guardian), .. } =
        standing(tx, whole.member, clock.today()).await?
    else {
        return Ok(());
    };
    if guardian.email.is_none() {
        return Ok(());
    }
    let member = people::member(tx, whole.member).await?.ok_or(PeopleError::NotThere)?;
    let back = format::night(whole.nights.last().evening().saturating_add(1.day()));
    let message = Message {
        to: Reader::Guardian(whole.member),
        kind: news.kind(),
        // Nobody else reminds them, and they have no page on which to find it.
        weight: news.weight(),
        key: format!("{} guardian", news.key(whole)),
        letter: letter(news, member.facts.name.as_str(), &back).lists(pieces(whole)).says(END),
        not_before: None,
        not_after: None,
    };
    send(tx, clock, &message).await
}

const END: &str = "You get this because you consented to these loans. If you want no such letters, \
                   tell a quartermaster of the club.";

fn letter(news: News, name: &str, back: &str) -> Letter {
    match news {
        News::Overdue(1) => Letter::about(format!("{name}’s loan is overdue")).says(format!(
            "{name} borrowed these from the club, and they were due back on {back}. Please help them to bring everything back today, or call the quartermaster:"
        )),
        News::Overdue(_) => Letter::about(format!("{name}’s loan is long overdue")).says(format!(
            "{name} borrowed these from the club. They were due back on {back}, and others wait for them. Please call the quartermaster:"
        )),
        _ => Letter::about(format!("{name}’s loan is due tomorrow")).says(format!(
            "{name} borrowed these from the club, and tonight is the last night. Please help them to bring everything back on {back}:"
        )),
    }
}

//! What lending writes to members, each letter once.

use jiff::ToSpan;

use super::guardian_letters::tell_guardian;
use super::model::{LendingError, ReservationId};
use super::night::Night;
use super::reading::{Whole, whole};
use super::wait_list::Place;
use super::waiting_pages::instant;
use crate::people::account;
use crate::people::rights::Role;
use crate::post::{self, Letter, Message, PostError, Reader, Weight};
use crate::shelf::{self, ItemId};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::format;

/// What there is to tell.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum News {
    /// Everything is reserved.
    Reserved,
    /// The pieces are kept, and a quartermaster has to agree.
    Requested,
    /// A quartermaster agreed.
    Approved,
    /// A quartermaster did not agree.
    Declined,
    /// Nobody answered in time.
    Expired,
    /// Nobody came to fetch it.
    NotFetched,
    /// The last night but one has come.
    DueSoon,
    /// The last night has come.
    Due,
    /// So many nights late.
    Overdue(i32),
}

impl News {
    pub(super) const fn kind(self) -> &'static str {
        match self {
            Self::Reserved | Self::Requested => "reservation-made",
            Self::Approved | Self::Declined | Self::Expired => "reservation-answered",
            Self::NotFetched => "reservation-not-fetched",
            Self::DueSoon => "loan-due-soon",
            Self::Due => "loan-due",
            Self::Overdue(_) => "loan-overdue",
        }
    }

    pub(super) const fn weight(self) -> Weight {
        match self {
            Self::DueSoon => Weight::Useful,
            _ => Weight::Essential,
        }
    }

    fn word(self) -> String {
        match self {
            Self::Overdue(nights) => format!("overdue {nights}"),
            other => format!("{other:?}").to_lowercase(),
        }
    }

    /// The last night is in it, so that an extended loan is reminded of anew.
    pub(super) fn key(self, whole: &Whole) -> String {
        format!("reservation {} {} {}", whole.id, self.word(), whole.nights.last())
    }

    fn letter(self, nights: &str, back: &str) -> Letter {
        let letter = |subject: &str, says: String| Letter::about(subject).says(says);
        match self {
            Self::Reserved => letter(
                "Your reservation is confirmed",
                format!("These are reserved for you, {nights}:"),
            ),
            Self::Requested => letter(
                "Your reservation waits for approval",
                format!("These are kept for you, {nights}, until a quartermaster has answered:"),
            ),
            Self::Approved => letter(
                "Your reservation is approved",
                format!("A quartermaster agreed. These are reserved for you, {nights}:"),
            ),
            Self::Declined => letter(
                "Your reservation was declined",
                format!(
                    "A quartermaster could not agree to this reservation, {nights}. Ask them why; other nights or pieces may do."
                ),
            ),
            Self::Expired => letter(
                "Your reservation was not answered in time",
                format!(
                    "Nobody answered this request, {nights}, and the pieces are free again. Please ask the quartermaster, or reserve anew."
                ),
            ),
            Self::NotFetched => letter(
                "Your reservation was not fetched",
                format!(
                    "Nobody came for these, {nights}, so they are free again. If you still want them, reserve anew; if you know early that you can't come, cancel, so that others can:"
                ),
            ),
            Self::DueSoon => letter(
                "Your loan is due soon",
                format!(
                    "Please bring these back on {back}, or extend the loan while nobody waits for them:"
                ),
            ),
            Self::Due => letter(
                "Your loan is due tomorrow",
                format!("Tonight is the last night. Please bring these back on {back}:"),
            ),
            Self::Overdue(1) => letter(
                "Your loan is overdue",
                format!(
                    "These were due back on {back}. Please bring them back today, or call the quartermaster:"
                ),
            ),
            Self::Overdue(_) => letter(
                "Your loan is long overdue",
                format!(
                    "These were due back on {back}, and others wait for them. Until they are back nothing else can be reserved. Please call the quartermaster:"
                ),
            ),
        }
    }
}

/// Writes a letter to the member whose reservation it is, in the caller's transaction.
///
/// # Errors
/// The database refused.
pub async fn tell(
    tx: &mut WriteTx,
    clock: &Clock,
    id: ReservationId,
    news: News,
) -> Result<(), LendingError> {
    let whole = whole(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    tell_about(tx, clock, &whole, news).await
}

/// The same of a reservation that was read already.
///
/// # Errors
/// The database refused.
pub(super) async fn tell_about(
    tx: &mut WriteTx,
    clock: &Clock,
    whole: &Whole,
    news: News,
) -> Result<(), LendingError> {
    send(tx, clock, &message(whole, news)).await?;
    tell_guardian(tx, clock, whole, news).await
}

/// Writes a letter down, once for its key.
///
/// # Errors
/// The database refused.
pub(super) async fn send(
    tx: &mut WriteTx,
    clock: &Clock,
    message: &Message,
) -> Result<(), LendingError> {
    match post::queue(tx, clock, message).await {
        Ok(_) => Ok(()),
        Err(PostError::NotALetter(fault)) => {
            Err(LendingError::unreadable("A letter about a reservation", fault))
        }
        Err(PostError::Store(StoreError::Database(error))) => Err(error.into()),
        Err(PostError::Store(error)) => Err(error.into()),
    }
}

/// Writes to whoever waited that something is held for them.
///
/// # Errors
/// The database refused.
pub(super) async fn tell_offer(
    tx: &mut WriteTx,
    clock: &Clock,
    place: &Place,
    items: &[ItemId],
    until: i64,
) -> Result<(), LendingError> {
    let names = shelf::names(tx, items).await?;
    let pieces: Vec<String> =
        names.iter().map(|item| format!("{} {}", item.tag, item.name)).collect();
    let nights = format::nights(place.nights.first().evening(), place.nights.last().evening());
    let end = instant(until, clock);
    let letter = Letter::about("What you waited for is held for you")
        .says(format!("These became free, {nights}, and are held for you until {end}:"))
        .lists(pieces)
        .says("Take it or leave it to the next: after that time they are offered on.")
        .leads_to("Take it or leave it", "/mine");
    let message = Message {
        to: Reader::Member(place.member),
        kind: "waiting-offer",
        weight: Weight::Essential,
        key: format!("offer {} {until}", place.id.0),
        letter,
        not_before: None,
        not_after: jiff::Timestamp::from_second(until).ok(),
    };
    send(tx, clock, &message).await
}

/// Asks the borrower to sign on a page of their own; once for these pieces and this day.
///
/// # Errors
/// The database refused.
pub(super) async fn ask_to_sign(
    tx: &mut WriteTx,
    clock: &Clock,
    whole: &Whole,
    tonight: Night,
) -> Result<(), LendingError> {
    let (first, last) = (whole.nights.first().evening(), whole.nights.last().evening());
    let nights = format::nights(first, last);
    let letter = Letter::about("Please sign for your loan")
        .says(format!("These are ready for you, {nights}:"))
        .lists(pieces(whole))
        .says("Read the cautions and sign now, and the hand-over takes a minute.")
        .leads_to("Read and sign", format!("/mine/{}/sign", whole.id));
    let message = Message {
        to: Reader::Member(whole.member),
        kind: "loan-to-sign",
        weight: Weight::Essential,
        key: format!("sign {} {} {tonight}", whole.id, whole.version),
        letter,
        not_before: None,
        not_after: None,
    };
    send(tx, clock, &message).await
}

/// Tells everybody at the desk that a borrower can't find pieces.
///
/// # Errors
/// The database refused.
pub(super) async fn tell_desk_of_missing(
    tx: &mut WriteTx,
    clock: &Clock,
    whole: &Whole,
    items: &[ItemId],
    says: &str,
) -> Result<(), LendingError> {
    let lost = whole.lines.iter().filter(|line| items.contains(&line.item.id));
    let pieces: Vec<String> =
        lost.map(|line| format!("{} {}", line.item.tag, line.item.name)).collect();
    let ids: Vec<String> = items.iter().map(ToString::to_string).collect();
    let mut letter = Letter::about("A borrower can't find something")
        .says("These are reported missing and are out of service now:")
        .lists(pieces);
    let says = says.trim();
    if !says.is_empty() {
        letter = letter.says(format!("The borrower writes: {says}"));
    }
    let letter = letter.leads_to("To the loan", format!("/desk/{}", whole.id));
    for account in account::with_role(tx, Role::Quartermaster).await? {
        let key = format!("missing {} {} {account}", whole.id, ids.join(","));
        let message = Message {
            to: Reader::Account(account),
            kind: "piece-missing",
            weight: Weight::Essential,
            key: key.chars().take(200).collect(),
            letter: letter.clone(),
            not_before: None,
            not_after: None,
        };
        send(tx, clock, &message).await?;
    }
    Ok(())
}

/// The pieces of a reservation, by tag and name.
pub(super) fn pieces(whole: &Whole) -> Vec<String> {
    whole.lines.iter().map(|line| format!("{} {}", line.item.tag, line.item.name)).collect()
}

fn message(whole: &Whole, news: News) -> Message {
    let (first, last) = (whole.nights.first().evening(), whole.nights.last().evening());
    let back = last.saturating_add(1.day());
    Message {
        to: Reader::Member(whole.member),
        kind: news.kind(),
        weight: news.weight(),
        key: news.key(whole),
        letter: news
            .letter(&format::nights(first, last), &format::night(back))
            .lists(pieces(whole))
            .leads_to("See it", format!("/mine/{}", whole.id)),
        not_before: None,
        not_after: None,
    }
}

//! Who is told that a reservation is at risk, and of loans that stay away: each once.

use std::collections::BTreeMap;

use super::letters::send;
use super::model::{LendingError, ReservationId};
use super::night::Night;
use super::reading::{Whole, whole};
use super::risk::{Risk, at_risk};
use super::waiting::offer;
use crate::people::account;
use crate::people::rights::Role;
use crate::post::{Letter, Message, Reader, Weight};
use crate::store::WriteTx;
use crate::web::clock::Clock;
use crate::web::format;

/// What follows when nights may have become free or a piece may be missing where it is promised:
/// the next on the waiting list is asked, and those whose reservation is at risk are told.
///
/// # Errors
/// The database refused; then drop the transaction.
pub async fn settle(tx: &mut WriteTx, clock: &Clock, tonight: Night) -> Result<(), LendingError> {
    offer(tx, clock, tonight).await?;
    let mut by_reservation: BTreeMap<ReservationId, Vec<Risk>> = BTreeMap::new();
    for risk in at_risk(tx, tonight).await? {
        by_reservation.entry(risk.reservation).or_default().push(risk);
    }
    if by_reservation.is_empty() {
        return Ok(());
    }
    let desk = account::with_role(tx, Role::Quartermaster).await?;
    for (id, risks) in by_reservation {
        let whole = whole(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
        for message in about_risk(&whole, &risks, &desk) {
            send(tx, clock, &message).await?;
        }
    }
    Ok(())
}

/// The letters to the borrower and to everybody at the desk.
fn about_risk(whole: &Whole, risks: &[Risk], desk: &[i64]) -> Vec<Message> {
    let nights = format::nights(whole.nights.first().evening(), whole.nights.last().evening());
    let says: Vec<String> = risks.iter().map(Risk::says).collect();
    let items: Vec<String> = risks.iter().map(|risk| risk.item.id.to_string()).collect();
    // The pieces are in it, so that one more is told of anew.
    let key = |reader: &str| format!("risk {} {} {reader}", whole.id, items.join(","));
    let borrower = Letter::about("A piece that you reserved may not be there")
        .says(format!("About your reservation, {nights}:"))
        .lists(says.clone())
        .says("The quartermaster knows. You can take the best replacement yourself, or wait: nothing is cancelled.")
        .leads_to("See what would do instead", format!("/mine/{}", whole.id));
    let quartermaster = Letter::about("A reservation is at risk")
        .says(format!("Reservation {}, {nights}:", whole.id))
        .lists(says)
        .says("The borrower was told. The page shows the best replacement that is free.")
        .leads_to("To the reservation", format!("/desk/{}", whole.id));
    let message = |to: Reader, reader: &str, letter: Letter| Message {
        to,
        kind: "reservation-at-risk",
        weight: Weight::Essential,
        key: key(reader).chars().take(200).collect(),
        letter,
        not_before: None,
        not_after: None,
    };
    let mut all = vec![message(Reader::Member(whole.member), "borrower", borrower)];
    for account in desk {
        let reader = format!("desk {account}");
        all.push(message(Reader::Account(*account), &reader, quartermaster.clone()));
    }
    all
}

/// Tells the desk of a loan that is a week late.
///
/// # Errors
/// The database refused.
pub async fn escalate(
    tx: &mut WriteTx,
    clock: &Clock,
    id: ReservationId,
) -> Result<(), LendingError> {
    let whole = whole(tx, id).await?.ok_or(LendingError::NoSuchReservation)?;
    let out = whole.lines.iter().filter(|line| line.state == super::machine::LineState::Out);
    let pieces: Vec<String> =
        out.map(|line| format!("{} {}", line.item.tag, line.item.name)).collect();
    let due = format::night(whole.nights.last().morning());
    let letter = Letter::about("A loan is a week late")
        .says(format!("These were due back on {due}, and two reminders did not help:"))
        .lists(pieces)
        .says("Please call the borrower.")
        .leads_to("To the loan", format!("/desk/{id}"));
    for account in account::with_role(tx, Role::Quartermaster).await? {
        let message = Message {
            to: Reader::Account(account),
            kind: "loan-escalated",
            weight: Weight::Essential,
            key: format!("escalation {id} {} {account}", whole.nights.last()),
            letter: letter.clone(),
            not_before: None,
            not_after: None,
        };
        send(tx, clock, &message).await?;
    }
    Ok(())
}

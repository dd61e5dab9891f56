//! What goes on at the demo club's desk: loans that are out, one that is late, rules, a waiting list.

use jiff::civil::Date;
use jiff::tz::TimeZone;
use jiff::{Span, ToSpan as _};

use super::DemoError;
use crate::lending::handing::{Back, Condition, HandOver, hand_over, take_back};
use crate::lending::machine::{Hat, LineState};
use crate::lending::reading::{Wanted, Whole, wholes};
use crate::lending::risk_letters::settle;
use crate::lending::rules::ItemRule;
use crate::lending::rules_store::{close_night, note_training, put_item_rule};
use crate::lending::wait_list::Wanted as WaitsFor;
use crate::lending::waiting::join;
use crate::lending::{Act, Doer, Night, Nights, ReservationState, blocks, cautions};
use crate::people::rights::Role;
use crate::people::{self, MemberId, MemberNumber, account, guardian, member_by_number};
use crate::shelf::{AssetTag, ItemId, ItemState, tagged};
use crate::store::WriteTx;
use crate::web::clock::Clock;

/// Who keeps something for too long, so that it meets the next reservation.
const LATE: &str = "M-114";

fn odd(why: impl std::fmt::Display) -> DemoError {
    DemoError::Desk(why.to_string())
}

/// Lets the desk have done its work until today; `friday` is the reference Friday, moved.
pub(super) async fn enliven(
    tx: &mut WriteTx,
    clock: &Clock,
    friday: Date,
) -> Result<(), DemoError> {
    let today = Night::new(clock.today()).map_err(odd)?;
    let desk = account::with_role(tx, Role::Quartermaster).await?.into_iter().next();
    let late = member(tx, LATE).await?;
    let wanted =
        Wanted { states: vec![ReservationState::Confirmed], most: 100, ..Wanted::default() };
    let mut all = wholes(tx, &wanted).await.map_err(odd)?;
    // What goes out later has come back before.
    all.sort_by_key(|whole| (whole.nights, whole.id));
    for whole in all {
        let usable = whole.lines.iter().all(|line| line.item.state == ItemState::InService);
        if usable && whole.nights.first() < today {
            lend(tx, &whole, desk, (today, whole.member == late)).await?;
        }
    }
    rules(tx, friday).await?;
    blocks(tx, clock, friday).await?;
    waiting(tx, clock, friday, today).await?;
    settle(tx, clock, today).await.map_err(odd)
}

/// Hands a reservation over on its first night and takes it back on the morning after its last,
/// as far as that is over.
async fn lend(
    tx: &mut WriteTx,
    whole: &Whole,
    desk: Option<i64>,
    (today, keeps): (Night, bool),
) -> Result<(), DemoError> {
    let doer = Doer { account: desk, hat: Hat::Quartermaster };
    let act = |night: Night, date: Date| -> Result<Act, DemoError> {
        let at = TimeZone::UTC.to_timestamp(date.at(18, 0, 0, 0)).map_err(odd)?.as_second();
        Ok(Act { doer, at, tonight: night, reason: String::new() })
    };
    let first = whole.nights.first();
    let minor = guardian::standing(tx, whole.member, first.evening()).await?.is_minor();
    let member = people::member(tx, whole.member).await?;
    let name = member.map_or_else(String::new, |member| member.facts.name.to_string());
    let what = HandOver {
        items: whole.items(LineState::Planned),
        signed_name: name,
        cautions_version: cautions::VERSION,
        guardian: minor.then(|| "a parent".to_owned()),
        ..HandOver::default()
    };
    hand_over(tx, whole.id, &what, &act(first, first.evening())?).await.map_err(odd)?;
    if keeps || whole.nights.last() >= today {
        return Ok(());
    }
    let good = |item: ItemId| Back { item, condition: Condition::Good, note: String::new() };
    let back: Vec<Back> = what.items.iter().copied().map(good).collect();
    let (night, day) = (whole.nights.last(), whole.nights.last().morning());
    take_back(tx, whole.id, &back, &act(night.next().unwrap_or(night), day)?).await.map_err(odd)?;
    Ok(())
}

async fn rules(tx: &mut WriteTx, friday: Date) -> Result<(), DemoError> {
    let giant = item(tx, "T-017").await?;
    let rule = ItemRule {
        needs_approval: true,
        needs_training: true,
        turnaround_nights: 1,
        ..ItemRule::default()
    };
    put_item_rule(tx, giant, rule).await.map_err(odd)?;
    let shown = Night::new(later(friday, -40)?).map_err(odd)?;
    let borrower = member(tx, "M-138").await?;
    note_training(tx, giant, borrower, shown).await.map_err(odd)?;
    for days in 42..45 {
        let night = Night::new(later(friday, days)?).map_err(odd)?;
        close_night(tx, night, "summer camp, everything goes along").await.map_err(odd)?;
    }
    Ok(())
}

async fn blocks(tx: &mut WriteTx, clock: &Clock, friday: Date) -> Result<(), DemoError> {
    let postbox = item(tx, "T-019").await?;
    let nights = nights(friday, 13, 13)?;
    let reason = "evening at the village library";
    blocks::keep_back(tx, &[postbox], nights, reason, clock.seconds()).await.map_err(odd)?;
    Ok(())
}

/// Somebody waits for what is taken, and somebody is offered what is free.
async fn waiting(
    tx: &mut WriteTx,
    clock: &Clock,
    friday: Date,
    today: Night,
) -> Result<(), DemoError> {
    for (number, tag, from, to) in [("M-130", "T-001", 7, 9), ("M-109", "T-018", 14, 16)] {
        let wanted = WaitsFor::Pieces(vec![item(tx, tag).await?]);
        let who = member(tx, number).await?;
        let nights = nights(friday, from, to)?;
        join(tx, who, &wanted, (nights, false), clock, today).await.map_err(odd)?;
    }
    Ok(())
}

async fn item(tx: &mut WriteTx, tag: &str) -> Result<ItemId, DemoError> {
    let found = tagged(tx, &AssetTag::new(tag).map_err(odd)?).await.map_err(odd)?;
    Ok(found.ok_or_else(|| odd(format!("there is no {tag}")))?.id)
}

async fn member(tx: &mut WriteTx, number: &str) -> Result<MemberId, DemoError> {
    let number = MemberNumber::new(number).map_err(odd)?;
    let found = member_by_number(tx, &number).await?;
    Ok(found.ok_or_else(|| odd("a member of the demo is not there"))?.id)
}

fn later(friday: Date, days: i32) -> Result<Date, DemoError> {
    friday.checked_add(Span::new().days(days)).map_err(odd)
}

fn nights(friday: Date, from: i32, to: i32) -> Result<Nights, DemoError> {
    let night = |days: i32| Night::new(friday.checked_add(days.days()).map_err(odd)?).map_err(odd);
    Nights::new(night(from)?, night(to)?).map_err(odd)
}

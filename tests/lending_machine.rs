//! Random sequences of everything that can happen to reservations, by everybody, against a simple
//! model of a calendar, a book of who has what and a table of allowed steps.
#![allow(clippy::unwrap_used, reason = "what a test cannot unwrap has failed it")]
#![allow(clippy::cast_possible_wrap, clippy::nonminimal_bool)] // reads as the rules are told

use std::collections::{BTreeMap, BTreeSet};

use borrowed_light::lending::booking::{change, reserve};
use borrowed_light::lending::handing::{
    Back, Condition, HandOver, extend, hand_over, report_missing, take_back,
};
use borrowed_light::lending::machine::{Event, EventKind, Hat};
use borrowed_light::lending::rules::ItemRule;
use borrowed_light::lending::rules_store::put_item_rule;
use borrowed_light::lending::{
    Act, Doer, Night, Nights, NotReserved, Origin, ReservationId, Wish, cautions, check, take_step,
};
use borrowed_light::people::account::{self, NewAccount};
use borrowed_light::people::rights::{Role, Roles};
use borrowed_light::people::{self, Email, MemberFacts, MemberId, MemberNumber, MemberState};
use borrowed_light::sheet::{Name, Notes};
use borrowed_light::shelf::{self, AssetTag, Draft, Facts, Hand, ItemId, ItemState};
use borrowed_light::store::{Store, WriteTx};
use borrowed_light::web::clock::Clock;
use jiff::Timestamp;
use jiff::tz::TimeZone;

#[path = "lending_machine/model.rs"]
mod model;

use model::{Dice, Model, Simple, allowed};

struct Club {
    _folder: tempfile::TempDir,
    store: Store,
    member: MemberId,
    items: Vec<i64>,
}

const DAY_ONE: &str = "2026-06-01";
/// The last item needs a quartermaster's approval.
const ITEMS: usize = 6;

fn night(day: i32) -> Night {
    DAY_ONE.parse::<Night>().unwrap().later(day).unwrap()
}

fn nights(first: i32, last: i32) -> Nights {
    Nights::new(night(first), night(last)).unwrap()
}

impl Club {
    async fn open() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let mut tx = store.write().await.unwrap();
        let facts = MemberFacts {
            number: MemberNumber::new("M-1").unwrap(),
            name: Name::new("Ines Aldous").unwrap(),
            email: None,
            joined: None,
            state: MemberState::Active,
        };
        let member = people::add_member(&mut tx, &facts).await.unwrap();
        // Whoever acts here has the first account: the shelf's history points at it.
        let clock = Clock::standing_at(Timestamp::UNIX_EPOCH, TimeZone::UTC);
        let (email, roles) = (Email::new("ines@example.org").unwrap(), Roles::of([Role::Member]));
        let new = NewAccount { member: Some(member), name: "Ines", email: &email, roles: &roles };
        assert_eq!(account::add(&mut tx, &clock, &new).await.unwrap(), 1);
        let mut items = Vec::new();
        for n in 1..=ITEMS {
            items.push(Self::item(&mut tx, n).await);
        }
        let rule = ItemRule { needs_approval: true, ..ItemRule::default() };
        put_item_rule(&mut tx, ItemId(items[ITEMS - 1]), rule).await.unwrap();
        tx.commit().await.unwrap();
        Self { _folder: folder, store, member, items }
    }

    async fn item(tx: &mut WriteTx, n: usize) -> i64 {
        let facts = Facts {
            tag: AssetTag::new(&format!("B-{n}")).unwrap(),
            name: Name::new("2× Barlow").unwrap(),
            state: ItemState::InService,
            acquired: None,
            notes: Notes::default(),
        };
        let factor = borrowed_light::optics::BarlowFactor::new(2.0).unwrap();
        let figures = borrowed_light::optics::Barlow::new(factor);
        shelf::add(tx, Hand::of_nobody(0), &Draft { facts, figures }).await.unwrap().0
    }
}

fn some(dice: &mut Dice, items: &[i64]) -> Vec<i64> {
    items.iter().copied().filter(|_| dice.below(2) == 0).collect()
}

fn ids(items: &[i64]) -> Vec<ItemId> {
    items.iter().copied().map(ItemId).collect()
}

#[tokio::test]
#[allow(clippy::cognitive_complexity)]
async fn whatever_happens_nothing_is_promised_twice_and_nothing_gets_lost() {
    let club = Club::open().await;
    let mut dice = Dice(11);
    let mut model = Model::default();
    let mut reached: BTreeSet<&str> = BTreeSet::new();
    let (mut taken, mut refused) = (BTreeMap::new(), BTreeMap::new());
    let kinds = [
        EventKind::Approve,
        EventKind::Decline,
        EventKind::Expire,
        EventKind::Change,
        EventKind::Cancel,
        EventKind::Prepare,
        EventKind::HandOver,
        EventKind::HandOver,
        EventKind::NoShow,
        EventKind::Extend,
        EventKind::Return,
        EventKind::Return,
        EventKind::Missing,
    ];
    let hats = [Hat::Owner, Hat::Quartermaster, Hat::Quartermaster, Hat::Timer, Hat::Stranger];
    for round in 0..1500_i32 {
        let today = round / 30;
        let hat = dice.pick(&hats);
        let mut act = Act {
            doer: Doer { account: Some(1), hat },
            at: i64::from(round),
            tonight: night(today),
            reason: String::new(),
        };
        let first = today + dice.below(4) as i32;
        let last = first + dice.below(3) as i32;
        let mut tx = club.store.write().await.unwrap();
        if dice.below(3) == 0 || model.reservations.is_empty() {
            act.doer.hat = Hat::Owner;
            let wanted = some(&mut dice, &club.items);
            let wish = Wish {
                member: club.member,
                items: ids(&wanted),
                nights: nights(first, last),
                origin: Origin::Asked,
                asked_at: Timestamp::from_second(act.at).unwrap(),
                tonight: act.tonight,
                daylight: false,
                site: None,
                doer: act.doer,
            };
            let overdue =
                model.reservations.values().any(|one| one.state == "out" && one.last < today);
            let fine = !wanted.is_empty()
                && !overdue
                && model.free(&wanted, first, last, -1)
                && wanted.iter().all(|item| !model.idle.contains(item));
            let outcome = reserve(&mut tx, &wish).await;
            assert_eq!(outcome.is_ok(), fine, "{wanted:?} {first}..{last}: {outcome:?}");
            if let Ok(made) = outcome {
                let id = made.id.0;
                tx.commit().await.unwrap();
                model.keep(id, &wanted, first, last);
                let let_down = model.reservations.values().filter(|one| one.let_down).count();
                let asks = wanted.contains(&club.items[ITEMS - 1]) || let_down >= 3;
                let state = if asks { "requested" } else { "confirmed" };
                reached.insert(state);
                let lines = wanted.into_iter().map(|item| (item, "planned")).collect();
                model
                    .reservations
                    .insert(id, Simple { state, lines, first, last, let_down: false });
            }
            continue;
        }
        // The latest are the likeliest to be open still.
        let known: Vec<i64> = model.reservations.keys().rev().take(6).copied().collect();
        let open: Vec<i64> = model
            .reservations
            .iter()
            .filter(|(_, one)| one.state == "out")
            .map(|(id, _)| *id)
            .chain(known)
            .collect();
        let id = dice.pick(&open);
        let before = model.reservations[&id].clone();
        let mut kind = dice.pick(&kinds);
        if kind == EventKind::Missing && model.idle.len() > 2 {
            // Or the shelf is soon empty.
            kind = EventKind::Return;
        }
        let lines_in = |state: &str| -> Vec<i64> {
            before.lines.iter().filter(|(_, is)| **is == state).map(|(item, _)| *item).collect()
        };
        let mut fine = allowed(kind, before.state, hat);
        let rid = ReservationId(id);
        let mut after = before.clone();
        let outcome: Result<(), NotReserved> = match kind {
            EventKind::HandOver => {
                let named = some(&mut dice, &lines_in("planned"));
                let early = today < before.first;
                let start = if early { today } else { before.first };
                fine = fine
                    && !named.is_empty()
                    && today <= before.last
                    && (!early || model.free(&named, start, before.last, id))
                    && named.iter().all(|item| !model.idle.contains(item))
                    && named.iter().all(|item| !model.hands.contains_key(item));
                after.state = "out";
                after.first = start;
                for (item, line) in &mut after.lines {
                    if *line == "planned" {
                        *line = if named.contains(item) { "out" } else { "dropped" };
                    }
                }
                let what = HandOver {
                    items: ids(&named),
                    signed_name: "Ines".into(),
                    cautions_version: cautions::VERSION,
                    ..HandOver::default()
                };
                hand_over(&mut tx, rid, &what, &act).await.map(|_| ())
            }
            EventKind::Return | EventKind::Missing => {
                let named = some(&mut dice, &lines_in("out"));
                fine = fine && !named.is_empty();
                let to = if kind == EventKind::Return { "returned" } else { "missing" };
                for item in &named {
                    after.lines.insert(*item, to);
                }
                let left = after.lines.values().any(|line| *line == "out");
                after.state = if left { "out" } else { "closed" };
                if kind == EventKind::Return {
                    let good = |item: &i64| Back {
                        item: ItemId(*item),
                        condition: Condition::Good,
                        note: String::new(),
                    };
                    let pieces: Vec<Back> = named.iter().map(good).collect();
                    take_back(&mut tx, rid, &pieces, &act).await.map(|_| ())
                } else {
                    report_missing(&mut tx, rid, &ids(&named), &act).await.map(|_| ())
                }
            }
            EventKind::Change => {
                let wanted = some(&mut dice, &club.items);
                let overdue =
                    model.reservations.values().any(|one| one.state == "out" && one.last < today);
                let asks = before.state == "confirmed"
                    && hat == Hat::Owner
                    && (wanted.contains(&club.items[ITEMS - 1])
                        || model.reservations.values().filter(|one| one.let_down).count() >= 3);
                fine = fine
                    && !wanted.is_empty()
                    && !(overdue && hat == Hat::Owner)
                    && !asks
                    && !(hat == Hat::Owner && today > before.first)
                    && model.free(&wanted, first, last, id)
                    && wanted.iter().all(|item| !model.idle.contains(item));
                (after.first, after.last) = (first, last);
                after.lines.values_mut().for_each(|line| *line = "dropped");
                after.lines.extend(wanted.iter().map(|item| (*item, "planned")));
                change(&mut tx, rid, &ids(&wanted), nights(first, last), &act).await.map(|_| ())
            }
            EventKind::Extend => {
                after.last = before.last + 1 + dice.below(3) as i32;
                let out = lines_in("out");
                let late = hat == Hat::Owner && before.last < today;
                fine = fine
                    && !late
                    && (hat == Hat::Quartermaster || after.last - after.first < 31)
                    && model.free(&out, before.first, after.last, id);
                extend(&mut tx, rid, night(after.last), &act).await.map(|_| ())
            }
            _ => {
                after.state = match kind {
                    EventKind::Approve => "confirmed",
                    EventKind::Prepare => "ready",
                    EventKind::Cancel => "cancelled",
                    EventKind::NoShow => "no_show",
                    _ => "declined",
                };
                after.let_down = match kind {
                    EventKind::NoShow => true,
                    EventKind::Cancel => hat == Hat::Owner && today >= before.first,
                    _ => before.let_down,
                };
                take_step(&mut tx, rid, &Event::whole(kind), &act).await.map(|_| ())
            }
        };
        assert_eq!(
            outcome.is_ok(),
            fine,
            "round {round}: {kind:?} by {hat:?} of {id}, {}: {outcome:?}",
            before.state
        );
        if outcome.is_err() {
            *refused.entry(kind.as_str()).or_insert(0) += 1;
            continue;
        }
        tx.commit().await.unwrap();
        *taken.entry(kind.as_str()).or_insert(0) += 1;
        reached.insert(after.state);
        let all: Vec<i64> = after.lines.keys().copied().collect();
        let back: Vec<i64> = after
            .lines
            .iter()
            .filter(|(_, line)| matches!(**line, "returned" | "missing"))
            .map(|(item, _)| *item)
            .collect();
        let whole: Vec<i64> = all.iter().copied().filter(|item| !back.contains(item)).collect();
        model.forget(id, &whole, i32::MIN);
        model.forget(id, &back, today);
        if matches!(after.state, "requested" | "confirmed" | "ready" | "out") {
            let kept: Vec<i64> = after
                .lines
                .iter()
                .filter(|(_, line)| matches!(**line, "planned" | "out"))
                .map(|(item, _)| *item)
                .collect();
            model.keep(id, &kept, after.first, after.last);
        }
        for (item, line) in &after.lines {
            match *line {
                "out" => drop(model.hands.insert(*item, id)),
                "returned" if before.lines.get(item) == Some(&"out") => {
                    assert_eq!(model.hands.remove(item), Some(id), "a lost piece");
                }
                "missing" => drop(model.idle.insert(*item)),
                _ => {}
            }
        }
        model.reservations.insert(id, after);
        if round % 25 == 0 {
            let mut conn = club.store.reader().acquire().await.unwrap();
            assert_eq!(check::faults(&mut conn).await.unwrap(), Vec::<String>::new());
        }
    }
    let mut conn = club.store.reader().acquire().await.unwrap();
    assert_eq!(check::faults(&mut conn).await.unwrap(), Vec::<String>::new());
    for state in
        ["requested", "confirmed", "ready", "declined", "cancelled", "no_show", "out", "closed"]
    {
        assert!(reached.contains(state), "{state} was never reached: {reached:?}");
    }
    for kind in kinds {
        assert!(taken.contains_key(kind.as_str()), "{kind:?} was never taken: {taken:?}");
        assert!(refused.contains_key(kind.as_str()), "{kind:?} was never refused: {refused:?}");
    }
}

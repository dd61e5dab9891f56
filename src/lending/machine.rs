//! What may become of a reservation: every state, every step and who may take it. Pure; every
//! door (page, API, table, timer) goes through [`step`], and the stored state is the fold of the
//! stored events.

use std::collections::BTreeMap;
use std::fmt;

use super::model::ReservationState as State;
use super::night::Nights;
use crate::shelf::ItemId;

/// How far one item of a reservation has come.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum LineState {
    /// Promised, still in store.
    Planned,
    /// With the borrower.
    Out,
    /// Back.
    Returned,
    /// Reported missing.
    Missing,
    /// Not taken along after all.
    Dropped,
}

impl LineState {
    /// Every state.
    pub const ALL: [Self; 5] =
        [Self::Planned, Self::Out, Self::Returned, Self::Missing, Self::Dropped];

    /// The name on the wire and in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Planned => "planned",
            Self::Out => "out",
            Self::Returned => "returned",
            Self::Missing => "missing",
            Self::Dropped => "dropped",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|state| state.as_str() == name)
    }
}

/// What can happen to a reservation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash, PartialOrd, Ord)]
pub enum EventKind {
    /// Asked for, and to be approved.
    Request,
    /// Asked for and promised at once.
    Book,
    /// A quartermaster agrees.
    Approve,
    /// A quartermaster does not.
    Decline,
    /// Nobody answered in time.
    Expire,
    /// Other nights or other items.
    Change,
    /// Not wanted any more.
    Cancel,
    /// Laid out for the borrower.
    Prepare,
    /// Given to the borrower.
    HandOver,
    /// Nobody came.
    NoShow,
    /// Kept for longer.
    Extend,
    /// Brought back.
    Return,
    /// Not to be found.
    Missing,
    /// Found again.
    Found,
    /// A return that was noted by mistake is taken back.
    Undo,
}

impl EventKind {
    /// Every kind.
    pub const ALL: [Self; 15] = [
        Self::Request,
        Self::Book,
        Self::Approve,
        Self::Decline,
        Self::Expire,
        Self::Change,
        Self::Cancel,
        Self::Prepare,
        Self::HandOver,
        Self::NoShow,
        Self::Extend,
        Self::Return,
        Self::Missing,
        Self::Found,
        Self::Undo,
    ];

    /// The name in the database.
    pub const fn as_str(self) -> &'static str {
        match self {
            Self::Request => "request",
            Self::Book => "book",
            Self::Approve => "approve",
            Self::Decline => "decline",
            Self::Expire => "expire",
            Self::Change => "change",
            Self::Cancel => "cancel",
            Self::Prepare => "prepare",
            Self::HandOver => "hand_over",
            Self::NoShow => "no_show",
            Self::Extend => "extend",
            Self::Return => "return",
            Self::Missing => "missing",
            Self::Found => "found",
            Self::Undo => "undo",
        }
    }

    /// Reads such a name; `None` when it is not one.
    pub fn parse(name: &str) -> Option<Self> {
        Self::ALL.into_iter().find(|kind| kind.as_str() == name)
    }

    /// What it does, as the end of "… can't be".
    pub const fn done(self) -> &'static str {
        match self {
            Self::Request | Self::Book => "made again",
            Self::Approve => "approved",
            Self::Decline => "declined",
            Self::Expire => "left to expire",
            Self::Change => "changed",
            Self::Cancel => "cancelled",
            Self::Prepare => "laid out",
            Self::HandOver => "handed over",
            Self::NoShow => "noted as not fetched",
            Self::Extend => "extended",
            Self::Return => "brought back",
            Self::Missing => "reported missing",
            Self::Found => "noted as found",
            Self::Undo => "taken back",
        }
    }

    /// Who may do it.
    const fn hats(self) -> &'static [Hat] {
        match self {
            Self::Request | Self::Book | Self::Change | Self::Cancel => {
                &[Hat::Owner, Hat::Lead, Hat::Quartermaster, Hat::Record]
            }
            Self::Extend | Self::Missing => &[Hat::Owner, Hat::Quartermaster],
            Self::Expire => &[Hat::Timer],
            Self::NoShow => &[Hat::Timer, Hat::Quartermaster],
            Self::Approve
            | Self::Decline
            | Self::Prepare
            | Self::HandOver
            | Self::Return
            | Self::Found
            | Self::Undo => &[Hat::Quartermaster],
        }
    }
}

/// In what part somebody acts on a reservation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Hat {
    /// Whose reservation it is.
    Owner,
    /// An outreach lead, on a reservation of their own.
    Lead,
    /// Runs the desk.
    Quartermaster,
    /// Nobody: the time has come.
    Timer,
    /// A table from the club's records.
    Record,
    /// Somebody else's reservation.
    Stranger,
}

/// One step: what happens, to which items, for which nights.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Event {
    /// What happens.
    pub kind: EventKind,
    /// The items it is about; none where it is about the whole.
    pub items: Vec<ItemId>,
    /// The nights it sets, where it sets any.
    pub nights: Option<Nights>,
}

impl Event {
    /// A step about the whole reservation.
    pub const fn whole(kind: EventKind) -> Self {
        Self { kind, items: Vec::new(), nights: None }
    }

    /// A step about some items.
    pub fn of(kind: EventKind, items: &[ItemId]) -> Self {
        Self { kind, items: items.to_vec(), nights: None }
    }

    /// The same, setting the nights.
    #[must_use]
    pub fn on(mut self, nights: Nights) -> Self {
        self.nights = Some(nights);
        self
    }
}

/// Where a reservation stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Standing {
    /// How far the whole has come.
    pub state: State,
    /// Its nights.
    pub nights: Nights,
    /// Its items.
    pub lines: BTreeMap<ItemId, LineState>,
}

impl Standing {
    /// The items in one state.
    pub fn items(&self, state: LineState) -> Vec<ItemId> {
        self.lines.iter().filter(|(_, is)| **is == state).map(|(item, _)| *item).collect()
    }

    /// The items whose nights are kept: promised, or out.
    pub fn kept(&self) -> Vec<ItemId> {
        if !self.state.keeps_nights() {
            return Vec::new();
        }
        let kept = |is: LineState| matches!(is, LineState::Planned | LineState::Out);
        self.lines.iter().filter(|(_, is)| kept(**is)).map(|(item, _)| *item).collect()
    }
}

/// Why a step is not taken. Nothing changed then.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Forbidden {
    /// The reservation does not stand where this step begins.
    NotNow {
        /// Where it stands.
        state: State,
        /// The step.
        event: EventKind,
    },
    /// It is for others to do.
    NotYours(EventKind),
    /// The reservation has no such item.
    NotInIt(ItemId),
    /// An item does not stand where this step begins.
    LineNotNow {
        /// The item.
        item: ItemId,
        /// Where it stands.
        state: LineState,
        /// The step.
        event: EventKind,
    },
    /// The step is about items or nights, and none were named.
    Nothing(EventKind),
    /// The new last night is not later.
    NotLonger,
}

impl fmt::Display for Forbidden {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NotNow { state, event } => {
                write!(f, "This reservation is {} and can't be {}.", state.words(), event.done())
            }
            Self::NotYours(event) => {
                write!(f, "It isn't yours to say that a reservation is {}.", event.done())
            }
            Self::NotInIt(item) => write!(f, "Item {item} is not in this reservation."),
            Self::LineNotNow { item, state, event } => {
                write!(f, "Item {item} is {} and can't be {}.", state.as_str(), event.done())
            }
            Self::Nothing(event) => write!(f, "Name what is to be {}.", event.done()),
            Self::NotLonger => {
                f.write_str("The new last night must be later than the present one.")
            }
        }
    }
}

impl std::error::Error for Forbidden {}

/// Takes one step, or says why not. `before` is `None` for a reservation that is not there yet.
///
/// # Errors
/// [`Forbidden`].
pub fn step(before: Option<&Standing>, event: &Event, hat: Hat) -> Result<Standing, Forbidden> {
    use EventKind as K;
    let kind = event.kind;
    if !kind.hats().contains(&hat) {
        return Err(Forbidden::NotYours(kind));
    }
    let Some(before) = before else { return begin(event) };
    let mut after = before.clone();
    let from: &[State] = match kind {
        K::Request | K::Book => &[],
        K::Approve | K::Decline | K::Expire => &[State::Requested],
        // At the hand-over a piece may be swapped for another.
        K::Change if hat == Hat::Quartermaster => {
            &[State::Requested, State::Confirmed, State::Ready]
        }
        K::Change => &[State::Requested, State::Confirmed],
        K::Cancel => &[State::Requested, State::Confirmed, State::Ready],
        K::Prepare => &[State::Confirmed],
        K::HandOver | K::NoShow => &[State::Confirmed, State::Ready],
        K::Extend | K::Return | K::Missing => &[State::Out],
        K::Found | K::Undo => &[State::Out, State::Closed],
    };
    if !from.contains(&before.state) {
        return Err(Forbidden::NotNow { state: before.state, event: kind });
    }
    match kind {
        K::Request | K::Book => return Err(Forbidden::NotNow { state: before.state, event: kind }),
        K::Approve => after.state = State::Confirmed,
        K::Decline | K::Expire => after.state = State::Declined,
        K::Cancel => after.state = State::Cancelled,
        K::Prepare => after.state = State::Ready,
        K::NoShow => after.state = State::NoShow,
        K::Change => {
            let begun = begin(event)?;
            after.nights = begun.nights;
            // What is left out of the change stays readable.
            after.lines.values_mut().for_each(|line| *line = LineState::Dropped);
            after.lines.extend(begun.lines);
        }
        K::HandOver => {
            move_lines(&mut after, event, LineState::Planned, LineState::Out)?;
            for line in after.lines.values_mut().filter(|line| **line == LineState::Planned) {
                *line = LineState::Dropped;
            }
            if let Some(nights) = event.nights {
                after.nights = nights;
            }
            after.state = State::Out;
        }
        K::Extend => {
            let nights = event.nights.ok_or(Forbidden::Nothing(kind))?;
            if nights.first() != before.nights.first() || nights.last() <= before.nights.last() {
                return Err(Forbidden::NotLonger);
            }
            after.nights = nights;
        }
        K::Return => move_lines(&mut after, event, LineState::Out, LineState::Returned)?,
        K::Missing => move_lines(&mut after, event, LineState::Out, LineState::Missing)?,
        K::Found => move_lines(&mut after, event, LineState::Missing, LineState::Returned)?,
        K::Undo => move_lines(&mut after, event, LineState::Returned, LineState::Out)?,
    }
    if matches!(kind, K::Return | K::Missing | K::Undo) {
        let some_out = after.lines.values().any(|line| *line == LineState::Out);
        after.state = if some_out { State::Out } else { State::Closed };
    }
    Ok(after)
}

fn begin(event: &Event) -> Result<Standing, Forbidden> {
    let state = match event.kind {
        EventKind::Request => State::Requested,
        EventKind::Book | EventKind::Change => State::Confirmed,
        // Of a reservation that is not there, nothing else can be said.
        kind => return Err(Forbidden::Nothing(kind)),
    };
    let nights = event.nights.ok_or(Forbidden::Nothing(event.kind))?;
    if event.items.is_empty() {
        return Err(Forbidden::Nothing(event.kind));
    }
    let lines = event.items.iter().map(|item| (*item, LineState::Planned)).collect();
    Ok(Standing { state, nights, lines })
}

fn move_lines(
    standing: &mut Standing,
    event: &Event,
    from: LineState,
    to: LineState,
) -> Result<(), Forbidden> {
    if event.items.is_empty() {
        return Err(Forbidden::Nothing(event.kind));
    }
    for item in &event.items {
        let line = standing.lines.get_mut(item).ok_or(Forbidden::NotInIt(*item))?;
        if *line != from {
            return Err(Forbidden::LineNotNow { item: *item, state: *line, event: event.kind });
        }
        *line = to;
    }
    Ok(())
}

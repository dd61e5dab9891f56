//! The pages with sample values, rare states included.

use super::candidate::COLUMNS;
use super::candidate_page::{CandidatesPage, Shown};
use super::mine_pages::{Advice, InSet, MinePage, Set};
use super::page::{ForSale, Line, OverviewPage, ProgressPage, ReportPage};
use super::report::{Bought, Cover, Gain, Piece, Point, Report, Sold, Sought, Wish};
use crate::gallery::{Sample, signed_in};
use crate::kit::purchase::coverage::STEPS;
use crate::people::rights::Role;
use crate::sheet::{Preview, Would};
use crate::web::field::{Field, Slip};
use crate::web::frame::{Frame, Place, Scheme};

const TYPED: &str = "\"><script>alert(1)</script>";

fn piece(tag: &str) -> Piece {
    Piece { tag: tag.into(), name: format!("32 mm {TYPED}") }
}

fn point(budget_cents: u64, value: f64, proven_optimal: bool) -> Point {
    Point {
        budget_cents,
        spent_cents: budget_cents.cast_signed() - 2_000,
        value,
        bound: value + 0.01,
        proven_optimal,
        buy: vec![Bought {
            candidate: 3,
            name: format!("7 mm {TYPED}"),
            figures: "7 mm, 65° field".into(),
            condition: "used".into(),
            count: 2,
            price_cents: 16_550,
        }],
        sell: vec![Sold { piece: piece("E-019"), price_cents: 2_500 }],
        taken: vec![1],
        steps: 12,
    }
}

pub(crate) fn report() -> Report {
    let mut shares = vec![0.0; STEPS];
    for (step, share) in shares.iter_mut().enumerate() {
        *share = if (2..20).contains(&step) && step != 9 { 0.3 + step as f64 / 40.0 } else { 0.0 };
    }
    let gain =
        |what: &str, members| Gain { what: what.into(), members, before: 0.512, after: 0.547 };
    Report {
        made_on: "2026-06-05".into(),
        members: 54,
        classes: 23,
        telescopes: 23,
        pieces: 101,
        candidates: 15,
        evenings: vec!["everything in store".into(), "six eyepieces and Barlows out".into()],
        weekends: 26,
        today: 0.5312,
        points: vec![point(20_000, 0.5411, true), point(40_000, 0.5497, false)],
        groups: vec![gain("60 to 74, glasses kept on", 9), gain("All others", 6)],
        members_who_gain: 2,
        gaining_classes: Vec::new(),
        by_telescope: vec![gain("T-001 The Orchard", 0)],
        cover: vec![Cover {
            telescope: piece("T-001"),
            shares,
            gaps: vec![(66.4, 84.1)],
            older_without_low_power: 2,
            older: 19,
            relief_too_short: 4,
        }],
        relief_too_short: 0,
        sought: vec![Sought { piece: piece("E-003"), weekends: 14, waiting: 1 }],
        idle: vec![piece("E-019"), piece("E-020")],
        idle_together: vec![piece("E-019")],
        wishes: vec![Wish {
            focal_length_min_mm: 7.0,
            focal_length_max_mm: 9.0,
            best_focal_length_mm: 8.0,
            apparent_field_min_deg: 60.0,
            eye_relief_min_mm: 20.0,
            barrels_mm: vec![31.75],
            gain: 0.0123,
        }],
        seconds: 14.2,
    }
}

fn candidates(frame: Frame) -> CandidatesPage {
    CandidatesPage {
        frame,
        notice: None,
        list: vec![Shown {
            id: 3,
            name: TYPED.into(),
            figures: "7 mm, 65° field".into(),
            price: "165, used, up to 2".into(),
        }],
        fields: COLUMNS.iter().map(|_| Field::default()).collect(),
        slips: Vec::new(),
        table: String::new(),
        faults: Vec::new(),
        refused: None,
        preview: None,
        seen: String::new(),
    }
}

pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
    let frame = |title: &str| {
        signed_in(title, scheme, "Ottilie Marchbanks", &[Role::Quartermaster]).at(Place::Buying)
    };
    let overview = |newest, lines| OverviewPage {
        frame: frame("What to buy next"),
        notice: None,
        budget: Field::of("400"),
        candidates: 15,
        sales: vec![ForSale { tag: "E-019".into(), name: TYPED.into(), price: "25".into() }],
        tag: Field::refused(TYPED, "No eyepiece or Barlow on the shelf bears this tag."),
        price: Field::default(),
        newest,
        lines,
    };
    let lines = vec![Line { id: 2, label: "5 June 2026, for 400".into(), says: "stopped".into() }];
    let progress = |open| ProgressPage {
        frame: frame("What to buy next"),
        id: 2,
        budget: "400".into(),
        open,
        says: "Choosing.".into(),
        per_cent: 41,
    };
    let full = ReportPage {
        frame: frame("What to buy next"),
        id: 2,
        report: report(),
        names: Some(vec![TYPED.into()]),
    };
    let bare = Report {
        points: Vec::new(),
        sought: Vec::new(),
        idle: Vec::new(),
        idle_together: Vec::new(),
        wishes: Vec::new(),
        ..report()
    };
    let mut fields: Vec<Field> = COLUMNS.iter().map(|_| Field::of(TYPED)).collect();
    fields[2].refuse("Write the value as a number.");
    let refused = CandidatesPage {
        fields,
        slips: vec![Slip { field: "price".into(), text: "Write the value as a number.".into() }],
        ..candidates(frame("Candidates"))
    };
    let would = || Would { line: 2, what: TYPED.into(), changes: vec![TYPED.into()] };
    let preview = Preview {
        added: vec![would()],
        changed: vec![would()],
        unchanged: 1,
        ..Preview::default()
    };
    let preview = CandidatesPage {
        preview: Some(preview),
        seen: "00ff".into(),
        table: TYPED.into(),
        ..candidates(frame("Candidates"))
    };
    let bad_table = CandidatesPage {
        faults: vec![TYPED.into()],
        refused: Some("One thing is wrong, so nothing was stored.".into()),
        table: TYPED.into(),
        list: Vec::new(),
        ..candidates(frame("Candidates"))
    };
    let set = |new| Set {
        telescope: TYPED.into(),
        points: "41.2".into(),
        pieces: vec![InSet { what: TYPED.into(), view: "48×, exit pupil 4.2 mm".into(), new }],
    };
    let advice = Advice {
        what: TYPED.into(),
        says: "adds 3.2 points".into(),
        attempt: Some(("E-003".into(), TYPED.into(), "/reserve/calendar?items=3".into())),
    };
    let mine = |has_telescope, advice: Vec<Advice>| MinePage {
        frame: frame("My next eyepiece"),
        budget: Field::refused(TYPED, "Write the value as a number."),
        has_telescope,
        today: if advice.is_empty() { Vec::new() } else { vec![set(false)] },
        buy: advice.clone(),
        cost: "165".into(),
        proven: false,
        candidates: 15,
        then: vec![set(true)],
        wishes: advice,
    };
    vec![
        Sample::of("mine-next", &mine(true, vec![advice])),
        Sample::of("mine-next-whole", &mine(true, Vec::new())),
        Sample::of("mine-next-empty", &mine(false, Vec::new())),
        Sample::of("buying", &overview(Some((2, report().minutes())), lines)),
        Sample::of("buying-empty", &overview(None, Vec::new())),
        Sample::of("buying-progress", &progress(true)),
        Sample::of("buying-stopped", &progress(false)),
        Sample::of("buying-report", &full),
        Sample::of(
            "buying-report-bare",
            &ReportPage { frame: frame("Report"), id: 3, report: bare, names: None },
        ),
        Sample::of("candidates", &candidates(frame("Candidates"))),
        Sample::of("candidates-refused", &refused),
        Sample::of("candidates-preview", &preview),
        Sample::of("candidates-table-refused", &bad_table),
    ]
}

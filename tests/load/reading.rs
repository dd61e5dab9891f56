//! Pages and answers that change nothing.

use std::time::{Duration, Instant};

use borrowed_light::choosing::discreet::Telling;
use borrowed_light::choosing::search::{Ask, AskedEyes, search};
use borrowed_light::eye::{Glasses, Observer};
use borrowed_light::kit::{Question, Usage};
use borrowed_light::lending::Nights;
use borrowed_light::optics::Age;
use borrowed_light::profile::OwnCase;
use borrowed_light::shelf::{ItemState, Kind, Wanted, browse};
use jiff::civil::Date;

use crate::client::{Client, Who, quantile};
use crate::club::Club;
use crate::service::Service;

/// A weekend three weeks ahead.
fn weekend() -> (Date, Date) {
    let first = crate::club::today().checked_add(jiff::Span::new().days(21)).unwrap();
    (first, first.checked_add(jiff::Span::new().days(2)).unwrap())
}

/// Answers a second, against a static string from the same server.
pub fn throughput(service: &Service, club: &Club) {
    let member = Who::browser(&club.member);
    let program = Who::program(&club.person("member").token);
    let (tag, id) = &club.eyepiece;
    let still = service.per_second("/healthz", &Who::nobody());
    println!("| 32 connections | answers a second | of a static string | goal |");
    println!("| --- | ---: | ---: | ---: |");
    println!("| a static string | {still:.0} | 1 | |");
    for (name, path, who, goal) in [
        ("a piece's page", format!("/shelf/{tag}"), &member, "0.10"),
        ("a piece as JSON", format!("/api/v1/eyepieces/{id}"), &program, "0.20"),
        ("the list of the shelf", "/shelf".into(), &member, ""),
        ("eyepieces as JSON", "/api/v1/eyepieces".into(), &program, ""),
        ("telescopes", "/telescopes".into(), &member, ""),
        ("the question", "/".into(), &member, ""),
        ("my loans", "/mine".into(), &member, ""),
        ("sign-in", "/sign-in".into(), &Who::nobody(), ""),
    ] {
        let many = service.per_second(&path, who);
        println!("| {name} | {many:.0} | {:.3} | {goal} |", many / still);
    }
    println!();
}

fn question(nights: Nights) -> Ask {
    let observer = Observer::person(Age::new(45.0).unwrap(), Glasses::None);
    Ask {
        question: Question { observer, seeing: None, usage: Usage::Night, tonight: None },
        nights,
        site: None,
        telescope: None,
        max_eyepieces: 5,
        limit: 5,
        own: OwnCase::default(),
        telling: Telling::Plainly,
        eyes: AskedEyes::Described,
    }
}

/// The main question over the network, against the same search in this process.
pub async fn main_answer(service: &Service, club: &Club) {
    let (first, last) = weekend();
    let nights = Nights::parse(&first.to_string(), &last.to_string()).unwrap();
    let ask = question(nights);
    let body = format!(
        "{{\"observer\":{{\"age_years\":45,\"glasses\":\"none\"}},\"first_night\":\"{first}\",\
         \"last_night\":\"{last}\",\"max_eyepieces\":5,\"limit\":5}}"
    );
    let program = Who::program(&club.person("member").token);
    let store = club.store().await;
    let mut client = Client::to(&service.address);
    let (mut bare, mut whole) = (Vec::new(), Vec::new());
    let begun = Instant::now();
    // A hundred in turn, and no longer than a minute.
    while whole.len() < 100 && (whole.len() < 5 || begun.elapsed() < Duration::from_mins(1)) {
        let started = Instant::now();
        search(&store, &ask).await.unwrap();
        bare.push(started.elapsed());
        let answer = client.post("/api/v1/kits/search", &program, "application/json", &body);
        assert_eq!(answer.status, 200);
        whole.push(answer.took);
    }
    store.close().await;
    let (alone, p50, p99) = (quantile(&bare, 0.5), quantile(&whole, 0.5), quantile(&whole, 0.99));
    println!(
        "main answer, {} times: solver and SQL alone {alone:.1} ms; over the network {p50:.1} ms, \
         99 in 100 within {p99:.1} ms: {:.2} times (goal below 3)",
        whole.len(),
        p99 / alone
    );
}

/// What is free of one kind on three nights: over the network against the same question in SQL.
pub async fn free_pieces(service: &Service, club: &Club) {
    let (first, last) = weekend();
    let nights = Nights::parse(&first.to_string(), &last.to_string()).unwrap();
    let wanted = Wanted {
        kind: Some(Kind::Eyepiece),
        states: vec![ItemState::InService],
        ..Wanted::default()
    };
    let store = club.store().await;
    let member = Who::browser(&club.member);
    let path = format!("/shelf?kind=eyepieces&from={first}&to={last}");
    let mut client = Client::to(&service.address);
    let (mut bare, mut whole) = (Vec::new(), Vec::new());
    for _ in 0..60 {
        let mut conn = store.reader().acquire().await.unwrap();
        let started = Instant::now();
        browse(&mut conn, wanted.clone(), Some(nights), 50).await.unwrap();
        bare.push(started.elapsed());
        drop(conn);
        let answer = client.get(&path, &member);
        assert_eq!(answer.status, 200);
        whole.push(answer.took);
    }
    store.close().await;
    let (alone, p50) = (quantile(&bare, 0.5), quantile(&whole, 0.5));
    println!(
        "eyepieces free on three nights: SQL alone {alone:.2} ms, the page {p50:.2} ms (goal \
         {:.2})\n",
        3.0 * alone + 1.0
    );
}

/// How long each page and answer takes, by the number of past loans.
#[derive(Default)]
pub struct Lists {
    loans: Vec<i64>,
    rows: Vec<(&'static str, Vec<f64>)>,
}

impl Lists {
    pub fn ask(&mut self, service: &Service, club: &Club, loans: i64) {
        self.loans.push(loans);
        let member = Who::browser(&club.member);
        let desk = Who::browser(&club.quartermaster);
        let program = Who::program(&club.person("quartermaster").token);
        let (tag, id) = &club.eyepiece;
        let (first, last) = weekend();
        let mut client = Client::to(&service.address);
        for (name, path, who) in [
            ("a static string", "/healthz".into(), &program),
            ("the desk", "/desk".into(), &desk),
            ("the waiting list", "/desk/waiting".into(), &desk),
            ("my loans", "/mine".into(), &member),
            ("the list of the shelf", "/shelf".into(), &member),
            ("free on three nights", format!("/shelf?from={first}&to={last}"), &member),
            ("a piece's page", format!("/shelf/{tag}"), &desk),
            ("calendar of a piece", format!("/reserve/calendar?items={id}"), &member),
            ("telescopes", "/telescopes".into(), &member),
            ("the stock", "/stock".into(), &desk),
            ("use of the pieces", "/stock/use".into(), &desk),
            ("people", "/people".into(), &desk),
            ("public nights", "/public-nights".into(), &member),
            ("what to buy", "/buying".into(), &desk),
            ("reservations as JSON", "/api/v1/reservations".into(), &program),
            ("loans as JSON", "/api/v1/loans".into(), &program),
            ("a piece as JSON", format!("/api/v1/eyepieces/{id}"), &program),
        ] {
            let times: Vec<Duration> = (0..40)
                .map(|_| {
                    let answer = client.get(&path, who);
                    assert_eq!(answer.status, 200, "{path}");
                    answer.took
                })
                .collect();
            let ms = quantile(&times, 0.5);
            match self.rows.iter_mut().find(|(known, _)| *known == name) {
                Some((_, row)) => row.push(ms),
                None => self.rows.push((name, vec![ms])),
            }
        }
    }

    pub fn print(&self) {
        println!("### Answers to one client, median ms\n");
        let heads: Vec<String> =
            self.loans.iter().map(|loans| format!(" {loans} loans |")).collect();
        println!("| |{} growth |", heads.concat());
        println!("| --- |{}", " ---: |".repeat(heads.len() + 1));
        for (name, row) in &self.rows {
            let cells: Vec<String> = row.iter().map(|ms| format!(" {ms:.2} |")).collect();
            let growth = row[row.len() - 1] / row[0];
            println!("| {name} |{} {growth:.1} |", cells.concat());
        }
    }
}

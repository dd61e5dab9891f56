//! The post room against a mail server that misbehaves: no letter is lost, none is sent twice.
#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    reason = "what a test cannot unwrap has failed it"
)]

mod mail;

use borrowed_light::people::account::{self, NewAccount};
use borrowed_light::people::rights::{Role, Roles};
use borrowed_light::people::{Email, MemberId};
use borrowed_light::post::{
    Letter, Letters, MailServer, Message, Outcome, Post, PostError, Queued, Reader, Round, State,
    Tls, Wanted, Weight, Worker, in_trouble, leave_it, letters_of, queue, send_again, tally, want,
};
use borrowed_light::store::Store;
use borrowed_light::web::clock::Clock;
use borrowed_light::web::site::Site;
use jiff::tz::TimeZone;
use jiff::{SignedDuration, Timestamp};
use mail::{Does, TestMailServer};

struct Room {
    store: Store,
    clock: Clock,
    ines: i64,
    server: TestMailServer,
    worker: Worker,
    post: Post,
    _folder: tempfile::TempDir,
}

fn site() -> Site {
    Site::new("Windmill Hill Astronomers").at("https://lend.example.org").unwrap()
}

impl Room {
    async fn new() -> Self {
        let folder = tempfile::tempdir().unwrap();
        let store = Store::open(&folder.path().join("club.sqlite")).await.unwrap();
        let clock = Clock::standing_at("2026-06-05T12:00:00Z".parse().unwrap(), TimeZone::UTC);
        let mut tx = store.write().await.unwrap();
        let email = Email::new("ines@example.org").unwrap();
        let roles = Roles::of([Role::Member]);
        let new = NewAccount { member: None, name: "Ines Aldous", email: &email, roles: &roles };
        let ines = account::add(&mut tx, &clock, &new).await.unwrap();
        tx.commit().await.unwrap();
        let server = TestMailServer::start().await;
        let (post, worker) = Post::open(store.clone(), clock.clone(), site(), server.settings());
        Self { store, clock, ines, server, worker, post, _folder: folder }
    }

    fn message(&self, key: &str) -> Message {
        Message {
            to: Reader::Account(self.ines),
            kind: "loan-due",
            weight: Weight::Useful,
            key: key.into(),
            letter: Letter::about(format!("About {key}"))
                .says("Something is due.")
                .leads_to("See it", "/mine"),
            not_before: None,
            not_after: None,
        }
    }

    async fn queue(&self, message: &Message) -> Result<Queued, PostError> {
        let mut tx = self.store.write().await.unwrap();
        let done = queue(&mut tx, &self.clock, message).await?;
        tx.commit().await.unwrap();
        Ok(done)
    }

    async fn states(&self) -> Vec<State> {
        let mut conn = self.store.reader().acquire().await.unwrap();
        let shown =
            letters_of(&mut conn, &self.clock, Some(self.ines), None, (Letters::ToThem, 100))
                .await
                .unwrap();
        shown.into_iter().rev().map(|letter| letter.state).collect()
    }

    async fn round(&mut self) -> Round {
        self.worker.round().await.unwrap()
    }

    fn wait(&self, seconds: i64) {
        self.clock.advance(SignedDuration::from_secs(seconds));
    }
}

#[tokio::test]
async fn a_letter_reaches_its_reader_once_however_often_it_is_queued() {
    let mut room = Room::new().await;
    assert_eq!(room.queue(&room.message("loan 1")).await.unwrap(), Queued::New);
    assert_eq!(room.queue(&room.message("loan 1")).await.unwrap(), Queued::AlreadyThere);
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.round().await, Round::default());
    assert_eq!(room.queue(&room.message("loan 1")).await.unwrap(), Queued::AlreadyThere);
    room.round().await;
    let taken = room.server.only();
    assert_eq!((&*taken.from, &*taken.to), ("lend@example.org", "ines@example.org"));
    assert_eq!(taken.header("Subject"), "About loan 1");
    let plain = taken.plain();
    assert!(plain.contains("Dear Ines Aldous") && plain.contains("Something is due."), "{plain}");
    assert!(plain.contains("https://lend.example.org/mine"), "{plain}");
    assert_eq!(room.states().await, [State::Sent]);
}

#[tokio::test]
async fn a_letter_exists_exactly_when_its_reason_does() {
    let mut room = Room::new().await;
    let mut tx = room.store.write().await.unwrap();
    queue(&mut tx, &room.clock, &room.message("loan 1")).await.unwrap();
    drop(tx);
    assert_eq!(room.round().await, Round::default());
    assert_eq!(room.states().await, []);
}

#[tokio::test]
async fn what_is_refused_for_now_is_tried_again_later_and_later() {
    let mut room = Room::new().await;
    room.queue(&room.message("loan 1")).await.unwrap();
    room.server.plans([Does::RefusesReader(450), Does::RefusesLetter(451)]);
    assert_eq!(room.round().await.put_back, 1);
    assert_eq!(room.round().await, Round::default(), "its time has not come yet");
    room.wait(60);
    assert_eq!(room.round().await.put_back, 1);
    room.wait(60);
    assert_eq!(room.round().await, Round::default(), "the second wait is longer");
    room.wait(60);
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.server.taken().len(), 1);
}

#[tokio::test]
async fn what_is_refused_for_good_goes_to_a_person() {
    let mut room = Room::new().await;
    room.queue(&room.message("loan 1")).await.unwrap();
    room.queue(&room.message("loan 2")).await.unwrap();
    room.server.plans([Does::RefusesReader(550), Does::RefusesLetter(554)]);
    assert_eq!(room.round().await.refused, 2);
    room.wait(86_400);
    assert_eq!(room.round().await, Round::default());
    let mut conn = room.store.reader().acquire().await.unwrap();
    let troubled = in_trouble(&mut conn, 10).await.unwrap();
    assert_eq!(troubled.len(), 2);
    assert!(troubled.iter().all(|one| one.reason.contains("not this")), "{troubled:?}");
    drop(conn);

    let mut tx = room.store.write().await.unwrap();
    assert!(send_again(&mut tx, &room.clock, troubled[0].id).await.unwrap());
    assert!(!send_again(&mut tx, &room.clock, troubled[0].id).await.unwrap(), "once");
    assert!(leave_it(&mut tx, &room.clock, troubled[1].id).await.unwrap());
    tx.commit().await.unwrap();
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.states().await, [State::Kept, State::Sent]);
}

#[tokio::test]
async fn what_a_server_says_about_a_guardians_address_is_not_kept() {
    let mut room = Room::new().await;
    let mut tx = room.store.write().await.unwrap();
    let young: i64 = sqlx::query_scalar(
        "INSERT INTO member (member_number, name) VALUES ('7', 'Young Aldous') RETURNING id",
    )
    .fetch_one(&mut *tx)
    .await
    .unwrap();
    sqlx::query(
        "INSERT INTO guardian (member_id, name, email, consented_on, recorded_by, recorded_at)
         VALUES (?1, 'Gerda Aldous', 'gerda@example.org', '2026-06-01', ?2, 0)",
    )
    .bind(young)
    .bind(room.ines)
    .execute(&mut *tx)
    .await
    .unwrap();
    tx.commit().await.unwrap();
    let to = Reader::Guardian(MemberId(young));
    room.queue(&Message { to, ..room.message("loan 1") }).await.unwrap();
    room.queue(&room.message("loan 2")).await.unwrap();
    for code in [450, 550] {
        room.server.plans([Does::RefusesReader(code), Does::RefusesLetter(code)]);
        let round = room.round().await;
        assert_eq!(round.put_back + round.refused, 2);
        let reasons: Vec<String> = sqlx::query_scalar("SELECT reason FROM letter ORDER BY id")
            .fetch_all(&mut *room.store.reader().acquire().await.unwrap())
            .await
            .unwrap();
        assert!(reasons[0].contains("are not kept"), "{reasons:?}");
        assert!(!reasons[0].contains("gerda"), "{reasons:?}");
        assert!(reasons[1].contains("ines@example.org"), "the server quotes it: {reasons:?}");
        room.wait(60);
    }
}

#[tokio::test]
async fn after_a_clock_was_set_back_a_letter_still_waits_for_its_own_day() {
    let mut room = Room::new().await;
    let year = 400 * 86_400;
    room.wait(year);
    let later = room.clock.now() + SignedDuration::from_hours(720);
    room.queue(&Message { not_before: Some(later), ..room.message("loan 1") }).await.unwrap();
    room.server.plans([Does::RefusesReader(450)]);
    room.queue(&room.message("loan 2")).await.unwrap();
    assert_eq!(room.round().await.put_back, 1);
    room.wait(-year);
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.server.only().header("Subject"), "About loan 2");
}

#[tokio::test]
async fn a_letter_whose_answer_stays_out_is_never_sent_a_second_time_by_itself() {
    let mut room = Room::new().await;
    room.queue(&room.message("loan 1")).await.unwrap();
    room.server.plans([Does::TakesAndHangsUp]);
    assert_eq!(room.round().await.unclear, 1);
    for _ in 0..20 {
        room.wait(86_400);
        room.round().await;
    }
    assert_eq!(room.server.taken().len(), 1, "the server had taken it");
    assert_eq!(room.states().await, [State::Unclear]);
}

#[tokio::test]
async fn a_server_that_hangs_up_early_or_is_not_there_costs_no_letter() {
    let mut room = Room::new().await;
    room.queue(&room.message("loan 1")).await.unwrap();
    room.server.plans([Does::HangsUpEarly]);
    assert_eq!(room.round().await.put_back, 1);
    assert!(room.post.trouble().is_some());
    assert_eq!(room.round().await, Round::default(), "the server is left alone for a while");
    room.wait(10);
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.post.trouble(), None);

    // A port where nobody listens.
    let nowhere = std::net::TcpListener::bind("127.0.0.1:0").unwrap().local_addr().unwrap().port();
    let gone = MailServer::new("127.0.0.1", nowhere, Tls::Plain, "lend@example.org").unwrap();
    let (post, mut worker) = Post::open(room.store.clone(), room.clock.clone(), site(), gone);
    room.queue(&room.message("loan 2")).await.unwrap();
    assert_eq!(worker.round().await.unwrap().put_back, 1);
    let to = Email::new("ines@example.org").unwrap();
    let tried = post.try_out(&site(), &room.clock, &to, "Ines").await;
    assert!(matches!(tried, Outcome::Unreachable(_)), "{tried:?}");
    room.wait(900);
    assert_eq!(room.round().await.sent, 1);
    assert_eq!(room.server.taken().len(), 2);
}

#[tokio::test]
async fn a_process_that_ends_while_it_sends_leaves_its_letter_to_a_person() {
    let mut room = Room::new().await;
    room.queue(&room.message("loan 1")).await.unwrap();
    let mut tx = room.store.write().await.unwrap();
    // As the worker leaves it when the process is killed between word and answer.
    sqlx::query("UPDATE letter SET state = 'sending', attempts = 1")
        .execute(&mut *tx)
        .await
        .unwrap();
    tx.commit().await.unwrap();
    assert_eq!(room.round().await.unclear, 1);
    assert_eq!(room.server.taken().len(), 0);
    assert_eq!(room.states().await, [State::Unclear]);
}

#[tokio::test]
async fn a_letter_waits_for_its_time_and_does_not_come_too_late() {
    let mut room = Room::new().await;
    let at = |text: &str| Some(text.parse::<Timestamp>().unwrap());
    let reminder = Message {
        not_before: at("2026-06-06T09:00:00Z"),
        not_after: at("2026-06-07T09:00:00Z"),
        ..room.message("loan 1 due")
    };
    room.queue(&reminder).await.unwrap();
    assert_eq!(room.round().await, Round::default());
    assert_eq!(room.states().await, [], "nobody reads it before its time");
    room.wait(21 * 3600);
    room.server.plans([Does::RefusesReader(450)]);
    assert_eq!(room.round().await.put_back, 1);
    room.wait(48 * 3600);
    assert_eq!(room.round().await.kept, 1);
    assert_eq!(room.server.taken().len(), 0);
    assert_eq!(room.states().await, [State::Kept]);

    let backwards = Message { not_after: at("2026-06-01T00:00:00Z"), ..room.message("loan 2") };
    assert!(matches!(room.queue(&backwards).await, Err(PostError::NotALetter(_))));
}

#[tokio::test]
async fn who_wants_fewer_letters_still_gets_the_essential_ones() {
    let mut room = Room::new().await;
    let mut tx = room.store.write().await.unwrap();
    want(&mut tx, &room.clock, room.ines, Wanted::EssentialOnly).await.unwrap();
    tx.commit().await.unwrap();
    room.queue(&room.message("a hint")).await.unwrap();
    let overdue = Message { weight: Weight::Essential, ..room.message("overdue") };
    room.queue(&overdue).await.unwrap();
    let round = room.round().await;
    assert_eq!((round.sent, round.kept), (1, 1));
    let taken = room.server.only();
    assert_eq!(taken.header("Subject"), "About overdue");
    assert!(!taken.plain().contains("only the letters"));
    assert_eq!(room.states().await, [State::Kept, State::Sent]);
}

#[tokio::test]
async fn two_hundred_letters_through_a_moody_server_all_arrive_once_or_reach_a_person() {
    let mut room = Room::new().await;
    let moods = [
        Does::Takes,
        Does::RefusesReader(450),
        Does::TakesAndHangsUp,
        Does::HangsUpEarly,
        Does::RefusesLetter(451),
        Does::RefusesReader(550),
        Does::Takes,
    ];
    room.server.plans((0..300).map(|n| moods[(n * n + n / 7) % moods.len()]));
    for n in 0..200 {
        room.queue(&room.message(&format!("loan {n}"))).await.unwrap();
    }
    for _ in 0..400 {
        room.round().await;
        room.wait(600);
    }
    let mut subjects: Vec<String> =
        room.server.taken().iter().map(|one| one.header("Subject").to_owned()).collect();
    let all = subjects.len();
    subjects.sort_unstable();
    subjects.dedup();
    assert_eq!(subjects.len(), all, "a letter came twice");
    let mut conn = room.store.reader().acquire().await.unwrap();
    let count = tally(&mut conn).await.unwrap();
    assert_eq!(count.waiting, 0, "{count:?}");
    assert_eq!(count.sent + count.in_trouble, 200, "{count:?}");
    assert!(count.in_trouble > 10, "{count:?}");
    assert!(usize::try_from(count.sent).unwrap() <= all);
}

#[tokio::test]
async fn no_question_of_the_post_room_reads_every_letter() {
    let room = Room::new().await;
    let mut tx = room.store.write().await.unwrap();
    for question in [
        "SELECT id FROM letter WHERE state = 'waiting' AND next_at <= 5 ORDER BY next_at, id LIMIT 1",
        "SELECT 1 FROM letter WHERE state = 'sending'",
        "SELECT id FROM letter WHERE state IN ('refused', 'unclear') ORDER BY id DESC LIMIT 9",
        "SELECT id FROM letter WHERE (account_id = 1 OR member_id = 2) AND not_before <= 5
         ORDER BY not_before DESC, id DESC LIMIT 9",
    ] {
        let plan: Vec<(i64, i64, i64, String)> =
            sqlx::query_as(sqlx::AssertSqlSafe(format!("EXPLAIN QUERY PLAN {question}")))
                .fetch_all(&mut *tx)
                .await
                .unwrap();
        let steps: Vec<&str> = plan.iter().map(|step| &*step.3).collect();
        assert!(
            steps.iter().all(|step| !step.starts_with("SCAN letter") || step.contains("INDEX")),
            "{question}: {steps:?}"
        );
    }
}

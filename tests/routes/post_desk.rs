//! `/account/letters`, `/post`

use borrowed_light::people::rights::Role;
use borrowed_light::post::{Letter, Message, Reader, Weight, queue};

use crate::browser::Browser;
use crate::client::{House, PASSWORD};
use crate::mail::Does;

async fn write(house: &House, account: i64, subject: &str) {
    let message = Message {
        to: Reader::Account(account),
        kind: "test",
        weight: Weight::Useful,
        key: subject.into(),
        letter: Letter::about(subject).says("Says <b>this</b>.").leads_to("Look", "/telescopes"),
        not_before: None,
        not_after: None,
    };
    let mut tx = house.state.store.write().await.unwrap();
    queue(&mut tx, &house.state.clock, &message).await.unwrap();
    tx.commit().await.unwrap();
}

#[tokio::test]
async fn letters_stand_on_their_readers_page_and_on_nobody_elses() {
    let house = House::new().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    house.account("cal@example.org", &[Role::Member]).await;
    write(&house, ines, "For Ines alone").await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    let page = browser.get("/account/letters").await;
    assert!(page.text().contains("For Ines alone") && page.text().contains("&#60;b&#62;"));
    let mut other = Browser::new(&house);
    other.sign_in("cal@example.org", PASSWORD).await;
    assert!(!other.get("/account/letters").await.text().contains("For Ines alone"));
}

#[tokio::test]
async fn fewer_letters_can_be_chosen_and_all_again() {
    let (house, server, mut worker) = House::with_mail().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    let mut browser = Browser::new(&house);
    browser.sign_in("ines@example.org", PASSWORD).await;
    for (n, want, taken) in [(1, "essential", 0), (2, "all", 1)] {
        browser.post("/account/letters", &[("want", want)]).await;
        write(&house, ines, &format!("Letter {n}")).await;
        worker.round().await.unwrap();
        assert_eq!(server.taken().len(), taken, "{want}");
    }
    assert!(server.only().plain().contains("https://lend.example.org/account/letters"));
}

#[tokio::test]
async fn a_letter_in_trouble_is_decided_by_a_person_once() {
    let (house, server, mut worker) = House::with_mail().await;
    let ines = house.account("ines@example.org", &[Role::Member]).await;
    house.account("quill@example.org", &[Role::Quartermaster]).await;
    server.plans([Does::TakesAndHangsUp, Does::RefusesReader(550)]);
    write(&house, ines, "The first").await;
    write(&house, ines, "The second").await;
    worker.round().await.unwrap();
    let mut staff = Browser::new(&house);
    staff.sign_in("quill@example.org", PASSWORD).await;
    let page = staff.get("/post").await;
    assert!(
        page.text().contains("It may have arrived") && page.text().contains("will not take it")
    );
    assert_eq!(staff.post("/post/1", &[("deed", "leave")]).await.status, 303);
    assert_eq!(staff.post("/post/1", &[("deed", "send")]).await.status, 404);
    assert_eq!(staff.post("/post/2", &[("deed", "send")]).await.status, 303);
    assert_eq!(staff.post("/post/99", &[("deed", "send")]).await.status, 404);
    worker.round().await.unwrap();
    let subjects: Vec<String> =
        server.taken().iter().map(|one| one.header("Subject").to_owned()).collect();
    assert_eq!(subjects, ["The first", "The second"]);
    let mut member = Browser::new(&house);
    member.sign_in("ines@example.org", PASSWORD).await;
    assert_eq!(member.get("/post").await.status, 403);
    assert_eq!(member.post("/post/2", &[("deed", "send")]).await.status, 403);
}

#[tokio::test]
async fn the_mail_server_is_tried_out_from_the_page() {
    let (house, server, _worker) = House::with_mail().await;
    house.account("quill@example.org", &[Role::Quartermaster]).await;
    let mut staff = Browser::new(&house);
    staff.sign_in("quill@example.org", PASSWORD).await;
    assert_eq!(staff.post("/post/trial", &[]).await.status, 200);
    assert_eq!(server.only().to, "quill@example.org");
    server.plans([Does::RefusesReader(550)]);
    let refused = staff.post("/post/trial", &[]).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("not this one"), "the server's own words");
}

//! Invitations by mail.

use borrowed_light::people::rights::Role;
use jiff::SignedDuration;

use crate::browser::Browser;
use crate::client::House;
use crate::mail::TestMailServer;
use crate::people::staff;

const LIST: &str = "member_number,name,email,joined,state\n\
                    M-1,Bo Reed,bo@example.org,,active\n\
                    M-2,Cy Marsh,cy@example.org,,active\n\
                    M-3,Di Fell,,,active\n\
                    M-4,Ed Gone,ed@example.org,,left\n";

/// The path in a letter that leads to choosing a password.
fn path(letter: &str) -> String {
    let from = letter.find("/setup/").expect(letter);
    letter[from..].split_whitespace().next().unwrap().to_owned()
}

async fn take_the_list_in(admin: &mut Browser<'_>) {
    let look = admin.post("/people/import", &[("table", LIST)]).await;
    let seen = look.text().split_once("name=\"seen\" value=\"").unwrap().1;
    let seen = seen.split_once('"').unwrap().0.to_owned();
    let done = admin.post("/people/import", &[("table", LIST), ("seen", &seen)]).await;
    assert!(done.text().contains("No mail was sent"), "{}", done.text());
}

fn readers(server: &TestMailServer) -> Vec<String> {
    let mut to: Vec<String> = server.taken().into_iter().map(|letter| letter.to).collect();
    to.sort();
    to
}

#[tokio::test]
async fn the_list_sends_nothing_until_told_to_and_then_each_gets_a_link_of_their_own() {
    let (house, server, mut worker) = House::with_mail().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    take_the_list_in(&mut admin).await;
    worker.round().await.unwrap();
    assert!(server.taken().is_empty(), "no mail until told to");

    let people = admin.get("/people").await;
    assert!(people.text().contains("Invite two members by mail"), "{}", people.text());
    let page = admin.get("/people/invite/letters").await;
    assert!(page.text().contains("Bo Reed") && page.text().contains("Cy Marsh"));
    assert!(!page.text().contains("Di Fell"), "no address");
    assert!(!page.text().contains("Ed Gone"), "has left");
    let sent = admin.post("/people/invite/letters", &[]).await;
    assert_eq!(sent.header("location"), "/people/invite/letters?sent=2");
    worker.round().await.unwrap();
    assert_eq!(readers(&server), ["bo@example.org", "cy@example.org"]);

    // Nobody gets a second one while the first holds.
    let again = admin.post("/people/invite/letters", &[]).await;
    assert_eq!(again.header("location"), "/people/invite/letters?sent=0");
    let letters = server.taken();
    let bo_letter = letters.iter().find(|letter| letter.to == "bo@example.org").unwrap();
    let own = path(&bo_letter.plain());
    assert!(letters.iter().filter(|letter| letter.plain().contains(&own)).count() == 1);
    let mut bo = Browser::new(&house);
    assert!(bo.get(&own).await.text().contains("Bo Reed"));
    assert_eq!(bo.post(&own, &[("password", "a lantern by the sea")]).await.status, 303);
    assert_eq!(bo.get("/people").await.status, 403, "an invited member borrows, no more");
    assert_eq!(bo.get(&own).await.status, 404, "the link works once");

    // Whoever let theirs run out is asked once more; Bo is in.
    house.state.clock.advance(SignedDuration::from_hours(7 * 24));
    admin.sign_in("ada@example.org", crate::client::PASSWORD).await;
    let sent = admin.post("/people/invite/letters", &[]).await;
    assert_eq!(sent.header("location"), "/people/invite/letters?sent=1");
    worker.round().await.unwrap();
    assert_eq!(readers(&server), ["bo@example.org", "cy@example.org", "cy@example.org"]);
}

#[tokio::test]
async fn one_invitation_goes_by_mail_and_its_link_stays_off_the_page() {
    let (house, server, mut worker) = House::with_mail().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    let fields = [("email", "bo@example.org"), ("name", "Bo"), ("member", "yes"), ("by", "mail")];
    let done = admin.post("/people/invite", &fields).await;
    let page = done.header("location").to_owned();
    assert!(page.ends_with("?done=sent"), "{page}");
    let page = admin.get(&page).await;
    assert!(page.text().contains("on its way") && !page.text().contains("/setup/"));
    worker.round().await.unwrap();
    let first = path(&server.only().plain());

    // Sent once more, the first link is dead.
    let id = done.header("location").trim_start_matches("/people/").split('?').next().unwrap();
    admin.post(&format!("/people/{id}/link"), &[("by", "mail")]).await;
    worker.round().await.unwrap();
    let second = path(&server.taken()[1].plain());
    assert_eq!(Browser::new(&house).get(&first).await.status, 404);
    assert_eq!(Browser::new(&house).get(&second).await.status, 200);
}

#[tokio::test]
async fn whoever_asked_to_join_and_is_approved_hears_of_it_by_mail() {
    let (house, server, mut worker) = House::with_mail().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    assert!(!house.get("/sign-in").await.text().contains("href=\"/join\""));
    admin.post("/people/joining", &[("open", "yes")]).await;
    let mut bo = Browser::new(&house);
    assert!(bo.get("/sign-in").await.text().contains("href=\"/join\""));
    bo.post("/join", &[("name", "Bo Reed"), ("email", "bo@example.org")]).await;
    let done = admin.post("/people/joining/1/approve", &[]).await;
    assert!(done.header("location").ends_with("?done=sent"));
    worker.round().await.unwrap();
    assert_eq!(bo.get(&path(&server.only().plain())).await.status, 200);
}

#[tokio::test]
async fn without_a_mail_server_nothing_is_promised() {
    let house = House::new().await;
    let (mut admin, _) = staff(&house, "ada@example.org", Role::Admin).await;
    take_the_list_in(&mut admin).await;
    let page = admin.get("/people/invite/letters").await;
    assert!(
        page.text().contains("no mail server")
            && !page.text().contains("<button class=\"button big\"")
    );
    assert_eq!(admin.post("/people/invite/letters", &[]).await.status, 409);
}

//! `/people/invite/letters`: an invitation by mail for everybody on the club's list who can't sign
//! in yet.

use askama::Template;
use askama_web::WebTemplate;
use axum::extract::Query;
use axum::response::{IntoResponse, Redirect, Response};
use jiff::Timestamp;
use serde::Deserialize;
use sqlx::SqliteConnection;

use super::access::SignedIn;
use super::invite::{self, Invitation, note_link};
use super::manage;
use super::member::{Email, MemberId};
use super::porter::Porter;
use super::setup;
use crate::audit::{Subject, note};
use crate::post::{Carried, Letter};
use crate::store::{StoreError, WriteTx};
use crate::web::clock::Clock;
use crate::web::format;
use crate::web::frame::{Frame, Place};
use crate::web::problem::Problem;
use crate::web::secret::Secret;
use crate::web::site::Site;

/// So many at a time: the links wait in memory for the mail server, and a club's mail server takes
/// letters one by one.
const AT_A_TIME: usize = 40;
/// So many names stand on the page.
const SHOWN: usize = 12;

/// Somebody who waits for an invitation.
#[derive(Clone, Debug, PartialEq, Eq)]
struct Waiting {
    member: MemberId,
    /// An account without a password, whose invitation has run out.
    account: Option<i64>,
    name: String,
}

/// Active members with an e-mail address who can't sign in and hold no invitation, by name. Whoever
/// may do more than borrow is invited by hand.
async fn waiting(conn: &mut SqliteConnection, now: i64) -> Result<Vec<Waiting>, StoreError> {
    let rows = sqlx::query!(
        r#"SELECT member.id AS "id!", account.id AS "account?: i64", member.name
           FROM member LEFT JOIN account ON account.member_id = member.id
           WHERE member.state = 'active'
             AND CASE WHEN account.id IS NULL
                 THEN member.email IS NOT NULL
                      AND NOT EXISTS (SELECT 1 FROM account AS other
                                      WHERE other.email = member.email)
                 ELSE account.disabled_at IS NULL AND account.password_hash IS NULL
                      AND NOT EXISTS (SELECT 1 FROM account_role
                                      WHERE account_id = account.id AND role <> 'member')
                      AND NOT EXISTS (SELECT 1 FROM setup_link
                                      WHERE account_id = account.id AND expires_at > ?1)
                 END
           ORDER BY member.name COLLATE NOCASE, member.id"#,
        now
    )
    .fetch_all(conn)
    .await?;
    Ok(rows
        .into_iter()
        .map(|row| Waiting { member: MemberId(row.id), account: row.account, name: row.name })
        .collect())
}

/// How many wait.
///
/// # Errors
/// The database could not answer.
pub(super) async fn how_many(conn: &mut SqliteConnection, now: i64) -> Result<usize, StoreError> {
    Ok(waiting(conn, now).await?.len())
}

/// The letter with an invitation. `None` for an address that no letter can be sent to.
pub(super) fn letter(site: &Site, clock: &Clock, made: &Invitation) -> Option<Carried> {
    let until = Timestamp::from_second(made.until).unwrap_or_default();
    let until = format::night(until.to_zoned_datetime(clock.zone().clone()).date());
    let letter = Letter::about(format!("Your way in: {}", site.club))
        .says(format!(
            "{} lends its telescopes and eyepieces. With this link you choose a password, and from \
             then on you reserve what suits your eyes. It works once, until {until}.",
            site.club
        ))
        .leads_to("Choose a password", format!("/setup/{}", made.link.reveal()))
        .says("If you want no account, do nothing: without the link nobody can sign in as you.");
    let to = Email::new(&made.email).ok()?;
    Some(Carried { to, name: made.name.clone(), letter, not_after: made.until })
}

async fn invitation(
    tx: &mut WriteTx,
    clock: &Clock,
    who: &SignedIn,
    one: &Waiting,
) -> Result<Option<Invitation>, Problem> {
    let Some(account) = one.account else {
        let Some(member) = super::member(tx, one.member).await? else { return Ok(None) };
        return Ok(Some(invite::invite_member(tx, clock, who.actor(), &member).await?));
    };
    let Some((name, email)) = manage::name_and_address(tx, account).await? else {
        return Ok(None);
    };
    let link = Secret::random()?;
    let until = setup::invite(tx, clock, account, &link).await?;
    note_link(tx, who.actor(), "invitation made", account).await?;
    Ok(Some(Invitation { account, name, email, link, until }))
}

/// `/people/invite/letters`
#[derive(Template, WebTemplate)]
#[template(path = "people/letters.html")]
pub struct LettersPage {
    /// The frame.
    pub frame: Frame,
    /// Whether the club has a mail server.
    pub mail: bool,
    /// Who waits, in a sentence.
    pub tally: String,
    /// The next ones, by name.
    pub next: Vec<String>,
    /// How many more there are than are named.
    pub more: usize,
    /// How many get a letter when the button is pressed.
    pub at_a_time: usize,
    /// Good news to show once.
    pub notice: Option<String>,
}

/// What stands after the question mark.
#[derive(Clone, Debug, Default, Deserialize)]
#[serde(default)]
pub struct Told {
    sent: Option<usize>,
}

/// `GET /people/invite/letters`
///
/// # Errors
/// The database could not be read.
pub async fn look(
    porter: Porter,
    who: SignedIn,
    Query(told): Query<Told>,
) -> Result<LettersPage, Problem> {
    let mut conn = porter.store.reader().acquire().await.map_err(StoreError::from)?;
    let waiting = waiting(&mut conn, porter.clock.seconds()).await?;
    let people = format::count(waiting.len(), "member", "members");
    let tally = if waiting.is_empty() {
        "Everybody on the club’s list who has an e-mail address can sign in or holds an invitation."
            .into()
    } else {
        let verb = if waiting.len() == 1 { "has" } else { "have" };
        format!(
            "{} of the club’s list {verb} an e-mail address, but neither a way to sign in nor an \
             invitation that still holds.",
            format::sentence_case(&people)
        )
    };
    let notice = told.sent.map(|sent| match sent {
        0 => "Nothing was sent: the post room is full. Try again in a minute.".to_owned(),
        sent => {
            let letters = format::count(sent, "invitation", "invitations");
            let verb = if sent == 1 { "is" } else { "are" };
            format!("{} {verb} on the way.", format::sentence_case(&letters))
        }
    });
    Ok(LettersPage {
        frame: who
            .visit
            .frame("Invitations by mail")
            .at(Place::People)
            .returning_to("/people/invite/letters"),
        mail: porter.post.is_open(),
        tally,
        more: waiting.len().saturating_sub(SHOWN),
        at_a_time: waiting.len().min(AT_A_TIME),
        next: waiting.into_iter().take(SHOWN).map(|one| one.name).collect(),
        notice,
    })
}

/// `POST /people/invite/letters`: the next few get theirs. Each is in the database before its letter
/// leaves; whoever gets none is here again when the link has run out, or is invited by hand.
///
/// # Errors
/// 409 where the club has no mail server, or the database could not be used.
pub async fn send(porter: Porter, who: SignedIn) -> Result<Response, Problem> {
    if !porter.post.is_open() {
        return Err(Problem::conflict("The club has no mail server set up.")
            .next("Make links by hand: each person’s page has a button for it.")
            .way("People", "/people"));
    }
    let most = AT_A_TIME.min(porter.post.room());
    let mut tx = porter.store.write().await?;
    let next = waiting(&mut tx, porter.clock.seconds()).await?;
    let mut letters = Vec::new();
    for one in next.iter().take(most) {
        if let Some(made) = invitation(&mut tx, &porter.clock, &who, one).await? {
            letters.extend(letter(&porter.site, &porter.clock, &made));
        }
    }
    let sent = letters.len();
    if sent > 0 {
        let detail = sent.to_string();
        note(&mut tx, who.actor(), "invitations sent", Subject::all("member"), &detail).await?;
    }
    tx.commit().await?;
    for letter in letters {
        porter.post.carry(letter);
    }
    Ok(Redirect::to(&format!("/people/invite/letters?sent={sent}")).into_response())
}

#[cfg(test)]
pub(crate) mod samples {
    use super::*;
    use crate::gallery::{Sample, signed_in};
    use crate::people::rights::Role;
    use crate::web::frame::Scheme;

    pub(crate) fn all(scheme: Scheme) -> Vec<Sample> {
        let page = || LettersPage {
            frame: signed_in("Invitations by mail", scheme, "Ada Quill", &[Role::Admin])
                .at(Place::People),
            mail: true,
            tally: "Fourteen members wait.".into(),
            next: vec!["Ines Aldous".into(), "\"><script>alert(1)</script>".into()],
            more: 12,
            at_a_time: 14,
            notice: Some("40 invitations are on the way.".into()),
        };
        vec![
            Sample::of("invitations", &page()),
            Sample::of("invitations-no-mail", &LettersPage { mail: false, notice: None, ..page() }),
            Sample::of(
                "invitations-none",
                &LettersPage { next: Vec::new(), more: 0, at_a_time: 0, ..page() },
            ),
        ]
    }
}

//! Photos of pieces: taken with a phone, kept, seen by whoever is signed in.

use std::io::Cursor;
use std::pin::Pin;
use std::sync::Arc;
use std::sync::atomic::{AtomicUsize, Ordering};
use std::task::{Context, Poll};

use axum::body::{Body, Bytes, HttpBody};
use borrowed_light::people::rights::Role;
use borrowed_light::shelf::{self, Size};
use borrowed_light::store::{Store, backup};
use hyper::body::Frame;
use image::{ImageFormat, Rgb, RgbImage};
use serde_json::json;

use crate::browser::Browser;
use crate::client::{Answer, PASSWORD};
use crate::lending_api::Club;

async fn signed_in<'a>(club: &'a Club, name: &str) -> Browser<'a> {
    let mut browser = Browser::new(&club.house);
    browser.sign_in(&format!("{name}@example.org"), PASSWORD).await;
    browser
}

async fn text(browser: &mut Browser<'_>, path: &str) -> String {
    let answer = browser.get(path).await;
    assert_eq!(answer.status, 200, "{path}: {}", answer.text());
    answer.text().to_owned()
}

fn photo(format: ImageFormat) -> Vec<u8> {
    let mut bytes = Cursor::new(Vec::new());
    RgbImage::from_pixel(640, 400, Rgb([90, 60, 30])).write_to(&mut bytes, format).unwrap();
    bytes.into_inner()
}

/// The addresses of the large photos on a page.
fn large(page: &str) -> Vec<String> {
    let parts = page.split("href=\"/photos/").skip(1);
    let mut all: Vec<String> =
        parts.map(|part| format!("/photos/{}", part.split('"').next().unwrap())).collect();
    all.dedup();
    all
}

fn leads_to(answer: &Answer, place: &str) {
    assert_eq!(answer.status, 303, "{}", answer.text());
    assert_eq!(answer.header("location"), place);
}

async fn faults(club: &Club) -> Vec<String> {
    borrowed_light::club::check::faults(&club.house.state.store).await.unwrap()
}

#[tokio::test]
async fn photos_from_a_phone_are_kept_and_shown_to_whoever_is_signed_in() {
    let club = Club::new().await;
    let (mut desk, mut ines) = (signed_in(&club, "desk").await, signed_in(&club, "ines").await);
    let page = text(&mut desk, "/shelf/B-1").await;
    assert!(page.contains("capture=\"environment\"") && page.contains("multipart/form-data"));
    assert!(!text(&mut ines, "/shelf/B-1").await.contains("/photos"), "she can't add any");

    let (jpeg, png) = (photo(ImageFormat::Jpeg), photo(ImageFormat::Png));
    let parts: [(&str, &str, &[u8]); 4] = [
        ("form_token", "", b"x"),
        ("photo", "IMG_0001.JPG", &jpeg),
        ("photo", "", b""),
        ("photo", "IMG_0002.JPG", &png),
    ];
    let kept = desk.post_parts("/shelf/B-1/photos", &parts).await;
    leads_to(&kept, "/shelf/B-1?done=photos#photos");
    let page = text(&mut ines, "/shelf/B-1").await;
    let found = large(&page);
    assert_eq!(found.len(), 2, "{page}");
    assert!(!page.contains("/remove"), "who only borrows removes nothing");

    let seen = ines.get(&found[0]).await;
    assert_eq!(seen.status, 200);
    assert_eq!(seen.header("content-type"), "image/jpeg");
    assert_eq!(seen.header("cache-control"), "private, max-age=31536000, immutable");
    assert_eq!(seen.header("x-content-type-options"), "nosniff");
    let shown = image::load_from_memory_with_format(&seen.body, ImageFormat::Jpeg).unwrap();
    assert_eq!((shown.width(), shown.height()), (640, 400));
    let small = ines.get(&found[0].replace("large", "small")).await;
    assert_eq!(image::load_from_memory(&small.body).unwrap().width(), 320);
    assert!(small.body.len() < seen.body.len());
    assert_eq!(Browser::new(&club.house).get(&found[0]).await.status, 303, "a stranger signs in");
    for nothing in ["/photos/99/large", "/photos/1/huge", "/photos/x/large"] {
        assert_eq!(ines.get(nothing).await.status, 404, "{nothing}");
    }

    let id = found[0].split('/').nth(2).unwrap();
    let elsewhere = format!("/shelf/B-2/photos/{id}/remove");
    assert_eq!(desk.post(&elsewhere, &[]).await.status, 404, "it is another piece's");
    leads_to(
        &desk.post(&format!("/shelf/B-1/photos/{id}/remove"), &[]).await,
        "/shelf/B-1?done=photo-gone#photos",
    );
    assert_eq!(ines.get(&found[0]).await.status, 404);
    assert_eq!(large(&text(&mut ines, "/shelf/B-1").await), found[1..]);
    assert_eq!(faults(&club).await, Vec::<String>::new());
}

#[tokio::test]
async fn what_is_no_photo_is_refused_with_its_name_and_nothing_is_kept() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let good = photo(ImageFormat::Jpeg);
    let svg = b"<svg xmlns='http://www.w3.org/2000/svg' onload='alert(1)'/>";
    let html = b"<!doctype html><script>alert(1)</script>";
    for (name, bytes) in [
        ("logo.svg", &svg[..]),
        ("holiday.jpg", html),
        ("photos.zip", b"PK\x03\x04\x14\0"),
        ("cut.jpg", &good[..good.len() / 3]),
        ("<b>.jpg", b"no photo"),
    ] {
        let parts: [(&str, &str, &[u8]); 2] =
            [("photo", "good.jpg", &good), ("photo", name, bytes)];
        let refused = desk.post_parts("/shelf/B-1/photos", &parts).await;
        assert_eq!(refused.status, 422, "{name}");
        let page = refused.text();
        let shown = name.replace('<', "&#60;").replace('>', "&#62;");
        assert!(page.contains(&format!("“{shown}” can&#39;t be taken")), "{name}: {page}");
        assert_eq!(large(page), Vec::<String>::new(), "{name}: nothing was kept");
    }
    let none = desk.post_parts("/shelf/B-1/photos", &[("photo", "", b"")]).await;
    assert_eq!(none.status, 422);
    assert!(none.text().contains("Take a photo or choose one first."));
    let many: Vec<(&str, &str, &[u8])> = vec![("photo", "one.jpg", &good); 9];
    let many = desk.post_parts("/shelf/B-1/photos", &many).await;
    assert!(many.status == 422 && many.text().contains("at most 8 photos"));
    let torn =
        desk.post_body("/shelf/B-1/photos", "multipart/form-data; boundary=x", "--x\r\nC".into());
    assert_eq!(torn.await.status, 400);
    let json = desk.post_body("/shelf/B-1/photos", "application/json", "{}".into()).await;
    assert_eq!(json.status, 415);
}

#[tokio::test]
async fn a_flood_is_stopped_while_it_arrives() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let large = vec![0xff_u8; 12 * 1024 * 1024 + 1];
    let one = desk.post_parts("/shelf/B-1/photos", &[("photo", "large.jpg", &large)]).await;
    assert_eq!(one.status, 413);
    assert!(one.text().contains("at most 12 MB"), "{}", one.text());
    // Endless, were it read to its end before anybody counts.
    let sent = Arc::new(AtomicUsize::new(0));
    let flood = Body::new(Flood { sent: Arc::clone(&sent) });
    let kind = "multipart/form-data; boundary=x7";
    let endless = desk.post_body("/shelf/B-1/photos", kind, flood).await;
    assert_eq!(endless.status, 413);
    println!("{} kB were taken", sent.load(Ordering::Relaxed) * 64);
}

/// A body of one file that goes on and on.
struct Flood {
    sent: Arc<AtomicUsize>,
}

impl HttpBody for Flood {
    type Data = Bytes;
    type Error = std::io::Error;

    fn poll_frame(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, std::io::Error>>> {
        let sent = self.sent.fetch_add(1, Ordering::Relaxed);
        // More than this is never asked for, not even to let the answer through.
        assert!(sent < 2048, "it was read on and on");
        Poll::Ready(Some(Ok(Frame::data(match sent {
            0 => Bytes::from_static(
                b"--x7\r\nContent-Disposition: form-data; name=\"photo\"; filename=\"a\"\r\n\r\n",
            ),
            _ => Bytes::from(vec![0xff; 64 * 1024]),
        }))))
    }
}

#[tokio::test]
async fn an_inspection_and_a_return_have_their_photos() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let jpeg = photo(ImageFormat::Jpeg);
    let path = "/shelf/B-1/condition";
    let fields: [(&str, &str, &[u8]); 3] =
        [("state", "", b"in_repair"), ("finding", "", b"fungus"), ("seen", "a.jpg", b"none")];
    let refused = desk.post_parts(path, &fields).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("value=\"fungus\""), "what was typed stays");
    assert!(refused.text().contains("value=\"in_repair\" checked"), "what was ticked stays");
    let fields: [(&str, &str, &[u8]); 3] =
        [("state", "", b"in_repair"), ("finding", "", b"fungus"), ("seen", "a.jpg", &jpeg)];
    leads_to(&desk.post_parts(path, &fields).await, "/shelf/B-1?done=condition");
    let page = text(&mut desk, "/shelf/B-1").await;
    assert!(page.contains("when it was looked over"), "{page}");
    let life = page.split("life-title").last().unwrap();
    assert_eq!(large(life).len(), 1, "beside the inspection: {life}");

    let wish = club.wish(&[1], "2026-06-05", "2026-06-05");
    let made = club.post(&club.noor, "/api/v1/reservations", Some(wish)).await.json();
    let api = format!("/api/v1/reservations/{}/hand-over", made["id"]);
    let out = club.post(&club.desk, &api, Some(json!({"signed_name": "Noor"}))).await;
    assert!(out.status.is_success(), "{}", out.text());
    let (piece, shot) = (format!("piece_{}", club.items[1]), format!("photo_{}", club.items[1]));
    let desk_page = format!("/desk/{}/return", made["id"]);
    let mut fields: Vec<(&str, &str, &[u8])> =
        vec![(&piece, "", b"damaged"), (&shot, "crack.jpg", b"no photo")];
    let refused = desk.post_parts(&desk_page, &fields).await;
    assert_eq!(refused.status, 422);
    assert!(refused.text().contains("Nothing was taken back yet"), "{}", refused.text());
    fields[1].2 = &jpeg;
    assert_eq!(desk.post_parts(&desk_page, &fields).await.status, 303);
    let page = text(&mut desk, "/shelf/B-2").await;
    assert!(page.contains("when it came back") && page.contains("Came back damaged"), "{page}");
    // What a return makes of a piece stands in its history as every change does.
    assert!(page.contains("Condition: is in service") && page.contains("is in repair"), "{page}");
    assert_eq!(faults(&club).await, Vec::<String>::new());
}

#[tokio::test]
async fn the_check_misses_bytes_that_are_gone_or_changed_and_a_copy_brings_them_along() {
    let club = Club::new().await;
    let mut desk = signed_in(&club, "desk").await;
    let jpeg = photo(ImageFormat::Jpeg);
    let parts: [(&str, &str, &[u8]); 2] = [("photo", "a.jpg", &jpeg), ("photo", "b.jpg", &jpeg)];
    desk.post_parts("/shelf/B-1/photos", &parts).await;
    let copy = club.house.folder().join("copy.sqlite");
    let restored = club.house.folder().join("restored.sqlite");
    backup::back_up(&club.house.database(), &copy).await.unwrap();
    backup::restore(&copy, &restored, "20260605").await.unwrap();
    let copied = Store::open(&restored).await.unwrap();
    let mut conn = copied.reader().acquire().await.unwrap();
    let there = shelf::photo_bytes(&mut conn, 1, Size::Large).await.unwrap().unwrap();
    assert!(there.starts_with(b"\xff\xd8\xff"), "the copy brings them along");
    drop(conn);
    let found = borrowed_light::club::check::faults(&copied).await.unwrap();
    assert_eq!(found, Vec::<String>::new());
    let mut tx = copied.write().await.unwrap();
    for spoil in [
        "DELETE FROM photo_file WHERE photo_id = 1 AND size = 'small'",
        "UPDATE photo_file SET bytes = x'ffd8ff00' WHERE photo_id = 2 AND size = 'large'",
    ] {
        sqlx::raw_sql(spoil).execute(&mut *tx).await.unwrap();
    }
    tx.commit().await.unwrap();
    let found = borrowed_light::club::check::faults(&copied).await.unwrap();
    assert_eq!(
        found,
        [
            "Photo 1 of B-1 is missing in its small size.",
            "Photo 2 of B-1 is damaged in its large size: take it anew."
        ]
    );
}

#[tokio::test]
async fn whoever_only_borrows_adds_and_removes_no_photos() {
    let club = Club::new().await;
    club.house.account("ada@example.org", &[Role::Outreach, Role::Admin]).await;
    for name in ["ines", "ada"] {
        let mut browser = signed_in(&club, name).await;
        for path in ["/shelf/B-1/photos", "/shelf/B-1/photos/1/remove"] {
            assert_eq!(browser.post(path, &[]).await.status, 403, "{name} {path}");
        }
    }
}

//! Every page with sample values, rare states included, rendered in every scheme by a test.
//!
//! `cargo test --lib gallery -- --ignored` also writes them to `target/preview/`, to be looked at
//! in a browser.

use std::collections::HashSet;

use crate::people::places::places_for;
use crate::people::rights::{Role, Roles};
use crate::web::frame::{Frame, Scheme};

/// A sample page: a file name and its HTML.
pub struct Sample {
    /// Name of the file, without its ending.
    pub name: &'static str,
    /// The whole page.
    pub html: String,
}

impl Sample {
    /// Renders a page under this name.
    pub fn of(name: &'static str, page: &impl askama::Template) -> Self {
        let html = page.render().unwrap_or_else(|fault| panic!("{name}: {fault}"));
        Self { name, html }
    }
}

/// A frame such as a signed-in member gets.
pub fn frame(title: &str, scheme: Scheme) -> Frame {
    signed_in(title, scheme, "Ines Aldous", &[Role::Member])
        .returning_to("/kits?member=7&from=2026-06-05")
}

/// A frame such as somebody with these roles gets.
pub fn signed_in(title: &str, scheme: Scheme, name: &str, roles: &[Role]) -> Frame {
    let roles = Roles::of(roles.iter().copied());
    door(title, scheme).signed_in(name).offering(places_for(&roles))
}

/// A frame such as a stranger gets.
pub fn door(title: &str, scheme: Scheme) -> Frame {
    Frame::new(title, scheme).club("Windmill Hill Astronomers").form_token("a-token")
}

fn samples(scheme: Scheme) -> Vec<Sample> {
    let mut all = Vec::new();
    all.extend(crate::people::sign_in_page::samples::all(scheme));
    all.extend(crate::people::account_page::samples::all(scheme));
    all.extend(crate::people::links::page::samples::all(scheme));
    all.extend(crate::people::second::code_page::samples::all(scheme));
    all.extend(crate::people::second::enrol_page::samples::all(scheme));
    all.extend(crate::post::page::samples::all(scheme));
    all.extend(crate::people::people_page::samples::all(scheme));
    all.extend(crate::people::list_page::samples::all(scheme));
    all.extend(crate::people::invite_letters::samples::all(scheme));
    all.extend(crate::people::joining_page::samples::all(scheme));
    all.extend(crate::audit::page::samples::all(scheme));
    all.extend(crate::app::watching::samples::all(scheme));
    all.extend(crate::web::error_page::samples::all(scheme));
    all.extend(crate::web::kind_page::samples::all(scheme));
    all.extend(crate::guide::pages::samples::all(scheme));
    all.extend(crate::choosing::samples::all(scheme));
    all.extend(crate::choosing::telescope_page::samples::all(scheme));
    all.extend(crate::shelf::page::samples::all(scheme));
    all.extend(crate::shelf::stock_page::samples::all(scheme));
    all.extend(crate::choosing::nights_pages::samples::all(scheme));
    all.extend(crate::shelf::count_page::samples::all(scheme));
    all.extend(crate::lending::cautions_page::samples::all(scheme));
    all.extend(crate::lending::reserve_pages::samples::all(scheme));
    all.extend(crate::lending::mine_list_pages::samples::all(scheme));
    all.extend(crate::lending::mine_pages::samples::all(scheme));
    all.extend(crate::lending::desk_samples::all(scheme));
    all.extend(crate::observing::plan::samples::all(scheme));
    all.extend(crate::observing::site_page::samples::all(scheme));
    all.extend(crate::public_night::list_page::samples::all(scheme));
    all.extend(crate::public_night::samples::all(scheme));
    all.extend(crate::public_night::priority_pages::samples(scheme));
    all.extend(crate::public_night::open_pages::samples(scheme));
    all.extend(crate::public_night::after_pages::samples(scheme));
    all.extend(crate::public_night::samples::printed(scheme));
    all.extend(crate::choosing::card_pages::samples::all(scheme));
    all.extend(crate::lending::rules_samples::all(scheme));
    all.extend(crate::lending::feed_pages::samples::all(scheme));
    all.extend(crate::lending::calendar_pages::samples::all(scheme));
    all.extend(crate::lending::piece_rule_pages::samples::all(scheme));
    all.extend(crate::lending::sign_pages::samples::all(scheme));
    all.extend(crate::lending::waiting_desk::samples::all(scheme));
    all.extend(crate::buying::samples::all(scheme));
    all.extend(crate::profile::observer_page::samples::all(scheme));
    all.extend(crate::profile::gear_page::samples::all(scheme));
    all.extend(crate::profile::token_page::samples::all(scheme));
    all.extend(crate::profile::data_page::samples::all(scheme));
    all.extend(crate::profile::care_page::samples::all(scheme));
    all
}

const SCHEMES: [Scheme; 4] = [Scheme::Auto, Scheme::Light, Scheme::Dark, Scheme::Red];

/// Values of an attribute, in order of appearance.
fn values<'a>(html: &'a str, attribute: &str) -> Vec<&'a str> {
    let opening = format!(" {attribute}=\"");
    html.split(opening.as_str()).skip(1).filter_map(|rest| rest.split('"').next()).collect()
}

fn ids(html: &str) -> HashSet<&str> {
    values(html, "id").into_iter().collect()
}

fn each(check: impl Fn(&Sample, Scheme)) {
    for scheme in SCHEMES {
        for sample in samples(scheme) {
            check(&sample, scheme);
        }
    }
}

#[test]
fn every_page_obeys_the_content_security_policy() {
    each(|page, _| {
        let html = &page.html;
        assert!(!html.contains(" style="), "{}: a style attribute", page.name);
        assert!(!html.contains("<style"), "{}: a style element", page.name);
        assert!(!html.contains("javascript:"), "{}: a script address", page.name);
        assert!(!html.contains(" onclick="), "{}: an inline handler", page.name);
        for script in html.split("<script").skip(1) {
            assert!(script.starts_with(" src=\"/static/"), "{}: an inline script", page.name);
        }
        for address in values(html, "src").into_iter().chain(values(html, "href")) {
            assert!(
                address.starts_with('/') || address.starts_with('#'),
                "{}: {address} leaves the service",
                page.name
            );
        }
    });
}

#[test]
fn every_page_has_one_heading_one_title_and_ids_that_are_unique() {
    each(|page, _| {
        assert_eq!(page.html.matches("<h1").count(), 1, "{}: headings", page.name);
        assert_eq!(page.html.matches("<title>").count(), 1, "{}: titles", page.name);
        let all = values(&page.html, "id");
        assert_eq!(all.len(), ids(&page.html).len(), "{}: an id twice among {all:?}", page.name);
    });
}

#[test]
fn every_reference_inside_a_page_has_its_target() {
    each(|page, _| {
        let known = ids(&page.html);
        let mut wanted: Vec<&str> = values(&page.html, "for");
        for attribute in ["aria-describedby", "aria-labelledby"] {
            wanted
                .extend(values(&page.html, attribute).into_iter().flat_map(str::split_whitespace));
        }
        wanted.extend(values(&page.html, "href").into_iter().filter_map(|to| to.strip_prefix('#')));
        for id in wanted {
            assert!(known.contains(id), "{}: nothing has the id {id:?}", page.name);
        }
    });
}

#[test]
fn every_field_of_a_form_has_a_label() {
    each(|page, _| {
        let labelled: HashSet<&str> = values(&page.html, "for").into_iter().collect();
        for tag in page.html.split(['<', '>']) {
            let is_field = tag.starts_with("input ") || tag.starts_with("select ");
            let own_label = ["hidden", "radio", "checkbox"]
                .iter()
                .any(|kind| tag.contains(&format!("type=\"{kind}\"")));
            if is_field && !own_label {
                let id = values(tag, "id").first().copied().unwrap_or_default();
                assert!(labelled.contains(id), "{}: no label for <{tag}>", page.name);
            }
        }
    });
}

#[test]
fn red_pages_hold_nothing_that_a_browser_would_paint_white() {
    each(|page, scheme| {
        if scheme.is_red() {
            assert!(!page.html.contains("<select"), "{}: a native list", page.name);
            assert!(!page.html.contains("type=\"date\""), "{}: a native calendar", page.name);
        }
    });
}

#[test]
fn what_people_typed_never_becomes_markup() {
    each(|page, _| {
        assert!(!page.html.contains("<script>alert"), "{}: typed markup came through", page.name);
    });
}

#[test]
#[ignore = "writes target/preview for looking at"]
fn write_the_pages_for_a_look() {
    let folder = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("target/preview");
    std::fs::create_dir_all(&folder).unwrap();
    each(|page, scheme| {
        let html = page.html.replace("\"/static/", "\"../../static/");
        let file = folder.join(format!("{}-{}.html", page.name, scheme.as_str()));
        std::fs::write(file, html).unwrap();
    });
}

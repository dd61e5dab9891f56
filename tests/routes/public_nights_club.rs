//! A small club that prepares public nights, for the tests.

use axum::body::Body;
use axum::http::{Method, header};
use borrowed_light::people::access::Scope;
use borrowed_light::people::rights::Role;
use borrowed_light::web::secret::Secret;
use serde_json::{Value, json};

use crate::browser::Browser;
use crate::client::{Answer, House, PASSWORD, request};

/// The club, its pieces by tag, and tokens of those who prepare.
pub struct Club {
    pub house: House,
    pub lead: Secret,
    pub desk: Secret,
    member: Secret,
    pub ids: std::collections::BTreeMap<String, i64>,
}

pub async fn send(
    house: &House,
    token: &Secret,
    method: Method,
    path: &str,
    body: &Value,
) -> Answer {
    let asked = request(method, path)
        .header(header::AUTHORIZATION, format!("Bearer {}", token.reveal()))
        .header(header::IF_MATCH, "*")
        .header(header::CONTENT_TYPE, "application/json");
    house.send(asked.body(Body::from(body.to_string())).unwrap()).await
}

impl Club {
    /// Two telescopes with a filter each, one without, three eyepieces, two sites.
    pub async fn new() -> Self {
        let house = House::new().await;
        let (_, lead) =
            house.member("Adaeze", "lead@example.org", &[Role::Member, Role::Outreach]).await;
        let (_, desk) =
            house.member("Desk", "desk@example.org", &[Role::Member, Role::Quartermaster]).await;
        let (_, member) = house.member("Ines", "ines@example.org", &[Role::Member]).await;
        let lead = house.token(lead, Scope::Write).await;
        let desk = house.token(desk, Scope::Write).await;
        let member = house.token(member, Scope::Write).await;
        let mut club = Self { house, lead, desk, member, ids: std::collections::BTreeMap::new() };
        for (tag, tube) in [("T-1", 98), ("T-2", 118), ("T-3", 238)] {
            let scope = json!({
                "asset_tag": tag, "name": format!("Telescope {tag}"), "layout": "refractor",
                "aperture_mm": 80, "focal_length_mm": 480, "tube_outer_diameter_mm": tube,
                "focuser_barrel_mm": 31.75,
            });
            club.add("telescopes", tag, &scope).await;
        }
        for (tag, focal) in [("E-1", 25), ("E-2", 17), ("E-3", 12)] {
            let eyepiece = json!({
                "asset_tag": tag, "name": format!("{focal} mm"), "focal_length_mm": focal,
                "apparent_field_deg": 60, "eye_relief_mm": 20, "barrel_mm": 31.75,
            });
            club.add("eyepieces", tag, &eyepiece).await;
        }
        for (tag, scope) in [("F-1", "T-1"), ("F-2", "T-2")] {
            let filter = Self::filter(tag, scope);
            club.add("filters", tag, &filter).await;
        }
        let mut keeper = club.browser("desk@example.org").await;
        for (name, latitude, longitude, zone) in [
            ("Long Meadow", "52.2", "-3.1", "Europe/London"),
            ("The far side", "-37.0", "175.0", "Pacific/Auckland"),
        ] {
            let site = [
                ("name", name),
                ("latitude", latitude),
                ("longitude", longitude),
                ("time_zone", zone),
                ("sky_brightness", "21.6"),
            ];
            assert_eq!(keeper.post("/sites", &site).await.status, 303);
        }
        club
    }

    pub fn filter(tag: &str, scope: &str) -> Value {
        json!({
            "asset_tag": tag, "name": "Front filter", "kind": "solar_full_aperture",
            "fits_telescope": scope, "last_light_test": "2026-04-18",
        })
    }

    async fn add(&mut self, kind: &str, tag: &str, body: &Value) {
        let made = self.desk(Method::POST, &format!("/api/v1/{kind}"), body).await;
        assert_eq!(made.status, 201, "{}", made.text());
        self.ids.insert(tag.to_owned(), made.json()["id"].as_i64().unwrap());
    }

    pub fn id(&self, tag: &str) -> i64 {
        self.ids[tag]
    }

    pub async fn browser(&self, email: &str) -> Browser<'_> {
        let mut browser = Browser::new(&self.house);
        browser.sign_in(email, PASSWORD).await;
        browser
    }

    pub async fn lead(&self, method: Method, path: &str, body: &Value) -> Answer {
        send(&self.house, &self.lead, method, path, body).await
    }

    pub async fn desk(&self, method: Method, path: &str, body: &Value) -> Answer {
        send(&self.house, &self.desk, method, path, body).await
    }

    pub async fn member(&self, method: Method, path: &str, body: &Value) -> Answer {
        send(&self.house, &self.member, method, path, body).await
    }

    /// A winter evening: dark at 52° north from five on.
    pub fn evening() -> Value {
        json!({
            "name": "Moon over the school", "date": "2026-12-18", "starts": "18:00",
            "ends": "20:15", "site": 1, "visitors": 90, "children": 60, "wheelchairs": 1,
            "stations_wanted": 2,
        })
    }

    /// A summer's day.
    pub fn fair() -> Value {
        json!({
            "name": "The Sun on the green", "date": "2026-06-20", "starts": "11:00",
            "ends": "15:00", "site": 1, "purpose": "solar", "visitors": 120,
            "stations_wanted": 2,
        })
    }

    pub fn with(mut body: Value, field: &str, value: impl Into<Value>) -> Value {
        body[field] = value.into();
        body
    }

    /// Adds a public night and gives its path in the API.
    pub async fn night(&self, body: &Value) -> (i64, String) {
        let made = self.lead(Method::POST, "/api/v1/public-nights", body).await;
        assert_eq!(made.status, 201, "{}", made.text());
        let id = made.json()["id"].as_i64().unwrap();
        (id, format!("/api/v1/public-nights/{id}"))
    }

    /// A station with all that the Sun asks for.
    pub fn sunny(&self) -> Value {
        json!({
            "number": 1, "telescope": self.id("T-1"), "eyepiece": self.id("E-1"),
            "filter": self.id("F-1"), "helper": 1, "finder": "capped",
            "targets": ["sun", "sun"],
        })
    }

    /// A plan of these stations with two helpers.
    pub fn plan(stations: &[Value]) -> Value {
        json!({
            "helpers": [
                {"number": 1, "first_name": "Wren"},
                {"number": 2, "first_name": "Tove"},
            ],
            "stations": stations,
        })
    }
}

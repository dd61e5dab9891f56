//! A browser: it keeps cookies, sends forms as browsers do and follows nothing by itself.

use std::collections::BTreeMap;

use axum::body::Body;
use axum::http::{Method, header};

use crate::client::{Answer, House, request};

pub struct Browser<'a> {
    house: &'a House,
    pub cookies: BTreeMap<String, String>,
}

impl<'a> Browser<'a> {
    pub fn new(house: &'a House) -> Self {
        Self { house, cookies: BTreeMap::new() }
    }

    pub async fn get(&mut self, path: &str) -> Answer {
        let asked = request(Method::GET, path)
            .header("sec-fetch-site", "same-origin")
            .header(header::COOKIE, self.cookie_line())
            .body(Body::empty());
        let answer = self.house.send(asked.unwrap()).await;
        self.keep(&answer);
        answer
    }

    pub async fn post(&mut self, path: &str, fields: &[(&str, &str)]) -> Answer {
        self.post_with(path, fields, "sec-fetch-site", "same-origin").await
    }

    /// Sends a form with one header of one's own choice.
    pub async fn post_with(
        &mut self,
        path: &str,
        fields: &[(&str, &str)],
        name: &str,
        value: &str,
    ) -> Answer {
        let body = fields
            .iter()
            .map(|(name, value)| format!("{name}={}", encoded(value)))
            .collect::<Vec<_>>()
            .join("&");
        let asked = request(Method::POST, path)
            .header(name, value)
            .header(header::CONTENT_TYPE, "application/x-www-form-urlencoded")
            .header(header::COOKIE, self.cookie_line())
            .body(Body::from(body));
        let answer = self.house.send(asked.unwrap()).await;
        self.keep(&answer);
        answer
    }

    /// Sends a form with files: field, file name (empty for text) and content.
    pub async fn post_parts(&mut self, path: &str, parts: &[(&str, &str, &[u8])]) -> Answer {
        let mut body = Vec::new();
        for (name, file, content) in parts {
            body.extend(format!("--x7\r\nContent-Disposition: form-data; name=\"{name}\"").bytes());
            if !file.is_empty() {
                body.extend(format!("; filename=\"{file}\"\r\nContent-Type: image/jpeg").bytes());
            }
            body.extend(b"\r\n\r\n");
            body.extend(*content);
            body.extend(b"\r\n");
        }
        body.extend(b"--x7--\r\n");
        self.post_body(path, "multipart/form-data; boundary=x7", Body::from(body)).await
    }

    /// Sends any body.
    pub async fn post_body(&mut self, path: &str, kind: &str, body: Body) -> Answer {
        let asked = request(Method::POST, path)
            .header("sec-fetch-site", "same-origin")
            .header(header::CONTENT_TYPE, kind)
            .header(header::COOKIE, self.cookie_line())
            .body(body);
        let answer = self.house.send(asked.unwrap()).await;
        self.keep(&answer);
        answer
    }

    /// Signs in and gives the answer.
    pub async fn sign_in(&mut self, email: &str, password: &str) -> Answer {
        self.post("/sign-in", &[("email", email), ("password", password), ("next", "")]).await
    }

    fn cookie_line(&self) -> String {
        let pairs: Vec<String> =
            self.cookies.iter().map(|(name, value)| format!("{name}={value}")).collect();
        pairs.join("; ")
    }

    fn keep(&mut self, answer: &Answer) {
        for (name, value) in answer.cookies() {
            if value.is_empty() {
                self.cookies.remove(&name);
            } else {
                self.cookies.insert(name, value);
            }
        }
    }
}

fn encoded(text: &str) -> String {
    text.bytes()
        .map(|byte| {
            if byte.is_ascii_alphanumeric() {
                char::from(byte).to_string()
            } else {
                format!("%{byte:02X}")
            }
        })
        .collect()
}
